"""Rows in which a flasher waits, and would flash if it had begun in the row before: what a hand did first is seen there.

Fed back from the pedal by a bad joint, a flasher sees no load and never begins; thrown to from a row in which it swings, it goes on.
"""

from dataclasses import dataclass

from ..arrangements.rows import phases_of
from ..solving import operating_point, run
from ..solving.inrush import goes_on
from .flashing import flash
from .orders import beside

BEGUN, WATCHED = 2.0, 6.0      # s from rest until the last throw, and from then on


@dataclass(frozen=True)
class GoingOn:
    """A row reached while a flasher swings that waits there from rest.

    Attributes
    ----------
    positions : dict of str to str
        The row. [text]
    throws : tuple of (str, str)
        The order that leads there: control, position. [text]
    flashes : dict of str to Flash
        What every lamp does once that is so.
    """

    positions: dict
    throws: tuple
    flashes: dict


def going_on(arrangement, rows, progress=None):
    """Yield a :class:`GoingOn` for each of these rows, the first way that leads there from a row beside it.

    Parameters
    ----------
    arrangement : Arrangement
    rows : list of dict
        Positions. [text]
    progress : callable ``(done, total)``, optional
    """
    swinging = [part.name for part in arrangement.parts if part.swings and "idle" in part.states]
    for done, positions in enumerate(rows if swinging else ()):
        for name in swinging:
            found = _may_go_on(arrangement, positions, name) and _reached_swinging(arrangement, positions, name)
            if found:
                yield found
                break
        if progress:
            progress(done + 1, len(rows))


def _may_go_on(arrangement, positions, name):
    points = [operating_point(arrangement, positions, phases) for phases in phases_of(arrangement)]
    return all(point.verdict == "settled" and point.states[name] == "idle" for point in points) and goes_on(points[0], name)


def _reached_swinging(arrangement, positions, name):
    """Return how the row goes on from the first row beside it in which the flasher swings, or None where it stops then."""
    for before, (control, _) in beside(arrangement, positions):
        last = (control, positions[control])
        first = [(other, where) for other, where in before.items() if where != arrangement.control(other).rest]
        script = [(0.0, *each) for each in first] + [(BEGUN, *last)]
        if operating_point(arrangement, before).states[name] == "idle":
            continue
        course = run(arrangement, script, until=BEGUN + WATCHED)
        if course.verdict == "settled" and any(event.name == name and event.state == "on" and event.time > BEGUN + WATCHED / 2 for event in course.events):
            seen = {lamp: flash(course, lamp, BEGUN + WATCHED / 2) for lamp in course.lamp_volts}
            return GoingOn(positions, (*first, last), seen)
    return None

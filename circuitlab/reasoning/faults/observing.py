"""What can be seen and felt of an arrangement in a row: the brightness of every lamp, overloaded wires, the drain.

:func:`observe` is the one place of the fault room that asks the solver. A row
is solved in every combination of flasher phases. A time course is run only
where a point has no single answer, so that timing decides.
"""

from dataclasses import dataclass
from itertools import product

from ...parts import Battery, Lamp
from ...solving import operating_point, run
from ..looks import brightness
from ..sizing import capacity

HEAT_TABLE = "free air, 60 C insulation"   # what a wire may carry before it is called overloaded; see reasoning/sizing
DARK, DIM, LIT = 0, 1, 2
_LEVEL = {"dark": DARK, "dim": DIM, "lit": LIT}
_WATCHED = 1.0, 2.5    # s, the stretch of a time course that is looked at


@dataclass(frozen=True)
class Observed:
    """One row of one arrangement.

    Attributes
    ----------
    levels : tuple of tuple of int
        For each combination of phases (or each extreme of a time course), every lamp as 0 dark, 1 dim, 2 lit. [1]
    verdict, sentence : str
    blown : tuple of str
        Fuses that blow.
    overloaded : tuple of str
        Wires that carry more than they may, with no fuse to end it.
    drawn : float
        Greatest current out of the batteries. [A]
    held_levels : tuple of tuple of int
        The levels when relays were operated before, where they then differ: the row has a memory. [1]
    """

    levels: tuple
    verdict: str = "settled"
    sentence: str = "settled"
    blown: tuple = ()
    overloaded: tuple = ()
    drawn: float = 0.0
    held_levels: tuple = ()


def rows_of(arrangement):
    """Return the positions of every row, first control slowest. [text]"""
    names = [control.name for control in arrangement.controls]
    return tuple(dict(zip(names, positions)) for positions in
                 product(*(control.positions for control in arrangement.controls)))


def phases_of(arrangement):
    """Return every combination of flasher phases, all on first. [text]"""
    flashers = [part.name for part in arrangement.parts if part.swings]
    return tuple(dict(zip(flashers, phases)) for phases in product(("on", "off"), repeat=len(flashers)))


def observe(arrangements, rows, healthy):
    """Yield, for each arrangement, what is seen in each row.

    Parameters
    ----------
    arrangements : iterable of Arrangement
    rows : sequence of dict
        Positions of every control. [text]
    healthy : Arrangement
        Its wires are those whose load matters; where others are wired otherwise, relays may hold themselves.

    Yields
    ------
    tuple of Observed
        One for each row.
    """
    limits = {wire.name: capacity(wire.area, HEAT_TABLE).amps for wire in healthy.wires}
    wiring = {wire.terminals for wire in healthy.wires}
    for arrangement in arrangements:
        relays = () if {wire.terminals for wire in arrangement.wires} <= wiring and arrangement is not healthy else tuple(
            part.name for part in arrangement.parts if "operated" in part.states)
        yield tuple(_row(arrangement, positions, limits, relays) for positions in rows)


def _row(arrangement, positions, limits, relays):
    lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
    phases = phases_of(arrangement)
    points = [operating_point(arrangement, positions, phase) for phase in phases]
    for point in points:
        if not point.is_settled:
            return _timed(arrangement, positions, point, lamps)
    levels, held_levels = _levels(points, lamps), ()
    if relays:
        others = [operating_point(arrangement, positions, phase, relays) for phase in phases]
        if all(other.is_settled for other in others):
            held_levels = _levels(others, lamps)
    drawn, overloaded = _loads(arrangement, points, limits)
    short = next((point for point in points if point.verdict == "shorted"), None)
    return Observed(levels, short.verdict if short else "settled", short.sentence if short else "settled",
                    _blown(arrangement, points), overloaded, drawn, held_levels if held_levels != levels else ())


def _levels(points, lamps):
    return tuple(tuple(_LEVEL[brightness(point.light(lamp))] for lamp in lamps) for point in points)


def _blown(arrangement, points):
    held = dict(arrangement.held)
    return tuple(sorted({name for point in points for name, state in point.states.items()
                         if state == "blown" and name not in held}))


def _loads(arrangement, points, limits):
    """Return the greatest battery current and the wires that carry too much in any phase. [A], [text]"""
    drawn, overloaded, least = 0.0, set(), min(limits.values(), default=0.0)
    for point in points:
        amps = max(abs(point.current(battery.name)) for battery in arrangement.of_kind(Battery))
        drawn = max(drawn, amps)
        if amps > least:
            overloaded |= {name for name, limit in limits.items()
                           if name in arrangement.by_name and abs(point.current(name)) > limit}
    return drawn, tuple(sorted(overloaded))


def _timed(arrangement, positions, point, lamps):
    """Let time decide: move the controls, wait, and look at the brightest and the darkest of every lamp."""
    course = run(arrangement, [(0.0, *item) for item in positions.items()], until=_WATCHED[1])
    if course.verdict != "settled":
        return Observed((), course.verdict, course.sentence)
    seen = [index for index, moment in enumerate(course.times) if _WATCHED[0] <= moment]
    light = {lamp: [course.light[lamp][index] for index in seen] for lamp in lamps}
    levels = tuple(tuple(_LEVEL[brightness(pick(light[lamp]))] for lamp in lamps) for pick in (max, min))
    blown = tuple(sorted({event.name for event in course.events if event.state == "blown"} - set(dict(arrangement.held))))
    return Observed(levels, "settled", f"{point.sentence}; looked at over time", blown)

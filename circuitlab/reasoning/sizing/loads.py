"""What flows where: the current of every wire, fuse and contact, steady and at the moment of switching on.

Steady is the greatest settled current over every row and flasher phase. For
the inrush every row is played from rest, all its controls moved in the same
instant, so filaments are cold; and from every row each control is put back by
itself, for the lamps that a break contact lights. A current is greatest right
after something has switched: from there filaments only warm and take less.

Fuses and lamps are held whole while the steady currents are read, so that one
too weak shows as a load too great and not as nothing. A flashing lamp counts
as if it were on for good, which is on the safe side for anything that heats.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf

from ...arrangements.rows import check_rows, phases_of, rows_of
from ...ground.errors import unknown_name
from ...parts import Role
from ...solving import operating_point, run
from .ways import FLOWS, called

PLAYED = 2.0        # s, of every row: relays have moved and a flasher has come round once
PLAYED_BACK = 0.5   # s, of a control put back: relays have moved
CLOSE = 1e-5        # s, how finely the end of an inrush is looked for


@dataclass(frozen=True)
class Load:
    """The current through one wire or one branch of a part.

    Attributes
    ----------
    part : str
    branch : int
        Which of the part's branches. [1]
    what : str
        ``wire``, ``fuse``, ``contact 30-87``, ``coil 86-85`` and so on. [text]
    role : Role
        Of that branch.
    amps : float
        The greatest steady current. [A]
    point : OperatingPoint
        Where that is: its row and phases.
    peak : float
        The greatest current at any moment, never below the steady one. [A]
    peak_row : dict of str to str
        The row in which that is.
    above : float
        How long the inrush stays above twice the steady current. [s]
    """

    part: str
    branch: int
    what: str
    role: Role
    amps: float
    point: object
    peak: float
    peak_row: dict
    above: float

    @property
    def times(self):
        """Peak relative to steady; 1 where nothing flows. [1]"""
        return self.peak / self.amps if self.amps else 1.0


@dataclass(frozen=True)
class Survey:
    """Every row and phase of an arrangement, solved, and every row played.

    Attributes
    ----------
    arrangement : Arrangement
    points : tuple of OperatingPoint
        Settled ones, in the order of the rows, each flasher on, then off; of a restless one its turns.
    restless : tuple of OperatingPoint
        Those without an answer, or with a short, which nothing can be sized for.
    loads : tuple of Load
        Of every branch of every part, then of every wire.
    blown : dict of str to (float, dict)
        Fuses that blow while a row is played: when, and in which row; ``inf`` for one that does not blow at once but
        is gone where the row has been on for long. [s]
    """

    arrangement: object
    points: tuple
    restless: tuple
    loads: tuple
    blown: dict

    def load(self, part, branch=0):
        """Return the load of one wire or one branch of a part, or raise UnknownName."""
        for load in self.loads:
            if (load.part, load.branch) == (part, branch):
                return load
        raise unknown_name(f"arrangement '{self.arrangement.title}'", "load", f"{part} {branch}".removesuffix(" 0"),
                           [load.part for load in self.loads])


def row_where(positions, arrangement):
    """Return a row in words: the controls that are moved.

    >>> from circuitlab.arrangements import arrangement
    >>> row_where({"lamp switch": "on"}, arrangement("one-fused-lamp"))
    'lamp switch on'
    """
    moved = [f"{control.name} {positions[control.name]}" for control in arrangement.controls
             if positions[control.name] != control.rest]
    return ", ".join(moved) or "everything at rest"


def where(point):
    """Return the row of an operating point in words, and the flashers that run in it. [text]"""
    running = [f"{name} {point.states[name]}" for name in point.phases if point.states[name] != "idle"]
    return ", ".join([row_where(point.positions, point.arrangement), *running])


@lru_cache(maxsize=8)
def survey(arrangement, played=True):
    """Return what flows in every row of an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    played : bool
        Whether time courses tell the peaks, and which fuses blow; without them a peak is what flows for long. [yes/no]

    Raises
    ------
    ArrangementError
        When there are more than 65 536 rows.
    """
    check_rows(arrangement)
    settled, restless = solved(arrangement)
    bad = [point.positions for point in restless]
    peaks, blown, courses = _played(arrangement, [row for row in rows_of(arrangement) if row not in bad] if played else [])
    seen = {}
    return Survey(arrangement, settled, restless,
                  tuple(_load(arrangement, part, order, settled, peaks, courses, seen)
                        for part in arrangement.parts + arrangement.wires for order in range(len(part.branches()))
                        if settled), blown)


def solved(arrangement):
    """Return ``(settled, restless)``: the operating points of every row and phase, whatever could blow held whole.

    The points that chatter goes to and fro between count as settled too: so much flows again and again.
    """
    held = dict(arrangement.held)
    more = tuple((part.name, part.states[0]) for part in arrangement.parts if (part.latching or part.guards)
                 and part.name not in held)
    whole = replace(arrangement, held=(*arrangement.held, *more))
    points = [operating_point(whole, row, phases) for row in rows_of(arrangement) for phases in phases_of(arrangement)]
    return (tuple(each for point in points for each in point.lasting if each.verdict == "settled"),
            tuple(point for point in points if point.verdict != "settled"))


def _played(arrangement, rows):
    """Return each branch's peak as (amps, number of the course, moment), the fuses that blow, and (row, course)s."""
    peaks, blown, courses = {}, {}, []
    for row, course, begin in _courses(arrangement, rows):
        courses.append((row, course))
        for event in course.events:
            if event.state == "blown" and event.name not in blown:
                gone = event.time == 0 and begin
                blown[event.name] = (inf, begin) if gone else (event.time, row)
        for moment in sorted({0.0, *(event.time for event in course.events)}):
            point = course.at(moment)
            for part in arrangement.parts + arrangement.wires:
                for order in range(len(part.branches())):
                    amps = abs(point.current(part.name, order))
                    if amps > peaks.get((part.name, order), (FLOWS,))[0]:
                        peaks[part.name, order] = amps, len(courses) - 1, moment
    return peaks, blown, courses


def _courses(arrangement, rows):
    """Yield (row it leads to, course, row it has long been in): each row from rest, then each control put back by itself."""
    for row in rows:
        moved = [control for control in arrangement.controls if row[control.name] != control.rest]
        yield row, run(arrangement, [(0.0, control.name, row[control.name]) for control in moved], until=PLAYED), {}
        for control in moved:
            back = {**row, control.name: control.rest}
            if back in rows:
                yield back, run(arrangement, [(0.0, control.name, control.rest)], until=PLAYED_BACK, positions=row), row


def _load(arrangement, part, order, points, peaks, courses, seen):
    """Return one load; ``seen`` keeps the points of a course that were looked at, for wires in a row share them."""
    point = max(points, key=lambda each: round(abs(each.current(part.name, order)), 9))
    amps = abs(point.current(part.name, order))
    branch = part.branches()[order]
    which = part.name, order, called(part, branch), branch.role
    peak, number, moment = peaks.get((part.name, order), (0.0, None, None))
    if peak <= amps:
        return Load(*which, amps, point, amps, point.positions, 0.0)
    row, course = courses[number]
    above = 0.0
    if 2 * FLOWS < 2 * amps < peak:
        above = _time_above(course, seen.setdefault(number, {}), part.name, order, moment, 2 * amps)
    return Load(*which, amps, point, peak, row, above)


def _time_above(course, seen, name, order, start, level):
    """Return how long a current stays above a level from a moment on. [s]"""
    def amps(moment):
        if moment not in seen:
            seen[moment] = course.at(moment)
        return abs(seen[moment].current(name, order))

    low, high = start, course.until
    for moment in course.times:
        if moment > start and amps(moment) < level:
            high = moment
            break
        low = max(low, moment)
    while high - low > CLOSE:
        middle = (low + high) / 2
        low, high = (middle, high) if amps(middle) >= level else (low, middle)
    return high - start

"""Every throw of every control, played beforehand: for a board that has no kit behind it.

From rest on, each control is moved to each of its other positions, and so on from wherever that leads. A *stand* is
where that ends: nothing moves any more, or the same turn is gone through over and over, as with a flasher. What came
before can matter, as with a relay that holds or a fuse that has blown; then one row has several stands.
"""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from ..arrangements.rows import count_rows, phases_of
from ..ground.errors import ArrangementError
from ..solving import operating_point, run
from ..solving.live import Live
from .flashing import TOO_SHORT
from .settled_course import WARM

MOST_ROWS_PLAYED = 64   # each takes some ten throws; the largest arrangement of the kit has 48
MOST_STANDS = 2 * MOST_ROWS_PLAYED
LONGEST = 60.0          # s, that is waited for a stand
UNFINISHED = "unfinished"
_TURNS = 3.3            # of a flasher, in which three have begun
_SLOW = 6.0             # s, in which heat moves what it moves often
_EVEN = 0.01            # by which two turns alike may differ in length [1]
_ALIKE = 0.01           # by which what lamps show may differ where a turn begins, of rated volts and light [1]
_STILL = 0.002          # likewise where nothing moves any more [1]
_MOST_MOMENTS = 6       # of a stand, from which controls are thrown


@dataclass(frozen=True)
class Stand:
    """Where everything stands, or what turn it goes through, after some throws.

    Parameters
    ----------
    positions : dict of str to str
        Its row. [text]
    script : tuple of (float, str, str)
        Throws from rest that lead to it. [s], [text]
    course : TimeCourse
        From the last of those throws on.
    loop : tuple of float
        Begin and end of the turn it goes through; the same moment twice where nothing moves. [s]
    moments : tuple of float
        One amid each stretch of the turn that an eye sees. [s]
    verdict, sentence : str
        As of the course; or ``unfinished``.
    """

    positions: dict
    script: tuple
    course: object
    loop: tuple
    moments: tuple
    verdict: str
    sentence: str


@dataclass(frozen=True)
class Throw:
    """One control moved to one position while a stand stands.

    Parameters
    ----------
    course : TimeCourse
        From the throw on.
    settled : float
        When it has come to where the turn of its stand begins. [s]
    stand : int
        Where it leads. [1]
    origin : int or None
        Where it was made; None of the first, which is no throw: everything at rest. [1]
    moment : int
        In which stretch of that. [1]
    control, position : str
    """

    course: object
    settled: float
    stand: int
    origin: int | None = None
    moment: int = 0
    control: str = ""
    position: str = ""


class Throws:
    """All throws of an arrangement; they are played while one goes over them, once.

    Attributes
    ----------
    stands : list of Stand
        Found so far.

    Raises
    ------
    ArrangementError
        For more rows than are played.

    >>> import circuitlab as cl
    >>> throws = Throws(cl.arrangement("one-fused-lamp"))
    >>> [(throw.position, throw.stand) for throw in throws], len(throws.stands)
    ([('', 0), ('on', 1), ('off', 0)], 2)
    """

    def __init__(self, arrangement):
        rows = count_rows(arrangement)
        if rows > MOST_ROWS_PLAYED:
            raise ArrangementError(
                f"'{arrangement.title}' has {rows} rows, and a board in one file holds {MOST_ROWS_PLAYED} at most. Leave out controls that do "
                "not matter here in a copy of it, or work all of it on the live board of a notebook.", rows=rows, most=MOST_ROWS_PLAYED)
        self.arrangement, self.stands, self._due = arrangement, [], {}
        swinging = [part for part in arrangement.parts if part.swings]
        turn = max((60 / getattr(part, "rate", 60.0) for part in swinging), default=0.0)
        self._quiet = max(WARM, 1.2 * turn, *(_SLOW / 2 for part in swinging if part.heat_time))
        self._first = max(2 * WARM, WARM + _TURNS * turn, *(_SLOW for part in swinging if part.heat_time))

    def __iter__(self):
        course = run(self.arrangement, until=self._first)
        yield self._led(course, self.arrangement.positions(), ())
        for number, stand in enumerate(self.stands):        # grows meanwhile
            for order, moment in enumerate(stand.moments):
                before = _lived(self.arrangement, stand.script).ahead(moment)
                for control in self.arrangement.controls:
                    for position in control.positions:
                        if position != stand.positions[control.name]:
                            line = moment, control.name, position
                            course = self._thrown(stand, before, line)
                            yield self._led(course, stand.positions | {control.name: position}, (*stand.script, line),
                                            origin=number, moment=order, control=control.name, position=position)

    def _thrown(self, stand, before, line):
        """Return the course from a throw on; what a verdict stopped is only gone on from by living through it again."""
        moment, until = line[0], line[0] + self._first
        if stand.verdict in ("settled", UNFINISHED):
            return before.carry_on([line], until).since(moment)
        return _lived(self.arrangement, (*stand.script, line)).ahead(until)

    def _led(self, course, positions, script, **where):
        """Follow a course until it stands, and return its throw."""
        begin = course.begin
        while (loop := self._loop(course, positions)) is None and course.until < begin + LONGEST:
            course = course.carry_on((), min(begin + LONGEST, begin + 2 * (course.until - begin)))
        verdict, sentence = course.verdict, course.sentence
        if loop is None:
            loop, verdict = (course.until, course.until), UNFINISHED
            sentence = f"it still changes {LONGEST:g} s after the throw, and this page knows no more of it"
        for number, stand in enumerate(self.stands):
            if (stand.positions, stand.verdict, stand.sentence) == (positions, verdict, sentence):
                settled = _met(course, loop, stand)
                if settled is not None:
                    return Throw(course, settled, number, **where)
        if len(self.stands) == MOST_STANDS:
            raise ArrangementError(
                f"'{self.arrangement.title}' comes to rest in more than {MOST_STANDS} ways, the most that a board in one file holds. Leave out "
                "controls that do not matter here in a copy of it, or work all of it on the live board of a notebook.", most=MOST_STANDS)
        self.stands.append(Stand(positions, script, course, loop, _moments(course, loop), verdict, sentence))
        return Throw(course, loop[0], len(self.stands) - 1, **where)

    def _loop(self, course, positions):
        """Return the turn that a course has come to, None while it has not. [s]"""
        if course.verdict != "settled":
            return course.until, course.until
        marks = _marks(course)
        if course.until - marks[-1][0] >= self._quiet:
            return None if self._is_due(positions, marks[-1:]) else (course.until, course.until)
        *_, first, second, last = [-1] * 3 + [place for place, (_, states) in enumerate(marks) if states == marks[-1][1]]
        if first < 0 or [states for _, states in marks[first:second]] != [states for _, states in marks[second:last]]:
            return None
        times = [marks[place][0] for place in (first, second, last)]
        is_even = abs(times[2] - 2 * times[1] + times[0]) <= _EVEN * (times[2] - times[1])
        return tuple(times[1:]) if is_even and not self._is_due(positions, marks[second:last]) else None

    def _is_due(self, positions, turn):
        """Whether heat has still to move a fuse or breaker that stands through a turn, by what the row comes to at rest. [yes/no]"""
        row = tuple(positions.items())
        if row not in self._due:
            self._due[row] = [operating_point(self.arrangement, positions, phases) for phases in phases_of(self.arrangement)]
        seen = [dict(states) for _, states in turn]
        for part in self.arrangement.parts:
            if part.guards and all(states.get(part.name) == part.states[0] for states in seen):
                if any(point.verdict == "tripping" if part.swings else point.states[part.name] != part.states[0]
                       for point in self._due[row]):
                    return True
        return False


def _lived(arrangement, script):
    live = Live(arrangement)
    for line in script:
        live.act(*line)
    return live


def _marks(course):
    """Return ``(moment, states)`` of the beginning of a course and of whatever changes a part's state in it. [s], [text]"""
    controls = course.arrangement.controls_by_name
    states = {name: state for name, state in course.first if name not in controls}
    marks = [(course.begin, tuple(states.items()))]
    for event in course.events:
        if event.name in states:
            states[event.name] = event.state
            if marks[-1][0] == event.time:
                marks.pop()
            marks.append((event.time, tuple(states.items())))
    return marks


def _turn(course, loop):
    """Return what every part does in a turn, and the states it begins with."""
    marks = _marks(course)
    first = bisect_left(marks, loop[0], key=lambda mark: mark[0]) if loop[0] < loop[1] else len(marks) - 1
    turn = [states for moment, states in marks[first:] if moment < loop[1] or loop[0] == loop[1]]
    return [{state for _, state in each} for each in zip(*turn, strict=True)], marks[first][1]


def _met(course, loop, stand):
    """Return when a course is as the turn of a stand begins, for good; None where it comes to another. [s]"""
    (does, _), (wanted, begins) = _turn(course, loop), _turn(stand.course, stand.loop)
    long = stand.loop[1] - stand.loop[0]
    if does != wanted or abs(loop[1] - loop[0] - long) > 2 * _EVEN * long:
        return None
    if not long:
        return _calm(course, loop)
    met = [moment for moment, states in _marks(course) if states == begins]
    warmth = any(part.swings and part.heat_time for part in course.arrangement.parts)      # not seen in what lamps show
    seen = _shown(stand.course, stand.loop[0])
    return next((moment for moment in met if not warmth and moment > course.begin and _is_alike(_shown(course, moment), seen)),
                max(met, default=None))


def _calm(course, loop):
    """Return from when on a course shows what it shows at its end, where no part moves any more there. [s]"""
    calm, last = loop[0], _marks(course)[-1][0]
    if course.verdict == "settled":
        seen = _shown(course, calm)
        for moment in reversed(course.times):
            if moment <= last or not _is_alike(_shown(course, moment), seen, _STILL):
                break
            calm = moment
    return calm


def _shown(course, moment):
    """Return volts, as shares of rated ones, and light of every lamp at a moment of its record. [1]"""
    place = bisect_right(course.times, moment) - 1
    return [each for lamp in course.lamp_volts
            for each in (course.lamp_volts[lamp][place] / course.arrangement.part(lamp).volts, course.light[lamp][place])]


def _is_alike(one, other, most=_ALIKE):
    return all(abs(a - b) <= most for a, b in zip(one, other, strict=True))


def _moments(course, loop):
    """Return a moment amid each stretch of a turn that an eye sees, in their order. [s]"""
    begin, end = loop
    if begin == end:
        return (end,)
    turns = [moment for moment, _ in _marks(course) if begin <= moment <= end]
    stretches = sorted(((late - early, round((early + late) / 2, 6)) for early, late in zip(turns, turns[1:])), reverse=True)
    seen = [middle for long, middle in stretches if long >= TOO_SHORT] or [stretches[0][1]]
    return tuple(sorted(seen[:_MOST_MOMENTS]))

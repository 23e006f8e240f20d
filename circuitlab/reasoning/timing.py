"""Timing: what the rule asks of flashing lamps, judged from time courses and not from logic alone.

Every row is played at least once: all controls but one stand, the last is
thrown. Where that throw starts a lamp flashing while a flasher already
swings, it is thrown again at the worst moments of the swing.
"""

from dataclasses import dataclass
from typing import NamedTuple

from ..parts import Flasher
from ..solving import run
from .flashing import flash
from .looks import DARK_BELOW, DIM_BELOW

THROWN_AT = 0.5     # s
SETTLED = 1.5       # s after the throw, from where a lamp must show its look
WATCHED = 4.5       # s, how long it is then looked at: four whole flashes at 60 per minute
JUST = 0.009        # s, before a flasher goes off: a relay that takes 10 ms misses the light and waits the longest


class Refuted(NamedTuple):
    """What a time course showed against a rule: row, lamp (empty for all), what is wanted, what is seen, and that in few words."""

    positions: dict
    lamp: str
    wanted: str
    seen: str
    brief: str


@dataclass(frozen=True)
class Timing:
    """What the time courses of a proof showed.

    Attributes
    ----------
    courses : int
        How many were played. [1]
    rates : tuple of float
        Slowest and fastest flash; empty where nothing flashed. [1/min]
    on_shares : tuple of float
        Least and most. [1]
    first_light, first_dark : float or None
        Longest times from a throw to light, and to dark, of lamps that then flash. [s]
    broken : tuple of Refuted
    """

    courses: int
    rates: tuple
    on_shares: tuple
    first_light: float | None
    first_dark: float | None
    broken: tuple


def timed(arrangement, rows, limits, known=frozenset(), progress=None):
    """Play rows of a lamp table and judge what every lamp does.

    Parameters
    ----------
    arrangement : Arrangement
    rows : sequence of Row
    limits : Limits
    known : set of (tuple, str)
        Rows and lamps known to fail, not to be told twice.
    progress : callable ``(done, total)``, optional
        Called after the courses of each row. [1]

    Returns
    -------
    Timing
    """
    book = _Book(arrangement, limits, known)
    for done, row in enumerate(rows, 1):
        if row.verdict == "settled":
            book.play(row)
        if progress:
            progress(done, len(rows))
    return Timing(book.courses, book.span("rate"), book.span("on_share"), max(book.seen["light"], default=None),
                  max(book.seen["dark"], default=None), tuple(book.broken))


class _Book:
    """Collects what the courses show."""

    def __init__(self, arrangement, limits, known):
        self.arrangement, self.limits, self.known, self.courses, self.broken = arrangement, limits, known, 0, []
        self.seen = {"rate": [], "on_share": [], "light": [], "dark": []}

    def span(self, what):
        values = self.seen[what]
        return (min(values), max(values)) if values else ()

    def play(self, row):
        moved = [control for control in self.arrangement.controls if row.positions[control.name] != control.rest]
        starting = {control.name: self.starting(row, control) for control in moved}
        last = max(moved, key=lambda control: len(starting[control.name]), default=None)
        if last is None:
            course, thrown = self.course(row, {}, None, 0.0, SETTLED + WATCHED), 0.0
        else:
            course, thrown = self.course(row, *self.before(row, last), THROWN_AT, THROWN_AT + SETTLED + WATCHED), THROWN_AT
        self.look(row, course, thrown)
        for control in moved:
            if starting[control.name]:
                self.starts(row, control, starting[control.name], course if control is last else None)

    def before(self, row, control):
        """Return the positions one step of a control before the row, and the throw."""
        place = control.shown.index(row.positions[control.name])
        rest = control.shown.index(control.rest)
        step = control.shown[place + (1 if rest > place else -1)]
        return {**row.positions, control.name: step}, (control.name, row.positions[control.name])

    def starting(self, row, control):
        """Return the lamps that shall begin to flash with this throw."""
        where, _ = self.before(row, control)
        return [lamp for lamp, cell in row.cells.items() if cell.wanted == cell.look == "flashing"
                and self.arrangement.wanted(lamp, where) != "flashing"]

    def course(self, row, where, throw, thrown, until):
        self.courses += 1
        script = [(thrown, *throw)] if throw else ()
        return run(self.arrangement, script, until, where if throw else row.positions)

    def look(self, row, course, thrown):
        """Judge looks, rate and on-share of every lamp once the row has settled."""
        if course.verdict != "settled":
            self.fail(row, "", "a row that settles", f"{course.verdict}: {course.sentence}", course.verdict)
            return
        for lamp, cell in row.cells.items():
            seen = flash(course, lamp, thrown + SETTLED)
            wanted = cell.wanted or cell.look
            if seen.look != wanted and cell.look == wanted:
                self.fail(row, lamp, wanted, f"in time: {seen.sentence}",
                          f"{seen.look} {seen.rate:.0f} per minute" if seen.rate else seen.look)
            elif wanted == "flashing" and seen.look == wanted:
                self.flashes(row, lamp, seen)

    def flashes(self, row, lamp, seen):
        asked = self.limits
        self.seen["rate"].append(seen.rate)
        self.seen["on_share"].append(seen.on_share)
        if not asked.slowest - 0.005 <= seen.rate <= asked.fastest + 0.005:
            self.fail(row, lamp, f"{asked.slowest:g} to {asked.fastest:g} flashes per minute",
                      f"flashes {seen.rate:.1f} times per minute")
        if not asked.least_on - 5e-5 <= seen.on_share <= asked.most_on + 5e-5:
            self.fail(row, lamp, f"on for {100 * asked.least_on:g} to {100 * asked.most_on:g} % of the time",
                      f"flashes on for {100 * seen.on_share:.1f} %")

    def starts(self, row, control, lamps, course):
        """Judge first light and first dark, at several moments of a swing where one is under way."""
        where, throw = self.before(row, control)
        course = course or self.course(row, where, throw, THROWN_AT, THROWN_AT + 2.0)
        self.first(row, course, lamps, THROWN_AT)
        for flasher in self.arrangement.of_kind(Flasher):
            if any(end <= THROWN_AT or state != "idle" for _, end, state in course.spans(flasher.name)[:1]):
                on, off = flasher.on_time, flasher.off_time
                for moment in (on - JUST, on + JUST, on + off / 2, on + off + JUST):
                    self.first(row, self.course(row, where, throw, moment, moment + 2.0), lamps, moment)

    def first(self, row, course, lamps, thrown):
        for lamp in lamps:
            for what, most, wait in (("light", self.limits.first_light, _wait(course, lamp, thrown, DARK_BELOW, True)),
                                     ("dark", self.limits.first_dark, _wait(course, lamp, thrown, DIM_BELOW, False))):
                if wait is None:
                    continue               # it does not flash at all: said elsewhere
                self.seen[what].append(wait)
                if wait > most + 1e-6:
                    self.fail(row, lamp, f"first {what} within {most:g} s", f"first {what} {wait:.2f} s after the throw")

    def fail(self, row, lamp, wanted, seen, brief=""):
        """Note what breaks the rule; a lamp of which no rule speaks breaks none."""
        if lamp and row.cells[lamp].wanted is None:
            return
        key = tuple(row.positions.values()), lamp
        if key not in self.known and (row.positions, lamp, wanted) not in [item[:3] for item in self.broken]:
            self.broken.append(Refuted(row.positions, lamp, wanted, seen, brief or seen))


def _wait(course, lamp, start, bound, upwards):
    """Return how long after a moment a lamp's light is first above a bound, or below it, or None where it never is. [s]

    The regulations count from the throw to the light that is emitted, not to the volts: a filament is some 50 ms behind.
    Light is there once it is no longer called dark, and gone once it is no longer called lit.
    """
    times, light = course.times, course.light[lamp]
    for here, there, low, high in zip(times, times[1:], light, light[1:]):
        if there > start and (high > bound) == upwards:
            if (low > bound) == upwards or high == low:
                return max(here - start, 0.0)
            return max(here + (there - here) * (bound - low) / (high - low) - start, 0.0)
    return None

"""Whether a flasher whose load is near its bound hurries: time tells, as filaments are colder in a flash than at rest."""

from functools import lru_cache

from ..parts.flasher import HURRY
from ..solving import run

WAKES, TURNS = 0.2, 2.0     # s until it has begun, and how many whole flashes are played then, so that two starts are among them
SURELY, HARDLY = 0.9 * HURRY, 1.05    # times its own rate: from where on it is said, and up to where nothing is


def hurry_of(points):
    """Return ``{"hurried": names, "may_hurry": names}``, of flashers that surely, or perhaps, flash too fast at a row's points.

    Where the load leaves it open the row's time course is played: a flasher stays in doubt only where that finds no rest.
    """
    sure, perhaps = ({name for point in points for name in point.hurried(may)} for may in (False, True))
    return told_in_time(points[0].arrangement, points[0].positions, sure, perhaps) if points else told(sure, perhaps)


def told_in_time(arrangement, positions, sure, perhaps):
    """Return the same of flashers that surely hurry by their load, and of those that may. [text]"""
    sure, perhaps = set(sure), set(perhaps)
    for name in perhaps - sure:
        sure |= {name} if surely_in_time(arrangement, positions, name) else set()
        perhaps -= {name} if 0 < faster_by(arrangement, tuple(positions.items()), name) < HARDLY else set()
    return told(sure, perhaps)


def surely_in_time(arrangement, positions, name):
    """Tell whether the time course of a row shows that a flasher hurries. [yes/no]"""
    return faster_by(arrangement, tuple(positions.items()), name) > SURELY


def told(sure, perhaps):
    """Return names as a row's record has them. [text]"""
    return {"hurried": tuple(sorted(sure)), "may_hurry": tuple(sorted(perhaps))}


@lru_cache(maxsize=256)
def faster_by(arrangement, positions, name):
    """Return how many times its own rate a flasher has in a row, ``((control, position), ...)``; 0 where none is to be seen. [1]"""
    period = 60 / arrangement.part(name).rate
    course = run(arrangement, [(0.0, *item) for item in positions], until=WAKES + TURNS * period)
    starts = [event.time for event in course.events if (event.name, event.state) == (name, "on")]
    return period / (starts[-1] - starts[-2]) if course.verdict == "settled" and len(starts) > 1 else 0.0

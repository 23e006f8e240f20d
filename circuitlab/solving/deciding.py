"""Whether parts that could come to rest in several ways ever do: a time course from the rest state decides.

The search for a settled state gives every filament the heat it has at rest and
lets contacts jump. In time, a contact that opens takes its load away, the
supply recovers, and cold filaments draw several times as much. So a state in
which all could rest may never be reached.

Relays wired alike and timed alike move in step, and would go on for ever where
real ones, never quite alike, fall out of step until one wins. So the course is
played a second time with times spread: only what buzzes both ways buzzes.
"""

from dataclasses import replace
from functools import lru_cache

from .buzzing import NO_REST, SLOW, leading
from .playing import run

LONG = 1.0       # s, in which a relay that keeps undoing its move has done so for more than a dozen turns
TURNS = 8        # of the slowest round there can be, a little more than a course is stopped after
STARTS = 50      # of a flasher that starts over and over, likewise
SPREAD = 0.05    # of a relay's times, from the first to the last: common practice, sheets give them to 10 % and worse


def buzzes_in_time(arrangement, positions):
    """Tell whether a time course from the rest state buzzes, with relays timed alike and with none like another.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str
        A position for every control. [text]
    """
    return _buzzes(arrangement, tuple(positions.items()))


@lru_cache(maxsize=256)
def _buzzes(arrangement, positions):
    """Tell the same of positions as ``((control, position), ...)``."""
    return all(_played(each, positions, LONG) in NO_REST for each in (arrangement, _spread(arrangement)))


@lru_cache(maxsize=256)
def _played(arrangement, positions, until):
    """Return the verdict of a time course from the rest state. [text]"""
    return course_from_rest(arrangement, positions, until).verdict


@lru_cache(maxsize=128)
def course_from_rest(arrangement, positions, until):
    """Return the time course of a row from the rest state: played once for whoever asks.

    Parameters
    ----------
    arrangement : Arrangement
    positions : tuple of (str, str)
        A position for every control. [text]
    until : float
        [s]
    """
    return run(arrangement, [(0.0, *item) for item in positions], until=until)


def verdict_by_times(parts):
    """Return what leading parts that find no rest do, ``buzzing`` or ``chatter``, or nothing where a course must tell. [text]"""
    seconds = sum(part.round_time for part in parts)
    if seconds * SLOW <= 1:
        return "buzzing"
    return "chatter" if all(part.swings for part in parts) else ""


def verdict_in_time(arrangement, positions, parts):
    """Return what leading parts that find no rest do: played only where their times leave it open. [text]"""
    if verdict_by_times(parts):
        return verdict_by_times(parts)
    verdict = _played(arrangement, tuple(positions.items()), long_enough(parts))
    return verdict if verdict in NO_REST else "buzzing"


def long_enough(parts):
    """Return how long a course must be for parts that undo their moves to be found out. [s]"""
    return max(LONG, sum((STARTS if part.swings else TURNS) * part.round_time for part in parts))


def _spread(arrangement):
    """Return the arrangement with every relay a little slower than the one before."""
    relays = [part.name for part in arrangement.parts if "operated" in part.states]
    slower = {name: 1 + SPREAD * (number + 1) / len(relays) for number, name in enumerate(relays)}
    return replace(arrangement, parts=tuple(
        replace(part, operate_time=part.operate_time * slower[part.name], release_time=part.release_time * slower[part.name])
        if part.name in slower else part for part in arrangement.parts))

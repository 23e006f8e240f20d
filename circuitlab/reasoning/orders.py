"""Orders: every row as it is reached by every order of throwing switches, for arrangements that remember.

Relays that hold themselves, or race each other, can rest in more than one way
in the same row. From everything at rest, controls are moved one step at a
time in every order, at every phase of the flashers, until nothing new turns
up; so no order is left out, and each is told by the shortest throws that lead
to it.
"""

from collections import deque
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache

from ..arrangements.rows import check_rows, count_rows
from ..arrangements.rows import phases_of as phase_combinations
from ..solving import operating_point

MOST_WALKED = 512   # rows
ROUNDS = 8   # of flasher phases, until relays that follow them repeat themselves


@dataclass(frozen=True)
class Stay:
    """One way in which a row can be, once reached.

    Attributes
    ----------
    arrangement : Arrangement
    positions : dict of str to str
    operated : tuple of frozenset of str
        Relays that are operated in each combination of flasher phases. [text]
    is_settled : bool
        Whether every phase comes to a result. [yes/no]
    throws : tuple of (str, str)
        The shortest order that leads here from rest: control, position. [text]
    """

    arrangement: object
    positions: dict
    operated: tuple
    before: tuple        # relays that were operated when each combination of phases began
    is_settled: bool
    throws: tuple = ()

    @cached_property
    def points(self):
        """One operating point for each combination of phases."""
        return tuple(operating_point(self.arrangement, self.positions, phases, before)
                     for phases, before in zip(phase_combinations(self.arrangement), self.before))


def stays(arrangement, progress=None):
    """Return every way in which every reachable row can be, as ``{positions: [Stay, ...]}``.

    Keys are tuples of positions in the order of the controls.

    Parameters
    ----------
    arrangement : Arrangement
    progress : callable ``(done, total)``, optional
        Called with the ways walked on from and those found so far, of which there may come more. [1]
    """
    check_rows(arrangement)
    arrive = _arriving(arrangement)
    first = arrive(arrangement.positions(), frozenset(), ())
    found, ahead, done = {_key(first): first}, deque([first]), 0
    while ahead:
        here = ahead.popleft()
        for where, throw in beside(arrangement, here.positions) if here.is_settled else ():
            for operated in dict.fromkeys(here.operated):
                there = arrive(where, operated, (*here.throws, throw))
                if _key(there) not in found:
                    found[_key(there)] = there
                    ahead.append(there)
        done += 1
        if progress:
            progress(done, len(found))
    rows = {}
    for stay in found.values():
        rows.setdefault(_key(stay)[0], []).append(stay)
    return rows


def rests_in_one_way(arrangement, positions, points):
    """Tell whether a row always ends as its points from rest say, though relays in by then could stay in there too.

    Every order is walked through, so it is not told of more than :data:`MOST_WALKED` rows.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str
        The row. [text]
    points : sequence of OperatingPoint
        The row's, in each combination of flasher phases, no relay operated beforehand.
    """
    if count_rows(arrangement) > MOST_WALKED:
        return False
    ways = _walked(arrangement).get(tuple(positions.values()), [])
    return len(ways) == 1 and ways[0].is_settled and ways[0].operated == tuple(map(_operated, points))


@lru_cache(maxsize=4)
def _walked(arrangement):
    return stays(arrangement)


def _operated(point):
    return frozenset(name for name, state in point.states.items() if state == "operated")


def _key(stay):
    return tuple(stay.positions.values()), stay.operated


def beside(arrangement, positions):
    """Yield ``(positions, throw)`` for all that a hand can reach from here without passing another position."""
    for control in arrangement.controls:
        place = control.shown.index(positions[control.name])
        for other in (place - 1, place + 1):
            if 0 <= other < len(control.shown):
                throw = control.name, control.shown[other]
                yield {**positions, throw[0]: throw[1]}, throw


def _arriving(arrangement):
    """Return what tells where a row comes to rest from relays operated beforehand, each question asked once."""
    combinations, held = phase_combinations(arrangement), set(dict(arrangement.held))
    names = [control.name for control in arrangement.controls]

    @cache
    def ended(places, number, operated):
        """Return (relays that are operated at last, whether they rest) in one combination of phases."""
        point = operating_point(arrangement, dict(zip(names, places)), combinations[number], operated)
        return _operated(point), point.is_settled

    @cache
    def gone_round(places, operated):
        """Return ``(operated, operated before each, is settled)`` once flashers have gone round until relays repeat."""
        last = None
        for _ in range(ROUNDS):
            begun, after, settled = [], [], True
            for number in range(len(combinations)):
                begun.append(operated)
                there, rests = ended(places, number, operated)
                after.append(there)
                operated, settled = there - held, settled and rests
            if after == last:
                break
            last = after
        return tuple(after), tuple(begun), settled

    return lambda positions, operated, throws: Stay(
        arrangement, positions, *gone_round(tuple(positions[name] for name in names), operated), throws)

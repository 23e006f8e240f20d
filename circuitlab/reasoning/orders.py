"""Orders: every row as it is reached by every order of throwing switches, for arrangements that remember.

Relays that hold themselves, or race each other, can rest in more than one way
in the same row. From everything at rest, controls are moved one step at a
time in every order, at every phase of the flashers, until nothing new turns
up; so no order is left out, and each is told by the shortest throws that lead
to it.
"""

from collections import deque
from dataclasses import dataclass
from itertools import product

from ..solving import operating_point

ROUNDS = 8   # of flasher phases, until relays that follow them repeat themselves


@dataclass(frozen=True)
class Stay:
    """One way in which a row can be, once reached.

    Attributes
    ----------
    positions : dict of str to str
    operated : tuple of frozenset of str
        Relays that are operated in each combination of flasher phases. [text]
    points : tuple of OperatingPoint
        One for each combination of phases.
    throws : tuple of (str, str)
        The shortest order that leads here from rest: control, position. [text]
    """

    positions: dict
    operated: tuple
    points: tuple
    throws: tuple = ()

    @property
    def is_settled(self):
        """Whether every phase comes to a result."""
        return all(point.is_settled for point in self.points)


def phase_combinations(arrangement):
    """Return every combination of flasher phases, all on first."""
    flashers = [part.name for part in arrangement.parts if part.swings]
    return tuple(dict(zip(flashers, phases)) for phases in product(("on", "off"), repeat=len(flashers)))


def stays(arrangement):
    """Return every way in which every reachable row can be, as ``{positions: [Stay, ...]}``.

    Keys are tuples of positions in the order of the controls.
    """
    names = [control.name for control in arrangement.controls]
    combinations = phase_combinations(arrangement)
    first = Stay(arrangement.positions(), *_rounds(arrangement, arrangement.positions(), frozenset(), combinations))
    found, ahead, known = {_key(first): first}, deque([first]), {}
    while ahead:
        here = ahead.popleft()
        if not here.is_settled:
            continue
        for control in arrangement.controls:
            for position in _beside(control, here.positions[control.name]):
                where = {**here.positions, control.name: position}
                for operated in dict.fromkeys(here.operated):
                    entry = tuple(where.values()), operated
                    if entry not in known:
                        known[entry] = _rounds(arrangement, where, operated, combinations)
                    there = Stay(where, *known[entry], (*here.throws, (control.name, position)))
                    if _key(there) not in found:
                        found[_key(there)] = there
                        ahead.append(there)
    rows = {}
    for stay in found.values():
        rows.setdefault(tuple(stay.positions[name] for name in names), []).append(stay)
    return rows


def _key(stay):
    return tuple(stay.positions.values()), stay.operated


def _beside(control, position):
    """Return the positions a hand can reach from here without passing another."""
    place = control.shown.index(position)
    return [control.shown[other] for other in (place - 1, place + 1) if 0 <= other < len(control.shown)]


def _rounds(arrangement, positions, operated, combinations):
    """Return ``(operated, points)`` once flashers have gone round until the relays repeat themselves."""
    before = None
    for _ in range(ROUNDS):
        points = []
        for phases in combinations:
            point = operating_point(arrangement, positions, phases, operated)
            points.append(point)
            operated = frozenset(name for name, state in point.states.items() if state == "operated"
                                 and name not in dict(arrangement.held))
        after = tuple(frozenset(name for name, state in point.states.items() if state == "operated") for point in points)
        if after == before:
            break
        before = after
    return after, tuple(points)

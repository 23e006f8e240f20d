"""A dead short is looked for with the battery off: ohms between the frame and any place, lamps out, wire after wire lifted.

Metal and closed contacts alone count as a way: a cold lamp is out, a coil is none. What lies behind an open contact is looked for from
its other side, so the red lead may go to any terminal.
"""

from collections import defaultdict
from math import inf

import numpy as np

from ...arrangements.rows import moved
from ...ground.joined import reached
from ...parts import Chassis, Connector, Lamp
from .cold import beside
from .offer import DOUBT, Offer
from .parting import cheapest

DEAD_SHORT = 2.0      # ohm, less of which is a dead short: no cold lamp of a signal, once lamps are out, and no coil


class BatteryOff:
    """The offers of ohms with the battery off among what is left.

    Parameters
    ----------
    left : Left
    """

    def __init__(self, left):
        self.left = left
        self.solved, self.numbers, self.weights, self.efforts = left.solved, left.numbers, left.weights, left.efforts

    def all(self):
        """Yield every offer: of readings that part alike the one that costs least."""
        solved = self.solved
        shorts = [number for number in self.numbers if solved.is_short[number] or solved.cut[number]]
        black = self._frame_stud()
        if not shorts or self.weights[shorts].sum() <= DOUBT or self.left.reaching(black) == inf:
            return
        fuses = tuple(dict.fromkeys(name for number in shorts for name in solved.candidates[number - 1].blows))
        out = (*fuses, *(lamp.name for lamp in solved.arrangement.of_kind(Lamp)))
        row = self._row_to_look_in(shorts)
        metal = _Metal(solved, self.numbers, row, black, out)
        places = [number for number, reach in enumerate(self.left.reach) if reach < inf and solved.terminals[number] != black]
        effort = self.efforts["a control moved"] * moved(solved.rows[row], self.left.rest)
        effort += 0.0 if self.left.known.is_off else self.efforts["battery off"] + self.efforts["a lamp taken out"] * len(solved.lamps)
        outcomes, costs, legs = [], [], []
        for leg in ((), *self._legs()):
            outcomes.append(metal.joined(*leg)[places])
            costs.append(effort + self.left.reach[places] + (self.efforts["a leg lifted"] + self.left.reaching(leg[1]) if leg else 0.0))
            legs.append(((leg,) if leg else (), ()))
        for plug in (part.name for part in solved.arrangement.of_kind(Connector) if part.name not in self.left.away):
            outcomes.append(metal.joined_without(plug)[places])
            costs.append(effort + self.left.reach[places] + self.efforts["a plug parted"])
            legs.append(((), (plug,)))
        outcomes, costs = np.concatenate(outcomes), np.concatenate(costs)
        for number in cheapest(outcomes, costs):
            leg, place = divmod(int(number), len(places))
            off, parted = legs[leg]
            yield Offer(float(costs[number]), outcomes[number], np.where(outcomes[number], 0.0, inf), solved.terminals[places[place]], black, "ohms",
                        solved.rows[row], {}, off, (*out, *parted), parted=parted)

    def _legs(self):
        """Yield each wire that may be lifted, with the end that is easier to come by; one that may touch along its length with either end. [text]"""
        chafed = {self.solved.weighing.cold.chafed[number][:1] for number in self.numbers}
        for wire in self.solved.arrangement.wires:
            ends = sorted((end for end in wire.terminals if self.left.reaching(end) < inf), key=self.left.reaching)
            yield from ((wire.name, end) for end in ends[:2 if (wire.name,) in chafed else 1])

    def _frame_stud(self):
        """Return a bolt on the frame for the black lead, or the pole that volts are counted from. [text]"""
        arrangement = self.solved.arrangement
        studs = [f"{part.name}:{end}" for part in arrangement.of_kind(Chassis) for end in part.terminals]
        return next((stud for stud in studs if arrangement.wires_at[stud]), arrangement.zero)

    def _row_to_look_in(self, shorts):
        """Return the row with fewest controls moved in which most of what is left shorts something. [1]"""
        count = self.weights[shorts] @ self.solved.danger[shorts]
        return int(max(range(len(count)), key=lambda row: (round(float(count[row]), 9), -moved(self.solved.rows[row], self.left.rest))))


class _Metal:
    """What hangs together with the frame by metal and closed contacts alone: no lamp, no coil.

    Parameters
    ----------
    solved : Solved
    numbers : ndarray of int
        Of the candidates left, in the arrays of ``solved``. [1]
    row : int
        [1]
    black : str
        The terminal on the frame. [text]
    out : tuple of str
        What is out of its socket. [text]
    """

    def __init__(self, solved, numbers, row, black, out):
        self.black, cold, positions = black, solved.weighing.cold, solved.rows[row]
        whole = cold.ways(positions, (), out)
        self.place = {terminal: number for number, terminal in enumerate(solved.terminals)}
        base, kinds, self.kind_of = _joining((name, way) for name, ways in whole.items() for way in ways), {}, []
        for number, (gone, new) in zip(numbers, cold.differences(whole, numbers, positions, (), out)):
            gone, new = _joining(gone), _joining(new)
            self.kind_of.append(kinds.setdefault((frozenset(gone - new), frozenset(new - gone), cold.chafed[number]), len(kinds)))
        self.kinds, self._links = [], []
        for gone, new, chafed in kinds:
            links = (base - gone) | new
            near, ends = beside(both for _, *both in links), {name: both for name, *both in links}
            touch = next((ends[name] for name, *both in new if chafed and chafed[1] in both and name not in whole), ())
            self.kinds.append((near, ends, {*reached(near, black)}, chafed, touch))
            self._links.append(links)

    def joined(self, without=None, end=None):
        """Return which terminals hang together with the frame, a wire off its end, shape (terminals, candidates left). [yes/no]"""
        found = np.zeros((len(self.kinds), len(self.place)), np.int8)
        for number, (near, ends, there, chafed, touch) in enumerate(self.kinds):
            if without in ends and ends[without][0] in there:
                near = _parted(near, *ends[without])
                if touch and chafed[:2] == (without, end):      # it touches along its length: now from its other end
                    near = _parted(near, *touch)
                    for one, other in (touch, touch[::-1]):
                        one, other = (chafed[2] if each == end else each for each in (one, other))
                        near[one] = [*near[one], other]
                there = reached(near, self.black)
            found[number, [self.place[point] for point in there if point in self.place]] = 1
        return found[self.kind_of].T

    def joined_without(self, part):
        """Return which terminals hang together with the frame, a part with all its ways out, shape (terminals, candidates left). [yes/no]"""
        found = np.zeros((len(self.kinds), len(self.place)), np.int8)
        for number, links in enumerate(self._links):
            there = reached(beside(both for name, *both in links if name != part), self.black)
            found[number, [self.place[point] for point in there if point in self.place]] = 1
        return found[self.kind_of].T


def _parted(near, one, other):
    """Return what lies beside each place with one link less between two of them."""
    found = defaultdict(list, near)
    for here, there in ((one, other), (other, one)):
        found[here] = [*near[here]]
        found[here].remove(there)
    return found


def _joining(ways):
    """Return the links of metal among named ways: each with its name, so that of two wires side by side one can be left out."""
    return {(name, one, other) for name, (one, other, ohms) in ways if ohms < DEAD_SHORT}

"""A dead short is looked for with the battery off: ohms between the frame and any place, plugs parted, lamps out, wire after wire lifted.

Only the lamps that hang on that place are taken out; with the plug of a trailer parted, none of its lamps. Metal, closed contacts, and a cold
lamp elsewhere that is as good as a short count as a way; a coil is none. What lies behind an open contact is looked for from its other side,
so the red lead may go to any terminal.
"""

from collections import defaultdict
from math import inf

import numpy as np

from ...arrangements.rows import moved
from ...ground.joined import leaders, reached
from ...parts import Chassis, Connector
from .cold import beside
from .offer import DOUBT, Offer
from .parting import cheapest

DEAD_SHORT = 2.0      # ohm, less of which is a dead short: no cold lamp of a signal, once lamps are out, and no coil
IN_DOUBT = 0.5 * DEAD_SHORT, 5 * DEAD_SHORT     # ohm: a few such lamps beside each other, or in a row, are a short or none: the kit's own bounds


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
        row, known = self._row_to_look_in(shorts), self.left.known.out
        metal = _Metal(solved, self.numbers, row, black, tuple(dict.fromkeys((*fuses, *(name for name in known if name in solved.lamps)))))
        effort = self.efforts["a control moved"] * moved(solved.rows[row], self.left.rest)
        effort += 0.0 if self.left.known.is_off else self.efforts["battery off"]
        legs, outcomes, costs, places, ways = tuple(self._legs()), [], [], [], []
        plugs = [part.name for part in solved.arrangement.of_kind(Connector) if part.name not in self.left.away]
        for plug in ((), *((name,) for name in plugs)):
            parting = self.efforts["a plug parted"] * len({*plug} ^ {*known}.intersection(plugs))
            for net, lamps in metal.nets(plug):
                there = np.array([number for number in net if self.left.reach[number] < inf and solved.terminals[number] != black], int)
                cost = effort + parting + self.efforts["a lamp taken out"] * len({*lamps} - {*known}) + self.left.reach[there]
                for leg in ((), *(leg for leg in legs if metal.place[leg[1]] in net)):
                    outcomes.append(metal.joined(plug, lamps, *leg)[there])
                    costs.append(cost + (self.efforts["a leg lifted"] + self.left.reaching(leg[1]) if leg else 0.0))
                    places += there.tolist()
                    ways += [((leg,) if leg else (), plug, lamps)] * len(there)
        outcomes, costs = (np.concatenate(each) if places else np.zeros((0, 1)) for each in (outcomes, costs))
        for number in cheapest(outcomes, costs).tolist():
            off, parted, lamps = ways[number]
            yield Offer(float(costs[number]), outcomes[number], np.where(outcomes[number], 0.0, inf), solved.terminals[places[number]], black, "ohms",
                        solved.rows[row], {}, off, (*fuses, *lamps, *parted), parted=parted)

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
    """What hangs together with the frame by metal, closed contacts and such lamps as are so few ohms cold that they read as a short.

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
        self.black, self.lamps, cold, positions = black, solved.lamps, solved.weighing.cold, solved.rows[row]
        self.out = tuple(name for name in out if name in solved.lamps)
        whole = cold.ways(positions, (), out)
        self.place = {terminal: number for number, terminal in enumerate(solved.terminals)}
        self._faint = {name for name in solved.lamps for *_, ohms in whole.get(name, ()) if IN_DOUBT[0] < ohms < IN_DOUBT[1]}
        self._base, kinds, self.kind_of = _joining((name, way) for name, ways in whole.items() for way in ways), {}, []
        self._ends = {name: {end for *both, _ in ways for end in both} for name, ways in whole.items() if name in solved.lamps}
        for number, (gone, new) in zip(numbers, cold.differences(whole, numbers, positions, (), out)):
            gone, new = _joining(gone), _joining(new)
            self.kind_of.append(kinds.setdefault((frozenset(gone - new), frozenset(new - gone), cold.chafed[number]), len(kinds)))
        self._kinds = []
        for gone, new, chafed in kinds:
            touch = next((both for name, *both in new if chafed and chafed[1] in both and name not in whole), ())
            self._kinds.append(((self._base - gone) | new, chafed, touch))
        self._new = {(one, other) for _, new, _ in kinds for _, one, other in new}
        self._near = {}

    def nets(self, plug):
        """Yield the places of each net that some of what is left differs in, by their numbers, and the lamps that must be out to read there.

        A net hangs together in the healthy circuit with every lamp out and the plug of a connector parted. Out are its own lamps, or all where
        it hangs on the frame, and of what may touch it those whose cold ohms are neither a short nor none.
        """
        leader = leaders(self.place.keys() | {end for _, *both in self._base for end in both} | {end for both in self._new for end in both},
                         [both for name, *both in self._base if name not in self.lamps and name not in plug])
        nets, told = {}, {leader[end] for links, *_ in self._kinds for _, *both in links ^ self._base for end in both}
        for terminal, number in self.place.items():
            nets.setdefault(leader[terminal], set()).add(number)
        on = {net: tuple(name for name in self.lamps if {leader[end] for end in self._ends.get(name, ())} & {net}) for net in nets}
        touched = {}
        for one, other in ((leader[one], leader[other]) for both in self._new for one, other in (both, both[::-1])):
            touched.setdefault(one, set()).update(name for name in on.get(other, ()) if name in self._faint and other != leader[self.black])
        for net in nets:
            if net in told:
                own = {*(self.lamps if net == leader[self.black] else (*on[net], *touched.get(net, ()))), *self.out}
                yield nets[net], tuple(name for name in self.lamps if name in own)

    def joined(self, plug, lamps, without=None, end=None):
        """Return which terminals hang together with the frame, a plug parted, lamps out, a wire off its end, shape (terminals, candidates left). [yes/no]"""
        found = np.zeros((len(self._kinds), len(self.place)), np.int8)
        for number, (_, chafed, touch) in enumerate(self._kinds):
            near, ends, there = self._beside(number, plug, lamps)
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

    def _beside(self, number, plug, lamps):
        """Return of one kind of what is left what lies beside each place, the two ends of each way, and what hangs together with the frame."""
        key = number, plug, lamps
        if key not in self._near:
            links = [(name, *both) for name, *both in self._kinds[number][0] if name not in plug and name not in lamps]
            near = beside(both for _, *both in links)
            self._near[key] = near, {name: both for name, *both in links}, {*reached(near, self.black)}
        return self._near[key]


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

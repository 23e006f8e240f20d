"""A dead short is looked for with the battery off: ohms between the frame and any place, lamps out, wire after wire lifted.

Metal and closed contacts alone count as a way: a cold lamp is out, a coil is none. What lies behind an open contact is looked for from
its other side, so the red lead may go to any terminal.
"""

from collections import defaultdict
from math import inf

import numpy as np

from ...parts import Chassis, Lamp
from .cold import ways_of
from .offer import DOUBT, Offer
from .parting import cheapest
from .solved import moved

TOUCHING = 2.0      # ohm, less of which is a dead short: no cold lamp of a signal, once lamps are out, and no coil


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
        shorts = [number for number in self.numbers if solved.is_short[number]]
        black = self._frame_stud()
        if not shorts or self.weights[shorts].sum() <= DOUBT or self.left.reaching(black) == inf:
            return
        fuses = tuple(dict.fromkeys(name for number in shorts for name in solved.candidates[number - 1].blows))
        out = (*fuses, *(lamp.name for lamp in solved.arrangement.of_kind(Lamp)))
        row = self._row_to_look_in(shorts)
        near = [_metal(solved.variants[number], solved.rows[row], out) for number in self.numbers]
        places = [number for number, reach in enumerate(self.left.reach) if reach < inf and solved.terminals[number] != black]
        lifted = [None, *(wire for wire in solved.arrangement.wires if min(map(self.left.reaching, wire.terminals)) < inf)]
        effort = (self.efforts["battery off"] + self.efforts["a control moved"] * moved(solved.rows[row], self.left.rest)
                  + self.efforts["a lamp taken out"] * len(solved.lamps))
        outcomes, costs, what = [], [], []
        for wire in lifted:
            reached = [_reached(each, black, wire and wire.name) for each in near]
            end = wire and min(wire.terminals, key=self.left.reaching)
            more = self.efforts["a leg lifted"] + self.left.reaching(end) if wire else 0.0
            for place in places:
                outcomes.append([solved.terminals[place] in each for each in reached])
                costs.append(effort + more + self.left.reach[place])
                what.append((solved.terminals[place], (wire.name, end) if wire else ()))
        outcomes = np.array(outcomes, np.int8)
        for number in cheapest(outcomes, np.array(costs)):
            red, leg = what[number]
            yield Offer(costs[number], outcomes[number], np.where(outcomes[number], 0.0, inf), red, black, "ohms", solved.rows[row], {},
                        (leg,) if leg else (), out)

    def _frame_stud(self):
        """Return a bolt on the frame for the black lead, or the pole that volts are counted from. [text]"""
        arrangement = self.solved.arrangement
        studs = [f"{part.name}:{end}" for part in arrangement.of_kind(Chassis) for end in part.terminals]
        return next((stud for stud in studs if arrangement.wires_at[stud]), arrangement.zero)

    def _row_to_look_in(self, shorts):
        """Return the row with fewest controls moved in which most of what is left shorts something. [1]"""
        count = self.weights[shorts] @ self.solved.danger[shorts]
        return int(max(range(len(count)), key=lambda row: (round(float(count[row]), 9), -moved(self.solved.rows[row], self.left.rest))))


def _metal(circuit, positions, out):
    """Return what lies beside each point by metal and closed contacts alone: no lamp, no coil; with the wire in between."""
    near = defaultdict(list)
    wires = {frozenset(wire.terminals): wire.name for wire in circuit.wires}
    for one, other, ohms in ways_of(circuit, positions, (), out):
        if ohms < TOUCHING:
            name = wires.get(frozenset((one, other)), "")
            near[one].append((other, name))
            near[other].append((one, name))
    return near


def _reached(near, start, without):
    """Return every point that metal joins to one, one wire left out. [text]"""
    seen, found = {start}, [start]
    for here in found:
        for other, wire in near[here]:
            if other not in seen and not (without and wire == without):
                seen.add(other)
                found.append(other)
    return seen

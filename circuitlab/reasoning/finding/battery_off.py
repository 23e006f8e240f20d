"""A dead short is looked for with the battery off: ohms behind the blown fuse, lamps out, wire after wire lifted.

Metal and closed contacts alone count as a way: a cold lamp is out, a coil is none.
"""

from collections import defaultdict
from math import inf

import numpy as np

from ...ground.joined import reached
from ...parts import Battery, Chassis, Lamp
from .cold import ways_of
from .offer import DOUBT, Offer
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
        self.reaching, self.rest = left.reaching, left.rest

    def all(self):
        """Yield every offer."""
        solved = self.solved
        shorts = [place for place, number in enumerate(self.numbers) if solved.is_short[number]]
        if not shorts or self.weights[self.numbers[shorts]].sum() <= DOUBT:
            return
        lamps = tuple(lamp.name for lamp in solved.arrangement.of_kind(Lamp))
        for fuse in dict.fromkeys(name for place in shorts for name in solved.candidates[self.numbers[place] - 1].blows):
            red, black = self._behind(fuse), self._frame_stud()
            row = self._row_to_look_in(fuse)
            if red and black and inf not in (self.reaching(red), self.reaching(black)):
                yield from self._lifted(fuse, lamps, red, black, row)

    def _lifted(self, fuse, lamps, red, black, row):
        solved, out, positions = self.solved, (fuse, *lamps), self.solved.rows[row]
        effort = (self.efforts["battery off"] + self.reaching(red) + self.efforts["a control moved"] * moved(positions, self.rest)
                  + self.efforts["a lamp taken out"] * len(lamps))
        near = [_metal(solved.variants[number], positions, out) for number in self.numbers]
        yield self._ohms(near, (), red, black, positions, out, effort)
        for wire in solved.arrangement.wires:
            for end in wire.terminals:
                if self.reaching(end) < inf:
                    cost = effort + self.efforts["a leg lifted"] + self.reaching(end)
                    yield self._ohms(near, (wire.name, end), red, black, positions, out, cost)

    def _ohms(self, near, lifted, red, black, positions, out, effort):
        touching = np.array([_joined(each, red, black, lifted[0] if lifted else "") for each in near])
        return Offer(effort, touching.astype(int), np.where(touching, 0.0, inf), red, black, "ohms", positions, {}, (lifted,) if lifted else (), out)

    def _behind(self, fuse):
        """Return the terminal of a fuse away from the battery. [text]"""
        arrangement, part = self.solved.arrangement, self.solved.arrangement.part(fuse)
        ends = [f"{fuse}:{end}" for end in part.terminals]
        near = {point: [other for other, _ in beside] for point, beside in _metal(arrangement, self.rest, (fuse,)).items()}
        plus = [f"{battery.name}:{pole}" for battery in arrangement.of_kind(Battery) for pole in "+-"]
        fed = [end for end in ends if end in near and any(pole in reached(near, end) for pole in plus if pole not in arrangement.sides[1])]
        return next((end for end in ends if end not in fed), "")

    def _frame_stud(self):
        """Return a bolt on the frame for the black lead, or the pole that volts are counted from. [text]"""
        arrangement = self.solved.arrangement
        studs = [f"{part.name}:{end}" for part in arrangement.of_kind(Chassis) for end in part.terminals]
        wired = [stud for stud in studs if arrangement.wires_at[stud]]
        return next(iter(wired), arrangement.zero)

    def _row_to_look_in(self, fuse):
        """Return the row with fewest controls moved in which most of what is left blows a fuse. [1]"""
        mine = [number for number in self.numbers if fuse in (self.solved.candidates[number - 1].blows if number else ())]
        count = self.solved.danger[mine].sum(axis=0)
        return int(max(range(len(count)), key=lambda row: (count[row], -moved(self.solved.rows[row], self.rest))))


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


def _joined(near, red, black, without):
    """Tell whether metal joins two points, one wire left out. [yes/no]"""
    seen, found = {red}, [red]
    for here in found:
        for other, wire in near[here]:
            if other not in seen and not (without and wire == without):
                seen.add(other)
                found.append(other)
    return black in seen

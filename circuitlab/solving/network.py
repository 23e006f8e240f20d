"""An arrangement as a network of branches: points, conductances, and the laws of its parts.

This is the only room that turns names into numbers. It knows branches,
states and laws; it never asks what kind of part it has.
"""

from copy import copy
from functools import cached_property, lru_cache
from math import inf

from ..ground.joined import both_ways, leaders, lengths, reached
from ..parts.instruments import Meter
from ..parts.lamp import ZERO
from .elimination import program

CLOSE = 3e-6    # V, stop when no device moves more: Newton squares it, over twice the 0.045 V of a knee, to 1e-10 V
PATIENCE = 100  # Newton steps
LEAD = 1e-6     # ohm, of a meter's lead: too little to be seen


class Network:
    """The branches of one arrangement, ready to be solved in any states.

    Parameters
    ----------
    arrangement : Arrangement

    Attributes
    ----------
    parts : tuple of Part
        Parts, then wires; every list of states is in this order.
    point_of : dict of str to int
        Point number of each terminal and inner point; 0 is the pole that volts are counted from. [1]
    branch_of : dict of (str, int) to int
        Number of each part's branches. [1]
    devices, filaments : tuple of Device
        Every device, filaments first; and those alone.
    lamps : tuple of str
        Names of the parts that shine, in the arrangement's order. [text]
    lamp_order : dict of str to int
        Where each of them stands among the devices. [1]
    cold : float
        What every filament cools down to, the ambient. [K]
    moving, latching, heating, supplying : tuple of (int, Part, tuple of int)
        Parts with a law: those that move by themselves, those that give way
        for good, those with a warmth, those that can only be overloaded; each
        with its place among ``parts`` and the branches it watches.
    """

    def __init__(self, arrangement):
        self.arrangement, self.cold = arrangement, ZERO + arrangement.ambient
        self.parts = arrangement.parts + arrangement.wires
        self.lately = {}       # of its states, what they came to: the phases of a row look at each other's
        self.place = {part.name: index for index, part in enumerate(self.parts)}
        self.point_of = _points(arrangement)
        self.size = max(self.point_of.values()) + 1
        self.branch_of, self.ends, self._fixed, self._switched, self._force = {}, [], [], [], {}
        found = []
        for index, part in enumerate(self.parts):
            for order, branch in enumerate(part.branches()):
                number = len(self.ends)
                self.branch_of[part.name, order] = number
                self.ends.append((self._point(part, branch.start), self._point(part, branch.end)))
                conductance = 0.0 if branch.device else 1.0 / branch.resistance
                self._fixed.append(0.0 if branch.closed_in else conductance)
                if branch.device:
                    found.append((number, index, branch.closed_in, branch.device))
                elif branch.closed_in:
                    self._switched.append((number, index, branch.closed_in, conductance))
                if branch.voltage:
                    self._force[number] = branch.voltage
        found.sort(key=lambda item: not item[3].warms)   # filaments first
        same = {}   # equal devices as one record: a thousand lamps of one rating stay in the processor's cache
        self.devices = tuple(same.setdefault(device, device) for *_, device in found)
        self.filaments = tuple(device for device in self.devices if device.warms)
        self._device_states = tuple((index, closed) for _, index, closed, _ in found)
        self._device_order = {number: order for order, (number, *_) in enumerate(found)}
        self.device_ends = tuple(self.ends[number] for number, *_ in found)
        self.lamp_order = {self.parts[index].name: order for order, (_, index, *_) in enumerate(found)
                           if self.parts[index].shines}
        self.lamps = tuple(part.name for part in self.parts if part.name in self.lamp_order)
        self.held = {self.place[name]: state for name, state in arrangement.held}
        watching = [(index, part, tuple(self.branch_of[part.name, order] for order in part.watched))
                    for index, part in enumerate(self.parts) if part.watched and index not in self.held]
        self.moving = tuple(item for item in watching if item[1].moves)
        self.latching = tuple(item for item in watching if item[1].latching)
        self.heating = tuple(item for item in watching if item[1].heat_time)
        self.supplying = tuple(item for item in watching if not item[1].moves and not item[1].heat_time)
        self._write_program([number for number, *_ in found])

    def _write_program(self, device_branches):
        self.program = program(self.size, tuple(self.ends), tuple(device_branches), tuple(self._force))
        late = {point: place for place, point in enumerate(self.program.late_points)} | {0: -1}
        self._late_ends = tuple((late[a], late[b]) for a, b in self.device_ends)

    @cached_property
    def with_leads(self):
        """The same network with a red and a black lead, two points more, and an instrument between them.

        Each lead has a slot to every point, a branch at zero until the lead touches there: wherever the leads go, the
        program stays. It is longer than the one without, so it is only written when somebody measures.
        """
        more, red, black, first = copy(self), self.size, self.size + 1, len(self.ends)
        slots = [(point, lead) for lead in (red, black) for point in range(self.size)]
        more.size, more.ends = self.size + 2, [*self.ends, *slots, (red, black)]
        more.devices, more.device_ends = (*self.devices, Meter()), (*self.device_ends, (red, black))
        more._device_order = self._device_order | {first + len(slots): len(self.devices)}
        more._write_program(more._device_order)
        return more

    @property
    def most_volts(self):
        """The volts of all batteries together. [V]"""
        return sum(map(abs, self._force.values()))

    @cached_property
    def filament_ohms(self):
        """Of each filament the most volts that an ampere more may take, at any volts the batteries can give. [ohm]"""
        return tuple(1 / law.settled_current(self.most_volts)[1] for law in self.filaments)

    def _point(self, part, name):
        return self.point_of[part.at(name)]

    def lamp_ends(self, lamp):
        """Return the points at the two ends of a lamp, that of its supply first. [1]"""
        return [self._point(self.parts[self.place[lamp]], end) for end in "12"]

    def first_states(self, positions):
        """Return the states before anything has reacted: switches as their controls stand. [text]"""
        states = [part.first_state(positions) for part in self.parts]
        for index, state in self.held.items():
            states[index] = state
        return states

    def conductances(self, states):
        """Return the conductance of every branch that is no device. [S]"""
        values = self._fixed[:]
        for number, index, closed_in, conductance in self._switched:
            values[number] = conductance if states[index] in closed_in else 0.0
        return values

    def drops(self, volts):
        """Return the volts across every device, start above end, from those of every point. [V]"""
        return tuple(volts[a] - volts[b] for a, b in self.device_ends)

    def reduced(self, states):
        """Return everything that depends on the contacts alone, as a :class:`Contacts`."""
        laws = [law if closed_in is None or states[index] in closed_in else None
                for law, (index, closed_in) in zip(self.devices, self._device_states)]
        return Contacts(self, self.conductances(states), laws)


class Contacts:
    """A network with its contacts standing still: what is left to vary are the devices."""

    def __init__(self, network, conductances, laws):
        self.network, self.conductances, self.laws = network, conductances, tuple(laws)
        currents = [self.conductances[number] * voltage for number, voltage in network._force.items()]
        self.late, self.early = network.program.reduce(self.conductances, currents)
        self._warm = len(network.filaments)
        self._begin([law.start if law else 0.0 for law in self.laws], [0.0] * len(self.laws))

    def _begin(self, slopes, companions):
        """Set where Newton's method starts. [S], [A]"""
        self._start = slopes, companions
        self._cool = slopes[self._warm:], companions[self._warm:]

    def _take_tangents(self, free, drops, slopes, companions):
        """Write down slope and companion current of each device numbered in ``free`` at its volts, none where open."""
        laws = self.laws
        for order in free:
            law, drop = laws[order], drops[order]
            if law:
                current, slopes[order] = law.settled_current(drop)
                companions[order] = current - slopes[order] * drop

    def settled(self):
        """Return ``(volts, temperatures)`` with every filament at its own resting temperature. [V], [K]"""
        late, drops, *_ = self._newton(range(len(self.laws)), *map(list, self._start))
        temperatures = tuple(law.settled_temperature(u) for law, u in zip(self.network.filaments, drops))
        return self.network.program.back(self.early, late), temperatures

    def volts(self, filament_conductances):
        """Return the volts of every point for given filament conductances. [V]"""
        return self.network.program.back(self.early, self._held(filament_conductances)[0])

    def drops(self, late, filament_conductances):
        """Return the volts across the filaments for given conductances of theirs. [V]"""
        if self._warm == len(self.laws):
            return self.network.program.drops(late, filament_conductances)
        return self._held(filament_conductances)[1][:self._warm]

    def _held(self, filament_conductances):
        """Solve with the filaments held, from where the other devices were last."""
        if self._warm == len(self.laws):
            return self.network.program.points(self.late, filament_conductances, self._start[1]), ()
        slopes, companions = self._cool
        late, drops, slopes, companions = self._newton(
            range(self._warm, len(self.laws)), [*filament_conductances, *slopes], [0.0] * self._warm + companions)
        self._cool = slopes[self._warm:], companions[self._warm:]
        return late, drops

    def _newton(self, free, slopes, companions):
        """Solve for the late points: Newton's method on the devices numbered in ``free``.

        Their curves rise everywhere, so there is exactly one answer. Should
        the steps not come to rest, they are halved.
        """
        run, ends, before = self.network.program, self.network._late_ends, None
        for turn in range(PATIENCE):
            late = run.points(self.late, slopes, companions)
            here = (*late, 0.0)
            drops = [here[a] - here[b] for a, b in ends]
            if turn > 20:
                drops = [(new + old) / 2 for new, old in zip(drops, before)]
            if before is not None and all(abs(new - old) < CLOSE for new, old in zip(drops, before)):
                return late, drops, slopes, companions
            self._take_tangents(free, drops, slopes, companions)
            before = drops
        raise ArithmeticError(f"the devices did not settle in {PATIENCE} Newton steps")

    def current(self, number, volts, temperatures):
        """Return the current through a branch from its start to its end. [A]"""
        network = self.network
        a, b = network.ends[number]
        order = network._device_order.get(number)
        if order is None:
            return self.conductances[number] * (volts[a] - volts[b] + network._force.get(number, 0.0))
        law = self.laws[order]
        if law is None:
            return 0.0
        if law.warms:
            return law.conductance(temperatures[order]) * (volts[a] - volts[b])
        return law.settled_current(volts[a] - volts[b])[0]

    def filament_conductances(self, temperatures):
        """Return the conductance of each filament at given temperatures. [S]"""
        return [law.conductance(temperature) if law else 0.0 for law, temperature in zip(self.laws, temperatures)]

    def touched(self, red, black, instrument, volts, laws=None):
        """Return the same with an instrument from one point to another, and where wanted other laws of the devices.

        Whatever is solved then starts from the volts there are without it [V], the instrument from none: from there
        Newton's steps on a filament never reach too far.
        """
        slots = [0.0] * (2 * self.network.size)
        slots[red] = slots[self.network.size + black] = 1 / LEAD
        more = Contacts(self.network.with_leads, [*self.conductances, *slots, 0.0], (*(laws or self.laws), instrument))
        drops, start = (*self.network.drops(volts), 0.0), ([0.0] * len(more.laws), [0.0] * len(more.laws))
        more._take_tangents(range(len(drops)), drops, *start)
        more._begin(*start)
        return more

    @cached_property
    def _ways(self):
        """For every point what is beside it over an ordinary branch that conducts, or over a filament: (point, ohm)."""
        devices = self.network._device_order
        plain = [(a, b, 1 / self.conductances[number]) for number, (a, b) in enumerate(self.network.ends)
                 if self.conductances[number] and number not in devices]
        return both_ways(plain + [(*ends, ohms) for ends, law, ohms in zip(self.network.device_ends, self.laws, self.network.filament_ohms) if law])

    def away(self, point=0):
        """Return for every point the resistance of the best single way to one, filaments at their most, other devices left out; ``inf`` without. [ohm]

        A source seen from two points has at most that resistance: every other way, over devices too, only lowers it.
        """
        ohms = lengths(self._ways, point)
        return [ohms.get(other, inf) for other in range(self.network.size)]

    def grounded(self):
        """Return for every point whether any conducting way leads to the battery's minus. [yes/no]"""
        return self.joined(0)

    def joined(self, start):
        """Return for every point whether any conducting way leads to one of them. [yes/no]"""
        conducting = [*self.conductances]
        for number, order in self.network._device_order.items():
            conducting[number] = self.laws[order]
        near = [[] for _ in range(self.network.size)]
        for (a, b), way in zip(self.network.ends, conducting):
            if way:
                near[a].append(b)
                near[b].append(a)
        found = set(reached(near, start))
        return [point in found for point in range(self.network.size)]


@lru_cache(maxsize=64)
def network(arrangement):
    """Return the network of an arrangement, built once."""
    return Network(arrangement)


def _points(arrangement):
    """Number the points: one for each terminal or inner point, merged metal sharing one, the pole volts are counted from 0."""
    names, merged = [], []
    for part in arrangement.parts:
        names += [f"{part.name}:{terminal}" for terminal in (*part.terminals, *part.inner)]
        merged += [(f"{part.name}:{terminal}", f"{part.name}:{group[0]}")
                   for group in part.merged for terminal in group[1:]]
    leader = leaders(names, merged)
    number = {leader[arrangement.zero]: 0}
    return {name: number.setdefault(metal, len(number)) for name, metal in leader.items()}

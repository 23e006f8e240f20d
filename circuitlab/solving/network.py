"""An arrangement as a network of branches: points, conductances, and the laws of its parts.

This is the only room that turns names into numbers. It knows branches,
states and laws; it never asks what kind of part it has.
"""

from functools import lru_cache

from .elimination import program

CLOSE = 1e-5    # V, stop when no filament's volts move more: leaves an error near 1e-10 V, since Newton squares it
PATIENCE = 60   # Newton steps


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
        Point number of each terminal and inner point; 0 is the battery's minus. [1]
    branch_of : dict of (str, int) to int
        Number of each part's branches. [1]
    moving, latching, supplying : tuple of (int, Part, tuple of int)
        Parts with a law: those that move by themselves, those that give way
        for good, those that can be overloaded; each with its place among
        ``parts`` and the branches it watches.
    """

    def __init__(self, arrangement):
        self.arrangement = arrangement
        self.parts = arrangement.parts + arrangement.wires
        self.place = {part.name: index for index, part in enumerate(self.parts)}
        self.point_of = _points(arrangement)
        self.size = max(self.point_of.values()) + 1
        self.branch_of, self.laws, self.ends = {}, [], []
        self._fixed, self._switched, filaments, sources = [], [], [], []
        for index, part in enumerate(self.parts):
            for order, branch in enumerate(part.branches()):
                number = len(self.ends)
                self.branch_of[part.name, order] = number
                self.ends.append((self._point(part, branch.start), self._point(part, branch.end)))
                conductance = 0.0 if branch.filament else 1.0 / branch.resistance
                self._fixed.append(0.0 if branch.closed_in else conductance)
                if branch.closed_in and not branch.filament:
                    self._switched.append((number, index, branch.closed_in, conductance))
                if branch.filament:
                    filaments.append((number, index, branch.closed_in, branch.filament))
                if branch.voltage:
                    sources.append((number, branch.voltage))
        self.filaments = tuple(law for *_, law in filaments)
        self.lamps = tuple(self.parts[index].name for _, index, *_ in filaments)
        self._filament_states = tuple((index, closed) for _, index, closed, _ in filaments)
        self._filament_ends = tuple(self.ends[number] for number, *_ in filaments)
        self._sources = tuple(sources)
        self._force = dict(sources)
        self._filament_order = {number: order for order, (number, *_) in enumerate(filaments)}
        self.held = {self.place[name]: state for name, state in arrangement.held}
        watching = [(index, part, tuple(self.branch_of[part.name, order] for order in part.watched))
                    for index, part in enumerate(self.parts) if part.watched and index not in self.held]
        self.moving = tuple(item for item in watching if item[1].moves)
        self.latching = tuple(item for item in watching if item[1].latching)
        self.supplying = tuple(item for item in watching if not item[1].moves and not item[1].latching)
        self.program = program(self.size, tuple(self.ends), tuple(number for number, *_ in filaments),
                               tuple(number for number, _ in sources))

    def _point(self, part, name):
        return self.point_of[name if ":" in name else f"{part.name}:{name}"]

    def first_states(self, positions):
        """Return the states before anything has reacted: switches as their controls stand. [text]"""
        states = [part.first_state(positions) for part in self.parts]
        for index, state in self.held.items():
            states[index] = state
        return states

    def conductances(self, states):
        """Return the conductance of every branch that is not a filament. [S]"""
        values = self._fixed[:]
        for number, index, closed_in, conductance in self._switched:
            values[number] = conductance if states[index] in closed_in else 0.0
        return values

    def whole(self, states):
        """Tell for each filament whether it conducts at all."""
        return tuple(closed is None or states[index] in closed for index, closed in self._filament_states)

    def reduced(self, states):
        """Return everything that depends on the contacts alone, as a :class:`Contacts`."""
        return Contacts(self, states)


class Contacts:
    """A network with its contacts standing still: what is left to vary are the filaments."""

    def __init__(self, network, states):
        self.network = network
        self.conductances = network.conductances(states)
        self.whole = network.whole(states)
        currents = [self.conductances[number] * voltage for number, voltage in network._sources]
        self.late, self.early = network.program.reduce(self.conductances, currents)

    def volts(self, filament_conductances, companions=None):
        """Return the volts of every point for given filament conductances. [V]"""
        run = self.network.program
        companions = companions or [0.0] * len(filament_conductances)
        return run.back(self.early, run.points(self.late, filament_conductances, companions))

    def settled(self):
        """Return ``(volts, temperatures)`` with every filament at its own resting temperature. [V], [K]

        Newton's method on the filaments' settled current: the curve rises
        everywhere, so there is exactly one answer. It starts from the hot
        filaments and halves its step should it not come to rest.
        """
        network, run = self.network, self.network.program
        laws = [law if whole else None for law, whole in zip(network.filaments, self.whole)]
        conductance = [1 / law.hot_resistance if law else 0.0 for law in laws]
        companion = [0.0] * len(laws)
        before = [0.0] * len(laws)
        for turn in range(PATIENCE):
            late = run.points(self.late, conductance, companion)
            volts = run.back(self.early, late)
            drop = [volts[a] - volts[b] for a, b in network._filament_ends]
            if turn > 12:
                drop = [(new + old) / 2 for new, old in zip(drop, before)]
            moved = max((abs(new - old) for new, old in zip(drop, before)), default=0.0)
            if turn and moved < CLOSE:
                break
            for order, law in enumerate(laws):
                if law:
                    current, slope = law.settled_current(drop[order])
                    conductance[order], companion[order] = slope, current - slope * drop[order]
            before = drop
        else:
            raise ArithmeticError(f"the filaments did not settle in {PATIENCE} Newton steps")
        return volts, tuple(law.settled_temperature(u) for law, u in zip(network.filaments, drop))

    def current(self, number, volts, temperatures):
        """Return the current through a branch from its start to its end. [A]"""
        network = self.network
        a, b = network.ends[number]
        order = network._filament_order.get(number)
        if order is None:
            return self.conductances[number] * (volts[a] - volts[b] + network._force.get(number, 0.0))
        if not self.whole[order]:
            return 0.0
        return network.filaments[order].conductance(temperatures[order]) * (volts[a] - volts[b])

    def filament_conductances(self, temperatures):
        """Return the conductance of each filament at given temperatures. [S]"""
        return [law.conductance(temperature) if whole else 0.0 for law, temperature, whole
                in zip(self.network.filaments, temperatures, self.whole)]

    def grounded(self):
        """Return for every point whether any conducting way leads to the battery's minus."""
        network = self.network
        near = [[] for _ in range(network.size)]
        for number, (a, b) in enumerate(network.ends):
            order = network._filament_order.get(number)
            if self.conductances[number] if order is None else self.whole[order]:
                near[a].append(b)
                near[b].append(a)
        reached = [False] * network.size
        reached[0], ahead = True, [0]
        while ahead:
            for other in near[ahead.pop()]:
                if not reached[other]:
                    reached[other] = True
                    ahead.append(other)
        return reached


@lru_cache(maxsize=64)
def network(arrangement):
    """Return the network of an arrangement, built once."""
    return Network(arrangement)


def _points(arrangement):
    """Number the points: one for each terminal or inner point, merged metal sharing one, battery minus 0."""
    parent = {}

    def top(name):
        while parent[name] != name:
            name = parent[name]
        return name

    for part in arrangement.parts:
        for terminal in (*part.terminals, *part.inner):
            parent[f"{part.name}:{terminal}"] = f"{part.name}:{terminal}"
    for part in arrangement.parts:
        for group in part.merged:
            for terminal in group[1:]:
                parent[top(f"{part.name}:{terminal}")] = top(f"{part.name}:{group[0]}")
    number = {top(f"{arrangement.battery.name}:-"): 0}
    return {name: number.setdefault(top(name), len(number)) for name in parent}

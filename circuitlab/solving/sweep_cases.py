"""Many arrangements that share their points, as one network with a table of values.

What stays in one batch: any value (a joint, a length, a lamp of other watts),
any part held in a state. A wire added, moved or taken out stays too, together
with all others of the kind: their network has a branch for every wire that any
of them has, and a wire that one of them lacks conducts exactly nothing there.
Only a part put in or taken out, or one of another make, needs a network anew.
"""

from collections import Counter
from dataclasses import replace

import numpy as np

from ..ground.errors import unknown_name
from ..parts import Wire
from .network import Network, network

MOST_EXTRA = 48   # wires beyond those of the base that one network takes in


class Group:
    """Arrangements (the *variants*) that share one network.

    Parameters
    ----------
    variants : list of Arrangement
    base : Arrangement
        Whose parts and wires the network is made of.
    extra : list of (str, str), optional
        Terminals of the wires it has besides; none where every variant has the base's own wires. [text]

    Attributes
    ----------
    network : Network
        Of the wiring that has every variant's wires, nothing held.
    variants : list of Arrangement
    values : ndarray, shape (branches, variants)
        Conductance of every branch that is no device, when it conducts. [S]
    forces : dict of int to ndarray, shape (variants,)
        Electromotive force of each source, by the number of its branch. [V]
    laws : ndarray of int, shape (devices, variants)
        Which of ``law_list`` each follows. [1]
    records : dict of int to list
        For each part with a law, ``(part, which)``: who it is, and in which variants, shape (variants,). [yes/no]
    free : dict of int to list
        The same, but only in variants that do not hold it. [yes/no]
    held : dict of int to ndarray of int, shape (variants,)
        For each place that any variant holds: the code of the state, or -1. [1]
    closing : dict of int to (int, frozenset)
        For each switched branch and device: the place of its part, and the states in which it conducts.
    """

    def __init__(self, variants, base, extra=()):
        self.variants, self._base = variants, base
        wires = base.wires + tuple(Wire(f"extra {number}", *ends) for number, ends in enumerate(extra, 1))
        self.network = net = Network(replace(base, held=(), wires=wires)) if extra or base.held else network(base)
        self._wire_named = [{} for _ in variants]     # where a wire's branch differs from that of its name
        self._conducting(wires)
        self.closing = {number: (index, closed_in) for number, index, closed_in, _ in net._switched}
        for order, (index, closed_in) in enumerate(net._device_states):
            if closed_in is not None:
                self.closing[self.device_branches[order]] = index, closed_in
        self.names = [list(dict.fromkeys(part.states)) for part in net.parts]
        self.held = {}
        self._take_in_parts()
        self.law_list = list(self._law_numbers)
        self._take_in_wires(extra)
        self.varies = [bool((row != row[0]).any()) for row in self.values]

    @property
    def device_branches(self):
        """Number of each device's branch. [1]"""
        return tuple(self.network._device_order)

    def _conducting(self, wires):
        net, count = self.network, len(self.variants)
        values = np.array(net._fixed)
        for number, _, _, conductance in net._switched:
            values[number] = conductance
        self.values = np.repeat(values[:, None], count, axis=1)
        for wire in wires[len(self._base.wires):]:
            self.values[net.branch_of[wire.name, 0]] = 0.0
        self.forces = {number: np.full(count, force) for number, force in net._force.items()}
        self._law_numbers = {}
        self.laws = np.repeat(np.array([self._law_number(law) for law in net.devices], np.intp)[:, None], count, axis=1)

    def _law_number(self, law):
        return self._law_numbers.setdefault(law, len(self._law_numbers))

    def _take_in_parts(self):
        """Write down where a variant's part is another one than the base's."""
        net, base = self.network, self._base.parts
        self.changed = {}
        for variant, arrangement in enumerate(self.variants):
            for place, (part, other) in enumerate(zip(arrangement.parts, base)):
                if part is not other:
                    self.changed.setdefault(place, {})[variant] = part
                    for order, branch in enumerate(part.branches()):
                        self._take_in_branch(net.branch_of[part.name, order], variant, branch)
            for name, state in arrangement.held:
                place = net.place.get(name, len(base))
                if place < len(base):       # a wire has but one state
                    row = self.held.setdefault(place, np.full(len(self.variants), -1))
                    row[variant] = self.code(place, state)
        self.records, self.free = {}, {}
        for place, part, _ in net.moving + net.latching + net.supplying:
            number_of, numbers = {}, np.zeros(len(self.variants), np.intp)
            for variant, other in self.changed.get(place, {}).items():
                numbers[variant] = number_of.setdefault(other, len(number_of) + 1)
            found = [(each, numbers == number) for number, each in enumerate((part, *number_of))]
            self.records[place] = [(each, which) for each, which in found if which.any()]
            free = self.held[place] < 0 if place in self.held else np.ones(len(self.variants), bool)
            self.free[place] = [(each, which & free) for each, which in self.records[place]]

    def _take_in_branch(self, number, variant, branch):
        if branch.device:
            self.laws[self.network._device_order[number], variant] = self._law_number(branch.device)
        else:
            self.values[number, variant] = 1.0 / branch.resistance
        if number in self.forces:
            self.forces[number][variant] = branch.voltage

    def _take_in_wires(self, extra):
        """Give each wire of a variant the branch between its ends: its own in the base, or an extra one."""
        branch_of = self.network.branch_of
        base = {wire.name: wire for wire in self._base.wires}
        between = {}
        for number, ends in enumerate(extra, 1):
            between.setdefault(frozenset(ends), []).append((branch_of[f"extra {number}", 0], ends[0]))
        for variant, arrangement in enumerate(self.variants):
            others, left = self._differing(arrangement.wires)
            used = {}
            for wire in others:
                own = base.get(wire.name)
                if own is not None and own.start == wire.start and own.end == wire.end:
                    self.values[branch_of[wire.name, 0], variant] = 1.0 / wire.resistance
                    continue
                left += [wire.name] if own is not None else []
                ends = frozenset((wire.start, wire.end))
                number, start = between[ends][used.get(ends, 0)]
                used[ends] = used.get(ends, 0) + 1
                self.values[number, variant] = 1.0 / wire.resistance
                self._wire_named[variant][wire.name] = (number, 1.0 if wire.start == start else -1.0)
            for name in left:
                self.values[branch_of[name, 0], variant] = 0.0
                self._wire_named[variant].setdefault(name, None)

    def _differing(self, wires):
        """Return those of a variant's wires that are not the base's very own, and names in the base that it lacks.

        Nearly always the same names stand in the same order.
        """
        own, own_by_name = self._base.wires, self._base.by_name
        others = [(wire, there) for wire, there in zip(wires, own) if wire is not there]
        if len(wires) == len(own) and all(wire.name == there.name for wire, there in others):
            return [wire for wire, _ in others], []
        names = {wire.name for wire in wires}
        return ([wire for wire in wires if own_by_name.get(wire.name) is not wire],
                [wire.name for wire in own if wire.name not in names])

    def branch(self, variant, name, order):
        """Return ``(number, sign)`` of a branch in a variant, or None when the variant has no such wire. [1]"""
        number = self.network.branch_of.get((name, order))
        if order == 0 and name in self._wire_named[variant]:
            return self._wire_named[variant][name]
        return None if number is None or name.startswith("extra ") else (number, 1.0)

    def code(self, place, state):
        """Return the code of a state of a part; a state not met before gets one. [1]"""
        names = self.names[place]
        if state not in names:
            names.append(state)
        return names.index(state)

    def first_codes(self, rows, row_of, variant_of, operated=()):
        """Return the code of every part's state before anything has reacted, shape (parts, cases). [1]

        Relays named as operated beforehand are so, unless held.
        """
        table = np.array([self._first(place, part, rows) for place, part in enumerate(self._base.parts)], np.int16)
        codes = table[:, row_of]
        for place, others in self.changed.items():
            for variant, part in others.items():
                own = np.array(self._first(place, part, rows), np.int16)
                if (own != table[place]).any():
                    cases = variant_of == variant
                    codes[place, cases] = own[row_of[cases]]
        for name in operated:
            part = self._base.part(name)
            if "operated" not in part.states:
                raise unknown_name(f"{part.kind} '{name}'", "state", "operated", part.states)
            codes[self.network.place[name]] = self.code(self.network.place[name], "operated")
        for place, row in self.held.items():
            held = row[variant_of]
            codes[place] = np.where(held < 0, codes[place], held)
        return codes

    def _first(self, place, part, rows):
        """Return the codes of a part's state in every row before anything has reacted."""
        states = list(map(part.first_state, rows))
        codes = {state: self.code(place, state) for state in dict.fromkeys(states)}
        return list(map(codes.get, states))


def grouped(variants):
    """Return ``(group, numbers of its variants)`` for all variants."""
    number_of, shape_of = {}, {}     # what a shape is called, by the record itself and by the shape

    def shapes(records):
        found = list(map(number_of.get, map(id, records)))
        while None in found:
            record = records[found.index(None)]
            found[found.index(None)] = number_of[id(record)] = shape_of.setdefault(_shape(record), len(shape_of))
        return tuple(found)

    lots = {}
    for number, arrangement in enumerate(variants):
        key = arrangement.controls, shapes(arrangement.parts)
        lots.setdefault(key, {}).setdefault(shapes(arrangement.wires), []).append(number)
    groups = []
    for by_wiring in lots.values():
        first, *others = sorted(by_wiring.values(), key=len, reverse=True)
        base = variants[first[0]]
        groups.append((Group([variants[number] for number in first], base), first))
        for numbers, extra in _packed([number for lot in others for number in lot], variants, base):
            groups.append((Group([variants[number] for number in numbers], base, extra), numbers))
    return groups


def _packed(numbers, variants, base):
    """Return rewired variants in lots, as ``(numbers, ends of the extra wires)``: few enough extra to stay quick."""
    own = {(wire.name, wire.start, wire.end) for wire in base.wires}
    lots, extra, most = [], [], Counter()
    for number in numbers:
        more = [(wire.start, wire.end) for wire in variants[number].wires
                if (wire.name, wire.start, wire.end) not in own]
        wanted = most | Counter(map(frozenset, more))
        if not lots or wanted.total() > max(MOST_EXTRA, len(more)):
            lots.append(([], []))
            most, wanted = Counter(), Counter(map(frozenset, more))
        lots[-1][0].append(number)
        extra = lots[-1][1]
        for ends in wanted - most:
            extra += [tuple(sorted(ends))] * (wanted[ends] - most[ends])
        most = wanted
    return lots


def _shape(part):
    """Return what of a part decides the wiring of the network and who has a law, but no value."""
    branches = tuple((branch.start, branch.end, branch.closed_in, branch.device.warms if branch.device else None,
                      bool(branch.voltage)) for branch in part.branches())
    return (type(part), part.name, part.terminals, part.inner, part.merged, part.states, part.watched, branches)

"""Ohms with every battery off, of any candidate: what lies between two leads, filaments cold and relays at rest.

A cold lamp has some tenths of an ohm to a few and is no short; neither is a coil. What an ohmmeter's volts do not drive, a junction or
electronics, counts as no way.
"""

from collections import defaultdict
from functools import cached_property
from math import inf, isfinite

import numpy as np

from ...ground.joined import reached
from ...parts import Role
from ...solving.sweep_ohms import nodal
from ..faults.power_off import FAR

NO_VOLTS = 1e-7     # V, from 1 A, between two points that are one


def ways_of(circuit, positions, lifted=(), out=()):
    """Return ``(point, point, ohms)`` of everything that an ohmmeter's current can pass, batteries off.

    Parameters
    ----------
    circuit : Arrangement
    positions : dict of str to str
    lifted : iterable of (str, str)
        Wires off a terminal. [text]
    out : iterable of str
        Lamps and fuses out of their sockets.
    """
    return (way for _, way in _named_ways(circuit, positions, lifted, out))


def _named_ways(circuit, positions, lifted=(), out=(), names=None):
    """Yield the name of each part and wire, or of those named, with each way through it."""
    held, off, positions = dict(circuit.held), {name for name, _ in lifted} | {*out}, circuit.positions(positions)
    own = (*circuit.parts, *circuit.wires) if names is None else [circuit.by_name[name] for name in names if name in circuit.by_name]
    for part in own:
        for group in part.merged:
            yield from ((part.name, (f"{part.name}:{one}", f"{part.name}:{other}", 1e-6)) for one, other in zip(group, group[1:]))
        if part.name in off:
            continue
        state = held.get(part.name, part.first_state(positions))
        for branch in part.branches():
            ohms = _ohms(branch)
            if isfinite(ohms) and branch.conducts(state) and branch.role is not Role.SOURCE:
                yield part.name, (*map(part.at, (branch.start, branch.end)), max(ohms, 1e-6))


def _ohms(branch):
    if branch.device is not None:
        return getattr(branch.device, "cold_resistance", inf)
    return inf if branch.role is Role.ELECTRONICS else branch.resistance


def cold_ohms(circuit, red, black, positions, lifted=(), out=()):
    """Return what an ohmmeter shows between two terminals, ``inf`` for no way. [ohm]

    >>> import circuitlab as cl
    >>> cart = cl.arrangement("one-fused-lamp")
    >>> 0.3 < cold_ohms(cart, "E1:1", "E1:2", {"lamp switch": "off"}) < 1.0
    True
    """
    return _across(list(ways_of(circuit, positions, lifted, out)), red, black)[0]


class Cold:
    """Ohms of a circuit and of many others that differ from it in little: solved anew only where the difference can be read.

    Parameters
    ----------
    circuits : sequence of Arrangement
        The first is the one that the others are held against.
    chafed : sequence of tuple of str
        Of each circuit the wire that touches the frame somewhere along it, as of a Candidate; empty for none. [text]
    behind : sequence of tuple of (str, str)
        Of each circuit the terminals that leads are not on any more, as of a Candidate. [text]
    """

    def __init__(self, circuits, chafed, behind):
        self.circuits, self.chafed, self.behind = circuits, chafed, [dict((*each, *(both[::-1] for both in each))) for each in behind]

    @cached_property
    def _apart(self):
        """For each circuit the names of parts and wires that are others than in the first. [text]"""
        first = self.circuits[0]
        own, found = {id(each): each.name for each in (*first.parts, *first.wires)}, []
        for circuit, behind in zip(self.circuits, self.behind):
            here = {id(each): each.name for each in (*circuit.parts, *circuit.wires)}
            held = {*first.held} ^ {*circuit.held}
            found.append({name for one, other in ((own, here), (here, own)) for key, name in one.items() if key not in other}
                         | {name for name, _ in held} | {end.partition(":")[0] for end in behind})
        return found

    def ohms(self, red, black, positions, lifted=(), out=()):
        """Return what an ohmmeter shows in each circuit, shape (circuits,); as :func:`cold_ohms`. [ohm]"""
        whole = self.ways(positions, lifted, out)
        ohms, volts = _across([way for ways in whole.values() for way in ways], red, black)
        found = np.full(len(self.circuits), ohms)
        for number, (gone, new) in enumerate(self.differences(whole, range(len(self.circuits)), positions, lifted, out)):
            if any(_can_be_read(way, volts) for _, way in (*gone, *new)):
                found[number] = _across(self._with(whole, number, new), red, black)[0]
        return found

    def ohms_of(self, number, red, black, positions, lifted=(), out=()):
        """Return what an ohmmeter shows in one of the circuits, ``inf`` for no way. [ohm]"""
        whole = self.ways(positions, lifted, out)
        (_, new), = self.differences(whole, [number], positions, lifted, out)
        return _across(self._with(whole, number, new), red, black)[0]

    def _with(self, whole, number, new):
        """Return the ways of a circuit: those of the first that it has as well, and its own."""
        return [way for name, own in whole.items() if name not in self._apart[number] for way in own] + [way for _, way in new]

    def differences(self, whole, numbers, positions, lifted=(), out=()):
        """Yield for each circuit of some numbers the ways of the first that it lacks, and those it has besides, each behind its name.

        Parameters
        ----------
        whole : dict
            What :meth:`ways` returns for the same.
        numbers : iterable of int
        """
        for number in numbers:
            names = self._apart[number]
            gone = [(name, way) for name in names for way in whole.get(name, ())]
            new = list(_named_ways(self.circuits[number], positions, lifted, out, names)) if names else []
            behind = self.behind[number]
            if behind:
                new = [(name, (*(behind.get(end, end) for end in way[:2]), way[2])) for name, way in new]
            yield gone, list(_still_touching(new, self.chafed[number], lifted))

    def ways(self, positions, lifted=(), out=()):
        """Return the ways of the first circuit by the name of what they lead through; as :func:`ways_of`."""
        return _by_name(self.circuits[0], positions, lifted, out)


def _still_touching(new, chafed, lifted):
    """Yield the ways of a circuit's own where a wire of it that touches the frame may be off a terminal: it then touches from its other one."""
    wire, here, there = chafed or ("", "", "")
    off = {end for name, end in lifted if name == wire}
    for name, way in new:
        if here in off and here in way[:2]:
            if there not in off:
                yield name, (*(there if end == here else end for end in way[:2]), way[2])
        else:
            yield name, way


def _by_name(circuit, positions, lifted, out):
    """Return the ways through each part and wire."""
    found = {}
    for name, way in _named_ways(circuit, positions, lifted, out):
        found.setdefault(name, []).append(way)
    return found


def _can_be_read(way, volts):
    """Tell whether anything changes where this way is put in or taken out: it joins volts that differ, or leads on. [yes/no]"""
    one, other, _ = way
    return (one in volts) != (other in volts) or one in volts and abs(volts[one] - volts[other]) > NO_VOLTS


def _across(ways, red, black):
    """Return the ohms between two points, and the volts of every point that red can come to with 1 A in there. [ohm], [V]"""
    near = reached(beside(ways), red)
    if black not in near:
        return inf, dict.fromkeys(near, 0.0)
    order = {point: number for number, point in enumerate(near)}
    joined = [(order[one], order[other], 1 / ohms) for one, other, ohms in ways if one in order and one != other]
    matrix = nodal(len(order), joined)
    keep = np.array([number for point, number in order.items() if point != black], int)
    flow = (keep == order[red]).astype(float)
    volts = dict.fromkeys(near, 0.0)
    for number, value in zip(keep.tolist(), np.linalg.solve(matrix[np.ix_(keep, keep)], flow).tolist()):
        volts[near[number]] = value
    return volts[red], volts


def beside(ways):
    """Return for each point those that a way leads to from it; a way begins with its two points."""
    found = defaultdict(list)
    for one, other, *_ in ways:
        found[one].append(other)
        found[other].append(one)
    return found

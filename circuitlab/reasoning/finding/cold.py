"""Ohms with every battery off, of any candidate: what lies between two leads, filaments cold and relays at rest.

A cold lamp has some tenths of an ohm to a few and is no short; neither is a coil. What an ohmmeter's volts do not drive, a junction or
electronics, counts as no way.
"""

from collections import defaultdict
from math import inf, isfinite

import numpy as np

from ...ground.joined import reached
from ...parts import Role

FAR = 2000.0        # ohm, from where another meter shows another value, or no way
COLD_LAMP, A_COIL = 8.0, 30.0        # ohm, below which a cold lamp of 3 W and more may lie, and a coil of 12 V may not: common practice
_LEAK = 1e-9        # S, that keeps what floats from having any volts at all


def ways_of(circuit, positions, lifted=(), out=()):
    """Yield ``(point, point, ohms)`` of everything that an ohmmeter's current can pass, batteries off.

    Parameters
    ----------
    circuit : Arrangement
    positions : dict of str to str
    lifted : iterable of (str, str)
        Wires off a terminal. [text]
    out : iterable of str
        Lamps and fuses out of their sockets.
    """
    held, off, positions = dict(circuit.held), {name for name, _ in lifted} | {*out}, circuit.positions(positions)
    for part in (*circuit.parts, *circuit.wires):
        for group in part.merged:
            yield from ((f"{part.name}:{one}", f"{part.name}:{other}", 1e-6) for one, other in zip(group, group[1:]))
        if part.name in off:
            continue
        state = held.get(part.name, part.first_state(positions))
        for branch in part.branches():
            ohms = _ohms(branch)
            if isfinite(ohms) and branch.conducts(state) and branch.role is not Role.SOURCE:
                yield (*(end if ":" in end else f"{part.name}:{end}" for end in (branch.start, branch.end)), max(ohms, 1e-6))


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
    ways = list(ways_of(circuit, positions, lifted, out))
    near = reached(_beside(ways), red)
    if black not in near:
        return inf
    order = {point: number for number, point in enumerate(near)}
    matrix = np.eye(len(order)) * _LEAK
    for one, other, ohms in ways:
        if one in order and other in order and one != other:
            a, b = order[one], order[other]
            matrix[[a, b], [a, b]] += 1 / ohms
            matrix[[a, b], [b, a]] -= 1 / ohms
    keep = [number for point, number in order.items() if point != black]
    flow = np.zeros(len(keep))
    flow[keep.index(order[red])] = 1.0
    volts = np.linalg.solve(matrix[np.ix_(keep, keep)], flow)
    return float(volts[keep.index(order[red])])


def _beside(ways):
    found = defaultdict(list)
    for one, other, _ in ways:
        found[one].append(other)
        found[other].append(one)
    return found

"""What wires alone join to one metal, and which volts batteries can put between such metals. Nothing is solved."""

from itertools import combinations
from math import isfinite

from ..parts import Battery, Chassis, Splice


def nets(arrangement):
    """Return, for each terminal name and part, the metal it is on: ``+`` or ``-`` of the first battery, or any other.

    Joined are the ends of every whole wire, splices and the chassis; no contact, fuse or lamp.
    """
    metals = _metals(arrangement)
    minus, plus = (metals[f"{arrangement.battery.name}:{pole}"] for pole in "-+")
    found = {}
    for terminal, metal in metals.items():
        name, _, end = terminal.partition(":")
        found.setdefault(end, {})[name] = "-" if metal == minus else "+" if metal == plus else metal
    return found


def _metals(arrangement):
    """Return for each terminal one that stands for the metal it is on. [text]"""
    leader = {terminal: terminal for terminal in arrangement.terminals}

    def top(terminal):
        while leader[terminal] != terminal:
            terminal = leader[terminal]
        return terminal

    pairs = [wire.terminals for wire in arrangement.wires if isfinite(wire.resistance)]
    for part in arrangement.of_kind((Splice, Chassis)):
        ends = [f"{part.name}:{terminal}" for terminal in part.terminals]
        pairs += list(zip(ends, ends[1:]))
    for start, end in pairs:
        leader[top(start)] = top(end)
    return {terminal: top(terminal) for terminal in leader}


def supplies(arrangement):
    """Return every voltage that batteries, alone or in series, put between two metals that other parts are wired to. [V]

    Two batteries one behind the other give the sum as well, each alone only where something hangs on the middle.
    """
    metals, level = _metals(arrangement), {}
    batteries = arrangement.of_kind(Battery)
    ends = {battery.name: [metals[f"{battery.name}:{pole}"] for pole in "-+"] for battery in batteries}
    for start in batteries:             # each group of batteries that wires join gets levels of its own
        level.setdefault(ends[start.name][0], (start.name, 0.0))
        for _ in batteries:
            for battery in batteries:
                minus, plus = ends[battery.name]
                if minus in level:
                    group, volts = level[minus]
                    level.setdefault(plus, (group, volts + battery.voltage))
                elif plus in level:
                    group, volts = level[plus]
                    level[minus] = group, volts - battery.voltage
    poles = {f"{battery.name}:{pole}" for battery in batteries for pole in "-+"}
    used = {metals[end] for wire in arrangement.wires for end in wire.terminals
            if not {*wire.terminals} <= poles} & level.keys()
    found = {round(abs(level[one][1] - level[other][1]), 6) for one, other in combinations(sorted(used), 2)
             if level[one][0] == level[other][0]}
    return tuple(sorted(found)) or tuple(battery.voltage for battery in batteries)

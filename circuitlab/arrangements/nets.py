"""What wires alone join to one metal, and which volts batteries can put between such metals. Nothing is solved."""

from collections import defaultdict
from itertools import combinations
from math import isfinite

from ..ground.joined import both_ways, leaders, lengths, reached
from ..parts import Battery, Chassis, Diode, Relay

CLOSE_BY = 1.0   # ohm, from a diode to a coil and back, the most at which the diode counts as across it: the kit's own bound


def nets(arrangement):
    """Return, for each terminal name and part, the metal it is on: ``+`` or ``-`` of the batteries, or any other.

    Joined are the ends of every whole wire, splices and the chassis; no contact, fuse or lamp. Of batteries one behind
    the other the two ends are meant.
    """
    metals = _metals(arrangement)
    plus, minus = (metals[pole] for pole in arrangement.plus_and_minus)
    found = {}
    for terminal, metal in metals.items():
        name, _, end = terminal.partition(":")
        found.setdefault(end, {})[name] = "-" if metal == minus else "+" if metal == plus else metal
    return found


def wires_on(arrangement):
    """Return for each terminal the names of all wires on the metal it is on: those that carry what it carries. [text]"""
    metals, found = _metals(arrangement, built=True), {}
    for wire in arrangement.wires:
        found.setdefault(metals[wire.start], []).append(wire.name)
    return {end: tuple(found.get(metal, ())) for end, metal in metals.items()}


def wires_to_minus(arrangement):
    """Return the names of the wires that lead to minus or to a frame by wires, metal and mated plugs alone, as a trailer's white one does. [text]"""
    metals = _metals(arrangement, built=True)
    pins = [(metals[f"{part.name}:{branch.start}"], metals[f"{part.name}:{branch.end}"], 0.0) for part in arrangement.parts if part.parted and not part.seat
            for branch in part.branches() if branch.mated]
    near = {place: [other for _, other, _ in beside] for place, beside in both_ways(pins).items()}
    frames = [f"{part.name}:{part.terminals[0]}" for part in arrangement.of_kind(Chassis)]
    minus = {place for end in (arrangement.plus_and_minus[1], *frames) for place in reached(defaultdict(list, near), metals[end])}
    return frozenset(wire.name for wire in arrangement.wires if metals[wire.start] in minus)


def metals_as_built(arrangement):
    """Return for each terminal one that stands for the metal it is on, before any fault: nothing lost, nothing that touches. [text]"""
    return _metals(arrangement, built=True)


def poles(arrangement):
    """Return the pole that volts are counted from, and the live one at the other end of all batteries, ``("G1:-", "G1:+")``.

    The first is of the sign that is said to be on the frame; where several batteries have such a pole, it is one that is on
    a chassis, else the end of the row that the first battery stands in.
    """
    batteries, (own, other) = arrangement.of_kind(Battery), "+-" if arrangement.frame == "plus" else "-+"
    if len(batteries) == 1:
        return f"{batteries[0].name}:{own}", f"{batteries[0].name}:{other}"
    metals = _metals(arrangement, built=True)
    frames = {metals[f"{part.name}:{part.terminals[0]}"] for part in arrangement.of_kind(Chassis)}
    first = next((battery for battery in batteries if metals[f"{battery.name}:{own}"] in frames), None)
    first = first or _far_end(batteries, batteries[0], metals, own, other)
    last = _far_end(batteries, first, metals, other, own)
    return f"{first.name}:{own}", f"{last.name}:{other}"


def sides(arrangement):
    """Return every pole on the live side, and every one on the frame's side: what fuses are judged from. [text]

    A pole on a chassis is on the frame's side, whichever it is, and so the other one of its battery live. Elsewhere it goes
    by what is said; a pole that another battery's stands on, one behind the other, is live.
    """
    batteries, (own, other) = arrangement.of_kind(Battery), "+-" if arrangement.frame == "plus" else "-+"
    metals = _metals(arrangement, built=True)
    frames = {metals[f"{part.name}:{part.terminals[0]}"] for part in arrangement.of_kind(Chassis)}
    live, frame = [], []
    for battery in batteries:
        here, there = f"{battery.name}:{own}", f"{battery.name}:{other}"
        if metals[there] in frames and metals[here] not in frames:
            here, there = there, here
        behind = metals[here] not in frames and any(
            metals[here] == metals[f"{each.name}:{there[-1]}"] for each in batteries if each is not battery)
        live += [here, there] if behind else [there]
        frame += [] if behind else [here]
    return tuple(live), tuple(frame)


def pole_on_frame(arrangement):
    """Return which pole of its batteries stands on the frame, ``minus`` or ``plus``, whatever the arrangement says. [text]

    Its clamp comes off first. Where batteries differ or none stands there, it is the one that is said.
    """
    poles = {pole[-1] for pole in arrangement.sides[1]}
    return {"+": "plus", "-": "minus"}[poles.pop()] if len(poles) == 1 else arrangement.frame


def freewheeled(arrangement):
    """Return the names of the relays whose coil has a diode across it, joined by wires, splices and studs alone. [text]

    Whichever end is plus: fed so that the diode conducts, the relay never operates. Ways there and back of 1 ohm or more,
    as over a bad joint, do not count.
    """
    return frozenset(name for coils in across_coils(arrangement).values() for name, ohms in coils.items() if ohms < CLOSE_BY)


def across_coils(arrangement):
    """Return for each diode across a coil the relays, and the ohms of the shortest metal there and back. [ohm]

    The metal is that of wires, splices and studs; what else lies beside it would only make it less.
    """
    diodes, relays = arrangement.of_kind(Diode), arrangement.of_kind(Relay)
    if not diodes or not relays:
        return {}
    metals, found = _metals(arrangement), {}
    for diode in diodes:
        ends = [f"{diode.name}:A", f"{diode.name}:K"]
        on = [metals[end] for end in ends]
        coils = {relay.name: {metals[end]: end for end in (f"{relay.name}:86", f"{relay.name}:85")} for relay in relays}
        there = {name: coil for name, coil in coils.items() if len(coil) == 2 and coil.keys() == {*on}}
        if there:
            away = [_ohms_from(arrangement, end) for end in ends]
            found[diode.name] = {name: sum(ohms[coil[metal]] for ohms, metal in zip(away, on)) for name, coil in there.items()}
    return found


def _ohms_from(arrangement, terminal):
    """Return the ohms of the shortest metal from a terminal to each that wires, splices and studs join to it. [ohm]"""
    ways = []
    for part in (*arrangement.wires, *(part for part in arrangement.parts if part.is_metal)):
        joins = [(branch.start, branch.end, branch.resistance) for branch in part.branches() if isfinite(branch.resistance)]
        for start, end, ohms in joins + [(one, other, 0.0) for group in part.merged for one, other in zip(group, group[1:])]:
            ways.append((*map(part.at, (start, end)), ohms))
    return lengths(both_ways(ways), terminal)


def _far_end(batteries, battery, metals, sign, other):
    """Return the last battery of those one behind the other, from one on over its pole of a sign."""
    seen = [battery]
    while following := [each for each in batteries if each not in seen
                        and metals[f"{each.name}:{other}"] == metals[f"{seen[-1].name}:{sign}"]]:
        seen.append(following[0])
    return seen[-1]


def _metals(arrangement, built=False):
    """Return for each terminal one that stands for the metal it is on; as it was built, before any fault, where asked. [text]"""
    pairs = [wire.terminals for wire in arrangement.wires if (not wire.is_touch if built else isfinite(wire.resistance))]
    for part in (each for each in arrangement.parts if each.is_metal):
        for group in part.metals.values():
            ends = [f"{part.name}:{terminal}" for terminal in group]
            pairs += list(zip(ends, ends[1:]))
    return leaders(arrangement.terminals, pairs)


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

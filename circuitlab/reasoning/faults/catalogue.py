"""Every single fault of an arrangement, each a change with a place, a kind and odds."""

from dataclasses import dataclass
from itertools import combinations
from math import inf

from ...arrangements import AddWire, Hold, Lift, LoseJoint, SetValue, Short, SwapTerminals, changed
from ...arrangements.mishaps import nearest_chassis
from ...ground.errors import ArrangementError, CircuitLabError
from ...ground.showing import Showing
from ...parts import Chassis, Connector, Relay, Role, Switch, Wire
from ...parts.connector import PLUG, SOCKET

CORRODED = 5.0        # ohm, of a badly corroded joint: leaves a 21 W lamp half its volts. The kit's own figure
WET = 100.0           # ohm, of water between two pins of a connector. The kit's own figure
BROKEN_COIL = 100e3   # ohm, the most a coil may have, for one that is broken

ODDS = {  # how often one is met beside the others: the kit's own guess from common practice, no count of real faults
    "blown lamp": 10.0,
    "corroded joint": 8.0,
    "lost ground joint": 8.0,
    "blown fuse": 4.0,
    "missing fuse": 0.5,
    "clips spread": 2.0,
    "open wire": 4.0,
    "poor pin": 4.0,
    "open pin": 2.0,
    "short to chassis": 3.0,
    "stuck switch": 2.0,
    "dead flasher": 2.0,
    "dead load": 2.0,
    "dead converter": 2.0,
    "dead channel": 1.0,
    "wrong converter": 0.5,
    "stuck channel": 0.5,
    "plug parted": 2.0,
    "plug half in": 2.0,
    "water in a plug": 2.0,
    "87 and 87a swapped": 2.0,
    "wrong relay type": 2.0,
    "wrong bulb": 1.0,
    "welded relay": 1.0,
    "stuck relay": 1.0,
    "dead coil": 1.0,
    "stuck flasher": 1.0,
    "filaments touching": 0.5,
    "bulb turned round": 0.2,
    "short between neighbours": 1.0,
}

# Blades of a mini relay that lie side by side, 87a in the middle: ISO 7588-1, from memory
_RELAY_NEIGHBOURS = (
    ("87", "87a"),
    ("87a", "30"),
    ("87a", "85"),
    ("87a", "86"),
    ("87", "85"),
    ("87", "86"),
    ("30", "85"),
    ("30", "86"),
)


@dataclass(frozen=True, repr=False)
class Fault(Showing):
    """A change that nobody wanted: it can be made like any other.

    Attributes
    ----------
    changes : tuple of change
    place : str
        Where it sits: a terminal, or a part. [text]
    kind : str
        One of :data:`ODDS`, or two of them for a double fault. [text]
    words : str
        The fault in words. [text]
    odds : float
        How often it is met beside the others. [1]
    """

    changes: tuple
    place: str
    kind: str
    words: str
    odds: float

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"Fault: {self.words}."

    @property
    def touching(self):
        """The two ends of everything that touches something because of it. [text]"""
        return tuple({change.first, change.second} for change in self.changes if isinstance(change, Short))

    @property
    def is_poor(self):
        """Whether it is nothing but poor or lost contacts, of joints, pins or clips, so that nothing touches. [yes/no]"""
        return all(isinstance(change, LoseJoint) or isinstance(change, SetValue) and change.field in ("pins", "clips") for change in self.changes)

    def apply(self, arrangement):
        """Return the arrangement with the fault in it."""
        return changed(arrangement, *self.changes)

    def __str__(self):
        return "; ".join(map(str, self.changes))


def as_fault(change):
    """Return any change as a fault, with odds of 1 where it has none."""
    if isinstance(change, Fault):
        return change
    if not hasattr(change, "apply"):
        raise ArrangementError(f"{change!r} is neither a fault nor a change. Give one such as Hold('K9', 'off').")
    return Fault((change,), "", "a change", str(change), 1.0)


def single_faults(arrangement, kinds=None):
    """Return every single fault of an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    kinds : iterable of str, optional
        Only these kinds. [text]

    Returns
    -------
    tuple of Fault
        Wires first, then parts, in the order of the arrangement.

    >>> import circuitlab as cl
    >>> single_faults(cl.arrangement("one-fused-lamp"))[0]
    Fault: W1 open at F1:1.
    """
    chassis = {terminal for part in arrangement.of_kind(Chassis) for terminal in _ends(part)}
    found = [fault for wire in arrangement.wires for fault in _of_wire(arrangement, wire, chassis)]
    for terminal in arrangement.terminals:
        if terminal in chassis and len(arrangement.wires_at[terminal]) > 1:
            found.append(_fault("lost ground joint", terminal, f"ground bolt {terminal} loose, its wires still joined",
                                Lift(terminal)))
    for part in arrangement.parts:
        found += _of_part(arrangement, part)
    return tuple(fault for fault in found if kinds is None or fault.kind in kinds)


def double_faults(arrangement, faults=None, progress=None):
    """Return every pair of single faults that can both be there.

    Parameters
    ----------
    arrangement : Arrangement
    faults : iterable of Fault, optional
        The single ones to pair; all unless given, which is tens of thousands of pairs for a large arrangement.
    progress : callable ``(done, total)``, optional
        Called now and then; when it returns False the pairs found so far are returned.

    Returns
    -------
    tuple of Fault

    >>> import circuitlab as cl
    >>> double_faults(cl.arrangement("one-fused-lamp"))[0]
    Fault: W1 open at F1:1, and W2 open at S1:1.
    """
    singles = tuple(faults) if faults is not None else single_faults(arrangement)
    pairs, total = [], len(singles) * (len(singles) - 1) // 2
    for done, (one, other) in enumerate(combinations(singles, 2)):
        if progress and done % 500 == 0 and progress(done, total) is False:
            break
        if one.place == other.place:
            continue
        pair = Fault(one.changes + other.changes, f"{one.place} and {other.place}", f"{one.kind} and {other.kind}",
                     f"{one.words}, and {other.words}", one.odds * other.odds / sum(ODDS.values()))
        try:
            pair.apply(arrangement)
        except CircuitLabError:      # the first takes away what the second needs
            continue
        pairs.append(pair)
    return tuple(pairs)


def _fault(kind, place, words, *changes):
    return Fault(changes, place, kind, words, ODDS[kind])


def _ends(part):
    return tuple(f"{part.name}:{terminal}" for terminal in part.terminals)


def _of_wire(arrangement, wire, chassis):
    """Yield what can befall one wire: open, corroded at its worse end, chafed through."""
    ground = next((end for end in wire.terminals if end in chassis), None)
    if ground:
        yield _fault("lost ground joint", ground, f"ground joint of {wire.name} at {ground} lost", LoseJoint(wire.name, ground))
    else:
        yield _fault("open wire", wire.end, f"{wire.name} open at {wire.end}", LoseJoint(wire.name, wire.end))
    worse = ground or wire.end
    yield _fault("corroded joint", worse, f"joint of {wire.name} at {worse} corroded, {CORRODED:g} ohm",
                 LoseJoint(wire.name, worse, CORRODED))
    metal = None if ground else nearest_chassis(arrangement, wire.end)
    if metal:
        yield _fault("short to chassis", wire.end, f"{wire.name} chafed through to {metal} at {wire.end}",
                     Short(wire.end, _bolt(arrangement, metal)))


def _bolt(arrangement, chassis):
    """Return the bolt of a chassis with the thickest wire: the way to minus; a touch beside it counts as one on it."""
    def thickest(terminal):
        return max((arrangement.part(name).area for name in arrangement.wires_at[terminal]), default=0.0)
    return max(_ends(arrangement.part(chassis)), key=thickest)


def _of_part(arrangement, part):
    """Yield what can befall one part."""
    name = part.name
    gone = [state for state in part.states if not any(branch.conducts(state) for branch in part.branches())]
    if part.guards or part.first(Role.LOAD):
        kind = "blown fuse" if part.guards else "blown lamp" if part.shines else "dead load"
        for state in gone:
            if state == part.parted:
                yield _fault("missing fuse", name, f"no fuse sits in the place of {name}", Hold(name, state))
                continue
            yield _fault(kind, name, f"{part.kind} {name} open for good" if part.moves else f"{name} {state}", Hold(name, state))
    for kind, words, state in part.stuck:
        yield _fault(kind, name, words, Hold(name, state))
    if isinstance(part, Switch):
        for position in arrangement.control(part.control).positions:
            yield _fault("stuck switch", name, f"switch {name} stuck as with {part.control} {position}", Hold(name, position))
    if isinstance(part, Relay):
        yield from _of_relay(arrangement, part)
    if isinstance(part, Connector):
        yield from _of_connector(arrangement, part)
    for kind, words, field, value in part.mishaps:
        yield _fault(kind, name, words, SetValue(name, field, value))
    if not part.is_metal:
        pairs = _RELAY_NEIGHBOURS if isinstance(part, Relay) else part.neighbours
        for first, second in pairs:
            ends = f"{name}:{first}", f"{name}:{second}"
            if all(arrangement.wires_at.get(end) for end in ends):
                yield _fault("short between neighbours", ends[0], f"{ends[0]} touches {ends[1]}", Short(*ends))


def used_pins(arrangement, connector):
    """Return the pins of a connector that have a wire on both sides. [text]"""
    at = arrangement.wires_at
    return tuple(pin for pin in connector.numbers if at[f"{connector.name}:{pin}{SOCKET}"] and at[f"{connector.name}:{pin}{PLUG}"])


def _of_connector(arrangement, connector):
    """Yield what can befall a connector."""
    name, at, used = connector.name, arrangement.wires_at, used_pins(arrangement, connector)
    for pin in used:
        for kind, ohms, words in (("poor pin", CORRODED, f"poor, {CORRODED:g} ohm"), ("open pin", inf, "open: corroded, bent or pushed back")):
            yield _fault(kind, f"{name}:{pin}{PLUG}", f"pin {pin} of {name} {words}", SetValue(name, "pins", connector.with_pins(ohms, pin)))
    if used:
        yield _fault("plug parted", name, f"plug of {name} out of its socket", Hold(name, connector.parted))
        yield _fault("plug half in", name, f"plug of {name} half in, {CORRODED:g} ohm at every pin",
                     SetValue(name, "pins", connector.with_pins(CORRODED, *used)))
    for one, other in connector.neighbours:
        if at[f"{name}:{one}"] and at[f"{name}:{other}"]:
            pair = f"{one.removesuffix(SOCKET)}-{other.removesuffix(SOCKET)}"
            yield _fault("water in a plug", f"{name}:{one}", f"water between {name}:{one} and {name}:{other}, {WET:g} ohm",
                         SetValue(name, "water", ((pair, WET),)))


def _of_relay(arrangement, relay):
    name = relay.name
    yield _fault("welded relay", name, f"relay {name} welded operated", Hold(name, "operated"))
    yield _fault("stuck relay", name, f"relay {name} stuck released", Hold(name, "released"))
    yield _fault("dead coil", name, f"coil of {name} broken", SetValue(name, "coil_resistance", BROKEN_COIL),
                 Hold(name, "released"))
    if relay.contact != "changeover":
        return
    broken = arrangement.wires_at[f"{name}:87a"]
    if broken:
        away = LoseJoint(broken[0], f"{name}:87a") if len(broken) == 1 else Lift(f"{name}:87a")
        yield _fault("wrong relay type", name, f"a relay without 87a plugged in as {name}", away)
        socket = Wire(f"W-{name}-87b", f"X-{name}-87a:1", f"{name}:87b", length=0.001)   # the blade where 87a was
        yield _fault("wrong relay type", name, f"a relay with 87b in the place of 87a plugged in as {name}",
                     Lift(f"{name}:87a"), SetValue(name, "contact", "dual"), AddWire(socket))
    if broken or arrangement.wires_at[f"{name}:87"]:
        yield _fault("87 and 87a swapped", name, f"87 and 87a of {name} swapped",
                     SwapTerminals(f"{name}:87", f"{name}:87a"))

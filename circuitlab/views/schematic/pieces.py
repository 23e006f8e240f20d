"""Every part in the pieces the drawing shows: a relay is a coil and a contact, a lever one piece for each pole.

A piece has one side with a single terminal and one side with one or more. It
stands upright; which side is on top is decided by the plan of the sheet.
"""

from dataclasses import dataclass

from ...parts import Battery, Breaker, Diode, Flasher, Fuse, Lamp, LedLamp, Relay, Resistor, Role, Switch

_SYMBOLS = {Battery: "battery", Fuse: "fuse", Breaker: "breaker", Lamp: "lamp", LedLamp: "lamp", Resistor: "resistor",
            Diode: "diode"}


@dataclass(frozen=True)
class Piece:
    """One symbol of the drawing.

    Parameters
    ----------
    key : str
        The part's name, or name and piece such as ``"K1.coil"``. [text]
    part : str
        The part it belongs to. [text]
    symbol : str
        Which symbol: battery, fuse, breaker, resistor, diode, lamp, coil, contact, changeover, lever, flasher or
        box. [text]
    near, far : tuple of str
        Terminals on the one side and on the other; ``near`` has one. [text]
    slots : tuple of int
        Path, counted from the piece's left, of the near terminal and then of each far one. [1]
    closed : tuple of (str, tuple of int)
        For each state of the part, which far terminals the contact touches; empty for a piece without contact.
    worked_by : str
        What works it, for a simple switch: hand, key, pedal or pressure. [text]
    is_load : bool
        Whether it takes the volts between its first two terminals. [yes/no]
    """

    key: str
    part: str
    symbol: str
    near: tuple
    far: tuple
    slots: tuple = (0, 0)
    closed: tuple = ()
    worked_by: str = ""
    is_load: bool = False

    @property
    def terminals(self):
        return self.near + self.far

    @property
    def width(self):
        """How many paths it takes. [1]"""
        return max(self.slots) + 1

    def touched(self, state):
        """Return the indexes of the far terminals touched in a state; the resting one for an unknown state. [1]"""
        table = dict(self.closed)
        return table.get(state, self.closed[0][1] if self.closed else ())


def pieces_of(arrangement):
    """Return the pieces of every part that is not merely metal (splice, chassis), parts in order."""
    pieces = []
    for part in arrangement.parts:
        if isinstance(part, Relay):
            pieces += _relay(part)
        elif isinstance(part, Switch):
            pieces += _switch(part, arrangement.control(part.control).positions)
        elif isinstance(part, Flasher):
            pieces.append(Piece(part.name, part.name, "flasher", _ends(part, "49"), _ends(part, *part.terminals[1:]),
                                (0, *range(len(part.terminals) - 1)), _contact_of(part)))
        elif isinstance(part, Breaker):
            pieces.append(Piece(part.name, part.name, "breaker", _ends(part, "1"), _ends(part, "2"), (0, 0),
                                _contact_of(part)))
        elif not part.is_metal:
            symbol = _SYMBOLS.get(type(part), "box")
            first, *rest = part.terminals
            pieces.append(Piece(part.name, part.name, symbol, _ends(part, first), _ends(part, *rest),
                                (0, *range(len(rest))), is_load=part.is_load(first, *rest[:1] or [first])))
    return tuple(pieces)


def _ends(part, *names):
    return tuple(f"{part.name}:{name}" for name in names)


def _relay(relay):
    coil = Piece(f"{relay.name}.coil", relay.name, "coil", _ends(relay, "86"), _ends(relay, "85"), is_load=True)
    key, common = f"{relay.name}.contact", _ends(relay, "30")
    if relay.contact != "changeover":
        keys = {"87": key, "87b": f"{relay.name}.second.contact"}
        return [coil, *(Piece(keys[output], relay.name, "contact", common, _ends(relay, output), (0, 0),
                              (("released", ()), ("gap", ()), ("operated", (0,)))) for output in relay.terminals[3:])]
    return [coil, Piece(key, relay.name, "changeover", common, _ends(relay, "87a", "87"), (0, 0, 1),
                        (("released", (0,)), ("gap", ()), ("operated", (1,))))]


def _contact_of(part):
    """Return for every state of a part whether its first contact is closed, as a piece has it."""
    _, contact = part.first(Role.CONTACT)
    return tuple((state, (0,) if contact.conducts(state) else ()) for state in part.states)


def _switch(switch, positions):
    groups = [(common, group) for common, throws in switch.poles for group in _groups(switch, common, throws)]
    pieces = []
    for number, (common, throws) in enumerate(groups):
        closed = tuple((position, tuple(index for index, throw in enumerate(throws)
                                        if _joined(switch, position, common, throw))) for position in positions)
        key = switch.name if len(groups) == 1 else f"{switch.name}.{number + 1}"
        pieces.append(_pole(switch, key, common, throws, closed))
    return pieces


def _pole(switch, key, common, throws, closed):
    near, far = _ends(switch, common), _ends(switch, *throws)
    if len(throws) == 1:
        return Piece(key, switch.name, "contact", near, far, (0, 0), closed, switch.worked_by)
    at_rest = closed[0][1]
    if len(throws) == 2 and at_rest:
        slots = (0, 0, 1) if at_rest == (0,) else (0, 1, 0)
        return Piece(key, switch.name, "changeover", near, far, slots, closed)
    if len(throws) == 2:
        return Piece(key, switch.name, "lever", near, far, (1, 0, 2), closed)
    return Piece(key, switch.name, "lever", near, far, (len(throws) // 2, *range(len(throws))), closed)


def _joined(switch, position, common, throw):
    pairs = dict(switch.closes).get(position, ())
    return (common, throw) in pairs or (throw, common) in pairs


def _groups(switch, common, throws):
    """Part the throws of a pole so that in no position one blade would have to touch two of them."""
    groups = []
    for throw in throws:
        together = [position for position, _ in switch.closes if _joined(switch, position, common, throw)]
        for group in groups:
            if not any(_joined(switch, position, common, other) for other in group for position in together):
                group.append(throw)
                break
        else:
            groups.append([throw])
    return [tuple(group) for group in groups]

"""What is said of a name in an arrangement that nothing answers to: only what could have been meant is listed."""

import re

from ..ground.errors import UnknownName, shown, unknown_name
from ..parts import Wire


def unknown_part(arrangement, name):
    """Return the error for a name that no part and no wire has; wires are listed where the name looks like a wire's."""
    where = f"arrangement '{arrangement.name or arrangement.title}'"
    said = name if isinstance(name, str) else shown(name)
    if said in arrangement.controls_by_name:
        control = arrangement.controls_by_name[said]
        switches = [part.name for part in arrangement.parts if getattr(part, "control", "") == said]
        return UnknownName(f"'{said}' is a control, no part: a hand or foot moves it to {', '.join(control.positions)}."
                           f"{f' Its switch is {switches[0]}.' if switches else ''}", where=where, kind="part", name=name,
                           allowed=[part.name for part in arrangement.parts])
    spoiled = re.fullmatch(r"(.+)[.\-/ ](.+)", said)
    owner, terminal = spoiled.groups() if spoiled else ("", "")
    part = arrangement.by_name.get(owner)
    if part and terminal in part.terminals and not isinstance(part, Wire):
        return UnknownName(f"{where} has no part '{said}'. A terminal is written with a colon: {owner}:{terminal}.", where=where,
                           kind="part", name=name, allowed=[f"{owner}:{terminal}"])
    is_wire = re.fullmatch(r"[Ww]\d*", said) and arrangement.wires
    things = arrangement.wires if is_wire else arrangement.parts
    return unknown_name(where, "wire" if is_wire else "part", name, [thing.name for thing in things])


def no_lamp(where, part, lamps):
    """Return the error for a part or wire that a rule speaks of as if it were a lamp: its terminals are what it may name."""
    error = unknown_name(where, "lamp", part.name, lamps)
    ends = part.terminals if isinstance(part, Wire) else _ends(part)
    return UnknownName(f"{error.sentence} A rule may name a terminal as well: {_either(ends)}.", **error.pieces)


def _ends(part):
    return [f"{part.name}:{terminal}" for terminal in part.terminals]


def _either(ends):
    return f"{', '.join(ends[:-1])} or {ends[-1]}" if len(ends) > 1 else ends[0]


def unknown_terminal(part, end):
    """Return the error for a terminal that a part has not; where others of its kind have it, that none is needed is said."""
    error = unknown_name(f"{part.kind} '{part.name}'", "terminal", end, part.terminals)
    error.pieces["typed"] = f"{part.name}:{end}"
    if end not in part.sometimes:
        return error
    return UnknownName(f"{error.sentence} This type works without {end}: take the wire there away.", **error.pieces)


def no_terminal(part):
    """Return the error for a part or wire that stands where one of its terminals is wanted."""
    if isinstance(part, Wire):
        return UnknownName(f"'{part.name}' is a wire, no terminal. It runs from {part.start} to {part.end}: name one of these.",
                           where=f"wire '{part.name}'", kind="terminal", name=part.name, allowed=part.terminals)
    ends = _ends(part)
    return UnknownName(f"'{part.name}' is a whole {part.kind}. Which of its terminals? Write {_either(ends)}.",
                       where=f"{part.kind} '{part.name}'", kind="terminal", name=part.name, allowed=ends)

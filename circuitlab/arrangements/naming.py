"""The same circuit under other names."""

from dataclasses import replace

from .checks import must_be_listed


def renamed(arrangement, names):
    """Return the arrangement with parts under other names; wires, rule, held states, what is not known and the plan follow.

    Raises
    ------
    ArrangementError
        When two parts would share a name.
    """
    for old in names:
        if arrangement.part(old).seat not in names:
            must_be_listed(arrangement.part(old))
    names = names | {part.name: f"{names[part.seat]}{part.name.removeprefix(part.seat)}" for part in arrangement.parts if part.seat in names}

    def end(terminal):
        part, colon, rest = terminal.partition(":")
        return f"{names.get(part, part)}{colon}{rest}"

    wires = [replace(wire, name=names.get(wire.name, wire.name), start=end(wire.start), end=end(wire.end))
             for wire in arrangement.wires]
    return replace(arrangement, parts=[replace(part, name=names.get(part.name, part.name)) for part in arrangement.parts],
                   wires=wires, rule=[replace(line, lamp=end(line.lamp)) for line in arrangement.rule],
                   held=tuple((names.get(name, name), state) for name, state in arrangement.held),
                   not_known=tuple(names.get(name, name) for name in arrangement.not_known), plan=arrangement.plan.renamed(names))

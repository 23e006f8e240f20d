"""Changes: an arrangement in, another arrangement out. A fault is a change too.

Each change is a small frozen record with a sentence; ``apply`` returns a new
arrangement and never touches the old one, so undo is simply to apply the
list again without the last.
"""

from dataclasses import dataclass, fields, replace
from math import inf

from ..ground.errors import ArrangementError, UnknownName, unknown_name
from ..parts import Part, Wire


@dataclass(frozen=True)
class MoveWire:
    """Take one end of a wire off its terminal and put it on another.

    Parameters
    ----------
    wire : str
        Name of the wire. [text]
    source, target : str
        The terminal it leaves and the one it goes to. [text]
    """

    wire: str
    source: str
    target: str

    def __str__(self):
        return f"move {self.wire} from {self.source} to {self.target}"

    def apply(self, arrangement):
        wire = _wire(arrangement, self.wire)
        arrangement.check_terminal(self.target)
        field = _end(wire, self.source)
        return arrangement.with_parts(replace(wire, **{field: self.target}))


@dataclass(frozen=True)
class SwapTerminals:
    """Exchange everything that is wired to two terminals, as when 87 and 87a are mixed up."""

    first: str
    second: str

    def __str__(self):
        return f"swap the wires on {self.first} and {self.second}"

    def apply(self, arrangement):
        arrangement.check_terminal(self.first)
        arrangement.check_terminal(self.second)
        other = {self.first: self.second, self.second: self.first}
        moved = [replace(wire, start=other.get(wire.start, wire.start), end=other.get(wire.end, wire.end))
                 for wire in arrangement.wires if {wire.start, wire.end} & set(other)]
        return arrangement.with_parts(*moved)


@dataclass(frozen=True)
class LoseJoint:
    """Make one end of a wire lose contact, or corrode to a resistance.

    Parameters
    ----------
    wire, terminal : str
        The wire, and the terminal at the end that fails. [text]
    resistance : float
        Infinite (lost) unless given. [ohm]
    """

    wire: str
    terminal: str
    resistance: float = inf

    def __str__(self):
        what = "lost" if self.resistance == inf else f"{self.resistance:g} ohm"
        return f"joint of {self.wire} at {self.terminal}: {what}"

    def apply(self, arrangement):
        wire = _wire(arrangement, self.wire)
        return arrangement.with_parts(replace(wire, **{_end(wire, self.terminal) + "_joint": self.resistance}))


@dataclass(frozen=True)
class ReplacePart:
    """Put another part in the place of one, under the same name.

    Raises
    ------
    ArrangementError
        When a wire uses a terminal that the new part does not have.
    """

    part: object

    def __post_init__(self):
        if not isinstance(self.part, Part) or isinstance(self.part, Wire):
            raise ArrangementError(f"{self.part!r} is not a part to put in. Give one such as Fuse('F1', 5).")

    def __str__(self):
        return f"replace {self.part.name} by a {self.part.kind}"

    def apply(self, arrangement):
        arrangement.part(self.part.name)
        for wire in arrangement.wires:
            for end in wire.terminals:
                name, _, terminal = end.partition(":")
                if name == self.part.name and terminal not in self.part.terminals:
                    raise ArrangementError(
                        f"the new {self.part.kind} '{name}' has no terminal '{terminal}', "
                        f"but wire '{wire.name}' is on it. Move the wire first.", part=name, wire=wire.name)
        return arrangement.with_parts(self.part)


@dataclass(frozen=True)
class SetValue:
    """Give one value of a part or wire a new number or word, such as a fuse its rating."""

    part: str
    field: str
    value: object

    def __str__(self):
        return f"{self.part}: {self.field.replace('_', ' ')} becomes {self.value}"

    def apply(self, arrangement):
        part = arrangement.part(self.part)
        names = [field.name for field in fields(part) if field.name != "name"]
        if self.field not in names:
            raise unknown_name(f"{part.kind} '{part.name}'", "value", self.field, names)
        return arrangement.with_parts(replace(part, **{self.field: self.value}))


@dataclass(frozen=True)
class AddWire:
    """Run one more wire."""

    wire: Wire

    def __post_init__(self):
        if not isinstance(self.wire, Wire):
            raise ArrangementError(f"{self.wire!r} is not a wire. Give one such as Wire('W9', 'F1:2', 'E1:1').")

    def __str__(self):
        return f"add {self.wire.name} from {self.wire.start} to {self.wire.end}"

    def apply(self, arrangement):
        return replace(arrangement, wires=arrangement.wires + (self.wire,))


@dataclass(frozen=True)
class RemoveWire:
    """Take a wire out altogether."""

    wire: str

    def __str__(self):
        return f"remove {self.wire}"

    def apply(self, arrangement):
        return arrangement.with_parts(without=(_wire(arrangement, self.wire).name,))


@dataclass(frozen=True)
class Hold:
    """Make a part stay in one of its states whatever happens: fuse blown, contact welded, flasher dead.

    Parameters
    ----------
    part : str
        Its name. [text]
    state : str
        One of its states: ``blown`` for a fuse or lamp, ``released``, ``gap`` or
        ``operated`` for a relay, ``off`` for a flasher whose output is dead, a
        position for a switch. [text]
    """

    part: str
    state: str

    def __str__(self):
        return f"{self.part} stays {self.state}"

    def apply(self, arrangement):
        return replace(arrangement, held=(*arrangement.held, (self.part, self.state)))


def changed(arrangement, *changes):
    """Return the arrangement with every change made in turn; the given one stays as it is."""
    for change in changes:
        arrangement = change.apply(arrangement)
    return arrangement


def _wire(arrangement, name):
    part = arrangement.part(name)
    if not isinstance(part, Wire):
        names = [wire.name for wire in arrangement.wires]
        raise unknown_name(f"arrangement '{arrangement.name or arrangement.title}'", "wire", name, names)
    return part


def _end(wire, terminal):
    """Tell which end of the wire is on a terminal: ``start`` or ``end``."""
    for field in ("start", "end"):
        if getattr(wire, field) == terminal:
            return field
    raise UnknownName(f"wire '{wire.name}' is not on '{terminal}'. Its ends are on {wire.start} and {wire.end}.",
                      part=wire.name, allowed=[wire.start, wire.end])

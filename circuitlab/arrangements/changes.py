"""Changes: an arrangement in, another arrangement out. A fault is a change too.

Each change is a small frozen record; ``apply`` returns a new arrangement and
never touches the old one, so undo is simply to apply the list again without
the last. What it says of itself (``str``) is a sentence that
:func:`~circuitlab.arrangements.typed_changes.read_change` reads back. Shorts,
contacts that come apart and parts that stick are in :mod:`~circuitlab.arrangements.mishaps`.
"""

from dataclasses import dataclass, fields, replace
from math import inf

from ..ground.errors import ArrangementError, UnknownName, listed, shown, unknown_name
from ..parts import Control, Part, Wire
from ..parts.making import Maker
from .checks import must_be_a, must_be_listed
from .plan import MovePart, place_of, place_words, with_plan
from .sentences import control_words, quoted, value_words, values_words


@dataclass(frozen=True)
class MoveWire(metaclass=Maker):
    """Take one end of a wire off its terminal and put it on another.

    Parameters
    ----------
    wire : str
        Name of the wire. [text]
    source, target : str
        The terminal it leaves and the one it goes to. [text]

    >>> print(MoveWire("W1", "F1:1", "F1:2"))
    move W1 from F1:1 to F1:2
    """

    wire: str
    source: str
    target: str

    def __str__(self):
        return f"move {quoted(self.wire)} from {quoted(self.source)} to {quoted(self.target)}"

    def apply(self, arrangement):
        wire = _wire(arrangement, self.wire)
        arrangement.check_terminal(self.target)
        field = _end(wire, self.source)
        return arrangement.with_parts(replace(wire, **{field: self.target}))


@dataclass(frozen=True)
class SwapTerminals(metaclass=Maker):
    """Exchange everything that is wired to two terminals, as when 87 and 87a are mixed up.

    >>> print(SwapTerminals("K1:87", "K1:87a"))
    swap K1:87 and K1:87a
    """

    first: str
    second: str

    def __str__(self):
        return f"swap {quoted(self.first)} and {quoted(self.second)}"

    def apply(self, arrangement):
        arrangement.check_terminal(self.first)
        arrangement.check_terminal(self.second)
        other = {self.first: self.second, self.second: self.first}
        moved = [replace(wire, start=other.get(wire.start, wire.start), end=other.get(wire.end, wire.end))
                 for wire in arrangement.wires if {wire.start, wire.end} & set(other)]
        return arrangement.with_parts(*moved)


@dataclass(frozen=True)
class LoseJoint(metaclass=Maker):
    """Make one end of a wire lose contact, or corrode to a resistance.

    Parameters
    ----------
    wire, terminal : str
        The wire, and the terminal at the end that fails. [text]
    resistance : float
        Infinite (lost) unless given. [ohm]

    >>> print(LoseJoint("W1", "F1:1"))
    lose W1 at F1:1
    """

    wire: str
    terminal: str
    resistance: float = inf

    def __str__(self):
        where = f"{quoted(self.wire)} at {quoted(self.terminal)}"
        return f"lose {where}" if self.resistance == inf else f"corrode {where} {value_words('joint', self.resistance)}"

    def apply(self, arrangement):
        wire = _wire(arrangement, self.wire)
        return arrangement.with_parts(replace(wire, **{_end(wire, self.terminal) + "_joint": self.resistance}))


@dataclass(frozen=True)
class ReplacePart(metaclass=Maker):
    """Put another part in the place of one, under the same name.

    Raises
    ------
    ArrangementError
        When a wire uses a terminal that the new part does not have.

    >>> from circuitlab.parts import Fuse
    >>> print(ReplacePart(Fuse("F1", 3)))
    replace F1 by a new fuse, rating 3 A
    """

    part: object

    def __post_init__(self):
        must_be_a(Part, self.part, "a part to put in. Give one such as Fuse('F1', 5).")

    def __str__(self):
        return f"replace {quoted(self.part.name)} by a new {self.part.kind}{values_words(self.part)}"

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
class SetValue(metaclass=Maker):
    """Give one value of a part or wire a new number or word, such as a fuse its rating.

    >>> print(SetValue("F1", "rating", 3.0))
    set F1 rating 3 A
    """

    part: str
    field: str
    value: object

    def __post_init__(self):
        if not isinstance(self.part, str) or not isinstance(self.field, str):
            raise ArrangementError(f"SetValue takes the names of a part and of one of its values, such as SetValue('F1', 'rating', "
                                   f"7.5), got {shown(self.part)} and {shown(self.field)}.")

    def __str__(self):
        return f"set {quoted(self.part)} {self.field.replace('_', ' ')} {value_words(self.field, self.value)}"

    def apply(self, arrangement):
        part = arrangement.part(self.part)
        names = [field.name for field in fields(part) if field.name != "name"]
        if self.field not in names:
            raise unknown_name(f"{part.kind} '{part.name}'", "value", self.field, names)
        return arrangement.with_parts(part.with_value(self.field, self.value))


@dataclass(frozen=True)
class AddWire(metaclass=Maker):
    """Run one more wire.

    >>> print(AddWire(Wire("W9", "F1:2", "E1:1", "RD")))
    add wire W9 from F1:2 to E1:1 RD 0.5 m 1 mm2
    """

    wire: Wire

    def __post_init__(self):
        must_be_a(Wire, self.wire, "a wire. Give one such as Wire('W9', 'F1:2', 'E1:1').")

    def __str__(self):
        wire = self.wire
        measures = " ".join([wire.colour, value_words("length", wire.length), value_words("area", wire.area)]).strip()
        others = values_words(wire, leave=("start", "end", "colour", "length", "area"))
        return f"add wire {quoted(wire.name)} from {quoted(wire.start)} to {quoted(wire.end)} {measures}{others}"

    def apply(self, arrangement):
        return replace(arrangement, wires=arrangement.wires + (self.wire,))


@dataclass(frozen=True)
class RemoveWire(metaclass=Maker):
    """Take a wire out altogether.

    >>> print(RemoveWire("W1"))
    remove W1
    """

    wire: str

    def __str__(self):
        return f"remove {quoted(self.wire)}"

    def apply(self, arrangement):
        return arrangement.with_parts(without=(_wire(arrangement, self.wire).name,))


@dataclass(frozen=True)
class AddPart(metaclass=Maker):
    """Put in one more part; its terminals are still unwired.

    Parameters
    ----------
    part : Part
    control : Control, optional
        Put in with it: what works the switch, where there is no such control yet.
    at : tuple of float, optional
        Where it stands in the attached drawing: how far right and how far down. [steps of 10 px]

    Raises
    ------
    ArrangementError
        When a control of that name is there that has other positions.

    >>> from circuitlab.parts import Lamp, Switch
    >>> print(AddPart(Lamp("E9")))
    add part E9 lamp
    >>> print(AddPart(Switch("S9", "horn", {"held": [("1", "2")]}), Control("horn", ("released", "held"))))
    add part S9 switch, control horn, closes "held: 1-2" with control horn: released, held
    >>> print(AddPart(Lamp("E9"), at=(30, 2)))
    add part E9 lamp at 30 2
    """

    part: object
    control: Control | None = None
    at: tuple = ()

    def __post_init__(self):
        must_be_a(Part, self.part, "a part to put in. Give one such as Fuse('F9', 5).")
        if self.control is not None:
            must_be_a(Control, self.control, "a control. Give one such as Control('hazard', ('off', 'on')).")
            if getattr(self.part, "control", None) != self.control.name:
                raise ArrangementError(f"{self.part.kind} '{self.part.name}' is not worked by control '{self.control.name}'. Put in the one "
                                       "that works it, or none.", part=self.part.name)
        object.__setattr__(self, "at", place_of(self.part.name, self.at) if self.at else ())

    def __str__(self):
        control = f" with {control_words(self.control)}" if self.control else ""
        at = f" at {place_words(self.at)}" if self.at else ""
        return f"add part {quoted(self.part.name)} {self.part.kind}{values_words(self.part)}{control}{at}"

    def apply(self, arrangement):
        new = () if self.control is None or self.control in arrangement.controls else (self.control,)
        if new and self.control.name in arrangement.controls_by_name:
            there = arrangement.control(self.control.name)
            raise ArrangementError(f"control '{there.name}' is there already, with the positions {listed(there.positions)}. Leave out "
                                   "'with control', or give the new one another name.", control=there.name)
        before = with_plan(arrangement) if self.at else arrangement      # so that nothing that stands there moves
        there = replace(before, controls=arrangement.controls + new, parts=arrangement.parts + (self.part,))
        return MovePart(self.part.name, *self.at).apply(there) if self.at else there


@dataclass(frozen=True)
class RemovePart(metaclass=Maker):
    """Take a part out, with the wires on it; what the rule says of it goes too.

    With the last switch that a control works the control goes, unless the rule speaks of it.

    >>> print(RemovePart("E1"))
    remove E1 with its wires
    """

    part: str

    def __str__(self):
        return f"remove {quoted(self.part)} with its wires"

    def apply(self, arrangement):
        part = arrangement.part(self.part)
        if isinstance(part, Wire):
            raise ArrangementError(f"'{self.part}' is a wire. Write 'remove {self.part}'.", part=self.part)
        must_be_listed(part)
        ends = {f"{part.name}:{terminal}" for terminal in part.terminals}
        wires = tuple(wire for wire in arrangement.wires if not ends & set(wire.terminals))
        gone = {part.name, *(each.name for each in part.seats)} | {wire.name for wire in arrangement.wires} - {wire.name for wire in wires}
        parts = tuple(other for other in arrangement.parts if other is not part)
        rule = tuple(line for line in arrangement.rule if line.part not in gone)
        needed = {getattr(other, "control", None) for other in parts} | {control for line in rule for control, _ in line.when}
        own = getattr(part, "control", None)
        controls = tuple(control for control in arrangement.controls if control.name != own or own in needed)
        return replace(arrangement, controls=controls, parts=parts, wires=wires, rule=rule,
                       held=tuple(pair for pair in arrangement.held if pair[0] not in gone),
                       not_known=tuple(name for name in arrangement.not_known if name not in gone))


@dataclass(frozen=True)
class AddControl(metaclass=Maker):
    """Put in one more thing for a hand or foot to move; switches can then name it.

    >>> print(AddControl(Control("key", ("off", "on"))))
    add control key: off, on
    """

    control: Control

    def __post_init__(self):
        must_be_a(Control, self.control, "a control. Give one such as Control('hazard', ('off', 'on')).")

    def __str__(self):
        return f"add {control_words(self.control)}"

    def apply(self, arrangement):
        return replace(arrangement, controls=arrangement.controls + (self.control,))


def changed(arrangement, *changes):
    """Return the arrangement with every change made in turn; the given one stays as it is.

    >>> import circuitlab as cl
    >>> changed(cl.arrangement("one-fused-lamp"), SetValue("F1", "rating", 3.0)).part("F1").rating
    3.0
    """
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
    raise UnknownName(f"wire '{wire.name}' is not on {shown(terminal)}. Its ends are on {wire.start} and {wire.end}.",
                      part=wire.name, allowed=[wire.start, wire.end])

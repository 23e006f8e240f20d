"""An arrangement: named parts, the wires between their terminals, and the controls that move them.

Terminals are the points of the circuit. A wire is a part of its own. Nothing
about an arrangement is typed twice: tables, pictures, lists and benches are
all made from this record.
"""

from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property

from ..ground.arguments import STATES, must_be
from ..ground.errors import ArrangementError, PartError, unknown_name
from ..ground.showing import Showing
from ..parts import Battery, Control, Lamp, Part, Switch, Wire


@dataclass(frozen=True)
class Wanted:
    """One line of the rule: what a lamp shall show, and when.

    The lines of a lamp are read in order, the first that fits wins, and a lamp
    that no line fits shall be dark.

    Parameters
    ----------
    lamp : str
        Name of the lamp. [text]
    look : {"steady", "flashing", "dark"}
        What it shall show. [text]
    when : dict of str to str
        Control positions that must all hold; empty means always. [text]
    """

    lamp: str
    look: str
    when: tuple = ()

    def __post_init__(self):
        try:
            when = tuple(dict(self.when).items())
        except (TypeError, ValueError):
            when = None
        if when is None or len(when) != len(self.when):
            raise ArrangementError(f"the rule for '{self.lamp}' says when={self.when!r}. "
                                   "Give each control once with one position, such as {'key': 'on'}.", part=self.lamp)
        object.__setattr__(self, "when", when)

    def fits(self, positions):
        """Tell whether the line speaks for a row."""
        return all(positions[control] == position for control, position in self.when)


@dataclass(frozen=True, repr=False)
class Arrangement(Showing):
    """A whole circuit.

    Parameters
    ----------
    title : str
        One line in words. [text]
    controls, parts, wires : tuple
        In the order they are to be listed.
    rule : tuple of Wanted
        What each lamp shall do; may be empty.
    held : tuple of (str, str)
        Parts that stay in one state whatever happens: ``("F1", "blown")``. [text]
    name : str
        File name without ending; empty for one just made. [text]
    note : str
        Any remark, kept in the file. [text]

    Raises
    ------
    ArrangementError, PartError, UnknownName
        For two parts of one name, a wire to a terminal that is not there, a
        switch without its control, no battery, or a terminal the rule misnames.

    Examples
    --------
    >>> from circuitlab.parts import Battery, Fuse, Lamp
    >>> one = Arrangement("one lamp", parts=[Battery("G1"), Fuse("F1", 5), Lamp("E1")], wires=[
    ...     Wire("W1", "G1:+", "F1:1", "RD"), Wire("W2", "F1:2", "E1:1", "RD"), Wire("W3", "E1:2", "G1:-", "BK")])
    >>> one.part("E1").watts
    26.5
    """

    title: str
    controls: tuple = ()
    parts: tuple = ()
    wires: tuple = ()
    rule: tuple = ()
    held: tuple = ()
    name: str = ""
    note: str = ""

    def __post_init__(self):
        for field in ("controls", "parts", "wires", "rule"):
            value = getattr(self, field)
            if not isinstance(value, (list, tuple)):
                raise ArrangementError(f"'{field}' must be a list, even of one thing, got {value!r}.")
            object.__setattr__(self, field, tuple(value))
        must_be(self.held, STATES, "held", "Arrangement")
        object.__setattr__(self, "held", tuple(dict(self.held).items()))
        _check_kinds(self)
        _check_names(self)
        others = {part.name: part.aliases for part in self.parts if part.aliases}
        object.__setattr__(self, "wires", tuple(_today(wire, others) for wire in self.wires))
        _check_joins(self)

    html_view = "draw"

    @property
    def brief(self):
        """In one sentence. [text]"""
        return (f"Arrangement '{self.title}': {len(self.parts)} parts, {len(self.wires)} wires, "
                f"{len(self.controls)} controls. print() lists them.")

    @cached_property
    def by_name(self):
        """Every part and wire by its name."""
        return {part.name: part for part in self.parts + self.wires}

    @cached_property
    def controls_by_name(self):
        """Every control by its name."""
        return {control.name: control for control in self.controls}

    @cached_property
    def terminals(self):
        """Every terminal as ``part:terminal``, parts in order. [text]"""
        return tuple(f"{part.name}:{terminal}" for part in self.parts for terminal in part.terminals)

    @cached_property
    def battery(self):
        """The first battery; its minus terminal is where volts are counted from."""
        return next(part for part in self.parts if isinstance(part, Battery))

    @cached_property
    def wires_at(self):
        """For each terminal, the names of the wires joined to it. [text]"""
        joined = {terminal: [] for terminal in self.terminals}
        for wire in self.wires:
            joined[wire.start].append(wire.name)
            joined[wire.end].append(wire.name)
        return {terminal: tuple(names) for terminal, names in joined.items()}

    @cached_property
    def loose(self):
        """Terminals with no wire on them. [text]"""
        return tuple(terminal for terminal, names in self.wires_at.items() if not names)

    def part(self, name):
        """Return the part or wire of that name, or raise UnknownName."""
        if name not in self.by_name:
            raise unknown_name(f"arrangement '{self.name or self.title}'", "part", name, self.by_name)
        return self.by_name[name]

    def control(self, name):
        """Return the control of that name, or raise UnknownName."""
        if name not in self.controls_by_name:
            raise unknown_name(f"arrangement '{self.name or self.title}'", "control", name, self.controls_by_name)
        return self.controls_by_name[name]

    def check_terminal(self, terminal):
        """Return a terminal (``part:terminal``) by today's marking, or raise UnknownName."""
        name, _, end = str(terminal).partition(":")
        part = self.part(name)
        if isinstance(part, Wire):
            raise unknown_name(f"arrangement '{self.name or self.title}'", "terminal", terminal, self.terminals)
        if part.aliases.get(end, end) not in part.terminals:
            raise unknown_name(f"{part.kind} '{name}'", "terminal", end, part.terminals)
        return f"{name}:{part.aliases.get(end, end)}"

    def of_kind(self, record):
        """Return the parts of one kind of record, in order."""
        return tuple(part for part in self.parts if isinstance(part, record))

    def positions(self, moved=()):
        """Return a position for every control: at rest, save those moved.

        Raises
        ------
        UnknownName
            For a control or a position that is not there.
        ArrangementError
            For anything that does not pair controls with positions.
        """
        where = {control.name: control.rest for control in self.controls}
        try:
            moved = dict(moved)
        except (TypeError, ValueError):
            raise ArrangementError(f"{moved!r} does not say which control stands where. "
                                   "Give pairs such as {'key': 'on'}.") from None
        for name, position in moved.items():
            self.control(name).check(position)
            where[name] = position
        return where

    def wanted(self, lamp, positions):
        """Return what the rule asks of a lamp in a row, or None when the rule does not speak of it. [text]"""
        lines = [line for line in self.rule if line.lamp == lamp]
        if not lines:
            return None
        return next((line.look for line in lines if line.fits(positions)), "dark")

    def with_parts(self, *changed, without=()):
        """Return a copy in which the given parts or wires take the place of those of the same name."""
        new = {part.name: part for part in changed}
        for name in (*new, *without):
            self.part(name)
        parts = tuple(new.get(part.name, part) for part in self.parts if part.name not in without)
        wires = tuple(new.get(wire.name, wire) for wire in self.wires if wire.name not in without)
        return replace(self, parts=parts, wires=wires)

    def __str__(self):
        lines = [self.title]
        lines += [f"  {part.name}: {part.kind}" + (f", {part.place}" if part.place else "") for part in self.parts]
        lines += [f"  {wire.name}: {wire.start} to {wire.end}, {wire.colour or 'no colour'}, "
                  f"{wire.length:g} m of {wire.area:g} mm2" for wire in self.wires]
        return "\n".join(lines)


def _check_kinds(arrangement):
    """Raise for anything that is not the sort of thing its list holds, or would not survive a text file."""
    if not isinstance(arrangement.title, str) or not arrangement.title:
        raise ArrangementError(f"an arrangement needs a title in words, got {arrangement.title!r}.")
    if not isinstance(arrangement.note, str):
        raise ArrangementError(f"an arrangement's note must be words in quotes, got {arrangement.note!r}.")
    for control in arrangement.controls:
        if not isinstance(control, Control):
            raise ArrangementError(f"{control!r} is not a control. Give one such as Control('key', ('off', 'on')).")
    for line in arrangement.rule:
        if not isinstance(line, Wanted):
            raise ArrangementError(f"{line!r} is not a line of a rule. Give one such as Wanted('E1', 'steady').")
    for part in arrangement.parts:
        if not isinstance(part, Part) or isinstance(part, Wire):
            raise ArrangementError(f"{part!r} is not a part. Give parts such as Battery or Lamp; "
                                   "wires go into 'wires'.")
    for wire in arrangement.wires:
        if not isinstance(wire, Wire):
            raise ArrangementError(f"{wire!r} is not a wire. Everything else goes into 'parts'.")
    for thing in arrangement.parts + arrangement.wires:
        for field in ("place", "bulb", "note"):
            value = getattr(thing, field, "")
            if not isinstance(value, str):
                thing.must(False, f"{field} must be words in quotes, got {value!r}.")


def _check_names(arrangement):
    """Raise for a name that is no name, or given twice, and where there is no battery."""
    for name, times in Counter(thing.name for thing in arrangement.parts + arrangement.wires).items():
        if not isinstance(name, str) or not name or ":" in name:
            raise PartError(f"a part cannot be named {name!r}. Use letters and a number, such as K1.", part=name)
        if times > 1:
            raise ArrangementError(f"{times} parts are named '{name}'. Give each its own name.", part=name)
    for name, times in Counter(control.name for control in arrangement.controls).items():
        if times > 1:
            raise ArrangementError(f"{times} controls are named '{name}'. Give each its own name.", control=name)
    if not arrangement.of_kind(Battery):
        raise ArrangementError(f"arrangement '{arrangement.title}' has no battery. Add one, such as Battery('G1').")


def _today(wire, others):
    """Return the wire with today's marking of a terminal in the place of an old unit's, and a note that says so."""
    for field in ("start", "end"):
        name, _, end = getattr(wire, field).partition(":")
        now = others.get(name, {}).get(end)
        if now:
            said = f"marked {end} on the unit, which is {now}"
            wire = replace(wire, **{field: f"{name}:{now}"}, note=f"{wire.note}; {said}" if wire.note else said)
    return wire


def _check_joins(arrangement):
    """Raise for a switch, wire, held part or rule that points at something not there."""
    for switch in arrangement.of_kind(Switch):
        for position, _ in switch.closes:
            arrangement.control(switch.control).check(position)
    every = set(arrangement.terminals)
    for wire in arrangement.wires:
        for end in wire.terminals:
            if end in every:
                continue
            try:
                arrangement.check_terminal(end)
            except KeyError as error:
                raise unknown_name(f"wire '{wire.name}' goes to '{end}', but {error.pieces['where']}",
                                   error.pieces["kind"], error.pieces["name"], error.pieces["allowed"]) from None
    for name, state in arrangement.held:
        part = arrangement.part(name)
        states = arrangement.control(part.control).positions if isinstance(part, Switch) else part.states
        if state not in states:
            raise unknown_name(f"{part.kind} '{name}'", "state", state, states)
    for line in arrangement.rule:
        if not isinstance(arrangement.part(line.lamp), Lamp):
            raise unknown_name("the rule", "lamp", line.lamp, [lamp.name for lamp in arrangement.of_kind(Lamp)])
        arrangement.positions(dict(line.when))
        if line.look not in ("steady", "flashing", "dark"):
            raise ArrangementError(f"the rule for '{line.lamp}' asks for '{line.look}'. "
                                   "It may ask for steady, flashing or dark.", part=line.lamp)

"""An arrangement: named parts, the wires between their terminals, and the controls that move them.

Terminals are the points of the circuit. A wire is a part of its own. Nothing
about an arrangement is typed twice: tables, pictures, lists and benches are
all made from this record.
"""

from dataclasses import dataclass, field, fields, replace
from functools import cached_property

from ..ground.errors import ArrangementError, shown, unknown_name
from ..ground.plain import counted
from ..ground.showing import Door, Showing
from ..parts import Battery, Flasher, Lamp, Relay, Wire
from ..parts.law import AMBIENT
from ..parts.making import Maker
from .ambient import ambient_between
from .checks import MOST, as_listed, check_joins, check_kinds, check_list, check_names, held_pairs, must_be_listed, rule_today, today
from .nets import freewheeled, pole_on_frame, poles, sides, supplies
from .not_known import check_not_known, not_known_names
from .plan import Plan, must_be_a_plan
from .unknown import no_terminal, unknown_part, unknown_terminal
from .wanted import Wanted

__all__ = ["Arrangement", "Wanted"]


@dataclass(frozen=True, repr=False)
class Arrangement(Showing, metaclass=Maker):
    """A whole circuit.

    Parameters
    ----------
    title : str
        One line in words. [text]
    controls, parts, wires : tuple
        In the order they are to be listed.
    rule : tuple of Wanted
        What each lamp shall do, and which terminals shall be live or dead; may be empty.
    held : tuple of (str, str)
        Parts that stay in one state whatever happens: ``("F1", "blown")``. [text]
    name : str
        File name without ending; empty for one just made. [text]
    note : str
        Any remark of yours; the build sheet prints it, nothing else asks for it. [text]
    ambient : float
        The temperature round all of it, -30 to 85; every part in it knows. [C]
    frame : {"minus", "plus"}
        Which pole of the battery stands on the frame; plus does in some old tractors. [text]
    not_known : tuple of str
        Names of wires and parts nobody has looked at: each may be as described, or let nothing through. [text]
    plan : Plan
        Where parts stand in the drawings; no part of what makes two arrangements equal.

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
    ambient: float = AMBIENT
    frame: str = "minus"
    not_known: tuple = ()
    plan: Plan = field(default=Plan(), compare=False)

    def __post_init__(self):
        for each in MOST:
            check_list(each, getattr(self, each))
            object.__setattr__(self, each, tuple(getattr(self, each)))
        object.__setattr__(self, "parts", tuple(part for part in self.parts if not getattr(part, "seat", "")))
        object.__setattr__(self, "held", held_pairs(self.held))
        object.__setattr__(self, "ambient", ambient_between(self.ambient))
        object.__setattr__(self, "not_known", not_known_names(self.not_known))
        check_kinds(self)
        object.__setattr__(self, "parts", tuple(one for part in self.parts for one in (part, *part.seats)))
        for each in ("parts", "wires"):
            object.__setattr__(self, each, tuple(part if part.ambient == self.ambient else part.within(ambient=self.ambient)
                                                 for part in getattr(self, each)))
        check_names(self)
        must_be_a_plan(self.plan)
        others = {part.name: part.aliases for part in self.parts if part.aliases}
        object.__setattr__(self, "wires", tuple(today(wire, others) for wire in self.wires))
        object.__setattr__(self, "rule", rule_today(self))
        check_joins(self)
        check_not_known(self)
        beside = freewheeled(self)
        filaments = any(isinstance(part, Lamp) and part.branches()[0].device.warms for part in self.parts)
        parts = tuple(part.within(freewheels=part.name in beside) if isinstance(part, Relay) else
                      part.within(filaments=filaments) if isinstance(part, Flasher) else part for part in self.parts)
        if any(new is not old for new, old in zip(parts, self.parts)):
            object.__setattr__(self, "parts", parts)
            self.__dict__.pop("by_name", None)     # made with the parts as they were given
        object.__setattr__(self, "plan", self.plan.of(self) if self.plan else self.plan)
        self.__dict__.pop("_hash", None)

    def __hash__(self):
        return self._hash

    @cached_property
    def _hash(self):
        """Worked out once: results are kept by their arrangement, which is asked for by itself thousands of times. [1]"""
        return hash(tuple(getattr(self, each.name) for each in fields(self) if each.compare))

    def __getstate__(self):
        """Return what travels to another process, where a text has another hash."""
        return {name: value for name, value in self.__dict__.items() if name != "_hash"}

    html_view = "views.schematic:draw"
    describe, describe_attached = Door("views.schematic:describe"), Door("views.attached:describe_attached")
    count_rows, cautions = Door("arrangements.rows:count_rows"), Door("arrangements.cautions:warnings_for")
    write_text, planned = Door("arrangements.text:write_text"), Door("views.planned:planned")
    poles = cached_property(poles)      # these four as the functions of their names say
    sides = cached_property(sides)
    pole_on_frame = cached_property(pole_on_frame)
    supplies = cached_property(supplies)

    @property
    def brief(self):
        """In one sentence. [text]"""
        return (f"Arrangement '{self.title}': {counted(len(self.listed), 'part')}, {counted(len(self.wires), 'wire')}, "
                f"{counted(len(self.controls), 'control')}. print() lists them.")

    @cached_property
    def by_name(self):
        """Every part and wire by its name."""
        return {part.name: part for part in self.parts + self.wires}

    @cached_property
    def controls_by_name(self):
        """Every control by its name."""
        return {control.name: control for control in self.controls}

    @cached_property
    def listed(self):
        """The parts as they are described, listed and drawn: without what sits in another, as filaments in a bulb and fuses in a block."""
        return tuple(part for part in self.parts if not part.seat)

    @cached_property
    def terminals(self):
        """Every terminal as ``part:terminal``, parts in order. [text]"""
        return tuple(f"{part.name}:{terminal}" for part in self.parts for terminal in part.terminals)

    @cached_property
    def battery(self):
        """The first battery."""
        return next(part for part in self.parts if isinstance(part, Battery))

    @property
    def zero(self):
        """The pole that volts are counted from, where a meter's black lead is. [text]"""
        return self.poles[0]

    @property
    def plus_and_minus(self):
        """The plus and the minus end of all its batteries in a row. [text]"""
        return tuple(sorted(self.poles, key=lambda pole: pole.endswith("-")))

    @property
    def live_pole(self):
        """The battery's pole that is not on the frame: ``plus``, or ``minus`` where plus is. [text]"""
        return "minus" if self.frame == "plus" else "plus"

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
        if not isinstance(name, str) or name not in self.by_name:
            raise unknown_part(self, name)
        return self.by_name[name]

    def control(self, name):
        """Return the control of that name, or raise UnknownName."""
        if not isinstance(name, str) or name not in self.controls_by_name:
            raise unknown_name(f"arrangement '{self.name or self.title}'", "control", name, self.controls_by_name)
        return self.controls_by_name[name]

    def check_terminal(self, terminal):
        """Return a terminal (``part:terminal``) by today's marking, or raise UnknownName."""
        terminal = terminal if isinstance(terminal, str) else shown(terminal)
        name, _, end = terminal.partition(":")
        part = self.part(name)
        if isinstance(part, Wire) or not end:
            raise no_terminal(part)
        if part.aliases.get(end, end) not in part.terminals:
            raise unknown_terminal(part, end)
        return f"{name}:{part.aliases.get(end, end)}"

    def of_kind(self, record):
        """Return the parts of one kind of record, in order."""
        return tuple(part for part in self.parts if isinstance(part, record))

    def is_gone(self, lamp):
        """Tell whether a lamp lets nothing pass whatever it gets: it is held blown, or missing from a wrong bulb. [yes/no]"""
        part = self.part(lamp)
        state = dict(self.held).get(lamp, part.states[0])
        return not any(branch.conducts(state) for branch in part.branches())

    def with_role(self, *roles):
        """Return the parts that have a branch of one of these roles, in order."""
        return tuple(part for part in self.parts if part.first(*roles))

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
            raise ArrangementError(f"{shown(moved)} does not say which control stands where. "
                                   "Give pairs such as {'key': 'on'}.") from None
        for name, position in moved.items():
            self.control(name).check(position)
            where[name] = position
        return where

    def wanted(self, lamp, positions):
        """Return what the rule asks of a lamp or a terminal in a row, or None when it does not speak of it there. [text]"""
        lines = [line for line in self.rule if line.lamp == lamp]
        silent = "dark" if lines and not lines[0].terminal else None
        return next((line.look for line in lines if line.fits(positions)), silent)

    @cached_property
    def unruled(self):
        """Lamps of which the rule does not speak. [text]"""
        spoken = {line.lamp for line in self.rule}
        return tuple(lamp.name for lamp in self.of_kind(Lamp) if lamp.name not in spoken)

    @cached_property
    def ruled_terminals(self):
        """The terminals of which the rule speaks, in its order. [text]"""
        return tuple(dict.fromkeys(line.terminal for line in self.rule if line.terminal))

    def with_parts(self, *changed, without=()):
        """Return a copy in which the given parts or wires take the place of those of the same name."""
        new = as_listed(self, changed)
        for name in (*new, *without):
            must_be_listed(self.part(name))
        parts = tuple(new.get(part.name, part) for part in self.parts if part.name not in without)
        wires = tuple(new.get(wire.name, wire) for wire in self.wires if wire.name not in without)
        return replace(self, parts=parts, wires=wires, not_known=tuple(name for name in self.not_known if name not in without))

    def __str__(self):
        lines = [self.title, *[f"  ambient: {self.ambient:g} C"] * (self.ambient != AMBIENT)]
        lines += ["  plus on the frame"] * (self.frame == "plus")
        lines += [f"  {part.name}: {part.kind}" + (f", {part.place}" if part.place else "") for part in self.listed]
        lines += [f"  {wire.name}: {wire.start} to {wire.end}, {wire.colour or 'no colour'}, "
                  f"{wire.length:g} m of {wire.area:g} mm2" for wire in self.wires]
        return "\n".join(lines)

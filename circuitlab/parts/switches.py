"""Controls (what a hand or foot moves) and the switches they work.

A control has ordered positions named in words, rest first. A switch is a
table: for each position of its control, the pairs of terminals it joins.
Ganged poles and two stop switches on one pedal simply share a control, so an
impossible combination cannot arise.
"""

from dataclasses import dataclass
from typing import ClassVar

from ..ground.errors import ArrangementError, unknown_name
from .law import Branch, Part

CONTACT = 0.01  # ohm, a healthy vehicle switch contact: common practice


@dataclass(frozen=True)
class Control:
    """Something a hand or foot moves.

    Parameters
    ----------
    name : str
        In words, such as ``"brake pedal"``. [text]
    positions : tuple of str
        In words, the resting one first. [text]
    shown : tuple of str
        The same positions in the order the hand meets them; as ``positions`` when not given. [text]
    """

    name: str
    positions: tuple
    shown: tuple = ()

    def __post_init__(self):
        object.__setattr__(self, "positions", tuple(self.positions))
        object.__setattr__(self, "shown", tuple(self.shown) or self.positions)
        if not all(isinstance(position, str) and position for position in self.positions):
            raise ArrangementError(f"control '{self.name}': its positions {self.positions} must all be "
                                   "words in quotes.", control=self.name)
        if len(self.positions) < 2 or len(set(self.positions)) != len(self.positions):
            raise ArrangementError(f"control '{self.name}' needs two or more different positions, rest first.",
                                   control=self.name)
        if sorted(self.shown) != sorted(self.positions):
            raise ArrangementError(f"control '{self.name}' shows {self.shown} but has {self.positions}. "
                                   "Name the same positions in both.", control=self.name)

    @property
    def rest(self):
        """The position nobody has touched. [text]"""
        return self.positions[0]

    def check(self, position):
        """Raise UnknownName unless the control has that position."""
        if position not in self.positions:
            raise unknown_name(f"control '{self.name}'", "position", position, self.positions)


@dataclass(frozen=True)
class Switch(Part):
    """A switch (device letter S) worked by a control.

    Parameters
    ----------
    control : str
        Name of the control that moves it. [text]
    closes : tuple of (str, tuple of (str, str))
        For each position in which anything closes, the pairs of terminals joined. [text]
    worked_by : {"hand", "key", "pedal", "pressure"}
        Chooses the symbol's operator; the law is the same. [text]
    """

    control: str = ""
    closes: tuple = ()
    worked_by: str = "hand"
    resistance: float = CONTACT
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "switch"

    def __post_init__(self):
        try:
            rows = dict(self.closes)
            closes = tuple((position, tuple((one, other) for one, other in pairs)) for position, pairs in rows.items())
        except (TypeError, ValueError):
            self.must(False, "closes must give terminal pairs for each position, such as {'on': [('30', '15')]}, "
                             f"got {self.closes!r}.")
        self.must(len(rows) == len(self.closes), "it names a position twice. Give all its pairs in one place.")
        names = [name for _, pairs in closes for pair in pairs for name in pair]
        self.must(all(isinstance(name, str) and name for name in names),
                  "its terminals must all be words in quotes, such as '49a'.")
        object.__setattr__(self, "closes", closes)
        self.must(isinstance(self.control, str) and self.control, "name the control that works it.")
        self.must(self.terminals, "it closes nothing in any position. Give it at least one pair of terminals.")
        self.must(self.worked_by in ("hand", "key", "pedal", "pressure"),
                  f"worked_by must be hand, key, pedal or pressure, got {self.worked_by!r}.")
        self.must_be_number("resistance", 0.001, 1000, "ohm")

    @property
    def pairs(self):
        """Every pair of terminals some position joins, in the order first named. [text]"""
        return tuple(dict.fromkeys(pair for _, pairs in self.closes for pair in pairs))

    @property
    def terminals(self):
        return tuple(dict.fromkeys(terminal for pair in self.pairs for terminal in pair))

    @property
    def poles(self):
        """Groups of terminals that share a moving contact: (common, (others)). [text]

        A terminal that appears in several pairs is the common one of its pole.
        """
        poles, pairs = {}, self.pairs
        count = {name: sum(name in pair for pair in pairs) for name in self.terminals}
        for pair in pairs:
            common, other = sorted(pair, key=lambda name: -count[name]) if count[pair[0]] != count[pair[1]] else pair
            poles.setdefault(common, []).append(other)
        return tuple((common, tuple(others)) for common, others in poles.items())

    def first_state(self, positions):
        return positions[self.control]

    def branches(self):
        return tuple(Branch(*pair, self.resistance,
                            closed_in=frozenset(position for position, pairs in self.closes if pair in pairs))
                     for pair in self.pairs)


def toggle(name, control, terminals=("1", "2"), **more):
    """Return a two-position switch that closes in the control's position ``on``."""
    return Switch(name, control, {"on": [terminals]}, **more)


def key_switch(name, control="key", **more):
    """Return a key switch: 30 in, 15 out, closed when the key is on."""
    return Switch(name, control, {"on": [("30", "15")]}, worked_by="key", **more)


def turn_lever(name, control="turn lever", poles=(("49a", "L", "R"),), **more):
    """Return a turn lever that latches left, off or right; each pole is (common, left, right)."""
    return Switch(name, control, {"left": [(common, left) for common, left, _ in poles],
                                  "right": [(common, right) for common, _, right in poles]}, **more)


def hazard_switch(name, control="hazard", changeover=(), joins=(), **more):
    """Return a hazard switch: ``changeover`` is (common, at rest, when on), ``joins`` close when on."""
    rest = [(common, at_rest) for common, at_rest, _ in changeover]
    on = [(common, when_on) for common, _, when_on in changeover] + list(joins)
    return Switch(name, control, {"off": rest, "on": on} if rest else {"on": on}, **more)


def plunger_stop_switch(name, control="brake pedal", closed_in=("held",), **more):
    """Return a stop switch worked by the pedal arm: closes in the positions named, the first touch included."""
    return Switch(name, control, {position: [("1", "2")] for position in closed_in}, worked_by="pedal", **more)


def pressure_stop_switch(name, control="brake pedal", closed_in=("held",), **more):
    """Return a stop switch worked by brake pressure: same contact, closes later in the travel."""
    return Switch(name, control, {position: [("1", "2")] for position in closed_in}, worked_by="pressure", **more)

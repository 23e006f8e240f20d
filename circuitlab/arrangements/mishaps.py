"""Mishaps that are changes: two places that touch, everything on a terminal that comes off together, a part that stays as it is."""

from dataclasses import dataclass, replace

from ..ground.errors import ArrangementError, UnknownName, shown
from ..ground.joined import reached
from ..parts import Chassis, Splice, Wire
from ..parts.conductors import TOUCHING
from ..parts.making import Maker
from .sentences import quoted, value_words

TOUCH = 0.01  # ohm, of two bare places that touch: the kit's own figure


@dataclass(frozen=True)
class Short(metaclass=Maker):
    """Let two places touch: two terminals, or a terminal and the bare metal of a chassis.

    Parameters
    ----------
    first : str
        A terminal. [text]
    second : str
        Another one, or the name of a chassis for its bare metal. [text]
    resistance : float
        Of the touch, at least 3 mohm. [ohm]

    >>> print(Short("F1:2", "G1:-"))
    short F1:2 to G1:-
    """

    first: str
    second: str
    resistance: float = TOUCH

    def __str__(self):
        ohms = "" if self.resistance == TOUCH else " " + value_words("resistance", self.resistance)
        return f"short {quoted(self.first)} to {quoted(self.second)}{ohms}"

    def apply(self, arrangement):
        arrangement.check_terminal(self.first)
        is_number = isinstance(self.resistance, int | float) and not isinstance(self.resistance, bool)
        if not is_number or not 0.003 <= self.resistance <= 1e6:
            raise ArrangementError(f"a short must have between 0.003 and 1000000 ohm, got {shown(self.resistance)}.")
        second = self.second
        if not isinstance(second, str) or ":" not in second:
            arrangement, second = _bare_metal(arrangement, second)
        arrangement.check_terminal(second)
        name = unused_name(arrangement, "short")
        joint = (self.resistance - 0.000017241) / 2
        touch = Wire(name, self.first, second, length=TOUCHING, area=1.0, start_joint=joint, end_joint=joint)
        return replace(arrangement, wires=arrangement.wires + (touch,))


def _bare_metal(arrangement, name):
    """Give a chassis one more place to touch; return (arrangement, terminal)."""
    chassis = arrangement.part(name)
    if not isinstance(chassis, Chassis):
        raise UnknownName(f"'{name}' is a {chassis.kind}; only a chassis is all one bare metal. "
                          f"Name a terminal of it, such as '{name}:{chassis.terminals[0]}'.", name=name,
                          allowed=[part.name for part in arrangement.of_kind(Chassis)])
    free = next(
        (f"{name}:{stud}" for stud in reversed(chassis.terminals) if f"{name}:{stud}" in arrangement.loose), None
    )
    if free:
        return arrangement, free
    if chassis.studs == 24:     # as many as a chassis may have: the touch is at one of them
        return arrangement, f"{name}:24"
    larger = replace(chassis, studs=chassis.studs + 1)
    return arrangement.with_parts(larger), f"{name}:{larger.studs}"


@dataclass(frozen=True)
class Lift(metaclass=Maker):
    """Take everything that is wired to a terminal off it; those wires stay joined to each other.

    So a ground bolt with three wires comes loose, so a socket holds a wire whose relay has no such blade.

    >>> print(Lift("F1:2"))
    lift F1:2
    """

    terminal: str

    def __str__(self):
        return f"lift {quoted(self.terminal)}"

    def apply(self, arrangement):
        arrangement.check_terminal(self.terminal)
        names = arrangement.wires_at[self.terminal]
        if not names:
            raise ArrangementError(f"nothing is wired to '{self.terminal}', so nothing comes off it.",
                                   terminal=self.terminal)
        joined = Splice(unused_name(arrangement, "X-" + self.terminal.replace(":", "-")), max(2, len(names)))
        ways = iter(f"{joined.name}:{way}" for way in joined.terminals)
        moved = []
        for name in names:
            wire = arrangement.part(name)
            end = "start" if wire.start == self.terminal else "end"
            moved.append(replace(wire, **{end: next(ways)}))
        return replace(arrangement, parts=arrangement.parts + (joined,)).with_parts(*moved)


@dataclass(frozen=True)
class Hold(metaclass=Maker):
    """Make a part stay in one of its states whatever happens: fuse blown, contact welded, flasher dead.

    Parameters
    ----------
    part : str
        Its name. [text]
    state : str
        One of its states: ``blown`` for a fuse or lamp, ``released``, ``gap`` or
        ``operated`` for a relay, ``off`` for a flasher whose output is dead, a
        position for a switch. [text]

    >>> print(Hold("F1", "blown"))
    blow F1
    """

    part: str
    state: str

    def __str__(self):
        if self.state == "blown":
            return f"blow {quoted(self.part)}"
        verb = "weld" if self.state in ("released", "operated") else "hold"
        return f"{verb} {quoted(self.part)} {quoted(self.state)}"

    def apply(self, arrangement):
        return replace(arrangement, held=(*arrangement.held, (self.part, self.state)))


def nearest_chassis(arrangement, terminal):
    """Return the name of the chassis fewest wires and parts away from a terminal, or None without one. [text]"""
    beside = {part.name: [] for part in arrangement.parts}
    for wire in arrangement.wires:
        a, b = (end.partition(":")[0] for end in wire.terminals)
        beside[a].append(b)
        beside[b].append(a)
    near = reached(beside, terminal.partition(":")[0])
    return next((name for name in near if isinstance(arrangement.part(name), Chassis)), None)


def unused_name(arrangement, stem):
    """Return a name that no part and no wire has yet: the stem, or the stem with a number. [text]"""
    number, name = 1, f"{stem}1" if stem == "short" else stem
    while name in arrangement.by_name:
        number += 1
        name = f"{stem}{number}" if stem == "short" else f"{stem}-{number}"
    return name

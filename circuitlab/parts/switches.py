"""Controls (what a hand or foot moves) and the switches they work.

A control has ordered positions named in words, rest first. A switch is a
table: for each position of its control, the pairs of terminals it joins.
Ganged poles and two stop switches on one pedal simply share a control, so an
impossible combination cannot arise.
"""

from dataclasses import dataclass
from typing import ClassVar

from ..ground.errors import ArrangementError, PartError, shown, unknown_name
from ..ground.limits import MOST_NAME, MOST_PAIRS, MOST_POSITIONS, wrong_with_text
from .branch import Branch, Role
from .law import Part
from .making import Maker
from .values import number, word

CONTACT = 0.01  # ohm, a healthy vehicle switch contact: common practice


@dataclass(frozen=True)
class Control(metaclass=Maker):
    """Something a hand or foot moves.

    Parameters
    ----------
    name : str
        In words, such as ``"brake pedal"``. [text]
    positions : tuple of str
        Two or more in words, the one it rests in first. [text]
    shown : tuple of str
        The same positions in the order the hand meets them, such as left, off, right; as ``positions`` unless given. [text]

    >>> Control("turn lever", ("off", "left", "right")).rest
    'off'
    """

    name: str
    positions: tuple
    shown: tuple = ()

    def __post_init__(self):
        wrong = wrong_with_text(self.name, MOST_NAME)
        if wrong:
            raise ArrangementError(f"a control cannot be named {shown(self.name)}: its name {wrong}. "
                                   "Write a word or two, such as 'brake pedal'.", control=self.name)
        for field in ("positions", "shown"):
            object.__setattr__(self, field, self._listed(field))
        object.__setattr__(self, "shown", self.shown or self.positions)
        self._must(1 < len(self.positions) == len(set(self.positions)),
                   " needs two or more different positions, rest first.")
        self._must(sorted(self.shown) == sorted(self.positions),
                   f" shows {shown(self.shown)} but has {shown(self.positions)}. Name the same positions in both.")

    def _must(self, condition, words):
        """Raise with words behind the control's name unless a condition holds."""
        if not condition:
            raise ArrangementError(f"control '{self.name}'{words}", control=self.name)

    def _listed(self, field):
        """Return one of the lists of positions as a tuple, or raise with what is wrong with it."""
        given = getattr(self, field)
        self._must(not isinstance(given, str),
                   f": {field}={shown(given)} is one text, not a list of positions. Brackets alone make no list: write two "
                   "or more with a comma between them, such as ('off', 'on').")
        self._must(isinstance(given, (list, tuple)),
                   f": {field} must be a list of positions such as ('off', 'on'), got {shown(given)}.")
        self._must(all(isinstance(position, str) and position for position in given),
                   f": its positions {shown(tuple(given))} must all be words in quotes.")
        self._must(len(given) <= MOST_POSITIONS,
                   f" has {len(given)} positions, {MOST_POSITIONS} are allowed. Share them among two controls.")
        for position in given:
            wrong = wrong_with_text(position, MOST_NAME)
            self._must(not wrong, f": its position {shown(position)} {wrong}.")
        return tuple(given)

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
        Name of the control that moves it. Two switches on one pedal have the same control. [text]
    closes : tuple of (str, tuple of (str, str))
        For each position of its control the pairs of terminals joined then; a position that is left out joins none. [text]
    worked_by : {"hand", "key", "pedal", "pressure"}
        Chooses what moves it in the drawing; it works the same. [text]
    resistance : float
        Of each closed contact; a burned one has more. [ohm]

    Terminals
    ---------
    your own : every name in ``closes`` is a terminal, such as 30 and 15 of a key switch, or 49a, L and R of a turn lever

    >>> Switch("S1", "key", {"on": [("30", "15")]}).terminals
    ('30', '15')
    """

    control: str = ""
    closes: tuple = ()
    worked_by: str = word("hand", ("hand", "key", "pedal", "pressure"))
    resistance: float = number(CONTACT, 0.001, 1000, "ohm")
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "switch"
    letter: ClassVar[str] = "S"

    def __post_init__(self):
        super().__post_init__()
        try:
            rows = dict(self.closes)
            closes = tuple((position, tuple((one, other) for one, other in pairs)) for position, pairs in rows.items())
            fits = not any(isinstance(pair, str) for pairs in rows.values() for pair in pairs)
        except (TypeError, ValueError):
            fits = False
        self.must(fits, "closes must give terminal pairs for each position, such as {'on': [('30', '15')]}, "
                        f"got {shown(self.closes)}.")
        self.must(len(rows) == len(self.closes), "it names a position twice. Give all its pairs in one place.")
        names = [name for _, pairs in closes for pair in pairs for name in pair]
        self.must(all(isinstance(name, str) and name for name in names),
                  "its terminals must all be words in quotes, such as '49a'.")
        self.must(len(names) <= 2 * MOST_PAIRS, f"it joins {len(names) // 2} pairs, {MOST_PAIRS} are allowed. "
                                                "Share them among two switches of one control.")
        for what, name in [*(("position", position) for position in rows), *(("terminal", name) for name in names)]:
            wrong = wrong_with_text(name, MOST_NAME)
            self.must(not wrong, f"its {what} {shown(name)} {wrong}.")
            self.must(what == "position" or ":" not in name, f"its terminal {shown(name)} holds a colon, which stands "
                                                             "between part and terminal. Leave it out.")
        alone = next((one for _, pairs in closes for one, other in pairs if one == other), "")
        self.must(not alone, f"it closes {shown(alone)} with itself. Name the two terminals that it joins.")
        object.__setattr__(self, "closes", closes)
        self.must(isinstance(self.control, str) and self.control, "name the control that works it, in quotes.")
        self.must(self.terminals, "it closes nothing in any position. Give it at least one pair of terminals.")

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
        return tuple(Branch(*pair, Role.CONTACT, self.resistance,
                            closed_in=frozenset(position for position, pairs in self.closes if pair in pairs))
                     for pair in self.pairs)


def toggle(name, control, terminals=("1", "2"), **more):
    """Return a two-position switch that closes in the control's position ``on``.

    >>> toggle("S1", "lamp switch").closes
    (('on', (('1', '2'),)),)
    """
    (pair,) = _fitting(name, "terminals", [terminals], ("1", "2"))
    if set(pair) & set(_POSITIONS):
        raise PartError(f"switch {shown(name)}: {pair[0]!r} and {pair[1]!r} are taken for its two terminals, but they are "
                        "words for positions. A toggle closes in position 'on'; for other positions write "
                        f"turn_lever({shown(name)}) or Switch({shown(name)}, {shown(control)}, "
                        f"{{{pair[1]!r}: [('1', '2')]}}).", part=name)
    return Switch(name, control, {"on": [pair]}, **more)


def key_switch(name, control="key", **more):
    """Return a key switch: 30 in, 15 out, closed when the key is on.

    >>> key_switch("S1").terminals
    ('30', '15')
    """
    return Switch(name, control, {"on": [("30", "15")]}, worked_by="key", **more)


def turn_lever(name, control="turn lever", poles=(("49a", "L", "R"),), **more):
    """Return a turn lever that latches left, off or right; each pole is (common, left, right).

    >>> turn_lever("S3").terminals
    ('49a', 'L', 'R')
    """
    poles = _fitting(name, "poles", poles, ("49a", "L", "R"))
    return Switch(name, control, {"left": [(common, left) for common, left, _ in poles],
                                  "right": [(common, right) for common, _, right in poles]}, **more)


def hazard_switch(name, control="hazard", changeover=(), joins=(), **more):
    """Return a hazard switch: ``changeover`` is (common, at rest, when on), ``joins`` close when on.

    >>> hazard_switch("S4", joins=[("30", "15")]).closes
    (('on', (('30', '15'),)),)
    """
    changeover = _fitting(name, "changeover", changeover, ("49", "15", "30"))
    rest = [(common, at_rest) for common, at_rest, _ in changeover]
    on = [(common, when_on) for common, _, when_on in changeover] + _fitting(name, "joins", joins, ("L", "R"))
    return Switch(name, control, {"off": rest, "on": on} if rest else {"on": on}, **more)


def plunger_stop_switch(name, control="brake pedal", closed_in=("held",), **more):
    """Return a stop switch worked by the pedal arm: closes in the positions named, the first touch included.

    >>> plunger_stop_switch("S2").closes
    (('held', (('1', '2'),)),)
    """
    return _stop_switch(name, control, closed_in, "pedal", more)


def pressure_stop_switch(name, control="brake pedal", closed_in=("held",), **more):
    """Return a stop switch worked by brake pressure: same contact, closes later in the travel.

    >>> pressure_stop_switch("S2").worked_by
    'pressure'
    """
    return _stop_switch(name, control, closed_in, "pressure", more)


def _stop_switch(name, control, closed_in, worked_by, more):
    if not isinstance(closed_in, (list, tuple)) or not all(isinstance(position, str) for position in closed_in):
        raise PartError(f"switch {shown(name)}: closed_in must be a list of positions such as ('held',) with its comma, "
                        f"got {shown(closed_in)}.", part=name)
    return Switch(name, control, {position: [("1", "2")] for position in closed_in}, worked_by=worked_by, **more)


def _fitting(name, field, groups, example):
    """Return groups of terminals as a list of tuples as long as an example, or raise with how to write them."""
    fits = isinstance(groups, (list, tuple)) and all(
        isinstance(group, (list, tuple)) and len(group) == len(example) and all(isinstance(one, str) for one in group)
        for group in groups)
    if not fits:
        got, wanted = (groups[0], example) if field == "terminals" else (groups, [example])
        raise PartError(f"switch {shown(name)}: {field} must be {_SORTS[field]}, such as {wanted}, got {shown(got)}.",
                        part=name)
    return [tuple(group) for group in groups]


_SORTS = {"terminals": "a pair of terminals in quotes", "joins": "a list of pairs of terminals in quotes",
          "poles": "a list of (common, left, right) in quotes", "changeover": "a list of (common, at rest, when on) in quotes"}
_POSITIONS = ("on", "off", "left", "right", "held", "released")

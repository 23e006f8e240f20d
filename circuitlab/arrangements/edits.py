"""Edits: changes whoever makes a circuit of one's own needs besides those of parts and wires: names, title, controls, the rule.

Each is a change as in :mod:`~circuitlab.arrangements.changes`: a record, a sentence that is read back, undone by replay.
"""

import re
from dataclasses import dataclass, fields, replace

from ..ground.errors import ArrangementError, listed, shown, unknown_name
from ..parts import Lamp
from ..parts.making import Maker
from .asked_back import check_free
from .checks import must_be_listed
from .naming import renamed
from .sentences import as_typed, opened, quoted
from .unknown import no_lamp
from .wanted import LAMP_LOOKS, TERMINAL_LOOKS, Wanted

_NAMES = "a name in quotes, such as 'K1'"
RULE_FORM = 'rule E1: steady when "brake pedal" held; flashing when "turn lever" left and key on'
_ALIKE = {"flash": "flashing", "flashes": "flashing", "lit": "steady", "out": "dark", "off": "dark"}


class _Worded:
    """What all edits have in common: their names are text."""

    def __post_init__(self):
        for field in fields(self):
            value = getattr(self, field.name)
            if field.name != "lines" and not isinstance(value, str):
                raise ArrangementError(f"the {field.name} of {type(self).__name__} must be {_NAMES}, got {shown(value)}.")


@dataclass(frozen=True)
class Rename(_Worded, metaclass=Maker):
    """Give a part or wire another name; wires, rule and whatever is held follow.

    >>> print(Rename("K1", "K4"))
    rename K1 K4
    """

    old: str
    new: str

    def __str__(self):
        return f"rename {quoted(self.old)} {quoted(self.new)}"

    def apply(self, arrangement):
        must_be_listed(arrangement.part(self.old))
        part = replace(arrangement.part(self.old), name=self.new)      # says what no part can be named
        if self.new != self.old:
            check_free(arrangement, self.new, part.kind, is_new=False)
        return renamed(arrangement, {self.old: self.new})


@dataclass(frozen=True)
class RenameControl(_Worded, metaclass=Maker):
    """Give a control another name; its switches and the rule follow.

    >>> print(RenameControl("brake pedal", "stop pedal"))
    rename control "brake pedal" "stop pedal"
    """

    old: str
    new: str

    def __str__(self):
        return f"rename control {quoted(self.old)} {quoted(self.new)}"

    def apply(self, arrangement):
        arrangement.control(self.old)
        names = {self.old: self.new}
        parts = [part.with_value("control", self.new) if getattr(part, "control", None) == self.old else part for part in arrangement.parts]
        rule = [replace(line, when=tuple((names.get(control, control), position) for control, position in line.when))
                for line in arrangement.rule]
        controls = [replace(control, name=names.get(control.name, control.name)) for control in arrangement.controls]
        return replace(arrangement, controls=controls, parts=parts, rule=rule)


@dataclass(frozen=True)
class RemoveControl(_Worded, metaclass=Maker):
    """Take out a control that nothing is worked by any more.

    Raises
    ------
    ArrangementError
        When a switch is worked by it, or the rule speaks of it.

    >>> print(RemoveControl("hazard"))
    remove control hazard
    """

    name: str

    def __str__(self):
        return f"remove control {quoted(self.name)}"

    def apply(self, arrangement):
        control = arrangement.control(self.name)
        worked = worked_by(arrangement, self.name)
        if worked:
            raise ArrangementError(f"control '{self.name}' works {listed(worked)}. Remove {'it' if len(worked) == 1 else 'them'} first, such as "
                                   f"'remove {quoted(worked[0])} with its wires'.", control=self.name)
        ruled = ruled_by(arrangement, self.name)
        if ruled:
            raise ArrangementError(f"the rule of {listed(ruled)} speaks of control '{self.name}'. Write that rule anew first, or type "
                                   f"'forget rule {quoted(ruled[0])}'.", control=self.name)
        return replace(arrangement, controls=tuple(each for each in arrangement.controls if each is not control))


def worked_by(arrangement, control):
    """Return the names of the switches that a control works. [text]"""
    return tuple(part.name for part in arrangement.parts if getattr(part, "control", None) == control)


def ruled_by(arrangement, control):
    """Return the lamps and terminals whose rule speaks of a control. [text]"""
    return tuple(dict.fromkeys(line.lamp for line in arrangement.rule if control in dict(line.when)))


@dataclass(frozen=True)
class SetRule(_Worded, metaclass=Maker):
    """Say what a lamp shall do, or a terminal be, in the place of what the rule said of it.

    Parameters
    ----------
    lamp : str
        Its name, or a terminal. [text]
    lines : tuple of (str, tuple of (str, str))
        Look and control positions, read in order, the first that fits wins; none takes the rule of it out. [text]

    >>> print(SetRule("E1", (("steady", (("brake pedal", "held"),)), ("dark", ()))))
    rule E1: steady when "brake pedal" held; dark
    """

    lamp: str
    lines: tuple

    def __post_init__(self):
        super().__post_init__()
        try:
            lines = tuple((look, tuple((control, position) for control, position in dict(when).items())) for look, when in self.lines)
            fits = not isinstance(self.lines, str) and all(isinstance(word, str) for look, when in lines for word in (look, *sum(when, ())))
        except (TypeError, ValueError):
            fits = False
        if not fits:
            raise ArrangementError(f"the lines of a rule are looks, each with its control positions, such as [('steady', {{'key': 'on'}})], "
                                   f"got {shown(self.lines)}.")
        object.__setattr__(self, "lines", lines)

    def __str__(self):
        if not self.lines:
            return f"forget rule {quoted(self.lamp)}"
        return f"rule {quoted(self.lamp)}: {choices_words(self.lines)}"

    def apply(self, arrangement):
        lines = tuple(Wanted(self.lamp, look, when) for look, when in self.lines)
        _check_ruled(arrangement, self.lamp)
        if not lines and self.lamp not in [line.lamp for line in arrangement.rule]:
            raise ArrangementError(f"the rule does not speak of '{self.lamp}'. It speaks of: "
                                   f"{listed(dict.fromkeys(line.lamp for line in arrangement.rule)) or 'nothing'}.", part=self.lamp)
        others = [line for line in arrangement.rule if line.lamp != self.lamp]
        place = next((number for number, line in enumerate(arrangement.rule) if line.lamp == self.lamp), len(others))
        return replace(arrangement, rule=(*others[:place], *lines, *others[place:]))


def choices_words(lines):
    """Return looks, each with its control positions, as they stand in a sentence: ``steady when key on; dark``. [text]"""
    said = [(look, " and ".join(" ".join(quoted(name, ";") for name in pair) for pair in when)) for look, when in lines]
    return "; ".join(f"{look} when {where}" if where else look for look, where in said)


def _check_ruled(arrangement, name):
    """Raise for what is neither a lamp nor a terminal that is there."""
    if ":" in name:
        arrangement.check_terminal(name)
    elif not isinstance(arrangement.part(name), Lamp):
        raise no_lamp("the rule", arrangement.part(name), [lamp.name for lamp in arrangement.of_kind(Lamp)])


@dataclass(frozen=True)
class SetTitle(_Worded, metaclass=Maker):
    """Give the circuit another title.

    >>> print(SetTitle("My first cart"))
    title "My first cart"
    """

    title: str

    def __str__(self):
        return f"title {quoted(self.title)}"

    def apply(self, arrangement):
        return replace(arrangement, title=self.title)


# ------------------------------------------------------------------ read

def read_rename(control, old, new):
    """Return the change that a sentence with two names asks for."""
    return (RenameControl if control else Rename)(old, new)


def read_rule(name, words, arrangement):
    """Return the change that a sentence such as :data:`RULE_FORM` asks for, its words still closed.

    Lines end with a semicolon or ``else``; ``and`` joins positions, ``or`` makes a line of each.
    """
    _check_ruled(arrangement, name)
    lines = []
    for line in filter(None, re.split(r"\s*(?:;|,? ?\belse\b)\s*", words.strip(" ,"), flags=re.IGNORECASE)):
        look, word, when = (piece or "" for piece in re.fullmatch(r"(.*?)(?: (when|if)(?: (.*))?)?", line, re.IGNORECASE).groups())
        if word and not when:
            raise ArrangementError(f"the rule of '{name}' does not say when it is {as_typed(look)}. Write it so: {RULE_FORM}.", part=name)
        look = _look(name, look)
        lines += [(look, _conditions(each, arrangement)) for each in re.split(r" or ", when, flags=re.IGNORECASE)]
    if not lines:
        raise ArrangementError(f"the rule of '{name}' says nothing. Write it so: {RULE_FORM}.", part=name)
    return SetRule(name, tuple(lines))


def _look(name, typed):
    """Return what a lamp or terminal shall look like, from the word typed for it. [text]"""
    looks, look = TERMINAL_LOOKS if ":" in name else LAMP_LOOKS, opened(typed).lower()
    look = _ALIKE.get(look, look) if ":" not in name or look.startswith("flash") else look
    if look not in looks:
        raise unknown_name(f"the rule of '{name}'", "look", as_typed(typed), looks)
    return look


def _conditions(text, arrangement):
    """Return the control positions that a condition names, none of an empty one. [text]"""
    return tuple(_position(each.strip(), arrangement) for each in re.split(r" and ", text, flags=re.IGNORECASE) if each.strip())


def _position(text, arrangement):
    """Return ``(control, position)`` of ``"turn lever" left``, or of ``turn lever is left`` without quotes."""
    controls, words = arrangement.controls_by_name, opened(text)
    name, _, rest = map(opened, text.partition(" "))
    if name not in controls or " " in text.partition(" ")[2]:      # not the two words a change says of itself
        name = max((each for each in controls if f"{words} ".lower().startswith(f"{each} ".lower())), key=len, default="")
        rest = words[len(name):].strip()
    if not name:
        raise unknown_name(f"arrangement '{arrangement.name or arrangement.title}'", "control", opened(text.rpartition(" ")[0] or text), controls)
    positions = controls[name].positions
    if not rest:
        raise ArrangementError(f"the rule does not say where '{name}' stands. Write {listed(f'{quoted(name)} {quoted(each)}' for each in positions)}.",
                               control=name)
    rest = rest if rest in positions else rest.removeprefix("is ").removeprefix("= ")
    rest = next((each for each in positions if each.lower() == rest.lower()), rest) if rest not in positions else rest
    controls[name].check(rest)
    return name, rest

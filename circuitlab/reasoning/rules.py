"""Rules in words: what each lamp shall do, read from sentences close to the trade and put on an arrangement.

    rear left: flash when turn left or hazard, else steady when stop, else dark

Before the colon stand one or more places of lamps, or their names. A choice
is ``flash``, ``steady`` or ``dark`` and a condition; the first that fits
wins. A condition joins words by ``and``, ``or``, ``not`` and brackets. A word
is one of the trade (``turn left``, ``stop``, ``hazard``), a control with a
position (``key on``), or a control alone, which means: not at rest.

    S1:15: dead when key off

A terminal may be named as well; it is ``live``, ``dead`` or ``flash``, which
is live in time with the flasher. Where its choices do not fit, nothing is
asked of it.
"""

from dataclasses import dataclass, field, fields, replace
from os import PathLike

from ..arrangements.text import read_table
from ..ground.errors import ArrangementError, CircuitLabError, FileError, UnknownName, shown, unknown_name
from ..ground.places import kit_folder
from ..ground.showing import Showing
from ..parts.making import Maker
from .asked import asked_of, lamp_list, place_of
from .conditions import always, literal, never
from .reading import condition_words

FORMAT = 1
MOST_LIMIT = 1000      # of any of them, flashes per minute, shares or seconds

@dataclass(frozen=True)
class Limits(metaclass=Maker):
    """What is asked of a lamp that shall flash, judged from its computed time course.

    Parameters
    ----------
    slowest, fastest : float
        Flashes per minute. Source of 60 to 120: StVZO s.54, UN R48 par. 6.5.9, SAE J974 par. 4.3. [1/min]
    least_on, most_on : float
        Share of a period with light. 0.30 to 0.75: SAE J590/J945 Fig. 1, from memory. [1]
    first_light, first_dark : float
        Longest time from moving the control to the first light, and to the first moment without. Source of 1.0 and
        1.5: UN R48 par. 6.5.9.1 as summarised. [s]
    """

    slowest: float = 60.0
    fastest: float = 120.0
    least_on: float = 0.30
    most_on: float = 0.75
    first_light: float = 1.0
    first_dark: float = 1.5

    def __post_init__(self):
        for limit in fields(self):
            value = getattr(self, limit.name)
            if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= MOST_LIMIT:
                raise ArrangementError(f"the limit '{limit.name}' of a rule must be a number from 0 to {MOST_LIMIT}.")


@dataclass(frozen=True, repr=False)
class Rule(Showing, metaclass=Maker):
    """Sentences that say what lamps shall do, with their source.

    Parameters
    ----------
    sentences : tuple of str
        One for each lamp or group of lamps, in the form above. [text]
    title, source, note, name : str
        What it is about, who says so, remarks, and the file's name. [text]
    words : dict of str to tuple of str
        Meanings of further words, or other meanings; an entry ``"never"`` serves where the controls are missing. [text]
    limits : Limits
    colours : dict of str to tuple of str
        Colours of light allowed at a place; places not named may have any. [text]
    if_fitted : bool
        True leaves out places where an arrangement has no lamp; false makes them an error. [yes/no]

    >>> Rule("rear left: steady when stop, else dark").sentences
    ('rear left: steady when stop, else dark',)
    """

    sentences: tuple
    title: str = ""
    source: str = ""
    note: str = ""
    words: dict = field(default_factory=dict)
    limits: Limits = Limits()
    colours: dict = field(default_factory=dict)
    if_fitted: bool = False
    name: str = ""

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"Rule '{self.title or self.name or 'without a title'}': {' / '.join(self.sentences)}"

    def __post_init__(self):
        given = (self.sentences,) if isinstance(self.sentences, str) else self.sentences
        if not _texts(given) or not given or not all(map(str.strip, given)):
            raise ArrangementError("a rule needs sentences such as 'rear left: flash when turn left, else dark'.")
        object.__setattr__(self, "sentences", tuple(line.strip() for text in given for line in text.splitlines()
                                                    if line.strip()))
        for what, table in (("words", self.words), ("colours", self.colours)):
            if not isinstance(table, dict) or not _texts(list(table)) or not all(map(_texts, table.values())):
                raise ArrangementError(f"the {what} of a rule are a table of lists of texts, such as "
                                       f"{{'go': ('key on',)}}, got {shown(table)}.")
        if not isinstance(self.limits, Limits):
            raise ArrangementError(f"the limits of a rule are Limits(...), got {shown(self.limits)}.")

    def __str__(self):
        return "\n".join(self.sentences)


def _texts(value):
    return isinstance(value, (list, tuple)) and all(isinstance(one, str) for one in value)


def rule_names():
    """Return the names of the rules in ``datasets/rules``, sorted. [text]

    >>> "stop-over-turn" in rule_names()
    True
    """
    return sorted(path.stem for path in (kit_folder("datasets") / "rules").glob("*.toml"))


def rule(name_or_text):
    """Return a rule by its name in the kit, from a ``.toml`` file, or from sentences.

    Parameters
    ----------
    name_or_text : str
        Such as ``"stop-over-turn"``, ``"my-rule.toml"`` or ``"rear left: steady when stop, else dark"``. [text]

    >>> rule("E1: steady when key on, else dark")
    Rule 'without a title': E1: steady when key on, else dark
    """
    text = str(name_or_text) if isinstance(name_or_text, (str, PathLike)) else shown(name_or_text)
    if text.endswith(".toml"):
        return _load(text)
    if ":" in text:
        return Rule((text,))
    if text not in rule_names():
        error = unknown_name("the kit", "rule", text, rule_names())
        if " " in text.strip():
            raise UnknownName(f"{error.sentence} If it is meant as a sentence: first the lamp or terminal, then a colon, as in "
                              "'rear left: flash when turn left'.", **error.pieces)
        raise error
    return _load(kit_folder("datasets") / "rules" / f"{text}.toml")


def _load(path):
    data, path = read_table(path)
    known = {"format", "title", "source", "note", "sentences", "words", "limits", "colours", "if_fitted"}
    for key in data:
        if key not in known:
            raise unknown_name(f"'{path.name}'", "key", key, sorted(known))
    if data.get("format") != FORMAT:
        raise FileError(f"'{path.name}' says format {data.get('format')!r}. This kit reads format {FORMAT}.")
    try:
        words = {word: _written(meaning) for word, meaning in data.get("words", {}).items()}
        colours = {place: _written(allowed) for place, allowed in data.get("colours", {}).items()}
        told = {key: data.get(key, "") for key in ("title", "source", "note")}
        if not all(isinstance(each, str) for each in told.values()) or not isinstance(data.get("if_fitted", False), bool):
            raise TypeError
        return Rule(_written(data["sentences"]), **told, words=words, limits=Limits(**data.get("limits", {})),
                    colours=colours, if_fitted=data.get("if_fitted", False), name=path.stem)
    except CircuitLabError as error:
        raise FileError(f"'{path.name}': {error}", file=path.name) from None
    except (KeyError, TypeError, AttributeError):
        raise FileError(f"'{path.name}' is not a rule. It needs sentences = [\"...\"], and may have title, source, "
                        "note, if_fitted, [words], [limits] and [colours].", file=path.name) from None


def _written(value):
    """Return one text or a list of some, as it stands in a file, as a tuple; raise TypeError for anything else."""
    texts = (value,) if isinstance(value, str) else value
    if not _texts(texts) or not texts or not all(map(str.strip, texts)):
        raise TypeError
    return tuple(texts)


def with_rule(arrangement, asked):
    """Return the arrangement with another rule in place of its own.

    Parameters
    ----------
    arrangement : Arrangement
    asked : Rule or str
        A rule, or what :func:`rule` takes. [text]

    Raises
    ------
    UnknownName
        For a lamp, a terminal, a control or a position that the arrangement does not have.
    ArrangementError
        For a sentence that cannot be read, sentences that contradict each other, or a choice that can never count.

    >>> import circuitlab as cl
    >>> len(with_rule(cl.arrangement("one-fused-lamp"), "E1: dark").rule)
    1
    """
    asked = asked if isinstance(asked, Rule) else rule(asked)
    wanted = asked_of(arrangement, asked)
    if not wanted or asked.if_fitted and all(line.terminal for line in wanted):
        raise ArrangementError(f"the rule '{asked.title or asked.name or asked}' speaks of no lamp of "
                               f"'{arrangement.title}'. Its lamps are: {lamp_list(arrangement)}.")
    return replace(arrangement, rule=tuple(wanted))


def rule_sentence(arrangement, lamp):
    """Return what the arrangement's rule asks of a lamp or terminal, as a sentence that can be read back; empty for nothing.

    >>> from circuitlab.arrangements import arrangement
    >>> rule_sentence(arrangement("shared-filament-rear-relays"), "E3")
    'front left: flash when key on and turn lever left, else dark'
    """
    lines = [line for line in arrangement.rule if line.lamp == lamp]
    if not lines:
        return ""
    domain = tuple((control.name, control.positions) for control in arrangement.controls)
    choices, before, taken = [], [], never(domain)
    for line in lines:
        condition = always(domain)
        for control, position in line.when:
            condition &= literal(domain, control, position)
        if (condition & ~taken).is_never:     # the lines before it take all its rows
            continue
        taken |= condition
        if before and before[-1][0] == line.look:
            before[-1][1] |= condition
        else:
            before.append([line.look, condition])
    for look, condition in before:
        word = "flash" if look == "flashing" else look
        choices.append(word if condition.is_always else f"{word} when {condition_words(condition.shortest())}")
    if not taken.is_always and not lines[0].terminal:
        choices.append("dark")
    return f"{place_of(arrangement, lamp)}: {', else '.join(choices)}"

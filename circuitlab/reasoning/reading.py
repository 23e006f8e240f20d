"""Reading a sentence of a rule, and its conditions: words joined by and, or, not and brackets.

Names of lamps, controls and positions with letters or words that the grammar
needs for itself stand in quotes: ``"left, rear": steady when "push or pull" "half on"``.
"""

import re
from math import prod

from ..arrangements.sentences import as_typed, closed, in_quotes, opened
from ..ground.errors import ArrangementError, in_short, unknown_name
from ..ground.limits import MOST_BRACKETS, MOST_CASES
from .conditions import always, literal, never

# What the words of the trade mean unless a rule says otherwise: the first line whose controls are all there counts.
WORDS = {
    "turn left": ("turn lever left and key on", "turn lever left"),
    "turn right": ("turn lever right and key on", "turn lever right"),
    "stop": ("brake pedal held",),
    "hazard": ("hazard on",),
    "tail": ("tail lamps on",),
}

LAMP_CHOICES = {"flash": "flashing", "steady": "steady", "dark": "dark"}
TERMINAL_CHOICES = {"live": "live", "flash": "flashing", "dead": "dead"}
LOOKS = {**LAMP_CHOICES, **TERMINAL_CHOICES, "flashing": "flashing"}
_JOINING = ("and", "or", "not", "(", ")")
_GRAMMAR = frozenset((*_JOINING, "when", "else", "always", "never"))
_BARE = re.compile(r"[\w/+'-]+(?: [\w/+'-]+)*")


def bare(name):
    """Tell whether a name, of one word or more, can stand in a rule without quotes."""
    return bool(_BARE.fullmatch(name)) and not _GRAMMAR & set(name.split())


def fact_words(domain, name, position):
    """Return a control and a position as they stand in a rule: in quotes where they could be read otherwise."""
    word = f"{name} {position}"
    meant = [(one, place) for one, places in domain for place in places if f"{one} {place}" == word]
    longest = max((one for one, _ in domain if word.startswith(f"{one} ")), key=len, default="")
    plain = bare(name) and bare(position) and len(meant) == 1 and longest == name and word not in WORDS
    return word if plain else f"{in_quotes(name)} {in_quotes(position)}"


def condition_words(condition):
    """Return a condition as words that can be read back: ``key on and turn lever left or hazard on``."""
    if condition.is_never:
        return "never"
    values = dict(condition.domain)
    order = list(values)
    said = []
    for term in condition.terms:
        facts = []
        for name in sorted(term, key=order.index):
            allowed = [value for value in values[name] if value in term[name]]
            others = [value for value in values[name] if value not in term[name]]
            facts.append(fact_words(condition.domain, name, allowed[0]) if len(allowed) == 1 else
                         " and ".join(f"not {fact_words(condition.domain, name, value)}" for value in others))
        said.append(" and ".join(facts) or "always")
    return " or ".join(said)


def read_sentence(sentence):
    """Return ``(places, [(look, condition words or None)])`` of a sentence."""
    said = in_short(sentence)
    places, colon, rest = _parted(closed(sentence))
    if not colon or not places.strip() or not rest.strip():
        raise ArrangementError(f"'{said}' is not a line of a rule. Write the lamp, a colon, and what it shall do: "
                               "'rear left: flash when turn left, else dark'.")
    choices = []
    for order, piece in enumerate(re.split(r"\s*[,;]\s*", rest.strip().rstrip("."))):
        words = piece.split()
        if order and words[:1] == ["else"]:
            words = words[1:]
        elif order or not words:
            raise ArrangementError(f"'{said}': '{as_typed(piece)}' does not begin with 'else'. "
                                   "Part choices by ', else'.")
        if not words or words[0] not in LOOKS:
            raise unknown_name(f"'{said}'", "choice", as_typed(words[0]) if words else "",
                               TERMINAL_CHOICES if ":" in places else LAMP_CHOICES)
        if len(words) > 1 and (words[1] != "when" or len(words) == 2):
            raise ArrangementError(f"'{said}': after '{words[0]}' write 'when' and a condition, or nothing.")
        choices.append((LOOKS[words[0]], words[2:] or None))
    return [opened(place.strip()) for place in re.split(r",|\band\b", places) if place.strip()], choices


def _parted(sentence):
    """Return what stands before the colon that ends the places, the colon, and the rest; a terminal has a colon too."""
    colons = [match.start() for match in re.finditer(":", sentence)]
    after = [sentence[colon + 1:].replace(",", " ").replace(";", " ").rstrip(".").split()[:1] for colon in colons]
    spaced = [colon for colon in colons if not sentence[colon + 1:colon + 2].strip()]
    ends = [colon for colon, word in zip(colons, after) if word and word[0].rstrip(".") in LOOKS] or spaced or colons
    return (sentence[:ends[0]], ":", sentence[ends[0] + 1:]) if ends else (sentence, "", "")


class Reader:
    """Turns the words of one sentence into a condition over an arrangement's controls.

    Parameters
    ----------
    arrangement : Arrangement
    meanings : dict of str to tuple of str
        Words of the trade; the first meaning whose controls are all there counts. [text]
    domain : tuple of (str, tuple of str)
        Every control with its positions. [text]
    sentence : str
        Said in errors. [text]
    """

    def __init__(self, arrangement, meanings, domain, sentence):
        self.arrangement, self.meanings, self.domain = arrangement, meanings, domain
        self.sentence = in_short(sentence)
        self.within = ()

    def read(self, words):
        """Return the condition; ``or`` joins more loosely than ``and``, ``and`` than ``not``."""
        pieces = re.findall(r"[()]|[^\s()]+", " ".join(words))
        self._check_depth(pieces)
        condition, rest = self._either(pieces)
        if rest:
            raise self._lost(rest)
        return condition

    def _check_depth(self, pieces):
        """Raise for more brackets, and more ``not``, inside each other than anyone can follow."""
        depth = 0
        for before, piece in zip(("", *pieces), pieces):
            depth += piece == "(" or piece == before == "not"
            depth -= piece == ")"
            if depth > MOST_BRACKETS:
                raise ArrangementError(f"'{self.sentence}': more than {MOST_BRACKETS} brackets stand inside each "
                                       "other. Give part of the condition a word of its own, or make it simpler.")

    def _check_cases(self, cases):
        """Raise for a condition that multiplies out to more than can be worked through."""
        if cases > MOST_CASES:
            raise ArrangementError(f"'{self.sentence}': its condition falls into {cases} cases joined by 'or', "
                                   f"{MOST_CASES} are allowed. Join fewer brackets, or make several choices of it: "
                                   "'steady when A, else steady when B'.")

    def _either(self, pieces):
        condition, rest = self._both(pieces)
        while rest[:1] == ["or"]:
            other, rest = self._both(rest[1:])
            self._check_cases(len(condition.terms) + len(other.terms))
            condition |= other
        return condition, rest

    def _both(self, pieces):
        condition, rest = self._one(pieces)
        while rest[:1] == ["and"]:
            other, rest = self._one(rest[1:])
            self._check_cases(len(condition.terms) * len(other.terms))
            condition &= other
        return condition, rest

    def _one(self, pieces):
        if pieces[:1] == ["not"]:
            condition, rest = self._one(pieces[1:])
            self._check_cases(prod(len(term) for term in condition.terms))
            return ~condition, rest
        if pieces[:1] == ["("]:
            condition, rest = self._either(pieces[1:])
            if rest[:1] != [")"]:
                raise ArrangementError(f"'{self.sentence}': a bracket is opened and not closed.")
            return condition, rest[1:]
        count = next((place for place, piece in enumerate(pieces) if piece in _JOINING), len(pieces))
        if not count:
            raise self._lost(pieces)
        return self._word(" ".join(pieces[:count])), pieces[count:]

    def _word(self, word):
        """Return what a word, a control with a position, or a control alone means."""
        if opened(word) != word:
            return self._quoted(word.split())
        if word in ("always", "never"):
            return always(self.domain) if word == "always" else never(self.domain)
        values = dict(self.domain)
        for name in sorted(values, key=len, reverse=True):
            if word.startswith(name + " ") and (word not in self.meanings or word in self.within):
                position = word[len(name) + 1:]
                self.arrangement.control(name).check(position)
                return literal(self.domain, name, position)
        if word in self.meanings and word not in self.within:
            return self._meaning(word)
        if word in values:
            return literal(self.domain, word, *values[word][1:])
        known = [*self.meanings, *(f"{name} {position}" for name, positions in self.domain for position in positions)]
        raise unknown_name(f"'{self.sentence}': arrangement '{self.arrangement.name or self.arrangement.title}'",
                           "switch or word", word, known)

    def _quoted(self, pieces):
        """Return what a control with a position, or alone, means when one of them stands in quotes."""
        values, whole = dict(self.domain), opened(" ".join(pieces))
        for count in range(1, len(pieces)):
            name, position = opened(" ".join(pieces[:count])), opened(" ".join(pieces[count:]))
            if position in values.get(name, ()):
                return literal(self.domain, name, position)
        if whole in values:
            return literal(self.domain, whole, *values[whole][1:])
        for count in range(1, len(pieces)):
            name = opened(" ".join(pieces[:count]))
            if name in values:
                self.arrangement.control(name).check(opened(" ".join(pieces[count:])))
        raise unknown_name(f"'{self.sentence}': arrangement '{self.arrangement.name or self.arrangement.title}'",
                           "control", whole, values)

    def _meaning(self, word):
        """Return the first meaning that this arrangement has the controls for."""
        missing = None
        for meaning in self.meanings[word]:
            inner = Reader(self.arrangement, self.meanings, self.domain, self.sentence)
            inner.within = (*self.within, word)
            try:
                return inner.read(meaning.split())
            except KeyError as error:
                missing = missing or error
        raise unknown_name(f"'{self.sentence}': '{word}' stands for '{self.meanings[word][0]}', but arrangement "
                           f"'{self.arrangement.name or self.arrangement.title}'", "control for", word,
                           [name for name, _ in self.domain]) from missing

    def _lost(self, pieces):
        where = "something is missing at the end of a condition"
        where = f"'{as_typed(pieces[0])}' is out of place" if pieces else where
        return ArrangementError(f"'{self.sentence}': {where}. Join words by and, or, not, and brackets.")

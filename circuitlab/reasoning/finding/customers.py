"""What a customer says of one lamp or of many at once, as a symptom of each lamp that it is about.

    no brake lights
    left rear brake light weaker than the right
    no turn signals at all, the brake lights are fine
    all dark when braking
    tail lamps glow when braking
    no trailer lights
"""

import re
from contextlib import suppress
from typing import NamedTuple

from ...arrangements.complaints import AS_IT_SHALL, LOOKS, SAME
from ...arrangements.rows import moved
from ...arrangements.sentences import bared, closed
from ...ground.errors import ArrangementError, CircuitLabError, in_short
from ...parts import Lamp
from ..asked import lamp_list, place_of
from ..rows_at_once import lamp_table
from .clauses import Clause as _Clause, reconciled
from .fuses_told import some_fuse
from .told import Symptom, pieces, read_symptom, row_meant, when_words

DARK, RIGHT = "dark", "as it shall be"
NEEDS_A_ROW = (DARK, "dim", "fast", "slow", "too bright")       # looks that say nothing where a lamp is not lit
GLOWS, TRAILER, TAIL = "glows", "trailer", "tail"
_GROUPS = {r"(?:turn signals?|turn lights?|turn lamps?|indicators?|blinkers?)": ("turn left", "turn right"),
           r"(?:brake|stop) (?:lights?|lamps?)": ("stop",), r"tail (?:lights?|lamps?)": ("tail",), r"(?:hazards?|hazard (?:lights?|lamps?|flashers?))": ("hazard",)}
_OF_ALL = {r"(?:lamps|lights|bulbs)": ()}          # of a trailer: every lamp on it
_IN_SHORT = {r"(?:turn|indicator|blinker)": ("turn left", "turn right"), r"(?:brake|stop)": ("stop",), r"tail": ("tail",)}    # of one side of a trailer
_WHERE = r"(?:(?:of|the|my|both|all|left|right|rear|front|back|trailer) )*"
_EVERY = r"(?:all|everything|(?:all|every)(?: the| of the)? (?:lamps?|lights?))"
_LOOK = rf"(?: all| both)?(?: is| are| stays?| looks?| comes?)?(?: all| both)? (?:much |very |quite |too )?({'|'.join((*LOOKS, *SAME, *AS_IT_SHALL))})(?: than the (left|right)(?: one)?)?"
_AT_ALL = r"(?: (?:at all|any ?more|now|works?|is lit|does anything|do anything))*"
_FAILS = r"(?: (?:do|does) not|(?: don't| doesn't)) (?:work|light|do anything)(?: at all| any ?more)?"
_FUSE = re.compile(r"\bfuses?\b|\b(?:blew|blown|blows)\b", re.IGNORECASE)
_SIDE = r"((?:(?: (?:on|at|of) (?:the|my))? (?:left|right|rear|front|trailer)(?: side)?)*)"
_PLACES = ("left", "right", "rear", "front", TRAILER)
_TAILS, _STOPS = r"tail (?:lights?|lamps?)", r"(?:brake|stop) (?:lights?|lamps?)"
_ONE, _OTHER = (rf"(?P<where>{_WHERE}){{}}{_SIDE}(?: is| are| looks?)? {{}} than (?:the |my |its )?{_WHERE}{{}}".format(*each) for each in (
    (_TAILS, "(?:much )?brighter", _STOPS), (_STOPS, "(?:much )?(?:weaker|dimmer|fainter|darker)", _TAILS)))
_AGAINST = tuple(re.compile(form, re.IGNORECASE) for form in (_ONE, _OTHER))
_FAINT = re.compile(r"\bglow(?:s|ing)? (?:very |quite |only )?(?:dim|dimly|faint|faintly|weak|weakly)\b", re.IGNORECASE)
_DIMLY = re.compile(r"\b(?:flash|blink)(?:s|es|ing)? (?:only )?(dim|dimly|faint|faintly|weak|weakly)\b|\b(?:dim|dimly|faintly|weakly) (?:flash|blink)(?:s|es|ing)?\b", re.IGNORECASE)
_WITH_FLASHER, _SIGNALS = re.compile(r"\bwith the flasher\b", re.IGNORECASE), re.compile(r"\b(turn|turning|lever|indicat\w*) (left|right)\b|\bhazard\b", re.IGNORECASE)
_PULSING = re.compile(r"\bpuls(?:e|es|ing)\b(?: with the flasher\b)?", re.IGNORECASE)
_AT_FIRST = re.compile(r",? \b(?:at first|to begin with|for a moment|for a second)\b", re.IGNORECASE)      # before a fuse goes
_WITH = re.compile(rf"\b({'|'.join((*LOOKS, *SAME, *AS_IT_SHALL))}|work) with (?!(?:a|the|my) trailer\b)(?:the |my )?", re.IGNORECASE)
_HITCHED = re.compile(r"\b(?:un)?(?:hitch|hook|tow|connect|attach)(?:e?s|ed|ing)?\b|\bcoupled?\b|\bplug(?:s|ged)? (?:in|on|the|my)\b|(?<!only )\bwith (?:a|the|my) trailer\b", re.IGNORECASE)


_TURNING = re.compile(r"\b(?:turning|signalling|signaling)\b(?! (?:left|right)\b)", re.IGNORECASE)
_ALWAYS = re.compile(r"\b(?:always|constantly|permanently) (?:on|lit)\b|\b(?:on|lit) (?:all the time|always|constantly|permanently)\b", re.IGNORECASE)


class _Said(NamedTuple):
    """What is said of several lamps: a look, the words of the rows, which lamps, and the side that is as it shall be."""

    look: str
    conditions: tuple = ()
    where: tuple = ()
    beside: str = ""

    @property
    def is_subject(self):
        """Whether it tells which lamps, and nothing of their own control: they are lit where they shall not be. [yes/no]"""
        return self.look == GLOWS or self.conditions == (TAIL,) and self.look not in (DARK, RIGHT, "fast", "slow")

    def flashes_by(self, when):
        """Whether turn signals are meant as the hazard flashes them, the lever where it rests. [yes/no]"""
        return all(words.startswith("turn ") for words in self.conditions) and "hazard" in when and not {"turn", "lever", "turning"} & {*when}


def read_symptoms(sentence, arrangement):
    """Return the Symptoms that a sentence tells: one, or one of each lamp that it is about; of several clauses, of all of them.

    Parameters
    ----------
    sentence : str
        Such as ``"rear left dim when braking"`` or ``"no brake lights"``. [text]
    arrangement : Arrangement

    Raises
    ------
    CircuitLabError
        When it has no form of ours, names what is not there, is about no lamp of this circuit, or does not say when.

    >>> import circuitlab as cl
    >>> for symptom in read_symptoms("no brake lights, the left turn signals are fine", cl.arrangement("separate-filaments")):
    ...     print(symptom)
    rear left stop dark when brake pedal held
    rear right stop dark when brake pedal held
    front left flashing when key on and turn lever left
    rear left turn flashing when key on and turn lever left
    """
    return read_all([sentence], arrangement)


def read_all(sentences, arrangement):
    """Return the Symptoms of sentences, or of Symptoms, each once; of two clauses at odds over a lamp only what either means. [text]"""
    clauses = [clause for each in sentences for clause in ([_Clause((each,))] if isinstance(each, Symptom) else _clauses(each, arrangement))]
    return tuple({str(symptom): symptom for clause in reconciled(clauses, arrangement) for symptom in clause.symptoms}.values())


def _clauses(sentence, arrangement):
    """Return the clauses of a sentence. [text]"""
    try:
        return [_clause(sentence, arrangement)]
    except CircuitLabError as error:
        clauses = [clause for clause in re.split(r"\s*(?:[,;.]|\bbut\b|\band\b)\s+", str(sentence)) if clause]
        if len(clauses) < 2:
            raise
        try:
            return [_clause(clause, arrangement) for clause in clauses]
        except CircuitLabError:
            raise error from None


def _clause(sentence, arrangement):
    symptoms = _one(sentence, arrangement)
    return _Clause(symptoms, len(symptoms) > 1 and _is_of_all(_plainly(sentence, arrangement)))


def _one(sentence, arrangement):
    """Return the Symptoms of one clause; what glows dim is dim where it shall be lit, and glows where it shall not. [text]"""
    if _WITH_FLASHER.search(str(sentence)) and not _SIGNALS.search(str(sentence)):
        raise ArrangementError(f"'{in_short(str(sentence))}' does not say which signal is on. Say it, and what else is, such as 'trailer left tail pulses when turn left and tail lamps on'.")
    words = _PULSING.sub("flickers", _DIMLY.sub("dim", _AT_FIRST.sub("", _plainly(sentence, arrangement))))
    if _ALWAYS.search(words) and pieces(words)[1] is None:
        return _at_rest(_ALWAYS.sub("on", words), arrangement)
    against = next(filter(None, (form.fullmatch(words) for form in _AGAINST)), None)
    if against:                     # tail lamps brighter than brake lamps: both are not as they shall be
        where = " ".join(word for word in f"{against['where']} {against[2] or ''}".lower().split() if word in _PLACES or word == "back")
        pairs = [_read(f"{where} {said}".strip(), arrangement) for said in ("tail lamps too bright", "brake lamps dim")]
        return tuple(each for told in pairs for each in (told if {"left", "right"} & {*where.split()} else _either(told, arrangement)))
    faint = _FAINT.sub("dim", words)
    try:
        found = _read(faint, arrangement)
    except CircuitLabError:
        if _HITCHED.search(words) and TRAILER in words.lower():
            raise ArrangementError(f"'{in_short(sentence)}' speaks of the trailer in words that cannot be read. Say which lamp, how it looks and when, and behind a comma that it is so "
                                   "only then: 'rear left dim when braking, only with the trailer'. Of a lamp on the trailer say 'trailer left dark when braking'.") from None
        raise
    if faint == words:
        return found
    table = _table(arrangement)
    return tuple(_symptom(arrangement, each.lamp, each.positions, GLOWS, each.said) if table[tuple(each.positions.items())].cells[each.lamp].look == DARK else each
                 for each in found)


def _either(symptoms, arrangement):
    """Return Symptoms as one of each row: where the side is not said, any lamp of them is enough."""
    rows = {}
    for each in symptoms:
        rows.setdefault(tuple(each.positions.items()), []).append(each)
    return tuple(read_symptom(str(one[0]).replace(place_of(arrangement, one[0].lamp), " or ".join(place_of(arrangement, each.lamp) for each in one), 1), arrangement)
                 for one in rows.values())


def _at_rest(words, arrangement):
    """Return the Symptoms of lamps that are on whatever the controls do: so at rest as well. [text]"""
    head, _, more = pieces(words)
    said, rest = _said(head), arrangement.positions()
    if said is None:
        return (read_symptom(words, arrangement),)
    lamps = _own(said, _there(arrangement, said.where), arrangement, words)
    return tuple(_symptom(arrangement, lamp, rest, "steady", more) for lamp in lamps)


def _plainly(sentence, arrangement):
    """Return a sentence with its controls behind ``when``, also those that were said behind ``with``; as it is where it has quotes. [text]"""
    words = closed(bared(sentence))
    if words != bared(sentence):
        return sentence
    words = " ".join(words.split())
    match = _WITH.search(words)
    if match:
        words = f"{words[:match.end(1)]} when {words[match.end():].replace(' when ', ' and ')}"
    head, when, condition = words.partition(" when ")
    condition = _TURNING.sub(f"turn {'right' if 'right' in head.lower().split() else 'left'}", condition)
    words = head + when + condition
    if any("with" in f"{control.name} {' '.join(control.positions)}".split() for control in arrangement.controls):
        return words
    return head + when + re.sub(r"(?<!only) with (?!(?:a|the|my) trailer\b)(?:the |my )?", " and ", condition)


def _read(sentence, arrangement):
    """Return the Symptoms of a clause in plain words. [text]"""
    head, when, more = pieces(sentence)
    head = re.sub(r"\b(trailer)'s\b", r"\1", head, flags=re.IGNORECASE)
    of_trailer = TRAILER in head.lower().split()
    if of_trailer:
        with suppress(CircuitLabError):
            return _of_one(sentence, arrangement, when)
    said = _said(head)
    if said is None and _FUSE.search(head):
        raise some_fuse(sentence, when, arrangement)
    if said is None:
        return _of_one(sentence, arrangement, when)
    return _of_many(said, when, more, arrangement, sentence)


def _said(head):
    """Return what is said of several lamps; None for another sentence."""
    return _group(head) or _all(head) or TRAILER in head.lower().split() and _of_trailer(head) or None


def _is_of_all(words):
    """Tell whether words are about lamps altogether: of no control of their own, in no row. [text], [yes/no]"""
    head, when, _ = pieces(words)
    said = _said(re.sub(r"\b(trailer)'s\b", r"\1", head, flags=re.IGNORECASE))
    return bool(said and not said.conditions and when is None)


def _of_one(sentence, arrangement, when):
    """Return the Symptom of a sentence about one lamp, as a sequence. [text]"""
    symptom = read_symptom(sentence, arrangement)
    if when is None:
        _check_row(symptom, arrangement, sentence)
    return (symptom,)


def _of_many(said, when, more, arrangement, sentence):
    """Return the Symptoms of what is said of several lamps. [text]"""
    table, rest = _table(arrangement), arrangement.positions()
    lamps, rows = _lamps_meant(said, when, arrangement, sentence)
    if not lamps and TRAILER in said.where and not _there(arrangement, (TRAILER,)):
        raise ArrangementError(f"'{in_short(sentence)}': no lamp of '{arrangement.title}' has 'trailer' in its place. Name one: {lamp_list(arrangement)}.")
    if not lamps:
        raise ArrangementError(f"'{in_short(sentence)}': no lamp of '{arrangement.title}' is to be lit there. Say which lamp, and when, such as "
                               "'rear left dark when braking'.")
    beside = _lit(table, rows, rest, True, _there(arrangement, (said.beside,))) if said.beside else []
    looks = [*((lamp, row, said.look) for lamp, row in lamps), *((lamp, row, RIGHT) for lamp, row in beside)]
    return tuple(_symptom(arrangement, lamp, row, table[tuple(row.items())].cells[lamp].look if look == RIGHT else look, more) for lamp, row, look in looks)


def _lamps_meant(said, when, arrangement, sentence):
    """Return lamps with the row of each, and all rows, of what is said of several lamps. [text]"""
    table, rest, there = _table(arrangement), arrangement.positions(), _there(arrangement, said.where)
    if not (when and said.conditions and (said.is_subject or said.flashes_by(when))):
        try:
            rows = [row_meant([*words.split(), *(["and", *when] if when else [])], arrangement, sentence) for words in said.conditions] or (
                [row_meant(when, arrangement, sentence)] if when else [])
            return _lit(table, rows, rest, bool(said.conditions), _own(said, there, arrangement, sentence) if when else there), rows
        except ArrangementError:
            if not (when and said.conditions):
                raise
    row, lamps = row_meant(when, arrangement, sentence), _own(said, there, arrangement, sentence)     # the lamps of one row, seen in another
    if said.look == GLOWS or said.look in NEEDS_A_ROW:
        lamps = [lamp for lamp in lamps if (table[tuple(row.items())].cells[lamp].look == DARK) == (said.look == GLOWS)] or lamps
    return [(lamp, row) for lamp in lamps], [row]


def _own(said, there, arrangement, sentence):
    """Return the lamps that a group's own control lights, of those there; of tail lamps those that are called so, where any are. [text]"""
    if not said.conditions:
        return there
    rows = [row_meant(words.split(), arrangement, sentence) for words in said.conditions]
    lamps = list(dict.fromkeys(lamp for lamp, _ in _lit(_table(arrangement), rows, arrangement.positions(), True, there)))
    tails = _there(arrangement, (TAIL,)) if said.conditions == (TAIL,) else ()
    return [lamp for lamp in lamps if lamp in tails] or lamps


def _symptom(arrangement, lamp, row, look, more):
    """Return the Symptom of a lamp in a row. [text]"""
    return read_symptom(", ".join([f"{place_of(arrangement, lamp)} {look}{when_words(arrangement, row)}", *more]), arrangement)


def _table(arrangement):
    """Return the rows of the sound circuit by their positions. [text]"""
    return {tuple(row.positions.items()): row for row in lamp_table(arrangement).rows}


def _there(arrangement, where):
    """Return the lamps whose places have all these words. [text]"""
    return [lamp.name for lamp in arrangement.of_kind(Lamp) if {*where} <= {*lamp.place.lower().replace(",", " ").split()}]


def _check_row(symptom, arrangement, sentence):
    """Raise for a lamp said to be dark or dim without its row, where it is not lit at rest."""
    table = lamp_table(arrangement).rows
    rest = next(row for row in table if row.positions == arrangement.positions())
    lit = [row for row in table if row.cells[symptom.lamp].look != DARK]
    if symptom.look in NEEDS_A_ROW and rest.cells[symptom.lamp].look == DARK and lit:
        row = min(lit, key=lambda row: moved(row.positions, arrangement.positions()))
        raise ArrangementError(f"'{in_short(sentence)}' does not say when: at rest {place_of(arrangement, symptom.lamp)} is dark anyway. Say in which position of the "
                               f"controls, such as '{in_short(sentence)}{when_words(arrangement, row.positions)}'.")


def _group(head, groups=None):
    """Return what is said of a group of lamps; None for another sentence."""
    for group, conditions in (groups or _GROUPS).items():
        for form in (rf"(?:no|none of) ({_WHERE}){group}{_SIDE}{_AT_ALL}", rf"({_WHERE}){group}{_SIDE}{_FAILS}", rf"({_WHERE}){group}{_SIDE}{_LOOK}{_AT_ALL}"):
            match = re.fullmatch(form, head, re.IGNORECASE)
            if match:
                before, behind, look, beside = (*match.groups(), None, None)[:4]
                words = ["rear" if word == "back" else word for word in f"{before} {behind}".lower().split()]
                where = tuple(dict.fromkeys(word for word in words if word in _PLACES))
                sides = [words for words in conditions if words.rpartition(" ")[2] in where]
                return _Said(_look(look), tuple(sides) or conditions, where, (beside or "").lower())
    return None


def _of_trailer(head):
    """Return what is said of every lamp on a trailer, or in short of those of one side; None for another sentence."""
    every = re.sub(r"^nothing\b", "no lamps", re.sub(r"^(?:everything|every (?:lamp|light))\b", "all lamps", head, flags=re.IGNORECASE), flags=re.IGNORECASE)
    short = _group(head, _IN_SHORT)
    return _group(every, _OF_ALL) or short and {"left", "right"} & {*short.where} and short or None


def _look(word):
    """Return the look that a word of a sentence says; dark where it says none. [text]"""
    word = (word or DARK).lower()
    return RIGHT if word in AS_IT_SHALL else SAME.get(word, word)


def _all(head):
    """Return what is said of every lamp, with no row of its own; None for another sentence."""
    match = re.fullmatch(rf"{_EVERY}{_LOOK}{_AT_ALL}", head, re.IGNORECASE)
    if match:
        return _Said(_look(match[1]))
    return _Said(DARK) if re.fullmatch(rf"(?:nothing|no (?:lamps?|lights?)){_AT_ALL}", head, re.IGNORECASE) else None


def _lit(table, rows, rest, is_group, there):
    """Return lamps with their rows, of those there: those to be lit in each; of a group those that are not lit alike at rest. [text]"""
    lit = {key: [lamp for lamp, cell in row.cells.items() if cell.look != DARK and lamp in there] for key, row in table.items()}
    if not rows:
        return _once_each(lit, rest)
    cells = table[tuple(rest.items())].cells
    return [(lamp, row) for row in rows for lamp in lit[tuple(row.items())]
            if not is_group or cells[lamp].look != table[tuple(row.items())].cells[lamp].look]


def _once_each(lit, rest):
    """Return every lamp that is lit anywhere, in the row in which most are that are not listed yet; of such rows the one with fewest controls moved."""
    found = {}
    while True:
        fresh = {key: [lamp for lamp in lamps if lamp not in found] for key, lamps in lit.items()}
        best = max(fresh, key=lambda key: (len(fresh[key]), -moved(dict(key), rest)))
        if not fresh[best]:
            return list(found.items())
        found |= {lamp: dict(best) for lamp in fresh[best]}

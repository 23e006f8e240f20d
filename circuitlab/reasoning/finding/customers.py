"""What a customer says of one lamp or of many at once, as a symptom of each lamp that it is about.

    no brake lights
    left rear brake light weaker than the right
    no turn signals at all, the brake lights are fine
    all dark when braking
"""

import re
from typing import NamedTuple

from ...arrangements.complaints import AS_IT_SHALL, LOOKS, SAME
from ...arrangements.rows import moved
from ...ground.errors import ArrangementError, CircuitLabError, in_short, listed
from ..asked import place_of
from ..rows_at_once import lamp_table
from .told import pieces, read_symptom, row_meant, when_words

DARK, RIGHT = "dark", "as it shall be"
NEEDS_A_ROW = (DARK, "dim", "fast", "slow")       # looks that say nothing where a lamp is not lit
_GROUPS = {r"(?:turn signals?|turn lights?|turn lamps?|indicators?|blinkers?)": ("turn left", "turn right"),
           r"(?:brake|stop) (?:lights?|lamps?)": ("stop",), r"tail (?:lights?|lamps?)": ("tail",), r"(?:hazards?|hazard (?:lights?|lamps?|flashers?))": ("hazard",)}
_WHERE = r"(?:(?:the|my|both|all|left|right|rear|front|back) )*"
_EVERY = r"(?:all|everything|(?:all|every)(?: the| of the)? (?:lamps?|lights?))"
_LOOK = rf"(?: is| are| stays?| looks?)? (?:much |very |quite |too )?({'|'.join((*LOOKS, *SAME, *AS_IT_SHALL))})(?: than the (left|right)(?: one)?)?"
_AT_ALL = r"(?: (?:at all|any ?more|now|works?|is lit|does anything|do anything))*"
_FAILS = r"(?: (?:do|does) not|(?: don't| doesn't)) (?:work|light|do anything)(?: at all| any ?more)?"
_FUSE = re.compile(r"\bfuses?\b|\b(?:blew|blown|blows)\b", re.IGNORECASE)
_SIDE = r"(?:(?: on the| at the)? (left|right|rear|front)(?: side)?)?"


class _Said(NamedTuple):
    """What is said of several lamps: a look, the words of the rows, which lamps, and the side that is as it shall be."""

    look: str
    conditions: tuple = ()
    where: tuple = ()
    beside: str = ""


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
    try:
        return _one(sentence, arrangement)
    except CircuitLabError as error:
        clauses = [clause for clause in re.split(r"\s*(?:[,;.]|\bbut\b|\band\b)\s+", sentence) if clause]
        if len(clauses) < 2:
            raise
        try:
            return tuple({str(symptom): symptom for clause in clauses for symptom in _one(clause, arrangement)}.values())
        except CircuitLabError:
            raise error from None


def _one(sentence, arrangement):
    """Return the Symptoms of one clause. [text]"""
    head, when, more = pieces(sentence)
    said = _group(head) or _all(head)
    if said is None and _FUSE.search(head):
        raise ArrangementError(f"'{in_short(sentence)}' is said of a fuse. Say which, as it was seen: 'F2 blown', 'F2 blown when turn left' for the row it went in, "
                               "'F2 blown again' for a new one that went as well.")
    if said is None:
        symptom = read_symptom(sentence, arrangement)
        if when is None:
            _check_row(symptom, arrangement, sentence)
        return (symptom,)
    table = {tuple(row.positions.items()): row for row in lamp_table(arrangement).rows}
    try:
        rows = [row_meant([*words.split(), *(["and", *when] if when else [])], arrangement, sentence) for words in said.conditions] or (
            [row_meant(when, arrangement, sentence)] if when else [])
        lamps = _lit(table, rows, arrangement.positions(), bool(said.conditions))
    except ArrangementError:        # the lamps of one row, seen in another: right turn signals when turn left
        own = [row_meant(words.split(), arrangement, sentence) for words in said.conditions if when]
        if not own:
            raise
        rows = [row_meant(when, arrangement, sentence)]
        lamps = [(lamp, rows[0]) for lamp in dict.fromkeys(lamp for lamp, _ in _lit(table, own, arrangement.positions(), True))]
    lamps = [(lamp, row) for lamp, row in lamps if {*said.where} <= {*arrangement.part(lamp).place.split()}]
    if not lamps:
        raise ArrangementError(f"'{in_short(sentence)}': no lamp of '{arrangement.title}' is to be lit there. Say which lamp, and when, such as "
                               "'rear left dark when braking'.")
    beside = [(lamp, row) for lamp, row in _lit(table, rows, arrangement.positions(), True) if said.beside in arrangement.part(lamp).place.split()] if said.beside else []
    looks = [*((lamp, row, said.look) for lamp, row in lamps), *((lamp, row, RIGHT) for lamp, row in beside)]
    told = [", ".join([f"{place_of(arrangement, lamp)} {table[tuple(row.items())].cells[lamp].look if look == RIGHT else look}{when_words(arrangement, row)}", *more])
            for lamp, row, look in looks]
    return tuple(read_symptom(each, arrangement) for each in told)


def _check_row(symptom, arrangement, sentence):
    """Raise for a lamp said to be dark or dim without its row, where it is not lit at rest."""
    table = lamp_table(arrangement).rows
    rest = next(row for row in table if row.positions == arrangement.positions())
    lit = [row for row in table if row.cells[symptom.lamp].look != DARK]
    if symptom.look in NEEDS_A_ROW and rest.cells[symptom.lamp].look == DARK and lit:
        row = min(lit, key=lambda row: moved(row.positions, arrangement.positions()))
        raise ArrangementError(f"'{in_short(sentence)}' does not say when: at rest {place_of(arrangement, symptom.lamp)} is dark anyway. Say in which position of the "
                               f"controls, such as '{in_short(sentence)}{when_words(arrangement, row.positions)}'.")


def _group(head):
    """Return what is said of a group of lamps; None for another sentence."""
    for group, conditions in _GROUPS.items():
        for form in (rf"(?:no|none of) ({_WHERE}){group}{_SIDE}{_AT_ALL}", rf"({_WHERE}){group}{_SIDE}{_FAILS}", rf"({_WHERE}){group}{_SIDE}{_LOOK}{_AT_ALL}"):
            match = re.fullmatch(form, head, re.IGNORECASE)
            if match:
                before, behind, look, beside = (*match.groups(), None, None)[:4]
                where = tuple("rear" if word == "back" else word for word in f"{before} {behind or ''}".lower().split() if word not in ("the", "my", "both", "all"))
                sides = [words for words in conditions if words.rpartition(" ")[2] in where]
                return _Said(_look(look), tuple(sides) or conditions, where, (beside or "").lower())
    return None


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


def _lit(table, rows, rest, is_group):
    """Return lamps with their rows: those to be lit in each; of a group those that are not lit alike at rest. [text]"""
    lit = {key: [lamp for lamp, cell in row.cells.items() if cell.look != DARK] for key, row in table.items()}
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

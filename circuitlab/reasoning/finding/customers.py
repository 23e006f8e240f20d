"""What a customer says of many lamps at once, as a symptom of each lamp that it is about.

    no brake lights
    turn signals steady
    all dark when braking
"""

import re

from ...arrangements.complaints import LOOKS, SAME
from ...arrangements.rows import moved
from ...ground.errors import ArrangementError, in_short
from ..asked import place_of
from ..rows_at_once import lamp_table
from .told import pieces, read_symptom, row_meant, when_words

DARK = "dark"
_GROUPS = {r"(?:turn signals?|turn lights?|turn lamps?|indicators?)": ("turn left", "turn right"), r"(?:brake|stop) (?:lights?|lamps?)": ("stop",),
           r"tail (?:lights?|lamps?)": ("tail",), r"(?:hazards?|hazard (?:lights?|lamps?|flashers?))": ("hazard",)}
_EVERY = r"(?:all|everything|(?:all|every)(?: the| of the)? (?:lamps?|lights?))"
_LOOK = rf"(?: is| are| stays?)? ({'|'.join((*LOOKS, *SAME))})"
_AT_ALL = r"(?: (?:at all|works?|is lit|does anything|do anything))*"
_FAILS = r" (?:(?:do|does) not|don't|doesn't) (?:work|light|do anything)(?: at all)?"
_SIDE = r"(?:(?: on the| at the)? (left|right)(?: side)?)?"


def read_symptoms(sentence, arrangement):
    """Return the Symptoms that a sentence tells: one, or one of each lamp that it is about.

    Parameters
    ----------
    sentence : str
        Such as ``"rear left dim when braking"`` or ``"no brake lights"``. [text]
    arrangement : Arrangement

    Raises
    ------
    CircuitLabError
        When it has no form of ours, names what is not there, or is about no lamp of this circuit.

    >>> import circuitlab as cl
    >>> for symptom in read_symptoms("no brake lights", cl.arrangement("separate-filaments")):
    ...     print(symptom)
    rear left stop dark when brake pedal held
    rear right stop dark when brake pedal held
    """
    head, when, more = pieces(sentence)
    found = _group(head) or _all(head)
    if found is None:
        return (read_symptom(sentence, arrangement),)
    look, conditions = found
    rows = [row_meant([*words.split(), *(["and", *when] if when else [])], arrangement, sentence) for words in conditions] or (
        [row_meant(when, arrangement, sentence)] if when else [])
    lamps = _lamps_of(arrangement, rows, bool(conditions))
    if not lamps:
        raise ArrangementError(f"'{in_short(sentence)}': no lamp of '{arrangement.title}' is to be lit there. Say which lamp, and when, such as "
                               "'rear left dark when braking'.")
    said = [", ".join([f"{place_of(arrangement, lamp)} {look}{when_words(arrangement, row)}", *more]) for lamp, row in lamps]
    return tuple(read_symptom(each, arrangement) for each in said)


def _group(head):
    """Return the look of a group of lamps, and the words of the rows it is lit in; None for another sentence. [text]"""
    for group, conditions in _GROUPS.items():
        for form in (rf"no (?:(left|right) )?{group}{_SIDE}{_AT_ALL}", rf"(?:the )?(?:(left|right) )?{group}{_SIDE}{_FAILS}", rf"(?:the )?(?:(left|right) )?{group}{_SIDE}{_LOOK}"):
            match = re.fullmatch(form, head, re.IGNORECASE)
            if match:
                one, other, look = (*match.groups(), None)[:3]
                side = (one or other or "").lower()
                return SAME.get(look, look) if look else DARK, tuple(words for words in conditions if not side or words.endswith(side)) or conditions
    return None


def _all(head):
    """Return the look of every lamp, with no row of its own; None for another sentence. [text]"""
    match = re.fullmatch(rf"{_EVERY}{_LOOK}", head, re.IGNORECASE)
    if match:
        look = match[1].lower()
        return SAME.get(look, look), ()
    if re.fullmatch(rf"(?:nothing|no (?:lamps?|lights?)){_AT_ALL}", head, re.IGNORECASE):
        return DARK, ()
    return None


def _lamps_of(arrangement, rows, is_group):
    """Return lamps with their rows: those to be lit in each; of a group those that are not lit alike at rest. [text]"""
    table = {tuple(row.positions.items()): row for row in lamp_table(arrangement).rows}
    lit = {key: [lamp for lamp, cell in row.cells.items() if cell.look != DARK] for key, row in table.items()}
    if not rows:
        return _once_each(lit, arrangement.positions())
    rest = table[tuple(arrangement.positions().items())]
    return [(lamp, row) for row in rows for lamp in lit[tuple(row.items())]
            if not is_group or rest.cells[lamp].look != table[tuple(row.items())].cells[lamp].look]


def _once_each(lit, rest):
    """Return every lamp that is lit anywhere, in the row in which most are that are not listed yet; of such rows the one with fewest controls moved."""
    found = {}
    while True:
        fresh = {key: [lamp for lamp in lamps if lamp not in found] for key, lamps in lit.items()}
        best = max(fresh, key=lambda key: (len(fresh[key]), -moved(dict(key), rest)))
        if not fresh[best]:
            return list(found.items())
        found |= {lamp: dict(best) for lamp in fresh[best]}

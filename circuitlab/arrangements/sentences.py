"""How names and values are written in a sentence so that it can be read back: one way of quoting for all sentences.

Before a sentence is read by its grammar, :func:`closed` folds every quoted
piece into one word without spaces, commas or colons; whatever the grammar
then takes out of it is opened again by :func:`opened`. So what stands in
quotes can never be taken for a word of the grammar.
"""

import json
import re
from dataclasses import fields

from ..ground.errors import ArrangementError, shown
from ..ground.limits import MOST_SENTENCE

_UNITS = {"volts": "V", "voltage": "V", "threshold": "V", "resistance": "ohm", "joint": "ohm", "rating": "A",
          "current": "A", "load": "A", "watts": "W", "time": "s", "gap": "s", "length": "m", "area": "mm2",
          "rate": "per minute", "temperature": "C",   # by the last word of a field's name, unless it is here in full:
          "rated_load": "W", "least_load": "W", "most_load": "W", "hold_up": "s", "carries": "A", "blocks": "V", "amps": "A", "clips": "ohm"}
_GRAMMAR = frozenset("from to at by with and as a an new in its wires part wire control shown when if or else is".split())
_QUOTED = re.compile(r'"(?:\\.|[^"\\])*"', re.DOTALL)
CURLY = "\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}\N{DOUBLE LOW-9 QUOTATION MARK}"
_ROUND = ('""', "''", "\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}", f"{CURLY[0]}{CURLY[1]}", CURLY[2] + CURLY[0])
_FOLD = "\0"      # stands before and after a folded piece; no sentence may hold it
_FOLDED = re.compile(f"{_FOLD}([0-9a-f]*){_FOLD}")


def quoted(name, also=""):
    """Return a name as it stands in a sentence: in quotes where its letters or its word belong to the grammar.

    Parameters
    ----------
    name : str
    also : str
        Further letters that part words where it is to stand. [text]

    >>> quoted("K1:87"), quoted("brake pedal"), quoted("to")
    ('K1:87', '"brake pedal"', '"to"')
    """
    text = str(name)
    plain = text and text.isprintable() and not any(letter.isspace() or letter in '",' + CURLY + also for letter in text)
    return text if plain and not text.endswith((".", ":")) and text.lower() not in _GRAMMAR else in_quotes(text)


def in_quotes(text):
    """Return a text in quotes, with what cannot stand in them written as JSON does."""
    return json.dumps(text, ensure_ascii=False)


def closed(sentence):
    """Return a sentence in which every quoted piece is folded into one word.

    Raises
    ------
    ArrangementError
        For what is no text, too long, or has a quote that is not closed.

    >>> opened(closed('short "a: b" to c').split()[1])
    'a: b'
    """
    if not isinstance(sentence, str):
        raise ArrangementError(f"a sentence must be words in quotes, got {shown(sentence)}.")
    if len(sentence) > MOST_SENTENCE:
        raise ArrangementError(f"a sentence has {MOST_SENTENCE} letters at most, got {len(sentence)}. Shorten it.")
    if _FOLD in sentence:
        raise ArrangementError("a sentence cannot hold the control character U+0000. Leave it out.")
    folded = _QUOTED.sub(_fold, sentence)
    folded = _QUOTED.sub(_fold, folded.translate(dict.fromkeys(map(ord, CURLY), '"')))     # as a word processor writes them
    if '"' in folded:
        rest = folded[folded.index('"'):]
        raise ArrangementError(f"{as_typed(rest)} has a quote that is not closed. "
                               'Write names with spaces as "brake pedal".')
    return folded


def bared(sentence):
    """Return a sentence without the quotes that stand around the whole of it."""
    text = sentence.strip() if isinstance(sentence, str) else ""
    inner = text[1:-1]
    is_whole = len(text) > 1 and text[0] + text[-1] in _ROUND and text[0] not in inner and text[-1] not in inner
    return inner if is_whole else sentence


def _fold(match):
    try:
        text = json.loads(match[0], strict=False)
    except ValueError:
        raise ArrangementError(f"{shown(match[0])[1:-1]} has a backslash that says nothing. Write a backslash twice, "
                               'and a quote inside quotes as \\".') from None
    return f"{_FOLD}{text.encode('utf-8', 'surrogatepass').hex()}{_FOLD}"


def opened(piece):
    """Return a piece of a closed sentence as the text that was meant, quotes taken off."""
    return _FOLDED.sub(lambda match: bytes.fromhex(match[1]).decode("utf-8", "surrogatepass"), piece)


def as_typed(piece):
    """Return a piece of a closed sentence as it was typed, for a sentence about it."""
    said = _FOLDED.sub(lambda match: in_quotes(opened(match[0])), piece)
    return said if len(said) <= 300 else f"{said[:300]}..."


def on_a_line(name):
    """Return a name as it stands alone on a line: in quotes where it would be read otherwise."""
    plain = name == name.strip() and name.isprintable() and not name.startswith('"') and not name.endswith(":")
    return name if plain else in_quotes(name)


def off_a_line(text):
    """Return the name that stands alone on a line; one that begins with a quote ends with one."""
    text = text.strip()
    return opened(closed(text)) if text.startswith('"') else text


def value_words(field, value):
    """Return a value of a part in words, numbers with their unit.

    >>> value_words("rating", 7.5), value_words("pilot", True), value_words("place", "rear left")
    ('7.5 A', 'yes', '"rear left"')
    """
    if value is None:
        return "as the ambient"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        number = repr(float(value)).removesuffix(".0")
        unit = _UNITS.get(field, _UNITS.get(field.split("_")[-1], ""))
        return f"{number} {unit}".strip() if number != "inf" else number
    said = _SAID.get(field)
    return quoted(said(value) if said and not isinstance(value, str) else value)


def _ohms_words(pairs):
    """Return ohms of several places as ``3: 2 ohm, 5: inf``, of none as ``none``."""
    return ", ".join(f"{place}: {value_words('resistance', ohms)}" for place, ohms in dict(pairs).items()) or "none"


def _closes_words(closes):
    """Return what a switch closes as ``off: 49-15; on: 49-30 49-L``."""
    def pair_words(pair):
        return "-".join(quoted(terminal, "-;:") for terminal in pair)

    return "; ".join(f"{_position_words(position)}: {' '.join(map(pair_words, pairs))}"
                     for position, pairs in dict(closes).items())


def _position_words(position):
    plain = " ".join(position.split()) == position and not any(letter in '";:' for letter in position)
    return position if plain and position.isprintable() else in_quotes(position)


_SAID = {"closes": _closes_words, "pins": _ohms_words, "water": _ohms_words}      # of values that are no single word or number


def read_closes(text):
    """Read ``off: 49-15; on: 49-30 49-L`` as what a switch closes in each position, none in one with nothing behind it, or return None."""
    rows = []
    for line in closed(text).split(";"):
        position, colon, pairs = line.partition(":")
        pairs = [tuple(map(opened, pair.split("-", 1))) for pair in pairs.split()]
        if not colon or not position.strip() or any(len(pair) != 2 or not all(pair) for pair in pairs):
            return None
        rows.append((opened(position.strip()), tuple(pairs)))
    return tuple(rows)


def values_words(record, leave=()):
    """Return every value that differs from its default, each after a comma; a rating always. [text]

    >>> from circuitlab.parts import Fuse
    >>> values_words(Fuse("F1", 5, "beside the battery"))
    ', rating 5 A, place "beside the battery"'
    """
    said = []
    for field in fields(record):
        value = getattr(record, field.name)
        if field.name not in ("name", *leave) and not record.goes_without_saying(field.name, field.default):
            said.append(f", {field.name.replace('_', ' ')} {value_words(field.name, value)}")
    return "".join(said)


def control_words(control):
    """Return a control as it stands in a sentence. [text]"""
    shown = control.shown if control.shown != control.positions else ()
    said = f"control {quoted(control.name)}: {', '.join(map(quoted, control.positions))}"
    return said + (f" shown {', '.join(map(quoted, shown))}" if shown else "")

"""How names and values are written in the sentence of a change, so that the sentence can be read back."""

import json
from dataclasses import fields

_UNITS = {"volts": "V", "voltage": "V", "threshold": "V", "resistance": "ohm", "joint": "ohm", "rating": "A",
          "current": "A", "load": "A", "watts": "W", "time": "s", "gap": "s", "length": "m", "area": "mm2",
          "rate": "per minute", "temperature": "C",   # by the last word of a field's name, unless it is here in full:
          "rated_load": "W", "most_load": "W"}


def quoted(name):
    """Return a name as it stands in a sentence: in quotes where it is empty or has spaces, commas or quotes in it.

    >>> quoted("K1:87"), quoted("brake pedal")
    ('K1:87', '"brake pedal"')
    """
    text = str(name)
    plain = text and not any(letter.isspace() or letter in '",' or letter < " " for letter in text)
    return text if plain and not text.endswith((".", ":")) else json.dumps(text, ensure_ascii=False)


def value_words(field, value):
    """Return a value of a part in words, numbers with their unit.

    >>> value_words("rating", 7.5), value_words("load_needing", True), value_words("place", "rear left")
    ('7.5 A', 'yes', '"rear left"')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        number = repr(float(value)).removesuffix(".0")
        unit = _UNITS.get(field, _UNITS.get(field.split("_")[-1], ""))
        return f"{number} {unit}".strip() if number != "inf" else number
    if field == "closes":
        value = "; ".join(f"{position}: {' '.join('-'.join(pair) for pair in pairs)}" for position, pairs in value)
    return quoted(value)


def values_words(record, leave=()):
    """Return every value that differs from its default, each after a comma. [text]

    >>> from circuitlab.parts import Fuse
    >>> values_words(Fuse("F1", 5, "beside the battery"))
    ', rating 5 A, place "beside the battery"'
    """
    said = []
    for field in fields(record):
        value = getattr(record, field.name)
        if field.name not in ("name", *leave) and value != field.default:
            said.append(f", {field.name.replace('_', ' ')} {value_words(field.name, value)}")
    return "".join(said)

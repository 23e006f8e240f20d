"""What a value of a part may be, said beside its default: where a record is made, its part looks at each."""

from dataclasses import field, fields
from functools import cache


def number(default, low, high, unit):
    """Return a field for a number within what is physical, or text such as ``"21 W"``; a default of None may stay."""
    return field(default=default, metadata={"must": ("must_be_number", low, high, unit)})


def whole(default, low, high):
    """Return a field for what is counted, such as the ways of a splice. [1]"""
    return field(default=default, metadata={"must": ("must_be_whole", low, high)})


def word(default, allowed):
    """Return a field for one of a few words. [text]"""
    return field(default=default, metadata={"must": ("must_be_one_of", tuple(allowed))})


@cache
def musts(record):
    """Return ``(name, whether None may stay, method of a part that looks, what it is given)`` of each such field."""
    found = [one for one in fields(record) if "must" in one.metadata]
    return tuple((one.name, one.default is None, getattr(record, one.metadata["must"][0]), one.metadata["must"][1:])
                 for one in found)

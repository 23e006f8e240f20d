"""Lamps in pairs: one on the left and one on the right, at places that are each other's mirror image."""

import re

from ..parts import Lamp

_OTHER = {"left": "right", "right": "left"}


def mirrored(arrangement):
    """Return ``(left lamp, right lamp)`` for all whose places differ in the side alone and that show one colour.

    Where several lamps of one colour are at a place, they make no pair: nothing tells which belongs to which.

    >>> import circuitlab as cl
    >>> [(one.name, other.name) for one, other in mirrored(cl.arrangement("separate-filaments"))]
    [('E1', 'E2'), ('E3', 'E4'), ('E5', 'E6')]
    """
    at = {}
    for lamp in arrangement.of_kind(Lamp):
        at.setdefault((lamp.place, lamp.light), []).append(lamp)
    pairs = [(found, at.get((across(place), light), [])) for (place, light), found in at.items() if re.search(r"\bleft\b", place)]
    return [(one[0], other[0]) for one, other in pairs if len(one) == len(other) == 1]


def across(place):
    """Return the words of a place on the other side. [text]

    >>> across("rear left housing"), across("dash")
    ('rear right housing', 'dash')
    """
    return re.sub(r"\b(?:left|right)\b", lambda side: _OTHER[side[0]], place)


def stands_on_trailer(part):
    """Tell whether a part sits on a trailer, by its place. [yes/no]"""
    return "trailer" in getattr(part, "place", "").lower()

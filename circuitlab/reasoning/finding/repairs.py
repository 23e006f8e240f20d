"""Repairs as whoever made them words them: which parts they name, which candidates ask for the same, and what is no repair."""

import re

from ...ground.errors import ArrangementError

NEW = "put a "      # how a repair begins that puts a new part in
FAILED_NEW = 0.005  # of its odds, that a part is gone that was put in new: the kit's own guess
FAILED = 0.05       # of its odds, that a fault is still there after its repair, done badly: the kit's own guess


def after_failing(arrangement, candidates, odds, failed):
    """Return odds where repairs have failed: what asks for one of them is lowered; told in other words, what is about the same parts. [text], [1]"""
    odds, short = list(odds), [each.repair.partition(",")[0] for each in candidates]
    for words in failed:
        named = names_in(words, arrangement)
        same = [number for number, each in enumerate(short) if _begin_alike(words, each)] or [
            number for number, each in enumerate(short) if named and names_in(each, arrangement) == named]
        for number in same:
            odds[number] *= FAILED_NEW if short[number].startswith(NEW) else FAILED
    return odds


def check_is_safe(words, arrangement):
    """Raise for a repair that takes a fuse's guard away: a larger one than the circuit has, or a bridge in its place. [text]"""
    for part in (arrangement.part(name) for name in sorted(names_in(words, arrangement)) if arrangement.part(name).guards):
        larger = [value for value in re.findall(r"(\d+(?:[.,]\d+)?) ?A\b", words) if float(value.replace(",", ".")) > part.rating]
        if larger or re.search(r"\bbridg|\bfoil\b|\bnail\b|\bjump(?:ed|er)\b|\bbypass", words, re.IGNORECASE):
            raise ArrangementError(f"{part.name} is a fuse of {part.rating:g} A, and what lies behind it is sized for that: with {f'{larger[0]} A' if larger else 'a bridge'} "
                                   "in its place a wire burns before it goes. Find the short with the battery off, put a fuse of the same rating in, and note that.")


def names_in(words, arrangement):
    """Return the parts and wires that a repair names, alone or by their terminals. [text]

    >>> import circuitlab as cl
    >>> sorted(names_in("mended W3, at E1:1.", cl.arrangement("one-fused-lamp")))
    ['E1', 'W3']
    """
    return {word.partition(":")[0] for word in _bare(words)} & {*arrangement.by_name}


def is_about(words, arrangement, repair, names):
    """Tell whether words name one of some parts; where they name none at all, whether a repair is called so. [text], [yes/no]"""
    named = names_in(words, arrangement)
    return bool(named & {*names}) if named else words in repair


def _begin_alike(one, other):
    """Tell whether two repairs are the same as far as the shorter goes, word by word: W1 is not W16. [yes/no]"""
    return all(mine == yours for mine, yours in zip(_bare(one), _bare(other)))


def _bare(words):
    return [word.strip(",.;") for word in words.split()]

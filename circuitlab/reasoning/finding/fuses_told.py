"""Fuses told of among symptoms, and a converter's fuse told by what it feeds.

    F5 blown again
    no trailer lights, F5 blown
    blows the converter's fuse
"""

import re

from ...arrangements.nets import metals_as_built
from ...ground.errors import ArrangementError, CircuitLabError, in_short, listed
from ...ground.quantities import say
from ...solving import operating_point
from .seen import SAYS, names_a_fuse
from .told import read_taken, row_meant, when_words

FLOWS = 0.1      # A, from which on a fuse is said to carry something

_ITS = r"(?:the |its )?converter(?:'s|s)?(?: own)? fuse"
_BLOWS = re.compile(rf"(?:it )?(?P<how>keeps blowing|blows|blew) {_ITS}\b", re.IGNORECASE)
_NAMED = re.compile(rf"\b{_ITS}\b", re.IGNORECASE)


def fuses_among(sentences, arrangement):
    """Return the Taken of every fuse or bulb that sentences tell as seen, and what else they tell. [text]

    >>> import circuitlab as cl
    >>> fuses, rest = fuses_among(["E1 dark when lamp switch on, F1 blown again"], cl.arrangement("one-fused-lamp"))
    >>> [str(each) for each in fuses], rest
    (['F1 blown again'], ['E1 dark when lamp switch on'])
    """
    fuses, rest = [], []
    for sentence in sentences:
        seen = _seen(sentence, arrangement)
        if seen or not isinstance(sentence, str):
            fuses, rest = [*fuses, *seen], [*rest, *[sentence] * (not seen)]
            continue
        clauses = re.split(r"(?:, |; | but )", sentence)
        each = [_seen(clause, arrangement) for clause in clauses]
        fuses += [one for found in each for one in found]
        rest.append(", ".join(clause for clause, found in zip(clauses, each) if not found) if any(each) else sentence)
    return fuses, rest


def with_its_fuse(sentence, arrangement):
    """Return a sentence with a converter's fuse by its name, where one fuse feeds it; else as it is. [text]

    >>> import circuitlab as cl
    >>> with_its_fuse("blows the converter's fuse when braking", cl.arrangement("trailer-4-flat-converter"))
    'F5 blows when braking'
    """
    fuses = {fuse for each in feeding_fuses(arrangement).values() for fuse in each}
    if len(fuses) != 1:
        return sentence
    (name,) = fuses
    return _NAMED.sub(name, _BLOWS.sub(rf"{name} \g<how>", str(sentence)))


def feeding_fuses(arrangement):
    """Return for each part that has a supply of its own the names of the fuses right ahead of it. [text]"""
    asking = [part for part in arrangement.listed if part.own_feed]
    metals = metals_as_built(arrangement) if asking else {}
    found = {}
    for part in asking:
        metal = metals.get(f"{part.name}:{part.own_feed}")
        found[part.name] = tuple(each.name for each in arrangement.parts if each.guards and metal is not None and metal in map(metals.get, each.ends))
    return found


def _seen(sentence, arrangement):
    """Return the Taken of a sentence that tells a fuse or bulb as seen, in a list; empty for another. [text]"""
    if not isinstance(sentence, str) or not SAYS.search(sentence):
        return []
    try:
        taken = read_taken(with_its_fuse(sentence, arrangement), arrangement)
    except CircuitLabError:
        if names_a_fuse(sentence):
            raise
        return []
    return [taken] if taken.seen else []


def some_fuse(sentence, when, arrangement):
    """Return the refusal of words on a fuse that do not say which: with every fuse, where it sits, and what it carries in that row.

    Parameters
    ----------
    sentence : str
    when : list of str or None
        Its condition. [text]
    arrangement : Arrangement
    """
    row = row_meant(when, arrangement, sentence)
    point, there = operating_point(arrangement, row), [part for part in arrangement.parts if part.guards]
    amps = {part.name: abs(point.current(part.name)) if point.is_settled else 0.0 for part in there}
    first = max(there, key=lambda part: amps[part.name], default=None)
    if first is None:
        return ArrangementError(f"'{in_short(sentence)}' is said of a fuse, and '{arrangement.title}' has none.")
    fuses = listed(_fuse_words(part, amps[part.name]) for part in there)
    then = when_words(arrangement, row)
    return ArrangementError(f"'{in_short(sentence)}' is said of a fuse. Say which, as it was seen: '{first.name} blown', '{first.name} blown{then or ' when turn left'}' for the row "
                            f"it went in, '{first.name} blown again' for a new one that went as well. There are {fuses}.")


def _fuse_words(fuse, amps):
    """Return a fuse with its place and with what it carries, if that is anything. [text], [A]"""
    told = ", ".join([*([fuse.place] if fuse.place else []), *([f"carries {say(amps, 'A')} then"] if amps > FLOWS else [])])
    return f"{fuse.name} ({told})" if told else fuse.name

"""What is only looked at: a fuse or a bulb, whole or blown, and the fuse of a way in a block that is not there.

    F1 whole
    F2 blown again
    fuse 2 blows with the brake
    F6.4 missing
    no fuse in F6.4
"""

import re

from ...arrangements.sentences import opened
from ...ground.errors import ArrangementError, unknown_name
from ...parts import Lamp

WHOLE, BLOWN, MISSING = STATES = ("whole", "blown", "missing")
NONE_THERE = ("none", "none there", "missing", "no fuse", "no fuse there", "empty")       # of a way that has no fuse in it
_GOES = r"(?:blown|blows|blew|went|goes|keeps (?:blowing|going))(?: again)?"
_FUSE = r"(?:the |my )?(?:(fuse )(?:number |no\.? )?)?(\S+)"
_SEEN = re.compile(rf"{_FUSE} (?:is |has |always )*(?:seen )?(whole|missing|{_GOES})", re.IGNORECASE)
_GONE_IN = re.compile(rf"({_FUSE} (?:is |has |always )*{_GOES}) (?:with|(?:only )?when(?:ever)?|(?:every|each) time|as soon as|once|if|while|on|upon) (?!\S+ (?:on|off)$)", re.IGNORECASE)
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
SAYS = re.compile(rf"\b(?:whole|missing|no fuse|{_GOES})\b", re.IGNORECASE)      # what may be seen of a fuse, wherever it stands
_NONE = re.compile(r"(?:there is )?no fuse (?:is |sits )?(?:in(?: the place of)?|at) (\S+)", re.IGNORECASE)


def part_named(arrangement, word, fits, kind):
    """Return the name of a part that a sentence names, or raise where it is not of the kind that is meant. [text]"""
    part = arrangement.part(opened(word))
    if not fits(part):
        raise unknown_name(f"'{arrangement.title}'", kind, part.name, [each.name for each in arrangement.parts if fits(each)])
    return part.name


def can_be_missing(part):
    """Tell whether a part is a fuse that may not be in its way of a block. [yes/no]"""
    return part.guards and part.parted == MISSING


def states_seen(part):
    """Return what may be seen of a fuse or bulb: whole, blown, and of a way in a block missing. [text]"""
    return STATES if can_be_missing(part) else (WHOLE, BLOWN)


def read_seen(head, arrangement):
    """Return what was seen of a fuse or bulb as fields of a Taken, or None for another sentence. [text]"""
    if match := _NONE.fullmatch(head):
        name, state = match[1], MISSING
    elif match := _SEEN.fullmatch(head):
        name = _as_named(arrangement, match[2], bool(match[1]))
        state = match[3].lower() if match[3].lower() in (WHOLE, MISSING) else BLOWN
    else:
        return None
    alone = arrangement.by_name.get(name)
    if state == MISSING and alone is not None and alone.guards and not can_be_missing(alone):
        raise ArrangementError(f"'{arrangement.title}' has no fuse of a block '{name}': {name} sits in a holder of its own. Say '{name} blown' where it is missing as well: nothing "
                               "passes either way.", part=name)
    fits, kind = (can_be_missing, "fuse of a block") if state == MISSING else (lambda part: part.guards or isinstance(part, Lamp), "fuse or lamp")
    return {"reading": None, "seen": (part_named(arrangement, name, fits, kind), state), "is_again": state == BLOWN and any(word in match[3].lower() for word in ("again", "keeps"))}


def gone_when(sentence):
    """Return a sentence of a fuse that goes with something, or whenever that is done, with ``when`` in the place of these words; another as it is. [text]

    >>> gone_when("F5 blows with the brake and with the tail lamps on"), gone_when("E1 dark with the brake")
    ('F5 blows when the brake and the tail lamps on', 'E1 dark with the brake')
    """
    match = _GONE_IN.match(sentence) if isinstance(sentence, str) else None
    if not match:
        return sentence
    return f"{match[1]} when {re.sub(r'(?:and )?with ', 'and ', sentence[match.end():])}"


def names_a_fuse(sentence):
    """Tell whether a sentence is about a fuse or bulb that it names, by a name or number, be it there or not. [yes/no]"""
    match = _SEEN.match(gone_when(sentence))
    return bool(match) and any(letter.isdigit() for letter in match[2])


def _as_named(arrangement, word, is_fuse):
    """Return the name of a fuse or bulb, in letters of any size, or of the fuse that alone has a number; the word as it is where none has. [text]"""
    own = [part.name for part in arrangement.parts if part.guards or isinstance(part, Lamp)]
    if is_fuse and _NUMBER.fullmatch(word):
        own = [part.name for part in arrangement.parts if part.guards]
        named = [name for name in own if re.sub(r"^[A-Za-z]+", "", name) == word]
        if not named:
            raise unknown_name(f"'{arrangement.title}'", "fuse", word, own)
    else:
        named = [name for name in own if name.lower() == word.lower()]
    return named[0] if len(named) == 1 else word


def blown_fuse(told, arrangement):
    """Return the fuse that a thing told says is blown; empty for whatever else was told. [text]"""
    name, state = getattr(told, "seen", ()) or ("", "")
    return name if state == "blown" and arrangement.part(name).guards else ""

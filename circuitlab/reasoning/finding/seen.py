"""What is only looked at: a fuse or a bulb, whole or blown, and the fuse of a way in a block that is not there.

    F1 whole
    F2 blown again
    F6.4 missing
    no fuse in F6.4
"""

import re

from ...arrangements.sentences import opened
from ...ground.errors import unknown_name
from ...parts import Lamp

WHOLE, BLOWN, MISSING = STATES = ("whole", "blown", "missing")
NONE_THERE = ("none", "none there", "missing", "no fuse", "no fuse there", "empty")       # of a way that has no fuse in it
_SEEN = re.compile(r"(?:the |fuse )*(\S+) (?:is )?(?:seen )?(whole|missing|(?:blown|blows|blew|went|goes|keeps blowing)(?: again)?)")
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
        name, state = match[1], match[2] if match[2] in (WHOLE, MISSING) else BLOWN
    else:
        return None
    fits, kind = (can_be_missing, "fuse of a block") if state == MISSING else (lambda part: part.guards or isinstance(part, Lamp), "fuse or lamp")
    return {"reading": None, "seen": (part_named(arrangement, name, fits, kind), state), "is_again": state == BLOWN and ("again" in match[2] or "keeps" in match[2])}

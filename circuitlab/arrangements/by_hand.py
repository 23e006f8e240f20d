"""What a hand does with a part, and the typed sentence that says it: a plug pulled, a fuse taken out, a bulb turned in its holder."""

from ..ground.errors import ArrangementError
from ..parts import KINDS
from .sentences import opened, quoted

PULLS = ("open", "part", "unplug", "pull", "separate", "disconnect")
_BESIDE = {"the", "out", "off", "apart", "round", "around", "part", "plug"}


def check_by_hand(verb, text, arrangement):
    """Raise with the sentence that is meant where a verb, as it was typed, is what a hand does with the part that is named, and no change.

    Raises
    ------
    ArrangementError
    """
    words = [opened(word) for word in text.split() if word.lower() not in (*_BESIDE, *KINDS)]
    part = arrangement.by_name.get(words[0]) if len(words) == 1 else None
    if part is None:
        return
    verb, seats = verb.lower(), [each for each in getattr(part, "seats", ()) if each.guards]
    if verb == "take" and (getattr(part, "seat", "") or "apart" in text.lower().split()):
        verb = "pull"
    said = _of_block(verb, seats) if seats else _meant(verb, part)
    if said:
        why = "names a block, and each fuse in it has a name of its own" if seats else "is what a hand does, and not how a change is written"
        raise ArrangementError(f"'{verb} {part.name}' {why}. Write: {', or '.join(said)}.", part=part.name)


def _of_block(verb, seats):
    """Return the sentences that say it of each fuse in a block. [text]"""
    names = [quoted(each.name) for each in seats]
    return [f"blow {name}" for name in names] if verb == "blow" else [f"hold {name} missing" for name in names] if verb in PULLS else []


def _meant(verb, part):
    """Return the sentences that say it of a part; none where the verb is one for a change, or may mean more than a hand does. [text]"""
    name = quoted(part.name)
    if verb in PULLS and getattr(part, "parted", ""):
        return [f"hold {name} {part.parted}"]
    if verb in PULLS and getattr(part, "guards", False) and "blown" in part.states:
        return [f"blow {name} (nothing passes then, as without a fuse in its holder)"]
    if verb == "turn" and hasattr(part, "fitted"):
        return [f'set {name} fitted "{"turned round" if part.fitted == "right way" else "right way"}"']
    return []

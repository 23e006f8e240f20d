"""What a hand does with a part, and the typed sentence that says it: a plug pulled, a fuse taken out, a bulb turned in its holder."""

from ..ground.errors import ArrangementError
from ..parts import KINDS
from .apart import is_pulled, pulling_words
from .sentences import bared, closed, opened, quoted

PULLS = ("open", "part", "unplug", "pull", "separate", "disconnect")
_BESIDE = {"the", "out", "off", "apart", "round", "around", "part", "plug"}
_IN_AND_OUT = {frozenset(words.split()) for words in ("take out", "taken out", "pull", "pull out", "pulled", "pulled out", "out", "unplug", "put back", "put in",
                                                      "put back in", "back", "back in", "in", "plug in")}


def check_in_and_out(sentence, arrangement):
    """Raise with what to click where a typed sentence takes a part out of its holder or puts it back, which is no change of the circuit.

    Raises
    ------
    ArrangementError
        The same for every way to say it: what a hand does, what takes the part away for good, and of what may blow how that is said.
    """
    words = closed(bared(sentence)).removesuffix(".").split()
    alike = {name.lower(): part for name, part in arrangement.by_name.items()}
    parts = [part for word in words if (part := arrangement.by_name.get(opened(word)) or alike.get(opened(word).lower()))]
    said = frozenset(word.lower() for word in words if opened(word).lower() not in alike) - {"the", "again", *KINDS}
    if len(parts) != 1 or said not in _IN_AND_OUT or not is_pulled(parts[0]) or parts[0].parted:
        return
    name, (pull, back, *_) = parts[0].name, pulling_words(parts[0])
    blows = f" For a blown {parts[0].kind} type 'blow {quoted(name)}'." if "blown" in parts[0].states else ""
    raise ArrangementError(f"a hand takes {name} out and puts it back: click {name}, then '{pull}' or '{back}'. To take it out of the circuit for good "
                           f"type 'remove {quoted(name)} with its wires'.{blows}", part=name)


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

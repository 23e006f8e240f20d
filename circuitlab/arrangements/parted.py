"""Found again: which prepared changes are made, which values turned, and what hands took apart, out of the sentences of all changes."""

from dataclasses import replace

from .apart import Apart, is_pulled
from .changes import LoseJoint, SetValue
from .history import Changes
from .typed_changes import read_change


def parted(tried, sentences):
    """Return what is tried and what is apart where all of some changes stand.

    Parameters
    ----------
    tried : Tried
        With the cards and dials there are.
    sentences : iterable of str
        Every change that stands, as made one after the other. [text]

    Returns
    -------
    tuple of (Tried, Apart)
        What is of no card and no dial, and nothing that a hand takes out or off, is part of what is apart as a whole.

    >>> import circuitlab as cl
    >>> from circuitlab.arrangements.tried import Tried
    >>> tried, apart = parted(Tried(cl.arrangement("one-fused-lamp")), ["set G1 voltage 11 V", "lose W1 at F1:1", "lose W2 at F1:2"])
    >>> tried.turned, apart.out
    ({'supply': 11.0}, ('F1',))
    """
    left = list(sentences)
    made = tuple(words for words, changes in tried.cards.items() if changes and (
        words in tried.made if any(is_whole(change) for change in changes) else set(map(str, changes)) <= set(left)))
    again = replace(tried, made=made, turned={})
    left = _without(left, again.changes)
    for sentence in left:
        change = read_change(sentence, tried.first) if sentence.startswith("set ") else None
        for dial in tried.dials:
            if isinstance(change, SetValue) and change.part == dial.parts[0] and change.field == dial.field:
                again = again.with_dial(dial.words, change.value)
    left, apart = _without(left, again.changes), Apart(again.arrangement)
    for part in filter(is_pulled, apart.whole.parts):
        whole = Apart(apart.whole, (part.name,)).changes
        if whole and set(map(str, whole)) <= set(left):
            apart, left = apart.without(part.name), _without(left, whole)
    for wire in apart.whole.wires:
        for end in wire.terminals:
            lost = LoseJoint(wire.name, end)
            if str(lost) in left:
                apart, left = apart.lifted(wire.name, end), _without(left, [lost])
    return again, replace(apart, whole=Changes(apart.whole).make(*left).after) if left else apart


def is_whole(change):
    """Tell whether a change is another circuit as a whole, of which no sentence can be said. [yes/no]"""
    return getattr(change, "is_whole", False)


def _without(sentences, changes):
    done = set(map(str, changes))
    return [sentence for sentence in sentences if sentence not in done]

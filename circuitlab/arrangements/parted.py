"""Found again: which prepared changes are made, which values turned, what was typed and what hands took apart, out of all changes as sentences."""

from dataclasses import replace

from .apart import Apart, is_pulled
from .changes import LoseJoint, SetValue
from .history import Changes
from .mishaps import Hold
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
        Lost joints and parted connectors at the end of the list, which a hand takes off, are apart; all else that is of no card and no dial was typed.

    >>> import circuitlab as cl
    >>> from circuitlab.arrangements.tried import Tried
    >>> tried = Tried(Changes(cl.arrangement("one-fused-lamp")))
    >>> tried, apart = parted(tried, ["set G1 voltage 11 V", "set F1 rating 3 A", "lose W1 at F1:1", "lose W2 at F1:2"])
    >>> tried.words, apart.out
    (('supply: set G1 voltage 11 V', 'set F1 rating 3 A'), ('F1',))
    """
    again = replace(tried, changes=Changes(tried.changes.before))
    for words in tried.made:
        if any(is_whole(change) for change in tried.cards[words]):
            again = again.with_card(words, True)
    left = list(sentences)
    by_hand = _lost_at_the_end(left, {str(Hold(part.name, part.parted)) for part in tried.changes.before.parts if part.parted})
    left = left[:len(left) - len(by_hand)]
    while left:
        again, left = _made_next(again, left)
    return _apart(again, by_hand)


def steps(tried):
    """Return every step of everything that is tried. [changes]"""
    return [step for entry in tried.changes.entries for step in entry.steps]


def is_whole(change):
    """Tell whether a change is another circuit as a whole, of which no sentence can be said. [yes/no]"""
    return getattr(change, "is_whole", False)


def _made_next(tried, left):
    """Make what the first of some sentences belongs to: a card, a dial, or a change by itself; return the sentences that are left."""
    for words, changes in tried.cards.items():
        said = [*map(str, changes)]
        if words not in tried.made and said and left[:len(said)] == said:
            return tried.with_card(words, True), left[len(said):]
    change = read_change(left[0], tried.arrangement)
    for dial in tried.dials:
        if isinstance(change, SetValue) and change.field == dial.field and dial.least <= change.value <= dial.most:
            said = [str(SetValue(part, dial.field, change.value)) for part in dial.parts]
            if left[:len(said)] == said:
                return tried.with_dial(dial.words, change.value), left[len(said):]
    return tried.with_typed(left[0]), left[1:]


def _lost_at_the_end(sentences, parting):
    """Return those at the end that each lose a joint for good, or are among those that part a connector."""
    kept = len(sentences)
    while kept and (sentences[kept - 1].startswith("lose ") or sentences[kept - 1] in parting):
        kept -= 1
    return sentences[kept:]


def _apart(tried, left):
    """Return what is tried, and apart what hands took out and off; of these sentences some may be those of a card, and the rest is typed."""
    for words, changes in tried.cards.items():
        lost = [*map(str, changes)]
        if words not in tried.made and lost and set(lost) <= set(left):
            tried, left = tried.with_card(words, True), [each for each in left if each not in lost]
    apart = Apart(tried.arrangement)
    for part in filter(is_pulled, apart.whole.parts):
        lost = [*map(str, Apart(apart.whole, (part.name,)).changes)]
        if lost and set(lost) <= set(left):
            apart, left = apart.without(part.name), [each for each in left if each not in lost]
    for wire in apart.whole.wires:
        for end in wire.terminals:
            lost = str(LoseJoint(wire.name, end))
            if lost in left:
                apart, left = apart.lifted(wire.name, end), [each for each in left if each != lost]
    for sentence in left:
        tried = tried.with_typed(sentence)
    return tried, replace(apart, whole=tried.arrangement)

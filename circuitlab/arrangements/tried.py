"""Tried out: a circuit and one list of what is changed in it: prepared changes, typed ones, and values that were turned."""

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import NamedTuple

from ..ground.errors import ArrangementError, unknown_name
from ..ground.quantities import number_between
from ..parts import Battery, Flasher
from .changes import SetValue
from .history import Changes


class Dial(NamedTuple):
    """A value to be turned: of which parts, from where to where, and how it stands now."""

    words: str
    parts: tuple
    field: str
    unit: str
    least: float
    most: float
    value: float


@dataclass(frozen=True)
class Tried:
    """An arrangement and what is tried with it; a later entry of its list goes over an earlier one.

    Parameters
    ----------
    changes : Changes
        The arrangement as it was, and every change made to it: prepared, typed, or a value turned.
    cards : dict of str to tuple of changes
        What can be made and undone, by the words on its button.
    ahead : tuple of NamedChange
        What was undone since the last change, the latest first: it can be made again.

    >>> import circuitlab as cl
    >>> tried = Tried(Changes(cl.arrangement("one-fused-lamp")), {"fuse blown": (cl.Hold("F1", "blown"),)})
    >>> tried.with_card("fuse blown", True).with_dial("supply", 11).with_typed("lose W2 at S1:1").words
    ('fuse blown: blow F1', 'supply: set G1 voltage 11 V', 'lose W2 at S1:1')
    """

    changes: Changes
    cards: dict = field(default_factory=dict)
    ahead: tuple = field(default=(), compare=False)

    @property
    def made(self):
        """The cards that are made, in this order. [text]"""
        return tuple(entry.name for entry in self.changes.entries if entry.name in self.cards)

    @property
    def words(self):
        """Every change made, oldest first. [text]"""
        return tuple(entry.name if entry.name in entry.sentences else f"{entry.name}: {'; '.join(entry.sentences)}"
                     for entry in self.changes.entries)

    @property
    def arrangement(self):
        """The circuit as it is tried."""
        return self.changes.after

    def with_card(self, words, is_made):
        """Return the same with one card made or undone; ``UnknownName`` for one that is not there."""
        if words not in self.cards:
            raise unknown_name("the board", "change", words, self.cards)
        if (words in self.made) == is_made:
            return self
        return self._with(self.changes.make(*self.cards[words], name=words)) if is_made else self._without(words)

    def with_typed(self, sentence):
        """Return the same with one change more, typed as a sentence; ``CircuitLabError`` where it cannot be read or made."""
        return self._with(self.changes.make(sentence))

    def with_dial(self, words, value):
        """Return the same with one dial turned to a value, no change where it stood there; ``ArrangementError`` beyond its ends."""
        dial = next((dial for dial in self.dials if dial.words == words), None)
        if dial is None:
            raise unknown_name("the board", "value", words, [dial.words for dial in self.dials])
        value, wrong = number_between(value, f"the {dial.words} of a board", dial.least, dial.most, dial.unit)
        if wrong:
            raise ArrangementError(wrong, got=value)
        rest = self._without(words) if any(entry.name == words for entry in self.changes.entries) else self
        if all(getattr(rest.arrangement.part(part), dial.field) == value for part in dial.parts):
            return rest         # back where it stood
        return rest._with(rest.changes.make(*(SetValue(part, dial.field, value) for part in dial.parts), name=words))

    def undone(self, words):
        """Return the same without the change of these words; ``ArrangementError`` where a later one needs it."""
        if words not in self.words:
            raise unknown_name("the board", "change made", words, self.words)
        return self._undone(len(self.words) - 1 - self.words[::-1].index(words))      # made twice, the later one

    def redone(self):
        """Return the same with what was undone last made again; ``ArrangementError`` where there is nothing, or it no longer fits."""
        if not self.ahead:
            raise ArrangementError("there is nothing to do again: no change was undone since the last one was made.")
        entry, *ahead = self.ahead
        return replace(self, changes=self.changes.make(*entry.steps, name=entry.name), ahead=tuple(ahead))

    def _with(self, changes):
        """Return the same with a change more; what was undone before cannot be made again."""
        return replace(self, changes=changes, ahead=())

    def _undone(self, place):
        return replace(self, changes=self.changes.undo(place), ahead=(self.changes.entries[place], *self.ahead))

    def _without(self, name):
        return self._undone([entry.name for entry in self.changes.entries].index(name))

    @cached_property
    def dials(self):
        """What can be turned: the volts of the supply, and what a flasher that has a rate of its own is made for."""
        return tuple(self._dials())

    def _dials(self):
        batteries, flashers = self.arrangement.of_kind(Battery), self.arrangement.of_kind(Flasher)
        if batteries:
            volts = batteries[0].voltage
            yield Dial("supply", tuple(part.name for part in batteries), "voltage", "V", 0.0, max(16.0, volts), volts)
        if flashers:
            names, rate, share = tuple(part.name for part in flashers), flashers[0].rate, flashers[0].on_share
            yield Dial("flash rate", names, "rate", "1/min", min(30.0, rate), max(200.0, rate), rate)
            yield Dial("on share", names, "on_share", "", min(0.1, share), max(0.9, share), share)


def cards_of(changes):
    """Return prepared changes as ``{words: tuple of changes}``: what somebody gives may be one change or several."""
    return {words: tuple(change) if isinstance(change, (tuple, list)) else (change,) for words, change in dict(changes).items()}

"""Tried out: a circuit with some of a few prepared changes made, and with other values of its supply and flashers."""

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import NamedTuple

from ..ground.errors import ArrangementError, unknown_name
from ..ground.quantities import number_between
from ..parts import Battery, Flasher
from .changes import SetValue, changed


class Dial(NamedTuple):
    """A value to be turned: of which parts, from where to where, and how it stands at first."""

    words: str
    parts: tuple
    field: str
    unit: str
    least: float
    most: float
    first: float


@dataclass(frozen=True)
class Tried:
    """An arrangement and what is tried with it.

    Parameters
    ----------
    first : Arrangement
    cards : dict of str to tuple of changes
        What can be made and undone, by the words on its button.
    made : tuple of str
        The cards that are made, in this order. [text]
    turned : dict of str to float
        The dials that were turned, by their words, in their own units.

    >>> import circuitlab as cl
    >>> tried = Tried(cl.arrangement("one-fused-lamp"), {"fuse blown": (cl.Hold("F1", "blown"),)})
    >>> [str(change) for change in tried.with_card("fuse blown", True).with_dial("supply", 11).changes]
    ['hold F1 blown', 'set G1 voltage 11 V']
    """

    first: object
    cards: dict = field(default_factory=dict)
    made: tuple = ()
    turned: dict = field(default_factory=dict)

    def with_card(self, words, is_made):
        """Return the same with one card made or undone; ``UnknownName`` for one that is not there."""
        if words not in self.cards:
            raise unknown_name("the board", "change", words, self.cards)
        rest = tuple(each for each in self.made if each != words)
        return replace(self, made=(*rest, words) if is_made else rest)

    def with_dial(self, words, value):
        """Return the same with one dial turned to a value; ``ArrangementError`` beyond its ends."""
        dial = next((dial for dial in self.dials if dial.words == words), None)
        if dial is None:
            raise unknown_name("the board", "value", words, [dial.words for dial in self.dials])
        value, wrong = number_between(value, f"the {dial.words} of a board", dial.least, dial.most, dial.unit)
        if wrong:
            raise ArrangementError(wrong, got=value)
        return replace(self, turned={**self.turned, words: value})

    @cached_property
    def dials(self):
        """What can be turned: the volts of the supply, and what a flasher that has a rate of its own is made for."""
        return tuple(self._dials())

    def _dials(self):
        batteries, flashers = self.first.of_kind(Battery), self.first.of_kind(Flasher)
        if batteries:
            volts = batteries[0].voltage
            yield Dial("supply", tuple(part.name for part in batteries), "voltage", "V", 0.0, max(16.0, volts), volts)
        if flashers:
            names, rate, share = tuple(part.name for part in flashers), flashers[0].rate, flashers[0].on_share
            yield Dial("flash rate", names, "rate", "1/min", min(30.0, rate), max(200.0, rate), rate)
            yield Dial("on share", names, "on_share", "", 0.1, 0.9, share)

    @cached_property
    def changes(self):
        """What is tried, as changes of the arrangement it began with."""
        values = [SetValue(part, dial.field, self.turned[dial.words]) for dial in self.dials if dial.words in self.turned
                  for part in dial.parts]
        return (*(change for words in self.made for change in self.cards[words]), *values)

    @cached_property
    def arrangement(self):
        """The circuit as it is tried."""
        return changed(self.first, *self.changes)


def cards_of(changes):
    """Return prepared changes as ``{words: tuple of changes}``: what somebody gives may be one change or several."""
    return {words: tuple(change) if isinstance(change, (tuple, list)) else (change,) for words, change in dict(changes).items()}

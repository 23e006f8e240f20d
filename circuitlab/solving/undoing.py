"""Moves undone: how often each part has moved without anything from outside, and whether that goes on for ever.

Cold filaments draw several times what warm ones do. A relay whose load takes
its coil's volts away falls, and pulls in again; while the filaments warm a
little with each turn, this may end by itself, after a tenth of a second or
after several. So moves are counted, and each :data:`OFTEN` of them one asks
whether the filaments are as warm as at the time before.
"""

from copy import copy
from math import inf

from .time_course import TICK

OFTEN = 24       # moves of one part without anything from outside, after which one asks
DRIFT = 5e-4     # of ln T from one such time to the next: less, and the filaments no longer warm
ENDLESS = 3.0    # s of such moves, after which they are what anybody hears and sees, whatever comes later
CALM = 2.0       # s without being asked, after which what moves then is something new


class Undone:
    """The count. Parts are numbers, moments are ticks."""

    def __init__(self):
        self.first, self.turns = 0, {}          # since when, and how often each part
        self.warmth, self.since, self.asked = {}, -inf, -inf
        self.is_endless, self.last = False, None

    def copy(self):
        """Return a count that goes on by itself."""
        other = copy(self)
        other.turns, other.warmth = dict(self.turns), dict(self.warmth)
        return other

    def forget(self):
        """Begin anew: something outside has changed."""
        self.__init__()

    def excuse(self):
        """Count from nought again, since a flasher swung by itself or heat moved a part; what was so before each flash is kept."""
        self.turns = {}

    def add(self, index, now, x):
        """Count one move of a part, with the filaments' ln T, shape (filaments,), at this moment. [1]"""
        self.first = self.first if self.turns else now
        often = self.turns[index] = self.turns.get(index, 0) + 1
        if often > OFTEN and often % OFTEN == 1:
            self.last = index
            self.ask((index, often), (index, often - OFTEN), now, x)

    def latest(self, events, names):
        """Return those of a list of events that tell how the last part asked about moves now; names of all parts. [text]"""
        own = [round(event.time * TICK) for event in events if event.name == names[self.last]][-OFTEN:]
        return [event for event in events if event.time * TICK >= max(self.first, own[0])]

    def ask(self, here, sooner, now, x):
        if now - self.asked > CALM * TICK:
            self.warmth, self.since = {}, now
        before = self.warmth.get(here, self.warmth.get(sooner))     # as often in the flash before, if they stop with each
        same = not x or before is not None and all(abs(one - other) < DRIFT for one, other in zip(x, before))
        self.warmth[here], self.asked = x, now
        self.is_endless = same or now - self.since > ENDLESS * TICK

    def is_open(self, now):
        """Tell whether it is not known yet what becomes of moves made so often, or so lately. [yes/no]"""
        return max(self.turns.values(), default=0) >= OFTEN / 2 or now - self.asked < CALM * TICK

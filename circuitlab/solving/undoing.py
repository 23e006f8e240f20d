"""Moves undone: how often each part has moved without anything from outside, and whether that goes on.

Cold filaments draw several times what warm ones do. A relay whose load takes
its coil's volts away falls, and pulls in again; while the filaments warm a
little with each turn, this may end by itself, after a tenth of a second or
after some seconds. So moves are counted, and after each :data:`OFTEN` of them
one asks whether they would go on with filaments as warm as those can be by the
time anybody calls it a buzz: were they to warm on as fast as lately, and they
warm ever more slowly.
"""

from copy import copy
from math import inf, log

from .buzzing import SLOW, found_out
from .time_course import TICK

OFTEN = 24       # moves of one part without anything from outside, after which one asks
ENDLESS = 3.0    # s of such moves, after which they are what anybody hears and sees, whatever comes later
CALM = 2.0       # s without being asked, after which what moves then is something new
SLOW_TURNS = OFTEN / 4 / SLOW     # s, for so many moves of a relay that turns as slowly as chatter at its fastest
MARGIN = 1.25    # by which filaments are taken to warm faster than they did lately
HOTTEST = log(3500 / 293)   # ln T above cold: no filament outlives that


class Undone:
    """The count. Parts are numbers, moments are ticks."""

    def __init__(self):
        self.first, self.turns = 0, {}          # since when, and how often each part
        self.seen, self.since, self.asked = {}, -inf, -inf
        self.who, self.warmest = None, ()       # the part that is asked about, and ln T of filaments by then

    def copy(self):
        """Return a count that goes on by itself."""
        other = copy(self)
        other.turns, other.seen = dict(self.turns), dict(self.seen)
        return other

    def forget(self):
        """Begin anew: something outside has changed."""
        self.__init__()

    def excuse(self):
        """Count from nought again, since a flasher swung by itself or heat moved a part."""
        self.turns = {}

    def add(self, index, now, x):
        """Count one move of a part, with the filaments' ln T, shape (filaments,), at this moment. [1]"""
        self.first = self.first if self.turns else now
        often = self.turns[index] = self.turns.get(index, 0) + 1
        if often == 1:
            self.seen.setdefault(index, (now, x))
        elif often > OFTEN and often % OFTEN == 1:
            self.ask(index, now, x)

    def ask(self, index, now, x):
        """Raise the question, and say how warm filaments may be when it is settled by time."""
        if now - self.asked > CALM * TICK:
            self.since = self.first
        then, before = self.seen[index]
        left = max(0.0, self.since + ENDLESS * TICK - now) / max(1, now - then)
        self.warmest = tuple(min(HOTTEST, one + MARGIN * max(0.0, one - other) * left) for one, other in zip(x, before))
        self.seen[index], self.asked = (now, x), now
        if now - then < SLOW_TURNS * TICK or self.took_too_long(now):     # of slower ones the eye sees each turn: they are played
            self.who = index

    def took_too_long(self, now):
        return now - self.since > ENDLESS * TICK

    def is_open(self, now):
        """Tell whether it is not known yet what becomes of moves made so often, or so lately. [yes/no]"""
        return max(self.turns.values(), default=0) >= OFTEN / 2 or now - self.asked < CALM * TICK


class Unasked(Undone):
    """A count that raises no question."""

    def ask(self, index, now, x):
        pass


def restless(engine):
    """Return ``(verdict, sentence, movers)`` where moves undone go on, even with filaments as warm as they may be; else nothing.

    Parameters
    ----------
    engine : Engine
        Of a time course, as it stands after a part has moved.
    """
    undone, who = engine.undone, engine.undone.who
    undone.who = None
    if who is None:
        return ()
    late, names = undone.took_too_long(engine.now), [part.name for part in engine.net.parts]
    own = [event.time for event in engine.events if event.name == names[who]][-OFTEN:]
    events, turns = [event for event in engine.events if event.time >= own[0]], undone.turns
    if not late:
        events, turns = _warm(engine, who)
        if turns.get(who, 0) < OFTEN:
            return ()
    found = found_out(events, [engine.net.parts[index] for index in turns])
    return found if late or found[0] == "buzzing" else ()


def _warm(engine, who):
    """Play on with filaments as warm as they may be, and return ``(events, turns)`` from then on."""
    warm = engine.copy([], [])
    warm.x, warm.undone, patience = engine.undone.warmest, Unasked(), engine.now + round(CALM * TICK)
    warm.react()
    while warm.now < patience and warm.verdict == "settled" and warm.undone.turns.get(who, 0) < OFTEN:
        warm.go_on(min([patience, *(when for when, _ in warm.pending.values())]), [])
    return warm.events, warm.undone.turns

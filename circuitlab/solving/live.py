"""A course lived in: hands act while it runs, and it goes on from there.

The record ends ahead of the last act, as far as anybody asked, and is thrown away from the next act on. It is kept in
*legs*: each begins at a moment at which something happened anyway, with everything that was true there, so going back
to the beginning of a leg and on again is the very course that :func:`~circuitlab.solving.run` plays in one piece. Where
nothing happens for a minute a leg begins all the same. What lies more than a minute back is let go, save for its events.
"""

from dataclasses import dataclass
from math import inf

from ..ground.errors import ScriptError, shown, unknown_name
from .acts import CHANGE, CONTROL, LEAD, LEADS, Act
from .carrying import carried, positions_in
from .network import network
from .playing import Engine
from .settling import untimed_point
from .time_course import TICK, TimeCourse, first_after, standing

LEG = TICK              # ticks that a leg lasts at least, save after an act
KEPT = 60 * TICK        # ticks of the record that are kept with all their volts; the legs of quiet circuits last as long
RECALLED = 3600 * TICK  # ticks for which events are kept
FARTHEST = 86_400.0     # s that are played at once


@dataclass
class Leg:
    """A stretch of the record: where everything stood at its beginning, and what came of it."""

    start: Engine
    samples: list
    events: list


class Live:
    """A course that hands act in.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str, optional
        Where the controls stand at first, everything at rest. [text]

    Attributes
    ----------
    arrangement, first : Arrangement
        As it is now, changes made, and as it was at first.
    started : dict of str to str
        Where the controls stood at first. [text]
    script : tuple of Act
        What hands did so far.
    now : float
        The moment of the last act; no later one can come before it. [s]

    Raises
    ------
    UnknownName
        For a control or position that is not there.

    >>> import circuitlab as cl
    >>> live = Live(cl.arrangement("one-fused-lamp"))
    >>> live.act(0.5, "lamp switch", "on").states["S1"]
    'on'
    >>> round(live.ahead(1.5).light["E1"][-1], 2), live.at(0.25).light("E1")
    (0.75, 0.0)
    """

    def __init__(self, arrangement, positions=None):
        point = untimed_point(arrangement, positions)
        self.arrangement, self.first, self.started, self.script = arrangement, arrangement, dict(point.positions), ()
        self._tick, self._together, self._past, self._before = 0, [], [], []
        self._begin(Engine(network(arrangement), point), point.positions)

    @property
    def now(self):
        return self._tick / TICK

    @property
    def begin(self):
        """The earliest moment of which everything is still known. [s]"""
        return (self._before[0] if self._before else self._course).begin

    @property
    def until(self):
        """Where the record ends that is known so far. [s]"""
        return self._engine.now / TICK

    @property
    def verdict(self):
        """Settled, or what stops the course at its end: shorted, buzzing, chatter. [text]"""
        return self._engine.verdict

    @property
    def sentence(self):
        """The verdict in words. [text]"""
        return self._engine.sentence

    @property
    def positions(self):
        """Where every control stands since the last act. [text]"""
        return dict(self.at(max(self.now, self.begin)).positions)

    @property
    def events(self):
        """Whatever happened within the last hour, and is known to happen, as ``(time, name, state)``. [s], [text]"""
        kept = [(event.time, event.name, event.state) for course in (*self._before, self._course) for event in course.events]
        return (*self._past, *kept)

    def act(self, at, control, position):
        """Let a hand move a control, and return the operating point it makes.

        Parameters
        ----------
        at : float
            Not before the last act; where a verdict had stopped the course earlier, its clock stood still since. [s]
        control, position : str
            [text]

        Raises
        ------
        ScriptError
            For a moment before the last act, or longer ago than the record goes back.
        UnknownName
            For a control or a position that is not there.
        """
        self.arrangement.control(control).check(position)
        tick = self._reached(at)
        together = [*(self._together if tick == self._tick else []), (tick, control, position)]
        self._back_to(lambda leg: leg.start.now < tick)
        order = list(self.arrangement.controls_by_name)
        self._walk(tick, sorted(together, key=lambda act: order.index(act[1])))
        self._new_leg()
        self._tick, self._together = tick, together
        self._note(Act(self.now, CONTROL, control, position))
        return self.at(self.now)

    def change(self, at, arrangement, made=None, new=()):
        """Carry on in a changed arrangement, and return the operating point it makes.

        Parameters
        ----------
        at : float
            As for an act. [s]
        arrangement : Arrangement
            With every change made so far.
        made : iterable of str, optional
            Those changes as sentences, to be kept in the script instead of the arrangement. [text]
        new : iterable of str
            Parts put in new under their old name, such as a fuse for a blown one. [text]
        """
        tick = self._reached(at)
        self._back_to(lambda leg: leg.start.now <= tick)
        self._walk(tick)
        positions = positions_in(arrangement, self._course.at(tick / TICK).positions)
        engine = carried(self._engine, arrangement, positions, new)
        self._before.append(self._course)
        self.arrangement, self._tick, self._together = arrangement, tick, []
        self._begin(engine, positions)
        self._note(Act(self.now, CHANGE, arrangement if made is None else tuple(made), tuple(new)))
        self._let_go()
        return self.at(self.now)

    def lead(self, at, which, terminal=""):
        """Note that the red or the black lead was put on a terminal, or taken off; nothing in the circuit changes."""
        tick = self._ticks(at)
        if terminal:
            terminal = self.arrangement.check_terminal(terminal)
        if which not in LEADS:
            raise unknown_name("the board", "lead", which, LEADS)
        self._extend(tick)
        self._note(Act(min(tick, self._engine.now) / TICK, LEAD, which, terminal))

    def at(self, moment):
        """Return the operating point at any moment that is known, from ``begin`` to ``until``. [s]

        Raises
        ------
        ScriptError
            For any other.
        """
        moment = self._ticks(moment) / TICK
        for course in (self._course, *reversed(self._before)):
            if moment >= course.begin:
                return course.at(moment)
        raise ScriptError(f"the record goes back to {self.begin:g} s; {moment:g} s is before that. Ask for a later moment.",
                          got=moment)

    def ahead(self, until):
        """Return the record from the last act to a moment, or to where a verdict stops it. [s]

        It is longer where more was asked before, and begins later where the last act lies more than a minute back.
        """
        self._extend(self._ticks(until))
        self._let_go()
        return self._course.since(max(self.now, self._course.begin))

    # ------------------------------------------------------------------ the record

    def _begin(self, engine, positions):
        """Begin the record of an arrangement with an engine that has not reacted yet."""
        self._first = standing(engine, positions)
        engine.verdict, engine.sentence, engine.movers = "settled", "settled", ()
        engine.react()
        self._legs = [Leg(engine.copy(engine.samples, engine.events), engine.samples, engine.events)]
        self._engine, self._course_now = engine, None

    def _note(self, act):
        self.script = tuple(sorted((*self.script, act), key=lambda each: each.when))

    def _new_leg(self):
        engine = self._engine
        engine.samples, engine.events = engine.samples[-1:], []
        self._legs.append(Leg(engine.copy(engine.samples, ()), engine.samples, engine.events))

    def _back_to(self, is_before):
        """Go back to the beginning of the last leg that begins early enough, or of the first there is."""
        while len(self._legs) > 1 and not is_before(self._legs[-1]):
            self._legs.pop()
        leg, known, self._course_now = self._legs[-1], self._engine, None
        engine = self._engine = leg.start.copy(leg.start.samples, leg.start.events)
        engine.contacts_of = known.contacts_of       # true of the circuit, whatever the moment
        engine.verdict, engine.sentence, engine.movers = "settled", "settled", ()
        leg.samples, leg.events = engine.samples, engine.events

    def _walk(self, stop, acts=()):
        """Go on to a tick, with acts there, or to a verdict; legs begin where something happened on the way."""
        engine, acts, self._course_now = self._engine, list(acts), None
        if acts and engine.now == stop:         # no way to go: where the record of this arrangement begins
            for _, *act in acts:
                engine.act(*act)
            engine.fire()
            engine.react()
        while engine.now < stop and engine.verdict == "settled":
            engine.stride(stop, acts)
            calm = not engine.undone.turns and engine.verdict == "settled"      # else the engine looks back at its events
            if calm and engine.now < stop and engine.now - self._legs[-1].start.now >= LEG:
                self._new_leg()

    def _extend(self, stop):
        """Have the record reach a tick, unless a verdict stops it; its end so far is no place to go on from."""
        if stop > self._engine.now and self._engine.verdict == "settled":
            if self._engine.now - self._legs[-1].start.now < KEPT:
                self._back_to(lambda leg: True)
            else:
                self._new_leg()
            self._walk(stop)

    def _reached(self, at):
        """Return the tick of a new act, the record known until there."""
        tick = self._ticks(at)
        if tick < max(self._tick, self._legs[0].start.now):
            earliest = max(self._tick, self._legs[0].start.now) / TICK
            raise ScriptError(f"an act at {at:g} s comes too late: it has gone on from {earliest:g} s. "
                              "Act at that moment or after it.", got=at)
        self._extend(tick)
        return min(tick, self._engine.now)

    def _ticks(self, moment):
        """Return a moment as ticks, or raise ScriptError for what is none, or too far off to be played."""
        if isinstance(moment, bool) or not isinstance(moment, (int, float)) or not 0 <= moment < inf:
            raise ScriptError(f"{shown(moment)} is no moment. Give a number of seconds from 0 on.", got=moment)
        if moment > self.until + FARTHEST:
            raise ScriptError(f"{moment:g} s lies more than a day after {self.until:g} s, to where the course is known. "
                              "Give an earlier moment.", got=moment)
        return round(moment * TICK)

    def _let_go(self):
        """Let go of what lies more than a minute back from the end, save for its events."""
        horizon, legs = self._engine.now - KEPT, self._legs
        while self._before and self._before[0].until * TICK < horizon:
            self._recall(self._before.pop(0).events)
        if not self._before and legs[0].start.now < horizon - KEPT:
            place = max((place for place, leg in enumerate(legs) if leg.start.now <= horizon), default=0)
            events = [event for leg in legs[:place] for event in leg.events]
            self._first, self._legs, self._course_now = first_after(self._first, events), legs[place:], None
            self._recall(events)

    def _recall(self, events):
        """Keep events as light as may be, for an hour."""
        self._past += [(event.time, event.name, event.state) for event in events]
        self._past = [event for event in self._past if event[0] * TICK >= self._engine.now - RECALLED]

    @property
    def _course(self):
        """The record of the present arrangement, all that is kept of it."""
        if self._course_now is None:
            engine, begin = self._engine, self._legs[0].start.now
            samples = [*self._legs[0].samples, *(sample for leg in self._legs[1:] for sample in leg.samples[1:])]
            script = tuple((act.when, act.what, act.to) for act in self.script
                           if act.kind == CONTROL and act.when * TICK >= begin)
            self._course_now = TimeCourse(
                self.arrangement, script, engine.now / TICK, tuple(event for leg in self._legs for event in leg.events),
                self._first, engine.verdict, engine.sentence, tuple(samples), engine, engine.movers)
        return self._course_now

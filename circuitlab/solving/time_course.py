"""The time course: what an arrangement does while somebody works its controls.

Between events only filaments change, and :mod:`warming` carries them along.
Events are control actions, contacts that land, flashers that swing, fuses
that blow, and coils that cross a threshold *inside* a step, found by halving.
All times sit on a clock of whole microseconds; whatever falls on the same
tick is applied together before anything reacts, so the order in which a
script lists simultaneous actions cannot matter.

A relay that keeps undoing its own move is stopped after a dozen turns and
reported as buzzing with its frequency: never an endless loop.
"""

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from math import exp, log

from ..ground.errors import ScriptError, listed, unknown_name
from ..parts.lamp import COLD
from .network import network
from .operating_point import OperatingPoint, operating_point
from .warming import Warming

TICK = 1_000_000      # ticks per second
CAREFUL = 3e-5        # error allowed in ln T per step: keeps light within about 3e-4 of peak
LONGEST = 0.25        # s, longest step
BUZZ = 24             # moves without anything from outside before it is called buzzing


@dataclass(frozen=True)
class Event:
    """Something that happened: a control moved or a part changed its state.

    Parameters
    ----------
    time : float
        [s]
    name, state : str
        The control or part, and what it became. [text]
    """

    time: float
    name: str
    state: str


@dataclass(frozen=True)
class TimeCourse:
    """The record of a run; charts, meters and rates all read it.

    Attributes
    ----------
    script : tuple of (float, str, str)
        The control actions that were played: time, control, position. [s]
    until : float
        Where the record ends. [s]
    events : tuple of Event
        In order of time.
    verdict : {"settled", "buzzing"}
    sentence : str
        The verdict in words.
    """

    arrangement: object
    script: tuple
    until: float
    events: tuple
    first: tuple
    verdict: str
    sentence: str
    _samples: tuple
    _end: object

    @cached_property
    def times(self):
        """Moments of the record, each jump twice: just before and just after. [s]"""
        return tuple(moment for moment, _, _ in self._dense)

    @cached_property
    def lamp_volts(self):
        """For each lamp its volts at ``times``. [V]"""
        return {lamp: tuple(volts[order] for *_, volts in self._dense)
                for order, lamp in enumerate(network(self.arrangement).lamps)}

    @cached_property
    def light(self):
        """For each lamp its light at ``times``, relative to rated. [1]"""
        net = network(self.arrangement)
        return {lamp: tuple(law.light(COLD * exp(x[order])) for _, x, _ in self._dense)
                for order, (lamp, law) in enumerate(zip(net.lamps, net.filaments))}

    @cached_property
    def _dense(self):
        """Samples with points put in where a lamp changes much between two of them."""
        dense = []
        for here, there in zip(self._samples, self._samples[1:]):
            dense.append((here.tick / TICK, here.x, here.volts))
            bend = max((abs(a - b) for a, b in zip(here.x, there.x)), default=0.0)
            pieces = min(8, int(bend / 0.01)) if there.tick - here.tick > 4000 else 0
            for piece in range(1, pieces):
                part = piece / pieces
                volts = tuple(a + part * (b - a) for a, b in zip(here.volts, there.volts))
                dense.append(((here.tick + part * (there.tick - here.tick)) / TICK, _between(here, there, part), volts))
        last = self._samples[-1]
        return (*dense, (last.tick / TICK, last.x, last.volts))

    def spans(self, name):
        """Return ``(start, end, state)`` from beginning to end for a control or a part. [s], [text]

        Raises
        ------
        UnknownName
            When nothing of that name can change.
        """
        first = dict(self.first)
        if name not in first:
            raise unknown_name(f"arrangement '{self.arrangement.title}'", "control or part", name, first)
        spans, start, state = [], 0.0, first[name]
        for event in self.events:
            if event.name == name and event.state != state:
                if event.time > start:
                    spans.append((start, event.time, state))
                start, state = event.time, event.state
        return (*spans, (start, self.until, state))

    def at(self, moment):
        """Return the operating point at a moment, filaments as warm as they then are.

        Raises
        ------
        ScriptError
            For a moment outside the record.
        """
        if not 0 <= moment <= self.until:
            raise ScriptError(f"the record runs from 0 to {self.until:g} s; {moment:g} s lies outside. "
                              "Ask for a moment inside it.", got=moment)
        net = network(self.arrangement)
        tick = round(moment * TICK)
        index = bisect_right(self._samples, tick, key=lambda sample: sample.tick) - 1
        here, there = self._samples[index], self._samples[min(index + 1, len(self._samples) - 1)]
        part = (tick - here.tick) / (there.tick - here.tick) if there.tick > here.tick else 0.0
        temperatures = tuple(COLD * exp(x) for x in _between(here, there, part))
        contacts = net.reduced(list(here.states))
        volts = contacts.volts(contacts.filament_conductances(temperatures))
        where = {name: next(state for start, end, state in self.spans(name) if moment < end or end == self.until)
                 for name in self.arrangement.controls_by_name}
        states = {part_.name: state for part_, state in zip(net.parts, here.states)}
        phases = {part_.name: "on" if states[part_.name] == "on" else "off" for part_ in net.parts if part_.swings}
        return OperatingPoint(self.arrangement, where, phases, states, "settled", f"at {moment:g} s", contacts,
                              tuple(volts), temperatures)

    def carry_on(self, script=(), until=10.0):
        """Return the record continued from its end, with further actions, to a later time. [s]"""
        engine = self._end.copy(self._samples, self.events)
        return engine.play(self.script, script, until, self.first)

    def plot(self, ax=None, **choices):
        """Draw the printed time chart with matplotlib; see :func:`circuitlab.views.print_chart.plot`."""
        from importlib import import_module
        return import_module("circuitlab.views.print_chart").plot(self, ax=ax, **choices)


def run(arrangement, script=(), until=5.0, positions=None):
    """Play a script of control actions and return the record.

    Parameters
    ----------
    arrangement : Arrangement
    script : sequence of (float, str, str)
        Time, control, position; times must not go back. [s], [text]
    until : float
        Where to stop. [s]
    positions : dict of str to str, optional
        Where the controls stand before the script begins, everything at rest
        and every filament at its settled temperature there. [text]

    Returns
    -------
    TimeCourse

    Raises
    ------
    ScriptError
        For a script that goes back in time or an end that is not later than its last action.
    UnknownName
        For a control or position that is not there.
    """
    point = operating_point(arrangement, positions)
    engine = _Engine(network(arrangement), point)
    first = (*point.positions.items(), *((part.name, engine.states[index]) for index, part
                                         in enumerate(engine.net.parts) if len(set(part.states)) > 1))
    return engine.play((), script, until, first)


@dataclass(frozen=True)
class _Sample:
    tick: int
    x: tuple        # ln(T / 300 K) of each filament
    slopes: tuple   # of x [1/s]
    volts: tuple    # across each filament [V]
    states: tuple


class _Engine:
    """Everything that is true at one moment, and how it moves on."""

    def __init__(self, net, point):
        self.net, self.now = net, 0
        self.states = [point.states[part.name] for part in net.parts]
        if not point.is_settled:
            self.states = net.first_states(point.positions)
        self.aims = list(self.states)
        self.x = tuple(log(t / COLD) for t in point._temperatures) or (0.0,) * len(net.filaments)
        self.pending, self.heat, self.turns, self.first_turn, self.events, self.samples = {}, {}, 0, 0, [], []
        self.contacts_of = {}
        self.look_around()
        for index, part, watched in net.changing:
            if part.latching:
                self.heat[index] = part.strain(self.currents(watched))

    def copy(self, samples, events):
        other = object.__new__(_Engine)
        other.__dict__.update(self.__dict__)
        other.states, other.aims, other.pending, other.heat = self.states[:], self.aims[:], dict(self.pending), dict(self.heat)
        other.samples, other.events = list(samples), list(events)
        return other

    def play(self, before, script, until, first):
        """Run to the end and return the whole record."""
        actions = _checked(self.net.arrangement, script, self.now / TICK, until)
        stop, self.verdict, self.sentence = round(until * TICK), "settled", "settled"
        self.react()
        while self.now < stop and self.verdict == "settled":
            target = min([stop, *(when for when, _ in self.pending.values()), *(when for when, *_ in actions[:1])])
            self.glide(target)
            if self.now == target:
                while actions and actions[0][0] <= self.now:
                    self.act(*actions.pop(0)[1:])
                self.fire()
            self.react()
        script = (*before, *((float(when), control, position) for when, control, position in script))
        return TimeCourse(self.net.arrangement, script, self.now / TICK, tuple(self.events), first, self.verdict,
                          self.sentence, tuple(self.samples), self)

    def act(self, control, position):
        """Move a control, and every switch that it works."""
        self.turns = 0
        self.events.append(Event(self.now / TICK, control, position))
        for index, part in enumerate(self.net.parts):
            if getattr(part, "control", None) == control and index not in self.net.held:
                self.become(index, position)

    def become(self, index, state):
        self.states[index] = state
        self.events.append(Event(self.now / TICK, self.net.parts[index].name, state))

    def fire(self):
        """Let every move that is due happen, together."""
        for index in [index for index, (when, _) in self.pending.items() if when <= self.now]:
            _, state = self.pending.pop(index)
            if self.net.parts[index].swings:
                self.turns = 0
            else:
                self.first_turn = self.first_turn if self.turns else self.now
                self.turns += 1
            self.become(index, state)
            self.schedule(index)

    def schedule(self, index):
        self.pending.pop(index, None)
        move = self.net.parts[index].next_move(self.states[index], self.aims[index])
        if move:
            self.pending[index] = (self.now + round(move[0] * TICK), move[1])

    def react(self):
        """After something changed: look at the new volts, let every part form its aim, fire what is due at once."""
        for _ in range(BUZZ):
            self.look_around()
            self.consult()
            if all(when > self.now for when, _ in self.pending.values()):
                break
            self.fire()
        if self.turns > BUZZ:
            self.call_it_buzzing()

    def look_around(self):
        """Take in the contacts as they stand now and note a sample."""
        key = tuple(self.states)
        if key not in self.contacts_of:
            contacts = self.net.reduced(self.states)
            self.contacts_of[key] = (contacts, Warming(contacts))
        self.contacts, self.warming = self.contacts_of[key]
        self.slopes, drops = self.warming.slopes(self.contacts.late, self.x)
        self.note(drops)
        self.see()

    def see(self):
        """Work out the volts of every point for the present filaments."""
        self.temperatures = [COLD * exp(x) for x in self.x]
        self.volts = self.contacts.volts(self.contacts.filament_conductances(self.temperatures))

    def note(self, drops):
        sample = _Sample(self.now, self.x, self.slopes, drops, tuple(self.states))
        if len(self.samples) > 1 and self.samples[-1].tick == self.samples[-2].tick == self.now:
            self.samples[-1] = sample
        else:
            self.samples.append(sample)

    def currents(self, watched):
        return [self.contacts.current(number, self.volts, self.temperatures) for number in watched]

    def new_aims(self):
        """Return the aims that differ from the present ones, as ``{index: aim}``."""
        changed = {}
        for index, part, watched in self.net.changing:
            if not part.latching:
                aim = part.aim(self.states[index], self.aims[index], self.currents(watched))
                if aim != self.aims[index]:
                    changed[index] = aim
        return changed

    def consult(self):
        for index, aim in self.new_aims().items():
            self.aims[index] = aim
            self.schedule(index)

    def glide(self, target):
        """Carry the filaments on to a tick, or to where a part changes its mind on the way."""
        fastest = max((abs(slope) for slope in self.slopes), default=0.0)
        step = min(LONGEST, 0.05 / (fastest + 1e-9))
        while self.now < target:
            ticks = min(target - self.now, max(1, round(step * TICK)))
            x, slopes, drops, error = self.warming.step(self.contacts.late, self.x, self.slopes, ticks / TICK)
            if error > CAREFUL and ticks > 1:
                step = ticks / TICK * max(0.2, 0.9 * (CAREFUL / error) ** 0.2)
                continue
            step = min(LONGEST, ticks / TICK * (min(5.0, 0.9 * (CAREFUL / error) ** 0.2) if error else 5.0))
            start = (self.now, self.x, self.slopes)
            self.now, self.x, self.slopes = self.now + ticks, x, slopes
            self.see()
            heats = self.heats(ticks / TICK)
            stops = self.new_aims() or _gives_way(heats)
            if stops:
                self.halve_back(start)
                heats = self.heats((self.now - start[0]) / TICK)
                self.slopes, drops = self.warming.slopes(self.contacts.late, self.x)
            self.note(drops)
            self.heat.update(heats)
            if stops:
                self.blow(heats)
                return

    def halve_back(self, start):
        """Find the first tick of the last step at which some part changes its mind or gives way."""
        tick, x, slopes = start
        before = _Sample(tick, x, slopes, (), ())
        after = _Sample(self.now, self.x, self.slopes, (), ())
        low, high = tick, self.now
        while high - low > 1:
            self.now = (low + high) // 2
            self.x = _between(before, after, (self.now - tick) / (after.tick - tick))
            self.see()
            stops = self.new_aims() or _gives_way(self.heats((self.now - tick) / TICK))
            low, high = (low, self.now) if stops else (self.now, high)
        self.now = high
        self.x = _between(before, after, (high - tick) / (after.tick - tick))
        self.see()

    def heats(self, seconds):
        """Return how warm the strain of the last step leaves every latching part that is still whole, 1 being its end."""
        heats = {}
        for index, part, watched in self.net.changing:
            if part.latching and self.states[index] == part.states[0]:
                strain = part.strain(self.currents(watched))
                heats[index] = strain + (self.heat[index] - strain) * exp(-seconds / part.heat_time)
        return heats

    def blow(self, heats):
        """Let the warmest latching part give way if it has come to its end: one at a time."""
        if _gives_way(heats):
            index = max(heats, key=heats.get)
            self.aims[index] = self.net.parts[index].states[-1]
            self.become(index, self.aims[index])

    def call_it_buzzing(self):
        busy = [event for event in self.events if event.time * TICK >= self.first_turn]
        names = sorted({event.name for event in busy if event.name in self.net.place})
        name = max(names, key=lambda each: sum(event.name == each for event in busy))
        landed = [event.time for event in busy if event.name == name and event.state == busy[-1].state]
        periods = [b - a for a, b in zip(landed, landed[1:])]
        frequency = len(periods) / sum(periods) if periods and sum(periods) else 0.0
        self.verdict = "buzzing"
        self.sentence = f"{listed(names)} buzz{'es' if len(names) == 1 else ''} at about {frequency:.0f} Hz"


def _gives_way(heats):
    return max(heats.values(), default=0.0) >= 1


def _between(here, there, part):
    """Return x between two samples by the cubic that fits values and slopes at both."""
    if not 0 < part < 1:
        return there.x if part >= 1 else here.x
    span = (there.tick - here.tick) / TICK
    back = 1 - part
    a, b = back * back * (1 + 2 * part), part * part * (1 + 2 * back)
    c, d = part * back * back * span, -part * part * back * span
    return tuple(a * x0 + b * x1 + c * s0 + d * s1
                 for x0, x1, s0, s1 in zip(here.x, there.x, here.slopes, there.slopes))


def _checked(arrangement, script, begin, until):
    """Return the actions as (tick, control, position), equal ticks in the arrangement's order, or raise ScriptError."""
    actions, last = [], begin
    for line in script:
        try:
            when, control, position = line
            when = float(when)
        except (TypeError, ValueError):
            raise ScriptError(f"{line!r} is not an action. Write (seconds, control, position), "
                              "such as (0.5, 'brake pedal', 'held').", got=line) from None
        arrangement.control(control).check(position)
        if not when >= last:
            raise ScriptError(f"'{control}' to '{position}' at {when:g} s comes after {last:g} s. "
                              "A script cannot go back in time: list the actions in order.", got=when)
        actions.append((round(when * TICK), control, position))
        last = when
    if not last < until <= 3600:
        raise ScriptError(f"the run ends at {until:g} s, but it must end after {last:g} s and within 3600 s. "
                          "Give a later 'until'.", got=until)
    order = list(arrangement.controls_by_name)
    return sorted(actions, key=lambda action: (action[0], order.index(action[1])))

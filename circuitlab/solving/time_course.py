"""The record of a run: states at accepted steps, events, control actions.

Charts, meters, rates and the live schematic all read it; ``at(t)`` gives an
ordinary operating point.
"""

from bisect import bisect_right
from dataclasses import dataclass, replace
from functools import cached_property
from math import exp, log

from ..ground.errors import ScriptError, unknown_name
from ..ground.showing import Door, Showing
from .network import network
from .point import OperatingPoint

TICK = 1_000_000  # ticks of the clock per second


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


@dataclass(frozen=True, repr=False)
class TimeCourse(Showing):
    """The record of a run; charts, meters and rates all read it.

    Attributes
    ----------
    script : tuple of (float, str, str)
        The control actions that were played: time, control, position. [s]
    until : float
        Where the record ends. [s]
    events : tuple of Event
        In order of time.
    verdict : {"settled", "shorted", "buzzing", "chatter"}
    sentence : str
        The verdict in words.
    movers : tuple of str
        Where something buzzes or chatters: what moves. [text]
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
    movers: tuple = ()

    text_view, html_view = "views.course_words:describe_course", "views.time_chart:time_chart"
    plot, status = Door("views.printing.print_chart:plot"), Door("views.tables:status")

    @property
    def brief(self):
        """In one sentence. [text]"""
        return (f"Time course of '{self.arrangement.title}', {self.begin:g} to {self.until:g} s: "
                f"{len(self.script)} control actions, {len(self.events)} events; {self.sentence}.")

    @property
    def begin(self):
        """Where the record begins: 0 unless it is one from a later moment on. [s]"""
        return self._samples[0].tick / TICK

    @cached_property
    def times(self):
        """Moments of the record, each jump twice: just before and just after. [s]"""
        return tuple([moment for moment, _, _ in self._dense])

    @cached_property
    def lamp_volts(self):
        """For each lamp its volts at ``times``. [V]"""
        net = network(self.arrangement)
        return {lamp: tuple([volts[order] for _, _, volts in self._dense])
                for lamp, order in ((lamp, net.lamp_order[lamp]) for lamp in net.lamps)}

    @cached_property
    def light(self):
        """For each lamp its light at ``times``, relative to rated. [1]"""
        return self._of_lamps(lambda law, volts, temperature: law.shine(volts, temperature))

    @cached_property
    def lamp_current(self):
        """For each lamp the current through it at ``times``, a load resistor in it left out. [A]"""
        return self._of_lamps(lambda law, volts, temperature: law.conductance(temperature) * volts if law.warms
                              else law.settled_current(volts)[0])

    def _of_lamps(self, reading):
        """For each lamp a reading at ``times``, by its law, volts [V] and temperature, if it has one [K]; 0 if blown or missing."""
        net, found = network(self.arrangement), {}
        gone = set(filter(self.arrangement.is_gone, net.lamps))
        for lamp in net.lamps:
            order, law = net.lamp_order[lamp], net.devices[net.lamp_order[lamp]]
            of_lamp = ((volts[order], net.cold * exp(x[order]) if law.warms else None) for _, x, volts in self._dense)
            found[lamp] = tuple([0.0 if lamp in gone else reading(law, *each) for each in of_lamp])
        return found

    @cached_property
    def _dense(self):
        """Samples with points put in where a lamp changes much between two of them."""
        dense = []
        for here, there in zip(self._samples, self._samples[1:]):
            dense.append((here.tick / TICK, here.x, here.volts))
            if there.tick - here.tick <= 4000:
                continue
            bend = max([abs(a - b) for a, b in zip(here.x, there.x)], default=0.0)
            for piece in range(1, pieces := min(6, int(bend / 0.02))):
                part = piece / pieces
                volts = tuple([a + part * (b - a) for a, b in zip(here.volts, there.volts)])
                dense.append(((here.tick + part * (there.tick - here.tick)) / TICK, between(here, there, part), volts))
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
        spans, start, state = [], self.begin, first[name]
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
        self._check(moment)
        if moment not in self._points:
            self._points[moment] = self._worked_out(moment)
        return self._points[moment]

    def _check(self, moment):
        if not isinstance(moment, (int, float)) or not self.begin <= moment <= self.until:
            raise ScriptError(f"the record runs from {self.begin:g} to {self.until:g} s; {moment!r} is no moment in it. "
                              "Ask for a number of seconds inside it.", got=moment)

    def _before(self, tick):
        """Return the place of the last sample that is not later than a tick. [1]"""
        return bisect_right(self._samples, tick, key=lambda sample: sample.tick) - 1

    def states_before(self, moment):
        """Return the state of every part, in the network's order, just before a moment. [text]"""
        return next(sample.states for sample in reversed(self._samples) if sample.tick < round(moment * TICK)
                    or sample is self._samples[0])

    @cached_property
    def _points(self):
        """Operating points by moment, as they are asked for: a chart, a schematic and a sentence ask for the same. [s]"""
        return {}

    def _worked_out(self, moment):
        net = network(self.arrangement)
        tick = round(moment * TICK)
        index = self._before(tick)
        here, there = self._samples[index], self._samples[min(index + 1, len(self._samples) - 1)]
        part = (tick - here.tick) / (there.tick - here.tick) if there.tick > here.tick else 0.0
        temperatures = tuple(net.cold * exp(x) for x in between(here, there, part))
        contacts = net.reduced(list(here.states))
        volts = contacts.volts(contacts.filament_conductances(temperatures))
        where = {name: [state for start, _, state in self.spans(name) if start <= moment][-1]
                 for name in self.arrangement.controls_by_name}
        states = {part_.name: state for part_, state in zip(net.parts, here.states)}
        phases = {part_.name: "on" if states[part_.name] == part_.on_state else "off"
                  for part_ in net.parts if part_.swings}
        return OperatingPoint(self.arrangement, where, phases, states, "settled", f"at {moment:g} s", contacts,
                              tuple(volts), temperatures, True)

    def since(self, moment):
        """Return the record from a moment on; it begins with the last step that is not later. [s]

        Raises
        ------
        ScriptError
            For a moment outside the record.
        """
        self._check(moment)
        place = self._before(round(moment * TICK))
        begin = self._samples[place].tick / TICK
        return replace(self, script=tuple(line for line in self.script if line[0] > begin),
                       events=tuple(event for event in self.events if event.time > begin),
                       first=first_after(self.first, (event for event in self.events if event.time <= begin)),
                       _samples=self._samples[place:])

    def carry_on(self, script=(), until=10.0):
        """Return the record continued from its end, with further actions, to a later time. [s]"""
        engine = self._end.copy(self._samples, self.events)
        return engine.play(self.script, script, until, self.first)


@dataclass(frozen=True)
class Sample:
    tick: int
    x: tuple        # ln(T / 300 K) of each filament
    slopes: tuple   # of x [1/s]
    volts: tuple    # across each device, filaments first [V]
    states: tuple


def between(here, there, part):
    """Return x between two samples by the cubic in 1/T that fits values and slopes at both.

    A filament that only radiates has T^-3 growing evenly, so 1/T bends less than ln T and halves the error.
    """
    if not 0 < part < 1:
        return there.x if part >= 1 else here.x
    span = (there.tick - here.tick) / TICK
    back = 1 - part
    a, b = back * back * (1 + 2 * part), part * part * (1 + 2 * back)
    c, d = -part * back * back * span, part * part * back * span
    found = []
    for x0, x1, s0, s1 in zip(here.x, there.x, here.slopes, there.slopes):
        y0, y1 = exp(-x0), exp(-x1)
        found.append(-log(max((a + c * s0) * y0 + (b + d * s1) * y1, 0.5 * min(y0, y1))))
    return tuple(found)


def standing(engine, positions):
    """Return where every control and every part that can change stands, as ``((name, state), ...)``. [text]

    What was gone before the record began counts as whole: its first event says that it is gone.
    """
    gone = {event.name for event in engine.events}
    return (*positions.items(),
            *((part.name, part.states[0] if part.name in gone else engine.states[index])
              for index, part in enumerate(engine.net.parts) if len(set(part.states)) > 1 or hasattr(part, "control")))


def first_after(first, events):
    """Return where controls and parts stand after events, from where they stood before. [text]"""
    return tuple((dict(first) | {event.name: event.state for event in events}).items())

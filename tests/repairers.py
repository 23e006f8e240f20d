"""A repairer at a circuit with a hidden fault: answers every look and reading as instruments would, and follows a way of finding.

The answers come from one operating point after the other, not from the arrays that the finder works with.
"""

import random
from dataclasses import dataclass, replace

from circuitlab.arrangements import Hold, LoseJoint, changed
from circuitlab.arrangements.rows import phases_of, rows_of
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Connector, Lamp
from circuitlab.reasoning.asked import place_of
from circuitlab.reasoning.finding.eyes import look_over_time
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.asked_for import as_sentence
from circuitlab.reasoning.finding.told import when_words
from circuitlab.reasoning.leads import take_reading
from circuitlab.reasoning.looks import look_of
from circuitlab.reasoning.observing import observe
from circuitlab.solving import operating_point

DIMMER = 0.8        # of the right light, below which this customer calls a lamp dim
MOST_READINGS = 25


@dataclass
class Bench:
    """A circuit with a fault that only its answers tell of."""

    arrangement: object
    changes: tuple
    noise: float = 0.0
    seed: int = 0
    chafed: str = ""        # the wire that touches the frame along its length, where a change has its end touch
    behind: tuple = ()      # terminals a lead is not on, as the fault lies behind them, each with the place where its wires are
    light: tuple = ()       # lamps whose glass lets less light out, each with what part of it

    def __post_init__(self):
        self.random = random.Random(self.seed)
        self.faulty = self._worked_out("faulty", lambda: _broken(self.arrangement, self.changes))

    def _worked_out(self, what, task):
        """Return what is the same for every bench of this circuit with this fault: worked out once."""
        key = id(self.arrangement), self.changes, self.light, what
        if key not in _known:
            _known[key] = self.arrangement, task()      # which keeps the circuit, and so its number, its own
        return _known[key][1]

    def complaint(self):
        """Return the first thing that looks wrong, fewest controls moved, as the customer says it; None for nothing. [text]"""
        return self._worked_out("complaint", self._complaint)

    def _complaint(self):
        rest = self.arrangement.positions()
        for row in sorted(rows_of(self.arrangement), key=lambda row: sum(row[name] != rest[name] for name in row)):
            lights = [_known_lights(self.arrangement, row), self._lights_now(row)]
            for lamp in self.arrangement.of_kind(Lamp) if None not in lights else ():
                said = self._said(*(light[lamp.name] for light in lights))
                if said:
                    return f"{place_of(self.arrangement, lamp.name)} {said}{when_words(self.arrangement, row)}"
        return None

    def _lights_now(self, row):
        """Return the lights with the fault, as its glass lets them out; None where some phase has no rest. [1]"""
        lights = _lights(self.faulty, row)
        return lights and {lamp: [dict(self.light).get(lamp, 1.0) * each for each in phases] for lamp, phases in lights.items()}

    def _watched(self, lamp, row):
        """Return what a lamp shows in a row: works, or its look. [text]"""
        lights = [_known_lights(self.arrangement, row), self._lights_now(row)]
        if None not in lights:
            return self._said(*(light[lamp] for light in lights)) or "works"
        lamps = [each.name for each in self.faulty.of_kind(Lamp)]
        levels = observe(self.faulty, [row], self.arrangement)[0].levels
        return look_over_time({phase[lamps.index(lamp)] for phase in levels}) if levels else "dark"

    @staticmethod
    def _said(right, now):
        was, looks = look_of(right), look_of(now)
        if was == "dark" != looks:
            return "glows"
        if looks in ("dark", "steady", "flashing") and looks != was:
            return looks
        return "dim" if was != "dark" and looks != "pulses" and max(now) < DIMMER * max(right) else None

    def answer(self, offer):
        """Return what is read or seen, as a sentence. [text]"""
        return as_sentence(self.shown(offer), offer, self.arrangement)

    def _put(self, terminal):
        return dict(self.behind).get(terminal, terminal)

    def _off(self, lifted):
        """Return the faulty circuit with some wires about to be lifted: one that chafes still touches, at the end that stays on."""
        wire = self.arrangement.part(self.chafed) if self.chafed else None
        if wire is None or (wire.name, wire.end) not in lifted:
            return self.faulty
        moved = (replace(each, first=wire.start) if getattr(each, "first", "") == wire.end else each for each in self.changes)
        gone = (Hold(name, state) for name, state in self.faulty.held if state == "blown")
        return changed(self.arrangement, *moved, *gone)

    def shown(self, offer):
        """Return what is read or seen: a value, a word. [text]"""
        if offer.instrument == "look":
            return "blown" if dict(self.faulty.held).get(offer.look) == "blown" else "whole"
        if offer.instrument == "watch":
            return self._watched(offer.look, offer.positions)
        if offer.instrument == "ohms":
            ohms = ohms_read(self._off(offer.lifted), self._put(offer.red), self._put(offer.black), offer.positions, offer.lifted, offer.out)
            return "no way" if ohms is None else f"{ohms + 0.1:.1f} ohm"
        phases = offer.phases or phases_of(self.faulty)[-1]
        point = operating_point(self.faulty, offer.positions, phases)
        if point.verdict == "chatter":      # a flasher that cannot stay on: nothing steady to read
            return "jumps"
        reading = take_reading(point, self._put(offer.red), self._put(offer.black))
        if reading.word == "unsteady":
            return "jumps"
        volts = reading.shown * self.random.gauss(1.0, self.noise) + self.random.gauss(0.0, self.noise)
        return f"{volts:.2f} V"


_known = {}


def bench_with(arrangement, candidate, noise=0.0, seed=0):
    """Return a bench with a candidate in it."""
    return Bench(arrangement, candidate.changes, noise, seed, next(iter(candidate.chafed), ""), candidate.behind, candidate.light)


def _broken(arrangement, changes):
    """Return a circuit with a fault, and every fuse gone that it blows in some row."""
    faulty, blown = changed(arrangement, *changes), []
    held = dict(faulty.held)
    guards = [part.name for part in faulty.parts if part.guards and part.latching and part.name not in held]
    for row in rows_of(faulty) if guards else ():
        for phases in phases_of(faulty):
            point = operating_point(faulty, row, phases)
            if point.verdict == "chatter":      # a flasher shorted behind its contact: closed for long enough all the same
                point = operating_point(changed(faulty, *(Hold(part.name, part.on_state) for part in faulty.parts if part.swings)), row, phases)
            blown += [name for name in guards if point.is_settled and point.states[name] == "blown" and name not in blown]
    return changed(faulty, *(Hold(name, "blown") for name in blown))


def _known_lights(arrangement, row):
    """Return the lights of a sound circuit, worked out once for each row."""
    key = id(arrangement), tuple(row.items())
    if key not in _known:
        _known[key] = arrangement, _lights(arrangement, row)
    return _known[key][1]


def _lights(circuit, row):
    """Return the light of every lamp in each phase, or None where some phase has no rest. [1]"""
    points = [operating_point(circuit, row, phases) for phases in phases_of(circuit)]
    if any(point.verdict != "settled" for point in points):
        return None
    return {lamp.name: [point.light(lamp.name) for point in points] for lamp in circuit.of_kind(Lamp)}


def ohms_read(circuit, red, black, positions, lifted=(), out=()):
    """Return what the kit's meter shows on ohms with some wires off a terminal, lamps and fuses out, and plugs parted; None for no way. [ohm]

    A wire off is a joint lost, what is out of its socket is held as blown: the circuit is solved with the meter in it.
    """
    apart = changed(circuit, *(LoseJoint(*leg) for leg in lifted), *(Hold(name, "parted" if isinstance(circuit.part(name), Connector) else "blown") for name in out))
    return take_reading(operating_point(apart, positions, "off"), red, black, "ohms").value


def followed(bench, odds="workshop practice", slips=0.0, start=()):
    """Follow the proposals until nothing more is proposed; return the last finding, the number of readings and their minutes."""
    complaint = bench.complaint()
    if complaint is None:
        return None, 0, 0.0
    found, readings, minutes = find(bench.arrangement, complaint, list(start), odds), 0, 0.0
    while found.next is not None and readings < MOST_READINGS:
        offer = found.next.offer
        said = bench.answer(offer)
        if offer.instrument == "meter" and bench.random.random() < slips:
            said = bench.answer(replace(offer, positions=bench.arrangement.positions(), phases={}))
            said = as_sentence(said.partition(" V")[0], offer, bench.arrangement)
        readings, minutes = readings + 1, minutes + offer.effort
        try:
            found = found.told(said)
        except CircuitLabError:
            break
    return found, readings, minutes

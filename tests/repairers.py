"""A repairer at a circuit with a hidden fault: answers every look and reading as instruments would, and follows a way of finding.

The answers come from one operating point after the other, not from the arrays that the finder works with.
"""

import random
from dataclasses import dataclass, field, replace
from math import inf

from circuitlab.arrangements import Hold, changed
from circuitlab.arrangements.rows import phases_of, rows_of
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Lamp
from circuitlab.reasoning.asked import place_of
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.asked_for import as_sentence
from circuitlab.reasoning.finding.cold import cold_ohms
from circuitlab.reasoning.finding.told import when_words
from circuitlab.reasoning.leads import take_reading
from circuitlab.reasoning.looks import look_of
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
    blown: list = field(default_factory=list)

    def __post_init__(self):
        self.random = random.Random(self.seed)
        faulty = changed(self.arrangement, *self.changes)
        held = dict(faulty.held)
        guards = [part.name for part in faulty.parts if part.guards and part.latching and part.name not in held]
        for row in rows_of(faulty):
            for phases in phases_of(faulty):
                point = operating_point(faulty, row, phases)
                self.blown += [name for name in guards if point.is_settled and point.states[name] == "blown" and name not in self.blown]
        self.faulty = changed(faulty, *(Hold(name, "blown") for name in self.blown))

    def complaint(self):
        """Return the first thing that looks wrong, fewest controls moved, as the customer says it; None for nothing. [text]"""
        rest = self.arrangement.positions()
        for row in sorted(rows_of(self.arrangement), key=lambda row: sum(row[name] != rest[name] for name in row)):
            for lamp in self.arrangement.of_kind(Lamp):
                right, now = self._lights(self.arrangement, row, lamp.name), self._lights(self.faulty, row, lamp.name)
                if right is None or now is None:
                    continue
                said = self._said(right, now)
                if said:
                    return f"{place_of(self.arrangement, lamp.name)} {said}{when_words(self.arrangement, row)}"
        return None

    def _lights(self, circuit, row, lamp):
        points = [operating_point(circuit, row, phases) for phases in phases_of(circuit)]
        return [point.light(lamp) for point in points] if all(point.verdict == "settled" for point in points) else None

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

    def shown(self, offer):
        """Return what is read or seen: a value, a word. [text]"""
        if offer.instrument == "look":
            return "blown" if dict(self.faulty.held).get(offer.look) == "blown" else "whole"
        if offer.instrument == "ohms":
            ohms = cold_ohms(self.faulty, offer.red, offer.black, offer.positions, offer.lifted, offer.out)
            return "no way" if ohms == inf or ohms > 2000 else f"{ohms + 0.1:.1f} ohm"
        phases = offer.phases or phases_of(self.faulty)[-1]
        point = operating_point(self.faulty, offer.positions, phases)
        reading = take_reading(point, offer.red, offer.black)
        if reading.word == "unsteady":
            return "jumps"
        volts = reading.shown * self.random.gauss(1.0, self.noise) + self.random.gauss(0.0, self.noise)
        return f"{volts:.2f} V"


def repair_of(arrangement, changes, candidates):
    """Return what is to be done about a fault, by its own changes. [text]"""
    return next(each.repair for each in candidates if each.changes[:len(changes)] == tuple(changes))


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

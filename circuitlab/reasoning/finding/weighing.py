"""How well each candidate agrees with what was told: a likelihood, which takes in what no repairer can know exactly.

The battery's volts are one unknown that all readings share, so they are tried at several. Beside it each reading has the tolerance of
its meter, of bulbs and of joints; and one in so many is a slip of the hand: the wrong row, the leads swapped, a figure misread.
What comes and goes may have been well at that moment.
"""

from functools import cached_property, lru_cache
from math import inf, log
from typing import NamedTuple

import numpy as np

from ...arrangements.rows import phases_of
from ...parts import Part
from ..looks import DARK_BELOW, OUT_BELOW
from ..observing import FLICKERS, observe
from .assumptions import WORKS_AT_A_LOOK
from .candidates import neighbours
from .cold import FAR, cold_ohms
from .eyes import called_dim, look_over_time, rises
from .told import BRIGHTNESS, LOOKS

SLIP = 0.02         # of readings: common practice, the kit's own guess
MISSEEN = 0.002     # of fuses and bulbs looked at: the kit's own guess
MISTAKEN = 0.01     # of what a customer says of a look, so that it may be any other: the kit's own guess
OTHERWISE = 0.01    # odds that it is nothing of the list
STANDING_IN = 0.1   # the same, where the circuit only stands in for a vehicle whose own diagram nobody has: the kit's own guess
UNTOLD = 0.5        # that a customer leaves out another lamp that is wrong in the same row: the kit's own guess
BULBS, JOINTS, FLOATING = 0.08, 0.05, 0.7    # of the volts lost, V, V: tolerance of bulbs, of sound joints; a drifting display
NO_SMOKE = 0.01     # that a short which no fuse ends is told by nothing but a lamp's look or a reading: the kit's own guess
SCALES = np.array([0.9, 0.94, 0.97, 1.0, 1.03, 1.07, 1.11, 1.15])      # of the battery's volts: flat to being charged
_SCALE_ODDS = np.log(np.array([0.05, 0.1, 0.2, 0.25, 0.15, 0.05, 0.1, 0.1]))
STEADY = 0.1        # that a display stands still over what buzzes: the kit's own guess
STEPS = (0.17, 0.33, 0.5)      # of the way to the next grade of a joint; all readings share one
WAYS = 1 + 2 * len(STEPS)      # the grade itself, and these ways to both sides
RANGE = {"meter": 15.0, "amps": 10.0, "ohms": 30.0}     # over which a slip may read anything, in the reading's unit
BRIGHT, GLIMMER = 8.0, 3.0          # V, above which the test lamp is bright, below which it is dark: from memory
FLASHES = 0.3       # odds of being called flashing, from which on a lamp's flasher is asked whether it hurries


class Posterior(NamedTuple):
    """What each candidate is worth after all that was told.

    Attributes
    ----------
    weights : ndarray of float, shape (candidates,)
        With ``other`` they sum up to 1. [1]
    other : float
        Of nothing on the list. [1]
    fit : ndarray of float, shape (things told, candidates)
        Logarithm of how well each thing told fits, symptoms first, at the battery's likeliest volts.
    evidence : float
        Logarithm of how well all candidates together explain what was told.
    """

    weights: object
    other: float
    fit: object
    evidence: float


class Weighing:
    """The candidates of a circuit, weighed.

    Parameters
    ----------
    solved : Solved
    """

    def __init__(self, solved):
        self.solved = solved
        light, heavy = neighbours(solved.candidates)
        self._light, self._heavy = (np.array([0, *(number + 1 for number in each)]) for each in (light, heavy))
        self._moody = np.array([False, *(each.comes_and_goes for each in solved.candidates)])
        self._burns = solved.danger & ~np.array([False, *(bool(each.blows) for each in solved.candidates)])[:, None]
        self._known = {}

    def posterior(self, odds, symptoms, taken, together=None, otherwise=OTHERWISE):
        """Return the weight of each candidate, that of nothing on the list, and how well each thing told fits. [1]

        Parameters
        ----------
        odds : sequence of float, shape (candidates,)
            Before anything is told. [1]
        symptoms : sequence of Symptom
        taken : sequence of Taken
        together : float, optional
            What the odds are out of, where that is not their sum. [1]
        otherwise : float
            Odds before anything was told that it is nothing on the list. [1]

        Returns
        -------
        Posterior
        """
        sometimes = any("only sometimes" in each.said for each in symptoms)
        told = [self._symptom(each, symptoms) for each in symptoms] + [self._at_a_look(self._taken(each), sometimes) for each in taken]
        odds = np.log(np.asarray(odds) / (together or np.sum(odds)) * (1 - otherwise))
        shape = len(odds), len(SCALES), WAYS
        each = np.stack([_in_all_ways(one)[1:] for one in told]) if told else np.zeros((0, *shape))
        whole = (each.sum(axis=0) + _SCALE_ODDS[:, None] - log(WAYS)).reshape(len(odds), -1)
        likeliest = whole.argmax(axis=1)
        fit = np.take_along_axis(each.reshape(len(told), len(odds), len(SCALES) * WAYS), likeliest[None, :, None], axis=2)[:, :, 0]
        found = odds + _log_sum(whole)
        other = log(otherwise) + sum(self._otherwise(one) for one in (*symptoms, *taken))
        top = max(found.max(), other)
        weights, other = np.exp(found - top), float(np.exp(other - top))
        total = weights.sum() + other
        return Posterior(weights / total, other / total, fit, top + log(weights.sum()))

    # -------------------------------------------------------------- symptoms

    def _symptom(self, symptom, all_told):
        """Return the logarithm of the odds that this is said, shape (candidates, scales)."""
        solved, row = self.solved, self.solved.row(symptom.positions)
        said = self.looks(symptom.lamp, row)[symptom.look]
        found = np.log(MISTAKEN / len(LOOKS) + (1 - MISTAKEN) * said)
        spoken = {each.lamp for each in all_told if each.positions == symptom.positions}
        if symptom.lamp == next(each.lamp for each in all_told if each.positions == symptom.positions):     # once for each row
            beside = sum(np.log(UNTOLD + (1 - UNTOLD) * self._is_right(lamp, row)) for lamp in solved.lamps if lamp not in spoken)
            found = found + np.maximum(beside, 2 * log(UNTOLD)) + log(NO_SMOKE) * self._burns[:, row]
        return np.repeat(found[:, None], len(SCALES), axis=1)

    def _is_right(self, lamp, row):
        looks = self.looks(lamp, row)
        healthy = max(LOOKS, key=lambda look: looks[look][0])
        return looks[healthy]

    def healthy_look(self, lamp, positions):
        """Return what the sound circuit shows of a lamp in a row. [text]"""
        looks = self.looks(lamp, self.solved.row(positions))
        return max(LOOKS, key=lambda look: looks[look][0])

    @lru_cache(maxsize=512)
    def looks(self, lamp, row):
        """Return for each look how likely somebody says it of a lamp in a row, shape (candidates,), the healthy circuit first. [1]"""
        light, solved = self.solved.light(lamp)[:, row], self.solved
        most, least = light.max(axis=1), light.min(axis=1)
        found = {look: np.zeros(len(most)) for look in LOOKS}
        is_dark, swings = most < DARK_BELOW, least < np.maximum(DARK_BELOW, OUT_BELOW * most)
        if most[0] >= DARK_BELOW:
            sound = called_dim(1.0)
            dim = np.clip((called_dim(most / most[0]) - sound) / (1 - sound), 0, 1)      # nobody calls dim what is as it always was
        else:
            dim = np.zeros(len(most))
        lit, strange = ~is_dark, 0.0 if most[0] >= DARK_BELOW else 1.0
        found["dark"] += 0.97 * is_dark
        faint = np.clip(most / DARK_BELOW, 0, 1) * is_dark
        found["glows"] += 0.02 * is_dark + 0.5 * faint * strange + lit * np.where(most < 0.5, 0.5, 0.2) * strange
        found["dim"] += lit * np.where(strange, 0.3 * (most < 0.5), np.where(swings, 0.7 * dim, dim))
        rest = np.clip(1.0 - found["dim"] - found["glows"], 0, 1) * lit
        pulses = lit & ~swings & (most - least > 0.2 * most)
        found["flashing"] += rest * np.where(swings, 1.0, np.where(pulses, 0.5, 0.0))
        found["flickers"] += rest * np.where(pulses, 0.25, 0.0) + np.where(self._moody, 0.15 * np.maximum(dim, is_dark & (strange == 0)), 0.0)
        found["steady"] += rest * np.where(swings, 0.0, np.where(pulses, 0.25, 1.0))
        self._in_time(lamp, row, found, np.flatnonzero(solved.doubtful[:, row].any(axis=1)))
        total = sum(found.values())
        return {look: value / np.maximum(total, 1e-9) for look, value in found.items()}

    def _in_time(self, lamp, row, found, numbers):
        """Judge over time what has no rest there, and which flashers hurry."""
        order = self.solved.lamps.index(lamp)
        for number in numbers.tolist():
            seen = self._observed(number, row)
            levels = {phase[order] for phase in seen.levels}
            if levels and (seen.verdict != "settled" or FLICKERS in levels):
                for look in LOOKS:
                    found[look][number] = 1.0 if look == look_over_time(levels) else 0.02
        for number in np.flatnonzero(found["flashing"] > FLASHES).tolist() if self._hurrying else ():
            share = self._hurries(number, row)
            found["fast"][number] += share * found["flashing"][number]
            found["flashing"][number] *= 1 - share

    @cached_property
    def _hurrying(self):
        """Flashers that hurry where their load is too light."""
        return tuple(part for part in self.solved.arrangement.parts if part.swings and type(part).hurries is not Part.hurries)

    def _hurries(self, number, row):
        """Return how likely a flasher is seen to hurry there; with the same load it is the same. [1]"""
        load = tuple(f"{amps:.2g}" for part in self._hurrying for order in part.watched
                     for amps in self.solved.amps(part.name, order)[number, row].tolist())
        if (row, load) not in self._known:
            seen = self._observed(number, row)
            self._known[row, load] = 0.8 if seen.hurried else 0.4 if seen.may_hurry else 0.0
        return self._known[row, load]

    def _observed(self, number, row):
        if (number, row) not in self._known:
            solved = self.solved
            self._known[number, row] = observe(solved.variants[number], [solved.rows[row]], solved.arrangement)[0]
        return self._known[number, row]

    # -------------------------------------------------------------- readings

    def _at_a_look(self, found, sometimes):
        """Let what comes and goes have been well at that moment: lowered, never struck."""
        found = _in_all_ways(found)
        share = np.where(self._moody, WORKS_AT_A_LOOK if sometimes else 0.03, 0.001)[:, None, None]
        return np.logaddexp(found + np.log1p(-share), found[0] + np.log(share))

    def _taken(self, taken):
        """Return the logarithm of the odds of a reading, shape (candidates, scales)."""
        key = str(taken)
        if key not in self._known:
            found = (self._seen if taken.seen else self._ohms if taken.reading.instrument == "ohms" else
                     self._test_lamp if taken.reading.instrument == "test lamp" else self._measured)(taken)
            found = _in_all_ways(found)
            if taken.reading and taken.reading.instrument != "ohms":        # nobody reads on beside a cable that burns
                found = found + log(NO_SMOKE) * self._burns.any(axis=1)[:, None, None]
            self._known[key] = found if taken.sure else 0.5 * found
        return self._known[key]

    def phases_meant(self, phases):
        """Return the numbers of the phases in which what was said of flashers holds. [1]"""
        every = phases_of(self.solved.arrangement)
        return [number for number, each in enumerate(every) if all(each[name] == phase for name, phase in phases.items())]

    def expected(self, reading, through=""):
        """Return what a meter would show, whether it floats, shape (candidates, phases), and the order of these phases. [V] or [A]"""
        solved, row = self.solved, self.solved.row(reading.positions)
        phases = self.phases_meant(reading.phases)
        if through:
            return solved.amps(through)[:, row][:, phases], np.zeros((len(solved.variants), len(phases)), bool), phases
        red, black = (solved.volts(end)[:, row][:, phases] for end in (reading.red, reading.black))
        floats = np.ma.getmaskarray(red) | np.ma.getmaskarray(black)
        return np.where(floats, 0.0, red.filled(0.0) - black.filled(0.0)), floats, phases

    def _measured(self, taken):
        value, found = taken.reading.value, []
        if taken.reading.word == "unsteady":
            return self._jumping(taken)
        expected, floats, phases = self.expected(taken.reading, taken.through)
        settled = self.solved.settled[:, self.solved.row(taken.reading.positions)][:, phases]
        value = abs(value) if taken.through else value
        for phase in range(len(phases)):
            seen = abs(expected[:, phase]) if taken.through else expected[:, phase]
            dense = np.stack([self._dense(value, each, floats[:, phase], taken) for each in self._between(seen)], axis=2)
            dense = np.where(settled[:, phase][:, None, None], dense, STEADY / RANGE[taken.reading.instrument])
            found.append((1 - SLIP) * dense + SLIP / RANGE[taken.reading.instrument])
        return np.log(np.mean(found, axis=0))

    def _jumping(self, taken):
        rests = self.solved.settled[:, self.solved.row(taken.reading.positions)][:, self.phases_meant(taken.reading.phases)].all(axis=1)
        return np.repeat(np.log(np.where(rests, SLIP, 1 - STEADY))[:, None], len(SCALES), axis=1)

    def _between(self, seen):
        """Yield what is expected on the way to the next lighter and heavier grade of the same place, half of it each: joints have any ohms."""
        yield seen
        for other in (self._light, self._heavy):
            for share in STEPS:
                yield seen + share * (seen[other] - seen)

    def _dense(self, value, seen, floats, taken):
        """Return how dense a reading lies where this is expected, shape (candidates, scales)."""
        sigma = self.spread(seen, floats, taken.reading.tolerance, not taken.through)
        off = (value - seen[:, None] * SCALES) / sigma[:, None]
        return np.exp(-off**2 / 2) / (sigma[:, None] * np.sqrt(2 * np.pi))

    def spread(self, seen, floats, tolerance, is_volts=True):
        """Return how far a reading may be off what is expected, all else sound, shape (candidates,)."""
        lost = np.minimum(abs(seen), abs(self.solved.supply - abs(seen))) if is_volts else abs(seen)
        return np.sqrt(tolerance**2 + (BULBS * lost)**2 + JOINTS**2 + (FLOATING * floats)**2)

    def _test_lamp(self, taken):
        reading = taken.reading
        volts = self.solved.under_lamp(reading.red, reading.black, self.solved.row(reading.positions))[:, self.phases_meant(reading.phases)]
        shares = {"bright": rises(volts - BRIGHT), "dark": rises(GLIMMER - volts)}
        shares["dim"] = np.clip(1 - shares["bright"] - shares["dark"], 0, 1)
        found = np.log(SLIP / len(BRIGHTNESS) + (1 - SLIP) * shares[taken.reading.word].mean(axis=1))
        return np.repeat(found[:, None], len(SCALES), axis=1)

    def _ohms(self, taken):
        reading, found = taken.reading, []
        for variant in self.solved.variants:
            ohms = cold_ohms(variant, reading.red, reading.black, reading.positions, taken.lifted, taken.out)
            if reading.value is None or reading.value >= FAR:
                found.append(log(0.96 if ohms >= FAR else SLIP))
                continue
            sigma = max(0.3, 0.12 * ohms)
            dense = 0.0 if ohms >= FAR else np.exp(-((reading.value - ohms) / sigma)**2 / 2) / (sigma * np.sqrt(2 * np.pi))
            found.append(log((1 - SLIP) * dense + SLIP / RANGE["ohms"]))
        return np.repeat(np.array(found)[:, None], len(SCALES), axis=1)

    def _seen(self, taken):
        name, state = taken.seen
        blown = np.array([dict(variant.held).get(name) == "blown" for variant in self.solved.variants])
        found = np.log(np.where(blown == (state == "blown"), 1 - MISSEEN, MISSEEN))
        return np.repeat(found[:, None], len(SCALES), axis=1)

    def likely_value(self, taken, number):
        """Return what a candidate makes one expect of a reading, in the phase that comes nearest; ``inf`` for no way. [V], [A] or [ohm]"""
        reading = taken.reading
        if reading.instrument == "ohms":
            ohms = cold_ohms(self.solved.variants[number], reading.red, reading.black, reading.positions, taken.lifted, taken.out)
            return inf if ohms >= FAR else ohms
        if reading.instrument == "test lamp":
            row = self.solved.row(reading.positions)
            volts = self.solved.under_lamp(reading.red, reading.black, row)[number, self.phases_meant(reading.phases)].max()
            return "bright" if volts > BRIGHT else "dark" if volts < GLIMMER else "dim"
        if reading.word == "unsteady":
            return "nothing steady" if not self.solved.settled[number, self.solved.row(reading.positions)].all() else "a steady value"
        expected, _, _ = self.expected(reading, taken.through)
        values = abs(expected[number]) if taken.through else expected[number]
        around = [expected[each[number]] for each in (self._light, self._heavy)]
        values = np.concatenate([values, *(abs(each) if taken.through else values + share * (each - values)
                                           for each in around for share in (STEPS if not taken.through else (1.0,)))])
        wanted = abs(reading.value) if taken.through else reading.value
        return float(values[abs(values - wanted).argmin()])

    def slip_bound(self, told):
        """Return the logarithm of the odds below which a thing told fits by a slip of the hand alone."""
        if not hasattr(told, "seen"):
            return log(0.02)
        if told.seen:
            return log(0.5)
        if told.reading.instrument == "test lamp" or told.reading.value is None:
            return log(0.1)
        bound = log(4 * SLIP / RANGE[told.reading.instrument])
        return bound if told.sure else 0.5 * bound

    def _otherwise(self, told):
        """Return the logarithm of the odds of a thing told where it is nothing of the list."""
        if not hasattr(told, "seen"):
            return log(UNTOLD / len(LOOKS))
        share = log(0.5 if told.seen or told.reading.word == "unsteady" else 1 / len(BRIGHTNESS) if told.reading.instrument == "test lamp" else
                    1 / RANGE[told.reading.instrument])
        return share if told.sure else 0.5 * share


def _in_all_ways(found):
    """Return likelihoods with an axis for the ways between two grades of a joint, shape (candidates, scales, ways)."""
    return found if found.ndim == 3 else np.broadcast_to(found[:, :, None], (*found.shape, WAYS))


def _log_sum(values):
    top = values.max(axis=1)
    return top + np.log(np.exp(values - top[:, None]).sum(axis=1))

"""How likely somebody says a look of a lamp in a row, with each candidate: from its light, and over time where nothing rests."""

from functools import cached_property

import numpy as np

from ...arrangements.complaints import LOOKS
from ...ground.once import once
from ...parts import Part, Role
from ..looks import DARK_BELOW, OUT_BELOW, TOO_BRIGHT
from ..observing import FLICKERS, observe
from .eyes import called_dim, called_slow, called_too_bright, look_over_time

SAME = 6            # decimals of amps with its mildest grade, to which two joints are in one row
STILL_DIM, STILL_GLOWS = 0.5, 0.3    # that a lamp just too faint to be called lit is called dim, or said to glow: the kit's own guess
STRANGE_DIM = 0.3    # that a faint light where none shall be is called dim, a lit lamp or one just too faint to be called so alike: the kit's own guess
FLASHES = 0.3       # odds of being called flashing, from which on a lamp's flasher is asked whether it hurries


class Sayings:
    """What is said of the lamps of a circuit.

    Parameters
    ----------
    solved : Solved
    moody : ndarray of bool, shape (candidates,)
        Which of them come and go. [yes/no]
    """

    def __init__(self, solved, moody):
        self.solved, self._moody, self._known = solved, moody, {}

    def likeliest(self, lamp, row, number=0):
        """Return the look that a candidate makes one expect of a lamp in a row; of the healthy circuit unless said otherwise. [text]"""
        looks = self.of(lamp, row)
        return max(LOOKS, key=lambda look: looks[look][number])

    @once
    def of(self, lamp, row):
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
        still = np.sqrt(faint) * (1.0 - strange)        # a filament that hardly glows where it shall be bright
        found["dim"] += STILL_DIM * still + STRANGE_DIM * faint**2 * strange
        found["glows"] += 0.02 * is_dark * (1.0 - strange) + 0.5 * faint * strange + STILL_GLOWS * still + lit * np.where(most < 0.5, 0.5, 0.2) * strange
        found["dim"] += lit * np.where(strange, STRANGE_DIM * (most < 0.5), np.where(swings, 0.7 * dim, dim))
        if most[0] >= DARK_BELOW:
            found[TOO_BRIGHT] += lit * np.where(swings, 0.3, 1.0) * np.clip(called_too_bright(most / most[0]) - called_too_bright(1.0), 0, 1)
        rest = np.clip(1.0 - found["dim"] - found["glows"] - found[TOO_BRIGHT], 0, 1) * lit
        pulses = lit & ~swings & (most - least > 0.2 * most)
        found["flashing"] += rest * np.where(swings, 1.0, np.where(pulses, 0.5, 0.0))
        found["flickers"] += rest * np.where(pulses, 0.25, 0.0) + np.where(self._moody, 0.15 * np.maximum(dim, is_dark & (strange == 0)), 0.0)
        found["steady"] += rest * np.where(swings, 0.0, np.where(pulses, 0.25, 1.0))
        self._in_time(lamp, row, found, np.flatnonzero(solved.doubtful[:, row].any(axis=1)))
        slow = np.where(found["flashing"] > FLASHES, called_slow(self._paces(row)), 0.0)
        found["slow"] += slow * found["flashing"]
        found["flashing"] *= 1 - slow
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

    @once
    def _paces(self, row):
        """Return how often in a minute flashers turn in a row, as a share of the sound circuit's; the slowest of them, shape (candidates,). [1]

        An electronic one keeps its own time; one that works by heat turns later with less current, and may not turn at all.
        """
        found = np.ones(len(self.solved.variants))
        for part in (part for part in self.solved.arrangement.parts if part.swings):
            heats = "on" if part.waits == "closed" else "off"       # of one that works by heat: it waits as it is heated
            phase = next(number for number, each in enumerate(self.solved.phases) if each[part.name] == heats)
            heated = abs(self.solved.amps(part.name))[:, row, phase] if part.is_thermal else None
            paces = [_pace(variant.by_name.get(part.name, part), None if heated is None else round(float(heated[number]), 3))
                     for number, variant in enumerate(self.solved.variants)]
            found = np.minimum(found, np.array(paces) / paces[0]) if paces[0] else found
        return found

    def _observed(self, number, row):
        number = self._same[number]
        if (number, row) not in self._known:
            solved, known = self.solved, self.solved.observed
            key = solved.variants[number], tuple(solved.rows[row].items())
            if key not in known:
                known[key] = observe(key[0], [solved.rows[row]], solved.arrangement)[0]
            self._known[number, row] = known[key]
        return self._known[number, row]

    @cached_property
    def _same(self):
        """For each candidate the first that behaves as it does: as many ohms in two joints of one row are one. [1]"""
        solved, leading, found = self.solved, {}, list(range(len(self.solved.variants)))
        groups = {}
        for number, each in enumerate(solved.candidates, 1):
            if each.is_joint:
                groups.setdefault((each.sort, each.place, each.repair), []).append(number)
        flows = self._flows
        for numbers in groups.values():
            mildest = (flows[:, numbers[0]].round(SAME) + 0.0).tobytes()
            for number in numbers:
                found[number] = leading.setdefault((solved.candidates[number - 1].grade, mildest), number)
        return found

    @cached_property
    def _flows(self):
        """What flows through everything that has a law of its own, shape (branches, candidates, rows, phases). [A]"""
        parts = [part for part in self.solved.arrangement.parts if part.watched or part.shines or part.first(Role.COIL)]
        return np.stack([self.solved.amps(part.name, order) for part in parts for order in range(len(part.branches()))])


def _pace(part, amps):
    """Return how often in a minute a flasher turns, one that works by heat at a current that heats it; its rated one where it does not. [1/min], [A]"""
    if amps is None:
        return part.rate
    times = part.swing(amps)
    return 60.0 / sum(times) if times else part.rate

"""Causes: what may be at fault, how each thing told agrees with it, and how big it is where that can be worked out."""

from dataclasses import dataclass, field
from functools import cached_property
from math import exp, inf

import numpy as np

from ...arrangements import LoseJoint
from .told import Symptom, Taken

SHOWN = 0.01        # odds, from which on a cause is told
MOST_CAUSES = 12    # told
STEP = 0.25         # of the logarithm of ohms: half the way between two grades, which nothing told makes finer
NARROW = 0.5        # the same, up to which volts and amps are worth telling
FLOWING = 0.05      # A, less of which says nothing of a joint


@dataclass(frozen=True)
class Fit:
    """How a thing told agrees with a cause.

    Attributes
    ----------
    told : Symptom or Taken
    expected : float, str or None
        What the cause makes one expect: a value, a look, or a share of a lamp's right light; ``inf`` for no way. [text] or a unit
    agrees : bool
        [yes/no]
    """

    told: object
    expected: object
    agrees: bool


@dataclass(frozen=True)
class Cause:
    """Something that may be at fault, and what to do about it.

    Attributes
    ----------
    repair : str
        [text]
    words : str
        The likeliest candidate with this repair. [text]
    odds : float
        [1]
    changes : tuple of change
        Of that candidate.
    place : tuple of str
        Terminals or parts it is about. [text]
    ohms : (float, float) or None
        Between which a bad joint lies. [ohm]
    volts, amps : float or None
        What is lost over it, and at what current, where that can be worked out. [V], [A]
    fits : tuple of Fit
    """

    repair: str
    words: str
    odds: float
    changes: tuple
    place: tuple
    ohms: tuple | None
    volts: float | None
    amps: float | None
    fits: tuple
    ahead: object = field(default=None, repr=False, compare=False)

    @property
    def about(self):
        """The middle of what a bad joint may have. [ohm]"""
        return None if self.ohms is None else (self.ohms[0] * self.ohms[1]) ** 0.5

    @property
    def named(self):
        """The wire it sits in, where it is a joint of one. [text]"""
        return next((change.wire for change in self.changes if isinstance(change, LoseJoint)), "") if len(self.place) == 2 else ""

    @cached_property
    def refuting(self):
        """What to read so that it may be refuted, and what it would show if it were so, as ``(Offer, Outcome)``; None for nothing."""
        return self.ahead.refuting(self.repair) if self.ahead else None


def causes_of(weighing, found, symptoms, taken, ahead):
    """Return the causes worth telling, likeliest first.

    Parameters
    ----------
    weighing : Weighing
    found : Posterior
        Of all that was told.
    symptoms, taken : sequence
    ahead : Ahead or None
        What may be read next; not asked before somebody asks a cause what would refute it.
    """
    everything, weights, groups = weighing.solved, found.weights, {}
    for number, each in enumerate(everything.candidates):
        groups.setdefault(each.repair, []).append(number)
    odds = {repair: float(weights[numbers].sum()) for repair, numbers in groups.items()}
    ranked = sorted(groups, key=lambda repair: -odds[repair])[:MOST_CAUSES] if symptoms or taken else []
    least = min(SHOWN, odds[ranked[0]] / 2) if ranked else 0.0
    causes = []
    for repair in ranked:
        if odds[repair] < least:
            break
        numbers = groups[repair]
        best = max(numbers, key=lambda number: weights[number])
        candidate = everything.candidates[best]
        fits = tuple(_fit(weighing, each, best + 1, found.fit[place, best]) for place, each in enumerate((*symptoms, *taken)))
        agreeing = [each.told for each in fits if each.agrees]
        sized = _size(everything, numbers, weights, agreeing) if candidate.grade is not None else (None, None, None)
        causes.append(Cause(repair, candidate.words, odds[repair], candidate.changes, candidate.place, *sized, fits, ahead))
    return tuple(causes)


def _size(everything, numbers, weights, told):
    """Return about how many ohm a bad joint has, the volts it loses and the current there, where these can be worked out."""
    graded = [number for number in numbers if everything.candidates[number].grade not in (None, inf)]
    mass = weights[graded].sum()
    if not graded or mass <= weights[numbers].sum() / 2:
        return None, None, None
    logs = np.log([everything.candidates[number].grade for number in graded])
    mean = float((weights[graded] * logs).sum() / mass)
    spread = max(float(np.sqrt((weights[graded] * (logs - mean)**2).sum() / mass)), STEP)
    about = exp(mean - spread), exp(mean + spread)
    near = graded[int(abs(logs - mean).argmin())]
    wire = next((change.wire for change in everything.candidates[near].changes if isinstance(getattr(change, "wire", None), str)), "")
    across = [each.reading for each in told if isinstance(each, Taken) and each.reading and each.reading.instrument == "meter"
              and each.reading.value is not None and {each.reading.red, each.reading.black} == {*everything.candidates[near].place}]
    rows = [everything.row(each.positions if isinstance(each, Symptom) else each.reading.positions) for each in told
            if isinstance(each, Symptom) or each.reading]
    if not wire or not rows or spread > NARROW:
        return about, None, None
    flows = abs(everything.amps(wire)[near + 1]).max(axis=1)
    amps = float(flows[everything.row(across[-1].positions)] if across else flows[rows].max())
    if amps < FLOWING:
        return about, None, None
    volts = abs(across[-1].value) if across else exp(mean) * amps
    return ((volts / amps, volts / amps), volts, amps) if volts > 0 else (about, None, None)


def _fit(weighing, told, number, likelihood):
    return Fit(told, weighing.expectation(told, number), weighing.agrees(told, number, likelihood))

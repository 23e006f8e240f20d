"""How big a bad joint is: so many ohms that the reading which tells most of it is what was read, and what is lost over it then."""

from dataclasses import dataclass
from math import exp, inf, log

import numpy as np

from ...arrangements import LoseJoint, changed
from .agreeing import Agreement, Sized

STEP = 0.25         # of the logarithm of ohms: half the way between two grades, which nothing told makes finer
FLOWING = 0.05      # A, less of which says nothing of a joint
TELLING = 2.0       # times its tolerance, that a reading must turn by from the lightest grade to the heaviest
NEAR = 0.005        # V or A, within which what is expected is what was read
SOUND = 1e-3        # ohm, of a joint that is good
TRIES = 8           # of so many ohms


@dataclass(frozen=True)
class Size:
    """How big a joint is.

    Attributes
    ----------
    ohms : (float, float) or None
        Between which it lies; twice the same where a reading says it. [ohm]
    volts, amps : float or None
        Lost over it, and flowing there, where that reading was taken. [V], [A]
    sized : Sized or None
        The circuit with so many ohms.
    """

    ohms: tuple | None = None
    volts: float | None = None
    amps: float | None = None
    sized: object = None


def rough(everything, numbers, weights):
    """Return the Size of a bad joint from what its grades are worth. [1]"""
    graded = [number for number in numbers if everything.candidates[number].grade not in (None, inf)]
    mass = weights[graded].sum()
    if not graded or mass <= weights[numbers].sum() / 2:
        return Size()
    logs = np.log([everything.candidates[number].grade for number in graded])
    mean = float((weights[graded] * logs).sum() / mass)
    off = max(float(np.sqrt((weights[graded] * (logs - mean)**2).sum() / mass)), STEP)
    return Size((exp(mean - off), exp(mean + off)))


def worked_out(weighing, found, numbers, best, taken):
    """Return the Size of a joint of a wire that makes the reading which tells most of it what was read, or None for none such.

    Parameters
    ----------
    weighing : Weighing
    found : Posterior
    numbers : sequence of int
        The candidates with this repair. [1]
    best : int
        The likeliest of them. [1]
    taken : sequence of Taken
    """
    everything = weighing.solved
    graded = [number for number in numbers if everything.candidates[number].is_joint and everything.candidates[number].grade < inf]
    is_graded = best in graded          # likeliest of them may be an open one
    told = _telling(weighing, graded, taken) if is_graded else None
    if told is None:
        return None
    agreement, reading = Agreement(weighing, found, best + 1), told.reading
    values, _ = agreement.values(told, best + 1)
    place = int(abs(values - told.value).argmin())
    phases, change = everything.phases[weighing.phases_meant(reading.phases)[place]], everything.candidates[best].changes[0]

    def off(ohms):
        sized = Sized(changed(everything.read, LoseJoint(change.wire, change.terminal, ohms)))
        return agreement.scale * sized.read(told, phases) - told.value, sized

    misses = agreement.scale * weighing.expected(reading, told.through, is_taken=True)[0][:, place] - told.value
    misses = {SOUND: float(misses[0]), **{everything.candidates[number].grade: float(misses[number + 1]) for number in graded}}
    solved_for = _solved_for(off, misses, everything.candidates[best].grade)
    if solved_for is None:
        return None
    ohms, sized = solved_for
    amps = agreement.scale * abs(sized.point(reading.positions, phases).current(change.wire))
    across = not told.through and {reading.red, reading.black} == {*everything.candidates[best].place}
    if amps < FLOWING:
        return None
    ohms, volts = (abs(reading.value) / amps, abs(reading.value)) if across else (ohms, ohms * amps)     # across it the wire's own are with them
    return Size((ohms, ohms), volts, amps, sized)


def _telling(weighing, graded, taken):
    """Return the reading that turns most, for its tolerance, from the lightest grade to the heaviest; None where none does."""
    best, found = TELLING, None
    for each in taken:
        if each.reading is None or each.reading.instrument not in ("meter", "amps") or each.reading.value is None:
            continue
        seen, floats, _ = weighing.expected(each.reading, each.through, is_taken=True)
        rows = [number + 1 for number in graded]
        sigma = weighing.spread_of(each, seen[rows], floats[rows]).min()
        turns = float(np.ptp(seen[rows], axis=0).max() / sigma)
        best, found = (turns, each) if turns > best else (best, found)
    return found


def _solved_for(off, misses, likeliest):
    """Return the ohms, and the circuit with them, at which what is expected is what was read; None where no grade lies beyond.

    They lie between two grades that miss it to either side, those nearest the likeliest.
    """
    grades = sorted(misses)
    sides = [(low, high) for low, high in zip(grades, grades[1:]) if misses[low] * misses[high] <= 0]
    if not sides:
        return None
    low, high = min(sides, key=lambda side: abs(log(side[0] * side[1] / likeliest**2)))
    under, over, low, high = misses[low], misses[high], log(low), log(high)
    for _ in range(TRIES):
        middle = (low * over - high * under) / (over - under) if over != under else low
        miss, sized = off(exp(middle))
        if miss != miss:        # nothing comes to rest with so many ohms
            return None
        if abs(miss) < NEAR:
            break
        if miss * over > 0:
            high, over, under = middle, miss, under / 2
        else:
            low, under, over = middle, miss, over / 2
    return exp(middle), sized

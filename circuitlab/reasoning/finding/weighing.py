"""How well each candidate agrees with what was told: a likelihood, which takes in what no repairer can know exactly.

The battery's volts are one unknown that all readings share, so they are tried at several. Beside it each reading has the tolerance of
its meter, of bulbs and of joints; and one in so many is a slip of the hand: the wrong row, the leads swapped, a figure misread.
What comes and goes may have been well at that moment.
"""

from math import log

import numpy as np

from ...arrangements.complaints import BRIGHTNESS, LOOKS, ONLY_SOMETIMES
from ...ground.once import once
from ...parts import Role
from ...solving.metering import LIVE
from .assumptions import WORKS_AT_A_LOOK
from .before_it_went import of_before, went_since
from .candidates import neighbours
from .cold import FAR, Cold
from .eyes import rises
from .gone_in import said_to_go
from .posterior import Posterior
from .sayings import Sayings
from .seen import STATES
from .side_by_side import told_apart

SLIP = 0.02         # of readings: common practice, the kit's own guess
MISSEEN = 0.002     # of fuses and bulbs looked at: the kit's own guess
AGAIN_BY_CHANCE = 0.01      # that a new fuse is gone again and nothing is shorted: the kit's own guess
LIT, INVENTED = ("steady", "flashing", "fast", "slow"), 0.001      # looks of a lamp that is lit; that somebody says one of a dark lamp: the kit's own guess
MISTAKEN = 0.01     # of what a customer says of a look, so that it may be any other: the kit's own guess
OTHERWISE = 0.01    # odds that it is nothing of the list
STANDING_IN = 0.1   # the same, where the circuit only stands in for a vehicle whose own diagram nobody has: the kit's own guess
UNTOLD = 0.5        # that a customer leaves out another lamp that is wrong in the same row: the kit's own guess
BULBS, JOINTS, FLOATING = 0.08, 0.05, 0.7    # of the volts lost, V, V: tolerance of bulbs, of sound joints; a drifting display
LIFTED = 3.0        # V, by which the ground of electronics may be off once it is lost: what is inside them is the kit's own guess
NO_SMOKE = 0.01     # that a short which no fuse ends is told by nothing but a lamp's look or a reading: the kit's own guess
SCALES = np.array([0.9, 0.94, 0.97, 1.0, 1.03, 1.07, 1.11, 1.15])      # of the battery's volts: flat to being charged
_SCALE_ODDS = np.log(np.array([0.05, 0.1, 0.2, 0.25, 0.15, 0.05, 0.1, 0.1]))
NO_AMPS = 0.01      # A, by which amps at rest may be off: a drain of 50 mA is one
STAYS_NEAR = 0.5    # that a display which floats stands near 0 rather than drifts away: the kit's own guess
STEADY = 0.1        # that a display stands still over what buzzes: the kit's own guess
STEPS = (0.17, 0.33, 0.5)      # of the way to the next grade of a joint; all readings share one
WAYS = 1 + 2 * len(STEPS)      # the grade itself, and these ways to both sides
RANGE = {"meter": 15.0, "amps": 10.0, "ohms": 30.0}     # over which a slip may read anything, in the reading's unit
SAID_AT_ALL = 0.05  # odds that somebody says a look, up to which it disagrees with a candidate
BRIGHT, GLIMMER = 8.0, 3.0          # V, above which the test lamp is bright, below which it is dark: from memory
UNSTEADY = "nothing steady"         # what is expected of a display over what buzzes
_UNKNOWN = (_SCALE_ODDS[:, None] - np.full(WAYS, log(WAYS))).reshape(1, -1)      # odds of each scale with each way: (1, unknowns)


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
        self._sayings, self.cold = Sayings(solved, self._moody), Cold(
            solved.variants, *([(), *(getattr(each, what) for each in solved.candidates)] for what in ("chafed", "behind")))
        self._burns = solved.danger & ~np.array([False, *(bool(each.blows) for each in solved.candidates)])[:, None]
        self._own_grounds = {part.at(branch.end) for part in solved.arrangement.with_role(Role.ELECTRONICS)
                             for branch in part.branches() if branch.role is Role.ELECTRONICS and branch.end != part.outlet}
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
        sometimes = any(ONLY_SOMETIMES in each.said for each in symptoms)
        went = went_since(self, symptoms, taken)
        told = [self._symptom(each, symptoms, went)[1:] for each in symptoms] + [self._at_a_look(each, sometimes)[1:] for each in taken]
        odds = np.log(np.asarray(odds) / (together or np.sum(odds)) * (1 - otherwise))
        whole = np.tile(_UNKNOWN, (len(odds), 1))
        for one in told:
            whole += one
        whole += self._used(symptoms, taken)[:, None] + told_apart(self.solved, symptoms)[1:, None]
        likeliest = whole.argmax(axis=1)
        fit = np.array([one[:, 0] if one.shape[1] == 1 else one[np.arange(len(odds)), likeliest] for one in told]).reshape(len(told), len(odds))
        found = odds + _log_sum(whole)
        other = log(otherwise) + sum(self._otherwise(one) for one in (*symptoms, *taken))
        top = max(found.max(), other)
        weights, other = np.exp(found - top), float(np.exp(other - top))
        total = weights.sum() + other
        return Posterior(weights / total, other / total, fit, top + log(weights.sum()), likeliest, went)

    def _used(self, symptoms, taken):
        """Return the logarithm of the odds that the fuses gone are those that the rows used have blown, shape (candidates,).

        What is left of a candidate's lots of fuses shares out its odds.
        """
        rows = {self.solved.row(each.positions) for each in symptoms} | {
            self.solved.row(each.reading.positions) for each in taken if each.reading and each.reading.instrument != "ohms"}
        fits, lots = ~self.solved.escaped[1:, sorted(rows)].any(axis=1), self.solved.lots[1:]
        share = np.bincount(lots) / np.maximum(np.bincount(lots, fits), 1)
        return np.where(fits, np.log(share[lots]), log(MISSEEN))

    # -------------------------------------------------------------- symptoms

    def _symptom(self, symptom, all_told, went):
        """Return the logarithm of the odds that this is said, shape (candidates, 1)."""
        row = self.solved.row(symptom.positions)
        spoken = [lamp for each in all_told if each.positions == symptom.positions for lamp in each.lamps]
        is_dark = np.all([self.looks(lamp, row)["dark"] > 0.5 for lamp in symptom.lamps], axis=0)
        mistaken = np.where(is_dark & (symptom.look in LIT), INVENTED, MISTAKEN)
        found = np.log(mistaken / len(LOOKS) + (1 - mistaken) * self.said(symptom.lamps, row, symptom.look, went))
        if symptom.lamp == spoken[0]:     # once for each row
            found = found + self._unspoken(row, frozenset(spoken))
        return found[:, None]

    def said(self, lamps, row, look, went):
        """Return how likely a look is said of one of some lamps in a row, shape (candidates,): it may have been seen while a fuse that is gone by now was whole. [1]"""
        share = 1 - np.prod([1 - self.looks(lamp, row)[look] for lamp in lamps], axis=0)
        before = of_before(self.solved, row, went if share[0] > 0.5 else None)
        return (1 - before) * share + before * share[0]

    @once
    def _unspoken(self, row, spoken):
        """Return the logarithm of the odds that nothing is said of the other lamps in a row, and that nothing burns there."""
        right = (self.looks(lamp, row)[self._sayings.likeliest(lamp, row)] for lamp in self.solved.lamps if lamp not in spoken)
        beside = sum(np.log(UNTOLD + (1 - UNTOLD) * each) for each in right)
        return np.maximum(beside, 2 * log(UNTOLD)) + log(NO_SMOKE) * self._burns[:, row]

    def looks(self, lamp, row):
        """Return for each look how likely somebody says it of a lamp in a row, shape (candidates,), the healthy circuit first. [1]"""
        return self._sayings.of(lamp, row)

    def healthy_look(self, lamp, positions):
        """Return what the sound circuit shows of a lamp in a row. [text]"""
        return self._sayings.likeliest(lamp, self.solved.row(positions))

    # -------------------------------------------------------------- readings

    def _at_a_look(self, taken, sometimes):
        """Let what comes and goes have been well at that moment: lowered, never struck; shape (candidates, unknowns or 1)."""
        key = str(taken), sometimes
        if key not in self._known:
            found = self._taken(taken)
            share = np.where(self._moody, WORKS_AT_A_LOOK if sometimes else 0.03, 0.001)[:, None]
            self._known[key] = np.logaddexp(found + np.log1p(-share), found[0] + np.log(share))
        return self._known[key]

    def _taken(self, taken):
        """Return the logarithm of the odds of a reading, shape (candidates, unknowns or 1)."""
        found = (self._seen if taken.seen else self._ohms if taken.reading.instrument == "ohms" else
                 self._test_lamp if taken.reading.instrument == "test lamp" else self._measured)(taken)
        if taken.reading and taken.reading.instrument != "ohms":        # nobody reads on beside a cable that burns
            found = found + log(NO_SMOKE) * self._burns.any(axis=1)[:, None]
        return found if taken.sure else 0.5 * found

    def phases_meant(self, phases):
        """Return the numbers of the phases in which what was said of flashers holds. [1]"""
        return [number for number, each in enumerate(self.solved.phases) if all(each[name] == phase for name, phase in phases.items())]

    def expected(self, reading, through="", is_taken=False):
        """Return what a meter would show, whether it floats, shape (candidates, phases), and the order of these phases; amps have no sign. [V] or [A]

        Parameters
        ----------
        reading : Reading or Offer
            Its leads, positions and phases count.
        through : str
            Of amps: what they flow through. [text]
        is_taken : bool
            Whether somebody read it: then the meter's own ohms between its leads are solved where they may matter. [yes/no]
        """
        solved, row = self.solved, self.solved.row(reading.positions)
        phases = self.phases_meant(reading.phases)
        if through:
            return abs(solved.amps(through)[:, row][:, phases]), np.zeros((len(solved.variants), len(phases)), bool), phases
        red, black = (solved.volts(end)[:, row][:, phases] for end in (reading.red, reading.black))
        floats = np.ma.getmaskarray(red) | np.ma.getmaskarray(black)
        volts = solved.under_meter(reading.red, reading.black, row)[:, phases] if is_taken else red.filled(0.0) - black.filled(0.0)
        return np.where(floats, 0.0, volts), floats, phases

    def _measured(self, taken):
        found = []
        if taken.reading.word == "unsteady":
            return self._jumping(taken)
        expected, floats, phases = self.expected(taken.reading, taken.through, is_taken=True)
        settled = self.solved.settled[:, self.solved.row(taken.reading.positions)][:, phases]
        for phase in range(len(phases)):
            dense = np.stack([self._dense(each, floats[:, phase], taken) for each in self._between(expected[:, phase])], axis=2)
            dense = np.where(settled[:, phase][:, None, None], dense, STEADY / RANGE[taken.reading.instrument])
            found.append((1 - SLIP) * dense + SLIP / RANGE[taken.reading.instrument])
        return np.log(np.mean(found, axis=0)).reshape(len(settled), -1)

    def _jumping(self, taken):
        rests = self.solved.settled[:, self.solved.row(taken.reading.positions)][:, self.phases_meant(taken.reading.phases)].all(axis=1)
        return np.log(np.where(rests, SLIP, 1 - STEADY))[:, None]

    def _between(self, seen):
        """Yield what is expected on the way to the next lighter and heavier grade of the same place, half of it each: joints have any ohms."""
        yield seen
        for other in (self._light, self._heavy):
            for share in STEPS:
                yield seen + share * (seen[other] - seen)

    def _dense(self, seen, floats, taken):
        """Return how dense a reading lies where this is expected, shape (candidates, scales)."""
        found = []
        for drifts in (False, True) if floats.any() else (False,):
            sigma = self.spread_of(taken, seen, drifts)[:, None]
            found.append(np.exp(-((taken.value - seen[:, None] * SCALES) / sigma)**2 / 2) / (sigma * np.sqrt(2 * np.pi)))
        return found[0] if len(found) == 1 else np.where(floats[:, None], (1 - STAYS_NEAR) * found[1] + STAYS_NEAR * found[0], found[0])

    def spread_of(self, taken, seen, floats):
        """Return how far a reading may be off what is expected of it; as :func:`spread`. [V] or [A]"""
        lifted = (taken.reading.red in self._own_grounds) * (abs(seen) >= LIVE)
        return np.hypot(spread(seen, floats, taken.reading.tolerance, 0.0 if taken.through else self.solved.supply), LIFTED * lifted)

    def _test_lamp(self, taken):
        reading = taken.reading
        volts = self.solved.under_lamp(reading.red, reading.black, self.solved.row(reading.positions))[:, self.phases_meant(reading.phases)]
        shares = {"bright": rises(volts - BRIGHT), "dark": rises(GLIMMER - volts)}
        shares["dim"] = np.clip(1 - shares["bright"] - shares["dark"], 0, 1)
        return np.log(SLIP / len(BRIGHTNESS) + (1 - SLIP) * shares[taken.reading.word].mean(axis=1))[:, None]

    def _ohms(self, taken):
        reading, ohms = taken.reading, self.cold.ohms(taken.reading.red, taken.reading.black, taken.reading.positions, taken.lifted, taken.out)
        far = ohms >= FAR
        if reading.value is None or reading.value >= FAR:
            return np.log(np.where(far, 0.96, SLIP))[:, None]
        near = np.where(far, 0.0, ohms)
        sigma = ohms_spread(near)
        dense = np.where(far, 0.0, np.exp(-((reading.value - near) / sigma)**2 / 2) / (sigma * np.sqrt(2 * np.pi)))
        return np.log((1 - SLIP) * dense + SLIP / RANGE["ohms"])[:, None]

    def _seen(self, taken):
        found = np.where(self.states_of(taken.seen[0]) == STATES.index(taken.seen[1]), 1 - MISSEEN, MISSEEN)
        if taken.is_again:
            found = found * np.where(self.solved.is_short, 1.0, AGAIN_BY_CHANCE)
        if taken.went:
            found = found * said_to_go(self.solved, taken.seen[0], taken.went)
        return np.log(found)[:, None]

    @once
    def states_of(self, name):
        """Return what a look at a fuse or bulb finds, as numbers in ``STATES``, shape (candidates,), the healthy circuit first. [1]"""
        order = {state: number for number, state in enumerate(STATES)}
        return np.array([order.get(dict(variant.held).get(name), 0) for variant in self.solved.variants])

    def likely_value(self, taken, number):
        """Return what a candidate makes one expect of a reading, in the phase that comes nearest. [V] or [A]

        Of a test lamp and of a display that jumps it is what is seen. [text]
        """
        reading = taken.reading
        if reading.instrument == "test lamp":
            row = self.solved.row(reading.positions)
            volts = self.solved.under_lamp(reading.red, reading.black, row)[number, self.phases_meant(reading.phases)].max()
            return "bright" if volts > BRIGHT else "dark" if volts < GLIMMER else "dim"
        if reading.word == "unsteady":
            return UNSTEADY if not self.solved.settled[number, self.solved.row(reading.positions)].all() else "a steady value"
        expected, _, _ = self.expected(reading, taken.through)
        values = np.concatenate([each[number] for each in self._between(expected)])
        return float(values[abs(values - taken.value).argmin()])

    def comes_and_goes(self, number):
        """Tell whether a candidate may be well now and then. [yes/no]"""
        return bool(self._moody[number])

    def likeliest_look(self, lamp, positions, number):
        """Return the look that a candidate makes one expect of a lamp. [text]"""
        return self._sayings.likeliest(lamp, self.solved.row(positions), number)

    def seen_as(self, name, number):
        """Return what a look at a fuse or bulb finds with a candidate: one of ``STATES``. [text]"""
        return STATES[self.states_of(name)[number]]

    def neighbours_of(self, number):
        """Return the numbers of the next lighter and next heavier grade of the same place, or its own. [1]"""
        return int(self._light[number]), int(self._heavy[number])

    def _otherwise(self, told):
        """Return the logarithm of the odds of a thing told where it is nothing of the list."""
        if not hasattr(told, "seen"):
            return log(UNTOLD / len(LOOKS))
        share = log(0.5 if told.seen or told.reading.word == "unsteady" else 1 / len(BRIGHTNESS) if told.reading.instrument == "test lamp" else
                    1 / RANGE[told.reading.instrument])
        return share if told.sure else 0.5 * share


def ohms_spread(ohms):
    """Return how far ohms read with the battery off may be off what is expected. [ohm]"""
    return np.maximum(0.3, 0.12 * ohms)


def spread(seen, floats, tolerance, supply=0.0):
    """Return how far a reading may be off what is expected, all else sound, in its unit; of the shape of ``seen``.

    Parameters
    ----------
    seen, floats : ndarray of float, ndarray of bool
        What is expected, and where it drifts.
    tolerance : float or ndarray of float
        Of the instrument.
    supply : float
        The volts of all batteries in a row; 0 where amps are read. [V]
    """
    lost = np.minimum(abs(seen), abs(supply - abs(seen))) if supply else abs(seen)
    return np.sqrt(tolerance**2 + (BULBS * lost)**2 + (JOINTS if supply else NO_AMPS)**2 + (FLOATING * floats)**2)


def _log_sum(values):
    top = values.max(axis=1)
    return top + np.log(np.exp(values - top[:, None]).sum(axis=1))

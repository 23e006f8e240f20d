"""Whether a candidate explains a thing told, and what it makes one expect of it: by the value itself, at the battery's likeliest volts.

A reading agrees where it lies within its tolerance of what is expected, and nowhere else: that it may be a slip, or that what comes
and goes may have been well, keeps a candidate on the list and is no agreement.
"""

from math import inf, log

import numpy as np

from ...arrangements.complaints import ONLY_SOMETIMES
from ...solving import operating_point
from .cold import FAR
from .gone_in import going_words
from .weighing import SAID_AT_ALL, SCALES, STEPS, UNSTEADY, WAYS, ohms_spread

RIGHT = int(abs(SCALES - 1.0).argmin())     # of the battery's volts, those that the circuit is said to have
WITHIN = 3.0        # times its tolerance, up to which a reading agrees


class Agreement:
    """One candidate beside all that was told.

    Parameters
    ----------
    weighing : Weighing
    found : Posterior
        Of all that was told.
    number : int
        The candidate's, the healthy circuit first. [1]
    sized : Sized, optional
        The circuit with the candidate's joint of exactly so many ohms as were worked out.
    symptoms : sequence of Symptom
    """

    def __init__(self, weighing, found, number, symptoms=(), sized=None):
        self.weighing, self.number, self.sized = weighing, number, sized
        likeliest = found.likeliest[number - 1] if number else RIGHT * WAYS
        self.scale, self.way = float(SCALES[likeliest // WAYS]), int(likeliest % WAYS)
        self._went = found.went
        self._sometimes = any(ONLY_SOMETIMES in each.said for each in symptoms) and weighing.comes_and_goes(number)

    def of(self, told, likelihood):
        """Return what is expected of a thing told, and whether it agrees; its likelihood as of ``Posterior.fit``. [yes/no]"""
        weighing, number = self.weighing, self.number
        if not hasattr(told, "seen"):
            row = weighing.solved.row(told.positions)
            lamp = max(told.lamps, key=lambda each: weighing.said((each,), row, told.look, self._went)[number])
            return weighing.likeliest_look(lamp, told.positions, number), bool(weighing.said(told.lamps, row, told.look, self._went)[number] > SAID_AT_ALL)
        if told.seen:
            return self._seen(told, bool(likelihood > log(0.5)))
        if told.reading.instrument == "ohms":
            return self._ohms(told)
        if told.reading.instrument == "test lamp" or told.reading.value is None:
            return weighing.likely_value(told, number), bool(likelihood > log(0.1))
        expected, agrees = self._value(told, number)
        if not agrees and self._sometimes:          # well at that moment
            well = self._value(told, 0)
            return well if well[1] else (expected, agrees)
        return expected, agrees

    def _seen(self, told, agrees):
        """Return what is expected of a look, and whether it agrees; of a fuse that went in another row, which. [text], [yes/no]"""
        state = self.weighing.seen_as(told.seen[0], self.number)
        if agrees or not told.went or state != told.seen[1]:
            return state, agrees
        return going_words(self.weighing.solved, told.seen[0], told.went, self.number), agrees

    def _ohms(self, told):
        ohms = self.weighing.cold.ohms_of(self.number, told.reading.red, told.reading.black, told.reading.positions, told.lifted, told.out)
        if told.reading.value is None or told.reading.value >= FAR or ohms >= FAR:
            return (inf if ohms >= FAR else ohms), bool((told.reading.value is None or told.reading.value >= FAR) == (ohms >= FAR))
        return ohms, bool(abs(told.reading.value - ohms) <= WITHIN * ohms_spread(ohms))

    def _value(self, told, number):
        if not self._rests(told, number):
            return UNSTEADY, False
        values, floats = self.values(told, number)
        best = int(abs(values - told.value).argmin())
        off = self.weighing.spread_of(told, values[best], floats[best])
        return float(values[best]), bool(abs(values[best] - told.value) <= WITHIN * off)

    def under_lamp(self, told):
        """Return what a test lamp leaves of volts told, where it stays dark and takes most of them; None where it does not, or of anything else. [V]"""
        reading, solved = getattr(told, "reading", None), self.weighing.solved
        if reading is None or reading.instrument != "meter" or reading.value is None or reading.black != solved.arrangement.zero:
            return None
        phases = self.weighing.phases_meant(reading.phases)
        values, _ = self.values(told, self.number)
        return solved.nearly_gone(self.number, reading.red, solved.row(reading.positions), phases[int(abs(values - told.value).argmin())])

    def _rests(self, told, number):
        """Tell whether there is a steady value in any of the phases that are meant. [yes/no]"""
        solved, reading = self.weighing.solved, told.reading
        return bool(solved.settled[number, solved.row(reading.positions)][self.weighing.phases_meant(reading.phases)].any())

    def values(self, told, number):
        """Return what a meter would show in each phase that is meant, and where it floats. [V] or [A], [yes/no]"""
        seen, floats, phases = self.weighing.expected(told.reading, told.through, is_taken=True)
        exact = [self.sized.read(told, self.weighing.solved.phases[phase]) for phase in phases] if self.sized is not None and number else [np.nan]
        if not np.isnan(exact).any():
            values = np.array(exact)
        else:
            values = seen[number]
            if self.way and number:
                near = self.weighing.neighbours_of(number)[(self.way - 1) // len(STEPS)]
                values = values + STEPS[(self.way - 1) % len(STEPS)] * (seen[near] - values)
        return self.scale * values, floats[number]


def is_as_sound(weighing, found, taken):
    """Tell whether all that was read and seen is what the sound circuit shows. [yes/no]"""
    sound = Agreement(weighing, found, 0)
    for each in taken:
        if each.seen:
            agrees = weighing.seen_as(each.seen[0], 0) == each.seen[1]
        elif each.reading.instrument == "test lamp" or each.reading.word == "unsteady":
            agrees = weighing.likely_value(each, 0) == each.reading.word
        else:
            agrees = sound.of(each, 0.0)[1]
        if not agrees:
            return False
    return True


class Sized:
    """A circuit with a joint of exactly so many ohms; each of its points is solved once.

    Parameters
    ----------
    circuit : Arrangement
    """

    def __init__(self, circuit):
        self.circuit, self._points = circuit, {}

    def point(self, positions, phases):
        """Return the operating point of a row and phases. [text]"""
        key = tuple(positions.items()), tuple(phases.items())
        if key not in self._points:
            self._points[key] = operating_point(self.circuit, positions, phases)
        return self._points[key]

    def read(self, told, phases):
        """Return what a meter would show, 0 where it floats, NaN where nothing comes to rest; amps have no sign. [V] or [A]"""
        point = self.point(told.reading.positions, phases)
        if not point.is_settled:
            return np.nan
        if told.through:
            return abs(point.current(told.through))
        red, black = (point.volts(end) for end in (told.reading.red, told.reading.black))
        return 0.0 if None in (red, black) else red - black

"""Causes: what may be at fault, how each thing told agrees with it, and how big it is where that can be worked out."""

from dataclasses import dataclass, field
from functools import cached_property

from ...arrangements import LoseJoint
from ...parts.overheating import TOUCH_BURNS, WARM
from .agreeing import Agreement
from .joint_size import Size, rough, worked_out

SHOWN = 0.01        # odds, from which on a cause is told
MOST_CAUSES = 12    # told
SIZED, WORTH = 3, 0.05      # causes whose ohms are worked out from a reading, and their least odds


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
    lamp : callable or None
        Works out ``under_lamp``.
    """

    told: object
    expected: object
    agrees: bool
    lamp: object = field(default=None, repr=False, compare=False)

    @property
    def is_half(self):
        """Whether a lamp told to flicker would be dark or dim as the cause stands, and flicker only as that comes and goes. [yes/no]"""
        return self.agrees and getattr(self.told, "look", "") == "flickers" and self.expected in ("dark", "dim")

    @cached_property
    def under_lamp(self):
        """What a test lamp leaves of volts that agree, where it stays dark and takes most of them; None where it does not, or of anything else. [V]"""
        return self.lamp() if self.lamp and self.agrees else None


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
    is_holder : bool
        Whether it lies between a bulb and its holder. [yes/no]
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
    is_holder: bool = False
    ahead: object = field(default=None, repr=False, compare=False)

    @property
    def about(self):
        """The middle of what a bad joint may have. [ohm]"""
        return None if self.ohms is None else (self.ohms[0] * self.ohms[1]) ** 0.5

    @property
    def heat(self):
        """What it turns into heat there as it was read, 0 where that is not worked out. [W]"""
        return 0.0 if self.volts is None or self.amps is None else abs(self.volts * self.amps)

    @property
    def is_warm(self):
        """Whether its heat is worth telling. [yes/no]"""
        return self.heat >= WARM

    @property
    def glows(self):
        """Whether so much that it glows and may set fire: then nothing is read or touched there before it has cooled. [yes/no]"""
        return self.heat >= TOUCH_BURNS

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
        size = rough(everything, numbers, weights) if candidate.grade is not None else Size()
        if size.ohms and len(causes) < SIZED and odds[repair] >= WORTH:
            size = worked_out(weighing, found, numbers, best, taken) or size
        agreement = Agreement(weighing, found, best + 1, symptoms, size.sized)
        fits = tuple(_fit(agreement, each, found.fit[place, best]) for place, each in enumerate((*symptoms, *taken)))
        causes.append(Cause(repair, candidate.words, odds[repair], candidate.changes, candidate.place, size.ohms, size.volts, size.amps, fits,
                            bool(candidate.behind), ahead))
    return tuple(causes)


def _fit(agreement, told, likelihood):
    return Fit(told, *agreement.of(told, likelihood), lambda: agreement.under_lamp(told))

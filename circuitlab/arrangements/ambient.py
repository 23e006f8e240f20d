"""What holds for a whole arrangement, as one value of it that a change can set: how warm it is round it, which pole its frame is.

Whatever follows it asks its own part (``Part.ambient``), so every question
about an arrangement is answered for its ambient without being told.
"""

from dataclasses import dataclass, replace

from ..ground.errors import ArrangementError, unknown_name
from ..ground.quantities import number_between
from ..parts.law import AMBIENT
from ..parts.making import Maker
from .checks import POLES
from .sentences import value_words

COLDEST, WARMEST = -30.0, 85.0      # C, from a winter morning to an engine bay: common practice


def ambient_between(value):
    """Return an ambient, given as a number or in text, or raise an ArrangementError with what is allowed. [C]"""
    value, wrong = number_between(value, "ambient", COLDEST, WARMEST, "C")
    if wrong:
        raise ArrangementError(f"{wrong} Give the temperature round the whole circuit, {COLDEST:g} to {WARMEST:g} C, "
                               "such as 'set ambient -20 C'.", got=value)
    return float(value)


@dataclass(frozen=True)
class SetAmbient(metaclass=Maker):
    """Make it warmer or colder round the whole arrangement.

    Parameters
    ----------
    ambient : float or str
        From -30 to 85; 20 unless a change says otherwise. [C]

    Notes
    -----
    Coils and wires follow it as copper does, save those whose own temperature is given; a filament cools down to it.
    What does not follow it stands in :func:`ambient_words`, which ``arrangement.cautions()`` says first.

    >>> print(SetAmbient(-20.0))
    set ambient -20 C
    """

    ambient: float

    def __post_init__(self):
        object.__setattr__(self, "ambient", ambient_between(self.ambient))

    def __str__(self):
        return f"set ambient {value_words('temperature', self.ambient)}"

    def apply(self, arrangement):
        return replace(arrangement, ambient=self.ambient)


@dataclass(frozen=True)
class FrameOn(metaclass=Maker):
    """Say which pole of the battery stands on the frame; no wire moves.

    Parameters
    ----------
    pole : {"minus", "plus"}
        Plus is meant in some old tractors. [text]

    >>> print(FrameOn("plus"))
    frame on plus
    """

    pole: str

    def __post_init__(self):
        if self.pole not in POLES:
            raise unknown_name("the frame", "pole", self.pole, POLES)

    def __str__(self):
        return f"frame on {self.pole}"

    def apply(self, arrangement):
        return replace(arrangement, frame=self.pole)


def ambient_words(arrangement):
    """Say what an ambient other than a room's changes and what not, or nothing. [text]"""
    if arrangement.ambient == AMBIENT:
        return ""
    return (f"the ambient is {arrangement.ambient:g} C: filaments, coils and wires follow it, save those whose own "
            f"temperature is given; times of relays, fuses, breakers, flashers, diodes, LED lamps, contacts, the battery, the meter and "
            f"what a wire may carry stay as at {AMBIENT:g} C.")

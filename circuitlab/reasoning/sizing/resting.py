"""What the battery loses while nobody touches anything."""

from dataclasses import dataclass

from ...arrangements.rows import phases_of
from ...ground.errors import CircuitLabError, PartError
from ...ground.quantities import say
from ...ground.showing import Showing
from ...solving import operating_point

TYPICAL = 70.0   # Ah, a typical car battery. Source: Lessons in Electric Circuits, DC, batteries
NOTHING = 1e-9   # A


@dataclass(frozen=True, repr=False)
class Drain(Showing):
    """The battery's drain with every control at rest.

    Attributes
    ----------
    amps : float
        Mean over the phases of flashers that run at rest. [A]
    capacity : float
        Of the battery, full. [Ah]
    """

    amps: float
    capacity: float

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"Drain at rest: {say(self.amps, 'A')}, {self.per_day:.3g} Ah a day."

    @property
    def per_day(self):
        """Taken out of the battery in a day. [Ah]"""
        return self.amps * 24

    @property
    def days_to_half(self):
        """Days until half the capacity is gone, or None where nothing flows. [d]"""
        return self.capacity / 2 / self.per_day if self.amps > NOTHING else None


def _share(part):
    """Return the part of its period in which a swinging part is on; half where it has no such share. [1]"""
    return getattr(part, "on_share", 0.5)


def drain(arrangement, capacity=TYPICAL):
    """Return the battery's drain with every control at rest.

    Parameters
    ----------
    arrangement : Arrangement
    capacity : float
        Of the full battery. [Ah]

    Notes
    -----
    A battery also loses some of its charge by itself; that is not in here.

    Raises
    ------
    CircuitLabError
        When the arrangement finds no answer at rest.
    """
    if not isinstance(capacity, (int, float)) or isinstance(capacity, bool) or not 0 < capacity < float("inf"):
        raise PartError(f"a battery's capacity must be a number of Ah above 0, got {capacity!r}.", got=capacity)
    mean, lowest = 0.0, {pole.partition(":")[0] for pole in arrangement.sides[1]}     # of those in a row the one on the frame
    for phases in phases_of(arrangement):
        share = 1.0
        for name, phase in phases.items():
            running = _share(arrangement.part(name))
            share *= running if phase == "on" else 1 - running
        point = operating_point(arrangement, phases=phases)
        if not point.is_settled:
            raise CircuitLabError(f"the drain at rest cannot be told: {point.sentence}.", verdict=point.verdict)
        mean += share * sum(abs(point.current(name)) for name in lowest)
    return Drain(mean, float(capacity))

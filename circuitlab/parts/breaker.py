"""The circuit breaker that recloses by itself."""

from dataclasses import dataclass
from math import inf
from typing import ClassVar

from .branch import JOINT, Branch, Role
from .law import Part
from .values import number


@dataclass(frozen=True)
class Breaker(Part):
    """A self-resetting circuit breaker (device letter F).

    An overload opens it, it cools, recloses, and so on until the trouble is
    found. That is its work and no fault of it, so such a state has a verdict
    of its own, *tripping*: the volts of its phase ``on`` are those with the
    breaker closed, those of ``off`` with it open.

    Its law is one heat store: with i the current over ``rating``, the heat h
    follows dh/dt = (i^2 / 1.25^2 - h) / 1.5 s; it opens at h = 1 and recloses
    at h = 0.5. A breaker of 20 A so opens at 25 A and lets a short of some
    100 A pass 5 A on average, as TM 9-8000 par. 16-8 says of vehicle lamp
    breakers. The time constant is that of a fuse; the point of reclosing is
    common practice.

    Parameters
    ----------
    rating : float
        The amps printed on its body: what it carries for good. [A]

    Terminals
    ---------
    1, 2 : the two ends of its contact; either may be the one toward the battery

    Notes
    -----
    What the model leaves out: the warm day that makes it trip early, and the
    wear of its contacts.

    >>> Breaker("F2", 15).terminals
    ('1', '2')
    """

    rating: float = number(20.0, 0.5, 300, "A")
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "breaker"
    letter: ClassVar[str] = "F"
    moves: ClassVar[bool] = True
    guards: ClassVar[bool] = True
    swings: ClassVar[bool] = True
    on_state: ClassVar[str] = "closed"
    heat_time: ClassVar[float] = 1.5
    trips_at: ClassVar[float] = 1.25      # of the rating
    recloses_at: ClassVar[float] = 0.5    # of the heat at which it opens
    terminals: ClassVar[tuple] = ("1", "2")
    states: ClassVar[tuple] = ("closed", "open")
    watched: ClassVar[tuple] = (0,)

    def branches(self):
        # about 0.1 V at rated current, as a fuse: maker sheets, from memory
        return (Branch("1", "2", Role.CONTACT, max(JOINT, 0.1 / self.rating), closed_in=frozenset({"closed"}), mated=True),)

    def strain(self, currents):
        return (currents[0] / (self.trips_at * self.rating)) ** 2

    def heat_turn(self, state):
        return (-inf, 1.0, "open") if state == "closed" else (self.recloses_at, inf, "closed")

    def aim(self, state, aim, currents):
        if state == "open":
            return aim
        return "tripping" if self.strain(currents) > 1 else "closed"

    def rest(self, aim, phase):
        return "open" if aim == "tripping" and phase == "off" else "closed"

    def trouble(self, aim):
        return f"{self.name} is overloaded: it opens and recloses over and over" if aim == "tripping" else ""

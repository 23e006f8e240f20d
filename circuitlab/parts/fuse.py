"""The fuse: a strip that melts, in a body that warms more slowly.

One store of heat cannot do what the gates of a fuse ask for: seconds at
twice its rating, and minutes at a third more. Two can. Each takes its share of
the square of the current (i, over the rating), dh/dt = (share i^2 - h) / tau,
and the fuse blows when both together come to 1.25^2: so 110 % holds, and
135 % opens in the end.

Shares and times were chosen to pass every gate of the family's table near its
middle. Regular and mini blade: ISO 8820-3 types C and F, from memory; maxi
blade: DIN 72581-3 form E. No times of torpedo fuses are published: theirs are
common practice, half a minute at 150 % and seconds at 250 %.
"""

from bisect import bisect
from dataclasses import dataclass
from functools import cache
from math import inf, log
from typing import ClassVar

from .branch import JOINT, Branch, Role
from .law import Part
from .tables import table
from .values import number, word

STORES = {  # (share of the heat, s): the strip, then the body
    "blade": ((0.6, 0.9), (0.4, 20.0)),
    "mini blade": ((0.6, 0.9), (0.4, 20.0)),
    "maxi blade": ((0.35, 2.7), (0.65, 200.0)),
    "torpedo": ((0.5, 3.0), (0.5, 60.0)),
}


@cache
def cold_resistance(rating):
    """Return the resistance of a fuse: between and beyond the ratings listed by the power law of the nearest two. [ohm]

    The table is that of regular blades, from memory of maker sheets; there is none for the others.

    >>> round(cold_resistance(10.0), 5), round(cold_resistance(25.0), 5)
    (0.0077, 0.0024)
    """
    listed = [(row["rating [A]"], row["cold resistance [mohm]"] / 1000) for row in table("fuses")
              if row["cold resistance [mohm]"]]
    place = min(max(bisect([at for at, _ in listed], rating), 1), len(listed) - 1)
    (low, below), (high, above) = listed[place - 1:place + 1]
    return max(JOINT, below * (rating / low) ** (log(above / below) / log(high / low)))


@dataclass(frozen=True)
class Fuse(Part):
    """A fuse (device letter F).

    Parameters
    ----------
    rating : float
        The amps printed on its body. [A]
    family : {"blade", "mini blade", "maxi blade", "torpedo"}
        Which make of fuse it is: each takes times of its own to blow. [text]

    Terminals
    ---------
    1, 2 : the two ends of its strip; either may be the one toward the battery

    >>> Fuse("F1", 7.5).terminals
    ('1', '2')
    """

    rating: float = number(10.0, 0.1, 500, "A")
    place: str = ""
    note: str = ""
    family: str = word("blade", STORES)

    kind: ClassVar[str] = "fuse"
    letter: ClassVar[str] = "F"
    reach: ClassVar[float] = 1.0
    latching: ClassVar[bool] = True
    guards: ClassVar[bool] = True
    heat_limit: ClassVar[float] = 1.25**2  # of rated current, squared
    terminals: ClassVar[tuple] = ("1", "2")
    states: ClassVar[tuple] = ("whole", "blown")
    watched: ClassVar[tuple] = (0,)

    @property
    def stores(self):
        return STORES[self.family]

    @property
    def heat_time(self):
        return max(seconds for _, seconds in self.stores)

    def branches(self):
        return (Branch("1", "2", Role.CONTACT, cold_resistance(self.rating), closed_in=frozenset({"whole"}), mated=True),)

    def strain(self, currents):
        return (currents[0] / self.rating) ** 2 / self.heat_limit

    def heat_turn(self, state):
        return (-inf, 1.0, "blown") if state == "whole" else None

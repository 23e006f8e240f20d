"""Diodes and LED lamps: currents that rise steeply with the volts.

A junction with its series resistance R obeys i = I0 (exp((u - R i) / v) - 1).
Solved for i that is the Wright omega function: with
z = ln(I0 R / v) + (u + I0 R) / v, the current is (v / R) omega(z) - I0. Used
so, the curve neither overflows nor needs a limit on Newton's step. A real
junction also leaks when it blocks, more than I0 says: typically so much, at
the highest what its sheet allows. Sheets give that at the volts it may block;
taken here at 12 V and in proportion to the volts, it makes up I0 to the sheet's.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from math import exp, inf, log
from typing import ClassVar

from ..ground.errors import PartError
from ..ground.quantities import say
from .branch import Branch, Device, Role
from .lamp import Lamp
from .law import Part
from .overheating import OVERVOLTED, diode_words
from .values import number

LEAKS_AT = 12.0        # V, at which a leakage is meant: the supply it has to block
LEAKAGE = 50e-9        # A, typical of a silicon diode or an LED at room temperature: from memory; 10 K more double it
HIGHEST = 5e-6         # A, the most a silicon diode may leak at 25 C. Source: maker sheets 1N4001 to 7, 1N5400 to 8
LEAKS = 1e-12, 0.1     # A, what a leakage may be
HIGHEST_LED = 10e-6    # A, the most an LED may leak at 25 C and 5 V. Source: maker sheet of an LED


def wright_omega(z):
    """Return w with w + ln w = z, for real z. [1]

    Source: Fritsch, Shafer & Crowley 1973, steps of fourth order from a rough start.

    >>> round(wright_omega(1.0), 12)
    1.0
    """
    if z < -40:
        return exp(z) if z > -700 else 0.0
    w = exp(z) if z < -2 else z - log(z) if z > 3 else exp(0.6 * (z - 1))
    for _ in range(3):
        error = z - w - log(w)
        grown = 1 + w
        bend = 2 * grown * (grown + 2 * error / 3)
        w *= 1 + error / grown * (bend - error) / (bend - 2 * error)
    return w


@dataclass(frozen=True)
class Junction(Device):
    """The law of a junction in series with a resistance.

    Parameters
    ----------
    forward_voltage, forward_current : float
        One point of the curve, such as a data sheet gives. [V], [A]
    resistance : float
        In series. [ohm]
    steepness : float
        v above: about 0.045 V for one silicon power diode, more for several in a row. [V]
    rated_current : float
        That gives rated light; 0 for a junction that gives none. [A]
    leakage, highest_leakage : float
        When it blocks 12 V, typically and at most. [A]
    """

    forward_voltage: float
    forward_current: float
    resistance: float
    steepness: float = 0.045
    rated_current: float = 0.0
    leakage: float = LEAKAGE
    highest_leakage: float = HIGHEST

    one_way: ClassVar[bool] = True

    @cached_property
    def reverse_current(self):
        """I0, from the point of the curve. [A]"""
        return self.forward_current / (exp((self.forward_voltage - self.resistance * self.forward_current)
                                           / self.steepness) - 1)

    @cached_property
    def leak(self):
        """What it conducts besides: at least a tenth of its leakage, where I0 alone is that much. [S]"""
        return max(self.leakage - self.reverse_current, self.leakage / 10) / LEAKS_AT

    @cached_property
    def leakiest(self):
        return replace(self, leakage=max(self.leakage, self.highest_leakage))

    @property
    def start(self):
        return self.forward_current / self.forward_voltage

    def settled_current(self, voltage):
        zero = self.reverse_current
        z = log(zero * self.resistance / self.steepness) + (voltage + zero * self.resistance) / self.steepness
        w = wright_omega(z)
        return (self.steepness / self.resistance * w - zero + self.leak * voltage,
                w / (1 + w) / self.resistance + self.leak)

    def shine(self, voltage, temperature):
        return max(0.0, self.settled_current(voltage)[0] / self.rated_current) if self.rated_current else 0.0


@dataclass(frozen=True)
class Diode(Part):
    """A diode (device letter V): current passes from A (anode) to K (cathode).

    Parameters
    ----------
    forward_voltage, forward_current : float
        What it drops, and at which amps: one point of its curve as its sheet gives it. 0.9 V at 6 A is a 6 A silicon diode
        (maker sheets, from memory). [V], [A]
    resistance : float
        Of its silicon and legs, in series with the junction; its sheet's curve grows steeper by it. [ohm]
    leakage, highest_leakage : float
        What passes backwards when it blocks 12 V, typically and at most. [A]
    carries : float
        The amps it stands for long; 0 for those of ``forward_current``. [A]
    blocks : float
        The volts it stands backwards; 100 V do for anything on 12 V (common practice). [V]

    Terminals
    ---------
    A : anode, where current goes in
    K : cathode, where it comes out; the end with the ring

    >>> Diode("V1").terminals
    ('A', 'K')
    """

    forward_voltage: float = number(0.9, 0.1, 5, "V")
    forward_current: float = number(6.0, 0.001, 1000, "A")
    resistance: float = number(0.015, 0.001, 1000, "ohm")
    place: str = ""
    note: str = ""
    leakage: float = number(LEAKAGE, *LEAKS, "A")
    highest_leakage: float = number(HIGHEST, *LEAKS, "A")
    carries: float = number(0.0, 0, 1000, "A")
    blocks: float = number(100.0, 1, 10_000, "V")

    kind: ClassVar[str] = "diode"
    letter: ClassVar[str] = "V"
    is_polar: ClassVar[bool] = True
    terminals: ClassVar[tuple] = ("A", "K")
    needs: ClassVar[tuple] = terminals

    def __post_init__(self):
        super().__post_init__()
        self.must(self.resistance * self.forward_current < self.forward_voltage,
                  "its resistance alone would drop more than its forward voltage. Give a smaller resistance.")

    @property
    def rated_current(self):
        """What it carries for long. [A]"""
        return self.carries or self.forward_current

    @cached_property
    def junction(self):
        """Its law."""
        return Junction(self.forward_voltage, self.forward_current, self.resistance, leakage=self.leakage,
                        highest_leakage=self.highest_leakage)

    def overheated(self, currents):
        return self.gone_at_once(currents)

    def gone_at_once(self, currents):
        return tuple(filter(None, (diode_words(self.name, currents[0], self.rated_current),)))

    def branches(self):
        return (Branch("A", "K", Role.WAY, device=self.junction),)


@dataclass(frozen=True)
class LedLamp(Lamp):
    """An LED lamp for a bulb socket: a few junctions in a row behind a resistance.

    Light follows current at once, in proportion. Turned round it stays dark.

    Parameters
    ----------
    volts, watts : float
        Test voltage and the watts drawn there, load resistor left out. [V], [W]
    bulb : str
        What it is called; no catalogue goes with it, so give its watts. [text]
    threshold : float
        The volts below which hardly any current passes. [V]
    load_resistance, load_watts : float
        Of a load resistor built in or clipped across; ``inf`` ohm for none; 50 W is the usual one of 6 ohm. [ohm], [W]
    leakage, highest_leakage : float
        What passes when it is turned round, at 12 V, typically and at most. [A]

    Terminals
    ---------
    1 : plus
    2 : minus

    >>> LedLamp("E1").watts
    2.7
    """

    watts: float = number(2.7, 0.1, 200, "W")
    bulb: str = "LED for P21W"
    threshold: float = number(7.0, 1, 60, "V")
    load_resistance: float = number(inf, 0.5, inf, "ohm")
    leakage: float = number(LEAKAGE, *LEAKS, "A")
    highest_leakage: float = number(HIGHEST_LED, *LEAKS, "A")
    load_watts: float = number(50.0, 0.1, 1000, "W")

    kind: ClassVar[str] = "LED lamp"
    by_name: ClassVar[bool] = False
    is_polar: ClassVar[bool] = True

    def __post_init__(self):
        super().__post_init__()
        self.must(self.threshold < 0.9 * self.volts, f"threshold {self.threshold:g} V must lie well below {self.volts:g} V.")

    @cached_property
    def junction(self):
        """Its law: the threshold is where a tenth of the rated current passes."""
        rated = self.watts / self.volts
        resistance = (self.volts - self.threshold) / (0.9 * rated)
        return Junction(self.volts, rated, resistance, 0.12, rated, self.leakage, self.highest_leakage)

    def relative_life(self, voltage):
        """Raise PartError: heat ages an LED lamp, and its sheet gives no law of its volts."""
        raise PartError(f"LED lamp '{self.name}' has no filament, so its life does not follow its volts.",
                        part=self.name)

    @cached_property
    def most_current(self):
        """What its junction draws at as many volts as are let pass without a word. [A]"""
        return self.junction.settled_current(OVERVOLTED * self.volts)[0]

    def overheated(self, currents):
        amps = currents[0]
        if amps <= self.most_current:
            return ()
        return (f"{self.name} draws {say(amps, 'A')}, {amps * self.volts / self.watts:.1f} times what it is made for: it overheats "
                "and fails",)

    @property
    def resistors(self):
        return ((1, self.load_resistance, self.load_watts),)

    def inrush(self, voltage):
        """Return what it draws at the first instant, which is what it always draws; load resistor included. [A]"""
        return self.junction.settled_current(voltage)[0] + voltage / self.load_resistance

    def branches(self):
        lit = frozenset({"whole"})
        return (Branch("1", "2", Role.LOAD, closed_in=lit, device=self.junction),
                Branch("1", "2", Role.LOAD, self.load_resistance, closed_in=lit))

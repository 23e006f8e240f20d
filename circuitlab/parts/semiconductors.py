"""Diodes and LED lamps: currents that rise steeply with the volts.

A junction with its series resistance R obeys i = I0 (exp((u - R i) / v) - 1).
Solved for i that is the Wright omega function: with
z = ln(I0 R / v) + (u + I0 R) / v, the current is (v / R) omega(z) - I0. Used
so, the curve neither overflows nor needs a limit on Newton's step. A real
junction also leaks a little when it blocks; here that is 1 nS.
"""

from dataclasses import dataclass
from functools import cached_property
from math import exp, log
from typing import ClassVar

from ..ground.errors import PartError
from .lamp import Lamp
from .law import Branch, Device, Part

LEAK = 1e-9  # S, of a blocking junction: common practice


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
    """

    forward_voltage: float
    forward_current: float
    resistance: float
    steepness: float = 0.045
    rated_current: float = 0.0

    @cached_property
    def reverse_current(self):
        """I0, from the point of the curve. [A]"""
        return self.forward_current / (exp((self.forward_voltage - self.resistance * self.forward_current)
                                           / self.steepness) - 1)

    @property
    def start(self):
        return self.forward_current / self.forward_voltage

    def settled_current(self, voltage):
        leak = self.reverse_current
        z = log(leak * self.resistance / self.steepness) + (voltage + leak * self.resistance) / self.steepness
        w = wright_omega(z)
        return (self.steepness / self.resistance * w - leak + LEAK * voltage,
                w / (1 + w) / self.resistance + LEAK)

    def shine(self, voltage, temperature):
        return max(0.0, self.settled_current(voltage)[0] / self.rated_current) if self.rated_current else 0.0


@dataclass(frozen=True)
class Diode(Part):
    """A diode (device letter V): current passes from A (anode) to K (cathode).

    Parameters
    ----------
    forward_voltage, forward_current : float
        One point of its curve; 0.9 V at 6 A is a 6 A silicon diode (maker sheets, from memory). [V], [A]
    resistance : float
        In series. [ohm]
    """

    forward_voltage: float = 0.9
    forward_current: float = 6.0
    resistance: float = 0.015
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "diode"

    def __post_init__(self):
        super().__post_init__()
        self.must_be_number("forward_voltage", 0.1, 5, "V")
        self.must_be_number("forward_current", 0.001, 1000, "A")
        self.must_be_number("resistance", 0.001, 1000, "ohm")
        self.must(self.resistance * self.forward_current < self.forward_voltage,
                  "its resistance alone would drop more than its forward voltage. Give a smaller resistance.")

    @property
    def terminals(self):
        return ("A", "K")

    @cached_property
    def junction(self):
        """Its law."""
        return Junction(self.forward_voltage, self.forward_current, self.resistance)

    def branches(self):
        return (Branch("A", "K", device=self.junction),)


@dataclass(frozen=True)
class LedLamp(Lamp):
    """An LED lamp for a bulb socket: a few junctions in a row behind a resistance. Terminal 1 is plus.

    Light follows current at once, in proportion. Turned round it stays dark.

    Parameters
    ----------
    volts, watts : float
        Test voltage and the watts drawn there, load resistor left out. [V], [W]
    threshold : float
        Below which hardly any current passes. [V]
    load_resistance : float
        Of a load resistor built in or clipped across; ``inf`` for none. [ohm]
    """

    watts: float = 2.7
    bulb: str = "LED for P21W"
    threshold: float = 7.0
    load_resistance: float = float("inf")

    kind: ClassVar[str] = "LED lamp"

    def __post_init__(self):
        super().__post_init__()
        self.must_be_number("threshold", 1, 60, "V")
        self.must_be_number("load_resistance", 0.5, float("inf"), "ohm")
        self.must(self.threshold < 0.9 * self.volts, f"threshold {self.threshold:g} V must lie well below {self.volts:g} V.")

    @cached_property
    def junction(self):
        """Its law: the threshold is where a tenth of the rated current passes."""
        rated = self.watts / self.volts
        resistance = (self.volts - self.threshold) / (0.9 * rated)
        return Junction(self.volts, rated, resistance, steepness=0.12, rated_current=rated)

    def relative_life(self, voltage):
        """Raise PartError: heat ages an LED lamp, and its sheet gives no law of its volts."""
        raise PartError(f"LED lamp '{self.name}' has no filament, so its life does not follow its volts.",
                        part=self.name)

    def inrush(self, voltage):
        """Return what it draws at the first instant, which is what it always draws; load resistor included. [A]"""
        return self.junction.settled_current(voltage)[0] + voltage / self.load_resistance

    def branches(self):
        lit = frozenset({"whole"})
        return (Branch("1", "2", closed_in=lit, device=self.junction),
                Branch("1", "2", self.load_resistance, closed_in=lit))

"""The battery: an electromotive force behind a resistance."""

from dataclasses import dataclass
from typing import ClassVar

from .law import Branch, Part

SHORT = 300.0  # A, beyond what any conductor of a lamp circuit stands; a starter may draw 200 A: common practice

@dataclass(frozen=True)
class Battery(Part):
    """A battery (device letter G); volts are counted from its minus terminal.

    Parameters
    ----------
    voltage : float
        Open-circuit voltage. 12.6 V is a full lead battery at rest, about 14 V
        an engine running (both common practice). [V]
    internal_resistance : float
        4 to 10 mohm is a healthy vehicle battery (common practice). [ohm]
    """

    voltage: float = 12.6
    internal_resistance: float = 0.008
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "battery"

    def __post_init__(self):
        self.must_be_number("voltage", 0, 60, "V")
        self.must_be_number("internal_resistance", 0.001, 10, "ohm")

    @property
    def terminals(self):
        return ("+", "-")

    @property
    def watched(self):
        return (0,)

    def branches(self):
        return (Branch("-", "+", self.internal_resistance, self.voltage),)

    def strain(self, currents):
        return abs(currents[0]) / SHORT

"""What is held against a circuit to measure it: a meter and a test lamp. Each is a load with a curve of its own.

No part of an arrangement: they stand between two leads, and the leads may touch any two terminals.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

from ..ground.errors import PartError
from .lamp import Filament
from .law import Device

INPUT = 10e6         # ohm, of a digital voltmeter. Source: installer's manual, "10 million ohms"
LAMP_VOLTS = 12.0    # V, of the kit's test lamp
LAMP_WATTS = 3.0     # W, of it: 0.25 A. Source: service manual, a test lamp is safe to use when it draws under 0.3 A


@dataclass(frozen=True)
class Meter(Device):
    """A voltmeter.

    Parameters
    ----------
    resistance : float
        Of its input. [ohm]
    """

    resistance: float = INPUT

    @property
    def start(self):
        return 1 / self.resistance

    def settled_current(self, voltage):
        return voltage / self.resistance, 1 / self.resistance


@dataclass(frozen=True)
class TestLamp(Device):
    """A lamp with two leads: a filament, judged warm.

    Parameters
    ----------
    watts, volts : float
        What it draws at which volts. [W], [V]
    """

    watts: float = LAMP_WATTS
    volts: float = LAMP_VOLTS

    __test__: ClassVar[bool] = False   # no collection of tests, whatever its name says

    def __post_init__(self):
        for value, low, high, unit in ((self.watts, 0.1, 60, "W"), (self.volts, 1, 60, "V")):
            if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
                raise PartError(f"a test lamp of {value!r} {unit} is none. Give one between {low:g} and {high:g} {unit}, "
                                f"such as the kit's own of {LAMP_WATTS:g} W at {LAMP_VOLTS:g} V.", got=value)

    @cached_property
    def filament(self):
        """Its law."""
        return Filament(self.volts, self.watts)

    @property
    def start(self):
        return self.filament.start

    def settled_current(self, voltage):
        return self.filament.settled_current(voltage)

"""What is held against a circuit to measure it: meter, test lamp, ohmmeter. Each is a branch with a curve of its own.

No part of an arrangement: they stand between two leads, and the leads may touch any two terminals.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

from ..ground.errors import PartError
from .branch import Device
from .lamp import Filament
from .making import Maker

INPUT = 10e6         # ohm, of a digital voltmeter. Source: installer's manual, "10 million ohms"
LAMP_VOLTS = 12.0    # V, of the kit's test lamp
LAMP_WATTS = 3.0     # W, of it: 0.25 A. Source: service manual, a test lamp is safe to use when it draws under 0.3 A
TEST_VOLTS = 0.3     # V, of an ohmmeter with nothing to measure: too little to open a silicon junction. From memory
TEST_OHMS = 1000.0   # ohm, behind which it has them: from memory
LEADS = 0.2           # ohm, what the leads show held together, and less is no resistance: common practice
MOST_OHMS = 40e6     # ohm, above which it shows that there is no way: common practice


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
class Jumper(Meter):
    """A wire with a clip at each end, held over what is open.

    Parameters
    ----------
    resistance : float
        Of it and both clips: the kit's own. [ohm]
    """

    resistance: float = 0.01


@dataclass(frozen=True)
class TestLamp(Device, metaclass=Maker):
    """A lamp with two leads: a filament, judged warm.

    Parameters
    ----------
    watts, volts : float
        What it draws at which volts. [W], [V]

    >>> TestLamp().watts
    3.0
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


@dataclass(frozen=True)
class Ohmmeter(Device):
    """A meter on its ohms range: a small source of volts behind a resistance. It wants a circuit without any other."""

    @property
    def start(self):
        return 1 / TEST_OHMS

    def settled_current(self, voltage):
        return (voltage - TEST_VOLTS) / TEST_OHMS, 1 / TEST_OHMS

    def ohms(self, voltage):
        """Return the resistance at which this much is left of its volts, or None for what it cannot show. [ohm]

        That is more than its range, or volts of somebody else's, as across a battery.
        """
        left = TEST_VOLTS - voltage
        ohms = TEST_OHMS * voltage / left if left > 0 else MOST_OHMS + 1
        return ohms if -LEADS <= ohms <= MOST_OHMS else None

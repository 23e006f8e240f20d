"""The battery: an electromotive force behind a resistance."""

from dataclasses import dataclass
from typing import ClassVar

from ..ground.errors import PartError, shown
from .branch import Branch, Role
from .law import Part
from .values import number

SHORT = 300.0  # A, beyond what any conductor of a lamp circuit stands; a starter may draw 200 A: common practice
CHARGES = ((0.0, 11.6), (0.25, 12.0), (0.5, 12.2), (0.75, 12.4), (1.0, 12.6))  # [1], [V], six cells: rule of thumb
RUNNING = 14.0  # V, an engine running, 13.8 to 14.4: common practice


@dataclass(frozen=True)
class Battery(Part):
    """A battery (device letter G); volts are counted from its minus terminal.

    Parameters
    ----------
    voltage : float
        With nothing on it (open circuit). 12.6 V is a full lead battery at rest, about 14 V
        an engine running (both common practice). [V]
    internal_resistance : float
        What it has inside, which takes volts off under load; 4 to 10 mohm is a healthy vehicle
        battery (common practice). [ohm]

    Terminals
    ---------
    + : plus pole; fuses go here, as near as they can
    - : minus pole; to the frame, save where plus is on the frame

    >>> Battery("G1").terminals
    ('+', '-')
    """

    voltage: float = number(12.6, 0, 60, "V")
    internal_resistance: float = number(0.008, 0.001, 10, "ohm")
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "battery"
    letter: ClassVar[str] = "G"
    reach: ClassVar[float] = 0.9
    terminals: ClassVar[tuple] = ("+", "-")
    needs: ClassVar[tuple] = terminals
    watched: ClassVar[tuple] = (0,)

    def branches(self):
        return (Branch("-", "+", Role.SOURCE, self.internal_resistance, self.voltage),)

    def strain(self, currents):
        return abs(currents[0]) / SHORT


def charged_battery(name, charge=1.0, cells=6, **more):
    """Return a lead battery at rest, with the open-circuit voltage of one that full.

    Parameters
    ----------
    charge : float
        Share of its full charge. [1]
    cells : int
        6 for a 12 V battery, 3 for 6 V, 12 for 24 V. [1]

    Notes
    -----
    A flooded battery: 12.6, 12.4, 12.2, 12.0 and 11.6 V at 100, 75, 50, 25
    and 0 %, straight in between. It does not run down while a circuit runs.

    >>> charged_battery("G1", charge=0.5).voltage
    12.2
    """
    if not isinstance(charge, (int, float)) or isinstance(charge, bool) or not 0 <= charge <= 1:
        raise PartError(f"battery {shown(name)}: charge must be between 0 and 1 (0.5 is half), got {shown(charge)}.", part=name)
    if type(cells) is not int or cells not in (3, 6, 12):
        raise PartError(f"battery {shown(name)}: cells must be 3 (6 V), 6 (12 V) or 12 (24 V), got {shown(cells)}.", part=name)
    (low, volts), (high, more_volts) = next(pair for pair in zip(CHARGES, CHARGES[1:]) if charge <= pair[1][0])
    voltage = volts + (charge - low) / (high - low) * (more_volts - volts)
    return Battery(name, round(voltage * cells / 6, 6), **more)


def running_battery(name, voltage=RUNNING, **more):
    """Return the supply with the engine running.

    Parameters
    ----------
    voltage : float
        At which the generator holds it. [V]

    >>> running_battery("G1").voltage
    14.0
    """
    return Battery(name, voltage, **more)

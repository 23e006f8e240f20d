"""Floor 2, the parts: one frozen record for each kind, with its terminals and its own law.

To add a kind of part:

1. Write its record in the room it belongs to (or a new one) as a frozen
   dataclass that inherits :class:`~circuitlab.parts.law.Part`; what a value may be
   stands beside its default, such as ``number(10.0, 0.1, 500, "A")``.
2. Say its ``kind``, its ``terminals`` and, in ``branches()``, what lies between
   them and in which role: from there on every floor above understands it.
3. If it can change by itself, give its law: ``aim``, ``next_move`` and, if it
   can be destroyed, ``strain``.
4. Add it to ``KINDS`` below, which is all the text file needs to know.
5. Give it a face (``views/faces``) where a box with its kind will not do, and a test of its law.
"""

from .branch import JOINT, Branch, Role
from .breaker import Breaker
from .conductors import Chassis, Resistor, Splice, Wire
from .connector import Connector
from .converter import Converter
from .distribution import DistributionBlock
from .flasher import Flasher
from .flashers_sold import load_needing_flasher, load_sensing_flasher, thermal_flasher, variable_load_flasher
from .fuse import Fuse
from .fuse_block import FuseBlock
from .lamp import Lamp
from .law import Part
from .relay import Relay
from .semiconductors import Diode, LedLamp
from .source import Battery, charged_battery, running_battery
from .switches import (Control, Switch, hazard_switch, key_switch, plunger_stop_switch,
                       pressure_stop_switch, toggle, turn_lever)
from .two_filaments import TwoFilamentLamp

KINDS = {record.kind: record for record in (Battery, Fuse, Breaker, Resistor, Splice, Chassis, Switch, Relay, Flasher,
                                            Lamp, LedLamp, TwoFilamentLamp, Diode, Connector, Converter, FuseBlock,
                                            DistributionBlock)}

__all__ = ["Battery", "Branch", "Breaker", "Chassis", "Connector", "Control", "Converter", "Diode", "DistributionBlock", "Flasher", "Fuse", "FuseBlock", "JOINT", "KINDS", "Lamp",
           "LedLamp", "Part", "Relay", "Resistor", "Role", "Splice", "Switch", "TwoFilamentLamp", "Wire", "charged_battery", "hazard_switch",
           "key_switch", "load_needing_flasher", "load_sensing_flasher", "plunger_stop_switch", "pressure_stop_switch",
           "running_battery", "thermal_flasher", "toggle", "turn_lever", "variable_load_flasher"]

"""The empty board, and the shelf of parts that one takes when wiring a circuit of one's own."""

from dataclasses import replace
from typing import NamedTuple

from ..parts import Battery, Chassis, Connector, Control, Converter, Diode, DistributionBlock, Flasher, Fuse, FuseBlock, Lamp, LedLamp, Relay, Resistor, Splice, Switch, TwoFilamentLamp
from ..parts.flashers_sold import load_needing_flasher, load_sensing_flasher, thermal_flasher
from .asked_back import free_name
from .changes import AddPart
from .plan import Plan
from .record import Arrangement

TITLE = "A circuit of my own"
_PLAN = Plan([("G1", 12, 22, False), ("X1", 12, 31, False)], [("G1", (2.3,), 5.7, False), ("X1", (10.4,), 64.8, False)])    # with room for what comes, front lamps at the head


class Ready(NamedTuple):
    """What lies on the shelf: in words, and the sentence that puts it in under the next free name. [text]"""

    words: str
    sentence: str


def bare():
    """Return the board before anything is wired: a battery, and the vehicle's metal to bring minus to.

    >>> bare().loose
    ('G1:+', 'G1:-', 'X1:1', 'X1:2', 'X1:3', 'X1:4')
    """
    return Arrangement(TITLE, parts=[Battery("G1"), Chassis("X1", 4)], plan=_PLAN)


def shelf(arrangement):
    """Return the parts ready to be taken, in the order in which one wires, each under the next free name.

    Parameters
    ----------
    arrangement : Arrangement
        What it has decides names, and whether a switch brings the control that works it.

    Returns
    -------
    tuple of Ready

    >>> shelf(bare())[1]
    Ready(words='key switch', sentence='add part S1 switch, control key, closes "on: 30-15", worked by key with control key: off, on')
    """
    return tuple(Ready(words, str(_named(arrangement, make("?"), control))) for words, make, control in _SHELF)


def _named(arrangement, part, control):
    """Return the change that puts a part in under the next free name, its control with it where that is not there yet."""
    there = control and control.name in arrangement.controls_by_name
    if there and not set(control.positions) <= set(arrangement.control(control.name).positions):
        control = replace(control, name=_other(control.name, arrangement.controls_by_name))
        part, there = part.with_value("control", control.name), False
    return AddPart(replace(part, name=free_name(arrangement, part.kind)), None if there else control)


def _other(name, taken):
    return next(f"{name} {number}" for number in range(2, 1000) if f"{name} {number}" not in taken)


def _switch(control, worked_by, positions, closes, shown=()):
    """Return how a switch is made, and the control that works it."""
    return lambda name: Switch(name, control, closes, worked_by), Control(control, positions, shown)


_TURN = ("off", "left", "right"), ("left", "off", "right")
_SHELF = (
    ("fuse 7.5 A", lambda name: Fuse(name, 7.5), None),
    ("key switch", *_switch("key", "key", ("off", "on"), {"on": [("30", "15")]})),
    ("brake pedal switch", *_switch("brake pedal", "pedal", ("released", "held"), {"held": [("1", "2")]})),
    ("turn lever", *_switch("turn lever", "hand", _TURN[0], {"left": [("49a", "L")], "right": [("49a", "R")]}, _TURN[1])),
    ("two-pole turn lever", *_switch("turn lever", "hand", _TURN[0], {"left": [("15", "SL"), ("49a", "L")],
                                                                       "right": [("15", "SR"), ("49a", "R")]}, _TURN[1])),
    ("hazard switch, two poles", *_switch("hazard", "hand", ("off", "on"), {"on": [("49a", "L"), ("49a", "R")]})),
    ("lamp switch", *_switch("lamp switch", "hand", ("off", "on"), {"on": [("1", "2")]})),
    ("changeover relay", Relay, None),
    ("changeover relay with diode", lambda name: Relay(name, suppression="diode"), None),
    ("flasher, electronic free running", Flasher, None),
    ("flasher, electronic with lamp-out sensing", load_sensing_flasher, None),
    ("flasher, electronic load needing", load_needing_flasher, None),
    ("flasher, thermal fixed load", thermal_flasher, None),
    ("lamp 21 W", lambda name: Lamp(name, bulb="P21W"), None),
    ("turn lamp 21 W, amber", lambda name: Lamp(name, bulb="PY21W"), None),
    ("tail lamp 5 W", lambda name: Lamp(name, bulb="R5W"), None),
    ("tail and stop lamp 21/5 W", lambda name: TwoFilamentLamp(name, bulb="P21/5W"), None),
    ("LED lamp", LedLamp, None),
    ("splice, 3 ways", lambda name: Splice(name, 3), None),
    ("fuse block, 4 ways", lambda name: FuseBlock(name, "10 A, 7.5 A, spare, spare"), None),
    ("fuse block, battery and ignition", lambda name: FuseBlock(name, "30: 10 A, spare; 15: 7.5 A, spare"), None),
    ("distribution block, 6 studs", lambda name: DistributionBlock(name, "30: 6"), None),
    ("distribution block, plus and minus", lambda name: DistributionBlock(name, "30: 4, 31: 4"), None),
    ("chassis, 4 studs", lambda name: Chassis(name, 4), None),
    ("diode", Diode, None),
    ("connector to a trailer, 4-flat", lambda name: Connector(name, "4-flat"), None),
    ("connector to a trailer, 12N", lambda name: Connector(name, "12N"), None),
    ("converter for a trailer, powered", Converter, None),
    ("converter for a trailer, unpowered", lambda name: Converter(name, "unpowered"), None),
    ("load resistor 50 W", lambda name: Resistor(name, 4.7, rated_watts=50.0), None),
)

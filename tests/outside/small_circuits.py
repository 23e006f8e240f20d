"""What the checks against published values share: circuits made of parts, printed numbers, planted mistakes.

A wire of the kit has at least 2 mohm of joints, and a textbook wire none. Two honest ways round that:

* a linear example is built ``scale`` times as large: every resistance times ``scale``, the volts as printed, so that
  currents and watts come out ``scale`` times as small. The joints are then less than a tenth of the last printed digit.
* where the printed wire itself has a resistance, the kit's own wire is given it, joints included.
"""

from decimal import Decimal

from circuitlab.arrangements import Arrangement
from circuitlab.parts import Wire
from circuitlab.parts.conductors import RESISTIVITY
from circuitlab.solving import operating_point

BAR = {"length": 0.001, "area": 200.0}   # a wire that is nothing but its two joints


def circuit(parts, pairs, controls=(), **wire):
    """Return an arrangement whose wires are given as pairs of terminals, or are wires already."""
    wires = [pair if isinstance(pair, Wire) else Wire(f"W{number}", *pair, **(wire or BAR))
             for number, pair in enumerate(pairs, start=1)]
    return Arrangement("a small circuit", controls=controls, parts=parts, wires=wires)


def wire_of(name, start, end, ohms, length=100.0):
    """Return a wire whose joints and copper together have a resistance. [ohm]"""
    joints = Wire(name, start, end).start_joint * 2
    return Wire(name, start, end, length=length, area=RESISTIVITY * length / (ohms - joints))


def agrees(measured, printed):
    """Tell whether a number rounds to the printed text: half a unit of its last digit either way.

    The half unit is widened by a thousandth of itself, for numbers that lie on the edge in decimal and not in binary.
    """
    number = Decimal(printed)
    half_unit = float(Decimal(1).scaleb(number.as_tuple().exponent)) / 2
    return abs(measured - float(number)) <= half_unit * 1.001


def watts(point, name):
    """Return what a two-terminal part takes up. [W]"""
    start, end = (f"{name}:{terminal}" for terminal in point.arrangement.part(name).terminals)
    return point.across(start, end) * point.current(name)


def wrong(readings, printed):
    """Return the names of the printed values that the readings do not agree with."""
    assert set(readings) == set(printed), "every printed value is read, and no other"
    return [name for name in printed if not agrees(readings[name], printed[name])]


def read(arrangement, readers, positions=None):
    """Return what each reader finds at the operating point, as ``{name: number}``."""
    point = operating_point(arrangement, positions)
    return {name: reader(point) for name, reader in readers.items()}

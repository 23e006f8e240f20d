"""What the name of a bulb says by itself: which filaments it may mean, and whether figures may be theirs."""

from functools import cache

from ..ground.errors import PartError
from ..ground.quantities import read_quantity
from .bulbs import bulbs

WATTS_POWER = 1.55    # watts ~ U^1.55. Source: lamp rerating, current ~ U^0.55
OF_DESIGN = 0.9, 1.1  # of its design current may a US bulb draw. Source: a lamp maker's page on tolerances
MOST_VOLTS = 1000.0   # V, beyond what any lamp is made for
ROUNDING = 1.001      # of watts written with three digits


@cache
def _by_name():
    found = {}
    for one in bulbs():
        found.setdefault(full_name(one), []).append(one)
    return found


def filaments_of(name):
    """Return the filaments of a bulb as a lamp names it, ``"P21W"`` or ``"P21W 24 V"``, the brighter first; or none."""
    return _by_name().get(name, []) if isinstance(name, str) else []


def full_name(one):
    """Return the name by which a lamp names the bulb of a filament, its volts with it where they are not 12. [text]"""
    return one.name if one.rated_volts == 12 else f"{one.name} {one.rated_volts:g} V"


def meant(filaments, watts=None):
    """Return the filament of a bulb that is meant: nearest to some watts, the brighter when none are given. [W]"""
    try:
        watts = read_quantity(watts, "W")
        return min(filaments, key=lambda one: max(watts / one.watts, one.watts / watts))
    except (PartError, ArithmeticError):
        return filaments[0]


def fits(one, volts, watts):
    """Tell whether a filament may draw so many watts at some volts. [V], [W]

    A UNECE bulb may at its test volts draw from what is printed on it to its
    most, a US bulb 10 % around its design.
    """
    least, most = _range(one)
    if not 0 < volts < MOST_VOLTS:
        return False
    change = (volts / one.volts) ** WATTS_POWER
    return least * change / ROUNDING <= watts <= most * change * ROUNDING


def _range(one):
    return (one.rated_watts, one.watts) if one.rated_watts else tuple(share * one.watts for share in OF_DESIGN)


def range_words(one):
    """Return the watts a filament may draw at its test volts, in words. [text]"""
    return "{:.3g} to {:.3g} W".format(*_range(one))


def marking(name):
    """Return what is printed on a bulb of that name, volts and watts by UNECE, its number in the US; or nothing."""
    found = filaments_of(name)
    if not found:
        return ""
    if not found[0].rated_watts:
        return found[0].name
    return f"{found[0].rated_volts:g} V {'/'.join(f'{one.rated_watts:g}' for one in found)} W"


def names_like(name):
    """Return the names of the family that a name looks like. [text]"""
    family = "US" if name[:1].isdigit() else "UNECE"
    return [each for each, filaments in _by_name().items() if filaments[0].family == family]

"""Flashers as they are sold, each made with the figures common for its type."""

from .flasher import NEEDING, SENSING, THERMAL_FIXED, THERMAL_VARIABLE, Flasher


def load_sensing_flasher(name, rated_load=42.0, most_load=98.0, **more):
    """Return an electronic flasher, 49 49a 31, that hurries when a lamp is out.

    Parameters
    ----------
    rated_load, most_load : float
        At 12 V; two lamps of 21 W, and at most 98 W with the hazard on, is a catalogue's common type. [W]

    >>> load_sensing_flasher("K9").terminals
    ('49', '49a', '31')
    """
    return Flasher(name, **{"type": SENSING, "rated_load": rated_load, "most_load": most_load} | more)


def load_needing_flasher(name, least_load=10.0, **more):
    """Return an electronic flasher, 49 49a, that lives on its load and tells of no lamp out.

    Parameters
    ----------
    least_load : float
        Below which it does not swing. [W]

    >>> load_needing_flasher("K9").terminals
    ('49', '49a')
    """
    return Flasher(name, **{"type": NEEDING, "least_load": least_load} | more)


def thermal_flasher(name, rated_load=53.0, volts=13.5, **more):
    """Return a two-pin flasher that works by the heat of its lamps' current.

    Parameters
    ----------
    rated_load, volts : float
        Its rate and on-share hold for lamps that draw this at so many volts. [W], [V]

    >>> thermal_flasher("K9").terminals
    ('49', '49a')
    """
    return Flasher(name, **{"type": THERMAL_FIXED, "rated_load": rated_load, "volts": volts} | more)


def variable_load_flasher(name, volts=12.8, **more):
    """Return a two-pin flasher that works by heat, whose rate hardly depends on its load and tells of no lamp out.

    Parameters
    ----------
    volts : float
        Its rate and on-share hold at these. [V]

    >>> variable_load_flasher("K9").terminals
    ('49', '49a')
    """
    return Flasher(name, **{"type": THERMAL_VARIABLE, "volts": volts} | more)

"""The curves of filaments and junctions, stated anew for the judges and solved by bracketing."""

from functools import lru_cache

import numpy as np
from scipy.optimize import brentq

COLD, RATED = 293.15, 2800.0   # K, a dark filament in a room of 20 C, and a rated one


def hot_ohms(lamp):
    """Return a lamp's resistance at its rated volts. [ohm]"""
    return lamp.volts**2 / lamp.watts


def siemens(lamp, kelvin):
    """Return what a filament conducts at a temperature. [S]"""
    return 1.0 / (hot_ohms(lamp) * (kelvin / RATED) ** 1.2)


def lost(lamp, kelvin):
    """Return what a filament radiates beyond what it gets back from its cold surroundings. [W]"""
    return lamp.watts * (kelvin**4 - around(lamp)**4) / (RATED**4 - COLD**4)


def around(lamp):
    """Return what a filament cools down to, its ambient. [K]"""
    return 273.15 + lamp.ambient


@lru_cache(maxsize=2**16)       # a search asks for current and slope at the same volts
def kelvin_at(lamp, volts):
    """Return the temperature at which what is drawn is what is lost, by bracketing. [K]"""
    if volts == 0:
        return around(lamp)
    return brentq(lambda kelvin: volts**2 * siemens(lamp, kelvin) - lost(lamp, kelvin), around(lamp), 1e5,
                  xtol=1e-11, rtol=1e-14)


@lru_cache(maxsize=2**10)
def junction(part):
    """Return (I0 [A], series ohm, volt per e-fold) of a diode or an LED lamp, from the point its record gives."""
    if part.kind == "diode":
        volts, amps, ohms, steep = part.forward_voltage, part.forward_current, part.resistance, getattr(part, "steep", 0.045)
    else:
        volts, amps, steep = part.volts, part.watts / part.volts, 0.12
        ohms = (volts - part.threshold) / (0.9 * amps)
    return amps / np.expm1((volts - ohms * amps) / steep), ohms, steep


def leak(part):
    """Return what a blocking part conducts beyond its own I0, from the leakage of its record at 12 V. [S]"""
    return max(part.leakage - junction(part)[0], part.leakage / 10) / 12


def amps_at(part, volts):
    """Return the current of a part with a curve at a voltage, its filament settled. [A]"""
    if part.kind == "lamp":
        return volts * siemens(part, kelvin_at(part, abs(volts)))
    zero, _, steep = junction(part)
    return zero * np.expm1(_across_junction(part, volts) / steep) + leak(part) * volts


def slope_at(part, volts):
    """Return how fast that current grows. [S]"""
    if part.kind == "lamp":
        kelvin = kelvin_at(part, abs(volts))
        here, loses_faster = siemens(part, kelvin), 4 * part.watts * kelvin**3 / (RATED**4 - COLD**4)
        falls = -1.2 * here / kelvin      # of siemens, by kelvin: both sides of the balance by the volts
        return here + volts**2 * falls * 2 * here / (loses_faster - volts**2 * falls)
    zero, ohms, steep = junction(part)
    grown = zero / steep * np.exp(_across_junction(part, volts) / steep)
    return grown / (1 + ohms * grown) + leak(part)


@lru_cache(maxsize=2**16)
def _across_junction(part, volts):
    """Return what of a part's volts is left for the junction itself, its series resistance taken off. [V]"""
    zero, ohms, steep = junction(part)
    low, high = (volts, volts + ohms * zero) if volts <= 0 else (0.0, min(volts, steep * np.log1p(volts / ohms / zero)))
    return brentq(lambda inner: inner + ohms * zero * np.expm1(inner / steep) - volts, low - 1e-9, high + 1e-9,
                  xtol=1e-15, rtol=1e-15)

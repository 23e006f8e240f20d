"""Lamps with two filaments on the second page: which spring of the holder is which, found with a meter before a wire is on it."""

from ...ground.errors import listed
from ...parts import TwoFilamentLamp
from ..style import safe

HOW = ("Which spring of a holder is 54 is found before a wire is on it: supply off, the bulb cold and in its holder, no other wires. Measure each "
       "spring to the shell or ground contact, 31, in ohms, and take off what the leads show held together. <b>The lower ohms lead to the bright filament: "
       "that spring is 54 (stop or turn), the other 58 (tail).</b>")


def springs(arrangement):
    """Return how the springs of lamps with two filaments are told apart, with the ohms of each bulb, cold; nothing without one. [HTML]"""
    lamps = [lamp for lamp in arrangement.of_kind(TwoFilamentLamp) if not lamp.is_single]
    if not lamps:
        return ""
    alike = {}
    for lamp in lamps:
        alike.setdefault((lamp.bulb, _words(lamp)), []).append(lamp.name)
    told = " ".join(f"{listed(names)} ({bulb}): {words}" for (bulb, words), names in alike.items())
    return f"<h2>Holders for two filaments</h2><p>{HOW} {safe(told)}</p>"


def cold_ohms(lamp):
    """Return what the bright and the weak filament of a lamp with two have when cold, however the bulb stands in its holder. [ohm]

    >>> [round(ohms, 2) for ohms in cold_ohms(TwoFilamentLamp("E1"))]
    [0.46, 1.84]
    """
    return tuple(sorted(seat.filament.cold_resistance for seat in lamp.seats))


def _words(lamp):
    bright, weak = cold_ohms(lamp)
    pins = f"{lamp.pins}, so that it goes in one way only" if lamp.pins else "It goes in without effort"
    return f"about {bright:.2f} ohm and {weak:.2f} ohm at {lamp.seats[0].ambient:g} C. {pins}: never force it."

"""How much light two lamps give beside each other at their test volts, on one measure where there is one."""


def rated_lights(one, other):
    """Return the rated light of two lamps on one measure, or None where nothing tells which is brighter. [lm], [W] or [1]

    Lamps with the same figures give the same. Filaments are told by the lumens of the catalogue, where it has them of
    both and their glass is alike, else by their watts: a small filament gives less for each watt, so this never
    makes a difference greater than it is. Between lamps of two kinds or colours nothing is told.

    >>> from .lamp import Lamp
    >>> rated_lights(Lamp("E1", bulb="R5W"), Lamp("E2", bulb="P21W")), rated_lights(Lamp("E1", watts=5.0), Lamp("E2"))
    ((50.0, 460.0), (5.0, 26.5))
    """
    if type(one) is not type(other) or one.light != other.light or not one.is_there or not other.is_there:
        return None
    if (one.volts, one.watts, one.bulb) == (other.volts, other.watts, other.bulb):
        return 1.0, 1.0
    if not one.branches()[0].device.warms:
        return None
    known = [one.judged_by, other.judged_by]
    if all(known) and known[0].glass == known[1].glass and all(each.flux for each in known):
        return known[0].flux, known[1].flux
    return tuple((known[place] if lamp.seat else lamp).watts for place, lamp in enumerate((one, other)))


def lumens_words(lamp):
    """Return a lamp's bulb and its light, as far as the catalogue knows them, else its watts. [text]"""
    known = lamp.judged_by
    light = f"{known.flux:g} lm" if known and known.flux else f"{lamp.watts:g} W"
    return f"{lamp.bulb}, {light}" if lamp.bulb else light


def light_at(lamp, volts):
    """Return the light of a lamp at rest at some volts across it, relative to rated. [V], [1]"""
    law = lamp.branches()[0].device
    return law.shine(volts, law.settled_temperature(volts) if law.warms else None)

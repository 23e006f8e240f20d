"""What a wire, a relay contact and a lamp may carry for long, and how soon more than that does damage.

While heat has no time to leave a wire, I^2 t = k^2 S^2 with
k = 226 sqrt(ln(1 + (T2 - T1) / (234.5 + T1))), copper from T1 to T2 (BS 7671,
IEC 60364-5-54; constants of IEC 60949). That holds for some five seconds;
beyond them heat leaves, and the time found is the least it can take. PVC is
spoilt at 160 C (the same standards).

A relay contact stands what the fuse before it lets through: a mini relay of
35 A 1.35, 2, 3.5 and 6 times as much for 1800, 5, 0.5 and 0.1 s (relay
maker's sheet, after ISO 8820-3).
"""

import re
from functools import cache
from math import exp, log, sqrt

from ..ground.quantities import awg_to_mm2, say
from .tables import table

TABLE = "chassis wiring"                        # what a wire may carry for long: one table wherever the kit says it
SPOILT = 160.0                                  # C, of PVC. Source: BS 7671, IEC 60364-5-54
CONTACT_CARRIES = {"87": 35.0, "87a": 25.0}     # A, all day at 85 C. Source: a mini relay sheet
STANDS = ((1.35, 1800.0), (2.0, 5.0), (3.5, 0.5), (6.0, 0.1))   # times its amperes, s. Source: the same sheet
SLACK = 1.005                                   # so that an area rounded to three digits still counts as its gauge
OVERVOLTED = 1.25                               # times its test volts, from where on a lamp is told: common practice
HELD_OFF = 20 / 12                              # of a flasher's rated volts, above which a chip holds its relay off to save the bulbs. Source: a chip's sheet
COIL_STANDS = 1.6                               # times a coil's nominal volts for long, some 2.5 times its watts: common practice; a sheet allows 24 V for 5 minutes
TOUCH_BURNS = 20.0                              # W in one place that touches, with which it glows: from memory
WARM = 2.0                                      # W in one joint, from where on its heat is told: from memory, a few melt what is around it
BAD_JOINT = 0.02                                # ohm, from where on a joint is looked at by itself: twenty times a sound one
ADIABATIC = 5.0                                 # s, for which the formula holds


@cache
def carries_for_long(area):
    """Return what a wire may carry all the time by the table of chassis wiring. [A]

    Between the gauges listed it counts as the thinner; thinner than all of them it has its share of the thinnest, and
    thicker the power law of the last step.

    >>> carries_for_long(1.0), round(carries_for_long(16.0), 1)
    (8.1, 74.5)
    """
    return _carries(area, TABLE)


@cache
def most_in_any_table(area):
    """Return the most that any of the kit's tables lets a wire carry, such as one with insulation for 105 C in free air. [A]

    >>> most_in_any_table(1.0)
    20.0
    """
    return max(_carries(area, name) for name in dict.fromkeys(row["table"] for row in table("ampacity")))


def _carries(area, name):
    lines = sorted((awg_to_mm2(row["gauge [AWG]"]), row["carries [A]"]) for row in table("ampacity") if row["table"] == name)
    fitting = [amps for copper, amps in lines if copper <= area * SLACK]
    if not fitting:
        return lines[0][1] * area / lines[0][0]
    if len(fitting) < len(lines):
        return fitting[-1]
    (thin, less), (thick, most) = lines[-2:]
    return most * (area / thick) ** (log(most / less) / log(thick / thin))


def adiabatic_constant(begin, end=SPOILT):
    """Return k of copper that warms from one temperature to another: amperes for a second and a square millimetre.

    >>> round(adiabatic_constant(70.0)), round(adiabatic_constant(30.0))
    (115, 143)
    """
    return 226 * sqrt(log(1 + (end - begin) / (234.5 + begin))) if end > begin else 0.0


def wire_seconds(area, amps, temperature):
    """Return in how long a current spoils a wire's PVC, no heat leaving it. [s]"""
    return (adiabatic_constant(temperature) * area / amps) ** 2


def contact_seconds(times):
    """Return how long a contact stands so many times what it carries for long, straight between points on log scales. [s]

    >>> round(contact_seconds(2.0), 6), round(contact_seconds(4.0), 2)
    (5.0, 0.34)
    """
    for (low, longer), (high, shorter) in zip(STANDS, STANDS[1:]):
        if times <= high or high == STANDS[-1][0]:
            share = log(times / low) / log(high / low)
            return exp(log(longer) + share * log(shorter / longer))
    raise AssertionError("no points")


def wire_words(name, amps, area, temperature):
    """Say that a wire carries more than it may, and what comes of it, or nothing. [text]

    A current that another table of the kit allows, for a wire that lies in free air or has better insulation, only warms
    it more than it should. Beyond all of them it overheats; how soon is told by the adiabatic formula.
    """
    may = carries_for_long(area)
    if float(f"{amps:.3g}") <= float(f"{may:.3g}"):
        return ""
    says = f"{name} carries {say(amps, 'A')}, and {area:g} mm2 may carry {say(may, 'A')} for long (table '{TABLE}')"
    most = most_in_any_table(area)
    if amps <= most:
        return f"{says}: it gets warmer than it should in a loom. In free air, with insulation for more heat, it may carry {say(most, 'A')}"
    seconds = wire_seconds(area, amps, temperature)
    when = f"in {say(seconds, 's')}" if seconds <= ADIABATIC else f"after {seconds:.0f} s at the soonest"
    return f"{says}: it overheats, and its insulation is spoilt {when}"


def contact_words(name, contact, amps, may):
    """Say that a contact carries more than it may and how long it stands that, or nothing. [text]"""
    if float(f"{amps:.3g}") <= may:
        return ""
    times = amps / may
    when = "for half an hour or longer" if times <= STANDS[0][0] else f"for {say(contact_seconds(times), 's')}"
    return (f"{name} carries {say(amps, 'A')} through {contact}, made for {may:g} A for long: "
            f"it overheats, and stands that {when}")


def pin_words(name, amps, may):
    """Say that a connector's contact carries more than its kind is made for, where that is known, or nothing. [text]"""
    if may is None or float(f"{amps:.3g}") <= may:
        return ""
    return (f"{name} carries {say(amps, 'A')}, made for {may:g} A for long: its contact gets too hot, loses its spring and melts what holds it")


def effective_amps(share, on, off):
    """Return the steady current that heats as much on average as one for a share of the time and another for the rest. [A]

    >>> effective_amps(0.5, 4.0, 4.0), round(effective_amps(0.5, 4.0, 0.0), 3)
    (4.0, 2.828)
    """
    return (share * on**2 + (1 - share) * off**2)**0.5


def touch_words(name, where, watts):
    """Say that a bad joint, or two things that touch, turn so much into heat there that it may set fire, or nothing. [text]"""
    if watts < TOUCH_BURNS:
        return ""
    return f"{name} turns {say(watts, 'W')} into heat {where} alone: it glows there and may set fire to what is near"


def overheated_thing(words):
    """Return which thing one of the sentences of this room speaks of. [text]

    >>> overheated_thing("the touch of E1:1 and X1:9 turns 43.5 W into heat there alone: it glows")
    'the touch of E1:1 and X1:9'
    """
    return re.split(" (?:carries|turns|has) ", words, maxsplit=1)[0]


def bar_words(name, bar, amps, may):
    """Say that a bar of a block carries more than it is sold for, or nothing. [text]"""
    if float(f"{amps:.3g}") <= may:
        return ""
    return f"{name} carries {say(amps, 'A')} over its {bar}, made for {may:g} A for long: it gets too hot for its housing"


def resistor_words(name, watts, most):
    """Say that a resistor turns more into heat on average than it is sold for, or nothing. [text]"""
    if float(f"{watts:.3g}") <= most:
        return ""
    return f"{name} turns {say(watts, 'W')} into heat on average and is made for {say(most, 'W')}: it gets too hot, for itself and for what it lies on"


def coil_words(name, volts, nominal):
    """Say that a relay's coil has more volts than it stands for long, or nothing. [text]"""
    if volts <= COIL_STANDS * nominal:
        return ""
    return f"{name} has {say(volts, 'V')} across its coil, {volts / nominal:.1f} times the {nominal:g} V it is made for: it burns out within minutes"


def held_off_words(name, volts, rated):
    """Say that an electronic flasher has so many volts that it may hold its lamps off to save them, or nothing. [text]"""
    if volts <= HELD_OFF * rated:
        return ""
    return (f"{name} has {say(volts, 'V')} and is made for {say(rated, 'V')}: one that guards its lamps holds them off above some "
            f"{say(HELD_OFF * rated, 'V')}, and then nothing flashes")


def lamp_words(name, volts, rated, fate):
    """Say that a lamp has far more volts than it is made for, and what becomes of it. [text]"""
    return f"{name} has {say(volts, 'V')}, {volts / rated:.1f} times the {say(rated, 'V')} it is made for: {fate}"


def diode_words(name, amps, may):
    """Say that a diode carries more than it is made for, or nothing. [text]"""
    if float(f"{amps:.3g}") <= may:
        return ""
    return f"{name} carries {say(amps, 'A')}, made for {may:g} A for long: it may be gone, open or shorted, so meter it"

"""With the engine running: a charging system holds more volts than a battery at rest, and more flows through everything.

Fuses, wires and contacts are judged a second time there, and what is kept at rest and broken then is told as broken. A
fuse is judged by the current that heats it as much on average as a flasher that goes on and off; at rest a
flashing lamp counts as if it were on for good. Lamps live shorter there, by the law of their life.
"""

from dataclasses import dataclass, replace

from ...ground.quantities import say
from ...parts import Battery, Lamp, LedLamp
from .loads import FLOWS, survey, where

VOLTS = 14.4 / 12           # of a system's volts, the most that a charging system holds: common practice, 13.8 to 14.4 V of 12 V
SYSTEMS = 6.0, 12.0, 24.0, 48.0     # V, of vehicles: common practice
OF_SYSTEM = 0.8, 1.25       # of a system's volts, between which a battery is one of that system: the kit's own
AGAIN = ("the lamp stands its volts", "the coil stands its volts", "the wire carries the load", "nothing glows where two things meet",
         "the contact carries the load", "the pin carries the load", "the bar carries the load", "the diode carries the load", "the resistor stands its heat")


@dataclass(frozen=True)
class Running:
    """What differs with the engine running.

    Attributes
    ----------
    volts : float
        Of all batteries together. [V]
    fuses : tuple of (str, float, float, float)
        Each fuse, its rating, the most that flows at rest volts, and what heats it most with the engine running. [A]
    lamp : str
        The one that gets most of what it is made for; empty where none is lit. [text]
    lamp_volts, life : float
        What it gets then, and how long it lives, relative to its life at its test volts. [V], [1]
    survey : Survey
        Every row there.
    """

    volts: float
    fuses: tuple
    lamp: str
    lamp_volts: float
    life: float
    survey: object


def charged(battery):
    """Return a battery at the volts a charging system of its vehicle holds, or as it is where it has as much or is no vehicle's. [V]

    >>> charged(Battery("G1", 12.6)).voltage, charged(Battery("G1", 25.2)).voltage, charged(Battery("G1", 15.0)).voltage
    (14.4, 28.8, 15.0)
    """
    least, most = OF_SYSTEM
    system = next((volts for volts in SYSTEMS if least * volts <= battery.voltage <= most * volts), 0.0)
    return replace(battery, voltage=max(battery.voltage, round(VOLTS * system, 6)))


def running(surveyed):
    """Return what differs with the engine running, or None where the batteries have as much anyway."""
    arrangement = surveyed.arrangement
    full = [charged(battery) for battery in arrangement.of_kind(Battery)]
    if full == [*arrangement.of_kind(Battery)] or not surveyed.loads:
        return None
    there = survey(arrangement.with_parts(*full), played=False)
    if not there.loads:
        return None
    fuses = tuple((fuse.name, fuse.rating, surveyed.load(fuse.name).amps, max(point.effective(fuse.name) for point in there.points))
                  for fuse in arrangement.parts if fuse.guards)
    lit = [(abs(load.point.lamp_volts(load.part)), arrangement.part(load.part)) for load in there.loads
           if isinstance(lamp := arrangement.part(load.part), Lamp) and not isinstance(lamp, LedLamp) and load.amps > FLOWS]
    volts, lamp = max(lit, key=lambda each: each[0] / each[1].volts, default=(0.0, None))
    return Running(sum(battery.voltage for battery in full), fuses, lamp.name if lamp else "", volts, lamp.relative_life(volts) if lamp else 1.0, there)


def broken_while_running(found, kept, ran, limits, finding):
    """Yield what is kept at rest and broken with the engine running.

    Parameters
    ----------
    found : iterable of Finding
        Those at the volts there.
    kept : set of (str, str)
        Rules kept at rest, each with its part. [text]
    ran : Running
    limits : Limits
    finding : callable
        Makes one finding.
    """
    at = f"with the engine running ({say(ran.volts, 'V')})"
    for each in found:
        if each.rule in AGAIN and not each.is_kept and (each.rule, each.part) in kept:
            part, _, says = each.sentence.partition(": ")
            yield replace(each, sentence=f"{part}: {at} {says}")
    for name, rating, _, amps in ran.fuses:
        if ("the fuse carries the load", name) in kept and amps > limits.load_share * rating:
            most = max(ran.survey.points, key=lambda point: point.effective(name))
            says = f"{at} {amps:.2f} A, {100 * amps / rating:.0f} % of its rating, heat it on average with {where(most)}"
            each = finding("the fuse carries the load", name, says, amps, limits.load_share * rating, "A")
            yield from () if each.is_kept else (each,)

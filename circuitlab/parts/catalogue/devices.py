"""Lamps, relays, fuses, flashers, diodes and LED lamps by name.

Where a sheet states a limit, the part is made as bad as the sheet allows: a
relay operates only at the volts where it must, a diode drops the most it may.
"""

import re

from ...ground.errors import PartError, UnknownName, listed, shown, unknown_name
from ...ground.quantities import read_quantity
from ..branch import JOINT
from ..bulbs import bulb
from ..conductors import Resistor
from ..flasher import Flasher
from ..fuse import Fuse
from ..lamp import Lamp
from ..relay import Relay
from ..semiconductors import Diode, LedLamp
from ..tables import find, named, table


def lamp(name, bulb_name, filament=None, rated_volts=12.0, family=None, light=None, place="", note=""):
    """Return a lamp with the figures of a bulb in the catalogue.

    Parameters
    ----------
    name : str
        Of the part, such as ``"E1"``. [text]
    bulb_name, filament, rated_volts, family
        As :func:`bulb` takes them. [text], [text], [V], [text]
    light : {"red", "amber", "white"}, optional
        What the lit lamp shows; amber glass shows amber. [text]

    Examples
    --------
    >>> tail = lamp("E1", "P21/5W", filament="minor", place="rear left")
    >>> tail.watts, tail.volts, tail.note
    (6.6, 13.5, 'minor filament')
    """
    found = bulb(bulb_name, filament, rated_volts, family)
    if found.glass == "amber":
        if light not in (None, "amber"):
            raise PartError(f"lamp '{name}': a {found.name} has amber glass and cannot show {shown(light)}. "
                            "Choose a bulb of clear glass.", part=name)
        light = "amber"
    suffix = "" if found.rated_volts == 12 else f" {found.rated_volts:g} V"
    if not note and found.filament != "single":
        note = f"{found.filament} filament"
    return Lamp(name, found.volts, found.watts, found.name + suffix, place=place, note=note,
                **({"light": light} if light else {}))


def relay(name, kind, place="", note=""):
    """Return a relay with the figures of a sheet; what the sheet leaves out is the kit's default.

    Parameters
    ----------
    name, kind : str
        Of the part, such as ``"K1"``; of the relay in the catalogue, such as ``"mini 85 ohm"``. [text]

    Examples
    --------
    >>> relay("K1", "mini 85 ohm").pull_in_voltage
    8.0
    """
    row = find("relays", "relay", kind)
    drop = row["make drop at 10 A [mV]"]
    given = {"coil_resistance": row["coil [ohm]"], "pull_in_voltage": row["operates at most [V]"],
             "drop_out_voltage": row["releases at least [V]"], "operate_time": _thousandth(row["operate [ms]"]),
             "release_time": _thousandth(row["release [ms]"]),
             "contact_resistance": None if drop is None else max(JOINT, drop / 10 / 1000)}
    return Relay(name, row["contact"], place=place, note=note,
                 **{field: value for field, value in given.items() if value is not None})


def _thousandth(value):
    return None if value is None else value / 1000


def _fuse_row(kind):
    """Return the row of a fuse given as a number, as ``"7.5 A"`` or as ``"mini blade 7.5 A"``."""
    words = re.match(r"\s*(\D*?)\s*([\d.,].*)$", named(kind)[:100])
    families = list(dict.fromkeys(row["family"] for row in table("fuses")))
    if not words:
        raise PartError(f"{shown(kind)} is no fuse. Write its rating, such as '7.5 A', with {listed(families)} before it "
                        "when it is not a regular blade.", got=kind)
    family, rating = words[1] or "blade", read_quantity(words[2], "A")
    if family not in families:
        raise unknown_name("the kit's catalogue", "family of fuses", family, families)
    rows = [row for row in table("fuses") if row["family"] == family]
    for row in rows:
        if row["rating [A]"] == rating:
            return row
    ratings = [row["rating [A]"] for row in rows]
    near = [f"{pick(side):g} A" for pick, side in ((max, [one for one in ratings if one < rating]),
                                                   (min, [one for one in ratings if one > rating])) if side]
    raise UnknownName(f"no {family} fuse of {rating:g} A is made. The nearest: {' and '.join(near)}.",
                      kind="fuse", name=kind, allowed=ratings)


def fuse(name, kind, place="", note=""):
    """Return a fuse of a rating that is made, its colour and family in the note.

    Parameters
    ----------
    name : str
        Of the part, such as ``"F1"``. [text]
    kind : str or float
        A rating, and its family when it is not a regular blade: ``10``, ``"7.5 A"``, ``"mini blade 5 A"``. [text], [A]

    Examples
    --------
    >>> fuse("F1", "7.5 A").note
    'brown blade'
    """
    row = _fuse_row(kind)
    return Fuse(name, row["rating [A]"], place=place, note=note or f"{row['colour']} {row['family']}",
                family=row["family"])


def fuse_colour(kind):
    """Return the colour of a fuse's body. [text]

    >>> fuse_colour("15 A"), fuse_colour("maxi blade 30 A")
    ('blue', 'light green')
    """
    return _fuse_row(kind)["colour"]


def flasher(name, kind, place="", note=""):
    """Return a flasher unit with the figures of a catalogue.

    One that tells of a lamp out, or works by its lamps' heat, is taken to be made for two lamps of 21 W.

    Parameters
    ----------
    name, kind : str
        Of the part, such as ``"K9"``; of the unit in the catalogue, such as
        ``"electronic with lamp-out sensing 98 W"`` or ``"thermal fixed load"``. [text]

    Examples
    --------
    >>> flasher("K9", "electronic with lamp-out sensing 98 W, pilot").terminals
    ('49', '49a', '31', 'C')
    """
    row = find("flashers", "flasher", kind)
    given = {"least_load": row["least load [W]"], "rated_load": row["rated load [W]"], "most_load": row["most load [W]"]}
    given = {field: value for field, value in given.items() if value is not None}
    return Flasher(name, row["rate [1/min]"], row["on share [%]"] / 100, row["type"], place, note or f"{row['flasher']} unit",
                   "C" in row["terminals"].split(), **given)


def diode(name, kind, place="", note=""):
    """Return a diode with the figures of a sheet.

    Parameters
    ----------
    name, kind : str
        Of the part, such as ``"V1"``; of the diode, such as ``"1N4007"``. [text]

    >>> diode("V1", "1N4001").blocks
    50.0
    """
    row = find("diodes", "diode", kind)
    return Diode(name, row["drops at most [V]"], row["at [A]"], place=place,
                 note=note or f"{kind}, up to {row['carries [A]']:g} A", carries=row["carries [A]"],
                 blocks=row["blocks [V]"], **_leakages(row))


def led_lamp(name, kind="turn or stop", load=None, light="red", place="", note=""):
    """Return an LED lamp that stands in for a bulb, with or without a load resistor.

    Parameters
    ----------
    name, kind : str
        Of the part, such as ``"E1"``; in the catalogue, such as ``"turn or stop"``. [text]
    load : str, optional
        A load resistor of the catalogue built in or clipped across, such as ``"one lamp"``. [text]

    >>> led_lamp("E1").watts
    4.05
    """
    row = find("leds", "LED lamp", kind)
    found = None if load is None else find("load_resistors", "resistor", load)
    more = {} if load is None else {"load_resistance": found["resistance [ohm]"], "load_watts": found["rated [W]"]}
    return LedLamp(name, row["at [V]"], row["draws [A]"] * row["at [V]"], f"LED for {row['replaces [W]']:g} W",
                   light, place, note, **more, **_leakages(row))


def _leakages(row):
    """Return how much a diode or an LED leaks when it blocks, typically and at most. [A]"""
    return {"leakage": row["leaks typically [uA]"] / 1e6, "highest_leakage": row["leaks at most [uA]"] / 1e6}


def load_resistor(name, kind="one lamp", place="", note=""):
    """Return a load resistor that makes LED lamps draw like bulbs, as a part of its own.

    Parameters
    ----------
    name, kind : str
        Of the part, such as ``"R1"``; in the catalogue, such as ``"one lamp"``. [text]

    >>> load_resistor("R1").resistance
    6.0
    """
    row = find("load_resistors", "resistor", kind)
    return Resistor(name, row["resistance [ohm]"], place=place,
                    note=note or "gets hot: screw it to bare metal", rated_watts=row["rated [W]"])

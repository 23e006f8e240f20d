"""Filament bulbs by name: UNECE categories and US trade numbers, side by side.

The two worlds rate differently. A UNECE category states the most watts a bulb
may draw at a test voltage of 13.5 V; a US trade number states a design
current, at 12.8 V for a bright filament and 14.0 V for a dim one. Near names
share cap and number of filaments, but neither watts nor light are the same.
"""

from dataclasses import dataclass
from functools import cache

from ..ground.errors import PartError, UnknownName, listed, shown, unknown_name
from ..ground.quantities import read_quantity
from .tables import named, table

FAMILIES = {"UNECE": "UNECE category", "US": "US trade number"}


@dataclass(frozen=True)
class Bulb:
    """One filament of a bulb in the catalogue.

    Parameters
    ----------
    name, filament, family, near : str
        Its name; ``single``, ``major`` or ``minor``; ``UNECE`` or ``US``; the name nearest to it in the
        other family, or nothing. [text]
    rated_volts : float
        Of the supply it is made for: 6, 12 or 24. [V]
    rated_watts : float or None
        Printed on a UNECE bulb. [W]
    volts, watts : float
        Test voltage, and what it draws there: at most (UNECE) or by design (US). [V], [W]
    flux, life : float or None
        At test voltage, where known. [lm], [h]
    cap, glass, mark, source : str
        Cap (IEC 60061), ``clear`` or ``amber``, how well the figures are known, where they come from. [text]
    """

    name: str
    filament: str
    family: str
    near: str
    rated_volts: float
    rated_watts: float | None
    volts: float
    watts: float
    flux: float | None
    life: float | None
    cap: str
    glass: str
    mark: str
    source: str

    def __str__(self):
        which = "" if self.filament == "single" else f" {self.filament} filament"
        how = "at most " if self.family == "UNECE" else ""
        more = [f"{self.flux:g} lm"] if self.flux else []
        more += [f"cap {self.cap}"] if self.cap else []
        return (f"{self.name}{which} ({FAMILIES[self.family]}): "
                + ", ".join([f"{how}{self.watts:g} W at {self.volts:g} V", *more]))


@cache
def bulbs():
    """Return every filament of every bulb in the catalogue."""
    return tuple(Bulb(row["bulb"], row["filament"], row["family"], row["near name"], row["rated [V]"], row["rated [W]"],
                      row["test [V]"], row["draws [W]"], row["flux [lm]"], row["life [h]"], row["cap"], row["glass"], row["mark"],
                      row["source"]) for row in table("lamps"))


def bulb(name, filament=None, rated_volts=12.0, family=None):
    """Return one filament of a bulb by its UNECE category or US trade number.

    Parameters
    ----------
    name : str
        Such as ``"P21W"``, ``"P21/5W"`` or ``"1156"``. [text]
    filament : {"major", "minor"}, optional
        Needed for a bulb with two. [text]
    rated_volts : float
        6, 12 or 24. [V]
    family : {"UNECE", "US"}, optional
        Which of the two a name has to belong to; either, when not given. [text]

    Raises
    ------
    UnknownName
        When the catalogue does not have that bulb, or not for that voltage.
    PartError
        When the bulb is of the other family, or which filament is meant is not clear.

    >>> bulb("P21W").watts
    26.5
    """
    name, rated_volts = named(name), read_quantity(rated_volts, "V")
    if family is not None and (not isinstance(family, str) or family not in FAMILIES):
        raise unknown_name("the kit's catalogue", "family of bulbs", family, FAMILIES)
    _check_family(name, family)
    of_name = _of_name(name)
    found = [one for one in of_name if one.rated_volts == rated_volts]
    if not found:
        volts = [f"{one:g} V" for one in dict.fromkeys(one.rated_volts for one in of_name)]
        raise UnknownName(f"the kit's catalogue has no {rated_volts:g} V bulb '{name}'. It has {name} for "
                          f"{listed(volts)}.", kind="bulb", name=name, allowed=volts)
    if len(found) == 1:
        if filament not in (None, "single"):
            raise PartError(f"{name} has one filament, so there is no {shown(filament)} one. Leave 'filament' out.",
                            name=name)
        return found[0]
    by_filament = {one.filament: one for one in found}
    if not isinstance(filament, str) or filament not in by_filament:
        raise PartError(f"{name} has two filaments, major ({by_filament['major'].watts:g} W) and minor "
                        f"({by_filament['minor'].watts:g} W), got filament={shown(filament)}. Say 'major' or 'minor'; "
                        "where both are wired they are two lamps.", name=name)
    return by_filament[filament]


def near_names(name, rated_volts=12.0):
    """Return a bulb and those nearest to it in the other family, each in words.

    Parameters
    ----------
    name : str
        A UNECE category or a US trade number. [text]
    rated_volts : float
        6, 12 or 24. [V]

    Returns
    -------
    dict
        Name to its filaments in words; the bulb itself first.

    Examples
    --------
    >>> list(near_names("P21W"))
    ['P21W', '1156']
    """
    name, rated_volts = named(name), read_quantity(rated_volts, "V")
    mine = [one for one in _of_name(name) if one.rated_volts == rated_volts]
    pointed = [one.near for one in mine if one.near]
    pointing = [one.name for one in bulbs() if one.near == name and one.rated_volts == rated_volts]
    return {each: "; ".join(str(one) for one in bulbs() if (one.name, one.rated_volts) == (each, rated_volts))
            for each in dict.fromkeys([*(one.name for one in mine), *pointed, *pointing])}


def _of_name(name):
    """Return the bulbs of a name, or raise UnknownName with the names of the family it looks like."""
    found = [one for one in bulbs() if one.name == name]
    if not found:
        family = "US" if name.isdecimal() else "UNECE"
        names = list(dict.fromkeys(one.name for one in bulbs() if one.family == family))
        raise unknown_name("the kit's catalogue", "bulb", name, names)
    return found


def _check_family(name, family):
    """Raise a PartError that sets both names side by side when a name is of the other family."""
    found = _of_name(name)[0]
    if family in (None, found.family):
        return
    sentence = f"{name} is a {FAMILIES[found.family]}, and a {FAMILIES[family]} is asked for. "
    near = next((one for one in bulbs() if one.name == found.near and one.rated_volts == found.rated_volts), None)
    if near:
        sentence += (f"The nearest is {near.name}, with {near.watts:g} W at {near.volts:g} V instead of "
                     f"{found.watts:g} W at {found.volts:g} V: near, not the same.")
    else:
        sentence += f"The catalogue knows no near {FAMILIES[family]}; choose one by its cap ({found.cap}) and watts."
    raise PartError(sentence, name=name, near=found.near)

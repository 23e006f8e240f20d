"""What parts and wires may carry and lose: every limit with the place it was read, or what kind of memory it is.

Published tables differ by a factor of two and more for the same wire, because
they mean different insulation, bundling and surroundings. None of them is
hidden behind a number here: whoever asks names the table.
"""

from dataclasses import dataclass, fields
from functools import cache

from ...arrangements.bare_runs import BARE_RUN
from ...ground.arguments import TEXT, must_be
from ...ground.errors import PartError, unknown_name
from ...parts.catalogue import ampacity_tables, table
from ...parts.making import Maker
from ...parts.overheating import TABLE

FUSE_FOR_WIRE = "fuse for wire"   # a table of the largest fuse, not of what a wire carries

AWG_GAUGES = (22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3)   # -1 is 2/0 and so on. Source: ASTM B258
SAE_CIRCULAR_MILS = {18: 1537, 16: 2336, 14: 3702, 12: 5833, 10: 9343}   # least. Source: marine dealers' wire table
METRIC_AREAS = (0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0)
# mm2. Source: IEC 60228 from 0.5 mm2 on; 0.35 mm2 is a size of ISO 6722, from memory

CONTACT_MAKES = {"87": 120.0, "87a": 45.0}     # A, at the moment of closing
CONTACT_NEEDS = 1.0                            # A, the least that keeps a contact of this class clean
RELAY_SHEET = "a maker's mini ISO relay sheet, 35/50 A class"

_HIGHEST = {"load_share": 1, "lost_share": 1, "bare_run": 100, "coil_temperature": 250}     # of a limit; of all others 60


@cache
def ampacity(name):
    """Return ``({AWG: A}, source)`` of one of the kit's tables, or raise UnknownName.

    Examples
    --------
    >>> ampacity("chassis wiring")[0][16]
    11.5
    """
    if name == FUSE_FOR_WIRE:
        rows, column = table("fuse_for_wire"), "largest fuse [A]"
    else:
        rows, column = [row for row in table("ampacity") if row["table"] == name], "carries [A]"
    if not rows:
        raise unknown_name("the kit", "ampacity table", name, (*ampacity_tables(), FUSE_FOR_WIRE))
    lines = {int(row["gauge [AWG]"]): row[column] for row in rows}
    return lines, "; ".join(dict.fromkeys(row["source"] for row in rows))


def fuse_ratings(family="blade"):
    """Return the ratings in which fuses of a family are made. [A]"""
    return tuple(row["rating [A]"] for row in table("fuses") if row["family"] == family)


@dataclass(frozen=True)
class Limits(metaclass=Maker):
    """The limits a circuit is judged by; each default has its source in :data:`RULES`.

    Parameters
    ----------
    table : str
        Which ampacity table wires are held to. [text]
    load_share : float
        Of a fuse's rating that may flow all day: 0.75 to 0.80. [1]
    lost_share : float
        Of the battery's volts that may be lost on the way there and back; 0.03 where the load is critical. [1]
    joint, wire, contact, fuse : float
        Volts that may be lost in one of them. [V]
    leg, long_leg : float
        Volts that may be lost on a leg with one contact at most, and with more. [V]
    ground : float
        Volts that may be lost on a leg that goes over the frame, without a contact in it. [V]
    bare_run : float
        Wire between the battery and the first fuse. [m]
    coil_temperature : float
        Of a relay coil that has been on for long. [C]
    flasher : float
        Volts that may be lost in a flasher while its output is on, its heater too. [V]
    converter : float
        Volts that may be lost in a converter's channel. [V]

    >>> Limits().lost_share
    0.1
    """

    table: str = TABLE
    load_share: float = 0.80
    lost_share: float = 0.10
    joint: float = 0.05
    wire: float = 0.2
    contact: float = 0.3
    fuse: float = 0.125
    leg: float = 0.5
    long_leg: float = 1.0
    ground: float = 0.2
    bare_run: float = BARE_RUN
    coil_temperature: float = 85.0
    flasher: float = 0.5
    converter: float = 0.5

    def __post_init__(self):
        must_be(self.table, TEXT, "table", "Limits")
        ampacity(self.table)
        for name in (field.name for field in fields(self) if field.name != "table"):
            value, high = getattr(self, name), _HIGHEST.get(name, 60)
            if not isinstance(value, (int, float)) or isinstance(value, bool) or not 0 < value <= high:
                raise PartError(f"limit '{name}' must be a number above 0 and at most {high}, got {value!r}.",
                                got=value)

    def of_leg(self, contacts, over_frame=False):
        """Return what may be lost on a leg with so many contacts: more where more than one lies in it, less over the frame without any. [V]

        >>> [Limits().of_leg(contacts) for contacts in range(4)], Limits().of_leg(0, over_frame=True)
        ([0.5, 0.5, 1.0, 1.0], 0.2)
        """
        if over_frame and not contacts:
            return self.ground
        return self.leg if contacts < 2 else self.long_leg


@dataclass(frozen=True)
class SizingRule:
    """One rule of sizing.

    Attributes
    ----------
    name : str
        In words, as findings quote it. [text]
    side : {"at most", "at least", ""}
        On which side of the limit a value keeps the rule; empty where there is no number. [text]
    source : str
        Where the limit comes from. [text]
    is_fire_risk : bool
        Whether a wire may burn where it is broken. [yes/no]
    """

    name: str
    side: str
    source: str
    is_fire_risk: bool = False


_SCREEN = "service manual, limits it credits to SAE"
_CARRY = "the ampacity table named"
RULES = {rule.name: rule for rule in (
    SizingRule("the battery is the right way round", "", "common practice: what the arrangement says of its frame"),
    SizingRule("the lamp stands its volts", "at most", "common practice: 1.25 times its test volts"),
    SizingRule("the coil stands its volts", "at most", "common practice: 1.6 times its nominal volts; a mini relay's sheet: 2 times for "
                                                       "5 minutes"),
    SizingRule("no row is restless or shorted", "", "the kit's own: what has no answer cannot be sized"),
    SizingRule("a fuse ahead of every load", "", "common practice", True),
    SizingRule("the fuse sits at the battery", "at most", "common practice, 30 cm; ABYC E-11, from memory: 18 cm", True),
    SizingRule("the rating is one that is made", "", "three published lists of blade fuse colours"),
    SizingRule("the fuse carries the load", "at most", "common practice: 75 to 80 % of its rating all day"),
    SizingRule("the fuse lives through the inrush", "", "the kit's fuse law, gates of ISO 8820-3 type C from memory"),
    SizingRule("the fuse guards its thinnest wire", "at most", f"ABYC E-11, from memory, by {_CARRY}", True),
    SizingRule("the wire carries the load", "at most", _CARRY, True),
    SizingRule("nothing leaks where two places touch", "", "common practice"),
    SizingRule("nothing glows where two things meet", "at most", "from memory: 20 W in one place; a few melt what is around it", True),
    SizingRule("little is lost in a joint", "at most", f"{_SCREEN}: small connections 0 V, read as under 50 mV"),
    SizingRule("little is lost in a wire", "at most", f"{_SCREEN}: 0.2 V in a cable"),
    SizingRule("little is lost in a contact", "at most", f"{_SCREEN}: 0.3 V in a contact"),
    SizingRule("little is lost in a flasher", "at most", "SAE J945, as a summary of it has it: 0.5 V on average while it is on"),
    SizingRule("little is lost in a converter", "at most", "a published circuit for one: 0.5 V in a good one, about 2.5 V in simple ones"),
    SizingRule("little is lost in a fuse", "at most", "DIN 72581-3: 125 mV at rated current"),
    SizingRule("little is lost on one leg", "at most", "service test methods: about 0.5 V in a simple circuit, here "
                                                       "one "
               f"contact at most; else the {_SCREEN}: over 1 V is a fault"),
    SizingRule("little is lost on the ground side", "at most", "common practice: 0.2 V on the ground side of a small circuit wants a look, as study notes and an "
               "engine maker's manual have it; that manual and a training site: under 0.1 V from the ground point on is good"),
    SizingRule("the load keeps its volts", "at most", "ABYC E-11: 10 % lost, 3 % where the load is critical"),
    SizingRule("the contact carries the load", "at most", f"{RELAY_SHEET}: 35 A make, 25 A break at 85 C"),
    SizingRule("the contact stands the inrush", "at most", f"{RELAY_SHEET}: 120 A make, 45 A break"),
    SizingRule("the pin carries the load", "at most", "its connector's standard, as summarised: SAE J1239, 7.5 A a lamp circuit; SAE J2863, 5 A a signal circuit"),
    SizingRule("the diode carries the load", "at most", "its sheet"),
    SizingRule("the bar carries the load", "at most", "what is printed on its block"),
    SizingRule("the resistor stands its heat", "at most", "its sheet; screwed to metal"),
    SizingRule("the flasher carries its lamps", "at most", "its sheet"),
    SizingRule("the contact is kept clean", "at least", f"{RELAY_SHEET}: least load 1 A"),
    SizingRule("the coil pulls in when warm", "at least", "a maker's note on coil temperature: the pull-in current stays"),
)}

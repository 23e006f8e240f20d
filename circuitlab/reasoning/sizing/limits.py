"""What parts and wires may carry and lose: every limit with the place it was read, or what kind of memory it is.

Published tables differ by a factor of two and more for the same wire, because
they mean different insulation, bundling and surroundings. None of them is
hidden behind a number here: whoever asks names the table.
"""

from dataclasses import dataclass

from ...ground.errors import PartError, unknown_name

AMPACITY = {  # table: ({AWG: A}, source); a wire counts as the largest gauge listed that has no more copper
    "chassis wiring": ({18: 8.1, 16: 11.5, 14: 16.2, 12: 23.0, 10: 32.5}, "old handbook table of chassis wiring"),
    "free air, 60 C insulation": ({18: 13.0, 16: 18.0, 14: 25.0, 12: 30.0, 10: 40.0},
                                  "Lessons in Electric Circuits, DC, conductor ampacity at 30 C; 18 and 16 AWG estimates"),
    "free air, 90 C insulation": ({18: 18.0, 16: 24.0, 14: 35.0, 12: 40.0, 10: 55.0},
                                  "Lessons in Electric Circuits, DC, conductor ampacity at 30 C"),
    "marine, 105 C insulation": ({18: 20.0, 16: 25.0, 14: 35.0, 12: 45.0, 10: 60.0, 8: 80.0},
                                 "ABYC E-11, single conductor outside engine spaces, from memory"),
    "fuse for wire": ({16: 7.5, 14: 15.0, 12: 20.0, 10: 30.0, 8: 50.0, 6: 80.0}, "builders' table of the largest fuse"),
}

AWG_GAUGES = (22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3)   # -1 is 2/0 and so on. Source: ASTM B258
SAE_CIRCULAR_MILS = {18: 1537, 16: 2336, 14: 3702, 12: 5833, 10: 9343}    # least copper. Source: marine dealers' wire table
METRIC_AREAS = (0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0)   # mm2. Source: IEC 60228

FUSE_RATINGS = (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40)   # A, regular blade. Source: three published colour lists

CONTACT_CARRIES = {"87": 35.0, "87a": 25.0}    # A, all day at 85 C
CONTACT_MAKES = {"87": 120.0, "87a": 45.0}     # A, at the moment of closing
CONTACT_NEEDS = 1.0                            # A, the least that keeps a contact of this class clean
RELAY_SHEET = "TE mini ISO relay sheet, 35/50 A class"
COPPER_RISE = 0.003929                         # of a coil's resistance, per K from 20 C. Source: TE note on coil temperature


@dataclass(frozen=True)
class Limits:
    """The limits a circuit is judged by; each default has its source in :data:`RULES`.

    Parameters
    ----------
    table : str
        Which ampacity table wires are held to. [text]
    load_share : float
        Of a fuse's rating that may flow all day: 0.75 to 0.80. [1]
    lost_share : float
        Of the battery's volts that may be lost on the way there and back; 0.03 where the load is critical. [1]
    joint, wire, contact, fuse, leg : float
        Volts that may be lost in one of them. [V]
    bare_run : float
        Wire between the battery and the first fuse. [m]
    coil_temperature : float
        Of a relay coil that has been on for long. [C]
    """

    table: str = "chassis wiring"
    load_share: float = 0.80
    lost_share: float = 0.10
    joint: float = 0.05
    wire: float = 0.2
    contact: float = 0.3
    fuse: float = 0.125
    leg: float = 0.5
    bare_run: float = 0.30
    coil_temperature: float = 85.0

    def __post_init__(self):
        if self.table not in AMPACITY:
            raise unknown_name("the kit", "ampacity table", self.table, AMPACITY)
        for name, high in (("load_share", 1), ("lost_share", 1), ("joint", 60), ("wire", 60), ("contact", 60), ("fuse", 60),
                           ("leg", 60), ("bare_run", 100), ("coil_temperature", 250)):
            value = getattr(self, name)
            if not isinstance(value, (int, float)) or isinstance(value, bool) or not 0 < value <= high:
                raise PartError(f"limit '{name}' must be a number above 0 and at most {high}, got {value!r}.", got=value)


@dataclass(frozen=True)
class Rule:
    """One rule of sizing.

    Attributes
    ----------
    name : str
        In words, as findings quote it. [text]
    side : {"at most", "at least", ""}
        On which side of the limit a value keeps the rule; empty where there is no number. [text]
    source : str
        Where the limit comes from. [text]
    """

    name: str
    side: str
    source: str


_SCREEN = "service manual, limits it credits to SAE"
_CARRY = "the ampacity table named"
RULES = {rule.name: rule for rule in (
    Rule("no row is restless or shorted", "", "the kit's own: what has no answer cannot be sized"),
    Rule("a fuse ahead of every load", "", "common practice"),
    Rule("the fuse sits at the battery", "at most", "common practice, 30 cm; ABYC E-11 asks 18 cm of a bare wire, from memory"),
    Rule("the rating is one that is made", "", "three published lists of blade fuse colours"),
    Rule("the fuse carries the load", "at most", "common practice: 75 to 80 % of its rating all day"),
    Rule("the fuse lives through the inrush", "", "the kit's fuse law, gates of ISO 8820-3 type C from memory"),
    Rule("the fuse guards its thinnest wire", "at most", f"ABYC E-11, from memory, by {_CARRY}"),
    Rule("the wire carries the load", "at most", _CARRY),
    Rule("little is lost in a joint", "at most", f"{_SCREEN}: small connections 0 V, here read as less than 50 mV"),
    Rule("little is lost in a wire", "at most", f"{_SCREEN}: 0.2 V in a cable"),
    Rule("little is lost in a contact", "at most", f"{_SCREEN}: 0.3 V in a contact"),
    Rule("little is lost in a fuse", "at most", "DIN 72581-3: 125 mV at rated current"),
    Rule("little is lost on one leg", "at most", "service test methods: about 0.5 V in a simple circuit; over 1 V is a fault"),
    Rule("the load keeps its volts", "at most", "ABYC E-11: 10 % lost, 3 % where the load is critical"),
    Rule("the contact carries the load", "at most", f"{RELAY_SHEET}: 35 A make, 25 A break at 85 C"),
    Rule("the contact stands the inrush", "at most", f"{RELAY_SHEET}: 120 A make, 45 A break"),
    Rule("the contact is kept clean", "at least", f"{RELAY_SHEET}: least load 1 A"),
    Rule("the coil pulls in when warm", "at least", "TE note on coil temperature: pull-in current constant, 0.003929 per K"),
)}

"""The lamp with two filaments in one bulb, in a holder with three terminals: tail and stop light from one glass.

Each filament is a lamp of its own, by the law of every lamp and the figures of its own line in the table of bulbs. It
is no part that anybody lists, wires or takes out by itself: it *sits* in the lamp, between two terminals of it, and is
made anew with it. Its light is told by the rated light of the filament that belongs between those terminals, in lumens where the
table has both, else in watts: a tail filament that the pedal feeds is dim, as whoever drives behind sees it. It has a name all the same, ``E1.54`` and ``E1.58``, by the terminal that feeds it: a rule asks for
its look, a fault burns it out. Which of the two filaments that is, hangs on how the bulb stands in its holder.

The holder's terminals go by what they are for (DIN 72552): 54 stop, 58 tail, 31 ground, which is the shell. Where the
bright filament is turn lamp or both, its wire goes to 54 all the same.

The pins of a BAY15d base stand at two heights, about 3 mm apart and 180 degrees round (from memory), so that the bulb
goes in one way only: a worn holder, soft pins or force let it in half a turn round, and its contacts change over. The
pins of a BAZ15d stand 150 degrees apart (from memory) and a wedge base has its contacts elsewhere: the kit turns
neither. A bulb with one filament has one contact in the middle of its foot. Where a worn holder takes it, that bridges
both springs. Source: a repair page for both, which also says that level pins keep such a bulb out.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

from ..ground.errors import shown, unknown_name
from . import bulb_names as names
from .branch import Branch, Role
from .bulbs import bulbs
from .lamp import Filament, Lamp
from .law import Part
from .values import word

TURNS = ("BAY15d",)     # the bases that a worn holder lets in half a turn round
MISTAKEN = {"BAY15d": "BA15s"}   # the bases with one filament that such a holder, once worn, takes
BRIDGE = 0.01           # ohm, of one contact on both springs, and of two filaments that touch: the kit's own figure
LIGHTS = ("stop", "tail")
FEEDS = ("54", "58")
FOR = dict(zip(FEEDS, LIGHTS))
PINS = {"BAY15d": "Its two pins stand at two heights", "BAZ15d": "Its two pins do not stand opposite each other"}     # of a base: from memory


@dataclass(frozen=True)
class Misplaced(Filament):
    """A filament in the place of another, whose light its own is told by.

    Parameters
    ----------
    share : float
        Of the other's rated light, that it gives at its own rating. [1]
    """

    share: float = 1.0

    def light(self, temperature):
        return self.share * super().light(temperature)


@dataclass(frozen=True)
class Seated(Lamp):
    """One filament of a lamp with two: what is fed from one terminal of its holder.

    Parameters
    ----------
    seat, feed : str
        The lamp it sits in, and the terminal there that feeds it. [text]
    is_there : bool
        Whether the bulb has a filament there at all; one with a single filament has none for 58. [yes/no]
    """

    seat: str = ""
    feed: str = "54"
    is_there: bool = True

    terminals: ClassVar[tuple] = ()
    needs: ClassVar[tuple] = ()

    @property
    def sitting(self):
        return (f"is a filament of {self.seat} and comes and goes with its bulb. Change {self.seat}, or write "
                f"'blow {self.name}' for one that has burnt through")

    @property
    def judged_by(self):
        found = names.filaments_of(self.bulb)
        return found[FEEDS.index(self.feed)] if len(found) == 2 else found[0]

    @cached_property
    def filament(self):
        place, law = self.judged_by, super().filament
        own = names.meant(names.filaments_of(self.bulb), self.watts)
        if own is place:
            return law
        lights = (own.flux, place.flux) if own.flux and place.flux else (own.watts, place.watts)
        return Misplaced(law.volts, law.watts, law.ambient, lights[0] / lights[1])

    @property
    def misplaced(self):
        """What stands in the place of its filament, where that is another, and where to look; else empty. [text]"""
        if not isinstance(self.filament, Misplaced):
            return ""
        return (f"a filament of {self.watts:g} W is where one of {self.judged_by.watts:g} W belongs. Look at the bulb of {self.seat} and its holder, "
                "not at the wires, supply off and bulb cold")

    @property
    def states(self):
        return ("whole", "blown") if self.is_there else ("missing", "blown")

    @property
    def inlet(self):
        return self.feed

    def at(self, terminal):
        return f"{self.seat}:{ {'1': self.feed, '2': '31'}.get(terminal, terminal)}"

    def branches(self):
        return (Branch(self.feed, "31", Role.LOAD, closed_in=frozenset({"whole"}), device=self.filament),)


@dataclass(frozen=True)
class TwoFilamentLamp(Part):
    """A lamp whose bulb has two filaments, such as a tail and stop lamp (device letter E).

    Parameters
    ----------
    bulb : str
        Category or trade number of the catalogue, which brings the figures of both filaments with it: P21/5W, P21/4W, W21/5W,
        1157, 2357, 3157, 7443 and their kin. That of a bulb with one filament puts the wrong bulb in. [text]
    light : {"red", "amber", "white"}
        What colour the lit lamp shows. [text]
    fitted : {"right way", "turned round"}
        How the bulb stands in its holder. Only a BAY15d base can be turned round, in a holder that is worn or was forced. [text]
    touching : bool
        Whether the filaments touch each other, as when one has burnt through and fallen on the other. [yes/no]

    Terminals
    ---------
    54 : the spring that feeds the bright filament: stop lamp, or turn lamp
    58 : the spring that feeds the weak filament: tail lamp
    31 : the holder's shell, which goes to ground; both filaments end there

    >>> [(each.name, each.watts) for each in TwoFilamentLamp("E1").seats]
    [('E1.54', 26.5), ('E1.58', 6.6)]
    """

    bulb: str = "P21/5W"
    light: str = word("red", ("red", "amber", "white"))
    fitted: str = word("right way", ("right way", "turned round"))
    touching: bool = False
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "two-filament lamp"
    terminals: ClassVar[tuple] = (*FEEDS, "31")
    needs: ClassVar[tuple] = ("31",)

    @classmethod
    def follows(cls, given, named):
        """Return the colour that an amber glass gives, where none is said."""
        name = given[1] if len(given) > 1 else named.get("bulb")
        found = names.filaments_of(name)
        return {"light": "amber"} if found and found[0].glass == "amber" and "light" not in named and len(given) < 3 else {}

    def goes_without_saying(self, field, default):
        found = names.filaments_of(self.bulb)
        return field == "light" and found[0].glass == "amber" or super().goes_without_saying(field, default)

    def with_value(self, field, value):
        found = names.filaments_of(value) if field == "bulb" else ()
        if not found:
            return super().with_value(field, value)
        told = {"light": self.light, "fitted": self.fitted, "touching": self.touching, "place": self.place, "note": self.note}
        if found[0].glass == "amber":
            del told["light"]
        return type(self)(self.name, bulb=value, **told)

    def __post_init__(self):
        super().__post_init__()
        self.must(isinstance(self.bulb, str), f"bulb must be text, such as 'P21/5W', got {shown(self.bulb)}.")
        found = names.filaments_of(self.bulb)
        if not found:
            raise unknown_name(f"{self.kind} '{self.name}': the kit's catalogue", "bulb", self.bulb, names.names_like(self.bulb))
        self.must(isinstance(self.touching, bool), f"touching must be yes or no, got {shown(self.touching)}.")
        self.must(found[0].glass == "clear" or self.light == found[0].glass,
                  f"bulb {self.bulb} has {found[0].glass} glass and cannot show {self.light}. Choose a bulb of clear glass.")
        self.must(len(found) == 2 or found[0].cap in MISTAKEN.values(),
                  f"bulb {self.bulb} has one filament and cap {found[0].cap}, and does not go into such a holder. Choose a bulb with two, such as P21/5W.")
        self.must(self.fitted == "right way" or len(found) == 2 and found[0].cap in TURNS,
                  f"bulb {self.bulb} (cap {found[0].cap or 'not known'}) cannot be turned round in its holder. Only a base with offset pins "
                  f"that a worn holder lets in can, {', '.join(TURNS)}: leave 'fitted' out.")
        self.must(not self.touching or len(found) == 2, f"bulb {self.bulb} has one filament, so none can touch another. Leave 'touching' out.")

    @property
    def is_single(self):
        """Whether the bulb has one filament only: the wrong one for this holder. [yes/no]"""
        return len(self._filaments) == 1

    @property
    def marking(self):
        """What stands on the bulb, such as ``12 V 21/5 W`` by UNECE. [text]"""
        return names.marking(self.bulb)

    @property
    def seats(self):
        """Its filaments as lamps: first what 54 feeds, then what 58 feeds."""
        found = [*self._filaments, self._filaments[0]][:2]      # of a single one the second is not there
        if self.fitted == "turned round":
            found = found[::-1]
        return tuple(Seated(f"{self.name}.{feed}", volts=one.volts, watts=one.watts, bulb=self.bulb, light=self.light,
                            place=f"{self.place} {does}".strip(), seat=self.name, feed=feed, is_there=not self.is_single or feed == FEEDS[0])
                     for feed, does, one in zip(FEEDS, LIGHTS, found))

    @property
    def mishaps(self):
        if self.is_single or self.touching:
            return ()
        found, single = [("filaments touching", f"filaments of {self.name} touch each other", "touching", True)], self._single
        if single:
            found.append(("wrong bulb", f"{single}, of one filament, in {self.name} in the place of {self.bulb}", "bulb", single))
        if self._filaments[0].cap in TURNS and self.fitted == "right way":
            found.append(("bulb turned round", f"bulb of {self.name} turned round in its holder", "fitted", "turned round"))
        return tuple(found)

    @property
    def misfits(self):
        care = "Supply off and the bulb cold before it is taken out"
        if self.is_single:
            return (f"two-filament lamp '{self.name}' has a bulb of one filament, {self.bulb}: its one contact joins 54 and 58, so that each feed "
                    f"lights what the other shall. {care}; fit the bulb the lamp is made for.",)
        if self.fitted == "right way":
            return ()
        return (f"the bulb of two-filament lamp '{self.name}' is turned round: 54 feeds the weak filament, 58 the bright one. {care}; "
                "a worn holder that lets it in is to be changed.",)

    @property
    def deeds(self):
        """How a hand turns the bulb round in a worn holder, and back."""
        if self.is_single or self._filaments[0].cap not in TURNS:
            return ()
        return (("turn the bulb round", "fitted", "turned round") if self.fitted == "right way" else
                ("turn the bulb back", "fitted", "right way"),)

    @property
    def pins(self):
        """How the pins of its base stand, which lets it in one way only; empty where it has none. [text]"""
        return PINS.get(self._filaments[0].cap, "")

    @property
    def _filaments(self):
        return names.filaments_of(self.bulb)

    @property
    def _single(self):
        """The bulb with one filament that is put in by mistake: of its family, volts and glass, its watts the nearest. [text]"""
        one = self._filaments[0]
        alike = [each for each in bulbs() if each.cap == MISTAKEN.get(one.cap) and
                 (each.family, each.rated_volts, each.glass) == (one.family, one.rated_volts, one.glass)]
        return names.full_name(min(alike, key=lambda each: abs(each.watts - one.watts))) if alike else ""

    def branches(self):
        return (Branch("54", "58", Role.WAY, BRIDGE),) if self.touching or self.is_single else ()

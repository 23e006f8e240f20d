"""The filament lamp: a resistor that heats itself.

Electrically a filament is a resistance that grows with its temperature,
R = R_cold (T/T_cold)^1.2, and thermally a small mass that the current heats
and radiation cools: C dT/dt = U^2/R - K (T^4 - T_cold^4), T_cold being the ambient. Light goes as
T^8.84, which at rest is U^3.4.

Nothing here is fitted to a lamp's rise time. The heat capacity C follows from
the rating alone: radiated watts give the filament's surface, its resistance
gives length over section, and both together its mass.

What the model leaves out: cooling by the ends, the gas filling, and the
change of the specific heat with temperature.
"""

from dataclasses import dataclass, fields, replace
from functools import cached_property
from math import pi
from typing import ClassVar

from ..ground.errors import PartError, UnknownName, shown, unknown_name
from ..ground.quantities import read_quantity
from . import bulb_names as names
from .branch import Branch, Device, Role
from .law import AMBIENT, Part
from .overheating import OVERVOLTED, lamp_words
from .values import number, word

ZERO = 273.15            # K, 0 C
COLD = 293.15            # K, a dark filament in a room of 20 C, where ratings are measured
RATED = 2800.0           # K, filament at rated voltage, for about 17 lm/W: from memory
RESISTANCE_POWER = 1.2   # R ~ T^1.2. Source: fits the 1925 tungsten table, which gives 1.217 over 400..3000 K
LIGHT_POWER = 8.84       # light ~ T^8.84, so U^3.4 at rest. Source: lamp rerating exponents
RESISTIVITY = 84.7e-8    # ohm m at 2800 K. Source: 1925 tungsten table
DENSITY = 19300.0        # kg/m3
SPECIFIC_HEAT = 163.0    # J/(kg K), 30 J/(mol K) near 1500 K. Source: NIST-JANAF Shomate coefficients
LIFE_POWER = 13          # life ~ U^-13; published exponents run from 12 to 16. Source: lamp rerating
LIFE_TOLD = 1.5          # times its test volts, up to which that law is taken at its word: from memory
SOON = "it lasts seconds to minutes at best"    # beyond, as a 12 V bulb on 24 V: common practice, from memory
STEFAN = 5.670374e-8     # W/(m2 K4)
EMISSIVITY = 0.33        # total, near 2800 K: from memory
UNWARMED = 1e-9          # of its test volts: they warm it by less than a number can tell
OPEN_SURFACE = 0.75      # share of a coiled wire's surface that sees the bulb: common practice


@dataclass(frozen=True)
class Filament(Device):
    """The law of one filament, from its rating.

    Parameters
    ----------
    volts : float
        Rated (test) voltage. [V]
    watts : float
        Drawn at that voltage. [W]
    ambient : float
        Round the lamp. [C]
    """

    volts: float
    watts: float
    ambient: float = AMBIENT

    warms: ClassVar[bool] = True

    @property
    def start(self):
        return 1 / self.hot_resistance

    @cached_property
    def hot_resistance(self):
        """At rated voltage. [ohm]"""
        return self.volts**2 / self.watts

    @cached_property
    def cold(self):
        """What it cools down to: the ambient. [K]"""
        return ZERO + self.ambient

    @cached_property
    def cold_resistance(self):
        """At the ambient. [ohm]"""
        return self.hot_resistance * (self.cold / RATED) ** RESISTANCE_POWER

    @cached_property
    def radiation(self):
        """K in watts lost = K (T^4 - cold^4). [W/K4]"""
        return self.watts / (RATED**4 - COLD**4)

    @cached_property
    def heat_capacity(self):
        """Of the tungsten wire whose surface and resistance the rating asks for. [J/K]"""
        surface = self.watts / (EMISSIVITY * OPEN_SURFACE * STEFAN * RATED**4)       # pi d L
        diameter = (4 * RESISTIVITY * surface / (pi**2 * self.hot_resistance)) ** (1 / 3)
        return DENSITY * SPECIFIC_HEAT * surface * diameter / 4

    def conductance(self, temperature):
        """Of the filament at a temperature. [S]"""
        return (self.cold / temperature) ** RESISTANCE_POWER / self.cold_resistance

    def light(self, temperature):
        """Relative to the light at rated voltage. [1]"""
        return (temperature / RATED) ** LIGHT_POWER if temperature > 500 else 0.0

    def shine(self, voltage, temperature):
        return self.light(temperature)

    def settled_temperature(self, voltage):
        """At rest at a voltage: solves U^2 = w (x^5.2 - x^1.2) for x = T/cold by Newton. [K]"""
        target = voltage * voltage / (self.radiation * self.cold**4 * self.cold_resistance)
        x = 1.0 + target if target < 1 else (target + 3) ** (1 / 5.2)
        for _ in range(50):
            power = x**0.2 * x
            error = power * (x**4 - 1) - target
            step = error * x / (power * (5.2 * x**4 - 1.2))
            x -= step
            if abs(step) < 1e-13 * x:
                break
        return self.cold * x

    @cached_property
    def most_current(self):
        """At rest at as many volts as are let pass without a word. [A]"""
        return self.settled_current(OVERVOLTED * self.volts)[0]

    def settled_voltage(self, amps):
        """Return at which voltage it draws so much at rest. [V]

        >>> round(Filament(13.5, 26.5).settled_voltage(Filament(13.5, 26.5).settled_current(25.2)[0]), 6)
        25.2
        """
        low, high = 0.0, self.volts
        while self.settled_current(high)[0] < amps:
            high *= 2
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.settled_current(middle)[0] < amps else (low, middle)
        return high

    def settled_current(self, voltage):
        """Return ``(current, slope)`` at rest at a voltage: both rise with it, without a jump. [A], [S]"""
        if abs(voltage) < UNWARMED * self.volts:
            return voltage / self.cold_resistance, 1 / self.cold_resistance
        x = self.settled_temperature(voltage) / self.cold
        conductance = x**-RESISTANCE_POWER / self.cold_resistance
        bend = RESISTANCE_POWER * 2 * (x**4 - 1) / (5.2 * x**4 - 1.2)
        return conductance * voltage, conductance * (1 - bend)


@dataclass(frozen=True)
class Lamp(Part):
    """A filament lamp, or one filament of a two-filament bulb (device letter E).

    Parameters
    ----------
    volts, watts : float
        Test voltage and the watts drawn there, as in a lamp sheet: those of the bulb unless given. A P21W
        draws 26.5 W at most at 13.5 V (UN R37, from memory). Leave both out where you name the bulb. [V], [W]
    bulb : str
        Category or trade number of the catalogue (``"P21W 24 V"`` where it is not for 12 V), which brings its
        figures and the colour of its glass with it, of two filaments those of the brighter unless its watts are
        given; empty for figures of one's own. [text]
    light : {"red", "amber", "white"}
        What colour the lit lamp shows. [text]

    Terminals
    ---------
    1 : the filament's end that goes to the supply
    2 : its other end, the socket's shell, that goes to ground

    >>> Lamp("E1", bulb="R5W").watts
    5.5
    """

    volts: float = number(13.5, 1, 60, "V")
    watts: float = number(26.5, 0.1, 200, "W")
    bulb: str = "P21W"
    light: str = word("red", ("red", "amber", "white"))
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "lamp"
    by_name: ClassVar[bool] = True   # whether its bulb is one of the catalogue's
    shines: ClassVar[bool] = True
    is_there: ClassVar[bool] = True  # whether it has a filament; a bulb with one has none in the place of the second
    inlet: ClassVar[str] = "1"
    reach: ClassVar[float] = 1.0
    terminals: ClassVar[tuple] = ("1", "2")
    needs: ClassVar[tuple] = terminals
    states: ClassVar[tuple] = ("whole", "blown")

    @classmethod
    def follows(cls, given, named):
        """Return the figures that follow from the name of a bulb, or the name that figures without one leave."""
        if not cls.by_name:
            return {}
        said = dict(zip([field.name for field in fields(cls)], given)) | named
        name, volts, watts = said.get("bulb"), said.get("volts"), said.get("watts")
        if "bulb" not in said:
            return {} if volts is watts is None or cls._named_as(cls.bulb, volts, watts) else {"bulb": ""}
        found = names.filaments_of(name)
        if not found:
            return {}
        one = names.meant(found, watts)
        figures = {"volts": one.volts, "watts": one.watts} | ({"light": "amber"} if one.glass == "amber" else {})
        return {field: value for field, value in figures.items() if field not in said}

    @classmethod
    def _named_as(cls, name, volts, watts):
        """Tell whether figures, the kit's own where there are none, may be those of a bulb; never an error."""
        try:
            figures = [read_quantity(default if value is None else value, unit) for value, default, unit in
                       ((volts, cls.volts, "V"), (watts, cls.watts, "W"))]
        except PartError:
            return True
        return any(names.fits(one, *figures) for one in names.filaments_of(name))

    def goes_without_saying(self, field, default):
        found = names.filaments_of(self.bulb)
        if field not in ("volts", "watts") or not found:
            return super().goes_without_saying(field, default)
        alone, by_watts = names.meant(found), names.meant(found, self.watts)
        if (self.volts, self.watts) == (alone.volts, alone.watts):
            return True
        return field == "volts" and self.volts == by_watts.volts

    def with_value(self, field, value):
        if field == "bulb" and names.filaments_of(value):
            light = {} if names.filaments_of(value)[0].glass == "amber" else {"light": self.light}
            return type(self)(self.name, bulb=value, place=self.place, note=self.note, **light)
        if field in ("volts", "watts") and names.filaments_of(self.bulb):
            figures = {"volts": self.volts, "watts": self.watts} | {field: value}
            if not self._named_as(self.bulb, **figures):
                return replace(self, bulb="", **figures)
        return super().with_value(field, value)

    def _must_be_its_bulb(self):
        """Raise unless its name is nobody's, or that of a bulb with these figures and this glass."""
        self.must(isinstance(self.bulb, str), f"bulb must be text, such as 'P21W', or empty, got {shown(self.bulb)}.")
        if not self.bulb or not self.by_name:
            return
        found = names.filaments_of(self.bulb)
        if not found:
            error = unknown_name(f"{self.kind} '{self.name}': the kit's catalogue", "bulb", self.bulb, names.names_like(self.bulb))
            led = " An LED lamp is a part of its own: kind 'LED lamp' in the place of 'lamp'." if "led" in self.bulb.lower() else ""
            raise UnknownName(f"{error.sentence}{led}", **error.pieces) if led else error
        draws = " or ".join(f"{names.range_words(one)} at {one.volts:g} V" for one in found)
        self.must(any(names.fits(one, self.volts, self.watts) for one in found),
                  f"bulb {self.bulb} draws {draws}, and it is said to draw {self.watts:g} W at {self.volts:g} V. "
                  "Give the name alone, or leave it empty for figures of your own.")
        self.must(found[0].glass == "clear" or self.light == found[0].glass,
                  f"bulb {self.bulb} has {found[0].glass} glass and cannot show {self.light}. "
                  "Choose a bulb of clear glass.")

    def __new__(cls, *given, **named):
        """Refuse one number alone behind the name: it would be the volts where most people mean the watts."""
        if len(given) == 2 and "watts" not in named and _may_be_watts(given[1]):
            said = shown(given[1])
            raise PartError(f"{cls.kind} {shown(given[0])}: {said} alone behind the name would be its volts. If its watts "
                            f"are meant, write {cls.__name__}({shown(given[0])}, watts={said}); if its volts, say both: "
                            f"{cls.__name__}({shown(given[0])}, {said}, watts=...).", part=given[0])
        return super().__new__(cls)

    def __post_init__(self):
        super().__post_init__()
        self._must_be_its_bulb()

    @property
    def marking(self):
        """What stands on the bulb, such as ``12 V 21/5 W`` by UNECE; nothing for a bulb of no name. [text]"""
        return names.marking(self.bulb)

    @property
    def misplaced(self):
        """What stands in the place of its filament; of a lamp by itself nothing does. [text]"""
        return ""

    @property
    def judged_by(self):
        """The filament of the catalogue whose light is its rated light, or None."""
        found = names.filaments_of(self.bulb)
        return names.meant(found, self.watts) if found else None

    @cached_property
    def filament(self):
        """Its law."""
        return Filament(self.volts, self.watts, self.ambient)

    def relative_life(self, voltage):
        """Return how long it lives at a voltage [V], relative to its life at its test voltage. [1]

        >>> round(Lamp("E1").relative_life(12.0), 1)
        4.6
        """
        return (self.volts / voltage) ** LIFE_POWER

    def fate(self, voltage):
        """Say what becomes of it at too many volts [V]: by the law of its life as far as that goes. [text]

        >>> Lamp("E1").fate(18.0), Lamp("E1").fate(28.0)
        ('it lasts about 1/40 of its life', 'it lasts seconds to minutes at best')
        """
        if voltage > LIFE_TOLD * self.volts:
            return SOON
        return f"it lasts about 1/{rounded(1 / self.relative_life(voltage))} of its life"

    def inrush(self, voltage):
        """Return what it draws at the first instant, cold, at a voltage across it [V]. [A]

        >>> round(Lamp("E1").inrush(13.5), 1)
        29.4
        """
        return voltage / self.filament.cold_resistance

    @property
    def most_current(self):
        """What its filament draws at as many volts as are let pass without a word. [A]"""
        return self.filament.most_current

    def overheated(self, currents):
        amps, law = abs(currents[0]), self.filament
        if amps <= self.most_current:
            return ()
        volts = law.settled_voltage(amps)
        return (lamp_words(self.name, volts, self.volts, self.fate(volts)),)

    def branches(self):
        return (Branch("1", "2", Role.LOAD, closed_in=frozenset({"whole"}), device=self.filament),)


def rounded(value):
    """Return a number to one digit, as text.

    >>> rounded(2718)
    '3000'
    """
    return f"{float(f'{value:.0e}'):.0f}"


def _may_be_watts(value):
    """Tell whether a value may be meant as watts: a number without its unit, or text in watts."""
    if isinstance(value, bool):
        return False
    try:
        read_quantity(value, "W")
    except PartError:
        return False
    return True

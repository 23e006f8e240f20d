"""How much copper: by the volts it may lose, and by the current it may carry.

Two kinds of size never become equal here. 16 AWG has 1.309 mm2 and 1.5 mm2 has
1.5 mm2; the next larger size is looked for in each system on its own, by true
area, and a metric wire counts as the largest listed gauge that has no more
copper than it has.
"""

from dataclasses import dataclass

from ...ground.errors import PartError, unknown_name
from ...ground.quantities import awg_to_mm2
from ...ground.showing import Showing
from ...parts.conductors import RESISTIVITY, copper_factor
from .limits import AWG_GAUGES, METRIC_AREAS, SAE_CIRCULAR_MILS, ampacity

CIRCULAR_MIL = 5.067075e-4   # mm2. Source: pi/4 of a thousandth of an inch squared
FOOT = 0.3048                # m
ABYC_K = 10.75               # ohm circular mil / ft, copper at about 29 C. Source: ABYC E-11


@dataclass(frozen=True)
class Size:
    """A wire that can be bought.

    Attributes
    ----------
    label : str
        Such as ``"16 AWG"``, ``"16 SAE"`` or ``"1.5 mm2"``. [text]
    area : float
        Its true copper. [mm2]
    """

    label: str
    area: float

    @property
    def circular_mils(self):
        """The same copper in circular mils. [cmil]"""
        return self.area / CIRCULAR_MIL


def _gauge_area(gauge):
    return awg_to_mm2(gauge) if gauge >= 0 else awg_to_mm2(0) * 92 ** (-2 * gauge / 39)


SIZES = {
    "AWG": tuple(Size(f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG", _gauge_area(gauge))
                 for gauge in AWG_GAUGES),
    "SAE": tuple(Size(f"{gauge} SAE", mils * CIRCULAR_MIL) for gauge, mils in SAE_CIRCULAR_MILS.items()),
    "mm2": tuple(Size(f"{area:g} mm2", area) for area in METRIC_AREAS),
}


def next_size(area, system):
    """Return the smallest size of a system with at least that copper, or None beyond its thickest.

    Parameters
    ----------
    area : float
        [mm2]
    system : {"AWG", "SAE", "mm2"}
        [text]

    Examples
    --------
    >>> next_size(1.309, "mm2").label, next_size(1.5, "AWG").label
    ('1.5 mm2', '14 AWG')
    """
    if system not in SIZES:
        raise unknown_name("the kit", "system of wire sizes", system, SIZES)
    return next((size for size in SIZES[system] if size.area >= area * (1 - 1e-9)), None)


@dataclass(frozen=True, repr=False)
class WireNeed(Showing):
    """The copper a circuit needs.

    Attributes
    ----------
    area : float
        [mm2]
    by : str
        By which formula or table. [text]
    awg, sae, metric : Size or None
        The next larger size of each system; None beyond its thickest.
    """

    area: float
    by: str

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"Copper of {self.area:.2f} mm2, by {self.by}."

    @property
    def circular_mils(self):
        """The same copper in circular mils. [cmil]"""
        return self.area / CIRCULAR_MIL

    @property
    def awg(self):
        return next_size(self.area, "AWG")

    @property
    def sae(self):
        return next_size(self.area, "SAE")

    @property
    def metric(self):
        return next_size(self.area, "mm2")


def wire_for_drop(amps, length, volts, k=None, temperature=20.0, resistivity=RESISTIVITY):
    """Return the copper with which a loop loses no more than the volts allowed.

    Parameters
    ----------
    amps : float
        [A]
    length : float
        There and back. [m]
    volts : float
        That the whole loop may lose. [V]
    k : float, optional
        Use the trade formula CM = K I L / E with this K instead of the copper itself; ABYC E-11 has
        10.75. [ohm cmil/ft]
    temperature : float
        Of the copper, -60 to 250. [C]
    resistivity : float
        At 20 C; IEC 60028 unless given. [ohm mm2/m]

    Returns
    -------
    WireNeed

    Examples
    --------
    >>> need = wire_for_drop(10, 21 * 0.3048, 0.36, k=10.75)
    >>> round(need.circular_mils), need.awg.label, need.sae.label
    (6271, '12 AWG', '10 SAE')
    """
    for value, what, unit in ((amps, "the current", "A"), (length, "the length", "m"),
                              (volts, "the loss allowed", "V")):
        if not isinstance(value, (int, float)) or isinstance(value, bool) or not 0 < value < float("inf"):
            raise PartError(f"{what} must be a number of {unit} above 0, got {value!r}.", got=value)
    for value, what, low, high, unit in ((temperature, "the temperature", -60, 250, "C"),
                                         (1.0 if k is None else k, "K", 1, 100, "ohm circular mil / ft"),
                                         (resistivity, "the resistivity", 0.001, 1, "ohm mm2/m")):
        if not isinstance(value, (int, float)) or isinstance(value, bool) or not low <= value <= high:
            raise PartError(f"{what} must be between {low:g} and {high:g} {unit}, got {value!r}.", got=value)
    if k is not None:
        return WireNeed(k * amps * (length / FOOT) / volts * CIRCULAR_MIL, f"K formula, K = {k:g}")
    return WireNeed(resistivity * copper_factor(temperature) * amps * length / volts, f"copper at {temperature:g} C")


@dataclass(frozen=True)
class Capacity:
    """What a wire may carry.

    Attributes
    ----------
    amps : float
        [A]
    counts_as : str
        The gauge whose line was read, with its true area. [text]
    table, source : str
    """

    amps: float
    counts_as: str
    table: str
    source: str


def capacity(area, table="chassis wiring"):
    """Return what a wire may carry by one of the ampacity tables, which differ by a factor of two.

    Parameters
    ----------
    area : float
        Its copper. [mm2]
    table : str
        Name of the table. [text]

    Notes
    -----
    A wire thinner than any the table lists is given the thinnest line in
    proportion to its copper. That is on the safe side: from gauge to gauge the
    ampacity falls less than the copper does.

    Examples
    --------
    >>> capacity(1.5).amps, capacity(1.5).counts_as, capacity(1.5, "free air, 60 C insulation").amps
    (11.5, '16 AWG, 1.309 mm2', 18.0)
    """
    lines, source = ampacity(table)
    fitting = [gauge for gauge in lines if awg_to_mm2(gauge) <= area * (1 + 1e-9)]
    if not fitting:
        gauge = max(lines)
        share = area / awg_to_mm2(gauge)
        return Capacity(lines[gauge] * share, f"{share:.2f} of {gauge} AWG, {awg_to_mm2(gauge):.3f} mm2", table, source)
    gauge = min(fitting)
    return Capacity(lines[gauge], f"{gauge} AWG, {awg_to_mm2(gauge):.3f} mm2", table, source)


def wire_for_current(amps, table="chassis wiring"):
    """Return the copper of the thinnest listed gauge that may carry a current, or None beyond the table.

    Parameters
    ----------
    amps : float
        [A]
    table : str
        Name of the table. [text]

    >>> wire_for_current(10)
    Copper of 1.31 mm2, by table 'chassis wiring', 16 AWG.
    """
    lines, _ = ampacity(table)
    gauge = next((gauge for gauge in sorted(lines, reverse=True) if lines[gauge] >= amps), None)
    return None if gauge is None else WireNeed(awg_to_mm2(gauge), f"table '{table}', {gauge} AWG")

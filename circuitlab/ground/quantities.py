"""Quantities as text: what a learner types in, and what the kit prints.

No unit arithmetic: inside the kit every number is in plain SI units (area in
mm2, as the trade buys wire), and only this room turns numbers into words.
"""

import re
from math import isinf

from .errors import PartError, shown
from .limits import MOST_QUANTITY

LARGEST = 10**300  # of a whole number given for a number: about what a float can hold
_DIVISOR = {"m": 1e3, "k": 1e-3, "M": 1e-6, "u": 1e6, "\N{MICRO SIGN}": 1e6, "\N{GREEK SMALL LETTER MU}": 1e6}
_UNIT = {"V": "V", "v": "V", "volt": "V", "volts": "V", "A": "A", "a": "A", "amp": "A", "amps": "A",
         "W": "W", "w": "W", "watt": "W", "watts": "W", "ohm": "ohm", "Ohm": "ohm", "ohms": "ohm", "Ohms": "ohm",
         "\N{GREEK CAPITAL LETTER OMEGA}": "ohm", "\N{OHM SIGN}": "ohm", "s": "s", "m": "m",
         "mm2": "mm2", "mm\N{SUPERSCRIPT TWO}": "mm2", "mm^2": "mm2", "min": "/min", "/min": "/min", "1/min": "/min",
         "per minute": "/min", "%": "%", "\N{DEGREE SIGN}C": "C"}
_OTHER = {("mm", "m"): 1000, ("cm", "m"): 100, ("ft", "m"): 1 / 0.3048, ("in", "m"): 1 / 0.0254, ("%", "1"): 100}
_ASKED = {"flashes per minute": "/min"}
_NUMBER = re.compile(r"\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?)\s*(.*?)\s*$", re.IGNORECASE)
_GAUGE_FIRST = re.compile(r"\s*AWG\s*(\d+)\s*$", re.IGNORECASE)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}$")


def read_quantity(text, unit):
    """Read a number typed by a person, with comma or point and with or without its unit.

    Parameters
    ----------
    text : str or float
        Such as ``"12,4 V"``, ``"350 mA"``, ``"18 AWG"`` or ``0.75``. [text]
    unit : {"V", "A", "W", "ohm", "s", "m", "mm2", "%", "/min", "1"}
        The unit wanted; a share of one may be typed in per cent. [text]

    Returns
    -------
    float
        In that unit. [unit]

    Raises
    ------
    PartError
        When there is no number, its unit is another one, or a comma might mean thousands.

    Examples
    --------
    >>> read_quantity("350 mA", "A"), read_quantity("0,75 mm2", "mm2"), read_quantity("50 %", "1")
    (0.35, 0.75, 0.5)
    >>> round(read_quantity("18 AWG", "mm2"), 3)
    0.823
    """
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        try:
            return float(text)
        except OverflowError:
            raise PartError(f"{shown(text)} is too large for a number of {unit}.", unit=unit) from None
    if not isinstance(text, str):
        raise PartError(f"'{shown(text)}' is not a quantity. Write a number and its unit, such as '3.5 {unit}'.", unit=unit)
    if len(text) > MOST_QUANTITY:
        raise PartError(f"a number of {unit} with its unit has {MOST_QUANTITY} letters at most, got {len(text)}: "
                        f"{shown(text[:12])[:-1]}...'. Write it shorter, such as '3.5 {unit}'.", unit=unit)
    plain = text.replace("\N{MINUS SIGN}", "-")        # as it stands in print, and comes along when pasted
    gauge = _GAUGE_FIRST.match(plain)
    match = _NUMBER.match(f"{gauge[1]} AWG" if gauge else plain)
    if not match:
        raise PartError(f"{shown(text)} is not a quantity. Write a number and its unit, such as '3.5 {unit}'.",
                        got=text, unit=unit)
    if _THOUSANDS.match(match[1]):
        whole, point = match[1].replace(",", ""), match[1].replace(",", ".")
        raise PartError(f"{shown(text)} can be read in two ways. Write {whole} or {point}, whichever you mean.",
                        got=text, unit=unit)
    number, found = float(match[1].replace(",", ".")), match[2]
    if isinf(number):
        raise PartError(f"{shown(text)} is larger than any quantity. Write a smaller number.", got=text, unit=unit)
    if unit == "mm2" and found.upper() == "AWG":
        return awg_to_mm2(number)
    divisor = 1 if found == unit else _divisor(found, "1" if unit.startswith("of ") else _ASKED.get(unit, unit))
    if divisor is None:
        raise PartError(f"{shown(text)} is not in {unit}. Write it as a number of {unit}, such as '{match[1]} {unit}'.",
                        got=text, unit=unit)
    return number / divisor


def _divisor(found, unit):
    """Return what a number in one unit must be divided by to be in another, or None. [1]"""
    if found == "" or _UNIT.get(found, found) == unit:
        return 1
    if unit in ("V", "A", "W", "ohm", "s") and _UNIT.get(found[1:]) == unit:
        return _DIVISOR.get(found[0])
    return _OTHER.get((found, unit))


def number_between(value, words, low, high, unit):
    """Return a number or text such as ``"21 W"`` as a number, and what is wrong with it, in words, or nothing.

    >>> number_between("-40 C", "ambient", -30, 85, "C")
    (-40.0, 'ambient must be between -30 and 85 C, got -40.')
    """
    if isinstance(value, str):
        try:
            value = read_quantity(value, unit)
        except PartError as error:
            return value, f"{words}: {error.sentence}"
    if not isinstance(value, (int, float)) or isinstance(value, bool):
        return value, f"{words} must be a number of {unit}, got {shown(value)}."
    if not low <= value <= high or isinstance(value, int) and value > LARGEST:
        got = shown(value) if isinstance(value, int) else f"{value:g}"
        return value, f"{words} must be between {low:g} and {high:g} {unit}, got {got}."
    return value, ""


def awg_to_mm2(gauge):
    """Return the copper area of an American wire gauge (0 to 40). [mm2]

    Source: ASTM B258, d = 0.127 mm x 92^((36 - n) / 39).

    >>> round(awg_to_mm2(16), 3)
    1.309
    """
    if not isinstance(gauge, (int, float)) or not 0 <= gauge <= 40:
        said = f"{gauge:g}" if isinstance(gauge, float) else shown(gauge)
        raise PartError(f"{said} AWG is outside the gauges the kit knows, 0 to 40.", got=gauge)
    diameter = 0.127 * 92 ** ((36 - gauge) / 39)
    return 3.141592653589793 / 4 * diameter**2


def say(value, unit):
    """Return a number in words a meter would show, with its unit.

    >>> say(12.345, "V"), say(0.35, "A"), say(1.9, "A"), say(2323.8, "W"), say(0.0042, "ohm")
    ('12.3 V', '350 mA', '1.90 A', '2320 W', '4.2 mohm')
    """
    size = abs(value)
    if unit == "V":
        return f"{value:.1f} V" if size >= 1 or size < 0.0005 else f"{value * 1000:.0f} mV"
    if unit in ("A", "ohm", "W") and size < 1:
        small = value * 1000
        return f"0 {unit}" if size < 5e-7 else f"{small:.{0 if abs(small) >= 10 else 1}f} m{unit}"
    if unit in ("A", "W") and size >= 100:
        return f"{float(f'{value:.3g}'):.0f} {unit}"
    return f"{value:.2f} {unit}" if size < 10 else f"{value:.1f} {unit}"

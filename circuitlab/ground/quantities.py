"""Quantities as text: what a learner types in, and what the kit prints.

No unit arithmetic: inside the kit every number is in plain SI units (area in
mm2, as the trade buys wire), and only this room turns numbers into words.
"""

import re

from .errors import PartError

_DIVISOR = {"m": 1e3, "k": 1e-3, "u": 1e6, "\N{MICRO SIGN}": 1e6}
_UNIT = {"V": "V", "A": "A", "W": "W", "ohm": "ohm", "\N{GREEK CAPITAL LETTER OMEGA}": "ohm",
         "\N{OHM SIGN}": "ohm", "s": "s", "m": "m", "mm2": "mm2", "mm\N{SUPERSCRIPT TWO}": "mm2",
         "min": "/min", "%": "%"}
_NUMBER = re.compile(r"\s*([+-]?\d+(?:[.,]\d+)?(?:e[+-]?\d+)?)\s*(.*?)\s*$", re.IGNORECASE)


def read_quantity(text, unit):
    """Read a number typed by a person, with comma or point and with or without its unit.

    Parameters
    ----------
    text : str or float
        Such as ``"12,4 V"``, ``"350 mA"``, ``"18 AWG"`` or ``0.75``. [text]
    unit : {"V", "A", "W", "ohm", "s", "m", "mm2", "%"}
        The unit wanted. [text]

    Returns
    -------
    float
        In that unit. [unit]

    Raises
    ------
    PartError
        When there is no number, or its unit is another one.

    Examples
    --------
    >>> read_quantity("350 mA", "A")
    0.35
    >>> round(read_quantity("18 AWG", "mm2"), 3)
    0.823
    """
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        return float(text)
    match = _NUMBER.match(str(text))
    if not match:
        raise PartError(f"'{text}' is not a quantity. Write a number and its unit, such as '12.4 {unit}'.",
                        got=text, unit=unit)
    number, found = float(match[1].replace(",", ".")), match[2]
    if unit == "mm2" and found.upper() == "AWG":
        return awg_to_mm2(number)
    if found in ("", unit):
        return number
    for prefix, divisor in _DIVISOR.items():
        if found.startswith(prefix) and _UNIT.get(found[len(prefix):]) == unit:
            return number / divisor
    if _UNIT.get(found) == unit:
        return number
    raise PartError(f"'{text}' is not in {unit}. Write it as a number of {unit}, such as '{match[1]} {unit}'.",
                    got=text, unit=unit)


def awg_to_mm2(gauge):
    """Return the copper area of an American wire gauge (0 to 40). [mm2]

    Source: ASTM B258, d = 0.127 mm x 92^((36 - n) / 39).

    >>> round(awg_to_mm2(16), 3)
    1.309
    """
    if not 0 <= gauge <= 40:
        raise PartError(f"{gauge:g} AWG is outside the gauges the kit knows, 0 to 40.", got=gauge)
    diameter = 0.127 * 92 ** ((36 - gauge) / 39)
    return 3.141592653589793 / 4 * diameter**2


def say(value, unit):
    """Return a number in words a meter would show, with its unit.

    >>> say(12.345, "V"), say(0.35, "A"), say(1.9, "A"), say(0.0042, "ohm")
    ('12.3 V', '350 mA', '1.90 A', '4.2 mohm')
    """
    size = abs(value)
    if unit == "V":
        return f"{value:.1f} V" if size >= 1 or size < 0.0005 else f"{value * 1000:.0f} mV"
    if unit in ("A", "ohm", "W") and size < 1:
        small = value * 1000
        return f"0 {unit}" if size < 5e-7 else f"{small:.{0 if abs(small) >= 10 else 1}f} m{unit}"
    return f"{value:.2f} {unit}" if size < 10 else f"{value:.1f} {unit}"

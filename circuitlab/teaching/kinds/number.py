"""A reading with its unit."""

from dataclasses import dataclass
from math import ceil, floor, log10
from typing import ClassVar

from ...ground.errors import ArrangementError
from ...ground.quantities import read_quantity, say
from .kind import Kind

_WOULD = {
    "V": "Name the two places where a meter would show that, and how each switch stands then. Are they those asked for?",
    "A": "Name the wire in which a meter would show that, and how each switch stands then. Are they those asked for?"}
_CHANGED = "a minus sign says that red and black have changed places."
_NO_MINUS = "nothing that is counted in {unit} is less than zero."
_FIGURES = "Say which figures lead to that, one by one. Is there one among them that belongs elsewhere?"
_UNIT = "the unit is not: {unit}, or a thousandth of it?"
_SLIPS = {10: "the decimal point is not: it stands one place too far right.", 0.1: "the decimal point is not: it stands one place too far left.",
          100: "the decimal point is not: it stands two places too far right.", 0.01: "the decimal point is not: it stands two places too far left.",
          1000: _UNIT, 0.001: _UNIT, 1e6: _UNIT, 1e-6: _UNIT}
_WHERE = {"V": "Take the two places one by one, black lead on battery {pole}. Which of the two have you not thought about?",
          "A": "Follow the wire that is asked about both ways. Which lamps does its current pass?"}
_FUZZ = 1e-9       # of the last figure, for what floating point adds
LEAST = {"V": 0.0005, "A": 0.0005, "ohm": 0.0005, "W": 0.005, "s": 0.00005}   # taken for zero, in the unit itself


@dataclass(frozen=True)
class Number(Kind):
    """A number of some unit, or the word ``floating`` where a meter finds nothing to compare.

    Parameters
    ----------
    unit : str
        As :func:`~circuitlab.ground.quantities.read_quantity` takes it. [text]
    within : float
        What share of itself the answer may be off. [1]
    """

    unit: str
    within: float = 0.02
    another: ClassVar[str] = "New numbers"

    def read(self, given, variant):
        """Take what was typed: comma or point, with or without unit and prefix."""
        if given is None or not str(given).strip():
            raise ArrangementError("type what the meter shows first, then press Commit.")
        if str(given).strip().casefold() == "floating":
            return None
        return read_quantity(given, self.unit)

    def same(self, one, other):
        if one is None or other is None:
            return one is other
        return abs(one - other) <= max(self.within * max(abs(one), abs(other)), LEAST.get(self.unit, 0.0005))

    def words(self, answer):
        if answer is None:
            return "floating"
        return say(answer, self.unit) if self.unit in ("V", "A", "ohm", "W") else f"{answer:.3g} {self.unit}"

    def taken(self, answer):
        """Return the answer and, in parentheses, the least and the most that are right, none of them rounded outwards. [text]"""
        if answer is None:
            return self.words(answer)
        least, size = LEAST.get(self.unit, 0.0005), abs(answer)
        low, high = min(size * (1 - self.within), size - least), max(size / (1 - self.within), size + least)
        digits = 1 - floor(log10(high - low))
        low, high = ceil(low * 10 ** digits - _FUZZ), floor(high * 10 ** digits + _FUZZ)
        low, high = (each / 10 ** digits for each in (low + (not self.same(low / 10 ** digits, size)), high - (not self.same(high / 10 ** digits, size))))
        low, high = (low, high) if answer >= 0 else (-high, -low)
        return f"{_figures(answer, digits)} {self.unit} ({_figures(low, digits)} to {_figures(high, digits)})"

    def would(self, answer, truth, variant):
        """Take up a slip of sign or prefix, else what no meter in this circuit could show."""
        if answer is None:
            return "Floating would mean that one of the two places is joined to nothing at all. Follow both."
        if truth is None:
            return "A number needs both places to be joined to the battery somehow. Follow both."
        if self.unit in ("V", "A") and self.same(answer, 0.0) and 0.1 <= abs(truth) < 1:
            return f"Small, but not zero: read the m{self.unit}."
        if slip := self.slip(answer, truth):
            return slip
        if self.unit == "V" and abs(answer) > 1.02 * max(variant.circuit.supplies):
            return "That is more than the battery has. Which two places would give so much?"
        return f"That is {_much(answer, truth)} {_WOULD.get(self.unit, _FIGURES)}"

    def slip(self, answer, truth):
        """Return what is said of a wrong sign, decimal point or prefix, or an empty text. [text]"""
        if answer is None or truth is None:
            return ""
        if self.is_nearly_zero(answer, truth):
            return f"Nearly. Small, but not zero: read the m{self.unit}. A real contact or wire always takes some."
        minus = (_CHANGED if self.unit in ("V", "A") else _NO_MINUS).format(unit=self.unit)
        if self.same(answer, -truth):
            return f"The figures are right, the sign is not: {minus}"
        if answer * truth < 0 and not self.same(truth, 0.0):
            return self._misplaced(answer, truth) or f"The sign is not right: {minus} Nor are the figures: {_much(answer, truth)}"
        return self._misplaced(answer, truth)

    def is_nearly_zero(self, answer, truth):
        """Tell whether zero was read where a meter shows some thousandths of a volt. [yes/no]"""
        return self.unit == "V" and self.same(answer, 0.0) and not self.same(truth, 0.0) and abs(truth) < 0.1

    def _misplaced(self, answer, truth):
        """Return what is said of the right figures with the wrong unit, sign or decimal point, or an empty text. [text]"""
        for factor, words in _SLIPS.items():
            for sign, more in ((1, ""), (-1, " So is the sign.")):
                if answer and abs(answer - sign * truth * factor) <= self.within * abs(answer):
                    return f"The figures are right, {words.format(unit=self.unit)}{more}"
        return ""

    def where(self, answer, truth, variant):
        where = _WHERE.get(self.unit, "Take the figures it is made of one by one, each with its unit. Which of them do you doubt?")
        return where.format(pole=variant.circuit.frame)

    def on_paper(self):
        return [(f"____________ {self.unit}", ())]


def _figures(number, digits):
    """Return a number with so many decimals at most, and no idle noughts. [text]"""
    return f"{round(number, digits) + 0.0:.{max(digits, 0)}f}".rstrip("0").rstrip(".") if digits > 0 else f"{round(number, digits):.0f}"


def _much(answer, truth):
    return f"too {'much' if abs(answer) > abs(truth) else 'little'}."

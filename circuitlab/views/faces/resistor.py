"""The face of a resistor: a rectangle."""

from math import isinf

from .body import Body
from .face import Face
from .shape import Shape


class _Rectangle(Shape):
    """Rectangle."""

    name, sides = "resistor", (6, 6)

    def form(self):
        self.box(self.xs[0] - 5, self.top, self.xs[0] + 5, self.low)


class _Wound(Body):
    """Rectangle with a lead at either end."""

    def form(self):
        x, top, low = self.upright()
        self.line([(x, top), (x, top + 4)])
        self.line([(x, low - 4), (x, low)])
        self.rect(x - 5, top + 4, 10, low - top - 8)


class ResistorFace(Face):
    """Told by its ohms."""

    shape, body, middle = _Rectangle, _Wound, 30
    marking = heading = "{0.resistance:g} \N{GREEK CAPITAL LETTER OMEGA}"

    def details(self, part):
        return f"resistor, {part.resistance:g} ohm" + ("" if isinf(part.rated_watts) else f", {part.rated_watts:g} W")

"""The face of a lamp: a circle with a cross; the cross of a blown one is broken in the middle."""

from ..letters import in_lines
from ..point_words import light_words, volt_words
from ..style import THIN
from .body import Body, glass
from .face import Face
from .piece import Piece
from .shape import Shape


class _Cross(Shape):
    """Circle with cross."""

    name, sides = "lamp", (19, 19)

    def form(self):
        x, y, reach = self.xs[0], (self.top + self.low) / 2, 12 * 0.707
        self.dot(x, y, 12, fill="none")
        for side in (1, -1):
            if self.note == "blown":
                self.line((x - reach, y - side * reach), (x - reach / 2, y - side * reach / 2))
                self.line((x + reach, y + side * reach), (x + reach / 2, y + side * reach / 2))
            elif self.note != "missing":
                self.line((x - reach, y - side * reach), (x + reach, y + side * reach))


class _Glass(Body):
    """Glass with a cross."""

    corner = 12

    def form(self):
        x, top, low = self.upright()
        _, y, radius = glass(self.block)
        reach = radius * 0.707
        self.line([(x, top), (x, y - radius)])
        self.line([(x, y + radius), (x, low)])
        self.dot(x, y, radius, "none")
        for side in (1, -1):
            if self.state == "blown":
                self.thick([(x - reach, y - side * reach), (x - 3, y - side * 3)], THIN)
                self.thick([(x + 3, y + side * 3), (x + reach, y + side * reach)], THIN)
            else:
                self.thick([(x - reach, y - side * reach), (x + reach, y + side * reach)], THIN)


class LampFace(Face):
    """Told by its place, its volts and its light."""

    shape, body, middle = _Cross, _Glass, 40

    def pieces(self, part, arrangement):
        return [Piece(part.name, part.name, self.shape, (part.at("1"),), (part.at("2"),), is_load=True)]

    def beside(self, piece, part, arrangement):
        return [(line, "") for line in in_lines(part.place, 62, 2)] + self.changing(part, arrangement)

    def value(self, part, arrangement):
        return part.bulb or f"{part.watts:g} W"

    def changing(self, part, arrangement):
        return [("\N{MINUS SIGN}88.8 V", "volts"), ("188 %", "light")]

    def live(self, part, state, point):
        return {"volts": volt_words(part, point) if point else "",
                "light": state if state != "whole" else light_words(part, point) if point else ""}

    def details(self, part):
        glass = f" (on the bulb: {part.marking})" if part.marking not in ("", part.bulb) else ""
        bulb = f"{part.bulb}, " if part.bulb else ""
        return f"lamp, {bulb}{part.watts:g} W at {part.volts:g} V{glass}, {part.light} light"

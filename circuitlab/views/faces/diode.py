"""The face of a diode: triangle along the current it passes, and the bar it points at."""

from ..style import THIN
from .body import Body
from .face import Face
from .shape import Shape


class _Triangle(Shape):
    """Triangle and bar."""

    name, sides = "diode", (9, 9)

    def form(self):
        x, base, tip = self.xs[0], self.near_y + self.toward * 5, self.far_y - self.toward * 5
        self.line((x, self.near_y), (x, self.far_y))
        self.area((x - 8, base), (x + 8, base), (x, tip))
        self.line((x - 8, tip), (x + 8, tip), lw=2.2)


class _Triangled(Body):
    """Triangle and bar: from the first terminal to the last, not back."""

    def form(self):
        x, top, low = self.upright()
        middle = (top + low) / 2
        self.line([(x, top), (x, low)])
        self.shapes.append(f'<path d="M{x - 7:g} {middle - 6:g}L{x + 7:g} {middle - 6:g}L{x:g} {middle + 6:g}Z'
                           f'M{x - 7:g} {middle + 6:g}L{x + 7:g} {middle + 6:g}" stroke="currentColor" '
                           f'stroke-width="{THIN}" fill="currentColor" fill-opacity="0.25"/>')


class DiodeFace(Face):
    """Told by what it carries and blocks."""

    shape, body = _Triangle, _Triangled
    listing = ("diode, carries {0.rated_current:g} A, blocks {0.blocks:g} V, "
               "drops {0.forward_voltage:g} V at {0.forward_current:g} A, ring on K")

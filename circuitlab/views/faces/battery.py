"""The face of a battery: cells, two posts with their signs."""

from ...parts import Battery
from ..style import MAIN
from .body import Body
from .face import Face
from .shape import Shape


class _Cells(Shape):
    """Long line plus, short thick line minus, twice; plus is below where it stands on the frame."""

    name = "battery"

    def form(self):
        x, step = self.xs[0], (self.low - self.top) / 3
        for cell in (0, 2):
            plus, minus = (self.top + each * step for each in ((cell, cell + 1) if self.plus_up else (cell + 1, cell)))
            self.line((x - 12, plus), (x + 12, plus))
            self.line((x - 6, minus), (x + 6, minus), lw=3.5)
        self.line((x, self.top + step), (x, self.top + 2 * step), ls="2,2")


class _Posts(Body):
    """Two posts with their signs."""

    weight = MAIN

    def form(self):
        x, top, low = self.x, self.first, self.last
        for row in (self.block.rows[0], self.block.rows[-1]):
            self.leads(row, x - 8, x + 8)
        for y in (top, low):
            self.dot(x, y, 8, "none")
        self.thick([(x - 4, top), (x + 4, top)], MAIN)
        self.thick([(x, top - 4), (x, top + 4)], MAIN)
        self.thick([(x - 4, low), (x + 4, low)], MAIN)


class BatteryFace(Face):
    """Its volts are read off the part, for a sheet is made without them."""

    shape, body, middle = _Cells, _Posts, 58
    heading, listing = "", "battery, {0.voltage:g} V"

    def changing(self, part, arrangement):
        return [("88.88 V", "value")]

    def live(self, part, state, point):
        return {"value": f"{part.voltage:.4g} V"}

    def seen(self, part):
        return Battery(part.name, place=part.place)

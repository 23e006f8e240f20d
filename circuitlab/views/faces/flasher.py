"""The face of a flasher: a box with its contact from 49 to 49a, and a square wave."""

from dataclasses import replace

from ...parts import Role
from .body import Body
from .face import Face
from .shape import LINK, Shape


class _Wave(Shape):
    """A box with its contact in the position it is in, and a square wave."""

    name, body, sides = "flasher", 38, (13, 13)
    pitch = 32

    def form(self):
        x, other = self.xs[0], self.xs[-1]
        self.box(min(x, other) - 12, self.top, max(x, other) + 12, self.low)
        near, far = self.near_y + self.toward * 9, self.far_y - self.toward * 9
        self.line((x, self.near_y), (x, near))
        self.line((x, self.far_y), (x, far))
        self.dot(x, near, 1.6)
        self.dot(x, far, 1.6)
        side = 1 if other > x else -1
        self.blade((x, near), (x, far) if self.touched else (x - side * 7, far - self.toward * 2))
        if x != other:       # two pins leave no room for the wave
            y, wave = (self.top + self.low) / 2, x + side * 14 - (0 if side > 0 else 20)
            self.line(*square(wave, y, (0, 5, 10, 15, 20)), lw=LINK)


class _Waved(Body):
    """Its contact in the position it is in, and a square wave; its other terminals end inside."""

    def form(self):
        x, rows = self.x - 8, {row.left.partition(":")[2]: row for row in self.block.rows if row.left}
        start, end = rows["49"].level, rows["49a"].level
        self.contact(x, start, end, self.part.first(Role.CONTACT)[1].conducts(self.state))
        for name, row in rows.items():
            self.leads(row, x)
            if name not in ("49", "49a"):
                self.dot(x, row.level, 1.8)
        self.thick(square(self.x, (start + end) / 2, (2, 6, 11, 16, 20)), 1.0)


def square(x, y, steps):
    """Return the points of a square wave that begins low. [px]"""
    a, b, c, d, e = (x + step for step in steps)
    return [(a, y + 4), (b, y + 4), (b, y - 4), (c, y - 4), (c, y + 4), (d, y + 4), (d, y - 4), (e, y - 4)]


class FlasherFace(Face):
    """As one asks for it at the counter: type, terminals, loads."""

    shape, body, middle, is_spaced = _Wave, _Waved, 44, True

    def beside(self, piece, part, arrangement):
        return [("thermal" if part.is_thermal else "flasher", ""), ("idle", "state")]

    def details(self, part):
        return (f"flasher, {part.type}, {' '.join(part.terminals)}, {part.load_range}, {part.volts:g} V, "
                f"{part.rate:g} per minute, on-time {100 * part.on_share:g} %")

    def seen(self, part):
        return replace(part, rate=90.0, on_share=0.5, note="")

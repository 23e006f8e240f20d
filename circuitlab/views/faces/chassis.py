"""The face of the vehicle's metal: a plate with studs, and the sign of ground; in the schematic it is the lowest line."""

from ..style import MAIN, ground_words
from .body import Body
from .splice import SpliceFace


class _Plate(Body):
    """A plate of the vehicle's metal with a stud for every terminal, and the sign of ground below."""

    def form(self):
        x, ys = self.x, self.strip(8)
        top, low = min(ys) - 7, max(ys) + 7
        self.rect(x - 8, top, 16, low - top, 2)
        self.line([(x, low), (x, low + 6)])
        for half, down in ((9, 6), (6, 10), (3, 14)):
            self.thick([(x - half, low + down), (x + half, low + down)], MAIN)
        for y in ys:
            self.dot(x, y, 4.2, "none")
            self.dot(x, y, 1.6)


class ChassisFace(SpliceFace):
    """Told by its studs."""

    body, middle, below = _Plate, 22, 26
    listing = "chassis, {0.studs} studs"

    def value(self, part, arrangement):
        return ground_words(arrangement) if arrangement.frame == "plus" else "chassis"

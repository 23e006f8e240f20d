"""The face of a splice: a metal strip with a screw for every terminal; in the schematic it is a line."""

from .body import Body
from .face import Face


class _Strip(Body):
    """A metal strip with a screw for every terminal."""

    def form(self):
        x, ys = self.x, self.strip(6)
        self.rect(x - 6, min(ys) - 7, 12, max(ys) - min(ys) + 14, 2)
        for y in ys:
            self.dot(x, y, 3.2, "none")
            self.thick([(x - 2, y + 2), (x + 2, y - 2)], 1.0)


class SpliceFace(Face):
    """Told by its ways."""

    body, middle = _Strip, 16
    listing = "splice, {0.ways} ways"

    def pieces(self, part, arrangement):
        return []

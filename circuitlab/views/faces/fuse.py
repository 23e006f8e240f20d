"""The face of a fuse: a rectangle with the line through it; a blown one has the line broken."""

from .body import Body
from .face import Face
from .piece import Piece
from .shape import Shape


class _Rectangle(Shape):
    """Rectangle with the line through it."""

    name, sides = "fuse", (6, 6)

    def form(self):
        x, middle = self.xs[0], (self.top + self.low) / 2
        if self.note == "missing":      # the two clips, nothing between them
            for y in (self.top, self.low):
                self.line((x - 5, y), (x + 5, y))
            return
        self.box(x - 5, self.top, x + 5, self.low)
        if self.note == "blown":
            self.line((x, self.top), (x, middle - 5), (x - 3, middle - 3))
            self.line((x, self.low), (x, middle + 5), (x + 3, middle + 3))
        else:
            self.line((x, self.top), (x, self.low))


class _Plugged(Body):
    """The fuse in its holder."""

    def form(self):
        x, top, low = self.upright()
        if self.state == "blown":
            middle = (top + low) / 2
            self.line([(x, top), (x, middle - 4), (x - 3, middle - 2)])
            self.line([(x, low), (x, middle + 4), (x + 3, middle + 2)])
        else:
            self.line([(x, top), (x, low)])
        self.rect(x - 6, top + 4, 12, low - top - 8)


class FuseFace(Face):
    """Only what it is rated for is written on it, and that it has blown."""

    shape, body, middle = _Rectangle, _Plugged, 30
    marking = heading = "{0.rating:g} A"
    listing = "{0.family} fuse, {0.rating:g} A"

    def pieces(self, part, arrangement):
        (contact,) = part.branches()
        return [Piece(part.name, part.name, self.shape, part.ends[:1], part.ends[1:],
                      closed=tuple((state, (0,) if contact.conducts(state) else ()) for state in part.states))]

    def changing(self, part, arrangement):
        return [(max(part.states[1:], key=len), "blown")]

    def live(self, part, state, point):
        return {"state": state, "blown": "" if state == part.states[0] else state}

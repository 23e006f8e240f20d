"""The face of a breaker: a contact and the heated strip that opens it."""

from ...parts import Role
from .body import Body
from .face import Face
from .shape import LINK, Shape


class _Hooked(Shape):
    """A box with a contact in the position it is in, and the hook of the heated strip."""

    name, body, sides = "breaker", 34, (13, 13)

    def form(self):
        x, near, far = self.xs[0], self.top + 8, self.low - 8
        self.box(x - 12, self.top, x + 12, self.low)
        self.line((x, self.top), (x, near))
        self.line((x, self.low), (x, far))
        self.dot(x, near, 1.6)
        self.dot(x, far, 1.6)
        self.blade((x, near), (x, far) if self.touched else (x - 7, far - 2))
        y = (near + far) / 2
        self.line((x + 3, y), (x + 6, y), (x + 6, y - 4), (x + 9, y - 4), (x + 9, y), (x + 12, y), lw=LINK)


class _Strip(Body):
    """Its contact, closed only in the states in which it conducts, and the strip that bends."""

    def form(self):
        x, top, low = self.upright()
        self.contact(x, top, low, self.part.first(Role.CONTACT)[1].conducts(self.state))
        self.thick([(x + 4, low - 4), (x + 9, low - 4), (x + 9, top + 4), (x + 4, top + 4)], 1.0)


class BreakerFace(Face):
    """Rated like a fuse, and closed or open."""

    shape, body = _Hooked, _Strip
    marking, heading, listing = "{0.rating:g} A", "breaker {0.rating:g} A", "breaker, recloses by itself, {0.rating:g} A"

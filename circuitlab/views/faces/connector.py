"""The face of a connector: at each pin a socket's cup with the plug's blade in it, or before it where the pin does not join."""

from dataclasses import replace
from math import cos, inf, pi, sin

from ...ground.quantities import say
from ...parts.connector import PLUG, SOCKET, SOUND, pins_of
from .body import Body
from .face import Face
from .piece import Piece, ends
from .shape import Shape

CUP = 5                      # radius of a socket's contact [px]
_ARC = [(CUP * cos(step * pi / 8), CUP * sin(step * pi / 8)) for step in range(-4, 5)]    # open to the left, in the way of x


class _Pin(Shape):
    """The cup of the socket, and the blade of the plug in it; apart where it does not join."""

    name, body, sides = "connector", 24, (8, 8)

    def form(self):
        x, toward = self.xs[0], self.toward
        inside = self.near_y + toward * (CUP + 3)
        self.line((x, self.near_y), (x, inside - toward * CUP))
        self.line(*((x + along, inside - toward * down) for down, along in _ARC))
        self.blade((x, self.far_y), (x, inside - toward * 2 if self.touched else self.far_y - toward * 7))


class _Halves(Body):
    """Socket on the left, plug on the right: a cup and a blade in every row."""

    def form(self):
        joined = {branch.start for branch in self.part.branches() if branch.mated and branch.conducts(self.state)}
        for row in self.block.rows:
            cup, tip = self.x - CUP, self.x - 3 if row.left.rpartition(":")[2] in joined else self.x + CUP + 3
            self.leads(row, cup - CUP, self.x + 2 * CUP + 6)
            y = row.level
            self.line([(cup - along, y + down) for along, down in _ARC])
            self.thick([(self.x + 2 * CUP + 6, y), (tip, y)], 2.6)
            self.moving.append(((self.x + 2 * CUP + 6, y), (tip, y)))


class ConnectorFace(Face):
    """Told by its kind; each pin by what is usual on it."""

    shape, body, middle = _Pin, _Halves, 48
    heading = "{0.type}"

    def pieces(self, part, arrangement):
        contacts = [branch for branch in part.branches() if branch.mated]
        return [Piece(f"{part.name}.{pin}", part.name, _Pin, ends(part, f"{pin}{SOCKET}"), ends(part, f"{pin}{PLUG}"),
                      closed=tuple((state, (0,) if contact.conducts(state) else ()) for state in part.states))
                for pin, contact in zip(part.numbers, contacts, strict=True)]

    def lines(self, piece, part, arrangement, see):
        return super().lines(piece, part, arrangement, "")

    def beside(self, piece, part, arrangement):
        pin = piece.key.rpartition(".")[2]
        return [(row["function"].partition(",")[0], "") for row in pins_of(part.type) if row["pin"] == pin] + self.changing(part, arrangement)

    def rows(self, part, view, pins):
        return tuple((f"{part.name}:{pin}{SOCKET}", f"{part.name}:{pin}{PLUG}") for pin in part.numbers)

    def changing(self, part, arrangement):
        return [("parted", "parted")]

    def live(self, part, state, point):
        return {"parted": "parted" if state == "parted" else ""}

    def seen(self, part):
        return replace(part, pins=tuple((pin, ohms) for pin, ohms in part.pins if ohms == inf), water=(), contact_resistance=SOUND)

    def details(self, part):
        poor = ", ".join(f"pin {pin} {'open' if ohms == inf else say(ohms, 'ohm')}" for pin, ohms in part.pins)
        wet = ", ".join(f"water between {pair.replace('-', ' and ')}, {say(ohms, 'ohm')}" for pair, ohms in part.water)
        return "; ".join(filter(None, (f"connector, {part.type}, socket {SOCKET}, plug {PLUG}", poor, wet)))

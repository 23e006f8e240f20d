"""The face of a connector: at each pin a socket's cup with the plug's blade in it, or before it where the pin does not join.

Its block has the socket's half above and the plug's half below, as a trailer is behind its vehicle: the wires of each come in on
either side, and no lead of one pin crosses that of another.
"""

from dataclasses import replace
from itertools import zip_longest
from math import cos, inf, pi, sin

from ...ground.quantities import say
from ...parts.connector import PLUG, SOCKET, SOUND, pins_of
from .body import Body
from .face import Face
from .piece import Piece, ends
from .shape import Shape

CUP = 5                      # radius of a socket's contact [px]
STEP = 13                    # from the cup of one pin to the next in a block [px]
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
    """Socket above, plug below: from the row of each pin a lead to its place between the two, where cup and blade meet."""

    def form(self):
        joined = {branch.start for branch in self.part.branches() if branch.mated and branch.conducts(self.state)}
        middle = (self.first + self.last) / 2
        at = {pin: self.x + STEP * (place - (len(self.part.numbers) - 1) / 2) for place, pin in enumerate(self.part.numbers)}
        for row in self.block.rows:
            for terminal, edge, ys in ((row.left, self.block.left, row.lefts), (row.right, self.block.right, row.rights)):
                if terminal:
                    name = terminal.rpartition(":")[2]
                    self.leads(row, at[name[:-1]], only=terminal)
                    (self._cup if name.endswith(SOCKET) else self._blade)(at[name[:-1]], row.level, middle, f"{name[:-1]}{SOCKET}" in joined, self.ends[terminal])

    def _cup(self, x, y, middle, _, state):
        self.line([(x, y), (x, middle - CUP)], state)
        self.line([(x + along, middle - down) for down, along in _ARC])

    def _blade(self, x, y, middle, is_joined, state):
        self.line([(x, y), (x, middle + CUP + 5)], state)
        tip = middle + (-1 if is_joined else CUP + 1)
        self.thick([(x, middle + 2 * CUP + 4), (x, tip)], 2.6)
        self.moving.append(((x, middle + 2 * CUP + 4), (x, tip)))


class ConnectorFace(Face):
    """Told by its kind; each pin by what is usual on it."""

    shape, body = _Pin, _Halves
    heading = "{0.type}"
    turns = False

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

    def inside(self, part):
        return STEP * len(part.numbers) + 4

    def rows(self, part, view, pins):
        """Return the socket's pins, the innermost of both sides on top, a row between the halves, then the plug's the other way round."""
        half = (len(part.numbers) + 1) // 2
        pairs = list(zip_longest(part.numbers[:half][::-1], part.numbers[half:], fillvalue=""))

        def rows(side, pairs):
            return [tuple(f"{part.name}:{pin}{side}" if pin else "" for pin in pair) for pair in pairs]

        return (*rows(SOCKET, pairs), ("", ""), ("", ""), *rows(PLUG, pairs[::-1]))

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

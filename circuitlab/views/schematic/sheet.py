"""The sheet: every piece, wire, bar and label with its place in drawing units. Records only."""

from dataclasses import dataclass

from ...arrangements.plan import Plan
from ..faces.piece import Piece


@dataclass(frozen=True)
class Symbol:
    """One piece in its place: the x of each of its terminals, near first, its top, which side is up.

    ``link`` is how far to the left the dashed link to the next pole of its switch reaches, 0 without one. [px]
    """

    piece: Piece
    xs: tuple
    left: float
    right: float
    top: float
    height: float
    near_up: bool
    link: float = 0.0

    @property
    def box(self):
        """Left, top, right, bottom. [px]"""
        return self.left, self.top, self.right, self.top + self.height

    @property
    def lead(self):
        """From a terminal to the body. [px]"""
        return (self.height - self.piece.shape.body) / 2

    @property
    def contacts(self):
        """Where in the body each terminal's line ends: beside its path where a blade must reach it. [px]"""
        return self.piece.shape.contacts(self.xs)

    def pins(self):
        """Yield every terminal with its place: ``(terminal, x, y, whether it is on top)``."""
        for index, terminal in enumerate(self.piece.terminals):
            up = self.near_up == (index == 0)
            yield terminal, self.xs[index], self.top if up else self.top + self.height, up


@dataclass(frozen=True)
class Metal:
    """A bar of metal: rail, splice, or a terminal that carries several wires.

    ``lines`` are its stretches, ``taps`` the places where wires are joined, as ``(x, y, terminal)``.
    """

    key: str
    kind: str
    part: str
    terminals: tuple
    lines: tuple
    taps: tuple


@dataclass(frozen=True)
class Line:
    """A wire as drawn: its stretches ``(x, y, x, y)`` in order, from its start to its end; one that is interrupted leaves some out."""

    wire: str
    lines: tuple

    @property
    def is_interrupted(self):
        """Whether it goes on elsewhere, where a reference says. [yes/no]"""
        return any(line[2:] != after[:2] for line, after in zip(self.lines, self.lines[1:]))


@dataclass(frozen=True, eq=False)
class Sheet:
    """Everything on the sheet, ready to be filled with an operating point; ``spots``, ``later`` and ``ways`` as a plan has them."""

    arrangement: object
    width: float
    height: float
    symbols: tuple
    wires: tuple
    metals: tuple
    labels: tuple
    key: tuple
    paths: dict
    columns: tuple
    spots: tuple = ()
    later: tuple = ()
    ways: tuple = ()

    @property
    def is_grown(self):
        """Whether something was put in when it stood. [yes/no]"""
        return bool(self.later) or any(len(way) > 3 for way in self.ways)

    @property
    def plan(self):
        """What a plan keeps of it."""
        return Plan(schematic=self.spots, later=self.later, ways=self.ways)

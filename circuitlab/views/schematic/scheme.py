"""The scheme of a sheet: bars from plus to ground, pieces in the gaps between, runs of wire from one to the next.

A *bar* is a horizontal line: a rail, a splice, a terminal that carries several
wires, or a *lane*, the turn a wire makes where its two ends cannot face each
other. A *piece* stands upright in the gap between two bars. A *run* is one
vertical stretch of a wire (or of the metal of a terminal) from bar or piece
down to bar or piece. Nothing here knows about columns or millimetres.
"""

from dataclasses import dataclass, field

from .flow import heights
from ...parts import Role
from ..faces import face_of
from ..faces.piece import Piece


@dataclass(eq=False)
class Bar:
    """One horizontal line; ``kind`` is plus, ground, splice, terminal or lane."""

    key: str
    kind: str
    owner: str
    height: float
    level: int = 0
    index: int = 0
    gap = -1             # it stands in none

    @property
    def foot(self):
        """The gap below it. [1]"""
        return self.level

    @property
    def head(self):
        """The gap above it. [1]"""
        return self.level - 1


@dataclass(eq=False)
class Stand:
    """A piece on its feet: which terminals are on top, in which gap it stands, how tall it is. [px]"""

    piece: Piece
    near_up: bool
    height: float
    gap: int = 0
    tall: float = 0.0
    roof: object = None       # the bars between which it is kept, and how far below the upper one [px]
    floor: object = None
    drop: float = 0.0

    @property
    def key(self):
        return self.piece.key

    @property
    def foot(self):
        """The gap below it and the gap above it, which are its own. [1]"""
        return self.gap

    head = foot

    @property
    def up(self):
        return self.piece.near if self.near_up else self.piece.far

    @property
    def down(self):
        return self.piece.far if self.near_up else self.piece.near

    def slot(self, terminal):
        """Return which of its paths a terminal is in. [1]"""
        return self.piece.slots[self.piece.terminals.index(terminal)]


@dataclass(eq=False)
class Run:
    """A vertical stretch of a wire, or of a terminal's own metal when ``wire`` is empty."""

    wire: str
    upper: object
    lower: object
    upper_terminal: str = ""
    lower_terminal: str = ""
    label_gap: int = -1

    @property
    def key(self):
        return self.wire

    @property
    def gaps(self):
        """The gaps it passes through, from the top. [1]"""
        return range(self.upper.foot, self.lower.head + 1)


@dataclass
class Scheme:
    """Bars by level, stands, runs, and the bar of every terminal that has one."""

    arrangement: object
    bars: list = field(default_factory=list)
    stands: list = field(default_factory=list)
    runs: list = field(default_factory=list)
    bar_of: dict = field(default_factory=dict)
    stand_of: dict = field(default_factory=dict)
    below: dict = field(default_factory=dict)     # node -> nodes that must be lower
    shared: tuple = ()                            # pairs of bars on one level

    def is_above(self, upper, lower):
        """Tell whether the order already says that one node is above another."""
        seen, todo = set(), [upper]
        while todo:
            node = todo.pop()
            if node is lower:
                return True
            if node not in seen:
                seen.add(node)
                todo += self.below[node]
        return False

    def order(self, upper, lower):
        """Ask for one node above another; False when the order already says the opposite."""
        if self.is_above(lower, upper):
            return False
        self.below[upper].append(lower)
        return True

    def add(self, node):
        """Take in a bar or a stand, and return it."""
        self.below[node] = []
        (self.bars if isinstance(node, Bar) else self.stands).append(node)
        return node


def scheme_of(arrangement, apart=(), kept=None):
    """Return the scheme of an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    apart : set of str
        Wires between two pieces that must take a lane instead of one straight line. [text]
    kept : Kept, optional
        What stands where a plan has it.
    """
    scheme = Scheme(arrangement)
    height = heights(arrangement)
    for piece in (piece for part in arrangement.parts for piece in face_of(part).pieces(part, arrangement)):
        stand = scheme.add(_on_its_feet(arrangement, piece, height))
        if kept and stand.key in kept.tops:
            stand.near_up = stand.key not in kept.turned
    for stand in scheme.stands:
        for terminal in stand.piece.terminals:
            scheme.stand_of.setdefault(terminal, []).append(stand)
    _make_bars(scheme, height)
    if kept:
        kept.settle(scheme)
    _order_rails(scheme, [*scheme.stands, *scheme.bars])
    for terminal, stands in scheme.stand_of.items():
        if terminal in scheme.bar_of:
            for stand in stands:
                _join(scheme, "", terminal, terminal, stand, scheme.bar_of[terminal], apart)
    for wire in sorted(arrangement.wires, key=lambda wire: -max(height[wire.start], height[wire.end])):
        first, second = (scheme.bar_of.get(end) or scheme.stand_of[end][0] for end in wire.terminals)
        _join(scheme, wire.name, wire.start, wire.end, first, second, apart)
    return scheme


def _on_its_feet(arrangement, piece, height):
    def mean(terminals):
        wired = [terminal for terminal in terminals if arrangement.wires_at[terminal]] or terminals
        return sum(height[terminal] for terminal in wired) / len(wired)

    near, far = mean(piece.near), mean(piece.far)
    near_up = near > far
    if abs(near - far) < 1e-4:      # no current would pass: hang what is wired where it belongs
        lone = [bool(any(arrangement.wires_at[end] for end in side)) for side in (piece.near, piece.far)]
        near_up = lone[0] == (near > 0.3) if lone[0] != lone[1] else True
    if arrangement.part(piece.part).first(Role.SOURCE):
        near_up = arrangement.frame == "minus"
    return Stand(piece, near_up, (near + far) / 2)


def _make_bars(scheme, height):
    arrangement = scheme.arrangement
    grounds = [part for part in arrangement.parts if part.kind == "chassis"]
    zero, live = arrangement.poles
    for part in arrangement.parts:
        ends = [f"{part.name}:{terminal}" for terminal in part.terminals]
        if part.is_metal:
            kind = "ground" if part in grounds else "splice"
            for name, group in part.metals.items():
                there = [f"{part.name}:{terminal}" for terminal in group]
                bar = scheme.add(Bar(f"{part.name}.{name}".removesuffix("."), kind, part.name, sum(height[end] for end in there) / len(there)))
                scheme.bar_of.update((end, bar) for end in there)
            continue
        for end in ends:
            pins, wires = len(scheme.stand_of[end]), len(arrangement.wires_at[end])
            rail = end == live or (end == zero and not grounds)
            if pins + wires > 2 or pins > 1 or rail:
                kind = "supply" if end == live else "ground" if rail else "terminal"
                scheme.bar_of[end] = scheme.add(Bar(end, kind, part.name, height[end]))


def _order_rails(scheme, nodes):
    """Ask for nodes below the supply and above every ground."""
    ground = [bar for bar in scheme.bars if bar.kind == "ground"]
    for node in nodes:
        for rail in scheme.bars:
            if rail.kind == "supply" and node is not rail:
                scheme.order(rail, node)
            elif rail in ground and node not in ground:
                scheme.order(node, rail)


def _join(scheme, wire, start, end, first, second, apart):
    """Lay one wire (or the metal of one terminal) as runs, with lanes where its ends do not face each other."""
    if isinstance(first, Bar) and isinstance(second, Bar):
        if first is second:
            lane = _lane(scheme, wire, first.height)
            if first.kind != "supply":
                scheme.order(lane, first)
            scheme.runs += [Run(wire, lane, first, "", start), Run(wire, lane, second, "", end)]
        else:
            scheme.runs.append(Run(wire, first, second, start, end))      # which is the upper one, levels will tell
        return
    if isinstance(first, Bar) or (isinstance(second, Stand) and end in second.down and start in first.up):
        start, end, first, second = end, start, second, first
    down = start in first.down            # first is a stand
    faces = isinstance(second, Bar) or down and end in second.up and wire not in apart
    if faces and scheme.order(*((first, second) if down else (second, first))):
        scheme.runs.append(_run(wire, first, second, start, end, down))
    else:
        _join(scheme, wire, "", end, _turn(scheme, wire, start, first), second, apart)


def _lane(scheme, wire, height):
    number = sum(bar.kind == "lane" and bar.owner == wire for bar in scheme.bars)
    return scheme.add(Bar(f"{wire} lane {number + 1}", "lane", wire, height))


def _turn(scheme, wire, terminal, stand):
    """Give a piece's terminal a private lane right beside it, and return the lane."""
    down = terminal in stand.down
    lane = _lane(scheme, wire or terminal, stand.height + (-0.001 if down else 0.001))
    scheme.order(*((stand, lane) if down else (lane, stand)))
    scheme.runs.append(_run(wire, stand, lane, terminal, "", down))
    _order_rails(scheme, [lane])
    return lane


def _run(wire, first, second, start, end, down):
    """Make a run from a stand, down or up."""
    return Run(wire, first, second, start, end) if down else Run(wire, second, first, end, start)

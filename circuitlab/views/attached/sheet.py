"""The attached sheet: every block, wire and label with its place in drawing units. Records only."""

from dataclasses import dataclass

from ...arrangements.plan import SIDES, STEP, Plan


@dataclass(frozen=True)
class Row:
    """One height in a block at which wires come in, from the left or from the right.

    ``left`` and ``right`` are the terminals met there (the same one, or two, or
    none in a row that only makes room); ``lefts`` and ``rights`` the heights of
    the places where wires join. [px]
    """

    left: str
    right: str
    top: float
    low: float
    lefts: tuple = ()
    rights: tuple = ()

    @property
    def level(self):
        """Height at which what joins it is led inwards. [px]"""
        ys = self.lefts or self.rights or (self.top, self.low)
        return sum(ys) / len(ys)


@dataclass(frozen=True)
class Block:
    """A part as it is met on the vehicle: its box, its rows from top to bottom, and for a relay its blades.

    ``blades`` are ``(terminal, x, y, lies flat)`` of the socket. [px]
    """

    part: str
    left: float
    top: float
    right: float
    low: float
    rows: tuple
    blades: tuple = ()

    @property
    def box(self):
        """Left, top, right, bottom. [px]"""
        return self.left, self.top, self.right, self.low

    def pins(self):
        """Yield every place where a wire joins, or could: ``(terminal, x, y)``. [px]"""
        for row in self.rows:
            for terminal, x, ys in ((row.left, self.left, row.lefts), (row.right, self.right, row.rights)):
                for y in ys:
                    yield terminal, x, y


@dataclass(frozen=True)
class Route:
    """A wire as drawn: its stretches ``(x, y, x, y)`` in order from its start to its end, how far down it leaves, passes columns and arrives. [px]"""

    wire: str
    lines: tuple
    downs: tuple = ()


@dataclass(frozen=True, eq=False)
class AttachedSheet:
    """Everything on the sheet, ready to be filled with an operating point.

    ``outline`` is the box of the vehicle, or nothing where no lamp says where on it it sits, ``trailer`` that of one behind it. ``channels`` are the
    places between, before and after the columns: the x of the first track and of the last one. ``corner`` is where a plan
    counts from; ``turned`` names what stands on its head; ``boxes`` are what stands together because it shares a place, each
    ``(place, left, top, right, bottom)``. [px]
    """

    arrangement: object
    view: str
    pins: str
    width: float
    height: float
    blocks: tuple
    routes: tuple
    labels: tuple
    key: tuple
    outline: tuple = ()
    channels: tuple = ()
    corner: tuple = (0.0, 0.0)
    turned: frozenset = frozenset()
    boxes: tuple = ()
    trailer: tuple = ()

    @property
    def plan(self):
        """What a plan keeps of it: where blocks and columns stand, and on which sides wires leave."""
        spots, middle, top = self.spots, {block.part: (block.left + block.right) / 2 for block in self.blocks}, self.corner[1]
        ends = ((route, self.arrangement.part(route.wire).terminals, (route.lines[0][0], route.lines[-1][2])) for route in self.routes)
        return Plan(spots, columns=[(x, *(name for name, *at in spots if at[0] == x)) for x in sorted({x for _, x, *_ in spots})], wires=[
            (route.wire, *(each for end, x in zip(terminals, xs, strict=True) for each in (end, SIDES[x > middle[end.partition(":")[0]]])),
             *((y - top) / STEP for y in route.downs)) for route, terminals, xs in ends])

    @property
    def spots(self):
        """Where every block stands, as a plan has it: ``(part, middle, first row, on its head)``. [text, step, step, yes/no]"""
        left, top = self.corner
        return tuple((block.part, round(((block.left + block.right) / 2 - left) / STEP, 2),
                      round((block.rows[0].top - top) / STEP, 2), block.part in self.turned) for block in self.blocks)

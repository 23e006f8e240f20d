"""The face of a converter: its logic a box of its own, each channel a contact of electronics in its own path; for the builder one box."""

from ...parts.converter import EXCLUSIVE, POWERED, SIDES
from ..letters import SMALL, Label, text_width
from ..strokes import words
from ..style import THIN
from .body import Body
from .face import Face
from .piece import Piece, ends
from .shape import LINK, Shape

SIGNS = {True: "=1", False: "\N{GREATER-THAN OR EQUAL TO}1"}     # of exclusive or, and of or. Source: IEC 60617-12, from memory
_OUT, _SPOT = 25, 8      # from the middle of a block to the edge of its box; round the mark of a channel, its radius [px]


def sign_of(part):
    """Return what stands in the box of a converter or channel: the sign of its logic, or 1 where one signal is passed on. [text]"""
    return "1" if len(getattr(part, "signals", SIDES)) == 1 else SIGNS[part.logic == EXCLUSIVE]


class _Gate(Shape):
    """A box with its sign: what looks at the signals."""

    name, body, sides, pitch = "converter", 30, (12, 12), 24


class _Passage(Shape):
    """A contact in a box; where one of two signals is passed on, both meet before it."""

    name, body, sides, pitch = "channel", 34, (13, 13), 26

    def form(self):
        x, *far = self.xs
        self.box(min(self.xs) - 12, self.top, max(self.xs) + 12, self.low)
        near, meet = self.near_y + self.toward * 8, self.far_y - self.toward * 9
        self.line((x, self.near_y), (x, near))
        for other in far:
            self.line((other, self.far_y), (other, meet), (x, meet))
        self.dot(x, near, 1.6)
        self.dot(x, meet, 1.6)
        self.blade((x, meet), (x, near) if self.touched else (x - 7, near + self.toward * 2))
        for side in (-1, 1):    # a bar on either side of the blade: electronics, no metal that moves
            self.line((x + side * 9, near), (x + side * 9, near + self.toward * 5), lw=LINK)


class _Box(Body):
    """Posts of its signals on the left, of its outputs on the right, the sign of its logic between."""

    def form(self):
        rows = [row for row in self.block.rows if row.left or row.right]
        ys = [row.level for row in rows]
        self.rect(self.x - _OUT, min(ys) - 6, 2 * _OUT, max(ys) - min(ys) + 12)
        for row in rows:
            self.leads(row, self.x - _OUT, self.x + _OUT)
        levels = {row.right.rpartition(":")[2]: row.level for row in rows if row.right}
        for each in self.part.seats:      # a triangle at each output that a channel feeds: electronics, which pass one way
            x, y = self.x + _OUT - 4, levels[each.out]
            self.shapes.append(f'<path d="M{x - 8:g} {y - 5:g}L{x - 8:g} {y + 5:g}L{x:g} {y:g}Z" stroke="currentColor" stroke-width="{THIN}"/>')
        sign = sign_of(self.part)
        self.shapes.append(words(Label(sign, round(self.x - 8 - text_width(sign, SMALL) / 2, 1), round((min(ys) + max(ys)) / 2 + 0.36 * SMALL, 1), SMALL, "piece")))


class ConverterFace(Face):
    """As one asks for it at the counter: with a supply of its own or without, what each channel drives."""

    body, middle, above = _Box, 2 * _OUT + 12, 14
    heading = "{0.type}"

    def pieces(self, part, arrangement):
        signals = ends(part, "54", *SIDES, *(("58",) if part.type == POWERED else ()))
        found = [Piece(f"{part.name}.logic", part.name, _Gate, ends(part, "31"), signals, (0, *range(len(signals))), is_load=True, word=sign_of(part))]
        return found + [Piece(f"{part.name}.58t", part.name, Shape, ends(part, "58"), ends(part, "58t"), word="through") for _ in part.branches()]

    def beside(self, piece, part, arrangement):
        return [(part.type, "")] if piece.shape is _Gate else []

    def lines(self, piece, part, arrangement, see):
        return super().lines(piece, part, arrangement, "")

    def rows(self, part, view, pins):
        rows = {"54": "", **{side: f"{side}t" for side in SIDES}, "58": "58t", "30": "", "31": ""}
        found = [(f"{part.name}:{left}", right and f"{part.name}:{right}") for left, right in rows.items() if left in part.terminals]
        return (*found[:2], ("", ""), found[2], ("", ""), *found[3:])

    def seats(self, part, block):
        levels = {row.right.rpartition(":")[2]: row.level for row in block.rows if row.right}
        return {each.name: ((block.left + block.right) / 2 + _OUT - 9, levels[each.out], _SPOT) for each in part.seats}

    def changing(self, part, arrangement):
        return [(f"{lamp.out} cut off", lamp.out) for lamp in part.seats]

    def live(self, part, state, point):
        return {lamp.out: f"{lamp.out} {point.states[lamp.name]}" if point else "" for lamp in part.seats}

    def details(self, part):
        logic = "exclusive or: one signal alone, not both" if part.logic == EXCLUSIVE else "a plain join, which loses the turn signal"
        return f"converter, {part.type}, {logic}, {part.most_amps:g} A each channel, {part.lost_volts:g} V lost at 2 A{', dead' * part.dead}"


class ChannelFace(Face):
    """Told by what it does now."""

    shape = _Passage

    def pieces(self, part, arrangement):
        return [Piece(part.name, part.name, _Passage, (part.at(part.out),), tuple(map(part.at, part.feeds)), (0, *range(len(part.feeds))),
                      tuple((state, (0,) if part.branches()[0].conducts(state) else ()) for state in part.states))]

    def changing(self, part, arrangement):
        return [("cut off", "state")]

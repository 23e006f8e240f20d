"""What is drawn inside a block of the attached form: contacts, screws, posts between the places where wires join. As SVG."""

from ..letters import SMALL, Label, text_width
from ..strokes import NEUTRAL, dashes_of, path_of, pin, ring, words
from ..style import THIN

BLADE = 2.6                  # the moving part of a contact [px]


class Body:
    """The inside of a block, its part being in a state: here a plain box with the kind of its part written in it.

    Parameters
    ----------
    block : Block
        With its place. [px]
    part : Part
    state : str
        Of the part. [text]
    ends : dict of str to str
        For each terminal live, ghost, dead, doubtful, floating or plain. [text]
    """

    corner, weight = 4, THIN

    def __init__(self, block, part, state, ends):
        self.block, self.part, self.state, self.ends = block, part, state, ends
        self.shapes, self.moving = [], []
        self.x = (block.left + block.right) / 2
        self.first, self.last = block.rows[0].level, block.rows[-1].level     # heights of its outer rows [px]
        self.form()

    def svg(self, loose=()):
        """Return frame, inside and terminals; those among the loose have no wire and are drawn open. [text]"""
        return self._frame() + "".join(self.shapes) + self._pins(loose)

    def form(self):
        """Draw the inside."""
        ys, half = self.strip(self.half), self.half
        self.rect(self.x - half, min(ys) - 6, 2 * half, max(ys) - min(ys) + 12)
        wide = text_width(self.part.kind, SMALL)
        self.shapes.append(words(Label(self.part.kind, round(self.x - wide / 2, 1),
                                       round((min(ys) + max(ys)) / 2 + 0.36 * SMALL, 1), SMALL, "piece")))

    @property
    def half(self):
        """Half of what the plain box is wide. [px]"""
        return text_width(self.part.kind, SMALL) / 2 + 4

    def _frame(self):
        block = self.block
        return (f'<rect class="block" x="{block.left:g}" y="{block.top:g}" width="{block.right - block.left:g}" '
                f'height="{block.low - block.top:g}" rx="{self.corner:g}" stroke="currentColor" stroke-width="{self.weight:g}"/>')

    def _pins(self, loose):
        """Draw every place where a wire joins, and where none does the bare terminal; a ring where a ghost is in doubt."""
        rings = "".join(ring(x, y) for terminal, x, y in self.block.pins() if self.ends[terminal] == "doubtful")
        return rings + "".join(pin(terminal, x, y, loose) for terminal, x, y in self.block.pins())

    def line(self, points, state="plain"):
        """Draw one line through points, as heavy as its state. [px]"""
        self.shapes.append(f'<path class="lead" d="{_through(points)}" stroke="currentColor" '
                           f'stroke-width="{NEUTRAL[state]:g}"{dashes_of(state, True)}/>')

    def thick(self, points, weight):
        """Draw one line through points of a weight. [px]"""
        self.shapes.append(f'<path d="{_through(points)}" stroke="currentColor" stroke-width="{weight:g}"/>')

    def dot(self, x, y, radius=2.0, fill="currentColor"):
        """Draw a dot or ring. [px]"""
        self.shapes.append(f'<circle cx="{x:g}" cy="{y:g}" r="{radius:g}" stroke="currentColor" stroke-width="{THIN}" '
                           f'fill="{fill}"/>')

    def rect(self, left, top, width, height, radius=0):
        """Draw a plain box. [px]"""
        self.shapes.append(f'<rect x="{left:g}" y="{top:g}" width="{width:g}" height="{height:g}" rx="{radius:g}" '
                           f'stroke="currentColor" stroke-width="{THIN}"/>')

    def leads(self, row, inner, outer=None, only=""):
        """Lead from where wires join a row inwards: to ``inner`` from the left, to ``outer`` from the right. [px]"""
        y = row.level
        for terminal, edge, ys, x in ((row.left, self.block.left, row.lefts, inner),
                                      (row.right, self.block.right, row.rights, inner if outer is None else outer)):
            if terminal and ys and only in ("", terminal):
                if min(ys) != y or max(ys) != y:
                    self.line([(edge, min(*ys, y)), (edge, max(*ys, y))], self.ends[terminal])
                self.line([(edge, y), (x, y)], self.ends[terminal])

    def upright(self):
        """Lead first and last row to the middle: return it and the heights of both. [px]"""
        self.leads(self.block.rows[0], self.x)
        self.leads(self.block.rows[-1], self.x)
        return self.x, self.first, self.last

    def contact(self, x, start, end, is_closed):
        """Draw a blade from one height to another, open or closed. [px]"""
        toward = 1 if end > start else -1
        tip = (x, end) if is_closed else (x - 6, end - toward * 4)
        self.dot(x, start, 1.8)
        self.dot(x, end, 1.8)
        self.thick([(x, start), tip], BLADE)
        self.moving.append(((x, start), tip))

    def strip(self, half):
        """Lead every row to metal in the middle, so wide to either side: return the heights. [px]"""
        rows = [row for row in self.block.rows if row.left]
        for row in rows:
            self.leads(row, self.x - half, self.x + half)
        return [row.level for row in rows]


def _through(points):
    return path_of([(*a, *b) for a, b in zip(points, points[1:])])


def glass(block):
    """Return the middle and the radius of a lamp's glass. [px]"""
    top, low = block.rows[0].level, block.rows[-1].level
    return (block.left + block.right) / 2, (top + low) / 2, min(11, (low - top) / 2 - 2)

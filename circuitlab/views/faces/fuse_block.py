"""The face of a fuse block: each fuse in its own path; for the builder rails with a fuse to every way, spare ways told."""

from dataclasses import replace

from ..letters import NAME, NUMBER, SMALL, Label, shortened, text_width
from ..strokes import words
from .body import BLADE, Body
from .face import Face
from .piece import Piece, ends
from .shape import Shape

SPARE = "spare"
_FUSE, _HALF, _EDGE, _REACH = 22, 4, 6, 13     # of a fuse: length, half its height; from edges, how far a hand's area goes above and below [px]


class _Clips(Shape):
    """Two clips with nothing between them."""

    name, sides = "clips", (6, 6)

    def form(self):
        x = self.xs[0]
        for y in (self.top, self.low):
            self.line((x - 5, y), (x + 5, y))


def _told(part):
    """Return what is written at each way. [text]"""
    return {way: SPARE for way in part.numbers} | {fuse.way: f"{fuse.rating:g} A" for fuse in part.seats}


def _wide(part):
    """Return how wide the words at the ways run, and the numbers of terminals. [px]"""
    said = max(text_width(text, SMALL) for text in (*_told(part).values(), "missing"))
    return round(said), round(max(text_width(each, NUMBER) for each in part.terminals) + 9)


def _fuses(part, block):
    """Return how far right each rail's metal is, and left end and height of each way's fuse. [px]"""
    said, number_wide = _wide(part)
    rail = block.left + _EDGE + max(said, number_wide) + _EDGE
    return rail, {row.right.rpartition(":")[2]: (rail + _EDGE, row.level) for row in block.rows if row.right}


class _Ways(Body):
    """Each rail an upright with a fuse to the right of it for every way; what sits there is written to its left."""

    def form(self):
        rail, fuses = _fuses(self.part, self.block)
        rows = {row.left or row.right: row for row in self.block.rows if row.left or row.right}
        gone = dict(each.split(" ", 1) for each in self.state.split(", ") if each != self.part.states[0])
        for name, ways in self.part.rails.items():
            feed = f"{self.part.name}:{name}"
            heights = [rows[feed].level, *(fuses[way][1] for way in ways)]
            self.leads(rows[feed], rail)
            self.line([(rail, min(heights)), (rail, max(heights))], self.ends[feed])
            for way in ways:
                self._way(way, rail, *fuses[way], feed, rows, gone.get(way, ""))

    def _way(self, way, rail, x, y, feed, rows, gone):
        """Draw one way from its rail to its terminal. [px]"""
        far, told = x + _FUSE, _told(self.part)[way]
        self.line([(rail, y), (x, y)], self.ends[feed])
        row = rows[f"{self.part.name}:{way}"]
        self.leads(row, far)
        if not row.rights:
            self.line([(far, y), (far + _EDGE, y)])
        for end in (x, far):
            self.thick([(end, y - _HALF), (end, y + _HALF)], BLADE)
        if told != SPARE and gone != "missing":
            self.rect(x, y - _HALF, _FUSE, 2 * _HALF)
            middle = (x + far) / 2
            for begin, end, lean in ((x, middle - 4, -3), (far, middle + 4, 3)) if gone else ((x, far, 0),):
                self.line([(begin, y), (end, y), *([(end - lean / 2, y + lean)] if gone else [])])
        text = gone or told
        self.shapes.append(words(Label(text, round(rail - _EDGE - text_width(text, SMALL), 1), round(y + 0.36 * SMALL, 1), SMALL, "piece")))


class FuseBlockFace(Face):
    """Its fuses have symbols of their own; the block shows which ways are spare, and for the builder all of it."""

    body, heading, above = _Ways, "fuse block", 14

    def pieces(self, part, arrangement):
        rail = {way: name for name, ways in part.rails.items() for way in ways}
        return [Piece(f"{part.name}.{way}", part.name, _Clips, ends(part, rail[way]), ends(part, way)) for way in part.spares]

    def lines(self, piece, part, arrangement, see):
        return [(shortened(piece.key, 64, NAME), ""), (SPARE, "")]

    def rows(self, part, view, pins):
        found = []
        for rail, ways in part.rails.items():
            found.append((f"{part.name}:{rail}", ""))
            for way in ways:
                found += [("", ""), ("", f"{part.name}:{way}")]
            found.append(("", ""))
        return tuple(found[:-1])

    def width(self, part):
        said, number_wide = _wide(part)
        return _EDGE + max(said, number_wide) + 2 * _EDGE + _FUSE + 2 * _EDGE + number_wide

    def seats(self, part, block):
        _, fuses = _fuses(part, block)
        return {fuse.name: (fuses[fuse.way][0] + _FUSE / 2, fuses[fuse.way][1], _REACH) for fuse in part.seats}

    def state(self, part, states):
        gone = [f"{fuse.way} {states[fuse.name]}" for fuse in part.seats if states[fuse.name] != fuse.states[0]]
        return ", ".join(gone) or states[part.name]

    def live(self, part, state, point):
        return {}

    def seen(self, part):
        for fuse in part.seats:
            part = part.with_seat(replace(fuse, clips=0.0))
        return part

    def details(self, part):
        poor = [f"the clips of way {fuse.way} poor" for fuse in part.seats if fuse.clips]
        blade = " (blade fuses where nothing else stands)" if any(fuse.family == "blade" for fuse in part.seats) else ""
        return "; ".join([f"fuse block with {len(part.numbers)} ways{blade}", *_rails(part, True), *poor])

    def noted(self, part, arrangement):
        return f"{part.name}: {'; '.join(_rails(part))}."


def _rails(part, families=False):
    """Return for each rail what its ways hold. [text]"""
    told = _told(part) | {fuse.way: f"{fuse.rating:g} A {fuse.family}" for fuse in part.seats if families and fuse.family != "blade"}
    return [f"on {rail} " + ", ".join(f"way {way}: {told[way]}" for way in ways) for rail, ways in part.rails.items()]

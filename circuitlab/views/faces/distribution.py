"""The face of a distribution block: its bars with their studs in a housing; in the schematic each bar is a line."""

from ..letters import SMALL, Label, text_width
from ..strokes import words
from .body import Body
from .face import Face

_HALF = 8                    # of a bar's width [px]


class _Bars(Body):
    """A bar for each piece of metal with a stud for every terminal, its number above it."""

    corner = 7

    def form(self):
        level = {row.left.rpartition(":")[2]: row.level for row in self.block.rows if row.left}
        self.strip(_HALF)
        for bar, studs in self.part.studs.items():
            ys = [level[stud] for stud in studs]
            self.rect(self.x - _HALF, min(ys) - 7, 2 * _HALF, max(ys) - min(ys) + 14, 2)
            for y in ys:
                self.dot(self.x, y, 4.2, "none")
                self.dot(self.x, y, 1.6)
            self.shapes.append(words(Label(bar, round(self.x - text_width(bar, SMALL) / 2, 1), round(min(ys) - 10, 1), SMALL, "piece")))


class DistributionFace(Face):
    """Told by its bars and what they may carry."""

    body, middle, above = _Bars, 24, 26

    def pieces(self, part, arrangement):
        return []

    def rows(self, part, view, pins):
        groups = [[(f"{part.name}:{stud}",) * 2 for stud in studs] for studs in part.studs.values()]
        return tuple(row for number, group in enumerate(groups) for row in ([("", "")] * 2 * bool(number) + group))

    def value(self, part, arrangement):
        return f"{part.rated_amps:g} A{'' if part.cover else ', no cover'}"

    def details(self, part):
        bars = ", ".join(f"bar {bar} with {len(studs)} studs" for bar, studs in part.studs.items())
        return f"distribution block, {part.rated_amps:g} A, {bars}, {'with' if part.cover else 'without'} cover"

    def noted(self, part, arrangement):
        said = []
        for bar, studs in part.studs.items():
            spare = [stud for stud in studs if not arrangement.wires_at[f"{part.name}:{stud}"]]
            said.append(f"bar {bar} is studs {studs[0]} to {studs[-1]}, " + (f"spare {', '.join(spare)}" if spare else "none spare"))
        return f"{part.name}: {'; '.join(said)}."

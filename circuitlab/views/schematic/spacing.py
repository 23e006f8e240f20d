"""From levels and paths to drawing units: how far down each level is, how far right each path."""

from collections import defaultdict
from itertools import permutations
from math import ceil, inf

from ..edges import MARGIN
from ..letters import LINE, NAME, shortened, text_width
from ..style import ground_words, question_mark
from .beside import TAP, sides_of, texts_of
from .gaps import LABEL, is_numbered
from .scheme import Bar, Stand

HEAD = 38                    # above the first bar: title and the rail's name [px]
LEAST_PITCH = 22             # between two paths, for their numbers [px]
NUMBER = 6                   # from a bar to the numbers of its terminals [px]
APART = 5                    # least room between two things side by side [px]
LONGEST = 92                 # of a wire's label [px]
_FREE, _ALL_FREE = 60, 140   # most for what is free of a bar, and where room is kept for any of it [px]
TAPPED = 2                   # how far from the middle of a bar a wire meets it, so that above and below differ [px]


class Spacing:
    """A scheme on its way to a sheet: levels become heights, columns become places from left to right."""

    def __init__(self, arrangement, scheme, gaps, columns, count, mirrored, middles=(), first=1, is_brief=False):
        self.arrangement, self.scheme, self.gaps = arrangement, scheme, gaps
        self.column, self.count, self.mirrored, self.middles, self.first, self.is_brief = columns, count, mirrored, middles, first, is_brief
        self.level_y = [MARGIN + HEAD]
        for height in gaps.heights:
            self.level_y.append(self.level_y[-1] + height)
        self.span = defaultdict(list)
        for run in scheme.runs:
            self.span[run.upper].append(columns[run])
            self.span[run.lower].append(columns[run])
        for bar in scheme.bars:
            self.span[bar] = self.span[bar] or [columns.get(bar, 0)]
        self.texts = {stand: texts_of(stand, arrangement, self._see(stand), stand in mirrored) for stand in scheme.stands}
        self.x = self._spread()

    def _see(self, stand):
        """Tell where the other pieces of a part are: ``→ 4, 7``."""
        others = sorted({self.path_of(other) for other in self.scheme.stands
                         if other.piece.part == stand.piece.part and other is not stand})
        return "\N{RIGHTWARDS ARROW} " + ", ".join(map(str, others)) if others else ""

    def path_of(self, stand):
        """Return the number of the path of a piece's near terminal. [1]"""
        return self.column_at(stand, stand.piece.near[0]) + self.first

    def column_at(self, stand, terminal):
        """Return the column of a piece's terminal. [1]"""
        return self._slot_column(stand, stand.slot(terminal))

    def _slot_column(self, stand, slot):
        if stand in self.mirrored:
            return self.column[stand] - slot
        return self.column[stand] + slot

    def stand_y(self, stand):
        return self.level_y[stand.gap] + self.gaps.tops[stand]

    def ends_y(self, run):
        """Return the top and bottom of a run. [px]"""
        top = self.level_y[run.upper.level] if isinstance(run.upper, Bar) \
            else self.stand_y(run.upper) + run.upper.tall
        low = self.level_y[run.lower.level] if isinstance(run.lower, Bar) else self.stand_y(run.lower)
        return top, low

    def _spread(self):
        """Return the x of every column: as near together as what stands in them allows, none left of where it is kept. [px]"""
        boxes, apart, x = self._boxes(), defaultdict(list), []      # apart: how far a column is from others on its left
        for one, two in permutations(boxes, 2):
            (_, _, last, reach, top, low, owner), (first, back, _, _, other_top, other_low, other) = one, two
            if last < first and owner is not other and top < other_low and other_top < low:
                apart[first].append((last, reach + back + APART))
        for stand in self.scheme.stands:
            columns = sorted({self._slot_column(stand, slot) for slot in range(stand.piece.width)})
            for left, right in zip(columns, columns[1:]):
                apart[right].append((left, stand.piece.shape.pitch))
        for column in range(self.count):
            least = [MARGIN, *(before + LEAST_PITCH for before in x[-1:])]
            least += self.middles[column:column + 1]
            least += [x[left] + room for left, room in apart[column]]
            least += [MARGIN + back for first, back, *_ in boxes if first == column]
            x.append(ceil(max(least)))      # whole pixels keep thin lines sharp
        self.right = max([x[-1]] + [x[last] + reach for _, _, last, reach, *_ in boxes])
        return x

    def _boxes(self):
        """Return all that needs room: (first column, reach left of it, last column, reach right, top, low, owner)."""
        boxes = []
        for stand in self.scheme.stands:
            top = self.stand_y(stand)
            columns = [self._slot_column(stand, slot) for slot in range(stand.piece.width)]
            left, right = sides_of(stand.piece)
            boxes.append((min(columns), left, max(columns), right, top, top + stand.tall, stand))
            for slot, text in self.texts[stand]:
                column, (left, _, right, _) = self._slot_column(stand, slot), text.box
                boxes.append((column, -left, column, right, top + text.y, top + text.y + LINE, stand))
        for run in self.scheme.runs:
            column, (top, low) = self.column[run], self.ends_y(run)
            boxes.append((column, 3, column, 3, top, low, run))
            if run.label_gap >= 0 and self._labelled(run):
                y = self.level_y[run.label_gap] + self.gaps.tops[run]
                boxes.append((column, -5, column, 5 + text_width(self._wire_text(run)), y, y + LABEL, run))
            for y, text in self._tap_numbers(run):
                boxes.append((column, 9 + text_width(text), column, -5, y, y + TAP, run))
        for bar in self.scheme.bars:
            y, columns = self.level_y[bar.level], self.span[bar]
            boxes.append((min(columns), 7, max(columns), 7, y - 4, y + 4, bar))
            if self._named_beside(bar):
                wide = text_width(self._beside(bar), NAME, True)
                boxes.append((min(columns), wide + 9, min(columns), -9, y - 7, y + 7, bar))
        return boxes

    def _labelled(self, run):
        """Tell whether the wire's label is at this run: the longest, one that meets a piece if there is any."""
        def reach(other):
            return isinstance(other.upper, Stand) or isinstance(other.lower, Stand), len(other.gaps)

        return bool(run.wire) and run is max((other for other in self.scheme.runs if other.wire == run.wire), key=reach)

    def _wire_text(self, run):
        return wire_text(self.arrangement.part(run.wire), self.arrangement)

    def _beside(self, bar):
        """Return what is written on the left of a bar; its name alone where what is free would push aside what is kept. [text]"""
        return bar_text(self.arrangement, bar.owner if ":" in bar.key else bar.key, bar.kind, self.is_brief)

    def _named_beside(self, bar):
        """Tell whether a bar has its name on its left: a splice, or a chassis that another one lies below. [yes/no]"""
        return bar.kind == "splice" or bar.kind == "ground" and bar.level < len(self.level_y) - 1

    def _tap_numbers(self, run):
        """Yield ``(top, number)`` for the ends of a run that meet a splice or the chassis."""
        for bar, terminal, top in ((run.upper, run.upper_terminal, True), (run.lower, run.lower_terminal, False)):
            if isinstance(bar, Bar) and is_numbered(bar):
                y = self.level_y[bar.level]
                yield (y + NUMBER if top else y - NUMBER - TAP), terminal.partition(":")[2]


def bar_text(arrangement, key, kind, is_brief=False, room=None):
    """Return what is written at a splice or chassis: its name, and unless it is to be brief which of its terminals are free. [text]

    Where there is no room to tell them one by one they are told in runs, ``3 to 6``, or counted; where there is room for any, as if all were free.
    """
    owner, metal = (key, "") if key in arrangement.by_name else key.rsplit(".", 1)
    part = arrangement.part(owner)
    every = part.metals.get(metal, part.terminals)
    free = [terminal for terminal in every if room == inf or not arrangement.wires_at[f"{owner}:{terminal}"]]
    text = shortened(owner, 60, NAME) + (f" {metal}" if metal else "") + (f"  {ground_words(arrangement)}" if kind == "ground" else "")
    if not free or is_brief:
        return text
    said = [f"{text} free: {words}" for words in (", ".join(free), _in_runs(free, every), f"{len(free)} of {len(every)}")]
    wide = [text_width(words, NAME, True) for words in said]
    if room not in (None, inf):
        return next((words for words, own in zip(said, wide) if own <= room + 0.1), text)
    most = text_width(f"{text} free: ", NAME, True) + (_ALL_FREE if room == inf else _FREE)
    return next((words for words, own in zip(said, wide) if wide[-1] <= own <= most or words == said[0] and own <= most), said[-1])      # with room to count them later


def _in_runs(free, every):
    """Return terminals in the order that a part has them, three and more in a row as a run: ``1, 3 to 6``. [text]"""
    at, runs = {terminal: place for place, terminal in enumerate(every)}, []
    for terminal in free:
        if runs and at[terminal] == at[runs[-1][-1]] + 1:
            runs[-1].append(terminal)
        else:
            runs.append([terminal])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def wire_text(wire, arrangement):
    """Return what is written at a wire. [text]"""
    return shortened(f"{shortened(wire.name, LONGEST - 34)}{question_mark(wire.name, arrangement)} {wire.colour}".strip(), LONGEST)

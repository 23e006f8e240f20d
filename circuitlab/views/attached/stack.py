"""Every block, row and gap in its height: columns as tall as the tallest one, and what room there is round what is kept."""

from collections import Counter, defaultdict
from dataclasses import replace
from math import inf

from ..letters import text_width
from .behind import border, border_forms, stretches
from .blocks import BOX_FOOT, BOX_HEAD, PITCH
from .channels import LEAST_EDGE, LEAST_TRACK

_FAR, _FAR_ABOVE, _NEAR = (8, 18, 12), (8, 12, 6), (5, 6, 4)     # in a gap: from block to line, from line to words, without a line [px]

_TO_COME = 560, 70           # of the cart, and between it and its trailer [px]


class Stack:
    """The columns with everything in its height: blocks, the rows in them, the wires in the gaps between.

    Every height in a column is a multiple of ``PITCH``, in every other column
    half of it more, so that no two lines that meet one channel from its two
    sides ever lie in one height. What a plan keeps stands in its place, or as
    much lower as what is above it now needs.
    """

    def __init__(self, forms, standing, top, named, below=0, ahead=None):
        self.forms, self.standing, self.top, self.named, self.below, self.ahead = dict(forms), standing, top, named, below, ahead or {}
        self.borders = (0, 1) if standing.trailer else ()
        self.border_of = {border(number, column): number for number in self.borders for column in range(len(standing.columns))}
        self.forms |= border_forms(self.border_of)
        kept = standing.kept
        self.first_rows = {name: round(top + down, 1) for name, down in (kept.tops or {}).items()}
        self.base = round((top + kept.level) % PITCH, 1) if kept else 0.0
        self.columns = [list(column) for column in standing.columns]
        self.column_of = {name: index for index, column in enumerate(self.columns) for name in column}
        self.taps, self.tracks, self._fitting = {}, {}, {}
        self.spoken = [self.words(index) - self.wide(index) / 2 for index in range(len(self.columns))]
        self.between = [self._between(channel) for channel in range(len(self.columns) + 1)]
        self.settle()

    def sides(self, terminal):
        """Return the sides of a terminal; what stands beside the vehicle is met from the vehicle only. [1]"""
        name = terminal.partition(":")[0]
        own = self.own_sides(terminal)
        if self.standing.beside and self.column_of[name] == len(self.columns) - 1:
            return own[:1]      # the left, unless it has none there
        return own

    def own_sides(self, terminal):
        """Return the sides on which a block has a terminal. [1]"""
        return self.forms[terminal.partition(":")[0]].sides_of(terminal)

    def place(self, terminal):
        """Return the column and about the height of a terminal. [px]"""
        name = terminal.partition(":")[0]
        rows = self.rows[name]
        top, low = rows[self.forms[name].row_of(terminal)]
        return self.column_of[name], (top + low) / 2

    def row_of(self, terminal):
        """Return the block and the row of a terminal. [text], [1]"""
        name = terminal.partition(":")[0]
        return name, self.forms[name].row_of(terminal)

    def gap_at(self, column, height):
        """Return the gap of a column in which a height lies. [1]"""
        return sum(self.first_rows.get(name, 0) < height for name in self.columns[column] if name in self.first_rows)

    def stretches(self, column):
        """Return of each section of a column the places ``(first, last)`` between which blocks may change, behind what is kept. [1]"""
        names, front, rear = self.columns[column], self.standing.front[column], self.standing.rear[column]
        found = [(front, len(names) - rear)]
        if self.borders:
            found = stretches(names, front, (rear, 0, self.standing.trailer[column]))
        return [(max([first, *(place for place, name in enumerate(names[:last], 1) if name in self.first_rows)]), last) for first, last in found]

    def section_at(self, column, gap):
        """Return which section of a column a gap is in. [1]"""
        return sum(self.columns[column].index(border(number, column)) < gap for number in self.borders)

    def section_of(self, terminal):
        """Return in which section a terminal is. [1]"""
        name = terminal.partition(":")[0]
        column = self.column_of[name]
        return self.section_at(column, self.columns[column].index(name))

    def gap_below(self, name):
        """Return the column and the gap below a block. [1]"""
        column = self.column_of[name]
        return column, self.columns[column].index(name) + 1

    def fits(self, column, gap, slots, tracks):
        """Tell whether what is kept below a gap may stay: so many wires one below the other above it, so many through it."""
        names = self.columns[column]
        below, above = names[gap] if gap < len(names) else None, names[gap - 1] if gap else None
        if below not in self.first_rows or above and above not in self.first_rows:
            return True
        asked = above, below, slots, tracks
        if asked not in self._fitting:
            self._fitting[asked] = self._may_stay(column, *asked)
        return self._fitting[asked]

    def _may_stay(self, column, above, below, slots, tracks):
        low = self.top
        if above:
            low = self.first_rows[above] + PITCH * max(0, slots - 1) + self.forms[above].below + self._foot(above, below)
        _, low = self._passed(low, tracks, self._half(column), _NEAR)
        return low + self._above(below, above) <= self.first_rows[below]

    def _above(self, name, before):
        """Return the room from the end of a gap to the first row of the block below it: its words, and those of its box. [px]"""
        form = self.forms[name]
        return form.head_tall + form.above + BOX_HEAD * self.begins(name, before)

    def begins(self, name, before):
        """Tell whether a box begins with a block behind another one of its column, or behind none. [yes/no]"""
        box = self.forms[name].box
        return bool(box) and (before is None or self.forms[before].box != box)

    def _foot(self, name, after):
        """Return what the box of a block takes below it, if it ends there. [px]"""
        box = self.forms[name].box
        return BOX_FOOT if box and (after is None or self.forms[after].box != box) else 0

    def _half(self, column):
        return (self.base + PITCH / 2 * (column % 2)) % PITCH

    def _passed(self, y, tracks, half, room):
        """Return the heights of lines that pass a gap below ``y``, and where the words of the next block may begin. [px]"""
        below_block, above_words, without = room
        first = lattice(y + below_block, half)
        lines = [first + PITCH * number for number in range(tracks)]
        return lines, lines[-1] + above_words if lines else y + without

    def wide(self, index):
        """Return how wide the blocks of a column are. [px]"""
        return max((self.forms[name].width for name in self.columns[index]), default=0)

    def bands(self, index):
        """Return the room that the names of wires take on the left and on the right of a column. [px]"""
        return [max([self.named[way.wire.name] + 12 for (name, _, own), found in self.taps.items()
                     if own == side and self.column_of[name] == index for _, way in found] + [6]) for side in (0, 1)]

    def words(self, index):
        """Return how far right of its middle the words above the blocks of a column reach. [px]"""
        forms = [self.forms[name] for name in self.columns[index]]
        left = self.wide(index) / 2 + self.bands(index)[0]
        return max([form.head_wide + 4 - form.width / 2 for form in forms]
                   + [text_width(form.box) + 16 - left for form in forms if form.box], default=0)

    def _between(self, channel):
        """Return how far apart the blocks on the two sides of a channel are kept, names of wires not counted. [px]"""
        middles = self.standing.kept.middles
        is_out = self.standing.beside and channel == len(self.columns) - self.standing.beside       # beyond the outline
        if channel >= len(middles) or is_out:
            return inf
        return middles[channel] - self.wide(channel) / 2 - (
            middles[channel - 1] + self.wide(channel - 1) / 2 if channel else 0.0)

    def room(self, channel):
        """Return how wide a channel between what is kept is. [px]"""
        if self.between[channel] == inf:
            return inf
        left = max(self.bands(channel - 1)[1], self.spoken[channel - 1]) if channel else 0.0
        return self.between[channel] - left - self.bands(channel)[0]

    def take(self, ways):
        """Make room for every wire where it leaves a block and where it passes a column, in a good order."""
        taps, tracks = defaultdict(list), defaultdict(list)
        for way in ways:
            ys = [self.place(way.ends[0])[1], *(self.gap_ys[column][gap] for column, gap in way.passes),
                  self.place(way.ends[1])[1]]
            for number, (end, side) in enumerate(zip(way.ends, way.sides, strict=True)):
                near = way.kept[-number] if way.kept else ys[1] if number == 0 else ys[-2]
                name = end.partition(":")[0]
                taps[name, self.forms[name].row_of(end), side].append((near, way.wire.name, number, way))
            for index, passed in enumerate(way.passes):
                height = way.kept[index + 1] if way.kept else (ys[index] + ys[index + 2]) / 2
                tracks[passed].append((height, way.wire.name, index, way))
        self.taps, self.tracks = ({key: [entry[2:] for entry in sorted(found, key=lambda entry: entry[:3])]
                                   for key, found in each.items()} for each in (taps, tracks))
        self.settle()

    def turn(self, name):
        """Stand a block on its head: its last row comes first."""
        self.forms[name] = replace(self.forms[name], rows=self.forms[name].rows[::-1])

    def heights(self, ways):
        """Give every wire the heights of its level stretches. [px]"""
        for way in ways:
            way.ys = [0.0] * (len(way.passes) + 2)
        for (name, row, _), found in self.taps.items():
            for slot, (number, way) in enumerate(found):
                way.ys[-number] = self.slot_y(name, row, slot, len(found))
        for passed, found in self.tracks.items():
            for slot, (index, way) in enumerate(found):
                way.ys[index + 1] = self.track_ys[passed][slot]

    def slot_y(self, name, row, slot, count):
        """Return the height of one of ``count`` wires at a row: in its middle, on the lattice. [px]"""
        top, low = self.rows[name][row]
        spare = int((low - top) // PITCH) + 1 - count
        return top + PITCH * (slot + spare // 2)

    def settle(self):
        """Give every block, row and gap its height: all columns as tall as the tallest one."""
        self.heights_of_borders, shorts = {}, [() for _ in self.columns]
        for number in self.borders:
            ends = [self._column(index, Counter())[1][border(number, index)][1] + self.forms[border(number, index)].above for index in range(len(self.columns))]
            if self.below and border(number, 0) not in self.first_rows and not self._is_kept_behind(number):        # a board that grows: room for more of the cart
                ends.append(max(ends) + _TO_COME[number])
            self.heights_of_borders[number] = max(ends)
            shorts = [[*short, max(ends) - end] for short, end in zip(shorts, ends)]
        bare = [self._column(index, Counter()) for index in range(len(self.columns))]
        self.low = max(low for *_, low in bare)
        self.rows, self.boxes, self.track_ys, self.gap_ys = {}, {}, {}, []
        for index, column in enumerate(self.columns):
            more = Counter()
            for (front, last), short in zip(self.stretches(index), [*shorts[index], self.low - bare[index][-1]], strict=True):
                open_gaps = range(front, last + 1)
                more.update(open_gaps[turn % len(open_gaps)] for turn in range(int(short) // PITCH))
            rows, boxes, track_ys, gap_ys, _ = self._column(index, more)
            self.rows.update(rows)
            self.boxes.update(boxes)
            self.track_ys.update(track_ys)
            self.gap_ys.append(gap_ys)

    def _is_kept_behind(self, number):
        """Tell whether anything behind a border stands where a plan has it. [yes/no]"""
        return any(name in self.first_rows for index, names in enumerate(self.columns) for name in names[names.index(border(number, index)):])

    def _column(self, index, more):
        """Return rows, boxes, tracks and gaps of one column, some of its gaps being wider, and where it ends."""
        half = self._half(index)
        rows, boxes, track_ys, gap_ys = {}, {}, {}, []
        y, before = self.top, None
        free = max((place for place, name in enumerate(self.columns[index], 1) if name in self.first_rows), default=0)
        for gap, name in enumerate((*self.columns[index], None)):
            y += self._foot(before, name) if before else 0
            tracks, extra, form = len(self.tracks.get((index, gap), ())), more[gap] * PITCH, self.forms.get(name)
            split, kept = extra / 2 if tracks else 0, self.first_rows.get(name, 0)
            for room in (_FAR if boxes else _FAR_ABOVE, _NEAR):
                lines, low = self._passed(y + split, tracks, half, room)
                down = low + extra - split + (self._above(name, before) if form else 0) + self.below * (gap >= free)
                if not 0 < kept < down:
                    break
            track_ys[index, gap] = lines
            first = lattice(y + room[0] + extra / 2, half)
            gap_ys.append((lines[0] + lines[-1]) / 2 if lines else first)
            if form is None:
                y = lines[-1] + 6 + split if lines else y + extra
                break
            if name in self.border_of:
                y = max(down, kept, self.heights_of_borders.get(self.border_of[name], 0))
                rows[name], boxes[name], before = [], (y - form.above, y - form.above, y + form.below), name
                y += form.below
                continue
            head = 0 if kept or not self.ahead.get(name) else self.top + self.ahead[name] + self._above(name, before)
            y = lattice(max(down, kept, head), half)
            top = y - form.above
            own = []
            for row in range(len(form.rows)):
                slots = max(1, *(len(self.taps.get((name, row, side), ())) for side in (0, 1)))
                own.append((y, y + PITCH * (slots - 1)))
                y += PITCH * slots
            rows[name] = own
            y = y - PITCH + form.below
            boxes[name], before = (top - form.head_tall, top, y), name
        return rows, boxes, track_ys, gap_ys, y


def tight(tracks):
    """Return how wide a channel for so many tracks is at least. [px]"""
    return 2 * LEAST_EDGE + LEAST_TRACK * (tracks - 1) if tracks else 0


def lattice(y, half):
    """Return the next height at or below ``y`` in which a column may have a line. [px]"""
    return round(-(-round(y - half, 1) // PITCH) * PITCH + half, 1)

"""Which way each wire takes: the side on which it leaves a block, and the gaps through which it passes columns."""

from collections import Counter, defaultdict
from dataclasses import dataclass, field, replace
from math import inf

from .blocks import PITCH
from .channels import LEAST_EDGE, LEAST_TRACK, Net

PASS = 240                   # what passing a column costs, compared with a way along a channel [px]
_LOAD, _CROWD, _CROSS = 7.0, 20.0, 40.0      # what a wire already there costs: in a channel, in a gap, when crossed
_FULL = 900.0                # what a wire costs for which something that a plan keeps would have to move [px]
_FAR, _FAR_ABOVE, _NEAR = (8, 18, 12), (8, 12, 6), (5, 6, 4)     # in a gap: from block to line, from line to words, without a line [px]
_AGAIN = 2                   # how often every way is looked for anew, with all others where they are
_MANY = 80                   # from so many wires on no way is looked for anew
_NEAREST, _MANY_GAPS = 6, 15      # of a column with so many gaps, only the nearest ones are tried


@dataclass(eq=False)
class Way:
    """A wire on its way: which side it leaves each block on, and the gap it takes in each column it passes.

    ``channels`` go from the first end to the last; ``passes`` has one
    ``(column, gap)`` less. ``ys`` are the heights at which it leaves the first
    block, passes, and meets the last block.
    """

    wire: object
    ends: tuple
    sides: tuple = ()
    channels: tuple = ()
    passes: tuple = ()
    ys: list = field(default_factory=list)

    def nets(self):
        """Yield its upright stretch in every channel it takes, as ``(channel, net)``."""
        last = len(self.channels) - 1
        step = self.channels[-1] - self.channels[0]
        for index, channel in enumerate(self.channels):
            first = (1 - 2 * self.sides[0]) if index == 0 else (-1 if step > 0 else 1)
            second = (1 - 2 * self.sides[1]) if index == last else (1 if step > 0 else -1)
            ends = (self.ys[index], first), (self.ys[index + 1], second)
            lefts, rights = (tuple(at for at, side in ends if side == own) for own in (-1, 1))
            yield channel, Net(self.wire.name, *sorted(self.ys[index:index + 2]), lefts, rights)


def nets_of(ways):
    """Return the upright stretches of ways in every channel."""
    nets = defaultdict(list)
    for way in ways:
        for channel, net in way.nets():
            nets[channel].append(net)
    return nets


class Ways:
    """The ways of all wires, found one after the other, the short ones first, then each once more."""

    def __init__(self, arrangement, stack):
        self.stack = stack
        self.crowd, self.nets, self.met, self.slots = Counter(), {}, Counter(), Counter()
        self.named, self.thick = defaultdict(dict), {}
        self.all = [Way(wire, wire.terminals) for wire in arrangement.wires]

        def reach(way):
            (one, y), (other, low) = (stack.place(end) for end in way.ends)
            return abs(one - other), abs(y - low), way.wire.name
        kept = [all(end.partition(":")[0] in stack.first_rows for end in way.ends) for way in self.all]
        for ways in ([way for way, old in zip(self.all, kept) if old is first] for first in (True, False)):       # what is new finds its way round what was there
            for turn in range(1 + (_AGAIN if len(self.all) < _MANY else 0)):
                for way in sorted(ways, key=reach):
                    if turn:
                        self._enter(way, -1)
                    self._find(way)
                    self._enter(way, 1)

    def _enter(self, way, times):
        """Note where a way runs, or forget it."""
        for number, (end, side) in enumerate(zip(way.ends, way.sides, strict=True)):
            (name, row), column = self.stack.row_of(end), self.stack.place(end)[0]
            self.slots[name] -= max(1, self.met[name, row, 0], self.met[name, row, 1])
            self.met[name, row, side] += times
            self.slots[name] += max(1, self.met[name, row, 0], self.met[name, row, 1])
            if times > 0:
                self.named[column, side][way.wire.name, number] = self.stack.named[way.wire.name] + 12
            else:
                del self.named[column, side][way.wire.name, number]
        for channel, net in way.nets():
            own = self.nets.setdefault(channel, {})
            self.thick.pop(channel, None)
            if times > 0:
                own[way.wire.name] = net.top, net.low, net.lefts, net.rights
            else:
                del own[way.wire.name]
        for gap in way.passes:
            self.crowd[gap] += times

    def _find(self, way):
        (first, top), (last, low) = (self.stack.place(end) for end in way.ends)
        best = None
        for one in self.stack.sides(way.ends[0]):
            for other in self.stack.sides(way.ends[1]):
                start, end = (first + one, 1 - 2 * one, top), (last + other, 1 - 2 * other, low)
                cost, ys, passes = self._through(start, end)
                cost += self._growth(way.ends[0], one, way.wire.name) + self._growth(way.ends[1], other, way.wire.name)
                if best is None or cost < best[0] - 1e-6:
                    best = cost, (one, other), ys, passes
        _, way.sides, ys, way.passes = best
        way.ys = [*ys, low]
        channel, end = first + way.sides[0], last + way.sides[1]
        step = 1 if end >= channel else -1
        way.channels = tuple(range(channel, end + step, step))

    def _growth(self, terminal, side, wire):
        """Return what one more wire costs where its block has no room to be taller, or its column to be wider, for it. [px]"""
        if not self.stack.first_rows:
            return 0.0
        (name, row), column = self.stack.row_of(terminal), self.stack.place(terminal)[0]
        grows = self.met[name, row, side] >= max(1, self.met[name, row, 1 - side])
        widens = self.stack.named[wire] + 12 - self._band(column, side)
        return _FULL * ((grows and not self._fits(*self.stack.gap_below(name), 1, 0))
                        + (widens > 0 and self._room(column + side) - widens < tight(self._thick(column + side))))

    def _fits(self, column, gap, slots, tracks):
        """Tell whether a gap has room for more wires at the block above it, and for more that pass through. [yes/no]"""
        above = self.stack.columns[column][gap - 1] if gap else None
        if above:
            slots += len(self.stack.forms[above].rows) + self.slots[above]
        return self.stack.fits(column, gap, slots, tracks + self.crowd[column, gap])

    def _band(self, column, side):
        """Return the room that the names of wires take beside a column so far. [px]"""
        return max(self.named[column, side].values(), default=6)

    def _room(self, channel):
        """Return how wide a channel between what is kept is so far. [px]"""
        left = max(self._band(channel - 1, 1), self.stack.spoken[channel - 1]) if channel else 0.0
        return self.stack.between[channel] - left - self._band(channel, 0)

    def _thick(self, channel):
        """Return how many tracks a channel has so far, at least. [1]"""
        if channel not in self.thick:
            nets = self.nets.get(channel, {}).values()
            self.thick[channel] = max((sum(top <= at <= low for top, low, *_ in nets) for at, *_ in nets), default=0)
        return self.thick[channel]

    def _through(self, start, end):
        """Return what the way from one channel to another costs, its heights but the last, and its gaps."""
        (channel, toward, top), (last, last_toward, low) = start, end
        step = 1 if last > channel else -1
        reached = [(0.0, (top,), ())]
        while channel != last:
            column = channel if step > 0 else channel - 1
            onward, is_kept = [], bool(self.stack.first_rows)
            for gap, y in self._near(column, top, low):
                more = PASS + _CROWD * self.crowd[column, gap] + _FULL * (is_kept and not self._fits(column, gap, 0, 1))
                onward.append(min((cost + more + self._leg(channel, ys[-1], toward, y, step), (*ys, y),
                                   (*passes, (column, gap))) for cost, ys, passes in reached))
            reached, channel, toward = onward, channel + step, -step
        return min((cost + self._leg(channel, ys[-1], toward, low, last_toward), ys, passes)
                   for cost, ys, passes in reached)

    def _near(self, column, top, low):
        """Return the gaps of a column worth trying on a way between two heights, ``(gap, height)``. [px]"""
        gaps = list(enumerate(self.stack.gap_ys[column]))
        if len(gaps) < _MANY_GAPS:
            return gaps
        return sorted(sorted(gaps, key=lambda gap: abs(gap[1] - top) + abs(gap[1] - low))[:_NEAREST])

    def _leg(self, channel, y, toward, to_y, to_toward):
        """Return what the way along one channel costs: its length, how full it is, and what is crossed. [px]"""
        there = self.nets.get(channel, {})
        top, low = (y, to_y) if y < to_y else (to_y, y)
        lefts = [at for at, side in ((y, toward), (to_y, to_toward)) if side < 0]
        rights = [at for at, side in ((y, toward), (to_y, to_toward)) if side > 0]
        crossed = beside = 0
        for other_top, other_low, other_lefts, other_rights in there.values():
            if other_top < low and top < other_low:
                beside += 1
                before = after = 0
                for at in rights:
                    before += other_top < at < other_low
                for at in other_lefts:
                    before += top < at < low
                if before:
                    for at in lefts:
                        after += other_top < at < other_low
                    for at in other_rights:
                        after += top < at < low
                    crossed += before if before < after else after
        return low - top + _LOAD * len(there) + _CROSS * crossed + _FULL * (
            self.stack.between[channel] < inf and self._room(channel) < tight(beside + 1))


class Stack:
    """The columns with everything in its height: blocks, the rows in them, the wires in the gaps between.

    Every height in a column is a multiple of ``PITCH``, in every other column
    half of it more, so that no two lines that meet one channel from its two
    sides ever lie in one height. What a plan keeps stands in its place, or as
    much lower as what is above it now needs.
    """

    def __init__(self, forms, standing, top, named):
        self.forms, self.standing, self.top, self.named = dict(forms), standing, top, named
        kept = standing.kept
        self.first_rows = {name: round(top + down, 1) for name, down in (kept.tops or {}).items()}
        self.is_odd = (top + kept.level) % PITCH == PITCH / 2
        self.columns = [list(column) for column in standing.columns]
        self.column_of = {name: index for index, column in enumerate(self.columns) for name in column}
        self.taps, self.tracks, self._fitting = {}, {}, {}
        self.spoken = [self.words(index) - self.wide(index) / 2 for index in range(len(self.columns))]
        self.between = [self._between(channel) for channel in range(len(self.columns) + 1)]
        self.settle()

    def sides(self, terminal):
        """Return the sides of a terminal; what stands beside the vehicle is met from the vehicle only. [1]"""
        name = terminal.partition(":")[0]
        own = self.forms[name].sides_of(terminal)
        if self.standing.beside and self.column_of[name] == len(self.columns) - 1:
            return (0,)
        return own

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
        low = self.first_rows[above] + PITCH * (slots - 1) + self.forms[above].below if above else self.top
        _, low = self._passed(low, tracks, self._half(column), _NEAR)
        return low + self.forms[below].head_tall + self.forms[below].above <= self.first_rows[below]

    def _half(self, column):
        return PITCH / 2 * ((column + self.is_odd) % 2)

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
        return max((form.head_wide + 4 - form.width / 2 for form in map(self.forms.get, self.columns[index])), default=0)

    def _between(self, channel):
        """Return how far apart the blocks on the two sides of a channel are kept, names of wires not counted. [px]"""
        middles = self.standing.kept.middles
        is_out = self.standing.beside and channel == len(self.columns) - self.standing.beside       # beyond the outline
        if channel >= len(middles) or None in middles[max(channel - 1, 0):channel + 1] or is_out:
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
                near = ys[1] if number == 0 else ys[-2]
                name = end.partition(":")[0]
                taps[name, self.forms[name].row_of(end), side].append((near, way.wire.name, number, way))
            for index, passed in enumerate(way.passes):
                tracks[passed].append(((ys[index] + ys[index + 2]) / 2, way.wire.name, index, way))
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
        bare = [self._column(index, Counter()) for index in range(len(self.columns))]
        self.low = max(low for *_, low in bare)
        self.rows, self.boxes, self.track_ys, self.gap_ys = {}, {}, {}, []
        for index, column in enumerate(self.columns):
            spare = int(self.low - bare[index][-1]) // PITCH
            front, rear = self.standing.front[index], self.standing.rear[index]
            front = max([front, *(place for place, name in enumerate(column, 1) if name in self.first_rows)])
            open_gaps = range(front, len(column) - rear + 1)
            more = Counter(open_gaps[turn % len(open_gaps)] for turn in range(spare))
            rows, boxes, track_ys, gap_ys, _ = self._column(index, more)
            self.rows.update(rows)
            self.boxes.update(boxes)
            self.track_ys.update(track_ys)
            self.gap_ys.append(gap_ys)

    def _column(self, index, more):
        """Return rows, boxes, tracks and gaps of one column, some of its gaps being wider, and where it ends."""
        half = self._half(index)
        rows, boxes, track_ys, gap_ys = {}, {}, {}, []
        y = self.top
        for gap, name in enumerate((*self.columns[index], None)):
            tracks, extra, form = len(self.tracks.get((index, gap), ())), more[gap] * PITCH, self.forms.get(name)
            split, kept = extra / 2 if tracks else 0, self.first_rows.get(name, 0)
            for room in (_FAR if boxes else _FAR_ABOVE, _NEAR):
                lines, low = self._passed(y + split, tracks, half, room)
                down = low + extra - split + form.head_tall + form.above if form else low
                if not 0 < kept < down:
                    break
            track_ys[index, gap] = lines
            first = lattice(y + room[0] + extra / 2, half)
            gap_ys.append((lines[0] + lines[-1]) / 2 if lines else first)
            if form is None:
                y = lines[-1] + 6 + split if lines else y + extra
                break
            y = lattice(max(down, kept), half)
            top = y - form.above
            own = []
            for row in range(len(form.rows)):
                slots = max(1, *(len(self.taps.get((name, row, side), ())) for side in (0, 1)))
                own.append((y, y + PITCH * (slots - 1)))
                y += PITCH * slots
            rows[name] = own
            y = y - PITCH + form.below
            boxes[name] = (top - form.head_tall, top, y)
        return rows, boxes, track_ys, gap_ys, y


def tight(tracks):
    """Return how wide a channel for so many tracks is at least. [px]"""
    return 2 * LEAST_EDGE + LEAST_TRACK * (tracks - 1) if tracks else 0


def lattice(y, half):
    """Return the next height at or below ``y`` in which a column may have a line. [px]"""
    return -(-(y - half) // PITCH) * PITCH + half

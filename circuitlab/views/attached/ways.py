"""Which way each wire takes: the side on which it leaves a block, and the gaps through which it passes columns."""

from collections import Counter, defaultdict
from dataclasses import dataclass, field, replace
from math import inf

from .blocks import PITCH
from .channels import LEAST_EDGE, LEAST_TRACK, Net

PASS = 240                   # what passing a column costs, compared with a way along a channel [px]
_LOAD, _CROWD, _CROSS = 7.0, 20.0, 40.0      # what a wire already there costs: in a channel, in a gap, when crossed
_FULL = 900.0                # what a wire costs for which something that a plan keeps would have to move [px]
_AGAIN = 2                   # how often every way is looked for anew, with all others where they are
_MANY = 80                   # from so many wires on no way is looked for anew
_NEAREST, _TALL = 6, 15      # of a column with so many gaps, only the nearest ones are tried


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
        self.crowd, self.nets, self.met = {}, {}, Counter()
        self.all = [Way(wire, wire.terminals) for wire in arrangement.wires]

        def reach(way):
            (one, y), (other, low) = (stack.place(end) for end in way.ends)
            return abs(one - other), abs(y - low), way.wire.name
        self.kept = {way.wire.name for way in self.all if all(end.partition(":")[0] in stack.first_rows for end in way.ends)}
        for ways in ([way for way in self.all if (way.wire.name in self.kept) is old] for old in (True, False)):       # what is new finds its way round what was there
            for turn in range(1 + (_AGAIN if len(self.all) < _MANY else 0)):
                for way in sorted(ways, key=reach):
                    if turn:
                        self._enter(way, -1)
                    self._find(way)
                    self._enter(way, 1)

    def _enter(self, way, times):
        """Note where a way runs, or forget it."""
        for end, side in zip(way.ends, way.sides, strict=True):
            self.met[end, side] += times
        for channel, net in way.nets():
            own = self.nets.setdefault(channel, {})
            if times > 0:
                own[way.wire.name] = net.top, net.low, net.lefts, net.rights
            else:
                del own[way.wire.name]
        for gap in way.passes:
            self.crowd[gap] = self.crowd.get(gap, 0) + times

    def _find(self, way):
        (first, top), (last, low) = (self.stack.place(end) for end in way.ends)
        best = None
        for one in self.stack.sides(way.ends[0]):
            for other in self.stack.sides(way.ends[1]):
                start, end = (first + one, 1 - 2 * one, top), (last + other, 1 - 2 * other, low)
                cost, ys, passes = self._through(start, end)
                if way.wire.name not in self.kept:
                    cost += self._growth(way.ends[0], one) + self._growth(way.ends[1], other)
                if best is None or cost < best[0] - 1e-6:
                    best = cost, (one, other), ys, passes
        _, way.sides, ys, way.passes = best
        way.ys = [*ys, low]
        channel, end = first + way.sides[0], last + way.sides[1]
        step = 1 if end >= channel else -1
        way.channels = tuple(range(channel, end + step, step))

    def _growth(self, terminal, side):
        """Return what it costs where a block would need to be taller for one more wire, and has no room for that. [px]"""
        has_room = self.met[terminal, side] < max(self.stack.slots(terminal), self.met[terminal, 1 - side])
        return 0.0 if has_room or self.stack.room_below(terminal) >= 1 else _FULL

    def _through(self, start, end):
        """Return what the way from one channel to another costs, its heights but the last, and its gaps."""
        (channel, toward, top), (last, last_toward, low) = start, end
        step = 1 if last > channel else -1
        reached = [(0.0, (top,), ())]
        while channel != last:
            column = channel if step > 0 else channel - 1
            onward = []
            for gap, y in self._near(column, top, low):
                crowd = self.crowd.get((column, gap), 0)
                more = PASS + _CROWD * crowd + _FULL * (crowd >= self.stack.gap_rooms[column][gap])
                onward.append(min((cost + more + self._leg(channel, ys[-1], toward, y, step), (*ys, y),
                                   (*passes, (column, gap))) for cost, ys, passes in reached))
            reached, channel, toward = onward, channel + step, -step
        return min((cost + self._leg(channel, ys[-1], toward, low, last_toward), ys, passes)
                   for cost, ys, passes in reached)

    def _near(self, column, top, low):
        """Return the gaps of a column worth trying on a way between two heights, ``(gap, height)``. [px]"""
        gaps = list(enumerate(self.stack.gap_ys[column]))
        if len(gaps) < _TALL:
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
        return low - top + _LOAD * len(there) + _CROSS * crossed + _FULL * (beside >= self.stack.channel_rooms[channel])


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
        self.taps, self.tracks = {}, {}
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

    def slots(self, terminal):
        """Return how many wires find room on a side of a terminal's row. [1]"""
        name = terminal.partition(":")[0]
        top, low = self.rows[name][self.forms[name].row_of(terminal)]
        return int((low - top) // PITCH) + 1

    def room_below(self, terminal):
        """Return for how many level lines there is room below the block of a terminal. [1]"""
        name = terminal.partition(":")[0]
        column = self.column_of[name]
        return self.gap_rooms[column][self.columns[column].index(name) + 1]

    def wide(self, index):
        """Return how wide the blocks of a column are. [px]"""
        return max((self.forms[name].width for name in self.columns[index]), default=0)

    def bands(self, index):
        """Return the room that the names of wires take on the left and on the right of a column. [px]"""
        return [max([self.named[way.wire.name] + 12 for (name, _, own), found in self.taps.items()
                     if own == side and self.column_of[name] == index for _, way in found] + [6]) for side in (0, 1)]

    def _channel_room(self, channel):
        """Return how many tracks there are in a channel between what is kept. [1]"""
        middles, count = self.standing.kept.middles, len(self.columns)
        if not self.standing.kept or channel >= len(middles) or None in middles[max(channel - 1, 0):channel + 1]:
            return inf
        left = middles[channel - 1] + self.wide(channel - 1) / 2 + self.bands(channel - 1)[1] if channel else 0.0
        right = middles[channel] - self.wide(channel) / 2 - self.bands(channel)[0]
        if self.standing.beside and channel == count - self.standing.beside:       # beyond the outline
            return inf
        return (right - left - 2 * LEAST_EDGE) // LEAST_TRACK + 1

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
        self.rows, self.boxes, self.track_ys, self.gap_ys, self.gap_rooms = {}, {}, {}, [], []
        for index, column in enumerate(self.columns):
            spare = int(self.low - bare[index][-1]) // PITCH
            front, rear = self.standing.front[index], self.standing.rear[index]
            front = max([front, *(place for place, name in enumerate(column, 1) if name in self.first_rows)])
            open_gaps = range(front, len(column) - rear + 1)
            more = Counter(open_gaps[turn % len(open_gaps)] for turn in range(spare))
            rows, boxes, track_ys, gap_ys, _ = self._column(index, more)
            self.gap_rooms.append(self._gap_rooms(index, boxes))
            self.rows.update(rows)
            self.boxes.update(boxes)
            self.track_ys.update(track_ys)
            self.gap_ys.append(gap_ys)
        self.channel_rooms = [self._channel_room(channel) for channel in range(len(self.columns) + 1)]

    def _gap_rooms(self, index, boxes):
        """Return for how many level lines there is room in each gap of a column, above what is kept. [1]"""
        rooms, low, half = [], self.top, PITCH / 2 * ((index + self.is_odd) % 2)
        for name in self.columns[index]:
            head, _, end = boxes[name]
            first = lattice(low + 8, half)
            rooms.append((head - (12 if rooms else 6) - 6 - first) // PITCH + 1 if name in self.first_rows else inf)
            low = end
        return [*rooms, inf]

    def _column(self, index, more):
        """Return rows, boxes, tracks and gaps of one column, some of its gaps being wider, and where it ends."""
        half = PITCH / 2 * ((index + self.is_odd) % 2)
        rows, boxes, track_ys, gap_ys = {}, {}, {}, []
        y = self.top
        for gap, name in enumerate((*self.columns[index], None)):
            tracks = self.tracks.get((index, gap), ())
            extra = more[gap] * PITCH
            first = lattice(y + 8 + extra / 2, half)
            track_ys[index, gap] = [first + PITCH * number for number in range(len(tracks))]
            gap_ys.append(first + PITCH * max(0, len(tracks) - 1) / 2)
            y = first + PITCH * (len(tracks) - 1) + 6 if tracks else y
            y += extra / 2 if tracks else extra
            if name is None:
                break
            form = self.forms[name]
            y = lattice(max(y + (12 if boxes else 6) + form.head_tall + form.above, self.first_rows.get(name, 0)), half)
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


def lattice(y, half):
    """Return the next height at or below ``y`` in which a column may have a line. [px]"""
    return -(-(y - half) // PITCH) * PITCH + half

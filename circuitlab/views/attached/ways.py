"""Which way each wire takes: the side on which it leaves a block, and the gaps through which it passes columns."""

from dataclasses import dataclass, field

from .blocks import PITCH

PASS = 240                   # what passing a column costs, compared with a way along a channel [px]
_LOAD, _CROWD = 7.0, 20.0    # what a wire already there costs, in a channel and in a gap [px]


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


class Ways:
    """The ways of all wires, found one after the other, the short ones first."""

    def __init__(self, arrangement, stack):
        self.stack = stack
        self.load, self.crowd = {}, {}
        self.all = [Way(wire, wire.terminals) for wire in arrangement.wires]
        def reach(way):
            (one, y), (other, low) = (stack.place(end) for end in way.ends)
            return abs(one - other), abs(y - low), way.wire.name
        for way in sorted(self.all, key=reach):
            self._find(way)

    def _find(self, way):
        (first, top), (last, low) = (self.stack.place(end) for end in way.ends)
        best = None
        for one in self.stack.sides(way.ends[0]):
            for other in self.stack.sides(way.ends[1]):
                cost, passes = self._through(first + one, last + other, top, low)
                if best is None or cost < best[0] - 1e-6:
                    best = cost, (one, other), passes
        _, way.sides, way.passes = best
        channel, end = first + way.sides[0], last + way.sides[1]
        step = 1 if end >= channel else -1
        way.channels = tuple(range(channel, end + step, step))
        for number in way.channels:
            self.load[number] = self.load.get(number, 0) + 1
        for gap in way.passes:
            self.crowd[gap] = self.crowd.get(gap, 0) + 1

    def _through(self, channel, end, top, low):
        """Return what the way from one channel to another costs, and its gaps."""
        step = 1 if end > channel else -1
        columns = range(channel, end) if step > 0 else range(channel - 1, end - 1, -1)
        cost = _LOAD * sum(self.load.get(number, 0) for number in range(min(channel, end), max(channel, end) + 1))
        reached = [(cost, top, ())]
        for column in columns:
            reached = [min((before + abs(y - y_gap) + PASS + _CROWD * self.crowd.get((column, gap), 0), y_gap,
                            (*passes, (column, gap))) for before, y, passes in reached)
                       for gap, y_gap in enumerate(self.stack.gaps(column))]
        return min((before + abs(y - low), passes) for before, y, passes in reached)


class Stack:
    """The columns with everything in its height: blocks, the rows in them, the wires in the gaps between.

    Every height in a column is a multiple of ``PITCH``, in every other column
    half of it more, so that no two lines that meet one channel from its two
    sides ever lie in one height.
    """

    def __init__(self, forms, standing, top):
        self.forms, self.standing, self.top = forms, standing, top
        self.column_of = {name: index for index, column in enumerate(standing.columns) for name in column}
        self.taps, self.tracks = {}, {}
        self.settle()

    def sides(self, terminal):
        """Return the sides of a terminal; what stands beside the vehicle is met from the vehicle only. [1]"""
        name = terminal.partition(":")[0]
        own = self.forms[name].sides_of(terminal)
        if self.standing.beside and self.column_of[name] == len(self.standing.columns) - 1:
            return (0,)
        return own

    def place(self, terminal):
        """Return the column and about the height of a terminal. [px]"""
        name = terminal.partition(":")[0]
        rows = self.rows[name]
        top, low = rows[self.forms[name].row_of(terminal)]
        return self.column_of[name], (top + low) / 2

    def gaps(self, column):
        """Return about the height of every gap of a column. [px]"""
        return self.gap_ys[column]

    def take(self, ways):
        """Make room for every wire where it leaves a block and where it passes a column, in a good order."""
        taps, tracks = {}, {}
        for way in ways:
            ys = [self.place(way.ends[0])[1], *(self.gap_ys[column][gap] for column, gap in way.passes),
                  self.place(way.ends[1])[1]]
            for number, (end, side) in enumerate(zip(way.ends, way.sides, strict=True)):
                near = ys[1] if number == 0 else ys[-2]
                name = end.partition(":")[0]
                key = name, self.forms[name].row_of(end), side
                taps.setdefault(key, []).append((near, way.wire.name, number, way))
            for index, passed in enumerate(way.passes):
                tracks.setdefault(passed, []).append(((ys[index] + ys[index + 2]) / 2, way.wire.name, index, way))
        self.taps = {key: [entry[2:] for entry in sorted(found, key=lambda entry: entry[:3])]
                     for key, found in taps.items()}
        self.tracks = {key: [entry[2:] for entry in sorted(found, key=lambda entry: entry[:3])]
                       for key, found in tracks.items()}
        self.settle()

    def slots(self, name, row):
        """Return how many wires high a row is. [1]"""
        return max(1, *(len(self.taps.get((name, row, side), ())) for side in (0, 1)))

    def settle(self):
        """Give every block, row and gap its height: all columns as tall as the tallest one."""
        bare = [self._column(index, {}) for index in range(len(self.standing.columns))]
        self.low = max(low for *_, low in bare)
        self.rows, self.boxes, self.track_ys, self.gap_ys = {}, {}, {}, []
        for index, column in enumerate(self.standing.columns):
            spare = int(self.low - bare[index][-1]) // PITCH
            front, rear = self.standing.front[index], self.standing.rear[index]
            open_gaps = list(range(front, len(column) - rear + 1))
            more = {gap: 0 for gap in open_gaps}
            for turn in range(spare):
                more[open_gaps[turn % len(open_gaps)]] += 1
            rows, boxes, track_ys, gap_ys, _ = self._column(index, more)
            self.rows.update(rows)
            self.boxes.update(boxes)
            self.track_ys.update(track_ys)
            self.gap_ys.append(gap_ys)

    def _column(self, index, more):
        """Return rows, boxes, tracks and gaps of one column, some of its gaps being wider, and where it ends."""
        half = PITCH / 2 * (index % 2)
        rows, boxes, track_ys, gap_ys = {}, {}, {}, []
        y = self.top
        for gap, name in enumerate((*self.standing.columns[index], None)):
            tracks = self.tracks.get((index, gap), ())
            extra = more.get(gap, 0) * PITCH
            first = lattice(y + 8 + extra / 2, half)
            track_ys[index, gap] = [first + PITCH * number for number in range(len(tracks))]
            gap_ys.append(first + PITCH * max(0, len(tracks) - 1) / 2)
            y = first + PITCH * (len(tracks) - 1) + 6 if tracks else y
            y += extra / 2 if tracks else extra
            if name is None:
                break
            form = self.forms[name]
            head = y + (12 if boxes else 6)
            y = lattice(head + form.head_tall + form.above, half)
            top = y - form.above
            own = []
            for row in range(len(form.rows)):
                slots = self.slots(name, row)
                own.append((y, y + PITCH * (slots - 1)))
                y += PITCH * slots
            rows[name] = own
            y = y - PITCH + form.below
            boxes[name] = (head, top, y)
        return rows, boxes, track_ys, gap_ys, y


def lattice(y, half):
    """Return the next height at or below ``y`` in which a column may have a line. [px]"""
    return -(-(y - half) // PITCH) * PITCH + half

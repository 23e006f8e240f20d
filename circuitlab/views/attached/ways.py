"""Which way each wire takes: the side on which it leaves a block, and the gaps through which it passes columns."""

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from math import inf

from .channels import CLEAR, Net
from .stack import tight

PASS = 240                   # what passing a column costs, compared with a way along a channel [px]
_LOAD, _CROWD, _CROSS = 7.0, 20.0, 40.0      # what a wire already there costs: in a channel, in a gap, when crossed
_FULL, _STILL = 900.0, 5000.0        # what a wire costs for which something that a plan keeps would have to move; where ways are kept as well [px]
_NEARLY, _OUTSIDE = 200.0, 60.0      # the same of a channel that is nearly full, or is the narrow one left of everything [px]
_AGAIN = 2                   # how often every way is looked for anew, with all others where they are
_MANY = 80                   # from so many wires on no way is looked for anew
_NEAREST, _MANY_GAPS = 6, 15      # of a column with so many gaps, only the nearest ones are tried


@dataclass(eq=False)
class Way:
    """A wire on its way: which side it leaves each block on, and the gap it takes in each column it passes.

    ``channels`` go from the first end to the last; ``passes`` has one
    ``(column, gap)`` less. ``ys`` are the heights at which it leaves the first
    block, passes, and meets the last block; ``kept`` those of a wire that a plan keeps in its way. [px]
    """

    wire: object
    ends: tuple
    sides: tuple = ()
    channels: tuple = ()
    passes: tuple = ()
    ys: list = field(default_factory=list)
    kept: tuple = ()

    def lead(self, first, last):
        """Take the channels from one column to another, and return the columns that are passed. [1]"""
        channel, end = first + self.sides[0], last + self.sides[1]
        step = 1 if end >= channel else -1
        self.channels = tuple(range(channel, end + step, step))
        return [each if step > 0 else each - 1 for each in self.channels[:-1]]

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

    def __init__(self, arrangement, stack, kept=()):
        self.stack, self.kept = stack, dict(kept)
        self.clear, self.spare, self.full = (CLEAR, 1, _STILL) if stack.below or kept else (0, 0, _FULL)      # clear: what a channel is not filled up with
        self.crowd, self.nets, self.met, self.slots = Counter(), {}, Counter(), Counter()
        self.named, self.thick, self.legs = defaultdict(dict), {}, {}
        self.all = [Way(wire, wire.terminals) for wire in arrangement.wires]

        def reach(way):
            (one, y), (other, low) = (stack.place(end) for end in way.ends)
            return abs(one - other), abs(y - low), way.wire.name
        still = {way for way in self.all if self._keep(way)}
        for way in self.all:
            if way in still:
                self._enter(way, 1)
        kept = [all(end.partition(":")[0] in stack.first_rows for end in way.ends) for way in self.all]
        for ways in ([way for way, old in zip(self.all, kept) if old is first and way not in still] for first in (True, False)):       # what is new finds its way round what was there
            for turn in range(1 + (_AGAIN if len(self.all) < _MANY else 0)):
                for way in sorted(ways, key=reach):
                    if turn:
                        self._enter(way, -1)
                    self._find(way)
                    self._enter(way, 1)

    def _keep(self, way):
        """Give a wire the way that is kept of it, if it still leads there; tell whether it does. [yes/no]"""
        if way.wire.name not in self.kept or not all(end.partition(":")[0] in self.stack.first_rows for end in way.ends):
            return False
        way.sides, downs = self.kept[way.wire.name]
        if not all(side in self.stack.own_sides(end) for side, end in zip(way.sides, way.ends, strict=True)):
            return False
        (first, top), (last, low) = (self.stack.place(end) for end in way.ends)
        columns = way.lead(first, last)
        if len(columns) + 2 != len(downs):
            return False
        way.kept = tuple(downs)
        way.passes = tuple((column, self.stack.gap_at(column, down)) for column, down in zip(columns, downs[1:-1], strict=True))
        way.ys = [top, *(self.stack.gap_ys[column][gap] for column, gap in way.passes), low]
        return True

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
        self.legs.clear()           # the four ways between two sides each have most legs in common
        (first, top), (last, low) = (self.stack.place(end) for end in way.ends)
        self.within = sorted(map(self.stack.section_of, way.ends)) if self.stack.borders else ()
        best = None
        for one in self._sides(way, 0):
            for other in self._sides(way, 1):
                start, end = (first + one, 1 - 2 * one, top), (last + other, 1 - 2 * other, low)
                cost, ys, passes = self._through(start, end)
                cost += self._growth(way.ends[0], one, way.wire.name) + self._growth(way.ends[1], other, way.wire.name)
                if best is None or cost < best[0] - 1e-6:
                    best = cost, (one, other), ys, passes
        _, way.sides, ys, way.passes = best
        way.ys = [*ys, low]
        way.lead(first, last)

    def _sides(self, way, end):
        """Return the sides on which one end of a wire may leave its block: the one that is kept, if its terminal is still there. [1]"""
        side = self.kept.get(way.wire.name, ((None, None),))[0][end]
        return (side,) if side in self.stack.own_sides(way.ends[end]) else self.stack.sides(way.ends[end])

    def _growth(self, terminal, side, wire):
        """Return what one more wire costs where its block has no room to be taller, or its column to be wider, for it. [px]"""
        if not self.stack.first_rows:
            return 0.0
        (name, row), column = self.stack.row_of(terminal), self.stack.place(terminal)[0]
        grows = self.met[name, row, side] >= max(1, self.met[name, row, 1 - side])
        widens = self.stack.named[wire] + 12 - self._band(column, side)
        return self.full * ((grows and not self._fits(*self.stack.gap_below(name), 1, self.spare))
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

    def _deepest(self, there, top, low):
        """Return how many of some upright stretches lie side by side at most between two heights. [1]"""
        nets = [(max(first, top), min(last, low)) for first, last, *_ in there.values()
                if first - self.clear < low and top < last + self.clear]
        return max((sum(first - self.clear < at < last + self.clear for first, last in nets) for at, _ in nets), default=0)

    def _thick(self, channel):
        """Return how many tracks a channel has so far, at least. [1]"""
        if channel not in self.thick:
            nets = self.nets.get(channel, {}).values()
            self.thick[channel] = max((sum(top - self.clear <= at <= low + self.clear for top, low, *_ in nets) for at, *_ in nets), default=0)
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
                more = PASS + _CROWD * self.crowd[column, gap] + self.full * (is_kept and not self._fits(column, gap, 0, 1))
                cost, ys, passes = self._onward(reached, channel, toward, (y, step), more)
                onward.append((cost, (*ys, y), (*passes, (column, gap))))
            reached, channel, toward = onward, channel + step, -step
        return self._onward(reached, channel, toward, (low, last_toward), 0.0)

    def _onward(self, reached, channel, toward, to, more):
        """Return the cheapest of what is reached once it is led to a height; a leg costs its length and the channel's load at least."""
        best, load = (inf,), _LOAD * len(self.nets.get(channel, ()))
        for least, (cost, ys, passes) in sorted((way[0] + more + (abs(way[1][-1] - to[0]) + load), way) for way in reached):
            if least > best[0]:
                break
            best = min(best, (cost + more + self._leg(channel, ys[-1], toward, *to), ys, passes))
        return best

    def _near(self, column, top, low):
        """Return the gaps of a column worth trying on a way between two heights, ``(gap, height)``. [px]"""
        gaps = list(enumerate(self.stack.gap_ys[column]))
        if self.within:
            gaps = [each for each in gaps if self.within[0] <= self.stack.section_at(column, each[0]) <= self.within[1]]
        if len(gaps) < _MANY_GAPS:
            return gaps
        return sorted(sorted(gaps, key=lambda gap: abs(gap[1] - top) + abs(gap[1] - low))[:_NEAREST])

    def _leg(self, *leg):
        """Return what the way along one channel costs, worked out once while nothing is entered. [px]"""
        if leg not in self.legs:
            self.legs[leg] = self._priced(*leg)
        return self.legs[leg]

    def _priced(self, channel, y, toward, to_y, to_toward):
        """Return what the way along one channel costs: its length, how full it is, and what is crossed. [px]"""
        there = self.nets.get(channel, {})
        top, low = (y, to_y) if y < to_y else (to_y, y)
        lefts = [at for at, side in ((y, toward), (to_y, to_toward)) if side < 0]
        rights = [at for at, side in ((y, toward), (to_y, to_toward)) if side > 0]
        crossed = beside = 0
        for other_top, other_low, other_lefts, other_rights in there.values():
            beside += other_top - self.clear < low and top < other_low + self.clear
            if other_top < low and top < other_low:
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
        cost = low - top + _LOAD * len(there) + _CROSS * crossed
        if self.stack.between[channel] < inf:
            room = self._room(channel)
            if self.spare and room < tight(beside + 1):
                beside = self._deepest(there, top, low)
            cost += self.full * (room < tight(beside + 1)) + self.spare * (_NEARLY * (room < tight(beside + 3)) + _OUTSIDE * (channel == 0))
        return cost

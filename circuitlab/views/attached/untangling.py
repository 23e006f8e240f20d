"""Fewer crossings: blocks turned upside down, neighbours exchanged, wires at one place reordered, where it helps.

Every try keeps the way of each wire and counts what really crosses in every
channel. The tries come in a fixed order, so the sheet is the same every time.
"""

from itertools import combinations

from .channels import crossings_of, tracks_of

_CROSS = 40.0                # what a crossing costs, compared with a way along a channel [px]
_PASSES = 3
_WORK = 500_000              # how many pairs of wires in a channel are looked at before a large sheet stays as it is [1]


class Untangling:
    """One search on a stack whose ways are found."""

    def __init__(self, stack, ways, turned, zones):
        self.stack, self.ways, self.zones = stack, ways, zones
        self.turned = [name for name in stack.column_of if name in turned]
        self.costs, self.work = {}, _WORK

    def cost(self):
        """Return crossings and upright lengths of the sheet as it stands. [px]"""
        self.stack.heights(self.ways)
        nets = {}
        for way in self.ways:
            for channel, net in way.nets():
                nets.setdefault(channel, []).append(net)
        return sum(map(self._channel, nets.values()))

    def _channel(self, nets):
        key = tuple((net.wire, net.top, net.low, net.lefts, net.rights) for net in nets)
        if key not in self.costs:
            self.work -= len(nets) ** 2
            track, _ = tracks_of(nets)
            self.costs[key] = _CROSS * crossings_of(track) + sum(net.low - net.top for net in nets)
        return self.costs[key]

    def blocks(self):
        """Turn blocks and exchange neighbours as long as that helps; every wire is put in order anew each time."""
        self.stack.take(self.ways)
        best = self.cost()
        for _ in range(_PASSES):
            before = best
            for name in self.turned:
                best = self._try(lambda name=name: self.stack.turn(name), best)
            for column, place in self._neighbours():
                best = self._try(lambda column=column, place=place: self.stack.exchange(column, place), best)
            if best > before - 1e-6:
                break
        return best

    def _neighbours(self):
        """Return ``(column, place)`` of every block that may lie below the next one as well as above it. [1]"""
        standing = self.stack.standing
        return [(column, place) for column, names in enumerate(self.stack.columns)
                for place in range(standing.front[column], len(names) - standing.rear[column] - 1)
                if self.zones[names[place]] == self.zones[names[place + 1]]]

    def _try(self, change, best):
        """Make a change that is its own undoing; keep it where it helps."""
        if self.work < 0:
            return best
        self.work -= 4 * len(self.ways)
        change()
        self.stack.take(self.ways)
        cost = self.cost()
        if cost < best - 1e-6:
            return cost
        change()
        self.stack.take(self.ways)
        return best

    def orders(self):
        """Exchange wires that meet one row from one side, or pass one gap, as long as that helps."""
        best = self.cost()
        places = [found for found in (*self.stack.taps.values(), *self.stack.tracks.values()) if len(found) > 1]
        for _ in range(_PASSES):
            before = best
            for found in places:
                for one, other in combinations(range(len(found)), 2):
                    if self.work < 0:
                        break
                    found[one], found[other] = found[other], found[one]
                    cost = self.cost()
                    if cost < best - 1e-6:
                        best = cost
                    else:
                        found[one], found[other] = found[other], found[one]
            if best > before - 1e-6:
                break
        self.stack.heights(self.ways)
        return best

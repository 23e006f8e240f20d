"""Fewer crossings: blocks turned upside down, neighbours exchanged, wires at one place reordered, where it helps.

Every try keeps the way of each wire and counts what really crosses in every
channel. The tries come in a fixed order, so the sheet is the same every time.
"""

from functools import partial
from itertools import combinations

from .channels import crossings_of, tracks_of
from .ways import nets_of

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
        return sum(map(self._channel, nets_of(self.ways).values()))

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
        turns = [partial(self.stack.turn, name) for name in self.turned]
        self._improve([partial(self._anew, change) for change in turns + self._neighbours()], 4 * len(self.ways))

    def orders(self):
        """Exchange wires that meet one row from one side, or pass one gap, as long as that helps."""
        places = (*self.stack.taps.values(), *self.stack.tracks.values())
        self._improve([partial(_exchange, found, one, other) for found in places
                       for one, other in combinations(range(len(found)), 2)])
        self.stack.heights(self.ways)

    def _neighbours(self):
        """Return the exchange of every block that may lie below the next one as well as above it."""
        return [partial(_exchange, names, place, place + 1) for column, names in enumerate(self.stack.columns)
                for first, last in self.stack.stretches(column) for place in range(first, last - 1)
                if self.zones[names[place]] == self.zones[names[place + 1]]
                and self.stack.forms[names[place]].box == self.stack.forms[names[place + 1]].box]

    def _anew(self, change):
        change()
        self.stack.take(self.ways)

    def _improve(self, changes, effort=0):
        """Make changes that are each its own undoing, and keep those that help."""
        best = self.cost()
        for _ in range(_PASSES):
            before = best
            for change in changes:
                if self.work < 0:
                    return
                self.work -= effort
                change()
                cost = self.cost()
                if cost < best - 1e-6:
                    best = cost
                else:
                    change()
            if best > before - 1e-6:
                return


def _exchange(things, one, other):
    things[one], things[other] = things[other], things[one]

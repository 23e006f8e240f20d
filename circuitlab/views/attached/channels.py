"""The tracks of a channel: which wire runs upright where, so that none lies on another and few cross."""

from dataclasses import dataclass
from math import inf

TRACK = 8                    # from one upright wire to the next [px]
EDGE = 10                    # from a column to the first track [px]
LEAST_TRACK, LEAST_EDGE = 6, 5      # the same where a plan leaves no more [px]
LAST_TRACK, LAST_EDGE = 5, 2      # the same at last, before anything is pushed [px]
CLEAR = 9                   # between two wires that follow each other on one track [px]
_ROUNDS = 6


@dataclass(eq=False)
class Net:
    """The upright stretch of a wire in one channel; ``lefts`` and ``rights`` are the heights where it turns off. [px]"""

    wire: str
    top: float
    low: float
    lefts: tuple
    rights: tuple

    def meets(self, other):
        """Tell whether the two cannot share a track."""
        return self.top - CLEAR < other.low and other.top - CLEAR < self.low

    def crossed_left_of(self, other):
        """Return how often the two cross when this one runs left of the other. [1]"""
        return (sum(other.top < y < other.low for y in self.rights)
                + sum(self.top < y < self.low for y in other.lefts))


def tracks_of(nets, most=inf):
    """Return the track of every net, counted from the left, and how many there are; where that is too many, as few as can be."""
    nets = sorted(nets, key=lambda net: (len(net.rights) - len(net.lefts), net.top, net.wire))
    dear = {(one, other): one.crossed_left_of(other) for one in nets for other in nets if one is not other}
    order = []
    for _ in range(1 + _ROUNDS):
        before = list(order)
        for net in nets:
            if net in order:
                order.remove(net)
            _best_place(order, net, dear)
        if order == before:
            break
    track, count = _packed(order)
    return _fewest(order) if count > most else (track, count)


def crossings_of(track):
    """Return how often the nets of one channel cross on their tracks. [1]"""
    order = sorted(track, key=track.get)
    return sum(one.crossed_left_of(other) for index, one in enumerate(order) for other in order[index + 1:]
               if track[one] < track[other])


def _best_place(order, net, dear):
    """Put a net where it crosses least, among equals where it turns off on the near side."""
    lean = 0.01 * (len(net.lefts) - len(net.rights))
    cost = sum(dear[net, other] for other in order)
    best, place = cost, 0
    for index, other in enumerate(order, 1):
        cost += dear[other, net] - dear[net, other] + lean
        if cost < best - 1e-9:
            best, place = cost, index
    order.insert(place, net)


def _fewest(order):
    """Give every net the first track that is free where it runs, from the top."""
    track = {}
    for net in sorted(order, key=lambda net: (net.top, order.index(net))):
        taken = {track[other] for other in track if net.meets(other)}
        track[net] = next(number for number in range(len(order)) if number not in taken)
    return track, 1 + max(track.values(), default=-1)


def _packed(order):
    """Give tracks from the left in this order; nets that only turn right then move as far right as they can."""
    track = {}
    for index, net in enumerate(order):
        track[net] = max((track[other] + 1 for other in order[:index] if net.meets(other)), default=0)
    count = max(track.values(), default=-1) + 1
    for index in range(len(order) - 1, -1, -1):
        net = order[index]
        if len(net.rights) > len(net.lefts):
            track[net] = min((track[other] - 1 for other in order[index + 1:] if net.meets(other)), default=count - 1)
    return track, count

"""How places that are joined hang together: which are one, what can be come to from where, and how far it is.

What lies beside each place is given as ``near[place]``: the other places, or ``(other place, length)`` of each.
"""

from collections import defaultdict
from heapq import heappop, heappush
from itertools import count


def leaders(names, pairs):
    """Return for each name one that stands for all it hangs together with by these pairs.

    >>> leaders("abcd", [("a", "b"), ("c", "b")])
    {'a': 'b', 'b': 'b', 'c': 'b', 'd': 'd'}
    """
    leader = {name: name for name in names}

    def top(name):
        while leader[name] != name:
            name = leader[name]
        return name

    for one, other in pairs:
        leader[top(one)] = top(other)
    return {name: top(name) for name in leader}


def both_ways(links):
    """Return what lies beside each place and how far, from ``(place, other, length)`` of links that lead either way."""
    near = defaultdict(list)
    for one, other, length in links:
        near[one].append((other, length))
        near[other].append((one, length))
    return near


def reached(near, start):
    """Return every place that can be come to from one, itself first and the fewest links away before the others.

    >>> reached({"a": "b", "b": "ae", "c": "d", "d": "c", "e": "b"}, "a")
    ['a', 'b', 'e']
    """
    found, seen = [start], {start}
    for here in found:      # which grows meanwhile
        for other in near[here]:
            if other not in seen:
                seen.add(other)
                found.append(other)
    return found


def lengths(near, start):
    """Return how far it is from a place to each that can be come to, where what leads there are lengths.

    >>> lengths(both_ways([("a", "b", 5.0), ("a", "c", 1.0), ("c", "b", 1.0)]), "a")
    {'a': 0.0, 'c': 1.0, 'b': 2.0}
    """
    away, ahead, order = {}, [(0.0, 0, start)], count(1)
    while ahead:
        far, _, here = heappop(ahead)
        if here not in away:
            away[here] = far
            for other, more in near[here]:
                if other not in away:
                    heappush(ahead, (far + more, next(order), other))
    return away

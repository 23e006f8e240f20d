"""How places that are joined hang together: which are one, what can be come to from where, and how far it is.

What lies beside each place is given as ``near[place]``: the other places, or ``(length, other place, step)`` of each.
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
    """Return what lies beside each place and how far, from ``(place, other, length)`` of links that lead either way.

    The step over a link is the link.
    """
    near = defaultdict(list)
    for link in links:
        one, other, length = link
        near[one].append((length, other, link))
        near[other].append((length, one, link))
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


def walked(starts, near, ends=()):
    """Return ``{place: (how far, place before, step)}`` of all that can be reached, the nearest first.

    Parameters
    ----------
    starts : iterable
        Places to begin at; no step leads there.
    near : dict of place to list of (cost, place, step)
        Where each place leads, at what cost, by which step. Of equals the first is taken.
    ends : container
        Places at the first of which the walk is over.
    """
    turn, found = count(), {}
    ahead = [(0.0, next(turn), start, None, None) for start in starts]
    while ahead:
        far, _, here, before, step = heappop(ahead)
        if here in found:
            continue
        found[here] = far, before, step
        if here in ends:
            break
        for cost, there, by in near.get(here, ()):
            if there not in found:
                heappush(ahead, (far + cost, next(turn), there, here, by))
    return found


def way_to(place, found):
    """Return the steps that lead to a place that was reached, from where the walk began."""
    steps = []
    while found[place][1] is not None:
        _, place, step = found[place]
        steps.append(step)
    return steps[::-1]


def lengths(near, start):
    """Return how far it is from a place to each that can be come to, the nearest first.

    >>> lengths(both_ways([("a", "b", 5.0), ("a", "c", 1.0), ("c", "b", 1.0)]), "a")
    {'a': 0.0, 'c': 1.0, 'b': 2.0}
    """
    return {place: far for place, (far, *_) in walked([start], near).items()}

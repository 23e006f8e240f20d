"""Walking: the nearest ways from some places to all others, for whoever follows wires, currents or what hangs on what."""

from heapq import heappop, heappush
from itertools import count


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
    ahead = [(0, next(turn), start, None, None) for start in starts]
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

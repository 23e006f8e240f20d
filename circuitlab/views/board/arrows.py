"""Arrow keys: from every area to the nearest one in each direction, so that every one can be come to from every other.

Nearest neighbours alone go to and fro between two areas and leave others out. Up always goes strictly higher, so that
the topmost area is come to from everywhere; then a few of the other arrows are bent until all is come to from there.
"""

from math import inf

from ...ground.joined import reached

WAYS = ("up", "right", "down", "left")
_ASIDE = 2.5     # how much dearer a way aside is than one straight on [1]
_OUTSIDE = 5000  # what lies more aside than straight on is taken only where nothing else is [px]


def arrows_of(boxes):
    """Return where each arrow key leads.

    Parameters
    ----------
    boxes : dict of str to tuple of float
        Left, top, right, bottom by key. [px]

    Returns
    -------
    dict of str to dict of str to str
        ``{key: {way: key}}``; no entry where nothing lies that way.

    >>> arrows_of({"a": (0, 0, 10, 10), "b": (50, 0, 60, 10)})
    {'a': {'right': 'b'}, 'b': {'up': 'a', 'left': 'a'}}
    """
    middles = {key: ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2) for key, box in boxes.items()}
    found = {key: {} for key in middles}
    for key in middles:
        for way in WAYS:
            best = min(((_far(middles, key, other, way), other) for other in middles), default=(inf, ""))
            if best[0] < inf:
                found[key][way] = best[1]
    _bend(found, middles)
    return found


def _far(middles, here, there, way):
    """Return how far another area lies in a direction, endless where it does not. [px]"""
    (x, y), (to_x, to_y) = middles[here], middles[there]
    right, down = to_x - x, to_y - y
    on, aside = {"up": (-down, right), "down": (down, right), "left": (-right, down), "right": (right, down)}[way]
    if way == "up" and not (to_y, to_x, there) < (y, x, here) or way != "up" and on <= 0:
        return inf
    return on + _ASIDE * abs(aside) + _OUTSIDE * (abs(aside) > on)


def _bend(found, middles):
    """Lead arrows other than up elsewhere until everything is come to from the topmost area."""
    top = min(middles, key=lambda key: (middles[key][1], middles[key][0], key), default=None)
    while left := sorted(set(found) - _come_to(found, top)):
        here = _come_to(found, top)
        tries = sorted((_far(middles, one, other, way), one, way, other) for one in here for other in left for way in WAYS[1:])
        for far, one, way, other in tries:
            if far == inf:
                other_way = next((each for each in WAYS[1:] if each not in found[one]), None)
                if other_way is None:
                    continue
                way = other_way
            before = found[one].get(way)
            found[one][way] = other
            if here < _come_to(found, top):
                break
            found[one][way] = before
            if before is None:
                del found[one][way]
        else:
            return


def _come_to(found, start):
    return set(reached({key: list(ways.values()) for key, ways in found.items()}, start)) if found else set()

"""A wire drawn interrupted: at either end a short stretch and the path in which it goes on (IEC 61082, detached representation).

So is drawn what finds no way on a sheet that stands, or only one that crosses too much.
"""

from ..letters import SMALL, Label, meet, text_width
from .gaps import is_numbered
from .spacing import TAPPED
from .ways import RAILS, ends_of, tap_number

_MANY, _BEYOND = 400, 600    # at how many places a bar is tried, and how far beyond its ends [1], [px]
_LONG = 14, 22, 30, 40, 52, 66, 80   # how long a stretch is tried [px]


def stub_of(both, terminal, bars, toward, texts, must=False):
    """Return the points of a short stretch from a terminal and the box of its reference, the best with room. [px]

    Parameters
    ----------
    both : tuple of Taken
        What is on the sheet, and what is drawn of this wire already.
    terminal : str
    bars : dict of str to Metal
        The bar of each terminal that has one.
    toward : float
        Where the other end is. [px]
    texts : iterable of str
        What can be written, the best first.
    must : bool
        Whether one is returned though none has room: that which lies on least. [yes/no]
    """
    taken, bar, tries = both[0], bars.get(terminal), []
    stubs = [points for points in _stubs(taken, terminal, bars, toward) 
             if all(_is_drawable(each, points, (terminal, bar.key if bar else "")) for each in both)]
    for text in texts:
        for points in stubs:
            number = tap_number(terminal, points[0][0], bar.lines[0][1], points[-1][1] > points[0][1], "").box if bar and is_numbered(bar) else (0, 0, 0, 0)
            for place in reference_places(points, text):
                box = Label(*place, SMALL, "wire").box
                if all(each.is_free(box, (terminal,)) for each in both) and not meet(box, number):
                    return points, box
                tries.append((points, box))
    if not must:
        return None
    tries = tries or [(points, Label(*place, SMALL, "wire").box) for points in (*_stubs(taken, terminal, bars, toward), _plain(taken, terminal, bar))
                      for place in reference_places(points, texts[-1])]
    return min(tries, key=lambda found: sum(meet(found[1], box) for box in (*taken.pieces, *taken.words)) + 9 * (found[1][0] < 0))


def _stubs(taken, terminal, bars, toward):
    """Yield the stretches that can be tried, the best first: straight ahead, then sideways, then beside and ahead."""
    if terminal in bars:
        left, _, right, _ = bars[terminal].lines[0]
        toward = max(left, min(toward, right))
    ends = sorted(ends_of(taken, terminal, bars, toward, _MANY, _BEYOND), key=lambda end: end.cost)
    for is_straight in (True, False):
        for long in _LONG:
            for end in ends:
                if is_straight == (len(end.points) == 1):
                    x, y = end.last
                    yield (*end.points, (x, y + end.way * long))
        if is_straight and terminal not in bars:
            x, y, _ = taken.pins[terminal]
            yield from (((x, y), (x + side * long, y)) for long in (8, *_LONG) for side in (1, -1))


def _plain(taken, terminal, bar):
    """Return a stretch straight from a terminal, or from the right end of its bar, whatever is there. [px]"""
    x, y, way = (bar.lines[0][2], bar.lines[0][1], min(RAILS.get(bar.kind, (1,)))) if bar else taken.pins[terminal]
    at = y + TAPPED * way if bar else y
    return (x, at), (x, at + way * _LONG[0])


def reference_places(points, text):
    """Yield where a reference can stand, ``(text, left, line)``: beside the end of an upright stretch, behind that of a level one. [px]"""
    (x, y), (to_x, to_y) = points[-2:]
    wide = text_width(text)
    if x == to_x:
        middle = to_y + (6 if to_y < y else -6)
        yield from ((text, round(left, 1), round(middle + 0.28 * SMALL, 1)) for left in (x + 4, x - 4 - wide))
    else:
        yield text, round(to_x + 3 if to_x > x else to_x - 3 - wide, 1), round(y + 0.28 * SMALL, 1)


def _is_drawable(taken, points, own):
    """Tell whether nothing is in the way of a stretch, not even a line to cross. [yes/no]"""
    for (x, y), (to_x, to_y) in zip(points, points[1:]):
        cost = taken.upright(x, min(y, to_y), max(y, to_y), points[:1], own) if x == to_x else taken.level(y, min(x, to_x), max(x, to_x), points[:1], own)
        if cost != 0:
            return False
    return True

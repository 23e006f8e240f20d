"""A wire drawn interrupted: at either end a short stretch and the path in which it goes on (IEC 61082, detached representation).

So is drawn what finds no way on a sheet that stands, or only one that crosses too much.
"""

from itertools import product
from math import inf
from typing import NamedTuple

from ..letters import SMALL, Label, meet, text_width
from .gaps import is_numbered
from .spacing import TAPPED
from .taken import CROSSED
from .ways import RAILS, ends_of, tap_number

_MANY, _BEYOND = 40, 300    # at how many places a bar is tried, and how far beyond its ends [1], [px]
_LONG = 14, 22, 30, 40, 52, 66, 80, 96, 114, 134, 156, 180, 210, 240, 280, 320, 370, 420, 480, 540     # how long a stretch is tried [px]


class Reach(NamedTuple):
    """How long a stretch may be, what all may cost that it crosses, and whether it may stay without a reference. [px], [px], [yes/no]"""

    longest: float
    dearest: float
    is_last: bool = False


SHORT, ACROSS, FAR, ANY = Reach(80, 0), Reach(180, 3 * CROSSED), Reach(600, 20 * CROSSED, True), Reach(600, inf, True)


def stub_of(both, terminal, bars, toward, texts, reach):
    """Return the points of a short stretch from a terminal and the box of its reference, the best with room; nothing where there is none. [px]

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
    reach : Reach
        How long it may be, and what it may cross; where nothing bounds it, what lies on least is returned though nothing has room.
    """
    taken, bar, tries = both[0], bars.get(terminal), []
    own = terminal, bar.key if bar else taken.taps.get(terminal)
    stubs = [points for points in _stubs(taken, terminal, bars, toward, reach.longest) if all(_costs(each, points, own) <= reach.dearest for each in both)]
    for text, points in product(texts, stubs or [_plain(taken, terminal, bar)] * (reach == ANY)):
        for place in reference_places(points, text):
            box = Label(*place, SMALL, "wire").box
            is_open = not text or all(each.is_free(box, (terminal,)) for each in both) and not meet(box, _number_box(taken, terminal, bar, points))
            if is_open and reach != ANY:
                return points, box
            tries.append((points, box))
    return min(tries, key=lambda found: _lies_on(taken, *found)) if reach == ANY else None


def _lies_on(taken, points, box):
    """Return upon how much a reference and its stretch would lie, the stretch of a splice or piece twice. [1]"""
    (x, y), (to_x, to_y) = points[-2:]
    line = min(x, to_x) - 1, min(y, to_y), max(x, to_x) + 1, max(y, to_y)
    boxes = (*taken.pieces, *taken.words)
    lines = sum(box[0] < x < box[2] and box[1] < low and top < box[3] for x, top, low, *_ in taken.uprights)
    return sum(meet(box, each) for each in boxes) + 2 * sum(meet(line, each) for each in boxes) + lines + 9 * (box[0] < 0)


def _number_box(taken, terminal, bar, points):
    """Return the box of the number of a terminal that is tapped, one of no size where it has none. [px]"""
    (x, y), (_, far) = points[0], points[-1]
    has_number = terminal in taken.taps or bar and is_numbered(bar)
    return tap_number(terminal, x, y + TAPPED * (1 if far < y else -1), far > y, "").box if has_number else (0, 0, 0, 0)


def _stubs(taken, terminal, bars, toward, longest):
    """Yield the stretches that can be tried, the best first: straight ahead, then sideways, then beside and ahead. [px]"""
    if terminal in bars:
        left, _, right, _ = bars[terminal].lines[0]
        toward = max(left, min(toward, right))
    ends = sorted(ends_of(taken, terminal, bars, toward, _MANY, _BEYOND), key=lambda end: end.cost)
    lengths = [long for long in _LONG if long <= longest]
    for is_straight in (True, False):
        for long in lengths:
            for end in ends:
                if is_straight == (len(end.points) == 1):
                    x, y = end.last
                    yield (*end.points, (x, y + end.way * long))
        if is_straight and terminal not in bars and terminal not in taken.taps:
            x, y, _ = taken.pins[terminal]
            yield from (((x, y), (x + side * long, y)) for long in (8, *lengths[:5]) for side in (1, -1))


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
        for lower in (0, 3.5, -3.5):
            yield text, round(to_x + 3 if to_x > x else to_x - 3 - wide, 1), round(y + lower + 0.28 * SMALL, 1)


def _costs(taken, points, own):
    """Return what a stretch crosses, without bounds where it cannot be drawn. [px]"""
    cost = 0.0
    for (x, y), (to_x, to_y) in zip(points, points[1:]):
        more = taken.upright(x, min(y, to_y), max(y, to_y), points[:1], own) if x == to_x else taken.level(y, min(x, to_x), max(x, to_x), points[:1], own)
        cost += inf if more is None else more
    return cost

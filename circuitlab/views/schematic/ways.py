"""The way of a wire on a sheet that stands: up or down to a level of its own and there to the other end, or straight."""

from dataclasses import dataclass

from ..edges import MARGIN
from ..letters import SMALL, Label, text_width
from .beside import TAP
from .gaps import is_numbered
from .spacing import NUMBER, TAPPED
from .taken import CLEAR

RAILS = {"supply": {1: 0.0}, "ground": {-1: 0.0, 1: 40.0}}      # what it costs to meet one from above (-1), and from below [px]
_BEND = 12.0                 # what a bend costs [px]
DEAR, DEAREST = 900.0, 4000.0        # the most that a whole way may cost, and that one may that must be drawn [px]
_LEAD = 12                   # least from a terminal to the first bend [px]
_FAR = 24                    # least from an end of a stretch to its name, where it is long enough [px]
_TRACK = 4                   # how finely levels are tried [px]
_ASIDE = 8, 16, 26, 38       # how far beside its terminal a wire turns up or down where another one is straight ahead [px]
_TAPS = 12                   # from one place on a bar to the next that is tried [px]
_BEYOND = 60                 # how far a bar may grow for a wire that is not straight above or below [px]
_MOST_TAPS, _MOST_TRIES = 10, 3000
_GROWN = 0.3                 # what growing costs, for each px [px]


@dataclass(frozen=True)
class End:
    """One way of leaving an end: its points, the last where it goes up (-1) or down (1) on; the bar and how far it grows. [px]"""

    points: tuple
    way: int
    bar: str = ""
    grown: tuple = ()
    cost: float = 0.0

    @property
    def last(self):
        return self.points[-1]


def way_of(taken, terminals, bars, most):
    """Return the points of the cheapest way between two terminals; nothing where none is cheap enough. [px]

    Parameters
    ----------
    taken : Taken
    terminals : tuple of (str, str)
        Where the wire starts and ends.
    bars : dict of str to Metal
        The bar of each terminal that has one.
    most : float
        What it may cost: its length, and more for bends and crossings. [px]
    """
    xs = [_middle(taken, terminal, bars) for terminal in terminals]
    both = [bars[terminal] for terminal in terminals if terminal in bars]
    if len(both) == 2:        # from bar to bar straight: a rail comes to what is no rail, else the longer one to the shorter
        xs = [xs[min((0, 1), key=lambda end: (both[end].kind in RAILS, both[end].lines[0][2] - both[end].lines[0][0]))]] * 2
    one, other = (ends_of(taken, terminal, bars, x) for terminal, x in zip(terminals, reversed(xs), strict=True))
    own = {*terminals, *(bars[terminal].key for terminal in terminals if terminal in bars), *map(taken.taps.get, terminals)}
    tries = [each for a in one for b in other for each in _joined(a, b)]
    best, known = None, {}
    for least, points in sorted(tries, key=lambda found: found[0])[:_MOST_TRIES]:
        if least > (best[0] if best else most):
            break
        cost = _priced(taken, points, own, known)
        if cost is not None and least + cost <= (best[0] if best else most):
            best = least + cost, points
    return best[1] if best else ()


def _priced(taken, points, own, known):
    """Return what the lines cost that a way crosses, or None where it is barred; what is known of stretches is kept. [px]"""
    cost, ends = 0.0, (points[0], points[-1])
    for stretch in zip(points, points[1:]):
        if (stretch, ends) not in known:
            (x, y), (to_x, to_y) = stretch
            known[stretch, ends] = (taken.upright(x, min(y, to_y), max(y, to_y), ends, own) if x == to_x
                              else taken.level(y, min(x, to_x), max(x, to_x), ends, own))
        if known[stretch, ends] is None:
            return None
        cost += known[stretch, ends]
    return cost


def ends_of(taken, terminal, bars, toward, most=_MOST_TAPS, beyond=_BEYOND):
    """Return the ways of leaving a terminal, straight ahead or beside what is there, or of tapping its bar at so many places."""
    if terminal in bars:
        return _taps(taken, bars[terminal], toward, most, beyond)
    x, y, way = taken.pins[terminal]
    found = [End(((x, y),), way)]
    if terminal in taken.taps:
        return [*found, End(((x, y - 2 * TAPPED * way),), -way, cost=_BEND)]
    for aside in (each * side for each in _ASIDE for side in (-1, 1)):
        if taken.level(y, min(x, x + aside), max(x, x + aside), ((x, y),), (terminal,)) is not None:
            found += [End(((x, y), (x + aside, y)), each, cost=_BEND + abs(aside)) for each in (-1, 1)]
    return found


def _taps(taken, bar, toward, most, beyond):
    """Return where a bar can be tapped: straight above or below the other end first, and as near as can be to it."""
    (left, y, right, _), *_ = bar.lines
    own = (bar.key, *(taken.pins if bar.kind in RAILS else ()))      # a rail may pass close before a terminal
    sides = RAILS.get(bar.kind, {-1: 0.0, 1: 0.0})
    places = [left + step for step in range(-beyond, int(right - left) + beyond + 1, _TAPS)]
    found = []
    for x in [toward, *sorted(places, key=lambda x: abs(x - toward))[:most]]:
        if x < MARGIN:
            continue
        grown = (min(left, x), max(right, x))
        cost = 0.0
        for begin, end in ((x, left), (right, x)):
            if begin < end and cost is not None:
                near = CLEAR * (1 if begin == right else 0), CLEAR * (1 if end == left else 0)      # where it is tapped already
                more = taken.level(y, begin + near[0], max(begin + near[0], end - near[1]), (), own)
                cost = None if more is None else cost + more + _GROWN * (end - begin)
        if cost is not None:
            found += [End(((x, y + TAPPED * side),), side, bar.key, grown, cost + more) for side, more in sides.items()
                      if not is_numbered(bar) or taken.is_free(tap_number(":10", x, y, side > 0, "").box)]
    return found


def tap_number(terminal, x, y, is_below, wire):
    """Return the number of a tapped terminal of a bar, beside the wire that comes from above or below."""
    text = terminal.partition(":")[2]
    return Label(text, round(x - 5 - text_width(text), 1), round((y + NUMBER if is_below else y - NUMBER - TAP) + 9.5, 1), SMALL, "sheet", wire)


def name_places(points, text):
    """Yield where the name of a wire can stand, ``(text, left, line)``: beside its upright stretches, the longest first, then above level ones. [px]"""
    wide = text_width(text)
    stretches = sorted(zip(points, points[1:]), key=lambda ends: (ends[0][0] != ends[1][0], -abs(ends[0][0] - ends[1][0]) - abs(ends[0][1] - ends[1][1])))
    for (x, y), (to_x, to_y) in stretches:
        first, last = (min(y, to_y) + 12, max(y, to_y) - 3) if x == to_x else (min(x, to_x) + 3, max(x, to_x) - wide - 3)
        for at in sorted(range(round(first), round(last) + 1, 6), key=lambda at: min(at - first, last - at) < _FAR):
            yield from ((text, x + 5, at), (text, round(x - 5 - wide, 1), at)) if x == to_x else ((text, at, y - 4),)


def _middle(taken, terminal, bars):
    if terminal in bars:
        left, _, right, _ = bars[terminal].lines[0]
        return round((left + right) / 2)
    return taken.pins[terminal][0]


def _joined(one, other):
    """Yield the ways between two ends with their least cost: straight, or by each level that both reach. [px]"""
    (x, y), (to_x, to_y) = one.last, other.last
    bends, base = len(one.points) + len(other.points), one.cost + other.cost
    if x == to_x:
        if (to_y - y) * one.way > 0 and (y - to_y) * other.way > 0:
            yield abs(to_y - y) + base, (*one.points, *reversed(other.points))
        return
    least = [top + way * _LEAD for top, way in ((y, one.way), (to_y, other.way))]
    for track in range(30, int(max(y, to_y)) + 240, _TRACK):
        if all((track - at) * end.way >= 0 for at, end in zip(least, (one, other), strict=True)):
            length = abs(track - y) + abs(track - to_y) + abs(to_x - x)
            yield length + _BEND * bends + base, (*one.points, (x, track), (to_x, track), *reversed(other.points))


def lines_of(points):
    """Return the stretches between points, those of no length left out. [px]"""
    return tuple((*a, *b) for a, b in zip(points, points[1:]) if a != b)

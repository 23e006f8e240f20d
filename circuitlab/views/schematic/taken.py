"""What is taken on a sheet that stands: boxes, lines and the room before each terminal; and what a new stretch would cost there."""

from ..letters import meet
from .spacing import TAPPED

CLEAR = 5                    # least from a line to one beside it [px]
_FROM_PIECE, _FROM_WORD = 4, 1.4       # least from a line to a piece, and to a word [px]
_CORNER = 4                  # nearer than this to an end of another line, a crossing looks like a joint [px]
AHEAD = 30                   # kept free before a terminal: of words, and of other wires until it has one [px]
CROSSED, CROSSED_METAL = 45.0, 90.0  # what it costs to cross a wire, and a line of metal [px]
_SAME = 0.15                 # of two places that are one [px]


class Taken:
    """Everything in the way of what is still to be drawn.

    ``pins`` has for each terminal ``(x, y, -1 up or 1 down)``, ``wired`` those with a wire on them; ``taps`` has for those of a
    splice that came later the splice, for its wires may come from above and below. [px]
    """

    def __init__(self):
        self.pieces, self.words, self.uprights, self.levels, self.dots = [], [], [], [], set()
        self.pins, self.wired, self.taps = {}, set(), {}

    def line(self, lines, owner, is_metal=False):
        """Take in the stretches of a wire, or of metal."""
        for x, y, to_x, to_y in lines:
            if x == to_x:
                self.uprights.append((x, min(y, to_y), max(y, to_y), owner, is_metal))
            else:
                self.levels.append((y, min(x, to_x), max(x, to_x), owner, is_metal))

    def splice(self, metal):
        """Take in a splice with a place for each of its terminals, one above and the next below."""
        left, y, right, _ = metal.lines[0]
        for index, terminal in enumerate(metal.terminals):
            way = 1 if index % 2 else -1
            self.pins[terminal] = round(left + index * (right - left) / max(1, len(metal.terminals) - 1), 1), y + TAPPED * way, way
            self.taps[terminal] = metal.key

    def symbol(self, symbol):
        """Take in a piece and its terminals."""
        self.pieces.append(symbol.box)
        for terminal, x, y, is_up in symbol.pins():
            self.pins[terminal] = x, y, -1 if is_up else 1
            self.dots.add((x, y))

    def forget(self, owner):
        """Let go of the lines of one owner."""
        self.uprights = [each for each in self.uprights if each[3] != owner]
        self.levels = [each for each in self.levels if each[3] != owner]

    def upright(self, x, top, low, ends=(), own=()):
        """Return what an upright stretch costs, or None where it cannot be drawn. [px]

        Parameters
        ----------
        x, top, low : float
            [px]
        ends : iterable of (float, float)
            Places at which the wire is joined to something. [px]
        own : iterable of str
            Terminals and lines that it belongs to. [text]
        """
        if self._boxed(x, top, x, low, 0, own) or self._on_a_dot(x, top, x, low, ends):
            return None
        return self._among(self.uprights, self.levels, (x, top, low), {(here, y) for here, y in ends}, own)

    def level(self, y, left, right, ends=(), own=()):
        """Return what a level stretch costs, or None where it cannot be drawn. [px]"""
        if self._boxed(left, y, right, y, 1, own) or self._on_a_dot(left, y, right, y, ends):
            return None
        return self._among(self.levels, self.uprights, (y, left, right), {(here, x) for x, here in ends}, own)

    def is_free(self, box, own=()):
        """Tell whether a word has room. [yes/no]"""
        left, top, right, low = box
        if any(meet(box, other) for other in (*self.pieces, *self.words)) or left < 2 or top < 2:
            return False
        if any(left - 3 < x < right + 3 and top < b and t < low for x, t, b, *_ in self.uprights):
            return False
        if any(top - 3 < y < low + 3 and left < r and each < right for y, each, r, *_ in self.levels):
            return False
        if any(left - 4 < x < right + 4 and top - 4 < y < low + 4 for x, y in self.dots):
            return False
        return not any(meet(box, _before(pin)) for terminal, pin in self.pins.items() if terminal not in own)

    def is_open(self, box):
        """Tell whether nothing at all is in a box, not even a line that passes. [yes/no]"""
        left, top, right, low = box
        return not (any(meet(box, other) for other in (*self.pieces, *self.words))
                    or any(left < x < right and top < end and begin < low for x, begin, end, *_ in self.uprights)
                    or any(top < y < low and left < end and begin < right for y, begin, end, *_ in self.levels))

    def _boxed(self, left, top, right, low, is_level, own):
        """Tell whether a piece, a word or the room before a terminal without a wire is in the way of a stretch. [yes/no]"""
        for room, boxes in ((_FROM_PIECE, self.pieces), (_FROM_WORD, self.words)):
            aside, ahead = (0, room) if is_level else (room, 0)
            for a, b, c, d in boxes:
                if a - aside < right and left < c + aside and b - ahead < low and top < d + ahead:
                    # along the edge of a piece a wire leaves its terminal sideways
                    if not (is_level and room == _FROM_PIECE and min(abs(top - b), abs(top - d)) < _SAME):
                        return True
        box = left - 2, top - 2, right + 2, low + 2
        return any(terminal not in own and terminal not in self.wired and meet(box, _before(pin)) for terminal, pin in self.pins.items())

    def _on_a_dot(self, left, top, right, low, ends):
        return any(left - _CORNER < x < right + _CORNER and top - _CORNER < y < low + _CORNER
                   and not any(abs(x - a) < _SAME and abs(y - b) < _SAME for a, b in ends) for x, y in self.dots)

    def _among(self, beside, across, stretch, ends, own):
        """Return what the lines cost that a stretch runs beside or across, or None where it would be taken for one of them. [px]"""
        at, first, last = stretch
        for other, begin, end, *_ in beside:
            if abs(other - at) < CLEAR and begin < last + 3 and first < end + 3:
                touches = abs(other - at) < _SAME and (abs(begin - last) < _SAME and (at, last) in ends or abs(end - first) < _SAME and (at, first) in ends)
                if not touches:
                    return None
        cost = 0.0
        for other, begin, end, owner, is_metal in across:
            if not (first - _CORNER < other < last + _CORNER and begin - _CORNER < at < end + _CORNER):
                continue
            if owner in own and is_metal or any(abs(here - at) < _SAME and abs(there - other) < _SAME for here, there in ends):
                continue
            if other < first + _CORNER or last - _CORNER < other or at < begin + _CORNER or end - _CORNER < at:
                return None
            cost += CROSSED_METAL if is_metal else CROSSED
        return cost


def _before(pin):
    """Return the room before a terminal. [px]"""
    x, y, way = pin
    return (x - 6, y - AHEAD, x + 6, y) if way < 0 else (x - 6, y, x + 6, y + AHEAD)

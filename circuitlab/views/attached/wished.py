"""Where a part that a hand stands somewhere finds room: in the nearest place that is free, so that nothing makes way for it."""

from math import inf

from .blocks import BOX_HEAD, PITCH

ROOM, MORE = 205, 80         # between a new column and the next, for wires; more where one is between two others [px]
WIDE, LEFT, BELOW = 250, 110, 56      # where the kit finds a place: between columns, left of the first, and below a block [px]
NAMES = 50                   # beside a block, about what the names of wires take [px]
_OPEN = 5                    # of so many terminals one without a wire makes a circuit that is still to be wired [1]
_GAP, _ROW = 28, 7           # between a new block and the next, and for each row of the upper one more [px]


def is_open(arrangement):
    """Tell whether wires are still to come, so that room is kept for them. [yes/no]"""
    return _OPEN * len(arrangement.loose) > len(arrangement.terminals)


def reach(form):
    """Return how far right of its middle a block takes room that is no room for wires: its words beyond the names of wires. [px]"""
    return max(form.width / 2, form.head_wide - form.width / 2 - NAMES)


def settled(spots, forms, stood, taps):
    """Return the spots with each part in a column and clear of those that were stood before it.

    Parameters
    ----------
    spots : dict
        For each part ``(middle, first row)``, in the order in which they were stood. [px]
    forms : dict
        Form of each part.
    stood : set of str
        The parts that stood there already. [text]
    taps : dict
        How many wires leave a block at ``(part, row, side)``. [1]
    """
    there = {}
    for name, (x, y) in sorted(spots.items(), key=lambda spot: spot[0] not in stood):
        is_new = name not in stood
        if is_new:
            x, y = _column(x, y, forms[name], there, forms)
        boxes = [_box(other, forms[other], at[1], taps, is_new) for other, at in there.items() if at[0] == x]
        there[name] = x, _height(y, forms[name], boxes, is_new)
    return there


def _column(x, y, form, there, forms):
    """Return the nearest middle a part may have, and a height that the lines of such a column may have. [px]"""
    left, right = {}, {}
    for name, (middle, _) in there.items():
        left[middle] = max(left.get(middle, 0), forms[name].width / 2)
        right[middle] = max(right.get(middle, 0), reach(forms[name]))
    least, middles = LEFT + form.width / 2, sorted(left)
    ends = [(middles[index - 1] + right[middles[index - 1]] + form.width / 2 + ROOM if index else least,
             (middles[index] - left[middles[index]] - reach(form) - ROOM - MORE * bool(index) if index < len(middles) else inf))
            for index in range(len(middles) + 1)]
    new = [min(max(x, low), high) for low, high in ends if low <= high]
    found = min([*middles, *new], key=lambda middle: abs(middle - x))
    if found in left:
        return found, y
    before = max((middle for middle in middles if middle < found), default=None)
    beside = before if before is not None else min(middles, default=None)
    tops = [at for middle, at in there.values() if middle == beside]
    if tops:        # beside a column that has lines in some heights, in those between
        y = tops[0] + PITCH / 2 + PITCH * max(round((y - tops[0] - PITCH / 2) / PITCH), -int((tops[0] - PITCH / 2) // PITCH))
    return round(found, 1), round(y, 1)


def _head(form, is_new):
    """Return how far a block reaches above its first row: of what stood there before, only that which is sure. [px]"""
    return form.above + (form.head_tall + BOX_HEAD * bool(form.box)) * is_new


def _gap(form):
    """Return what is left free below a block, for wires that pass and for more of them at its terminals. [px]"""
    return _GAP + _ROW * len(form.rows)


def _box(name, form, top, taps, is_new):
    """Return how far up and down a block reaches. [px]"""
    slots = sum(max(1, taps.get((name, row, 0), 0), taps.get((name, row, 1), 0)) for row in range(len(form.rows)))
    return top - _head(form, is_new), top + PITCH * (slots - 1) + form.below + _gap(form) * is_new


def _height(y, form, boxes, is_new):
    """Return the height nearest to the one wished for at which a block meets no other. [px]"""
    head, foot = _head(form, is_new), PITCH * (len(form.rows) - 1) + form.below + _gap(form) * is_new

    def fits(at):
        return all(at + foot <= top or low <= at - head for top, low in boxes)

    if fits(y):
        return y
    tries = [at for top, low in boxes for at in (top - foot, low + head) if at >= head]
    return round(min((at for at in tries if fits(at)), key=lambda at: abs(at - y)), 1)

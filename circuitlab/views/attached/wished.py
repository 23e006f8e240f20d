"""Where a part that a hand stands somewhere finds room: in the nearest place that is free, so that nothing makes way for it."""

from math import ceil, floor, inf

from .blocks import BOX_HEAD, PITCH

ROOM, MORE = 205, 80         # between a new column and the next, for wires; more where one is between two others [px]
WIDE, LEFT, BELOW = 250, 130, 56      # where the kit finds a place: between columns, left of the first, and below a block [px]
NAMES = 50                   # beside a block, about what the names of wires take [px]
_LESS = 40                   # by so much less room than a new one has, a column is too near another for a wider part [px]
_OPEN = 5                    # of so many terminals one without a wire makes a circuit that is still to be wired [1]
_GAP, _ROW = 14, 7           # between a new block and the next, and for each row of the upper one more [px]


def is_open(arrangement):
    """Tell whether wires are still to come, so that room is kept for them. [yes/no]"""
    return _OPEN * len(arrangement.loose) > len(arrangement.terminals)


def reach(form):
    """Return how far right of its middle a block takes room that is no room for wires: its words beyond the names of wires. [px]"""
    return max(form.width / 2, form.head_wide - form.width / 2 - NAMES)


def settled(spots, forms, stood, taps, behind=()):
    """Return the spots with each part in a column and clear of those that were stood before it.

    What is wished ahead of a trailer does not come to stand behind it where all between is full: it stands in a column beside all.

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
    behind : set of str
        Parts that are not the cart's. [text]
    """
    there, aside = {}, None
    head = min((spots[name][1] - forms[name].above - forms[name].head_tall for name in behind if name in stood), default=inf)
    for name, (x, y) in sorted(spots.items(), key=lambda spot: spot[0] not in stood):
        is_new, rest = name not in stood, None
        if is_new:
            x, rest = _column(x, forms[name], there, forms)
        boxes = [_box(other, forms[other], at[1], taps, is_new) for other, at in there.items() if at[0] == x]
        found = _height(y, forms[name], boxes, rest)
        if is_new and y < head < found + PITCH * (len(forms[name].rows) - 1) + forms[name].below:
            x = aside = aside or round(max(middle + reach(forms[other]) for other, (middle, _) in there.items()) + ROOM + forms[name].width / 2, 1)
            found = _height(y, forms[name], [_box(other, forms[other], at[1], taps, True) for other, at in there.items() if at[0] == x], rest)
        there[name] = x, found
    return there


def _column(x, form, there, forms):
    """Return the nearest middle a part may have, and a height at which lines of such a column may be, if others say one. [px]"""
    left, right = {}, {}
    for name, (middle, _) in there.items():
        left[middle] = max(left.get(middle, 0), forms[name].width / 2)
        right[middle] = max(right.get(middle, 0), reach(forms[name]))
    least, middles = LEFT + form.width / 2, sorted(left)
    ends = [(middles[index - 1] + right[middles[index - 1]] + form.width / 2 + ROOM if index else least,
             (middles[index] - left[middles[index]] - reach(form) - ROOM - MORE * bool(index) if index < len(middles) else inf))
            for index in range(len(middles) + 1)]
    new = [min(max(x, low), high) for low, high in ends if low <= high]
    wider = {middle: max(form.width / 2 - left[middle], reach(form) - right[middle]) for middle in middles}
    narrow = {middle for pair in zip(middles, middles[1:]) for middle in pair if pair[1] - left[pair[1]] - pair[0] - right[pair[0]] < ROOM - _LESS}
    found = min([*(middle for middle in middles if wider[middle] <= 0 or middle not in narrow), *new], key=lambda middle: abs(middle - x))
    tops = {middle: top for middle, top in reversed(there.values())}
    if found in tops:
        return found, tops[found]
    before = max((middle for middle in middles if middle < found), default=min(middles, default=None))
    return round(found, 1), tops[before] + PITCH / 2 if before in tops else None


def _head(form, is_new):
    """Return how far a block reaches above its first row, with a box that may come; of what stood there before, only what is sure. [px]"""
    return form.above + (form.head_tall + BOX_HEAD) * is_new


def _gap(form):
    """Return what is left free below a block, for wires that pass and for more of them at its terminals. [px]"""
    return _GAP + _ROW * len(form.rows)


def _box(name, form, top, taps, is_new):
    """Return how far up and down a block reaches. [px]"""
    slots = sum(max(1, taps.get((name, row, 0), 0), taps.get((name, row, 1), 0)) for row in range(len(form.rows)))
    return top - _head(form, is_new), top + PITCH * (slots - 1) + form.below + _gap(form) * is_new


def _height(y, form, boxes, rest):
    """Return the height nearest to the one wished for at which a block meets no other: what is new has rows where its column has lines. [px]"""
    is_new = rest is not None
    head, foot = _head(form, is_new), PITCH * (len(form.rows) - 1) + form.below + _gap(form) * is_new

    def lined(at, turn=round):
        return at if rest is None else round(rest + PITCH * turn(round((at - rest) / PITCH, 3)), 1)

    def fits(at):
        return at >= head * is_new and all(at + foot <= top or low <= at - head for top, low in boxes)

    tries = [lined(y), lined(head, ceil), *(each for top, low in boxes for each in (lined(top - foot, floor), lined(low + head, ceil)))]
    return y if fits(y) and not is_new else min(filter(fits, tries), key=lambda at: abs(at - y))

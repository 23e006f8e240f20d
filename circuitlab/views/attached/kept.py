"""What a plan keeps: columns of blocks where they stood, each block in its place, new ones below or where one was taken out."""

from collections import Counter
from dataclasses import dataclass

from ...arrangements.plan import SIDES, STEP
from .blocks import PITCH
from .wished import settled

_CLEAR = 20                  # between the blocks of two columns, at least [px]


@dataclass(frozen=True)
class Kept:
    """Places of blocks, counted from the corner of what the drawing's blocks may take.

    ``columns`` are names from the top, ``middles`` how far right each column's middle is, ``tops`` how far down each block's first row; ``level`` is a height that rows of the first column may have. [px]
    ``closed`` tells that nothing more comes between a cart and its trailer, ``grows`` that wires are still to come. [yes/no]
    """

    columns: tuple = ()
    middles: tuple = ()
    tops: dict = None
    level: float = 0.0
    closed: bool = False
    grows: bool = False

    def __bool__(self):
        return bool(self.columns)


def kept_of(plan, forms, behind=()):
    """Return what a plan of an arrangement keeps, from the forms of its parts; where no column is known, all places are taken as they are."""
    if not plan.attached:
        return Kept()
    spots, stood = {name: (STEP * x, STEP * y) for name, x, y, _ in plan.attached}, {name for _, *names in plan.columns for name in names}
    spots = settled(spots, forms, stood, _taps(plan, forms), behind) if stood else spots
    middles = _middles(spots, forms)
    columns = {x: [] for x in sorted(middles)}
    for name in sorted(spots, key=lambda name: (spots[name][1], name)):
        columns[min(columns, key=lambda x: abs(x - spots[name][0]))].append(name)
    tops = {name: y for name, (_, y) in spots.items()}
    half, lattices, found = PITCH / 2, [], []
    base = _commonest(round(top % half, 1) for top in tops.values())
    for x, names in columns.items():
        lattice = _commonest(round((tops[name] - base) / half) % 2 for name in names)
        if lattices and lattices[-1] == lattice:        # a column between is gone: its place stays, for lines to keep apart
            lattices.append(1 - lattice)
            found.append(((_edge(found[-1], forms, 1) + _edge((x, names), forms, -1)) / 2, ()))
        lattices.append(lattice)
        found.append((x, tuple(names)))
    return Kept(tuple(names for _, names in found), tuple(x for x, _ in found), tops, base + half * lattices[0])


def ways_of(plan, top):
    """Return the sides and heights of each wire whose way a plan keeps, ``{wire: ((side, side), heights)}``, on a sheet that begins there. [1], [px]"""
    return {wire: ((SIDES.index(one), SIDES.index(other)), [round(top + STEP * down, 1) for down in downs])
            for wire, _, one, _, other, *downs in plan.wires}


def _taps(plan, forms):
    """Return how many wires are known to leave a block at ``(part, row, side)``. [1]"""
    met = (pair for _, start, one, end, other, *_ in plan.wires for pair in ((start, one), (end, other)))
    return Counter((end.partition(":")[0], forms[end.partition(":")[0]].row_of(end), SIDES.index(side)) for end, side in met)


def _edge(column, forms, side):
    """Return how far right a column ends on one side, -1 for the left, 1 for the right. [px]"""
    middle, names = column
    return middle + side * max((forms[name].width for name in names), default=0) / 2


def _commonest(values):
    return Counter(values).most_common(1)[0][0]      # of as common ones the first: that of the part that was there first


def _middles(spots, forms):
    """Return the middles of the columns: those in which most stand first, others only where they are clear of these. [px]"""
    count, wide = Counter(x for x, _ in spots.values()), {}
    for name, (x, _) in spots.items():
        wide[x] = max(wide.get(x, 0), forms[name].width)
    found = []
    for x in sorted(count, key=lambda x: (-count[x], x)):
        if all(abs(x - other) >= (wide[x] + wide[other]) / 2 + _CLEAR for other in found):
            found.append(x)
    return found

"""What a plan keeps: columns of blocks where they stood, each block in its place, new ones below or where one was taken out."""

from collections import Counter
from dataclasses import dataclass

from .blocks import PITCH
from .wished import settled

_CLEAR = 20                  # between the blocks of two columns, at least [px]


@dataclass(frozen=True)
class Kept:
    """Places of blocks, counted from the corner of what the drawing's blocks may take.

    ``columns`` are names from the top, ``middles`` how far right each column's middle is, ``tops`` how far down each block's first row; ``level`` is a height that rows of the first column may have. [px]
    """

    columns: tuple = ()
    middles: tuple = ()
    tops: dict = None
    level: float = 0.0

    def __bool__(self):
        return bool(self.columns)


def kept_of(spots, forms, stood=(), taps=()):
    """Return what a plan keeps.

    Parameters
    ----------
    spots : dict
        For each part ``(middle, first row)``, in the order in which they were stood. [px]
    forms : dict
        Form of each part.
    stood : set of str
        The parts that stood there already; with none, all places are taken as they are. [text]
    taps : dict
        How many wires leave a block at ``(part, row, side)``. [1]
    """
    if not spots:
        return Kept()
    spots = settled(spots, forms, stood, dict(taps)) if stood else spots
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

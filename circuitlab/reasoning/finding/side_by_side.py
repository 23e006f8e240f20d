"""Two lamps told of in one row, one brighter than the other: whoever says that sees them side by side.

As alike as a fault leaves them, nobody calls them two things. So a cause ahead of both, which dims both alike, explains a dim lamp beside a dark
one, or beside one that is right, far worse than each by itself.
"""

from itertools import combinations
from math import log

import numpy as np

from ..looks import DARK_BELOW

BRIGHTER = ("dark", "dim", "steady", "flashing")      # looks that tell how bright; the last two are alike
ALIKE = 0.15        # of their own light, within which two lamps look alike: the kit's own guess
TOLD_APART = 0.1    # that two lamps that look alike are told to be of two brightnesses all the same: the kit's own guess


def told_apart(solved, symptoms):
    """Return the logarithm of the odds that lamps are told to be of two brightnesses, shape (1 + candidates,), the healthy circuit first.

    Parameters
    ----------
    solved : Solved
    symptoms : sequence of Symptom
    """
    found = np.zeros(len(solved.variants))
    for one, other in combinations([each for each in symptoms if each.look in BRIGHTER and not each.either], 2):
        if one.positions == other.positions and one.lamp != other.lamp and min(BRIGHTER.index(one.look), 2) != min(BRIGHTER.index(other.look), 2):
            row = solved.row(one.positions)
            here, there = (_share(solved, each.lamp, row) for each in (one, other))
            if here is not None and there is not None:
                found[abs(here - there) <= ALIKE * np.maximum(here, there) + DARK_BELOW] += log(TOLD_APART)
    return found


def _share(solved, lamp, row):
    """Return the light of a lamp with each candidate as a share of its own in the healthy circuit; None where it is dark there. [1]"""
    light = solved.light(lamp)[:, row].max(axis=1)
    return None if light[0] < DARK_BELOW else light / light[0]

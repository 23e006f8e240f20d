"""Lamps that were seen before a fuse went, or with a new one in: how likely what is said of them is of then.

Who tells a fuse blown, and a lamp behind it lit, has seen the lamp first. So that goes together.
"""

import numpy as np

from .seen import blown_fuse

BEFORE = 0.3        # that a lamp was looked at before the fuse went, or with a new one in: the kit's own guess
BEFORE_SHORT = 0.1  # the same in a row that blows the fuse
TOLD_BOTH = 0.9     # the same of a lamp told to be right beside that fuse told blown: the kit's own guess


def of_before(solved, row, went=None):
    """Return how likely what is said of a lamp in a row is of before a fuse went, shape (candidates,), the healthy circuit first. [1]

    Parameters
    ----------
    solved : Solved
    row : int
        [1]
    went : ndarray of bool, shape (candidates,), optional
        From :func:`went_since`, of a lamp told to be right.
    """
    blows = np.array([False, *(bool(each.blows) for each in solved.candidates)])
    found = blows * np.where(solved.danger[:, row], BEFORE_SHORT, BEFORE)
    return found if went is None else np.where(went, TOLD_BOTH, found)


def went_since(weighing, symptoms, taken):
    """Return with which candidates a fuse that was told blown let a lamp work before, shape (candidates,), the healthy circuit first. [yes/no]

    A short that blows it; and the fuse by itself, where no lamp is told to be wrong: that would have been as right as the others.
    """
    solved = weighing.solved
    told = {blown_fuse(each, solved.arrangement) for each in taken} - {""}
    wrong = any(each.look != weighing.healthy_look(each.lamp, each.positions) for each in symptoms)
    own = [{change.part for change in each.changes if getattr(change, "state", "") == "blown"} for each in solved.candidates]
    return np.array([False, *(bool(told & ({*each.blows} if wrong else {*each.blows} | alone)) for each, alone in zip(solved.candidates, own))])

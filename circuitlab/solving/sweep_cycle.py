"""What blows in one phase of a flasher is gone in the other one too, for many cases at once.

The two ends of a cycle, all flashers on and all off, are cases like any other:
mostly they are in the sweep already, and the rest is settled besides.
"""

import numpy as np

from .settling import is_flasher


def gone_elsewhere(group, outcome, alone, variants, row_of, phases, phase_of):
    """Return what has given way with all flashers on, or with all off.

    Parameters
    ----------
    group : Group
    outcome : Outcome
        Of every case, its own phase looked at alone.
    alone : callable ``(variants, row_of, phases, phase_of) -> Outcome``
        Settles more cases in this way.
    variants, row_of, phase_of : ndarray of int, shape (cases,)
        Which variant, row and phase each case has. [1]
    phases : list of dict
        Phase of each flasher by its place. [text]

    Returns
    -------
    ndarray of bool, shape (latching, cases)
        Whether each latching part has given way. [yes/no]
    """
    here = gone_here(group, outcome)
    gone = np.zeros_like(here)
    flashers = [index for index, part, _ in group.network.moving if is_flasher(part)]
    if not flashers or not gone.size:
        return gone
    for end in ("on", "off"):
        wanted = [each | dict.fromkeys(flashers, end) for each in phases]
        known = [*phases, *(each for each in wanted if each not in phases)]
        target = np.array([known.index(each) for each in wanted])[phase_of]
        place = (variants * (row_of.max() + 1) + row_of) * len(known)
        there, first = np.unique(place + phase_of, return_index=True)
        asked, asker, which = np.unique(place + target, return_index=True, return_inverse=True)
        near = np.minimum(np.searchsorted(there, asked), len(there) - 1)
        found = here[:, first[near]]
        missing = np.flatnonzero(there[near] != asked)
        if len(missing):     # a phase that was not asked for
            who = asker[missing]
            more = alone(variants[who], row_of[who], known, target[who])
            outcome.solved += more.solved
            found[:, missing] = gone_here(group, more)
        gone |= found[:, which]
    return gone


def gone_here(group, outcome):
    """Return whether each latching part has given way in an outcome, shape (latching, cases). [yes/no]"""
    gone = [outcome.codes[index] == group.code(index, part.states[-1]) for index, part, _ in group.network.latching]
    return np.array(gone, bool).reshape(len(gone), outcome.codes.shape[1])

"""Readings sorted into outcomes: two or three, parted where no tolerance blurs them and most is told of the repair."""

import numpy as np

from .looking_ahead import p_log

APART = 2.0         # times what both neighbours may be off by, between two outcomes
PLAIN = 0.1         # V, the least between two outcomes, whatever the tolerances say
BOUNDS = 5          # gaps between values looked at as bounds of outcomes, the widest
KEPT = 40           # readings of a row and phase that are looked at further, those that tell most for their effort


def parted(values, sigma, worth, cost, main=None, most=KEPT):
    """Return readings that tell most for their effort, and the number of the outcome of each value in them: of at most three.

    Outcomes are parted where no tolerance blurs them and most is told of the repair.

    Parameters
    ----------
    values, sigma : ndarray of float, shape (readings, candidates)
        What is read, NaN where nothing steady is, and how far it may be off. [V]
    worth : ndarray of float, shape (candidates, repairs)
        Odds of each candidate, in the column of its repair. [1]
    cost : ndarray of float, shape (readings,)
        [min]
    main : ndarray of bool, shape (candidates,), optional
        Those that say where to part; the others fall on one side or the other. All unless given. [yes/no]
    most : int
        How many readings to return. [1]

    Returns
    -------
    (ndarray of int, ndarray of int of shape (readings chosen, candidates))

    >>> [each.tolist() for each in parted(np.array([[12.0, 0.1, 11.9, 6.0]]), np.full((1, 4), 0.1), np.eye(4) / 4, np.ones(1))]
    [[0], [[2, 0, 2, 1]]]
    """
    bounds = _bounds(values, sigma, np.ones(values.shape[1], bool) if main is None else main)
    some = np.flatnonzero(bounds.min(axis=1, initial=np.inf) < np.inf)
    worth = worth.astype(np.float32)
    above = values[some, None, :] > bounds[some, :, None]
    told = _told((above,), worth)
    best = np.argsort(-told.max(axis=1, initial=0.0) / cost[some], kind="stable")[:most]
    above, first = above[best], told[best].argmax(axis=1) if len(best) else np.zeros(0, int)
    one = np.take_along_axis(above, first[:, None, None], 1)
    second = _told((one & above, one | above), worth).argmax(axis=1) if len(best) else first
    other = np.take_along_axis(above, second[:, None, None], 1)
    return some[best], (one[:, 0].astype(np.int8) + other[:, 0])


def _bounds(values, sigma, main):
    """Return the middles of the widest gaps that no tolerance blurs, ``inf`` for none, shape (readings, bounds). [V]"""
    values, sigma = values[:, main], sigma[:, main]
    order = np.argsort(values, axis=1)
    rising, off = (np.take_along_axis(each, order, 1) for each in (values, sigma))
    gaps = np.diff(rising, axis=1) - np.maximum(APART * (off[:, 1:] + off[:, :-1]), PLAIN)
    if gaps.shape[1] > BOUNDS:
        widest = np.argsort(-gaps, axis=1)[:, :BOUNDS]     # what is no number comes last
    else:
        widest = np.broadcast_to(np.arange(gaps.shape[1]), gaps.shape)
    middle = np.take_along_axis((rising[:, 1:] + rising[:, :-1]) / 2, widest, 1)
    return np.where(np.take_along_axis(gaps, widest, 1) > 0, middle, np.inf)


def _told(steps, worth):
    """Return how much outcomes tell of the repair, the more the better, shape (readings, bounds). [bit]

    Each of the steps, of shape (readings, bounds, candidates), says which candidates lie above it, the higher ones first.
    """
    shape, said, below = steps[0].shape, 0.0, 0.0
    for step in steps:
        upto = (step.reshape(-1, shape[2]).astype(np.float32) @ worth)
        said, below = said + _kept(np.maximum(upto - below, 0.0)), upto
    said = said + _kept(np.maximum(worth.sum(axis=0) - below, 0.0))
    return said.reshape(shape[:2])


def _kept(parts):
    """Return what an outcome leaves told of the repair: minus its odds times the entropy of repairs in it. [bit]"""
    mass = parts.sum(axis=1)
    return p_log(parts).sum(axis=1) - p_log(mass)


def cheapest(outcomes, cost):
    """Return the numbers of the readings that part anything, of those with the same outcomes the cheapest. [1]"""
    order = np.argsort(cost, kind="stable")
    order = order[outcomes[order].max(axis=1) > outcomes[order].min(axis=1)]
    if not len(order):
        return order
    _, first = np.unique(np.ascontiguousarray(outcomes[order]).view(f"V{outcomes.shape[1]}").ravel(), return_index=True)
    return order[np.sort(first)]

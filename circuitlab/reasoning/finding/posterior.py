"""What candidates are worth after all that was told."""

from typing import NamedTuple


class Posterior(NamedTuple):
    """What each candidate is worth after all that was told.

    Attributes
    ----------
    weights : ndarray of float, shape (candidates,)
        With ``other`` they sum up to 1. [1]
    other : float
        Of nothing on the list. [1]
    fit : ndarray of float, shape (things told, candidates)
        Logarithm of how well each thing told fits, symptoms first, at the battery's likeliest volts.
    evidence : float
        Logarithm of how well all candidates together explain what was told.
    likeliest : ndarray of int, shape (candidates,)
        Which of the battery's volts, and on which way to the next grade, explains it best. [1]
    went : ndarray of bool, shape (1 + candidates,)
        With which a fuse told blown let a lamp work before. [yes/no]
    """

    weights: object
    other: float
    fit: object
    evidence: float
    likeliest: object
    went: object

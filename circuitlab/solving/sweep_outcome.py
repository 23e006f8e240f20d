"""What a sweep keeps of every case: states, verdict, volts; equal solutions once."""

from functools import cached_property

import numpy as np


class Outcome:
    """What became of the cases of one group.

    Attributes
    ----------
    codes : ndarray of int, shape (parts, cases)
        State of every part. [1]
    aims : ndarray of int, shape (moving, cases)
        What each part that moves makes for, in a case that came to rest round by round with nothing given way; else -1. [1]
    verdicts : ndarray of int, shape (cases,)
        Place of each case's verdict in ``VERDICTS``. [1]
    column : ndarray of int, shape (cases,)
        Which column of ``volts`` has each case's volts; -1 for none. [1]
    volts : ndarray, shape (points, columns)
        Of every point in each different solution; asked for when all is settled. [V]
    example : ndarray of int, shape (columns,)
        For each column a case that has it, were there one; asked for when all is settled. [1]
    in_doubt : numpy.ndarray
        Which cases may be otherwise in time, as a flasher in them hangs on how warm filaments are or moves relays. [yes/no]
    handed_over : int
        How many cases had to be solved alone after all. [1]
    solved : int
        How many networks were solved. [1]
    """

    def __init__(self, codes, points, moving):
        count = codes.shape[1]
        self.aims = np.full((moving, count), -1, codes.dtype)
        self.codes, self.verdicts, self.column = codes, np.zeros(count, np.int8), np.full(count, -1)
        self.in_doubt, self.handed_over, self.solved = np.zeros(count, bool), 0, 0
        self._blocks, self._columns = [np.zeros((points, 0))], 0

    def keep(self, cases, volts, which):
        """Keep the volts of cases, shape (points, any); ``which``, shape (cases,), is the column of each there. [V]"""
        if not len(which):
            return
        used, own = np.unique(which, return_inverse=True)
        self.column[cases] = self._columns + own
        self._columns += len(used)
        self._blocks.append(volts if len(used) == volts.shape[1] else volts[:, used])

    def begin_again(self, cases, codes):
        """Forget what became of cases, and let them stand in states given, save those that came to rest with nothing gone."""
        self.verdicts[cases], self.column[cases], self.in_doubt[cases] = 0, -1, False
        afresh = ~self.have_rested(cases)
        self.codes[:, cases[afresh]] = codes[:, afresh]

    def have_rested(self, cases):
        """Return which cases have come to rest round by round with nothing given way, shape (cases,). [yes/no]"""
        return (self.aims[:, cases] >= 0).all(axis=0)

    @cached_property
    def example(self):
        example, having = np.zeros(self._columns, np.intp), np.flatnonzero(self.column >= 0)
        example[self.column[having]] = having
        return example

    @property
    def volts(self):
        if len(self._blocks) > 1:
            self._blocks = [np.concatenate(self._blocks, axis=1)]
        return self._blocks[0]

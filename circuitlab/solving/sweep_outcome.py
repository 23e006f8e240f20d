"""What a sweep keeps of every case: states, verdict, volts; equal solutions once."""

from functools import cached_property

import numpy as np


class Outcome:
    """What became of the cases of one group.

    Attributes
    ----------
    codes : numpy.ndarray
        State of every part, one column a case. [1]
    verdicts : numpy.ndarray
        Place of each case's verdict in ``VERDICTS``. [1]
    column : numpy.ndarray
        Which column of ``volts`` has each case's volts; -1 for none. [1]
    volts : Columns
        Of every point, one column for each different solution. [V]
    example : numpy.ndarray
        For each column a case that has it, were there one; asked for when all is settled. [1]
    handed_over : numpy.ndarray
        Which cases had to be solved alone after all. [yes/no]
    solved : int
        How many networks were solved. [1]
    """

    def __init__(self, codes):
        count = codes.shape[1]
        self.codes, self.verdicts, self.column = codes, np.zeros(count, np.int8), np.full(count, -1)
        self.volts, self.handed_over, self.solved = Columns(), np.zeros(count, bool), 0

    def keep(self, cases, volts, which):
        """Keep the volts of cases: for each the number of its column in ``volts``. [V]"""
        if not len(which):
            return
        used, own = np.unique(which, return_inverse=True)
        self.column[cases] = self.volts.count + own
        self.volts.add(volts if len(used) == volts.shape[1] else volts[:, used])

    def begin_again(self, cases, codes):
        """Forget what became of cases, and let them stand in states given."""
        self.codes[:, cases], self.verdicts[cases], self.column[cases] = codes, 0, -1

    @cached_property
    def example(self):
        example, having = np.zeros(self.volts.count, np.intp), np.flatnonzero(self.column >= 0)
        example[self.column[having]] = having
        return example


class Columns:
    """Blocks of volts side by side: ``columns[point]`` is one row through all of them. [V]"""

    def __init__(self):
        self._blocks, self.count = [], 0

    def add(self, block):
        self._blocks.append(block)
        self.count += block.shape[1]

    def __getitem__(self, point):
        return np.concatenate([np.zeros(0), *(block[point] for block in self._blocks)])

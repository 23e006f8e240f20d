"""Several sweeps, each of some of the cases, read as one: what was solved, or is known to come to no rest, is not solved again."""

import numpy as np

from ...ground.errors import UnknownName
from ...solving.sweeping import Made, sweep


class JoinedSweeps:
    """The cases of several sweeps, in one order; those in none of them come to no rest.

    Parameters
    ----------
    shape : tuple of int
        Variants, rows and phases. [1]
    """

    def __init__(self, shape):
        self.shape, self._sweeps = shape, []

    def add(self, found, here, there=None):
        """Take in a Sweep of whole variants: their numbers here, and in it, where they do not stand there in the same order. [1]"""
        if len(here):
            one = np.arange(np.prod(self.shape)).reshape(self.shape)[list(here)].ravel()
            self._sweeps.append((found, one, np.arange(len(found)).reshape(found.shape)[list(there or range(len(here)))].ravel()))

    def add_cases(self, found, cases):
        """Take in a Sweep of single cases, which have these numbers here. [1]"""
        self._sweeps.append((found, cases, np.arange(len(found))))

    @property
    def is_settled(self):
        """Whether there are volts to read, shape (cases,). [yes/no]"""
        return self._joined(lambda each: each.is_settled, np.zeros(np.prod(self.shape), bool))

    @property
    def in_doubt(self):
        """Which cases may be otherwise in time, shape (cases,). [yes/no]"""
        return self._joined(lambda each: each.in_doubt, np.zeros(np.prod(self.shape), bool))

    def volts(self, terminal):
        """Return the volts of a terminal, shape (cases,), masked where it floats, or is not there. [V]"""
        return self._read(lambda each: each.volts(terminal))

    def light(self, lamp):
        """Return a lamp's light relative to its rated light, shape (cases,), masked where it is not there. [1]"""
        return self._read(lambda each: each.light(lamp))

    def current(self, name, branch=0):
        """Return the current through a wire or one branch of a part, shape (cases,), masked where it is not there. [A]"""
        return self._read(lambda each: each.current(name, branch))

    def _read(self, read):
        """Return what is read in each sweep; a name that none of them knows is told as they tell it."""
        wrong = []

        def known(each):
            try:
                return read(each)
            except UnknownName as error:
                wrong.append(error)
                return np.ma.masked_all(len(each))
        found = self._joined(known, np.ma.array(np.zeros(np.prod(self.shape)), mask=True))
        if len(wrong) == len(self._sweeps):
            raise wrong[0]
        return found

    def _joined(self, read, found):
        for each, here, there in self._sweeps:
            found[here] = read(each)[there]
        return found


def each_once(circuit, rows, phases, variants, after, before=None, known=None):
    """Return all variants in all rows and phases as JoinedSweeps, each case solved once.

    Parameters
    ----------
    circuit : Arrangement
        The healthy one.
    rows, phases : sequence of dict of str to str
        [text]
    variants : sequence of Arrangement
        The healthy circuit first.
    after : dict of int to int
        Of variants beside the healthy one, which other of them comes to no rest where they do not, by their numbers from 0. [1]
    before : Sweep, optional
        In which some were solved already.
    known : dict of int to int
        Which ones these are, and their numbers there. [1]
    """
    found, after = JoinedSweeps((len(variants), len(rows), len(phases))), {number + 1: first + 1 for number, first in after.items()}
    known = known or {}
    if known:
        found.add(before, known.keys(), known.values())

    def solve(numbers):
        if numbers:
            found.add(sweep(circuit, rows, phases, [(Made(variants[number]),) for number in numbers]), numbers)
    solve([number for number in range(len(variants)) if number not in known and number not in after])
    rests = found.is_settled.reshape(found.shape)
    solve([number for number, first in after.items() if rests[first].all()])
    cases = [(number, *place) for number, first in after.items() if not rests[first].all() for place in np.argwhere(rests[first]).tolist()]
    if cases:
        found.add_cases(sweep([(variants[number], rows[row], phases[phase]) for number, row, phase in cases]), np.ravel_multi_index(np.array(cases).T, found.shape))
    return found

"""The volts of many cases at once: the elimination of :mod:`elimination` and Newton's method, case beside case.

The same straight-line program that solves one case runs over arrays, one entry
a case: each of its some thousand additions and multiplications is one call of
numpy for thousands of cases. Newton's method then repeats only the program's
second half, on the points that devices touch, and leaves out cases that have
come to rest. Devices are read off their tables (:mod:`sweep_curves`).

A value that is the same in every case stays a plain number, so what lies
between such values is worked out once, not once a case.
"""

import numpy as np

from .elimination import program
from .network import CLOSE, PATIENCE
from .sweep_curves import Curves, current

TINY = 1e-300     # S2, far below any conductance squared: what is over it instead of over nothing is nothing
HALVING = 20      # steps of Newton after which they are halved, as for one case
CROWD = 0.7       # share of cases still on the way below which the others are left out


def inverse(pivot):
    """Return one over a pivot, and exactly 0 where that is nothing: what floats gets no current from anywhere. [ohm]"""
    if not isinstance(pivot, np.ndarray):
        return 1.0 / pivot if pivot else 0.0
    square = pivot * pivot
    np.maximum(square, TINY, out=square)
    return np.divide(pivot, square, out=square)


def itself(pivot):
    """Return a pivot of truth values: whether anything is left to join the point to."""
    return pivot


class Kernel:
    """Solves the cases of one group, in states given."""

    def __init__(self, group):
        self.group, self.network = group, group.network
        net = self.network
        self.reach = float(sum(np.abs(forces).max() for forces in group.forces.values()))     # volts of all batteries
        self.curves = Curves(group.law_list, current, self.reach)
        self._starts = np.array([law.start for law in group.law_list] or [1.0])
        self._same_laws = bool((group.laws == group.laws[:, :1]).all())
        self._reduce, _, self._points, self._back = net.program.over(inverse)
        self._tables, self._looked_at = {}, (None, ())

    def conducts(self, number, codes):
        """Return whether a branch conducts in states (parts, cases): shape (cases,), or once where all are alike."""
        if number not in self.group.closing:
            return True
        place, closed_in = self.group.closing[number]
        names = self.group.names[place]
        table = self._tables.get(number)
        if table is None or len(table) < len(names):
            table = self._tables[number] = np.array([name in closed_in for name in names])
        mine = codes[place]
        return bool(table[mine[0]]) if len(mine) and self._alike(codes)[place] else table[mine]

    def _alike(self, codes):
        """Return for each part whether all cases have the same state, worked out once for states (parts, cases) given."""
        if self._looked_at[0] is not codes:
            self._looked_at = codes, (codes == codes[:, :1]).all(axis=1).tolist()
        return self._looked_at[1]

    def conductances(self, variants, codes):
        """Return the conductance of every branch that is no device: a number, or (cases,) where they differ. [S]"""
        return [self.conductance(number, variants, codes) for number in range(len(self.group.varies))]

    def conductance(self, number, variants, codes):
        """Return the conductance of one branch that is no device, likewise. [S]"""
        values = self.group.values[number]
        value = values.take(variants) if self.group.varies[number] else float(values[0])
        return value * self.conducts(number, codes) if number in self.group.closing else value

    def solve(self, variants, codes):
        """Return ``(volts, conductances)``: shape (points, cases), and a list over the branches. [V], [S]

        Parameters
        ----------
        variants : ndarray of int, shape (cases,)
            Which variant each case is. [1]
        codes : ndarray of int, shape (parts, cases)
            The state of every part. [1]
        """
        conductances = self.conductances(variants, codes)
        feeds = [conductances[number] * self.force(number, variants) for number in self.group.forces]
        late, early = self._reduce(conductances, feeds)
        found = self._newton(late, *self._devices(variants, codes))
        volts = np.zeros((self.network.size, len(variants)))
        for point, column in enumerate(self._back(early, found)):
            volts[point] = column
        return volts, conductances

    def force(self, number, variants):
        """Return the electromotive force of a branch in every case. [V]"""
        return self.group.forces[number].take(variants) if number in self.group.forces else 0.0

    def _devices(self, variants, codes):
        """Return (number of each device's first strip, whether it conducts, conductance to begin with).

        Shape (devices, cases) each; (devices, 1) for the first where every variant has the same laws.
        """
        shape = len(self.group.laws), len(variants)
        laws = self.group.laws[:, :1] if self._same_laws else self.group.laws[:, variants]
        whole = np.ones(shape)
        for order, number in enumerate(self.group.device_branches):
            whole[order] = self.conducts(number, codes)
        return self.curves.first[laws], whole, self._starts[laws] * whole

    def _newton(self, late, strips, whole, slopes):
        """Return the volts of the points that devices touch, every case at rest: shape (late points, cases). [V]"""
        points, ends = len(self.network.program.late_points), self.network._late_ends
        count = whole.shape[1]
        found, on_way = np.zeros((points, count)), np.arange(count)
        companions, before = np.zeros_like(slopes), None if len(ends) else slopes
        for turn in range(PATIENCE):
            volts = (*self._points(late, slopes, companions), 0.0)      # the last is the battery's minus
            drops = np.empty(whole.shape)
            for row, (a, b) in zip(drops, ends):
                np.subtract(volts[a], volts[b], out=row)
            if turn > HALVING:
                drops = (drops + before) / 2
            if before is not None:
                moving = (np.abs(drops - before) >= CLOSE).any(axis=0)
                left = np.count_nonzero(moving)
                if left < CROWD * len(on_way) or not left:
                    for row, column in zip(found, volts):
                        row[on_way] = column
                    if not left:
                        return found
                    keep = np.flatnonzero(moving)
                    on_way, drops, whole = on_way[keep], drops[:, keep], whole[:, keep]
                    late = tuple(value if np.ndim(value) == 0 else value[keep] for value in late)
                    strips = strips if strips.shape[1] == 1 else strips[:, keep]
            currents, slopes, at = self.curves.read(strips, drops)
            companions = (currents - slopes * at) * whole
            slopes = slopes * whole
            before = drops
        raise ArithmeticError(f"the devices did not settle in {PATIENCE} Newton steps")

    def current(self, number, variants, codes, volts, conductances=None):
        """Return the current through a branch, start to end, shape (cases,); volts have (points, cases). [A]"""
        a, b = self.network.ends[number]
        order = self.network._device_order.get(number)
        if order is None:
            mine = conductances[number] if conductances else self.conductance(number, variants, codes)
            return mine * (volts[a] - volts[b] + self.force(number, variants))
        strips = self.curves.first[self.group.laws[order][variants]]
        return self.curves.values(strips, volts[a] - volts[b]) * self.conducts(number, codes)

    def grounded(self, variants, codes):
        """Return whether any conducting way leads to the battery's minus, shape (points, cases).

        The elimination over truth values: minus feeds every point beside it, a mesh joins what its star joined.
        """
        net = self.network
        ends = tuple((b, a) if b == 0 else (a, b) for a, b in net.ends)
        feeding = tuple(number for number, (a, b) in enumerate(ends) if a == 0 and b)
        reduce, _, points, back = program(net.size, ends, (), feeding).over(itself)
        every = np.ones(len(variants), bool)
        joined = []
        for number, values in enumerate(self.group.values != 0):
            mine = values.take(variants) if number not in net._device_order and not values.all() else every
            joined.append(mine & self.conducts(number, codes))
        late, early = reduce(joined, [joined[number] for number in feeding])
        reached = np.zeros((net.size, len(variants)), bool)
        for point, column in enumerate(back(early, points(late, (), ()))):
            reached[point] = column
        reached[0] = True
        return reached

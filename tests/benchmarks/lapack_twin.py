"""The sweep's twins: the same rounds, laws and tables, but the networks solved by batched ``np.linalg.solve``.

Each network is solved once, dense, for the sources and for one unit of current through every device. That reduces it to
the devices, where the same Newton iteration runs on matrices of their number. An open contact needs a small leak to
minus here, or the matrix would be singular.

The plain twin solves for every point. The reduced one first takes out, once for each variant, the points that touch
neither a contact nor a device, as anybody would who knows that only contacts change from row to row; each case is then
a matrix of the points that are left, and the others follow from them.
"""

import numpy as np

from circuitlab.solving.sweep_volts import Kernel
from circuitlab.solving.network import CLOSE, PATIENCE
from circuitlab.solving.sweeping import Sweep

LEAK = 1e-9   # S
LOT = 512     # matrices at a time, so that they stay in the processor's cache


class TwinKernel(Kernel):
    """Solves the cases of one group with LAPACK."""

    def __init__(self, group):
        super().__init__(group)
        net = self.network
        points = net.size - 1
        self._placed = _placed(net.ends, {point: point - 1 for point in range(1, net.size)})
        self._across = np.zeros((points, len(net.device_ends)))      # volts across a device out of those of the points
        for order, (a, b) in enumerate(net.device_ends):
            for point, sign in ((a, 1.0), (b, -1.0)):
                if point:
                    self._across[point - 1, order] += sign

    def solve(self, variants, codes):
        conductances = self.conductances(variants, codes)
        volts = np.zeros((self.network.size, len(variants)))
        stack = self._stack(conductances, len(variants))
        for begin in range(0, len(variants), LOT):
            lot = slice(begin, begin + LOT)
            volts[1:, lot] = self._lot(stack[:, lot], variants[lot], codes[:, lot]).T
        return volts, conductances

    def _stack(self, conductances, count):
        """Return the conductances of the branches that are placed in a case's matrix, one column a case. [S]"""
        return np.array([np.broadcast_to(value, count) for value in conductances])

    def _system(self, stack, variants):
        """Return the matrices of many cases, and the currents that the sources send into their points. [S], [A]"""
        feeds = np.zeros((len(variants), len(self._across)))
        self._feed(feeds, stack, variants)
        return _filled(stack, self._placed, len(self._across)), feeds

    def _feed(self, feeds, stack, variants):
        for number in self.group.forces:
            for point, sign in zip(self.network.ends[number], (-1.0, 1.0)):
                if point:
                    feeds[:, point - 1] += sign * stack[number] * self.force(number, variants)

    def _every_point(self, volts, variants):
        """Return the volts of every point out of those that were solved for. [V]"""
        return volts

    def _lot(self, stack, variants, codes):
        devices = self._across.shape[1]
        matrix, feeds = self._system(stack, variants)
        right = np.concatenate((feeds[:, :, None], np.broadcast_to(-self._across, (len(variants), *self._across.shape))), 2)
        return self._every_point(self._solved(matrix, right, devices, variants, codes), variants)

    def _solved(self, matrix, right, devices, variants, codes):
        solved = np.linalg.solve(matrix, right)
        if not devices:
            return solved[:, :, 0]
        open_drops = solved[:, :, 0] @ self._across
        answers = -(self._across.T @ solved[:, :, 1:])
        currents = self._currents(open_drops, answers, *self._devices(variants, codes))
        return solved[:, :, 0] + np.einsum("bpd,bd->bp", solved[:, :, 1:], currents)

    def _currents(self, open_drops, answers, strips, whole, slopes):
        """Return the current of every device: Newton on drops = open drops - answers times currents."""
        found, on_way = np.zeros_like(open_drops), np.arange(len(open_drops))
        slopes, companions, whole, before = slopes.T, np.zeros_like(open_drops), whole.T, None
        strips = strips.T
        eye = np.eye(answers.shape[1])
        for _ in range(PATIENCE):
            system = eye + answers * slopes[:, None, :]
            right = open_drops - np.einsum("bij,bj->bi", answers, companions)
            drops = np.linalg.solve(system, right[:, :, None])[:, :, 0]
            found[on_way] = slopes * drops + companions
            if before is not None:
                keep = np.flatnonzero(np.abs(drops - before).max(axis=1) >= CLOSE)
                if not len(keep):
                    return found
                on_way, drops, whole, open_drops, answers = (each[keep] for each in (on_way, drops, whole, open_drops, answers))
                strips = strips if len(strips) == 1 else strips[keep]
            value, slopes, at = self.curves.read(strips, drops)
            companions, slopes, before = (value - slopes * at) * whole, slopes * whole, drops
        raise ArithmeticError("the twin did not settle")


class ReducedTwinKernel(TwinKernel):
    """Solves them on the points that touch a contact or a device; what the others are is worked out once a variant."""

    def __init__(self, group):
        super().__init__(group)
        net, count = self.network, len(group.variants)
        devices, points = set(group.device_branches), net.size - 1
        self._switched = [number for number in group.closing if number not in devices]
        fixed = [number for number in range(len(net.ends)) if number not in devices and number not in group.closing]
        touched = {point for number in (*group.closing, *devices) for point in net.ends[number]} - {0}
        self._kept = np.array(sorted(touched)) - 1
        self._gone = np.setdiff1d(np.arange(points), self._kept)
        self._across = self._across[self._kept]
        place = {point + 1: order for order, point in enumerate(self._kept)}
        whole = _filled(group.values[fixed], _placed([net.ends[number] for number in fixed],
                                                     {point: point - 1 for point in range(1, net.size)}), points)
        feeds = np.zeros((count, points))
        self._feed(feeds, group.values, np.arange(count))
        self._placed = _placed([net.ends[number] for number in self._switched], place)
        rows = [np.ix_(np.arange(count), one, other) for one in (self._kept, self._gone) for other in (self._kept, self._gone)]
        kept, to_gone, from_gone, gone = (whole[row] for row in rows)
        self._shares = np.linalg.solve(gone, np.concatenate((from_gone, feeds[:, self._gone, None]), 2))
        self._fixed = kept - to_gone @ self._shares[:, :, :-1]
        self._feeds = feeds[:, self._kept] - (to_gone @ self._shares[:, :, -1:])[:, :, 0]

    def _stack(self, conductances, count):
        return np.array([np.broadcast_to(conductances[number], count) for number in self._switched]).reshape(-1, count)

    def _system(self, stack, variants):
        matrix = self._fixed[variants]
        spread, rows, columns = self._placed
        matrix[:, rows, columns] += stack.T @ spread
        return matrix, self._feeds[variants]

    def _every_point(self, volts, variants):
        found = np.empty((len(variants), len(self._kept) + len(self._gone)))
        shares = self._shares[variants]
        found[:, self._kept] = volts
        found[:, self._gone] = shares[:, :, -1] - np.einsum("bgk,bk->bg", shares[:, :, :-1], volts)
        return found


def _placed(ends, place):
    """Return where branches stand in a matrix: what each adds to which of its entries, and their rows and columns."""
    entries, signs = {}, []
    for number, (a, b) in enumerate(ends):
        for row, column, sign in ((a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)):
            if a != b and row and column:
                signs.append((number, entries.setdefault((place[row], place[column]), len(entries)), sign))
    spread = np.zeros((len(ends), len(entries)))
    for number, entry, sign in signs:
        spread[number, entry] += sign
    return spread, *np.array(list(entries), int).reshape(-1, 2).T


def _filled(stack, placed, points):
    """Return the matrices of branches with the conductances of ``stack``, one column a case, and a leak. [S]"""
    spread, rows, columns = placed
    matrix = np.zeros((stack.shape[1], points, points))
    matrix[:, rows, columns] = stack.T @ spread
    matrix[:, np.arange(points), np.arange(points)] += LEAK
    return matrix


class TwinSweep(Sweep):
    """A sweep solved by LAPACK."""

    kernel = TwinKernel


class ReducedTwinSweep(Sweep):
    """A sweep solved by LAPACK on fewer points."""

    kernel = ReducedTwinKernel

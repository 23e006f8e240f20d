"""The sweep's twin: the same rounds, laws and tables, but the networks solved by batched ``np.linalg.solve``.

Each network is solved once, dense, for the sources and for one unit of current through every device. That reduces it to
the devices, where the same Newton iteration runs on matrices of their number. An open contact needs a small leak to
minus here, or the matrix would be singular.
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
        entries, signs = {}, []
        for number, (a, b) in enumerate(net.ends):
            for row, column, sign in ((a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)):
                if a != b and row and column:
                    signs.append((number, entries.setdefault((row - 1, column - 1), len(entries)), sign))
        self._spread = np.zeros((len(net.ends), len(entries)))
        for number, entry, sign in signs:
            self._spread[number, entry] += sign
        self._rows, self._columns = np.array(list(entries)).T
        self._across = np.zeros((points, len(net.device_ends)))      # volts across a device out of those of the points
        for order, (a, b) in enumerate(net.device_ends):
            for point, sign in ((a, 1.0), (b, -1.0)):
                if point:
                    self._across[point - 1, order] += sign

    def solve(self, variants, codes):
        conductances = self.conductances(variants, codes)
        volts = np.zeros((self.network.size, len(variants)))
        stack = np.array([np.broadcast_to(value, len(variants)) for value in conductances])
        for begin in range(0, len(variants), LOT):
            lot = slice(begin, begin + LOT)
            volts[1:, lot] = self._lot(stack[:, lot], variants[lot], codes[:, lot]).T
        return volts, conductances

    def _lot(self, stack, variants, codes):
        net, count = self.network, len(variants)
        points, devices = self._across.shape
        matrix = np.zeros((count, points, points))
        matrix[:, self._rows, self._columns] = stack.T @ self._spread
        matrix[:, np.arange(points), np.arange(points)] += LEAK
        right = np.zeros((count, points, 1 + devices))
        for number in self.group.forces:
            for point, sign in zip(net.ends[number], (-1.0, 1.0)):
                if point:
                    right[:, point - 1, 0] += sign * stack[number] * self.force(number, variants)
        right[:, :, 1:] = -self._across
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


class TwinSweep(Sweep):
    """A sweep solved by LAPACK."""

    kernel = TwinKernel

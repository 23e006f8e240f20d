"""The ohms between any two points of a circuit without volts, all at once: one inverse instead of a solution for each pair of leads.

An ohmmeter's volts hardly warm a filament and do not open a junction, so that where its current passes by both, every device is the
resistance that it is without volts. Where that is not so, a battery lies between, or so much is shown that electronics count, the pair is solved for itself.
"""

from math import sqrt

import numpy as np

from ..ground.joined import leaders
from ..parts.instruments import TEST_OHMS, TEST_VOLTS

PLAIN = 500.0       # ohm, up to which no leak of a semiconductor is seen beside what is measured
UNBENT = 1e-3       # V, at which no junction has begun to bend
COOL = 0.015        # of the volts at which a filament as cold as before would lose all that it takes: its ohms rise by less than a ten thousandth
_LEAK = 1e-9        # S, that keeps what floats from having any volts at all


def nodal(size, joined):
    """Return the nodal matrix of so many points, ``(point, point, conductance)`` joining them, shape (points, points). [S]"""
    matrix = np.eye(size) * _LEAK
    if joined:
        one, other, flows = (np.array(each) for each in zip(*joined))
        for row, column, sign in ((one, one, 1), (other, other, 1), (one, other, -1), (other, one, -1)):
            np.add.at(matrix, (row, column), sign * flows)
    return matrix


class OhmsAtOnce:
    """What an ohmmeter shows between the terminals of one operating point, every battery off.

    Parameters
    ----------
    point : OperatingPoint
        Settled.
    """

    def __init__(self, point):
        self.point, contacts, net = point, point._contacts, point._net
        flows = list(contacts.conductances)
        for number, order in net._device_order.items():
            law = contacts.laws[order]
            flows[number] = law.settled_current(0.0)[1] if law else 0.0
        devices = [(ends, law) for ends, law in zip(net.device_ends, contacts.laws) if law]
        self._ends = np.array([ends for ends, _ in devices], int).reshape(-1, 2)
        self._least = np.array([_unchanged(law) for _, law in devices])
        joined = [(one, other, flow) for (one, other), flow in zip(net.ends, flows) if flow]
        self._island = leaders(range(net.size), [both for *both, _ in joined])
        self._inverse = np.linalg.inv(nodal(net.size, joined))
        self._is_off = max(map(abs, net.drops(point._volts)), default=0.0) < UNBENT * 1e-3

    def ohms(self, red, black):
        """Return what :meth:`OperatingPoint.ohms` does, within a ten thousandth. [ohm]"""
        here, there = self.point._between(red, black)
        if self._is_off and self._island[here] != self._island[there]:
            return None
        across = self._inverse[here] - self._inverse[there]
        ohms = float(across[here] - across[there])
        amps = TEST_VOLTS / (TEST_OHMS + ohms)
        drops = np.abs(across[self._ends[:, 0]] - across[self._ends[:, 1]]) * amps
        own = abs(self.point._volts[here] - self.point._volts[there])
        is_plain = self._is_off and own < UNBENT and ohms < PLAIN and bool((drops < self._least).all())
        return ohms if is_plain else self.point.ohms(red, black)


def _unchanged(law):
    """Return the volts up to which a device keeps the resistance it has without any. [V]"""
    return COOL * sqrt(law.radiation * law.cold**4 * law.cold_resistance) if law.warms else UNBENT

"""An independent judge of time courses: filaments as temperatures, contacts standing still, any method of scipy.

Kirchhoff's laws come from the other judge. They are reduced once for each position of the contacts to what the lamps
see of the rest: volts across the lamps when they conduct as if hot, and how those volts give way to other conductances.
"""

import numpy as np
from scipy.integrate import solve_ivp

from judges.curves import COLD, RATED, around, hot_ohms, siemens
from judges.kirchhoff import Circuit, add


class Heating:
    """The lamps of an arrangement between two events.

    Parameters
    ----------
    arrangement : Arrangement
    states : dict of str to str
        What state every part is in.
    """

    def __init__(self, arrangement, states):
        self.circuit = Circuit(arrangement, states)
        self.all = [part for part in arrangement.parts if part.kind == "lamp"]
        self.names = [lamp.name for lamp in self.all]
        live = [element.owner for element in self.circuit.lamps]
        self.live = [self.names.index(owner) for owner in live]
        assert self.circuit.curved == self.circuit.lamps, "this judge knows filaments only"
        self.base = np.array([siemens(element.curve, RATED) for element in self.circuit.lamps])
        self.hot = np.array([hot_ohms(lamp) for lamp in self.all])
        self.around = np.array([around(lamp) for lamp in self.all])
        self.watts = np.array([lamp.watts for lamp in self.all])
        self.capacity = np.array([lamp.filament.heat_capacity for lamp in self.all])
        self._reduce()

    def _reduce(self):
        circuit = self.circuit
        matrix = circuit.plain.copy()
        ports = np.zeros((circuit.size + 1, len(circuit.lamps)))
        for order, element in enumerate(circuit.lamps):
            a, b = circuit.ends(element)
            add(matrix, a, b, self.base[order])
            ports[a, order] += 1
            ports[b, order] -= 1
        if circuit.size:
            self.spread = np.linalg.solve(matrix[:-1, :-1], ports[:-1])
            self.free = np.linalg.solve(matrix[:-1, :-1], circuit.feed[:-1])
        else:
            self.spread, self.free = np.zeros((0, 0)), np.zeros(0)
        self.open_volts = ports[:-1].T @ self.free
        self.softness = ports[:-1].T @ self.spread
        self.one = np.eye(len(circuit.lamps))

    def lamp_volts(self, kelvin):
        """Return the volts across every lamp, zero across one that floats or is blown. [V]"""
        drops = np.zeros(len(self.all))
        if self.live:
            extra = 1.0 / (self.hot[self.live] * (kelvin[self.live] / RATED) ** 1.2) - self.base
            drops[self.live] = np.linalg.solve(self.one + self.softness * extra, self.open_volts)
        return drops

    def point_volts(self, kelvin):
        """Return the volts of every point that does not float. [V]"""
        if not self.live:
            return self.free
        extra = 1.0 / (self.hot[self.live] * (kelvin[self.live] / RATED) ** 1.2) - self.base
        return self.free - self.spread @ (extra * self.lamp_volts(kelvin)[self.live])

    def slopes(self, _, kelvin):
        """Return how fast every filament warms: what it draws less what it radiates, over its heat capacity. [K/s]"""
        drawn = self.lamp_volts(kelvin) ** 2 / (self.hot * (kelvin / RATED) ** 1.2)
        lost = self.watts * (kelvin**4 - self.around**4) / (RATED**4 - COLD**4)
        return (drawn - lost) / self.capacity


def light(kelvin):
    """Return the light relative to rated. [1]"""
    return (np.asarray(kelvin) / RATED) ** 8.84


def pieces(course):
    """Return (start, end, states) between the moments at which any part of a course changed its state."""
    names = [part.name for part in course.arrangement.parts]
    changing = dict(course.first)
    spans = {name: course.spans(name) for name in names if name in changing}
    cuts = sorted({0.0, course.until, *(start for each in spans.values() for start, _, _ in each)})
    found = []
    for start, end in zip(cuts, cuts[1:]):
        middle = (start + end) / 2
        states = {name: "fixed" for name in names} | dict(course.arrangement.held)
        states |= {part.name: "whole" for part in course.arrangement.parts if part.kind == "lamp"}
        states |= {name: next(state for a, b, state in each if a <= middle < b) for name, each in spans.items()}
        found.append((start, end, states))
    return found


class Replay:
    """A course run again by scipy over the same pieces; the light at any moment.

    Parameters
    ----------
    course : TimeCourse
        Only its events and its first temperatures are taken over.
    method, rtol : str, float
        For :func:`scipy.integrate.solve_ivp`.
    """

    def __init__(self, course, method="DOP853", rtol=1e-10):
        self.known = {}
        self.prepared = [(start, end, self._heating(course.arrangement, states))
                         for start, end, states in pieces(course)]
        names = self.prepared[0][2].names
        self.first = np.array([course.at(0.0).temperature(name) for name in names])
        self.names, self.method, self.rtol, self.calls = names, method, rtol, 0
        self.run()

    def _heating(self, arrangement, states):
        key = tuple(sorted(states.items()))
        if key not in self.known:
            self.known[key] = Heating(arrangement, states)
        return self.known[key]

    def run(self):
        kelvin, self.ways, self.calls = self.first, [], 0
        for start, end, heating in self.prepared:
            way = solve_ivp(heating.slopes, (start, end), kelvin, method=self.method, rtol=self.rtol,
                            atol=self.rtol * 1e3, dense_output=True)
            assert way.success, way.message
            kelvin = way.y[:, -1]
            self.calls += way.nfev
            self.ways.append((start, end, way.sol))
        return kelvin

    def light(self, name, moment):
        """Return a lamp's light at a moment, relative to rated. [1]"""
        way = next(sol for start, end, sol in self.ways if start <= moment <= end)
        return float(light(way(moment)[self.names.index(name)]))

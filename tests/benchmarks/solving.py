"""How fast the solver is, side by side with scipy in one run.

    python tests/benchmarks/solving.py            the whole comparison, about half a minute
    python tests/benchmarks/solving.py --short    the same with few repeats, to see that it runs

Two questions, both on the kit's arrangement with a relay for each lamp:

* one operating point, against ``scipy.optimize.root`` (method hybr) on the same equations with the same law of the
  filaments. scipy is told where the contacts stand and starts from hot lamps; the kit finds the contacts by itself.
* ten seconds of turning and braking, against five methods of ``scipy.integrate.solve_ivp`` and against ``odeint``. scipy
  is given the pieces between the events and a right-hand side reduced to the lamps, all prepared before the clock
  starts; the kit finds the events by itself and keeps the record. Each method runs twice: with the reduction written in
  numpy as anybody would, and with the kit's own generated one, which takes half the kit's secret away. Its tolerance is
  the tightest of a row of half powers of ten at which its light is still no better than the kit's (against DOP853 at
  1e-11, at the events).

Every figure is the median of several repeats taken in turn. Compare the ratios, not the milliseconds: the machine and
its other work change both sides alike.
"""

import sys
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

import numpy as np
from scipy.integrate import odeint, solve_ivp
from scipy.optimize import root

from circuitlab.arrangements import arrangement
from circuitlab.parts.lamp import COLD
from circuitlab.solving import operating_point, run
from circuitlab.solving.network import network
from circuitlab.solving.warming import warming
from judges.heating import Heating, light, pieces
from judges.kirchhoff import Circuit, add

CART = "shared-filament-four-relays"
ROW = {"key": "on", "brake pedal": "held", "turn lever": "left"}
SCRIPT = [(0.2, "key", "on"), (0.5, "turn lever", "left"), (2.03, "brake pedal", "held"), (4.5, "turn lever", "off"),
          (4.9, "turn lever", "right"), (7.77, "brake pedal", "released"), (9.0, "turn lever", "off")]
METHODS = ("RK45", "DOP853", "LSODA", "Radau", "BDF", "odeint")   # all but the last are methods of solve_ivp
TOLERANCES = tuple(10.0 ** (-half / 2) for half in range(4, 18))


def anew(cart, *row):
    """Return an operating point that nothing is remembered of."""
    network(cart).lately.clear()
    return operating_point(cart, *row)


def timed(tasks, repeats):
    """Return ``{name: median seconds}``, the tasks done in turn. [s]"""
    taken = {name: [] for name in tasks}
    for _ in range(repeats):
        for name, task in tasks.items():
            begin = perf_counter()
            task()
            taken[name].append(perf_counter() - begin)
    return {name: median(values) for name, values in taken.items()}


class SameLaw(Circuit):
    """Kirchhoff's laws with the kit's own curve of a settled filament, as quick as the kit has it."""

    def equations(self, volts):
        return self.residual(volts, [element.curve.filament.settled_current(drop)[0]
                                     for element, drop in zip(self.curved, self.drops(volts))])

    def slopes(self, volts):
        matrix = self.plain.copy()
        for element, drop in zip(self.curved, self.drops(volts)):
            add(matrix, *self.ends(element), element.curve.filament.settled_current(drop)[1])
        return matrix[:-1, :-1]


def one_point(repeats):
    """Compare one operating point; return ``({name: seconds}, {name: error in volts})``."""
    cart = arrangement(CART)
    found = operating_point(cart, ROW)
    circuit = SameLaw(cart, found.states)
    exact = circuit.solve()

    def scipy_root(derivative):
        slopes = circuit.slopes if derivative else None
        return root(circuit.equations, circuit.with_hot_lamps(), jac=slopes, method="hybr").x
    states = [found.states[part.name] for part in network(cart).parts]
    tasks = {"kit, contacts found by itself": lambda: anew(cart, ROW),
             "kit, contacts given": lambda: network(cart).reduced(states).settled(),
             "scipy root, derivative given": lambda: scipy_root(True), "scipy root": lambda: scipy_root(False)}
    errors = {"scipy root, derivative given": np.abs(scipy_root(True) - exact).max(),
              "scipy root": np.abs(scipy_root(False) - exact).max()}
    kit = max(abs(found.volts(terminal) - circuit.volts_of(terminal, exact)) for terminal in cart.terminals
              if found.volts(terminal) is not None)
    errors |= {name: kit for name in tasks if name.startswith("kit")}
    return timed(tasks, repeats), errors


class Prepared:
    """A course as pieces with a right-hand side reduced to the lamps, in x = ln T, for any method of solve_ivp."""

    def __init__(self, course, by):
        net, known = network(course.arrangement), {}
        make = {"kit's own": self._kits_own, "numpy": self._numpys}[by]
        self.ways = []
        for start, end, states in pieces(course):
            key = tuple(states.get(part.name, "fixed") for part in net.parts)
            if key not in known:
                known[key] = make(net, states, key)
            self.ways.append((start, end, known[key]))
        self.first = np.log([course.at(0.0).temperature(lamp) / COLD for lamp in net.lamps])
        ends = [end for _, end, _ in self.ways]
        self.kit = light([[course.at(end).temperature(lamp) for lamp in net.lamps] for end in ends])

    @staticmethod
    def _kits_own(net, states, key):
        contacts = net.reduced(list(key))
        late, slopes = contacts.late, warming(contacts)[0]
        return lambda _, x: slopes(late, x.tolist())[0]

    @staticmethod
    def _numpys(net, states, key):
        heating = Heating(net.arrangement, states)

        def slopes(_, x):
            kelvin = COLD * np.exp(x)
            return heating.slopes(_, kelvin) / kelvin
        return slopes

    def light(self, method, rtol):
        """Return the light of every lamp at the end of every piece. [1]"""
        x, found = self.first, []
        for start, end, slopes in self.ways:
            if method == "odeint":
                x = odeint(slopes, x, (start, end), tfirst=True, rtol=rtol, atol=rtol)[-1]
            else:
                x = solve_ivp(slopes, (start, end), x, method=method, rtol=rtol, atol=rtol).y[:, -1]
            found.append(COLD * np.exp(x))
        return light(found)


def fitting_tolerance(prepared, method, tolerances, exact, least):
    """Return (tolerance, error): the tightest tolerance whose light is no better than ``least``, else the loosest."""
    chosen = None
    for tolerance in tolerances:
        error = np.abs(prepared.light(method, tolerance) - exact).max() / exact.max()
        if error < least:
            break
        chosen = tolerance, error
    return chosen or (tolerance, error)


def ten_seconds(repeats, until=10.0, methods=METHODS, tolerances=TOLERANCES):
    """Compare a time course; return ``({name: seconds}, {name: error}, {name: tolerance})``."""
    cart = arrangement(CART)
    script = [action for action in SCRIPT if action[0] < until]
    course = run(cart, script, until)
    sides = {by: Prepared(course, by) for by in ("numpy", "kit's own")}
    exact = sides["numpy"].light("DOP853", 1e-11)
    errors, chosen, tasks = {"kit": np.abs(sides["numpy"].kit - exact).max() / exact.max()}, {}, {}
    tasks["kit"] = lambda: run(cart, script, until)
    for by, side in sides.items():
        for method in methods:
            name = f"{method} on {by}"
            chosen[name], errors[name] = fitting_tolerance(side, method, tolerances, exact, errors["kit"])
            tasks[name] = lambda side=side, method=method, name=name: side.light(method, chosen[name])
    return timed(tasks, repeats), errors, chosen


def report(seconds, errors, own, unit, factor, error_unit, chosen=()):
    """Print one line for each: time, error, and how many times the kit's time it took."""
    for name, taken in seconds.items():
        tolerance = f", rtol {chosen[name]:.0e}" if name in chosen else ""
        print(f"  {name + tolerance:32} {taken * factor:9.2f} {unit}   error {errors[name]:.1e} {error_unit}"
              f"   {taken / seconds[own]:6.2f} x the kit")


def main(short=False):
    """Print the whole comparison and return the ratios: fastest of scipy over the kit, for a point and for a course."""
    seconds, errors = one_point(10 if short else 200)
    own = "kit, contacts found by itself"
    print("one operating point of", CART)
    report(seconds, errors, own, "ms", 1e3, "V")
    first = min(taken for name, taken in seconds.items() if name.startswith("scipy")) / seconds[own]
    if short:
        seconds, errors, chosen = ten_seconds(2, 3.0, ("RK45", "LSODA", "odeint"), (1e-3, 1e-4, 1e-5))
    else:
        seconds, errors, chosen = ten_seconds(9)
    print("\na time course of", "3 s" if short else "10 s")
    report(seconds, errors, "kit", "ms", 1e3, "of the peak light", chosen)
    second = {}
    for by in ("numpy", "kit's own"):
        fastest = min((name for name in seconds if name.endswith(by)), key=seconds.get)
        second[by] = seconds[fastest] / seconds["kit"]
        print(f"\nfastest of scipy over the kit, right-hand side {by}: {second[by]:.2f} ({fastest})", end="")
    print(f"\nfaster of scipy's roots over the kit: {first:.2f}")
    return first, second


if __name__ == "__main__":
    main("--short" in sys.argv[1:])

"""How fast, how exact and how sturdy the solver is: every figure a ratio or a count of this one run.

    python tests/benchmarks/solver.py            a table for people, about two minutes
    python tests/benchmarks/solver.py --json     the same figures for scripts
    python tests/benchmarks/solver.py --short    less of everything, to see that it runs

* the sweep: every row and phase of the hazard arrangement with a relay for each lamp, healthy and with some 130 faults,
  against the same rounds on batched ``np.linalg.solve`` (``lapack_twin.py``), on every point and on those alone that
  touch a contact or a device. Once each before the clock starts, so
  that programs are compiled and curves tabled. The rate and the ratio are those of a sweep of given arrangements; the
  line "whole" has the making of the faulty ones in it too.
* ten seconds of time course against the fastest of ``solve_ivp`` (``solving.py``, right-hand side in numpy), and against
  ``odeint`` on the kit's own right-hand side, which is told the events and keeps no record.
* one point of a chain of blocks, 64 to 1024 lamps, a relay for every four, on a trunk: far more than the kit lets anybody
  describe, so that the growth shows.
* node voltages against exact fractions, resistances over twelve decades.
* a thousand random networks of diodes and lamps: a failure is one that does not settle, or leaves over current.
* the most memory the sweep holds at once.

One thread. Sweeps and chains are timed by the processor's clock, the best of several in turn, which other work on the
machine disturbs little.
"""

import gc
import json
import os
import sys
import tracemalloc
from fractions import Fraction
from math import exp, log
from pathlib import Path
from random import Random
from time import perf_counter, process_time

for _threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_threads] = "1"
TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(Path(__file__).resolve().parent), str(TESTS), str(TESTS.parent)]

import numpy as np

import circuitlab as cl
from circuitlab.arrangements import Arrangement, changed, checks
from circuitlab.parts import Battery, Control, Diode, Lamp, Relay, Resistor, Splice, Wire, toggle
from circuitlab.solving import inrush, operating_point, run, sweep
from circuitlab.solving.network import network

CART = "shared-filament-four-relays-hazard"


def faults(cart):
    """Return one tuple of changes for each of some 130 faults, and the healthy arrangement first."""
    wires, relays = cart.wires, cart.of_kind(Relay)
    found = [()] + [(cl.LoseJoint(wire.name, wire.start),) for wire in wires]
    found += [(cl.Hold(part.name, "blown"),) for part in cart.parts if "blown" in part.states]
    found += [(cl.Hold(relay.name, state),) for relay in relays for state in ("released", "operated")]
    found += [(cl.SetValue(relay.name, "coil_resistance", 1e5),) for relay in relays]
    found += [(cl.Hold(part.name, "off"),) for part in cart.of_kind(cl.Flasher)]
    found += [(cl.Hold(switch.name, cart.control(switch.control).positions[0]),) for switch in cart.of_kind(cl.Switch)]
    found += [(cl.LoseJoint(wire.name, wire.end, 0.8),) for wire in wires[::2]]
    return found + [(cl.AddWire(cl.Wire("W999", wire.start, "G1:-")),) for wire in wires[1:56:2] if wire.start != "G1:-"]


def best(tasks, repeats, clock=process_time):
    """Return the least seconds of each task, the tasks done in turn, with no collection of garbage meanwhile. [s]"""
    taken = {name: [] for name in tasks}
    gc.collect()
    gc.disable()
    for _ in range(repeats):
        for name, task in tasks.items():
            begin = clock()
            task()
            taken[name].append(clock() - begin)
    gc.enable()
    return {name: min(values) for name, values in taken.items()}


def sweeping(short):
    """Time the exhaustive sweep and its twin; return the figures."""
    from lapack_twin import ReducedTwinSweep, TwinSweep
    cart = cl.arrangement(CART)
    changes = faults(cart)[::12] if short else faults(cart)
    found = sweep(cart, changes=changes)
    same = (found.variants, found.rows, found.phases, found._variant_of, found._row_of, found._phase_of, found.shape)
    unlike, apart = 0, 0.0
    for twin in (TwinSweep(*same), ReducedTwinSweep(*same)):
        unlike += sum((found.state(part.name) != twin.state(part.name)).sum() for part in cart.parts)
        apart = max([apart, *(float(abs(found.volts(terminal) - twin.volts(terminal)).max()) for terminal in cart.terminals)])
    def anew(task):
        """Return the task with nothing remembered of the sweep before."""
        return lambda: (inrush._stirs.cache_clear(), task())
    seconds = best({"whole": anew(lambda: sweep(cart, changes=changes)), "arrangements given": anew(lambda: type(found)(*same))},
                   2 if short else 9)
    seconds |= best({"twin": anew(lambda: TwinSweep(*same)), "reduced twin": anew(lambda: ReducedTwinSweep(*same))}, 1 if short else 3)
    return {"points": len(found), "shape": found.shape, "networks": found.networks_solved, "seconds": seconds,
            "unlike": int(unlike), "apart": apart,
            "verdicts": {str(word): int((found.verdicts == word).sum()) for word in np.unique(found.verdicts)}}


def chain(lamps):
    """Return blocks of four small lamps, a relay and a switch each, on a trunk of four wires side by side."""
    parts, wires = [Battery("G1", 12.6, 0.001)], []

    def wire(start, end, **more):
        wires.append(Wire(f"W{len(wires) + 1}", start, end, **more))
    before = ("G1:+", "G1:-")
    for block in range(1, lamps // 4 + 1):
        up, down, relay, switch = f"X{2 * block - 1}", f"X{2 * block}", f"K{block}", f"S{block}"
        parts += [Splice(up, 24), Splice(down, 24), Relay(relay, coil_resistance=10_000.0), toggle(switch, "all")]
        for way in range(1, 5):
            for end, splice in zip(before, (up, down)):
                wire(end if ":" in end else f"{end}:{10 + way}", f"{splice}:{way}", area=200.0)
        wire(f"{up}:5", f"{switch}:1")
        wire(f"{switch}:2", f"{relay}:86")
        wire(f"{relay}:85", f"{down}:5")
        wire(f"{up}:6", f"{relay}:30")
        for way in range(4):
            lamp = f"E{4 * block - 3 + way}"
            parts.append(Lamp(lamp, 13.5, 0.2))
            wire(f"{relay}:87", f"{lamp}:1")
            wire(f"{lamp}:2", f"{down}:{6 + way}")
        before = up, down
    return Arrangement(f"{lamps} lamps on a trunk", (Control("all", ("off", "on")),), parts, wires)


def growing(short):
    """Time one point of longer and longer chains; return {lamps: (build, point, a second of time course)}. [s]"""
    from solving import anew        # nothing is remembered of the point before

    sizes = (16, 64) if short else (64, 128, 256, 512, 1024)
    checks.MOST |= {"parts": 100_000, "wires": 100_000, "controls": 100_000}     # beyond what anybody's arrangement may have
    boards, built, courses = {lamps: chain(lamps) for lamps in sizes}, {}, {}
    for lamps, board in boards.items():
        built |= best({lamps: lambda: network(board)}, 1)
        point = operating_point(board, {"all": "on"})
        lit = [point.light(f"E{number}") for number in (1, lamps)]
        assert point.is_settled and min(lit) > 0.3, f"the far end of {lamps} lamps is starved: {lit}"
        courses |= best({lamps: lambda: run(board, [(0.1, "all", "on")], until=1.0)}, 1)
    points = best({lamps: lambda board=board: anew(board, {"all": "on"}) for lamps, board in boards.items()},
                  3 if short else 15)
    return {lamps: (built[lamps], points[lamps], courses[lamps]) for lamps in sizes}


def exponent(taken, which):
    """Return how fast something grows with the number of lamps: time goes as lamps to this power, fitted to all. [1]"""
    return float(np.polyfit(np.log(list(taken)), np.log([times[which] for times in taken.values()]), 1)[0])


def exactness(short):
    """Return the worst relative error of a node voltage in stiff networks, swept and alone, against exact fractions."""
    from judges.linear_networks import random_network
    from judges.test_linear_networks import exact_volts
    worst, swept = 0.0, 0.0
    for seed in range(3 if short else 40):
        board, chance = random_network(Random(1000 + seed), junctions=7), Random(seed)
        other = changed(board, *(cl.SetValue(part.name, "resistance", exp(chance.uniform(log(1e-3), log(1e9))))
                                 for part in board.of_kind(Resistor)))
        found = sweep([(board, {}, "on"), (other, {}, "on")])
        for number, each in enumerate((board, other)):
            point = operating_point(each)
            for terminal, exact in exact_volts(each).items():
                if exact:
                    worst = max(worst, float(abs(Fraction(point.volts(terminal)) / exact - 1)))
                    swept = max(swept, float(abs(Fraction(float(found.volts(terminal)[number])) / exact - 1)))
    return worst, swept


def diode_network(chance):
    """Return twenty junctions with 8 diodes, 5 lamps, a battery and thirty resistors between them."""
    parts, wires, ways = [Splice(f"X{number}", 24) for number in range(20)], [], [0] * 20

    def join(junction, terminal):
        ways[junction] += 1
        wires.append(Wire(f"W{len(wires) + 1}", f"X{junction}:{ways[junction]}", terminal))

    def between(part, first, second, junctions):
        parts.append(part)
        join(junctions[0], f"{part.name}:{first}")
        join(junctions[1], f"{part.name}:{second}")
    between(Battery("G1", chance.uniform(6, 24)), "+", "-", (1, 0))
    for number in range(1, 31):
        here = (chance.randrange(number), number) if number < 20 else chance.sample(range(20), 2)
        between(Resistor(f"R{number}", exp(chance.uniform(log(0.1), log(1e4)))), "1", "2", here)
    for number in range(1, 9):
        between(Diode(f"V{number}"), "A", "K", chance.sample(range(20), 2))
    for number in range(1, 6):
        between(Lamp(f"E{number}", 12.0, chance.choice((1.2, 5.0, 21.0))), "1", "2", chance.sample(range(20), 2))
    return Arrangement("diodes and lamps", parts=parts, wires=wires)


def left_over(board, volts):
    """Return the greatest current left over at a junction, device currents from the devices' own curves. [A]"""
    sums = {}
    for wire in board.wires:
        amps = (volts(wire.start) - volts(wire.end)) / wire.resistance
        for end, sign in ((wire.start, -1), (wire.end, 1)):
            metal = end.partition(":")[0] if end.startswith("X") else end
            sums[metal] = sums.get(metal, 0.0) + sign * amps
    for part in board.of_kind((Diode, Lamp)):
        first, second = (f"{part.name}:{terminal}" for terminal in part.terminals)
        amps = part.branches()[0].device.settled_current(volts(first) - volts(second))[0]
        sums[first] -= amps
        sums[second] += amps
    return max(abs(amps) for metal, amps in sums.items() if not metal.startswith(("G", "R")))


def sturdiness(short, wirings=100):
    """Count random networks that fail, alone and swept ten values to a wiring; return (failures, networks, worst). [A]"""
    failures, count, worst = 0, 0, 0.0
    for seed in range(2 if short else wirings):
        chance = Random(seed)
        base = diode_network(chance)
        boards = [base] + [changed(base, *(cl.SetValue(f"R{number}", "resistance", exp(chance.uniform(log(0.1), log(1e4))))
                                           for number in range(1, 31))) for _ in range(9)]
        try:
            found = sweep([(board, {}, "on") for board in boards])
            columns = {terminal: found.volts(terminal) for terminal in base.terminals}
        except ArithmeticError:
            columns = None
        for number, board in enumerate(boards):
            count += 1
            try:
                readings = [operating_point(board).volts, lambda terminal: float(columns[terminal][number])]
                over = max(left_over(board, read) for read in readings) if columns else 1.0
            except ArithmeticError:
                over = 1.0
            worst, failures = max(worst, over), failures + (over > 1e-6)
    return failures, count, worst


def memory(short):
    """Return the most memory a whole sweep holds at once, its results among it. [MB]"""
    cart = cl.arrangement(CART)
    changes = faults(cart)[::12] if short else faults(cart)
    tracemalloc.start()
    sweep(cart, changes=changes)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6


def measure(short=False, say=print):
    """Measure everything, tell it as a table, and return the figures for scripts."""
    import solving
    swept = sweeping(short)
    seconds = swept["seconds"]
    kit = seconds["arrangements given"]
    twin, reduced, rate = seconds["twin"] / kit, seconds["reduced twin"] / kit, swept["points"] / kit
    say(f"sweep of {CART}: changes x rows x phases {swept['shape']}, {swept['points']} points, "
        f"{swept['networks']} networks solved, {swept['verdicts']}")
    for name, taken in seconds.items():
        say(f"  {name:22} {1e3 * taken:9.1f} ms {swept['points'] / taken:12.0f} points/s"
            f" {taken / seconds['arrangements given']:8.2f} x the kit")
    say(f"  states unlike the twins': {swept['unlike']}; volts apart: {swept['apart']:.1e} V (the twins leak)")
    taken = growing(short)
    for lamps, (build, point, course) in taken.items():
        say(f"chain of {lamps:5} lamps: program {build:7.3f} s once, point {1e3 * point:8.2f} ms, "
            f"time course {course:7.2f} s per second")
    say(f"  growth exponents: point {exponent(taken, 1):.2f}, program {exponent(taken, 0):.2f}, "
        f"time course {exponent(taken, 2):.2f}")
    worst = exactness(short)
    say(f"stiff networks against exact fractions, worst relative error: alone {worst[0]:.1e}, swept {worst[1]:.1e}")
    failures, count, over = sturdiness(short)
    say(f"{count} random networks of diodes and lamps: {failures} fail; most current left over {over:.1e} A")
    peak = memory(short)
    say(f"memory the sweep holds at most: {peak:.0f} MB")
    course = (solving.ten_seconds(2, 3.0, ("RK45", "odeint"), (1e-3, 1e-4, 1e-5)) if short else solving.ten_seconds(9))[0]
    fastest = min((name for name in course if name.endswith("on numpy") and not name.startswith("odeint")), key=course.get)
    ratio, told = course[fastest] / course["kit"], course["odeint on kit's own"] / course["kit"]
    say(f"time course: {1e3 * course['kit']:.1f} ms; fastest of solve_ivp takes {ratio:.2f} x as long ({fastest}), "
        f"odeint on the kit's own right-hand side {told:.2f} x")
    return {"sweep_vs_lapack_twin": twin, "sweep_vs_reduced_twin": reduced, "points_per_second": rate,
            "timecourse_vs_best_solve_ivp": ratio, "timecourse_vs_odeint_on_the_kits_own": told,
            "growth_exponent": exponent(taken, 1), "worst_relative_error": max(worst), "newton_failures": failures,
            "peak_mb": peak}


def main(arguments):
    """Print the table, or with ``--json`` nothing but the figures."""
    begin = perf_counter()
    as_json = "--json" in arguments
    figures = measure("--short" in arguments, (lambda *words: None) if as_json else print)
    if as_json:
        print(json.dumps(figures))
    else:
        print("\n" + "\n".join(f"  {name:30} {value:12.4g}" for name, value in figures.items()))
        print(f"  {perf_counter() - begin:.0f} s for all")
    return figures


if __name__ == "__main__":
    main(sys.argv[1:])

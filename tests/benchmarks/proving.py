"""How fast a proof is, side by side with the same questions asked one after the other.

    python tests/benchmarks/proving.py            the four-relay arrangement and the largest of the kit, some half minute
    python tests/benchmarks/proving.py --short    a small one, to see that it runs
    python tests/benchmarks/proving.py --json     the same figures for a program to read

One after the other means: an operating point for every row and phase, with relays at rest before and, because a row
may remember, with relays operated before (*rows*); the same for all that every order of throwing leads to, each asked
anew (*orders*); and one time course for every row, watched as long as the proof watches. The proof plays more of them,
as it throws single controls at the worst moments of a swing, so both sides are given for each course too. The proof
also finds the current's path of each failure. For comparison a bare operating point for each row and phase is given,
which is less than a proof. Time is that of the processor, the least of several runs in turn after a first one: compare
the ratios, the machine changes all sides alike.
"""

import json
import sys
from pathlib import Path
from time import process_time

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.arrangements.rows import rows_of
from circuitlab.reasoning import count_rows, flash, prove
from circuitlab.reasoning.orders import phase_combinations
from circuitlab.reasoning.looks import look_of
from circuitlab.reasoning.timing import SETTLED, THROWN_AT, WATCHED
from circuitlab.solving import operating_point, run

CART = "shared-filament-four-relays"


def relays_of(circuit):
    """Return the names of its relays. [text]"""
    return [part.name for part in circuit.parts if "operated" in part.states]


def bare(circuit):
    """Return the looks of every lamp in every row, from a bare operating point for each row and phase."""
    looks = {}
    for positions in rows_of(circuit):
        points = [operating_point(circuit, positions, phases) for phases in phase_combinations(circuit)]
        looks[tuple(positions.values())] = {lamp: look_of([point.light(lamp) for point in points])
                                            for lamp in points[0]._net.lamps}
    return looks


def with_memory(circuit):
    """Return the looks, each row and phase asked with relays operated beforehand as well."""
    for positions in rows_of(circuit):
        for phases in phase_combinations(circuit):
            operating_point(circuit, positions, phases, relays_of(circuit))
    return bare(circuit)


def orders(circuit):
    """Return in how many ways its rows can be, whatever the order of throwing. [1]"""
    def rounds(positions, operated):
        last = None
        while True:
            after = []
            for phases in phase_combinations(circuit):
                point = operating_point(circuit, positions, phases, operated)
                operated = frozenset(name for name in relays_of(circuit) if point.states[name] == "operated")
                after.append(operated)
            if after == last:
                return tuple(after)
            last = after

    start = circuit.positions()
    found, ahead = {(tuple(start.values()), rounds(start, ()))}, [(start, rounds(start, ()))]
    while ahead:
        positions, reached = ahead.pop()
        for control in circuit.controls:
            place = control.shown.index(positions[control.name])
            for other in {max(place - 1, 0), min(place + 1, len(control.shown) - 1)} - {place}:
                where = {**positions, control.name: control.shown[other]}
                for operated in set(reached):
                    way = rounds(where, operated)
                    if (tuple(where.values()), way) not in found:
                        found.add((tuple(where.values()), way))
                        ahead.append((where, way))
    return len(found)


def courses(circuit):
    """Return how many time courses were played: one for every row, all its controls thrown at once from rest. [1]"""
    for played, positions in enumerate(rows_of(circuit), 1):
        course = run(circuit, [(THROWN_AT, *item) for item in positions.items()], THROWN_AT + SETTLED + WATCHED)
        for lamp in course.lamp_volts:
            flash(course, lamp, THROWN_AT + SETTLED)
    return played


def least(tasks, repeats):
    """Return ``({name: least seconds}, {name: result})``, the tasks done in turn, a first time not counted. [s]"""
    taken, results = {name: [] for name in tasks}, {}
    for turn in range(repeats + 1):
        for name, task in tasks.items():
            begin = process_time()
            results[name] = task()
            if turn:
                taken[name].append(process_time() - begin)
    return {name: min(times) for name, times in taken.items()}, results


def compared(name, repeats):
    """Return the figures of one arrangement, times in seconds. [s]"""
    circuit = arrangement(name)
    seconds, results = least({
        "bare": lambda: bare(circuit), "rows": lambda: with_memory(circuit),
        "orders": lambda: orders(circuit) if relays_of(circuit) else count_rows(circuit),
        "proof of points": lambda: prove(circuit, timing=False)}, repeats)
    timed, played = least({"time courses": lambda: courses(circuit), "proof": lambda: prove(circuit)}, 1)
    seconds |= timed
    proof = results["proof of points"]
    looks = {tuple(row.positions.values()): {lamp: cell.look for lamp, cell in row.cells.items()} for row in proof.table.rows}
    one_by_one = seconds["rows"] + seconds["orders"]
    return {"arrangement": name, "rows": len(proof.table.rows), "ways": proof.orders,
            "courses": played["proof"].timing.courses, "courses one by one": played["time courses"], "seconds": seconds,
            "ratio of points": one_by_one / seconds["proof of points"],
            "ratio to bare points": seconds["bare"] / seconds["proof of points"],
            "ratio with timing": (one_by_one + seconds["time courses"]) / seconds["proof"],
            "ratio for each course": (seconds["time courses"] / played["time courses"]
                                      / ((seconds["proof"] - seconds["proof of points"]) / played["proof"].timing.courses)),
            "same": looks == results["rows"] and proof.orders == results["orders"]}


def main(words=()):
    """Print the figures of each arrangement and return them."""
    names = ["one-fused-lamp"] if "--short" in words else [CART, max(arrangement_names(), key=lambda name: (
        count_rows(arrangement(name)), len(arrangement(name).wires)))]
    found = [compared(name, 1 if "--short" in words else 5) for name in names]
    if "--json" in words:
        print(json.dumps(found, indent=2))
        return found
    for each in found:
        ms = {name: 1e3 * taken for name, taken in each["seconds"].items()}
        print(f"{each['arrangement']}: {each['rows']} rows in {each['ways']} ways; answers "
              f"{'the same' if each['same'] else 'NOT THE SAME'}\n"
              f"  proof of operating points   {ms['proof of points']:9.1f} ms\n"
              f"    rows and orders one by one{ms['rows'] + ms['orders']:9.1f} ms   {each['ratio of points']:5.2f} x the proof\n"
              f"    bare points, no orders    {ms['bare']:9.1f} ms   {each['ratio to bare points']:5.2f} x the proof\n"
              f"  proof with timing           {ms['proof']:9.1f} ms   {each['courses']} time courses\n"
              f"    all of it one by one      {ms['rows'] + ms['orders'] + ms['time courses']:9.1f} ms   "
              f"{each['ratio with timing']:5.2f} x the proof, {each['courses one by one']} time courses\n"
              f"    one course, one by one                   {each['ratio for each course']:5.2f} x one of the proof's")
    return found


if __name__ == "__main__":
    main(sys.argv[1:])

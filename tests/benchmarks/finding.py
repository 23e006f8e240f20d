"""How fast a fault is found: all candidates solved at once beside each solved by itself, one reading weighed, the next one chosen.

    python tests/benchmarks/finding.py            the four-relay arrangement and the largest of the kit, some half minute
    python tests/benchmarks/finding.py --short    a small one, to see that it runs
    python tests/benchmarks/finding.py --json     the same figures for a program to read

By itself means: the candidate's circuit made and an operating point for every row and phase; of a sample of candidates,
evenly apart, times how many there are. Time is that of the processor, on one core where OMP_NUM_THREADS=1 is set, the least
of several runs: compare the ratios, the machine changes all sides alike.
"""

import json
import sys
from pathlib import Path
from time import process_time

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.arrangements.rows import count_rows, phases_of, rows_of
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.solved import Solved, looked_at, solved
from circuitlab.solving import operating_point

CART = "shared-filament-four-relays"
SYMPTOMS = {"one-fused-lamp": "E1 dim when lamp switch on"}
SAMPLE = 24     # candidates solved by themselves


def least(task, repeats):
    """Return the least seconds of several runs, and the last result. [s]"""
    taken = []
    for _ in range(repeats):
        begin = process_time()
        result = task()
        taken.append(process_time() - begin)
    return min(taken), result


def one_by_one(circuit, candidates):
    """Solve candidates each by itself, in every row and phase."""
    for each in candidates:
        broken = each.apply(circuit)
        for positions in rows_of(circuit):
            for phases in phases_of(circuit):
                operating_point(broken, positions, phases)


def compared(name, repeats):
    """Return the figures of one arrangement, times in seconds. [s]"""
    circuit = arrangement(name)
    candidates, symptom = candidates_of(circuit), SYMPTOMS.get(name, "rear left dim when braking")
    solved(circuit)         # tables of filaments are made once
    together, _ = least(lambda: Solved(circuit, candidates, looked_at(circuit)), repeats)
    sample = candidates[::max(1, len(candidates) // SAMPLE)]
    apart, _ = least(lambda: one_by_one(circuit, sample), 1)
    first, found = least(lambda: find(circuit, symptom), repeats)
    offer = found.next.offer
    known = find(circuit, symptom, f"0.1 V from {offer.red} to {offer.black}")
    weighing = found.ahead.solved.weighing
    odds = [1.0] * len(candidates)
    reading, _ = least(lambda: weighing.posterior(odds, known.symptoms, known.taken), repeats)
    following, _ = least(lambda: find(circuit, symptom, known.taken), repeats)
    return {"arrangement": name, "candidates": len(candidates), "rows": count_rows(circuit), "together": together,
            "one by one": apart / len(sample) * len(candidates), "ratio": apart / len(sample) * len(candidates) / together,
            "reading": reading, "next": first, "next after a reading": following, "offers": len(found.ahead.offers)}


def main(words=()):
    """Print the figures of each arrangement and return them."""
    names = ["one-fused-lamp"] if "--short" in words else [CART, max(arrangement_names(), key=lambda name: (
        count_rows(arrangement(name)), len(arrangement(name).wires)))]
    found = [compared(name, 1 if "--short" in words else 3) for name in names]
    if "--json" in words:
        print(json.dumps(found, indent=2))
        return found
    for each in found:
        print(f"{each['arrangement']}: {each['candidates']} candidates in {each['rows']} rows")
        print(f"  solved together {each['together']:.2f} s, one by one {each['one by one']:.1f} s: {each['ratio']:.0f} x")
        print(f"  a reading weighed {1e3 * each['reading']:.1f} ms, the next one chosen {1e3 * each['next']:.0f} ms, after it "
              f"{1e3 * each['next after a reading']:.0f} ms")
    return found


if __name__ == "__main__":
    main(sys.argv[1:])

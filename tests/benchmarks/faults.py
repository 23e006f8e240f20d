"""How fast every single fault of the largest arrangement is classed, side by side with one point after another.

    python tests/benchmarks/faults.py            the largest arrangement of the kit, some two minutes
    python tests/benchmarks/faults.py --short    a small one, to see that it runs

Both sides class the same faults in the same rows and phases on one core. The one solves the whole batch in one sweep;
the other asks for operating point after operating point, as anybody would. Time is that of the processor, the batch the
least of several runs after a first one that loads numpy. Compare the ratio: the machine changes both sides alike.
"""

import sys
from pathlib import Path
from time import process_time

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.arrangements.rows import phases_of, rows_of
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.faults.classing import Classing
from circuitlab.reasoning.observing import observe


def largest():
    """Return the arrangement of the kit with the most points to solve."""
    def points(name):
        each = arrangement(name)
        return len(single_faults(each)) * len(rows_of(each)) * len(phases_of(each))
    return arrangement(max(arrangement_names(), key=points))


def one_after_another(healthy, faults):
    """Class the faults point by point; return the worst class of each by its words."""
    rows = rows_of(healthy)
    classing = Classing(healthy, rows, observe(healthy, rows, healthy))
    return {fault.words: [effect.worst for effect in classing.effects(fault, observe(fault.apply(healthy), rows, healthy))]
            for fault in faults}


def timed(work):
    """Return (seconds of the processor, result)."""
    start = process_time()
    result = work()
    return process_time() - start, result


def main(short=False):
    """Print the comparison and return how many times the batch's time the other way takes."""
    healthy = arrangement("one-fused-lamp") if short else largest()
    faults, rows, phases = single_faults(healthy), rows_of(healthy), phases_of(healthy)
    print(f"{healthy.name}: {len(faults)} faults in {len(rows)} rows and {len(phases)} phases, "
          f"{len(faults) * len(rows) * len(phases)} operating points")
    first, table = timed(lambda: fault_table(healthy, faults=faults))
    batch = min(timed(lambda: fault_table(healthy, faults=faults))[0] for _ in range(1 if short else 3))
    alone, classes = timed(lambda: one_after_another(healthy, faults))
    same = sum(classes[line.fault.words] == [effect.worst for effect in line.effects] for line in table.lines)
    print(f"  in one sweep          {batch:8.2f} s   (the first time, numpy loaded and networks built, {first:.2f} s)")
    print(f"  point after point     {alone:8.2f} s   {alone / batch:6.1f} x the sweep")
    print(f"  classes the same in every row for {same} of {len(faults)} faults")
    return alone / batch, same, len(faults)


if __name__ == "__main__":
    main("--short" in sys.argv[1:])

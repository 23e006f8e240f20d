"""How fast ohms between many pairs of leads are found at once, beside each pair solved by itself.

    python tests/benchmarks/readings.py            the largest arrangement of the kit
    python tests/benchmarks/readings.py --short    a small one, to see that it runs

Both sides tell the same pairs of terminals in the same rows, every battery off. The one inverts the circuit's matrix once a row, the
other puts an ohmmeter between the two terminals and solves. Operating points are solved before, for neither. Time is that of the
processor. Compare the ratio: the machine changes both sides alike.
"""

import sys
from itertools import combinations
from pathlib import Path
from time import process_time

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.arrangements.rows import rows_of
from circuitlab.reasoning.leads import power_off
from circuitlab.solving import operating_point
from circuitlab.solving.sweep_ohms import OhmsAtOnce


def timed(work):
    """Return (seconds of the processor, result)."""
    start = process_time()
    result = work()
    return process_time() - start, result


def alike(one, other):
    """Tell whether two readings would be the same to anybody who takes them. [yes/no]"""
    return one is other or None not in (one, other) and abs(one - other) <= 1e-4 * abs(other) + 1e-5


def main(arguments=()):
    """Print the comparison and return the ratio, how many pairs were read in how many rows, and how many read alike."""
    name = "one-fused-lamp" if "--short" in arguments else max(arrangement_names(), key=lambda name: len(arrangement(name).terminals))
    cart = power_off(arrangement(name))
    rows = rows_of(cart)[:8]
    points = [operating_point(cart, positions) for positions in rows]
    pairs = list(combinations(cart.terminals, 2))
    timed(lambda: OhmsAtOnce(points[0]))       # numpy loaded
    at_once, together = timed(lambda: [each.ohms(*pair) for each in map(OhmsAtOnce, points) for pair in pairs])
    singly, alone = timed(lambda: [point.ohms(*pair) for point in points for pair in pairs])
    same = sum(map(alike, together, alone))
    print(f"{name}: {len(pairs)} pairs of terminals in {len(rows)} rows, every battery off")
    print(f"  all pairs at once     {at_once:8.2f} s")
    print(f"  pair after pair       {singly:8.2f} s   {singly / at_once:6.1f} x all at once")
    print(f"  read alike            {same} of {len(alone)}")
    return singly / at_once, len(alone), same


if __name__ == "__main__":
    main(sys.argv[1:])

"""What a slider costs: the kernel's share of one redraw of a bench, and what it is made of.

    python tests/benchmarks/redraw.py [REPEATS]

Prints milliseconds (the middle of the repeats, in turn within one run) for the
whole redraw of the bench with one relay per lamp, for its pieces, and for the
same chart drawn by the print twin, with each as a ratio to the whole.
"""

import sys
from time import perf_counter

import circuitlab as cl

REPEATS = 60


def main(repeats=REPEATS):
    """Measure in turn and print the table; returns the rows as (what, seconds)."""
    cart = cl.arrangement("shared-filament-four-relays")
    positions = {"key": "on", "brake pedal": "held", "turn lever": "left"}
    bench = cl.bench(cart, positions=positions)
    rates = iter(range(10_000))

    def redraw():
        bench.sliders["rate"].value = 60 + next(rates) % 97

    course = bench.course
    work = {"whole redraw": redraw,
            "time course, 4 s": lambda: cl.trial(cl.changes.with_settings(cart, rate=60 + next(rates) % 97), positions),
            "time chart": lambda: cl.time_chart(course),
            "one moment of it": lambda: course.at(2.4),
            "schematic of it": lambda: cl.draw(cart, course.at(2.4)),
            "status sentence": lambda: course.status(2.4),
            "print twin of the chart": lambda: course.plot().canvas.draw()}
    times = {what: [] for what in work}
    for turn in range(repeats + 3):
        for what, do in work.items():
            if what.startswith("print") and turn > 8:
                continue
            start = perf_counter()
            do()
            times[what].append(perf_counter() - start)
    rows = [(what, sorted(taken[3:])[len(taken[3:]) // 2]) for what, taken in times.items()]
    whole = rows[0][1]
    print(f"{'kernel part of a redraw, shared-filament-four-relays':54}{'ms':>8}{'of the whole':>15}")
    for what, seconds in rows:
        print(f"{what:54}{1000 * seconds:8.2f}{seconds / whole:15.2f}")
    return rows


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else REPEATS)

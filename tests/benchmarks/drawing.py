"""How good the drawings are, counted from their geometry, and what a live redraw costs.

    python tests/benchmarks/drawing.py [--json] [--seeds N]

Every arrangement of the kit and N (200) random ones are drawn in both forms and
read back. Printed for each form:

overlaps               labels, symbols or wires that lie on one another
labels_outside         labels, symbols or wires that leave the sheet
wire_through_symbol    wires that run through a symbol, a block or a label
misread                wires, parts or terminals that read back otherwise than they are
crossings_vs_baseline  median of crossings over those of a plain layout: things in the order listed, no search
redraw_ms_ratio        a live redraw (sheet kept, another row each time) over a drawing from nothing
redraw_ms              the same redraw by itself, on this machine now

The arrangement redrawn is the one with four relays.
"""

import argparse
import json
import sys
from itertools import product
from pathlib import Path
from statistics import median
from time import perf_counter
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parents[1]))

import reading_attached
import reading_pictures
from random_arrangements import random_arrangement

import circuitlab as cl
from circuitlab.views import attached, schematic
from circuitlab.views.attached import layout as attached_layout
from circuitlab.views.attached import places
from circuitlab.views.schematic import columns
from circuitlab.views.schematic import draft as schematic_draft
from circuitlab.views.schematic import layout as schematic_layout

SEEDS, REPEATS = 200, 40
FORMS = {
    "current-path": (schematic.draw, schematic.lay_out, reading_pictures.Picture, reading_pictures.faults),
    "attached": (attached.draw_attached, attached.lay_out_attached, reading_attached.AttachedPicture,
                 reading_attached.faults)}


def crossings(picture):
    """Count the places where an upright line crosses a level one that is not its own. [1]"""
    lines = [(name, line) for name, own in picture.wires.items() for line in own]
    lines += [(f"metal {' '.join(ends)}", line) for ends, own, _ in picture.metals for line in own]
    flat = [(name, reading_pictures.box(line)) for name, line in lines if line[1] == line[3]]
    upright = [(name, reading_pictures.box(line)) for name, line in lines if line[0] == line[2]]
    return sum(one != two and a[0] < b[0] < a[2] and b[1] < a[1] < b[3] for one, a in flat for two, b in upright)


def plain(form, arrangement):
    """Return the picture of a layout without any search."""
    draw, _, read, _ = FORMS[form]
    clear()

    def in_order(plan, order):
        return 0.0, order

    with patch.object(columns, "_improved", in_order), patch.object(columns, "_by_neighbours", lambda plan, order: order), \
            patch.object(places._Search, "improve", lambda self, free: None), \
            patch.object(attached_layout, "_untangled", lambda arrangement, stack, ways: ways):
        picture = read(draw(arrangement))
    clear()
    return picture


def clear():
    """Forget every sheet."""
    schematic_layout._kept.cache_clear()
    schematic_layout.laid_out.cache_clear()
    schematic_draft.drafted.cache_clear()
    attached_layout.laid_out.cache_clear()


def misread(picture, arrangement):
    """Count wires, parts and terminals that are missing, doubled, or joined otherwise than they are. [1]"""
    read = picture.connections()
    wrong = sum(sorted(map(sorted, read.get(wire.name, ()))) != sorted([[wire.start], [wire.end]])
                for wire in arrangement.wires)
    names = {group.get("data-part") for group in picture.of("part") + picture.of("metal")}
    return wrong + len(names ^ {part.name for part in arrangement.parts}) + abs(len(read) - len(arrangement.wires))


def count(form, arrangements):
    """Return the figures of one form over some arrangements."""
    draw, lay_out, read, faults = FORMS[form]
    found = {"drawings": 0, "overlaps": 0, "labels_outside": 0, "wire_through_symbol": 0, "misread": 0}
    ours, ratios = [], []
    for arrangement in arrangements:
        picture = read(draw(arrangement))
        found["drawings"] += 1
        for fault in faults(lay_out(arrangement), picture):
            outside = "off the sheet" in fault or "leaves the sheet" in fault
            found["labels_outside" if outside else "wire_through_symbol" if " through " in fault else "overlaps"] += 1
        found["misread"] += misread(picture, arrangement)
        ours.append(crossings(picture))
        ratios.append((ours[-1] + 1) / (crossings(plain(form, arrangement)) + 1))
    found["crossings_median"] = median(ours)
    found["crossings_vs_baseline"] = round(median(ratios), 3)
    return found


def redraw(form):
    """Return how long a live redraw takes, and its ratio to a drawing from nothing. [ms], [1]"""
    draw, cart = FORMS[form][0], cl.arrangement("shared-filament-four-relays")
    rows = list(product(*[[(control.name, position) for position in control.positions] for control in cart.controls]))
    points = [cl.operating_point(cart, dict(rows[number % len(rows)]), phases=("on", "off")[number % 2])
              for number in range(REPEATS)]
    again, fresh = [], []
    draw(cart, points[0])
    for number, point in enumerate(points):
        start = perf_counter()
        draw(cart, point)
        again.append(perf_counter() - start)
        if number % 8 == 0:
            clear()
            start = perf_counter()
            draw(cart, point)
            fresh.append(perf_counter() - start)
    return {"redraw_ms": round(1000 * median(again), 2), "redraw_ms_ratio": round(median(again) / median(fresh), 4)}


def main(words=None):
    """Count, measure, print; returns the figures of both forms."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true", help="one line of JSON instead of a table")
    parser.add_argument("--seeds", type=int, default=SEEDS, help=f"how many random arrangements (default: {SEEDS})")
    given = parser.parse_args(words)
    arrangements = [cl.arrangement(name) for name in cl.arrangement_names()]
    arrangements += [random_arrangement(seed) for seed in range(given.seeds)]
    figures = {form: {**count(form, arrangements), **redraw(form)} for form in FORMS}
    if given.json:
        print(json.dumps(figures))
    else:
        for name in figures["attached"]:
            print(f"{name:24}" + "".join(f"{form} {figures[form][name]:<14}" for form in FORMS))
    return figures


if __name__ == "__main__":
    main()

"""A changed drawing keeps its order: one more wire, anywhere, and nearly every part stays in its place in the row."""

from bisect import bisect_right
from random import Random
from statistics import mean, median

import pytest

from circuitlab.arrangements import AddWire, arrangement, arrangement_names, changed
from circuitlab.parts import Wire
from circuitlab.views.schematic import lay_out

SOME = ("combined-turn-stop-lever", "hazard-two-pole-switch", "relay-test-board", "shared-filament-rear-relays-hazard", "trailer-separate-to-combined")
SEEDS = range(2)     # wires tried for each arrangement


def share_in_order(before, after):
    """Return the share of symbols that keep their order from left to right: the longest row that stands as before. [1]"""
    x = {symbol.piece.key: min(symbol.xs) for symbol in after.symbols}
    lowest = []          # end of the best row of each length so far
    for symbol in sorted(before.symbols, key=lambda symbol: (min(symbol.xs), x[symbol.piece.key])):
        here = x[symbol.piece.key]
        place = bisect_right(lowest, here)
        lowest[place:place + 1] = [here]
    return len(lowest) / len(before.symbols)


def test_the_measure_sees_what_has_moved():
    sheet = lay_out(arrangement("shared-filament-rear-relays"))
    assert share_in_order(sheet, sheet) == 1
    turned = type(sheet)(**{**vars(sheet), "symbols": tuple(
        type(symbol)(**{**vars(symbol), "xs": tuple(-x for x in symbol.xs)}) for symbol in sheet.symbols)})
    assert share_in_order(sheet, turned) < 0.3


@pytest.mark.parametrize("names", [SOME, pytest.param(arrangement_names(), marks=pytest.mark.full)],
                         ids=["some", "all"])
@pytest.mark.full
def test_one_more_wire_keeps_the_order_of_the_paths(names):
    """Over the library; laid out anew, the same wire moves far more."""
    kept, anew = [], []
    for name in names:
        whole = arrangement(name)
        before = lay_out(whole)
        for seed in SEEDS:
            ends = Random(f"{name} {seed}").sample(whole.terminals, 2)
            more = changed(whole, AddWire(Wire("W99", *ends, "VT")))
            kept.append(share_in_order(before, lay_out(more, before)))
            if seed == 0:
                anew.append(share_in_order(before, lay_out(more)))
    print(f"kept order: mean {mean(kept):.3f}, median {median(kept):.3f}, least {min(kept):.3f}; anew {mean(anew):.3f}")
    assert mean(kept) > 0.93 and median(kept) > 0.93 and min(kept) >= 0.7
    assert mean(anew) < mean(kept) - 0.1

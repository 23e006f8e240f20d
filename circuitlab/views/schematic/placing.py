"""Putting the blocks of a sheet side by side: as they cost least, or beside what is kept."""

from .columns import GAPS, by_neighbours, clashes, first_paths, improved, price_of, reach_of, turns
from .keeping import Kept


def placed(scheme, blocks, kept=Kept()):
    """Return the column of every piece (its first path) and every run, how many columns, what is turned, what clashes.

    Turned is what is seen from behind; bars of one level clash where they would run into each other.
    The battery stays on the left. The search is the same every time: no chance is in it.
    What is kept stands in its paths, and only what is new is searched a place for.
    """
    first = sorted(blocks, key=lambda block: not block.fixed)
    starts = None
    if kept:
        order, starts = _beside_kept(scheme, first, kept)
    else:
        # two beginnings, for a search one block at a time ends in the nearest valley
        tries = [improved(scheme, order) for order in (first, by_neighbours(scheme, first))]
        _, order = min(tries, key=lambda found: found[0])
    starts = starts or first_paths(order)
    where = {node: start + column for block, start in zip(order, starts) for node, column in block.places.items()}
    turned = {node for block in order if block.is_turned for node in block.places}
    clashing = [(above, bar) for above, bar, _ in clashes(scheme, *reach_of(order, starts))]
    return where, max(start + block.width for block, start in zip(order, starts)), turned, clashing


def _beside_kept(scheme, blocks, kept):
    """Return blocks and their first paths: the kept ones where they were, each other one where it costs least, whatever is free."""
    order, starts, new = [], [], []
    taken = 0
    for block in blocks:
        block, start = kept.start(block)
        if start is None:
            new.append(block)
            continue
        while taken & block.whole << GAPS * start:      # where a piece is in another gap now
            start += 1
        taken |= block.whole << GAPS * start
        order.append(block)
        starts.append(start)
    for turn in range(1 + (len(new) > 1)):
        for block in by_neighbours(scheme, new):
            if turn:        # once more, now that all the others stand somewhere
                place = next(place for place, other in enumerate(order) if other.number == block.number)
                del order[place], starts[place]
            _set_beside(scheme, order, starts, block, kept.first)
    return order, starts


def _set_beside(scheme, order, starts, block, first):
    """Add a block in the paths where it costs least, from the first one it may take on."""
    taken, wide, best = 0, _width(order, starts), None
    for other, start in zip(order, starts):
        taken |= other.whole << GAPS * start
    for turned in turns(block):
        for start in range(min(first, wide), wide + 1):
            if not taken & turned.whole << GAPS * start:
                price = price_of(scheme, [*order, turned], [*starts, start])
                if best is None or price < best[0] - 1e-9:
                    best = price, turned, start
    order.append(best[1])
    starts.append(best[2])


def _width(order, starts):
    """Return how many paths blocks take. [1]"""
    return max((start + block.width for block, start in zip(order, starts)), default=0)

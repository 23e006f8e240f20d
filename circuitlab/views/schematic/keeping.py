"""Keeping the order of the sheet before, so that a changed wire does not reshuffle everything.

Blocks that were there stand as they stood; only what is new, or is met by a
wire that is new or gone, looks for a better place.
"""

from itertools import combinations

from .plan import Stand


def order_before(plan, blocks, before):
    """Return blocks in the order they had on a sheet, new ones last, and the numbers of those that may move."""
    x_of = {symbol.piece.key: symbol.xs for symbol in before.symbols}
    lines = {line.wire: min(stretch[0] for stretch in line.lines) for line in before.wires}
    touched = _touched(plan.arrangement, before.arrangement)
    known, new, free = [], [], set()
    for block in blocks:
        xs = {node: x_of[node.piece.key] for node in block.places if isinstance(node, Stand) and node.piece.key in x_of}
        runs = [lines[run.wire] for run in block.places if not isinstance(run, Stand) and getattr(run, "wire", "") in lines]
        if not xs and not runs:
            new.append(block)
            free.add(block.number)
            continue
        if any(isinstance(node, Stand) and touched.intersection(node.piece.terminals) for node in block.places):
            free.add(block.number)
        left = min([min(own) for own in xs.values()] or runs)
        known.append((not block.fixed, left, block.number, block.mirrored() if _was_turned(block, xs) else block))
    return [block for *_, block in sorted(known, key=lambda entry: entry[:3])] + new, free


def _touched(arrangement, before):
    """Return the terminals met by a wire that one of two arrangements has and the other has not. [text]"""
    now, then = ({(wire.name, wire.start, wire.end) for wire in each.wires} for each in (arrangement, before))
    return {end for _, *ends in now ^ then for end in ends}


def _was_turned(block, xs):
    """Tell whether a block was seen from behind: most of its places run from right to left. [yes/no]"""
    lean = 0
    places = [(block.places[node] + slot, x) for node, own in xs.items()
              if len(own) == len(node.piece.slots)      # else another part now bears its name, such as a relay without 87a
              for slot, x in zip(node.piece.slots, own)]
    for (column, x), (other, other_x) in combinations(places, 2):
        way = (column - other) * (x - other_x)
        lean += (way < 0) - (way > 0)
    return lean > 0

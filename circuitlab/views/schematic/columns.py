"""Which path (column) everything stands in: few crossings, short bars, few paths, left lamps on the left.

What is joined in straight lines moves together as a *block*. Blocks are put
side by side in some order, each as far left as nothing is in its way, and the
order is improved by taking out one block at a time and trying it elsewhere.

A block is one long whole number: bit g of its path c, shifted by ``GAPS * c``,
stands for gap g between two bars. So whether two blocks clash is one ``&``,
however large they are.
"""

from dataclasses import dataclass, replace
from itertools import combinations
from math import inf

from .keeping import Kept
from .scheme import Bar, Stand

_PATH, _CROSSING, _SPAN, _WRONG_SIDE, _SUPPLY = 5.0, 2.2, 0.5, 5.0, 0.12     # what one of each costs
_CLASH = 12.0                # two bars of one level that would run into each other, for each path
GAPS = 512                  # more gaps than any sheet has: bits for one path
_TRIALS = 12_000_000         # over the square of the number of blocks: with many, one takes longer and finds less


@dataclass(eq=False)
class Block:
    """What moves together: where its pieces and runs are, counted from its own left path.

    ``cells`` are the gaps it takes, ``crossed`` the levels a line runs through without
    stopping, ``taps`` the indexes of the bars that are met, each behind its path.
    """

    places: dict
    width: int
    cells: list
    crossed: list
    taps: list
    side: tuple = ()
    fixed: bool = False
    is_turned: bool = False
    number: int = 0

    def __post_init__(self):
        """Fold cells and crossings into whole numbers, so that trying a place costs one comparison."""
        self.whole = 0
        for column, gap in self.cells:
            self.whole |= 1 << GAPS * column + gap
        self.crossing = {}      # for each level a bit for every path in which it is crossed
        for column, level in self.crossed:
            self.crossing[level] = self.crossing.get(level, 0) | 1 << column
        ends = {}               # of a bar only the first and the last tap count: they say how long it is
        self.taps = sorted(self.taps, key=lambda tap: tap[0])
        for column, bar in self.taps:
            ends[bar] = (ends.get(bar, (column,))[0], column)
        self.ends = tuple((bar, first, last) for bar, (first, last) in ends.items())
        self.is_fed = 0 in ends     # by the supply, the highest bar of all

    def mirrored(self):
        """Return the same block seen from behind."""
        def turned(pairs):
            return [(self.width - 1 - column, what) for column, what in pairs]

        places = {node: self.width - 1 - column for node, column in self.places.items()}
        return replace(self, places=places, cells=turned(self.cells), crossed=turned(self.crossed),
                       taps=turned(self.taps), fixed=False, is_turned=not self.is_turned)


def blocks_of(scheme, kept=Kept()):
    """Return the blocks of a scheme with settled gaps, and the wires that must give up their straight line. [text]

    One does where the pieces at its ends are kept in two paths.
    """
    runs_at = {stand: [] for stand in scheme.stands}
    for run in scheme.runs:
        for node in {run.upper, run.lower}:
            if isinstance(node, Stand):
                runs_at[node].append(run)
    blocks, apart, seen = [], set(), set()
    for stand in scheme.stands:
        if stand not in seen:
            # a block that cannot be built costs one wire its straight line; the scheme is then made again without it
            offsets, runs, wrong = _joined(stand, runs_at, kept)
            seen |= set(offsets)
            wrong = wrong or _in_the_way(scheme, offsets, runs)
            apart |= wrong
            if not wrong:
                blocks.append(_block(scheme, offsets, runs))
    for run in scheme.runs:
        if isinstance(run.upper, Bar) and isinstance(run.lower, Bar):
            blocks.append(_block(scheme, {}, {run: 0}))
    # a bar that nothing meets still needs a place to be seen
    met = {bar for run in scheme.runs for bar in (run.upper, run.lower)}
    for bar in scheme.bars:
        if bar not in met:
            blocks.append(Block({bar: 0}, 1, [], [], [(0, bar.index)]))
    for number, block in enumerate(blocks):
        block.number = number
    return blocks, apart


def _joined(stand, runs_at, kept):
    """Follow straight lines from a stand: ``({stand: offset}, {run: offset}, wires that do not fit)``."""
    offsets, runs, todo = {stand: 0}, {}, [stand]
    while todo:
        here = todo.pop()
        for run in runs_at[here]:
            mine, other = (run.upper_terminal, run.lower) if run.upper is here else (run.lower_terminal, run.upper)
            theirs = run.lower_terminal if run.upper is here else run.upper_terminal
            column = offsets[here] + here.slot(mine)
            runs[run] = column
            if isinstance(other, Stand):
                offset = column - other.slot(theirs)
                # reached on two ways that want it in two places: this wire must bend
                if offsets.setdefault(other, offset) != offset or kept.parts(here, mine, other, theirs):
                    return offsets, runs, {run.wire}
                if other not in todo and not all(run in runs for run in runs_at[other]):
                    todo.append(other)
    return offsets, runs, set()


def _in_the_way(scheme, offsets, runs):
    """Return a wire to take apart when two things of a block would stand in the same place."""
    claims = {}
    for stand, offset in offsets.items():
        for column in range(offset, offset + stand.piece.width):
            claims.setdefault((column, stand.gap), []).append((stand, stand))
    for run, column in runs.items():
        for gap in run.gaps:
            claims.setdefault((column, gap), []).append((run.upper, run.lower))
    # only a wire from piece to piece can bend; one between two wide pieces frees most
    straight = [run for run in runs if run.wire and isinstance(run.upper, Stand) and isinstance(run.lower, Stand)]
    for here in claims.values():
        for (top, low), (other_top, other_low) in combinations(here, 2):
            if not (_leads(scheme, low, other_top) or _leads(scheme, other_low, top)):
                wide = [run for run in straight if run.upper.piece.width > 1 and run.lower.piece.width > 1]
                return {(wide or straight)[0].wire}
    return set()


def _leads(scheme, upper, lower):
    return upper is lower or (isinstance(upper, Stand) and isinstance(lower, Stand) and scheme.is_above(upper, lower))


def _block(scheme, offsets, runs):
    left = min([*offsets.values(), *runs.values()])
    right = max([*(offset + stand.piece.width - 1 for stand, offset in offsets.items()), *runs.values()])
    cells, crossed, taps = [], [], []
    for stand, offset in offsets.items():
        cells += [(offset - left + slot, stand.gap) for slot in range(stand.piece.width)]
    for run, column in runs.items():
        cells += [(column - left, gap) for gap in run.gaps]
        crossed += [(column - left, level) for level in run.gaps[1:]]
        taps += [(column - left, node.index) for node in (run.upper, run.lower) if isinstance(node, Bar)]
    places = {**{stand: offset - left for stand, offset in offsets.items()},
              **{run: column - left for run, column in runs.items()}}
    fixed = any(stand.piece.part == scheme.arrangement.battery.name for stand in offsets)
    return Block(places, right - left + 1, cells, crossed, taps, _side(scheme, offsets), fixed)


def _side(scheme, offsets):
    """Return ``("left" or "right", the rest of the place)`` of a lamp in the block, or nothing."""
    for stand in offsets:
        if stand.piece.symbol == "lamp":
            words = scheme.arrangement.part(stand.piece.part).place.split()
            for side in ("left", "right"):
                if side in words:
                    return side, " ".join(word for word in words if word != side)
    return ()


def improved(scheme, order):
    """Change an order for the better, one block or pair of blocks at a time, until nothing helps."""
    best, left, better = price_of(scheme, order), _TRIALS // len(order) ** 2, True
    while better and left > 0:
        better = False
        for number in sorted(block.number for block in order if not block.fixed):
            current = order
            for trial in _neighbours(order, number):
                price, left = price_of(scheme, trial, bound=best), left - 1
                if price < best - 1e-9:     # the cheapest of all its places is taken, not the first that helps
                    best, current, better = price, trial, True
                if left <= 0:
                    return best, current
            order = current
    return best, order


def _neighbours(order, number):
    """Yield orders that differ in the place of one block: put elsewhere, turned, moved with the next, or exchanged."""
    here = next(index for index, block in enumerate(order) if block.number == number)
    rest, lowest = order[:here] + order[here + 1:], int(order[0].fixed)
    for turned in turns(order[here]):
        for place in range(lowest, len(rest) + 1):
            yield rest[:place] + [turned] + rest[place:]
    # two that hang together would each be dearer alone elsewhere
    pair, others = order[here:here + 2], order[:here] + order[here + 2:]
    for place in range(lowest, len(others) + 1):
        yield others[:place] + pair + others[place:]
    for other in range(here + 2, len(order)):
        yield order[:here] + [order[other]] + order[here + 1:other] + [order[here]] + order[other + 1:]


def turns(block):
    """Return a block and, where no lever would change sides, its mirror image."""
    yield block
    has_lever = any(isinstance(node, Stand) and node.piece.symbol == "lever" for node in block.places)
    if block.width > 1 and not has_lever:
        yield block.mirrored()


def by_neighbours(scheme, order):
    """Sort blocks a few times by the mean place of what they are joined to."""
    for _ in range(6):
        sums = {}
        for index, block in enumerate(order):
            for bar, *_ in block.ends:
                sums.setdefault(bar, []).append(index)
        centre = {bar: sum(indexes) / len(indexes) for bar, indexes in sums.items()}
        key = {}
        for index, block in enumerate(order):
            # rails reach everywhere and say nothing of where a block belongs
            near = [centre[bar] for _, bar in block.taps if scheme.bars[bar].kind not in ("supply", "ground")]
            key[block] = (not block.fixed, sum(near) / len(near) if near else index, index)
        order = sorted(order, key=key.get)
    return order


def first_paths(order):
    """Put each block as far left as it goes without passing the one before: return their first columns."""
    taken, start, starts = 0, 0, []
    for block in order:
        whole = block.whole << GAPS * start
        while taken & whole:        # one path to the right
            start += 1
            whole <<= GAPS
        taken |= whole
        starts.append(start)
        start += block.fixed        # nothing slips under the battery; any other block may share its path with the next
    return starts


def price_of(scheme, order, starts=None, bound=inf):
    """Return how ugly an order is: paths, crossings, long bars, lamps on the wrong side, supply far from the left.

    Above ``bound`` it is not reckoned to its end.
    """
    starts = starts or first_paths(order)
    crossing, width, cost, sides = {}, 0, 0.0, {}
    for block, start in zip(order, starts):
        width = max(width, start + block.width)
        cost += _SUPPLY * start * block.is_fed
        for level, columns in block.crossing.items():
            crossing[level] = crossing.get(level, 0) | columns << start
        if block.side:
            sides.setdefault(block.side[1], {}).setdefault(block.side[0], []).append(start)
    cost += _PATH * width
    low, high = reach_of(order, starts)
    for bar, first in low.items():
        if cost > bound:
            return cost
        span, crossed = high[bar] - first, crossing.get(scheme.bars[bar].level, 0)
        cost += _SPAN * span
        if crossed and span > 1:
            # the bits of the paths strictly between the bar's ends: each is a line that runs through it
            cost += _CROSSING * (crossed >> (first + 1) & (1 << (span - 1)) - 1).bit_count()
    for both in sides.values():
        cost += _WRONG_SIDE * sum(left >= right for left in both.get("left", ()) for right in both.get("right", ()))
    return cost + _CLASH * sum(by for _, _, by in clashes(scheme, low, high))


def reach_of(order, starts):
    """Return the first and the last path of every bar, by its index. [1]"""
    low, high = {}, {}
    for block, start in zip(order, starts):
        for bar, first, last in block.ends:
            if bar not in low or start + first < low[bar]:
                low[bar] = start + first
            if bar not in high or start + last > high[bar]:
                high[bar] = start + last
    return low, high


def clashes(scheme, low, high):
    """Return the pairs of bars on one level that would run into each other, and by how many paths."""
    pairs = [(above, bar, 1 + min(high[above.index] - low[bar.index], high[bar.index] - low[above.index]))
             for above, bar in scheme.shared if above.index in low and bar.index in low]
    return [pair for pair in pairs if pair[2] > 0]

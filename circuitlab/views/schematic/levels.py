"""In which order the bars follow from top to bottom, and which of them can share a level."""

from graphlib import TopologicalSorter
from heapq import heappop, heappush

from .scheme import Bar


def give_levels(scheme):
    """Put the bars in one order that respects every wish, the highest first."""
    sorter, number, ready = TopologicalSorter(), {node: index for index, node in enumerate(scheme.below)}, []
    for node, below in scheme.below.items():
        sorter.add(node)
        for lower in below:
            sorter.add(lower, node)
    sorter.prepare()
    scheme.bars.clear()
    while sorter.is_active():
        for node in sorter.get_ready():
            heappush(ready, (-node.height, number[node], node))
        _, _, node = heappop(ready)
        if isinstance(node, Bar):
            node.level = node.index = len(scheme.bars)
            scheme.bars.append(node)
        sorter.done(node)
    _turn_runs_down(scheme)


def share_levels(scheme, twins):
    """Put each pair of bars on one level; the pairs are neighbours and nothing says that one is above the other."""
    scheme.shared, level = tuple(twins), -1
    for above, bar in zip([None, *scheme.bars], scheme.bars):
        level += (above, bar) not in twins
        bar.level = level


def twins_of(scheme):
    """Return pairs of neighbouring bars that could share a level: of one kind and height, neither above the other."""
    joined = {frozenset((run.upper, run.lower)) for run in scheme.runs}
    twins = []
    for above, bar in zip(scheme.bars, scheme.bars[1:]):
        alike = above.kind == bar.kind and bar.kind in ("splice", "terminal", "lane")
        if (alike and abs(above.height - bar.height) < 0.08 and frozenset((above, bar)) not in joined
                and not scheme.is_above(above, bar) and not (twins and twins[-1][1] is above)):
            twins.append((above, bar))
    return twins


def _turn_runs_down(scheme):
    """Call the higher end of a run between bars its upper one."""
    for run in scheme.runs:
        if isinstance(run.upper, Bar) and isinstance(run.lower, Bar) and run.upper.level > run.lower.level:
            run.upper, run.lower = run.lower, run.upper
            run.upper_terminal, run.lower_terminal = run.lower_terminal, run.upper_terminal

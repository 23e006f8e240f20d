"""In which order the bars follow from top to bottom, and which of them can share a level."""

from graphlib import TopologicalSorter
from heapq import heappop, heappush

from .plan import Bar


def give_levels(plan):
    """Put the bars in one order that respects every wish, the highest first."""
    sorter, number, ready = TopologicalSorter(), {node: index for index, node in enumerate(plan.below)}, []
    for node, below in plan.below.items():
        sorter.add(node)
        for lower in below:
            sorter.add(lower, node)
    sorter.prepare()
    plan.bars.clear()
    while sorter.is_active():
        for node in sorter.get_ready():
            heappush(ready, (-node.height, number[node], node))
        _, _, node = heappop(ready)
        if isinstance(node, Bar):
            node.level = node.index = len(plan.bars)
            plan.bars.append(node)
        sorter.done(node)
    _turn_runs_down(plan)


def share_levels(plan, twins):
    """Put each pair of bars on one level; the pairs are neighbours and nothing says that one is above the other."""
    plan.shared, level = tuple(twins), -1
    for above, bar in zip([None, *plan.bars], plan.bars):
        level += (above, bar) not in twins
        bar.level = level


def twins_of(plan):
    """Return pairs of neighbouring bars that could share a level: of one kind and height, neither above the other."""
    joined = {frozenset((run.upper, run.lower)) for run in plan.runs}
    twins = []
    for above, bar in zip(plan.bars, plan.bars[1:]):
        alike = above.kind == bar.kind and bar.kind in ("splice", "terminal", "lane")
        if (alike and abs(above.height - bar.height) < 0.08 and frozenset((above, bar)) not in joined
                and not plan.is_above(above, bar) and not (twins and twins[-1][1] is above)):
            twins.append((above, bar))
    return twins


def _turn_runs_down(plan):
    """Call the higher end of a run between bars its upper one."""
    for run in plan.runs:
        if isinstance(run.upper, Bar) and isinstance(run.lower, Bar) and run.upper.level > run.lower.level:
            run.upper, run.lower = run.lower, run.upper
            run.upper_terminal, run.lower_terminal = run.lower_terminal, run.upper_terminal

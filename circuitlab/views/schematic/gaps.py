"""Which gap each piece and each wire's label stands in, and how tall the gaps become."""

from collections import defaultdict

from .scheme import Bar, Stand
from ..letters import LINE
from .beside import TAP

LABEL = LINE + 3             # a wire's name and colour letters [px]
_KEPT = 200                  # how much dearer it is that a piece leaves the gap in which it is kept
ROOM = 9                     # between a bar and the first thing beside it [px]


class Gaps:
    """The gaps of a scheme, filled.

    ``tops`` gives for every stand, and for every run its label, how far below
    the bar above they start; ``heights`` the height of every gap. [px]
    """

    def __init__(self, scheme, level_ys=None):
        self.scheme = scheme
        self.count = max([bar.level for bar in scheme.bars] + [1])
        self.runs_above, self.runs_below = defaultdict(list), defaultdict(list)
        for run in scheme.runs:
            self.runs_above[run.lower].append(run)
            self.runs_below[run.upper].append(run)
        self._numbered = {run: (run.upper.level if _carries_numbers(run.upper) else None,
                                run.lower.level - 1 if _carries_numbers(run.lower) else None) for run in scheme.runs}
        self._known = {}                # height of each gap whose things have not moved since it was worked out [px]
        self.order = self._from_the_top()
        self.late = set()
        self._first_guess()
        self._improve()
        self.heights = [self._height(gap) for gap in range(self.count)]
        y = level_ys[0] if level_ys else 0.0
        for gap in range(self.count if level_ys else 0):      # no line higher than it is kept
            self.heights[gap] = max(self.heights[gap], level_ys.get(gap + 1, 0.0) - y)
            y += self.heights[gap]
        self.tops = {}
        for gap in range(self.count):
            self._settle(gap)

    def _from_the_top(self):
        done, order = set(), []

        def visit(stand):
            if stand not in done:
                done.add(stand)
                for run in self.runs_above[stand]:
                    if isinstance(run.upper, Stand):
                        visit(run.upper)
                order.append(stand)
        for stand in self.scheme.stands:
            visit(stand)
        return order

    def _range(self, stand):
        """Return the highest and the lowest gap a stand may take with all others where they are."""
        first = [run.upper.foot for run in self.runs_above[stand]] + ([stand.roof.foot] if stand.roof else [])
        last = [run.lower.head for run in self.runs_below[stand]] + ([stand.floor.head] if stand.floor else [])
        return max(first, default=0), min(last, default=self.count - 1)

    def _first_guess(self):
        for stand in self.order:
            first = [run.upper.foot for run in self.runs_above[stand]] + ([stand.roof.foot] if stand.roof else [])
            stand.gap = max(first) if first else self._range_up(stand)
            if stand.piece.is_load or any(run.upper in self.late for run in self.runs_above[stand]):
                self.late.add(stand)
        for stand in reversed(self.order):
            if stand in self.late and not stand.roof:
                first, last = self._range(stand)
                stand.gap = max(first, last)
        for run in self.scheme.runs:
            self._keep_label(run)

    def _range_up(self, stand):
        """Return the lowest gap that still lies above everything below the stand."""
        last = [run.lower.level - 1 if isinstance(run.lower, Bar) else self._range_up(run.lower)
                for run in self.runs_below[stand]]
        return min(last, default=0)

    def _keep_label(self, run):
        gaps = run.gaps
        if run.wire and run.label_gap not in gaps:
            self._label(run, gaps[-1] if run.upper in self.late or run.label_gap > gaps[-1] else gaps[0])

    def _label(self, run, gap):
        """Put a label into a gap; what was known of the two gaps no longer holds."""
        self._forget((run.label_gap, gap))
        run.label_gap = gap

    def _put(self, stand, gap):
        """Put a stand into a gap; what was known of that, of the one it leaves and of those its runs now pass no longer holds."""
        self._forget(range(min(stand.gap, gap), max(stand.gap, gap) + 1))
        stand.gap = gap

    def _forget(self, gaps):
        for gap in gaps:
            self._known.pop(gap, None)

    def _improve(self):
        """Move one thing at a time to another gap as long as the sheet gets lower or things get nearer their place."""
        for _ in range(4):
            better = False
            for stand in self.order:
                better |= self._try_stand(stand)
            for run in self.scheme.runs:
                better |= self._try_label(run)
            if not better:
                break

    def _cost(self, gaps, stand=None, runs=()):
        """Return the height of some gaps, and what a stand and its runs would rather have, in the same coin. [px]"""
        cost = sum(self._height(gap) for gap in gaps)
        if stand:
            first, last = self._range(stand)
            stays = stand.roof and stand.roof.foot == first
            cost += 1.5 * (last - stand.gap if stand in self.late and not stays else stand.gap - first) * (_KEPT if stays else 1)
        return cost + sum(0.2 * (run.label_gap - run.gaps[0]) for run in runs if run.wire)

    def _try_stand(self, stand):
        runs = self.runs_above[stand] + self.runs_below[stand]
        first, last = self._range(stand)
        if first >= last:
            return False
        touched = sorted({gap for run in runs for gap in run.gaps} | {*range(first, last + 1)})
        best = self._cost(touched, stand, runs)
        keep, moved = (stand.gap, [run.label_gap for run in runs]), False
        for gap in range(first, last + 1):
            self._put(stand, gap)
            for run in runs:
                self._keep_label(run)
            cost = self._cost(touched, stand, runs)
            if cost < best - 1e-6:
                best, keep, moved = cost, (gap, [run.label_gap for run in runs]), True
        self._put(stand, keep[0])
        for run, label in zip(runs, keep[1], strict=True):
            self._label(run, label)
        return moved

    def _try_label(self, run):
        if not run.wire or len(run.gaps) == 1:
            return False
        start = keep = run.label_gap
        best = self._cost(run.gaps, None, (run,))
        for gap in run.gaps:
            self._label(run, gap)
            cost = self._cost(run.gaps, None, (run,))
            if cost < best - 1e-6:
                best, keep = cost, gap
        self._label(run, keep)
        return keep != start

    def _drop(self, stand):
        """Return how far down its gap a piece is kept; 0 where it is new or has come into another gap. [px]"""
        return stand.drop if stand.roof and stand.roof.foot == stand.gap else 0.0

    def room_of(self, run, gap):
        """Return the height a run needs in a gap: its label on the right, terminal numbers on the left. [px]"""
        numbered = TAP * self._numbered[run].count(gap)
        return max(numbered, LABEL) if run.label_gap == gap else numbered

    def _height(self, gap):
        """Return the height a gap needs for what stands in it now. [px]"""
        if gap not in self._known:
            self._known[gap] = self._needed(gap)
        return self._known[gap]

    def _needed(self, gap):
        ends, tallest = {}, 0.0
        for run in self.scheme.runs:
            if run.upper.foot <= gap <= run.lower.head and gap not in (run.upper.gap, run.lower.gap):
                tallest = max(tallest, self.room_of(run, gap))
        for stand in self.order:
            if stand.gap == gap:
                top = max(0.0, self._drop(stand) - ROOM)
                for run in self.runs_above[stand]:
                    top = max(top, ends.get(run.upper, 0.0) + self.room_of(run, gap))
                end = ends[stand] = top + stand.tall
                tallest = max(tallest, end)
                for run in self.runs_below[stand]:
                    tallest = max(tallest, end + self.room_of(run, gap))
        return tallest + 2 * ROOM if tallest else 2 * ROOM + 2

    def _settle(self, gap):
        """Fix how far down everything in a gap stands: early things high, loads and what follows them low."""
        floor = self.heights[gap] - ROOM
        here = [stand for stand in self.order if stand.gap == gap]
        for stand in here:
            self.tops[stand] = max(self._drop(stand), max((self._end(run.upper, gap) + self.room_of(run, gap)
                                                           for run in self.runs_above[stand]), default=ROOM))
        for stand in reversed(here):
            if stand in self.late and not self._drop(stand):
                low = min(((self.tops[run.lower] if run.lower.gap == gap else floor) - self.room_of(run, gap)
                           for run in self.runs_below[stand]), default=floor)
                self.tops[stand] = low - stand.tall
        for run in self.scheme.runs:
            if run.label_gap == gap:
                if run.lower.gap == gap and run.lower in self.late and run.upper.gap != gap:
                    self.tops[run] = self.tops[run.lower] - LABEL
                else:
                    self.tops[run] = self._end(run.upper, gap)

    def _end(self, node, gap):
        return self.tops[node] + node.tall if node.gap == gap else ROOM


def _carries_numbers(node):
    """Tell whether a run's end is a bar with terminal numbers."""
    return isinstance(node, Bar) and is_numbered(node)


def is_numbered(bar):
    """Tell whether the places where wires leave a bar carry terminal numbers."""
    return bar.kind in ("splice", "ground") and ":" not in bar.key

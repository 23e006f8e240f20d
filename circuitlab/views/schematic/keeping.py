"""Keeping what was drawn, as the plan or the sheet before has it, so that a change does not reshuffle everything.

Pieces stand in their paths and between their level lines whatever joins them;
only what is new looks for a place.
"""

from ...arrangements.plan import STEP
from .scheme import Run, Stand


class Kept:
    """What a plan knows of the pieces and level lines of a sheet: paths, heights, which way up.

    ``first`` is the first path that something new may take. [1]
    """

    def __init__(self, spots=(), beyond=False):
        self.paths = {key: [STEP * x for x in xs] for key, xs, _, _ in spots if xs}
        self.tops = {key: STEP * y for key, _, y, _ in spots}
        self.turned = {key for key, *_, turned in spots if turned}
        self.middles = sorted({x for xs in self.paths.values() for x in xs})
        self.first = len(self.middles) if beyond else 1
        self._number, self._given = {x: number for number, x in enumerate(self.middles)}, set()

    def __bool__(self):
        return bool(self.paths)

    def columns(self, node):
        """Return the path of each slot of a piece, or of each upright stretch of a wire; nothing for what is new. [1]"""
        found = [self._number[x] for x in self.paths.get(node.key, ())]
        return found if not isinstance(node, Stand) or len(found) == node.piece.width else []

    def parts(self, one, terminal, other, other_terminal):
        """Tell whether two pieces that a straight wire joins are kept in two paths. [yes/no]"""
        here, there = self.columns(one), self.columns(other)
        if not here or not there:
            return False
        leans = {columns[-1] > columns[0] for columns in (here, there) if len(columns) > 1}
        return here[one.slot(terminal)] != there[other.slot(other_terminal)] or len(leans) > 1

    def start(self, block):
        """Return a block as it stood and its first path, or as it is and None where nothing of it was there."""
        nodes = [node for node in block.places if not isinstance(node, Run) and self.columns(node)]
        if any(self.columns(node)[-1] < self.columns(node)[0] for node in nodes):
            block = block.mirrored()
        for node in nodes:
            return block, max(0, self.columns(node)[0] - block.places[node])
        for run in block.places:        # a wire with a path to itself; of several stretches the first that is left
            left = [x for x in self.paths.get(run.key, ()) if (run.key, x) not in self._given]
            if left and block.width == 1:
                self._given.add((run.key, left[0]))
                return block, self._number[left[0]]
        return block, None

    def settle(self, scheme):
        """Give bars and pieces the heights that are kept, and what is new that of what it is wired to.

        Parameters
        ----------
        scheme : Scheme
            With its bars and stands, before any wire is laid.
        """
        nodes = [*scheme.bars, *scheme.stands]
        known = [node for node in nodes if node.key in self.tops]
        if not known:
            return
        whole, found = max(self.tops.values()) + STEP, self._beside(scheme, known)
        natural = {node: node.height for node in nodes}
        for node in nodes:
            near = found.get(node, known[0])
            node.height = 1 - self.tops[near.key] / whole + 0.001 * (natural[node] - natural[near])
        bars = sorted((bar for bar in scheme.bars if bar in known), key=lambda bar: self.tops[bar.key])
        for above, below in zip(bars, bars[1:]):
            for each in bars:
                if self.tops[above.key] < self.tops[below.key] == self.tops[each.key]:
                    scheme.order(above, each)
        for stand in scheme.stands:
            if stand in known:
                self._bound(scheme, stand, bars)

    def _beside(self, scheme, known):
        """Return for every bar and piece what is kept and the fewest wires away: itself, or the piece whose terminal it is."""
        at = {terminal: [*stands] for terminal, stands in scheme.stand_of.items()}
        for terminal, bar in scheme.bar_of.items():
            at.setdefault(terminal, []).append(bar)
        near = {node: [] for nodes in at.values() for node in nodes}
        joined = [*at.values(), *([*at[wire.start], *at[wire.end]] for wire in scheme.arrangement.wires)]
        for nodes in joined:
            for node in nodes:
                near[node] += nodes
        found, todo = {node: node for node in known}, list(known)
        for node in todo:
            for other in near.get(node, ()):
                if other not in found:
                    found[other] = found[node]
                    todo.append(other)
        return found

    def _bound(self, scheme, stand, bars):
        """Keep a piece between the level lines it stood between."""
        top = self.tops[stand.key]
        above = [bar for bar in bars if self.tops[bar.key] <= top]
        below = [bar for bar in bars if self.tops[bar.key] > top]
        if above and scheme.order(above[-1], stand):
            stand.roof, stand.drop = above[-1], top - self.tops[above[-1].key]
        if below and scheme.order(stand, below[0]):
            stand.floor = below[0]

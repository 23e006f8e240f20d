"""Where each part stands: lamps at their place on the vehicle, everything else where its wires are short.

The sheet has columns, from the vehicle's left to its right. Lamps keep the
corner their place words name; the rest is moved about, one part or one pair at
a time, as long as the wires get shorter. The search is the same every time: no
chance is in it. What a plan keeps is not moved: what is new stands below it, or
where there is room between.
"""

from collections import Counter
from dataclasses import dataclass
from math import sqrt

from .ahead import corner
from .behind import CART, TRAILER, Sections, sections_of, with_borders
from .blocks import BOX_HEAD, HEAD, PITCH, words_of
from .kept import Kept

COLUMN = 330                 # about from one column to the next [px]
GAP = 42                     # about between two blocks of a column [px]
_TALL = 1.25                 # a sheet is about so much taller than wide
_FRONT, _REAR = {"dash", "steering", "pedal", "front", "bonnet", "hood", "engine", "column"}, {"rear", "tail", "tow", "trailer"}
_PASSED = 30                 # for wires that pass a block in a hole [px]
_PASSES = 12
_WORK = 3_000_000            # how many pairs and parts are looked at in all before a large sheet stays as it is [1]
_NEAR = 0.4                  # what two parts of one place count, compared with a wire
_WIDER = 4.0                 # what a px costs by which a block is wider than what is kept in its column [px]
_APART = 800.0               # what one more box for the same place costs [px]
_ELSEWHERE, _LOWEST, _SIDE = 0.7, 1.2, 150.0        # what a part out of its zone, a tall sheet, a wrong side cost


@dataclass(frozen=True)
class Standing:
    """Names of the parts in each column from the top; ``front`` and ``rear`` say how many lamps are fixed there.

    ``has_outline`` tells whether any lamp says where on the vehicle it sits,
    ``beside`` how many of the last columns stand beside the vehicle, ``kept`` what stands where a plan has it. With a
    trailer behind the cart the columns have borders, and ``trailer`` says how many lamps are fixed at its end in each.
    """

    columns: tuple
    front: tuple
    rear: tuple
    has_outline: bool
    beside: int
    kept: Kept = Kept()
    trailer: tuple = ()


def standing(arrangement, forms, kept=Kept(), below=0, ahead=0):
    """Return which part stands in which column, and in which order, what is kept in its place; below each, and ahead of all but front lamps, so much is left free. [px]"""
    lamps = {part.name: corner(part) for part in arrangement.listed if part.lamps}
    has_outline = any(lamps.values()) and _stand_true(lamps, kept)
    beside = [name for name, where in lamps.items() if has_outline and not where]
    fixed = {name: where for name, where in lamps.items() if where}
    there = set().union(*kept.columns)
    free = [part.name for part in arrangement.listed if part.name not in {*fixed, *beside, *there}]
    count = _columns(forms, has_outline, len(arrangement.listed) - len(beside))
    sections = sections_of(arrangement, forms, kept) if has_outline else {}
    search = _Search(arrangement, forms, count, fixed, beside, kept, below, Sections(sections, forms, kept, ahead))
    search.fill(free)
    search.improve(free)
    columns, trailer = tuple(map(tuple, search.columns)), ()
    if sections:
        columns, kept = with_borders(columns, sections, forms, kept)
        trailer = tuple(search.trailer)
    return Standing(columns, tuple(search.front), tuple(search.rear), has_outline, len(search.columns) - search.count, kept, trailer)


def _stand_true(lamps, kept):
    """Tell whether lamps that are kept stand as their places say: left of what is right, ahead of what is at the rear. [yes/no]"""
    column = {name: number for number, names in enumerate(kept.columns) for name in names}
    corners = {name: lamps[name] for name in column if lamps.get(name)}
    of = {word: [name for name, corner_ in corners.items() if word in corner_] for word in ("left", "right", "front", "rear")}
    return all(column[left] < column[right] for left in of["left"] for right in of["right"]) and all(
        kept.tops[front] < kept.tops[rear] for front in of["front"] for rear in of["rear"])


def _columns(forms, has_outline, parts):
    whole = sum(tall_of(form) for form in forms.values())
    wished = max(1, round(sqrt(whole / (COLUMN * _TALL))))
    return min(max(wished, 3 if has_outline else 2), max(1, parts))


def tall_of(form):
    """Return about how much of a column a block takes. [px]"""
    return len(form.head) * HEAD + len(form.rows) * PITCH + GAP + (BOX_HEAD if form.box else 0) / 2


class _Search:
    """Columns on their way to a better order."""

    def __init__(self, arrangement, forms, count, fixed, beside, kept, below, sections):
        self.arrangement, self.forms, self.kept, self.below = arrangement, forms, kept, below
        self.tall = {name: tall_of(form) for name, form in forms.items()}
        self.box, self.sections = {name: form.box for name, form in forms.items()}, sections
        self.columns = [list(column) for column in kept.columns]
        out = [self.columns.pop()] if self.columns and set(self.columns[-1]) <= set(beside) else []
        there = set().union(*kept.columns)
        self.columns += [[] for _ in range(max(0 if out else count - len(self.columns), not self.columns))]
        self.count = count = len(self.columns)
        self.front, self.rear, self.trailer = list(map(sections.in_front, self.columns)), [0] * count, [0] * count
        across = {"left": 0, "": (count - 1) // 2, "right": count - 1}
        order = {"front": 0, "": 1, "rear": 2, "trailer": 3}       # the trailer's last, those only left or right before the rear
        for name, (along, side) in sorted(fixed.items(), key=lambda lamp: order[lamp[1][0]]):
            if name in there:
                continue
            head = self._ahead(name, side, fixed) if along == "front" and kept else None
            at = across[side] if head is None else head
            self.columns[at].insert(sections.ends(self.columns[at], name) if head is None else 0, name)
            self.front[at] += along == "front"
            (self.trailer if sections.section(name) > CART else self.rear)[at] += along in ("rear", "trailer")
        beside = [name for name in beside if name not in there]
        if beside or out:
            self.columns.append([*(out[0] if out else ()), *beside])
            self.front.append(len(self.columns[-1]))
            self.rear.append(0)
            self.trailer.append(0)
        self.pairs = self._pairs()
        self.tries = _WORK // (len(self.pairs) + len(forms))
        self.zone = {part.name: zone_of(part) if sections.section(part.name) == CART else None for part in arrangement.listed}
        self.side = {part.name: _side(part, count) for part in arrangement.listed}

    def _ahead(self, name, side, fixed):
        """Return the column, the outermost on its side, at whose head a front lamp has room; None without one. [1]"""
        other = [index for index, names in enumerate(self.columns) for each in names if fixed.get(each, ("", ""))[1] == {"left": "right", "right": "left"}.get(side)]
        first, last = (max(other, default=-1) + 1, self.count) if side == "right" else (0, min(other, default=self.count))
        order = range(first, last)[::-1 if side == "right" else 1]
        return next((index for index in order if self._is_free_ahead(index, name)), None)

    def _is_free_ahead(self, index, name):
        names, tops = self.columns[index], self.kept.tops or {}
        return not names or names[0] in tops and self.tall[name] <= self._head(names[0])

    def _pairs(self):
        """Return ``(part, part, least and most that the sides say about the columns between, how often)``."""
        def met(end):
            name = end.partition(":")[0]
            return name, self.forms[name].sides_of(end)

        pairs = Counter(tuple(sorted(map(met, wire.terminals))) for wire in self.arrangement.wires)
        found = [(one, other, -1, 1, _NEAR) for one, other in neighbours(self.arrangement)]
        return found + [(one, other, min(sides) - max(others), max(sides) - min(others), times)
                        for ((one, sides), (other, others)), times in pairs.items() if one != other]

    def fill(self, free):
        """Put every free part into the column that is lowest so far, front things first."""
        order = sorted(free, key=lambda name: 0.5 if self.zone[name] is None else self.zone[name])
        for name in order:
            if self.sections.is_closed(name):
                self._squeeze(name)
                continue
            heights = [sum(self.tall[other] for other in self.sections.with_it(column, name)) for column in self.columns[:self.count]]
            column = heights.index(min(heights))
            self.columns[column].insert(self._last(column, name), name)

    def _squeeze(self, name):
        """Put a part where nothing of what is kept behind it has to make way: into a hole, a new column, or else to the end of all."""
        spots = [(index, place) for index in range(self.count) for place in self._positions(index, name)]
        if not spots and self.sections.section(name) == CART and len(self.columns) == self.count:
            self.columns.append([])
            for counts in (self.front, self.rear, self.trailer):
                counts.append(0)
            self.count += 1
            spots = [(self.count - 1, 0)]
        if not spots:
            self.sections.of[name] = TRAILER
            heights = [sum(self.tall[other] for other in column) for column in self.columns[:self.count]]
            index = heights.index(min(heights))
            spots = [(index, self._last(index, name))]
        self.columns[spots[0][0]].insert(spots[0][1], name)

    def improve(self, free):
        """Move parts and pairs of parts until nothing helps."""
        best = self.cost()
        for _ in range(_PASSES):
            before = best
            for name in free:
                best = self._move(name, best)
            for index, name in enumerate(free):
                for other in free[index + 1:]:
                    best = self._swap(name, other, best)
                if self.tries < 0:
                    return
            if best > before - 1e-6:
                break

    def _where(self, name):
        return next((index, column.index(name)) for index, column in enumerate(self.columns) if name in column)

    def _move(self, name, best):
        column, place = self._where(name)
        self.columns[column].remove(name)
        chosen = column, place
        for index in range(self.count):
            names = self.columns[index]
            if self.tries < 0:
                break
            for position in self._positions(index, name):
                names.insert(position, name)
                cost = self.cost()
                del names[position]
                if cost < best - 1e-6:
                    best, chosen = cost, (index, position)
        self.columns[chosen[0]].insert(chosen[1], name)
        return best

    def _positions(self, index, name):
        """Return the places of a column at which a part may stand. [1]"""
        if self.sections.is_closed(name) and set(self.columns[index]) & set(self.kept.tops):
            return self.sections.holes(self.columns[index], name, self._room_for(name))
        holes = () if self.sections.of else self._holes(index, name)
        return (*holes, *range(self._first(index, name), self._last(index, name) + 1))

    def _first(self, index, name=None):
        """Return the first place of a column, or of one part's section there, from which on nothing is kept and no lamp has to be in front. [1]"""
        names = self.columns[index]
        least, last = self.sections.span(names, name)
        return max([self.front[index], least, *(place for place, other in enumerate(names[:last], 1) if other in (self.kept.tops or ()))])

    def _last(self, index, name):
        """Return the last place of a column at which a part may stand: before the lamps at the end of its section. [1]"""
        _, last = self.sections.span(self.columns[index], name)
        return last - {CART: self.rear[index], TRAILER: self.trailer[index]}.get(self.sections.section(name), 0)

    def _holes(self, index, name):
        """Yield the places of a column where a block fits between two that are kept, or above the first. [1]"""
        tops, low = self.kept.tops or {}, self.sections.ahead
        for place, other in enumerate(self.columns[index]):
            if other not in tops:
                low = float("inf")
                continue
            form = self.forms[other]
            if low + self._room_for(name) <= self._head(other) - BOX_HEAD * bool(form.box):
                yield place
            low = tops[other] + PITCH * len(form.rows)

    def _room_for(self, name):
        """Return how tall a hole has to be, for wires that pass the block as well, and on a board that grows for those to come. [px]"""
        return self.tall[name] + (3 * self.below or _PASSED)

    def _swap(self, name, other, best):
        (one, place), (two, second) = self._where(name), self._where(other)
        if self.sections.section(name) != self.sections.section(other) or self.sections.is_closed(name):
            return best
        if self.kept and min(place - self._first(one, name), second - self._first(two, other)) < 0:     # one of them is in a hole
            return best
        self.columns[one][place], self.columns[two][second] = other, name
        cost = self.cost()
        if cost < best - 1e-6:
            return cost
        self.columns[one][place], self.columns[two][second] = name, other
        return best

    def cost(self):
        """Return how long the wires are, with something for a tall sheet and parts out of their zone. [px]"""
        self.tries -= 1
        tops = self.kept.tops or {}
        where, whole, cart = self.sections.levels(self.columns, self.tall) if self.sections.of else self._levels(tops)
        cost = _LOWEST * whole + _APART * self._boxes()
        for one, other, least, most, times in self.pairs:
            (left, top), (right, low) = where[one], where[other]
            passes = max(left - right + least, right - left - most, 0)
            cost += times * (COLUMN * passes + abs(top - low) + 60)
        for name, zone in self.zone.items():
            column, y = where[name]
            cost += _WIDER * self._wider(name, column) if tops else 0
            if zone is not None:
                cost += _ELSEWHERE * abs(y - zone * cart)
            if self.side[name] not in (None, column):
                cost += _SIDE
        return cost

    def _levels(self, tops):
        """Return ``(column, middle)`` of each part, and how tall the sheet is, twice. [1], [px]"""
        heights = [self._height(column) if tops else sum(self.tall[name] for name in column) for column in self.columns]
        whole = max(heights)
        where = {}
        for index, column in enumerate(self.columns):
            first = self._first(index) if tops else self.front[index]
            slack = (whole - heights[index]) / (len(column) - first - self.rear[index] + 1)
            y = 0.0
            for place, name in enumerate(column):
                if first <= place <= len(column) - self.rear[index]:
                    y += slack
                if name in tops:
                    y = max(y, self._head(name))
                where[name] = (index, y + self.tall[name] / 2)
                y += self.tall[name]
        return where, whole, whole

    def _boxes(self):
        """Return how many boxes there are for all places that parts share. [1]"""
        count = 0
        for column in self.columns:
            before = ""
            for name in column:
                box = self.box[name]
                count += bool(box) and box != before
                before = box
        return count

    def _wider(self, name, index):
        """Return how much wider a block is than what is kept in a column. [px]"""
        kept = self.kept.columns[index] if index < len(self.kept.columns) else ()
        if not kept or name in kept:
            return 0.0
        form, others = self.forms[name], [self.forms[other] for other in kept]
        return (max(0, form.width - max(other.width for other in others))
                + max(0, form.head_wide - form.width / 2 - max(other.head_wide - other.width / 2 for other in others)))

    def _height(self, column):
        """Return how tall a column is, what is kept in its place. [px]"""
        y = 0.0
        for name in column:
            y = max(y, self._head(name)) + self.tall[name]
        return y

    def _head(self, name):
        """Return about where the lines above a kept block begin. [px]"""
        tops, form = self.kept.tops or {}, self.forms[name]
        return tops[name] - form.above - form.head_tall if name in tops else 0.0


def neighbours(arrangement):
    """Return pairs of parts whose words say they are close by: in one place, or beside the battery. [text]"""
    last, pairs = {}, []
    for part in arrangement.listed:
        place = part.place.partition(",")[0].strip().lower()
        if "battery" in place:
            pairs.append((part.name, arrangement.battery.name))
        if place and place in last and not part.shines:
            pairs.append((last[place], part.name))
        last[place] = part.name
    return [pair for pair in pairs if pair[0] != pair[1]]


def zone_of(part):
    """Return how far back on the vehicle a part's own words put it, from 0 to 1, or None. [1]"""
    words = words_of(part.place.partition(",")[0])
    return 0.2 if words & _FRONT else 0.9 if words & _REAR else None


def _side(part, count):
    words = words_of(part.place)
    if part.is_metal and words & _REAR:
        return 0 if "left" in words else count - 1 if "right" in words else None
    return None

"""A trailer behind the cart: which parts stand on the cart, between the two and on the trailer, and where each of these *sections* ends.

A part is the trailer's by the word in its place; a connector, and what is at the coupling, is between. Every column is in
three sections, one above the other, with a border between one and the next that is at one height in all of them.
"""

from dataclasses import replace
from math import inf

from ...parts import Connector
from .blocks import BOX_HEAD, PITCH, Form, words_of

CART, BETWEEN, TRAILER = range(3)
BORDERS = "end of the cart", "head of the trailer"
ABOVE, BELOW = (20, 8), (8, 22)      # of each border, what stays free above it and below it: on the side of its vehicle for a word [px]
_STRIP = 70                  # between the two, where nothing that is kept stands there [px]


def border(number, column):
    """Return the name of a border in a column. [text]"""
    return f"{BORDERS[number]} {column}"


def border_forms(borders):
    """Return the form of each border, ``{name: number}``, by its name: nothing is written on it, and no wire goes there."""
    return {name: Form(name, (), 0, (), above=ABOVE[number], below=BELOW[number]) for name, number in borders.items()}


class Sections:
    """In which section each part stands while places are looked for; ``of`` is empty where no trailer is, and all is the cart."""

    def __init__(self, of, forms, kept, ahead=0):
        self.of, self.forms, self.kept, self.ahead = of, forms, kept, float(ahead)
        self.tops = kept.tops or {}
        self.last = max((of[name] for name in self.tops), default=CART) if of else CART
        self.ends_at = _heights(of, forms, kept) if of and self.last > CART else ()

    def section(self, name):
        """Return the section of a part. [1]"""
        return self.of.get(name, CART)

    def is_closed(self, name):
        """Tell whether something is kept behind the section of a part, which would have to make way. [yes/no]"""
        return bool(self.ends_at) and name not in self.tops and self.section(name) < TRAILER

    def in_front(self, names):
        """Return how many parts of a column that is kept are the cart's. [1]"""
        return sum(self.section(name) == CART for name in names)

    def ends(self, names, name):
        """Return the place of a column behind all of a part's section. [1]"""
        return sum(self.section(other) <= self.section(name) for other in names)

    def span(self, names, name):
        """Return the first and the last place of a part's section in a column; without a part, those of the column. [1]"""
        if name is None or not self.of:
            return 0, len(names)
        return sum(self.section(other) < self.section(name) for other in names), self.ends(names, name)

    def with_it(self, names, name):
        """Return what of a column is in one section with a part. [text]"""
        return [other for other in names if self.section(other) == self.section(name)]

    def holes(self, names, name, tall):
        """Return the places of a column where a part so tall fits into its section with all that is kept. [1]"""
        section, found = self.section(name), []
        first, last = self.span(names, name)
        low = self.ends_at[section - 1] + BELOW[section - 1] if section else self.ahead
        for place in range(first, last + 1):
            other = names[place] if place < last else None
            if other is not None and other not in self.tops:
                low = inf
                continue
            head = _span(other, self.forms[other], self.kept)[0] if other else self.ends_at[section] - ABOVE[section]
            if low + tall <= head:
                found.append(place)
            low = _span(other, self.forms[other], self.kept)[1] if other else low
        return found

    def levels(self, columns, tall):
        """Return ``(column, middle)`` of each part, how tall the sheet is, and how tall the cart. [1], [px]"""
        where, start, cart = {}, 0.0, 0.0
        for section in (CART, BETWEEN, TRAILER):
            ends = []
            for index, names in enumerate(columns):
                y = start
                for name in names:
                    if self.of[name] == section:
                        y = max(y, self.tops.get(name, 0.0))
                        where[name] = (index, y + tall[name] / 2)
                        y += tall[name]
                ends.append(y)
            start = max(ends)
            cart = start if section == CART else cart
        return where, start, cart


def has_trailer(arrangement):
    """Tell whether any lamp is a trailer's. [yes/no]"""
    return any("trailer" in words_of(part.place) for part in arrangement.listed if part.lamps)


def behind_cart(arrangement, plan):
    """Return the parts that are a trailer's or between by their places; none without a trailer, or where a part of the cart stands behind one. [text]"""
    behind = {part.name for part in arrangement.listed if _by_words(part) > CART} if has_trailer(arrangement) else set()
    stood, heights = {name for _, *names in plan.columns for name in names}, {name: down for name, _, down, _ in plan.attached}
    head = min((heights[name] for name in stood & behind), default=inf)
    return set() if any(heights[name] > head and arrangement.part(name).place for name in stood - behind) else behind


def sections_of(arrangement, forms, kept):
    """Return in which section each part stands, or nothing where no lamp is a trailer's, or where what is kept stands otherwise. [1]

    A part without a place that is kept belongs to where it stands, and so does a joint at the coupling that stands on the trailer.
    """
    if not has_trailer(arrangement):
        return {}
    found = {part.name: _by_words(part) for part in arrangement.listed}
    if not kept:
        return found
    spans = {name: _span(name, forms[name], kept) for name in kept.tops}
    told = {name for name in spans if arrangement.part(name).place or found[name]}
    heads = [min([spans[name][0] for name in told if found[name] >= section], default=inf) for section in range(3)]
    for name, (top, low) in spans.items():
        if name not in told:
            found[name] = next((section for section in (TRAILER, BETWEEN) if top >= heads[section]), CART)
        elif found[name] == BETWEEN and top >= heads[TRAILER]:
            found[name] = TRAILER                   # a joint for which there was no room between
        if found[name] < TRAILER and low > heads[found[name] + 1]:
            return {}
    late = {part.name for part in arrangement.listed if kept.closed and found[part.name] == BETWEEN and part.name not in spans}
    return found | dict.fromkeys(late, TRAILER)


def _by_words(part):
    words = words_of(part.place)
    if isinstance(part, Connector) or "coupling" in words:
        return BETWEEN
    return TRAILER if "trailer" in words else CART


def _span(name, form, kept):
    """Return from where to where a kept block reaches, its words and its box with it, without wires that make it taller. [px]"""
    top = kept.tops[name]
    return top - form.above - form.head_tall - BOX_HEAD * bool(form.box), top + PITCH * (len(form.rows) - 1) + form.below


def with_borders(columns, sections, forms, kept):
    """Return columns with a border behind the cart and one before the trailer, and what is kept with their heights."""
    bordered = []
    for number, names in enumerate(columns):
        of = [[name for name in names if sections[name] == section] for section in (CART, BETWEEN, TRAILER)]
        bordered.append((*of[CART], border(0, number), *of[BETWEEN], border(1, number), *of[TRAILER]))
    if not kept:
        return tuple(bordered), kept
    ends = _heights(sections, forms, kept)
    heights = {border(number, column): height for column in range(len(columns)) for number, height in enumerate(ends)}
    return tuple(bordered), replace(kept, tops=kept.tops | heights)


def _heights(sections, forms, kept):
    """Return where the borders are of what is kept, or nothing where no trailer is among it. [px]"""
    trailer, between = ([_span(name, forms[name], kept)[0] for name in kept.tops if sections[name] == section] for section in (TRAILER, BETWEEN))
    if not trailer:
        return ()
    head = min(trailer) - BELOW[1] - PITCH * (1 + kept.grows)        # and for a wire that comes
    return min([*(top - BELOW[0] - PITCH for top in between), head - _STRIP]), head


def stretches(names, front, rear):
    """Return of a column with borders ``(first, last)`` place of each section between which what is not fixed stands. [1]"""
    ends = [place for place, name in enumerate(names) if name.startswith(BORDERS)]
    starts = [0, *(place + 1 for place in ends)]
    return [(max(start, front), end - fixed) for start, end, fixed in zip(starts, [*ends, len(names)], rear, strict=True)]

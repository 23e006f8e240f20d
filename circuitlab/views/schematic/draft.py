"""A draft becomes a sheet: the whole circuit laid out by the search for paths, and the records of what is drawn where."""

from dataclasses import replace
from functools import lru_cache
from math import ceil

from ...arrangements.plan import STEP
from ..edges import MARGIN
from ..letters import NAME, SMALL, Label, text_width
from ..style import rail_words
from .beside import height_of, sides_of
from .columns import blocks_of
from .gaps import Gaps
from .keeping import Kept
from .levels import give_levels, share_levels, twins_of
from .framed import framed
from .placing import placed
from .scheme import Bar, scheme_of
from .sheet import Line, Metal, Sheet, Symbol
from .spacing import HEAD, TAPPED, Spacing, bar_text

_AFRESH = 9                  # how often a sheet is made from its own places, until it keeps them
STUB = 6                     # a rail or splice with one wire or none still shows as a short line [px]


@lru_cache(maxsize=64)
def drafted(arrangement, spots=(), first=1):
    """Place everything on a sheet, what has a spot there; the paths are numbered from the first on.

    It is made from its own places once more, so that a sheet is the one that its own plan gives again.
    """
    sheet = _placed(arrangement, spots, first)
    for _ in range(_AFRESH):
        spots, before = sheet.spots, spots
        if set(spots) == set(before):
            break
        sheet = _placed(arrangement, spots, first)
    return sheet


def _placed(arrangement, spots, first):
    """Place everything on a sheet once; what is new goes beyond all that is kept where it would move any of it aside."""
    apart, single, beyond = set(), set(), False
    while True:
        kept = Kept(spots, beyond)
        scheme = scheme_of(arrangement, apart, kept)
        give_levels(scheme)
        _measure(scheme)
        share_levels(scheme, [twins for twins in twins_of(scheme) if _names(twins) not in single])
        gaps = Gaps(scheme, {0: MARGIN + HEAD} | {bar.level: kept.tops[bar.key] for bar in scheme.bars if bar.key in kept.tops})
        blocks, more = blocks_of(scheme, kept)
        if more:
            apart |= more
            continue
        columns, count, mirrored, clashing = placed(scheme, blocks, kept)
        if not clashing:
            for is_brief in (False, True):
                draft = _Draft(arrangement, scheme, gaps, columns, count, mirrored, kept.middles, first, is_brief)
                if beyond or all(x <= ceil(middle) for x, middle in zip(draft.x, kept.middles)):
                    return draft.sheet()
            beyond = True
        single |= set(map(_names, clashing))


def _names(twins):
    return tuple(bar.key for bar in twins)


def _measure(scheme):
    """Give every stand its height."""
    parts = [stand.piece.part for stand in scheme.stands]
    for stand in scheme.stands:
        stand.tall = height_of(stand, scheme.arrangement, parts.count(stand.piece.part) > 1)
    lamps = [stand for stand in scheme.stands if stand.piece.symbol == "lamp"]
    for lamp in lamps:
        lamp.tall = max(stand.tall for stand in lamps)


class _Draft(Spacing):
    """Spaced out; makes the records of the sheet."""

    def sheet(self):
        labels = [label for stand in self.scheme.stands for label in self._piece_labels(stand)]
        labels += [label for run in self.scheme.runs for label in self._run_labels(run)]
        labels += [label for bar in self.scheme.bars for label in self._bar_labels(bar)]
        wires = tuple(self._line(wire) for wire in self.arrangement.wires)
        metals = tuple(self._metal(bar) for bar in self.scheme.bars if bar.kind != "lane")
        paths = {stand.piece.key: self.path_of(stand) for stand in self.scheme.stands}
        made = Sheet(self.arrangement, self.right, self.level_y[-1], tuple(map(self._symbol, self.scheme.stands)), wires, metals, tuple(labels), (),
                     paths, tuple(self.x), self._spots(), (), tuple((wire.name, *wire.terminals) for wire in self.arrangement.wires))
        return framed(made, dict(enumerate(self.x, self.first)))

    def _spots(self):
        """Return where every piece, bare bar and wire with a path to itself stands, as a plan has it."""
        spots = {stand.piece.key: [self._slot_column(stand, slot) for slot in range(stand.piece.width)]
                 for stand in self.scheme.stands}
        for run in self.scheme.runs:
            if run.wire and isinstance(run.upper, Bar) and isinstance(run.lower, Bar):
                spots.setdefault(run.wire, []).append(self.column[run])
        tops = {stand.key: self.stand_y(stand) for stand in self.scheme.stands}
        for bar in self.scheme.bars:
            spots[bar.key], tops[bar.key] = [self.column[bar]] if bar in self.column else [], self.level_y[bar.level]
        turned = {stand.key for stand in self.scheme.stands if not stand.near_up}
        return tuple((key, tuple(round(self.x[column] / STEP, 2) for column in columns), round(tops.get(key, 0) / STEP, 2),
                      key in turned) for key, columns in spots.items())

    def _symbol(self, stand):
        xs = tuple(self.x[self.column_at(stand, terminal)] for terminal in stand.piece.terminals)
        left, right = sides_of(stand.piece)
        return Symbol(stand.piece, xs, min(xs) - left, max(xs) + right, round(self.stand_y(stand), 1),
                      stand.tall, stand.near_up)

    def _piece_labels(self, stand):
        for slot, text in self.texts[stand]:
            x = self.x[self._slot_column(stand, slot)] + text.x
            yield replace(text, x=round(x, 1), y=round(self.stand_y(stand) + text.y + 9.5, 1))

    def _run_labels(self, run):
        x = self.x[self.column[run]]
        if self._labelled(run):
            y = self.level_y[run.label_gap] + self.gaps.tops[run] + 11
            yield Label(self._wire_text(run), round(x + 5, 1), round(y, 1), SMALL, "wire", run.wire)
        for y, text in self._tap_numbers(run):
            yield Label(text, round(x - 5 - text_width(text), 1), round(y + 9.5, 1), SMALL, "sheet", run.wire)

    def _bar_labels(self, bar):
        x, y = self.x[min(self.span[bar])], self.level_y[bar.level]
        if bar.kind == "supply":
            yield Label(rail_words(self.arrangement), x, y - 10, NAME, "sheet", bar.owner, "", True)
        elif self._named_beside(bar):
            wide = text_width(self._beside(bar), NAME, True)
            yield Label(self._beside(bar), round(x - wide - 9, 1), y + 4, NAME, "sheet", bar.owner if ":" in bar.key else bar.key, "", True)
        elif bar.kind == "ground":
            text = rail_words(self.arrangement, False) if ":" in bar.key else bar_text(self.arrangement, bar.key, bar.kind)
            yield Label(text, x, y + 16, NAME, "sheet", bar.owner if ":" in bar.key else bar.key, "", True)

    def _metal(self, bar):
        y, xs = self.level_y[bar.level], [self.x[column] for column in self.span[bar]]
        stub = STUB if min(xs) == max(xs) and bar.kind != "terminal" else 0
        lines, taps = [(min(xs) - stub, y, max(xs) + stub, y)], []
        for run in self.scheme.runs:
            for node, terminal in ((run.upper, run.upper_terminal), (run.lower, run.lower_terminal)):
                if node is bar and run.wire:
                    taps.append((self.x[self.column[run]], self._tap_y(run, node), terminal))
        for run in self._metal_runs(bar):
            x, (top, low) = self.x[self.column[run]], self.ends_y(run)
            lines.append((x, round(top, 1), x, round(low, 1)))
        for lane in self.scheme.bars:
            if lane.kind == "lane" and lane.owner == bar.key:
                xs = [self.x[column] for column in self.span[lane]]
                lines.append((min(xs), self.level_y[lane.level], max(xs), self.level_y[lane.level]))
        terminals = tuple(terminal for terminal, own in self.scheme.bar_of.items() if own is bar)
        return Metal(bar.key, bar.kind, bar.owner, terminals, tuple(lines), tuple(dict.fromkeys(taps)))

    def _tap_y(self, run, bar):
        return round(self.level_y[bar.level] + (TAPPED if bar is run.upper else -TAPPED), 1)

    def _metal_runs(self, bar):
        return [run for run in self.scheme.runs if not run.wire and bar.key in (
            run.upper_terminal, run.lower_terminal, getattr(run.upper, "owner", ""), getattr(run.lower, "owner", ""))]

    def _line(self, wire):
        """Put the stretches of a wire in order, from its start to its end."""
        left = [run for run in self.scheme.runs if run.wire == wire.name]
        lanes = [bar for bar in self.scheme.bars if bar.kind == "lane" and bar.owner == wire.name]
        at, points = {}, []
        for run in left:
            x, (top, low) = self.x[self.column[run]], self.ends_y(run)
            for node, terminal, y in ((run.upper, run.upper_terminal, top), (run.lower, run.lower_terminal, low)):
                y = self._tap_y(run, node) if isinstance(node, Bar) and terminal else y
                at[run, node] = (x, round(y, 1))
                if terminal == wire.start:
                    here, near = run, node
        while here:
            left.remove(here)
            far = here.lower if near is here.upper else here.upper
            points += [at[here, near], at[here, far]]
            near, here = far, next((run for run in left if far in lanes and far in (run.upper, run.lower)), None)
        return Line(wire.name, tuple((*a, *b) for a, b in zip(points, points[1:]) if a != b))

"""The sheet: every piece, wire, bar and label with its place in drawing units, made once for an arrangement."""

from dataclasses import dataclass, field
from functools import lru_cache

from ..style import COLOUR_WORDS
from .columns import blocks_of, clashes, placed
from .gaps import LABEL, ROOM, Gaps, is_numbered
from .pieces import Piece
from .plan import Bar, Stand, plan_of, share_levels, twins_of
from .shapes import LINE, NAME, SMALL, TAP, contacts_of, height_of, lead_of, pitch_of, shortened, sides_of, text_width, texts_of

MARGIN = 10                  # round the whole sheet [px]
HEAD = 38                    # above the first bar: title and the rail's name [px]
LEAST_WIDTH = 260            # so that the key finds room [px]
LONGEST_TITLE = 460          # for which a sheet is made wider [px]
LEAST_PITCH = 22             # between two paths, for their numbers [px]
TAPPED = 2                   # how far from the middle of a bar a wire meets it, so that above and below differ [px]
APART = 5                    # least room between two things side by side [px]
LONGEST = 92                 # of a wire's label [px]


@dataclass(frozen=True)
class Label:
    """One line of text in its box; ``kind`` is piece, wire or sheet, ``owner`` what it speaks of."""

    text: str
    x: float
    y: float
    size: float
    kind: str
    owner: str = ""
    live: str = ""
    bold: bool = False

    @property
    def box(self):
        """Left, top, right, bottom. [px]"""
        return self.x, self.y - 0.8 * self.size, self.x + text_width(self.text, self.size, self.bold), self.y + 0.24 * self.size


@dataclass(frozen=True)
class Symbol:
    """One piece in its place: the x of each of its terminals, near first, its top, and which side is up."""

    piece: Piece
    xs: tuple
    left: float
    right: float
    top: float
    height: float
    near_up: bool

    @property
    def box(self):
        """Left, top, right, bottom. [px]"""
        return self.left, self.top, self.right, self.top + self.height

    @property
    def lead(self):
        """From a terminal to the body. [px]"""
        return lead_of(self.piece, self.height)

    @property
    def contacts(self):
        """Where in the body each terminal's line ends: beside its path where a blade must reach it. [px]"""
        return contacts_of(self.piece, self.xs)

    def pins(self):
        """Yield every terminal with its place: ``(terminal, x, y, whether it is on top)``."""
        for index, terminal in enumerate(self.piece.terminals):
            up = self.near_up == (index == 0)
            yield terminal, self.xs[index], self.top if up else self.top + self.height, up


@dataclass(frozen=True)
class Metal:
    """A bar of metal: rail, splice, or a terminal that carries several wires.

    ``lines`` are its stretches, ``taps`` the places where wires are joined, as ``(x, y, terminal)``.
    """

    key: str
    kind: str
    part: str
    terminals: tuple
    lines: tuple
    taps: tuple


@dataclass(frozen=True)
class Line:
    """A wire as drawn: its stretches ``(x, y, x, y)`` in order, and where it starts and ends."""

    wire: str
    colour: str
    lines: tuple
    start: tuple
    end: tuple


@dataclass(frozen=True, eq=False)
class Sheet:
    """Everything on the sheet, ready to be filled with an operating point."""

    arrangement: object
    width: float
    height: float
    symbols: tuple
    wires: tuple
    metals: tuple
    labels: tuple
    key: tuple
    paths: dict
    columns: tuple
    kept: dict = field(default_factory=dict)      # pieces of SVG that come again


@lru_cache(maxsize=64)
def lay_out(arrangement):
    """Return the sheet of an arrangement: the same one every time.

    Parameters
    ----------
    arrangement : Arrangement

    Returns
    -------
    Sheet
    """
    apart, single = set(), set()
    while True:
        plan = plan_of(arrangement, apart)
        _measure(plan)
        share_levels(plan, [twins for twins in twins_of(plan) if _names(twins) not in single])
        gaps = Gaps(plan)
        blocks, more = blocks_of(plan)
        if more:
            apart |= more
            continue
        columns, count, mirrored = placed(plan, blocks)
        clashing = {_names(twins) for twins in clashes(plan, columns)}
        if not clashing:
            return _Draft(arrangement, plan, gaps, columns, count, mirrored).sheet()
        single |= clashing


def _names(twins):
    return tuple(bar.key for bar in twins)


def _measure(plan):
    """Give every stand its height."""
    parts = [stand.piece.part for stand in plan.stands]
    for stand in plan.stands:
        stand.tall = height_of(stand, plan.arrangement, parts.count(stand.piece.part) > 1)
    lamps = [stand for stand in plan.stands if stand.piece.symbol == "lamp"]
    for lamp in lamps:
        lamp.tall = max(stand.tall for stand in lamps)


class _Draft:
    """A plan on its way to a sheet: levels become heights, columns become places from left to right."""

    def __init__(self, arrangement, plan, gaps, columns, count, mirrored):
        self.arrangement, self.plan, self.gaps = arrangement, plan, gaps
        self.column, self.count, self.mirrored = columns, count, mirrored
        self.level_y = [MARGIN + HEAD]
        for height in gaps.heights:
            self.level_y.append(self.level_y[-1] + height)
        self.span = {}
        for run in plan.runs:
            for bar in (run.upper, run.lower):
                if isinstance(bar, Bar):
                    self.span.setdefault(bar, []).append(columns[run])
        for bar in plan.bars:
            self.span.setdefault(bar, [columns.get(bar, 0)])
        self.texts = {stand: texts_of(stand, arrangement, self._see(stand), stand in mirrored) for stand in plan.stands}
        self.x = self._spread()

    def _see(self, stand):
        """Tell where the other pieces of a part are: ``→ 4, 7``."""
        others = sorted({self.path_of(other) for other in self.plan.stands
                         if other.piece.part == stand.piece.part and other is not stand})
        return "\N{RIGHTWARDS ARROW} " + ", ".join(map(str, others)) if others else ""

    def path_of(self, stand):
        """Return the number of the path of a piece's near terminal. [1]"""
        return self.column_at(stand, stand.piece.near[0]) + 1

    def column_at(self, stand, terminal):
        """Return the column of a piece's terminal. [1]"""
        return self._slot_column(stand, stand.slot(terminal))

    def _slot_column(self, stand, slot):
        if stand in self.mirrored:
            return self.column[stand] - slot
        return self.column[stand] + slot

    def stand_y(self, stand):
        return self.level_y[stand.gap] + self.gaps.tops[stand]

    def ends_y(self, run):
        """Return the top and bottom of a run. [px]"""
        top = self.level_y[run.upper.level] if isinstance(run.upper, Bar) \
            else self.stand_y(run.upper) + run.upper.tall
        low = self.level_y[run.lower.level] if isinstance(run.lower, Bar) else self.stand_y(run.lower)
        return top, low

    # ------------------------------------------------------------ left to right

    def _spread(self):
        """Return the x of every column: as near together as what stands in them allows. [px]"""
        boxes = self._boxes()
        least = {}
        for index, (_, _, last, reach, top, low, owner) in enumerate(boxes):
            for first, back, _, _, other_top, other_low, other in boxes:
                if last < first and owner is not other and top < other_low and other_top < low:
                    least[last, first] = max(least.get((last, first), 0), reach + back + APART)
        for stand in self.plan.stands:
            columns = sorted({self._slot_column(stand, slot) for slot in range(stand.piece.width)})
            for left, right in zip(columns, columns[1:]):
                least[left, right] = max(least.get((left, right), 0), pitch_of(stand.piece))
        x = []
        back = [max([MARGIN] + [MARGIN + left for first, left, *_ in boxes if first == column])
                for column in range(self.count)]
        for column in range(self.count):
            here = max([back[column]] + ([x[-1] + LEAST_PITCH] if x else []))
            for (left, right), room in least.items():
                if right == column:
                    here = max(here, x[left] + room)
            x.append(round(here, 1))
        self.right = max([x[-1]] + [x[last] + reach for _, _, last, reach, *_ in boxes])
        return x

    def _boxes(self):
        """Return all that needs room: (first column, reach left of it, last column, reach right, top, bottom, owner)."""
        boxes = []
        for stand in self.plan.stands:
            top = self.stand_y(stand)
            columns = [self._slot_column(stand, slot) for slot in range(stand.piece.width)]
            left, right = sides_of(stand.piece)
            boxes.append((min(columns), left, max(columns), right, top, top + stand.tall, stand))
            for text in self.texts[stand]:
                column, wide = self._slot_column(stand, text.slot), text_width(text.text, text.size, text.bold)
                left, right = (-text.right, text.right + wide) if text.right >= 0 else (wide - text.right, text.right)
                boxes.append((column, left, column, right, top + text.top, top + text.top + LINE, stand))
        for run in self.plan.runs:
            column, (top, low) = self.column[run], self.ends_y(run)
            boxes.append((column, 3, column, 3, top, low, run))
            if run.label_gap >= 0 and self._labelled(run):
                y = self.level_y[run.label_gap] + self.gaps.tops[run]
                boxes.append((column, -5, column, 5 + text_width(self._wire_text(run)), y, y + LABEL, run))
            for y, text in self._tap_numbers(run):
                boxes.append((column, 5 + text_width(text), column, -5, y, y + TAP, run))
        for bar in self.plan.bars:
            y, columns = self.level_y[bar.level], self.span[bar]
            boxes.append((min(columns), 5, max(columns), 5, y - 4, y + 4, bar))
            if bar.kind == "splice":
                wide = text_width(self._bar_text(bar), NAME, True)
                boxes.append((min(columns), wide + 9, min(columns), -9, y - 7, y + 7, bar))
        return boxes

    def _labelled(self, run):
        """Tell whether the wire's label is at this run: it is at the longest one."""
        return bool(run.wire) and run is max((other for other in self.plan.runs if other.wire == run.wire),
                                             key=lambda other: (isinstance(other.upper, Stand) or isinstance(other.lower, Stand),
                                                                len(other.gaps)))

    def _wire_text(self, run):
        wire = self.arrangement.part(run.wire)
        return shortened(f"{shortened(wire.name, LONGEST - 34)} {wire.colour}".strip(), LONGEST)

    def _bar_text(self, bar):
        free = [terminal for terminal in self.arrangement.part(bar.owner).terminals
                if not self.arrangement.wires_at[f"{bar.owner}:{terminal}"]]
        text = shortened(bar.owner, 60, NAME)
        return f"{text} free: {shortened(', '.join(free), 40)}" if free else text

    def _tap_numbers(self, run):
        """Yield ``(top, number)`` for the ends of a run that meet a splice or the chassis."""
        for bar, terminal, top in ((run.upper, run.upper_terminal, True), (run.lower, run.lower_terminal, False)):
            if isinstance(bar, Bar) and is_numbered(bar):
                y = self.level_y[bar.level]
                yield (y + ROOM if top else y - ROOM - TAP), terminal.partition(":")[2]

    # ------------------------------------------------------------ the records

    def sheet(self):
        labels = [label for stand in self.plan.stands for label in self._piece_labels(stand)]
        labels += [label for run in self.plan.runs for label in self._run_labels(run)]
        labels += [label for bar in self.plan.bars for label in self._bar_labels(bar)]
        title = min(text_width(self.arrangement.title, NAME, True), LONGEST_TITLE) + MARGIN
        width = round(max([self.right, LEAST_WIDTH, title] + [label.box[2] for label in labels]) + MARGIN, 1)
        labels.append(Label(shortened(self.arrangement.title, width - 2 * MARGIN, NAME, True), MARGIN, MARGIN + 10,
                            NAME, "sheet", "title", "title", True))
        y = self.level_y[-1] + 36
        labels += [Label(str(column + 1), round(x - text_width(str(column + 1), SMALL) / 2, 1), y, SMALL, "sheet", "path")
                   for column, x in enumerate(self.x)]
        key, y = self._key(width, y + 22)
        labels += [Label(text, x, y, SMALL, "sheet", "key") for _, text, x, y in key]
        return Sheet(self.arrangement, width, round(y + MARGIN, 1), tuple(map(self._symbol, self.plan.stands)),
                     tuple(self._line(wire) for wire in self.arrangement.wires),
                     tuple(self._metal(bar) for bar in self.plan.bars if bar.kind != "lane"), tuple(labels), key,
                     {stand.piece.key: self.path_of(stand) for stand in self.plan.stands}, tuple(self.x))

    def _key(self, width, y):
        """Return the key below the paths, ``(sample, text, x, y)`` one by one, and where it ends."""
        letters = {wire.colour[index:index + 2] for wire in self.arrangement.wires for index in range(0, len(wire.colour), 2)}
        words = [("live", "live"), ("dead", "not live"), ("floating", "floating")]
        if any("\N{RIGHTWARDS ARROW}" in text.text for texts in self.texts.values() for text in texts):
            words.append(("", "\N{RIGHTWARDS ARROW} 4: see path 4"))
        words += [("", f"{letter} {COLOUR_WORDS[letter]}") for letter in COLOUR_WORDS if letter in letters]
        key, x = [], MARGIN
        for sample, text in words:
            room = 28 if sample else 0
            if x > MARGIN and x + room + text_width(text) > width - MARGIN:
                x, y = MARGIN, y + LINE + 3
            key.append((sample, text, round(x + room, 1), round(y, 1)))
            x += room + text_width(text) + 14
        return tuple(key), y

    def _symbol(self, stand):
        xs = tuple(self.x[self.column_at(stand, terminal)] for terminal in stand.piece.terminals)
        left, right = sides_of(stand.piece)
        return Symbol(stand.piece, xs, min(xs) - left, max(xs) + right, round(self.stand_y(stand), 1),
                      stand.tall, stand.near_up)

    def _piece_labels(self, stand):
        for text in self.texts[stand]:
            x = self.x[self._slot_column(stand, text.slot)] + text.right
            if text.right < 0:
                x -= text_width(text.text, text.size, text.bold)
            yield Label(text.text, round(x, 1), round(self.stand_y(stand) + text.top + 9.5, 1), text.size,
                        "piece", stand.piece.key, text.live, text.bold)

    def _run_labels(self, run):
        x = self.x[self.column[run]]
        if self._labelled(run):
            y = self.level_y[run.label_gap] + self.gaps.tops[run] + 11
            yield Label(self._wire_text(run), round(x + 5, 1), round(y, 1), SMALL, "wire", run.wire)
        for y, text in self._tap_numbers(run):
            yield Label(text, round(x - 5 - text_width(text), 1), round(y + 9.5, 1), SMALL, "sheet", run.wire)

    def _bar_labels(self, bar):
        x, y = self.x[min(self.span[bar])], self.level_y[bar.level]
        if bar.kind == "plus":
            yield Label("battery + (30)", x, y - 10, NAME, "sheet", bar.owner, "", True)
        elif bar.kind == "splice":
            wide = text_width(self._bar_text(bar), NAME, True)
            yield Label(self._bar_text(bar), round(x - wide - 9, 1), y + 4, NAME, "sheet", bar.owner, "", True)
        elif bar.kind == "ground":
            text = "battery \N{MINUS SIGN} (31)" if ":" in bar.key else f"{self._bar_text(bar)}  ground (31)"
            yield Label(text, x, y + 16, NAME, "sheet", bar.owner, "", True)

    def _metal(self, bar):
        y, xs = self.level_y[bar.level], [self.x[column] for column in self.span[bar]]
        lines, taps = [(min(xs), y, max(xs), y)], []
        for run in self.plan.runs:
            for node, terminal in ((run.upper, run.upper_terminal), (run.lower, run.lower_terminal)):
                if node is bar and run.wire:
                    taps.append((self.x[self.column[run]], self._tap_y(run, node), terminal))
        for run in self._metal_runs(bar):
            x, (top, low) = self.x[self.column[run]], self.ends_y(run)
            lines.append((x, round(top, 1), x, round(low, 1)))
        for lane in self.plan.bars:
            if lane.kind == "lane" and lane.owner == bar.key:
                xs = [self.x[column] for column in self.span[lane]]
                lines.append((min(xs), self.level_y[lane.level], max(xs), self.level_y[lane.level]))
        terminals = tuple(terminal for terminal, own in self.plan.bar_of.items() if own is bar)
        return Metal(bar.key, bar.kind, bar.owner, terminals, tuple(lines), tuple(dict.fromkeys(taps)))

    def _tap_y(self, run, bar):
        return round(self.level_y[bar.level] + (TAPPED if bar is run.upper else -TAPPED), 1)

    def _metal_runs(self, bar):
        return [run for run in self.plan.runs if not run.wire and bar.key in (
            run.upper_terminal, run.lower_terminal, getattr(run.upper, "owner", ""), getattr(run.lower, "owner", ""))]

    def _line(self, wire):
        """Put the stretches of a wire in order, from its start to its end."""
        left = [run for run in self.plan.runs if run.wire == wire.name]
        lanes = [bar for bar in self.plan.bars if bar.kind == "lane" and bar.owner == wire.name]
        at = {}
        for run in left:
            x, (top, low) = self.x[self.column[run]], self.ends_y(run)
            for node, terminal, y in ((run.upper, run.upper_terminal, top), (run.lower, run.lower_terminal, low)):
                y = self._tap_y(run, node) if isinstance(node, Bar) and terminal else y
                at[run, id(node)] = (x, round(y, 1))
                if terminal == wire.start:
                    first, start = run, node
                if terminal == wire.end:
                    end = (x, round(y, 1))
        points, here, node = [at[first, id(start)]], first, start
        while here:
            left.remove(here)
            node = here.lower if node is here.upper else here.upper
            points.append(at[here, id(node)])
            here = next((run for run in left if node in lanes and node in (run.upper, run.lower)), None)
            if here:
                points.append(at[here, id(node)])
        stretches = tuple((*a, *b) for a, b in zip(points, points[1:]) if a != b)
        return Line(wire.name, wire.colour, stretches, points[0], end)

"""What is put in later, on a sheet that stands: each part in paths of its own beyond all others, its wires where there is room.

The first sheet is the bottom, as it was laid out; nothing on it moves. A part comes as it is drawn alone. A wire takes the
cheapest way that is free, or is interrupted.
"""

from dataclasses import replace
from itertools import combinations

from ...arrangements.plan import BROKEN, STEP
from ..letters import SMALL, Label, meet
from .alone import alone_of
from .framed import ARROW, framed
from .gaps import is_numbered
from .interrupted import reference_places, stub_of
from .sheet import Line
from .spacing import TAPPED, bar_text, wire_text
from .taken import Taken
from .ways import name_places, tap_number, way_of

_CHANNEL = 34                # between what stands and what comes beyond it [px]
_ASIDE, _APART = 8, 70       # of a part that shares its path: least from it to what is beside, above and below it [px]
_HEAD, _FOOT = 60, 56        # from the supply to what stands high, and from what stands low to ground [px]
_FRAME = 520                 # from supply to ground, where there is no ground or it is nearer than the least [px]
_LEAST_FRAME = 250
_HIGH, _LOW = {"fuse", "breaker"}, {"lamp", "LED lamp", "resistor"}
_SHARE = {"switch": 0.3, "flasher": 0.42, "relay": 0.55, "splice": 0.45, "diode": 0.4}      # how far down others stand, of the frame [1]


class Later:
    """A sheet that stands, on its way to one with more on it."""

    def __init__(self, bottom, arrangement):
        self.bottom, self.arrangement, self.taken = bottom, arrangement, Taken()
        self.symbols, self.wires, self.labels = list(bottom.symbols), {line.wire: line for line in bottom.wires}, []
        self.metals, self.numbered, self.paths = {}, dict(enumerate(bottom.columns, 1)), dict(bottom.paths)
        self.parts, self.ways = [], [(wire.name, wire.start, wire.end) for wire in arrangement.wires if wire.name in self.wires]
        for symbol in bottom.symbols:
            self.taken.symbol(symbol)
        for line in bottom.wires:
            self.taken.line(line.lines, line.wire)
            self.taken.wired |= set(bottom.arrangement.part(line.wire).terminals)
        for metal in bottom.metals:
            self._take(metal)
        for label in bottom.labels:
            if label.owner not in ("title", "key", "path"):
                self._write(label)

    def _take(self, metal):
        """Draw a bar, or draw it anew, longer and with more wires on it."""
        self.metals[metal.key] = metal
        self.taken.forget(metal.key)
        self.taken.line(metal.lines, metal.key, True)
        self.taken.dots |= {tap[:2] for tap in metal.taps}

    def _write(self, label):
        """Write a word; of a bar what is free of it now, in the room that it had."""
        self.taken.words.append(label.box)
        metal = self.metals.get(label.owner)
        if metal and label.kind == "sheet" and metal.kind in ("splice", "ground") and ":" not in metal.key and not label.text.isdigit():
            now = replace(label, text=bar_text(self.arrangement, metal.part, metal.kind))
            is_beside = label.y - metal.lines[0][1] < 10
            label = replace(now, x=round(label.x + label.box[2] - now.box[2], 1)) if is_beside else now
        self.labels.append(label)

    # ------------------------------------------------------------- parts

    def put(self, part, row=None):
        """Put in a part: where a plan has it, ``(path, x, y)``, or beyond all that stands. [1], [step]"""
        alone = alone_of(part, self.arrangement)
        number, x, y = row or self._beyond(part, alone)
        self.parts.append((part.name, number, x, y))
        right, down = x * STEP - alone.columns[0], y * STEP - alone.top
        for index, column in enumerate(alone.columns):
            self.numbered[number + index] = column + right
        for symbol in alone.symbols:
            moved = replace(symbol, xs=tuple(each + right for each in symbol.xs), left=symbol.left + right, right=symbol.right + right,
                            top=round(symbol.top + down, 1))
            self.symbols.append(moved)
            self.taken.symbol(moved)
            self.paths[symbol.piece.key] = number + alone.columns.index(symbol.xs[0])
        for metal in alone.metals:
            lines = tuple((a + right, b + down, c + right, d + down) for a, b, c, d in metal.lines)
            self._take(replace(metal, lines=lines, taps=tuple((a + right, b + down, end) for a, b, end in metal.taps)))
        for label in alone.labels:
            self._write(replace(label, x=round(label.x + right, 1), y=round(label.y + down, 1), text=_see(label.text, number - alone.first)))

    def _beyond(self, part, alone):
        """Return where a part comes that is in no plan: beyond everything, as high as its kind stands. [step]"""
        left = alone.box[0]
        top = next((metal.lines[0][1] for metal in self.metals.values() if metal.kind == "supply"), 48)
        floor = min((metal.lines[0][1] for metal in self.metals.values() if metal.kind == "ground" and metal.lines[0][1] > top + _LEAST_FRAME),
                    default=top + _FRAME)
        tall, count = alone.low - alone.top, sum(len(metal.lines) for metal in self.metals.values() if metal.kind == "splice")
        if part.kind in _HIGH:
            y = top + _HEAD
        elif part.kind == "chassis":
            y = floor
        elif part.kind in _LOW:
            y = floor - _FOOT - tall
        else:
            y = top + _SHARE.get(part.kind, 0.5) * (floor - top) + (count % 6 - 2) * 24 * (part.kind == "splice")
            y = max(top + _HEAD, min(y, floor - _FOOT - tall))
        number, x = self._free_path(alone, y) or (max(self.numbered) + 1, round(self.right + _CHANNEL + alone.columns[0] - left))
        return number, x / STEP, round(y) / STEP

    def _free_path(self, alone, y):
        """Return the first path beyond the bottom in which a part of one path has room at a height, and where it is; nothing without one."""
        if len(alone.columns) > 1:
            return None
        left, top, right, low = alone.box
        for number, x in sorted(self.numbered.items())[len(self.bottom.columns):]:
            aside, down = x - alone.columns[0], y - alone.top
            if self.taken.is_open((left + aside - _ASIDE, top + down - _APART, right + aside + _ASIDE, low + down + _APART)):
                return number, x
        return None

    @property
    def right(self):
        """How far right anything on the sheet is. [px]"""
        taken = self.taken
        return max([box[2] for box in (*taken.pieces, *taken.words)] + [x for x, *_ in taken.uprights] + [right for _, _, right, *_ in taken.levels])

    # ------------------------------------------------------------- wires

    def keep(self, rows):
        """Draw the wires that a plan has a way for, as far as it still joins their terminals; their names once all are drawn."""
        found = []
        for name, _, _, *numbers in rows:
            wire, stretches = self.arrangement.part(name), _stretches(numbers)
            if stretches and all(self._is_at(*end) for end in zip(wire.terminals, _places(stretches), strict=True)):
                self._draw(wire, stretches)
                found.append((wire, stretches))
        for wire, stretches in found:
            self.labels += self._names(wire, stretches, True)

    def lay(self, wire):
        """Lay a wire: in the cheapest way that has room for its name, or interrupted."""
        points = way_of(self.taken, wire.terminals, self.bars)
        names = self._names(wire, [points]) if points else ()
        stretches = [points] if names else self._interrupted(wire)
        names = names or self._names(wire, stretches, True)
        self._draw(wire, stretches)
        self.labels += names

    def _interrupted(self, wire):
        """Return the two short stretches of a wire that finds no way. [px]"""
        text, stretches = f"{wire_text(wire, self.arrangement)} {ARROW} 88", []
        for terminal, other in zip(wire.terminals, reversed(wire.terminals), strict=True):
            stretches.append(stub_of(self.taken, terminal, self.bars, self._middle(other), text))
            self.taken.line(lines_of(stretches[-1]), wire.name)       # the other end keeps clear of it
        self.taken.forget(wire.name)
        return stretches

    def _names(self, wire, stretches, must=False):
        """Return what is written at a wire: its name, or at each end of one that is interrupted where it goes on; nothing without room."""
        text, names = wire_text(wire, self.arrangement), []
        self.taken.line([line for points in stretches for line in lines_of(points)], wire.name)
        for points, other in zip(stretches, reversed(stretches), strict=True):
            places = name_places(points, text) if len(stretches) == 1 else reference_places(points, f"{text} {ARROW} {self._path(other)}")
            labels = [Label(said, left, y, SMALL, "wire", wire.name) for said, left, y in places]
            names += [label for label in labels if self.taken.is_free(label.box, wire.terminals)][:1] or labels[:must]
            self.taken.words += [label.box for label in names[-1:]]
        self.taken.forget(wire.name)
        return names

    def _path(self, points):
        """Return the path in which an interrupted wire goes on: the one nearest to its terminal. [1]"""
        x = points[0][0]
        return min(self.numbered, key=lambda number: abs(self.numbered[number] - x))

    @property
    def bars(self):
        """The bar of every terminal that has one."""
        return {terminal: metal for metal in self.metals.values() for terminal in metal.terminals}

    def _middle(self, terminal):
        """Return how far right a terminal is, of a bar the middle. [px]"""
        bar = self.bars.get(terminal)
        return round((bar.lines[0][0] + bar.lines[0][2]) / 2) if bar else self.taken.pins[terminal][0]

    def _is_at(self, terminal, place):
        """Tell whether a way ends where its terminal is. [yes/no]"""
        bar = self.bars.get(terminal)
        if bar:
            return abs(bar.lines[0][1] - place[1]) < TAPPED + 0.2
        return max(abs(a - b) for a, b in zip(self.taken.pins[terminal][:2], place)) < 0.2

    def _draw(self, wire, stretches):
        """Draw a wire, and let the bars that it taps reach it."""
        first, last = stretches[0], stretches[-1]
        lines = tuple(line for points in (first, tuple(reversed(last))) for line in lines_of(points)) if first is not last else lines_of(first)
        self.wires[wire.name] = Line(wire.name, lines)
        self.taken.line(lines, wire.name)
        self.taken.wired |= set(wire.terminals)
        for terminal, (x, y) in zip(wire.terminals, (lines[0][:2], lines[-1][2:]), strict=True):
            bar = self.bars.get(terminal)
            if bar:
                (left, level, right, _), *rest = bar.lines
                self._take(replace(bar, lines=((min(left, x), level, max(right, x), level), *rest), taps=(*bar.taps, (x, y, terminal))))
                if is_numbered(bar):
                    self._write(tap_number(terminal, x, level, y > level, wire.name))
        numbers = [each for points in stretches for each in (BROKEN, *(round(each / STEP, 2) for place in points for each in place))][1:]
        self.ways.append((wire.name, *wire.terminals, *numbers))

    def sheet(self):
        """Return the sheet with everything on it."""
        whole, taken = self.arrangement, self.taken
        low = max([box[3] for box in (*taken.pieces, *taken.words)] + [low for _, _, low, *_ in taken.uprights] + [y for y, *_ in taken.levels])
        made = replace(self.bottom, arrangement=whole, width=self.right, height=low, symbols=tuple(self.symbols), metals=tuple(self.metals.values()),
                       wires=tuple(self.wires[wire.name] for wire in whole.wires), labels=tuple(self.labels), paths=self.paths,
                       columns=tuple(x for _, x in sorted(self.numbered.items())), later=tuple(self.parts), ways=tuple(self.ways))
        return framed(made, self.numbered)


def with_later(bottom, arrangement, later=(), ways=()):
    """Return a sheet with all of an arrangement that is not on it, or nothing where a plan has it upon what stands there.

    Parameters
    ----------
    bottom : Sheet
        Of what was laid out at first.
    arrangement : Arrangement
    later : tuple of (str, int, float, float)
        As in a plan: parts, the first path of each, how far right it is and how far down it begins. [text], [1], [step]
    ways : tuple of (str, str, str, float, ...)
        As in a plan. [step]
    """
    made = Later(bottom, arrangement)
    for name, *row in later:
        made.put(arrangement.part(name), row)
    if any(meet(one, other) for one, other in combinations(made.taken.pieces, 2)):
        return None
    made.keep([row for row in ways if len(row) > 3])
    there = {symbol.piece.part for symbol in made.symbols} | {metal.part for metal in made.metals.values()}
    for part in arrangement.parts:
        if part.name not in there:
            made.put(part)
    for wire in arrangement.wires:
        if wire.name not in made.wires:
            made.lay(wire)
    return made.sheet()


def lines_of(points):
    """Return the stretches between points, those of no length left out. [px]"""
    return tuple((*a, *b) for a, b in zip(points, points[1:]) if a != b)


def _stretches(numbers):
    """Return the points of a way as a plan has it: of one that is interrupted from either terminal to where it ends. [px]"""
    at = next((place for place, each in enumerate(numbers) if each == BROKEN), len(numbers))
    return [tuple((round(x * STEP, 1), round(y * STEP, 1)) for x, y in zip(part[::2], part[1::2])) for part in (numbers[:at], numbers[at + 1:]) if len(part) > 3]


def _see(text, more):
    """Return a word of a piece with the paths that it names so much further. [text]"""
    if not text.startswith(f"{ARROW} "):
        return text
    return f"{ARROW} " + ", ".join(str(int(number) + more) for number in text[2:].split(", "))


def _places(stretches):
    """Return the two places where a wire is joined: each stretch of one that is interrupted begins at one. [px]"""
    return (stretches[0][0], stretches[0][-1]) if len(stretches) == 1 else (stretches[0][0], stretches[1][0])

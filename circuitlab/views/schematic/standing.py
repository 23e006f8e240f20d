"""A sheet that stands, and what is drawn on it later: nothing that is there moves, bars grow to the wires that come."""

from dataclasses import replace

from ...arrangements.plan import BROKEN, STEP
from .alone import alone_of
from .framed import framed
from .gaps import is_numbered
from .sheet import Line
from .spacing import TAPPED, bar_text
from .taken import Taken
from .ways import lines_of, tap_number


class Standing:
    """A sheet on its way to one with more on it.

    Parameters
    ----------
    bottom : Sheet
        Of what was laid out at first.
    arrangement : Arrangement
        With what comes later.
    """

    def __init__(self, bottom, arrangement):
        self.bottom, self.arrangement, self.taken = bottom, arrangement, Taken()
        self.symbols, self.wires, self.labels = list(bottom.symbols), {line.wire: line for line in bottom.wires}, []
        self.metals, self.numbered, self.paths = {}, dict(enumerate(bottom.columns, 1)), dict(bottom.paths)
        self._later, self._ways = [], [(wire.name, *wire.terminals) for wire in arrangement.wires if wire.name in self.wires]
        for symbol in bottom.symbols:
            self.taken.symbol(symbol)
        for line in bottom.wires:
            self.taken.line(line.lines, line.wire)
            self.taken.wired |= set(bottom.arrangement.part(line.wire).terminals)
        for metal in bottom.metals:
            self._take(metal)
        for label in bottom.labels:
            if label.owner not in ("title", "key", "path"):
                self.write(label)

    @property
    def bars(self):
        """The bar of every terminal that has one which grows to the wires that come."""
        return {terminal: metal for metal in self.metals.values() for terminal in metal.terminals if terminal not in self.taken.taps}

    @property
    def right(self):
        """How far right anything is. [px]"""
        taken = self.taken
        return max([box[2] for box in (*taken.pieces, *taken.words)] + [x for x, *_ in taken.uprights] + [right for _, _, right, *_ in taken.levels])

    @property
    def low(self):
        """How far down anything is. [px]"""
        taken = self.taken
        return max([box[3] for box in (*taken.pieces, *taken.words)] + [low for _, _, low, *_ in taken.uprights] + [y for y, *_ in taken.levels])

    def middle(self, terminal):
        """Return how far right a terminal is, of a bar the middle. [px]"""
        bar = self.bars.get(terminal)
        return round((bar.lines[0][0] + bar.lines[0][2]) / 2) if bar else self.taken.pins[terminal][0]

    def is_at(self, terminal, place):
        """Tell whether a wire that ends at a place is joined to a terminal there. [yes/no]"""
        bar = self.bars.get(terminal)
        if bar:
            return abs(bar.lines[0][1] - place[1]) < TAPPED + 0.2
        apart = [abs(a - b) for a, b in zip(self.taken.pins[terminal][:2], place)]
        return apart[0] < 0.2 and apart[1] < 0.2 + 2 * TAPPED * (terminal in self.taken.taps)

    def put(self, part, number, x, y):
        """Draw a part: its first path has that number and is so far right, and it begins so far down. [1], [step]"""
        alone = alone_of(part, self.arrangement)
        self._later.append((part.name, number, x, y))
        right, down = round(x * STEP - alone.columns[0], 1), round(y * STEP - alone.top, 1)
        for index, column in enumerate(alone.columns):
            self.numbered[number + index] = column + right
        moved = alone.moved(right, down, number)
        for symbol in moved.symbols:
            self.symbols.append(symbol)
            self.taken.symbol(symbol)
            self.paths[symbol.piece.key] = number + moved.columns.index(symbol.xs[0])
        for metal in moved.metals:
            self._take(metal)
            if metal.kind == "splice":
                self.taken.splice(metal)
        for label in moved.labels:
            self.write(label)

    def write(self, label):
        """Write a word; of a bar what is free of it now, in the room that it had."""
        self.taken.words.append(label.box)
        left, _, right, _ = label.box
        self.labels.append(self._told(label, right - left))

    def _told(self, label, room=None):
        """Return a word at a bar with what is free of the bar now, in some room; any other word as it is. [px]"""
        bar = self.metals.get(label.owner)
        if not bar or label.kind != "sheet" or not is_numbered(bar):
            return label
        now = replace(label, text=bar_text(self.arrangement, bar.key, bar.kind, room=room))
        is_beside = label.y - bar.lines[0][1] < 10
        return replace(now, x=round(label.x + label.box[2] - now.box[2], 1)) if is_beside else now

    def _whole(self, label):
        """Return a word with all that can be told of its bar, where there is room for more than it had."""
        (left, top, right, low), (far, _, end, _) = label.box, self._told(label).box
        more = (far, top, left, low) if far < left - 0.1 else (right, top, end, low)
        return self._told(label) if more[2] - more[0] > 0.1 and self.taken.is_free(more) else label

    def draw(self, wire, stretches):
        """Draw a wire through the points of its one stretch, or of the two of one that is interrupted, each from its terminal. [px]"""
        lines = lines_of(stretches[0]) + tuple(line for points in stretches[1:] for line in lines_of(points[::-1]))
        self.wires[wire.name] = Line(wire.name, lines)
        self.taken.line(lines, wire.name)
        self.taken.wired |= set(wire.terminals)
        for number in self.numbers(wire, stretches):
            self.write(number)
        for terminal, (x, y) in zip(wire.terminals, places_of(stretches), strict=True):
            bar = self._bar(terminal)
            if bar:
                (left, level, right, _), *rest = bar.lines
                self._take(replace(bar, lines=((min(left, x), level, max(right, x), level), *rest), taps=(*bar.taps, (x, y, terminal))))
        points = [[round(each / STEP, 2) for place in own for each in place] for own in stretches]
        self._ways.append((wire.name, *wire.terminals, *points[0], *(each for own in points[1:] for each in (BROKEN, *own))))

    def _bar(self, terminal):
        """Return the bar of a terminal, nothing for one of a piece."""
        return self.metals.get(self.taken.taps.get(terminal)) or self.bars.get(terminal)

    def numbers(self, wire, stretches):
        """Return the numbers of the terminals that a wire taps on splices and chassis."""
        found = []
        for terminal, (x, y) in zip(wire.terminals, places_of(stretches), strict=True):
            bar = self._bar(terminal)
            if bar and is_numbered(bar):
                level = bar.lines[0][1]
                found.append(tap_number(terminal, x, level, y > level, wire.name))
        return found

    def _take(self, metal):
        """Draw a bar, or draw it anew, longer and with more wires on it."""
        self.metals[metal.key] = metal
        self.taken.forget(metal.key)
        self.taken.line(metal.lines, metal.key, True)
        self.taken.dots |= {tap[:2] for tap in metal.taps}

    def sheet(self):
        """Return the sheet with everything on it."""
        whole = self.arrangement
        made = replace(self.bottom, arrangement=whole, width=self.right, height=self.low, symbols=tuple(self.symbols), metals=tuple(self.metals.values()),
                       wires=tuple(self.wires[wire.name] for wire in whole.wires), labels=tuple(map(self._whole, self.labels)), paths=self.paths,
                       columns=tuple(x for _, x in sorted(self.numbered.items())), later=tuple(self._later), ways=tuple(self._ways))
        return framed(made, self.numbered)


def places_of(stretches):
    """Return the two places where a wire is joined: each stretch of one that is interrupted begins at one. [px]"""
    return stretches[0][0], stretches[-1][-1 if len(stretches) == 1 else 0]

"""A part drawn alone, as it comes to a sheet that stands already; and a circuit without some of its parts and wires."""

from dataclasses import dataclass, replace
from math import inf

from .draft import drafted
from .framed import ARROW
from .spacing import bar_text

_SPLICE_PITCH, _GROUND = 46, 120     # from one terminal of a splice to the next; how long a chassis comes [px]
_BARS = 24                   # from one bar of a block to the words of the next [px]
_ASIDE = 10                  # from one way of a fuse block to the next, words and all [px]
_WIDEST = 100                # the number of the first path: no reference to a path comes out wider than it is drawn alone [1]


@dataclass(frozen=True)
class Alone:
    """A part drawn alone: its symbols, metals and labels, where its paths are, the number of the first, and the box round it. [px]"""

    symbols: tuple
    metals: tuple
    labels: tuple
    columns: tuple
    first: int
    box: tuple

    @property
    def top(self):
        """How far down its pieces or bars begin. [px]"""
        return min([symbol.top for symbol in self.symbols] + [metal.lines[0][1] for metal in self.metals])

    @property
    def low(self):
        """How far down its pieces or bars reach. [px]"""
        return max([symbol.box[3] for symbol in self.symbols] + [metal.lines[0][1] for metal in self.metals])

    def moved(self, right, down, number):
        """Return it so far to the right and down, its first path of another number. [px], [1]"""
        symbols = tuple(replace(symbol, xs=tuple(x + right for x in symbol.xs), left=symbol.left + right, right=symbol.right + right,
                                top=round(symbol.top + down, 1)) for symbol in self.symbols)
        metals = tuple(replace(metal, lines=tuple((a + right, b + down, c + right, d + down) for a, b, c, d in metal.lines),
                               taps=tuple((x + right, y + down, end) for x, y, end in metal.taps)) for metal in self.metals)
        labels = tuple(replace(label, x=round(label.x + right, 1), y=round(label.y + down, 1), text=self._see(label.text, number)) for label in self.labels)
        left, top, far, low = self.box
        return Alone(symbols, metals, labels, tuple(x + right for x in self.columns), number, (left + right, top + down, far + right, low + down))

    def _see(self, text, number):
        """Return a word with the paths of the part's other pieces as they are numbered there. [text]"""
        words, arrow, paths = text.rpartition(ARROW)
        if not arrow or len(self.symbols) < 2 or not paths.replace(",", "").replace(" ", "").isdecimal():
            return text
        return f"{words}{arrow} " + ", ".join(str(int(path) + number - self.first) for path in paths.split(","))


def alone_of(part, arrangement):
    """Return a part of an arrangement drawn alone, no wire on it."""
    battery = arrangement.battery.name
    sheet = drafted(only(arrangement, lambda each: each.name in (part.name, battery), ()), (), _WIDEST)
    names = {part.name, *(each.name for each in part.seats)}
    symbols = tuple(symbol for symbol in sheet.symbols if symbol.piece.part in names)
    metals = tuple(_wide(metal) for metal in sheet.metals if metal.part == part.name)
    keys = {symbol.piece.key for symbol in symbols} | {metal.key for metal in metals} | names
    if any(seat.guards for seat in part.seats):
        symbols, metals, sheet = _abreast(part, symbols, metals, sheet)
    labels = tuple(_roomy(label, metals, arrangement) for label in sheet.labels if label.owner in keys)
    if part.is_metal:
        metals, labels = _in_a_row(metals, labels)
    xs = {x for symbol in symbols for x in symbol.xs}
    columns = tuple(x for x in sheet.columns if x in xs) or (metals[0].lines[0][0],)
    boxes = [thing.box for thing in (*symbols, *labels)] + [line for metal in metals for line in metal.lines]
    first = sheet.columns.index(columns[0]) + _WIDEST if xs else _WIDEST
    return Alone(symbols, metals, labels, columns, first, (min(box[0] for box in boxes), min(box[1] for box in boxes),
                                                            max(box[2] for box in boxes), max(box[3] for box in boxes)))


def _abreast(part, symbols, metals, sheet):
    """Return symbols, metals and sheet of a fuse block with its ways side by side at one height, rail after rail, as they are numbered."""
    order = [f"{part.name}:{way}" for ways in part.rails.values() for way in ways]
    top, x, moved = max(symbol.top for symbol in symbols), None, {}
    for symbol in sorted(symbols, key=lambda symbol: order.index(symbol.piece.terminals[-1])):
        boxes = [symbol.box, *(label.box for label in sheet.labels if label.owner == symbol.piece.key)]
        left, right = symbol.xs[0] - min(box[0] for box in boxes), max(box[2] for box in boxes) - symbol.xs[0]
        x = min(symbol.xs) if x is None else round(x + left + _ASIDE)
        moved[symbol.piece.key] = x - symbol.xs[0], top - symbol.top
        x += right
    placed = tuple(replace(symbol, xs=tuple(at + moved[symbol.piece.key][0] for at in symbol.xs), left=symbol.left + moved[symbol.piece.key][0],
                           right=symbol.right + moved[symbol.piece.key][0], top=top) for symbol in symbols)
    labels = tuple(replace(label, x=label.x + moved.get(label.owner, (0, 0))[0], y=label.y + moved.get(label.owner, (0, 0))[1]) for label in sheet.labels)
    rails = tuple(_rail(metal, [symbol.xs[0] for symbol in placed if metal.key in symbol.piece.terminals], top) for metal in metals)
    return placed, rails, replace(sheet, labels=labels, columns=tuple(sorted(symbol.xs[0] for symbol in placed)))


def _in_a_row(metals, labels):
    """Return the bars of a block one right of the other, each with its words, so that no wire of one has to cross another."""
    (first, y, _, _), right, bars, words = metals[0].lines[0], None, [], []
    for metal in metals:
        own = [label for label in labels if label.owner == metal.key]
        (left, was, far, _), *_ = metal.lines
        aside = first - left if right is None else right + _BARS + max([left - label.x for label in own], default=0) - left
        bars.append(replace(metal, lines=tuple((a + aside, b + y - was, c + aside, d + y - was) for a, b, c, d in metal.lines)))
        words += [replace(label, x=round(label.x + aside, 1), y=label.y + y - was) for label in own]
        right = far + aside
    return tuple(bars), (*words, *(label for label in labels if label.owner not in {metal.key for metal in metals}))


def _rail(metal, xs, top):
    """Return the metal that feeds some ways of a fuse block, level above them."""
    (_, y, _, _), (*_, low) = metal.lines[0], metal.lines[-1]
    y += top - low
    return replace(metal, lines=((min(xs), y, max(xs), y), *((x, y, x, top) for x in sorted(xs))))


def _roomy(label, metals, arrangement):
    """Return what is written at a bar with room for each of its terminals: which ones are free changes with every wire."""
    bar = next((metal for metal in metals if metal.key == label.owner and metal.kind in ("splice", "ground")), None)
    if not bar:
        return label
    whole = replace(label, text=bar_text(arrangement, bar.key, bar.kind, room=inf))
    is_beside = label.y - bar.lines[0][1] < 10
    return replace(whole, x=round(label.x + label.box[2] - whole.box[2], 1)) if is_beside else whole


def _wide(metal):
    """Return the metal of a splice wide enough for each of its wires, and that of a chassis to be seen."""
    (left, y, right, _), *rest = metal.lines
    wide = {"splice": _SPLICE_PITCH * (len(metal.terminals) - 1), "ground": _GROUND}.get(metal.kind, right - left)
    return replace(metal, lines=((left, y, left + wide, y), *rest))


def only(arrangement, stays, wires):
    """Return an arrangement with some of its parts and wires; nothing where the battery is not among them.

    Parameters
    ----------
    arrangement : Arrangement
        As a sheet sees it.
    stays : function
        Tells of a part whether it stays.
    wires : container of str
        Names of the wires that stay, where both ends do. [text]
    """
    parts = [part for part in arrangement.parts if stays(part)]
    names = {part.name for part in parts}
    kept = [wire for wire in arrangement.wires if wire.name in wires and all(end.partition(":")[0] in names for end in wire.terminals)]
    if arrangement.battery.name not in names:
        return None
    if len(parts) == len(arrangement.parts) and len(kept) == len(arrangement.wires):
        return arrangement
    names |= {wire.name for wire in kept}
    worked = {getattr(part, "control", "") for part in parts}
    return replace(arrangement, parts=parts, wires=kept, controls=[control for control in arrangement.controls if control.name in worked],
                   not_known=[name for name in arrangement.not_known if name in names])

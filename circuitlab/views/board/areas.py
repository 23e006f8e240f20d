"""Areas: where on a drawing a hand meets parts and wires, and every terminal, in either form."""

from dataclasses import dataclass

from ...parts import Switch
from ..faces import face_of
from ..faces.handles import LEAST as ON_PAGE
from ..style import colour_words, named

LEAST = round(ON_PAGE * 1.06, 1)        # so much is left of it where letters of 10.5 px are shown as 10 px


@dataclass(frozen=True)
class Area:
    """One thing that can be pointed at or focused.

    Parameters
    ----------
    key : str
        Of a piece, a bar or a wire; no two have the same. [text]
    kind : {"part", "wire", "terminal"}
    name : str
        Part, wire or terminal. [text]
    box : tuple of float
        Left, top, right, bottom; on the page at least 24 px each way. [px]
    words : str
        What it is, without its state. [text]
    lines : tuple
        Of a wire or bar, its stretches. [px]
    control : str
        What a hand moves here. [text]
    start, end : str
        Of a wire, the terminals it is on. [text]
    ends : tuple of str
        Of a piece or bar, its own terminals. [text]
    """

    key: str
    kind: str
    name: str
    box: tuple
    words: str
    lines: tuple = ()
    control: str = ""
    start: str = ""
    end: str = ""
    ends: tuple = ()


def schematic_areas(sheet):
    """Return every area of a schematic and ``{terminal: (x, y)}``. [px]"""
    arrangement, areas, ends = sheet.arrangement, [], {}
    for symbol in sheet.symbols:
        places = {terminal: (x, y) for terminal, x, y, _ in symbol.pins()}
        areas.append(_part(arrangement.part(symbol.piece.part), symbol.piece.key, symbol.box, ends=places))
        ends |= places
    for metal in sheet.metals:
        areas.append(_part(arrangement.part(metal.part), f"bar {metal.key}", _round(metal.lines[:1]), metal.lines, [end for *_, end in metal.taps]))
        for x, y, terminal in metal.taps:
            ends.setdefault(terminal, (x, y))
    return (*areas, *_wires(arrangement, sheet.wires), *_terminals(ends)), ends


def attached_areas(sheet):
    """Return every area of an attached drawing and ``{terminal: (x, y)}``. [px]"""
    arrangement, ends = sheet.arrangement, {}
    areas = [_part(arrangement.part(block.part), block.part, block.box, ends=[end for end, *_ in block.pins()]) for block in sheet.blocks]
    for block in sheet.blocks:
        part = arrangement.part(block.part)
        areas += [_part(arrangement.part(name), name, (x - radius, y - radius, x + radius, y + radius))
                  for name, (x, y, radius) in face_of(part).seats(part, block).items()]
        for terminal, x, y in block.pins():
            ends.setdefault(terminal, (x, y))
    return (*areas, *_wires(arrangement, sheet.routes), *_terminals(ends)), ends


def _part(part, key, box, lines=(), ends=()):
    control = part.control if isinstance(part, Switch) else ""
    piece = key.rpartition(".")[2] if "." in key.removeprefix(part.name) else ""
    return Area(key, "part", part.name, _wide(box), f"{named(part)}, {part.kind}{f', {piece}' if piece.isalpha() else ''}", lines, control,
                ends=tuple(dict.fromkeys(ends)))


def _wires(arrangement, routes):
    for route in routes:
        wire = arrangement.part(route.wire)
        words = f"wire {wire.name}, {colour_words(wire.colour)}, from {wire.start} to {wire.end}"
        yield Area(wire.name, "wire", wire.name, _wide(_round(route.lines)), words, route.lines, start=wire.start, end=wire.end)


def _terminals(ends):
    return [Area(f"end {name}", "terminal", name, _wide((x, y, x, y)), f"terminal {name}") for name, (x, y) in ends.items()]


def _round(lines):
    """Return the box round stretches. [px]"""
    xs = [x for line in lines for x in line[::2]]
    ys = [y for line in lines for y in line[1::2]]
    return min(xs), min(ys), max(xs), max(ys)


def _wide(box):
    """Return a box made wide and tall enough for a finger. [px]"""
    left, top, right, low = box
    aside, above = max(0.0, LEAST - (right - left)) / 2, max(0.0, LEAST - (low - top)) / 2
    return round(left - aside, 1), round(top - above, 1), round(right + aside, 1), round(low + above, 1)

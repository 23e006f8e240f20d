"""Volts and amps on a sheet: small labels where there is room, and a table below for those that find none.

Where they stand is settled once for a sheet, wide enough for any reading, so
that a live picture does not jump. The numbers are the operating point's.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from ..letters import Label, in_lines, meet, text_width
from ..point_words import amps_text, doubt_words, floating_words, volts_text

SIZE = 9                     # letter height [px]
_LINE = 12                   # from one line of the table to the next [px]
_APART, _STEP = 4, 5         # from a line to its reading; how finely places are tried [px]
_WIDEST = {"volts": "\N{MINUS SIGN}88.8 V", "amps": "888 mA \N{DOWNWARDS ARROW}"}


@dataclass(frozen=True)
class Slot:
    """Where one reading stands: ``name`` is a wire for amps, a terminal for volts; no place means in the table."""

    kind: str
    name: str
    x: float = None
    y: float = None
    arrow: tuple = (0, 1)
    ends: bool = False       # x is where it ends, not where it begins


@lru_cache(maxsize=64)
def slots(sheet):
    """Return a slot for the amps of every wire and the volts of every bar and wired terminal of a sheet."""
    taken = [label.box for label in sheet.labels] + [symbol.box for symbol in sheet.symbols]
    taken += [_box(line, 3) for own in (*sheet.wires, *sheet.metals) for line in own.lines]
    taken += [_box((symbol.xs[0] - symbol.link, y := symbol.top + symbol.height / 2, symbol.xs[0], y), 2)
              for symbol in sheet.symbols if symbol.link]
    found, barred = [], {terminal for metal in sheet.metals for terminal in metal.terminals}
    for line in sheet.wires:
        found.append(_placed(Slot("amps", line.wire), line.lines, taken))
    for metal in sheet.metals:
        found.append(_placed(Slot("volts", metal.terminals[0]), metal.lines, taken))
    for symbol in sheet.symbols:
        for terminal, x, y, up in symbol.pins():
            if terminal not in barred and terminal not in sheet.arrangement.loose:
                near = ((x, y - 13, x, y - 2) if up else (x, y + 2, x, y + 13),)
                found.append(_placed(Slot("volts", terminal), near, taken))
    return tuple(found)


def _placed(slot, lines, taken):
    """Return the slot with the first free place along its lines, the longest stretch and its middle first."""
    wide = text_width(_WIDEST[slot.kind], SIZE)
    for x, y, to_x, to_y in sorted(lines, key=lambda line: -abs(line[0] - line[2]) - abs(line[1] - line[3])):
        long = abs(to_x - x) + abs(to_y - y)
        arrow = ((to_x > x) - (to_x < x), (to_y > y) - (to_y < y))
        for away in range(0, int(long / 2) + 1, _STEP):
            for middle in ((y + to_y) / 2 + away, (y + to_y) / 2 - away) if x == to_x else \
                    ((x + to_x) / 2 + away, (x + to_x) / 2 - away):
                places = ([(x + _APART, middle + 3), (x - _APART - wide, middle + 3)] if x == to_x else
                          [(middle - wide / 2, y - 5), (middle - wide / 2, y + 11)])
                for number, (left, base) in enumerate(places):
                    label = Label(_WIDEST[slot.kind], left, base, SIZE, "reading")
                    if left > 0 and not any(meet(label.box, other) for other in taken):
                        taken.append(label.box)
                        ends = x == to_x and number == 1
                        return replace(slot, x=round(left + wide * ends, 1), y=round(base, 1), arrow=arrow, ends=ends)
    return slot


def _box(line, half):
    x, y, to_x, to_y = line
    return min(x, to_x) - half, min(y, to_y) - half, max(x, to_x) + half, max(y, to_y) + half


def reading_labels(sheet, point, top):
    """Return every reading of a point as a label, those without a place in lines from ``top`` on, and where they end.

    Parameters
    ----------
    sheet : Sheet
    point : OperatingPoint
        Settled.
    top : float
        Where the table may begin. [px]

    Returns
    -------
    tuple of (list of Label, float)
        Labels and the end of the table. [px]
    """
    labels, rest = [], {}
    for slot in slots(sheet):
        arrow = None if slot.x is None else slot.arrow
        text = amps_text(point.current(slot.name), arrow) if slot.kind == "amps" else volts_text(point, slot.name)
        if slot.x is None:
            rest.setdefault(f"{text} {'in' if slot.kind == 'amps' else 'at'}", []).append(slot.name)
        else:
            x = slot.x - text_width(text, SIZE) * slot.ends
            labels.append(Label(text, round(x, 1), slot.y, SIZE, "reading", slot.name))
    table = "; ".join(f"{text} {', '.join(names)}" for text, names in rest.items())
    floats = any(point.is_floating(slot.name) for slot in slots(sheet) if slot.kind == "volts")
    told = [words for words in (table, doubt_words(point), *floating_words(floats)) if words]
    for line in [line for words in told for line in in_lines(words, sheet.width - 20, 99, SIZE)]:
        top += _LINE
        labels.append(Label(line, 10.0, round(top, 1), SIZE, "reading"))
    return labels, top

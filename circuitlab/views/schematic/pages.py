"""A long sheet in pages: cut between two paths where no symbol lies across and few level lines pass.

What goes on is named at the edge with the page it goes on to. Paths keep their
numbers over all pages, so cross-references stay true.
"""

from dataclasses import replace
from math import ceil

from ..edges import EDGE, clipped, goes_on, page_prefixes, title_label
from .layout import lay_out
from .picture import fill
from .sheet import Sheet

MOST = 30                    # paths on one page


def pages(arrangement, point=None, prefix="", background="", most=MOST, **more):
    """Return the schematic in as many pages as it takes, each an SVG text.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint, optional
        As for ``draw``.
    prefix : str
        Put before every id; the number of the page follows it. [text]
    background : str
        Colour behind each page. [text]
    most : int
        Paths on one page, about. [1]
    more
        ``trace``, ``marked`` and ``readings``, as for ``draw``.

    Returns
    -------
    tuple of str
        One picture, the same as ``draw`` makes, when one page is enough.
    """
    sheets = cut(lay_out(arrangement), most)
    return tuple(fill(sheet, arrangement, point, own, background, **more)
                 for sheet, own in zip(sheets, page_prefixes(prefix, len(sheets)), strict=True))


def cut(sheet, most=MOST):
    """Return a sheet in pages, each a sheet of its own with the lines that leave it named at its edge."""
    cuts = _cuts(sheet, most)
    return tuple(_page(sheet, number, cuts) for number in range(1, len(cuts) + 2)) if cuts else (sheet,)


def _cuts(sheet, most):
    """Return the paths with which a new page begins: no symbol lies across, and few lines go on. [1]"""
    count, cuts, first = len(sheet.columns), [], 0
    while count - first > most * 1.2:
        wished = first + round((count - first) / ceil((count - first) / most))
        tries = [(cost, column) for column in range(max(first + 2, wished - most // 4), min(wished + most // 4, count - 1))
                 if (cost := _cost(sheet, column, wished)) is not None]
        if not tries:
            break
        first = min(tries)[1]
        cuts.append(first)
    return cuts


def _cost(sheet, column, wished):
    """Return how bad a cut before a path is, or None where a symbol lies across. [1]"""
    x = _edge(sheet, column)
    if any(min(symbol.xs) < x < max(symbol.xs) for symbol in sheet.symbols):
        return None
    lines = [line for own in (*sheet.wires, *sheet.metals) for line in own.lines]
    return sum(min(a, b) < x < max(a, b) for a, _, b, _ in lines) + 0.4 * abs(column - wished)


def _edge(sheet, column):
    return (sheet.columns[column - 1] + sheet.columns[column]) / 2


def _anchor(sheet, label):
    """Return the place of the path a label belongs to: it begins at it, ends at it, or stands under it. [px]"""
    left, _, right, _ = label.box
    begins = [x for x in sheet.columns if -1 < left - x < 7]
    ends = [x for x in sheet.columns if -1 < x - right < 11]
    under = [x for x in sheet.columns if left - 1 < x < right + 1]
    before = [x for x in sheet.columns if x <= left]
    return (ends[:1] if label.kind == "sheet" and ends and not begins else begins or ends or under or before[-1:]
            or [sheet.columns[0]])[0]


def _page(sheet, number, cuts):
    """Return one page; what belongs to a path goes with it, even where it reaches over the edge."""
    last = len(cuts) + 1
    left, right = [-1.0, *(_edge(sheet, column) for column in cuts), sheet.width + 1][number - 1:number + 1]
    places = {symbol.piece.key: min(symbol.xs) for symbol in sheet.symbols}
    symbols = [symbol for symbol in sheet.symbols if left < min(symbol.xs) < right]
    labels = [label for label in sheet.labels if label.owner not in ("title", "key")
              and left < (places[label.owner] if label.kind == "piece" else _anchor(sheet, label)) < right]
    boxes = [thing.box for thing in (*symbols, *labels)]
    near = min([left, *(box[0] for box in boxes)]) - 4 if number > 1 else 0.0
    far = max([right, *(box[2] for box in boxes)]) + 4 if number < last else sheet.width
    shift, out = near - (EDGE if number > 1 else 0), {}

    def within(own, name):
        inside, leaves = clipped(own, left, right, shift, (near, far))
        out.update(dict.fromkeys(leaves, name))
        return inside

    wires = [replace(line, lines=within(line.lines, line.wire)) for line in sheet.wires]
    metals = [replace(metal, lines=within(metal.lines, metal.key),
                      taps=tuple((x - shift, y, end) for x, y, end in metal.taps if left < x < right))
              for metal in sheet.metals]
    width = far - shift + (EDGE if number < last else 0)
    placed = [title_label(sheet.arrangement.title, width, f", page {number} of {last}"),
              *goes_on(out, number, near - shift, far - shift)]
    placed += [replace(label, x=round(label.x - shift, 1)) for label in labels]
    shifted = tuple(replace(symbol, xs=tuple(x - shift for x in symbol.xs), left=symbol.left - shift,
                            right=symbol.right - shift,
                            link=symbol.link if min(symbol.xs) - symbol.link > left else 0.0) for symbol in symbols)
    return Sheet(sheet.arrangement, width, sheet.height, shifted, tuple(line for line in wires if line.lines),
                 tuple(metal for metal in metals if metal.lines), tuple(placed), (), sheet.paths,
                 tuple(x - shift for x in sheet.columns if left < x < right))

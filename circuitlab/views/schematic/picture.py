"""The picture: a sheet filled with an operating point, as SVG text. Chooses and fills in; it computes nothing.

What is live is heavy, what is dead is thin, what floats is dashed, a ghost is
dash-dotted; colours only repeat what letters and weights say. Lines that have no colour of their own
take that of the page's text, so the picture follows a light or a dark page.
"""

from functools import lru_cache

from ...ground.showing import Drawing
from ..edges import key_of
from ..emphasis import chosen, emphasis, emphasis_words, stands_out
from ..faces import live_texts
from ..faces.pen import drawn
from ..point_words import labels_below, state_of_wire
from ..strokes import (NEUTRAL, dashes_of, glow, head, lost_ends, part_group, path_of, pin, ring, slug, state_of,
                       states_at, wire_group, words)
from ..style import safe
from .layout import lay_out
from .readings import reading_labels
from .words import describe

RAIL = {"live": 5.4, "ghost": 3.6, "dead": 1.8, "doubtful": 1.8, "floating": 2.0, "plain": 3.2}
_MOST_KEPT = 5000


def draw(arrangement, point=None, prefix="", background="", trace=(), marked=(), readings=False, like=None):
    """Return the schematic as SVG text.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint, optional
        Fills in contact positions, what is live, and lamp volts. Without it everything is at rest.
    prefix : str
        Put before every id, so that several pictures can share a page. [text]
    background : str
        Colour behind the picture; empty lets the page shine through. [text]
    trace : iterable of str
        Parts, wires and terminals to be shown as one path, on a grey band. [text]
    marked : iterable of str
        Parts and wires to be marked with beads, such as what differs from another arrangement. [text]
    readings : bool
        Whether to write volts at terminals and bars and amps at wires; only with a settled point. [yes/no]
    like : Sheet, optional
        The sheet before a change: what is the same keeps its order.

    Returns
    -------
    str
        The same text for the same input.

    >>> import circuitlab as cl
    >>> cart = cl.arrangement("one-fused-lamp")
    >>> drawing = draw(cart, cl.operating_point(cart, {"lamp switch": "on"}))
    >>> drawing[:4], "12.4 V" in drawing
    ('<svg', True)
    """
    sheet = lay_out(arrangement, like) if like else lay_out(arrangement)
    return Drawing(fill(sheet, arrangement, point, prefix, background, trace, marked, readings))


def fill(sheet, arrangement, point=None, prefix="", background="", trace=(), marked=(), readings=False):
    """Return a sheet filled with an operating point as SVG text; everything is as for ``draw``."""
    settled = point is not None and point.is_settled
    trace, marked = chosen(arrangement, trace), chosen(arrangement, marked)
    below, low = _below(sheet, arrangement, point, trace, marked, readings and settled)
    spoken = " ".join([describe(arrangement, point, sheet), *emphasis_words(arrangement, trace, marked)])
    pieces = [head("schematic", (sheet.width, low), spoken, prefix, background)]
    pieces += [_stand_out(sheet, kind, names) for kind, names in (("trace", trace), ("marked", marked)) if names]
    pieces += _lines(sheet, arrangement, point, prefix, True)
    pieces += _symbols(sheet, arrangement, point, prefix)
    pieces += _rest(sheet, settled)
    return "".join(pieces + [words(label) for label in below]) + "</svg>"


def state_layer(sheet, arrangement, point, prefix=""):
    """Return what changes with the state of parts and with what is live, as SVG without its ``svg`` element.

    Lamps have no glow and no values in it: those change from frame to frame, and so are told apart. [text]
    """
    settled, states = point.is_settled, states_at(arrangement, point)
    volts = point if settled else None
    live = live_texts(arrangement, volts, states)
    live |= {key: "" for key in live if arrangement.part(key[0]).shines}
    symbols = [_symbol(sheet, symbol, volts, states, prefix, live, False, False) for symbol in sheet.symbols]
    return "".join([*_lines(sheet, arrangement, point, prefix, False), *symbols])


def letters(sheet):
    """Return the words of a sheet that no operating point changes, as SVG without its ``svg`` element. [text]"""
    labels = [label for label in sheet.labels if label.kind in ("wire", "piece") and not label.live]
    return "".join([*map(words, labels), *_rest(sheet, True)])


def _lines(sheet, arrangement, point, prefix, letters):
    """Return every wire and every bare bar of metal by its state."""
    settled, pieces = point is not None and point.is_settled, []
    for line in sheet.wires:
        wire = arrangement.part(line.wire)
        state = state_of_wire(wire, point) if settled else "plain"
        pieces.append(_wire(sheet, line, state, prefix, letters, lost_ends(wire)))
    for metal in sheet.metals:
        state = state_of(metal.terminals[0], point if settled else None)
        pieces.append(_metal(metal, state, prefix))
    return pieces


def _symbols(sheet, arrangement, point, prefix):
    """Return every symbol by its state. [SVG]"""
    settled, states = point is not None and point.is_settled, states_at(arrangement, point)
    volts = point if settled else None
    live = live_texts(arrangement, volts, states)
    return [_symbol(sheet, symbol, volts, states, prefix, live, True) for symbol in sheet.symbols]


def _below(sheet, arrangement, point, trace, marked, readings):
    """Return the readings, the ambient, the words about what stands out and a verdict, and where the picture ends. [px]"""
    labels, low = reading_labels(sheet, point, sheet.height) if readings else ([], sheet.height)
    has_table = low > sheet.height
    said = emphasis_words(arrangement, trace, marked)
    below, end = labels_below(arrangement, point, sheet.width, low + 12 * has_table, said)
    return labels + below, end + 4 * has_table


def _stand_out(sheet, kind, names):
    """Return the band or the beads of everything among the names."""
    lines = [(line.wire, line.lines) for line in sheet.wires if line.wire in names]
    lines += [(metal.key, metal.lines) for metal in sheet.metals if stands_out(metal.part, (), names)
              or metal.part in names and names.intersection(metal.terminals)]
    boxes = [(symbol.piece.key, symbol.box) for symbol in sheet.symbols
             if stands_out(symbol.piece.part, symbol.piece.terminals, names)]
    return emphasis(kind, lines, boxes)


@lru_cache(maxsize=_MOST_KEPT)
def _wire(sheet, line, state, prefix, letters, lost):
    labels = [label for label in sheet.labels if letters and label.kind == "wire" and label.owner == line.wire]
    return wire_group(line.lines, sheet.arrangement.part(line.wire), state, prefix, labels, lost)


@lru_cache(maxsize=_MOST_KEPT)
def _metal(metal, state, prefix):
    width = (RAIL if metal.kind in ("supply", "ground", "splice") else NEUTRAL)[state]
    dash = dashes_of(state)
    dots = "".join(f'<circle class="tap" data-terminal="{safe(terminal)}" cx="{x:g}" cy="{y:g}" r="3.2" '
                   f'fill="currentColor"/>' for x, y, terminal in metal.taps)
    return (f'<g id="{safe(prefix)}metal-{slug(metal.key)}" class="metal {metal.kind} {state}" '
            f'data-part="{safe(metal.part)}" data-terminals="{safe(" ".join(metal.terminals))}">'
            f"<title>{safe(metal.key)}</title>"
            f'<path d="{path_of(metal.lines)}" stroke="currentColor" stroke-width="{width:g}"{dash}/>{dots}</g>')


@lru_cache(maxsize=_MOST_KEPT)
def _leads(symbol, loose, states):
    """Draw the stretch from each terminal to the body, and the terminal: open when no wire is on it."""
    shapes = []
    for (terminal, x, y, up), end, state in zip(symbol.pins(), symbol.contacts, states, strict=True):
        dash = dashes_of(state, True)
        inner = y + symbol.lead if up else y - symbol.lead
        jog = f"L{end:g} {inner:g}" if end != x else ""
        shapes.append(f'<path class="lead" d="M{x:g} {y:g}L{x:g} {inner:g}{jog}" stroke="currentColor" '
                      f'stroke-width="{NEUTRAL[state]:g}"{dash}/>')
        shapes += [pin(terminal, x, y, loose), *([ring(x, y)] if state == "doubtful" else [])]
    return "".join(shapes)


def _symbol(sheet, symbol, point, states, prefix, live, letters, glows=True):
    piece, arrangement = symbol.piece, sheet.arrangement
    part, state = arrangement.part(piece.part), states[piece.part]
    ends = tuple(state_of(terminal, point) for terminal in piece.terminals)
    shapes = drawn(symbol, state) + _leads(symbol, arrangement.loose, ends)
    texts = [words(label, live[piece.part, label.live]) if label.live else words(label)
             for label in _labels_of(sheet, piece.key)
             if (live[piece.part, label.live] if label.live else letters)]
    lit = ""
    if point and part.shines and glows:
        lit = glow(symbol.xs[0], symbol.top + symbol.height / 2, 12, part, point.light(part.name))
    return part_group(prefix, piece.key, piece.symbol, part, state, f'{lit}{shapes}{"".join(texts)}')


@lru_cache(maxsize=_MOST_KEPT)
def _labels_of(sheet, key):
    return [label for label in sheet.labels if label.kind == "piece" and label.owner == key]


@lru_cache(maxsize=64)
def _rest(sheet, is_live):
    """Draw what hardly changes: title, rails' names, numbers of the paths, and the key."""
    return key_of(sheet, is_live)

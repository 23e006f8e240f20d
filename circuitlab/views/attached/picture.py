"""The attached picture: a sheet filled with an operating point, as SVG text. It chooses and fills in; it computes nothing."""

from dataclasses import replace

from ...ground.showing import Drawing
from ..edges import key_of
from ..emphasis import chosen, emphasis, emphasis_words
from ..faces import face_of, live_texts
from ..letters import text_width
from ..point_words import amps_text, doubt_words, floating_words, labels_below, state_of_wire, volts_text
from ..strokes import glow, head, lost_ends, state_of, states_at, part_group, wire_group, words
from ..style import HAIR, THIN, safe
from .layout import lay_out_attached
from .words import describe_attached

WHEEL = (12, 64)             # width and length of a wheel beside the outline [px]


def draw_attached(arrangement, point=None, prefix="", view="wire side", pins="A", background="", trace=(),
                  marked=(), readings=False):
    """Return the attached drawing as SVG text: what the builder has in hand, and every wire from terminal to terminal.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint, optional
        Fills in contact positions, what is live, and lamp volts. Without it everything is at rest.
    prefix : str
        Put before every id, so that several pictures can share a page. [text]
    view : {"wire side", "face"}
        From where the relay sockets are seen. [text]
    pins : {"A", "B"}
        Which of the two usual pin orders the relays have. [text]
    background : str
        Colour behind the picture; empty lets the page shine through. [text]
    trace : iterable of str
        Parts, wires and terminals to be shown as one path, on a grey band. [text]
    marked : iterable of str
        Parts and wires to be marked with beads, such as what differs from another arrangement. [text]
    readings : bool
        Whether to write volts and amps at both ends of every wire; only with a settled point. [yes/no]

    Returns
    -------
    str
        The same text for the same input.

    >>> import circuitlab as cl
    >>> cart = cl.arrangement("one-fused-lamp")
    >>> drawing = draw_attached(cart, cl.operating_point(cart, {"lamp switch": "on"}))
    >>> drawing[:4], "12.4 V" in drawing
    ('<svg', True)
    """
    sheet = lay_out_attached(arrangement, view, pins, readings and point is not None and point.is_settled)
    return Drawing(fill_attached(sheet, arrangement, point, prefix, background, trace, marked))


def fill_attached(sheet, arrangement, point=None, prefix="", background="", trace=(), marked=()):
    """Return a sheet filled with an operating point as SVG text; everything is as for ``draw_attached``."""
    settled = point is not None and point.is_settled
    states, volts = states_at(arrangement, point), point if settled else None
    trace, marked = chosen(arrangement, trace), chosen(arrangement, marked)
    said = emphasis_words(arrangement, trace, marked)
    is_read = settled and any(label.kind == "reading" for label in sheet.labels)
    floats = is_read and any(point.is_floating(end) for wire in arrangement.wires for end in wire.terminals)
    told = [doubt_words(point), *floating_words(floats)] if is_read else []
    below, low = labels_below(arrangement, point, sheet.width, sheet.height, [*said, *told])
    spoken = " ".join([describe_attached(arrangement, point, sheet.view, sheet.pins), *said])
    pieces = [head("attached", (sheet.width, low), spoken, prefix, background), _outline(sheet)]
    pieces += [emphasis(kind, [(route.wire, route.lines) for route in sheet.routes if route.wire in names],
                        [(block.part, block.box) for block in sheet.blocks if block.part in names])
               for kind, names in (("trace", trace), ("marked", marked)) if names]
    pieces += _routes(sheet, arrangement, point, prefix)
    pieces += [_reading(label, arrangement.part(label.owner), point) for label in sheet.labels if label.kind == "reading"]
    live = live_texts(arrangement, volts, states)
    for block in sheet.blocks:
        pieces.append(_block(sheet, block, arrangement.part(block.part), volts, states, live, prefix))
    pieces += key_of(sheet, settled)
    return "".join(pieces + [words(label) for label in below]) + "</svg>"


def state_layer_attached(sheet, arrangement, point, prefix=""):
    """Return the attached form's layer that changes with the state of parts, as ``state_layer`` of the schematic. [text]"""
    states, volts = states_at(arrangement, point), point if point.is_settled else None
    live = live_texts(arrangement, volts, states)
    live |= {key: "" for key in live if face_of(arrangement.part(key[0])).glows(arrangement.part(key[0]))}
    blocks = [_block(sheet, block, arrangement.part(block.part), volts, states, live, prefix, False)
              for block in sheet.blocks]
    return "".join([*_routes(sheet, arrangement, point, prefix), *blocks])


def letters_attached(sheet):
    """Return what no operating point changes, outline and key. [text]"""
    return "".join([_outline(sheet), *key_of(sheet, True)])


def _routes(sheet, arrangement, point, prefix):
    """Return every wire by its state."""
    settled, pieces = point is not None and point.is_settled, []
    for route in sheet.routes:
        wire = arrangement.part(route.wire)
        state = state_of_wire(wire, point) if settled else "plain"
        labels = [label for label in sheet.labels if label.kind == "wire" and label.owner == route.wire]
        pieces.append(wire_group(route.lines, wire, state, prefix, labels, lost_ends(wire)))
    return pieces


def _reading(label, wire, point):
    """Return volts and amps at one end of a wire, the arrow the way the current runs there."""
    end, side = label.live.split()
    terminal, out = (wire.start, 1) if end == "start" else (wire.end, -1)
    arrow = (out if side == "right" else -out, 0)
    text = f"{volts_text(point, terminal)} {amps_text(point.current(wire.name), arrow)}"
    x = label.x if side == "right" else label.box[2] - text_width(text, label.size)
    return words(replace(label, x=round(x, 1)), text)


def _block(sheet, block, part, point, states, live, prefix, glows=True):
    state = face_of(part).state(part, states)
    ends = {f"{part.name}:{terminal}": state_of(f"{part.name}:{terminal}", point) for terminal in part.terminals}
    texts = []
    for label in sheet.labels:
        if label.kind == "piece" and label.owner == part.name:
            text = live.get((part.name, label.live), "") if label.live else label.text
            if text:
                texts.append(words(label, text))
    lit = ""
    if point and glows:
        lit = "".join(glow(*where, point.arrangement.part(lamp), point.light(lamp)) for lamp, where in face_of(part).glasses(part, block).items())
    shapes = face_of(part).body(block, part, state, ends).svg(sheet.arrangement.loose)
    return part_group(prefix, part.name, part.kind, part, state, f'{lit}{shapes}{"".join(texts)}')


def _outline(sheet):
    """Draw what carries no current, thin: boxes round what shares a place, and the vehicle from above with its wheels."""
    boxes = "".join(f'<rect class="box" x="{left:g}" y="{top:g}" width="{right - left:g}" height="{low - top:g}" rx="5" '
                    f'stroke="currentColor" stroke-width="{HAIR}" stroke-opacity="0.55"><title>{safe(place)}</title></rect>'
                    for place, left, top, right, low in sheet.boxes)
    return (f'<g class="boxes">{boxes}</g>' if boxes else "") + _vehicle(sheet)


def _vehicle(sheet):
    if not sheet.outline:
        return ""
    cart = _from_above(sheet.outline, 34, "The vehicle seen from above, its front on top")
    return cart + (_from_above(sheet.trailer, 14, "Its trailer, behind it", 1) if sheet.trailer else "")


def _from_above(box, nose, words_, axles=2):
    """Draw the outline of a vehicle with its wheels, corners so round in front. [px]"""
    left, top, right, low = box
    tail = 14
    path = (f"M{left:g} {top + nose:g}Q{left:g} {top:g} {left + nose:g} {top:g}L{right - nose:g} {top:g}"
            f"Q{right:g} {top:g} {right:g} {top + nose:g}L{right:g} {low - tail:g}"
            f"Q{right:g} {low:g} {right - tail:g} {low:g}L{left + tail:g} {low:g}Q{left:g} {low:g} {left:g} {low - tail:g}Z")
    wide, tall = WHEEL
    wheels = "".join(f'<rect x="{x - wide / 2:g}" y="{y:g}" width="{wide}" height="{tall}" rx="4" stroke="currentColor" '
                     f'stroke-width="{HAIR}" fill="currentColor" fill-opacity="0.12"/>'
                     for x in (left, right) for y in ((top + nose + 16, low - tall - 40) if axles == 2 else ((top + low - tall) / 2,)))
    return (f'<g class="outline"><title>{words_}</title><path d="{path}" '
            f'stroke="currentColor" stroke-width="{THIN}" stroke-opacity="0.55"/>{wheels}</g>')

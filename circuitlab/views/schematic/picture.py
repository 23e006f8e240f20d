"""The picture: a sheet filled with an operating point, as SVG text. Chooses and fills in; it computes nothing.

What is live is heavy, what is not is thin, what floats is dashed; colours only
repeat what letters and weights say. Lines that have no colour of their own
take that of the page's text, so the picture follows a light or a dark page.
"""

from pathlib import Path

from ...ground.errors import FileError
from ...parts import Switch
from ..style import FONT, INSULATION, LIT_COLOURS, colour_words, named, safe
from .pieces import is_metal
from .layout import lay_out
from .shapes import NAME, in_lines
from .sheet import Label
from .spacing import MARGIN
from .symbols import drawn
from .words import describe, light_words, state_of_wire, volt_words

# for each state of a line: width of its outline, of its colour, dashes [px]
WEIGHTS = {"live": (5.0, 3.2, ""), "dead": (2.0, 1.0, ""), "floating": (2.2, 1.1, "6 4"), "plain": (3.0, 1.8, "")}
STRIPES = {"live": "5 7", "dead": "2 16", "floating": "3 7", "plain": "4 12"}  # few on a thin line: it is not dashed
NEUTRAL = {"live": 3.2, "dead": 1.3, "floating": 1.3, "plain": 1.6}
RAIL = {"live": 5.4, "dead": 1.8, "floating": 2.0, "plain": 3.2}
_MOST_KEPT = 5000
_RAYS = ((0.707, -0.707), (1, 0), (0.707, 0.707), (-0.707, 0.707), (-1, 0), (-0.707, -0.707))


def draw(arrangement, point=None, prefix="", background=""):
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

    Returns
    -------
    str
        The same text for the same arrangement, point and prefix.
    """
    sheet = lay_out(arrangement)
    settled = point is not None and point.is_settled
    states = _states(arrangement, point)
    verdict = in_lines(point.sentence, sheet.width - 2 * MARGIN, 8, NAME) if point and not settled else []
    pieces = [_head(sheet, arrangement, point, prefix, background, len(verdict) * (NAME + 4))]
    volts = point if settled else None
    for line in sheet.wires:
        wire = arrangement.part(line.wire)
        state = state_of_wire(wire, point) if settled else "plain"
        pieces.append(_kept(sheet, (prefix, line.wire, state), _wire, sheet, line, wire, state, prefix))
    for metal in sheet.metals:
        state = _state_of(metal.terminals[0], volts)
        pieces.append(_kept(sheet, (prefix, metal.key, "metal", state), _metal, metal, state, prefix))
    live = _live_texts(arrangement, point, states, settled)
    for symbol in sheet.symbols:
        pieces.append(_symbol(sheet, symbol, volts, states, prefix, live))
    pieces.append(_kept(sheet, ("rest",), _rest, sheet))
    pieces += [_text(Label(line, MARGIN, sheet.height + 4 + number * (NAME + 4), NAME, "verdict", bold=True))
               for number, line in enumerate(verdict)]
    return "".join(pieces) + "</svg>"


def _kept(sheet, key, make, *given):
    """Return a piece of SVG of a sheet, made when it is asked for the first time."""
    if key not in sheet.kept:
        if len(sheet.kept) > _MOST_KEPT:
            sheet.kept.clear()
        sheet.kept[key] = make(*given)
    return sheet.kept[key]


def save_picture(arrangement, path, point=None):
    """Write the schematic to an ``.svg`` file, on white.

    Raises
    ------
    FileError
        When the name does not end in ``.svg``.
    """
    path = Path(path)
    if path.suffix.lower() != ".svg":
        raise FileError(f"'{path.name}' is not the name of a picture. End it in .svg.", file=path.name)
    path.write_text(draw(arrangement, point, background="#ffffff"), encoding="utf-8")


def slug(name):
    """Return a name as it may stand in an id.

    >>> slug("K1:87a"), slug("E 1")
    ('K1-87a', 'E_20_1')
    """
    return "".join(letter if letter.isascii() and letter.isalnum() or letter in ".-" else
                   "-" if letter == ":" else f"_{ord(letter):x}_" for letter in name)


def _states(arrangement, point):
    """Return the state of every part: of the point, or at rest; a held part stays as it is held."""
    states = {part.name: arrangement.control(part.control).rest if isinstance(part, Switch) else part.states[0]
              for part in arrangement.parts}
    states.update(arrangement.held)
    if point is None:
        return states
    if point.is_settled:
        return point.states
    states.update((part.name, point.positions[part.control]) for part in arrangement.of_kind(Switch)
                  if part.name not in dict(arrangement.held))
    return states


def _head(sheet, arrangement, point, prefix, background, more):
    """Open the picture, ``more`` higher than its sheet. [px]"""
    height = sheet.height + more
    label = safe(describe(arrangement, point))
    paper = f'<rect width="{sheet.width:g}" height="{height:g}" fill="{background}"/>' if background else ""
    ink = ' color="#000"' if background else ""
    return (f'<svg xmlns="http://www.w3.org/2000/svg" id="{safe(prefix)}schematic" role="img" aria-label="{label}" '
            f'viewBox="0 0 {sheet.width:g} {height:g}" width="{sheet.width:g}" '
            f'style="max-width:100%;height:auto" font-family="{FONT}" fill="none" stroke-linecap="round" '
            f'stroke-linejoin="round"{ink}>{paper}')


def _text(label, text=None):
    bold = ' font-weight="bold"' if label.bold else ""
    return (f'<text x="{label.x:g}" y="{label.y:g}" font-size="{label.size:g}"{bold} fill="currentColor">'
            f"{safe(label.text if text is None else text)}</text>")


def _path(lines):
    """Return connected stretches as path data, each corner written once."""
    words, last = [], None
    for x, y, to_x, to_y in lines:
        if (x, y) != last:
            words.append(f"M{x:g} {y:g}")
        words.append(f"L{to_x:g} {to_y:g}")
        last = to_x, to_y
    return "".join(words)


def _wire(sheet, line, wire, state, prefix):
    outline, core, dashes = WEIGHTS[state]
    path, dash = _path(line.lines), f' stroke-dasharray="{dashes}"' if dashes else ""
    cap = ' stroke-linecap="butt"' if dashes else ""
    base, stripe = line.colour[:2], line.colour[2:]
    strokes = f'<path d="{path}" stroke="currentColor" stroke-width="{outline:g}"{dash}{cap}/>'
    if base:
        strokes += f'<path class="core" d="{path}" stroke="{INSULATION[base]}" stroke-width="{core:g}"{dash}{cap}/>'
    if stripe:
        strokes += (f'<path class="core" d="{path}" stroke="{INSULATION[stripe]}" stroke-width="{core:g}" '
                    f'stroke-dasharray="{STRIPES[state]}" stroke-linecap="butt"/>')
    text = "".join(_text(label) for label in sheet.labels if label.kind == "wire" and label.owner == line.wire)
    said = safe(f"{wire.name}, {colour_words(wire.colour)}, from {wire.start} to {wire.end}"
                + ("" if state == "plain" else f": {'not live' if state == 'dead' else state}"))
    return (f'<g id="{safe(prefix)}wire-{slug(line.wire)}" class="wire {state}" data-wire="{safe(line.wire)}">'
            f"<title>{said}</title>{strokes}{text}</g>")


def _state_of(terminal, point):
    if point is None:
        return "plain"
    return "live" if point.is_live(terminal) else "floating" if point.volts(terminal) is None else "dead"


def _metal(metal, state, prefix):
    width = (RAIL if metal.kind in ("plus", "ground", "splice") else NEUTRAL)[state]
    dash = ' stroke-dasharray="6 4" stroke-linecap="butt"' if state == "floating" else ""
    dots = "".join(f'<circle class="tap" data-terminal="{safe(terminal)}" cx="{x:g}" cy="{y:g}" r="3.2" '
                   f'fill="currentColor"/>' for x, y, terminal in metal.taps)
    return (f'<g id="{safe(prefix)}metal-{slug(metal.key)}" class="metal {metal.kind} {state}" '
            f'data-part="{safe(metal.part)}" data-terminals="{safe(" ".join(metal.terminals))}">'
            f"<title>{safe(metal.key)}</title>"
            f'<path d="{_path(metal.lines)}" stroke="currentColor" stroke-width="{width:g}"{dash}/>{dots}</g>')


def _leads(symbol, loose, states):
    """Draw the stretch from each terminal to the body, and the terminal: open when no wire is on it."""
    shapes = []
    for (terminal, x, y, up), end, state in zip(symbol.pins(), symbol.contacts, states, strict=True):
        dash = ' stroke-dasharray="4 3" stroke-linecap="butt"' if state == "floating" else ""
        inner = y + symbol.lead if up else y - symbol.lead
        jog = f"L{end:g} {inner:g}" if end != x else ""
        shapes.append(f'<path class="lead" d="M{x:g} {y:g}L{x:g} {inner:g}{jog}" stroke="currentColor" '
                      f'stroke-width="{NEUTRAL[state]:g}"{dash}/>')
        shapes.append(f'<circle class="terminal" data-terminal="{safe(terminal)}" cx="{x:g}" cy="{y:g}" r="2.4" '
                      f'stroke="currentColor" fill="{"none" if terminal in loose else "currentColor"}"/>')
    return "".join(shapes)


def _symbol(sheet, symbol, point, states, prefix, live):
    piece, arrangement = symbol.piece, sheet.arrangement
    part, state = arrangement.part(piece.part), states[piece.part]
    ends = tuple(_state_of(terminal, point) for terminal in piece.terminals)
    shapes = _kept(sheet, (piece.key, state, ends), _shapes, symbol, arrangement.loose, state, ends)
    labels = _kept(sheet, (piece.key, "labels"), _labels_of, sheet, piece.key)
    texts = [_text(label, live[piece.part, label.live]) if label.live else _text(label) for label in labels
             if not label.live or live[piece.part, label.live]]
    said = safe(f"{named(part)}, {part.kind}: {state}")
    glow = _glow(symbol, part, point.light(part.name)) if point and piece.symbol == "lamp" else ""
    return (f'<g id="{safe(prefix)}part-{slug(piece.key)}" class="part {piece.symbol}" data-part="{safe(piece.part)}" '
            f'data-state="{safe(state)}"><title>{said}</title>{glow}{shapes}{"".join(texts)}</g>')


def _shapes(symbol, loose, state, ends):
    return drawn(symbol, state) + _leads(symbol, loose, ends)


def _labels_of(sheet, key):
    return [label for label in sheet.labels if label.kind == "piece" and label.owner == key]


def _glow(symbol, lamp, light):
    """Fill a lit lamp in its own light, the fuller the brighter, with rays so that grey print shows it too."""
    if light < 0.01:
        return ""
    x, y = symbol.xs[0], symbol.top + symbol.height / 2
    rays = "".join(f"M{x + 13.5 * a:.1f} {y + 13.5 * b:.1f}L{x + 17 * a:.1f} {y + 17 * b:.1f}" for a, b in _RAYS)
    return (f'<circle class="glow" cx="{x:g}" cy="{y:g}" r="12" fill="{LIT_COLOURS[lamp.light]}" '
            f'fill-opacity="{min(1.0, 0.35 + 0.65 * light):.2f}"/>'
            f'<path d="{rays}" stroke="currentColor" stroke-width="1.5"/>')


def _live_texts(arrangement, point, states, settled):
    """Return every text that changes with the point, by part and by what it tells."""
    live = {}
    for part in arrangement.parts:
        name, state = part.name, states[part.name]
        if part.shines:
            live[name, "volts"] = volt_words(part, point) if settled else ""
            live[name, "light"] = "blown" if state == "blown" else light_words(part, point) if settled else ""
        elif not is_metal(part):
            live[name, "state"] = state
            live[name, "value"] = f"{part.voltage:.4g} V" if part.kind == "battery" else ""
            live[name, "blown"] = "blown" if state == "blown" else ""
    return live


def _rest(sheet):
    """Draw what never changes: title, rails' names, numbers of the paths, and the key."""
    shapes = [_text(label) for label in sheet.labels if label.kind == "sheet"]
    for sample, _, x, y in sheet.key:
        if sample:
            outline, _, dashes = WEIGHTS[sample]
            dash = f' stroke-dasharray="{dashes}" stroke-linecap="butt"' if dashes else ""
            shapes.append(f'<path class="key" d="M{x - 26:g} {y - 3.5:g}L{x - 5:g} {y - 3.5:g}" stroke="currentColor" '
                          f'stroke-width="{outline:g}"{dash}/>')
    return "".join(shapes)

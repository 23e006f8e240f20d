"""Wires, words and lamps as SVG, the same in both drawings: live is heavy, a ghost dash-dotted, floating dashed."""

from math import hypot, isinf

from ..parts import Switch
from .style import FONT, INSULATION, LIT_COLOURS, colour_words, ink_on, named, safe

# for each state of a line: width of its outline, of its colour, dashes [px]
WEIGHTS = {"live": (5.0, 3.2, ""), "ghost": (3.4, 2.0, "7 3 2 3"), "dead": (2.0, 1.0, ""),
           "doubtful": (2.0, 1.0, "9 3 1.5 3"), "floating": (2.2, 1.1, "6 4"), "plain": (3.0, 1.8, "")}
STRIPES = {"live": "5 7", "ghost": "0 2 3 10", "dead": "2 16", "doubtful": "0 2 2 14",    # few on a thin line: it is not dashed
           "floating": "3 7", "plain": "4 12"}
_LINK = (1.0, "2 2")    # of the operator in faces/shape.py: width [px], dashes
NEUTRAL = {"live": 3.2, "ghost": 2.2, "dead": 1.3, "doubtful": 1.3, "floating": 1.3, "plain": 1.6}
_DASHES = {"ghost": ("7 3 2 3", "6 2 1.5 2"), "doubtful": ("9 3 1.5 3", "6 2 1.5 2"),
           "floating": ("6 4", "4 3")}   # of bars, and of short leads
SAMPLE = 28             # room for the sample of a line before its words in a key [px]
_OFF = 6                # from an end that is off to the cross on its wire [px]
SAID = {"doubtful": "dead, may be a ghost"}     # of a state, where its name alone would not tell
RING = 4.8              # around a terminal that may be a ghost: radius [px]
_RAYS = ((0.707, -0.707), (1, 0), (0.707, 0.707), (-0.707, 0.707), (-1, 0), (-0.707, -0.707))


def slug(name):
    """Return a name as it may stand in an id.

    >>> slug("K1:87a"), slug("E 1")
    ('K1-87a', 'E_20_1')
    """
    return "".join(letter if letter.isascii() and letter.isalnum() or letter in ".-" else
                   "-" if letter == ":" else f"_{ord(letter):x}_" for letter in name)


def head(name, size, spoken, prefix="", background=""):
    """Open a picture of a size, with its text alternative and, where wanted, a ground to stand on.

    Nothing spoken makes it one that a screen reader passes over, without an id.
    """
    width, height = size
    paper = f'<rect width="{width:g}" height="{height:g}" fill="{background}"/>' if background else ""
    ink = f' color="{ink_on(background)}"' if background else ""
    told = f'id="{safe(prefix)}{name}" role="img" aria-label="{safe(spoken)}"' if spoken else 'aria-hidden="true"'
    return (f'<svg xmlns="http://www.w3.org/2000/svg" {told} '
            f'viewBox="0 0 {width:g} {height:g}" width="{width:g}" '
            f'style="max-width:100%;height:auto" font-family="{FONT}" fill="none" stroke-linecap="round" '
            f'stroke-linejoin="round"{ink}>{paper}')


def part_group(prefix, key, kind, part, state, inside):
    """Return what is drawn of a part as one group, with its name, kind and state for whoever points at it."""
    return (f'<g id="{safe(prefix)}part-{slug(key)}" class="part {safe(kind)}" data-part="{safe(part.name)}" '
            f'data-state="{safe(state)}"><title>{safe(f"{named(part)}, {part.kind}: {state}")}</title>{inside}</g>')


def words(label, text=None):
    """Return a label, or another text in its place, as a piece of SVG."""
    bold = ' font-weight="bold"' if label.bold else ""
    return (f'<text x="{label.x:g}" y="{label.y:g}" font-size="{label.size:g}"{bold} fill="currentColor">'
            f"{safe(label.text if text is None else text)}</text>")


def path_of(lines):
    """Return connected stretches as path data, each corner written once."""
    pieces, last = [], None
    for x, y, to_x, to_y in lines:
        if (x, y) != last:
            pieces.append(f"M{x:g} {y:g}")
        pieces.append(f"L{to_x:g} {to_y:g}")
        last = to_x, to_y
    return "".join(pieces)


def wire_shapes(path, colour, state):
    """Return a wire's outline, its insulation colour and its second colour."""
    outline, core, dashes = WEIGHTS[state]
    dash = _dashed(dashes)
    base, stripe = colour[:2], colour[2:]
    strokes = f'<path d="{path}" stroke="currentColor" stroke-width="{outline:g}"{dash}/>'
    if base:
        strokes += f'<path class="core" d="{path}" stroke="{INSULATION[base]}" stroke-width="{core:g}"{dash}/>'
    if stripe:
        strokes += (f'<path class="core" d="{path}" stroke="{INSULATION[stripe]}" stroke-width="{core:g}" '
                    f'stroke-dasharray="{STRIPES[state]}" stroke-linecap="butt"/>')
    return strokes


def lost_ends(wire):
    """Return the terminals of a wire whose joint has no contact any more. [text]"""
    return tuple(end for end, joint in ((wire.start, wire.start_joint), (wire.end, wire.end_joint)) if isinf(joint))


def wire_group(lines, wire, state, prefix, labels, lost=()):
    """Return a wire with its names, and a cross at every end that has lost its joint: one group with its title."""
    said = safe(f"{wire.name}, {colour_words(wire.colour)}, from {wire.start} to {wire.end}"
                + ("" if state == "plain" else f": {SAID.get(state, state)}") + "".join(f"; off {end}" for end in lost))
    crosses = "".join(_cross(*(lines[0] if end == wire.start else (*lines[-1][2:], *lines[-1][:2]))) for end in lost)
    return (f'<g id="{safe(prefix)}wire-{slug(wire.name)}" class="wire {state}" data-wire="{safe(wire.name)}">'
            f"<title>{said}</title>{wire_shapes(path_of(lines), wire.colour, state)}{crosses}{''.join(map(words, labels))}</g>")


def _cross(x, y, to_x, to_y):
    """Return the cross on a wire beside an end at which it is off, as it is struck out on paper."""
    far = hypot(to_x - x, to_y - y) or 1.0
    away = min(_OFF, far / 2)
    x, y = x + (to_x - x) / far * away, y + (to_y - y) / far * away
    return "".join(f'<path class="off" d="M{x - half:.1f} {y - 4:.1f}L{x + half:.1f} {y + 4:.1f}" stroke="currentColor" '
                   f'stroke-width="2"/>' for half in (4, -4))


def key_samples(key):
    """Return the samples of a key, each line ``(sample, text, x, y)``."""
    shapes = []
    for sample, _, x, y in key:
        if sample:
            outline, dashes = _LINK if sample == "link" else WEIGHTS[sample][::2]
            dash = _dashed(dashes)
            shapes.append(f'<path class="key" d="M{x - 26:g} {y - 3.5:g}L{x - 5:g} {y - 3.5:g}" stroke="currentColor" '
                          f'stroke-width="{outline:g}"{dash}/>')
            shapes += [ring(x - 11, y - 3.5)] if sample == "doubtful" else []
    return shapes


def pin(terminal, x, y, loose):
    """Return the mark of a terminal, open when it is among the loose that no wire is on."""
    return (f'<circle class="terminal" data-terminal="{safe(terminal)}" cx="{x:g}" cy="{y:g}" r="2.4" '
            f'stroke="currentColor" fill="{"none" if terminal in loose else "currentColor"}"/>')


def ring(x, y):
    """Return the mark around a terminal that is dead and may be a ghost."""
    return f'<circle class="doubt" cx="{x:g}" cy="{y:g}" r="{RING:g}" stroke="currentColor" stroke-width="0.9"/>'


def dashes_of(state, is_lead=False):
    """Return the dashes of a line without a colour by its state, closer on a short lead, as SVG attributes."""
    return _dashed(_DASHES[state][is_lead] if state in _DASHES else "")


def _dashed(pattern):
    return f' stroke-dasharray="{pattern}" stroke-linecap="butt"' if pattern else ""


def state_of(terminal, point):
    """Return live, ghost, dead, doubtful or floating for a terminal, plain without a point. [text]

    Doubtful is dead, and a ghost where blocked diodes leak as much as their sheets allow.
    """
    if point is None:
        return "plain"
    word = point.liveness(terminal)
    return "doubtful" if word == "dead" and point.may_be_ghost(terminal) else word


def states_at(arrangement, point):
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


def glow(x, y, radius, lamp, light):
    """Fill a lit lamp in its own light, the fuller the brighter, with rays so that grey print shows it too."""
    if light < 0.01:
        return ""
    near, far = radius + 1.5, radius + 5
    rays = "".join(f"M{x + near * a:.1f} {y + near * b:.1f}L{x + far * a:.1f} {y + far * b:.1f}" for a, b in _RAYS)
    return (f'<circle class="glow" cx="{x:g}" cy="{y:g}" r="{radius:g}" fill="{LIT_COLOURS[lamp.light]}" '
            f'fill-opacity="{min(1.0, 0.35 + 0.65 * light):.2f}"/>'
            f'<path d="{rays}" stroke="currentColor" stroke-width="1.5"/>')

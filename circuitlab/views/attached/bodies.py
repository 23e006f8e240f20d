"""What is drawn inside a block: blades of a socket, fuse, contacts, filament, screws, studs, posts. As SVG."""

from dataclasses import replace

from ...parts import Role
from ..strokes import NEUTRAL, dashes_of, path_of, ring
from ..style import MAIN, THIN, safe
from .blocks import CONTACT

BLADE = 2.6                  # the moving part of a contact [px]
_HALF = 10                   # of a blade's length [px]


def body(block, part, state, ends, loose=()):
    """Return the inside of a block, its part being in a state.

    Parameters
    ----------
    block : Block
        With its place. [px]
    part : Part
    state : str
        Of the part. [text]
    ends : dict of str to str
        For each terminal live, ghost, dead, doubtful, floating or plain. [text]
    loose : collection of str
        Terminals with no wire on them; they are drawn open. [text]
    """
    make = _BODIES.get("lamp" if part.shines else part.kind, _box)
    return _frame(block, part) + make(block, part, state, ends) + _pins(block, loose, ends)


def _frame(block, part):
    round_, weight = {"relay": (7, MAIN), "battery": (4, MAIN), "lamp": (12, THIN)}.get(
        "lamp" if part.shines else part.kind, (4, THIN))
    return (f'<rect class="block" x="{block.left:g}" y="{block.top:g}" width="{block.right - block.left:g}" '
            f'height="{block.low - block.top:g}" rx="{round_:g}" stroke="currentColor" stroke-width="{weight:g}"/>')


def _pins(block, loose, ends):
    """Draw every place where a wire joins, and where none does the bare terminal, open; a ring where a ghost is in doubt."""
    rings = "".join(ring(x, y) for terminal, x, y in block.pins() if ends[terminal] == "doubtful")
    return rings + "".join(f'<circle class="terminal" data-terminal="{safe(terminal)}" cx="{x:g}" cy="{y:g}" r="2.4" '
                   f'stroke="currentColor" fill="{"none" if terminal in loose else "currentColor"}"/>'
                   for terminal, x, y in block.pins())


def line(points, state="plain", kind="lead"):
    """Return one line through points, as heavy as its state. [px]"""
    path = path_of([(*a, *b) for a, b in zip(points, points[1:])])
    dash = dashes_of(state, True)
    return f'<path class="{kind}" d="{path}" stroke="currentColor" stroke-width="{NEUTRAL[state]:g}"{dash}/>'


def _thick(points, weight):
    path = path_of([(*a, *b) for a, b in zip(points, points[1:])])
    return f'<path d="{path}" stroke="currentColor" stroke-width="{weight:g}"/>'


def dot(x, y, radius=2.0, fill="currentColor"):
    """Return a dot or ring. [px]"""
    return f'<circle cx="{x:g}" cy="{y:g}" r="{radius:g}" stroke="currentColor" stroke-width="{THIN}" fill="{fill}"/>'


def rect(left, top, width, height, radius=0):
    """Return a plain box. [px]"""
    return (f'<rect x="{left:g}" y="{top:g}" width="{width:g}" height="{height:g}" rx="{radius:g}" '
            f'stroke="currentColor" stroke-width="{THIN}"/>')


def _leads(block, row, ends, inner, outer=None):
    """Lead from where wires join a row inwards, at one height: to ``inner`` from the left, to ``outer`` from the right."""
    shapes, y = [], row.level
    for terminal, edge, ys, x in ((row.left, block.left, row.lefts, inner),
                                  (row.right, block.right, row.rights, inner if outer is None else outer)):
        if terminal and ys:
            if min(ys) != y or max(ys) != y:
                shapes.append(line([(edge, min(*ys, y)), (edge, max(*ys, y))], ends[terminal]))
            shapes.append(line([(edge, y), (x, y)], ends[terminal]))
    return "".join(shapes)


def _middle(block):
    return (block.left + block.right) / 2


def _upright(block, ends):
    """Lead first and last row to the middle: return the leads, the middle, and the heights of both. [px]"""
    x, first, last = _middle(block), block.rows[0], block.rows[-1]
    return _leads(block, first, ends, x) + _leads(block, last, ends, x), x, first.level, last.level


def _relay(block, part, state, ends):
    """The socket: flat and upright blades, each led to the edge where its wires come in."""
    shapes = []
    for terminal, x, y, flat in block.blades:
        half, tall = (_HALF, 2) if flat else (2, _HALF)
        shapes.append(f'<rect class="blade" data-terminal="{safe(terminal)}" x="{x - half:g}" y="{y - tall:g}" '
                      f'width="{2 * half:g}" height="{2 * tall:g}" stroke="currentColor" stroke-width="{THIN}" '
                      'fill="currentColor" fill-opacity="0.25"/>')
        row = next(row for row in block.rows if terminal in (row.left, row.right))
        own = replace(row, left=row.left if row.left == terminal else "",
                      right=row.right if row.right == terminal else "")
        if row.level == y:
            shapes.append(_leads(block, own, ends, x - half, x + half))
        else:
            shapes.append(_leads(block, own, ends, x, x) + line([(x, row.level), (x, y - 2)], ends[terminal]))
    return "".join(shapes)


def _fuse(block, part, state, ends):
    leads, x, top, low = _upright(block, ends)
    if state == "blown":
        middle = (top + low) / 2
        wire = line([(x, top), (x, middle - 4), (x - 3, middle - 2)]) + line([(x, low), (x, middle + 4), (x + 3, middle + 2)])
    else:
        wire = line([(x, top), (x, low)])
    return leads + wire + rect(x - 6, top + 4, 12, low - top - 8)


def _resistor(block, part, state, ends):
    leads, x, top, low = _upright(block, ends)
    return leads + line([(x, top), (x, top + 4)]) + line([(x, low - 4), (x, low)]) + rect(x - 5, top + 4, 10, low - top - 8)


def _diode(block, part, state, ends):
    """Triangle and bar: from the first terminal to the last, not back."""
    leads, x, top, low = _upright(block, ends)
    middle = (top + low) / 2
    return leads + line([(x, top), (x, low)]) + (
        f'<path d="M{x - 7:g} {middle - 6:g}L{x + 7:g} {middle - 6:g}L{x:g} {middle + 6:g}Z'
        f'M{x - 7:g} {middle + 6:g}L{x + 7:g} {middle + 6:g}" stroke="currentColor" stroke-width="{THIN}" '
        'fill="currentColor" fill-opacity="0.25"/>')


def lamp_place(block):
    """Return the middle and the radius of a lamp's glass. [px]"""
    _, x, top, low = _upright(block, dict.fromkeys((end for row in block.rows for end in (row.left, row.right)), "plain"))
    return x, (top + low) / 2, min(11, (low - top) / 2 - 2)


def _lamp(block, part, state, ends):
    """Glass with a cross; the cross of a blown one is broken in the middle."""
    leads, x, top, low = _upright(block, ends)
    _, y, radius = lamp_place(block)
    reach = radius * 0.707
    shapes = [leads, line([(x, top), (x, y - radius)]), line([(x, y + radius), (x, low)]), dot(x, y, radius, "none")]
    for side in (1, -1):
        if state == "blown":
            shapes += [_thick([(x - reach, y - side * reach), (x - 3, y - side * 3)], THIN),
                       _thick([(x + 3, y + side * 3), (x + reach, y + side * reach)], THIN)]
        else:
            shapes.append(_thick([(x - reach, y - side * reach), (x + reach, y + side * reach)], THIN))
    return "".join(shapes)


def _battery(block, part, state, ends):
    """Two posts with their signs."""
    _, x, top, low = _upright(block, ends)
    signs = _thick([(x - 4, top), (x + 4, top)], MAIN) + _thick([(x, top - 4), (x, top + 4)], MAIN) + \
        _thick([(x - 4, low), (x + 4, low)], MAIN)
    leads = _leads(block, block.rows[0], ends, x - 8, x + 8) + _leads(block, block.rows[-1], ends, x - 8, x + 8)
    return leads + dot(x, top, 8, "none") + dot(x, low, 8, "none") + signs


def _contact(x, start, end, is_closed):
    """A blade from one height to another, open or closed."""
    toward = 1 if end > start else -1
    tip = (x, end) if is_closed else (x - 6, end - toward * 4)
    return dot(x, start, 1.8) + dot(x, end, 1.8) + _thick([(x, start), tip], BLADE)


def _switch(block, part, state, ends):
    """Every contact upright between its two rows, in the position it is in."""
    rows = {row.left: row for row in block.rows if row.left}
    left = _middle(block) - CONTACT * (len(part.pairs) - 1) / 2 + 2
    xs = {pair: left + CONTACT * number for number, pair in enumerate(part.pairs)}
    closed, shapes = set(dict(part.closes).get(state, ())), []
    for terminal in part.terminals:
        own = [x for pair, x in xs.items() if terminal in pair]
        row = rows[f"{part.name}:{terminal}"]
        shapes.append(_leads(block, row, ends, max(own), min(own)))
        if len(own) > 1:
            shapes.append(line([(min(own), row.level), (max(own), row.level)], ends[f"{part.name}:{terminal}"]))
    for pair, x in xs.items():
        start, end = (rows[f"{part.name}:{terminal}"].level for terminal in pair)
        shapes.append(_contact(x, start, end, pair in closed))
    return "".join(shapes)


def _flasher(block, part, state, ends):
    """Its contact from 49 to 49a in the position it is in, and a square wave; its other terminals end inside."""
    x, rows = _middle(block), {row.left.partition(":")[2]: row for row in block.rows if row.left}
    shapes = [_contact(x - 8, rows["49"].level, rows["49a"].level, part.first(Role.CONTACT)[1].conducts(state))]
    for name, row in rows.items():
        shapes.append(_leads(block, row, ends, x - 8) + ("" if name in ("49", "49a") else dot(x - 8, row.level, 1.8)))
    y = (rows["49"].level + rows["49a"].level) / 2
    return "".join(shapes) + _thick([(x + 2, y + 4), (x + 6, y + 4), (x + 6, y - 4), (x + 11, y - 4), (x + 11, y + 4),
                                     (x + 16, y + 4), (x + 16, y - 4), (x + 20, y - 4)], 1.0)


def _breaker(block, part, state, ends):
    """Its contact, closed only in the states in which it conducts, and the strip that bends."""
    leads, x, top, low = _upright(block, ends)
    strip = _thick([(x + 4, low - 4), (x + 9, low - 4), (x + 9, top + 4), (x + 4, top + 4)], 1.0)
    return leads + _contact(x, top, low, part.first(Role.CONTACT)[1].conducts(state)) + strip


def _strip(block, ends, half):
    """Lead every row to the metal in the middle. [px]"""
    x = _middle(block)
    return "".join(_leads(block, row, ends, x - half, x + half) for row in block.rows if row.left)


def _splice(block, part, state, ends):
    """A metal strip with a screw for every terminal."""
    x, ys = _middle(block), [row.level for row in block.rows if row.left]
    screws = "".join(dot(x, y, 3.2, "none") + _thick([(x - 2, y + 2), (x + 2, y - 2)], 1.0) for y in ys)
    return _strip(block, ends, 6) + rect(x - 6, min(ys) - 7, 12, max(ys) - min(ys) + 14, 2) + screws


def _chassis(block, part, state, ends):
    """A plate of the vehicle's metal with a stud for every terminal, and the sign of ground below."""
    x, ys = _middle(block), [row.level for row in block.rows if row.left]
    top, low = min(ys) - 7, max(ys) + 7
    sign = "".join(_thick([(x - half, low + down), (x + half, low + down)], MAIN)
                   for half, down in ((9, 6), (6, 10), (3, 14)))
    studs = "".join(dot(x, y, 4.2, "none") + dot(x, y, 1.6) for y in ys)
    return _strip(block, ends, 8) + rect(x - 8, top, 16, low - top, 2) + line([(x, low), (x, low + 6)]) + sign + studs


def _box(block, part, state, ends):
    """A plain box, for a kind of part that has no picture of its own."""
    x, ys = _middle(block), [row.level for row in block.rows if row.left]
    return _strip(block, ends, 10) + rect(x - 10, min(ys) - 6, 20, max(ys) - min(ys) + 12)


_BODIES = {"relay": _relay, "fuse": _fuse, "resistor": _resistor, "diode": _diode, "lamp": _lamp, "battery": _battery,
           "breaker": _breaker, "switch": _switch, "flasher": _flasher, "splice": _splice, "chassis": _chassis}

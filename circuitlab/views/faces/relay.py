"""The face of a relay: coil and contact in the schematic, a socket with flat and upright blades for the builder."""

from ..socket import BLADES
from ..style import MAIN, THIN, safe
from .body import Body
from .face import Face
from .piece import Piece, ends
from .shape import Changeover, Contact, Shape

SOCKET = 104                 # width of a socket [px]
_HALF = 10                   # of a blade's length [px]
_SIDES = {(50, 20): "top", (50, 50): "middle", (20, 50): "left", (80, 50): "right", (50, 80): "bottom"}


def seats(relay, view, pins):
    """Return where each blade of a socket is: ``{terminal: (x, y, lies flat)}`` in a housing of 100 by 100.

    Order B is order A with 30 and 86 exchanged; the face is the mirror image of the wire side.
    """
    other = {"30": "86", "86": "30"} if pins == "B" else {}
    found = {}
    for terminal in relay.terminals:
        x, y, flat = BLADES[other.get(terminal, terminal)]
        found[terminal] = (100 - x if view == "face" else x, y, flat)
    return found


class _Coil(Shape):
    """Flat rectangle; an energised one is marked by a bar inside."""

    name, body, sides = "coil", 18, (15, 15)

    def form(self):
        x, middle = self.xs[0], (self.top + self.low) / 2
        self.box(x - 15, self.top, x + 15, self.low)
        if self.note == "operated":
            self.line((x - 10, middle), (x + 10, middle), lw=5)


class _Socket(Body):
    """Flat and upright blades, each led to the edge where its wires come in."""

    corner, weight = 7, MAIN

    def form(self):
        for terminal, x, y, flat in self.block.blades:
            half, tall = (_HALF, 2) if flat else (2, _HALF)
            self.shapes.append(
                f'<rect class="blade" data-terminal="{safe(terminal)}" x="{x - half:g}" y="{y - tall:g}" '
                f'width="{2 * half:g}" height="{2 * tall:g}" stroke="currentColor" stroke-width="{THIN}" '
                'fill="currentColor" fill-opacity="0.25"/>')
            row = next(row for row in self.block.rows if terminal in (row.left, row.right))
            if row.level == y:
                self.leads(row, x - half, x + half, only=terminal)
            else:
                self.leads(row, x, x, only=terminal)
                self.line([(x, row.level), (x, y - 2)], self.ends[terminal])


class RelayFace(Face):
    """Plugged into a socket; its blades are met where they are."""

    body, above, below = _Socket, 17, 17

    def pieces(self, part, arrangement):
        name, common = part.name, ends(part, "30")
        coil = Piece(f"{name}.coil", name, _Coil, ends(part, "86"), ends(part, "85"), is_load=True)
        if part.contact == "changeover":
            return [coil, Piece(f"{name}.contact", name, Changeover, common, ends(part, "87a", "87"), (0, 0, 1),
                                (("released", (0,)), ("gap", ()), ("operated", (1,))))]
        keys = {"87": f"{name}.contact", "87b": f"{name}.second.contact"}
        return [coil, *(Piece(keys[output], name, Contact, common, ends(part, output),
                              closed=(("released", ()), ("gap", ()), ("operated", (0,)))) for output in part.terminals[3:])]

    def beside(self, piece, part, arrangement):
        return [(f"+ {part.suppression}", "")] if piece.shape is _Coil and part.suppression != "none" else []

    def rows(self, part, view, pins):
        at = {(x, y): f"{part.name}:{terminal}" for terminal, (x, y, _) in seats(part, view, pins).items()}
        top, middle, bottom = (at.get((50, y), "") for y in (20, 50, 80))
        return (top, top), (middle, middle), (at.get((20, 50), ""), at.get((80, 50), "")), ("", ""), (bottom, bottom)

    def width(self, part):
        return SOCKET

    def blades(self, part, rows, left, right, view, pins):
        across = {20: left + 24, 50: (left + right) / 2, 80: right - 24}
        down = {20: rows[0].level, 50: rows[2].level, 80: rows[4].level}
        return tuple((f"{part.name}:{terminal}", across[x], down[y], flat)
                     for terminal, (x, y, flat) in seats(part, view, pins).items())

    def value(self, part, arrangement):
        return "dual relay" if "87b" in part.terminals else "relay"

    def spoken(self, part, view, pins):
        where = ", ".join(f"{terminal} {_SIDES[x, y]}" for terminal, (x, y, _) in seats(part, view, pins).items())
        return f", socket seen from the {view}, pin order {pins}: {where}; meter it before plugging in"

    def details(self, part):
        within = {"none": "", "resistor": f", resistor {part.suppression_resistance:g} ohm across it",
                  "diode": ", diode across it: plus on 86"}[part.suppression]
        return f"relay, {part.contact}, coil {part.coil_resistance:g} ohm{within}"

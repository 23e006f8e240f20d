"""The symbols, drawn by schemdraw: the only room that knows it. Shapes as in IEC 60617, in the position they are in.

Each element is made in the sheet's own drawing units, already in its place, so
that its piece of SVG can be put into the picture as it is. It is drawn once
for each position of its contact and kept; a picture only chooses among them.
"""

import sys
import xml.etree.ElementTree as ET
from functools import lru_cache

_backend = sys.modules.setdefault("schemdraw.backends.mpl", None)    # not opened: it is not drawn with, and slower than all else
import schemdraw
from schemdraw import elements as elm
from schemdraw.backends.svg import Figure
from schemdraw.segments import Segment, SegmentCircle, SegmentPoly
from schemdraw.types import BBox

from .shapes import THROW

BODY, BLADE, LINK = 1.5, 2.6, 1.0     # line weights of bodies, blades and operators [px]
_PX = 1 / 72                          # inches per drawing unit, so that one unit is one pixel
schemdraw.use("svg")
if _backend is None:
    del sys.modules["schemdraw.backends.mpl"]     # whoever wants it can open it


class _Upright(elm.Element):
    """A symbol between ``top`` and ``low`` in its paths; y counts down as on the sheet."""

    def __init__(self, symbol, touched=(), note="", **more):
        super().__init__(**more)
        self.xs, self.ends, self.touched, self.note = symbol.xs, symbol.contacts, touched, note
        self.worked_by, self.link = symbol.piece.worked_by, symbol.link
        self.top, self.low = symbol.top + symbol.lead, symbol.top + symbol.height - symbol.lead
        self.near_y, self.far_y = (self.top, self.low) if symbol.near_up else (self.low, self.top)
        self.plus_up = all(up for terminal, _, _, up in symbol.pins() if terminal.endswith("+"))
        self.form()

    def line(self, *points, lw=BODY, ls=None):
        path = [(round(x, 1), round(-y, 1)) for x, y in points]
        self.segments.append(Segment(path, color="currentColor", lw=lw, ls=ls))

    def dot(self, x, y, radius=2.0, fill="currentColor"):
        self.segments.append(SegmentCircle((x, -y), radius, color="currentColor", lw=BODY, fill=fill))

    def box(self, left, top, right, low):
        self.segments.append(SegmentPoly([(left, -top), (right, -top), (right, -low), (left, -low)], closed=True,
                                         color="currentColor", lw=BODY, fill="none"))


class _Fuse(_Upright):
    """Rectangle with the line through it; a blown one has the line broken."""

    def form(self):
        x, middle = self.xs[0], (self.top + self.low) / 2
        self.box(x - 5, self.top, x + 5, self.low)
        if self.note == "blown":
            self.line((x, self.top), (x, middle - 5), (x - 3, middle - 3))
            self.line((x, self.low), (x, middle + 5), (x + 3, middle + 3))
        else:
            self.line((x, self.top), (x, self.low))


class _Breaker(_Upright):
    """A box with a contact in the position it is in, and the hook of the heated strip that opens it."""

    def form(self):
        x, near, far = self.xs[0], self.top + 8, self.low - 8
        self.box(x - 12, self.top, x + 12, self.low)
        self.line((x, self.top), (x, near))
        self.line((x, self.low), (x, far))
        self.dot(x, near, 1.6)
        self.dot(x, far, 1.6)
        self.line((x, near), (x, far) if self.touched else (x - 7, far - 2), lw=BLADE)
        y = (near + far) / 2
        self.line((x + 3, y), (x + 6, y), (x + 6, y - 4), (x + 9, y - 4), (x + 9, y), (x + 12, y), lw=LINK)


class _Diode(_Upright):
    """Triangle along the current it passes, and the bar it points at."""

    def form(self):
        x, toward = self.xs[0], 1 if self.far_y > self.near_y else -1
        base, tip = self.near_y + toward * 5, self.far_y - toward * 5
        self.line((x, self.near_y), (x, self.far_y))
        self.segments.append(SegmentPoly([(x - 8, -base), (x + 8, -base), (x, -tip)], closed=True,
                                         color="currentColor", lw=BODY, fill="none"))
        self.line((x - 8, tip), (x + 8, tip), lw=2.2)


class _Resistor(_Upright):
    """Rectangle."""

    def form(self):
        self.box(self.xs[0] - 5, self.top, self.xs[0] + 5, self.low)


class _Coil(_Upright):
    """Flat rectangle; an energised one is marked by a bar inside."""

    def form(self):
        x = self.xs[0]
        self.box(x - 15, self.top, x + 15, self.low)
        if self.note == "operated":
            self.line((x - 10, (self.top + self.low) / 2), (x + 10, (self.top + self.low) / 2), lw=5)


class _Lamp(_Upright):
    """Circle with cross; a blown one has its cross broken in the middle."""

    def form(self):
        x, y, reach = self.xs[0], (self.top + self.low) / 2, 12 * 0.707
        self.segments.append(SegmentCircle((x, -y), 12, color="currentColor", lw=BODY, fill="none"))
        for side in (1, -1):
            if self.note == "blown":
                self.line((x - reach, y - side * reach), (x - reach / 2, y - side * reach / 2))
                self.line((x + reach, y + side * reach), (x + reach / 2, y + side * reach / 2))
            else:
                self.line((x - reach, y - side * reach), (x + reach, y + side * reach))


class _Battery(_Upright):
    """Long line plus, short thick line minus, twice; plus is below where it stands on the frame."""

    def form(self):
        x, step = self.xs[0], (self.low - self.top) / 3
        for cell in (0, 2):
            plus, minus = (self.top + each * step for each in ((cell, cell + 1) if self.plus_up else (cell + 1, cell)))
            self.line((x - 12, plus), (x + 12, plus))
            self.line((x - 6, minus), (x + 6, minus), lw=3.5)
        self.line((x, self.top + step), (x, self.top + 2 * step), ls="2,2")


class _Box(_Upright):
    """A plain box, for a kind of part that has no symbol of its own."""

    def form(self):
        self.box(min(self.xs) - 12, self.top, max(self.xs) + 12, self.low)


class _Contact(_Upright):
    """Make or break contact: blade upright when closed, slanted off when open; its operator on the left."""

    def form(self):
        x, toward = self.xs[0], 1 if self.far_y > self.near_y else -1
        self.dot(x, self.near_y)
        self.dot(x, self.far_y)
        lean = 0 if self.touched else 13
        tip = self.far_y if self.touched else self.far_y - toward * 3
        self.line((x, self.near_y), (x - lean, tip), lw=BLADE)
        if self.worked_by:
            self.operator(x - lean / 2, (self.near_y + self.far_y) / 2, x - (self.link or 22))

    def operator(self, x, y, left):
        """Link the blade to what works it: a hand's bar, a key's bow, a pedal's plate, a pressure box, or the next pole."""
        self.line((x, y), (left, y), lw=LINK, ls="2,2")
        if self.link:        # the pole on the left shows what works them both
            return
        if self.worked_by == "key":
            self.dot(left - 3, y, 3, fill="none")
        elif self.worked_by == "pressure":
            self.box(left - 6, y - 4, left, y + 4)
            self.dot(left - 3, y, 1)
        else:
            lean = 3 if self.worked_by == "pedal" else 0
            self.line((left - lean, y + 5), (left + lean, y - 5))


class _Changeover(_Upright):
    """Break before make: one fixed contact straight ahead, one beside it, the blade on one, the other or between."""

    def form(self):
        x, far = self.ends[0], self.ends[1:]
        self.dot(x, self.near_y)
        for end in far:
            self.dot(end, self.far_y)
        tip = far[self.touched[0]] if self.touched else sum(far) / 2
        back = 0 if self.touched else 6 * (1 if self.near_y > self.far_y else -1)
        self.line((x, self.near_y), (tip, self.far_y + back), lw=BLADE)


class _Lever(_Upright):
    """One common, several outputs; between them the blade touches nothing."""

    def form(self):
        x, far = self.ends[0], self.ends[1:]
        self.dot(x, self.near_y)
        for end in far:
            self.dot(end, self.far_y)
        toward = 1 if self.far_y > self.near_y else -1
        if self.touched:
            self.line((x, self.near_y), (far[self.touched[0]], self.far_y), lw=BLADE)
        else:
            lean = -THROW / 2 if len(far) > 2 else 0
            self.line((x, self.near_y), (x + lean, self.far_y - toward * 5), lw=BLADE)


class _Flasher(_Upright):
    """A box with its contact from 49 to 49a in the position it is in, and a square wave."""

    def form(self):
        x, other = self.xs[0], self.xs[-1]
        left, right = min(x, other) - 12, max(x, other) + 12
        self.box(left, self.top, right, self.low)
        toward = 1 if self.far_y > self.near_y else -1
        near, far = self.near_y + toward * 9, self.far_y - toward * 9
        self.line((x, self.near_y), (x, near))
        self.line((x, self.far_y), (x, far))
        self.dot(x, near, 1.6)
        self.dot(x, far, 1.6)
        side = 1 if other > x else -1
        self.line((x, near), (x, far) if self.touched else (x - side * 7, far - toward * 2), lw=BLADE)
        if x == other:       # two pins: no room for the wave
            return
        y, wave = (self.top + self.low) / 2, x + side * 14 - (0 if side > 0 else 20)
        self.line((wave, y + 4), (wave + 5, y + 4), (wave + 5, y - 4), (wave + 10, y - 4), (wave + 10, y + 4),
                  (wave + 15, y + 4), (wave + 15, y - 4), (wave + 20, y - 4), lw=LINK)


_ELEMENTS = {"fuse": _Fuse, "breaker": _Breaker, "diode": _Diode, "resistor": _Resistor, "coil": _Coil,
             "lamp": _Lamp, "battery": _Battery, "box": _Box,
             "contact": _Contact, "changeover": _Changeover, "lever": _Lever, "flasher": _Flasher}


@lru_cache(maxsize=4096)
def drawn(symbol, state=""):
    """Return a symbol as a piece of SVG, its part being in a state.

    Parameters
    ----------
    symbol : Symbol
        Piece and place. [px]
    state : str
        State of the part; a contact stands as this state has it. [text]
    """
    element = _ELEMENTS[symbol.piece.symbol](symbol, symbol.piece.touched(state), state)
    figure = Figure(bbox=BBox(0, 0, 1, 1), inches_per_unit=_PX, margin=0)
    element._place((0, 0), 0)
    element._draw(figure)
    ordered = sorted(figure.svgelements, key=lambda pair: pair[0])
    text = "".join(ET.tostring(shape, encoding="unicode") for _, shape in ordered)
    return text.replace("stroke-dasharray:-;", "")       # schemdraw's word for a solid line is none in SVG

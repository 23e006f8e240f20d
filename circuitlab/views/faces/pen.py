"""The pen: the strokes of a shape as SVG, drawn by schemdraw, once for each position of a contact and kept."""

import sys
import xml.etree.ElementTree as ET
from functools import lru_cache

_backend = sys.modules.setdefault("schemdraw.backends.mpl", None)    # not opened: it is not drawn with, and slower than all else
from schemdraw.backends.svg import Figure
from schemdraw.segments import Segment, SegmentCircle, SegmentPoly
from schemdraw.transform import Transform
from schemdraw.types import BBox

if _backend is None:
    del sys.modules["schemdraw.backends.mpl"]     # whoever wants it can open it
_PX = 1 / 72                          # inches per drawing unit, so that one unit is one pixel
_STROKES = {"line": Segment, "dot": SegmentCircle, "area": SegmentPoly}


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
    figure = Figure(bbox=BBox(0, 0, 1, 1), inches_per_unit=_PX, margin=0)
    for stroke, given, look in symbol.piece.shape(symbol, state).strokes:
        _STROKES[stroke](*given, color="currentColor", **look).draw(figure, Transform(0, (0, 0)))
    text = "".join(ET.tostring(shape, encoding="unicode") for shape in figure.getsvg())
    return text.replace("stroke-dasharray:-;", "")       # schemdraw's word for a solid line is none in SVG

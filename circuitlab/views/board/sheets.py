"""The two forms of a board: what of each stands still, and its picture for each state of the circuit."""

from dataclasses import asdict, dataclass
from math import hypot

from ...arrangements.plan import STEP
from ..attached import lay_out_attached
from ..attached.layout import BORDER
from ..attached.picture import letters_attached, state_layer_attached
from ..edges import MARGIN
from ..faces import face_of
from ..point_words import volt_words
from ..schematic import lay_out
from ..schematic.picture import letters, state_layer
from ..strokes import glow
from ..style import LIT_COLOURS
from .areas import attached_areas, schematic_areas
from .arrows import arrows_of

LIT_RED = "#ff8f80"      # of a lit red lamp that may flash: no saturated red, whose share would be 0.8 (WCAG 2.2, 2.3.1)
_EDGE, _TOP = 8, 1       # beside what is shown of a sheet; above, where the title ends, and below it [px]


@dataclass(frozen=True)
class BoardForm:
    """How a board is drawn; each is a function of a sheet."""

    lay_out: object
    letters: object
    layer: object
    areas: object
    glasses: object


def _schematic_glasses(sheet):
    return {symbol.piece.part: (symbol.xs[0], symbol.top + symbol.height / 2, 12) for symbol in sheet.symbols
            if sheet.arrangement.part(symbol.piece.part).shines}


def _attached_glasses(sheet):
    parts = {block: sheet.arrangement.part(block.part) for block in sheet.blocks}
    return {lamp: where for block, part in parts.items() for lamp, where in face_of(part).glasses(part, block).items()}


FORMS = {"schematic": BoardForm(lay_out, letters, state_layer, schematic_areas, _schematic_glasses),
         "attached": BoardForm(lambda arrangement, like=None: lay_out_attached(arrangement, like=like), letters_attached,
                               state_layer_attached, attached_areas, _attached_glasses)}


def still_of(form, sheet):
    """Return what of a sheet stands still, for the page to lay under its pictures and hands.

    Returns
    -------
    dict
        ``letters`` as SVG, ``view`` and ``key`` as (left, top, width, height) [px], ``plan``, ``lamps``, ``areas``,
        ``terminals``, ``arrows`` and ``names``: key of a part's area, and the box of a word that stands beside it [px]; ``grown``: whether
        something was put in later, so that it would be drawn otherwise anew. [yes/no]
    """
    areas, ends = FORMS[form].areas(sheet)
    arrows = arrows_of({area.key: area.box for area in areas if area.kind == "part"})
    return {"view": _view(sheet, areas), "key": _key(sheet), "least_letter": min(label.size for label in sheet.labels), "letters": FORMS[form].letters(sheet),
            "plan": _plan(sheet), "lamps": _lamps(form, sheet), "areas": [asdict(area) for area in areas], "terminals": ends, "arrows": arrows,
            "names": _names(sheet, areas), "grown": getattr(sheet, "is_grown", False)}


def _names(sheet, areas):
    """Return for each word of a part the key of the area that it stands nearest to, and its box. [px]"""
    found, parts = [], [area for area in areas if area.kind == "part"]
    for label in sheet.labels:
        own = [area for area in parts if area.name == label.owner] if label.kind == "piece" else ()
        if own:
            nearest = min(own, key=lambda area: hypot(label.x - (area.box[0] + area.box[2]) / 2, label.y - (area.box[1] + area.box[3]) / 2))
            found.append([nearest.key, *(round(each, 1) for each in label.box)])
    return found


def picture_of(form, sheet, arrangement, point, prefix):
    """Return one picture of a state: ``svg``, the ``states`` of all parts, and ``words`` for lamps that have no number."""
    lamps = {part.name: _word(part, point) for part in arrangement.parts if part.shines} if point.is_settled else {}
    return {"svg": FORMS[form].layer(sheet, arrangement, point, prefix), "states": dict(point.states),
            "positions": dict(point.positions), "words": {lamp: word for lamp, word in lamps.items() if word}}


def _word(lamp, point):
    """Return what stands in the place of a lamp's volts or light, nothing where numbers do. [text]"""
    return point.states[lamp.name] if point.states[lamp.name] != "whole" else "floating" if volt_words(lamp, point) == "floating" else ""


def _lamps(form, sheet):
    """Return the place of each lamp's glass and numbers, its glow at full light, in the sheet's order."""
    found = []
    for name, (x, y, radius) in FORMS[form].glasses(sheet).items():
        lamp = sheet.arrangement.part(name)
        texts = {label.live.removeprefix(f"{name} "): (label.x, label.y, label.size) for label in sheet.labels
                 if label.kind == "piece" and label.live and (label.owner == name or label.live.startswith(f"{name} "))}
        found.append({"name": name, "place": lamp.place, "glow": glow(x, y, radius, lamp, 1.0).replace(LIT_COLOURS["red"], LIT_RED), "at": (x, y, radius),
                      "colour": lamp.light, "texts": texts})
    return found


def _plan(sheet):
    """Return where each part of an attached sheet stands, in steps from a corner, and from where on a board shows it [px]; of a schematic None."""
    if not hasattr(sheet, "corner"):
        return None
    left, top = sheet.corner
    return {"step": STEP, "corner": sheet.corner, "anchor": (left - MARGIN - BORDER, top - 27), "spots": {name: (x, y) for name, x, y, _ in sheet.spots}}


def _view(sheet, areas):
    """Return the box of a sheet without its title and key. [px]"""
    boxes = [area.box for area in areas] + [label.box for label in sheet.labels if label.owner not in ("title", "key", "remark")]
    boxes += [box for box in (getattr(sheet, "outline", ()), getattr(sheet, "trailer", ())) if box]
    left, top = (min(box[side] for box in boxes) - edge for side, edge in ((0, _EDGE), (1, _TOP)))
    right, low = (max(box[side] for box in boxes) + edge for side, edge in ((2, _EDGE), (3, _TOP)))
    return [round(each, 1) for each in (left, top, right - left, low - top)]


def _key(sheet):
    """Return the box of a sheet's key. [px]"""
    top = min(y for _, _, _, y in sheet.key) - 14
    return [0, round(top, 1), sheet.width, round(sheet.height - top, 1)]

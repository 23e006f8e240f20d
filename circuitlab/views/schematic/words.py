"""The drawing in words: every part and every wire, path by path, for whoever cannot see it."""

from functools import lru_cache

from ...ground.errors import listed
from ..point_words import told
from ..style import named
from .layout import lay_out


def describe(arrangement, point=None, sheet=None):
    """Return the schematic as text: part by part along the paths, and after each part the wires that leave it.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint, optional
        Adds states, lamp volts and what is live, ghost, dead or floating.
    sheet : Sheet, optional
        The one that is drawn, where it is laid out like another; it numbers the paths if it shows every part.

    Returns
    -------
    str
        One sentence for each part and each wire.
    """
    if sheet is None or not _shows_all(sheet, arrangement):
        sheet = lay_out(arrangement)
    opening = (f"{arrangement.title}. Current-path drawing: battery {arrangement.live_pole} on top, ground below, "
               "paths numbered from left to right.")
    return told(arrangement, point, opening, [(arrangement.part(name), words) for name, words in _kept_words(sheet)])


def _shows_all(sheet, arrangement):
    """Tell whether a sheet is no page of a longer one."""
    shown = {symbol.piece.part for symbol in sheet.symbols} | {metal.part for metal in sheet.metals}
    return all(part.name in shown for part in arrangement.parts)


@lru_cache(maxsize=64)
def _kept_words(sheet):
    """Return what never changes of every part, in the order of the paths, plus first and ground last."""
    place, paths = {}, {}
    for symbol in sheet.symbols:
        name, path = symbol.piece.part, sheet.paths[symbol.piece.key]
        paths.setdefault(name, set()).add(path)
        place[name] = min(place.get(name, (1, path, symbol.top)), (1, path, symbol.top))
    for metal in sheet.metals:
        left = min(line[0] for line in metal.lines)
        path = sum(x <= left for x in sheet.columns)
        place.setdefault(metal.part, (2 if metal.kind == "ground" else 1, path, metal.lines[0][1]))
    return tuple((name, _part_words(sheet.arrangement.part(name), sorted(paths.get(name, ()))))
                 for name in sorted(place, key=lambda name: (place[name], name)))


def _part_words(part, paths):
    where = f"Path {listed(paths)}: " if paths else "Between paths: "
    return f"{where}{part.kind} {named(part)}"

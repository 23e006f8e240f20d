"""The drawing in words: every part and every wire, path by path, for whoever cannot see it."""

from ...ground.errors import listed
from ..point_words import floating_words, light_words, volt_words, wire_words
from ..style import UNANSWERED, ambient_line, colour_words, frame_words, named
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
    settled = point if point is not None and point.is_settled else None
    lines = [f"{arrangement.title}. Current-path drawing: battery {arrangement.live_pole} on top, ground below, "
             f"paths numbered from left to right.{frame_words(arrangement)}",
             *filter(None, [ambient_line(arrangement)])]
    if point is not None and not settled:
        lines.append(f"No steady state: {point.sentence}. {UNANSWERED}")
    words = dict(_kept_words(sheet))
    said = set()
    for name in words:
        part = arrangement.part(name)
        lines.append(words[name] + _part_state(part, settled) + ".")
        for wire in _wires_on(arrangement, part):
            if wire.name not in said:
                said.add(wire.name)
                lines.append(_wire(wire, part, settled))
    lines += floating_words(any(line.endswith(": floating.") for line in lines))
    if arrangement.loose:
        lines.append(f"Nothing is wired to {listed(arrangement.loose)}.")
    return " ".join(lines)


def _shows_all(sheet, arrangement):
    """Tell whether a sheet is no page of a longer one."""
    shown = {symbol.piece.part for symbol in sheet.symbols} | {metal.part for metal in sheet.metals}
    return all(part.name in shown for part in arrangement.parts)


def _kept_words(sheet):
    """Return what never changes of every part, in the order of the paths, plus first and ground last."""
    if "words" not in sheet.kept:
        place, paths = {}, {}
        for symbol in sheet.symbols:
            name, path = symbol.piece.part, sheet.paths[symbol.piece.key]
            paths.setdefault(name, set()).add(path)
            place[name] = min(place.get(name, (1, path, symbol.top)), (1, path, symbol.top))
        for metal in sheet.metals:
            left = min(line[0] for line in metal.lines)
            path = sum(x <= left for x in sheet.columns)
            place.setdefault(metal.part, (2 if metal.kind == "ground" else 1, path, metal.lines[0][1]))
        sheet.kept["words"] = tuple((name, _part_words(sheet.arrangement.part(name), sorted(paths.get(name, ()))))
                                    for name in sorted(place, key=lambda name: (place[name], name)))
    return sheet.kept["words"]


def _part_words(part, paths):
    where = f"Path {listed(paths)}: " if paths else "Between paths: "
    return f"{where}{part.kind} {named(part)}"


def _part_state(part, point):
    if point is None:
        return ""
    if part.shines:
        return f": {volt_words(part, point)}, {light_words(part, point)}"
    state = point.states[part.name]
    return f": {state}" if state != "fixed" else ""


def _wires_on(arrangement, part):
    names = [name for terminal in part.terminals for name in arrangement.wires_at[f"{part.name}:{terminal}"]]
    return [arrangement.part(name) for name in dict.fromkeys(names)]


def _wire(wire, part, point):
    """Say a wire from the part just spoken of to the other one."""
    ends = wire.terminals if wire.start.startswith(f"{part.name}:") else wire.terminals[::-1]
    colour = f"{wire.colour or 'without letters'} ({colour_words(wire.colour)})"
    text = f"From {ends[0]}, wire {wire.name} {colour} to {ends[1]}"
    if point is None:
        return text + "."
    return f"{text}: {wire_words(wire, point)}."

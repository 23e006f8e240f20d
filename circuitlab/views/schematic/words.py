"""The drawing in words: every part and every wire, path by path, for whoever cannot see it."""

from ..style import colour_words, named
from .sheet import lay_out


def describe(arrangement, point=None):
    """Return the schematic as text: parts path by path from left to right, then what hangs on each of their terminals.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint, optional
        Adds states, lamp volts and what is live.

    Returns
    -------
    str
        One sentence for each part and each wire.
    """
    sheet = lay_out(arrangement)
    settled = point if point is not None and point.is_settled else None
    lines = [f"{arrangement.title}. Current-path drawing, battery plus on top, ground below, "
             f"paths numbered from left to right."]
    if point is not None and not point.is_settled:
        lines.append(f"No steady state: {point.sentence}")
    paths = {}
    for symbol in sheet.symbols:
        paths.setdefault(symbol.piece.part, []).append(sheet.paths[symbol.piece.key])
    first = {name: min(found) for name, found in paths.items()}
    for part in sorted(arrangement.parts, key=lambda part: first.get(part.name, 0)):
        lines.append(_part(part, paths.get(part.name, ()), settled))
    lines += [_wire(wire, settled) for wire in arrangement.wires]
    if arrangement.loose:
        lines.append(f"Nothing is wired to {', '.join(arrangement.loose)}.")
    return " ".join(lines)


def _part(part, paths, point):
    where = f"path {', '.join(map(str, sorted(set(paths))))}: " if paths else ""
    text = f"{where}{part.kind} {named(part)}"
    if point is None:
        return text + "."
    if part.kind == "lamp":
        return f"{text}: {volt_words(part, point)}, {light_words(part, point)}."
    state = point.states[part.name]
    return text + (f": {state}." if state != "fixed" else ".")


def _wire(wire, point):
    text = f"Wire {wire.name}, {wire.colour or 'no letters'} ({colour_words(wire.colour)}), {wire.start} to {wire.end}"
    if point is None:
        return text + "."
    state = state_of_wire(wire, point)
    return f"{text}: {'not live' if state == 'dead' else state}."


def state_of_wire(wire, point):
    """Return live, floating or dead. [text]"""
    if point.is_live(wire.start) or point.is_live(wire.end):
        return "live"
    return "floating" if point.volts(wire.start) is None and point.volts(wire.end) is None else "dead"


def volt_words(lamp, point):
    """Return the volts across a lamp, or that it floats."""
    if point.volts(f"{lamp.name}:1") is None or point.volts(f"{lamp.name}:2") is None:
        return "floating"
    return f"{point.lamp_volts(lamp.name):.1f} V".replace("-0.0", "0.0").replace("-", "\N{MINUS SIGN}")


def light_words(lamp, point):
    """Return a lamp's light in percent of its rated light, or that it is dark or blown."""
    if point.states[lamp.name] == "blown":
        return "blown"
    light = point.light(lamp.name)
    return f"{100 * light:.0f} %" if light >= 0.005 else "dark"

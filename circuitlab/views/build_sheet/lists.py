"""The first page's lists: parts, connections, colour letters."""

from dataclasses import fields
from math import isinf

from ...ground.quantities import awg_to_mm2
from ..style import COLOUR_WORDS, colour_words, safe
from .table import table

SLACK = 1.005              # so that an area rounded to three digits still counts as its gauge
GAUGES = range(0, 31, 2)   # even gauges are what shops sell: common practice


def next_gauge(area):
    """Return ``(gauge, its area)`` of the next larger even American gauge; None beyond the thickest. [AWG], [mm2]

    >>> gauge, true = next_gauge(1.5)
    >>> gauge, round(true, 2)
    (14, 2.08)
    """
    fitting = [gauge for gauge in GAUGES if awg_to_mm2(gauge) * SLACK >= area]
    return (max(fitting), awg_to_mm2(max(fitting))) if fitting else None


def parts_list(arrangement):
    """Return the table of parts with what to buy and where it goes. [HTML]"""
    rows = [(safe(part.name), safe(_details(part)) + (f" <i>{safe(part.note)}</i>" if part.note else ""),
             safe(part.place)) for part in arrangement.parts]
    return table("Parts", ("part", "what", "place"), rows, split=True, kind="parts")


def connection_list(arrangement):
    """Return the table of wires, the metres to cut of each size, and the terminals left open. [HTML]"""
    rows, metres = [], {}
    for wire in (wire for wire in arrangement.wires if not wire.is_touch):
        gauge = next_gauge(wire.area)
        rows.append((safe(wire.name), safe(wire.start), safe(wire.end), wire.colour or "any", f"{wire.length:g}",
                     f"{wire.area:g}", "{} ({:.2f})".format(*gauge) if gauge else "none so thick"))
        metres[wire.area] = metres.get(wire.area, 0) + wire.length
    heads = ("wire", "from", "to", "colour", "m", "mm\N{SUPERSCRIPT TWO}", "AWG (mm\N{SUPERSCRIPT TWO})")
    cut = "; ".join(f"{length:.1f} m of {area:g} mm\N{SUPERSCRIPT TWO}" for area, length in sorted(metres.items()))
    notes = [f"Wire in all: {cut}." if cut else "There is no wire.",
             "AWG is the next larger even gauge, with its true area in brackets."]
    notes += [f"{wire.name}: {wire.note}" for wire in arrangement.wires if wire.note]
    if arrangement.loose:
        notes.append(f"No wire goes on: {', '.join(arrangement.loose)}.")
    return table("Connections", heads, rows, split=True, kind="wires") + f"<p>{safe(' '.join(notes))}</p>"


def colour_legend(arrangement):
    """Return a line that reads out the colour letters in use. [HTML]"""
    codes = [wire.colour for wire in arrangement.wires]
    letters = [code for code in COLOUR_WORDS if any(code in (colour[:2], colour[2:]) for colour in codes)]
    said = [f"{code} {COLOUR_WORDS[code]}" for code in letters]
    two = next((colour for colour in codes if len(colour) == 4), None)
    if two:
        said.append(f"two run together: {two} is {colour_words(two)}")
    if "" in codes:
        said.append("any: choose one and write it in")
    return f"<p><b>Colour letters (IEC 60757):</b> {safe('; '.join(said))}.</p>" if said else ""


def faults_in(arrangement):
    """Return what is not sound in the arrangement, in words. [text]"""
    said = [f"{name} stays {state}" for name, state in arrangement.held]
    said += [f"{wire.name} is lost at {end}" for wire in arrangement.wires
             for end, joint in ((wire.start, wire.start_joint), (wire.end, wire.end_joint)) if isinf(joint)]
    said += [f"{wire.start} touches {wire.end}" for wire in arrangement.wires if wire.is_touch]
    return ", ".join(said)


def _details(part):
    words = _WORDS.get(part.kind)
    if words:
        return words(part)
    told = [f"{field.name.replace('_', ' ')} {getattr(part, field.name)}" for field in fields(part)
            if field.name not in ("name", "place", "note")]
    return f"{part.kind}, {', '.join(told)}" if told else part.kind


def _switch(switch):
    closes = "; ".join(f"{position}: " + ", ".join("\N{EN DASH}".join(pair) for pair in pairs)
                       for position, pairs in switch.closes)
    return f"switch, {switch.control} ({switch.worked_by}); closes {closes}"


def _flasher(flasher):
    """As one asks for it at the counter: type, terminals, loads."""
    return (f"flasher, {flasher.type}, {' '.join(flasher.terminals)}, {flasher.load_range}, {flasher.volts:g} V, "
            f"{flasher.rate:g} per minute, on-time {100 * flasher.on_share:g} %")


def _led_lamp(lamp):
    load = ""
    if not isinf(lamp.load_resistance):
        load = f", load resistor {lamp.load_resistance:g} ohm {lamp.load_watts:g} W"
    return f"LED lamp, {lamp.bulb}, {lamp.watts:g} W at {lamp.volts:g} V, {lamp.light} light, plus on 1{load}"


def _bulb(lamp):
    """Return a lamp's bulb, what it draws, and what stands on it where that is more than its name. [text]"""
    glass = f" (on the bulb: {lamp.marking})" if lamp.marking not in ("", lamp.bulb) else ""
    return f"{f'{lamp.bulb}, ' if lamp.bulb else ''}{lamp.watts:g} W at {lamp.volts:g} V{glass}"


def _relay(relay):
    within = {"none": "", "resistor": f", resistor {relay.suppression_resistance:g} ohm across it",
              "diode": ", diode across it: plus on 86"}[relay.suppression]
    return f"relay, {relay.contact}, coil {relay.coil_resistance:g} ohm{within}"


_WORDS = {
    "battery": lambda part: f"battery, {part.voltage:g} V",
    "fuse": lambda part: f"{part.family} fuse, {part.rating:g} A",
    "lamp": lambda part: f"lamp, {_bulb(part)}, {part.light} light",
    "breaker": lambda part: f"breaker, recloses by itself, {part.rating:g} A",
    "LED lamp": _led_lamp,
    "diode": lambda part: (f"diode, carries {part.rated_current:g} A, blocks {part.blocks:g} V, "
                           f"drops {part.forward_voltage:g} V at {part.forward_current:g} A, ring on K"),
    "relay": _relay,
    "flasher": _flasher,
    "switch": _switch,
    "splice": lambda part: f"splice, {part.ways} ways",
    "chassis": lambda part: f"chassis, {part.studs} studs",
    "resistor": lambda part: f"resistor, {part.resistance:g} ohm" + ("" if isinf(part.rated_watts) else
                                                                    f", {part.rated_watts:g} W"),
}

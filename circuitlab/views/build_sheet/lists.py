"""The first page's lists: parts, connections, colour letters; and how a table of either page is set."""

from math import isinf

from ...ground.quantities import awg_to_mm2
from ...reasoning.bench_readings import SWING
from ...reasoning.leads import DRIFTS
from ..faces import face_of
from ..grid import Grid, Html
from ..style import COLOUR_WORDS, colour_words, safe

FILL = Html('<span class="fill"></span>')       # to write into
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


def table(grid, split=False, kind=""):
    """Return a grid for print; ``split`` sets it in two halves side by side when it has eight rows or more. [HTML]

    Parameters
    ----------
    grid : Grid
        Its caption is said once, above the first half.
    kind : str
        Class of the table, for the style sheet. [text]
    """
    count = len(grid.rows)
    middle = -(-count // 2) if split and count >= 8 else count
    written = [grid.html(kind, half) for half in (range(middle), range(middle, count)) if half]
    set_in = "halves" if len(written) > 1 else "whole"
    return f'<h2>{safe(grid.caption)}</h2><div class="{set_in}">{"".join(written)}</div>'


def parts_list(arrangement, switched=None):
    """Return the table of parts with what to buy and where it goes; ``switched``: the FlasherLoad of each flasher, by its name. [HTML]"""
    rows = [(part.name, Html(safe(face_of(part).details(part) + load_words((switched or {}).get(part.name)))
                             + (f" <i>{safe(part.note)}</i>" if part.note else "")), part.place) for part in arrangement.listed]
    return table(Grid("Parts", ("part", "what", "place"), rows), split=True, kind="parts")


def load_words(load):
    """Return what a flasher really switches, and that it has to carry that. [text]

    >>> from ...reasoning.flasher_loads import FlasherLoad
    >>> load_words(FlasherLoad(43.0, 87.0, 21.0, "hazard on"))
    '; here it switches 2 x 21 W, 4 x 21 W with hazard on: buy one that may carry that'
    """
    if load is None:
        return ""
    count = lambda watts: f"{round(watts / load.bulb_watts)} x {load.bulb_watts:g} W" if load.bulb_watts else f"{watts:.0f} W"
    more = f", {count(load.most_watts)} with {load.added_by}" if load.added_by else ""
    return f"; here it switches {count(load.watts)}{more}: buy one that may carry that"


def connection_list(arrangement, expected, blank=False):
    """Return the table of wires, the metres to cut of each size and of each colour in it, and the terminals left open; ``blank``: volts to write in. [HTML]"""
    rows, metres = [], {}
    for wire in (wire for wire in arrangement.wires if not wire.is_touch):
        gauge = next_gauge(wire.area)
        rows.append((wire.name, wire.start, wire.end, wire.colour or "any", f"{wire.length:g}",
                     f"{wire.area:g}", "{} ({:.2f})".format(*gauge) if gauge else "none so thick",
                     *(FILL if blank else _volts(row) for row in expected.readings.get(wire.name, ()))))
        colours = metres.setdefault(wire.area, {})
        colours[wire.colour or "any"] = colours.get(wire.colour or "any", 0) + wire.length
    heads = ("wire", "from", "to", "colour", "m", "mm\N{SUPERSCRIPT TWO}", "AWG (mm\N{SUPERSCRIPT TWO})",
             *("V rest", "V row")[:len(expected.rows)])
    cut = "; ".join(f"{sum(colours.values()):.1f} m of {area:g} mm\N{SUPERSCRIPT TWO} ({', '.join(f'{colour} {length:.1f}' for colour, length in sorted(colours.items()))})"
                    for area, colours in sorted(metres.items()))
    notes = [f"Wire in all: {cut}." if cut else "There is no wire.",
             "AWG is the next larger even gauge, with its true area in brackets."]
    notes += [f"{wire.name}: {wire.note}" for wire in arrangement.wires if wire.note]
    notes += filter(None, (face_of(part).noted(part, arrangement) for part in arrangement.listed))
    if arrangement.loose:
        notes.append(f"No wire goes on: {', '.join(arrangement.loose)}.")
    return (table(Grid("Connections", heads, rows), split=True, kind="wires") + _readings_words(expected, blank)
            + f"<p>{safe(' '.join(notes))}</p>")


def _volts(readings):
    """Return what a meter shows at a wire, off and on where a flasher makes it swing. [text]"""
    said = [reading_text(reading) for reading in readings]
    return "/".join(said) if len(set(said)) > 1 else said[0]


def reading_text(reading):
    """Return one reading as short as a column wants it. [text]

    >>> from circuitlab.reasoning.leads import Reading
    >>> [reading_text(Reading("E1:1", "G1:-", value=volts, word=word))
    ...  for volts, word in ((12.58, "live"), (0.003, "dead"), (None, "floating"), (9.31, "ghost"), (-12.6, "live"))]
    ['12.6', '0', 'fl', '9.3 g', '−12.6']
    """
    if reading.value is None:
        return "fl"
    volts = f"{reading.value:.1f}".replace("-", "\N{MINUS SIGN}")
    return ("0" if volts in ("0.0", "\N{MINUS SIGN}0.0") else volts) + " g" * (reading.word == "ghost")


def _readings_words(expected, blank=False):
    """Return how the columns of volts are to be read, or why there are none; ``blank``: how they are to be filled in. [HTML]"""
    if not expected.rows:
        return "<p>No volts are given: at rest this circuit has none that are steady.</p>"
    if not expected.readings:
        return ""
    told = [f"{'Write in the volts' if blank else 'Volts'} that a 10 megohm meter shows, black lead on {expected.black}, red on the wire's first end (its other, where the "
            "first is under the black lead). Rest: every control as it is left."]
    if len(expected.rows) > 1:
        rest, row = expected.rows
        told.append(f"Row: {', '.join(f'{name} {position}' for name, position in row.items() if position != rest[name])}.")
    if blank:
        return f"<p>{safe(' '.join(told))}</p>"
    shown = [reading for taken in expected.readings.values() for row in taken for reading in row]
    swinging = [row for taken in expected.readings.values() for row in taken if len(set(map(reading_text, row))) > 1]
    if swinging:
        widest = max(swinging, key=lambda row: max(each.shown for each in row) - min(each.shown for each in row))
        told.append(f"{_volts(widest)}: between flashes and in a flash. Where they are less than {SWING:g} V apart, those in a "
                    "flash stand alone.")
    if any(reading.value is None for reading in shown):
        told.append(f"fl: floats, {DRIFTS}.")
    if any(reading.word == "ghost" for reading in shown):
        told.append("g: a ghost, gone under a test lamp.")
    if expected.ghosts:
        most = max(map(abs, expected.ghosts.values()))
        told.append(f"May be a ghost of up to {most:.1f} V where diodes leak much: {', '.join(expected.ghosts)}.")
    return f"<p>{safe(' '.join(told))}</p>"


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

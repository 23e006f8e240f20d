"""Tables and sentences: the lamp table as text and as HTML, the readings of a moment in words."""

from collections import defaultdict

from ..arrangements.not_known import NOT_KNOWN
from ..ground.errors import listed
from ..ground.plain import counted
from ..ground.quantities import say
from ..parts import Flasher, Lamp, Relay
from ..reasoning import brightness, flash
from .grid import Grid
from .point_words import doubt_words
from .style import named, safe

SINGLY = 3      # rows with the same trouble, up to which each is told by itself
SETTLES = "as each filament settles"


def lamp_table_text(table):
    """Return the lamp table as plain text: one line per row, then what broke the rule.

    Parameters
    ----------
    table : LampTable

    Returns
    -------
    str
    """
    return table_text(table)


def table_text(table, timing=None):
    """Return the lamp table as plain text, with what the time courses of a proof showed marked in it where there are any."""
    heads, *lines = lamp_grid(table, timing).lines()
    rule = "-" * max(map(len, [heads, *lines]))
    named_lamps = "; ".join(named(lamp) for lamp in table.arrangement.of_kind(Lamp)) or "no lamps"
    first = filter(None, [unruled_words(table.arrangement), disagreement_words(table)])
    said = [table.arrangement.title, named_lamps, *first, "", heads, rule, *lines, rule, summary(table, timing)]
    told = defaultdict(list)
    for row in table.rows:
        if row.sentence != "settled":
            told[row.sentence].append(row.positions)
    said += [f"{where}: {sentence}." for sentence, rows in told.items() for where in rows_words(rows, len(table.rows))]
    return "\n".join(said + notes(table, timing) + beside_lines(table))


def in_time(timing):
    """Return what time courses refute of a lamp table, in few words: ``{(positions, lamp): seen}``. [text]"""
    said = {}
    for each in timing.broken if timing else ():
        said.setdefault((tuple(each.positions.items()), each.lamp), each.brief)
    return said


def beside_lines(table):
    """Return what a meter alone shows, what works beyond its sheet, what hurries, which pairs look uneven, and what overheats in a lamp table. [text]"""
    said = [f"{words} ({'; '.join(rows_words(rows, len(table.rows)))})."
            for words, rows in (*_ghosts(table), *table.unpromised, *table.hurried)]
    return said + [f"{words}." for words in (*table.uneven, *table.overheated)]


def _ghosts(table):
    """Return what a meter shows at terminals that a test lamp tells dead, as (words, rows in which it does). [text]"""
    told = defaultdict(list)
    for row in table.rows:
        for name, cell in row.terminals.items():
            if cell.remark:
                told[f"{name}: {cell.remark}"].append(row.positions)
    return list(told.items())


def rows_words(rows, count):
    """Return in which rows something is said to be so: each by itself, or together where they are many. [text]

    Parameters
    ----------
    rows : list of dict
        Positions. [text]
    count : int
        How many rows there are in all. [1]
    """
    said = [positions_words(positions) for positions in rows]
    if len(said) > SINGLY and len(said) == count:
        return ["in every row"]
    return [f"in {len(said)} of {count} rows, first {said[0]}"] if len(said) > SINGLY else said


def lamp_table_html(table, failing_only=False, current=None):
    """Return the lamp table as an HTML table; a cell that breaks the rule says so in words, the row of a number stands out."""
    shown = [number for number, row in enumerate(table.rows) if not failing_only or not row.keeps_rule]
    return (lamp_grid(table).html(shown=shown, current=current)
            + f'<p>{safe(f"{unruled_words(table.arrangement)} {summary(table)}".strip())}</p>'
            + (f"<p>{safe(trouble_words(table.troubles))}.</p>" if table.troubles else "")
            + "".join(f"<p>{safe(words)}</p>" for words in notes(table)) + beside_html(table))


def beside_html(table):
    """Return the same, a paragraph each. [HTML]"""
    return "".join(f"<p>{safe(words)}</p>" for words in beside_lines(table))


def summary(table, timing=None):
    """Return how many rows there are and how many keep the rule, in one sentence; with time courses, in time too.

    The table judges each filament settled: a flash may be too short for it, which time courses alone tell.
    """
    count, failing = len(table.rows), len(table.failing)
    flashes = any(cell.wanted == cell.look == "flashing" for row in table.rows for cell in row.cells.values())
    late = {where for where, _ in in_time(timing)} - {tuple(row.positions.items()) for row in table.failing}
    every = "every lamp and terminal" if table.terminals else "every lamp"
    every += " of which the rule speaks" if table.arrangement.unruled else ""
    if not table.arrangement.rule:
        return f"{count} rows."
    if late:
        settled = f"{failing} of them break the rule" if failing else f"{every} keeps its rule in all of them"
        return (f"{count} rows; {SETTLES}, {settled}. In time {len(late)}{' more' * bool(failing)} of them "
                f"{'breaks' if len(late) == 1 else 'break'} it (marked *).")
    if table.hanging:
        broken = f"{failing} of them {'breaks' if failing == 1 else 'break'} the rule" if failing else "none breaks the rule"
        return f"{count} rows, {broken}. {hanging_words(table)}"
    if not failing:
        return f"{count} rows, {every} keeps its rule in all of them{f', {SETTLES}' * (flashes and not timing)}."
    if not any(not cell.keeps_rule for row in table.failing for cell in row.judged.values()):
        return (f"{count} rows, {every} keeps its rule in all of them, but {failing} of them "
                f"{'has' if failing == 1 else 'have'} no steady result, so nothing is proved.")
    return f"{count} rows, {failing} of them {'breaks' if failing == 1 else 'break'} the rule (marked *)."


def notes(table, timing=None):
    """Return what is to be known to read a lamp table: looks of settled filaments, and cells that are empty. [text]"""
    settles = SETTLES in summary(table, timing)
    said = ["As a filament settles: by the light it comes to where a flash is long enough; time may show less."] if settles else []
    if any(name not in row.judged for row in table.rows for name in table.terminals):
        said.append("Where the column of a terminal is empty, nothing is asked there in that row.")
    return said


def unruled_words(arrangement):
    """Return that some lamps, or all, have no rule, so that nothing is proved of them; empty where all have one. [text]"""
    silent = arrangement.unruled
    if silent and not arrangement.rule:
        return "No rule is written down for this arrangement: nothing is proved."
    lamps = "; ".join(named(arrangement.part(lamp)) for lamp in silent)
    return f"No rule for {lamps}: not proved for {'it' if len(silent) == 1 else 'them'}." if silent else ""


def disagreement_words(table):
    """Return that a circuit does not do what its rule asks, in how many rows, and what first; empty where it does. [text]"""
    broken = [(row, f"{name} {cell.look}, wanted {cell.wanted}") for row in table.rows for name, cell in row.judged.items()
              if row.verdict == "settled" and not cell.keeps_rule and cell.look != NOT_KNOWN]
    if not broken:
        return ""
    row, first = broken[0]
    return (f"As listed, this circuit does not do what its rule asks in {len(table.failing)} of {len(table.rows)} rows, first with "
            f"{positions_words(row.positions)}: {first}.")


def hanging_words(table):
    """Return how many rows may keep the rule or break it, and on what that hangs; empty where none does. [text]"""
    hanging = table.hanging
    if not hanging:
        return ""
    name, words = next((name, words) for name, words in hanging[0].hangs.items() if not hanging[0].judged[name].keeps_rule)
    verb = "hangs" if len(hanging) == 1 else "hang"
    return (f"{counted(len(hanging), 'row')} {verb} on what is not known ({listed(table.arrangement.not_known)}), first {positions_words(hanging[0].positions)}: "
            f"{name} is {words}; wanted is {hanging[0].judged[name].wanted}.")


def no_matter_words(arrangement):
    """Return that what is not known makes no difference to any look that the rule asks. [text]"""
    names, it = arrangement.not_known, "it" if len(arrangement.not_known) == 1 else "them"
    rate = f" How fast lamps flash is told with {it} as described." if arrangement.of_kind(Flasher) else ""
    return f"{listed(names)} {'is' if len(names) == 1 else 'are'} not known, and no look that the rule asks hangs on {it}.{rate}"


def trouble_words(troubles, most=3):
    """Return what keeps rows from settling, and in how many rows, of more than ``most`` kinds only the first.

    >>> trouble_words([("K77 buzzes at about 100 Hz", 24), ("F1 trips", 1)], most=1)
    'K77 buzzes at about 100 Hz (24 rows); and 1 more'
    """
    said = [f"{sentence} ({rows} row{'s' * (rows != 1)})" for sentence, rows in troubles[:most]]
    return "; ".join(said + [f"and {len(troubles) - most} more"] * (len(troubles) > most))


def positions_words(positions):
    """Return positions, such as those of a row, in words. [text]

    >>> positions_words({"key": "on", "turn lever": "left"})
    'key on, turn lever left'
    """
    return ", ".join(f"{control} {position}" for control, position in positions.items()) or "no controls"


def cell_words(cell):
    """Return a cell as ``look volts``. [text]"""
    volts = sorted({f"{abs(u):.1f}" for u in cell.volts}, key=float)
    reading = "/".join(volts) + " V" if volts and cell.look not in ("dark", "dead", "floating") else ""
    return f"{cell.look} {reading}".strip()


def status(course, moment, measured=None):
    """Return the status sentence of a bench: where the controls stand at a moment and what every lamp does.

    Parameters
    ----------
    course : TimeCourse
    moment : float
        Within the record. [s]
    measured : dict of str to Flash, optional
        What :func:`~circuitlab.reasoning.flash` says of each lamp, when it is at hand already.

    Returns
    -------
    str
        For the eye and for a screen reader alike.
    """
    point = course.at(min(moment, course.until))
    where = ", ".join(f"{name} {position}" for name, position in point.positions.items())
    lamps = course.arrangement.of_kind(Lamp)
    said = [f"At {moment:.2f} s{f' ({where})' if where else ''}: "
            + ("; ".join(_lamp_now(point, lamp) for lamp in lamps) or "there is no lamp") + "."]
    if lamps:
        measured = measured or {lamp.name: flash(course, lamp.name) for lamp in lamps}
        said.append(f"Over {course.until:g} s: "
                    + "; ".join(f"{lamp.name} {measured[lamp.name].sentence}" for lamp in lamps) + ".")
    if course.verdict != "settled":
        said.append(f"Stopped at {course.until:.2f} s because {course.sentence}. What is moved later is not played: mend that first.")
    blown = [f"{event.name} blows at {event.time:.2f} s" for event in course.events if event.state == "blown"]
    return " ".join(said + [f"{words}." for words in blown])


def settled_status(point):
    """Return in one sentence where controls and relays of an operating point stand and what every lamp does."""
    where = [f"{name} {position}" for name, position in point.positions.items()]
    if not point.is_settled:
        return f"{', '.join(where)}: {point.sentence}."
    said = [f"{named(relay)}: {point.states[relay.name]}, {_coil_volts(point, relay)}"
            for relay in point.arrangement.of_kind(Relay)]
    said += [f"{named(lamp)}: {brightness(point.light(lamp.name))}, {say(abs(point.lamp_meter(lamp.name) or 0.0), 'V')}"
             for lamp in point.arrangement.of_kind(Lamp)]
    said += [] if said else ["There is no lamp"]
    frame = ", plus on the frame" if point.arrangement.frame == "plus" else ""
    supply = f"Supply {' and '.join(say(volts, 'V') for volts in point.arrangement.supplies)}{frame}"
    told = [f"{words[:1].upper()}{words[1:]}." for words in (*point.overheated, *point.endangered)]
    return " ".join([f"{', '.join([supply, *where])}. {'; '.join(said)}.", *told, *filter(None, [doubt_words(point)])])


def _coil_volts(point, relay):
    volts = point.meter(f"{relay.name}:86", f"{relay.name}:85")
    return "coil floating" if volts is None else f"{say(abs(volts), 'V')} across the coil"


def _lamp_now(point, lamp):
    volts, seen = abs(point.lamp_meter(lamp.name) or 0.0), brightness(point.light(lamp.name))
    if point.states[lamp.name] != "whole":
        seen = point.states[lamp.name]
    elif seen != "dark" and volts < 1:
        seen = "still glowing"
    elif seen != "lit" and volts > lamp.volts / 2:
        seen = "warming up"
    return f"{named(lamp)}: {seen}, {say(volts, 'V')}"


def lamp_grid(table, timing=None):
    """Return the lamp table as a grid, empty where nothing is asked of a terminal; what breaks the rule, at rest or in time, is marked."""
    late, names, rows, marks = in_time(timing), (*table.lamps, *table.terminals), [], {}
    for number, row in enumerate(table.rows):
        rows.append([*(row.positions[control] for control in table.controls),
                     *(cell_words(row.judged[name]) if name in row.judged else "" for name in names)])
        for column, name in enumerate(names, len(table.controls)):
            cell, seen = row.judged.get(name), late.get((tuple(row.positions.items()), name))
            if cell and (seen or not cell.keeps_rule):
                marks[number, column] = f"in time: {seen}" if cell.keeps_rule else f"rule: {cell.wanted}"
    return Grid(table.arrangement.title, (*table.controls, *names), rows, marks, len(table.controls))

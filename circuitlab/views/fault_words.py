"""The fault table in words: as plain text, worst fault first, and as an HTML table."""

from textwrap import wrap

from ..ground.quantities import say
from ..reasoning.faults import BROKEN_COIL, CLASSES, CORRODED, DRAIN, FAR, HEAT_TABLE
from ..reasoning.leads import DIGITS, DRIFTS
from ..reasoning.nearly_gone import nearly_gone_words
from .grid import Grid
from .style import safe
from .tables import disagreement_words, positions_words, trouble_words, unruled_words

WIDE = 118    # letters in a line of text
NAMED = 4       # faults that are read alike named in a sentence
HIDDEN = "stop lamp dark while signalling"
NOTES = (
    f"A corroded joint has {CORRODED:g} ohm. A wire is overloaded above its ampacity by the table '{HEAT_TABLE}'; "
    f"a battery is drained by more than {1000 * DRAIN:.0f} mA beyond the healthy with everything at rest. Within a "
    "class, faults are ordered by odds times rows; the odds are the kit's own guess. A lamp clipped on as a load: the frame "
    "first and the far end last, away from the battery, whose gas a spark can light; a fuse of 5 A in its lead; it gets hot."
)
ALWAYS = " all the time"
SHOWN = 0.0005             # V, the least that a display of millivolts shows
OPEN = 0.9 * BROKEN_COIL   # ohm, read from here on as no way: a broken coil, with what may lie beside it
FINE = 9.95     # ohm, below which a meter shows tenths and no more


def fault_table_text(table, readings=True, most=None):
    """Return a fault table as plain text: each fault with what is seen first and the reading that reveals it.

    Parameters
    ----------
    table : FaultTable
    readings : bool
        Whether to look for each fault's reading; takes some milliseconds each. [yes/no]
    most : int, optional
        How many faults to print; all that have an effect unless given. [1]

    Returns
    -------
    str
    """
    shown = [line for line in table.lines if line.worst != "no effect"][:most]
    said = [table.arrangement.title, *wrap(faults_summary(table), WIDE), ""]
    for number, line in enumerate(shown, start=1):
        told = [f"{class_words(line)}: {line.fault.words}", *_effects(table, line, readings)]
        told += [f"Reading: {reading_words(table.reading(line), line.is_short, table.arrangement.pole_on_frame, line.fault.is_poor)}"] if readings else []
        for first, words in zip((f"{number:3}. ", *["     "] * len(told)), told):
            said += wrap(words, WIDE, initial_indent=first, subsequent_indent="       ")
    none = [line for line in table.lines if line.worst == "no effect"]
    dimmer = {line.fault.words: table.dimmed(line) for line in none} if readings and most is None else {}
    dimmer = {words: seen for words, seen in dimmer.items() if seen}
    if dimmer:
        told = (f"{words} ({_dimmer(*seen)})" for words, seen in dimmer.items())
        said += ["", *wrap(f"No signal is lost, and a lamp is dimmer as one sees beside a sound one: {'; '.join(told)}.", WIDE)]
    without = [line.fault.words for line in none if line.fault.words not in dimmer]
    if without and most is None:
        said += [
            "",
            *wrap(f"No effect in any row, so found only by looking or by measuring: {'; '.join(without)}.", WIDE),
        ]
    return "\n".join([*said, "", *wrap(NOTES, WIDE)])


def fault_table_html(table, readings=True, most=None):
    """Return a fault table as an HTML table; the class stands in words in the first column.

    Parameters
    ----------
    table : FaultTable
    readings : bool
        Whether to look for each fault's reading. [yes/no]
    most : int, optional
        How many faults to show; all unless given. [1]
    """
    heads = ("Class", "Fault", "Rows", "What is seen first", *(("Reading that reveals it",) if readings else ()))
    body = []
    for line in table.lines[:most]:
        cells = [HIDDEN + "; " + line.worst if line.hides else line.worst, line.fault.words, rows_words(line),
                 " ".join(_effects(table, line, readings))]
        if readings:
            cells.append(reading_words(table.reading(line), line.is_short, table.arrangement.pole_on_frame, line.fault.is_poor)
                         if line.worst != "no effect" else "none")
        body.append(cells)
    return Grid(f"{table.arrangement.title}. {faults_summary(table)}", heads, body, named_by=2).html() + f"<p>{safe(NOTES)}</p>"


def faults_summary(table):
    """Return how many faults there are of each class, after what rule and healthy circuit leave open between them."""
    counts = ", ".join(f"{count} {name}" for name, count in table.counts.items() if count)
    if not table.lines and not table.is_complete:
        return f"Stopped: none of {table.asked} faults was looked at."
    first = [unruled_words(table.arrangement), disagreement_words(table.healthy)]
    counted = f"{len(table.lines)} faults in {len(table.rows)} rows, by the worst each does: {counts or 'none'}."
    said = " ".join(filter(None, [*first, counted]))
    if table.troubles:
        said += f" Even without a fault there is no steady result: {trouble_words(table.troubles)}. Mend that first."
    if table.healthy.overheated:
        first, *more = table.healthy.overheated
        said += f" Even without a fault {first}{f', and {len(more)} more likewise' * bool(more)}. Mend that first."
    hidden = sum(line.hides for line in table.lines)
    if hidden:
        said += (
            f" {hidden} of them leave{'s' if hidden == 1 else ''} a stop lamp dark while the pedal is held and turn or hazard "
            "is selected: it shows neither of them, though the pedal alone lights it. They stand first."
        )
    if not table.is_complete:
        said += f" Stopped before the end: {table.asked - len(table.lines)} faults were not looked at."
    return said


def _effects(table, line, readings):
    """Return what is seen of a fault, and with readings what is in danger beside it, in sentences. [text]"""
    beside = [f"Beside it: {words}." for words in table.endangered(line)] if readings else []
    dimmed = table.dimmed(line) if readings and line.worst == "no effect" else None
    return [f"No signal is lost, and {_dimmer(*dimmed)}." if dimmed else seen_words(table, line), *beside]


def _dimmer(lamp, share):
    return f"{lamp} gives {100 * share:.0f} % of its right light"


def class_words(line):
    """Return a line's class and in how many rows, such as ``signal lost in 4 of 12 rows``. [text]"""
    return f"{HIDDEN.upper()}, {rows_words(line)}" if line.hides else rows_words(line)


def rows_words(line):
    """Return in how many rows a fault is of each class. [text]"""
    total = len(line.effects)
    found = [f"{name} in {line.counts[name]}" for name in CLASSES if name in line.counts and name != "no effect"]
    return f"{', '.join(found)} of {total} rows" if found else "no effect"


def seen_words(table, line):
    """Return what is seen in the row that gives a fault its rank. [text]"""
    row = line.first()
    if row is None or line.worst == "no effect":
        return "Nothing is seen in any row."
    return f"{positions_words(table.rows[row])}: {'; '.join(line.effects[row].reasons)}."


def reading_words(telltale, is_short=False, frame="minus", is_poor=False):
    """Return where to hold a meter and what it shows, healthy and now; a short is not looked for live. [text]

    The clamp on the frame, minus or plus, comes off first. Where a poor contact is all there is, nothing touches, and it gets hot.
    """
    if telltale is None:
        look = "let it cool, then look for a joint or pin that is loose, dark or burnt" if is_poor else "look for what touches"
        return (f"every battery off first ({frame} first), and never measure it live: {look}." if is_short else
                "no meter tells it plainly; look at lamps and joints.")
    where = telltale.healthy
    off = where.instrument == "ohms"
    both, (healthy, now) = _phases(*(({}, {}) if off else telltale.running))
    first = [f"every battery off ({frame} first), meter on ohms"] if off else []
    first += [telltale.before] if telltale.before else []
    is_cable = off and where.black.endswith(":+" if frame == "plus" else ":-")
    first += [f"red lead {where.red}, black lead {where.black}{' (the cable that came off)' if is_cable else ''}"]
    seen = f", and {telltale.seen}" if telltale.seen else ""
    sides = zip((telltale.healthy, telltale.faulty), (healthy, now), telltale.spans)
    normal, faulty = (_over_time(reading, phase, None if both else span) for reading, phase, span in sides)
    return (f"{', '.join(first)}, {positions_words(where.positions)}{both}: {normal[0]} when healthy{normal[1]}, "
            f"{faulty[0]} now{faulty[1]}{seen}.{alike_words(telltale.alike)}")


def _over_time(reading, phase, span):
    """Return what a reading shows, and when: what is at times less than half its greatest is no more than that at any time. [text]"""
    is_plain = reading.value is not None and reading.word not in ("ghost", "unsteady")
    if not span or not is_plain or phase not in ("", ALWAYS) or span[1] < SHOWN or span[0] > span[1] / 2:
        return shown_words(reading), phase
    return f"at most {say(span[1], reading.unit)}", ""


def _phases(healthy, faulty):
    """Return what is said of the flashers' phases before both readings, and behind each: nobody waits for one that never comes.

    >>> _phases({"K9": "on"}, {"K9": "on"}), _phases({"K9": "on"}, {}), _phases({}, {})
    ((', K9 output on', ['', '']), ('', [' while K9 output is on', ' all the time']), ('', ['', '']))
    """
    shared = {name: phase for name, phase in healthy.items() if faulty.get(name) == phase}
    own = [[f"{name} output is {phase}" for name, phase in each.items() if name not in shared] for each in (healthy, faulty)]
    some = any(own)
    return ("".join(f", {name} output {phase}" for name, phase in shared.items()),
            [f" while {' and '.join(each)}" if each else ALWAYS if some and not shared else "" for each in own])


def alike_words(alike):
    """Return which other faults are read alike, a few by name. [text]

    >>> alike_words(("F1 blown", "W1 open at F1:1")), alike_words(())
    (' It reads the same with: F1 blown; W1 open at F1:1.', '')
    """
    more = f"; and {len(alike) - NAMED} more that look alike" if len(alike) > NAMED else ""
    return f" It reads the same with: {'; '.join(alike[:NAMED])}{more}." if alike else ""


def shown_words(reading):
    """Return what a reading shows, and where volts mislead, what else is to be known. [text]

    >>> from circuitlab.reasoning.leads import Reading
    >>> shown_words(Reading("S1:15", "G1:-", value=10.91, word="ghost"))
    '10.9 V (a ghost: gone under a test lamp)'
    """
    if reading.word == "unsteady":
        return "nothing steady (what buzzes makes the display jump)"
    if reading.unit == "ohm" and (reading.value is None or reading.value >= OPEN):
        return "no way (over the range)"
    if reading.value is None:
        return f"nothing that is joined to the battery (floating: {DRIFTS})"
    if reading.unit == "ohm" and reading.value < DIGITS["ohms"]:
        return "0 ohm (what the leads show held together)"
    if reading.unit == "ohm" and reading.value >= FAR:
        return "far above 1 kohm (how far depends on the meter)"
    if reading.unit == "ohm" and reading.value < FINE:
        return f"{reading.value:.1f} ohm"
    said = say(abs(reading.value) if abs(reading.value) < 0.0005 else reading.value, reading.unit)
    if reading.word == "ghost":
        said += " (a ghost: gone under a test lamp)"
    said += nearly_gone_words(reading.under_lamp)
    if reading.highest is not None:
        said += f" (or up to {say(reading.highest, reading.unit)}, a ghost, where blocked diodes leak more)"
    return said

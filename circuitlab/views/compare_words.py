"""A comparison in words: what changed in the rows, at terminals, in the parts, in currents and volts, and in the faults."""

from textwrap import wrap

from ..ground.errors import listed
from ..ground.plain import counted
from ..ground.quantities import say
from ..reasoning.comparing import ABSENT
from ..reasoning.faults import CLASSES
from ..reasoning.flashing import hurry_words
from .fault_words import WIDE
from .grid import Grid
from .style import safe
from .tables import SINGLY, positions_words, trouble_words
from .thing_words import name_line, thing_lines

MOST_LINES = 12   # lines of terminals in plain text
MOST_THINGS = 3   # lines of parts and wires in the place of a title


def comparison_text(comparison):
    """Return a comparison as plain text.

    Parameters
    ----------
    comparison : Comparison

    Returns
    -------
    str
    """
    said = [
        f"Before: {comparison.before.title}",
        *wrap(f"After:  {after_words(comparison)}", WIDE, subsequent_indent=" " * 8),
        *wrap(name_line(comparison, "parts"), WIDE, subsequent_indent=" " * 8),
        "",
        comparison_summary(comparison),
        *trouble_lines(comparison),
        *wrap(described_words(comparison), WIDE),
    ]
    said += ["", *row_grid(comparison).lines()] if comparison.changed_rows else []
    terminals = terminal_lines(comparison)
    said += ["", *wrap(terminal_summary(comparison), WIDE), *_indented(terminals[:MOST_LINES])]
    said += [f"  and {len(terminals) - MOST_LINES} lines more."] if len(terminals) > MOST_LINES else []
    said += wrap(plug_words(comparison), WIDE)
    things = thing_lines(comparison)
    said += ["", "Parts, wires and controls:" if things else "Parts, wires and controls are the same.", *_indented(things)]
    said += wrap(name_line(comparison, "wires"), WIDE, subsequent_indent=" " * 8)
    differences = [f"  {difference_words(each)}" for each in comparison.differences]
    said += ["", "Greatest currents, and least volts of lit lamps:" if differences else
             "No current or lamp voltage differs by what a meter shows.", *differences]
    if comparison.faults is not None:
        shared = shared_faults(comparison)
        said += ["", *wrap(faults_words(comparison), WIDE), *(_fault_grid(comparison).lines() if shared else [])]
    return "\n".join(said)


def _indented(lines):
    return [piece for line in lines for piece in wrap(line, WIDE, initial_indent="  ", subsequent_indent="      ")]


def comparison_html(comparison):
    """Return a comparison as HTML tables, changed cells saying before and after in words."""
    heads = (f"Before: {comparison.before.title}", f"After: {after_words(comparison)}", name_line(comparison, "parts"))
    parts = [f"<p>{'<br>'.join(map(safe, filter(None, heads)))}</p>"
             f"<p>{safe(' '.join([comparison_summary(comparison), *trouble_lines(comparison), described_words(comparison)]).rstrip())}</p>"]
    if comparison.changed_rows:
        parts.append(row_grid(comparison).html())
    parts.append(f"<p>{safe(terminal_summary(comparison))}</p>")
    if comparison.terminals:
        parts.append(f"<ul>{''.join(f'<li>{safe(line)}</li>' for line in terminal_lines(comparison))}</ul>")
    if comparison.other_plugs:
        parts.append(f"<p>{safe(plug_words(comparison))}</p>")
    things = thing_lines(comparison)
    if things:
        parts.append(f"<p>Parts, wires and controls:</p><ul>{''.join(f'<li>{safe(line)}</li>' for line in things)}</ul>")
    names = name_line(comparison, "wires")
    parts += [f"<p>{safe(names)}</p>"] if names else []
    if comparison.differences:
        parts.append(Grid("Greatest currents, and least volts of lit lamps", ("Of", "Before", "After"), [
            (each.name, _quantity(each.before, each.unit), _quantity(each.after, each.unit))
            for each in comparison.differences]).html())
    return "".join(parts) + faults_html(comparison)


def faults_html(comparison):
    """Return the faults whose worst class changed as an HTML table with its summary; nothing unless they were asked for."""
    if comparison.faults is None:
        return ""
    table = _fault_grid(comparison).html() if shared_faults(comparison) else ""
    return f"<p>{safe(faults_words(comparison))}</p>{table}"


def changed_tables_html(comparison, changed_only=False, current=None):
    """Return the lamp tables of both, and every other difference in words. [HTML]

    Parameters
    ----------
    comparison : Comparison
    changed_only : bool
        As for :func:`lamp_tables_html`. [yes/no]
    current : int, optional
        Number of the row of now. [1]
    """
    lines = [*thing_lines(comparison), *map(difference_words, comparison.differences)]
    listed = f"<ul>{''.join(f'<li>{safe(line)}</li>' for line in lines)}</ul>" if lines else ""
    return lamp_tables_html(comparison, changed_only, current) + listed


def lamp_tables_html(comparison, changed_only=False, current=None):
    """Return the lamp tables of both as one HTML table; a cell that changed says before and after in words.

    Parameters
    ----------
    comparison : Comparison
    changed_only : bool
        Whether only rows in which some lamp looks different are listed. [yes/no]
    current : int, optional
        Number of the row of now, which stands out. [1]
    """
    grid = row_grid(comparison, False, "Lamp table, before and after")
    return grid.html(shown=[number for number, row in enumerate(comparison.rows) if row.changed or not changed_only], current=current)


def after_words(comparison):
    """Return the title of what was changed; where it is that of before, what became of the first one. [text]"""
    before, after, lines = comparison.before.title, comparison.after.title, thing_lines(comparison)
    if before != after:
        return after
    more = f"; and {len(lines) - MOST_THINGS} lines more below" if len(lines) > MOST_THINGS else ""
    return f"the same circuit; {'; '.join(lines[:MOST_THINGS])}{more}" if lines else "the same circuit"


def comparison_summary(comparison):
    """Return how many rows look different, which lamps are brighter or dimmer, and in how many which flasher hurries. [text]"""
    changed, total = len(comparison.changed_rows), len(comparison.rows)
    hurry, hot = fast_words(comparison), overheated_words(comparison)
    if not changed:
        return f"In all {total} rows every lamp looks the same{', but ' + hurry if hurry else ''}.{hot}"
    bright = brightness_words(comparison)
    return f"In {changed} of {total} rows some lamp looks different{bright}{'; ' + hurry if hurry else ''}.{hot}"


def described_words(comparison):
    """Return that all but the rows takes what is not known as described; nothing where everything is known. [text]"""
    said = [f"{listed(each.not_known)} {'is' if len(each.not_known) == 1 else 'are'} not known {when}"
            for each, when in ((comparison.before, "before"), (comparison.after, "after")) if each.not_known]
    return f"{' and '.join(said)}: only the rows tell what hangs on that; terminals, currents and volts are compared as described." if said else ""


def overheated_words(comparison):
    """Return what has or carries more than it may only before, or only after; nothing where it is the same. [text]"""
    return "".join(f" Caution, {when}: {'; '.join(said[:SINGLY])}{f'; and {len(said) - SINGLY} more' * (len(said) > SINGLY)}."
                   for when, said in zip(("before alone", "after alone"), comparison.overheated) if said)


def fast_words(comparison):
    """Return in how many rows which flasher hurries before and after; nothing where it is the same. [text]"""
    return "; ".join(f"{hurry_words(name, does)} in {counted(was, 'row')} before, in {counted(now, 'row')} after"
                     for does, found in (("flashes", comparison.hurried), ("clicks", comparison.clicking)) for name, was, now in found)


def terminal_summary(comparison):
    """Return at how many terminals that both have something else is told in some row, in one sentence. [text]"""
    names = {name for change in comparison.terminals for name in change.names}
    if not names:
        return "In all rows with a result every terminal that is there before and after is live, dead or floating as before."
    return f"At {counted(len(names), 'terminal')} a meter or a test lamp tells something else in some row:"


def plug_words(comparison):
    """Return of which connectors the pins are not held against each other, and why; nothing where all are of the same kind. [text]"""
    return " ".join(f"{name} is another plug: {was} before, {now} after. There a pin of the same number is another pin, so its pins are not compared."
                    for name, was, now in comparison.other_plugs)


def terminal_lines(comparison):
    """Return what terminals were and are, those that change alike on one line, with the first of their rows. [text]

    A terminal is live, flashing (live with the flasher only), ghost, dead or floating.
    """
    total = len(comparison.rows)
    return [f"{', '.join(change.names)}: {change.before} before, {change.after} after, in {len(change.rows)} of {total} rows, "
            f"first with {positions_words(change.rows[0])}" for change in comparison.terminals]


def trouble_lines(comparison):
    """Return what keeps rows from settling, before and after, one sentence each; nothing where all settle. [text]"""
    return [f"Without a steady result {when}: {trouble_words(troubles)}."
            for when, troubles in zip(("before", "after"), comparison.troubles) if troubles]


def shared_faults(comparison):
    """Return the faults possible in both whose worst class is another one: words, before, after. [text]"""
    return tuple(each for each in comparison.faults or () if ABSENT not in each)


def faults_words(comparison):
    """Return how many faults have another class, and how many are possible in one of the two only. [text]"""
    said = []
    for place, when in ((2, "before"), (1, "after")):
        only = [each[3 - place] for each in comparison.faults if each[place] == ABSENT]
        if only:
            counts = ", ".join(f"{only.count(name)} {name}" for name in CLASSES if name in only)
            said.append(f"{len(only)} single faults are possible only {when}: {counts}.")
    shared = len(shared_faults(comparison))
    said.append(f"Of those possible in both, {shared} do something else at their worst" + (":" if shared else "."))
    return " ".join(said)


def look_words(before, after):
    """Return a lamp's look before and after. [text]

    >>> look_words("dark", "steady"), look_words("dark", "dark")
    ('was dark, now steady', 'dark')
    """
    return before if before == after else f"was {before}, now {after}"


def lamp_words(row, lamp):
    """Return what a lamp of a row of a comparison looks like before and after, or that it is brighter or dimmer. [text]"""
    look = row.lamps[lamp]
    if lamp not in row.shares:
        return look_words(*look)
    share = row.shares[lamp]
    return f"was {look[0]}, now {'dimmer' if share < 1 else 'brighter'} ({_share(share)})"


def brightness_words(comparison):
    """Return which lamps are dimmer or brighter than before, with their light where that differs most; nothing without any. [text]"""
    found = {}
    for row in comparison.rows:
        for lamp, share in row.shares.items():
            found.setdefault((share < 1, lamp), []).append(share)
    alike = {}
    for (is_dimmer, lamp), shares in found.items():
        alike.setdefault((is_dimmer, _share((min if is_dimmer else max)(shares))), []).append(lamp)
    return "".join(f"; {'dimmer' if is_dimmer else 'brighter'}: {listed(lamps)} ({light}{' of' * light.endswith('%')} before)"
                   for (is_dimmer, light), lamps in alike.items())


def _share(share):
    return f"{share:.0f} times" if share >= 2 else f"{float(f'{100 * share:.2g}'):.0f} %"


def difference_words(difference):
    """Return a current or voltage before and after. [text]"""
    before, after = _quantity(difference.before, difference.unit), _quantity(difference.after, difference.unit)
    return f"{difference.name}: {before} before, {after} after"


def _quantity(value, unit):
    return "none" if value is None else say(value, unit)


def row_grid(comparison, changed_only=True, caption="Rows that changed"):
    """Return the rows of both as a grid; a cell that changed says before and after in words.

    Parameters
    ----------
    comparison : Comparison
    changed_only : bool
        Whether rows and lamps that never change are left out. [yes/no]
    caption : str
        [text]
    """
    rows, lamps = comparison.rows, comparison.rows[0].lamps
    if changed_only:
        rows = comparison.changed_rows
        lamps = [lamp for lamp in lamps if any(lamp in row.changed for row in rows)]
    controls = comparison.rows[0].positions
    marks = {(number, column): "" for number, row in enumerate(rows) for column, lamp in enumerate(lamps, len(controls))
             if lamp in row.changed}
    return Grid(caption, (*controls, *lamps), [(*row.positions.values(), *(lamp_words(row, lamp) for lamp in lamps))
                                               for row in rows], marks, len(controls))


def _fault_grid(comparison):
    return Grid("Faults whose worst class changed", ("Fault", "Before", "After"), shared_faults(comparison))

"""The fault page of a circuit: what a customer may say, the suspects, and the first readings with the numbers to expect.

One or two sides of A4, and readable on a phone; it needs nothing from outside.
"""

from .find_words import (ADVICE, COLD, FLASHER, LIVE, cause_words, one_figure, outcome_words, place_words, share_words, value_words,
                         volts_words)
from .grid import Grid
from .printed import printed_page
from .style import safe

SHORT_FIRST = "look for a short first; then "
FUSES = ("A blown fuse: look for the short first, battery off, lamps out, ohms from behind it to the frame. A new one has the same rating, never a larger one, never a "
         "bridge; one that goes again is proof of a short.")
MAKES_GOOD = " and make good"       # what follows after whatever is parted
STYLE = """
@page { size: A4; margin: 8mm }
body { margin: 0 auto; max-width: 194mm; padding: 0; background: #fff; color: #000; font: 7.7pt/1.24 sans-serif }
h1 { font-size: 1.5em; margin: 0 0 .2em } h2 { font-size: 1.12em; margin: 0 0 .15em; border-bottom: .8pt solid #000 } p { margin: .2em 0 }
main { columns: 2; column-gap: 5mm } section { margin-bottom: 1.5mm } h2, .suspects { break-after: avoid } tr, .suspects { break-inside: avoid } .other { break-before: avoid }
table { border-collapse: collapse; width: 100% } th, td { border-bottom: .4pt solid #999; padding: .08em .4em .08em 0; text-align: left;
  vertical-align: top; font-weight: normal; overflow-wrap: anywhere } thead th { font-weight: bold } td:last-child { width: 56% }
section p { margin: 0 } .suspects b { white-space: nowrap }
.other { font-size: .92em }
.caution { border: 1.5pt solid #000; padding: .25em .6em; margin: .3em 0 }
@media screen { body { font-size: 11pt; padding: .5em } } @media screen and (max-width: 700px) { main { columns: 1 } body { font-size: 12pt } }
"""


def fault_page(sheet):
    """Return the fault page of a circuit. [HTML]

    Parameters
    ----------
    sheet : FaultSheet
    """
    title = safe(sheet.arrangement.title)
    column = sheet.entries[0].finding.odds if sheet.entries else ""
    head = (f"<h1>Fault page: {title}</h1><p class=\"caution\"><b>{safe(LIVE)} {safe(COLD)} {safe(FUSES)} {safe(ADVICE)}</b></p>"
            f"<p>Odds by '{safe(column)}', an assumption. Black on the battery's pole on the frame unless said otherwise. Each next reading goes on "
            f"where the likeliest outcome of the one before leads; 'or 4 more' counts other repairs. {safe(_held_still(sheet))}</p>")
    head += f'<p class="twins">One side and the other: {safe(twins_words(sheet.twins))}.</p>' if sheet.twins else ""
    body = "".join(_entry(each) for each in sheet.entries)
    return printed_page("a fault page", f"Fault page: {title}", STYLE, f"{head}\n<main>{body}</main>")


def _held_still(sheet):
    """Return how a flashing line is held still; empty where none of the readings needs it. [text]"""
    if not any(step.offer.phases for entry in sheet.entries for step in entry.readings):
        return ""
    return (f"{FLASHER.format(feed='its feed', load='its output')}, for 'on' alone; or a meter on MIN/MAX, leads on first and set once it flashes: where one of the two is "
            "named, that is it.")


def _entry(entry):
    suspects = "; ".join(f"<b>{safe(share_words(cause.odds))}</b> {safe(short_words(cause))}" for cause in entry.suspects)
    readings, gone_on, lamps = [], "", {part.name for part in entry.finding.arrangement.parts if part.shines}
    for number, (step, sound, held) in enumerate(zip(entry.readings, entry.sound, entry.held), 1):
        readings.append([f"{number}. {gone_on}{place_words(entry.finding, step.offer)}" + f" ({held})" * bool(held), _expected(step, sound, lamps)])
        gone_on = f"If {outcome_words(max(step.outcomes, key=lambda outcome: outcome.odds), step.offer)}: "
    other = f'<p class="other">With the names of the other side: <b>{safe(entry.other_side)}</b>.</p>' if entry.other_side else ""
    return (f"<section><h2>{safe(entry.said)}</h2><p class=\"suspects\">{suspects}.</p>"
            f"{Grid(f'First readings for {entry.said}', (), readings).html('readings') if readings else ''}{other}</section>")


def twins_words(twins):
    """Return which name on one side is which on the other. [text]

    >>> twins_words((("E1", "E2"), ("W4", "W14")))
    'E1 = E2, W4 = W14'
    """
    return ", ".join(f"{here} = {there}" for here, there in twins)


def short_words(cause):
    """Return a suspect in few words. [text]"""
    if cause.ohms is None:
        return cause.words
    if len(cause.place) == 2:
        return f"{one_figure(cause.ohms[0])} to {one_figure(cause.ohms[1])} ohm, {cause.place[0]} to {cause.place[1]}"
    return cause_words(cause)


def _expected(step, sound, lamps):
    """Return what is read when all is well, then each outcome and what it leaves. [text]"""
    unit = "ohm" if step.offer.instrument == "ohms" else "V"
    first = [] if sound is None else [f"sound: {volts_words(sound) if unit == 'V' else value_words(sound, unit)}"]
    looks_at_fuse = step.offer.instrument == "look" and step.offer.look not in lamps
    return "\n".join([*first, *(f"{outcome_words(each, step.offer)}: {SHORT_FIRST * (looks_at_fuse and each.is_gone)}{left_words(each)}" for each in step.outcomes)])


def left_words(outcome):
    """Return what an outcome leaves, the first of it by name. [text]"""
    first, *more = (words.partition(MAKES_GOOD)[0] for words in outcome.in_short)
    return f"{first} or {len(more)} more" if len(more) > 1 else " or ".join([first, *more])

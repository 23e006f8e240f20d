"""The fault page of a circuit: what a customer may say, the suspects, and the first readings with the numbers to expect.

One or two sides of A4, and readable on a phone; it needs nothing from outside.
"""

from .find_words import (ADVICE, COLD, FLASHER, LIVE, cause_words, one_figure, outcome_words, place_words, repairs_words, share_words, value_words,
                         volts_words)
from .grid import Grid
from .printed import printed_page
from .style import safe

SUSPECTS = 4        # of each symptom, by name
STYLE = """
@page { size: A4; margin: 9mm }
body { margin: 0 auto; max-width: 192mm; padding: .5em; background: #fff; color: #000; font: 8.2pt/1.28 sans-serif }
h1 { font-size: 1.5em; margin: 0 0 .2em } h2 { font-size: 1.12em; margin: 0 0 .15em; border-bottom: .8pt solid #000 } p { margin: .2em 0 }
main { columns: 2; column-gap: 6mm } section { break-inside: avoid; margin-bottom: 2.5mm }
table { border-collapse: collapse; width: 100% } th, td { border-bottom: .4pt solid #999; padding: .08em .4em .08em 0; text-align: left;
  vertical-align: top; font-weight: normal; overflow-wrap: anywhere } thead th { font-weight: bold } td:last-child { width: 56% }
.suspects td:last-child { width: auto } .suspects th { width: 3.6em; white-space: nowrap } section p { margin: 0 }
.caution { border: 1.5pt solid #000; padding: .25em .6em; margin: .3em 0 }
@media screen { body { font-size: 11pt } } @media screen and (max-width: 700px) { main { columns: 1 } body { font-size: 12pt } }
"""


def fault_page(sheet):
    """Return the fault page of a circuit. [HTML]

    Parameters
    ----------
    sheet : FaultSheet
    """
    title = safe(sheet.arrangement.title)
    column = sheet.entries[0].finding.odds if sheet.entries else ""
    head = (f"<h1>Fault page: {title}</h1><p class=\"caution\"><b>{safe(LIVE)} {safe(COLD)} {safe(ADVICE)}</b></p>"
            f"<p>Odds by '{safe(column)}', an assumption. Black on the battery's pole on the frame unless said otherwise. Each next reading goes on "
            f"where the likeliest outcome of the one before leads. {safe(FLASHER.format(feed='its feed', load='its output'))}</p>")
    body = "".join(_entry(each) for each in sheet.entries)
    return printed_page("a fault page", f"Fault page: {title}", STYLE, f"{head}\n<main>{body}</main>")


def _entry(entry):
    suspects = entry.finding.causes[:SUSPECTS]
    rows = [[share_words(cause.odds), short_words(cause)] for cause in suspects]
    readings = [[f"{number}. {place_words(entry.finding, step.offer)}", _expected(step, sound)]
                for number, (step, sound) in enumerate(zip(entry.readings, entry.sound), 1)]
    said = str(entry.symptom)
    return (f"<section><h2>{safe(said)}</h2>{Grid(f'Suspects of {said}', (), rows).html('suspects')}"
            f"{Grid(f'First readings for {said}', (), readings).html('readings') if readings else ''}</section>")


def short_words(cause):
    """Return a suspect in few words. [text]"""
    if cause.ohms is None:
        return cause.words
    if len(cause.place) == 2:
        return f"{one_figure(cause.ohms[0])} to {one_figure(cause.ohms[1])} ohm, {cause.place[0]} to {cause.place[1]}"
    return cause_words(cause)


def _expected(step, sound):
    """Return what is read when all is well, then each outcome and what it leaves. [text]"""
    unit = "ohm" if step.offer.instrument == "ohms" else "V"
    first = [] if sound is None else [f"sound: {volts_words(sound) if unit == 'V' else value_words(sound, unit)}"]
    return "\n".join([*first, *(f"{outcome_words(each, step.offer)}: {repairs_words(each)}" for each in step.outcomes)])

"""The second page: each relay's socket, and one line to tick for every row."""

from ...ground.errors import listed
from ...parts import Flasher, Lamp, Relay
from ..course_words import BAND
from ..grid import Grid, Html
from ..socket import socket_picture
from ..style import named, safe
from ..tables import disagreement_words, trouble_words, unruled_words
from .lists import FILL, table

BOX = Html('<span class="box"></span>')
LOOKS = {"flashing": Html("<i>flashing</i>")}   # so that it stands out from steady


def sockets(built, blank=False, beside=""):
    """Return a card for every relay, flasher and converter: its terminals and the wires on them; ``blank``: what its contact joins stays untold; ``beside``: what stands with the cards. [HTML]"""
    arrangement, (bare, reached) = built.arrangement, built.kicks
    relays, flashers = arrangement.of_kind(Relay), arrangement.of_kind(Flasher)
    told = tuple(part for part in arrangement.listed if part.uses)
    said = [] if relays else ["There is no relay in this arrangement."]
    if relays:
        said = ["The same picture as the relay's own pins. Two pin orders exist, with 30 and 86 in each other's place: "
                "<b>meter it before plugging in.</b>" + ("" if blank else " 85 to 86 is the coil; 30 to 87a is joined at rest, 30 to 87 open. "
                                                         "Only a changeover relay has an 87a.")]
    if flashers:
        said.append("A flasher's pins differ from maker to maker: go by the numbers beside them.")
    said += [f"The wires of a {kind} differ in colour from maker to maker: go by what each does, as its sheet says." for kind in dict.fromkeys(part.kind for part in told)]
    if bare:
        said.append(safe(f"{listed(bare)} {'has' if len(bare) == 1 else 'have'} nothing across the coil. Switched off, a bare coil gives a "
                         f"kick of 100 V and more for a moment; beside the electronics of {listed(reached)} buy the relay with a suppressor across "
                         "it, a resistor of 560 to 680 ohm or a diode (common practice; a diode wants plus on 86 and lets go later)."))
    cards = "".join(_card(arrangement, part) for part in arrangement.parts if part in relays + flashers + told)
    return f'<h2>Sockets, seen from the wire side</h2><p>{" ".join(said)}</p><div class="sockets">{cards}{beside}</div>'


def _card(arrangement, part):
    rows = []
    for terminal in part.terminals:
        wires = [arrangement.part(name) for name in arrangement.wires_at[f"{part.name}:{terminal}"]]
        on_it = ", ".join(f"{wire.name} {wire.colour}".strip() for wire in wires) or "no wire"
        rows.append((terminal, *part.uses.get(terminal, "").splitlines(), on_it))
    picture = socket_picture(part) if isinstance(part, Relay) else ""
    return (f'<div class="card{" told" * bool(part.uses)}"><h3>{safe(named(part))}</h3>{picture}'
            f'{Grid(f"Terminals of {part.name}", (), rows).html("pins")}</div>')


def tick_sheet(built, blank=False):
    """Return one line with an empty box for every row; ``blank``: the looks are to be written in. [HTML]"""
    arrangement, every = built.arrangement, built.looks
    lamps, unruled = arrangement.of_kind(Lamp), arrangement.unruled
    rests = {control.name: control.rest for control in arrangement.controls}
    rows = [(str(number), *positions.values(), *(FILL if blank else LOOKS.get(look, look) for look in looks.values()), BOX)
            for number, (positions, looks) in enumerate(every, 1)]
    marks = {(number, column): "" for number, (positions, looks) in enumerate(every)
             for column, moved in enumerate([*(positions[name] != rest for name, rest in rests.items()),
                                             *(not blank and look in ("steady", "flashing") for look in looks.values())], 1) if moved}
    heads = ("row", *rests, *(f"{lamp.name} {lamp.place}".strip() for lamp in lamps),
             *(f"test lamp at {name}" for name in arrangement.ruled_terminals), "seen")
    source = "The looks are what the rule asks for."
    if blank:
        source = "Before power, write down what each shall do in every row: dark, steady or flashing."
    elif unruled:
        source = (f"No rule speaks of {', '.join(unruled)}: there the looks are computed from the circuit as listed."
                  + ("" if len(unruled) == len(lamps) else " The others are what the rule asks for."))
    if arrangement.ruled_terminals:
        source += (" The test lamp's other clip is on the battery's minus"
                   + ("" if blank else "; where its column is empty, nothing is asked there") + ". A meter may show volts where it stays dark: that is no fault.")
    return (table(Grid("Prove every row", heads, rows, marks), split=len(heads) <= 7 and len(rows) > 16, kind="rows")
            + f"<p>{safe(source)} The witness calls the rows in any order; tick a box when both of you have seen "
              f"every lamp of that row. Flashing is {BAND} per minute.</p>"
              '<p class="sign">Builder: ____________________ Witness: ____________________ '
              "Date: ____________</p>")


def fire_words(fires):
    """Return every finding of sizing by which a wire may burn, in one warning. [HTML]"""
    found = [finding.sentence.partition(". That breaks")[0]
             + (f", and {finding.limit:g} {finding.unit} is the most it may" if finding.limit is not None else "")
             for finding in fires]
    if not found:
        return ""
    return (f'<p class="caution"><b>Fire risk: {safe("; ".join(found))}.</b> Mend wire or fuse before you build it; '
            "the command size says more.</p>")


def troubled(rows):
    """Return warnings where the circuit as listed comes to no steady result or does not do what its rule asks. [HTML]"""
    said = [f"As listed, this circuit has rows without a steady result: {trouble_words(rows.troubles)}."] if rows.troubles else []
    broken = disagreement_words(rows)
    said += [f"{broken} Circuit or rule is out of date; the rows to tick are the rule's."] if broken else []
    said += [f"As listed, {words}: not the {BAND} per minute of the rows to tick." for words, _ in rows.hurried]
    said = [f'<p class="caution"><b>{safe(words)}</b> Mend that before you build it.</p>' for words in said]
    silent = unruled_words(rows.arrangement)
    said += [f'<p class="caution"><b>{safe(silent)}</b> Write a rule for every lamp.</p>'] if silent else []
    return "".join(said)


"""Pages for the workbench that are filled in by hand: volts lost in a circuit, safety, crimps pulled.

Each is one printed file; what is limited says by whom.
"""

from math import ceil

from ..ground.quantities import awg_to_mm2
from .build_sheet.page import ACID, cautions_for
from .faces import face_of
from .grid import Grid, Html
from .printed import printed_page
from .style import safe

NEWTONS = 9.81              # of a kilogram's weight
CRIMPS = 13                 # lines to fill in; more would not leave one side of A4
STYLE = """
@page { size: A4; margin: 12mm }
body { margin: 0 auto; max-width: 186mm; background: #fff; color: #000; font: 9.5pt/1.32 sans-serif }
h1 { font-size: 1.5em; margin: 0 0 .2em } h2 { font-size: 1.15em; margin: .7em 0 .2em; break-after: avoid } p { margin: .3em 0 }
table { border-collapse: collapse; width: 100% } thead { display: table-header-group } tr { break-inside: avoid }
th, td { border-bottom: .4pt solid #777; padding: .16em .5em .16em 0; text-align: left; vertical-align: top; font-weight: normal }
thead th { border-bottom: 1pt solid #000; vertical-align: bottom; font-weight: bold }
.lines td, .lines th { height: 7mm; vertical-align: middle } .blank { display: inline-block; min-width: 14mm; border-bottom: .8pt solid #000; height: 1em }
.box { display: inline-block; width: 3.2mm; height: 3.2mm; border: .8pt solid #000; vertical-align: -.5mm; margin-right: 2mm }
.caution { border: 1.5pt solid #000; padding: .3em .7em; margin: .5em 0; break-inside: avoid } .caution ul { margin: .2em 0; padding-left: 1.2em }
.small { font-size: 8.5pt } .card { font-size: 14.5pt; line-height: 1.42 } .card ul { list-style: none; padding: 0; margin: .2em 0 } .card li { margin: .3em 0 0 6mm; text-indent: -6mm } .sign span:not(.blank) { white-space: nowrap }
.card h2 { border-bottom: 1pt solid #000 } .sign { margin-top: 1em; line-height: 2.4 }
.sizes { display: flex; gap: 8mm; align-items: flex-start }
.legs th[colspan] { padding-top: .5em } .legs tbody th:not([colspan]) { padding-left: 4mm } .legs th:first-child { width: 50% }
@media screen { body { padding: 1em } }
"""
BLANK, BOX = Html('<span class="blank"></span>'), '<span class="box"></span>'
WHAT = {"leg": "way to a lamp, or from it without the frame", "ground": "ground side: from a lamp over the frame", "wire": "wire, both its joints with it", "contact": "closed contact", "joint": "chassis or splice", "load": "another load"}   # else as it is

SWING = (" A lamp with * flashes: leads on first, and only once it flashes the meter to MIN/MAX, for some ten flashes. <b>MIN</b> or <b>MAX</b> before a blank is "
         "the one of the lit lamp, the other is that of the pause; where neither stands both read alike, or the lamp named does not flash. A quick meter's MAX "
         "may stand a little too high: a cold lamp draws more at first.")


def volt_drop_page(drops):
    """Return the worksheet of volts lost in a circuit: what the kit's healthy one loses, the limit, room for a reading. [HTML]

    Parameters
    ----------
    drops : VoltDrops
    """
    arrangement, title = drops.arrangement, safe(f"Volts lost: {drops.arrangement.title}")
    letters = dict(zip(drops.sources, "abcdefgh"))
    legs = []
    for number, each in enumerate(drops.legs, 1):
        legs.append((Html(f"<b>{number}. {safe(_named(each.lamp, arrangement))}</b>: {safe(_row(each, arrangement))}"), *[None] * 5))
        legs += [(f"{way}, {drop.red} to {drop.black}", *_numbers(drop, letters), Html(BOX))
                 for way, drop in (("to it", each.out), ("at it", each.across), ("from it", each.back))]
    pieces = [(drop.name, f"{drop.red} to {drop.black}", _what(drop, arrangement), f"{drop.amps:.2f}", *_numbers(drop, letters),
               str(drops.legs.index(leg) + 1)) for drop, leg in drops.pieces]
    heads = ("kit's V", "limit V", "by", "read V")
    body = [f"<h1>{title}</h1>", _before(arrangement), _how(drops),
            "<h2>First: both legs of each lamp and other load, in the row named</h2>",
            Grid("Both legs of each lamp and other load", ("red to black", *heads, "ok"), legs).html("legs"),
            "<h2>Then, only where a leg loses too much: piece by piece</h2>",
            Grid("Piece by piece", ("part", "red to black", "what", "A", *heads, "in row"), pieces).html("pieces"),
            _limits(drops, letters)]
    return printed_page("a volt-drop sheet", title, STYLE, "".join(body))


def _what(drop, arrangement):
    """Return what a piece is, as the build sheet calls it. [text]"""
    if drop.name in {wire.name for wire in arrangement.wires}:
        return WHAT["wire"]
    part = arrangement.part(drop.name)
    called = face_of(part).details(part)
    called = called if part.guards else called.partition(",")[0]
    return f"{called}, {WHAT['contact']}" if drop.opens and not drop.swings else called + ", on" * drop.swings


def _named(lamp, arrangement):
    place = arrangement.part(lamp).place
    return f"{lamp}, {place}" if place else lamp


def _numbers(drop, letters):
    """Return the cells of a drop: volts, limit, whose it is, room for a reading with what the meter's key keeps for it."""
    return (f"{drop.volts:.2f}" if drop.volts >= 1 else f"{drop.volts:.3f}",
            *((f"{drop.limit:g}", letters[drop.what]) if drop.limit is not None else ("\N{EN DASH}", "")), Html(f"{drop.held} {BLANK}".strip()))


def _how(drops):
    swing = SWING * any(each.flashes for each in drops.legs)
    unfed = f" No row feeds {safe(', '.join(drops.unfed))}." if drops.unfed else ""
    return ("<p>Meter on DC volts, both leads on terminals, <b>power on and the lamp lit</b>: without current nothing is lost. <i>Kit's V</i> is what "
            f"the kit's healthy circuit loses there; <i>limit V</i> is the most that may be lost. <b>Engine off</b>, battery rested: with it running bulbs draw some 8 % more, and so much more is lost. Wires that "
            f"carry no such current, as a coil's, are not listed.{swing}{unfed}</p>")


def _row(legs, arrangement):
    """Return which controls are to be moved for a row, marked where its lamp flashes. [text]"""
    rest = arrangement.positions()
    moved = ", ".join(f"{name} {position}" for name, position in legs.positions.items() if position != rest[name]) or "all at rest"
    return moved + " *" * legs.flashes


def _limits(drops, letters):
    said = "; ".join(f"<b>{letters[what]}</b> {WHAT.get(what, what)}: {safe(source)}" for what, source in drops.sources.items())
    return (f'<p class="small"><b>Where the limits come from.</b> {said}. They are for finding a bad joint, not a standard for your vehicle: its own '
            "service book goes before them. The kit's volts are of an invented circuit with a healthy battery.</p>"
            f'<p class="sign">Bench {BLANK} Names {BLANK}{BLANK}{BLANK} Date {BLANK} Battery, loaded {BLANK} V</p>')


def _before(arrangement):
    lines = "".join(f"<li>{safe(line)}</li>" for line in cautions_for(arrangement))
    return f'<div class="caution"><b>Before you touch a wire</b><ul class="small">{lines}</ul></div>'


# ------------------------------------------------------------------ safety

BEFORE = (
    "Supply off; with a battery: the clamp on the frame off.",
    "Supply set to 12 V and limited to 10 A, its off switch within reach.",
    "The fuse is the first thing behind the supply. Rating read, never bridged, never bigger.",
    "Rings, watch, chains off. Sleeves and hair out of the way. Eye protection on.",
    "Every loose end is in a terminal or taped. No tool lies on the board.",
    "Another pair has looked: fuse, polarity, loose ends. Their initials stand below.",
    "Said aloud: \N{LEFT DOUBLE QUOTATION MARK}Power on.\N{RIGHT DOUBLE QUOTATION MARK} Anyone may say no.",
)
ON = (
    "One change at a time. To move a wire: supply off first.",
    "Lamps, load resistors, bad joints are hot enough to burn. Wait, then use a cloth.",
    "Ohms only with the power off. Meter: black lead on first, off last; fingers behind the guards.",
    "No test lamp and no jumper on what a control unit drives or watches, or on what is dimmed (PWM). No lead at all on airbag wiring.",
    "Say so before lamps flash. Anyone may look away.",
)
WRONG = (
    "Smoke, smell, a wire that is warm: supply off, step back, say so. Only then look.",
    "A fuse has blown: find out why before a new one goes in. Never a bigger one.",
    ACID,
    "A burn: cool it under running water. Fire: out, alarm, then an extinguisher only if you were shown how.",
)


def safety_page():
    """Return the card that hangs at a bench: before power, while it is on, when something goes wrong. [HTML]"""
    lists = "".join(f"<h2>{head}</h2><ul>{''.join(f'<li>{mark}{safe(line)}</li>' for line in lines)}</ul>"
                    for head, mark, lines in (("Before power: tick each", BOX, BEFORE), ("While power is on", "", ON), ("When something goes wrong", "", WRONG)))
    first_aid = "".join(f"<span>{safe(each)} {BLANK}{BLANK}</span> " for each in ("Off switch of the room:", "First aid:", "Extinguisher:"))
    return printed_page("a safety card", "Bench safety", STYLE, (
        f'<div class="card"><h1>Bench safety: boards on 12 V</h1>{lists}<p class="sign">{first_aid}<br/>'
        f"Looked over by {BLANK}{BLANK} Bench {BLANK} Date {BLANK}</p>"
        '<p class="small">Boards on a bench only, no vehicle. The rules of your workshop, local code and licensed practice go before this card.</p></div>'))


# ------------------------------------------------------------------ crimps

STEPS = (
    "The wire's strands are whole: none cut, none outside the barrel, none soldered beforehand.",
    "Barrel, die and wire are of one size; the tool has opened by itself.",
    "The conductor shows at the front of the barrel, the insulation reaches to its rear.",
    "The insulation is held, not cut. Bend it once to each side: it stays.",
    "The terminal is straight, not cracked, and locks in its housing: push, click, tug.",
)

HUNG = ("Hang it a few centimetres over a box of sand, never above a foot; hands stay from under it. It stands on the box while it is put on and taken off. "
        "From some 10 kg on two lift it.")
PULLED = (
    "Take the side by which the wire was bought. Stranded copper, the grip on the insulation opened first. A size between two: no less than the thinner "
    "one must hold. Three test pieces before a new tool, terminal or wire is used; cut one open and look.",
    "Two ways to pull. A tester: a machine pulls at some 25 mm a minute and shows newton. At a bench: a weight is let down slowly and hangs still. "
    "By AWG (UL 486A): it holds the force for one minute and stays whole. By mm\N{SUPERSCRIPT TWO} (IEC 60352-2, from memory): a tester pulls until it "
    "fails, at no less than the force; a weight shows only that it holds so much, not where it fails.",
)


def crimp_page(metric, gauges):
    """Return the check sheet of crimps: what to look at, what each size must hold, lines for test pieces. [HTML]

    Parameters
    ----------
    metric, gauges : sequence of mapping
        Rows of the kit's tables ``crimp_pull_metric`` and ``crimp_pull``.
    """
    square = [(f"{row['area [mm2]']:g}", *_pull(row)) for row in metric]
    american = [(f"{row['gauge [AWG]']:g}", f"{awg_to_mm2(int(row['gauge [AWG]'])):.3g}", *_pull(row)) for row in gauges]
    pull = ("newton at least", "kg hung on it")
    lines = [(str(number), *[BLANK] * 4, Html(" ".join([BOX] * len(STEPS))), BLANK, Html(f"{BOX} {BOX}")) for number in range(1, CRIMPS + 1)]
    looked = "".join(f"<li>{safe(step)}</li>" for step in STEPS)
    sources = "; ".join(f"{words} ({mark})" for words, mark in dict.fromkeys((row["source"], row["mark"]) for row in (*metric, *gauges)))
    return printed_page("a crimp sheet", "Crimp and pull", STYLE, (
        "<h1>Crimp and pull: check sheet</h1>"
        '<p class="caution"><b>Eye protection: a wire that lets go whips.</b> Pull on a test piece clamped in a stand, straight, slowly, with nobody in '
        f"line. Never pull a crimp that stays in a circuit so hard: tug it by hand, and look. <b>A weight that falls breaks feet and hands.</b> {safe(HUNG)}</p>"
        f"<h2>Look at each, 1 to {len(STEPS)}</h2><ol>{looked}</ol>"
        "<h2>What a test piece must hold</h2>"
        + '<div class="sizes">' + Grid("What a crimp must hold, by mm\N{SUPERSCRIPT TWO}", ("mm\N{SUPERSCRIPT TWO}", *pull), square).html("holds")
        + Grid("What a crimp must hold, by AWG", ("AWG", "(mm\N{SUPERSCRIPT TWO})", *pull), american).html("holds")
        + f"</div>{''.join(f'<p>{safe(line)}</p>' for line in PULLED)}"
        + Grid("Test pieces", ("No.", "terminal", "wire", "tool, die", "pulled by", "1 2 3 4 5", "newton", "yes no"), lines).html("lines")
        + f'<p class="small"><b>Where this comes from.</b> {safe(sources)}; 25 mm a minute from the same sheets. NASA-STD-8739.4, read in a copy, asks more of its '
        "crimps: 57 N of AWG 22, and 60 % of the wire's own strength of other sizes; it crimps no solid or tinned wire. What to look at: common practice. The "
        "sheet of your own terminal and tool goes before these.</p>"
        f'<p class="sign">Name {BLANK}{BLANK} Date {BLANK} Watched by {BLANK}{BLANK}</p>'))


def _pull(row):
    """Return the cells of what a size must hold: newton, and the weight that is no less. [text]"""
    return f"{row['holds [N]']:g}", f"{ceil(10 * row['holds [N]'] / NEWTONS) / 10:.1f}"

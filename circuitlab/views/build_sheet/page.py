"""The sheet as one HTML page that prints on two sides of A4 and needs nothing from outside."""

from ...arrangements.cautions import warnings_for
from ..printed import printed_page
from ..style import frame_words, safe
from .lists import colour_legend, connection_list, faults_in, parts_list
from .plugs import lines_of, plugs
from .proof import fire_words, sockets, tick_sheet, troubled
from .springs import springs
from .ways import chart_lines, ways

ACID = "Acid on skin or in an eye: much water at once, and call for help."
CAUTIONS = (
    "Power off while you wire: minus clamp off first, back on last.",
    f"A battery gives off gas that explodes, and its acid burns: no spark or flame near it, eye protection on. {ACID}",
    "Fuse at the battery end of every feed, before anything else, and the right one: never a bigger one, "
    "never foil or a bridge.",
    "Someone else looks before you switch on; then one row at a time.",
    "Lamps, resistors and bad joints get hot enough to burn: hands off until they have cooled.",
    "No test lamp on an output of a control unit, or on one that dims (PWM). No lead at all on airbag wiring, often yellow.",
    "Smell or smoke: switch off, step back, say so.",
    "This sheet does not make a vehicle legal: which lamps, colours and rates may go on the road, and who may "
    "wire them, is for the local code and for licensed practice.",
)
STYLE = """
@page { size: A4; margin: 10mm 12mm }
body { margin: 0 auto; max-width: 186mm; background: #fff; color: #000; font: 9.5pt/1.3 sans-serif }
section + section { break-before: page }
h1 { font-size: 1.4em; margin: 0 0 .2em } h2 { font-size: 1.15em; margin: .5em 0 .15em; break-after: avoid }
h3 { font-size: 1em; margin: 0 0 .2em } p, ul { margin: .25em 0 }
.caution { border: 1.5pt solid #000; padding: .3em .7em; margin: .4em 0; break-inside: avoid }
.caution ul { columns: 2; column-gap: 6mm; padding-left: 1.2em } .caution li { break-inside: avoid }
.halves { display: flex; gap: 5mm; align-items: flex-start } .halves table { flex: 1 1 0; min-width: 0 }
table { border-collapse: collapse; width: 100% } thead { display: table-header-group }
th, td { border-bottom: .4pt solid #777; padding: .08em .5em .08em 0; text-align: left; vertical-align: top;
         overflow-wrap: break-word }
thead th { border-bottom: 1pt solid #000; vertical-align: bottom } tr { break-inside: avoid }
.parts, .card table { table-layout: fixed } .parts th:first-child { width: 11% } .parts th:last-child { width: 33% }
.rows tbody th { font-weight: normal } .sign { margin-top: 3mm }
.rows tbody tr:nth-child(4n) > * { border-bottom: 1pt solid #000 }
.fill { display: inline-block; min-width: 12mm; border-bottom: .8pt solid #000; height: 1em } .wires .fill { min-width: 7mm }
.sockets { display: flex; flex-wrap: wrap; gap: 2mm 3mm } .card { flex: 0 0 34mm; break-inside: avoid } .card.told { flex-basis: 74mm }
.card svg { width: 25mm; height: 25mm; display: block; margin-bottom: .5mm } .card th { width: 10mm; white-space: nowrap }
.chart { flex: 1 1 70mm; border: .8pt dashed #000; padding: .2em .4em; break-inside: avoid } .chart th:first-child, .chart td:nth-child(2) { white-space: nowrap }
.plug { break-inside: avoid } .plug figure { display: inline-block; margin: .3em 1em 0 0; font-size: .85em }
.box { display: inline-block; width: 2.8mm; height: 2.8mm; border: .8pt solid #000; vertical-align: -.4mm }
.rows td { padding-top: .15em; padding-bottom: .15em }
.near { font-size: 8.5pt; line-height: 1.2 } .close { font-size: 7.3pt; line-height: 1.14 }
.close .rows th, .close .rows td { padding-top: 0; padding-bottom: 0; padding-right: .35em } .close .box { width: 2.4mm; height: 2.4mm }
.close h2 { margin: .3em 0 .1em } .close p { margin: .15em 0 } .close .caution { margin: .2em 0; padding: .15em .7em }
.wires thead th { white-space: nowrap } .wires td:nth-child(n+4) { white-space: nowrap }
.wires th, .wires td { padding-right: .35em } .halves .wires { font-size: 7.3pt }
@media screen { body { padding: 1em } section + section { margin-top: 2em } }
"""


def sheet_page(built, blank=False):
    """Return the build sheet as one self-contained page for printing. [HTML]

    Parameters
    ----------
    built : ToBuild
        As :func:`~circuitlab.reasoning.to_build.to_build` makes it.
    blank : bool
        For a class: looks and volts are blanks to write into, and what explains the circuit is left out. Warnings are not.
    """
    arrangement = built.arrangement
    title, faults = safe(arrangement.title), faults_in(arrangement)
    lines = len(arrangement.listed) + len(arrangement.wires)
    note = f"<p>{safe(arrangement.note)}</p>" if arrangement.note and not blank else ""
    if faults:
        note += f"<p><b>This arrangement carries a fault: {safe(faults)}.</b> Build from the sound one.</p>"
    note += f"<p><b>{safe(frame_words(arrangement).strip())}</b></p>" if arrangement.frame == "plus" else ""
    note += troubled(built.table) + "".join(f'<p class="caution"><b>{safe(words)}</b></p>' for words in warnings_for(arrangement))
    note += fire_words(built.fires)
    lines += 6 * note.count('class="caution"')
    *before, last = cautions_for(arrangement)
    cautions = "".join(f"<li>{safe(line)}</li>" for line in (*before, last + _minds(built)))
    return printed_page(
        "a build sheet", f"{title}: build sheet", STYLE,
        f'<section{_density(lines, 28, 54)}><h1>{title}</h1>{note}'
        f"<p><b>Left and right are the driver's, facing forward.</b></p>"
        f'<div class="caution"><b>Before you touch a wire</b><ul>{cautions}</ul></div>'
        f"{parts_list(arrangement, built.switched)}{connection_list(arrangement, built.readings, blank)}{colour_legend(arrangement)}</section>\n"
        f'<section{_density(len(built.table.rows) + lines_of(arrangement) + chart_lines(arrangement), 16, 24)}><h1>Sockets and proof: {title}</h1>'
        f"{sockets(built, blank, ways(built, blank))}{springs(arrangement)}{plugs(arrangement)}{tick_sheet(built, blank)}</section>")


def cautions_for(arrangement):
    """Return what to mind before a wire is touched; the clamp on the frame comes off first. [text]"""
    clamp = "minus clamp" if arrangement.pole_on_frame == "minus" else "the clamp on the frame, plus here,"
    return (CAUTIONS[0].replace("minus clamp", clamp), *CAUTIONS[1:])


def _minds(built):
    """Return what the law may mind of the circuit, to stand behind the last caution; nothing where nothing of that sort was found. [text]"""
    return f" The code may mind here: {'; '.join(built.minds)}." if built.minds else ""


def _density(lines, many, very_many):
    """Return the class that lets so many lines fit one side: as written, nearer, or close."""
    return ' class="close"' if lines > very_many else ' class="near"' if lines > many else ""

"""A case as a report on one page: what was told, what fell, the repair, the retest of every row, and who signed."""

from ..ground.plain import counted
from .find_words import ADVICE, cause_words, head_words, share_words
from .grid import Grid
from .printed import printed_page
from .style import safe

STYLE = """
@page { size: A4; margin: 12mm }
body { margin: 0 auto; max-width: 186mm; padding: .5em; background: #fff; color: #000; font: 9.5pt/1.35 sans-serif }
h1 { font-size: 1.4em; margin: 0 0 .2em } h2 { font-size: 1.1em; margin: .7em 0 .2em; break-after: avoid } p { margin: .3em 0 }
table { border-collapse: collapse; width: 100% } thead { display: table-header-group } tr { break-inside: avoid }
th, td { border-bottom: .4pt solid #777; padding: .15em .5em .15em 0; text-align: left; vertical-align: top; overflow-wrap: anywhere; font-weight: normal }
thead th { border-bottom: 1pt solid #000; font-weight: bold }
th { white-space: nowrap; overflow-wrap: normal } .retest th, .retest td:last-child { white-space: normal; overflow-wrap: normal }
.long { columns: 2; column-gap: 6mm } .sign { display: flex; gap: 8mm; margin-top: 8mm } .sign span { flex: 1; border-top: .6pt solid #000 }
p.vehicle { min-height: 1.4em; border-bottom: .4pt solid #777 }
.caution { border: 1.5pt solid #000; padding: .3em .7em; margin: .5em 0; break-inside: avoid }
"""
FEW = 5         # causes told
OTHER = "Another thing was repaired than the likeliest cause asks for: {}. Say in the case what was found there."
LONG = 14       # rows from which the retest stands in two columns


def case_page(case, finding, ruled_out=(), expected=None):
    """Return a case as one page to print. [HTML]

    Parameters
    ----------
    case : Case
    finding : Finding
        Of all that it tells.
    ruled_out : sequence of str
        Causes that have fallen since the symptoms alone were told. [text]
    expected : dict of str to str, optional
        What lamps shall show in each row. [text]
    """
    title = safe(case.arrangement.title)
    told = [["symptom", each] for each in case.symptoms] + [["reading", each] for each in case.readings] + [["taken back", each] for each in case.back]
    causes = [[share_words(cause.odds), cause_words(cause), cause.repair] for cause in finding.causes[:FEW]]
    done, other = dict(case.retests), case.other_than(finding)
    rows = [[row, (expected or {}).get(row, ""), done.get(row, "not yet")] for row in case.rows]
    marks = {(number, 2): "" for number, (_, _, how) in enumerate(rows) if how != "good"}
    parts = [f"<h1>Case: {title}</h1><p>{safe(state_words(case))}</p><p class=\"vehicle\">Vehicle: {safe(case.vehicle)}</p>", f'<p class="caution"><b>{safe(ADVICE)}</b></p>',
             "<h2>What was told</h2>", Grid("What was told", ("", "Sentence"), told or [["", "nothing"]]).html("told"),
             f"<h2>What it came to</h2><p>{safe(head_words(finding))}</p>",
             Grid("Causes, likeliest first", ("Odds", "What it may be", "To do"), causes or [["", "none", ""]]).html("causes"),
             f"<p>Ruled out since, under 1 %: {safe('; '.join(ruled_out))}.</p>" if ruled_out else "",
             f"<h2>Repair</h2>{''.join(f'<p>Tried: {safe(each)}.</p>' for each in case.tried)}<p>{safe(case.repair or 'none yet')}</p>",
             f"<p><b>{safe(OTHER.format(other))}</b></p>" if other else "", "<h2>Every row worked again</h2>",
             f'<div{" class=long" if len(rows) > LONG else ""}>{Grid("Every row worked again", ("Controls", "Shall be", "How it was"), rows, marks).html("retest")}</div>',
             f'<p class="sign"><span>Signed: {safe(case.signed)}</span><span>Date</span></p>']
    return printed_page("a case report", f"Case: {title}", STYLE, "".join(parts))


def state_words(case):
    """Return whether a case is closed, or what it waits for. [text]"""
    if case.is_closed:
        return "closed: repaired, every row good, signed"
    waits = [f"not cured, {'; '.join(case.bad_rows)}" * bool(case.bad_rows), "" if case.repair else "no repair",
             f"{counted(len(case.waiting), 'row')} not worked again" * bool(case.waiting), "" if case.signed else "not signed"]
    return f"open: {', '.join(filter(None, waits))}"

"""The paper twin of a lesson, a sheet for each learner, and the answer sheet to it for the teacher alone."""

from .grid import Grid
from .printed import printed_page
from .style import safe

STYLE = """
@page { size: A4; margin: 12mm }
body { margin: 0 auto; max-width: 186mm; background: #fff; color: #000; font: 10pt/1.35 sans-serif }
section + section { break-before: page } h1 { font-size: 1.4em; margin: 0 0 .2em } h2 { font-size: 1.15em; margin: .8em 0 .2em; break-after: avoid }
p { margin: .3em 0 } .line { line-height: 2.2 } .blank { display: inline-block; min-width: 40mm; border-bottom: .8pt solid #000; height: 1em }
.asked { counter-reset: asked } .asked form { counter-increment: asked; break-inside: avoid } .asked legend b::before { content: counter(asked) ". " }
.asked fieldset { max-width: none !important } .asked svg { max-width: 100%; height: auto }
input[type=radio] { appearance: none; width: 3.2mm; height: 3.2mm; border: .8pt solid #000; margin: 0 1mm 0 0; vertical-align: -.4mm }
figure { margin: .6em 0; break-inside: avoid } figure svg { max-width: 100%; max-height: 118mm; height: auto; display: block }
table { border-collapse: collapse; width: 100% } thead { display: table-header-group } tr { break-inside: avoid }
th, td { border-bottom: .4pt solid #777; padding: .18em .6em .18em 0; text-align: left; vertical-align: top; font-weight: normal; overflow-wrap: anywhere }
thead th { border-bottom: 1pt solid #000; font-weight: bold } .answers th:first-child { width: 9mm } .answers td:last-child, .answers th:last-child:not(:first-child) { width: 42% } .answers td:last-child { font-weight: bold }
.screen { font-style: italic; margin: .6em 0 -.4em; break-after: avoid } .asked p { break-after: avoid }
.secret { border: 1.5pt solid #000; padding: .3em .7em } .small { font-size: 8.5pt }
@media screen { body { padding: 1em } section + section { margin-top: 3em } }
"""
BLANK = '<span class="blank"></span>'
DRAWINGS = "The drawings stand on sheets of their own. A question marked 'screen only' is about a chart, a button or a reading of the lesson; leave it out without one."


def question_page(on_paper):
    """Return the questions of a lesson, a sheet for each learner, without an answer. [HTML]

    Parameters
    ----------
    on_paper : OnPaper
    """
    sections = [f'<section><h1>{safe(on_paper.title)}</h1><p class="line">Name {BLANK} Date {BLANK}</p><p class="small">For <b>{safe(each.label)}</b>, '
                f'code {safe(each.code)}, variant {on_paper.variant}. {DRAWINGS}</p><div class="asked">{"".join(each.forms)}</div></section>'
                for each in on_paper.sheets]
    return printed_page("a question sheet", safe(on_paper.title), STYLE, "".join([*sections, *_drawn(on_paper)]))


def _drawn(on_paper):
    """Yield the sheets of drawings, the same for everybody. [HTML]"""
    if on_paper.drawings:
        figures = "".join(f"<figure><figcaption><b>{_for(each)}</b> {safe(each.words)}</figcaption>{each.svg}</figure>"
                          for each in on_paper.drawings)
        yield f"<section><h1>Drawings. {safe(on_paper.title)}</h1><p>Circuits are drawn at rest.</p>{figures}</section>"


def _for(drawing):
    """Return which questions a drawing is for. [text]"""
    also = ", ".join(map(str, drawing.also))
    if drawing.first is None:
        return f"For question {also}." if also else "To look at, behind the last question."
    return f"For question {drawing.first} and on{f', and for {also}' if also else ''}."


def answer_page(on_paper):
    """Return what is right on each learner's sheet; keep it apart from all other pages. [HTML]

    Parameters
    ----------
    on_paper : OnPaper
        With answers.
    """
    title = safe(f"Answers. {on_paper.title}")
    first = (f'<section><h1>{title}</h1><p class="secret"><b>For the teacher alone.</b> Numbers are those of the printed sheets, variant '
             f"{on_paper.variant}. A number is right between the two in parentheses, in the unit of the blank; a sentence in the learner's own words is for "
             "you to read. Questions with * earn credit on the screen. A right answer whose reason does not hold has half.</p>"
             f"<h2>The same on every sheet</h2>{_table('The same on every sheet', on_paper.shared, on_paper)}")
    each = [f"<h2>{safe(sheet.label)}, code {safe(sheet.code)}</h2>{_table(sheet.label, sheet.answers, on_paper)}" for sheet in on_paper.sheets
            if sheet.answers]
    return printed_page("an answer sheet", title, STYLE, f'{first}{"".join(each)}</section>')


def _table(caption, lines, on_paper):
    """Return what is right, below it the reason to be ticked where one is asked for. [HTML]"""
    reasons = on_paper.reasons
    return Grid(caption, ("No.", "question", "right"), [
        (f"{number}{' *' * (number in on_paper.earning)}", words, f"{right}\nbecause {reasons[number]}" if number in reasons else right) for number, words, right in lines]).html("answers")

"""The pages of a class: the grid with names, the same for the projector without them, the key, and the tables behind them.

A mark is told by its shape and in words; the pages print in grey.
"""

from ..ground.plain import bounded
from .grid import Grid, Html
from .printed import printed_page
from .style import safe

SHAPES = {"right at once": "\N{BLACK CIRCLE}", "right later": "\N{CIRCLE WITH LEFT HALF BLACK}",
          "half right": "\N{CIRCLE WITH LOWER HALF BLACK}", "right, no credit": "\N{WHITE CIRCLE}", "wrong": "\N{MULTIPLICATION X}", "kept": "\N{CHECK MARK}",
          "not marked": "?", "no answer": "\N{MIDDLE DOT}"}
TOLD = {"half right": "half right (a reason does not hold)",
        "right, no credit": "right, no credit (not two variants in a row at the first try, or too late)", "kept": "kept, not marked",
        "not marked": "not marked (depends on the learner's own numbers)"}
TICKET, PASSED, NOT_YET = "ticket", ("\N{BLACK SQUARE}", "passed"), ("\N{WHITE SQUARE}", "not passed")      # of the safety ticket
NO_FOLDER = "in the table of codes, and no folder"
NONE_YET, FOOT, SUMS = "no answers yet", ("right at once", "sure and wrong"), ("credit", "sure and wrong")
MOST_TOLD = 300    # letters about one trouble in the table
MOST_NAMED = 6     # students with troubles, so that the grid stays one page; the command names them all
STYLE = """
@page { size: A4 landscape; margin: 8mm }
body { margin: 0 auto; max-width: 281mm; background: #fff; color: #000; font: 8pt/1.25 sans-serif }
section + section { break-before: page }
h1 { font-size: 1.5em; margin: 0 0 .2em } p { margin: .25em 0 }
table { border-collapse: collapse; width: 100%; table-layout: fixed } thead { display: table-header-group }
th, td { border: .4pt solid #777; padding: 0 1mm; text-align: center; overflow: hidden; white-space: nowrap; height: 4.3mm }
thead th { height: auto; vertical-align: bottom; padding: 1mm .5mm; border-bottom: 1pt solid #000 }
thead th span { writing-mode: vertical-rl; transform: rotate(180deg); max-height: 26mm; font-weight: normal }
.class th:first-child { width: 36mm; text-align: left; text-overflow: ellipsis; font-weight: normal }
.class th:nth-last-child(-n+2) { width: 14mm }
tbody tr:nth-child(4n) > *, tfoot tr:first-child > * { border-bottom: 1pt solid #000 }
tfoot { display: table-row-group } tr { break-inside: avoid }
.class tbody td { padding: 0 } .class span[role] { font-size: 1.15em } .class small { font-size: .65em } td:has(b) { background: #ddd }
.few { font-size: .94em; columns: 2; column-gap: 8mm; padding: 0; margin: .2em 0; list-style: none } .few li { break-inside: avoid }
.told span { white-space: nowrap; margin-right: 1em }
.large { font-size: 9pt } .large th:first-child { width: 30mm } .large th:nth-last-child(-n+2) { width: 16mm } .large thead th span { max-height: 30mm }
.key { table-layout: auto } .key td, .key th { white-space: normal; text-align: left; height: auto; padding: .3em 1mm }
@media screen { body { padding: 1em } section + section { margin-top: 2em } }
"""


def class_page(summary):
    """Return the grid of each lesson, one printed page each: students down, questions across. [HTML]

    Parameters
    ----------
    summary : ClassSummary
    """
    sections = []
    for lesson in summary.questions:
        troubles = [[each.words for each in student.troubles if each.lesson in ("", lesson)] for student in summary.students]
        rows = [(student.name + (" *" if told else ""), student) for student, told in zip(summary.students, troubles)]
        named = [(_short(name, 36), _short(why, MOST_TOLD)) for name, why in summary.skipped]
        named += [(_short(name, 36), _first(told)) for (name, _), told in zip(rows, troubles) if told]
        sections.append(_grid(summary, lesson, rows) + _absent(summary.missing) + _few(named))
    return _page("Class summary", sections, "a class page")


def projector_page(summary, order):
    """Return the grid without names, large. [HTML]

    Parameters
    ----------
    summary : ClassSummary
    order : callable
        Gets the students as a list and returns them in the order of the rows, another one for each lesson.
    """
    sections = []
    for lesson in summary.questions:
        rows = [(str(number), student) for number, student in enumerate(order(list(summary.students)), 1)]
        sections.append(f'<div class="large">{_grid(summary, lesson, rows)}</div>')
    return _page("The class, without names", sections, "a class page")


def key_page(summary):
    """Return the answer key; keep it apart from the other pages. [HTML]"""
    key = Grid("Answer key", ("lesson", "question", "for", "seed", "right answer"), list(summary.key()))
    return _page("Answer key", [f"<h1>Answer key</h1><p>Not for the projector.</p>{key.html('key')}"], "an answer key")


def grid_lines(summary):
    """Return the grid in words, heads first, for a table program. [text]"""
    places = [(lesson, item) for lesson, questions in summary.questions.items() for item in questions]
    heads = ["student", *(f"{lesson} {item}: {bounded(summary.questions[lesson][item].question, MOST_TOLD)}" for lesson, item in places),
             *(f"{lesson} {TICKET}: safety ticket passed" for lesson in summary.ticketed), *SUMS, "not used"]
    lines, earning = [heads], sum(map(summary.earning, summary.questions))
    for student in summary.students:
        marks = [summary.mark(student, *place) for place in places]
        has = any(summary.has_answers(student, lesson) for lesson in summary.questions)
        tickets = [_ticket(student, lesson)[1] for lesson in summary.ticketed]
        lines.append([student.name, *(_words(mark) for mark in marks), *tickets, *(_sums(marks, earning) if has else [NONE_YET, ""]),
                      "; ".join(bounded(each.words, MOST_TOLD) for each in student.troubles)])
    others = [*summary.skipped, *((label, NO_FOLDER) for label in summary.missing)]
    return lines + [[name, *("" for _ in (*places, *summary.ticketed)), "", "", why] for name, why in others]


def _ticket(student, lesson):
    """Return the shape and the words of whether a student has passed the safety ticket of a lesson."""
    return PASSED if lesson in student.tickets else NOT_YET


def idea_lines(summary):
    """Return how many students showed which wrong idea or chose which wrong answer, heads first, the most of a lesson on top. [text]

    What no question of a lesson looks for stands at the end.
    """
    lines, unseen = [["lesson", "question", "code", "wrong idea or choice", "students"]], []
    for lesson, questions in summary.questions.items():
        met = []
        for code, count in summary.ideas(lesson).items():
            line = [lesson, "all", code, summary.because(lesson, code), "not looked for" if count is None else str(count)]
            (unseen if count is None else met).append(line)
        for item in questions:
            marks = summary.marks(lesson, item)
            for choice in dict.fromkeys(each for mark in marks for each in mark.chosen):
                met.append([lesson, item, "", choice, str(sum(choice in mark.chosen for mark in marks))])
        lines += sorted(met, key=lambda line: -int(line[-1]))
    return lines + unseen


def _grid(summary, lesson, rows):
    items, earning = list(summary.questions[lesson]), summary.earning(lesson)
    words, ticket = {item: question.question for item, question in summary.questions[lesson].items()}, [TICKET] * (lesson in summary.ticketed)
    numbered = {item: f"{number} {item}" for number, item in enumerate(items, 1)}       # as on paper
    heads = ("student", *(Html(f'<span title="{safe(words.get(head, head))}">{safe(numbered.get(head, head))}</span>') for head in (*items, *ticket, *SUMS)))
    body, marks = [], {}
    for number, (name, student) in enumerate(rows):
        given = [summary.mark(student, lesson, item) for item in items]
        sums = _sums(given, earning) if earning and summary.has_answers(student, lesson) else (NONE_YET, None)
        tickets = [_spoken(*_ticket(student, lesson)) for _ in ticket]
        body.append((name, *map(_shape, given), *tickets, *sums))
        marks |= {(number, column): "" for column, mark in enumerate(given, 1) if mark.word == "wrong"}
    columns = [summary.marks(lesson, item) for item in items]
    counts = [[sum(mark.word == "right at once" for mark in each) for each in columns],
              [sum(mark.is_overconfident for mark in each) for each in columns]]
    foot = [(words, *map(str, each), *("" for _ in ticket), *("" if words != sums else str(sum(each)) for sums in SUMS)) for words, each in zip(FOOT, counts)]
    title = f"Lesson {lesson}: {len(rows)} students, {len(items)} questions"
    return (f"<h1>{safe(title)}</h1>{_legend(ticket)}{Grid(title, heads, [*body, *foot], marks, foot=2).html('class')}"
            f"{_ideas(summary, lesson)}")


def _shape(mark):
    code = next((code for code in mark.ideas if len(code) < 4), "")
    return _spoken(f'{SHAPES[mark.word]}{"!" if mark.is_overconfident else ""}{f"<small>{safe(code)}</small>" if code else ""}', _words(mark))


def _spoken(shape, words):
    return Html(f'<span role="img" aria-label="{safe(words)}" title="{safe(words)}">{shape}</span>')


def _words(mark):
    more = [*(["sure at first"] if mark.is_overconfident else []), *mark.ideas]
    return mark.word + (f" ({', '.join(more)})" if more else "")


def _sums(marks, earning):
    return [f"{sum(mark.credit for mark in marks):g} of {earning}",
            str(sum(mark.is_overconfident for mark in marks))]


def _legend(ticket):
    told = [f"{shape} {safe(TOLD.get(word, word))}" for word, shape in SHAPES.items()]
    told += ["! sure at first, and wrong", "M1 to M19: the wrong idea behind the answer"]
    told += [f"{shape} safety ticket {words}" for shape, words in (PASSED, NOT_YET) for _ in ticket]
    return f'<p class="told">{" ".join(f"<span>{each}</span>" for each in told)}</p>'


def _ideas(summary, lesson):
    looked = {code: count for code, count in summary.ideas(lesson).items() if count is not None}
    met = "".join(f"<li><b>{safe(code)}</b>: {count} &nbsp; {safe(summary.because(lesson, code))}</li>"
                  for code, count in sorted(looked.items(), key=lambda each: -each[1]) if count)
    none = ", ".join(code for code, count in looked.items() if not count)
    said = f"looked for and not met: {none}. " if none else ""
    return (f'<p><b>Wrong ideas, students with each</b> ({safe(said)}No question of this lesson looks for the others of M1 to '
            f'M19):</p><ul class="few">{met or "<li>none</li>"}</ul>')


def _first(troubles):
    return _short(troubles[0], MOST_TOLD) + (f"; and {len(troubles) - 1} more" if len(troubles) > 1 else "")


def _short(words, most):
    return words if len(words) <= most else f"{words[:most - 1]}\N{HORIZONTAL ELLIPSIS}"


def _absent(labels):
    return f'<p><b>In the table of codes, and no folder:</b> {safe(", ".join(labels))}</p>' if labels else ""


def _few(named):
    if not named:
        return ""
    told = "".join(f"<li><b>{safe(name)}</b>: {safe(why)}</li>" for name, why in named[:MOST_NAMED])
    if len(named) > MOST_NAMED:
        told += f"<li>and {len(named) - MOST_NAMED} more; the file grid.csv has them all</li>"
    return f'<p><b>Not used, or only in part:</b></p><ul class="few">{told}</ul>'


def _page(title, sections, kind):
    body = "".join(f"<section>{each}</section>" for each in sections)
    return printed_page(kind, title, STYLE, body)

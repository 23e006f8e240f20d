"""What somebody reads in a lesson who answers each question wrong once: its prose, questions, choices and replies, in order.

Of what opens below an answer the sentences count; tables, charts and drawings are looked at, not read. A page for the real
bench counts by its steps; the cautions above them are the same in every lesson.
"""

import ast
import os
import re
from dataclasses import dataclass
from functools import cache
from tempfile import TemporaryDirectory
from unittest.mock import patch

from test_every_check_climbs import ways_to_err
from worked_lessons import notebook, right_one, words, worked

from circuitlab.benches.asked import Note, Question
from circuitlab.benches.record import FOLDER
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.paper import HOW_SURE

LESSONS = tuple(path.stem for path in sorted(kit_folder("lessons").glob("[0-9x][0-9]*_*.ipynb")))
ROAD = ("00", "06", "11", "11b")        # the short road, in its order
YOURS = "yours"
CODE = r"`[^`]*`|\b[\w.]+\([^()]*\)|\b[A-Z]{1,3}\d*:[-+\w]+"      # Python, commands, terminals: no words of a language


@dataclass(frozen=True)
class Passage:
    """A stretch of text, where it stands, and what it is.

    Attributes
    ----------
    cell : int
        Its place among the cells of the lesson. [1]
    kind : str
        ``prose``, ``question``, ``reply`` or ``steps`` of the real bench. [text]
    text : str
        Markdown for prose, plain text for the others. [text]
    item : str
        The question, else empty. [text]
    """

    cell: int
    kind: str
    text: str
    item: str = ""


def one_wrong(question):
    """Return a wrong answer to a question: of its choices the one with the longest reply, so that no path is longer."""
    if isinstance(question, Question):
        replies = question.asked.replies
        return max((each for each in question.choices if each != question.asked.truth()), key=lambda each: len(replies[each]))
    posed = question.way.posed
    wrong = [each for each in ways_to_err(posed) if not posed.is_right(posed.read(each))]
    return max(wrong, key=lambda each: len(posed.sentence(0, posed.read(each), posed.idea_behind(posed.read(each)))))


def sentences(markup):
    """Return what is to be read of HTML: no table, no drawing. [text]"""
    return " ".join(words(re.sub(r"<(table|svg|style|script)\b.*?</\1>", " ", markup, flags=re.S)).split())


def asked(lesson, item):
    """Yield what is read of one question: its words, its choices, the reply to a wrong answer, then to the right one."""
    question = lesson.questions[item]
    if isinstance(question, Note):
        yield "question", question.question
        return
    choices = question.choices if isinstance(question, Question) else getattr(question.way.posed.kind, "options", ())
    earned = getattr(question.way, "earned", None)
    more = [HOW_SURE] if question.asked.with_confidence else [earned.rule] if earned and not question.asked.once else []
    yield "question", " ".join([question.question, *(f"{choice}." for choice in choices), *more])
    lesson.answer(item, one_wrong(question))
    yield "reply", sentences(question.reply + question.shown)
    if not (isinstance(question, Question) or question.asked.once):
        lesson.answer(item, right_one(question.way.posed), reason=next(iter(held(question)), None))
        yield "reply", sentences(question.reply + question.shown)


def held(question):
    """Return the reasons on the menu of a question that hold. [text]"""
    return [each for each in question.reasons if question.way.posed.holds(each)]


def steps(source):
    """Return the steps of a page for the real bench that a cell makes. [text]"""
    calls = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)
             and getattr(node.func, "attr", "") in ("workbench", "safety_ticket")]
    return [each for call in calls for each in ast.literal_eval(call.args[-1])]


@cache
def path(name):
    """Return what is read in a lesson by somebody who comes new to it, in order. [Passage]"""
    with TemporaryDirectory() as folder, patch.dict(os.environ, {FOLDER: folder}):
        return tuple(_passages(name))


def _passages(name):
    page, found = worked(name), []
    for place, cell in enumerate(notebook(name).cells):
        if cell.cell_type == "markdown":
            found.append(Passage(place, "prose", cell.source))
            continue
        if YOURS in cell.metadata.get("tags", []):
            found.append(Passage(place, "prose", " ".join(re.findall(r"# (.*)", cell.source))))
        shown = page.shown.get(cell.id)
        if hasattr(shown, "markup") and not steps(cell.source):
            found.append(Passage(place, "prose", sentences(shown.markup)))
        for item in page.asked[cell.id]:
            found += [Passage(place, kind, text, item) for kind, text in asked(page.lesson, item)]
        found += [Passage(place, "steps", step) for step in steps(cell.source)]
    return found


def plain(text):
    """Return a text without the marks of Markdown, addresses and words for pictures. [text]"""
    text = re.sub(r"^(```|~~~).*?^\1", "", text, flags=re.M | re.S)
    text = re.sub(r"!\[.*?\]\(.*?\)|\]\([^)]*\)|<[^>]+>", " ", text, flags=re.S)
    return re.sub(r"[*_#>|\[\]]+", " ", text)


def count(text):
    """Return how many words a text has to read, terminals and numbers among them. [1]"""
    return len(re.findall(r"\S*[^\W_]\S*", plain(text)))

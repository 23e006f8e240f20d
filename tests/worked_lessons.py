"""What the tests of lesson answers share: a lesson run as it is committed, and its questions seen as a learner sees them."""

import ast
import re
from html import escape, unescape
from types import SimpleNamespace

import nbformat

from circuitlab.benches.asked import CLOSED, Question
from circuitlab.ground.places import kit_folder

LONGEST_REPLY = 40  # words


def notebook(name):
    """Return a lesson as it is committed."""
    return nbformat.read(kit_folder("lessons") / f"{name}.ipynb", as_version=4)


def worked(name, **own):
    """Run every code cell of a lesson, the learner's own as given, and return what it made and showed."""
    names, shown = {}, {}
    for cell in notebook(name).cells:
        if cell.cell_type == "code":
            body = ast.parse(own.get(cell.id.replace("-", "_"), cell.source))
            last = body.body.pop() if isinstance(body.body[-1], ast.Expr) else None
            exec(compile(body, cell.id, "exec"), names)
            if last:
                shown[cell.id] = eval(compile(ast.Expression(last.value), cell.id, "eval"), names)
    return SimpleNamespace(lesson=names["lesson"], names=names, shown=shown)


def of_kind(lesson, record):
    """Return the questions of one kind, by item."""
    return {item: question for item, question in lesson.questions.items() if isinstance(question, record)}


def words(markup):
    """Return what a learner reads of some HTML. [text]"""
    return unescape(re.sub(r"<[^>]+>", " ", markup))


def wrong_numbers(reading):
    """Numbers a learner may type that are not near enough."""
    truth = reading._truth()
    tried = [0.0, -truth, 2 * truth + 1, truth / 2, 1000 * truth, truth + 3 * reading._tolerance]
    return [number for number in tried if abs(number - truth) > reading._tolerance]

def open_observations(lesson):
    """Answer every prediction that an observation waits for."""
    for question in of_kind(lesson, Question).values():
        if question._after:
            lesson.answer(question._after.item, question._after._truth())


def check_observations_wait(lesson):
    """An observation is shut while its prediction is."""
    waiting = [question for question in of_kind(lesson, Question).values() if question._after]
    assert waiting
    for question in waiting:
        lesson.answer(question.item, question._truth())
        assert CLOSED in question.reply
        assert not question.is_answered


def check_own_replies(lesson):
    """Each wrong choice is told what its idea would show and where to look: short, unlike its neighbours, never the right choice."""
    open_observations(lesson)
    for item, question in of_kind(lesson, Question).items():
        replies = question._replies
        assert len(set(replies.values())) == len(replies), item
        for wrong in set(question.choices) - {question._truth()}:
            lesson.answer(item, wrong)
            assert escape(replies[wrong]) in question.reply, (item, wrong)
            assert 5 <= len(replies[wrong].split()) <= LONGEST_REPLY, (item, wrong)
            assert not re.search("That is what happens|That agrees|Right\\.", question.reply), (item, wrong)
            assert bool(question._shown.value) == (question.kind == "predicted"), (item, wrong)
            if " " in question._truth():
                assert question._truth() not in replies[wrong], (item, wrong)

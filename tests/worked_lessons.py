"""What the tests of lesson answers share: a lesson run as it is committed, and its questions seen as a learner sees them."""

import ast
import re
from html import unescape
from types import SimpleNamespace

import nbformat

from circuitlab.ground.places import kit_folder


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
    truth = reading.truth()
    tried = [0.0, -truth, 2 * truth + 1, truth / 2, 1000 * truth, truth + 3 * reading.tolerance]
    return [number for number in tried if abs(number - truth) > reading.tolerance]

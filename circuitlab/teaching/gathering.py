"""The questions of a lesson without its widgets: its code cells run once, and what they ask is kept to mark answers by.

Only the kit's own lessons are run, never a learner's copy. What is right is
worked out from the circuit when it is first needed.
"""

import ast
import json
import symtable
from contextlib import redirect_stdout
from functools import cached_property
from io import StringIO
from types import ModuleType

from ..ground.errors import ArrangementError, CircuitLabError, UnknownName, in_short, unknown_name
from ..ground.places import kit_folder
from .asking import TaskQuestions

_KIT = __package__.partition(".")[0]
_SHOWN = ("bench", "still_bench", "what_if", "show", "workbench", "safety_ticket")      # they ask nothing


class Plain:
    """A question that is the same for everybody.

    Attributes
    ----------
    item, kind, question : str
        Short name, what its line in the record says (predicted, observed, noted), its words. [text]
    after : str or None
        The question that must have an answer first. [text]
    is_own : bool
        Whether the answer hangs on a cell the learner edits, so that nobody else can mark it.
    """

    is_own = False

    def __init__(self, item, kind, question, truth=None, choices=(), after=None):
        self.item, self.kind, self.question, self.after, self.choices, self._truth = item, kind, question, after, choices, truth

    def __repr__(self):
        return f"question '{self.item}'"

    @cached_property
    def _worked(self):
        return self._truth()

    def truth(self):
        """Return what the circuit shows. [text]"""
        return self._worked

    def is_right(self, answer):
        """Tell whether an answer agrees with the circuit, None for one that is only kept; raise for one it does not take."""
        if self.kind == "noted":
            if not str(answer or "").strip():
                raise ArrangementError("a note without a word in it.")
            return None
        if answer not in self.choices:
            raise unknown_name(f"question '{self.item}'", "choice", answer, self.choices)
        return answer == self._worked

    def key(self):
        """Return the right answer in words. [text]"""
        return "in the learner's own words" if self.kind == "noted" else self._worked


class Laddered:
    """A question with variants; see :class:`~circuitlab.teaching.task.Task`. It has the attributes of a plain one."""

    kind, is_own = "tried", False

    def __init__(self, task, after=None, once=False):
        self.item, self._task, self.after, self.once = task.item, task, after, once

    def __repr__(self):
        return f"question '{self.item}'"

    @property
    def task(self):
        """The question as data. [Task]"""
        return self._task

    @property
    def question(self):
        """Its words, those of the first variant where they differ. [text]"""
        return self._task.pose(self._task.variants.of(1)).question


class Gathered(TaskQuestions):
    """Stands in a lesson's cells where the lesson would be, and keeps what is asked."""

    def __init__(self, number, folder=None, code=None, static=False):
        self.number, self.questions = str(number), {}

    def predict(self, item, question, choices, truth, reveal=None, key_idea=""):
        return self._keep(Plain(item, "predicted", question, truth, dict(choices)))

    def observe(self, item, question, choices, truth, after=None):
        return self._keep(Plain(item, "observed", question, truth, dict(choices), after=after))

    def note(self, item, question):
        return self._keep(Plain(item, "noted", question))

    def progress(self):
        return ""

    def _asked(self, task, more):
        return self._keep(Laddered(task, more.get("after"), more.get("once", False)))

    def _keep(self, question):
        self.questions[question.item] = question
        return question


class _Page:
    """The public page of the kit with a lesson that only gathers, and without what only shows."""

    def __init__(self, module, made):
        self._module = module
        self.Lesson = lambda *given, **more: made.append(Gathered(*given, **more)) or made[-1]
        for name in _SHOWN:
            setattr(self, name, lambda *given, **more: None)

    def __getattr__(self, name):
        return getattr(self._module, name)


def lesson_numbers():
    """Return the numbers of the kit's lessons, such as ``"07"``, in order. [text]"""
    return tuple(sorted(path.name[:2] for path in kit_folder("lessons").glob("[0-9][0-9]_*.ipynb")))


def lesson_number(words):
    """Return the number of a lesson as the kit writes it, ``"07"`` for ``"7"`` too. [text]

    Raises
    ------
    UnknownName
        For a lesson the kit does not have; it says which there are.
    """
    number, there = str(words).strip().zfill(2), lesson_numbers()
    if number not in there:
        raise UnknownName(f"there is no lesson '{in_short(str(words))}'. The lessons are {there[0]} to {there[-1]}.",
                          where="the kit", kind="lesson", name=words, allowed=list(there))
    return number


def lesson_questions(number):
    """Return every question of a lesson, in the order in which they are asked.

    Parameters
    ----------
    number : str
        Of the lesson, such as ``"11"``. [text]

    Returns
    -------
    dict of str to Plain or Laddered

    Raises
    ------
    UnknownName
        For a lesson the kit does not have.
    CircuitLabError
        When a cell of it fails.
    """
    number = lesson_number(number)
    (path,) = kit_folder("lessons").glob(f"{number}_*.ipynb")
    made, names, own = [], {}, set()
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            try:
                _run("".join(cell["source"]), names, own, made, "yours" in cell["metadata"].get("tags", ()))
            except Exception as error:
                raise CircuitLabError(f"lesson {number} cannot be marked: its cell '{cell['id']}' fails "
                                      f"({type(error).__name__}: {error}).") from error
    return made[-1].questions


def _run(source, names, own, made, is_yours):
    """Run a cell, one statement after the other, and follow which names hang on what the learner edits."""
    for statement in ast.parse(source).body:
        code = ast.unparse(statement)
        read, bound = _names(ast.unparse(_Unseen().visit(statement)))
        before = set(made[-1].questions) if made else set()
        with redirect_stdout(StringIO()):
            exec(compile(code, "lesson", "exec"), names)     # a cell of the kit's own lesson
        for name in bound:
            if isinstance(names.get(name), ModuleType) and names[name].__name__ == _KIT:
                names[name] = _Page(names[name], made)
        hangs = is_yours or bool(read & own)
        asked = set(made[-1].questions) - before if made else set()
        for item in asked:
            made[-1].questions[item].is_own = hangs and made[-1].questions[item].kind != "noted"
        own.difference_update(bound)
        own.update(bound if hangs else ())


class _Unseen(ast.NodeTransformer):
    """Takes out of a question what is only shown afterwards; no mark hangs on it."""

    def visit_Call(self, node):
        node.keywords = [each for each in node.keywords if each.arg not in ("reveal", "key_idea")]
        return self.generic_visit(node)


def _names(code):
    """Return which names of the page a statement reads, inside its functions too, and which it binds."""
    top = symtable.symtable(code, "lesson", "exec")
    read = {each.get_name() for each in top.get_symbols() if each.is_referenced()}
    tables = list(top.get_children())
    for table in tables:
        read |= {each.get_name() for each in table.get_symbols() if each.is_global()}
        tables += table.get_children()
    return read, {each.get_name() for each in top.get_symbols() if each.is_assigned() or each.is_imported()}

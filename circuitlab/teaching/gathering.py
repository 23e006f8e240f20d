"""The questions of a lesson without its widgets: its code cells run once, and what they ask is kept to mark answers by.

Only the kit's own lessons are run, never a learner's copy. What is right is
worked out from the circuit when it is first needed.
"""

import ast
import json
import re
import symtable
from contextlib import redirect_stdout
from io import StringIO
from types import ModuleType

from ..arrangements import Arrangement
from ..ground.errors import CircuitLabError, UnknownName, in_short
from ..ground.known_cells import YOURS, lesson_files
from .book import Book

_KIT = __package__.partition(".")[0]
_PICTURE = re.compile(r"!\[(.*?)\]\((\S+?\.svg)\)", re.DOTALL)     # in the prose of a lesson
_CHECK = re.compile(r"^## Check\b[^\n]*\n(.*?)(?=^#|\Z)", re.DOTALL | re.MULTILINE)


class _Gathered(Book):
    """A book filled by the cells of its lesson; its pages for the real bench and its progress ask nothing.

    Attributes
    ----------
    drawn : list of (int, str, object)
        What stands among the questions to be looked at: how many questions come before it, its words, and the circuit of a
        board or the name of a picture's file.
    ahead : dict of str to str
        What the prose under the heading *Check* says ahead of its first question, by that question. [text]
    """

    def __init__(self, number):
        super().__init__(number)
        self.drawn, self.ahead, self._said = [], {}, ""

    def hear(self, prose):
        """Keep the drawings of a stretch of prose, and what it says under the heading *Check*."""
        self.drawn += [(len(self.questions), words, file) for words, file in _PICTURE.findall(prose)]
        checks = _CHECK.search(prose)
        self._said = " ".join(re.sub(r"[*`]", "", _PICTURE.sub("", checks[1])).split()) if checks else self._said

    def keep(self, question):
        """Put a question at the end, with what was said ahead of it."""
        if self._said:
            self.ahead[question.item], self._said = self._said, ""
        return super().keep(question)

    def see(self, circuit):
        """Keep the circuit of a board."""
        if isinstance(circuit, Arrangement):
            self.drawn.append((len(self.questions), circuit.title, circuit))

    def safety_ticket(self, questions, steps):
        """Keep which questions the ticket is made of."""
        self.ticket = tuple(question.item for question in questions)

    workbench = show_progress = staticmethod(lambda *given, **more: None)


class _Page:
    """The public page of the kit with a lesson that only gathers, and without what only shows."""

    def __init__(self, module, made):
        self._module = module
        self.Lesson = lambda number, *given, **more: made.append(_Gathered(number)) or made[-1]
        self.show = lambda *given, **more: None
        self.board = lambda circuit=None, *given, **more: made[-1].see(circuit) if made else None

    def __getattr__(self, name):
        return getattr(self._module, name)


def lesson_number(words):
    """Return the number of a lesson as the kit writes it, ``"07"`` for ``"7"`` and ``"06b"`` for ``"6B"`` too. [text]

    Raises
    ------
    UnknownName
        For a lesson the kit does not have; it says which there are.
    """
    said, there = str(words).strip().lower(), list(lesson_files())
    number = said.zfill(3 if said[-1:].isalpha() else 2)
    if number not in there:
        course, extras = ([each for each in there if each[0].isdecimal() is plain] for plain in (True, False))
        more = f", the extras {extras[0]} to {extras[-1]}" if extras else ""
        raise UnknownName(f"there is no lesson '{in_short(str(words))}'. The lessons are {course[0]} to {course[-1]}{more}.",
                          where="the kit", kind="lesson", name=words, allowed=there)
    return number


def lesson_book(number):
    """Return the book of a lesson.

    Parameters
    ----------
    number : str
        Of the lesson, such as ``"11"``. [text]

    Returns
    -------
    Book

    Raises
    ------
    UnknownName
        For a lesson the kit does not have.
    CircuitLabError
        When a cell of it fails.
    """
    number = lesson_number(number)
    made, names, own = [], {}, set()
    for cell in json.loads(lesson_files()[number].read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            try:
                _run("".join(cell["source"]), names, own, made, YOURS in cell["metadata"].get("tags", ()))
            except Exception as error:
                raise CircuitLabError(f"lesson {number} cannot be marked: its cell '{cell['id']}' fails "
                                      f"({type(error).__name__}: {error}).") from error
        elif made:
            made[-1].hear("".join(cell["source"]))
    return made[-1]


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

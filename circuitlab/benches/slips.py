"""A slip in a cell stays a slip: it is told in a sentence, and what the cell would have made stands in as it was at its start.

So one typing error in a cell of the learner's costs that cell and no other one.
"""

import ast
import os
from contextlib import redirect_stdout, suppress
from difflib import SequenceMatcher
from io import StringIO

from IPython import get_ipython

from ..ground.errors import FileError, unknown_name
from ..ground.known_cells import LAB, lesson_cells, remember, starts
from ..ground.slips import slip_words

ALIKE, REMARK = 0.3, "# yours"      # what share of its start a changed cell still has at least, and its remark
GOES_ON = "Only this cell stops. The lesson goes on with what it made before, or makes at its start."


class Slips:
    """Listens to the cells of one lesson.

    Parameters
    ----------
    shell : IPython.core.interactiveshell.InteractiveShell
    number : str
        Of the lesson. [text]
    """

    def __init__(self, shell, number):
        self._starts, self._cell, self._identity = starts(number), "", None
        self._locked = {*lesson_cells(number)} - {*self._starts}
        shell.set_custom_exc((Exception,), self._tell)
        shell.events.register("pre_run_cell", self._begin)
        shell.events.register("post_run_cell", self._end)

    def _begin(self, info):
        self._cell, self._identity = info.raw_cell or "", getattr(info, "cell_id", None)

    def _end(self, result):
        if self._identity is not None and self._identity not in self._locked:
            remember([self._cell])

    def _own(self):
        """Return the id of the learner's cell that runs, or None."""
        if self._identity in self._starts:
            return self._identity
        if self._identity is not None or REMARK not in self._cell:
            return None
        alike = {SequenceMatcher(None, start, self._cell).ratio(): identity for identity, start in self._starts.items()}
        return alike[max(alike)] if alike and max(alike) >= ALIKE else None

    def _tell(self, shell, kind, error, trace, tb_offset=None):
        """Show a sentence in the place of a traceback; let the rest of the lesson have what this cell makes."""
        own = self._own()
        said = slip_words(error, shell.user_ns)
        if own:
            _stand_in(shell.user_ns, self._starts[own])
            said += ["", GOES_ON, _mend(own)]
        shell._showtraceback(kind, str(error), said)


def _mend(own):
    back = ("press \"Set it back to its start\"." if os.environ.get(LAB) else
            f"put lesson.set_back(\"{own}\") in place of all that stands in it and press Shift+Enter; then once more.")
    return f"Mend it and press Shift+Enter. Or {back}"


def _stand_in(names, start):
    """Make what a cell made at its start, where nothing of that name is there yet; nothing is shown."""
    made = {each.id for each in ast.walk(ast.parse(start)) if isinstance(each, ast.Name) and isinstance(each.ctx, ast.Store)}
    there = {name: names[name] for name in made if name in names}
    if made - {*there}:
        with suppress(Exception), redirect_stdout(StringIO()):
            exec(compile(start, "start of this cell", "exec"), names)
        names.update(there)


_listening = {}


def listen(number):
    """Tell slips in the cells of a lesson of the kit in sentences from now on; return whether this is a notebook with one. [yes/no]"""
    shell = get_ipython()
    if shell is None or not lesson_cells(number):
        return False
    if _listening.get("number") == number:
        return True
    if former := _listening.get("slips"):
        for event, heard in (("pre_run_cell", former._begin), ("post_run_cell", former._end)):
            with suppress(ValueError):
                shell.events.unregister(event, heard)
    _listening.update(number=number, slips=Slips(shell, number))
    return True


def set_back(lesson, cell):
    """Put how one of the learner's own cells began in the place of the cell that asks for it.

    Parameters
    ----------
    lesson : Lesson
    cell : str
        Its name. [text]

    Raises
    ------
    UnknownName
        When the lesson has no such cell of the learner's.
    FileError
        When there is no notebook.
    """
    began = starts(lesson.record.lesson)
    if cell not in began:
        raise unknown_name(f"lesson {lesson.record.lesson}", "cell of yours", cell, began)
    shell = get_ipython()
    if shell is None:
        raise FileError("only a cell of a notebook can be set back. Run this in the cell itself.")
    shell.set_next_input(began[cell], replace=True)

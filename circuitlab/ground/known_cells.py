"""The code cells of the lessons, and which of those in the learner's folder are known: written by the kit, or run there by hand.

A cell is known by the sum of its text. Those of today's lessons are known anyway; what else is, and those of every kit that
was started here, stands in a file of the private folder of the kit's own JupyterLab.
"""

import json
import os
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path

from .appending import append
from .places import kit_folder

LAB = "PIN_THIRTY_LAB"      # environment variable: that private folder
KNOWN = "known_cells.txt"
MOST_KNOWN = 4_000_000      # letters of that file that are read
MARK = "pin_thirty"         # in the metadata of the kit's lessons, and of a cell that has a menu
YOURS = "yours"             # tag of a cell that is the learner's


def cells_of(path):
    """Return the code cells of a notebook's file as ``{id: (text, whether it is the learner's, its menu)}``. [text]"""
    cells = json.loads(Path(path).read_text(encoding="utf-8"))["cells"]
    return {cell.get("id", ""): ("".join(cell["source"]), YOURS in cell["metadata"].get("tags", ()), cell["metadata"].get(MARK, {}))
            for cell in cells if cell["cell_type"] == "code"}


def lesson_files():
    """Return the notebook of each of the kit's lessons by its number, such as ``"07"`` or ``"06b"``, in order; the extras, such as ``"x1"``, last. [text]"""
    numbers = {path.name.partition("_")[0]: path for path in kit_folder("lessons").glob("[0-9x][0-9]*_*.ipynb")}
    return dict(sorted(numbers.items()))


@cache
def lesson_cells(name):
    """Return the code cells of the kit's lesson in a file of that name, or of that number; none where there is no such lesson."""
    return next((cells_of(path) for number, path in lesson_files().items() if name in (path.name, number)), {})


def starts(name):
    """Return how each of the learner's own cells of a lesson began, by its id. [text]"""
    return {identity: text for identity, (text, is_own, _) in lesson_cells(name).items() if is_own}


def menus(name):
    """Return what may be chosen for each of the learner's own cells of a lesson in the place of typing, by its id.

    ``menu`` holds ``[words, choices]`` for each value, in the order in which they stand in the cell; a choice is a value, or
    ``[value, words]``; ``then`` holds the cells that are to be run behind it: their ids, or ``"below"`` for all.
    """
    return {identity: menu for identity, (_, is_own, menu) in lesson_cells(name).items() if is_own and menu}


def known(private=None):
    """Return the sums of all cells that are known. [text]"""
    return _kits() | _kept(private or os.environ.get(LAB))


def remember(texts, private=None):
    """Know cells from now on; nothing is kept outside the kit's own JupyterLab.

    Parameters
    ----------
    texts : iterable of str
    private : Path, optional
        Its private folder; the one this kernel runs in, unless given. [text]
    """
    private = private or os.environ.get(LAB)
    if private:
        _keep({sum_of(text) for text in texts} - known(private), private)


def remember_lessons(private):
    """Know today's lessons from now on, whatever the kit has later."""
    _keep(_kits() - _kept(private), private)


def _keep(sums, private):
    if sums:
        with suppress(OSError):        # such a cell then waits to be run by hand once more
            append(Path(private) / KNOWN, [f"{each}\n" for each in sorted(sums)])


def sum_of(text):
    """Return what a cell is known by. [text]"""
    return sha256(text.encode("utf-8", "replace")).hexdigest()


@cache
def _kits():
    return {sum_of(text) for path in lesson_files().values() for text, *_ in lesson_cells(path.name).values()}


def _kept(private):
    try:
        with (Path(private) / KNOWN).open(encoding="ascii") as file:
            return set(file.read(MOST_KNOWN).split())
    except (OSError, TypeError, ValueError):
        return set()

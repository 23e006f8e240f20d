"""What the lessons' JupyterLab asks the kernel when a notebook is opened: whether it is the learner's own lesson, and what may be run.

Nothing is run by itself that was neither written by the kit nor run in this folder by hand before. Each code cell is known by
the sum of its text: those of today's lessons, those that ``start`` copied, and those of the learner's own that were run here.
"""

import json
import os
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path

from ..ground.appending import append
from ..ground.places import kit_folder

LAB = "PIN_THIRTY_LAB"      # environment variable: the private folder of the kit's own JupyterLab
KNOWN = "known_cells.txt"
MOST_KNOWN = 4_000_000      # letters of that file that are read
YOURS = "yours"             # tag of a cell that is the learner's
_state = {"has_run": False}


class Told(dict):
    """An answer the page reads as JSON."""

    def _repr_json_(self):
        return dict(self)


def told(asked):
    """Answer for a notebook that was opened.

    Parameters
    ----------
    asked : str
        JSON: the name of its file, and ``[id, text]`` of each of its code cells. [text]

    Returns
    -------
    Told
        ``is_own``: whether it may be run; ``has_run``: whether this kernel has run it; ``starts``: how each of the learner's
        own cells began, by its id; ``unseen``: the same of those edited and never run here, which are not to be run; ``said``:
        a sentence for the learner, or an empty text.
    """
    name, cells = json.loads(asked)
    own = _lesson(name)
    starts = {cell["id"]: _source(cell) for cell in own if YOURS in cell["metadata"].get("tags", ())}
    known = _kits() | _kept()
    strange = [identity for identity, text in cells if _sum(text) not in known]
    if not own or {identity for identity, _ in cells} - {cell["id"] for cell in own} or set(strange) - set(starts):
        return Told(is_own=False, has_run=False, starts={}, unseen={}, said=(
            "This is not a lesson as this kit copied it here, so it is not run by itself. Read its cells; if you trust them, choose "
            "Run > Run All Cells. For today's lesson, start with --renew."))
    said = ("A cell marked yours was changed and not run here since: it waits for you to run it." if strange else "")
    return Told(is_own=True, has_run=_state["has_run"], starts=starts, unseen={each: starts[each] for each in strange}, said=said)


def done():
    """Keep in mind that this kernel has run its lesson."""
    _state["has_run"] = True
    return Told(has_run=True)


def remember(texts, private=None):
    """Know cells from now on, by their texts; without a private folder nothing is kept.

    Parameters
    ----------
    texts : iterable of str
    private : Path, optional
        That of the kit's own JupyterLab; the one this kernel runs in, unless given. [text]
    """
    private = private or os.environ.get(LAB)
    if private:
        fresh = {_sum(text) for text in texts} - _kits() - _kept(private)
        with suppress(OSError):        # it is then asked for once more
            append(Path(private) / KNOWN, [f"{each}\n" for each in sorted(fresh)])


def lesson_of(number):
    """Return the code cells of the kit's lesson of a number, none where there is none. [dict]"""
    return next((_lesson(path.name) for path in kit_folder("lessons").glob(f"{number}_*.ipynb")), [])


@cache
def _lesson(name):
    """Return the code cells of the kit's lesson in a file of that name; none where the kit has no such file."""
    path = next((each for each in kit_folder("lessons").glob("*.ipynb") if each.name == name), None)
    return [] if path is None else [cell for cell in json.loads(path.read_text(encoding="utf-8"))["cells"] if cell["cell_type"] == "code"]


@cache
def _kits():
    return {_sum(_source(cell)) for path in kit_folder("lessons").glob("*.ipynb") for cell in _lesson(path.name)}


def _kept(private=None):
    private = private or os.environ.get(LAB)
    try:
        with (Path(private) / KNOWN).open(encoding="ascii") as file:
            return set(file.read(MOST_KNOWN).split())
    except (OSError, TypeError, ValueError):
        return set()


def code_of(notebook):
    """Return the texts of the code cells of a notebook's file. [text]"""
    return [_source(cell) for cell in json.loads(notebook.read_text(encoding="utf-8"))["cells"] if cell["cell_type"] == "code"]


def _source(cell):
    return "".join(cell["source"])


def _sum(text):
    return sha256(text.encode("utf-8", "replace")).hexdigest()

"""What the lessons' JupyterLab asks the kernel when a notebook is opened: whether it is the learner's own lesson, and what may be run.

Nothing is run by itself that was neither written by the kit nor run in this folder by hand before.
"""

import json

from ..ground.known_cells import known, lesson_cells, menus, starts, sum_of

FOREIGN = ("This is not a lesson as this kit copied it here, so it is not run by itself. For the kit's own give this file another name "
           "and start the kit again; or read all its cells and, if you trust them, choose Run > Run All Cells.")
UNSEEN = "A cell of yours holds what was never run here. It waits: read it, then click into it and press Shift+Enter."
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
        JSON: the name of its file as the kit gave it, and ``[id, text]`` of each of its code cells. [text]

    Returns
    -------
    Told
        ``is_own``: whether it may be run; ``has_run``: whether this kernel has run it; ``starts``: how each of the learner's
        own cells began, ``menus``: what may be chosen for it, both by its id; ``unseen``: the same of those that hold what was never run here, which wait, an empty text
        for cells the learner added; ``said``: a sentence for the learner, or an empty text.
    """
    name, cells = json.loads(asked)
    locked, began, seen = lesson_cells(name), starts(name), known()
    strange = [identity for identity, text in cells if sum_of(text) not in seen]
    if not locked or any(identity in locked and identity not in began for identity in strange):
        return Told(is_own=False, has_run=False, starts={}, menus={}, unseen={}, said=FOREIGN)
    return Told(is_own=True, has_run=_state["has_run"], starts=began, menus=menus(name), unseen={each: began.get(each, "") for each in strange},
                said=UNSEEN if strange else "")


def done():
    """Keep in mind that this kernel has run its lesson."""
    _state["has_run"] = True
    return Told(has_run=True)

"""Which of a learner's lessons are another edition than the kit's, which of them were edited, and how the new ones come in.

A copy carries the edition it was made from in its notebook's metadata. Only
cells make an edition; outputs do not. What is taken out of the way is moved
aside, never deleted.
"""

import json
import os
import re
from dataclasses import dataclass
from hashlib import sha256

from ..ground.errors import FileError, listed
from ..ground.known_cells import MARK
from ..ground.plain import counted

ASIDE = "earlier-"
MOST_ASIDE = 99
MOST_NAMED = 4
_LESSON = re.compile(r"([0-9x][0-9][a-z]?)_.*\.ipynb")


@dataclass(frozen=True)
class Outdated:
    """A lesson in the learner's folder that is not the kit's of today.

    Attributes
    ----------
    name : str
        Of the file there. [text]
    today : str
        Of the kit's lesson of the same number; another one where it has got another name. [text]
    is_edited : bool or None
        Whether its cells were changed since it was copied; None where the copy does not tell, as those of older kits.
    """

    name: str
    today: str
    is_edited: bool | None

    @property
    def words(self):
        """Its name, and what is known of it. [text]"""
        known = {True: "edited by you", False: "as it was copied", None: "perhaps edited by you"}[self.is_edited]
        return f"'{self.name}' ({known})"


def edition(notebook):
    """Return what tells an edition of a lesson from others: the sum of its cells. [text]

    Raises
    ------
    ValueError
        For what is no notebook.
    """
    try:
        cells = [[cell["cell_type"], "".join(cell["source"])] for cell in notebook["cells"]]
    except (TypeError, KeyError) as error:
        raise ValueError("no notebook") from error
    return sha256(json.dumps(cells).encode("utf-8", "replace")).hexdigest()[:16]


def with_edition(text, name):
    """Return the text of a notebook with its edition and the name of its file in its metadata. [text]"""
    notebook = json.loads(text)
    notebook["metadata"][MARK] = {"edition": edition(notebook), "name": name}
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


def outdated(folder, source):
    """Return the lessons of a folder that are of another edition than those of the kit.

    Parameters
    ----------
    folder, source : Path
        The learner's, and the kit's own. [text]

    Returns
    -------
    tuple of Outdated
        In the order of their names. What cannot be read as a notebook is not among them.
    """
    kits = {_LESSON.fullmatch(path.name)[1]: path for path in source.glob("*.ipynb") if _LESSON.fullmatch(path.name)}
    found = []
    for path in sorted(folder.glob("*.ipynb")):
        lesson = _LESSON.fullmatch(path.name)
        if not lesson or lesson[1] not in kits or path.is_symlink():
            continue
        try:
            own, today = (json.loads(each.read_text(encoding="utf-8")) for each in (path, kits[lesson[1]]))
            now, new = edition(own), edition(today)
        except (OSError, ValueError, RecursionError):
            continue
        mark, name = _mark(own), kits[lesson[1]].name
        if path.name != name and mark.get("name") != path.name:     # of the learner's own making, or a second copy
            continue
        was = mark.get("edition")
        if new not in (was, now) or path.name != name:
            found.append(Outdated(path.name, name, None if was is None else now != was))
    return tuple(found)


def _mark(notebook):
    mark = notebook["metadata"].get(MARK) if isinstance(notebook.get("metadata"), dict) else None
    return mark if isinstance(mark, dict) else {}


def few(names):
    """Return the first names of a list, and how many more there are. [text]"""
    return listed(names[:MOST_NAMED]) + (f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else "")


def offer(found):
    """Return the sentences in which new editions are offered, or an empty text. [text]"""
    if not found:
        return ""
    which = few([each.words for each in found])
    return (f"The kit has newer editions of {counted(len(found), 'lesson')} of yours: {which}. Start with --renew to get them; "
            "yours are then kept in a folder beside them, and your answers stay.")


def set_aside(folder, found):
    """Move lessons into a new folder ``earlier-1`` and so on inside the learner's, and return it.

    Raises
    ------
    FileError
        When one cannot be moved; those moved before it stay where they are then.
    """
    aside = next((each for each in (folder / f"{ASIDE}{number}" for number in range(1, MOST_ASIDE + 1))
                  if not os.path.lexists(each)), None)
    if aside is None:
        raise FileError(f"'{folder}' holds {MOST_ASIDE} folders of earlier lessons, the most there may be. Move some away.")
    try:
        aside.mkdir()
        for each in found:
            os.replace(folder / each.name, aside / each.name)
    except OSError as error:
        raise FileError(f"the earlier lessons cannot be moved to '{aside.name}': {error.strerror or error}. "
                        "Close them, then start again.", file=aside.name) from None
    return aside

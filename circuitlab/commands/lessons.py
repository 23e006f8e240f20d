"""The learner's own copy of the lessons: outputs stripped, the originals untouched, work already done kept."""

import errno
import json
import os
import re
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from ..ground.errors import FileError
from ..ground.files import folder_reason, folder_words
from ..ground.places import kit_folder
from ..ground.plain import counted
from ..ground.saving import put
from .editions import few, offer, outdated, set_aside, with_edition

ANSWERS = "answers"
AN_HOUR = 3600.0    # s
_NOT_COPIED = (".ipynb_checkpoints", "__pycache__", ANSWERS)


_PARTIAL = re.compile(r"\.[0-9a-f]{16}\.partial")     # the passing names that saving gives


@dataclass(frozen=True)
class Copied:
    """What :func:`copy_lessons` did.

    Parameters
    ----------
    folder : Path
        The learner's folder, in full. [text]
    new, kept : tuple of str
        Files put there now, and files that were there already. [text]
    outdated : tuple of Outdated
        Kept lessons of which the kit has another edition.
    aside : Path, optional
        Where earlier editions were moved to. [text]
    was_asked : bool
        Whether earlier editions were to be moved aside.
    """

    folder: Path
    new: tuple
    kept: tuple
    outdated: tuple = ()
    aside: Path | None = None
    was_asked: bool = False

    @property
    def sentence(self):
        """In words. [text]"""
        moved = f" Your earlier editions are in '{self.aside.name}'." if self.aside else ""
        if self.was_asked and not self.aside:
            moved = " All your lessons are today's edition, edited or not, so none was moved."
        if not self.kept:
            return f"{counted(len(self.new), 'file')} copied.{moved}"
        offered = offer(self.outdated)
        return (f"{counted(len(self.kept), 'file')} of yours kept as {'it is' if len(self.kept) == 1 else 'they are'}, "
                f"{counted(len(self.new), 'new one')} added.{moved}{self._damaged}{offered and f' {offered}'}")

    @property
    def _damaged(self):
        """What is said of kept notebooks that JupyterLab will not open, set behind another sentence. [text]"""
        names = [name for name in self.kept if name.endswith(".ipynb") and not is_notebook(self.folder / name)]
        which = few([f"'{name}'" for name in names])
        return (f" No notebook any more, perhaps cut off: {which}. Give it another name and start again: a fresh one is then put "
                "there." if names else "")


def own_folder(typed=None):
    """Return the folder for the lessons: the one typed, with ``~`` filled in, else the usual one in the home folder.

    Raises
    ------
    FileError
        When nothing or an unknown person's home is typed, or this person has no home folder.
    """
    if typed is not None and not typed.strip():
        raise FileError("the folder given with --folder has no name. Give one, such as --folder my-lessons.")
    try:
        return Path.home() / "pin-thirty-lessons" if typed is None else Path(typed).expanduser()
    except RuntimeError:
        what = "the usual folder" if typed is None else f"'{folder_words(typed)}'"
        raise FileError(f"{what} cannot be used for the lessons: no home folder is known for it. "
                        "Give another with --folder.") from None


def copy_lessons(folder, source=None, renew=False):
    """Copy every lesson and guide that the folder does not have yet.

    Parameters
    ----------
    folder : str or Path
        The learner's own folder; made when it is not there. [text]
    source : str or Path
        Where the originals are; the kit's own when not given. [text]
    renew : bool
        Whether lessons of another edition than the kit's are moved aside first, so that today's come in.

    Returns
    -------
    Copied
        The folder, what is new and what was kept.

    Raises
    ------
    FileError
        When the folder lies among the originals or cannot be written.
    """
    source = Path(source or kit_folder("lessons")).resolve()
    folder = learners_folder(folder, source)
    make_folder(folder, folder)
    make_folder(folder, folder / ANSWERS, is_own=False)
    old = outdated(folder, source) if renew else ()
    aside = set_aside(folder, old) if old else None
    new, kept = [], []
    for original in _originals(source):
        name = original.relative_to(source)
        if os.path.lexists(folder / name):
            kept.append(name.as_posix())
        else:
            _copy(original, folder, folder / name)
            new.append(name.as_posix())
    _clear_partials(folder)
    return Copied(folder, tuple(new), tuple(kept), outdated(folder, source), aside, renew)


def learners_folder(folder, source=None):
    """Return a folder in full, or raise a FileError for one that lies among the kit's own lessons or cannot be. [text]"""
    source = Path(source or kit_folder("lessons")).resolve()
    try:
        folder = Path(folder).resolve()
    except (OSError, ValueError) as error:
        raise unusable(folder, error) from None
    except RuntimeError:        # so an older Python says it
        raise unusable(folder, OSError(errno.ELOOP, "")) from None
    if folder == source or source in folder.parents:
        raise FileError(f"'{folder_words(folder)}' holds the kit's own lessons. Give another folder, so that they stay "
                        "clean.", folder=folder)
    return folder


def make_folder(lessons, folder, is_own=True):
    """Make a folder, and those above it, in the learner's folder ``lessons``; on a file or link in its place say so.

    Parameters
    ----------
    lessons, folder : Path
        The second is the first or lies in it. [text]
    is_own : bool
        Whether the kit writes into it; then it must be no link, which could lead anywhere.

    Raises
    ------
    FileError
        When something else stands there, or it cannot be made or written.
    """
    inner = () if folder == lessons else folder.relative_to(lessons).parts
    for step in (lessons.joinpath(*inner[:number + 1]) for number in range(len(inner))):
        where = f"'{step.relative_to(lessons).as_posix()}' in '{folder_words(lessons)}'"
        if is_own and step.is_symlink():
            raise FileError(f"{where} is a link to another place, and nothing is written through it. Move it away, "
                            "then start again.", folder=step)
        if os.path.lexists(step) and not step.is_dir():
            raise FileError(f"{where} is not a folder, and a folder must be there. Give it another name, then "
                            "start again.", folder=step)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if is_own and not os.access(folder, os.W_OK | os.X_OK):
            raise PermissionError(errno.EACCES, "")
    except (OSError, ValueError) as error:
        raise unusable(lessons, error) from None


def unusable(folder, error):
    """Return the FileError for a folder that cannot hold the lessons, from what was raised while it was used."""
    why = error.pieces.get("why", str(error)) if isinstance(error, FileError) else (
        folder_reason(error))
    advice = ("Free some space, then start again; what is there already stays" if "full" in why
              else "Give another with --folder")
    return FileError(f"'{folder_words(folder)}' cannot be used for the lessons: {why}. {advice}.", folder=folder)


def is_notebook(path):
    """Whether a file holds what JupyterLab can open, as far as its shape tells."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(found, dict) and isinstance(found.get("cells"), list)


def _originals(source):
    """Every file that is a learner's or a teacher's, sorted."""
    return sorted(path for path in source.rglob("*")
                  if path.is_file() and not set(path.relative_to(source).parts) & set(_NOT_COPIED))


def _copy(original, folder, target):
    """Copy one file, a notebook without outputs; a copy cut short never stays under the final name."""
    make_folder(folder, target.parent)
    try:
        content = original.read_bytes()
    except OSError:
        raise FileError(f"the kit's own '{original.name}' cannot be read. Install the kit again.",
                        file=original.name) from None
    if original.suffix == ".ipynb":
        content = with_edition(stripped(content.decode("utf-8")), original.name).encode("utf-8")
    try:
        put(content, target)
    except FileError as error:
        raise unusable(folder, error) from None


def _clear_partials(folder):
    """Take away what a copy that was killed left under a passing name, unless another start may be at it now."""
    for path in folder.rglob(".*.partial"):
        with suppress(OSError):
            if _PARTIAL.fullmatch(path.name) and time.time() - path.lstat().st_mtime > AN_HOUR:
                path.unlink()


def stripped(text):
    """Return a notebook's text without outputs, execution counts and widget state. [text]"""
    import nbformat

    notebook = nbformat.reads(text, as_version=4)
    notebook.metadata.pop("widgets", None)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
            cell.metadata.pop("execution", None)
    return nbformat.writes(notebook) + "\n"

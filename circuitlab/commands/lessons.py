"""The learner's own copy of the lessons: outputs stripped, the originals untouched, work already done kept."""

import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from ..ground.errors import FileError
from ..ground.places import kit_folder

ANSWERS = "answers"
_NOT_COPIED = (".ipynb_checkpoints", "__pycache__", ANSWERS)


@dataclass(frozen=True)
class Copied:
    """What :func:`copy_lessons` did.

    Parameters
    ----------
    folder : Path
        The learner's folder, in full. [text]
    new, kept : tuple of str
        Files put there now, and files that were there already. [text]
    """

    folder: Path
    new: tuple
    kept: tuple

    @property
    def sentence(self):
        """In words. [text]"""
        if not self.kept:
            return f"{len(self.new)} files copied."
        return f"{len(self.kept)} files of yours kept as they are, {len(self.new)} new ones added."


def copy_lessons(folder, source=None):
    """Copy every lesson and guide that the folder does not have yet.

    Parameters
    ----------
    folder : str or Path
        The learner's own folder; made when it is not there. [text]
    source : str or Path
        Where the originals are; the kit's own when not given. [text]

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
    folder = Path(folder).resolve()
    if folder == source or source in folder.parents:
        raise FileError(f"'{folder}' holds the kit's own lessons. Give another folder, so that they stay clean.",
                        folder=folder)
    new, kept = [], []
    try:
        (folder / ANSWERS).mkdir(parents=True, exist_ok=True)
        for original in _originals(source):
            name = original.relative_to(source)
            (kept if (folder / name).exists() else new).append(name.as_posix())
            if not (folder / name).exists():
                _copy(original, folder / name)
    except OSError as error:
        raise FileError(f"'{folder}' cannot be used for the lessons: {error.strerror}. Give another with --folder.",
                        folder=folder) from None
    return Copied(folder, tuple(new), tuple(kept))


def _originals(source):
    """Every file that is a learner's or a teacher's, sorted."""
    return sorted(path for path in source.rglob("*")
                  if path.is_file() and not set(path.relative_to(source).parts) & set(_NOT_COPIED))


def _copy(original, target):
    """Copy one file, a notebook without outputs; a copy cut short never stays under the final name."""
    target.parent.mkdir(parents=True, exist_ok=True)
    partial = target.with_name(target.name + ".partial")
    if original.suffix == ".ipynb":
        partial.write_text(stripped(original.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
    else:
        shutil.copyfile(original, partial)
    os.replace(partial, target)


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

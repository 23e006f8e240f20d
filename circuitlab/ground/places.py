"""The one room that knows where lessons and datasets are, in a clone and in an installed wheel."""

from pathlib import Path

from .errors import FileError

_PACKAGE = Path(__file__).resolve().parent.parent


def kit_folder(name):
    """Return the folder ``lessons`` or ``datasets`` that belongs to this copy of the kit.

    In an installed wheel it lies inside the package; in a clone beside it.

    Raises
    ------
    FileError
        When neither is there.
    """
    for folder in (_PACKAGE / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileError(f"the kit's folder '{name}' is missing. Install the kit again.", folder=name)

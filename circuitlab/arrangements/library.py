"""The arrangements that come with the kit, by name. None of them is *the* answer."""

from functools import lru_cache
from os import PathLike
from pathlib import Path

from ..ground.errors import shown, unknown_name
from ..ground.files import in_file, read
from ..ground.places import kit_folder
from .text import load, read_text

ENDINGS = (".toml", ".ipynb", ".changes", ".svg", ".png", ".pdf", ".html", ".txt", ".csv", ".jsonl")   # never the kit's own name


def arrangement_names():
    """Return the names of the arrangements in ``datasets/arrangements``, sorted. [text]

    >>> "one-fused-lamp" in arrangement_names()
    True
    """
    return sorted(path.stem for path in (kit_folder("datasets") / "arrangements").glob("*.toml"))


def arrangement(name_or_file):
    """Return an arrangement by its name in the kit, from a file of your own, or from the text of one.

    Parameters
    ----------
    name_or_file : str or Path
        Such as ``"one-fused-lamp"`` or ``"my-trailer.toml"``, or the lines that ``.write_text()`` gives. [text]

    Raises
    ------
    UnknownName
        When the kit has no arrangement of that name and it is no file.
    FileError
        When the file or the text cannot be read.

    >>> arrangement("one-fused-lamp")
    Arrangement 'One lamp with its fuse and its switch': 5 parts, 5 wires, 1 control. print() lists them.
    """
    if not isinstance(name_or_file, (str, PathLike)):
        name_or_file = shown(name_or_file)
    if "\n" in str(name_or_file):
        return read_text(str(name_or_file))
    if str(name_or_file).lower().endswith(ENDINGS):
        return load(name_or_file)
    names = arrangement_names()
    if str(name_or_file) not in names and _is_file(name_or_file):
        return load(name_or_file)
    if str(name_or_file) not in names:
        raise unknown_name("the kit", "arrangement", name_or_file, names)
    path = kit_folder("datasets") / "arrangements" / f"{name_or_file}.toml"
    text = read(path, kind="an arrangement")
    with in_file(path):
        return _made(text, path.stem, f"'{path.name}'")


_made = lru_cache(maxsize=64)(read_text)     # frozen: the same text is the same circuit, read, checked and prepared once


def _is_file(name):
    try:
        return Path(name).is_file()
    except (OSError, ValueError):       # no file can have such a name
        return False

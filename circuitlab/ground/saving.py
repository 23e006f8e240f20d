"""Saving into a person's files destroys none of them.

Only what the kit itself wrote, of the same kind, is replaced, and the old file is kept beside the new one:
``cart.toml`` as ``cart.before-1.toml``, then ``cart.before-2.toml``. Whatever is written is written aside and moved
into place, so that a full disk or a crash leaves the old file whole.
"""

import os
import secrets
import shutil
import stat
from contextlib import suppress
from pathlib import Path

from .errors import FileError, listed
from .files import named, own_kind, reason, seeming, file_words, unfiled

MOST_REPLACED = 50_000_000      # bytes of a file that is replaced; no drawing of the kit comes near
MOST_KEPT = 99                  # earlier files kept beside one


class Saved(type(Path())):
    """Where something was saved: a path that also knows what was kept. A notebook shows it as a sentence.

    Attributes
    ----------
    kept : Path or None
        What stood there before, under its new name.
    """

    kept = None

    @property
    def before(self):
        """What was kept, as a sentence to set behind another; empty where nothing was. [text]"""
        return kept_words([self])

    @property
    def sentence(self):
        """In words. [text]"""
        return f"Saved in '{file_words(self)}'.{self.before}"

    def _repr_pretty_(self, printer, cycle):
        printer.text(self.sentence)


def kept_words(several):
    """Return which files were kept when several were saved, as a sentence to set behind another. [text]"""
    names = [f"'{file_words(saved.kept)}'" for saved in several if saved.kept]
    more = f" and {len(names) - 4} more" if len(names) > 4 else ""
    return f" What was there before is kept as {listed(names[:4])}{more}." if names else ""


def save(content, path, own=None):
    """Save text or bytes as a file of the kit.

    Parameters
    ----------
    content : str or bytes
        As for :func:`standing`; text becomes UTF-8.
    path : str or Path
    own : callable, optional
        As for :func:`standing`.

    Returns
    -------
    Saved
        Where, and under which name the file that stood there was kept.

    Raises
    ------
    FileError
        When something else stands there, or it cannot be written; what stood there is then as it was.
    """
    path, content = named(path), encoded(content)
    return put(content, path, standing(path, content, own))


def page_path(path, stem):
    """Return where a page to print goes.

    Parameters
    ----------
    path : str or Path
        A name that ends in ``.html``, in letters of any case. [text]
    stem : str
        What is advised for a path without a name. [text]

    Returns
    -------
    Path

    Raises
    ------
    FileError
        For another ending.

    >>> page_path("cart.html", "sheet").name
    'cart.html'
    """
    path = named(path)
    if path.suffix.lower() != ".html":
        raise FileError(f"'{path.name}' does not end in .html. It is a web page to print: write it to '{path.stem or stem}.html'.", file=path.name)
    return path


def save_over(content, path):
    """Save text or bytes over one's own copy of a moment ago, which is not kept; as :func:`save`."""
    path, content = named(path), encoded(content)
    return put(content, path, b"" if standing(path, content) is not None else None)


def encoded(content):
    """Return text as UTF-8, bytes as they are."""
    try:
        return content.encode("utf-8") if isinstance(content, str) else content
    except UnicodeEncodeError as error:
        letter = content[error.start]
        raise FileError(f"{letter!r} is no letter that a file can hold. It stands behind "
                        f"'{content[max(0, error.start - 20):error.start]}'. Take it out, then save.") from None


def standing(path, content, own=None):
    """Return what stands at a path as bytes, None for nothing there; raise unless saving may replace it.

    Parameters
    ----------
    path : Path
    content : bytes
        What is to be saved. It may replace a file of the kit of the same kind, an empty one, and one that is the same.
    own : callable, optional
        Gets the bytes of a file that does not begin as one of the kit; true lets it be replaced all the same.
    """
    try:
        found = os.lstat(path)
        if stat.S_ISLNK(found.st_mode):
            raise FileError(f"'{file_words(path)}' is a link to another place, and nothing is written through it. Give that place "
                            "by its own name, or save under another name.", file=path.name)
        if not stat.S_ISREG(found.st_mode):
            raise FileError(f"'{file_words(path)}' cannot be written: it is {unfiled(found)}. Save under another name.",
                            file=path.name)
        if not found.st_mode & 0o222 or not os.access(path, os.W_OK):
            raise FileError(f"'{file_words(path)}' is there already and may only be read. Save under another name.", file=path.name)
        data = path.read_bytes() if found.st_size <= MOST_REPLACED else b"\0"
    except (FileNotFoundError, NotADirectoryError):
        return None
    except FileError:
        raise
    except (OSError, ValueError) as error:
        raise _unwritten(path, error) from None
    kind = own_kind(data)
    is_fine = kind == own_kind(content) if kind else own is not None and own(data)
    if data not in (b"", content) and not is_fine:
        seems = "a learner's record" if path.suffix == ".jsonl" else "a notebook" if path.suffix == ".ipynb" else seeming(data)
        raise FileError(f"'{file_words(path)}' is there already and seems to be {seems}: it is left as it is. "
                        "Save under another name.", file=path.name, seems=seems)
    return data


def put(content, path, old=None):
    """Write bytes aside and move them into place, what stood there (``old``) kept; return a :class:`Saved`."""
    saved = Saved(path)
    if content == old:
        return saved
    aside = _aside(path)
    try:
        _write(aside, content)
        if old is not None:
            with suppress(OSError):         # some disks know no rights
                shutil.copymode(path, aside)
        if old:
            saved.kept = _keep(path, old)
        os.replace(aside, path)
        _settle(path.parent)
    except FileError:
        raise
    except (OSError, ValueError) as error:
        raise _unwritten(path, error, " What stands there is as it was." if old else "") from None
    finally:
        with suppress(OSError, ValueError):     # after an error; else it has moved
            os.unlink(aside)
    return saved


def _write(path, content):
    """Write a new file and wait until the disk has it."""
    with open(path, "xb", buffering=0) as file:
        left = memoryview(content)
        while left:
            left = left[file.write(left):]
        os.fsync(file.fileno())


def _keep(path, old):
    """Give what stands at a path a second name that nothing has, or find one that holds the same; return that."""
    for number in range(1, MOST_KEPT + 1):
        kept = path.with_name(f"{path.stem}.before-{number}{path.suffix}")
        if os.path.lexists(kept):
            if not kept.is_symlink() and kept.is_file() and kept.stat().st_size == len(old) and kept.read_bytes() == old:
                return kept
            continue
        try:
            _give_second_name(path, kept, old)
        except FileExistsError:
            continue
        return kept
    raise FileError(f"'{file_words(path)}' cannot be written: {MOST_KEPT} earlier ones are kept beside it, the most there may be. "
                    f"Remove those you do not need ('{path.stem}.before-1{path.suffix}' and so on), or save under another name.",
                    file=path.name)


def _give_second_name(path, kept, old):
    """Let ``kept``, which nothing has yet, name what stands at a path; on a disk without second names, a copy of it."""
    try:
        os.link(path, kept)
        return
    except FileExistsError:
        raise
    except (OSError, AttributeError, NotImplementedError):
        aside = _aside(path)
    try:
        _write(aside, old)
        open(kept, "xb").close()        # takes the name; a copy cut short never stands under it
        os.replace(aside, kept)
    finally:
        with suppress(OSError):
            os.unlink(aside)


def _aside(path):
    return path.with_name(f".{secrets.token_hex(8)}.partial")


def _settle(folder):
    """Wait until the disk has a folder's names, where a system can."""
    if hasattr(os, "O_DIRECTORY"):
        with suppress(OSError):         # the file itself is on the disk
            place = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
            try:
                os.fsync(place)
            finally:
                os.close(place)


def _unwritten(path, error, more=""):
    _, why, advice = reason(error)
    return FileError(f"'{file_words(path)}' cannot be written: {why}. {advice}{more}", file=path.name, why=why)

"""Opening a person's files: text in UTF-8 with any line ends is read, everything else is named for what it is.

Here too stands how the files of the kit begin, so that :mod:`saving` can tell them from those of others.
"""

import errno
import os
import re
import stat
from contextlib import contextmanager
from pathlib import Path

from .errors import CircuitLabError, FileError
from .plain import plain

MOST_BYTES = 5_000_000          # of a text that is read; the largest arrangement of the kit has 8,000
PROGRAM = "Pin Thirty"


def page_mark(kind):
    """Return the line that goes into the head of a web page right behind its charset. [HTML]"""
    return f'<meta name="generator" content="{PROGRAM}: {kind}"/>'


# How the files of the kit begin; only one of the same kind is ever replaced.
_OWN = {kind: re.compile(begins, re.DOTALL) for kind, begins in {
    "an arrangement": rb"# A Pin Thirty arrangement",
    "a rule": rb"# A Pin Thirty rule",
    "a list of changes": rb"changes to ",
    "a script": rb"script of ",
    "a case": rb"case of ",
    "a table of codes": rb"label,lesson,code\r?\n",
    "the grid of a class": rb"student,[^\n]*,(credit|right at once),sure and wrong,not used\r?\n",
    "a table of wrong ideas": rb"lesson,question,code,wrong idea or choice,students\r?\n",
    "a drawing of the kit (SVG)":
        rb'<svg xmlns="http://www\.w3\.org/2000/svg" id="[^"]*(schematic|attached|chart)" role="img" aria-label="',
    "a drawing of the kit (PNG)": rb"\x89PNG\r\n\x1a\n.{25}.{4}tEXtSoftware\0" + PROGRAM.encode(),
    "a drawing of the kit (PDF)": rb"%PDF-.*/Creator \(" + PROGRAM.encode() + rb"\)",
    **{kind: rb"<!(doctype|DOCTYPE) html>\n<html[^>]*><head><meta[^>]*>" + re.escape(page_mark(kind).encode())
       for kind in ("a build sheet", "a class page", "an answer key", "a contact sheet", "a board in one file", "a fault page",
                    "a case report", "a volt-drop sheet", "a safety card", "a crimp sheet", "a question sheet", "an answer sheet")},
}.items()}
_OTHERS = {kind: re.compile(begins, re.DOTALL | re.IGNORECASE) for kind, begins in {
    "a notebook": rb'\s*\{\s*"(cells|metadata|nbformat)',
    "a learner's record": rb'\s*\{"kit":',
    "a picture": rb"\x89PNG|\xff\xd8\xff|GIF8|BM.{4}\0\0\0\0|RIFF.{4}WEBP|(<\?xml[^>]*>\s*)?(<!--.*?-->\s*)?<svg",
    "a PDF": rb"%PDF-",
    "a web page": rb"\s*<(!doctype html|html)",
    "a packed file": rb"PK\x03\x04|\x1f\x8b|7z\xbc\xaf",
}.items()}
_BINARY = ("a picture", "a PDF", "a packed file", "a drawing of the kit (PNG)", "a drawing of the kit (PDF)")
_MARK = b"\xef\xbb\xbf"
_PLACE = "Choose a folder that is there and that you may write to."
_REASONS = {        # see reason()
    errno.ENOENT: ("there is no such file", "its folder is missing", _PLACE),
    errno.ENOTDIR: ("there is no such file", "its folder is missing", _PLACE),
    errno.EACCES: ("you may not read it", "you may not write there, or another program has it open", _PLACE),
    errno.EPERM: ("you may not read it", "you may not write there, or another program has it open", _PLACE),
    errno.EROFS: ("you may not read it", "its disk can only be read", _PLACE),
    errno.ENAMETOOLONG: ("its name is too long", "its name is too long", "Save under a shorter name."),
    errno.EINVAL: ("no file can have this name",) * 2 + ("Save under another name.",),
    errno.ELOOP: ("it is a link that leads back to itself",) * 2 + ("Save under another name.",),
    errno.ENOSPC: ("the disk is full",) * 2 + ("Free some space, then save again.",),
    errno.EFBIG: ("it is too large for its disk",) * 2 + ("Choose another disk.",),
}


def named(path):
    """Return a path, or raise a FileError when it is no text."""
    try:
        return Path(path)
    except TypeError:
        raise FileError(f"a file is named by a text such as 'cart.toml', not by {path!r}.") from None


def file_words(path):
    """Return the name of a file for a sentence: what cannot be seen by its number, a long one cut. [text]"""
    return _cut(path.name or str(path), 80)


def folder_words(folder):
    """Return a folder in full for a sentence, as :func:`file_words` does a name. [text]"""
    return _cut(str(folder), 160)


def _cut(name, most):
    name = plain(name, kept="")
    return name if len(name) <= most else f"{name[:most - 20]}\N{HORIZONTAL ELLIPSIS}{name[-15:]}"


# How they end, so that a file that was cut off between two entries is not taken for the whole of it.
ENDS = {"an arrangement": "# End of the arrangement.", "a rule": "# End of the rule.", "a list of changes": "end of changes",
        "a script": "end of script", "a case": "end of case"}


def whole(text, where):
    """Raise a FileError when a text begins as one of the kit's and its last line is missing."""
    kind = own_kind(text.encode("utf-8", "replace"))
    end = ENDS.get(kind)
    if end and all(line.strip() != end for line in text.splitlines()):
        raise FileError(f"{where} begins as {kind} of this kit, and its last line is missing: '{end}'. It seems to be cut off. Use "
                        "a copy that is whole; one saved before may lie beside it. If nothing is missing, write that line at its "
                        "end.", file=where, end=end)


@contextmanager
def in_file(path):
    """Let an error about what stands in a file name that file, where its sentence does not yet."""
    try:
        yield
    except CircuitLabError as error:
        if path.name in error.sentence:
            raise
        raise type(error)(f"'{file_words(path)}': {error.sentence}", **error.pieces) from None


# ------------------------------------------------------------------ reading

def read(path, most=MOST_BYTES, kind=""):
    """Return the text in a file, its lines ended by ``\\n``.

    Parameters
    ----------
    path : str or Path
    most : int
        A larger file is refused before it is read. [byte]
    kind : str
        What it should be, such as ``"an arrangement"``; what plainly is something else, or empty, is refused. [text]

    Raises
    ------
    FileError
        For a file that is not there, too large, no file, or no text in UTF-8; the sentence says which.
    """
    path = named(path)
    try:
        found = os.stat(path)
        if not stat.S_ISREG(found.st_mode):
            raise FileError(f"'{file_words(path)}' cannot be opened: it is {unfiled(found)}.", file=path.name)
        data = b""
        if found.st_size <= most:
            with open(path, "rb") as file:
                data = file.read(most + 1)
        if max(found.st_size, len(data)) > most:
            raise FileError(f"'{file_words(path)}' cannot be opened: it holds more than {most / 1e6:g} MB, the most that is read. "
                            "Is it the right file?", file=path.name)
    except FileError:
        raise
    except (OSError, ValueError) as error:
        raise FileError(f"'{file_words(path)}' cannot be opened: {reason(error)[0]}.", file=path.name) from None
    text, seems = decoded(data, f"'{file_words(path)}'"), seeming(data)
    if kind and not text.strip():
        raise FileError(f"'{file_words(path)}' is empty: it is no {kind.partition(' ')[2]}. Save it anew, or choose another file.",
                        file=path.name)
    if kind and seems not in (kind, TEXT, UNKNOWN):
        raise FileError(f"'{file_words(path)}' is {seems}, not {kind}. {_USES.get(seems, _OTHER_USE)}", file=path.name, seems=seems)
    return text


def decoded(data, what):
    """Return the text that bytes hold, its lines ended by ``\\n``, without a mark at its start.

    Parameters
    ----------
    data : bytes
    what : str
        What to call it in an error, such as ``"'cart.toml'"``. [text]

    Raises
    ------
    FileError
        For UTF-16, another encoding, or what is no text at all; the sentence says which.
    """
    wide = _wide(data)
    if wide:
        raise FileError(f"{what} is saved as {wide}. Save it as UTF-8 (in most editors: Save as, encoding UTF-8).", file=what)
    first, has_nul, seems = 0, b"\0" in data, seeming(data)
    if not has_nul:
        try:
            return data.removeprefix(_MARK).decode("utf-8").replace("\r\n", "\n").replace("\r", "\n")
        except UnicodeDecodeError as error:
            first = error.start
    if not has_nul and seems not in (*_BINARY, UNKNOWN):
        line = re.sub(rb"\r\n?", b"\n", data[:first]).count(b"\n") + 1
        raise FileError(f"{what} is not saved as UTF-8: line {line} holds a letter of another encoding. Save it as UTF-8 (in "
                        "most editors: Save as, encoding UTF-8).", file=what, line=line)
    why = "it holds NUL bytes" if has_nul and seems not in _BINARY else f"it seems to be {seems}"
    raise FileError(f"{what} cannot be opened: it is not a readable text file, {why}.", file=what)


def _wide(data):
    """Return the name of an encoding of two or four bytes for a letter, or nothing."""
    if data.startswith((b"\xff\xfe\0\0", b"\0\0\xfe\xff")):
        return "UTF-32"
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "UTF-16"
    begin = data[:2000]
    high, low, half = begin[0::2].count(0), begin[1::2].count(0), len(begin) // 2
    return "UTF-16" if half and max(high, low) > 0.6 * half and min(high, low) < 0.1 * half else ""


# ------------------------------------------------------------------ what a file seems to be

TEXT, UNKNOWN = "a text of another kind", "a file of another kind"
_USES = {"a list of changes": "Open it with cl.changes.load_changes; what comes out is its .after, which cl.save writes to a .toml file.",
         "an arrangement": "Open it with cl.load.", "a notebook": "Open it in JupyterLab. An arrangement is a .toml file.",
         "a rule": "An arrangement is proved by it: cl.prove(arrangement, 'FILE'), or prove NAME --rule FILE."}
_OTHER_USE = "Give the .toml file with the arrangement it was made from."


def own_kind(data):
    """Return which kind of file of the kit bytes are, by how they begin; empty for any other. [text]"""
    data = data.removeprefix(_MARK)
    return next((kind for kind, begins in _OWN.items() if begins.match(data)), "")


def seeming(data):
    """Return what bytes seem to be, in words. [text]"""
    kind = own_kind(data) or next((kind for kind, begins in _OTHERS.items() if begins.match(data.removeprefix(_MARK))), "")
    if kind:
        return kind
    wide = _wide(data)
    if wide:
        return f"a text saved as {wide}"
    return UNKNOWN if re.search(rb"[\0-\x08\x0e-\x1a\x1c-\x1f\x7f]", data) else TEXT


def unfiled(found):
    """Return in words what the status of a place says that is no file. [text]"""
    return "a folder, not a file" if stat.S_ISDIR(found.st_mode) else "a device or a pipe, not a file"


_FOLDER_REASONS = {errno.EEXIST: "a file stands there, and it must be a folder",
                   errno.ENOTDIR: "something above it is a file, not a folder",
                   errno.ENOENT: "no folder can be made there"}


def folder_reason(error):
    """Return in words why a folder cannot be made or used. [text]"""
    return _FOLDER_REASONS.get(getattr(error, "errno", None)) or reason(error)[1]


def reason(error):
    """Return of an error why a file cannot be read, why it cannot be written, and what to do then. [text]"""
    if isinstance(error, ValueError):
        return _REASONS[errno.EINVAL]
    return _REASONS.get(error.errno, (error.strerror or str(error),) * 2 + (_PLACE,))

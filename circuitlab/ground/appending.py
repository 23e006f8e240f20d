"""Lines added to the end of a file that others may be adding to as well: none is lost, none stands there twice.

While a writer adds its lines it locks the file. What could not be written whole
is cut off again, but only while the writer is alone and nothing stands behind
its own bytes. A file system without locks, or a writer that does not let go,
is no reason to keep an answer waiting: then lines are only added, each batch in
one go behind a line end of its own, since another writer's line may break off at
any moment, and nothing is ever cut; what a full disk left of a line stays there
as a line cut off.
"""

import errno
import os
import stat
import time
from contextlib import contextmanager, suppress

from .files import unfiled

try:
    import fcntl
except ImportError:         # Windows
    fcntl = None
try:
    import msvcrt
except ImportError:         # everywhere else
    msvcrt = None

PATIENCE = 5.0              # s, to wait for another writer
PAUSE = 0.003               # s, between two looks whether it has let go
FAR = 2 ** 31 - 2           # the byte that is locked on Windows, where a locked byte cannot be read; no record is so long
HEAD = 4000                 # bytes to look at
_MARKS = {b"\xff\xfe": "utf-16-le", b"\xfe\xff": "utf-16-be"}


class NoFile(OSError):
    """A folder, a pipe or a device stands where a file should; its ``strerror`` says which."""


def check_file(path):
    """Raise NoFile for what is there but no file: a pipe could be waited for without end."""
    found = os.stat(path)
    if not stat.S_ISREG(found.st_mode):
        raise NoFile(errno.EINVAL, f"it is {unfiled(found)}")


def encoding_of(head):
    """Return how the text of a file is encoded, by its first HEAD bytes: UTF-8 unless an editor made it UTF-16.

    A mark alone is not enough: two spoilt bytes look like it, but only UTF-16 has a zero beside nearly every letter.

    >>> encoding_of(b'{"kit"'), encoding_of(b'\\xff\\xfe{\\0"\\0'), encoding_of(b'\\xff\\xfe\\n{"kit"')
    ('utf-8', 'utf-16-le', 'utf-8')
    """
    return _MARKS.get(head[:2], "utf-8") if 3 * head[2:].count(0) >= len(head) - 2 else "utf-8"


def append(path, lines):
    """Add lines and wait until the disk has them.

    Parameters
    ----------
    path : Path
        Made when it is not there.
    lines : list of str
        Each with its line end. Those that stand in the file for good are taken out of the list, also on an error.

    Raises
    ------
    OSError
        When it is no file, or some line could not be written.
    """
    with suppress(FileNotFoundError):
        check_file(path)
    with open(path, "a+b", buffering=0) as file, alone(file) as is_alone:
        start = file.seek(0, os.SEEK_END)
        pieces, written = _pieces(file, start, lines, is_alone), 0
        text = b"".join(pieces)
        try:
            while written < len(text):
                written += file.write(text[written:])
            os.fsync(file.fileno())
        except BaseException:       # an interrupted kernel, too
            if not (is_alone and _taken_back(file, start, written)):
                ends = [sum(map(len, pieces[:count + 1])) for count in range(len(pieces))]
                del lines[:sum(end <= written for end in ends)]
            raise
        lines.clear()


def _pieces(file, size, lines, is_alone):
    """Return lines as bytes in the encoding of the file, the first one led on to a line of its own."""
    file.seek(0)
    encoding = encoding_of(file.read(HEAD))
    stop = "\n".encode(encoding)
    file.seek(max(0, size - len(stop)))
    is_clean = not size or size % len(stop) == 0 and is_alone and file.read(len(stop)) == stop
    lead = b"" if is_clean else b" " * (-size % len(stop)) + stop
    return [lead * (not number) + line.encode(encoding) for number, line in enumerate(lines)]


def _taken_back(file, start, written):
    """Cut off one's own bytes if nobody has written behind them; tell whether they are gone."""
    try:
        if file.seek(0, os.SEEK_END) != start + written:
            return False
        file.truncate(start)
        return True
    except OSError:
        return False


@contextmanager
def alone(file):
    """Keep other writers out of an open file; gives whether that could be had."""
    until, is_alone = time.monotonic() + PATIENCE, False
    while not is_alone:
        try:
            _lock(file, True)
            is_alone = True
        except OSError as error:
            is_taken = error.errno in (errno.EACCES, errno.EAGAIN, errno.EWOULDBLOCK, errno.EDEADLK)
            if not is_taken or time.monotonic() > until:
                break       # no locks here, or a writer that does not let go
            time.sleep(PAUSE)
    try:
        yield is_alone
    finally:
        if is_alone:
            with suppress(OSError):
                _lock(file, False)


def _lock(file, wanted):
    """Take the lock or let it go; an OSError where somebody else has it or there are none."""
    if fcntl:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB if wanted else fcntl.LOCK_UN)
    elif msvcrt:
        os.lseek(file.fileno(), FAR, os.SEEK_SET)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK if wanted else msvcrt.LK_UNLCK, 1)
    else:
        raise OSError(errno.ENOLCK, "no locks here")

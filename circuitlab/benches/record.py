"""The learner's record: one line of JSON for each answer, only ever added to.

It lies in a folder the learner can read, beside the lessons. A line that is no
good (cut off by a crash, edited, of a newer kit) is passed over; the others
still count. A line that could not be written is kept in mind and goes in with
the next one that can. Two windows may add to one record.
"""

import errno
import os
import re
import tempfile
from datetime import datetime, timezone
from pathlib import Path

from ..ground.appending import NoFile, append
from ..ground.errors import FileError
from ..teaching.record_lines import MOST_LETTERS, Written, event_of, line_of, printable, read_record

FOLDER = "PIN_THIRTY_ANSWERS"  # environment variable that names another folder
_NAME = re.compile(r"[\w-]{1,40}")


class Record:
    """The answers of one lesson.

    Parameters
    ----------
    lesson : str
        Its number, such as ``"11"``. [text]
    folder : str or Path, optional
        Where to keep it. Without one: the folder named by the environment
        variable ``PIN_THIRTY_ANSWERS``, else ``answers`` beside the notebook
        where that exists, else a temporary folder that goes with the kernel.
    version : str
        Of the kit. [text]

    Raises
    ------
    FileError
        For a number that cannot be a piece of the name of a file.
    """

    def __init__(self, lesson, folder=None, version=""):
        self.lesson, self.version = str(lesson), version
        if not _NAME.fullmatch(self.lesson):
            raise FileError(f"the lesson '{printable(self.lesson, 60)}' cannot keep a record: its number is a piece of the record's name. Letters, figures, - and _ are "
                            "allowed. Write one such as '07'.")
        folder = folder or os.environ.get(FOLDER) or (Path("answers") if Path("answers").is_dir() else None)
        self._waiting = []      # lines that found no room yet
        self._print, self._read = None, Written()       # of the file as it was read last
        self._temporary = None if folder else tempfile.TemporaryDirectory(prefix="pin-thirty-")
        self.path = Path(folder or self._temporary.name) / f"lesson-{self.lesson}.jsonl"

    @property
    def is_kept(self):
        """Whether the answers outlive the kernel."""
        return self._temporary is None

    def add(self, item, event, seed=None, **what):
        """Append one event.

        Parameters
        ----------
        item, event : str
            Which question, and what happened: predicted, observed, checked, read, noted, tried, helped, renewed. [text]
        seed : int, optional
            Of the variant, where there is one. [1]
        **what
            Anything else worth keeping: answer, try, reason, confidence, right, idea, step, credit.

        Raises
        ------
        FileError
            When the folder cannot be written, the record is as long as one that is read may be, or the answer does not fit
            into a record; it then still counts on screen.
        """
        now = datetime.now(timezone.utc).isoformat(timespec="seconds")
        self._waiting.append(line_of({"kit": self.version, "lesson": self.lesson, "seed": seed, "item": item, "event": event,
                                      **what, "at": now}))
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            if self._is_full():
                raise NoFile(errno.EFBIG, "it is as long as a record may be that is read to its end")
            append(self.path, self._waiting)
        except OSError as error:
            advice = (f"Move '{self.path.name}' away." if isinstance(error, NoFile) else
                      "Free some space or choose another folder.")
            raise FileError(f"your answer counts here, but it could not be written to '{self.path.parent.name}': "
                            f"{error.strerror or error}. {advice} It is written with your next answer, once there is "
                            "room.") from None

    def _is_full(self):
        try:
            return os.stat(self.path).st_size + sum(map(len, self._waiting)) > MOST_LETTERS
        except OSError:
            return False

    def _written(self):
        """Return what stands in the file, read anew when it has changed. [Written]"""
        try:
            found = os.stat(self.path)
            now = (found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns)
        except OSError:
            now = None
        if now is None or now != self._print:
            self._print, self._read = now, read_record(self.path, self.lesson)
        return self._read

    def events(self, item=None, kind=None):
        """Return the events so far, oldest first, as dicts; lines that are no good are left out."""
        waiting = [event_of(line, self.lesson)[0] for line in self._waiting]
        return [dict(event) for event in [*(event for _, event in self._written().events), *waiting]
                if item in (None, event["item"]) and kind in (None, event["event"])]

    def last(self, item, kind):
        """Return the latest event of an item, or None."""
        events = self.events(item, kind)
        return events[-1] if events else None

    def trouble(self):
        """Return which lines do not count and why, in a sentence or two; an empty text when all do. [text]"""
        return self._written().sentences(self.path.name)

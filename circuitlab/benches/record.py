"""The learner's record: one line of JSON for each answer, only ever added to.

It lies in a folder the learner can read, beside the lessons. A line that was
cut off (a crash, a full disk) is skipped; the others still count. A line that
could not be written is kept in mind and goes in with the next one that can.
"""

import json
import os
import tempfile
from datetime import datetime, timezone
from pathlib import Path

from ..ground.errors import FileError

FOLDER = "PIN_THIRTY_ANSWERS"  # environment variable that names another folder


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
    """

    def __init__(self, lesson, folder=None, version=""):
        self.lesson, self.version = str(lesson), version
        folder = folder or os.environ.get(FOLDER) or (Path("answers") if Path("answers").is_dir() else None)
        self._waiting = []      # lines that found no room yet
        self._temporary = None if folder else tempfile.TemporaryDirectory(prefix="pin-thirty-")
        self.path = Path(folder or self._temporary.name) / f"lesson-{self.lesson}.jsonl"

    @property
    def is_kept(self):
        """Whether the answers outlive the kernel."""
        return self._temporary is None

    def add(self, item, kind, seed=None, **what):
        """Append one event.

        Parameters
        ----------
        item, kind : str
            Which question, and what happened: predicted, observed, checked, read, noted, tried, helped, renewed. [text]
        seed : int, optional
            Of the variant, where there is one. [1]
        **what
            Anything else worth keeping: answer, try, reason, confidence, right, idea, step, credit.

        Raises
        ------
        FileError
            When the folder cannot be written; the answer then still counts on screen.
        """
        now = datetime.now(timezone.utc).isoformat(timespec="seconds")
        event = {"kit": self.version, "lesson": self.lesson, "seed": seed, "item": item, "event": kind, **what, "at": now}
        self._waiting.append(json.dumps(event, ensure_ascii=False) + "\n")
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self._write("".join(self._waiting).encode())
        except OSError as error:
            raise FileError(f"your answer counts here, but it could not be written to '{self.path.parent.name}': "
                            f"{error.strerror or error}. Free some space or choose another folder. It is written with "
                            "your next answer, once there is room.") from None
        self._waiting = []

    def _write(self, text):
        """Append bytes on a line of their own and wait until the disk has them; take a half-written end back."""
        with open(self.path, "a+b", buffering=0) as file:
            size = file.seek(0, os.SEEK_END)
            if size:
                file.seek(size - 1)
                if file.read(1) != b"\n":
                    text = b"\n" + text
            try:
                while text:
                    text = text[file.write(text):]
                os.fsync(file.fileno())
            except OSError:
                file.truncate(size)     # else the lines would stand there twice later on
                raise

    def events(self, item=None, kind=None):
        """Return the events so far, oldest first, as dicts; broken lines are left out."""
        try:
            lines = self.path.read_text(encoding="utf-8", errors="replace").split("\n")   # a pasted line separator is no end of a line
        except OSError:
            lines = []
        found = []
        for line in [*lines, *self._waiting]:
            try:
                event = json.loads(line)
            except ValueError:
                continue
            if isinstance(event, dict) and item in (None, event.get("item")) and kind in (None, event.get("event")):
                found.append(event)
        return found

    def last(self, item, kind):
        """Return the latest event of an item, or None."""
        events = self.events(item, kind)
        return events[-1] if events else None

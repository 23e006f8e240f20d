"""The learner's record: one line of JSON for each answer, only ever added to.

It lies in a folder the learner can read, beside the lessons. A line that was
cut off (a crash, a full disk) is skipped; the others still count.
"""

import json
import os
import tempfile
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
            Which question, and what happened: predicted, observed, checked, read, noted. [text]
        seed : int, optional
            Of the variant, where there is one. [1]

        Raises
        ------
        FileError
            When the folder cannot be written; the answer then still counts on screen.
        """
        line = json.dumps({"kit": self.version, "lesson": self.lesson, "seed": seed, "item": item, "event": kind, **what},
                          ensure_ascii=False)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            ends_open = self.path.exists() and not self.path.read_bytes().endswith(b"\n") and self.path.stat().st_size
            with open(self.path, "a", encoding="utf-8") as file:
                file.write(("\n" if ends_open else "") + line + "\n")
        except OSError as error:
            raise FileError(f"your answer counts here, but it could not be written to '{self.path.parent.name}': "
                            f"{error.strerror or error}. Free some space or choose another folder.") from None

    def events(self, item=None, kind=None):
        """Return the events so far, oldest first, as dicts; broken lines are left out."""
        try:
            lines = self.path.read_text(encoding="utf-8", errors="replace").splitlines()
        except OSError:
            return []
        found = []
        for line in lines:
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

"""What a class has handed in: one folder for each student, its records read line by line; nothing is ever written there."""

import json
import re
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from .. import __version__
from ..ground.errors import FileError
from .gathering import lesson_numbers

MOST_BYTES = 5_000_000      # of one record; a lesson worked many times over stays far below
FORMER = ("checked", "read")        # of questions before they were on the ladder
EVENTS = ("predicted", "observed", "noted", "tried", "helped", "renewed", *FORMER)
UNASKED = ("held",)         # the safety ticket's own line; it answers no question
_NAME = re.compile(r"lesson-(.+)\.jsonl")


class Trouble(NamedTuple):
    """What could not be used: of which lesson (empty where it is none's), and a sentence without its stop. [text]"""

    lesson: str
    words: str


@dataclass(frozen=True)
class Handed:
    """What one student has handed in.

    Attributes
    ----------
    name : str
        Of the folder. [text]
    events : dict of str to tuple
        By lesson: each line number with its event, in the order of the file.
    troubles : tuple of Trouble
        What could not be used.
    """

    name: str
    events: dict
    troubles: tuple

    @property
    def is_usable(self):
        """Whether there is any line to mark."""
        return any(self.events.values())


def read_class(folder, lesson=None):
    """Read every student's records.

    Parameters
    ----------
    folder : str or Path
        Holds one folder for each student; the records lie in it or in a folder ``answers`` inside it. [text]
    lesson : str, optional
        Only this lesson, such as ``"11"``. [text]

    Returns
    -------
    list of Handed
        Sorted by name; numbers in names count as numbers.

    Raises
    ------
    FileError
        When the folder is not there or holds no folder.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise FileError(f"'{folder}' is not a folder. Give the one that holds a folder for each student.")
    try:
        students = [each for each in folder.iterdir() if not each.name.startswith(".")]
        if not any(each.is_dir() for each in students):
            raise FileError(f"'{folder}' holds no folder. Put each student's folder 'answers' into a folder of its own there.")
    except OSError as error:
        raise FileError(f"'{folder}' cannot be read: {error.strerror}.") from None
    return [read_student(each, lesson) for each in sorted(students, key=lambda each: natural(each.name))]


def natural(name):
    """Return a key that sorts ``seat 9`` before ``seat 10``."""
    return [(int(piece), "") if piece.isdecimal() else (-1, piece) for piece in re.split(r"(\d+)", name.casefold())]


def read_student(place, lesson=None):
    """Read one student's records, in a folder or in a folder ``answers`` inside it; what is wrong is told, not raised.

    Parameters
    ----------
    place : Path
        The folder; its name stands for the student.
    lesson : str, optional
        Only this lesson, such as ``"11"``. [text]

    Returns
    -------
    Handed
    """
    if not place.is_dir():
        return Handed(place.name, {}, (Trouble("", "a file, not a student's folder"),))
    events, troubles = {}, []
    try:
        files = sorted([*place.iterdir(), *((place / "answers").iterdir() if (place / "answers").is_dir() else ())])
    except OSError as error:
        return Handed(place.name, {}, (Trouble("", f"cannot be read: {error.strerror}"),))
    for file in files:
        number = _NAME.fullmatch(file.name)
        if file.suffix != ".jsonl" or not file.is_file() or number and lesson not in (None, number[1]):
            continue
        if not number or number[1] not in lesson_numbers():
            troubles.append(Trouble("", f"{file.name} is not the record of a lesson of this kit"))
        elif number[1] in events:
            troubles.append(Trouble(number[1], f"lesson {number[1]}: a second record, {file.relative_to(place)}, is left out"))
        else:
            events[number[1]], more = _lines(file, number[1])
            troubles += more
    if not any(events.values()):
        troubles.append(Trouble("", "no answer that can be marked" if files else "the folder is empty"))
    return Handed(place.name, events, tuple(troubles))


def _lines(file, lesson):
    """Return the numbered events of a record, and what is wrong with the other lines."""
    try:
        if file.stat().st_size > MOST_BYTES:
            return (), [Trouble(lesson, f"lesson {lesson}: the file is far too long for a record")]
        whole = file.read_bytes()
    except OSError as error:
        return (), [Trouble(lesson, f"lesson {lesson}: the record cannot be read: {error.strerror}")]
    if b"\0" in whole:
        return (), [Trouble(lesson, f"lesson {lesson}: the file is not text, so it is no record")]
    events, odd = [], {}
    for number, line in enumerate(whole.decode("utf-8", errors="replace").split("\n"), 1):
        if line.strip():
            event, fault = _event(line, lesson)
            if fault:
                odd.setdefault(fault, []).append(number)
            elif event["event"] not in UNASKED:
                events.append((number, event))
    return tuple(events), [Trouble(lesson, f"lesson {lesson}, {_told(lines)}: {fault}") for fault, lines in odd.items()]


def _told(lines):
    """Return line numbers in words, those in a row as one.

    >>> _told([3, 7, 8, 9])
    'lines 3, 7 to 9'
    """
    runs = []
    for line in lines:
        if runs and line == runs[-1][1] + 1:
            runs[-1][1] = line
        else:
            runs.append([line, line])
    said = ", ".join(f"{first} to {last}" if last > first else str(first) for first, last in runs)
    return f"line{'s' if len(lines) > 1 else ''} {said}"


def _event(line, lesson):
    """Return one event, and what is wrong with its line if anything is."""
    try:
        event = json.loads(line)
    except (ValueError, RecursionError):
        return None, "cut off or edited, no longer a line of a record"
    if not isinstance(event, dict) or not isinstance(event.get("item"), str) or event.get("event") not in EVENTS + UNASKED:
        return None, "not a line of a record"
    if event.get("kit") != __version__:
        return None, f"of kit {str(event.get('kit'))[:20]}, not {__version__}; its questions may be others"
    if event.get("lesson") != lesson:
        return None, "of another lesson"
    return event, ""

"""What a class has handed in: one folder for each student, its records read line by line; nothing is ever written there."""

import os
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from .. import __version__
from ..ground.errors import FileError
from .book import UNUSED
from .gathering import lesson_files
from .record_lines import CODED, CUT, EDITED, HELD, LONG, OTHER, STRANGE, printable, read_record, told

MOST_BYTES = 100_000_000    # of one record; a lesson worked many times over stays far below
MOST_STRANGERS = 3          # files told by name that are no record
NO_ANSWERS = "no answers yet"
_FAULTS = {CUT: "cut off or edited by hand, so it cannot be read", LONG: "far longer than any answer",
           STRANGE: "written by a newer version of the kit", OTHER: "an answer to another lesson"}
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
    is_seat : bool
        Whether it is a folder; a stray file is nobody's.
    lost : dict of str to tuple
        By lesson: the numbers of the lines that cannot be used.
    """

    name: str
    events: dict
    troubles: tuple
    is_seat: bool = True
    lost: dict = field(default_factory=dict)

    def without(self, troubles):
        """Return what a teacher is told of a place where no answer counts, and why. [text]"""
        why = "; ".join(dict.fromkeys(each.words for each in troubles))
        return f"{NO_ANSWERS}: {why}" if self.is_seat and why else NO_ANSWERS if self.is_seat else f"left out: {why}"


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
    if not os.path.isdir(folder):
        raise FileError(f"'{folder}' is not a folder. Give the one that holds a folder for each student.")
    try:
        students = [each for each in folder.iterdir() if not each.name.startswith(".")]
        if not any(os.path.isdir(each) for each in students):
            raise FileError(f"'{folder}' holds no folder. Put each student's folder 'answers' into a folder of its own there.")
    except OSError as error:
        raise FileError(f"'{folder}' cannot be read: {error.strerror}.") from None
    linked = (Trouble("", "a link, which is not followed; copy the folder here"),)
    return [Handed(printable(each.name, 255), {}, linked) if _is_link(each) else read_student(each, lesson)
            for each in sorted(students, key=lambda each: natural(each.name))]


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
    name = printable(place.name, 255)
    if not os.path.isdir(place):
        return Handed(name, {}, (Trouble("", "a file, not a student's folder"),), False)
    events, lost, troubles, strangers, known, inner = {}, {}, [], [], lesson_files(), place / "answers"
    if os.path.lexists(inner) and _is_link(inner):
        troubles.append(Trouble("", "'answers' is a link, which is not followed"))
        inner = place
    try:
        files = sorted([*place.iterdir(), *(inner.iterdir() if inner != place and os.path.isdir(inner) else ())])
    except OSError as error:
        return Handed(name, {}, (Trouble("", f"cannot be read: {error.strerror}"),))
    for file in files:
        number = _NAME.fullmatch(file.name)
        if file.suffix != ".jsonl" or not number and not os.path.isfile(file) or number and lesson not in (None, number[1]):
            continue
        if not number or number[1] not in known:
            strangers.append(printable(file.name, 80))
        elif events.get(number[1]):
            troubles.append(Trouble(number[1], f"lesson {number[1]}: a second record, {file.relative_to(place)}, is left out"))
        else:
            events[number[1]], lost[number[1]], more = _lines(file, number[1])
            troubles += more
    troubles += [Trouble("", f"{stranger} is not the record of a lesson of this kit") for stranger in strangers[:MOST_STRANGERS]]
    if len(strangers) > MOST_STRANGERS:
        troubles.append(Trouble("", f"{len(strangers) - MOST_STRANGERS} more files are not the record of a lesson of this kit"))
    if not any(events.values()) and not troubles:
        troubles.append(Trouble("", "it holds no record of a lesson" if files else "the folder is empty"))
    return Handed(name, events, tuple(troubles), lost=lost)


def _is_link(path):
    """Tell whether a place in a folder leads elsewhere: what lies outside the class is not read."""
    here, there = os.path.join(os.path.realpath(path.parent), path.name), os.path.realpath(path)
    return os.path.islink(path) or os.path.normcase(here) != os.path.normcase(there)


def _lines(file, lesson):
    """Return the numbered events of a record that answer something or tell of the ticket, the numbers of the other lines, and what is wrong with those."""
    if _is_link(file):
        return (), (), [Trouble(lesson, f"lesson {lesson}: the record is a link, which is not followed")]
    if os.path.isfile(file) and os.path.getsize(file) > MOST_BYTES:
        return (), (), [Trouble(lesson, f"lesson {lesson}: the file is far too long for a record")]
    written = read_record(file, lesson)
    events, odd = [], {}
    for number, event in written.events:
        kit = event.get("kit")
        if kit != __version__ and event.get("of") is None and event["event"] != HELD:      # with a fingerprint the question itself is compared
            odd.setdefault(f"of kit {printable(kit, 20)}, not {__version__}, where the question may be another", []).append(number)
        elif event["event"] != CODED:
            events.append((number, event))
    for fault, lines in written.faults.items():
        odd.setdefault(_in_a_teachers_words(fault), []).extend(lines)
    troubles = [f", {told(sorted(lines))}: {fault}; {UNUSED}" for fault, lines in odd.items()]
    if written.trouble:
        troubles.insert(0, f": the record cannot be read{' to its end' if events else ''}: {written.trouble}")
    return tuple(events), tuple(sorted(sum(map(list, odd.values()), []))), [Trouble(lesson, f"lesson {lesson}{each}") for each in troubles]


def _in_a_teachers_words(fault):
    """Return what is wrong with a line without the names of its fields. [text]"""
    return _FAULTS.get(fault, "edited by hand into what the kit never writes" if fault.startswith(EDITED) else "not written by the kit")

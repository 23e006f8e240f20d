"""The tables of a class as text: labels and issued codes read, and what is written for a table program.

A label names the folder of a learner's answers. A table of codes ends with how many codes it holds, so that one
that was cut off between two lines is not taken for whole.
"""

import csv
import re
from collections import Counter

from ..ground.errors import CircuitLabError, FileError
from ..ground.plain import plain
from ..views.grid import Grid, read_csv

MOST_LABELS = 2_000     # of a file; no class comes near
MOST_LETTERS = 60       # of a label: one column of the grid
MOST_CELL = 5_000       # letters of a cell that is written; table programs stop at 32 767
HEADS = ["label", "lesson", "code"]
END = "end of the table"                # label of the last line of a lesson; its code says how many codes there are
_COUNT = re.compile(r"(\d{1,5}) codes?")
_ELSEWHERE = re.compile(r"\..*|.*\.|.*[/\\:].*", re.DOTALL)      # hidden, or another folder than it says, on one system or another


def labels_in(text, file):
    """Return the labels of a class, one to a line.

    Parameters
    ----------
    text : str
        What the file holds. [text]
    file : str
        Its name, for errors. [text]

    Raises
    ------
    FileError
        For a file without labels or with far too many, and for one that is too long, unreadable, no name for a folder, or there twice.
    """
    from ..teaching.class_marking import plain_label

    lines = {number: line.strip() for number, line in enumerate(text.split("\n"), 1) if line.strip()}
    if not lines:
        raise FileError(f"'{file}' holds no label. Write one to a line.")
    if len(lines) > MOST_LABELS:
        raise FileError(f"'{file}' holds {len(lines)} lines, a class has at most {MOST_LABELS}. Is it the right file?")
    seen = {}
    for number, label in lines.items():
        where, key = f"line {number} of '{file}'", plain_label(label)
        if plain(label, kept="") != label:
            raise FileError(f"{where} holds a letter that is not to be seen: {plain(label[:MOST_LETTERS], kept='')}. Give a text "
                            "file with one label to a line.")
        if len(label) > MOST_LETTERS:
            raise FileError(f"{where} has {len(label)} letters, a label has at most {MOST_LETTERS}. Shorten it.")
        _check_folder(label, where)
        if key in seen:
            raise FileError(f"the label '{label}' stands twice in '{file}', in line {seen[key]} and line {number}. "
                            "Give each learner another one.")
        seen[key] = number
    return list(lines.values())


def _check_folder(label, where):
    """Raise for a label that leads elsewhere as the name of a folder."""
    if _ELSEWHERE.fullmatch(label.strip()):
        raise FileError(f"{where} has the label '{plain(label[:MOST_LETTERS], kept='')}', and a label names a learner's folder. Letters, figures, spaces and signs such as - _ ( ) are "
                        "allowed, a point only inside, and none of / \\ : at all. Write another one, such as 'seat 4'.")


def codes_lines(lesson, codes):
    """Return the lines of a table of codes, heads first: one for each ``(label, code)``, at the end how many they are. [text]"""
    return [HEADS, *([label, lesson, code] for label, code in codes), [END, lesson, _codes(len(codes))]]


def _codes(count):
    return "1 code" if count == 1 else f"{count} codes"


def codes_in(text, file):
    """Return the codes of a table that ``class-codes`` wrote, by plain label and lesson.

    Parameters
    ----------
    text, file : str
        As for :func:`labels_in`. [text]

    Raises
    ------
    FileError
        For another table, one that was cut off, a code or a label that cannot be one, and two codes for one learner.
    """
    codes, held, told, number = {}, Counter(), Counter(), 1
    other = f"'{file}' is not a table of codes. Give one that class-codes wrote, with commas: {', '.join(HEADS)}."
    lines = read_csv(text)
    try:
        if next(lines, (0, None))[1] != HEADS:
            raise FileError(other)
        for number, line in lines:
            if len(line) != len(HEADS):
                cells = "1 cell" if len(line) == 1 else f"{len(line)} cells"
                raise FileError(f"{other} Line {number} has {cells}.")
            label, lesson, code = line
            lesson = lesson.strip().zfill(2)     # table programs drop the 0 of 07
            if label == END and "-" not in code:       # an issued code has one
                told.update({lesson: int(count[1])} if (count := _COUNT.fullmatch(code.strip())) else ())
            else:
                _keep_code(codes, (label, lesson, code), number, file)
                held[lesson] += 1
    except csv.Error:
        raise FileError(f"{other} A cell in line {number + 1} is far too long.") from None
    except FileError:
        raise
    except CircuitLabError as error:
        raise FileError(f"'{file}', line {number}: {error}") from None
    _check_whole(held, told, file)
    return codes


def _keep_code(codes, line, number, file):
    """Put the code of a line to the others, or raise for one that cannot stand there."""
    from ..teaching.class_marking import plain_label
    from ..teaching.seeds import read_code

    label, lesson, code = line
    _check_folder(label, f"line {number} of '{file}'")
    key = plain_label(label), lesson
    if codes.get(key, code) != code:
        raise FileError(f"'{file}' holds two codes for '{label[:MOST_LETTERS]}' in lesson {lesson}, the second in line {number}. "
                        "Keep the one that was handed out.")
    codes[key] = read_code(code[:MOST_LETTERS])


def _check_whole(held, told, file):
    """Raise where a table does not hold as many codes of a lesson as its last line says."""
    again = "Use a copy that is whole, or issue the codes anew: the same words and labels make the same codes, so nothing is lost."
    if not held and not told:
        raise FileError(f"'{file}' is cut off: it holds no code and no last line. {again}")
    for lesson in sorted(held | told):
        if lesson not in told:
            raise FileError(f"'{file}' is cut off, or an older kit wrote it: of lesson {lesson} it holds {_codes(held[lesson])}, and its last line, '{END}' with how many there are, "
                            f"is missing. {again}")
        if held[lesson] != told[lesson]:
            raise FileError(f"'{file}' is not whole: of lesson {lesson} it holds {_codes(held[lesson])}, and its last line says {_codes(told[lesson])}. {again}")


def table_text(lines):
    """Return lines as a table with commas; no cell can be taken for a formula, none is endless. [text]"""
    return Grid("", (), [[_cell(cell) for cell in line] for line in lines]).csv()


def _cell(text):
    whole = plain(text, kept="")
    if len(whole) > MOST_CELL:
        whole = f"{whole[:MOST_CELL]}... (shortened: it has {len(whole)} letters, the record holds them all)"
    return whole

"""The tables of a class as text: labels and issued codes read, and what is written for a table program."""

import csv

from ..ground.errors import CircuitLabError, FileError
from ..ground.plain import plain
from ..views.grid import Grid, read_csv

MOST_LABELS = 2_000     # of a file; no class comes near
MOST_LETTERS = 60       # of a label: one column of the grid
MOST_CELL = 5_000       # letters of a cell that is written; table programs stop at 32 767
HEADS = ["label", "lesson", "code"]


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
        For a file without labels or with far too many, and for one that is too long, unreadable, or there twice.
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
        if key in seen:
            raise FileError(f"the label '{label}' stands twice in '{file}', in line {seen[key]} and line {number}. "
                            "Give each learner another one.")
        seen[key] = number
    return list(lines.values())


def codes_in(text, file):
    """Return the codes of a table that ``class-codes`` wrote, by plain label and lesson.

    Parameters
    ----------
    text, file : str
        As for :func:`labels_in`. [text]

    Raises
    ------
    FileError
        For another table, a code that cannot be one, and two codes for one learner.
    """
    from ..teaching.class_marking import plain_label
    from ..teaching.seeds import read_code

    lines, codes, number = read_csv(text), {}, 1
    other = f"'{file}' is not a table of codes. Give one that class-codes wrote, with commas: {', '.join(HEADS)}."
    try:
        if next(lines, (0, None))[1] != HEADS:
            raise FileError(other)
        for number, line in lines:
            if len(line) != len(HEADS):
                cells = "1 cell" if len(line) == 1 else f"{len(line)} cells"
                raise FileError(f"{other} Line {number} has {cells}.")
            label, lesson, code = line
            key = plain_label(label), lesson.strip().zfill(2)     # table programs drop the 0 of 07
            if codes.get(key, code) != code:
                raise FileError(f"'{file}' holds two codes for '{label[:MOST_LETTERS]}' in lesson {key[1]}, "
                                f"the second in line {number}. Keep the one that was handed out.")
            codes[key] = read_code(code[:MOST_LETTERS])
    except csv.Error:
        raise FileError(f"{other} A cell in line {number + 1} is far too long.") from None
    except FileError:
        raise
    except CircuitLabError as error:
        raise FileError(f"'{file}', line {number}: {error}") from None
    return codes


def table_text(lines):
    """Return lines as a table with commas; no cell can be taken for a formula, none is endless. [text]"""
    return Grid("", (), [[_cell(cell) for cell in line] for line in lines]).csv()


def _cell(text):
    whole = plain(text, kept="")
    if len(whole) > MOST_CELL:
        whole = f"{whole[:MOST_CELL]}... (shortened: it has {len(whole)} letters, the record holds them all)"
    return whole

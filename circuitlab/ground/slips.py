"""What went wrong in a cell of a notebook, in words: its line and what is the matter, without the frames of anybody's source."""

import re
import traceback
from difflib import get_close_matches
from linecache import getline
from textwrap import wrap

from .plain import bounded, plain

_CELL = ("ipykernel_", "<ipython-input")       # in the name of the file that a cell is for Python
MOST_LETTERS, WIDTH = 600, 110


def line_words(error):
    """Return which line of the cell that was run an error comes from, and that line, or an empty text where no cell is behind it. [text]"""
    if isinstance(error, SyntaxError):
        number, text = error.lineno, error.text
    else:
        frames = [frame for frame in traceback.extract_tb(error.__traceback__) if any(mark in frame.filename for mark in _CELL)]
        number, text = _named_line(frames[0], str(error)) if frames else (None, None)
    return f"Line {number} of this cell: {bounded(plain((text or '').strip(), kept=''), 120)}".rstrip(": ") if number else ""


def _named_line(frame, said):
    """Return the number and the text of the line that holds what the error names; of a call's first line where none or several do."""
    inside = range(frame.lineno, (frame.end_lineno or frame.lineno) + 1)
    for name in re.findall(r"'([^']+)'", said):
        holding = [number for number in inside if re.search(f"""["']{re.escape(name)}["']""", getline(frame.filename, number))]
        if len(holding) == 1:
            return holding[0], getline(frame.filename, holding[0])
    return frame.lineno, frame.line


def slip_words(error, names=()):
    """Return the lines that tell of an error.

    Parameters
    ----------
    error : Exception
    names : iterable of str
        Those that may be used in a cell. [text]

    Returns
    -------
    list of str
    """
    said = bounded(plain(_said(error, names), kept=""), MOST_LETTERS)
    return [each for each in (line_words(error), *wrap(said, WIDTH)) if each]


def _said(error, names):
    if hasattr(error, "sentence"):
        return f"{error.sentence[:1].upper()}{error.sentence[1:]}"
    if isinstance(error, SyntaxError):
        return (f"This cannot be read: {error.msg.rstrip('?.')}. Look for a bracket, quote or comma that is missing or one too many, there or in the "
                "line above.")
    if isinstance(error, NameError) and error.name:
        near = get_close_matches(error.name, [each for each in names if not each.startswith("_")], n=1, cutoff=0.7)
        return (f"'{error.name}' is no name known here. " + (f"Did you mean '{near[0]}'? " if near else "")
                + f"Words go in quotes: \"{error.name}\".")
    return f"Python stopped here: {type(error).__name__}: {error}"

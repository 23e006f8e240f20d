"""The lines of a learner's record: what may stand in one, how it is written, how a file of them is read.

A line is JSON, one event. Reading never fails and never changes the file: the
lines that fit count, the others are numbered with what is wrong with them.
Half a character (a lone surrogate, which no screen shows and no file takes) is
kept as U+FFFD, the sign for a character that was lost.
"""

import json
import math
from dataclasses import dataclass
from itertools import groupby

from ..ground.appending import HEAD, NoFile, check_file, encoding_of
from ..ground.errors import FileError
from ..ground.files import reason

FORMER = ("checked", "read")        # of questions before they were on the ladder
CODED = "coded"                     # an issued code was entered
HELD = "held"                       # the safety ticket was passed
UNASKED = (HELD, CODED)             # lines that answer no question
EVENTS = ("predicted", "observed", "noted", "tried", "helped", "renewed", *FORMER, *UNASKED)
LONGEST = 1_000_000                 # letters of a line
MOST_LINES, MOST_LETTERS = 50_000, 200_000_000      # of a record; a lesson worked many times over stays far below
MOST_RUNS = 12                      # of line numbers told
DEEPEST = 6                         # lists in lists of an answer
EXACT = 2 ** 53                     # whole numbers beyond it are not the same everywhere (RFC 8259, 6)

CUT = "cut off or edited, no longer a line of a record"
STRANGE = "of a kind this kit does not know, perhaps of a newer kit"
LONG = "far too long for a line of a record"
OTHER = "of another lesson"
EDITED = "edited: "
_NEEDED = ("item", "event", "lesson")
_FIELDS = ((("kit", "at", "reason", "confidence", "idea", "what", "of", "code"), "text", lambda value: isinstance(value, str)),
           (("seed", "try", "step"), "a whole number", lambda value: isinstance(value, int) and not isinstance(value, bool)),
           (("credit",), "a number", lambda value: isinstance(value, (int, float)) and not isinstance(value, bool)),
           (("right",), "true or false", lambda value: isinstance(value, bool)))


@dataclass(frozen=True)
class Written:
    """What stands in a record.

    Attributes
    ----------
    events : tuple of (int, dict)
        Each line that counts: its number, counted from 1, and its event, in the order of the file.
    faults : dict of str to tuple of int
        What is wrong, and the numbers of the lines it is wrong with. [text]
    trouble : str
        Why the file could not be read (to its end), without a stop. [text]
    """

    events: tuple = ()
    faults: dict | None = None
    trouble: str = ""

    def sentences(self, name):
        """Return what the learner is told of a record: which lines do not count, and that the others do. [text]"""
        said = []
        if self.trouble:
            said.append(f"Your record '{name}' cannot be read{' to its end' if self.events else ''}: {self.trouble}.")
        if self.faults:
            count = sum(map(len, self.faults.values()))
            which = "; ".join(f"{told(lines)} ({fault})" for fault, lines in self.faults.items())
            said.append(f"{count} line{'s' if count > 1 else ''} of your record '{name}' cannot be used: {which}.")
        if said:
            others = len(self.events)
            counts = f"The other {others} lines count" if others > 1 else "The other line counts" if others else ""
            said.append(f"{counts}, and nothing was deleted." if counts else "Nothing was deleted.")
        return " ".join(said)


def told(lines):
    """Return line numbers in words, those in a row as one.

    >>> told([3, 7, 8, 9])
    'lines 3, 7 to 9'
    """
    runs = [[line for _, line in run] for _, run in groupby(enumerate(lines), lambda each: each[1] - each[0])]
    said = ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs[:MOST_RUNS])
    left = sum(map(len, runs[MOST_RUNS:]))
    return f"line{'s' if len(lines) > 1 else ''} {said}{f' and {left} more' if left else ''}"


def printable(text, most=40):
    """Return the beginning of a text as it can be printed anywhere: no half characters, nothing that moves a terminal."""
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in sound(str(text)[:most]))


# ------------------------------------------------------------------ one line

def sound(value, deep=DEEPEST + 1):
    """Return a value as a record keeps it: tuples as lists, whole characters only, what is none of JSON's kinds as text.

    >>> sound(("one", "\\ud83d\\ude00", "\\ud83d!"))
    ['one', '😀', '�!']
    """
    if isinstance(value, str):
        return str(value) if value.isascii() else value.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    if value is None or isinstance(value, (bool, int, float)) or not deep:
        return value
    if hasattr(value, "keys"):
        return {sound(str(key)): sound(value[key], deep - 1) for key in value.keys()}
    if isinstance(value, (list, tuple)):
        return [sound(each, deep - 1) for each in value]
    return sound(str(value))


def line_of(event):
    """Return an event as a line, its end included; reading it gives ``sound(event)`` again. [text]

    Raises
    ------
    FileError
        For an event that does not fit a record, or is too long for one.
    """
    event = sound(event)
    wrong = _fault(event, event.get("lesson"))
    line = "" if wrong else json.dumps(event, ensure_ascii=False) + "\n"
    if len(line) > LONGEST:
        wrong = f"it is too long, {len(line):,} letters of {LONGEST:,}"
    if wrong:
        raise FileError(f"your answer counts here, but it cannot be kept: {wrong.removeprefix(EDITED)}. "
                        "Give a shorter or a plainer one.")
    return line


def event_of(line, lesson):
    """Return the event of a line, and what is wrong with it if anything is.

    Parameters
    ----------
    line : str
    lesson : str
        Whose record it stands in. [text]

    Returns
    -------
    (dict or None, str)
    """
    try:
        event = json.loads(line)
    except (ValueError, RecursionError):
        return None, CUT
    wrong = _fault(event, lesson)
    return (None, wrong) if wrong else (sound(event), "")


def _fault(event, lesson):
    """Return what keeps an event out of the record of a lesson, or an empty text."""
    if not isinstance(event, dict):
        return "not a line of a record"
    for field in _NEEDED:
        if not isinstance(event.get(field), str):
            return f"not a line of a record: its '{field}' is not text"
    if event["event"] not in EVENTS:
        return STRANGE
    for fields, words, fits in _FIELDS:
        for field in fields:
            if event.get(field) is not None and not fits(event[field]):
                return f"{EDITED}its '{field}' is not {words}"
    for field, value in event.items():
        if not _is_plain(value, DEEPEST):
            return f"{EDITED}its '{printable(field)}' holds what no answer holds"
    return OTHER if event["lesson"] != lesson else ""


def _is_plain(value, deep):
    """Tell whether a value can stand in an answer: text, finite numbers, and not too many lists in lists of them."""
    if value is None or isinstance(value, (str, bool)):
        return True
    if isinstance(value, int):
        return abs(value) <= EXACT
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, dict):
        return deep > 0 and all(isinstance(key, str) and _is_plain(each, deep - 1) for key, each in value.items())
    return isinstance(value, list) and deep > 0 and all(_is_plain(each, deep - 1) for each in value)


# ------------------------------------------------------------------ a file of lines

def read_record(path, lesson):
    """Read a record; whatever is wrong with it is told, not raised.

    Parameters
    ----------
    path : Path
        One that is not there holds nothing, and nothing is wrong with it.
    lesson : str
        Whose record it is, such as ``"11"``. [text]

    Returns
    -------
    Written
    """
    events, faults, trouble = [], {}, ""
    try:
        check_file(path)
        with open(path, "rb") as file:
            head = file.read(HEAD)
        with open(path, encoding=encoding_of(head), errors="replace", newline="\n") as file:
            for number, line in _numbered(file):
                if number > MOST_LINES:
                    trouble = "it goes on for far longer than any record"
                    break
                event, fault = (None, LONG) if line is None else event_of(line, lesson)
                if fault:
                    faults.setdefault(fault, []).append(number)
                else:
                    events.append((number, event))
    except FileNotFoundError:
        pass
    except OSError as error:
        trouble = error.strerror if isinstance(error, NoFile) else reason(error)[0]
    return Written(tuple(events), {fault: tuple(lines) for fault, lines in faults.items()}, trouble)


def _numbered(file):
    """Yield each line that says something with its number; None in the place of one that is too long."""
    number = letters = 0
    while line := file.readline(LONGEST + 1):
        number, is_long = number + 1, len(line) > LONGEST
        letters += len(line)
        while is_long and line and not line.endswith("\n"):
            line = file.readline(LONGEST)
            letters += len(line)
        if letters > MOST_LETTERS:
            number = MOST_LINES + 1
        if is_long or line.strip("\N{ZERO WIDTH NO-BREAK SPACE} \t\r\n"):
            yield number, None if is_long else line.strip("\N{ZERO WIDTH NO-BREAK SPACE}")

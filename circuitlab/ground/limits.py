"""How large a circuit and its words may be: every limit of input with its unit and its reason, in this one room.

The kit's own arrangements have at most 33 parts, 49 wires, 5 controls of 3
positions, 48 rows, names of 11 letters and notes of 418; the limits are about
ten times that. They are asked when a record is made, so Python, files and typed
sentences meet the same sentence. Nobody reaches them with a real circuit.

Measured at the limits, on one of two busy cores: 65,536 rows of one lamp take
2 s and 135 MB to prove and make a sheet of 26 MB in 2 s; ten copies of the
largest arrangement (321 parts, 490 wires, 1,024 phases) take 14 s and 490 MB
for 24 rows, and 3 minutes for each form of their drawing; names, places and
notes of full length make a drawing no slower.
"""

import unicodedata

from .errors import shown

MOST_ROWS = 65_536      # of an arrangement: 16 two-position controls
MOST_PHASES = 1_024     # combinations of on and off of flashers and breakers in one row: ten of them
MOST_PARTS = 400        # of an arrangement, wires not counted; drawing takes longer than in proportion
MOST_WIRES = 600        # of an arrangement
MOST_CONTROLS = 50      # of an arrangement
MOST_POSITIONS = 24     # of a control
MOST_RULES = 2_000      # lines of a rule: a lamp may need one for each row that lights it
MOST_PAIRS = 200        # pairs of terminals a switch joins, all positions together
MOST_NAME = 60          # letters of a name, a position or a terminal: one line of a table
MOST_LINE = 300         # letters of a title or a place: they are drawn on one line
MOST_NOTE = 5_000       # letters of a remark: two printed pages
MOST_SENTENCE = 20_000  # letters of a typed sentence; one of a part may hold a note
MOST_PLACE = 2_000      # steps of 10 px from the edge of a drawing: five metres of paper
MOST_QUANTITY = 60      # letters of a number with its unit
MOST_DIGITS = 1_000     # of a whole number in a file; no value has more than ten, and Python stops at 4,300
MOST_DEPTH = 8          # of tables and lists inside each other in a file; its own need four
MOST_CASES = 64         # a condition of a rule falls into: six choices of two, worked through in a second
MOST_BRACKETS = 20      # open at once in a condition of a rule
MOST_FILE = 4_000_000   # letters of a text file: the largest arrangement with all its notes

_JOINERS = ("\N{ZERO WIDTH JOINER}", "\N{ZERO WIDTH NON-JOINER}")   # which some scripts need inside words
_UNSEEN = {"Cc": "a control character", "Cs": "half of a letter", "Cf": "a letter that is not seen",
           "Zl": "a line break", "Zp": "a line break", "Cn": "a letter nobody has defined"}
_EMPTY = "is empty. Write a word"


def wrong_with_text(text, most, empty=False, lines=False):
    """Return what is wrong with a text someone gave, to be put behind its name, or nothing. [text]

    Parameters
    ----------
    text : object
        What was given. [text]
    most : int
        Letters it may have. [1]
    empty : bool
        Whether it may be empty. [yes/no]
    lines : bool
        Whether it may run over several lines. [yes/no]

    Examples
    --------
    >>> wrong_with_text("K1", 60), wrong_with_text(7, 60)
    ('', 'must be words in quotes, got 7')
    >>> wrong_with_text("rear" + chr(0x202E), 60)
    'holds a letter that is not seen (U+202E) at place 5. Leave it out'
    """
    if not isinstance(text, str):
        return f"must be words in quotes, got {shown(text)}"
    if len(text) > most:
        return f"has {len(text)} letters, {most} are allowed. Shorten it"
    if not text and empty:
        return ""
    if text.isprintable():      # as nearly all are
        return _EMPTY if not text or text.isspace() else ""
    for place, letter in enumerate(text, start=1):
        what = _UNSEEN.get(unicodedata.category(letter))
        if what and letter not in _JOINERS and not (lines and letter in "\n\t"):
            what = {"\n": "a line break", "\r": "a line break", "\t": "a tab"}.get(letter, what)
            return f"holds {what} (U+{ord(letter):04X}) at place {place}. Leave it out"
    return "" if any(letter.isprintable() and not letter.isspace() for letter in text) else _EMPTY


def too_large(value, most_letters=MOST_FILE):
    """Return what in plain data, as read from a file, is beyond any limit, or nothing: depth, digits, letters. [text]

    >>> too_large({"ways": 10**5000}), too_large([[[]]])
    ('a whole number of more than 1000 digits', '')
    """
    waiting = [(value, 1)]
    while waiting:
        each, depth = waiting.pop()
        if isinstance(each, (dict, list)):
            if depth > MOST_DEPTH:
                return f"tables or lists more than {MOST_DEPTH} deep"
            waiting += ((inner, depth + 1) for inner in (each.values() if isinstance(each, dict) else each))
            waiting += ((key, depth + 1) for key in (each if isinstance(each, dict) else ()))
        elif isinstance(each, int) and abs(each) >= 10**MOST_DIGITS:
            return f"a whole number of more than {MOST_DIGITS} digits"
        elif isinstance(each, str) and len(each) > most_letters:
            return f"a text of {len(each)} letters, where {most_letters} are allowed"
    return ""

"""Letters in both drawings: how wide a text runs, where it is cut or broken, a line of it in its place."""

from dataclasses import dataclass
from unicodedata import east_asian_width

NAME, SMALL, NUMBER = 11.5, 10.5, 9.5     # letter heights: of names, of other words, of the attached form's numbers [px]
LINE = 12                    # from one line of text to the next [px]
# widths in letter heights of DejaVu Sans, one of the widest faces a browser may take for sans-serif; measured
_WIDTHS = {0.29: "ijlIJ' ,.", 0.36: "/:;|f-", 0.42: "()[]tr!", 0.56: "szcL", 0.62: "FkvxyPTYaoe",
           0.64: "ESbdghnpqu0123456789$", 0.7: "KAVBRXZC", 0.79: "UHNDGOQ&", 0.84: "w+=<>"}
_WIDTH = {letter: width for width, letters in _WIDTHS.items() for letter in letters}


@dataclass(frozen=True)
class Label:
    """One line of text in its box; ``kind`` is piece, wire or sheet, ``owner`` what it speaks of."""

    text: str
    x: float
    y: float
    size: float
    kind: str
    owner: str = ""
    live: str = ""
    bold: bool = False

    @property
    def box(self):
        """Left, top, right, bottom. [px]"""
        right = self.x + text_width(self.text, self.size, self.bold)
        return self.x, self.y - 0.8 * self.size, right, self.y + 0.24 * self.size


def text_width(text, size=SMALL, bold=False):
    """Return about how wide a text runs, rather too much than too little. [px]"""
    return sum(map(_letter, text)) * size + (0.09 * size * len(text) if bold else 0)


def _letter(letter):
    if letter in _WIDTH:
        return _WIDTH[letter] + 0.03 * (letter == " ")
    return 1.02 if ord(letter) < 0x370 or east_asian_width(letter) in "WF" else 0.9


def meet(one, other):
    """Tell whether two boxes share some room: left, top, right, bottom of each. [px]"""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def shortened(text, most, size=SMALL, bold=False):
    """Return a text cut to a width, with an ellipsis where something is missing."""
    text = " ".join(str(text).split())
    if text_width(text, size, bold) <= most:
        return text
    while text and text_width(text + "\N{HORIZONTAL ELLIPSIS}", size, bold) > most:
        text = text[:-1]
    return text.rstrip() + "\N{HORIZONTAL ELLIPSIS}"


def in_lines(text, most, lines, size=SMALL):
    """Break a text into at most so many lines of a width."""
    words, done = str(text).split(), []
    while words and len(done) < lines:
        line = words.pop(0)
        while words and len(done) < lines - 1 and text_width(f"{line} {words[0]}", size) <= most:
            line += " " + words.pop(0)
        done.append(shortened(" ".join([line, *words]) if len(done) == lines - 1 else line, most, size))
    return done

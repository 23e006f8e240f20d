"""Text files spoiled by chance, the same for the same seed: as slips, editors, other programs and malice spoil them."""

import re
from random import Random

NUMBERS = ("-0", "-0.0", "0", "1e308", "-1e308", "1e-308", "1e999", "inf", "-inf", "nan", "1" + "0" * 5000,
           "-" + "9" * 400, "1e9",
           "0x7f", "1_0", "01", "1.", "12,5", "\N{ARABIC-INDIC DIGIT THREE}", '"twelve"', '"nan"', '"1e999"', "true",
           "[]", "[1, 2]",
           "{}", "1979-05-27", '"12 A"', '""')
PLAUSIBLE = ("0.001", "0.05", "0.5", "1", "2", "3.0", "4", "10.0", "21", "24", "60", "100.0", "0.02", "400")
VALUES = ('""', "3", "-7.5", "true", "[]", "[[]]", '["a"]', "{}", "{a = 1}", "{a = {b = {c = 1}}}",
          "1979-05-27T07:32:00Z", "nan",
          "'''\n\n'''", '[["1", "2", "3"]]', '[["1"]]', '[1, "a", []]', '"' + "x" * 3000 + '"', "",
          "[" * 4000 + "]" * 4000,
          "{a=" * 2000 + "1" + "}" * 2000, "a.b.c")
MARKS = ("\0", "\x01", "\x07", "\x08", "\x1b[31m", "\x7f", "\x85", "\N{LINE SEPARATOR}", "\N{PARAGRAPH SEPARATOR}",
         "\N{RIGHT-TO-LEFT OVERRIDE}", "\N{LEFT-TO-RIGHT ISOLATE}", "\N{ZERO WIDTH SPACE}",
         "\N{ZERO WIDTH NO-BREAK SPACE}",
         "\N{COMBINING DIAERESIS}" * 60, "\N{PILE OF POO}", "\ufffe", "\ue000", "<script>", "&", "'", "\\", "%s{0}",
         "\r", "\t", "\n",
         ":", "=", "#")
NAMES = ("", " ", "E1:1", "a" * 300, "x" * 20_000, "..", "../../x", "CON", "__class__", "constructor", "<b>",
         "\N{LATIN SMALL LETTER E}1",
         "\N{CYRILLIC CAPITAL LETTER IE}1", "G1", "E1", "K1", "body", "chassis", "always", "and", "not", "a, b",
         'a "b"', "a\\nb",
         "\\u202eE1", "\\u0000", "\\u001b[2J", "\\u2028", "E 1 ", "-", "inf", "nan", "0")

_NUMBER = re.compile(r"(?<![\w.\"-])-?\d+(?:\.\d+)?(?![\w.\"])")
_VALUE = re.compile(r"(?<== )[^\n]+")
_KEY = re.compile(r"^[\w-]+(?= = )", re.M)
_HEAD = re.compile(r"^\[+[^\n]*\]+$", re.M)
_WORD = re.compile(r'(?<=")[^"\n]*(?=")')
_REMARK = re.compile(r'(?:(?<=title = ")|(?<=place = ")|(?<=note = "))[^"\n]*')
_TERMINAL = re.compile(r"\b[A-Z]\d+:[\w+-]+")
_NAME = re.compile(r"\b[A-Z]\d+\b")


def mutated(text, seed):
    """Return the bytes of a text after one to three spoilings drawn by chance."""
    chance = Random(seed)
    for _ in range(chance.choice((1, 1, 1, 1, 2, 3))):
        text = chance.choice(_SPOILINGS)(chance, text)
    return chance.choice(_ENCODINGS)(chance, text) if chance.random() < 0.12 else text.encode("utf-8", "surrogatepass")


def _another(pattern, others=None):
    """Return a spoiling that puts something else, or what is found elsewhere, in the place of one find of a pattern."""
    def spoil(chance, text):
        found = list(pattern.finditer(text))
        if not found:
            return text + "\n" + chance.choice(others or MARKS)
        place = chance.choice(found)
        return text[:place.start()] + chance.choice(others or [each.group() for each in found]) + text[place.end():]
    return spoil


def _exchange(pattern):
    """Return a spoiling that exchanges two finds of a pattern, each everywhere or in one place."""
    def spoil(chance, text):
        found = sorted({each.group() for each in pattern.finditer(text)})
        if len(found) < 2:
            return text[::-1]
        one, two = chance.sample(found, 2)
        return re.sub(f"{re.escape(one)}|{re.escape(two)}", lambda each: two if each.group() == one else one, text,
                      count=chance.choice((0, 1)))
    return spoil


def in_pieces(separator, do):
    """Return a spoiling of the list of pieces of a text: its lines, or its words."""
    def spoil(chance, text):
        pieces = text.split(separator)
        do(chance, pieces)
        return separator.join(pieces)
    return spoil


def swap_pieces(chance, pieces):
    """Exchange two pieces."""
    one, two = (chance.randrange(len(pieces)) for _ in range(2))
    pieces[one], pieces[two] = pieces[two], pieces[one]


def _double_lines(chance, lines):
    start = chance.randrange(len(lines))
    lines[start:start] = lines[start:start + chance.randint(1, 6)] * chance.choice((1, 1, 30))


def _delete_lines(chance, lines):
    start = chance.randrange(len(lines))
    del lines[start:start + chance.randint(1, 6)]


def _cut(chance, text):
    return text[:chance.randrange(len(text) + 1)]


def _mark(chance, text):
    place = chance.randrange(len(text) + 1)
    return text[:place] + chance.choice(MARKS) + text[place:]


def _mark_in(pattern):
    """Return a spoiling that puts a mark behind one find of a pattern, written out or as an escape."""
    def spoil(chance, text):
        found = [each for each in pattern.finditer(text) if each.group()]
        if not found:
            return _mark(chance, text)
        place = chance.choice(found).end()
        escapes = [f"\\u{ord(each[0]):04x}" for each in MARKS if each < "\uffff"]
        return text[:place] + chance.choice([*MARKS, *escapes]) + text[place:]
    return spoil


def _rename(chance, text):
    """Give a name another one wherever it stands, so that the rest still fits."""
    found = sorted({each.group() for each in _NAME.finditer(text)})
    if not found:
        return _mark(chance, text)
    old, new = chance.choice(found), chance.choice(NAMES)
    quoted = re.sub(rf"(\[\w+\.){old}\]", lambda each: f'{each[1]}"{new}"]', text)
    return re.sub(rf"\b{old}\b", lambda each: new, quoted)


_SPOILINGS = (
    _cut, in_pieces("\n", swap_pieces), in_pieces("\n", _double_lines), in_pieces("\n", _delete_lines), _mark,
    _mark_in(_WORD), _mark_in(_REMARK), _rename, _rename, _another(_NUMBER, NUMBERS), _another(_NUMBER, NUMBERS),
    *[_another(_NUMBER, PLAUSIBLE)] * 6, _another(_VALUE, VALUES), _another(_VALUE), _another(_KEY), _another(_KEY, NAMES),
    _another(_HEAD), _another(_WORD, NAMES), _another(_WORD), _another(_TERMINAL), _exchange(_TERMINAL),
    _exchange(_NAME), _exchange(_WORD), *[_another(_REMARK, NAMES), _exchange(_REMARK)] * 2,
)


def _flipped(chance, text):
    raw = bytearray(text.encode("utf-8", "surrogatepass") or b"?")
    for _ in range(chance.randint(1, 4)):
        raw[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)
    return bytes(raw)


_ENCODINGS = (
    _flipped, _flipped, _flipped,
    lambda chance, text: text.replace("\n", "\r\n").encode("utf-8", "surrogatepass"),
    lambda chance, text: text.replace("\n", "\r").encode("utf-8", "surrogatepass"),
    lambda chance, text: text.encode("utf-8-sig", "surrogatepass"),
    lambda chance, text: text.encode(chance.choice(("utf-16", "utf-16-le", "utf-32")), "surrogatepass"),
    lambda chance, text: text.encode("latin-1", "replace"),
    lambda chance, text: text.encode("utf-8", "surrogatepass") + chance.randbytes(chance.randint(1, 50)),
    lambda chance, text: b"PK\3\4" + text.encode("utf-8", "surrogatepass"),
)

"""The sizes of things on the sheet: how tall a piece is, what is written beside it, how wide a text runs."""

from dataclasses import dataclass
from unicodedata import east_asian_width

LEAD = 14                    # from a terminal to the body of its symbol, at least [px]
NAME, SMALL = 11.5, 10.5     # letter heights [px]
LINE = 12                    # from one line of text to the next [px]
GAP = 2                      # half of what is left open between the lines beside a pole of several [px]
TAP = 12                     # room for a terminal number at a splice [px]
_BODY = {"fuse": 24, "resistor": 24, "lamp": 24, "coil": 18, "contact": 30, "changeover": 30, "lever": 30,
         "flasher": 38, "battery": 24, "box": 24, "diode": 24, "breaker": 34}
_SIDES = {"fuse": (6, 6), "resistor": (6, 6), "lamp": (19, 19), "coil": (15, 15), "contact": (15, 3),
          "changeover": (5, 5), "lever": (5, 5), "flasher": (13, 13), "battery": (12, 12), "box": (12, 12),
          "diode": (9, 9), "breaker": (13, 13)}
OPERATOR = 12                # room for what works a switch, left of its blade [px]
THROW = 20                   # how far a blade swings sideways [px]
# widths in letter heights of DejaVu Sans, one of the widest faces a browser may take for sans-serif; measured
_WIDTHS = {0.29: "ijlIJ' ,.", 0.36: "/:;|f-", 0.42: "()[]tr!", 0.56: "szcL", 0.62: "FkvxyPTYaoe",
           0.64: "ESbdghnpqu0123456789$", 0.7: "KAVBRXZC", 0.79: "UHNDGOQ&", 0.84: "w+=<>"}
_WIDTH = {letter: width for width, letters in _WIDTHS.items() for letter in letters}


@dataclass(frozen=True)
class Text:
    """One line beside a piece.

    Parameters
    ----------
    text : str
        What stands there; for a ``live`` line the longest that may. [text]
    slot : int
        Path of the piece it is measured from. [1]
    right : float
        Where it starts (or, when negative, ends) from that path. [px]
    top : float
        Of its line, from the top of the piece. [px]
    size : float
        Letter height. [px]
    live : str
        ``volts``, ``light``, ``state`` or empty for a line that never changes.
    """

    text: str
    slot: int
    right: float
    top: float
    size: float = SMALL
    live: str = ""
    bold: bool = False


def text_width(text, size=SMALL, bold=False):
    """Return about how wide a text runs, rather too much than too little. [px]"""
    return sum(map(_letter, text)) * size + (0.09 * size * len(text) if bold else 0)


def _letter(letter):
    if letter in _WIDTH:
        return _WIDTH[letter] + 0.03 * (letter == " ")
    return 1.02 if ord(letter) < 0x370 or east_asian_width(letter) in "WF" else 0.9


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


def height_of(stand, arrangement, is_split):
    """Return how tall a piece is from terminal to terminal; what is said beside it must find room. [px]

    Parameters
    ----------
    is_split : bool
        Whether the part has other pieces, so that a line tells where. [yes/no]
    """
    lines = len(_lines(stand.piece, arrangement.part(stand.piece.part), arrangement, "?" if is_split else ""))
    return max(_BODY[stand.piece.symbol] + 2 * LEAD, lines * LINE + 2)


def lead_of(piece, tall):
    """Return how far it is from a terminal to the body of its symbol. [px]"""
    return (tall - _BODY[piece.symbol]) / 2


def sides_of(piece):
    """Return how far the body reaches left of its first path and right of its last. [px]"""
    left, right = _SIDES[piece.symbol]
    return (left + OPERATOR if piece.worked_by else left), right


def pitch_of(piece):
    """Return the least distance between two paths of a piece. [px]"""
    return {"lever": 30, "changeover": 30, "flasher": 32}.get(piece.symbol, 30)


def contacts_of(piece, xs):
    """Return the x at which each terminal meets the body: beside its path where a blade has to reach it. [px]"""
    near, *far = xs
    if piece.symbol not in ("changeover", "lever"):
        return xs
    left = sorted((x for x in far if x < near), reverse=True)
    right = sorted(x for x in far if x > near)
    return (near, *(near - THROW * (left.index(x) + 1) if x in left else
                    near + THROW * (right.index(x) + 1) if x in right else near for x in far))


def texts_of(stand, arrangement, see, mirrored=False):
    """Return the lines written beside a piece.

    Parameters
    ----------
    see : str
        The path where the other pieces of the part are, or empty. [text]
    mirrored : bool
        Whether the piece is seen from behind, its first path on the right. [yes/no]
    """
    piece, part = stand.piece, arrangement.part(stand.piece.part)
    texts = [_number(stand, terminal, mirrored) for terminal in piece.terminals]
    lines = _lines(piece, part, arrangement, see)
    slot, right, top = _where(stand, len(lines), mirrored)
    for number, (text, live) in enumerate(lines):
        if see and piece.worked_by and len(lines) % 2 == 0:     # room for the link between two poles
            top += 2 * GAP * (number == len(lines) / 2) - GAP * (number == 0)
        bold = top is not None and text == lines[0][0] and not live
        texts.append(Text(text, slot, right, top, NAME if bold else SMALL, live, bold))
        top += LINE
    return texts


def _number(stand, terminal, mirrored):
    """Return the terminal's own number beside its lead, away from the blade; the common of a relay says whose it is."""
    name = shortened(terminal.partition(":")[2], 40)
    if stand.piece.key.endswith(".contact") and terminal in stand.piece.near:
        name = shortened(terminal, 60)
    top = 0.5 if terminal in stand.up else stand.tall - LEAD + 0.5
    slot, symbol = stand.slot(terminal), stand.piece.symbol
    ahead = slot - stand.slot(stand.piece.near[0])
    if symbol == "changeover" and terminal in stand.piece.far and not ahead:
        ahead = -1           # straight on: away from the contact beside it
    outside = symbol in ("changeover", "lever") and (-ahead if mirrored else ahead) > 0
    return Text(name, slot, 4 if outside else -4, top)


def _lines(piece, part, arrangement, see):
    """Return what is said of a piece: ``(text, live)`` line by line, its name first."""
    lines = [(shortened(part.name, 64, NAME), "")]
    if piece.symbol == "lamp":
        place = in_lines(part.place, 62, 2) + (["LED"] if part.kind == "LED lamp" else [])
        return lines + [(line, "") for line in place] + [("\N{MINUS SIGN}88.8 V", "volts"), ("188 %", "light")]
    if piece.symbol == "fuse":
        return lines + [(f"{part.rating:g} A", ""), ("blown", "blown")]
    if piece.symbol == "battery":
        return lines + [("88.88 V", "value")]
    if piece.symbol == "resistor":
        return lines + [(f"{part.resistance:g} \N{GREEK CAPITAL LETTER OMEGA}", "")]
    if piece.symbol == "flasher":
        return lines + [("thermal" if part.is_thermal else "flasher", ""), ("idle", "state")]
    if piece.symbol == "breaker":
        return lines + [(f"{part.rating:g} A", ""), ("closed", "state")]
    if piece.symbol == "box":
        return lines + [(part.kind, "")] + ([(max(part.states, key=text_width), "state")] if len(part.states) > 1 else [])
    if piece.symbol == "coil" and part.suppression != "none":
        lines.append((f"+ {part.suppression}", ""))
    if part.kind == "switch":
        control = arrangement.control(part.control)
        longest = max((shortened(position, 60) for position in control.positions), key=text_width)
        if see and piece.symbol != "contact":
            lines[0], see = (f"{lines[0][0]} {see}", ""), ""
        lines += [(line, "") for line in in_lines(control.name, 78, 1)] + [(longest, "state")]
    return lines + ([(see, "")] if see else [])


def _where(stand, count, mirrored):
    """Return path, distance and top of the lines beside a piece, clear of its own drawing."""
    piece, height = stand.piece, stand.tall
    block = count * LINE
    if piece.symbol == "lever":
        return piece.slots[0], THROW + 3, (0 if stand.near_up else height - block)
    if piece.symbol == "changeover":
        low = height - block + 1 if not stand.near_up else -1
        return piece.slots[0], 17, low
    right = 8 if piece.symbol == "contact" else sides_of(piece)[1] + 4
    return 0 if mirrored else piece.width - 1, right, (height - block) / 2

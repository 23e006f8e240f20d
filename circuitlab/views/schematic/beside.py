"""What is written beside a piece, and how tall and wide that makes it."""

from ..faces import face_of
from ..letters import LINE, NAME, SMALL, Label, shortened, text_width

LEAD = 14                    # from a terminal to the body of its symbol, at least [px]
GAP = 2                      # half of what is left open between the lines beside a pole of several [px]
TAP = 12                     # room for a terminal number at a splice [px]
OPERATOR = 12                # room for what works a switch, left of its blade [px]


def height_of(stand, arrangement, is_split):
    """Return how tall a piece is from terminal to terminal; what is said beside it must find room. [px]

    Parameters
    ----------
    is_split : bool
        Whether the part has other pieces, so that a line tells where. [yes/no]
    """
    part = arrangement.part(stand.piece.part)
    lines = len(face_of(part).lines(stand.piece, part, arrangement, "?" if is_split else ""))
    return max(stand.piece.shape.body + 2 * LEAD, lines * LINE + 2)


def sides_of(piece):
    """Return how far the body reaches left of its first path and right of its last. [px]"""
    left, right = piece.shape.sides_of(piece)
    return (left + OPERATOR if piece.worked_by else left), right


def texts_of(stand, arrangement, see, mirrored=False):
    """Return the lines written beside a piece, ``(path of the piece, label)``.

    Each label stands right of that path by its x, and below the top of the piece by its y; of one that lives it is the
    longest text that may stand there. [px]

    Parameters
    ----------
    see : str
        The path where the other pieces of the part are, or empty. [text]
    mirrored : bool
        Whether the piece is seen from behind, its first path on the right. [yes/no]
    """
    piece, part = stand.piece, arrangement.part(stand.piece.part)
    texts = [_number(stand, terminal, mirrored) for terminal in piece.terminals]
    if piece.word:
        texts.append((0, _label(piece, piece.word, 0, stand.tall / 2 - LINE / 2)))
    lines = face_of(part).lines(piece, part, arrangement, see)
    tall = len(lines) * LINE
    slot, right, top = piece.shape.where(stand, tall) or (
        0 if mirrored else piece.width - 1, piece.shape.clear or sides_of(piece)[1] + 4, (stand.tall - tall) / 2)
    for number, (text, live) in enumerate(lines):
        if see and piece.worked_by and len(lines) % 2 == 0:     # room for the link between two poles
            top += 2 * GAP * (number == len(lines) / 2) - GAP * (number == 0)
        bold = text == lines[0][0] and not live
        texts.append((slot, _label(piece, text, right, top, NAME if bold else SMALL, live, bold)))
        top += LINE
    return texts


def _number(stand, terminal, mirrored):
    """Return the terminal's own number beside its lead, away from the blade; the common of a relay says whose it is."""
    name = shortened(terminal.partition(":")[2], 40)
    if stand.piece.key.endswith(".contact") and terminal in stand.piece.near:
        name = shortened(terminal, 60)
    top = 0.5 if terminal in stand.up else stand.tall - LEAD + 0.5
    slot, shape = stand.slot(terminal), stand.piece.shape
    ahead = slot - stand.slot(stand.piece.near[0])
    if shape.leans and terminal in stand.piece.far and not ahead:
        ahead = -1           # straight on: away from the contact beside it
    outside = shape.swings and (-ahead if mirrored else ahead) > 0
    return slot, _label(stand.piece, name, 4 if outside else -4, top)


def _label(piece, text, right, top, size=SMALL, live="", bold=False):
    """Return a line that starts so far right of a path, ends so far left where negative, lies across it at 0. [px]"""
    wide = text_width(text, size, bold)
    x = right - wide if right < 0 else right or -wide / 2
    return Label(text, x, top, size, "piece", piece.key, live, bold)

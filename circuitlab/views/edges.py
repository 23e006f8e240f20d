"""What a sheet of either form has at its edges: the key below it, and beside a cut the names of what goes on."""

from .letters import LINE, NAME, SMALL, Label, shortened, text_width
from .strokes import SAID, SAMPLE, WEIGHTS, key_samples, words
from .style import COLOUR_WORDS

MARGIN = 10                  # round the whole sheet [px]
KEY_LINE = LINE + 3          # from one line of the key to the next [px]
CROSSING = "lines that only cross are not joined"      # IEC 61082-1, from memory: a joint has a dot or is a T
UNKNOWN = "drawn without live or dead"      # in the key, where no row is chosen
EDGE = 86                    # beside a cut, for the names of what goes on [px]


def key_lines(arrangement, width, y, more=(), has_links=False):
    """Return the key below everything, ``(sample, text, x, y)`` one by one, and where it ends.

    Parameters
    ----------
    arrangement : Arrangement
        Its colour letters are put in words.
    width, y : float
        Of the sheet, and of the first line. [px]
    more : iterable of str
        Words that stand between the weights of lines and the colours. [text]
    has_links : bool
        Whether poles of one switch are joined by a link.
    """
    letters = {wire.colour[start:start + 2] for wire in arrangement.wires for start in (0, 2)}
    leaks = any(hasattr(part, "highest_leakage") for part in arrangement.parts)    # only there is a ghost in doubt
    states = ("live", "ghost", "dead", *(["doubtful"] if leaks else []), "floating")
    told = [*((state, SAID.get(state, state)) for state in states),
            *([("link", "worked together")] if has_links else ()), *(("", text) for text in more)]
    told += [("", CROSSING), *(("", f"{letter} {COLOUR_WORDS[letter]}") for letter in COLOUR_WORDS if letter in letters)]
    return _in_lines(told, width, y)


def _in_lines(told, width, y):
    """Return samples and texts one behind the other, ``(sample, text, x, y)``, and where they end."""
    key, x = [], MARGIN
    for sample, text in told:
        room = SAMPLE if sample else 0
        if x > MARGIN and x + room + text_width(text) > width - MARGIN:
            x, y = MARGIN, y + KEY_LINE
        key.append((sample, text, round(x + room, 1), round(y, 1)))
        x += room + text_width(text) + 14
    return tuple(key), y


def key_of(sheet, is_live):
    """Return the key of a sheet. Where nothing is known to be live a sentence stands in the place of the weights of lines.

    Parameters
    ----------
    sheet : Sheet or AttachedSheet
        Its key has lines of ``(sample, text, x, y)``. [text], [px]
    is_live : bool
        Whether lines are as heavy as they are live. [yes/no]
    """
    key = sheet.key
    if key and not is_live:        # one of several pages has it
        told = [("", UNKNOWN), *((sample, text) for sample, text, *_ in key if sample not in WEIGHTS)]
        key, _ = _in_lines(told, sheet.width, key[0][3])
    labels = [label for label in sheet.labels if label.kind == "sheet" and label.owner != "key"]
    labels += [Label(text, x, y, SMALL, "sheet", "key") for _, text, x, y in key]
    return [*map(words, labels), *key_samples(key)]


def page_prefixes(prefix, count):
    """Return what stands before the ids of each page: the prefix alone when there is one page. [text]"""
    return [f"{prefix}page{number}-" for number in range(1, count + 1)] if count > 1 else [prefix]


def clipped(lines, left, right, shift, reach=None):
    """Return the stretches of a thing between two cuts, moved, and where it goes on.

    Parameters
    ----------
    lines : iterable of (float, float, float, float)
        Its stretches on the whole sheet. [px]
    left, right, shift : float
        The cuts, and what the page's left edge is moved by. [px]
    reach : tuple of (float, float), optional
        How far beyond the cuts a stretch that goes on is drawn; to the cuts when not given. [px]

    Returns
    -------
    tuple of (float, float, float, float)
    set of (int, float)
        Side, -1 or 1, and height of each place. [1], [px]
    """
    near, far = reach or (left, right)
    inside, out = [], set()
    for x, y, to_x, to_y in lines:
        if max(x, to_x) > left and min(x, to_x) < right:
            out |= {(side, y) for side, is_over in ((-1, min(x, to_x) < left), (1, max(x, to_x) > right)) if is_over}
            ends = [near if end < left else far if end > right else end for end in (x, to_x)]
            inside.append((ends[0] - shift, y, ends[1] - shift, to_y))
    return tuple(inside), out


def goes_on(out, number, left, right):
    """Yield the names of what leaves a page, beside the place where it does.

    Parameters
    ----------
    out : dict of (int, float) to str
        Name by side and height. [text]
    number : int
        Of the page. [1]
    left, right : float
        Where its own things end. [px]
    """
    for (side, y), name in sorted(out.items()):
        arrow, page = ("\N{LEFTWARDS ARROW}", number - 1) if side < 0 else ("\N{RIGHTWARDS ARROW}", number + 1)
        text = f"{shortened(name, EDGE - 44)} {arrow} p. {page}"
        x = left - 4 - text_width(text) if side < 0 else right + 4
        yield Label(text, round(x, 1), round(y + 4, 1), SMALL, "sheet", "page")


def title_label(title, width, page=""):
    """Return a title in its place at the top of a sheet so wide, shortened to it; which page it is stands behind it."""
    room = width - 2 * MARGIN - text_width(page, NAME, True)
    return Label(shortened(title, room, NAME, True) + page, MARGIN, MARGIN + 10, NAME, "sheet", "title", bold=True)

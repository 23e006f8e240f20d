"""What is to stand out in a drawing: a traced path as a grey band, what is marked as a string of beads.

Which names are traced or marked is decided by whoever asks, on a floor below;
here they are only shown.
"""

from .strokes import path_of

_STYLES = {                   # of a line and of a box; widths [px]
    "trace": ('stroke-width="14" stroke-opacity="0.22" stroke-linecap="butt"',
              'fill="currentColor" fill-opacity="0.16"'),
    "marked": ('stroke-width="10" stroke-opacity="0.5" stroke-dasharray="0.1 14" stroke-linecap="round"',
               'stroke="currentColor" stroke-width="2" stroke-dasharray="0.1 5" stroke-linecap="round"')}


def chosen(arrangement, names):
    """Return the names as a set, every one checked: parts, wires, or terminals such as ``K1:87``."""
    names = tuple(names)
    for name in names:
        if name not in arrangement.by_name:
            arrangement.check_terminal(name) if ":" in str(name) else arrangement.part(name)
    return frozenset(names)


def stands_out(part, terminals, names):
    """Tell whether a piece of a part is among the names: of a part with named terminals, one that has two of them."""
    if part not in names:
        return False
    own = {name for name in names if name.startswith(f"{part}:")}
    return not own or len(own & set(terminals)) > 1


def emphasis(kind, lines, boxes):
    """Return the band (``trace``) or beads (``marked``) along lines and round boxes, to lie under the drawing.

    Parameters
    ----------
    kind : {"trace", "marked"}
    lines : iterable of (str, tuple of stretches)
        Name and lines of everything long. [px]
    boxes : iterable of (str, tuple)
        Name and left, top, right, bottom of everything else. [px]
    """
    shapes = []
    of_line, of_box = _STYLES[kind]
    for _, stretches in lines:
        shapes.append(f'<path class="{kind}" d="{path_of(stretches)}" stroke="currentColor" {of_line}/>')
    for _, (left, top, right, low) in boxes:
        shapes.append(f'<rect class="{kind}" x="{left - 3:g}" y="{top - 3:g}" width="{right - left + 6:g}" '
                      f'height="{low - top + 6:g}" rx="5" {of_box}/>')
    return "".join(shapes)


def emphasis_words(arrangement, trace, marked):
    """Return one line of words for each kind of emphasis there is."""
    order = [part.name for part in arrangement.parts + arrangement.wires]
    lines = []
    for names, what in ((trace, "Traced, on a grey band: "), (marked, "Marked, on beads: ")):
        found = [name for name in order if name in names]
        if found:
            lines.append(what + ", ".join(found) + ".")
    return lines

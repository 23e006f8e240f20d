"""What stands round everything on a sheet: its title, the numbers of the paths, the links between poles, the key."""

from dataclasses import replace

from ..edges import MARGIN, key_lines, title_label
from ..letters import NAME, SMALL, Label, text_width
from .links import linked

LEAST_WIDTH = 260            # so that the key finds room [px]
LONGEST_TITLE = 460          # for which a sheet is made wider [px]
ARROW = "\N{RIGHTWARDS ARROW}"


def framed(sheet, numbered):
    """Return a sheet with all that stands round its symbols, wires, metals and their labels.

    Parameters
    ----------
    sheet : Sheet
        As wide and high as these are, without a margin. [px]
    numbered : dict of int to float
        Where each path is, by its number. [px]
    """
    arrangement, labels = sheet.arrangement, list(sheet.labels)
    title = min(text_width(arrangement.title, NAME, True), LONGEST_TITLE) + MARGIN
    width = round(max([sheet.width, LEAST_WIDTH, title] + [label.box[2] for label in labels]) + MARGIN, 1)
    labels.append(title_label(arrangement.title, width))
    y = sheet.height + 36
    labels += [Label(str(number), round(x - text_width(str(number), SMALL) / 2, 1), y, SMALL, "sheet", "path")
               for number, x in sorted(numbered.items())]
    symbols = linked(sheet.symbols, labels, [line for own in sheet.wires + sheet.metals for line in own.lines])
    more = ["1 2 3: paths"]
    if any(ARROW in label.text for label in labels if label.kind == "piece"):
        more.append(f"{ARROW} 4: see path 4")
    if any(line.is_interrupted for line in sheet.wires):
        more.append(f"W1 {ARROW} 4: goes on in path 4")
    key, y = key_lines(arrangement, width, y + 22, more, any(symbol.link for symbol in symbols))
    labels += [Label(text, x, y, SMALL, "sheet", "key") for _, text, x, y in key]
    return replace(sheet, width=width, height=round(y + MARGIN, 1), symbols=symbols, labels=tuple(labels), key=key)

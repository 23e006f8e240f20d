"""A wide attached sheet in pages: cut along channels, where no block and no letter lies, and few level lines pass.

What goes on is named at the edge with the page it goes on to. Every page says
its view and pin order, and has the key.
"""

from dataclasses import replace
from math import ceil

from ..edges import EDGE, MARGIN, clipped, goes_on, key_lines, page_prefixes
from ..letters import SMALL, Label
from .channels import TRACK
from .layout import lay_out_attached
from .picture import fill_attached
from .remarks import heading_labels

MOST = 3                     # columns of blocks on one page


def pages_attached(arrangement, point=None, prefix="", background="", most=MOST, view="wire side", pins="A",
                   readings=False, **more):
    """Return the attached drawing in as many pages as it takes, each an SVG text.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint, optional
        As for ``draw_attached``.
    prefix : str
        Put before every id; the number of the page follows it. [text]
    background : str
        Colour behind each page. [text]
    most : int
        Columns of blocks on one page. [1]
    view, pins : str
        As for ``draw_attached``. [text]
    readings : bool
        Whether to write volts and amps at the ends of every wire. [yes/no]
    more
        ``trace`` and ``marked``, as for ``draw_attached``.

    Returns
    -------
    tuple of str
        One picture, the same as ``draw_attached`` makes, when one page is enough.
    """
    readings = readings and point is not None and point.is_settled
    sheets = cut(lay_out_attached(arrangement, view, pins, readings), most)
    return tuple(fill_attached(sheet, arrangement, point, own, background, **more)
                 for sheet, own in zip(sheets, page_prefixes(prefix, len(sheets)), strict=True))


def cut(sheet, most=MOST):
    """Return a sheet in pages of about so many columns, each a sheet of its own."""
    count = len(sheet.channels) - 1
    if count <= most:
        return (sheet,)
    number = ceil(count / most)
    edges = [_edge(sheet, round(count * page / number)) for page in range(1, number)]
    return tuple(_page(sheet, page, edges) for page in range(1, number + 1))


def _edge(sheet, channel):
    """Return where a channel is cut: before its first track or after its last, where fewer level lines pass. [px]

    There all of them belong to one column, so that what goes on can be named in lines a pitch apart.
    """
    first, last = sheet.channels[channel]
    lines = [line for route in sheet.routes for line in route.lines if line[1] == line[3]]
    places = [first - TRACK / 2, last + TRACK / 2]
    return min((sum(min(a, b) < x < max(a, b) for a, _, b, _ in lines), x) for x in places)[1]


def _page(sheet, number, edges):
    """Return one page: what stands between two cuts, and the names of what goes on beyond them."""
    last = len(edges) + 1
    left, right = [0.0, *edges, sheet.width][number - 1:number + 1]
    shift = left - EDGE if number > 1 else 0.0
    width = right - shift + (EDGE if number < last else 0)
    routes, out = [], {}
    for route in sheet.routes:
        lines, leaves = clipped(route.lines, left, right, shift)
        out.update(dict.fromkeys(leaves, route.wire))
        if lines:
            routes.append(replace(route, lines=lines))
    blocks = tuple(_moved(block, shift) for block in sheet.blocks if left < block.left < right)
    labels = [replace(label, x=round(label.x - shift, 1)) for label in sheet.labels
              if label.owner not in ("title", "remark", "key") and left < label.x and label.box[2] < right]
    remarks = [label.text for label in sheet.labels if label.owner == "remark"]
    labels += heading_labels(sheet.arrangement.title, remarks, width, f", page {number} of {last}")
    labels += goes_on(out, number, left - shift, right - shift)
    low = max(label.y for label in sheet.labels if label.owner != "key") if not sheet.outline else (sheet.trailer or sheet.outline)[3]
    low = max(low, *(block.low for block in sheet.blocks), *(line[3] for route in sheet.routes for line in route.lines))
    key, low = key_lines(sheet.arrangement, width, low + 18)
    labels += [Label(text, x, y, SMALL, "sheet", "key") for _, text, x, y in key]
    outline, trailer = (box and (box[0] - shift, box[1], box[2] - shift, box[3]) for box in (sheet.outline, sheet.trailer))
    return replace(sheet, width=width, height=round(low + MARGIN), blocks=blocks, routes=tuple(routes),
                   labels=tuple(labels), key=key, outline=outline, channels=(), trailer=trailer,
                   boxes=tuple((place, box_left - shift, top, box_right - shift, bottom)
                               for place, box_left, top, box_right, bottom in sheet.boxes if left < box_left < right))


def _moved(block, shift):
    return replace(block, left=block.left - shift, right=block.right - shift,
                   blades=tuple((terminal, x - shift, y, flat) for terminal, x, y, flat in block.blades))

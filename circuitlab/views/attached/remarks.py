"""What is said above an attached sheet: its title, how its sockets are seen, and which parts no wire goes to."""

from ...parts import Relay
from ..edges import MARGIN, title_label
from ..letters import SMALL, Label, in_lines
from .blocks import HEAD


def bare(arrangement):
    """Return the names of the parts that no wire goes to. [text]"""
    return [part.name for part in arrangement.listed
            if all(f"{part.name}:{terminal}" in arrangement.loose for terminal in part.terminals)]


def remarks_on(arrangement, view, pins):
    """Return what has to be said about the view, line by line."""
    lines = []
    if arrangement.of_kind(Relay):
        seen = ("wire side, as the relay's own pins." if view == "wire side" else
                "face, mirrored: the relay plugs in here.")
        other = "B" if pins == "A" else "A"
        lines += [f"Relay sockets seen from the {seen}",
                  f"Pin order {pins} (in {other}, 30 and 86 change places): meter it before plugging in."]
    if bare(arrangement):
        lines.append(f"Nothing is wired to {', '.join(bare(arrangement))}.")
    return lines


def heading_labels(title, remarks, width, page=""):
    """Yield the title of a sheet so wide, with the page it is, and below it what is said about the view."""
    yield title_label(title, width, page)
    lines = [line for remark in remarks for line in in_lines(remark, width - 2 * MARGIN, 2)]
    for number, line in enumerate(lines, 1):
        yield Label(line, MARGIN, MARGIN + 10 + HEAD * number, SMALL, "sheet", "remark")

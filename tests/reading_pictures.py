"""Reading a schematic back: from SVG to plain geometry, from geometry to connections and to defects."""

import re
import xml.etree.ElementTree as ET
from functools import lru_cache

import matplotlib
import numpy as np
from PIL import ImageFont

from circuitlab.views.faces.pen import drawn

SVG = "{http://www.w3.org/2000/svg}"
NEAR = 0.6          # px: closer than this is the same place


@lru_cache(maxsize=2)
def face(bold):
    """DejaVu Sans, one of the widest of the sans-serif faces a browser may take."""
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return ImageFont.truetype(f"{matplotlib.get_data_path()}/fonts/ttf/{name}", 100)


def width_in(text, size, bold):
    """How wide a text runs in that face. [px]"""
    return face(bold).getlength(text) * size / 100


def numbers(text):
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", text)]


def stretches(data):
    """Return the straight stretches of an SVG path made of M and L only."""
    points, found = None, []
    for letter, rest in re.findall(r"([ML])([^ML]*)", data):
        point = tuple(numbers(rest))
        assert len(point) == 2
        if letter == "L":
            found.append((*points, *point))
        points = point
    return found


class Picture:
    """An SVG read back: wires, metals, pieces and labels as plain geometry."""

    def __init__(self, svg):
        self.root = ET.fromstring(svg)
        self.groups = [group for group in self.root.iter(f"{SVG}g")]
        self.wires = {group.get("data-wire"): stretches(group.find(f"{SVG}path").get("d")) for group in self.of("wire")}
        self.metals = [(group.get("data-terminals").split(), stretches(group.find(f"{SVG}path").get("d")),
                        self.dots(group, "tap")) for group in self.of("metal")]
        self.pins = [pin for group in self.of("part") for pin in self.dots(group, "terminal")]
        self.leads = [stretches(path.get("d")) for group in self.of("part") for path in group.iter(f"{SVG}path")
                      if path.get("class") == "lead"]
        self.texts = [(element.text, self.box_of(element)) for element in self.root.iter(f"{SVG}text")]

    def of(self, kind):
        return [group for group in self.groups if (group.get("class") or "").split()[:1] == [kind]]

    @staticmethod
    def dots(group, kind):
        return [(dot.get("data-terminal"), float(dot.get("cx")), float(dot.get("cy")))
                for dot in group.iter(f"{SVG}circle") if dot.get("class") == kind]

    @staticmethod
    def box_of(element):
        x, y, size = float(element.get("x")), float(element.get("y")), float(element.get("font-size"))
        letters = width_in(element.text, size, bool(element.get("font-weight")))
        return x, y - 0.76 * size, x + letters, y + 0.2 * size

    def connections(self, interrupted=()):
        """Read from the lines alone which two terminals each wire joins; those named may be interrupted once on their way."""
        places = {}
        shared = set()
        for terminals, lines, taps in self.metals:
            shared |= set(terminals)
            for terminal, x, y in taps:
                assert any(distance(line, x, y) < 3 for line in lines), f"{terminal} is not on its bar"
                places.setdefault((round(x), round(y)), set()).add(terminal)
        for terminal, x, y in self.pins:
            if terminal in shared:
                lines = next(lines for terminals, lines, _ in self.metals if terminal in terminals)
                assert any(distance(line, x, y) < NEAR for line in lines), f"{terminal} is not joined to its bar"
            else:
                places.setdefault((round(x), round(y)), set()).add(terminal)
        found = {}
        for wire, lines in self.wires.items():
            gaps = 0
            for (_, _, x, y), (next_x, next_y, _, _) in zip(lines, lines[1:]):
                gaps += (x, y) != (next_x, next_y)
            assert gaps <= (wire in interrupted), f"{wire} is broken"
            ends = (lines[0][:2], lines[-1][2:])
            found[wire] = [places.get((round(x), round(y)), set()) for x, y in ends]
        return found


def distance(line, x, y):
    """Distance of a point from an upright or level stretch."""
    left, right = sorted((line[0], line[2]))
    top, low = sorted((line[1], line[3]))
    return max(left - x, 0, x - right) + max(top - y, 0, y - low)


def overlap(first, second, room=0.0):
    """Tell whether two boxes overlap by more than ``room``."""
    return (min(first[2], second[2]) - max(first[0], second[0]) > room
            and min(first[3], second[3]) - max(first[1], second[1]) > room)


def meetings(boxes, others=None, room=0.0):
    """Return the numbers of each two boxes that overlap by more than ``room``: of one list, or of one list and another."""
    one = np.array(boxes, dtype=float).reshape(-1, 4)
    two = one if others is None else np.array(others, dtype=float).reshape(-1, 4)
    meet = np.ones((len(one), len(two)), dtype=bool)
    for near, far in ((0, 2), (1, 3)):
        meet &= np.minimum(one[:, None, far], two[:, far]) - np.maximum(one[:, None, near], two[:, near]) > room
    return np.argwhere(np.triu(meet, 1) if others is None else meet).tolist()


def box(line, half=0.0):
    left, right = sorted((line[0], line[2]))
    top, low = sorted((line[1], line[3]))
    return left - half, top - half, right + half, low + half


def shapes_of(symbol):
    """Return the boxes of everything schemdraw drew of a symbol, in every state; slanted blades cut into short bits."""
    boxes = []
    for state in [state for state, _ in symbol.piece.closed] or ["", "blown", "operated"]:
        for shape in ET.fromstring(f"<g>{drawn(symbol, state)}</g>"):
            if shape.tag.endswith("circle"):
                x, y, r = (float(shape.get(name)) for name in ("cx", "cy", "r"))
                boxes.append((x - r, y - r, x + r, y + r))
                continue
            values = numbers(shape.get("d") or shape.get("points"))
            points = list(zip(values[::2], values[1::2], strict=True))
            points += points[:1] if shape.tag.endswith("polygon") else []
            for (x, y), (to_x, to_y) in zip(points, points[1:]):
                for part in range(8):
                    a, b = part / 8, (part + 1) / 8
                    bit = x + a * (to_x - x), y + a * (to_y - y), x + b * (to_x - x), y + b * (to_y - y)
                    boxes.append(box(bit, 0.6))
    return boxes


def faults(sheet, picture):
    """Return every defect of a picture in words; an empty list is a good picture."""
    names, labels = [label.text for label in sheet.labels], [label.box for label in sheet.labels]
    found = [f"label '{names[a]}' on label '{names[b]}'" for a, b in meetings(labels, room=0.2)]
    found += [f"label '{text}' is off the sheet" for text, (left, top, right, low) in [*zip(names, labels), *picture.texts]
              if left < 0 or top < 0 or right > sheet.width or low > sheet.height]
    symbols, own = [symbol.piece.key for symbol in sheet.symbols], [symbol.box for symbol in sheet.symbols]
    found += [f"symbol {symbols[a]} on symbol {symbols[b]}" for a, b in meetings(own)]
    lines = [(name, line) for name, own_lines in picture.wires.items() for line in own_lines]
    lines += [(" ".join(terminals[:3]), line) for terminals, own_lines, _ in picture.metals for line in own_lines]
    found += [f"{lines[a][0]} through symbol {symbols[b]}"
              for a, b in meetings([box(line, 0.5) for _, line in lines], own, 0.6)]
    found += [f"{lines[a][0]} through label '{names[b]}'" for a, b in meetings([box(line, 1.0) for _, line in lines], labels)]
    for (one, a), (two, b) in ((lines[a], lines[b]) for a, b in meetings([box(line, 1.2) for _, line in lines], room=1.9)):
        if one != two and a[:2] != a[2:] and b[:2] != b[2:] and (a[0] == a[2]) == (b[0] == b[2]):
            if overlap(box(a, 1.2), box(b, 1.2), 2.0 if a[0] == a[2] else 1.9) and along(a, b) > 5:
                found.append(f"{one} runs on top of {two}")
    shapes = [shape for symbol in sheet.symbols for shape in shapes_of(symbol)]
    shapes += [box(line, 0.8) for leads in picture.leads for line in leads]
    return found + [f"label '{names[a]}' on a symbol's lines" for a, _ in meetings(labels, shapes)]


def along(a, b):
    """Return how far two parallel stretches run side by side."""
    one, two = box(a), box(b)
    return max(min(one[2], two[2]) - max(one[0], two[0]), min(one[3], two[3]) - max(one[1], two[1]))

"""Reading an attached drawing back: from SVG to plain geometry, from geometry to connections and to defects."""

from reading_pictures import NEAR, SVG, Picture, box, distance, meetings, stretches


class AttachedPicture(Picture):
    """An attached SVG read back: wires, joints, what is drawn inside the blocks, blades and labels."""

    def __init__(self, svg):
        super().__init__(svg)
        self.outlines = {group.get("data-part"): self._box(next(rect for rect in group.iter(f"{SVG}rect")
                                                                if rect.get("class") == "block"))
                         for group in self.of("part")}
        self.blades = {rect.get("data-terminal"): self._box(rect) for rect in self.root.iter(f"{SVG}rect")
                       if rect.get("class") == "blade"}
        self.shapes = [(group.get("data-part"), shape) for group in self.of("part") for shape in self._shapes(group)]

    @staticmethod
    def _box(rect):
        left, top, width, height = (float(rect.get(name)) for name in ("x", "y", "width", "height"))
        return left, top, left + width, top + height

    def _shapes(self, group):
        """Return the boxes of every stroke of a block; slanted ones cut into short bits."""
        for shape in group.iter():
            kind, half = shape.tag.removeprefix(SVG), float(shape.get("stroke-width") or 1) / 2
            if kind == "circle" and shape.get("class") != "glow":
                x, y, r = (float(shape.get(name)) for name in ("cx", "cy", "r"))
                yield x - r, y - r, x + r, y + r
            elif kind == "rect":
                left, top, right, low = self._box(shape)
                for line in ((left, top, right, top), (left, low, right, low), (left, top, left, low),
                             (right, top, right, low)):
                    yield box(line, half)
            elif kind == "path" and "Z" not in shape.get("d"):
                for x, y, to_x, to_y in stretches(shape.get("d")):
                    for bit in range(8):
                        a, b = bit / 8, (bit + 1) / 8
                        yield box((x + a * (to_x - x), y + a * (to_y - y), x + b * (to_x - x), y + b * (to_y - y)), half)

    def connections(self):
        """Read from the lines alone which two terminals each wire joins."""
        found = {}
        for wire, lines in self.wires.items():
            for (_, _, x, y), (next_x, next_y, _, _) in zip(lines, lines[1:]):
                assert (x, y) == (next_x, next_y), f"{wire} is broken"
            found[wire] = [{terminal for terminal, x, y in self.pins if abs(x - end_x) + abs(y - end_y) < NEAR}
                           for end_x, end_y in (lines[0][:2], lines[-1][2:])]
        return found

    def crossings(self):
        """Count the places where two wires cross."""
        flat, upright = [], []
        for name, lines in self.wires.items():
            for line in lines:
                (flat if line[1] == line[3] else upright).append((name, box(line)))
        return sum(one != two and a[0] < b[0] < a[2] and b[1] < a[1] < b[3] for one, a in flat for two, b in upright)


def faults(sheet, picture):
    """Return every defect of an attached picture in words; an empty list is a good picture."""
    names, labels = [label.text for label in sheet.labels], [label.box for label in sheet.labels]
    found = [f"label '{names[a]}' on label '{names[b]}'" for a, b in meetings(labels, room=0.2)]
    end = float(picture.root.get("viewBox").split()[3])      # of the picture, which has sentences below the sheet
    found += [f"label '{text}' is off the sheet" for own, high in ((zip(names, labels), sheet.height), (picture.texts, end))
              for text, (left, top, right, low) in own if left < 0 or top < 0 or right > sheet.width or low > high]
    texts = [(picture.texts[a], picture.texts[b]) for a, b in meetings([own for _, own in picture.texts], room=0.2)]
    found += [f"'{a}' below the sheet on '{b}'" for (a, one), (b, two) in texts if max(one[3], two[3]) > sheet.height]
    blocks, outlines = list(picture.outlines), list(picture.outlines.values())
    found += [f"block {blocks[a]} on block {blocks[b]}" for a, b in meetings(outlines)]
    found += [f"block {name} is off the sheet" for name, (left, top, right, low) in picture.outlines.items()
              if left < 0 or top < 0 or right > sheet.width or low > sheet.height]
    inside = meetings(labels, [shape for _, shape in picture.shapes], 0.1)
    found += [f"label '{names[a]}' on the lines of {picture.shapes[b][0]}" for a, b in inside]
    lines = [(name, line) for name, own in picture.wires.items() for line in own]
    found += [f"{lines[a][0]} through block {blocks[b]}"
              for a, b in meetings([box(line, 0.5) for _, line in lines], outlines, 0.6)]
    found += [f"{lines[a][0]} through label '{names[b]}'" for a, b in meetings([box(line, 1.0) for _, line in lines], labels)]
    return found + astray(sheet, picture, lines)


def astray(sheet, picture, lines):
    """Return in words which wires run aslant, leave the sheet, or run or turn on another."""
    found = [f"{name} runs aslant" for name, line in lines if line[0] != line[2] and line[1] != line[3]]
    found += [f"{name} leaves the sheet" for name, line in lines
              if not (0 <= min(line[0], line[2]) and max(line[0], line[2]) <= sheet.width
                      and 0 <= min(line[1], line[3]) and max(line[1], line[3]) <= sheet.height)]
    for (one, a), (two, b) in ((lines[a], lines[b]) for a, b in meetings([box(line, 2.5) for _, line in lines])):
        if one != two and (a[0] == a[2]) == (b[0] == b[2]):
            found.append(f"{one} runs on top of {two}")
    corners = [(wire, line[2:]) for wire, own in picture.wires.items() for line in own[:-1]]
    near = meetings([box((*corner, *corner), 2.5) for _, corner in corners], [box(line) for _, line in lines], -1e-6)
    found += [f"{corners[a][0]} turns on {lines[b][0]}" for a, b in near
              if corners[a][0] != lines[b][0] and distance(lines[b][1], *corners[a][1]) < 2.5]
    return found

"""The schematic, judged by geometry: what is drawn is read back from the picture and compared with the arrangement."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import lru_cache
from itertools import combinations

import pytest
from random_arrangements import random_arrangement

from circuitlab.arrangements import Arrangement, arrangement, arrangement_names
from circuitlab.ground.errors import FileError
from circuitlab.parts import Battery, Chassis, Control, Fuse, Lamp, Relay, Switch, Wire
from circuitlab.solving import operating_point
from circuitlab.views.schematic import describe, draw, lay_out, save_picture
from circuitlab.views.schematic.symbols import drawn

SVG = "{http://www.w3.org/2000/svg}"
NEAR = 0.6          # px: closer than this is the same place
SEEDS = range(50)
EVERY = [*arrangement_names(), *SEEDS]


@lru_cache(maxsize=None)
def made(which):
    return random_arrangement(which) if isinstance(which, int) else arrangement(which)


@lru_cache(maxsize=1)
def face():
    """DejaVu Sans, one of the widest of the sans-serif faces a browser may take."""
    import matplotlib
    from PIL import ImageFont
    return ImageFont.truetype(f"{matplotlib.get_data_path()}/fonts/ttf/DejaVuSans.ttf", 100)


@lru_cache(maxsize=1)
def bold_face():
    import matplotlib
    from PIL import ImageFont
    return ImageFont.truetype(f"{matplotlib.get_data_path()}/fonts/ttf/DejaVuSans-Bold.ttf", 100)


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
        return [(dot.get("data-terminal"), float(dot.get("cx")), float(dot.get("cy"))) for dot in group.iter(f"{SVG}circle")
                if dot.get("class") == kind]

    @staticmethod
    def box_of(element):
        x, y, size = float(element.get("x")), float(element.get("y")), float(element.get("font-size"))
        letters = (bold_face() if element.get("font-weight") else face()).getlength(element.text)
        return x, y - 0.76 * size, x + letters * size / 100, y + 0.2 * size

    def connections(self):
        """Read from the lines alone which two terminals each wire joins."""
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
            for (_, _, x, y), (next_x, next_y, _, _) in zip(lines, lines[1:]):
                assert (x, y) == (next_x, next_y), f"{wire} is broken"
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


def box(line, half=0.0):
    return (min(line[0], line[2]) - half, min(line[1], line[3]) - half, max(line[0], line[2]) + half, max(line[1], line[3]) + half)


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
                    boxes.append(box((x + a * (to_x - x), y + a * (to_y - y), x + b * (to_x - x), y + b * (to_y - y)), 0.6))
    return boxes


def faults(sheet, picture):
    """Return every defect of a picture in words; an empty list is a good picture."""
    found = []
    labels = [(label.text, label.box) for label in sheet.labels]
    found += [f"label '{a}' on label '{b}'" for (a, one), (b, two) in combinations(labels, 2) if overlap(one, two, 0.2)]
    found += [f"label '{text}' is off the sheet" for text, (left, top, right, low) in labels + picture.texts
              if left < 0 or top < 0 or right > sheet.width or low > sheet.height]
    found += [f"symbol {a.piece.key} on symbol {b.piece.key}" for a, b in combinations(sheet.symbols, 2) if overlap(a.box, b.box)]
    lines = [(name, line) for name, own in picture.wires.items() for line in own]
    lines += [(" ".join(terminals[:3]), line) for terminals, own, _ in picture.metals for line in own]
    for name, line in lines:
        found += [f"{name} through symbol {symbol.piece.key}" for symbol in sheet.symbols if overlap(box(line, 0.1), symbol.box, 0.3)]
        found += [f"{name} through label '{text}'" for text, own in labels if overlap(box(line, 1.0), own)]
    for (one, a), (two, b) in combinations(lines, 2):
        if one != two and a[:2] != a[2:] and b[:2] != b[2:] and (a[0] == a[2]) == (b[0] == b[2]):
            if overlap(box(a, 1.2), box(b, 1.2), 2.0 if a[0] == a[2] else 1.9) and along(a, b) > 5:
                found.append(f"{one} runs on top of {two}")
    leads = [line for own in picture.leads for line in own]
    shapes = [shape for symbol in sheet.symbols for shape in shapes_of(symbol)] + [box(line, 0.8) for line in leads]
    found += [f"label '{text}' on a symbol's lines" for text, own in labels for shape in shapes if overlap(own, shape)]
    return found


def along(a, b):
    """Return how far two parallel stretches run side by side."""
    one, two = box(a), box(b)
    return max(min(one[2], two[2]) - max(one[0], two[0]), min(one[3], two[3]) - max(one[1], two[1]))


@pytest.mark.parametrize("which", EVERY)
def test_nothing_overlaps(which):
    assert faults(lay_out(made(which)), Picture(draw(made(which)))) == []


@pytest.mark.parametrize("which", EVERY)
def test_the_picture_reads_back_as_the_arrangement(which):
    whole, picture = made(which), Picture(draw(made(which)))
    read = picture.connections()
    assert sorted(group.get("data-wire") for group in picture.of("wire")) == sorted(wire.name for wire in whole.wires)
    for wire in whole.wires:
        assert sorted(map(sorted, read[wire.name])) == sorted([[wire.start], [wire.end]]), wire.name
    drawn_parts = [group.get("data-part") for group in picture.of("part") + picture.of("metal")]
    assert set(drawn_parts) == {part.name for part in whole.parts}
    pins = [terminal for terminal, _, _ in picture.pins] + [end for ends, _, _ in picture.metals for end in ends]
    assert set(pins) == set(whole.terminals)
    ids = [element.get("id") for element in picture.root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("which", EVERY)
def test_drawn_widths_fit_the_boxes_kept_for_them(which):
    """The room kept for each label is no less than a wide sans-serif face needs."""
    for label in lay_out(made(which)).labels:
        letters = (bold_face() if label.bold else face()).getlength(label.text) * label.size / 100
        assert letters <= label.box[2] - label.box[0] + 0.5, label.text


def test_the_words_name_every_part_and_every_wire():
    for which in arrangement_names():
        whole = made(which)
        for point in (None, operating_point(whole)):
            words = describe(whole, point)
            for part in whole.parts:
                assert f"{part.kind} {part.name}" in words
            for wire in whole.wires:
                there, back = (f"From {a}, wire {wire.name} {wire.colour} " for a in wire.terminals)
                assert words.count(there) + words.count(back) == 1


def test_planted_defects_are_found():
    """The judge itself is judged: a moved symbol, label, wire and end are all noticed."""
    whole = made("shared-filament-rear-relays")
    sheet, svg = lay_out(whole), draw(whole)
    first, second, *rest = sheet.symbols
    moved = replace(sheet, symbols=(replace(first, xs=second.xs, left=second.left, right=second.right, top=second.top),
                                    second, *rest))
    assert any("on symbol" in fault for fault in faults(moved, Picture(svg)))
    label = replace(sheet.labels[0], x=sheet.labels[9].x, y=sheet.labels[9].y)
    assert any("on label" in fault for fault in faults(replace(sheet, labels=(label, *sheet.labels[1:])), Picture(svg)))
    assert any("off the sheet" in fault for fault in faults(replace(sheet, width=200.0), Picture(svg)))
    wire = sheet.wires[4].lines[0]
    across = svg.replace(f"M{sheet.wires[0].lines[0][0]:g} {sheet.wires[0].lines[0][1]:g}", f"M{wire[0]:g} {wire[1]:g}")
    assert Picture(across).connections()["W1"] != Picture(svg).connections()["W1"]
    on_top = Picture(svg)
    on_top.wires["W1"] = [wire]
    assert any("runs on top of" in fault for fault in faults(sheet, on_top))


def test_the_same_input_gives_the_same_bytes():
    whole = made("shared-filament-four-relays-hazard")
    before = draw(whole)
    lay_out.cache_clear()
    drawn.cache_clear()
    assert draw(arrangement("shared-filament-four-relays-hazard")) == before


def test_contacts_stand_as_the_operating_point_says():
    whole = made("shared-filament-rear-relays")
    at_rest = operating_point(whole, {"key": "on"})
    turned = operating_point(whole, {"key": "on", "turn lever": "left"}, phases="on")
    for point, state in ((at_rest, "released"), (turned, "operated")):
        group = next(group for group in Picture(draw(whole, point)).of("part") if group.get("id") == "part-K1.contact")
        assert group.get("data-state") == point.states["K1"] == state
    contact = next(symbol for symbol in lay_out(whole).symbols if symbol.piece.key == "K1.contact")
    assert len({drawn(contact, state) for state in ("released", "gap", "operated")}) == 3


def test_a_lit_lamp_shows_its_light_and_its_volts_and_a_live_wire_is_heavy():
    whole = made("shared-filament-rear-relays")
    point = operating_point(whole, {"brake pedal": "held"})
    picture = Picture(draw(whole, point))
    for lamp in ("E1", "E3"):
        group = next(group for group in picture.of("part") if group.get("data-part") == lamp)
        said = [text.text for text in group.iter(f"{SVG}text")]
        glows = [shape for shape in group.iter(f"{SVG}circle") if shape.get("class") == "glow"]
        assert f"{abs(point.lamp_volts(lamp)):.1f} V" in said
        assert bool(glows) == (point.light(lamp) > 0.01)
        assert (f"{100 * point.light(lamp):.0f} %" in said) == bool(glows)
    assert point.light("E1") > 0.3 and point.light("E3") == 0
    widths = {group.get("data-wire"): float(group.find(f"{SVG}path").get("stroke-width")) for group in picture.of("wire")}
    for wire in whole.wires:
        live = point.is_live(wire.start) or point.is_live(wire.end)
        assert (widths[wire.name] > 4) == live, wire.name


def test_a_blown_fuse_is_drawn_open_and_what_floats_is_dashed():
    whole = replace(made("one-fused-lamp"), held=(("F1", "blown"),))
    point = operating_point(whole)
    picture = Picture(draw(whole, point))
    fuse = next(group for group in picture.of("part") if group.get("data-part") == "F1")
    assert fuse.get("data-state") == "blown" and "blown" in [text.text for text in fuse.iter(f"{SVG}text")]
    symbol = next(symbol for symbol in lay_out(whole).symbols if symbol.piece.key == "F1")
    assert drawn(symbol, "blown") != drawn(symbol, "whole")
    dashed = {group.get("data-wire") for group in picture.of("wire") if group.find(f"{SVG}path").get("stroke-dasharray")}
    floating = {wire.name for wire in whole.wires if point.volts(wire.start) is None and point.volts(wire.end) is None}
    assert dashed == floating and floating


def test_a_point_that_does_not_settle_says_so():
    """A relay whose coil hangs on its own break contact buzzes."""
    buzzer = Arrangement("buzzer", parts=[Battery("G1"), Relay("K1")], wires=[
        Wire("W1", "G1:+", "K1:30", "RD"), Wire("W2", "K1:87a", "K1:86", "YE"), Wire("W3", "K1:85", "G1:-", "BK")])
    point = operating_point(buzzer)
    assert not point.is_settled
    assert point.sentence[:20] in "".join(text for text, _ in Picture(draw(buzzer, point)).texts)
    assert point.sentence in describe(buzzer, point)


HOSTILE = ('<script>"x"&\'y\'</script>', "$E=mc^2$ & co", "左後ろの灯り 左後ろの灯り", "خلفي أيسر", "a" * 300, "]]>\x00", "   ")


def test_hostile_names_break_nothing():
    parts = [Battery("G1"), Chassis("X<1>")]
    wires = []
    for number, text in enumerate(HOSTILE):
        name = f"{text}{number}".replace(":", "")
        parts += [Fuse(name, place=text), Lamp(f"E {name}", place=text), Switch(f"S&{name}", text, {text: [("<", "&")]})]
        wires += [Wire(f"W>{name}", "G1:+", f"{name}:1"), Wire(f"V{name}", f"{name}:2", f"S&{name}:<", "RDBU"),
                  Wire(f"U{name}", f"S&{name}:&", f"E {name}:1"), Wire(f"T{name}", f"E {name}:2", "X<1>:1")]
    controls = [Control(text, ("off", text)) for text in HOSTILE]
    whole = Arrangement(HOSTILE[0], controls, parts, wires)
    picture = Picture(draw(whole, operating_point(whole), prefix='p"<'))
    assert len(picture.of("wire")) == len(wires)
    assert not list(picture.root.iter(f"{SVG}script"))
    assert all(left >= 0 and right <= lay_out(whole).width for text, (left, _, right, _) in picture.texts if text.isascii())


def test_a_picture_can_be_saved(tmp_path):
    whole = made("one-fused-lamp")
    save_picture(whole, tmp_path / "lamp.svg")
    assert ET.parse(tmp_path / "lamp.svg").getroot().get("role") == "img"
    with pytest.raises(FileError, match=r"End it in \.svg"):
        save_picture(whole, tmp_path / "lamp.png")

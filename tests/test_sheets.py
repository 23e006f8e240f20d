"""What a sheet shows on request: a traced path, a difference, readings; a long sheet in pages; a changed sheet like before."""

import re
from dataclasses import replace
from functools import lru_cache
from itertools import combinations
from random import Random

import pytest
from random_arrangements import random_arrangement
from reading_attached import AttachedPicture
from reading_attached import faults as attached_faults
from reading_pictures import SVG, Picture, box, faults, overlap

from circuitlab.arrangements import AddWire, Arrangement, Hold, MoveWire, arrangement, arrangement_names, changed
from circuitlab.ground.errors import UnknownName
from circuitlab.parts import Battery, Relay, Wire
from circuitlab.reasoning.paths import path_to
from circuitlab.solving import operating_point
from circuitlab.views.attached import draw_attached, lay_out_attached, pages_attached
from circuitlab.views.attached.pages import cut as cut_attached
from circuitlab.views.schematic import draw, lay_out, pages
from circuitlab.views.schematic.pages import cut
from circuitlab.views.schematic.readings import slots
from circuitlab.views.point_words import amps_text, volts_text

ROW = {"key": "on", "turn lever": "left", "brake pedal": "held"}
LONG = [(1, 6), (4, 8), ("trailer-separate-to-combined", 7), ("shared-filament-four-relays-hazard", 12)]


@lru_cache(maxsize=None)
def cart():
    whole = arrangement("shared-filament-rear-relays")
    return whole, operating_point(whole, ROW)


@lru_cache(maxsize=None)
def long_one(which):
    return random_arrangement(which) if isinstance(which, int) else arrangement(which)


def stressed(svg, kind):
    """Return the lines and boxes of one kind of emphasis."""
    root = Picture(svg).root
    lines = {path.get("d") for path in root.iter(f"{SVG}path") if path.get("class") == kind}
    boxes = [tuple(float(rect.get(name)) for name in ("x", "y", "width", "height")) for rect in root.iter(f"{SVG}rect")
             if rect.get("class") == kind]
    return lines, boxes


def drawn_lines(svg):
    """Return for every wire and metal the path it is drawn with."""
    picture = Picture(svg)
    return {group.get("data-wire") or group.get("id").removeprefix("metal-"): group.find(f"{SVG}path").get("d")
            for group in picture.of("wire") + picture.of("metal")}


# ------------------------------------------------------------------ traced and marked

def test_a_traced_path_stands_on_a_band_and_nothing_else_does():
    whole, point = cart()
    path = path_to(point, "E1")
    svg = draw(whole, point, trace=path.names + path.terminals)
    lines, boxes = stressed(svg, "trace")
    known = {d: name for name, d in drawn_lines(svg).items()}
    names = {known[d] for d in lines}
    wires = {wire.name for wire in whole.wires}
    assert names & wires == set(path.names) & wires and {"X2", "X4", "X1"} <= names and "X3" not in names
    banded = {symbol.piece.key for symbol in lay_out(whole).symbols
              if any(abs(symbol.left - 3 - x) < 0.1 and abs(symbol.top - 3 - y) < 0.1 for x, y, _, _ in boxes)}
    assert "K1.contact" in banded and "K1.coil" not in banded       # current to the lamp does not pass the coil
    assert {key.partition(".")[0] for key in banded} == {name for name in path.names if name[0] in "FSKE"}
    assert f"Traced, on a grey band: {', '.join(name for name in ('F2', 'S1', 'S3', 'K1', 'K9', 'E1'))}" in svg


def test_a_part_named_without_terminals_is_traced_whole():
    whole, _ = cart()
    _, boxes = stressed(draw(whole, trace=["K1"]), "trace")
    assert len(boxes) == 2


def test_the_difference_of_two_arrangements_is_marked():
    whole, point = cart()
    other = changed(whole, MoveWire("W16", "K1:87", "K1:87a"))
    moved = [wire.name for wire in other.wires if wire not in whole.wires]
    svg = draw(other, marked=moved)
    lines, boxes = stressed(svg, "marked")
    assert lines == {drawn_lines(svg)["W16"]} and not boxes
    assert "Marked, on beads: W16." in [text for text, _ in Picture(svg).texts]
    assert 'stroke-dasharray="0.1 14"' in svg and 'class="trace"' not in svg
    assert draw(other, marked=[]) == draw(other)


def test_the_attached_form_traces_and_marks_too():
    whole, point = cart()
    path = path_to(point, "E1")
    svg = draw_attached(whole, point, trace=path.names, marked=["W9", "K2"])
    lines, boxes = stressed(svg, "trace")
    drawn = drawn_lines(svg)
    assert lines == {drawn[name] for name in path.names if name in drawn}
    assert len(boxes) == len([name for name in path.names if name not in drawn])
    lines, boxes = stressed(svg, "marked")
    left, top, right, low = next(block.box for block in lay_out_attached(whole).blocks if block.part == "K2")
    assert lines == {drawn["W9"]} and boxes == [(left - 3, top - 3, right - left + 6, low - top + 6)]


@pytest.mark.parametrize("make", [draw, draw_attached])
def test_an_unknown_name_to_trace_is_said(make):
    with pytest.raises(UnknownName, match="Did you mean 'W16'"):
        make(cart()[0], trace=["W166"])
    with pytest.raises(UnknownName, match="no terminal '88'"):
        make(cart()[0], marked=["K1:88"])


# ------------------------------------------------------------------ readings

@pytest.mark.in_turn(6)
@pytest.mark.parametrize("name", arrangement_names())
def test_readings_tell_every_volt_and_amp_and_lie_on_nothing(name):
    whole = arrangement(name)
    point = operating_point(whole, {control.name: control.positions[-1] for control in whole.controls})
    if not point.is_settled:
        point = operating_point(whole)
    sheet, picture = lay_out(whole), Picture(draw(whole, point, readings=True))
    plain = Picture(draw(whole, point))
    more = picture.texts[len(plain.texts):]
    above = [(text, own) for text, own in more if own[3] < sheet.height]
    table = " ".join(text for text, own in more if own[3] >= sheet.height)
    table = re.split(r" (?=Dead, and a ghost of|Where it floats, )", table)[0]      # sentences about them follow
    found = {}
    for kind, items in re.findall(r"((?:\N{MINUS SIGN}?[\d.]+ m?[VA]|floats) (?:at|in)) (.*?)(?=;|$)", table):
        found.update((item, kind[:-3]) for item in items.split(", "))
    for slot in slots(sheet):
        text = amps_text(point.current(slot.name), slot.arrow if slot.x is not None else None) if slot.kind == "amps" \
            else volts_text(point, slot.name)
        if slot.x is None:
            assert found[slot.name] == text, slot.name
        else:
            assert any(said == text for said, _ in above), slot.name
    told = {slot.name for slot in slots(sheet)}
    assert {wire.name for wire in whole.wires} <= told
    barred = {terminal for metal in sheet.metals for terminal in metal.terminals}
    assert set(whole.terminals) - set(whole.loose) - barred <= told
    assert all(set(metal.terminals) & told for metal in sheet.metals)
    blocked = [own for _, own in plain.texts] + [symbol.box for symbol in sheet.symbols]
    blocked += [box(line, 2.5) for own in picture.wires.values() for line in own]
    blocked += [box(line, 2.5) for _, own, _ in picture.metals for line in own]
    assert not [text for text, own in above for other in blocked if overlap(own, other, 0.3)]
    assert not [a for (a, one), (b, two) in combinations(more, 2) if overlap(one, two, 0.3)]
    wide, high = sheet.width, float(picture.root.get("viewBox").split()[3])
    assert all(0 <= own[0] and own[2] <= wide and own[3] <= high for _, own in more)


def test_the_arrow_of_a_current_points_the_way_it_runs():
    """Down to a lamp on the sheet, and up where the wire was laid the other way round by nobody but the drawing."""
    whole, point = cart()
    draw(whole, point, readings=True)
    read = {slot.name: slot for slot in slots(lay_out(whole)) if slot.kind == "amps" and slot.x is not None}
    assert point.current("W15") > 1 and amps_text(point.current("W15"), read["W15"].arrow).endswith("\N{DOWNWARDS ARROW}")
    assert amps_text(-point.current("W15"), read["W15"].arrow).endswith("\N{UPWARDS ARROW}")
    assert amps_text(0.0, read["W15"].arrow) == "0 A"


def test_what_floats_reads_as_floating_and_what_does_not_settle_reads_nothing():
    whole = changed(arrangement("one-fused-lamp"), Hold("F1", "blown"))
    said = " ".join(text for text, _ in Picture(draw(whole, operating_point(whole), readings=True)).texts)
    assert "floats" in said
    buzzer = Arrangement("buzzer", parts=[Battery("G1"), Relay("K1")], wires=[
        Wire("W1", "G1:+", "K1:30", "RD"), Wire("W2", "K1:87a", "K1:86", "YE"), Wire("W3", "K1:85", "G1:-", "BK")])
    point = operating_point(buzzer)
    assert draw(buzzer, point, readings=True) == draw(buzzer, point)
    assert draw(buzzer, readings=True) == draw(buzzer)


# ------------------------------------------------------------------ pages

@pytest.mark.in_turn(3)
@pytest.mark.parametrize(("which", "most"), LONG)
def test_a_long_sheet_is_cut_into_pages_that_have_no_faults_and_lose_nothing(which, most):
    whole = long_one(which)
    sheet, pictures = lay_out(whole), [Picture(page) for page in pages(whole, most=most)]
    sheets = cut(sheet, most)
    assert len(sheets) == len(pictures) > 1
    assert max(len(page.columns) for page in sheets) <= 1.5 * most and sum(len(page.columns) for page in sheets) == len(sheet.columns)
    for page, picture in zip(sheets, pictures, strict=True):
        assert faults(page, picture) == []
    pieces = [symbol.piece.key for page in sheets for symbol in page.symbols]
    assert sorted(pieces) == sorted(symbol.piece.key for symbol in sheet.symbols)
    assert {name for picture in pictures for name in picture.wires} == {wire.name for wire in whole.wires}
    numbers = [label.text for page in sheets for label in page.labels if label.owner == "path"]
    assert numbers == [str(number) for number in range(1, len(sheet.columns) + 1)]
    labels = sorted(label.text for page in sheets for label in page.labels if label.owner not in ("title", "page"))
    assert labels == sorted(label.text for label in sheet.labels if label.owner not in ("title", "key"))
    ids = [element.get("id") for picture in pictures for element in picture.root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(("which", "most"), LONG)
def test_what_leaves_a_page_comes_in_on_the_next_one(which, most):
    sheets = cut(lay_out(long_one(which)), most)
    for number, (page, following) in enumerate(zip(sheets, sheets[1:]), 1):
        goes = {(label.y, label.text.partition(" \N{RIGHTWARDS ARROW}")[0]) for label in page.labels
                if label.text.endswith(f"\N{RIGHTWARDS ARROW} p. {number + 1}")}
        comes = {(label.y, label.text.partition(" \N{LEFTWARDS ARROW}")[0]) for label in following.labels
                 if label.text.endswith(f"\N{LEFTWARDS ARROW} p. {number}")}
        assert goes == comes and goes
        for y, _ in goes:
            lines = [line for own in (*page.wires, *page.metals) for line in own.lines]
            assert any(line[1] == line[3] == y - 4 and max(line[0], line[2]) > page.width - 100 for line in lines)


def test_a_short_sheet_is_one_page_the_same_as_drawn():
    whole, point = cart()
    assert pages(whole, point, readings=True) == (draw(whole, point, readings=True),)
    assert len(pages(whole, most=4)) > 1


# ------------------------------------------------------------------ like before

def reordered(before, after):
    """Return the share of pairs of symbols that have changed sides. [1]"""
    there, here = ({symbol.piece.key: symbol.xs[0] for symbol in sheet.symbols} for sheet in (before, after))
    pairs = list(combinations(there, 2))
    return sum((there[a] - there[b]) * (here[a] - here[b]) < 0 for a, b in pairs) / len(pairs)


@pytest.mark.full
def test_one_more_wire_does_not_reshuffle_the_sheet():
    """Any wire, in any arrangement of the kit: with the sheet before as a hint nearly everything stays where it was."""
    like, anew = [], []
    for name in arrangement_names()[::2]:
        whole, chance = arrangement(name), Random(name)
        before = lay_out(whole)
        for _ in range(1):
            more = changed(whole, AddWire(Wire("W99", *chance.sample(whole.terminals, 2), "VT")))
            after = lay_out(more, before)
            like.append(reordered(before, after))
            anew.append(reordered(before, lay_out(more)))
            picture = Picture(draw(more, like=before))
            assert faults(after, picture) == []
            for wire in more.wires:
                assert sorted(map(sorted, picture.connections({"W99"})[wire.name])) == sorted([[wire.start], [wire.end]])
    assert sum(like) / len(like) < 0.06 < sum(anew) / len(anew)
    assert sorted(like)[len(like) // 2] < 0.02


def test_without_a_change_the_sheet_before_is_the_sheet():
    whole, _ = cart()
    before = lay_out(whole)
    assert lay_out(whole, before) is before
    assert lay_out(changed(whole, Hold("F1", "blown")), before) is before


# ------------------------------------------------------------------ the attached form: readings and pages

def one_end_from_the_other(picture, name):
    """Return for both ends of a wire which way it leaves its block: 1 to the right, -1 to the left."""
    (x, _, to_x, _), (back, _, last, _) = picture.wires[name][0], picture.wires[name][-1]
    return (to_x > x) - (to_x < x), (back > last) - (back < last)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("name", ["shared-filament-rear-relays", "hazard-by-diodes", "insulated-body", 4, 9])
def test_the_attached_form_tells_volts_and_amps_at_both_ends_of_every_wire(name):
    """Each reading is in the line of the end it speaks of, and its arrow points the way the current runs there."""
    whole = long_one(name)
    point = operating_point(whole, {control.name: control.positions[-1] for control in whole.controls})
    assert point.is_settled
    sheet, picture = lay_out_attached(whole, readings=True), AttachedPicture(draw_attached(whole, point, readings=True))
    assert attached_faults(sheet, picture) == []
    arrows = {1: "\N{RIGHTWARDS ARROW}", -1: "\N{LEFTWARDS ARROW}"}
    wanted = []
    for wire in whole.wires:
        own = picture.wires[wire.name]
        ends = zip((wire.start, wire.end), one_end_from_the_other(picture, wire.name), (own[0][:2], own[-1][2:]), (1, -1))
        for terminal, way, (x, y), out in ends:
            amps = point.current(wire.name)
            text = f"{volts_text(point, terminal)} {amps_text(amps, None).lstrip(chr(0x2212))}"
            if not text.endswith(" 0 A"):
                text += f" {arrows[way * out if amps > 0 else -way * out]}"
            wanted.append((text, round(y - 4, 1)))
            places = [box for said, box in picture.texts if said == text and abs(box[3] - 0.2 * 9.5 - (y - 4)) < 0.1]
            assert any((box[0] - x) * way > 0 for box in places), (wire.name, terminal)
    assert len(wanted) == 2 * len(whole.wires) == sum(label.kind == "reading" for label in sheet.labels)


def test_without_a_settled_point_the_attached_form_has_no_readings():
    whole, point = cart()
    assert draw_attached(whole, readings=True) == draw_attached(whole) != draw_attached(whole, point, readings=True)


@pytest.mark.in_turn(6, 2)
@pytest.mark.parametrize(("which", "most"), [("trailer-separate-to-combined", 2), ("shared-filament-four-relays", 2),
                                             ("hazard-third-relay", 1), (2, 1), (6, 1)])
def test_attached_pages_have_no_faults_and_lose_nothing(which, most):
    whole = long_one(which)
    sheet = lay_out_attached(whole, "face", "B")
    sheets = cut_attached(sheet, most)
    pictures = [AttachedPicture(page) for page in pages_attached(whole, most=most, view="face", pins="B")]
    assert len(sheets) == len(pictures) > 1
    for page, picture in zip(sheets, pictures, strict=True):
        assert attached_faults(page, picture) == []
    parts = [name for picture in pictures for name in picture.outlines]
    assert sorted(parts) == sorted(part.name for part in whole.listed)
    assert {name for picture in pictures for name in picture.wires} == {wire.name for wire in whole.wires}
    pins = {wire.name: [terminal for picture in pictures for terminal, x, y in picture.pins
                        for end in (wire.start, wire.end) if terminal == end
                        for line in picture.wires.get(wire.name, ()) if (x, y) in (line[:2], line[2:])]
            for wire in whole.wires}
    assert all(set(wire.terminals) == set(pins[wire.name]) for wire in whole.wires)
    ids = [element.get("id") for picture in pictures for element in picture.root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    for number, picture in enumerate(pictures, 1):
        said = " ".join(text for text, _ in picture.texts)
        assert f"page {number} of {len(pictures)}" in said and "dead" in said
        assert not whole.of_kind(Relay) or "face, mirrored" in said and "Pin order B" in said
    for number, (page, following) in enumerate(zip(sheets, sheets[1:]), 1):
        goes = {(label.y, label.text.split(" ")[0]) for label in page.labels
                if label.text.endswith(f"\N{RIGHTWARDS ARROW} p. {number + 1}")}
        comes = {(label.y, label.text.split(" ")[0]) for label in following.labels
                 if label.text.endswith(f"\N{LEFTWARDS ARROW} p. {number}")}
        assert goes == comes and goes


def test_an_attached_sheet_of_few_columns_is_one_page_the_same_as_drawn():
    whole, point = cart()
    assert pages_attached(whole, point, readings=True) == (draw_attached(whole, point, readings=True),)


@pytest.mark.parametrize("make", [lambda cart: pages(cart, most=5), lambda cart: pages_attached(cart, most=2)])
def test_a_narrow_page_shortens_its_title_and_never_its_number(make):
    cart = replace(arrangement("shared-filament-four-relays"), title="A very long title " * 12)
    made = make(cart)
    assert len(made) > 1
    for number, page in enumerate(made, 1):
        assert f"\N{HORIZONTAL ELLIPSIS}, page {number} of {len(made)}</text>" in page

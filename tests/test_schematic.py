"""The schematic, judged by geometry: what is drawn is read back from the picture and compared with the arrangement."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import lru_cache

import pytest
from random_arrangements import random_arrangement
from reading_pictures import SVG, Picture, faults, overlap, width_in

from circuitlab.arrangements import Arrangement, Hold, LoseJoint, arrangement, arrangement_names, changed
from circuitlab.parts import Battery, Chassis, Control, Fuse, Lamp, Relay, Switch, Wire
from circuitlab.reasoning import with_settings
from circuitlab.solving import operating_point
from circuitlab.views.schematic import describe, draw, fill, lay_out
from circuitlab.views.schematic.draft import drafted
from circuitlab.views.schematic.layout import _kept, laid_out
from circuitlab.views.schematic.links import linked
from circuitlab.views.faces.pen import drawn

SEEDS = range(50)
EVERY = [*arrangement_names(), *SEEDS[:5], *(pytest.param(seed, marks=pytest.mark.full) for seed in SEEDS[5:])]


@lru_cache(maxsize=None)
def made(which):
    return random_arrangement(which) if isinstance(which, int) else arrangement(which)


@lru_cache(maxsize=None)
def sheet_of(which):
    return lay_out(made(which))


@lru_cache(maxsize=None)
def picture_of(which):
    """The picture that ``draw`` makes, of a sheet that is laid out once for all tests."""
    return Picture(fill(sheet_of(which), made(which)))


@pytest.mark.in_turn(18, 3)
@pytest.mark.parametrize("which", EVERY)
def test_nothing_overlaps(which):
    assert faults(sheet_of(which), picture_of(which)) == []


@pytest.mark.in_turn(9, 3)
@pytest.mark.parametrize("which", EVERY)
def test_the_picture_reads_back_as_the_arrangement(which):
    whole, picture = made(which), picture_of(which)
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


@pytest.mark.in_turn(9, 3)
@pytest.mark.parametrize("which", EVERY)
def test_drawn_widths_fit_the_boxes_kept_for_them(which):
    """The room kept for each label is no less than a wide sans-serif face needs."""
    for label in sheet_of(which).labels:
        letters = width_in(label.text, label.size, label.bold)
        assert letters <= label.box[2] - label.box[0] + 0.5, label.text


@pytest.mark.in_turn(9, 3)
@pytest.mark.parametrize("which", arrangement_names())
def test_the_words_name_every_part_and_every_wire(which):
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
    left, top, right, low = first.box
    for line in ((left - 9, (top + low) / 2, right + 9, (top + low) / 2), (first.xs[0], top - 9, first.xs[0], low + 9)):
        through = Picture(svg)
        through.wires["W1"] = [line]
        assert any("through symbol" in fault for fault in faults(sheet, through))


@pytest.mark.full
def test_the_same_input_gives_the_same_bytes():
    whole = made("shared-filament-four-relays-hazard")
    before = draw(whole)
    _kept.cache_clear()
    laid_out.cache_clear()
    drafted.cache_clear()
    drawn.cache_clear()
    assert draw(arrangement("shared-filament-four-relays-hazard")) == before


def test_a_wire_that_has_lost_a_joint_shows_the_state_of_its_other_end():
    """The copper of W8 hangs on the coil once its joint at the switch is off, so it is dead and the switch is live."""
    whole = changed(made("relay-test-board"))
    feed = next(wire for wire in whole.wires if wire.end == "K1:86")
    lost = changed(whole, LoseJoint(feed.name, feed.start))
    moved = {whole.controls[0].name: "on"}
    assert wire_state(draw(whole, operating_point(whole, moved)), feed.name) == "live"
    assert wire_state(draw(lost, operating_point(lost, moved)), feed.name) == "dead"
    assert operating_point(lost, moved).is_live(feed.start)


def wire_state(svg, name):
    group = next(each for each in ET.fromstring(svg).iter() if each.get("data-wire") == name)
    return group.get("class").split()[-1]


def test_what_a_slider_changes_needs_no_new_sheet_and_is_still_drawn_as_it_is():
    """Supply volts, flash rate, a held part, a lost joint: the same places; the battery's label says its volts."""
    whole = made("shared-filament-rear-relays")
    other = changed(with_settings(whole, volts=13.8, rate=75), Hold("K9", "off"), LoseJoint("W22", "X1:1"))
    assert lay_out(other) is lay_out(whole)
    assert ">13.8 V<" in draw(other) and ">12.6 V<" in draw(whole)


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
    widths = {group.get("data-wire"): float(group.find(f"{SVG}path").get("stroke-width"))
              for group in picture.of("wire")}
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
    dashed = {group.get("data-wire") for group in picture.of("wire")
              if group.find(f"{SVG}path").get("stroke-dasharray")}
    floating = {wire.name for wire in whole.wires if point.volts(wire.start) is None and point.volts(wire.end) is None}
    assert dashed == floating and floating


def test_a_point_that_does_not_settle_says_so():
    """A relay whose coil hangs on its own break contact buzzes."""
    buzzer = Arrangement("buzzer", parts=[Battery("G1"), Relay("K1")], wires=[
        Wire("W1", "G1:+", "K1:30", "RD"), Wire("W2", "K1:87a", "K1:86", "YE"), Wire("W3", "K1:85", "G1:-", "BK")])
    point = operating_point(buzzer)
    assert not point.is_settled
    picture = Picture(draw(buzzer, point))
    assert point.sentence in " ".join(text for text, _ in picture.texts)
    high = float(picture.root.get("viewBox").split()[3])
    assert all(low <= high and right <= lay_out(buzzer).width for _, (_, _, right, low) in picture.texts)
    assert point.sentence in describe(buzzer, point)


HOSTILE = ('<script>"x"&\'y\'</script>', "$E=mc^2$ & co",
           "左後ろの灯り 左後ろの灯り", "خلفي أيسر", "a" * 50, "]]>", "- -")


def test_a_second_chassis_lies_over_no_name_of_the_first():
    """Two grounds, joined by a wire or each on its own, the lower one under the name of the upper one."""
    for joined in (True, False):
        wires = [Wire("W1", "G1:+", "F1:1", "RD"), Wire("W2", "F1:2", "E1:1", "RD"), Wire("W3", "F1:2", "E2:1", "RD"),
                 Wire("W4", "E1:2", "X1:1", "BK"), Wire("W5", "E2:2", "X2:1", "BK"), Wire("W6", "X1:2", "G1:-", "BK")]
        whole = Arrangement("two grounds", parts=[Battery("G1"), Fuse("F1"), Lamp("E1"), Lamp("E2"), Chassis("X1", 3),
                                                  Chassis("X2")], wires=wires + [Wire("W7", "X2:2", "X1:3")] * joined)
        picture = Picture(draw(whole))
        assert faults(lay_out(whole), picture) == []
        assert sum("ground (31)" in text for text, _ in picture.texts) == 2


@pytest.mark.parametrize("names, links", [(["hazard-third-relay", "relay-test-board"], 1), pytest.param(arrangement_names(), 6, marks=pytest.mark.full)])
def test_level_poles_of_one_switch_are_linked_where_nothing_stands_between(names, links):
    """Six links in the kit; each ends at a pole of the same switch, level with it, clear of symbols and labels."""
    found = []
    for which in names:
        sheet = sheet_of(which)
        for symbol in sheet.symbols:
            if symbol.link:
                found.append((which, symbol.piece.key))
                y, end = symbol.top + symbol.height / 2, symbol.xs[0] - symbol.link
                pole = next(each for each in sheet.symbols if each.piece.part == symbol.piece.part
                            and abs(each.xs[0] - end) < 10 and each.top + each.height / 2 == y)
                band = (pole.xs[0] + 1, y - 1, symbol.xs[0] - 1, y + 1)
                assert not any(overlap(label.box, band) for label in sheet.labels)
                assert not any(overlap(each.box, band) for each in sheet.symbols if each not in (pole, symbol))
                assert f"{end:g}" in drawn(symbol, "off") and "stroke-dasharray" in drawn(symbol, "off")
    assert len(found) == links and ("hazard-third-relay", "S4.4") in found
    sheet = lay_out(made("hazard-third-relay"))
    symbol = next(each for each in sheet.symbols if each.piece.key == "S4.4")
    between = replace(sheet.labels[0], x=symbol.xs[0] - 60, y=symbol.top + symbol.height / 2 + 3)
    assert not any(each.link for each in linked(sheet.symbols, [between], []))


def test_hostile_names_break_nothing():
    parts = [Battery("G1"), Chassis("X<1>")]
    wires = []
    for number, text in enumerate(HOSTILE):
        name = f"{text}{number}".replace(":", "")
        parts += [Fuse(name, place=text), Lamp(f"E {name}", place=text),
                  Switch(f"S&{name}", text, {text: [("<", "&")]})]
        wires += [Wire(f"W>{name}", "G1:+", f"{name}:1"), Wire(f"V{name}", f"{name}:2", f"S&{name}:<", "RDBU"),
                  Wire(f"U{name}", f"S&{name}:&", f"E {name}:1"), Wire(f"T{name}", f"E {name}:2", "X<1>:1")]
    controls = [Control(text, ("off", text)) for text in HOSTILE]
    whole = Arrangement(HOSTILE[0], controls, parts, wires)
    picture = Picture(draw(whole, operating_point(whole), prefix='p"<'))
    assert len(picture.of("wire")) == len(wires)
    assert not list(picture.root.iter(f"{SVG}script"))
    width = lay_out(whole).width
    assert all(left >= 0 and right <= width for text, (left, _, right, _) in picture.texts if text.isascii())

"""The attached drawing, judged by geometry: what is drawn is read back from the picture and compared."""

from dataclasses import replace
from functools import lru_cache
from unittest.mock import patch

import pytest
from random_arrangements import random_arrangement
from reading_attached import AttachedPicture, faults
from reading_pictures import SVG, width_in
from test_schematic import HOSTILE

from circuitlab.arrangements import Arrangement, arrangement, arrangement_names
from circuitlab.ground.errors import ArrangementError
from circuitlab.parts import Battery, Chassis, Control, Diode, Fuse, Lamp, LedLamp, Relay, Splice, Switch, Wire
from circuitlab.solving import operating_point
from circuitlab.views.attached import describe_attached, draw_attached, lay_out_attached, layout, pages_attached
from circuitlab.views.attached.channels import crossings_of, tracks_of
from circuitlab.views.attached.layout import laid_out
from circuitlab.views.attached.pages import cut
from circuitlab.views.socket import BLADES

BIG = {"big-1": 2}           # 40 to 60 parts
EVERY = [*arrangement_names(), *range(3), *(pytest.param(each, marks=pytest.mark.full) for each in (*range(3, 20), *BIG))]


@lru_cache(maxsize=None)
def made(which):
    if which in BIG:
        return random_arrangement(BIG[which], 40, 60)
    return random_arrangement(which) if isinstance(which, int) else arrangement(which)


@lru_cache(maxsize=None)
def pictured(which, view="wire side", pins="A"):
    return AttachedPicture(draw_attached(made(which), view=view, pins=pins))


@pytest.mark.in_turn(18, 3)
@pytest.mark.parametrize("which", EVERY)
def test_nothing_overlaps(which):
    """No block, label or wire lies on another, no wire runs through a block or label, nothing leaves the sheet."""
    assert faults(lay_out_attached(made(which)), pictured(which)) == []


@pytest.mark.in_turn(9, 3)
@pytest.mark.parametrize("which", EVERY)
def test_the_picture_reads_back_as_the_arrangement(which):
    whole, picture = made(which), pictured(which)
    read = picture.connections()
    assert sorted(group.get("data-wire") for group in picture.of("wire")) == sorted(wire.name for wire in whole.wires)
    for wire in whole.wires:
        assert sorted(map(sorted, read[wire.name])) == sorted([[wire.start], [wire.end]]), wire.name
    assert sorted(group.get("data-part") for group in picture.of("part")) == sorted(part.name for part in whole.listed)
    assert {terminal for terminal, _, _ in picture.pins} == set(whole.terminals)
    ids = [element.get("id") for element in picture.root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


@pytest.mark.in_turn(9, 3)
@pytest.mark.parametrize("which", EVERY)
def test_every_end_of_every_wire_carries_its_name_and_letters(which):
    picture = pictured(which)
    for group in picture.of("wire"):
        wire = made(which).part(group.get("data-wire"))
        said = [text.text for text in group.iter(f"{SVG}text")]
        assert said == [f"{wire.name} {wire.colour}".strip()] * 2


@pytest.mark.in_turn(9, 3)
@pytest.mark.parametrize("which", EVERY)
def test_drawn_widths_fit_the_boxes_kept_for_them(which):
    for label in lay_out_attached(made(which)).labels:
        assert width_in(label.text, label.size, label.bold) <= label.box[2] - label.box[0] + 0.5, label.text


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("pins", ["A", "B"])
def test_the_face_is_the_mirror_image_of_the_wire_side(pins):
    """Blade by blade, from the middle of each socket; and the two pictures are not the same."""
    which = "shared-filament-four-relays"
    wire_side, face = pictured(which, "wire side", pins), pictured(which, "face", pins)
    turned = 0
    for relay in made(which).of_kind(Relay):
        places = []
        for picture in (wire_side, face):
            left, top, right, _ = picture.outlines[relay.name]
            blades = {name: picture.blades[f"{relay.name}:{name}"] for name in relay.terminals}
            first = min(blade[1] for blade in blades.values())
            places.append({name: ((a + c - left - right) / 2, (b + d) / 2 - first) for name, (a, b, c, d) in blades.items()})
        for name, (x, _) in places[0].items():
            assert places[1][name][0] == -x, name
            turned += x != 0
        for one, other in (("87", "30"), ("87", "87a"), ("85", "86")):   # above and below stay as they are
            order = [place[one][1] - place[other][1] for place in places]
            assert (order[0] > 0) == (order[1] > 0) and (order[0] == 0) == (order[1] == 0)
    assert turned == 2 * len(made(which).of_kind(Relay))


def test_the_wire_side_shows_the_pins_of_the_relay_as_the_build_sheet_does():
    """87 on top, 30 at the bottom, 86 left, 85 right, 87a in the middle; order B has 30 and 86 exchanged."""
    for pins, other in (("A", {}), ("B", {"30": "86", "86": "30"})):
        picture = pictured("shared-filament-four-relays", "wire side", pins)
        left, top, right, low = picture.outlines["K1"]
        for name in ("30", "85", "86", "87", "87a"):
            a, b, c, d = picture.blades[f"K1:{name}"]
            x, y, flat = BLADES[other.get(name, name)]
            across = (a + c) / 2 - (left + right) / 2
            assert (across > 0) - (across < 0) == (x > 50) - (x < 50), name
            assert (c - a > d - b) == flat, name
        heights = {name: sum(picture.blades[f"K1:{name}"][1::2]) / 2 for name in ("30", "86", "87", "87a")}
        bottom, side = ("30", "86") if pins == "A" else ("86", "30")
        assert heights["87"] < heights["87a"] == heights[side] < heights[bottom]


@pytest.mark.parametrize(("view", "word"), [("wire side", "wire side"), ("face", "face, mirrored")])
@pytest.mark.parametrize("pins", ["A", "B"])
def test_the_page_says_its_view_and_to_meter_before_plugging_in(view, word, pins):
    said = " ".join(text for text, _ in pictured("relay-test-board", view, pins).texts)
    assert word in said and f"Pin order {pins}" in said and "meter it before plugging in" in said
    read = pictured("relay-test-board", view, pins).connections()
    for wire in made("relay-test-board").wires:
        assert sorted(map(sorted, read[wire.name])) == sorted([[wire.start], [wire.end]])


def test_an_unknown_view_or_pin_order_is_said_in_a_sentence():
    with pytest.raises(ArrangementError, match="wire side, face"):
        draw_attached(made("relay-test-board"), view="back")
    with pytest.raises(ArrangementError, match="meter the relay"):
        lay_out_attached(made("relay-test-board"), pins="C")


@pytest.mark.parametrize("which", ["separate-filaments", "shared-filament-rear-relays-hazard"])
def test_lamps_are_at_their_place_on_the_vehicle(which):
    """Front up, left and right as the driver has them facing forward, and both words are printed on the outline."""
    picture = pictured(which)
    left, top, right, low = lay_out_attached(made(which)).outline
    for lamp in made(which).of_kind(Lamp):
        x = sum(picture.outlines[lamp.name][::2]) / 2
        y = sum(picture.outlines[lamp.name][1::2]) / 2
        words = lamp.place.split()
        assert (y < (top + low) / 2) == ("front" in words) and (x < (left + right) / 2) == ("left" in words), lamp.name
    said = {text: box for text, box in picture.texts}
    first, last = said["left (driver's, facing forward)"], said["right (driver's, facing forward)"]
    assert first[2] < (left + right) / 2 < last[0]


@pytest.mark.full
def test_the_lamps_of_a_trailer_are_behind_those_of_the_cart():
    picture, whole = pictured("trailer-separate-to-combined"), made("trailer-separate-to-combined")
    trailer = [lamp.name for lamp in whole.of_kind(Lamp) if "trailer" in lamp.place]
    cart = [lamp.name for lamp in whole.of_kind(Lamp) if lamp.name not in trailer]
    for name in trailer:
        left, top, right, _ = picture.outlines[name]
        assert all(top > own[3] for own in map(picture.outlines.get, cart) if own[0] < right and left < own[2]), name
    assert trailer and cart


def test_lamps_without_such_words_stand_beside_the_vehicle_and_a_test_board_is_no_vehicle():
    whole = made("shared-filament-rear-relays")
    more = replace(whole, parts=(*whole.parts, Lamp("E9", place="number plate")),
                   wires=(*whole.wires, Wire("W90", "X4:3", "E9:1", "YE"), Wire("W91", "E9:2", "X1:1", "BK")))
    sheet, picture = lay_out_attached(more), AttachedPicture(draw_attached(more))
    assert faults(sheet, picture) == []
    assert picture.outlines["E9"][0] > sheet.outline[2] > picture.outlines["E4"][2]
    assert lay_out_attached(made("relay-test-board")).outline == ()


def test_planted_defects_are_found():
    """The judge itself is judged: a moved block, label and wire are all noticed."""
    whole = made("shared-filament-rear-relays")
    sheet, svg = lay_out_attached(whole), draw_attached(whole)
    label = replace(sheet.labels[0], x=sheet.labels[9].x, y=sheet.labels[9].y)
    assert any("on label" in fault
               for fault in faults(replace(sheet, labels=(label, *sheet.labels[1:])), AttachedPicture(svg)))
    assert any("off the sheet" in fault for fault in faults(replace(sheet, width=200), AttachedPicture(svg)))
    picture = AttachedPicture(svg)
    picture.outlines["F1"] = picture.outlines["K1"]
    assert any("block" in fault and "on block" in fault for fault in faults(sheet, picture))
    picture = AttachedPicture(svg)
    x, y = picture.wires["W3"][1][:2]
    picture.wires["W1"] = picture.wires["W3"][1:2]
    found = faults(sheet, picture)
    assert any("on top of W3" in fault or "W3 runs on top of" in fault for fault in found)
    picture = AttachedPicture(svg)
    left, top, right, low = picture.outlines["K1"]
    picture.wires["W1"] = [(left - 5, (top + low) / 2, right + 5, (top + low) / 2)]
    assert any("through block K1" in fault for fault in faults(sheet, picture))
    picture.pins = [(terminal, x, y + 3 * (terminal == "K1:86")) for terminal, x, y in picture.pins]
    assert set() in [end for ends in picture.connections().values() for end in ends]


def test_the_same_input_gives_the_same_bytes():
    before = draw_attached(made("shared-filament-four-relays"))
    laid_out.cache_clear()
    assert draw_attached(arrangement("shared-filament-four-relays")) == before


def test_it_shows_the_operating_point():
    whole = made("shared-filament-rear-relays")
    point = operating_point(whole, {"brake pedal": "held", "key": "on", "turn lever": "left"})
    picture = AttachedPicture(draw_attached(whole, point))
    widths = {group.get("data-wire"): float(group.find(f"{SVG}path").get("stroke-width")) for group in picture.of("wire")}
    for wire in whole.wires:
        live = point.is_live(wire.start) or point.is_live(wire.end)
        assert (widths[wire.name] > 4) == live, wire.name
    assert {live for live in widths.values()} == {5.0, 2.0}
    for group in picture.of("part"):
        part = whole.part(group.get("data-part"))
        assert group.get("data-state") == point.states[part.name]
        glows = [shape for shape in group.iter(f"{SVG}circle") if shape.get("class") == "glow"]
        assert bool(glows) == (part.kind == "lamp" and point.light(part.name) > 0.01)
        if glows:
            assert f"{point.lamp_volts(part.name):.1f} V" in [text.text for text in group.iter(f"{SVG}text")]
    assert not faults(lay_out_attached(whole), picture)


def test_the_words_name_every_part_and_every_wire():
    for which in arrangement_names():
        whole = made(which)
        for point in (None, operating_point(whole)):
            words = describe_attached(whole, point, "face", "B")
            for part in whole.listed:
                assert f"{part.kind} {part.name}".lower() in words.lower()
            for wire in whole.wires:
                there, back = (f"From {end}, wire {wire.name} {wire.colour} " for end in wire.terminals)
                assert words.count(there) + words.count(back) == 1
            assert ("socket seen from the face, pin order B" in words) == bool(whole.of_kind(Relay))


def test_what_no_wire_goes_to_is_drawn_apart_and_said():
    whole = made("one-fused-lamp")
    more = replace(whole, parts=(*whole.parts, Splice("X5"), Diode("V1"), LedLamp("E7")))
    sheet, picture = lay_out_attached(more), AttachedPicture(draw_attached(more))
    assert faults(sheet, picture) == []
    assert any("Nothing is wired to X5, V1, E7." in text for text, _ in picture.texts)


def test_hostile_names_break_nothing():
    parts, wires = [Battery("G1"), Chassis("X<1>")], []
    for number, text in enumerate(HOSTILE):
        name = f"{text}{number}".replace(":", "")
        parts += [Fuse(name, place=text), Lamp(f"E {name}", place=text), Relay(f"K {name}", place=text),
                  Switch(f"S&{name}", text, {text: [("<", "&" + text.replace(":", ""))]})]
        far = f"S&{name}:&" + text.replace(":", "")
        wires += [Wire(f"W>{name}", "G1:+", f"{name}:1"), Wire(f"V{name}", f"{name}:2", f"S&{name}:<", "RDBU"),
                  Wire(f"U{name}", far, f"E {name}:1"), Wire(f"T{name}", f"E {name}:2", "X<1>:1")]
    whole = Arrangement(HOSTILE[0], [Control(text, ("off", text)) for text in HOSTILE], parts, wires)
    picture = AttachedPicture(draw_attached(whole, operating_point(whole), prefix='p"<'))
    assert len(picture.of("wire")) == len(wires)
    assert not list(picture.root.iter(f"{SVG}script"))
    drawn, real = picture.connections(), {wire.name: wire for wire in whole.wires}
    for name, wire in real.items():
        ends = [[end] for end in wire.terminals]
        assert sorted(map(sorted, drawn[name])) == sorted(ends)
    width = lay_out_attached(whole).width
    assert all(left >= 0 and right <= width for text, (left, _, right, _) in picture.texts if text.isascii())


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("which", ["third-stop-lamp", "shared-filament-four-relays", "hazard-third-relay"])
def test_untangling_takes_crossings_away(which):
    """The same sheet without the search for fewer crossings has at least a tenth more of them."""
    laid_out.cache_clear()
    with patch.object(layout, "_untangled", lambda arrangement, stack, ways, kept: ways):
        tangled = AttachedPicture(draw_attached(made(which))).crossings()
    laid_out.cache_clear()
    assert pictured(which).crossings() < 0.9 * tangled


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("which", ["separate-filaments", "shared-filament-rear-relays", 3, 7])
def test_crossings_counted_in_the_channels_are_those_of_the_picture(which):
    """What the search counts is what an eye counts: the sum over the channels, read back from the lines."""
    laid_out.cache_clear()
    counted = []
    with patch.object(layout, "tracks_of", lambda nets, most: counted.append(tracks_of(nets, most)) or counted[-1]):
        picture = AttachedPicture(draw_attached(made(which)))
    last = counted[-len(lay_out_attached(made(which)).channels):]      # a sheet is laid out until it keeps its places
    assert sum(crossings_of(track) for track, _ in last) == picture.crossings() > 0
    laid_out.cache_clear()


@pytest.mark.full
def test_two_hundred_parts_are_drawn_without_a_fault_and_read_back():
    whole = random_arrangement(5, 200, 200)
    sheet, svg = lay_out_attached(whole), draw_attached(whole)
    picture = AttachedPicture(svg)
    assert len(picture.outlines) == len(whole.listed) == 200
    assert faults(sheet, picture) == []
    read = picture.connections()
    assert all(sorted(map(sorted, read[wire.name])) == sorted([[wire.start], [wire.end]]) for wire in whole.wires)
    pages = pages_attached(whole)
    assert len(pages) > 1
    for page, one in zip(cut(sheet), pages, strict=True):
        labels = [(label.text, label.box) for label in page.labels]
        assert all(left >= 0 and right <= page.width for _, (left, _, right, _) in labels)
        assert f"of {len(pages)}" in one

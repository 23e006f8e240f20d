"""A trailer behind its cart in the attached drawing: two outlines, the connector between them, and nothing of one on the other."""

from functools import lru_cache

import pytest
from reading_attached import AttachedPicture, faults
from test_plan import NEW, spots, with_trailer

import circuitlab as cl
from circuitlab.arrangements import AddPart, MovePart, arrangement, arrangement_names, changed
from circuitlab.parts import Connector, Fuse
from circuitlab.views.attached import describe_attached, draw_attached, lay_out_attached

CART = "shared-filament-rear-relays"
TRAILERS = [name for name in arrangement_names() if any("trailer" in part.place for part in arrangement(name).listed if part.lamps)]


@lru_cache(maxsize=None)
def drawn(name, view="wire side"):
    return lay_out_attached(arrangement(name), view), AttachedPicture(draw_attached(arrangement(name), view=view))


def inside(box, outline):
    return outline[0] < box[0] and outline[1] < box[1] and box[2] < outline[2] and box[3] < outline[3]


def test_there_are_trailers_and_carts_without():
    assert {"trailer-12n-separate-lamps", "trailer-4-flat-combined-lamps", "combined-turn-stop-lever-trailer"} <= set(TRAILERS)
    for name in (CART, "tail-and-stop-two-filaments", "separate-filaments"):
        sheet = lay_out_attached(arrangement(name))
        assert sheet.outline and sheet.trailer == () and "trailer" not in describe_attached(arrangement(name))


@pytest.mark.parametrize("name", TRAILERS)
def test_cart_and_trailer_have_each_their_own_and_the_connector_is_between(name):
    sheet, whole = drawn(name)[0], arrangement(name)
    cart, trailer = sheet.outline, sheet.trailer
    assert cart[3] + 60 < trailer[1] and cart[::2] == trailer[::2]
    for block in sheet.blocks:
        part = whole.part(block.part)
        if isinstance(part, Connector) or "coupling" in part.place:
            assert cart[3] < block.top and block.low < trailer[1], part.name
        else:
            assert inside(block.box, trailer if part.place.startswith("trailer") else cart), part.name
    assert "the trailer behind the cart" in describe_attached(whole)


@pytest.mark.parametrize("name", TRAILERS)
@pytest.mark.parametrize("view", ["wire side", "face"])
def test_nothing_overlaps_and_no_wire_runs_along_an_outline(name, view):
    sheet, picture = drawn(name, view)
    assert faults(sheet, picture) == []
    levels, uprights = {sheet.outline[3], *sheet.trailer[1::2]}, {*sheet.outline[::2]}
    flat = [(wire, line) for wire, lines in picture.wires.items() for line in lines if line[1] == line[3]]
    assert not [wire for wire, line in flat if min(abs(line[1] - level) for level in levels) < 5]
    assert not [wire for wire, lines in picture.wires.items() for line in lines if line[0] == line[2] and min(abs(line[0] - x) for x in uprights) < 5]
    words = [box for text, box in picture.texts if text.endswith("trailer") and text.startswith("\N{BLACK UP-POINTING TRIANGLE}")]
    assert len(words) == 1 and inside(words[0], sheet.trailer)
    for box in [*words, *(box for text, box in picture.texts if text == "rear")]:
        for lines in picture.wires.values():
            assert not [line for line in lines if min(line[::2]) < box[2] and box[0] < max(line[::2]) and min(line[1::2]) < box[3] and box[1] < max(line[1::2])]


@pytest.mark.parametrize("name", TRAILERS)
def test_a_wire_of_the_cart_alone_stays_on_the_cart_and_one_of_the_trailer_on_the_trailer(name):
    sheet, picture = drawn(name)
    where = {block.part: inside(block.box, sheet.outline) - inside(block.box, sheet.trailer) for block in sheet.blocks}
    for wire in arrangement(name).wires:
        sides = {where[end.partition(":")[0]] for end in wire.terminals}
        for outline in [(sheet.outline, 1), (sheet.trailer, -1)]:
            if sides == {outline[1]}:
                assert all(outline[0][1] < y < outline[0][3] for line in picture.wires[wire.name] for y in line[1::2]), wire.name


@pytest.mark.parametrize("name", [name for name in TRAILERS if arrangement(name).of_kind(Connector)])
def test_the_sockets_half_is_on_the_side_of_the_cart_and_no_two_pins_cross(name):
    sheet, whole = drawn(name)[0], arrangement(name)
    for connector in whole.of_kind(Connector):
        block = next(block for block in sheet.blocks if block.part == connector.name)
        level = {terminal.partition(":")[2]: y for terminal, _, y in block.pins()}
        assert set(level) == set(connector.terminals)
        middle = (block.rows[0].level + block.rows[-1].level) / 2
        for pin in connector.numbers:
            assert level[f"{pin}s"] < middle < level[f"{pin}p"] and level[f"{pin}s"] + level[f"{pin}p"] == pytest.approx(2 * middle, abs=15)
        assert {row.left.rpartition(":")[2][:-1] for row in block.rows if row.left} == set(connector.numbers[:(len(connector.numbers) + 1) // 2])


def test_a_trailer_grown_onto_a_cart_has_its_own_outline_and_the_cart_stays():
    cart = arrangement(CART).planned()
    was, sheet = lay_out_attached(cart), lay_out_attached(with_trailer(cart))
    assert was.trailer == () and sheet.trailer[1] > sheet.outline[3] > max(block.low for block in was.blocks)
    assert {name: place for name, place in spots(sheet).items() if name not in NEW} == spots(was)
    box = {block.part: block.box for block in sheet.blocks}
    assert all(inside(box[name], sheet.trailer) for name in ("E91", "E92"))
    assert all(sheet.outline[3] < box[name][1] and box[name][3] < sheet.trailer[1] for name in ("X91", "X92", "X93"))


def test_what_comes_to_a_cart_with_a_trailer_stands_on_the_cart_and_moves_neither():
    whole = arrangement("trailer-4-flat-combined-lamps").planned()
    was, more = lay_out_attached(whole), changed(whole, AddPart(Fuse("F9", 5.0, place="beside the battery")), AddPart(Fuse("F10", 5.0)))
    sheet = lay_out_attached(more)
    assert {name: place for name, place in spots(sheet).items() if name in spots(was)} == spots(was)
    assert all(inside(block.box, sheet.outline) for block in sheet.blocks if block.part in ("F9", "F10"))
    assert faults(sheet, AttachedPicture(draw_attached(more))) == []


def test_joints_for_which_there_is_no_room_at_the_coupling_come_to_the_trailer_and_nothing_moves():
    whole = arrangement("trailer-4-flat-combined-lamps").planned()
    was, sheet = lay_out_attached(whole), lay_out_attached(with_trailer(whole))
    assert {name: place for name, place in spots(sheet).items() if name not in NEW} == spots(was)
    box = {block.part: block.box for block in sheet.blocks}
    assert all(inside(box[name], sheet.trailer) for name in ("E91", "E92", "X93"))
    assert all(sheet.outline[3] < box[name][1] and box[name][3] < sheet.trailer[1] for name in ("X91", "X92", "X5"))


def test_a_lamp_of_the_cart_stood_behind_the_trailer_by_hand_leaves_one_outline():
    """The drawing does not claim what it does not show."""
    whole = changed(arrangement("trailer-12n-separate-lamps").planned(), MovePart("E10", 60, 190))
    sheet = lay_out_attached(whole)
    assert sheet.outline and sheet.trailer == ()
    assert faults(sheet, AttachedPicture(draw_attached(whole))) == []


def test_what_a_hand_stands_on_a_full_cart_comes_to_stand_beside_it_and_not_behind_the_trailer():
    whole = arrangement("trailer-12n-separate-lamps").planned()
    was = spots(lay_out_attached(whole))
    for name, x, y in (("F2", 35, 8), ("K9", 53, 44)):
        stood = changed(whole, MovePart(name, x, y))
        sheet = lay_out_attached(stood)
        assert {part: place for part, place in spots(sheet).items() if part != name} == {part: place for part, place in was.items() if part != name}
        assert inside(next(block.box for block in sheet.blocks if block.part == name), sheet.outline) and sheet.trailer
        assert faults(sheet, AttachedPicture(draw_attached(stood))) == [] and draw_attached(stood.planned()) == draw_attached(stood)


def test_a_plan_of_a_trailer_draws_it_again():
    whole = arrangement("trailer-12n-separate-lamps")
    again = cl.arrangement("trailer-12n-separate-lamps").planned()
    assert draw_attached(again) == draw_attached(whole) and again.planned().plan == again.plan

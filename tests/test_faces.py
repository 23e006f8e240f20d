"""Faces: every kind has one, its handles lie on what is drawn, and both drawings stand beside each other."""

import ast
import re
import xml.etree.ElementTree as ET

import pytest

from circuitlab.arrangements import Arrangement, arrangement, arrangement_names
from circuitlab.parts import (KINDS, Battery, Breaker, Chassis, Connector, Control, Converter, Diode, DistributionBlock, Flasher, Fuse, FuseBlock, Lamp, LedLamp, Relay,
                              Resistor, Splice, Switch, TwoFilamentLamp, Wire)
from circuitlab.views.attached import draw_attached, lay_out_attached
from circuitlab.views.faces import FACES, face_of
from circuitlab.views.faces.handles import LEAST, block_handle, metal_handle, symbol_handle
from circuitlab.views.schematic import draw, lay_out

from test_floors import PACKAGE, imports, rooms

SVG = "{http://www.w3.org/2000/svg}"


def everything():
    """One part of every kind, and of the switches one for each shape, none wired: every terminal shows."""
    parts = [Battery("G1"), Fuse("F1"), Breaker("F2"), Resistor("R1"), Diode("V1"), Lamp("E1"), LedLamp("E2"), TwoFilamentLamp("E3"), Splice("X1"),
             Chassis("X2"), Connector("X5", "12N"), Converter("K11"), Converter("K12", "unpowered"), FuseBlock("F5", "30: 10 A, spare; 15: 5 A, 3 A"), DistributionBlock("X6", "30: 2, 31: 3"), Flasher("K3"), Flasher("K4", pilot=True), Flasher("K7", type="thermal fixed load"),
             *(Relay(f"K{number}", contact=contact) for number, contact in ((1, "changeover"), (2, "make"), (5, "dual"))),
             Switch("S1", "key", {"on": [("30", "15")]}, worked_by="key"),
             Switch("S2", "pedal", {"off": [("1", "2")], "on": [("1", "3")]}),
             Switch("S3", "lever", {"left": [("49a", "L")], "right": [("49a", "R")]}),
             Switch("S4", "key", {"on": [("1", "2"), ("3", "4")]})]
    controls = [Control("key", ("off", "on")), Control("pedal", ("off", "on")), Control("lever", ("off", "left", "right"))]
    wires = [Wire("W1", "G1:+", "F1:1"), Wire("W2", "F1:2", "E1:1"), Wire("W3", "E1:2", "X2:1"), Wire("W4", "X2:2", "G1:-")]
    return Arrangement("one of each", parts=parts, wires=wires, controls=controls)


CASES = {"one of each": everything, **{name: lambda name=name: arrangement(name) for name in arrangement_names()}}


def handles(made):
    """Return the picture and the handles of both forms."""
    sheet, attached = lay_out(made), lay_out_attached(made)
    return [(str(draw(made)), [symbol_handle(symbol, made) for symbol in sheet.symbols] + list(map(metal_handle, sheet.metals))),
            (str(draw_attached(made)), [block_handle(block, made, made.loose) for block in attached.blocks])]


def marks(svg):
    """Return every mark of a terminal in a picture as (terminal, x, y)."""
    return {(circle.get("data-terminal"), float(circle.get("cx")), float(circle.get("cy")))
            for circle in ET.fromstring(svg).iter(f"{SVG}circle") if circle.get("data-terminal")}


def blades(svg):
    """Return the ends of every thick line, the moving piece of a contact, as drawn."""
    found = []
    for path in ET.fromstring(f"<g>{svg}</g>").iter("path"):
        width = path.get("stroke-width") or re.search(r"stroke-width:\s*([\d.]+)", path.get("style", "stroke-width:0"))[1]
        if float(width) == 2.6:
            numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", path.get("d"))]
            found += list(zip(numbers[::2], numbers[1::2]))
    return found


def near(found, drawn):
    """Tell whether each place found lies on one drawn, to the tenth of a pixel that is printed."""
    return all(any(end == other and abs(x - a) < 0.06 and abs(y - b) < 0.06 for other, a, b in drawn) for end, x, y in found)


def test_every_kind_has_a_face_and_no_face_is_left_over():
    assert set(FACES) == {part.kind for part in everything().parts}
    assert {part.kind for part in everything().listed} == set(KINDS)


@pytest.mark.in_turn(11)
@pytest.mark.parametrize("which", CASES)
def test_every_terminal_has_its_place_on_the_mark_that_is_drawn(which):
    made = CASES[which]()
    bars = {f"{part.name}:{end}" for part in made.parts if part.is_metal for end in part.terminals if not made.wires_at[f"{part.name}:{end}"]}
    for (svg, found), unseen in zip(handles(made), (bars, set()), strict=True):
        places = [place for handle in found for place in handle.terminals]
        assert near(places, marks(svg)) and near(marks(svg), places)
        assert {place[0] for place in places} == set(made.terminals) - unseen


@pytest.mark.in_turn(11)
@pytest.mark.outside("WCAG 2.2, success criterion 2.5.8: a target of a pointer is 24 by 24 px at least")
@pytest.mark.parametrize("which", CASES)
def test_what_a_hand_works_has_an_area_over_all_that_moves(which):
    made = CASES[which]()
    for _, found in handles(made):
        for handle in found:
            part = made.by_name.get(handle.owner) or made.by_name.get(handle.owner.partition(".")[0])
            if handle.touch:
                left, top, right, low = handle.touch
                assert right - left >= LEAST == 24 and low - top >= LEAST
            if isinstance(part, Switch):
                ends = [end for _, svg in handle.states for end in blades(svg)]
                assert len(ends) >= 2 * len(handle.states)
                assert all(left <= x <= right and top <= y <= low for x, y in ends)
            assert bool(handle.touch) == isinstance(part, Switch | Fuse | Breaker | Connector)


@pytest.mark.in_turn(11)
@pytest.mark.parametrize("which", CASES)
def test_the_piece_of_the_state_it_is_in_is_the_one_in_the_picture(which):
    made = CASES[which]()
    for svg, found in handles(made):
        for handle in found:
            if handle.states:
                assert handle.states[0][1] in svg
    moving = [handle for _, found in handles(made) for handle in found if isinstance(made.by_name.get(handle.owner), Switch)]
    assert all(len({svg for _, svg in handle.states}) > 1 for handle in moving)


def test_a_mark_beside_its_terminal_would_be_found():
    assert not near([("K1:30", 10.0, 20.0)], {("K1:30", 10.0, 21.0), ("K1:87", 10.0, 20.0)})
    assert blades('<path d="M 1 2 L 3 4" style="stroke-width:2.6"/><path d="M5 6L7 8" stroke-width="1"/>') == [(1, 2), (3, 4)]


def test_neither_drawing_knows_the_other_and_the_faces_know_neither():
    known = {"schematic": {"attached"}, "attached": {"schematic"}, "faces": {"schematic", "attached"}}
    found = [f"{room.as_posix()}:{line}" for room, tree, _ in rooms(PACKAGE) if room.parts[0] == "views" and room.parts[1] in known
             for line, _, module in imports(room, tree) if known[room.parts[1]] & set(module)]
    assert found == []


def test_faces_draw_by_public_calls_alone():
    found = [f"{room.as_posix()}:{node.lineno} {node.attr}" for room, tree, _ in rooms(PACKAGE) if room.parts[:2] == ("views", "faces")
             for node in ast.walk(tree) if isinstance(node, ast.Attribute) and re.match("_[a-z]", node.attr)
             and not (isinstance(node.value, ast.Name) and node.value.id == "self")]
    assert found == []


def test_a_face_says_what_lists_call_its_part():
    said = [face_of(part).details(part) for part in everything().parts]
    assert said[:3] == ["battery, 12.6 V", "blade fuse, 10 A", "breaker, recloses by itself, 20 A"]
    assert all(words.startswith(("blade fuse", part.kind)) for part, words in zip(everything().parts, said, strict=True))

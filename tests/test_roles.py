"""Roles: what each branch is to the trade, nobody above the parts keeps kinds for it, and a kind nobody has seen is understood."""

import ast
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace
from math import inf
from typing import ClassVar

import pytest

from circuitlab.arrangements import changed, read_change, read_text, write_text
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.arrangements.reachable import is_joined, links
from circuitlab.ground.errors import PartError
from circuitlab.parts import (KINDS, Battery, Branch, Breaker, Chassis, Connector, Converter, Diode, DistributionBlock, Flasher, Fuse, FuseBlock, Lamp, LedLamp, Part,
                              Relay, Resistor, Role, Splice, Switch, TwoFilamentLamp, Wire)
from circuitlab.parts import connector
from circuitlab.parts.flasher import TYPES
from circuitlab.reasoning import lamp_logic, lamp_table, path_to
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.sizing import guarding, judge, size, survey
from circuitlab.solving import operating_point
from circuitlab.solving.sweeping import sweep
from circuitlab.teaching.nets import turns
from circuitlab.commands.build_sheets import write_build_sheet
from circuitlab.views.attached import draw_attached, lay_out_attached
from circuitlab.views.faces import FACES, Face, face_of
from circuitlab.views.faces.body import Body
from circuitlab.views.faces.handles import block_handle, symbol_handle
from circuitlab.views.faces.shape import Shape
from circuitlab.views.logic_words import formula
from circuitlab.views.schematic import draw, lay_out
from circuitlab.views.schematic.flow import heights
from circuitlab.views.sizing_words import sizing_text

from reading_pictures import SVG, width_in
from small_boards import board
from test_floors import PACKAGE, rooms

# What the trade calls what lies between two terminals of each kind; with * where a hand parts it.
TRADE = {
    "battery": {"- +": "source"}, "fuse": {"1 2": "contact*"}, "breaker": {"1 2": "contact*"}, "wire": {"A:1 B:1": "way"},
    "resistor": {"1 2": "load"}, "lamp": {"1 2": "load", "54 31": "load", "58 31": "load"}, "LED lamp": {"1 2": "load"}, "diode": {"A K": "way"},
    "two-filament lamp": {"54 58": "way"}, "splice": {}, "chassis": {"1 body": "way", "2 body": "way"}, "switch": {"30 15": "contact"},
    "relay": {"86 85": "coil", "85 86": "coil", "30 87": "contact", "30 87a": "contact", "30 87b": "contact"},
    "fuse block": {}, "distribution block": {"1 bar 30": "way", "2 bar 30": "way", "3 bar 31": "way", "4 bar 31": "way"},
    "connector": {**{f"{pin}s {pin}p": "contact*" for pin in range(1, 16)}, "2s 3s": "electronics"},
    "converter": {"58 58t": "way"},
    "channel": {**{f"{signal} 31": "electronics" for signal in ("30", "54", "L", "R", "58")}, **{f"{feed} {out}": "contact" for feed in ("30", "54", "L", "R") for out in ("Lt", "Rt")}, "30 58t": "contact"},
    "flasher": {"49 31": "electronics", "49 49a": "contact", "49 C": "contact"}}
SAMPLES = [Battery("G1"), Fuse("F1"), Breaker("F2"), Wire("W1", "A:1", "B:1"), Resistor("R1"), Lamp("E1"), LedLamp("E2"),
           LedLamp("E3", load_resistance=6.0), Diode("V1"), Splice("X1"), Chassis("X2"),
           TwoFilamentLamp("E4"), TwoFilamentLamp("E5", touching=True), TwoFilamentLamp("E6", bulb="P21W"), *TwoFilamentLamp("E7").seats,
           *(each for type_ in ("powered", "unpowered") for each in (Converter("K11", type_), *Converter("K11", type_).seats)),
           Switch("S1", "key", {"on": [("30", "15")]}), *(Connector("X5", type_) for type_ in connector.TYPES),
           FuseBlock("F5", "30: 10 A, spare; 15: 5 A"), *FuseBlock("F6", "30: 10 A, spare; 15: 5 A clips 5 ohm").seats, DistributionBlock("X7", "30: 2, 31: 2"),
           Connector("X6", "12N", pins={"3": 2.0, "5": inf}, water={"2-3": 500.0}),
           *(Relay("K1", contact=contact, suppression=within) for contact in ("changeover", "make", "dual")
             for within in ("none", "resistor", "diode")),
           *(Flasher("K9", type=type_) for type_ in TYPES), Flasher("K9", pilot=True)]


def misnamed(part):
    """Return a sentence for every branch that has another role than the trade gives it; a thin one may lie beside a contact."""
    found = []
    for branch in part.branches():
        wanted = TRADE[part.kind].get(f"{branch.start} {branch.end}")
        said = f"{branch.role}{'*' if branch.mated else ''}"
        beside = wanted == "contact" and said == "electronics" and branch.resistance > 100
        if said != wanted and not beside:
            found.append(f"{part.name} {branch.start}-{branch.end}: {said} instead of {wanted}")
    return found


@pytest.mark.outside("DIN 72552 terminal numbers: 85 and 86 the coil, 30 to 87 and 87a contacts, 49 49a 31 of a flasher")
@pytest.mark.parametrize("part", SAMPLES, ids=lambda part: f"{part.name} {part.kind}")
def test_every_branch_is_what_the_trade_calls_it(part):
    assert misnamed(part) == []


def test_every_kind_is_among_them_and_every_role_occurs():
    assert {part.kind for part in SAMPLES} == set(KINDS) - {"buzzer"} | {"wire", "channel"} == set(TRADE)
    assert {branch.role for part in SAMPLES for branch in part.branches()} == set(Role)


def test_a_branch_with_the_role_of_another_part_is_found():
    class Dud(Lamp):
        def branches(self):
            return tuple(replace(branch, role=Role.WAY) for branch in super().branches())

    class Stuck(Fuse):
        def branches(self):
            return tuple(replace(branch, mated=False) for branch in super().branches())

    assert misnamed(Dud("E1")) == ["E1 1-2: way instead of load"]
    assert misnamed(Stuck("F1")) == ["F1 1-2: contact instead of contact*"]


@pytest.mark.parametrize("given", [(), ("load",), ("lamp",), (None,), (7,)])
def test_a_branch_without_a_role_or_with_a_wrong_one_is_refused_in_a_sentence(given):
    with pytest.raises(PartError, match="from '1' to '2' .* Allowed: way, contact, load, coil, electronics, source"):
        Branch("1", "2", *given)


def test_only_a_contact_is_parted_by_hand():
    with pytest.raises(PartError, match="mated, as only a contact is"):
        Branch("1", "2", Role.LOAD, mated=True)


# --------------------------------------------------------------- nobody above the parts keeps a list of kinds for it

# Rooms that list kinds for something else: how a kind looks or reads, and what a sentence shows of it.
LISTERS = {"arrangements/asked_back.py", "arrangements/shelf.py", "views/board/connections.py", "views/faces/__init__.py", "views/faces/relay.py"}
CALLED = {"contact", "coil", "supply", "suppressor", "stud"}     # what sizing calls a branch


def listings(package):
    """Return a sentence for every list of two kinds or more, and for everything that asks a branch's or a kind's name."""
    records, found = {record.__name__ for record in KINDS.values()}, []
    for room, tree, _ in rooms(package):
        name = room.as_posix()
        if room.parts[0] in ("parts", "__init__.py") or name in LISTERS:
            continue
        for node in ast.walk(tree):
            members = (node.elts if isinstance(node, ast.Tuple | ast.Set | ast.List) else
                       [key for key in node.keys if key] if isinstance(node, ast.Dict) else
                       [node.left, node.right] if isinstance(node, ast.BinOp) and isinstance(node.op, ast.BitOr) else [])
            kinds = {one.id for one in members if isinstance(one, ast.Name)} & records
            kinds |= {one.value for one in members if isinstance(one, ast.Constant) and isinstance(one.value, str)} & set(KINDS)
            if len(kinds) > 1:
                found.append(f"{name}:{node.lineno} lists {' and '.join(sorted(kinds))}: ask the role")
            asked = (node.func.value if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
                     and node.func.attr in ("startswith", "endswith") else node if isinstance(node, ast.Compare) else None)
            if asked is not None and room.parts[0] in ("reasoning", "views") and any(isinstance(one, ast.Attribute) and one.attr == "what" for one in ast.walk(asked)):
                found.append(f"{name}:{node.lineno} asks what a branch is called: ask the role")
    return found


def test_no_room_above_the_parts_lists_kinds_or_asks_what_a_branch_is_called():
    assert listings(PACKAGE) == []


@pytest.mark.parametrize("text", [
    "def f(part):\n    return isinstance(part, (Lamp, Resistor))", "def f(part):\n    return isinstance(part, Lamp | Fuse)",
    "def f(circuit):\n    return circuit.of_kind((Relay, Flasher))", "_EASE = {'fuse': 8.0, 'lamp': 0.3}",
    "def f(part):\n    return part.kind in ('splice', 'chassis')", "_REACH = {Lamp: 1.0, Fuse: 1.0}",
    "def f(load):\n    return load.what.startswith('contact')", "def f(load):\n    return load.what == 'contact 49-49a'"])
def test_a_planted_list_is_found(tmp_path, text):
    for room, least in (("reasoning/ways.py", 1), ("parts/ways.py", 0)):
        (tmp_path / room).parent.mkdir(exist_ok=True)
        (tmp_path / room).write_text(text)
        assert len(listings(tmp_path)) == least
        (tmp_path / room).unlink()


# ------------------------------------------------------------------------------------ a kind that nobody has seen

@dataclass(frozen=True)
class Buzzer(Part):
    """A sounding load, as a door has it: made by the page 'To add a part', registered, and nothing else."""

    resistance: float = 60.0
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "buzzer"
    letter: ClassVar[str] = "P"
    inlet: ClassVar[str] = "1"

    def __post_init__(self):
        super().__post_init__()
        self.must_be_number("resistance", 1, 10_000, "ohm")

    @property
    def terminals(self):
        return ("1", "2")

    @property
    def needs(self):
        return self.terminals

    @property
    def states(self):
        return ("whole", "silent")

    def branches(self):
        return (Branch("1", "2", Role.LOAD, self.resistance, closed_in=frozenset({"whole"})),)


@pytest.fixture(autouse=True)
def registered():
    """Every test here knows the buzzer, nobody after it does."""
    KINDS["buzzer"] = Buzzer
    yield
    del KINDS["buzzer"]


def beside():
    """The buzzer lies beside the switch, so that it is in the lamp's way while that is open."""
    return board("a buzzer beside a switch", [Battery("G1"), Fuse("F1", 5.0), Buzzer("P1"), Lamp("E1"),
                                              Switch("S1", "switch", {"on": [("1", "2")]}), Splice("X1"), Splice("X2")],
                 [("G1:+", "F1:1"), ("F1:2", "X1:1"), ("X1:2", "S1:1"), ("X1:3", "P1:1"), ("S1:2", "X2:1"), ("P1:2", "X2:2"),
                  ("X2:3", "E1:1"), ("E1:2", "G1:-")])


def alone(fuse=True):
    """The buzzer and a lamp side by side behind a switch; without a fuse the buzzer hangs on the battery itself."""
    feed = [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "X1:1"), ("X1:2", "P1:1")]
    if not fuse:
        feed = [("G1:+", "P1:1"), ("P1:1", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "X1:1")]
    return board("a buzzer of its own", [Battery("G1"), Fuse("F1", 5.0), Buzzer("P1", place="dashboard"), Lamp("E1"), Chassis("X9", 3),
                                         Switch("S1", "switch", {"on": [("1", "2")]}), Splice("X1")],
                 [*feed, ("X1:3", "E1:1"), ("E1:2", "X9:1"), ("P1:2", "X9:2"), ("X9:3", "G1:-")])


def test_a_text_file_and_a_typed_change_take_it():
    assert read_text(write_text(alone()), "x").parts == alone().parts
    more = changed(alone(), read_change("add part P2 buzzer, resistance 100 ohm", alone()))
    assert more.part("P2") == Buzzer("P2", 100.0)
    with pytest.raises(PartError, match="buzzer 'P2': resistance"):
        Buzzer("P2", -1)


def test_the_checks_speak_of_it():
    assert warnings_for(alone()) == ()
    (caution,) = warnings_for(alone(fuse=False))
    assert caution.startswith("no fuse lies between the battery's plus and P1")
    spare = board("half wired", [Battery("G1"), Fuse("F1"), Buzzer("P1")], [("G1:+", "F1:1"), ("F1:2", "P1:1")], ())
    assert any(words.startswith("no wire goes to P1:2: buzzer 'P1' cannot work without it") for words in warnings_for(spare))


def test_it_is_no_way():
    assert not any(link.name == "P1" for link in links(beside()))
    assert not is_joined(beside(), "G1:+", "E1:1", {"S1": "off"}) and is_joined(beside(), "G1:+", "E1:1", {"S1": "on"})


def test_table_logic_and_path_say_that_the_lamp_behind_it_is_dark():
    """60 ohm before a cold filament leave it under 0.2 V: U R / (R + 60), R below 1 ohm."""
    table = lamp_table(beside())
    assert [row.cells["E1"].look for row in table.rows] == ["dark", "steady"]
    logic = lamp_logic(beside())
    assert formula(logic.lamp("E1").condition) == "switch" and logic.differences == ()
    assert [way.contacts for way in logic.lamp("E1").ways] == [("S1:1-2 (switch on)",)]
    path = path_to(operating_point(beside()), "E1")
    assert path.through == ("P1",) and path.is_backwards and "the current passes P1 on its way" in path.sentence
    assert path_to(operating_point(beside(), {"switch": "on"}), "E1").through == ()


def test_a_sweep_finds_its_current():
    found = sweep(alone(), rows=[{"switch": "on"}])
    assert float(found.current("P1").ravel()[0]) == pytest.approx(operating_point(alone(), {"switch": "on"}).current("P1"), rel=1e-9)


def test_sizing_takes_it_for_a_load():
    sized = size(alone())
    flows = sized.survey.load("P1")
    assert flows.role is Role.LOAD and flows.what == "buzzer" and flows.amps == pytest.approx(12.6 / 60, rel=0.02)
    assert set(sized.loops) == {"P1", "E1"} and sized.loops["P1"].load_volts == pytest.approx(flows.amps * 60)
    assert [piece.what for piece in sized.loops["P1"].out if piece.is_contact] == ["contact 1-2"]
    loads = sizing_text(sized).partition("What flows through coils and loads")[2].partition("What flows")[0]
    assert "P1" in loads and "P1" not in sizing_text(sized).partition("fuses and contacts")[2].partition("What flows")[0]
    assert guarding(survey(alone(fuse=False))).unfused == ("P1",)
    bare = [finding.part for finding in judge(alone(fuse=False)) if finding.rule == "a fuse ahead of every load" and not finding.is_kept]
    assert bare == ["P1"]


def test_faults_know_that_it_can_die_and_short():
    faults = [fault for fault in single_faults(alone()) if fault.place.startswith("P1")]
    assert {(fault.kind, fault.words) for fault in faults} >= {
        ("dead load", "P1 silent"), ("short between neighbours", "P1:1 touches P1:2")}
    table = fault_table(alone(), faults=faults)
    worst = {line.fault.words: line.worst for line in table.lines}
    assert worst["P1:1 touches P1:2"] == "signal lost"      # the fuse goes, and the lamp with it
    assert worst["P1 silent"] == "no effect"                # to a driver behind
    told = table.reading(next(line for line in table.lines if line.fault.kind == "dead load"))
    assert "60.0 ohm" in str(told.healthy) and "open" in str(told.faulty) and "P1:1" in str(told.faulty)


def test_a_drawing_has_it_between_live_and_ground_in_a_box_that_says_what_it_is(tmp_path):
    height = heights(alone())
    assert height["P1:1"] - height["P1:2"] > 0.7
    for picture in (draw(alone()), draw_attached(alone())):
        assert ">buzzer<" in picture and ">P1<" in picture
    assert "buzzer, resistance 60" in write_build_sheet(alone(), tmp_path / "buzzer.html").read_text()


def within(picture):
    """Tell whether the kind of the buzzer stands in its own box, by the width of its letters."""
    (group,) = [group for group in ET.fromstring(picture).iter(f"{SVG}g") if group.get("data-part") == "P1"]
    (text,) = [text for text in group.iter(f"{SVG}text") if text.text == "buzzer"]
    boxes = [(float(box.get("x")), float(box.get("y")), float(box.get("x")) + float(box.get("width")),
              float(box.get("y")) + float(box.get("height"))) for box in group.iter(f"{SVG}rect") if not box.get("class")]
    for outline in group.iter(f"{SVG}polygon"):
        corners = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", outline.get("points"))]
        boxes.append((min(corners[::2]), min(corners[1::2]), max(corners[::2]), max(corners[1::2])))
    (left, top, right, low), = boxes
    x, y, size = (float(text.get(key)) for key in ("x", "y", "font-size"))
    return left <= x and x + width_in("buzzer", size, False) <= right and top <= y - 0.8 * size and y <= low


def test_without_a_face_its_kind_is_written_in_its_box():
    for picture in (draw(alone()), draw_attached(alone())):
        assert within(picture)
        assert not within(picture.replace('font-size="10.5" fill="currentColor">buzzer', 'font-size="40" fill="currentColor">buzzer'))


class Dome(Shape):
    """A bell over a line."""

    name, body, sides = "buzzer", 20, (10, 10)

    def form(self):
        x, low = self.xs[0], self.low
        self.line((x - 10, low), (x - 7, low - 14), (x, self.top), (x + 7, low - 14), (x + 10, low), (x - 10, low))


class Disc(Body):
    """A round housing."""

    def form(self):
        x, top, low = self.upright()
        self.dot(x, (top + low) / 2, 9, "none")


class BuzzerFace(Face):
    """All that has to be written for a look of its own."""

    shape, body = Dome, Disc

    def beside(self, piece, part, arrangement):
        return [("buzz", "")]

    def details(self, part):
        return f"buzzer, draws {12 / part.resistance:g} A"


def test_a_face_and_one_line_of_registry_give_it_a_look_and_words_of_its_own(tmp_path, monkeypatch):
    monkeypatch.setitem(FACES, "buzzer", BuzzerFace())
    made = replace(alone(), title="a buzzer with a face")
    schematic, attached = draw(made), draw_attached(made)
    assert 'class="part buzzer"' in schematic and ">buzz<" in schematic and ">buzzer<" not in schematic
    assert 'r="9"' in attached and ">buzzer<" in attached       # above its block
    assert "buzzer, draws 0.2 A" in write_build_sheet(made, tmp_path / "buzzer.html").read_text()
    (symbol,) = [each for each in lay_out(made).symbols if each.piece.part == "P1"]
    block = next(block for block in lay_out_attached(made).blocks if block.part == "P1")
    for handle, picture in ((symbol_handle(symbol, made), schematic), (block_handle(block, made), attached)):
        assert [state for state, _ in handle.states] == ["whole", "silent"] and handle.touch == ()
        assert handle.states[0][1] in picture
        assert {place[0] for place in handle.terminals} == {"P1:1", "P1:2"}
    monkeypatch.undo()
    assert type(face_of(made.part("P1"))) is Face


def test_a_learner_may_wire_it_either_way_round():
    assert turns(alone())["P1"] == {"P1:1": "P1:2", "P1:2": "P1:1"}
    assert "E2" not in turns(replace(alone(), parts=(*alone().parts, LedLamp("E2"))))

"""The build sheet: every part, wire and terminal is on it, and the looks to tick are the rule's."""

import re
import xml.etree.ElementTree as ET
from dataclasses import fields, replace
from html import unescape
from itertools import product
from math import inf

import pytest

from circuitlab.arrangements import Arrangement, Hold, LoseJoint, RemoveWire, SetValue, SwapTerminals, Wanted, arrangement, arrangement_names, changed
from circuitlab.ground.errors import FileError
from circuitlab.ground.places import kit_folder
from circuitlab.parts import KINDS, Battery, Chassis, Control, Flasher, Lamp, Relay, Switch, Wire
from circuitlab.reasoning import lamp_table
from circuitlab.commands.build_sheets import build_sheet, write_build_sheet
from circuitlab.commands.line import main
from circuitlab.views.build_sheet.lists import next_gauge
from circuitlab.views.build_sheet.plugs import SIZES

HOSTILE = '</td></table><script>alert("x")</script> & \'q\''


def page(sheet):
    """Return the two sections of a sheet; fails when it is not well formed."""
    return list(ET.fromstring(sheet.encode("utf-8")).iter("section"))


def words(element):
    return " ".join("".join(element.itertext()).split())


def rows(section, kind):
    """Return the body rows of all tables of a class, each a list of the cells' words."""
    return [[words(cell) for cell in row] for table in section.iter("table") if table.get("class") == kind
            for row in table.find("tbody")]


def heads(section, kind):
    return [words(cell) for cell in next(t for t in section.iter("table") if t.get("class") == kind).find("thead/tr")]


def cards(section):
    """Return {heading: {terminal: what is on it}} for the socket cards."""
    return {words(card.find("h3")): {words(row.find("th")): words(row.find("td")) for row in card.iter("tr")}
            for card in section.iter("div") if card.get("class") == "card"}


@pytest.mark.in_turn(11, 1)
@pytest.mark.parametrize("name", arrangement_names())
def test_every_part_and_wire_is_listed_with_what_the_builder_needs(name):
    """Ratings, bulbs, sizes and places as the arrangement gives them."""
    made = arrangement(name)
    first, second = page(build_sheet(made))
    parts = {row[0]: row for row in rows(first, "parts")}
    assert list(parts) == [part.name for part in made.listed]
    for part in made.listed:
        assert parts[part.name][2] == part.place
        assert parts[part.name][1].startswith("blade fuse" if part.kind == "fuse" else part.kind)
        if part.kind == "fuse":
            assert f"{part.rating:g} A" in parts[part.name][1]
        if part.kind == "lamp":
            assert f"{part.bulb}, {part.watts:g} W at {part.volts:g} V" in parts[part.name][1]
    wires = {row[0]: row for row in rows(first, "wires")}
    assert list(wires) == [wire.name for wire in made.wires]
    for wire in made.wires:
        assert wires[wire.name][1:6] == [wire.start, wire.end, wire.colour, f"{wire.length:g}", f"{wire.area:g}"]
    assert made.title in words(first) and made.note in words(first) and made.title in words(second)


@pytest.mark.in_turn(11, 1)
@pytest.mark.parametrize("name", arrangement_names())
def test_every_terminal_is_on_the_sheet(name):
    """On a wire's line, or among those without a wire; relays once more on their sockets."""
    made = arrangement(name)
    first, second = page(build_sheet(made))
    joined = {end for row in rows(first, "wires") for end in row[1:3]}
    without = re.search(r"No wire goes on: (.*?)\. ?$", words(first.findall("p")[-2]))
    open_ones = without[1].split(", ") if without else []
    assert joined | set(open_ones) == set(made.terminals) and not joined & set(open_ones)
    for relay in made.of_kind(Relay):
        card = cards(second)[f"{relay.name}, {relay.place}"]
        assert list(card) == list(relay.terminals)
        for terminal, on_it in card.items():
            expected = [f"{wire} {made.part(wire).colour}" for wire in made.wires_at[f"{relay.name}:{terminal}"]]
            assert on_it == (", ".join(expected) or "no wire")


@pytest.mark.in_turn(11, 1)
@pytest.mark.parametrize("name", arrangement_names())
def test_the_tick_sheet_has_every_row_once_with_the_look_of_the_rule(name):
    """Rows from the positions, looks by reading the rule's lines here, in order, first that fits."""
    made = arrangement(name)
    second = page(build_sheet(made))[1]
    lamps = made.of_kind(Lamp)
    assert heads(second, "rows") == ["row", *(control.name for control in made.controls),
                                     *(f"{lamp.name} {lamp.place}" for lamp in lamps),
                                     *(["test lamp at S1:15"] if "S1:15" in made.terminals else []), "seen"]
    expected = []
    for number, choice in enumerate(product(*(control.positions for control in made.controls)), 1):
        where = dict(zip((control.name for control in made.controls), choice))
        looks = [next((line.look for line in made.rule if line.lamp == lamp.name
                       and all(where[control] == position for control, position in line.when)), "dark") for lamp in lamps]
        lit = [["dark"] if where["key"] == "off" else [""]] if "S1:15" in made.terminals else []
        expected.append([str(number), *choice, *looks, *sum(lit, []), ""])
    assert rows(second, "rows") == expected
    boxes = [span for span in second.iter("span") if span.get("class") == "box"]
    assert len(boxes) == len(expected) and not any(words(box) for box in boxes)
    assert "The looks are what the rule asks for." in words(second)


def test_without_a_rule_the_looks_are_computed_and_the_sheet_says_so():
    """One lamp keeps its rule, the others fall back on the lamp table."""
    ruled = arrangement("shared-filament-rear-relays")
    made = replace(ruled, rule=tuple(line for line in ruled.rule if line.lamp == "E1"))
    second = page(build_sheet(made))[1]
    table, first_lamp = lamp_table(made), 1 + len(made.controls)
    assert made.ruled_terminals == ()
    written = {tuple(row[1:first_lamp]): row[first_lamp:-1] for row in rows(second, "rows")}
    assert len(written) == len(table.rows) == 12
    for row in table.rows:
        looks = written[tuple(row.positions[control.name] for control in made.controls)]
        assert looks[1:] == [row.cells[lamp].look for lamp in ("E2", "E3", "E4")]
        assert looks[0] == made.wanted("E1", row.positions)
    assert {"flashing", "steady", "dark"} == {look for looks in written.values() for look in looks[1:]}
    assert "No rule for E2, rear right; E3, front left; E4, front right: not proved for them" in words(page(build_sheet(made))[0])
    assert "No rule speaks of E2, E3, E4" in words(second) and "The others are what the rule asks for" in words(second)


def test_sockets_show_only_the_terminals_a_relay_has():
    """A make relay has no blade in the middle; 30 faces 87 and 85 faces 86 in the picture."""
    made = Arrangement("two relays", parts=[Battery("G1"), Relay("K1"), Relay("K2", contact="make"), Flasher("K3")],
                       wires=[Wire("W1", "G1:+", "K2:30", "RD"), Wire("W2", "G1:-", "K2:30", "BK")])
    second = page(build_sheet(made))[1]
    assert list(cards(second)["K1"]) == ["30", "85", "86", "87", "87a"] and set(cards(second)["K1"].values()) == {"no wire"}
    assert cards(second)["K2"] == {"30": "W1 RD, W2 BK", "85": "no wire", "86": "no wire", "87": "no wire"}
    assert list(cards(second)["K3"]) == ["49", "49a", "31"]
    pictures = {svg.get("aria-label").split()[2]: svg for svg in second.iter("{http://www.w3.org/2000/svg}svg")}
    assert list(pictures) == ["K1", "K2"]
    for relay, svg in pictures.items():
        where = {text.text: (float(text.get("x")), float(text.get("y")))
                 for text in svg.iter("{http://www.w3.org/2000/svg}text")}
        assert set(where) == set(made.part(relay).terminals)
        assert where["87"][1] < where["85"][1] == where["86"][1] < where["30"][1]
        assert where["86"][0] < where["87"][0] < where["85"][0]
        blades = svg.find("{http://www.w3.org/2000/svg}path").get("d").count("M")
        assert blades == len(made.part(relay).terminals)
    assert "meter it before plugging in" in words(second)


def test_cautions_and_the_drivers_left_and_right_stand_on_the_first_page():
    """The points every sheet for a real circuit must carry."""
    first = words(page(build_sheet(arrangement("one-fused-lamp")))[0])
    for point in ("Left and right are the driver's, facing forward", "Power off while you wire", "Fuse at the battery end",
                  "Someone else looks before you switch on", "hot enough to burn", "never foil or a bridge",
                  "local code and for licensed practice"):
        assert point in first


@pytest.mark.in_turn(11, 1)
@pytest.mark.parametrize("name", arrangement_names())
def test_a_blank_sheet_has_all_to_build_from_and_nothing_a_lesson_asks(name):
    """Parts, wires, sockets and cautions as on the full one; no look, no volts, no note on how it works; a blank for each."""
    made = arrangement(name)
    (first, second), (full, told) = page(build_sheet(made, blank=True)), page(build_sheet(made))
    assert rows(first, "parts") == rows(full, "parts") and cards(second) == cards(told)
    assert [row[:7] for row in rows(first, "wires")] == [row[:7] for row in rows(full, "wires")]
    assert {cell for row in rows(first, "wires") for cell in row[7:]} <= {""} and heads(first, "wires") == heads(full, "wires")
    moved = len(made.controls) + 1
    assert [row[:moved] for row in rows(second, "rows")] == [row[:moved] for row in rows(told, "rows")]
    assert {cell for row in rows(second, "rows") for cell in row[moved:]} == {""} and heads(second, "rows") == heads(told, "rows")
    fills = lambda section: sum(each.get("class") == "fill" for each in section.iter("span"))
    assert fills(second) == sum(len(row) - moved - 1 for row in rows(told, "rows")) and fills(first) == sum(len(row[7:]) for row in rows(full, "wires"))
    assert fills(full) + fills(told) == 0 and made.note not in words(first) and "joined at rest" not in words(second)
    assert all(line in words(first) for line in (each.text for each in full.iter("li") if each.text))
    for said in ("steady", "flashing"):
        assert said not in words(second).replace("dark, steady or flashing", "").replace(made.title, "")


def test_the_command_writes_a_blank_sheet_only_when_asked(tmp_path):
    for more, is_blank in (([], False), (["--blank"], True)):
        assert main(["sheet", "relay-test-board", "--out", str(tmp_path / "board.html"), *more]) == 0
        text = (tmp_path / "board.html").read_text("utf-8")
        assert ('<span class="fill">' in text) == is_blank and ("30 to 87a is joined at rest" in text) != is_blank
    assert 'class="fill"' not in (tmp_path / "board.before-1.html").read_text("utf-8")


@pytest.mark.outside("ASTM B258, American wire gauge areas in mm2 (as printed in wire tables: 12 3.31, 14 2.08, 16 1.31, 18 0.82, 20 0.52)")
@pytest.mark.parametrize(("area", "gauge", "true"), [(2.5, 12, 3.31), (2.08, 14, 2.08), (1.5, 14, 2.08), (1.0, 16, 1.31),
                                                     (0.75, 18, 0.82), (0.5, 20, 0.52)])
def test_the_next_larger_gauge_is_printed_with_its_true_area(area, gauge, true):
    """Of the even gauges, and never one with less copper than the plan asks for."""
    assert next_gauge(area) == (gauge, pytest.approx(true, abs=0.005))
    made = Arrangement("one wire", parts=[Battery("G1"), Lamp("E1")], wires=[Wire("W1", "G1:+", "E1:1", "RD", 1, area)])
    assert rows(page(build_sheet(made))[0], "wires")[0][6] == f"{gauge} ({true:.2f})"


def test_the_legend_reads_out_just_the_colour_letters_in_use():
    """Two letters run together are explained; a wire without colour is any."""
    made = Arrangement("three wires", parts=[Battery("G1"), Lamp("E1")], wires=[
        Wire("W1", "G1:+", "E1:1", "RDBU"), Wire("W2", "E1:2", "G1:-", "BK"), Wire("W3", "E1:2", "G1:-")])
    first = page(build_sheet(made))[0]
    legend = words(first.findall("p")[-1])
    assert legend == ("Colour letters (IEC 60757): BK black; RD red; BU blue; two run together: RDBU is red with blue; "
                      "any: choose one and write it in.")
    assert [row[3] for row in rows(first, "wires")] == ["RDBU", "BK", "any"]


def test_a_faulty_arrangement_is_not_passed_off_as_sound():
    """Held parts and lost joints are named on the sheet; a sound one says nothing of faults."""
    sound = arrangement("one-fused-lamp")
    assert "carries a fault" not in words(page(build_sheet(sound))[0])
    faulty = changed(sound, Hold("F1", "blown"), LoseJoint(sound.wires[1].name, sound.wires[1].end))
    assert faulty.wires[1].end_joint == inf
    assert (f"carries a fault: F1 stays blown, {sound.wires[1].name} is lost at {sound.wires[1].end}."
            in words(page(build_sheet(faulty))[0]))


def hostile():
    """Return an arrangement in which every name a person types looks like markup."""
    lamp = Lamp("E<1>", place=HOSTILE, note=HOSTILE)
    return Arrangement(HOSTILE, [Control(HOSTILE, (HOSTILE, "on & <on>"))],
                       [Battery("G1", note=HOSTILE), lamp, Switch("S<1>", HOSTILE, {"on & <on>": [("1", "2")]}, place=HOSTILE),
                        Relay("K&1", place=HOSTILE), Chassis("X'1'")],
                       [Wire("W<1>", "G1:+", "K&1:30", note=HOSTILE), Wire("W2", "E<1>:1", "X'1':1")],
                       [Wanted("E<1>", "steady", {HOSTILE: "on & <on>"})], note=HOSTILE)


def test_names_that_look_like_markup_stay_text():
    """Every label is escaped, in lists, sockets and tick sheet."""
    sheet = build_sheet(hostile())
    first, second = page(sheet)
    shown = " ".join(HOSTILE.split())
    assert "<script" not in sheet
    assert {element.tag for element in first.iter()} <= {"section", "h1", "h2", "p", "b", "i", "div", "ul", "li", "table",
                                                         "thead", "tbody", "tr", "th", "td"}
    assert words(first).count(shown) >= 6 and words(second).count(shown) >= 4
    assert rows(second, "rows")[1] == ["2", "on & <on>", "steady", ""]
    assert f"K&1, {shown}" in cards(second)


def test_a_part_of_any_kind_gets_a_line_of_words():
    """Also one the sheet has no words for: its own values are listed."""
    assert {"battery", "fuse", "lamp", "relay", "flasher", "switch", "splice", "chassis", "resistor"} <= set(KINDS)
    made = arrangement("relay-test-board")
    unknown = replace(made.part("E1"))
    object.__setattr__(unknown, "kind", "beacon")
    told = rows(page(build_sheet(made.with_parts(unknown)))[0], "parts")
    line = next(row[1] for row in told if row[0] == "E1")
    assert line.startswith("beacon, ")
    for field in fields(unknown):
        if field.name not in ("name", "place", "note"):
            assert f"{field.name.replace('_', ' ')} {getattr(unknown, field.name)}" in line


def test_the_sheet_is_written_self_contained_and_always_the_same(tmp_path):
    """No address of anything outside; the same arrangement gives the same bytes."""
    made = arrangement("shared-filament-four-relays-hazard")
    path = write_build_sheet(made, tmp_path / "sheet.html")
    assert path.read_text(encoding="utf-8") == build_sheet(arrangement(made.name))
    used = re.findall(r"""(?:src|href|url|@import)\b\s*[=("']""", path.read_text(encoding="utf-8"))
    assert used == []


@pytest.mark.parametrize("name", ["sheet.txt", "sheet", "sheet.html.pdf"])
def test_another_ending_is_refused_in_words(tmp_path, name):
    """The sentence says what is wrong and what to write instead; nothing is written."""
    with pytest.raises(FileError, match=rf"'{re.escape(name)}' does not end in \.html.*\.html'"):
        write_build_sheet(arrangement("one-fused-lamp"), tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_told(tmp_path):
    """No traceback of the operating system."""
    with pytest.raises(FileError, match="'sheet.html' cannot be written: its folder is missing"):
        write_build_sheet(arrangement("one-fused-lamp"), tmp_path / "nowhere" / "sheet.html")


def test_a_sheet_whose_rule_and_circuit_disagree_says_so_first():
    """A wire moved after the rule was written: the sheet may not ask for what cannot be seen without a word."""
    cart = arrangement("shared-filament-rear-relays")
    moved = changed(cart, SwapTerminals("K1:87", "K1:87a"))
    said = unescape(build_sheet(moved))
    failing = [row for row in lamp_table(moved).rows if not row.keeps_rule]
    assert f"does not do what its rule asks in {len(failing)} of 12 rows, first with " in said and len(failing) > 2
    assert said.index("does not do what its rule asks") < said.index("Before you touch a wire")
    assert "does not do what" not in build_sheet(cart)


def test_bare_coils_beside_a_flasher_with_electronics_are_told_and_only_these():
    """Common practice, no source: 560 to 680 ohm, 0.5 to 1 W, or a diode; a maker's note measured 1000 to 1500 V at a bare 12 V coil (from memory)."""
    cart = arrangement("shared-filament-rear-relays")
    told = "K1, K2 have nothing across the coil"
    assert told in build_sheet(cart)
    kick = "Switched off, a bare coil gives a kick of 100 V and more for a moment"      # in the words and figures of the lesson
    assert kick in build_sheet(cart) and kick in (kit_folder("lessons") / "06b_pull_in_and_let_go.ipynb").read_text("utf-8")
    half = changed(cart, SetValue("K1", "suppression", "resistor"))
    assert "K2 has nothing across the coil" in build_sheet(half) and told not in build_sheet(half)
    for other in (changed(half, SetValue("K2", "suppression", "diode")), arrangement("relay-test-board"),
                  changed(cart, RemoveWire("W28"), SetValue("K9", "type", "thermal fixed load"))):
        assert "nothing across the coil" not in build_sheet(other)


# By hand from the files: front and rear of a side, all four with hazard; by flashing line the front lamp alone
@pytest.mark.parametrize(("name", "said"), [
    ("shared-filament-four-relays-hazard", "2 x 21 W, 4 x 21 W with hazard on"), ("hazard-third-relay", "2 x 21 W, 4 x 21 W with hazard on"),
    ("shared-filament-rear-relays", "2 x 21 W"), ("combined-turn-stop-lever-trailer", "3 x 21 W"), ("flashing-line-only", "1 x 21 W")])
def test_the_parts_list_says_what_the_flasher_really_switches(name, said):
    made = arrangement(name)
    (flasher,) = made.of_kind(Flasher)
    parts = {row[0]: row for row in rows(page(build_sheet(made))[0], "parts")}
    assert f"; here it switches {said}: buy one that may carry that" in parts[flasher.name][1]


def test_without_bulbs_of_one_sort_the_flashers_load_is_in_watts():
    """What flows at 12 V: 5 W and 21 W, as filaments at these volts to a tenth."""
    made = changed(arrangement("separate-filaments"), *(SetValue(lamp, what, value) for lamp in ("E3", "E4") for what, value in (("bulb", "R5W"), ("watts", 5.5))))
    (flasher,) = made.of_kind(Flasher)
    parts = {row[0]: row for row in rows(page(build_sheet(made))[0], "parts")}
    watts = float(re.search(r"; here it switches (\d+) W: buy", parts[flasher.name][1])[1])
    assert watts == pytest.approx(5 + 21, rel=0.1)


@pytest.mark.parametrize(("name", "changes", "said"), [
    ("shared-filament-rear-relays-hazard", [], "red rear turn signals; no tell-tale for turn signals and hazard."), ("one-fused-lamp", [], ""), ("relay-test-board", [], ""),
    ("separate-filaments", [], ": no tail lamps; no tell-tale for turn signals."), ("tail-and-stop-two-filaments", [], ": no tell-tale for turn signals."),
    ("trailer-separate-to-combined", [], "red rear turn signals; no turn lamps in front; without a rear fog lamp on the trailer"),
    ("separate-filaments", [SetValue("E1", "light", "red"), SetValue("E3", "place", "dash, tell-tale")], ": no tail lamps."),
    ("trailer-12n-separate-lamps", [], "no tell-tale for turn signals; no hazard signal; one tail lamp alone."),
    ("trailer-4-flat-converter", [], "turn lamps of one side flash against each other; red rear turn signals; without a rear fog lamp on the trailer")])
def test_what_the_law_may_mind_stands_behind_the_last_caution(name, changes, said):
    """What `choose` tells of the same circuit, in short; UN R48 and FMVSS 108, from memory there. Where nothing is found nothing stands there."""
    first, _ = page(build_sheet(changed(arrangement(name), *changes)))
    last = words(next(box for box in first.iter("div") if box.get("class") == "caution").findall("ul/li")[-1])
    assert "is for the local code and for licensed practice." in last and ("The code may mind here: " in last) == bool(said) and said in last


@pytest.mark.parametrize("name", ["shared-filament-four-relays", "trailer-12n-separate-lamps", "one-fused-lamp"])
def test_metres_to_buy_are_told_for_each_size_and_each_colour_of_it(name):
    """Added up from the wires of the circuit; those of all colours of a size are that size's metres, to rounding."""
    circuit = arrangement(name)
    first, _ = page(build_sheet(circuit))
    said = re.search(r"Wire in all: (.*?)\. AWG is", " ".join(words(first).split()))[1]
    told = {float(area): (float(whole), dict(each.rsplit(" ", 1) for each in inside.split(", ")))
            for whole, area, inside in re.findall(r"([\d.]+) m of ([\d.]+) mm² \((.*?)\)", said)}
    assert {*told} == {wire.area for wire in circuit.wires}
    for area, (whole, colours) in told.items():
        own = [wire for wire in circuit.wires if wire.area == area]
        assert whole == pytest.approx(sum(wire.length for wire in own), abs=0.051)
        assert {*colours} == {wire.colour for wire in own}
        for colour, metres in colours.items():
            assert float(metres) == pytest.approx(sum(wire.length for wire in own if wire.colour == colour), abs=0.051), (area, colour)


def test_the_sheet_says_why_the_cores_of_a_plug_are_of_other_sizes_than_the_wires():
    twelve = arrangement("trailer-12n-separate-lamps")
    assert any(wire.area != 1.5 for name in "14567" for side in "sp" for wire in map(twelve.part, twelve.wires_at[f"X5:{name}{side}"]))
    assert SIZES in " ".join(words(page(build_sheet(twelve))[1]).split())
    assert SIZES not in " ".join(words(page(build_sheet(arrangement("trailer-4-flat-combined-lamps")))[1]).split())      # its code has no sizes at hand
    alike = changed(twelve, *(SetValue(name, "area", 2.5 if pin == "3" else 1.5) for pin in "134567" for side in "sp" for name in twelve.wires_at[f"X5:{pin}{side}"]))
    assert SIZES not in " ".join(words(page(build_sheet(alike))[1]).split())

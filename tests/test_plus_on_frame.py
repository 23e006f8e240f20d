"""Plus on the frame, as in some old tractors: declared, and then drawing, readings, sizing, faults and sheets follow the live side.

A wiring without polarity is the same wiring with every sign turned: that mirror is the judge of most of this room.
"""

import re
from dataclasses import replace

import pytest

from circuitlab.arrangements import (Arrangement, FrameOn, Hold, LoseJoint, MoveWire, Short, SwapTerminals, arrangement, changed, read_change,
                                     Wanted, read_text, write_text)
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.arrangements.counterparts import counterparts
from circuitlab.arrangements.rows import phases_of, rows_of
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Battery, Chassis, Diode, Flasher, Fuse, Lamp, LedLamp, Relay, Wire, thermal_flasher, toggle
from circuitlab.reasoning import lamp_logic, path_to, prove, row_of
from circuitlab.reasoning.things import things_changed
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.leads import take_reading
from circuitlab.reasoning.paths import missing_path
from circuitlab.reasoning.sizing import guarding, judge, size, survey
from circuitlab.solving import operating_point
from circuitlab.teaching.kinds import Number
from circuitlab.teaching.variants import vary
from circuitlab.views.attached import describe_attached, draw_attached
from circuitlab.benches.board.desk import Desk
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.views.build_sheet.page import cautions_for
from circuitlab.views.fault_words import fault_table_text, reading_words
from circuitlab.views.schematic import describe, draw
from circuitlab.views.tables import settled_status

from judges.kirchhoff import settle
from small_boards import board, old_tractor

ON_PLUS = SwapTerminals("G1:+", "G1:-"), FrameOn("plus")
RULE = """rear left: flash when turn left, else steady when stop
rear right: flash when turn right, else steady when stop
front left: flash when turn left, else dark
front right: flash when turn right, else dark"""
LEFT = {"key": "on", "turn lever": "left"}
MIRRORED = ("relay-test-board", "separate-filaments",
            *(pytest.param(name, marks=pytest.mark.full) for name in ("one-fused-lamp", "shared-filament-rear-relays", "third-stop-lamp")))


def without_polarity(name):
    """Return an arrangement of the kit with a flasher that works by heat in the place of its own."""
    circuit = arrangement(name)
    flashers = [part for part in circuit.parts if isinstance(part, Flasher)]
    circuit = changed(circuit, *(LoseJoint(wire, f"{part.name}:31") for part in flashers for wire in circuit.wires_at.get(
        f"{part.name}:31", ())))
    for part in flashers:
        gone = [wire for end in part.terminals if end not in ("49", "49a") for wire in circuit.wires_at[f"{part.name}:{end}"]]
        circuit = circuit.with_parts(without=gone).with_parts(thermal_flasher(part.name, rated_load=42.0))
    return circuit


@pytest.fixture(params=MIRRORED)
def pair(request):
    """Return a wiring with minus on the frame and the same with plus there."""
    circuit = without_polarity(request.param)
    return circuit, changed(circuit, *ON_PLUS)


# --- declared ------------------------------------------------------------------------------------------------------

def test_it_is_said_in_the_file_and_by_a_typed_sentence_and_read_back():
    tractor = old_tractor()
    assert '\nframe = "plus"\n' in write_text(tractor) and read_text(write_text(tractor)) == tractor
    assert "\nframe =" not in write_text(arrangement("one-fused-lamp"))
    change = read_change("frame on plus", arrangement("one-fused-lamp"))
    assert change == FrameOn("plus") and str(change) == "frame on plus"
    assert changed(tractor, FrameOn("minus")) == read_text(write_text(tractor).replace('frame = "plus"\n', ""))


@pytest.mark.parametrize("make", [
    lambda: FrameOn("blue"), lambda: read_change("frame on blue", old_tractor()), lambda: FrameOn(None),
    lambda: read_text(write_text(old_tractor()).replace('frame = "plus"', 'frame = "blue"')),
    lambda: Arrangement("x", parts=[Battery("G1")], frame=["plus"])])
def test_another_pole_is_refused_with_what_is_allowed(make):
    with pytest.raises(CircuitLabError, match="minus") as error:
        make()
    assert "plus" in str(error.value)


def test_what_is_said_wins_and_a_contradiction_is_told():
    lamp = arrangement("one-fused-lamp")
    assert warnings_for(old_tractor()) == () == warnings_for(changed(lamp, *ON_PLUS))
    assert warnings_for(changed(lamp, ON_PLUS[0]))[0].startswith("battery 'G1' is the wrong way round: its plus is on the frame 'X1'")
    said = warnings_for(changed(lamp, ON_PLUS[1]))[0]
    assert "the frame is to be plus, and the battery's minus is on 'X1'" in said and "frame on minus" in said
    assert operating_point(changed(lamp, ON_PLUS[1])).volts("G1:-") < -12


# --- readings ------------------------------------------------------------------------------------------------------

def test_a_meter_with_its_black_lead_on_the_frame_shows_less_than_nothing():
    """By Kirchhoff's law alone; that such a meter reads -12.6 V is common practice."""
    lamp = changed(arrangement("one-fused-lamp"), *ON_PLUS)
    reading = take_reading(operating_point(lamp), "F1:2")
    assert reading.black == "G1:+" and reading.value == pytest.approx(-12.6, abs=0.01) and reading.word == "live"
    assert take_reading(operating_point(lamp), "G1:-", "X1:1").value == pytest.approx(-12.6, abs=0.01)


def test_every_reading_has_the_other_sign_and_every_word_stays(pair):
    assert _same_readings(*pair) >= 16


def _same_readings(minus, plus):
    compared = 0
    for positions in rows_of(minus):
        for phases in phases_of(minus):
            before, after = (operating_point(each, positions, phases) for each in (minus, plus))
            assert before.states == after.states
            for terminal in minus.terminals:
                if terminal.startswith("G1:"):
                    continue
                assert before.liveness(terminal) == after.liveness(terminal), terminal
                one, other = before.meter(terminal), after.meter(terminal)
                assert (one is None) == (other is None) and (one or 0.0) == pytest.approx(-(other or 0.0), abs=1e-9)
                compared += 1
    return compared


def test_the_volts_are_kirchhoffs_counted_from_plus():
    """The judge solves the same metal with volts counted from minus, the flasher held; only where one counts from may differ."""
    tractor = old_tractor()
    for positions in rows_of(tractor):
        for phases in phases_of(tractor):
            point = operating_point(tractor, positions, phases)
            judge, volts = settle(changed(tractor, FrameOn("minus"), Hold("K9", point.states["K9"])), positions, "on")
            frame = judge.volts_of("G1:+", volts)
            for terminal in tractor.terminals:
                wanted = judge.volts_of(terminal, volts)
                assert (wanted is None) == (point.volts(terminal) is None), terminal
                assert wanted is None or point.volts(terminal) == pytest.approx(wanted - frame, abs=1e-8), terminal


def test_the_old_tractor_is_proved_and_its_formulas_hold():
    proof = prove(old_tractor(), RULE)
    assert proof.is_kept, [failure.sentence for failure in proof.failures]
    logic = lamp_logic(old_tractor())
    assert not logic.differences and "key" in str(logic)


def test_paths_are_told_with_the_current_and_misses_from_the_live_pole():
    point = operating_point(old_tractor(), LEFT)
    path = path_to(point, "E3")
    assert path.reached and path.steps[0].start == "G1:+" and path.steps[-1].end == "G1:-" and not path.is_backwards
    missed = missing_path(point, "E4")
    assert missed.steps[0].start == "G1:-" and [step.name for step in missed.open_places] == ["S3"]


# --- drawings, words, sheets ---------------------------------------------------------------------------------------

def test_the_drawing_is_the_same_with_the_signs_and_names_of_the_other_pole(pair):
    minus, plus = (draw(each, operating_point(each)) for each in pair)
    assert _states(minus) == _states(plus) and "frame, plus" in plus and "frame, plus" not in minus
    attached = draw_attached(pair[1], operating_point(pair[1]))
    assert _states(draw_attached(pair[0], operating_point(pair[0])), True) == _states(attached, True)
    assert "frame, plus" in attached


def _states(svg, as_set=False):
    found = re.findall(r'class="wire (\w+)" data-wire="(\w+)"', svg)
    return set(found) if as_set else sorted(found)


def test_drawings_and_status_say_from_where_volts_are_counted():
    tractor = old_tractor()
    point = operating_point(tractor, LEFT)
    picture = draw(tractor, point, readings=True)
    assert "battery \N{MINUS SIGN} (live)" in picture and "\N{MINUS SIGN}7.1 V" in picture and "(31)" not in picture
    for words in (describe(tractor, point), describe_attached(tractor, point)):
        assert "Plus stands on the frame: volts are counted from there" in words
    assert "battery minus on top" in describe(tractor)
    assert settled_status(point).startswith("Supply 7.2 V, plus on the frame, key on")


def test_the_build_sheet_takes_the_frames_clamp_off_first():
    """The clamp on the frame first, so that no spanner shorts the live one: common practice."""
    sheet = build_sheet(old_tractor())
    assert "the clamp on the frame, plus here, off first" in sheet and "minus clamp" not in sheet
    assert "the live side is the negative one" in sheet
    assert "minus clamp off first" in build_sheet(arrangement("one-fused-lamp"))


# --- fuses and faults ----------------------------------------------------------------------------------------------

def test_sizing_finds_the_same(pair):
    minus, plus = ([(each.rule, each.part, each.is_kept, each.value and pytest.approx(each.value, rel=1e-6)) for each in judge(circuit)
                    if each.part in circuit.by_name] for circuit in pair)
    assert minus == plus and len(minus) > 10


def test_a_fuse_belongs_on_the_live_side_and_one_at_the_frame_guards_nothing():
    """A fuse between battery and feed, whatever pole that is: common practice."""
    pairs = [("G1:-", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "F1:1"), ("F1:2", "X1:1"), ("X1:2", "G1:+")]
    wrong = _one_lamp(pairs)
    assert warnings_for(wrong)[0].startswith("no fuse lies between the battery's minus and S1")
    assert [found.part for found in judge(wrong) if found.rule == "a fuse ahead of every load" and not found.is_kept] == ["E1"]
    right = _one_lamp([("G1:-", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "X1:1"), ("X1:2", "G1:+")])
    assert warnings_for(right) == ()
    guards = guarding(survey(right))
    assert guards.wires == {"F1": ("W2", "W3")} and guards.returns == {"F1": ("W4", "W5")} and set(guards.bare) == {"W1"}
    assert "from minus to it" in str([found.sentence for found in size(right).findings])


def _one_lamp(pairs):
    circuit = board("one lamp", [Battery("G1"), Fuse("F1", 5.0), toggle("S1", "switch"), Lamp("E1"), Chassis("X1", 2)], pairs)
    return changed(circuit, FrameOn("plus"))


def test_a_short_to_the_frame_is_one_of_the_live_side(pair):
    before, after = (fault_table(each) for each in pair)
    assert [(line.fault.words, line.worst, line.counts) for line in before.lines] == \
        [(line.fault.words, line.worst, line.counts) for line in after.lines]
    touched = changed(pair[1], Short("F1:2", "X1:1"))
    assert row_of(touched, touched.positions()).blown == ("F1",)


@pytest.mark.parametrize("most", [5, pytest.param(None, marks=pytest.mark.full)])
def test_the_reading_that_reveals_a_fault_has_its_black_lead_on_plus(most):
    tractor = old_tractor()
    table = fault_table(tractor)
    said = fault_table_text(table, most=most)
    assert "black lead G1:+" in said and "black lead G1:-" not in said
    short = next(line for line in table.lines if line.fault.kind == "short to chassis" and line.is_short)
    assert "every battery off (plus first)" in reading_words(table.reading(short), True, "plus")
    volts = [table.reading(line) for line in [each for each in table.lines if each.fault.kind == "open wire"][:most]]
    assert all(min(each.healthy.shown, each.faulty.shown) < 0 for each in volts if each and each.healthy.unit == "V")


# --- what minds its polarity ---------------------------------------------------------------------------------------

def _fed(part, live, frame):
    """Return a part alone behind a fuse, with one terminal on the live side, which is minus, and one on the frame."""
    circuit = _one_lamp([("G1:-", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "X1:1"), ("X1:2", "G1:+")])
    wires = [Wire("W8", "S1:2", f"{part.name}:{live}"), Wire("W9", f"{part.name}:{frame}", "X1:1")]
    return Arrangement("a part", circuit.controls, (*circuit.parts, part), (*circuit.wires, *wires), frame="plus")


ON = {"switch": "on"}


def test_an_led_lamp_has_its_one_on_the_frame():
    right, wrong = _fed(LedLamp("E9"), "2", "1"), _fed(LedLamp("E9"), "1", "2")
    assert operating_point(right, ON).light("E9") > 0.5 > 0.01 > operating_point(wrong, ON).light("E9")
    assert warnings_for(right) == () and "LED lamp 'E9' is the wrong way round" in warnings_for(wrong)[0]
    assert not path_to(operating_point(right, ON), "E9").is_backwards


def test_a_diode_passes_towards_the_live_side():
    right, wrong = _fed(Diode("V9"), "K", "A"), _fed(Diode("V9"), "A", "K")
    assert operating_point(right, ON).states["F1"] == "blown" and operating_point(wrong, ON).states["F1"] == "whole"


def test_a_relay_with_a_diode_has_its_86_on_the_frame():
    """86 is plus where a diode is built in: common practice."""
    right, wrong = (_fed(Relay("K1", suppression="diode"), *ends) for ends in (("85", "86"), ("86", "85")))
    assert operating_point(right, ON).states["K1"] == "operated" and warnings_for(right) == ()
    assert operating_point(wrong, ON).states["F1"] == "blown"
    assert "relay 'K1' has a diode built in and is the wrong way round" in warnings_for(wrong)[0]
    assert operating_point(_fed(Relay("K1"), "86", "85"), ON).states["K1"] == "operated"


def test_an_electronic_flasher_does_not_run_on_it_and_one_that_works_by_heat_does():
    """As with a battery turned: maker's page on two-pin flashers, ef32rl.com/polarity-test."""
    tractor = old_tractor()
    electronic = tractor.with_parts(Flasher("K9", type="electronic load needing", volts=6.75))
    point = operating_point(electronic, LEFT)
    assert point.states["K9"] == "idle" and "K9 is fed the wrong way round" in point.remarks[0]
    assert not prove(electronic, RULE, timing=False).is_kept
    turned = changed(electronic, SwapTerminals("K9:49", "K9:49a"))
    assert operating_point(turned, LEFT).states["K9"] == "on"


def test_a_wire_to_the_frame_can_be_moved_without_losing_the_declaration():
    assert changed(old_tractor(), MoveWire("W27", "X1:6", "X1:7")).frame == "plus"


def test_a_comparison_and_a_listing_name_the_pole_on_the_frame():
    tractor = old_tractor()
    (thing,) = things_changed(counterparts(changed(tractor, FrameOn("minus")), tractor))
    assert (thing.name, thing.values) == ("G1", (("pole on the frame", "minus", "plus"),))
    assert "plus on the frame" in str(tractor) and "on the frame" not in str(arrangement("one-fused-lamp"))


def test_the_hint_to_a_question_puts_the_black_lead_on_the_frames_pole():
    for frame in ("minus", "plus"):
        variants = vary(changed(old_tractor(), FrameOn(frame)), {("G1", "voltage"): (6.5, 7.2)})
        assert f"black lead on battery {frame}." in Number("V").where(1.0, 2.0, variants.of(0))


def test_the_path_to_a_terminal_is_the_mirror_of_the_one_with_minus_on_the_frame():
    """The test lamp's black lead is on the frame's pole, so the same parts are passed, from the other end."""
    def told(frame):
        live, zero = ("G1:-", "G1:+") if frame == "plus" else ("G1:+", "G1:-")
        made = board("a terminal that should be dead", [Battery("G1"), Fuse("F1", 5.0), toggle("S1", "switch"), Lamp("E1")],
                     [(live, "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", zero)])
        made = replace(made, frame=frame, rule=(Wanted("S1:2", "dead"),))
        return next(example for example in prove(made).failures if example.positions == {"switch": "on"}).path
    as_usual, mirror = told("minus"), told("plus")
    assert [step.name for step in as_usual.steps] == ["W1", "F1", "W2", "S1"]
    assert mirror.names == as_usual.names[::-1] and mirror.terminals == tuple(
        {"G1:+": "G1:-"}.get(end, end) for end in as_usual.terminals[::-1])
    assert not mirror.is_backwards and not as_usual.is_backwards and "test lamp (at S1:2) gets 12.5 V" in mirror.sentence


# --- the mirror image of faults, and the symbol --------------------------------------------------------------------

def mirrored(cart):
    """Return an arrangement with its battery the other way round and plus on the frame."""
    turned = {"G1:+": "G1:-", "G1:-": "G1:+"}
    wires = [replace(wire, start=turned.get(wire.start, wire.start), end=turned.get(wire.end, wire.end)) for wire in cart.wires]
    return replace(cart, wires=wires, frame="plus")


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", ["one-fused-lamp", "relay-test-board"])
def test_every_fault_is_read_in_the_mirror_as_it_is_with_minus_on_the_frame(name):
    """The same leads with the battery's poles exchanged, the same ohms, and volts of the other sign."""
    turned = {"G1:+": "G1:-", "G1:-": "G1:+"}
    plain, mirror = (fault_table(each) for each in (arrangement(name), mirrored(arrangement(name))))
    other = {line.fault.words.replace("G1:+", "?").replace("G1:-", "G1:+").replace("?", "G1:-"): line for line in mirror.lines}
    ohms, seen = 0, 0
    for line in plain.lines[::1 if len(plain.lines) < 30 else 5]:
        here, there = plain.reading(line), mirror.reading(other.get(line.fault.words) or other[_the_other_way(line.fault.words)])
        assert (here is None) == (there is None), line.fault.words
        if here is None:
            continue
        seen += 1
        for one, two in ((here.healthy, there.healthy), (here.faulty, there.faulty)):
            assert (two.red, two.black) == (turned.get(one.red, one.red), turned.get(one.black, one.black)), line.fault.words
            assert two.instrument == one.instrument and (one.value is None) == (two.value is None)
            if one.value is not None:
                sign = 1 if one.instrument == "ohms" else -1
                assert two.value == pytest.approx(sign * one.value, abs=1e-6), line.fault.words
        ohms += here.healthy.instrument == "ohms"
    assert ohms and seen > 5


def _the_other_way(words):
    """Return the words of a touch with its two ends in the other order. [text]"""
    first, _, second = words.partition(" touches ")
    return f"{second} touches {first}"


@pytest.mark.parametrize("name", ["one-fused-lamp", "relay-test-board"])
def test_no_ohms_are_offered_that_do_not_differ_nor_across_a_battery(name):
    table = fault_table(mirrored(arrangement(name)))
    told = [found for found in map(table.reading, table.lines[::1 if len(table.lines) < 30 else 3]) if found and found.healthy.instrument == "ohms"]
    assert told
    for found in told:
        assert {found.healthy.red, found.healthy.black} != {"G1:+", "G1:-"}
        assert found.healthy.value != pytest.approx(found.faulty.value, abs=0.2)


@pytest.mark.outside("IEC 60617: the longer line of a cell is its positive pole")
def test_the_longer_line_of_the_battery_is_at_its_plus():
    for made, plus_up in ((arrangement("one-fused-lamp"), True), (mirrored(arrangement("one-fused-lamp")), False)):
        svg = draw(made)
        symbol = re.search(r'id="part-G1".*?</g>', svg, re.S)[0]
        level = [[float(each) for each in found] for found in re.findall(r'd="M ([\d.]+),([\d.]+) L ([\d.]+),([\d.]+)"', symbol)]
        lines = sorted((y, abs(end - start)) for start, y, end, other in level if y == other)
        assert len(lines) == 4 and (lines[0][1] > lines[-1][1]) == plus_up, lines


def test_a_lamp_is_clipped_on_to_the_frame_whichever_pole_that_is():
    """The same joint, the same lamp, the battery's poles exchanged: the volts of the other sign."""
    plain = arrangement("separate-filaments")
    told = []
    for cart in (plain, mirrored(plain)):
        table = fault_table(cart, faults=[fault for fault in single_faults(cart) if "W7 at S1:30 corroded" in fault.words])
        told.append(table.reading(table.lines[0]))
    assert [each.before.partition(" to ")[2] for each in told] == ["X1:1 as a load"] * 2
    assert told[1].faulty.value == pytest.approx(-told[0].faulty.value, abs=1e-6) and abs(told[0].faulty.value) > 5


# --------------------------------------------------------- what is said is not what is wired

def test_the_clamp_that_comes_off_first_is_the_one_on_the_frame_whatever_is_said():
    """Said to be plus, wired with minus on the frame: plus first would be a spanner from plus to metal. Common practice."""
    said = replace(arrangement("separate-filaments"), frame="plus")
    table = fault_table(said, faults=[fault for fault in single_faults(said) if "touches" in fault.words][:6])
    words = " ".join(fault_table_text(table).split())
    assert "minus first" in words and "plus first" not in words
    assert "minus clamp off first" in cautions_for(said)[0]
    assert "the clamp on the frame, plus here," in cautions_for(old_tractor())[0]
    number = next(number for number, line in enumerate(table.lines, start=1)
                              if line.worst != "no effect" and "minus first" in reading_words(table.reading(line), line.is_short))
    told = next(answer for answer in Desk(table).hear({"kind": "row", "act": 1, "line": number}) if answer["kind"] == "row")["said"]
    assert "minus first" in " ".join(told) and "plus first" not in " ".join(told)

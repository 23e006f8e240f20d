"""What carries more than it may for long is told, with the seconds to damage, wherever a point is shown."""

from dataclasses import replace

import pytest

from circuitlab.arrangements import Arrangement, SetValue, arrangement, arrangement_names, changed
from circuitlab.arrangements.record import Wanted
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Battery, Control, Lamp, Relay, Resistor, Wire, toggle
from circuitlab.parts.instruments import TestLamp
from circuitlab.parts.overheating import adiabatic_constant, carries_for_long, contact_seconds, wire_seconds
from circuitlab.reasoning import lamp_table, prove
from circuitlab.reasoning.sizing import wire_for_drop
from circuitlab.solving import operating_point, run
from circuitlab.views.proof_words import proof_html, proof_text
from circuitlab.views.tables import lamp_table_html, lamp_table_text, settled_status


def unfused(ohms, area=1.0):
    """Return a resistor on a switch and a strong battery, without a fuse."""
    return Arrangement("no fuse", [Control("switch", ("off", "on"))],
                       [Battery("G1", 12.6, 0.005), toggle("S1", "switch"), Resistor("R1", ohms)],
                       [Wire("W1", "G1:+", "S1:1", "RD", 0.2, 16.0), Wire("W2", "S1:2", "R1:1", "RD", 1.0, area),
                        Wire("W3", "R1:2", "G1:-", "BK", 1.0, 16.0)])


@pytest.mark.outside("BS 7671 and IEC 60364-5-54: k of copper in PVC, 70 to 160 C 115, 90 to 160 C 100, 30 to 160 C 143; "
                     "90 to 250 C 143, 85 to 220 C 134")
@pytest.mark.parametrize("begin, end, k", [(70, 160, 115), (90, 160, 100), (30, 160, 143), (90, 250, 143), (85, 220, 134)])
def test_the_adiabatic_constant_is_that_of_the_standards(begin, end, k):
    assert adiabatic_constant(begin, end) == pytest.approx(k, rel=0.005)


@pytest.mark.outside("adiabatic limit with k = 115: what a wire stands for one second and for five")
@pytest.mark.parametrize("area, one, five", [(0.5, 57.5, 25.7), (1.0, 115, 51.4), (1.5, 172.5, 77.1), (4, 460, 205.7)])
def test_a_wire_stands_the_current_of_the_table_for_its_seconds(area, one, five):
    assert wire_seconds(area, one, 70.0) == pytest.approx(1.0, rel=0.01)
    assert wire_seconds(area, five, 70.0) == pytest.approx(5.0, rel=0.01)


@pytest.mark.outside("relay maker's sheet, after ISO 8820-3: 1.35, 2, 3.5 and 6 times 35 A for 1800, 5, 0.5 and 0.1 s")
def test_a_contact_stands_what_its_sheet_says():
    assert [contact_seconds(times) for times in (1.35, 2.0, 3.5, 6.0)] == pytest.approx([1800, 5, 0.5, 0.1])
    assert 0 < contact_seconds(20.0) < 0.1


@pytest.mark.outside("an old handbook's table of chassis wiring: 8.1 A for 18 AWG, 11.5 A for 16 AWG, 32.5 A for 10 AWG")
def test_a_wire_may_carry_what_the_table_of_chassis_wiring_says():
    assert [carries_for_long(area) for area in (0.823, 1.0, 1.5, 5.262)] == [8.1, 8.1, 11.5, pytest.approx(32.5, rel=1e-3)]
    assert carries_for_long(0.5) < 8.1 and 32.5 < carries_for_long(10.0) < 65


def test_an_unfused_wire_that_glows_is_told_with_its_seconds():
    """Some 139 A in 1 mm2; the other wires of 16 mm2 spoil later, and are told as well."""
    board = unfused(0.05)
    point = operating_point(board, {"switch": "on"})
    assert point.verdict == "settled" and 130 < point.current("W2") < 145
    (words,) = [words for words in point.remarks if words.startswith("W2 ")]
    assert "may carry 8.10 A for long (table 'chassis wiring'): it overheats, and its insulation is spoilt in 1." in words
    assert operating_point(board).remarks == ()
    lit = replace(board, parts=(*board.parts, Lamp("E1")), rule=(Wanted("E1", "steady", (("switch", "on"),)),),
                  wires=(*board.wires, Wire("W4", "R1:1", "E1:1"), Wire("W5", "R1:2", "E1:2")))
    for shown in (settled_status(point), lamp_table_text(lamp_table(board)), lamp_table_html(lamp_table(board)),
                  proof_text(prove(lit), table=False), proof_text(prove(lit)), proof_html(prove(lit))):
        assert "W2 carries" in shown and "switch on" in shown, shown


def test_more_than_any_table_allows_is_told_with_the_least_time_it_can_take():
    """Some 24 A in 1 mm2, where marine cable of 18 AWG may carry 20 A (ABYC E-11, from memory)."""
    point = operating_point(unfused(0.48), {"switch": "on"})
    (words,) = [each for each in point.remarks if each.startswith("W2 ")]
    assert "W2 carries 2" in words and "it overheats, and its insulation" in words and words.endswith("s at the soonest")


def test_a_little_too_much_only_warms_the_wire_and_spoils_nothing():
    point = operating_point(unfused(1.3), {"switch": "on"})
    (words,) = point.remarks
    assert "W2 carries 9.4" in words and "warmer than it should in a loom" in words and "20.0 A" in words
    assert "overheats" not in words and "spoilt" not in words


@pytest.mark.parametrize("ohms, area, told", [(1.6, 1.0, False), (1.3, 1.0, True), (1.3, 1.5, False)])
def test_only_what_is_beyond_its_table_is_told(ohms, area, told):
    assert bool(operating_point(unfused(ohms, area), {"switch": "on"}).overheated) == told


def test_a_contact_beyond_its_amperes_is_told():
    board = unfused(0.25, 35.0)
    parts = [*board.parts, Relay("K1")]
    wires = [replace(wire, end="K1:30") if wire.name == "W2" else wire for wire in board.wires]
    wires += [Wire("W4", "K1:87", "R1:1", "RD", 0.2, 35.0), Wire("W5", "S1:2", "K1:86"), Wire("W6", "K1:85", "G1:-")]
    point = operating_point(replace(board, parts=tuple(parts), wires=tuple(wires)), {"switch": "on"})
    (words,) = [words for words in point.remarks if words.startswith("K1 ")]
    assert "through 30-87, made for 35 A for long: it overheats, and stands that for" in words


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("name", arrangement_names())
def test_nothing_overheats_in_the_kits_own_arrangements(name):
    assert lamp_table(arrangement(name)).overheated == ()


def test_the_first_rush_of_a_cold_filament_is_no_overheating():
    board = changed(arrangement("one-fused-lamp"), *(SetValue(name, "area", 0.5) for name in ("W2", "W3")))
    course = run(board, [(0.0, "lamp switch", "on")], until=1.0)
    assert course.at(0.001).current("W3") > 6 and course.at(0.001).overheated == ()


@pytest.mark.parametrize("make, words", [
    (lambda: TestLamp(0), r"^a test lamp of 0 W is none. Give one between 0.1 and 60 W"),
    (lambda: TestLamp(volts=0), r"^a test lamp of 0 V is none"),
    (lambda: TestLamp(wats=3), r"^a TestLamp has no value 'wats'"),
    (lambda: operating_point(unfused(5.0)).test_lamp("R1:1", lamp=0), r"^0 is nothing to measure with. Give TestLamp"),
    (lambda: wire_for_drop(10, 3.0, 0.3, temperature=900.0), r"^the temperature must be between -60 and 250 C, got 900.0"),
    (lambda: wire_for_drop(10, 3.0, 0.3, temperature=-400.0), r"^the temperature must be between -60 and 250 C, got -400"),
    (lambda: wire_for_drop(10, 3.0, 0.3, k=0), r"^K must be between 1 and 100"),
    (lambda: Relay("K1", coil_temperature=900), r"^relay 'K1': coil temperature must be between -60 and 200 C, got 900")])
def test_what_cannot_be_measured_or_cannot_be_so_warm_gets_one_sentence(make, words):
    with pytest.raises(CircuitLabError, match=words):
        make()

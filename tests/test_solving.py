"""The operating point: what floats, what is open, what blows, what cannot come to rest."""

from math import inf

import pytest

from circuitlab.arrangements import AddWire, Hold, LoseJoint, RemoveWire, SetValue, arrangement, changed
from circuitlab.ground.errors import CircuitLabError, UnknownName
from circuitlab.parts import Battery, Fuse, Lamp, Relay, Resistor, Wire
from circuitlab.parts.flasher import NEEDING
from circuitlab.solving import LIVE, operating_point

from small_boards import (board, buzzer, flasher_board, lamp_board, relay_board, rivals, self_holding, straight_short,
                          without_ground)

ON = {"switch": "on"}
FULL = pytest.approx(12.6, abs=1e-12)


# --- floating and open ---------------------------------------------------------------------------------------------

def test_behind_an_open_switch_on_the_live_side_the_wire_is_tied_down_by_the_lamp():
    point = operating_point(lamp_board())
    assert point.volts("S1:1") == pytest.approx(FULL, abs=1e-14) == point.volts("G1:+")
    assert point.volts("S1:2") == point.volts("E1:1") == 0.0 and not point.is_live("E1:1")


def test_a_terminal_with_no_conducting_way_to_the_battery_floats_and_reads_none():
    point = operating_point(changed(lamp_board(), Hold("E1", "blown")))
    assert point.volts("E1:1") is None and point.is_floating("S1:2")
    assert not point.is_live("E1:1")
    assert point.across("E1:1", "E1:2") is None and point.lamp_volts("E1") == 0.0


def test_both_sides_of_a_lamp_between_two_open_places_float():
    loose = changed(lamp_board(), LoseJoint("W4", "G1:-"))
    point = operating_point(loose)
    assert [point.volts(terminal) for terminal in ("S1:2", "E1:1", "E1:2")] == [None] * 3
    closed = operating_point(loose, ON)
    assert closed.volts("E1:2") == pytest.approx(12.6) and closed.lamp_volts("E1") == 0.0


def test_open_contacts_blown_parts_and_lost_joints_carry_exactly_nothing():
    point = operating_point(relay_board())
    assert point.current("S1") == 0.0 and point.current("K1", 1) == 0.0 and point.current("K1", 2) > 1
    assert operating_point(changed(lamp_board(), Hold("F1", "blown")), ON).current("F1") == 0.0
    assert operating_point(changed(lamp_board(), Hold("E1", "blown")), ON).current("E1") == 0.0
    lost = operating_point(changed(lamp_board(), LoseJoint("W3", "S1:2", inf)), ON)
    assert lost.current("W3") == 0.0 and lost.volts("E1:1") == 0.0


def test_no_voltage_appears_from_leaks_that_are_not_there():
    """With everything off in the largest arrangement, what has no way to plus stands at exactly 0.0 or floats."""
    point = operating_point(arrangement("shared-filament-four-relays-hazard"))
    for terminal in ("S2:2", "K1:87a", "E1:1", "K9:49a", "S5:2"):
        assert point.volts(terminal) in (0.0, None)


def test_an_isolated_battery_gives_no_current_and_its_plus_is_at_its_voltage():
    point = operating_point(changed(lamp_board(), RemoveWire("W1")))
    assert point.volts("G1:+") == FULL and point.current("G1") == 0.0
    assert point.volts("F1:1") is None


def test_a_second_battery_with_no_wire_to_the_first_floats():
    two = board("two", [Battery("G1"), Battery("G2"), Resistor("R1", 10)], [("G2:+", "R1:1"), ("R1:2", "G2:-")], ())
    point = operating_point(two)
    assert point.volts("G2:+") is None and point.volts("G1:+") == FULL


def test_a_point_is_live_from_one_volt_on():
    def at(volts):
        return operating_point(board("t", [Battery("G1", volts), Lamp("E1")], [("G1:+", "E1:1")], ()))
    assert LIVE == 1.0
    assert at(1.01).is_live("E1:1") and not at(0.999).is_live("E1:1")
    assert at(1.001).liveness("E1:1") == "ghost", "the test lamp takes some millivolts inside the battery"


# --- parts ---------------------------------------------------------------------------------------------------------

def test_a_lamp_with_one_loose_terminal_is_dark_and_takes_the_volts_of_the_other():
    point = operating_point(changed(lamp_board(), LoseJoint("W4", "E1:2")), ON)
    assert point.light("E1") == 0.0 and point.temperature("E1") == pytest.approx(293.15)
    assert point.across("E1:1", "E1:2") == 0.0 and point.volts("E1:2") == pytest.approx(12.6)


def test_a_lamp_with_no_wire_at_all_is_dark():
    bare = board("bare", [Battery("G1"), Lamp("E1"), Lamp("E2")], [("G1:+", "E1:1"), ("E1:2", "G1:-")], ())
    point = operating_point(bare)
    assert point.light("E2") == 0.0 and point.lamp_volts("E2") == 0.0 and point.light("E1") > 0.7


def test_the_current_is_the_same_all_along_a_row_and_goes_from_start_to_end():
    point = operating_point(lamp_board(), ON)
    amps = point.current("E1")
    assert amps > 1.5
    for name in ("G1", "F1", "S1", "W1", "W2", "W3", "W4"):
        assert point.current(name) == pytest.approx(amps, rel=1e-9)
    turned = changed(lamp_board(), RemoveWire("W4"), AddWire(Wire("W4", "G1:-", "E1:2")))
    assert operating_point(turned, ON).current("W4") == pytest.approx(-amps, rel=1e-9)


def test_a_held_part_stays_as_it_is_held():
    assert operating_point(changed(relay_board(), Hold("K1", "operated"))).light("E1") > 0.7
    assert operating_point(changed(relay_board(), Hold("K1", "released")), ON).light("E2") > 0.7
    stuck = operating_point(changed(relay_board(), Hold("K1", "gap")), ON)
    assert stuck.light("E1") == stuck.light("E2") == 0.0
    assert operating_point(changed(lamp_board(), Hold("S1", "on"))).light("E1") > 0.7
    assert operating_point(changed(lamp_board(), Hold("S1", "off")), ON).light("E1") == 0.0


def test_a_held_fuse_never_blows():
    short = changed(lamp_board(), AddWire(Wire("W9", "E1:1", "E1:2")), Hold("F1", "whole"))
    point = operating_point(short, ON)
    assert point.states["F1"] == "whole" and point.current("F1") > 100


def test_a_relay_of_four_terminals_has_no_break_contact():
    four = board("make only", [Battery("G1"), Relay("K1", contact="make"), Lamp("E1")],
                 [("G1:+", "K1:86"), ("K1:85", "G1:-"), ("G1:+", "K1:30"), ("K1:87", "E1:1"), ("E1:2", "G1:-")], ())
    assert operating_point(four).light("E1") > 0.7
    with pytest.raises(UnknownName, match="has no terminal '87a'. It has: 30, 85, 86, 87"):
        operating_point(four).volts("K1:87a")


def test_a_coil_works_either_way_round():
    turned = board("turned", relay_board().parts, [
        ("K1:85", "S1:2") if {w.start, w.end} == {"S1:2", "K1:86"} else
        ("K1:86", "X2:1") if {w.start, w.end} == {"K1:85", "X2:1"} else (w.start, w.end) for w in relay_board().wires])
    assert operating_point(turned, ON).states["K1"] == "operated"
    assert operating_point(turned, ON).current("K1") == pytest.approx(-operating_point(relay_board(), ON).current("K1"))


def test_a_coil_that_lost_its_ground_sees_full_volts_and_does_nothing():
    point = operating_point(changed(relay_board(), LoseJoint("W4", "K1:85")), ON)
    assert point.volts("K1:86") == point.volts("K1:85") > 12
    assert point.current("K1") == pytest.approx(0.0, abs=1e-9) and point.states["K1"] == "released"


def test_a_lamp_too_strong_for_its_fuse_blows_it_and_goes_dark():
    point = operating_point(lamp_board(fuse=1.0), ON)
    assert point.states["F1"] == "blown" and point.light("E1") == 0.0 and point.verdict == "settled"
    assert operating_point(lamp_board(fuse=3.0), ON).states["F1"] == "whole"


def test_of_two_fuses_in_a_row_the_weaker_one_blows_and_saves_the_other():
    two = board("two fuses", [Battery("G1"), Fuse("F1", 10), Fuse("F2", 5), Resistor("R1", 0.5)],
                [("G1:+", "F1:1"), ("F1:2", "F2:1"), ("F2:2", "R1:1"), ("R1:2", "G1:-")], ())
    assert {name: operating_point(two).states[name] for name in ("F1", "F2")} == {"F1": "whole", "F2": "blown"}


def test_a_short_behind_a_fuse_blows_it_and_settles():
    short = changed(lamp_board(), AddWire(Wire("W9", "E1:1", "G1:-")))
    assert operating_point(short).states["F1"] == "whole"
    point = operating_point(short, ON)
    assert point.verdict == "settled" and point.states["F1"] == "blown" and point.current("G1") == 0.0


def test_a_battery_shorted_with_no_fuse_says_so_and_still_has_finite_volts():
    assert operating_point(straight_short()).verdict == "settled"
    point = operating_point(straight_short(), ON)
    assert point.verdict == "shorted" and point.is_settled
    assert "no" in point.sentence and "fuse" in point.sentence and "G1" in point.sentence
    assert 300 < point.current("G1") < 2000 and 0 < point.volts("G1:+") < 12.6


# --- no rest -------------------------------------------------------------------------------------------------------

def test_a_coil_fed_through_its_own_rest_contact_buzzes_and_has_no_volts():
    assert operating_point(buzzer()).verdict == "settled"
    point = operating_point(buzzer(), ON)
    assert point.verdict == "buzzing" and not point.is_settled and "K1" in point.sentence
    for reading in (lambda: point.volts("G1:+"), lambda: point.current("W1"), lambda: point.is_live("G1:+")):
        with pytest.raises(CircuitLabError, match="no steady reading"):
            reading()


def test_two_relays_that_cut_each_other_off_can_rest_in_several_ways():
    point = operating_point(rivals(), ON)
    assert point.verdict == "several stable" and not point.is_settled
    assert "K1" in point.sentence and "K2" in point.sentence and "2 ways" in point.sentence
    for first, other in (("K1", "K2"), ("K2", "K1")):
        rest = operating_point(rivals(), ON, operated=[first])
        assert rest.is_settled and (rest.states[first], rest.states[other]) == ("operated", "released")


def test_a_self_holding_relay_rests_where_it_was():
    assert operating_point(self_holding()).states["K1"] == "released"
    assert operating_point(self_holding(), operated=["K1"]).states["K1"] == "operated"
    assert operating_point(self_holding(), {"stop": "on"}, operated=["K1"]).states["K1"] == "released"
    assert operating_point(self_holding(), {"start": "on"}).states["K1"] == "operated"


# --- flashers ------------------------------------------------------------------------------------------------------

def test_a_free_running_flasher_swings_with_no_load_and_stops_with_no_supply():
    free = flasher_board()
    assert operating_point(free, {"supply": "on"}, "on").states["K9"] == "on"
    assert operating_point(free, {"supply": "on"}, "off").states["K9"] == "off"
    assert operating_point(free, {"load": "on"}, "on").states["K9"] == "idle"


def test_a_load_needing_flasher_waits_closed_for_its_load():
    needing = without_ground(type=NEEDING)
    waiting = operating_point(needing, {"supply": "on"}, "off")
    assert waiting.states["K9"] == "idle" and waiting.volts("K9:49a") > 12
    both = {"supply": "on", "load": "on"}
    assert operating_point(needing, both, "on").states["K9"] == "on"
    assert operating_point(needing, both, "off").light("E1") == 0.0
    greedy = without_ground(type=NEEDING, least_load=60.0)
    assert operating_point(greedy, both, "off").light("E1") > 0.7, "too little load: steady, not flashing"


def test_phases_are_given_for_all_flashers_or_by_name():
    cart = arrangement("shared-filament-four-relays")
    where = {"key": "on", "turn lever": "left"}
    assert operating_point(cart, where, {"K9": "off"}).states == operating_point(cart, where, "off").states
    assert operating_point(cart, where, {}).phases == {"K9": "on"}
    with pytest.raises(UnknownName, match="no flasher 'K8'"):
        operating_point(cart, where, {"K8": "on"})
    with pytest.raises(UnknownName, match="no phase 'half'"):
        operating_point(cart, where, "half")


# --- names ---------------------------------------------------------------------------------------------------------

def test_wrong_names_are_answered_with_what_there_is():
    point = operating_point(lamp_board())
    for wrong, words in ((lambda: point.volts("E1:3"), "no terminal '3'"),
                         (lambda: point.volts("E7:1"), "no part 'E7'"),
                         (lambda: point.current("E1", 1), "no branch '1'"), (lambda: point.light("F1"), "no lamp 'F1'"),
                         (lambda: operating_point(lamp_board(), {"swich": "on"}), "Did you mean 'switch'"),
                         (lambda: operating_point(lamp_board(), {"switch": "up"}), "no position 'up'"),
                         (lambda: operating_point(lamp_board(), operated=["K5"]), "no part 'K5'")):
        with pytest.raises(UnknownName, match=words):
            wrong()


def test_equal_questions_get_equal_answers_and_the_arrangement_is_left_alone():
    cart = arrangement("shared-filament-rear-relays")
    before = repr(cart)
    where = {"key": "on", "brake pedal": "held"}
    assert operating_point(cart, where) == operating_point(cart, where)
    assert repr(cart) == before
    assert where == {"key": "on", "brake pedal": "held"}


def test_only_what_was_changed_changes():
    """More wire, less light: and a change makes a new arrangement with an answer of its own."""
    longer = changed(lamp_board(), SetValue("W3", "length", 20.0))
    assert operating_point(longer, ON).light("E1") < operating_point(lamp_board(), ON).light("E1")

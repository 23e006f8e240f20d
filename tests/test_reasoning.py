"""The lamp table and the measured flash: looks, rule keeping, verdicts, bridged gaps, allowed rates."""

from dataclasses import replace

import pytest

from circuitlab.arrangements import Arrangement, Hold, LoseJoint, MoveWire, SetValue, arrangement, changed
from circuitlab.arrangements.record import Wanted
from circuitlab.ground.errors import ArrangementError, ScriptError, UnknownName
from circuitlab.parts import Battery, Control, Lamp, Relay, Resistor, Splice, toggle
from circuitlab.reasoning import brightness, count_rows, flash, lamp_table, row_of, trial
from circuitlab.solving import operating_point, run

from small_boards import (board, buzzer, flasher_board, lamp_board, relay_board, rivals, self_holding, straight_short)


# --- looks ---------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("light, look", [
    (0.0, "dark"), (0.0099, "dark"), (0.01, "dim"), (0.2499, "dim"), (0.25, "lit"), (1.3, "lit")])
def test_brightness_has_three_words(light, look):
    assert brightness(light) == look


def looks(circuit, lamp="E1"):
    return {tuple(row.positions.values()): row.cells[lamp].look for row in lamp_table(circuit).rows}


def test_a_lamp_is_dark_steady_or_dim_by_its_light():
    assert looks(lamp_board()) == {("off",): "dark", ("on",): "steady"}
    weak = board("weak", [Battery("G1"), Lamp("E1"), Resistor("R1", 3.5)],
                 [("G1:+", "R1:1"), ("R1:2", "E1:1"), ("E1:2", "G1:-")], ())
    assert looks(weak) == {(): "dim"}
    weaker = changed(weak, SetValue("R1", "resistance", 40.0))
    assert looks(weaker) == {(): "dark"}


def test_a_lamp_behind_a_swinging_flasher_flashes_and_has_volts_for_each_phase():
    table = lamp_table(flasher_board())
    assert table.row(supply="on", load="on").cells["E1"].look == "flashing"
    on, off = table.row(supply="on", load="on").cells["E1"].volts
    assert on > 11 and off == pytest.approx(0.0, abs=1e-12)
    assert table.row(supply="on").cells["E1"].look == table.row(load="on").cells["E1"].look == "dark"


@pytest.mark.parametrize("ohms, look", [(3.5, "pulses"), (8.0, "flashing")])
def test_a_lamp_that_swings_between_lit_and_dim_flashes_where_it_loses_half_its_volts(ohms, look):
    glow = flasher_board()
    glow = replace(glow, parts=(*glow.parts, Resistor("R1", ohms)),
                   wires=(*glow.wires, replace(glow.wires[0], name="W8", start="K9:49", end="R1:1"),
                          replace(glow.wires[0], name="W9", start="R1:2", end="S2:1")))
    cell = lamp_table(glow).row(supply="on", load="on").cells["E1"]
    assert cell.look == look and min(cell.volts) > 3 and (min(cell.volts) < max(cell.volts) / 2) == (look == "flashing")


def test_two_flashers_are_looked_at_in_all_four_combinations():
    one = flasher_board()
    two = replace(one, parts=(*one.parts, replace(one.part("K9"), name="K8")))
    assert len(lamp_table(two).row(supply="on", load="on").cells["E1"].volts) == 4


# --- rows and the rule ---------------------------------------------------------------------------------------------

def test_rows_are_every_combination_the_first_control_slowest_rest_first():
    cart = arrangement("shared-filament-four-relays")
    table = lamp_table(cart)
    assert count_rows(cart) == len(table.rows) == 12
    assert [tuple(row.positions.values()) for row in table.rows[:4]] == [
        ("off", "released", "off"), ("off", "released", "left"), ("off", "released", "right"), ("off", "held", "off")]
    assert table.controls == ("key", "brake pedal", "turn lever") and table.lamps == ("E1", "E2", "E3", "E4")
    assert count_rows(board("none", [Battery("G1")], [], ())) == 1


def test_a_row_is_found_by_the_controls_that_are_moved():
    table = lamp_table(arrangement("shared-filament-four-relays"))
    row = table.row(key="on", brake_pedal="held", turn_lever="left")
    assert row.positions == {"key": "on", "brake pedal": "held", "turn lever": "left"}
    assert (row.cells["E1"].look, row.cells["E2"].look) == ("flashing", "steady")
    assert row_of(table.arrangement, row.positions) == row
    with pytest.raises(UnknownName, match="no control 'clutch'"):
        table.row(clutch="down")


def test_too_many_rows_are_refused_before_any_is_solved():
    controls = [Control(f"c{number}", ("off", "on")) for number in range(17)]
    many = Arrangement("many", controls=controls, parts=[Battery("G1")])
    assert count_rows(many) == 131072
    with pytest.raises(ArrangementError, match="has 131072 rows"):
        lamp_table(many)


def test_a_rule_is_kept_or_broken_lamp_by_lamp_and_row_by_row():
    kept = replace(lamp_board(), rule=[Wanted("E1", "steady", {"switch": "on"})])
    assert lamp_table(kept).failing == () and lamp_table(kept).row(switch="on").cells["E1"].wanted == "steady"
    wrong = replace(lamp_board(), rule=[Wanted("E1", "steady", {"switch": "off"})])
    assert [row.positions["switch"] for row in lamp_table(wrong).failing] == ["off", "on"]
    silent = lamp_table(lamp_board())
    assert silent.failing == () and silent.row(switch="on").cells["E1"].wanted is None


def test_a_dim_lamp_does_not_keep_a_rule_that_wants_it_steady():
    dull = changed(lamp_board(), SetValue("S1", "resistance", 3.5))
    dull = replace(dull, rule=[Wanted("E1", "steady", {"switch": "on"})])
    row = lamp_table(dull).row(switch="on")
    assert row.cells["E1"].look == "dim" and not row.cells["E1"].keeps_rule and not row.keeps_rule


@pytest.mark.parametrize("name", [
    "one-fused-lamp", "relay-test-board", "separate-filaments", "shared-filament-rear-relays",
    "shared-filament-rear-relays-hazard", "shared-filament-four-relays", "shared-filament-four-relays-hazard"])
def test_every_arrangement_that_is_meant_to_keeps_its_rule_and_a_welded_or_blown_part_breaks_it(name):
    cart = arrangement(name)
    table = lamp_table(cart)
    assert table.failing == () and table.is_settled
    assert lamp_table(changed(cart, Hold("E1", "blown"))).failing
    assert lamp_table(changed(cart, Hold("F1", "blown"))).failing


def test_a_fuse_that_blows_in_a_row_is_named_there():
    table = lamp_table(lamp_board(fuse=1.0))
    assert table.row(switch="on").blown == ("F1",) and "F1 blows" in table.row(switch="on").sentence
    assert table.row(switch="off").blown == ()
    assert lamp_table(changed(lamp_board(), Hold("F1", "blown"))).row(switch="on").blown == (), "held is not blowing"


# --- verdicts ------------------------------------------------------------------------------------------------------

def test_a_self_holding_relay_has_several_stable_states_only_where_it_remembers():
    table = lamp_table(self_holding())
    verdicts = {(row.positions["start"], row.positions["stop"]): row.verdict for row in table.rows}
    remembers = ("off", "off")
    assert verdicts.pop(remembers) == "several stable" and set(verdicts.values()) == {"settled"} and len(verdicts) == 3
    row = table.row()
    assert "K1" in row.sentence and row.cells["E1"].look == "several stable" and row.cells["E1"].volts == ()
    assert not row.keeps_rule and not table.is_settled


def test_of_two_relays_that_hold_themselves_each_stays_as_it_was():
    """A start switch for each, on a battery of their own kind; neither moves the other."""
    parts = [Battery("G1"), Splice("X1", 5)]
    pairs = [("G1:+", "X1:1")]
    for number in (1, 2):
        relay, switch, splice = f"K{number}", f"S{number}", f"X{number + 1}"
        parts += [Relay(relay), toggle(switch, f"start {number}"), Splice(splice, 3)]
        pairs += [(f"X1:{2 * number}", f"{switch}:1"), (f"X1:{2 * number + 1}", f"{relay}:30"), (f"{switch}:2", f"{splice}:1"),
                  (f"{relay}:87", f"{splice}:2"), (f"{splice}:3", f"{relay}:86"), (f"{relay}:85", "G1:-")]
    row = lamp_table(board("two that hold", parts, pairs, ("start 1", "start 2"))).row()
    assert row.sentence == "K1, K2 can rest in two ways here and each stays as it was before"
    assert lamp_table(self_holding()).row().sentence == "K1 can rest in two ways here and stays as it was before"


def test_two_relays_that_cut_each_other_off_have_several_stable_states():
    row = lamp_table(rivals()).row(switch="on")
    assert row.verdict == "several stable" and "K1" in row.sentence and "K2" in row.sentence


def test_a_buzzing_row_says_which_relay_and_how_fast():
    row = lamp_table(buzzer()).row(switch="on")
    assert row.verdict == "buzzing" and "K1 buzzes at about 59 Hz" in row.sentence
    assert lamp_table(buzzer()).row().verdict == "settled"


def test_a_shorted_row_says_so_and_keeps_no_rule():
    row = lamp_table(straight_short()).row(switch="on")
    assert row.verdict == "shorted" and not row.keeps_rule and "G1" in row.sentence


# --- measured flashes ----------------------------------------------------------------------------------------------

def lit(rate=90, on_share=0.5, until=6.0, script=((0.0, "supply", "on"), (0.0, "load", "on")), **more):
    return run(flasher_board(rate=rate, on_share=on_share, **more), script, until)


@pytest.mark.parametrize("rate, on_share", [(45, 0.5), (60, 0.3), (90, 0.5), (120, 0.75), (150, 0.4)])
def test_rate_and_on_share_are_those_set(rate, on_share):
    seen = flash(lit(rate, on_share), "E1")
    assert seen.look == "flashing" and seen.rate == pytest.approx(rate, rel=1e-5)
    assert seen.on_share == pytest.approx(on_share, rel=1e-5)
    assert seen.is_rate_allowed == (60 <= rate <= 120)
    assert f"{rate} per minute" in seen.sentence and f"{100 * on_share:.0f} %" in seen.sentence


def test_a_lamp_never_switched_is_dark_and_one_left_on_is_steady():
    dark = flash(run(lamp_board(), [], 2.0), "E1")
    assert (dark.look, dark.rate, dark.on_share, dark.is_rate_allowed) == ("dark", None, None, False)
    steady = flash(run(lamp_board(), [], 2.0, {"switch": "on"}), "E1")
    assert steady.look == "steady" and steady.highest > 11 and "steady at 1" in steady.sentence


def test_a_lamp_switched_once_is_changing():
    seen = flash(run(lamp_board(), [(0.5, "switch", "on"), (1.5, "switch", "off")], 2.0), "E1")
    assert (seen.look, seen.rate) == ("changing", None) and "0.50 s to 1.50 s" in seen.sentence


def test_a_stretch_of_the_record_is_measured_by_itself():
    course = run(lamp_board(), [(0.5, "switch", "on"), (1.5, "switch", "off")], 2.0)
    assert flash(course, "E1", 0.6, 1.4).look == "steady" and flash(course, "E1", 1.6, 2.0).look == "dark"
    for start, end in ((-1, 1), (1, 1), (1, 3), (1.5, 1)):
        with pytest.raises(ScriptError, match="does not lie within"):
            flash(course, "E1", start, end)
    with pytest.raises(UnknownName, match="no lamp 'E9'"):
        flash(course, "E9")


def test_a_lamp_too_slow_for_light_is_dark_in_time_by_the_bound_of_the_table():
    """Two lamps in series by a lost ground: 4 V in each dark phase would warm them to 1.7 %, but the phase ends first."""
    cart = arrangement("shared-filament-four-relays")
    crossed = changed(cart, MoveWire("W26", "X1:1", "E2:2"), LoseJoint("W27", "E2:2"))
    where = {"key": "on", "brake pedal": "held", "turn lever": "left"}
    settled = [operating_point(crossed, where, phase).light("E2") for phase in ("on", "off")]
    assert row_of(crossed, where).cells["E2"].look == "dim flashing" and settled[0] < 0.01 < settled[1] < 0.02
    course = run(crossed, [], 6.0, where)
    assert max(light for time, light in zip(course.times, course.light["E2"]) if time >= 1.0) < 0.01
    seen = flash(course, "E2", 1.0)
    assert seen.look == "dark" and "too little or too briefly for light" in seen.sentence and seen.edges == ()
    slow = crossed.with_parts(replace(crossed.part("K9"), rate=20.0))
    seen = flash(run(slow, [], 12.0, where), "E2", 3.0)
    assert seen.look == "dim flashing" and seen.rate == pytest.approx(20, rel=0.01), "given time, it shows what the table says"


def test_a_filament_that_still_glows_after_the_switch_is_dark():
    """Its light is above 1 % at first, its volts are not."""
    course = run(lamp_board(), [(1.0, "switch", "off")], 2.0, {"switch": "on"})
    assert max(light for time, light in zip(course.times, course.light["E1"]) if time >= 1.001) > 0.01
    assert flash(course, "E1", 1.001).look == "dark"


def test_a_relays_transfer_gap_is_not_a_flash():
    """The stop lamp's relay changes over while its flasher happens to be on: 2 ms without volts, nothing to see."""
    cart = arrangement("shared-filament-four-relays")
    course = run(cart, [(0.1, "brake pedal", "held"), (0.2, "turn lever", "left")], 0.45, {"key": "on"})
    gap = [end - start for start, end, state in course.spans("K1") if state == "gap"]
    assert gap == [pytest.approx(0.002)] and flash(course, "E1", 0.15, 0.33).look == "steady"


def test_a_dark_moment_longer_than_a_gap_is_a_flash():
    script = [(moment, "switch", state) for moment, state in
              ((0.0, "on"), (0.5, "off"), (0.54, "on"), (1.0, "off"), (1.04, "on"), (1.5, "off"), (1.54, "on"))]
    assert flash(run(lamp_board(), script, 2.0), "E1").look == "flashing"
    short = [(moment, "switch", state) for moment, state in ((0.0, "on"), (0.5, "off"), (0.52, "on"))]
    assert flash(run(lamp_board(), short, 2.0), "E1", 0.1).look == "steady"


def test_a_flash_cut_short_by_the_lever_does_not_spoil_the_rate():
    """The lever leaves in the middle of an on phase and comes back out of step: the middle period still counts."""
    script = [(0.0, "supply", "on"), (0.0, "load", "on"), (4.1, "load", "off"), (4.2, "load", "on")]
    seen = flash(lit(90, 0.5, 8.0, script), "E1")
    assert seen.rate == pytest.approx(90, rel=1e-5) and seen.on_share == pytest.approx(0.5, rel=1e-5)


def test_a_lamp_that_only_gets_a_ground_offset_is_dark():
    course = lit()
    weak = board("offset", [Battery("G1", 0.5), Lamp("E1")], [("G1:+", "E1:1"), ("E1:2", "G1:-")], ())
    assert flash(run(weak, [], 1.0), "E1").look == "dark" and flash(course, "E1").look == "flashing"


def test_relays_do_not_change_the_rate_on_the_way_to_the_lamp():
    """Flasher, relay, lamp: operate and release time shift the edges and so the on-share, but not the rate."""
    chain = relay_board()
    course = run(chain, [(0.25 * step, "switch", "on" if step % 2 else "off") for step in range(1, 24)], 6.0)
    seen = flash(course, "E1")
    assert seen.rate == pytest.approx(120, rel=1e-5)
    assert seen.on_share == pytest.approx((0.25 - 0.010 + 0.005) / 0.5, rel=1e-4)


def test_an_empty_socket_is_dark_however_many_volts_reach_it():
    """The flasher's volts stand at the terminals; there is nothing to light."""
    cart = arrangement("shared-filament-four-relays")
    pulled = changed(cart, Hold("E3", "blown"))
    course = trial(pulled, {"key": "on", "turn lever": "left"})
    assert flash(course, "E3").look == "dark" and "reach its terminals" in flash(course, "E3").sentence
    assert max(course.light["E3"]) == 0.0 and flash(course, "E1").look == "flashing"

"""Lamps, wires, chassis, batteries: what their records say by themselves and in small circuits."""

from dataclasses import fields, replace

import pytest

from circuitlab.arrangements import LoseJoint, SetValue, changed
from circuitlab.ground.errors import PartError
from circuitlab.parts import (KINDS, Battery, Breaker, Chassis, Diode, Fuse, FuseBlock, Lamp, LedLamp, Relay, Resistor, Splice,
                              Wire, charged_battery, load_sensing_flasher, running_battery, thermal_flasher, toggle)
from circuitlab.parts.conductors import copper_factor
from circuitlab.solving import operating_point, run
from circuitlab.commands.build_sheets import build_sheet

from small_boards import board, lamp_board

ON = {"switch": "on"}


# --- every record --------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_number_of_a_record_has_its_unit_in_the_docstring(kind):
    """A field with a number for a default is named under Parameters, its own or an ancestor's, with a unit."""
    record = KINDS[kind]
    text = "\n".join(parent.__doc__ or "" for parent in record.__mro__)
    for field in fields(record):
        if isinstance(field.default, (int, float)):
            assert field.name in text or field.name == "resistance", field.name
    assert text.count("[") >= sum(isinstance(field.default, float) for field in fields(record)) // 2


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_branches_and_watches_of_a_default_part_are_within_its_terminals(kind):
    made = {"switch": lambda: toggle("P1", "switch"), "fuse block": lambda: FuseBlock("P1", "10 A, spare")}
    part = made.get(kind, lambda: KINDS[kind]("P1"))()
    known = {*part.terminals, *part.inner}
    branches = part.branches()
    assert all({branch.start, branch.end} <= known for branch in branches)
    assert all(order < len(branches) for order in part.watched)
    assert all(branch.closed_in is None or kind == "switch" or branch.closed_in <= set(part.states)
               for branch in branches)
    turns = [part.heat_turn(state) for state in part.states]
    assert any(turns) == bool(part.heat_time)
    assert all(turn[2] in part.states and turn[0] < turn[1] for turn in turns if turn)


# --- lamps ---------------------------------------------------------------------------------------------------------

def bare_lamp(battery, lamp):
    """A lamp straight on its battery."""
    return board("a lamp on a battery", [battery, lamp], [("G1:+", "E1:1"), ("E1:2", "G1:-")], ())


@pytest.mark.parametrize("volts", [6.75, 13.5, 28.0])
def test_lamps_of_6_12_and_24_volts_draw_their_watts_and_give_their_light(volts):
    lamp = Lamp("E1", volts, 10.0)
    point = operating_point(bare_lamp(Battery("G1", volts, 0.001), lamp))
    assert point.power("E1") == pytest.approx(10.0, rel=0.02) and point.light("E1") == pytest.approx(1.0, rel=0.03)


def test_a_24_volt_lamp_on_12_volts_glows_and_a_12_volt_lamp_on_24_blazes_and_hardly_lives():
    weak = operating_point(bare_lamp(Battery("G1"), Lamp("E1", 28.0, 26.0)))
    assert 0.02 < weak.light("E1") < 0.1
    assert Lamp("E1").relative_life(27.0) < 2e-4 and Lamp("E1", 28.0, 26.0).relative_life(12.6) > 1e4


def test_relative_life_is_one_at_the_test_voltage_and_falls_steeply_above():
    lamp = Lamp("E1", 12.8, 26.88)
    assert lamp.relative_life(12.8) == 1.0
    assert lamp.relative_life(12.0) > 2 > 1 > lamp.relative_life(13.5) > 0.4 > lamp.relative_life(14.4)


def test_the_inrush_is_what_the_run_shows_at_the_first_instant():
    course = run(lamp_board(fuse=15.0), [(0.5, "switch", "on")], 1.0)
    first = course.at(0.5)
    assert Lamp("E1").inrush(first.lamp_volts("E1")) == pytest.approx(first.current("E1"), rel=1e-4)


# --- wire ----------------------------------------------------------------------------------------------------------

def test_a_wire_is_bought_by_gauge_or_by_square_millimetres():
    by_gauge, by_area = Wire("W1", "A:1", "B:1", area="18 AWG"), Wire("W1", "A:1", "B:1", area="0,823 mm2")
    assert by_gauge.copper == pytest.approx(by_area.copper, rel=1e-3) == pytest.approx(0.5 * 0.02095, rel=1e-3)


def test_a_warm_wire_has_more_resistance_and_a_cold_one_less():
    ohms = [Wire("W1", "A:1", "B:1", temperature=celsius).copper for celsius in (-40.0, 20.0, 85.0)]
    assert ohms[0] < ohms[1] < ohms[2] and ohms[2] / ohms[1] == pytest.approx((234.5 + 85) / 254.5, rel=1e-4)
    warm = changed(lamp_board(), SetValue("W3", "length", 8.0), SetValue("W3", "temperature", 105.0))
    cold = changed(warm, SetValue("W3", "temperature", -20.0))
    assert operating_point(warm, ON).light("E1") < operating_point(cold, ON).light("E1")
    assert copper_factor(20.0) == 1.0


def test_joints_do_not_warm_with_the_copper():
    wire = Wire("W1", "A:1", "B:1", start_joint=0.4, temperature=100.0)
    assert wire.resistance == pytest.approx(0.401 + wire.copper)


# --- ground --------------------------------------------------------------------------------------------------------

def on_the_body(body_resistance, studs=4):
    """Battery minus on stud 1, a lamp on the last stud."""
    chassis = Chassis("X1", studs, body_resistance=body_resistance)
    return board("body", [Battery("G1"), toggle("S1", "switch"), Lamp("E1"), chassis],
                 [("G1:+", "S1:1"), ("S1:2", "E1:1"), ("E1:2", f"X1:{studs}"), ("G1:-", "X1:1")])


def test_the_body_is_a_resistance_that_grows_with_the_way():
    whole, rusty = operating_point(on_the_body(0.0), ON), operating_point(on_the_body(0.05), ON)
    amps = rusty.current("E1")
    assert rusty.across("X1:4", "X1:1") == pytest.approx(amps * (3 * 0.05 + 2 * 0.002), rel=1e-9)
    assert whole.across("X1:4", "X1:1") == pytest.approx(whole.current("E1") * 2 * 0.002, rel=1e-9)
    assert rusty.light("E1") < 0.95 * whole.light("E1")
    assert rusty.volts("X1:2") == pytest.approx(rusty.volts("X1:1") + amps * (0.002 + 0.05), rel=1e-9)


def test_a_body_of_less_than_a_joint_is_refused_and_of_none_is_one_piece():
    assert Chassis("X1", 2).inner == ("body",) and Chassis("X1", 2, body_resistance=0.01).inner == ("body 1", "body 2")
    with pytest.raises(PartError, match="body resistance must be 0 or at least 0.001 ohm"):
        Chassis("X1", 2, body_resistance=0.0001)


def test_an_insulated_body_with_a_return_wire_carries_nothing_and_works():
    """Minus is not on the body; lamps return by wire. A lamp's housing touching the body then does no harm."""
    parts = [Battery("G1"), Fuse("F1", 5), toggle("S1", "switch"), Lamp("E1"), Chassis("X1", 2), Splice("X2")]
    pairs = [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "X2:1"), ("X2:2", "G1:-")]
    clean = operating_point(board("insulated", parts, pairs), ON)
    assert clean.light("E1") > 0.7 and clean.is_floating("X1:1")
    touched = operating_point(board("touched", parts, [*pairs, ("S1:2", "X1:1")]), ON)
    assert touched.states["F1"] == "whole" and touched.light("E1") == pytest.approx(clean.light("E1"))
    assert touched.is_live("X1:2"), "one fault makes the body live and shows nothing: the second one is the short"
    twice = operating_point(board("twice", parts, [*pairs, ("S1:2", "X1:1"), ("X1:2", "X2:3")]), ON)
    assert twice.states["F1"] == "blown"


def test_a_lost_return_wire_darkens_only_its_own_lamp_on_an_insulated_body():
    parts = [Battery("G1"), Lamp("E1"), Lamp("E2"), Splice("X2", 4), Chassis("X1", 2)]
    cart = board("two", parts, [("G1:+", "E1:1"), ("G1:+", "E2:1"), ("E1:2", "X2:1"), ("E2:2", "X2:2"),
                                ("X2:3", "G1:-")], ())
    lost = operating_point(changed(cart, LoseJoint("W3", "E1:2")))
    assert lost.light("E1") == 0.0 and lost.light("E2") > 0.7


# --- supply --------------------------------------------------------------------------------------------------------

def test_a_battery_gives_the_volts_of_its_charge_and_they_rise_with_it():
    volts = [charged_battery("G1", share / 100).voltage for share in range(0, 101, 5)]
    assert volts == sorted(volts) and (volts[0], volts[-1]) == (11.6, 12.6)
    assert charged_battery("G1", 0.6).voltage == pytest.approx(12.28)
    assert charged_battery("G1", 1.0, cells=12).voltage == pytest.approx(25.2)
    assert charged_battery("G1", 0.5, cells=3).voltage == pytest.approx(6.1)
    assert charged_battery("G1", 0.5, internal_resistance=0.02).internal_resistance == 0.02


def test_the_engine_running_lights_more_than_a_battery_at_rest():
    def light(battery):
        return operating_point(lamp_board().with_parts(battery), ON).light("E1")
    assert light(charged_battery("G1", 0.25)) < light(charged_battery("G1")) < light(running_battery("G1"))
    assert running_battery("G1").voltage == 14.0


@pytest.mark.parametrize("make, words", [
    (lambda: charged_battery("G1", 1.2), "charge must be between 0 and 1"),
    (lambda: charged_battery("G1", "full"), "charge must be between 0 and 1"),
    (lambda: charged_battery("G1", 0.5, cells=4), r"cells must be 3 \(6 V\), 6 \(12 V\) or 12 \(24 V\), got 4"),
    (lambda: running_battery("G1", 80.0), "voltage must be between 0 and 60 V")])
def test_a_supply_that_cannot_be_is_refused_in_words(make, words):
    with pytest.raises(PartError, match=words):
        make()


# --- power ---------------------------------------------------------------------------------------------------------

def test_power_is_what_a_part_takes_and_all_of_it_comes_from_the_battery():
    point = operating_point(lamp_board(), ON)
    taken = {part.name: point.power(part.name) for part in (*point.arrangement.parts, *point.arrangement.wires)}
    assert taken["G1"] == pytest.approx(-sum(watts for name, watts in taken.items() if name != "G1"), rel=1e-9)
    assert taken["E1"] > 20 and taken["S1"] == pytest.approx(0.01 * point.current("S1") ** 2, rel=1e-9)
    assert operating_point(lamp_board()).power("E1") == 0.0


def test_power_of_two_resistors_is_shared_as_their_ohms():
    cart = board("two", [Battery("G1"), Resistor("R1", 10.0), Resistor("R2", 30.0)],
                 [("G1:+", "R1:1"), ("R1:2", "R2:1"), ("R2:2", "G1:-")], ())
    point = operating_point(cart)
    assert point.power("R2") / point.power("R1") == pytest.approx(3.0, rel=1e-9)
    halved = operating_point(cart.with_parts(replace(cart.part("G1"), voltage=6.3)))
    assert halved.power("R1") == pytest.approx(point.power("R1") / 4, rel=1e-9)


def test_the_parts_list_says_of_each_kind_what_a_shop_asks():
    parts = [Battery("G1"), Breaker("F1", 25.0), thermal_flasher("K9"), load_sensing_flasher("K8"),
             Relay("K1", "dual", suppression="diode"), LedLamp("E1", load_resistance=6.0), Diode("V1")]
    page = build_sheet(board("new kinds", parts, [], ()))
    for words in ("breaker, recloses by itself, 25 A", "flasher, thermal fixed load, 49 49a, for 53 W, 13.5 V, 90 per minute",
                  "flasher, electronic with lamp-out sensing, 49 49a 31, 42 to 98 W", "relay, dual, coil 85 ohm, diode across it: plus on 86",
                  "load resistor 6 ohm 50 W", "diode, carries 6 A, blocks 100 V, drops 0.9 V at 6 A, ring on K"):
        assert words in page, words

"""Diodes and LED lamps: the curve itself, and what they do in circuits."""

from math import exp, log
from random import Random

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import wrightomega

from circuitlab.arrangements import Arrangement
from circuitlab.ground.errors import PartError
from circuitlab.parts import (Battery, Control, Diode, Flasher, Fuse, Lamp, LedLamp, Relay, Resistor, Splice, Wire,
                              load_sensing_flasher, plunger_stop_switch, toggle)
from circuitlab.parts.semiconductors import Junction, wright_omega
from circuitlab.reasoning import flash, lamp_table
from circuitlab.solving import operating_point, run

from small_boards import board

ON = {"switch": "on"}


# --- the curve -----------------------------------------------------------------------------------------------------

def test_the_omega_function_is_scipys():
    """Over everything a lamp circuit can ask: z from -600 to 5000, to 1e-14 of its value."""
    for z in np.concatenate([np.linspace(-600, -41, 200), np.linspace(-41, 8, 1500), np.geomspace(8, 5000, 300)]):
        assert wright_omega(float(z)) == pytest.approx(float(wrightomega(z)), rel=1e-14, abs=0), z


def test_the_omega_function_solves_its_equation_where_scipys_was_not_asked():
    for z in (-3.0, -2.0, -1.9999, 0.0, 1.0, 2.9999, 3.0, 40.0):
        w = wright_omega(z)
        assert w + log(w) == pytest.approx(z, abs=1e-13)
    assert wright_omega(-1e6) == 0.0


@pytest.mark.parametrize("junction", [Junction(0.9, 6.0, 0.015), Junction(1.0, 1.0, 0.1),
                                      Junction(13.5, 0.2, 36.0, 0.12)])
@pytest.mark.parametrize("volts", [-30.0, -1.0, 0.0, 0.3, 0.7, 0.9, 1.5, 13.5, 60.0])
def test_the_current_obeys_the_junctions_own_equation(junction, volts):
    """i = I0 (exp((u - R i) / v) - 1), solved by bracketing, plus the leak."""
    i0, r, v = junction.reverse_current, junction.resistance, junction.steepness
    def beyond(i):
        return i - i0 * (exp(min(700.0, (volts - r * i) / v)) - 1)
    wanted = brentq(beyond, -2 * i0 - 1e-30, max(volts, 0) / r + 1e-9, xtol=1e-18, rtol=1e-14, maxiter=500)
    current, slope = junction.settled_current(volts)
    assert current == pytest.approx(wanted + junction.leak * volts, rel=1e-10, abs=1e-14)
    h = 1e-6
    assert slope == pytest.approx((junction.settled_current(volts + h)[0] - junction.settled_current(volts - h)[0])
                                  / (2 * h), rel=1e-4, abs=1e-10)
    assert slope > 0


def test_the_curve_goes_through_its_point():
    for junction in (Junction(0.9, 6.0, 0.015), Junction(1.1, 1.0, 0.05)):
        current, _ = junction.settled_current(junction.forward_voltage)
        assert current == pytest.approx(junction.forward_current, rel=1e-7)


def test_a_diode_whose_resistance_eats_its_volts_is_refused():
    with pytest.raises(PartError, match="Give a smaller resistance"):
        Diode("V1", 0.9, 6.0, 0.2)


# --- diodes in circuits --------------------------------------------------------------------------------------------

def in_a_row(diode, turned=False):
    """A lamp behind a diode, which may point the wrong way."""
    a, k = ("K", "A") if turned else ("A", "K")
    return board("behind a diode", [Battery("G1"), toggle("S1", "switch"), diode, Lamp("E1")],
                 [("G1:+", "S1:1"), ("S1:2", f"V1:{a}"), (f"V1:{k}", "E1:1"), ("E1:2", "G1:-")])


def test_a_diode_passes_one_way_and_blocks_the_other():
    passing, blocking = operating_point(in_a_row(Diode("V1")), ON), operating_point(in_a_row(Diode("V1"), True), ON)
    assert 0.6 < passing.across("V1:A", "V1:K") < 0.95 and passing.light("E1") > 0.5
    assert abs(blocking.current("V1")) < 2e-7 and blocking.light("E1") == 0.0
    assert blocking.across("V1:K", "V1:A") == pytest.approx(12.6, abs=1e-6)


def test_the_watts_of_all_parts_and_wires_add_up_to_none():
    point = operating_point(in_a_row(Diode("V1")), ON)
    names = [part.name for part in (*point.arrangement.parts, *point.arrangement.wires)]
    assert sum(point.power(name) for name in names) == pytest.approx(0.0, abs=1e-9)
    assert point.power("G1") < -15 and 0.8 < point.power("V1") < 2.5
    assert point.power("E1") == pytest.approx(point.lamp_volts("E1") * point.current("E1"), rel=1e-12)


def hazard_by_diodes():
    """One wire feeds both sides through a diode each; a turn lever feeds either."""
    parts = [Battery("G1"), toggle("S1", "hazard"), toggle("S2", "left"), Diode("V1"), Diode("V2"), Lamp("E1"),
             Lamp("E2"), Splice("X1"), Splice("X2"), Splice("X3")]
    return board("hazard by diodes", parts,
                 [("G1:+", "X1:1"), ("X1:2", "S1:1"), ("X1:3", "S2:1"), ("S1:2", "V1:A"), ("S1:2", "V2:A"),
                  ("V1:K", "X2:1"), ("V2:K", "X3:1"), ("S2:2", "X2:2"), ("X2:3", "E1:1"), ("X3:3", "E2:1"),
                  ("E1:2", "G1:-"), ("E2:2", "G1:-")], ("hazard", "left"))


def test_diodes_keep_the_two_sides_apart_and_let_the_hazard_light_both():
    looks = {(row.positions["hazard"], row.positions["left"]): (row.cells["E1"].look, row.cells["E2"].look)
             for row in lamp_table(hazard_by_diodes()).rows}
    assert looks == {("off", "off"): ("dark", "dark"), ("off", "on"): ("steady", "dark"),
                     ("on", "off"): ("steady", "steady"), ("on", "on"): ("steady", "steady")}


def test_without_the_diodes_the_lever_lights_both_sides():
    """The same wires with 1 mohm in the place of each diode: what the diodes are for."""
    pairs = [tuple(end.replace("V1:A", "R1:1").replace("V1:K", "R1:2").replace("V2:A", "R2:1").replace("V2:K", "R2:2")
                   for end in wire.terminals) for wire in hazard_by_diodes().wires]
    parts = [part for part in hazard_by_diodes().parts if part.kind != "diode"]
    bare = board("no diodes", [*parts, Resistor("R1", 0.001), Resistor("R2", 0.001)], pairs, ("hazard", "left"))
    point = operating_point(bare, {"left": "on"})
    assert point.light("E1") > 0.6 and point.light("E2") > 0.6


def coil_with_diode(turned=False, fuse=5.0):
    """A relay with a diode of its own wired across its coil."""
    a, k = ("K1:86", "K1:85") if turned else ("K1:85", "K1:86")
    parts = [Battery("G1"), Fuse("F1", fuse), toggle("S1", "switch"), Relay("K1"), Diode("V1")]
    return board("a diode across a coil", parts,
                 [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "K1:86"), ("K1:85", "G1:-"), ("V1:A", a), ("V1:K", k)])


def test_a_diode_across_a_coil_blocks_the_right_way_round():
    point = operating_point(coil_with_diode(), ON)
    assert point.states["K1"] == "operated" and abs(point.current("V1")) < 2e-7


def test_the_wrong_way_round_it_shorts_the_feed_and_the_fuse_says_so():
    wrong = coil_with_diode(turned=True)
    point = operating_point(wrong, ON)
    assert point.states["F1"] == "blown" and point.states["K1"] == "released"
    row, = [row for row in lamp_table(wrong).rows if row.positions == ON]
    assert row.blown == ("F1",) and row.sentence == "F1 blows"
    course = run(wrong, [(0.5, "switch", "on")], 3.0)
    blown, = [event for event in course.events if event.name == "F1"]
    assert blown.state == "blown" and blown.time < 0.7
    assert course.at(0.5).current("V1") > 50 and course.at(0.5).across("V1:A", "V1:K") < 3


# --- LED lamps -----------------------------------------------------------------------------------------------------

def led_board(lamp, volts=13.5, turned=False):
    one, two = ("E1:2", "E1:1") if turned else ("E1:1", "E1:2")
    return board("an LED lamp", [Battery("G1", volts, 0.001), toggle("S1", "switch"), lamp],
                 [("G1:+", "S1:1"), ("S1:2", one), (two, "G1:-")])


def test_an_led_lamp_draws_its_watts_and_gives_its_light_at_its_test_voltage():
    point = operating_point(led_board(LedLamp("E1")), ON)
    assert point.power("E1") == pytest.approx(2.7, rel=0.01) and point.light("E1") == pytest.approx(1.0, rel=0.01)
    assert not [name for name in point.states if point.states[name] == "blown"]


def test_an_led_lamp_turned_round_is_dark_and_draws_nothing_but_a_leak():
    point = operating_point(led_board(LedLamp("E1"), turned=True), ON)
    assert point.light("E1") == 0.0
    assert point.current("E1") == pytest.approx(-50e-9 * point.volts("E1:2") / 12, rel=1e-6), "its record's leakage"


def test_the_light_of_an_led_lamp_follows_its_current_and_ends_near_its_threshold():
    light = {volts: operating_point(led_board(LedLamp("E1"), volts), ON).light("E1")
             for volts in (5.5, 7.0, 9.0, 12.0, 13.5)}
    assert light[5.5] < 0.01 < light[7.0] < 0.15 < light[9.0] < light[12.0] < 1.01
    lamp = LedLamp("E1")
    assert light[12.0] == pytest.approx(lamp.junction.settled_current(12.0)[0] / (2.7 / 13.5), rel=0.02)


def test_an_led_lamp_is_lit_at_once_and_has_no_temperature():
    course = run(led_board(LedLamp("E1")), [(0.5, "switch", "on")], 1.0)
    assert course.at(0.499).light("E1") < 1e-12 and course.at(0.5).light("E1") == pytest.approx(1.0, rel=0.01)
    with pytest.raises(PartError, match="no filament"):
        course.at(0.5).temperature("E1")


def test_an_led_lamp_has_neither_inrush_nor_a_filaments_life():
    lamp = LedLamp("E1", load_resistance=6.0)
    assert lamp.inrush(13.5) == pytest.approx(0.2 + 13.5 / 6, rel=1e-3)
    with pytest.raises(PartError, match="life does not follow its volts"):
        lamp.relative_life(12.0)


def test_beside_a_filament_in_one_run_both_keep_their_own_law():
    """A filament and an LED lamp in parallel behind a poor joint: the filament's rush pulls the LED down at first."""
    parts = [Battery("G1"), toggle("S1", "switch"), Resistor("R1", 0.3), Splice("X1"), Lamp("E1"), LedLamp("E2")]
    cart = board("both", parts, [("G1:+", "S1:1"), ("S1:2", "R1:1"), ("R1:2", "X1:1"), ("X1:2", "E1:1"),
                                 ("X1:3", "E2:1"), ("E1:2", "G1:-"), ("E2:2", "G1:-")])
    course, rest = run(cart, [(0.5, "switch", "on")], 3.0), operating_point(cart, ON)
    assert course.at(0.5).light("E2") < 0.25 * rest.light("E2")
    assert course.at(3.0).light("E2") == pytest.approx(rest.light("E2"), rel=1e-3)
    assert course.at(3.0).light("E1") == pytest.approx(rest.light("E1"), rel=2e-3)
    assert course.at(0.55).light("E1") < 0.1 < course.at(0.55).light("E2")


# --- load resistors ------------------------------------------------------------------------------------------------

def stop_and_turn(at_lamp):
    """Converter relay K1: the pedal's feed on its break contact, the flasher's on its make contact, one LED lamp on 30.

    The load resistor sits at the lamp, or on the flasher's side of 87.
    """
    lamp = LedLamp("E1", load_resistance=6.0 if at_lamp else float("inf"))
    parts = [Battery("G1", 13.5, 0.001), plunger_stop_switch("S1"), toggle("S2", "turn"), toggle("S3", "relay"),
             load_sensing_flasher("K9", rated_load=21.0), Relay("K1"), lamp, Splice("X1", 4), Splice("X2")]
    pairs = [("G1:+", "X1:1"), ("X1:2", "S1:1"), ("S1:2", "K1:87a"), ("X1:3", "S2:1"), ("S2:2", "K9:49"),
             ("K9:31", "G1:-"), ("K9:49a", "X2:1"), ("X2:2", "K1:87"), ("X1:4", "S3:1"), ("S3:2", "K1:86"),
             ("K1:85", "G1:-"),
             ("K1:30", "E1:1"), ("E1:2", "G1:-")]
    if not at_lamp:
        parts.append(Resistor("R1", 6.0))
        pairs += [("X2:3", "R1:1"), ("R1:2", "G1:-")]
    controls = [Control("brake pedal", ("released", "held")), Control("turn", ("off", "on")),
                Control("relay", ("off", "on"))]
    return Arrangement("where the load resistor sits", controls, parts,
                       [Wire(f"W{number}", *pair) for number, pair in enumerate(pairs, start=1)])


TURN = {"turn": "on", "relay": "on"}


@pytest.mark.parametrize("at_lamp", [True, False], ids=["at the lamp", "on the flasher's side of 87"])
def test_either_place_makes_the_flasher_flash_at_its_own_rate(at_lamp):
    course = run(stop_and_turn(at_lamp), [(0.1, "turn", "on"), (0.1, "relay", "on")], 8.0)
    assert flash(course, "E1", 1.0).rate == pytest.approx(90, rel=1e-3)


def test_at_the_lamp_it_burns_its_watts_as_long_as_the_brake_is_held():
    """30 W at 13.5 V all the while at the lamp; none on the flasher's side, where it works only while flashing."""
    held = {"brake pedal": "held"}
    at_lamp, beside = operating_point(stop_and_turn(True), held), operating_point(stop_and_turn(False), held)
    assert at_lamp.power("E1") > 29 + 2.5 and beside.power("E1") < 3
    assert beside.power("R1") == pytest.approx(0.0, abs=1e-12)
    flashing = operating_point(stop_and_turn(False), TURN)
    assert flashing.power("R1") > 29 and -flashing.power("G1") > 32


# --- the solver does not stumble -----------------------------------------------------------------------------------

def random_diode_network(seed):
    """Batteries, diodes either way, LED lamps, filaments and resistors between a few points, by chance."""
    chance = Random(seed)
    posts = [Splice(f"X{number}", 12) for number in range(1, chance.randint(4, 7))]
    used = {post.name: 0 for post in posts}
    parts, wires = [Battery("G1", chance.uniform(1, 28), chance.choice((0.004, 0.1)))], []

    def post():
        name = chance.choice([name for name, count in used.items() if count < 12])
        used[name] += 1
        return f"{name}:{used[name]}"

    for number in range(1, chance.randint(8, 16)):
        part = chance.choice((
            lambda n: Diode(f"V{n}", *chance.choice(((0.9, 6.0, 0.015), (1.1, 1.0, 0.05), (0.7, 0.01, 1.0)))),
            lambda n: Diode(f"V{n}"), lambda n: Lamp(f"E{n}", 13.5, chance.choice((3.0, 26.5, 55.0))),
            lambda n: LedLamp(f"E{n}"), lambda n: Resistor(f"R{n}", 10 ** chance.uniform(-3, 6))))(number)
        parts.append(part)
        for terminal in part.terminals:
            wires.append((f"{part.name}:{terminal}", post()))
    wires += [("G1:+", post()), ("G1:-", post())]
    return Arrangement(f"diodes by chance {seed}", parts=[*parts, *posts],
                       wires=[Wire(f"W{number}", *pair) for number, pair in enumerate(wires, start=1)])


@pytest.mark.parametrize("seeds", [range(60), pytest.param(range(60, 300), marks=pytest.mark.full)], ids=["first", "rest"])
def test_in_random_networks_newton_never_fails_and_kirchhoff_holds(seeds):
    """No ArithmeticError, and at every splice the currents add up to none within 1e-8 of what flows."""
    conducting = 0
    for seed in seeds:
        cart = random_diode_network(seed)
        point = operating_point(cart)
        assert point.is_settled
        flowing = max(1.0, abs(point.current("G1")))
        conducting += any(abs(point.current(part.name)) > 0.01 for part in cart.parts if part.kind == "diode")
        for post in (part for part in cart.parts if part.kind == "splice"):
            name = f"{post.name}:"
            inward = sum(point.current(wire.name) * (wire.end.startswith(name) - wire.start.startswith(name))
                         for wire in cart.wires)
            assert abs(inward) < 1e-7 * flowing, (seed, post.name, inward)
    assert conducting > len(seeds) / 5, "enough of them have a diode at work"


def test_a_diode_bridge_turns_any_polarity_into_one():
    """The lamp sees the same volts whichever way round the bridge is fed."""
    def lamp_volts(plus, minus):
        parts = [Battery("G1"), Resistor("R1", 0.01), Lamp("E1"), *(Diode(f"V{n}") for n in (1, 2, 3, 4)),
                 *(Splice(f"X{n}", 4) for n in (1, 2, 3, 4))]
        bridge = board("a bridge", parts,
                       [("G1:+", "R1:1"), ("R1:2", plus), ("G1:-", minus), ("X1:2", "V1:A"), ("V1:K", "X3:1"),
                        ("X2:2", "V2:A"), ("V2:K", "X3:2"), ("X4:1", "V3:A"), ("V3:K", "X1:3"), ("X4:2", "V4:A"),
                        ("V4:K", "X2:3"),
                        ("X3:3", "E1:1"), ("E1:2", "X4:3")], ())
        return operating_point(bridge).lamp_volts("E1")
    assert lamp_volts("X1:1", "X2:1") == pytest.approx(lamp_volts("X2:1", "X1:1"), rel=1e-9)
    assert 10.5 < lamp_volts("X1:1", "X2:1") < 11.4

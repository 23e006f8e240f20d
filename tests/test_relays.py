"""The relay's law: warm coils, burned contacts, two make contacts, suppression, polarity."""

import pytest

from circuitlab.arrangements import Hold, SetValue, changed
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.ground.errors import PartError, UnknownName
from circuitlab.parts import Battery, Fuse, Lamp, Relay, Splice, catalogue, toggle
from circuitlab.solving import operating_point, run

from small_boards import board, relay_board

ON = {"switch": "on"}


def dual_board(**relay):
    """Two lamps, one on 87 and one on 87b; battery behind a fuse."""
    return board("two make contacts", [Battery("G1"), Fuse("F1", 15), toggle("S1", "switch"),
                                       Relay("K1", "dual", **relay), Lamp("E1"), Lamp("E2"), Splice("X1")],
                 [("G1:+", "F1:1"), ("F1:2", "X1:1"), ("X1:2", "S1:1"), ("S1:2", "K1:86"), ("K1:85", "G1:-"),
                  ("X1:3", "K1:30"), ("K1:87", "E1:1"), ("K1:87b", "E2:1"), ("E1:2", "G1:-"), ("E2:2", "G1:-")])


def coil_board(relay, turned=False, fuse=5.0):
    """A coil behind a fuse and a switch; turned, 85 is plus."""
    plus, minus = ("K1:85", "K1:86") if turned else ("K1:86", "K1:85")
    return board("a coil", [Battery("G1"), Fuse("F1", fuse), toggle("S1", "switch"), relay],
                 [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", plus), (minus, "G1:-")])


def release(relay):
    """Return the time from the coil's switch opening to the contact having landed. [s]"""
    course = run(coil_board(relay), [(0.1, "switch", "on"), (1.0, "switch", "off")], 2.0)
    return next(event.time for event in course.events if (event.name, event.state) == ("K1", "released")) - 1.0


# --- the coil's class -----------------------------------------------------------------------------------------------

@pytest.mark.parametrize("ohms, pull_in, volts", [
    (85.0, 7.0, 12), (85.0, 6.0, 12), (85.0, 5.5, 12), (85.0, 4.5, 12), (90.0, 8.5, 12), (75.0, 9.5, 12),
    (20.0, 3.5, 6), (20.0, 4.5, 6), (22.0, 2.5, 6), (320.0, 14.0, 24), (320.0, 10.0, 24), (255.0, 9.0, 24), (85.0, 0.5, 12)])
def test_the_ohms_of_a_coil_tell_what_it_is_made_for(ohms, pull_in, volts):
    """About 20 ohm is a mini relay for 6 V, 85 ohm one for 12 V, 320 ohm one for 24 V: from memory."""
    assert Relay("K1", coil_resistance=ohms, pull_in_voltage=pull_in, drop_out_voltage=0.4).nominal == volts


@pytest.mark.parametrize("row", catalogue.table("relays"), ids=lambda row: row["relay"])
def test_every_relay_of_the_table_is_of_the_class_its_sheet_says(row):
    """Those of 260 and 300 ohm for 12 V too, which are no mini relays: they pull in at less than any for 24 V does."""
    assert catalogue.relay("K1", row["relay"]).nominal == row["rated [V]"]


@pytest.mark.parametrize("pull_in", [5.5, 6.0, 7.0])
def test_a_relay_measured_to_pull_in_early_is_still_one_for_this_battery(pull_in):
    made = Relay("K1", pull_in_voltage=pull_in, suppression="diode")
    assert not [words for words in warnings_for(coil_board(made)) if "burn out" in words]
    assert made.slowing == Relay("K1", suppression="diode").slowing


# --- contacts ------------------------------------------------------------------------------------------------------

def test_a_dual_relay_makes_both_contacts_and_has_no_break_contact():
    rest, held = operating_point(dual_board()), operating_point(dual_board(), ON)
    assert rest.light("E1") == rest.light("E2") == 0.0
    assert held.light("E1") > 0.6 and held.light("E2") == pytest.approx(held.light("E1"), rel=1e-6)
    with pytest.raises(UnknownName, match="no terminal '87a'. It has: 30, 85, 86, 87, 87b"):
        held.volts("K1:87a")


def test_a_dual_relay_in_place_of_a_changeover_joins_what_should_be_parted():
    """The trap: it fits the socket, and both lamps come on together."""
    held = operating_point(dual_board(), ON)
    assert held.across("K1:87", "K1:87b") == pytest.approx(0.0, abs=1e-6)


def test_a_burned_contact_takes_volts_and_watts_from_its_lamp_and_warms():
    good, burned = (operating_point(relay_board(contact_resistance=ohms), ON) for ohms in (0.005, 0.5))
    assert good.lamp_volts("E1") - burned.lamp_volts("E1") > 0.7
    assert burned.across("K1:30", "K1:87") == pytest.approx(0.5 * burned.current("K1", 1))
    contact_watts = burned.across("K1:30", "K1:87") * burned.current("K1", 1)
    assert contact_watts > 1.3 and burned.power("K1") == pytest.approx(
        contact_watts + burned.across("K1:86", "K1:85") * burned.current("K1"))


@pytest.mark.parametrize("state, lamp", [("operated", "E1"), ("released", "E2")], ids=["welded", "stuck"])
def test_a_welded_or_stuck_relay_keeps_its_lamp_whatever_the_coil_gets(state, lamp):
    for positions in ({}, ON):
        assert operating_point(changed(relay_board(), Hold("K1", state)), positions).light(lamp) > 0.6


# --- the coil ------------------------------------------------------------------------------------------------------

def test_a_hot_coil_pulls_in_at_more_volts_and_a_frozen_one_at_less():
    """7 V at 20 C are 8.79 V at 85 C and 5.35 V at -40 C. On 7.9 V only the cold ones work."""
    def state(celsius, volts):
        at = changed(coil_board(Relay("K1", coil_temperature=celsius)), SetValue("G1", "voltage", volts))
        return operating_point(at, ON).states["K1"]
    assert [state(celsius, 7.9) for celsius in (-40, 20, 85)] == ["operated", "operated", "released"]
    assert state(85, 8.70) == "released" and state(85, 8.90) == "operated"
    assert state(-40, 5.20) == "released" and state(-40, 5.50) == "operated"


def test_a_warm_coil_draws_less():
    def amps(celsius):
        return operating_point(coil_board(Relay("K1", coil_temperature=celsius)), ON).current("K1")
    assert amps(20) / amps(85) == pytest.approx(1 + 0.003929 * 65, rel=1e-3)


# --- suppression ---------------------------------------------------------------------------------------------------

def test_suppression_slows_the_release_a_diode_most_and_the_pull_in_not_at_all():
    bare, resistor, diode = (release(Relay("K1", suppression=kind)) for kind in ("none", "resistor", "diode"))
    assert bare == pytest.approx(0.007, abs=2e-6)
    assert 0.0072 < resistor < 0.0085 < 0.0135 < diode < 0.0155
    for kind in ("none", "resistor", "diode"):
        course = run(coil_board(Relay("K1", suppression=kind)), [(0.1, "switch", "on")], 1.0)
        assert [event.time for event in course.events if event.state == "operated"] == [pytest.approx(0.110, abs=2e-6)]


def test_the_delay_of_a_resistor_is_that_of_its_circuit():
    """di/dt = -(R + Rs) i / L, from 13.5 V / R down to the drop-out current, stepped by hand."""
    relay = Relay("K1", suppression="resistor", suppression_resistance=220.0)
    amps, seconds, step = 13.5 / 85.0, 0.0, 1e-7
    while amps > 2.5 / 85.0:
        amps -= (85.0 + 220.0) / relay.inductance * amps * step
        seconds += step
    assert release(relay) - release(Relay("K1")) == pytest.approx(seconds, abs=3e-6)


def test_a_smaller_resistor_slows_more():
    times = [release(Relay("K1", suppression="resistor", suppression_resistance=ohms)) for ohms in (680, 220, 82)]
    assert times == sorted(times) and times[0] < times[-1]


def test_a_built_in_resistor_draws_its_own_current_beside_the_coil():
    plain, beside = (operating_point(coil_board(Relay("K1", suppression=kind)), ON) for kind in ("none", "resistor"))
    assert beside.current("F1") - plain.current("F1") == pytest.approx(12.6 / 560, rel=0.01)
    assert beside.current("K1") == pytest.approx(plain.current("K1"), rel=0.01)


def test_a_coil_with_a_diode_works_one_way_round_and_blows_the_fuse_the_other():
    relay = Relay("K1", suppression="diode")
    right = operating_point(coil_board(relay), ON)
    assert right.states["K1"] == "operated" and right.states["F1"] == "whole"
    wrong = operating_point(coil_board(relay, turned=True), ON)
    assert wrong.states["F1"] == "blown" and wrong.states["K1"] == "released"
    plain = operating_point(coil_board(Relay("K1"), turned=True), ON)
    assert plain.states["K1"] == "operated", "a bare coil does not mind"


def test_a_turned_coil_with_a_diode_blows_its_fuse_in_the_time_course_too():
    course = run(coil_board(Relay("K1", suppression="diode"), turned=True), [(0.1, "switch", "on")], 2.0)
    assert [event.state for event in course.events if event.name == "F1"] == ["blown"]


def test_a_slow_release_outlasts_the_pause_of_a_fast_hand():
    """Off for 8 ms: the bare relay lets go, the one with a diode has not yet."""
    script = [(0.1, "switch", "on"), (1.0, "switch", "off"), (1.008, "switch", "on")]
    def states(kind):
        return [event.state for event in run(coil_board(Relay("K1", suppression=kind)), script, 2.0).events
                if event.name == "K1" and event.time > 0.5]
    assert states("none") == ["gap", "released", "gap", "operated"] and states("diode") == []


@pytest.mark.parametrize("make, words", [
    (lambda: Relay("K1", suppression="zener"), "suppression must be none, resistor or diode, got 'zener'"),
    (lambda: Relay("K1", "dual", coil_temperature=400), "coil temperature must be between -60 and 200 C"),
    (lambda: Relay("K1", suppression_resistance=1), "suppression resistance must be between 10 and 100000 ohm")])
def test_a_relay_that_cannot_be_is_refused_in_words(make, words):
    with pytest.raises(PartError, match=words):
        make()

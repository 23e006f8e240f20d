"""The meter is a part of the circuit: what is live, ghost, dead and floating, and how both drawings show it."""

import re

import pytest

import circuitlab as cl
from circuitlab.arrangements import Hold, SetValue, arrangement, arrangement_names, changed
from circuitlab.ground.errors import CircuitLabError, PartError, UnknownName
from circuitlab.parts import Battery, Diode, Lamp, LedLamp, Relay, Resistor
from circuitlab.parts.instruments import Meter, TestLamp
from circuitlab.reasoning.faults import best_reading, single_faults
from circuitlab.reasoning.leads import Reading, take_reading
from circuitlab.solving import METER, TEST_LAMP, operating_point, run, sweep
from circuitlab.views.attached import describe_attached
from circuitlab.views.fault_words import shown_words
from circuitlab.views.schematic import describe

from small_boards import board

HAZARD = {"hazard": "on", "turn lever": "left"}
LEAK_FED = ("S1:15", "S3:15", "S3:L", "S3:R", "V3:A", "V4:A")


@pytest.fixture(scope="module")
def by_diodes():
    """Key off, hazard on, lever left: 15 and the lever hang on blocked diodes alone."""
    return operating_point(arrangement("hazard-by-diodes"), HAZARD)


def behind(part, end="1", volts=12.6):
    """A part fed at one end, its other end bare."""
    return operating_point(board("behind", [Battery("G1", volts), part], [("G1:+", f"{part.name}:{end}")], ()))


# --- what an instrument shows ----------------------------------------------------------------------------------------

def test_what_hangs_on_blocked_diodes_is_dead_and_at_the_highest_leakage_a_ghost(by_diodes):
    """No volts that nobody would read: 11.5 V without a meter, half a volt with it, nothing under the test lamp."""
    for terminal in LEAK_FED:
        assert by_diodes.volts(terminal) == pytest.approx(11.54, abs=0.01)
        assert 0.4 < by_diodes.meter(terminal) < 0.5, "0.05 uA through 10 megohm"
        assert by_diodes.test_lamp(terminal) < 1e-6
        assert by_diodes.liveness(terminal) == "dead" and not by_diodes.is_live(terminal)
        assert by_diodes.may_be_ghost(terminal) and 9 < by_diodes.meter(terminal, highest=True) < 10
    for terminal in ("X4:1", "K1:86", "X7:1", "F2:2"):
        assert by_diodes.is_live(terminal) and not by_diodes.may_be_ghost(terminal)
    assert by_diodes.liveness("S2:2") == "floating" and by_diodes.meter("S2:2") is None


@pytest.mark.outside("installer's manual of a vehicle alarm, specifications: a voltmeter's input is 10 million ohms")
def test_a_meter_halves_the_volts_of_ten_megohms():
    point = behind(Resistor("R1", 10e6), volts=12.0)
    assert METER == Meter(10e6)
    assert point.volts("R1:2") == pytest.approx(12.0) and point.meter("R1:2") == pytest.approx(6.0, abs=1e-4)
    assert point.liveness("R1:2") == "ghost"


@pytest.mark.outside("service manual of an engine: a test lamp that draws less than 0.3 A from the battery is safe to use")
def test_the_test_lamp_draws_less_than_three_tenths_of_an_ampere():
    for volts in (11.0, 12.0, 13.5, 14.4):
        assert TEST_LAMP.settled_current(volts)[0] < 0.3
    assert TEST_LAMP == TestLamp(3.0, 12.0)
    assert TEST_LAMP.settled_current(12.0)[0] == pytest.approx(0.25)


def test_a_source_of_too_much_resistance_for_the_lamp_is_a_ghost():
    """At 1 V the lamp takes its settled current: where the source gives that much at 1 V is the border."""
    amps = TEST_LAMP.settled_current(1.0)[0]
    border = 11.6 / amps
    assert behind(Resistor("R1", 0.99 * border)).liveness("R1:2") == "live"
    assert behind(Resistor("R1", 1.01 * border)).liveness("R1:2") == "ghost"
    assert behind(Resistor("R1", 200e6)).liveness("R1:2") == "dead", "10 of 210 megohm leave 0.6 V"


def test_behind_a_coil_or_a_lamp_a_terminal_is_live():
    """A lost ground: the coil's own current lights the test lamp dimly, a lamp's almost fully."""
    coil, lamp = behind(Relay("K1"), "86"), behind(Lamp("E1"))
    assert coil.liveness("K1:85") == lamp.liveness("E1:2") == "live"
    assert 1 < coil.test_lamp("K1:85") < 6 and lamp.test_lamp("E1:2") > 11


def test_an_led_lamp_with_a_lost_ground_shows_the_meter_less_than_the_supply():
    """Below its threshold hardly any current passes, yet 10 megohm need hardly any."""
    point = behind(LedLamp("E1"))
    assert 5 < point.meter("E1:2") < 9 < 12 < point.volts("E1:2")


def test_between_two_terminals_an_instrument_shows_their_difference(by_diodes):
    assert by_diodes.meter("F3:1", "F3:2") == by_diodes.across("F3:1", "F3:2") > 0
    assert 0.6 < by_diodes.meter("X7:1", "S1:15") < by_diodes.across("X7:1", "S1:15") < 0.8, "over the diode, now the right way"
    assert by_diodes.meter("S1:15", "X7:1") == pytest.approx(-by_diodes.meter("X7:1", "S1:15"), abs=1e-9)
    assert by_diodes.meter("S2:2", "S1:15") is None


def test_a_meter_does_not_disturb_what_it_measures(by_diodes):
    """At every terminal fed by metal the reading is the volts there; live and dead are then as they always were."""
    cart = arrangement("shared-filament-four-relays")
    for positions in ({}, {"brake pedal": "held"}, {"key": "on", "turn lever": "right", "brake pedal": "held"}):
        point = operating_point(cart, positions)
        for terminal in cart.terminals:
            volts = point.volts(terminal)
            assert point.meter(terminal) == (volts if volts is None else pytest.approx(volts, abs=3e-4))
            assert point.is_live(terminal) == (volts is not None and volts >= 1)


def test_moments_of_a_time_course_have_words_too():
    """Filaments stay as warm as they are; what hangs on diodes is dead there as well."""
    course = run(arrangement("hazard-by-diodes"), [(0.2, "hazard", "on"), (0.2, "turn lever", "left")], 1.0)
    for moment in (0.21, 0.5, 0.9):
        assert course.at(moment).liveness("S1:15") == "dead" and course.at(moment).may_be_ghost("S1:15")
        assert course.at(moment).liveness("X4:1") == "live"
    assert course.at(0.1).liveness("S1:15") == "floating" or course.at(0.1).liveness("S1:15") == "dead"


def test_a_sweep_says_live_as_the_single_points_do():
    cart = arrangement("hazard-by-diodes")
    found = sweep(cart)
    for terminal in ("S1:15", "S3:R", "X4:1", "E1:1"):
        live = found.is_live(terminal)
        assert list(live) == [operating_point(*found.case(number)).is_live(terminal) for number in range(len(found))]
    assert not found.is_live("S1:15").reshape(found.shape)[0, [row["key"] == "off" for row in found.rows]].any()


@pytest.mark.parametrize("name", arrangement_names())
def test_healthy_arrangements_have_no_ghosts_at_typical_leakage(name):
    """Whatever a healthy circuit of the kit shows on a meter, it shows under the test lamp.

    Save 49a of a flasher with lamp-out sensing while it waits, and what is joined to it: it lies on 49 through kilohms.
    Source: a flasher chip's sheet, where 49a falls when a lamp is joined to it.
    """
    cart = arrangement(name)
    for positions in ({}, *({control.name: control.positions[-1]} for control in cart.controls)):
        point = operating_point(cart, positions)
        if point.is_settled:
            ghosts = [end for end in cart.terminals if point.liveness(end) == "ghost"]
            waits = "K9" in cart.by_name and cart.part("K9").waits == "open" and point.states["K9"] == "idle"
            assert not ghosts or waits and "K9:49a" in ghosts
            assert all(point.meter(end) == pytest.approx(point.meter("K9:49a"), abs=1e-3) for end in ghosts)


# --- the record of a reading -------------------------------------------------------------------------------------------

def test_a_reading_says_where_with_what_and_how_sure(by_diodes):
    found = take_reading(by_diodes, "S1:15")
    assert (found.red, found.black, found.instrument, found.unit) == ("S1:15", "G1:-", "meter", "V")
    assert found.word == "dead" and found.value == by_diodes.meter("S1:15") and 9 < found.highest < 10
    assert found.positions == by_diodes.positions and found.phases == {"K9": "on"} and not found.is_measured
    assert found.tolerance == pytest.approx(0.02 + 0.005 * found.value)
    lamp = take_reading(by_diodes, "S1:15", instrument="test lamp")
    assert lamp.word == "dead" and lamp.shown < 1e-6 and lamp.highest is None
    nothing = take_reading(by_diodes, "S2:2")
    assert nothing.value is None and nothing.shown == 0.0 and nothing.word == "floating"
    assert take_reading(by_diodes, "X7:1", "X4:1").word == "", "live, ghost and dead are said against the battery's minus"


def test_an_ammeter_in_the_place_of_a_blown_fuse_reads_what_the_fuse_carried():
    """Good practice: the meter in place of the fuse. Fuse 11 mohm, ammeter 10 mohm: the same to a hundredth."""
    lamp, on = arrangement("one-fused-lamp"), {"lamp switch": "on"}
    whole = operating_point(lamp, on)
    open_ = operating_point(changed(lamp, Hold("F1", "blown")), on)
    amps = take_reading(open_, "F1:1", "F1:2", "amps")
    assert amps.unit == "A" and amps.value == pytest.approx(whole.current("F1"), rel=0.01)
    assert take_reading(open_, "F1:2", "F1:1", "amps").value == pytest.approx(-amps.value)


def test_more_amps_than_a_hand_meter_stands_blow_its_fuse_and_are_no_reading():
    """Across the battery, and across a lamp; the jack for amps has 10 A, common practice. 12.6 V over 18 mohm are 700 A."""
    lamp = operating_point(arrangement("one-fused-lamp"), {"lamp switch": "on"})
    across = take_reading(lamp, "G1:+", "G1:-", "amps")
    assert across.value is None and across.shown == 0.0
    assert re.search(r": (69\d|70\d) A would flow: the meter's fuse of 10 A blows, or its leads burn. Amps only in series with a load.$", across.brief)
    assert "shorted" not in across.brief
    assert take_reading(lamp, "E1:1", "E1:2", "amps").word == "F1 blows, or the meter's fuse before"
    small = operating_point(changed(lamp.arrangement, SetValue("F1", "rating", 1.0), SetValue("E1", "watts", 26.5)))
    assert take_reading(small, "S1:1", "S1:2", "amps").word == "F1 blows", "two amps are none too many for the meter"


def test_ohms_are_read_with_the_power_off():
    """A coil with its record's resistance, a cold filament, an open switch, a blocked diode, and plain wire."""
    board_ = arrangement("relay-test-board")
    point = operating_point(board_)
    coil = board_.part("K1").coil_resistance
    assert take_reading(point, "K1:86", "K1:85", "ohms").value == pytest.approx(coil, rel=1e-3)
    lamp = operating_point(arrangement("one-fused-lamp"))
    cold = take_reading(lamp, "E1:1", "E1:2", "ohms")
    assert cold.value == pytest.approx(lamp.arrangement.part("E1").filament.cold_resistance, rel=0.01)
    opened = take_reading(lamp, "S1:1", "S1:2", "ohms")
    assert opened.value is None and opened.word == "open"
    diode = behind(Diode("V1"), "A")
    assert take_reading(diode, "V1:A", "V1:K", "ohms").value > 1000, "too few volts to open the junction"


@pytest.mark.parametrize("touch, error, words", [
    (("S1:16",), UnknownName, "switch 'S1' has no terminal '16'"),
    (("S1:15", "S1:15"), CircuitLabError, "both leads are on S1:15"),
    (("S1:15", None, "volts"), UnknownName, "the kit has no instrument 'volts'. It has: meter, test lamp, amps, ohms")])
def test_a_reading_that_cannot_be_is_refused(touch, error, words, by_diodes):
    with pytest.raises(error) as refused:
        take_reading(by_diodes, *touch)
    assert words in refused.value.sentence


@pytest.mark.parametrize("first, step", [(0, 48), *(pytest.param(first, 48, marks=pytest.mark.full) for first in (16, 32)),
                                         *(pytest.param(first, 16, marks=pytest.mark.full) for first in range(1, 16))])
def test_the_readings_that_tell_a_fault_are_a_meters(first, step):
    """Every one can be taken again, in the healthy circuit and in the faulty one."""
    cart = arrangement("hazard-by-diodes")
    for fault in single_faults(cart)[first::step]:
        told = best_reading(cart, fault, [cart.positions(HAZARD)])
        if told is None or told.before:
            continue
        for each, circuit in ((told.healthy, cart), (told.faulty, fault.apply(cart))):
            point = operating_point(circuit, each.positions, each.phases)
            if each.instrument == "ohms":
                assert each == take_reading(point, each.red, each.black, "ohms")
                continue
            assert each.value == point.meter(each.red, each.black)
            if each.value is not None and each.black == "G1:-":
                assert each.word == point.liveness(each.red)


# --- leakage ---------------------------------------------------------------------------------------------------------

@pytest.mark.outside("maker sheets 1N4001 to 1N4007 and 1N5400 to 1N5408: at most 5.0 uA at 25 C and rated blocking volts")
@pytest.mark.parametrize("kind", ["1N4001", "1N4004", "1N4007", "1N5401", "1N5404", "1N5408"])
def test_a_silicon_rectifier_leaks_at_most_what_its_sheet_allows(kind):
    assert -cl.catalogue.diode("V1", kind).junction.leakiest.settled_current(-12.0)[0] == pytest.approx(5e-6, rel=1e-6)


@pytest.mark.outside("maker sheets 1N5817 to 1N5819 and 1N5820 to 1N5822: at most 1.0 and 2.0 mA at 25 C")
@pytest.mark.parametrize("kind, most", [("1N5819", 1e-3), ("1N5822", 2e-3)])
def test_a_schottky_diode_leaks_at_most_what_its_sheet_allows(kind, most):
    assert -cl.catalogue.diode("V1", kind).junction.leakiest.settled_current(-12.0)[0] == pytest.approx(most, rel=1e-3)


@pytest.mark.outside("maker sheet 1N4148: at most 25 nA at 20 V and 25 C")
def test_a_small_signal_diode_leaks_at_most_what_its_sheet_allows():
    assert -cl.catalogue.diode("V1", "1N4148").junction.leakiest.settled_current(-12.0)[0] == pytest.approx(25e-9, rel=0.01)


@pytest.mark.outside("maker sheet of a white LED: reverse current at most 10 uA at 5 V and 25 C")
def test_an_led_lamp_leaks_at_most_what_the_sheet_of_its_leds_allows():
    assert -cl.catalogue.led_lamp("E1").junction.leakiest.settled_current(-12.0)[0] == pytest.approx(10e-6, rel=1e-6)


def test_a_schottky_diode_makes_a_ghost_where_a_silicon_one_leaves_a_dead_terminal():
    """20 uA typical leakage, from memory, is plenty for a meter."""
    def point(kind):
        parts = [Battery("G1"), cl.catalogue.diode("V1", kind)]
        return operating_point(board("blocked", parts, [("G1:+", "V1:K")], ()))
    assert point("1N5819").liveness("V1:A") == "ghost" and point("1N5819").meter("V1:A") > 10
    assert point("1N4007").liveness("V1:A") == "dead" and point("1N4007").may_be_ghost("V1:A")
    assert point("1N4148").liveness("V1:A") == "dead" and not point("1N4148").may_be_ghost("V1:A")


def test_the_typical_leakage_is_the_one_the_model_runs_on():
    junction = cl.catalogue.diode("V1", "1N4007").junction
    assert -junction.settled_current(-12.0)[0] == pytest.approx(50e-9, rel=1e-3) and junction.leakiest.leakiest == junction.leakiest


@pytest.mark.parametrize("values, words", [
    ({"leakage": 0.0}, "diode 'V1': leakage must be between 1e-12 and 0.1 A, got 0"),
    ({"highest_leakage": 1.0}, "diode 'V1': highest leakage must be between 1e-12 and 0.1 A, got 1"),
    ({"highest_leakage": "5 V"}, "diode 'V1': highest leakage: '5 V' is not in A")])
def test_a_leakage_that_cannot_be_is_refused(values, words):
    with pytest.raises(PartError) as error:
        Diode("V1", **values)
    assert words in error.value.sentence


# --- bad input -------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("watts", [0, -3, 0.0, float("nan"), float("inf"), "3 W", None, True])
def test_a_test_lamp_of_no_watts_is_refused_with_what_is_allowed(watts):
    with pytest.raises(PartError, match="Give one between 0.1 and 60 W, such as the kit's own of 3 W at 12 V"):
        TestLamp(watts)


def test_a_lead_on_a_terminal_that_is_not_there_is_said(by_diodes):
    for touch in (by_diodes.meter, by_diodes.test_lamp, by_diodes.liveness, by_diodes.may_be_ghost):
        with pytest.raises(UnknownName, match="switch 'S1' has no terminal '16'. It has: 30, 15"):
            touch("S1:16")
    with pytest.raises(UnknownName, match="S1"):
        by_diodes.meter("X4:1", "S1:16")


def test_both_leads_on_one_terminal_are_refused(by_diodes):
    for touch in (by_diodes.meter, by_diodes.test_lamp):
        with pytest.raises(CircuitLabError, match="both leads are on X4:1, .* Put red and black on two terminals"):
            touch("X4:1", "X4:1")
    assert by_diodes.meter("X4:1", "X4:2") == 0.0, "one splice, two terminals"


# --- drawn and told ----------------------------------------------------------------------------------------------------

@pytest.fixture(scope="module")
def haunted():
    """The same with Schottky diodes at the lever: 15 and the lever are ghosts."""
    cart = arrangement("hazard-by-diodes")
    leaky = changed(cart, *(SetValue(name, value, amps) for name in ("V3", "V4")
                            for value, amps in (("highest_leakage", 1e-3), ("leakage", 20e-6))))
    return operating_point(leaky, HAZARD)


FORMS = {"current-path": cl.draw, "attached": cl.draw_attached}
TOLD = {"current-path": describe, "attached": describe_attached}


def outlines(picture):
    """Return width and dashes of the outline of every wire, and its state. [px], [text]"""
    found = {}
    for state, name, width, dashes in re.findall(
            r'class="wire (\w+)" data-wire="(\w+)"><title>[^<]*</title><path d="[^"]*" stroke="currentColor" '
            r'stroke-width="([\d.]+)"(?: stroke-dasharray="([\d. ]+)")?', picture):
        found[name] = state, float(width), dashes
    return found


@pytest.mark.in_turn(2, 1)
@pytest.mark.parametrize("form", FORMS)
def test_a_wire_on_blocked_diodes_is_drawn_as_thin_as_a_dead_one(form, by_diodes):
    lines = outlines(FORMS[form](by_diodes.arrangement, by_diodes))
    assert {lines[name][:2] for name in ("W8", "W16", "W17")} == {("doubtful", 2.0)}, "it was live and heavy"
    assert lines["W44"] == ("dead", 2.0, "")
    assert lines["W19"][0] == lines["W13"][0] == "live" and lines["W3"][0] == "floating"


@pytest.mark.parametrize("form", FORMS)
def test_a_ghost_has_a_line_of_its_own_without_any_colour(form, haunted):
    """Width and dashes alone tell the four apart."""
    lines = outlines(FORMS[form](haunted.arrangement, haunted))
    assert {lines[name][0] for name in ("W8", "W16", "W17")} == {"ghost"}
    styles = {state: (width, dashes) for state, width, dashes in lines.values()}
    assert set(styles) == {"live", "ghost", "dead", "floating"} and len(set(styles.values())) == 4
    assert styles["ghost"][1] and styles["ghost"][1] != styles["floating"][1] and len(styles["ghost"][1].split()) == 4
    assert not styles["live"][1] and not styles["dead"][1] and styles["live"][0] > styles["ghost"][0] > styles["dead"][0]


@pytest.mark.parametrize("form", FORMS)
def test_the_key_names_all_four(form, haunted):
    picture = FORMS[form](haunted.arrangement, haunted)
    for word in ("live", "ghost", "dead", "floating"):
        assert f">{word}</text>" in picture
    assert "not live" not in picture


@pytest.mark.parametrize("form", TOLD)
def test_the_spoken_text_says_ghost_with_the_meters_volts_and_both_where_the_leakage_decides(form, haunted, by_diodes):
    assert "ghost, 10.9 V on a meter, gone under a test lamp" in TOLD[form](haunted.arrangement, haunted)
    said = TOLD[form](by_diodes.arrangement, by_diodes)
    assert "dead; a ghost where blocked diodes leak as much as their sheets allow" in said and "ghost, " not in said


@pytest.mark.parametrize("form", FORMS)
def test_volts_written_beside_a_terminal_are_those_of_the_meter(form, by_diodes):
    picture = FORMS[form](by_diodes.arrangement, by_diodes, readings=True)
    assert ">11.5 V" in picture and ("0.5 V" in picture)
    assert by_diodes.volts("S1:15") > 11.5 and "floats" in picture


@pytest.mark.outside("common practice: a workshop meter on ohms shows tenths, and its leads 0.2 ohm held together")
@pytest.mark.parametrize("ohms, said", [(0.212, "0.2 ohm"), (0.26, "0.3 ohm"), (5.012, "5.0 ohm"), (42.5, "42.5 ohm"), (0.0, "0 ohm (what the leads show held together)")])
def test_ohms_are_told_in_tenths(ohms, said):
    assert shown_words(Reading("E1:1", "E1:2", instrument="ohms", value=ohms)) == said

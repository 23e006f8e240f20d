"""Volts that come only through LED lamps: what a meter shows of them, what a test lamp leaves, and that all who tell of them say so."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import LoseJoint, changed
from circuitlab.parts import Battery, Resistor
from circuitlab.parts.instruments import TestLamp
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.solved import solved
from circuitlab.reasoning.leads import take_reading
from circuitlab.reasoning.nearly_gone import nearly_gone
from circuitlab.reasoning.proving import prove
from circuitlab.reasoning.why import why
from circuitlab.solving import operating_point
from circuitlab.views.fault_words import shown_words
from circuitlab.views.find_words import finding_text

from repairers import Bench
from small_boards import board

LED = cl.arrangement("trailer-4-flat-converter-led")
TAILS, BOTH = {"turn lever": "left", "tail lamps": "on"}, {"brake pedal": "held", "tail lamps": "on"}
NO_GROUND = changed(LED, LoseJoint("W39", "X1:9"))
GONE = "nearly gone under a test lamp (1.2 V, it stays dark)"


@pytest.mark.outside("lamp rerating: light goes as about the 3.4th power of the volts, so 1.2 of 12 V give less than a thousandth")
def test_a_test_lamp_at_a_tenth_of_its_volts_is_dark():
    filament = TestLamp().filament
    assert 0 < filament.light(filament.settled_temperature(1.2)) < 0.1**3.3 < 0.001


def test_what_comes_through_tail_lamps_alone_is_live_and_nearly_gone_under_a_test_lamp():
    point = operating_point(NO_GROUND, TAILS)
    assert point.liveness("X20:1") == "live" and 7 < point.meter("X20:1") < 8
    assert nearly_gone(point, "X20:1") == point.test_lamp("X20:1") and 1.0 < point.test_lamp("X20:1") < 1.3
    assert nearly_gone(point, "E9:1") is None, "a supply"
    brakes = operating_point(NO_GROUND, BOTH)
    assert brakes.test_lamp("X20:1") > 3.5 and nearly_gone(brakes, "X20:1") is None, "through the larger stop lamps it glows"


def test_a_ghost_is_gone_and_a_flat_battery_is_not():
    ghost = operating_point(board("ghost", [Battery("G1"), Resistor("R1", 10e3)], [("G1:+", "R1:1")], ()))
    assert ghost.liveness("R1:2") == "ghost" and nearly_gone(ghost, "R1:2") < 0.1
    flat = operating_point(board("flat", [Battery("G1", 2.0), Resistor("R1", 0.1)], [("G1:+", "R1:1")], ()))
    assert nearly_gone(flat, "R1:2") is None, "2 V stay 2 V, however dark the lamp"


def test_board_fault_table_and_reason_say_it_in_the_same_words():
    point = operating_point(NO_GROUND, TAILS)
    reading = take_reading(point, "X20:1")
    assert reading.word == "live" and reading.under_lamp == pytest.approx(point.test_lamp("X20:1"))
    assert GONE in reading.brief and GONE in shown_words(reading) and GONE in why(point, "X20:1")
    assert take_reading(point, "E9:1").under_lamp is None and "test lamp" not in why(point, "E9:1")
    assert take_reading(point, "X20:1", instrument="test lamp").under_lamp is None


def test_a_rule_that_asks_for_dead_says_why_such_a_terminal_is_not():
    row = next(row for row in prove(changed(NO_GROUND), "X20:1: dead when tail lamps on", timing=False).table.rows if row.positions == LED.positions({"tail lamps": "on"}))
    assert row.terminals["X20:1"].look == "live" and not row.terminals["X20:1"].keeps_rule
    assert GONE in row.terminals["X20:1"].remark and "from 1 V under it on it counts as live" in row.terminals["X20:1"].remark


@pytest.mark.parametrize(("name", "row"), [("trailer-4-flat-converter-led", TAILS), ("trailer-4-flat-converter-led", BOTH), ("led-lamps-no-load", {"key": "on", "brake pedal": "held"}),
                                           ("led-lamps-load-resistors", {"key": "on", "turn lever": "right"})])
def test_the_finder_expects_what_a_meter_shows_behind_led_lamps_with_every_open_joint(name, row):
    """Each point solved by itself, with the meter in it, beside the arrays that the finder weighs with."""
    circuit = cl.arrangement(name)
    everything, row, looked = solved(circuit), circuit.positions(row), 0
    for number, each in enumerate(everything.candidates, 1):
        if not each.is_joint or each.grade != float("inf"):
            continue
        point = operating_point(each.apply(circuit), row, everything.phases[0])
        if not point.is_settled:
            continue
        expected = {end: everything.volts(end)[number, everything.row(row), 0] for end in everything.terminals}
        shown = {end: point.meter(end) or 0.0 for end in everything.terminals}
        looked += sum(1 < shown[end] < 10 for end in shown)
        off = {end: (shown[end], float(expected[end])) for end in shown if abs(shown[end] - (expected[end] or 0.0)) > 0.5}
        assert not off, (each.words, off)
    assert looked or name != LED.name, "something is fed through LED lamps"


def test_the_finder_tells_it_of_what_was_read_and_of_what_is_to_be_read():
    dark = "trailer left tail dark when tail lamps on"
    read = find(LED, dark, ["7.6 V at X5:1p when tail lamps on"])
    fits = [fit for cause in read.causes[:2] for fit in cause.fits if not hasattr(fit.told, "lamp")]
    assert all(fit.agrees and fit.expected == pytest.approx(7.6, abs=0.3) and 0.5 < fit.under_lamp < 1.3 for fit in fits[-2:])
    assert "V read, 7.5" in finding_text(read) and "under a test lamp" in finding_text(read)
    sound = find(LED, dark, ["12.4 V at X21:1 when tail lamps on"])
    assert "under a test lamp" not in finding_text(sound).partition("Next")[0]


def test_a_long_look_at_what_a_test_lamp_does_there_leads_to_the_same_ground():
    """The test lamp is dark where the meter shows 7.6 V; with the pedal as well it glows."""
    told = ["7.6 V at X5:1p when tail lamps on", "test lamp dark at X5:1p when tail lamps on"]
    found = find(LED, "trailer left tail dark when tail lamps on", told)
    assert {"mend W39, from X5:1s to X1:9, with both its joints", "clean pin 1 of X5, or put it right, on both halves"} == {cause.repair for cause in found.causes[:2]}
    assert all(fit.agrees for cause in found.causes[:2] for fit in cause.fits)


# ------------------------------------------------------------------ both leads away from the pole volts are counted from

RESISTORS = cl.arrangement("led-lamps-load-resistors")


@pytest.mark.parametrize(("name", "leads", "row"), [("led-lamps-load-resistors", ("F2:2", "S3:L"), {}), ("led-lamps-load-resistors", ("S3:49a", "E1:1"), {"key": "on", "turn lever": "left"}),
                                                    ("led-lamps-load-resistors", ("G1:+", "E1:2"), {"brake pedal": "held"}), ("trailer-4-flat-converter-led", ("G1:+", "X20:1"), BOTH)])
def test_between_two_terminals_the_finder_expects_what_a_meter_shows_there(name, leads, row):
    """Every open wire solved by itself with the meter's 10 megohm between the leads, beside what the finder weighs a reading told with."""
    circuit = cl.arrangement(name)
    everything, row, differ = solved(circuit), circuit.positions(row), 0
    shown, plain = everything.under_meter(*leads, everything.row(row)), everything.volts(leads[0]) - everything.volts(leads[1])
    for number, each in enumerate(everything.candidates, 1):
        point = operating_point(each.apply(circuit), row, everything.phases[0]) if each.is_joint and each.grade == float("inf") else None
        if point is None or not point.is_settled or point.meter(*leads) is None:
            continue
        assert shown[number, 0] == pytest.approx(point.meter(*leads), abs=0.5), each.words
        differ += abs(plain[number, everything.row(row), 0] - point.meter(*leads)) > 1
    assert differ, "volts without the meter would mislead"


def test_an_open_load_resistor_is_found_where_plus_is_read_through_led_lamps():
    """The meter shows 7.8 V from the fuse to the unlit lamps, not 12.6 V: no bad joint of 10 ohm."""
    bench = Bench(RESISTORS, (LoseJoint("W28", "R1:2"),), noise=0.01, seed=3)
    found = find(RESISTORS, ["left turn signals dark when turn left", "right turn signals fine"], ["7.84 V from F2:2 to S3:L"])
    assert found.causes[0].place == ("R1:2", "X1:5") and found.causes[0].fits[-1].agrees and found.causes[0].odds > 0.5
    for _ in range(6):
        if found.next is None:
            break
        found = found.told(bench.answer(found.next.offer))
    assert found.is_found and found.causes[0].repair == "mend W28, from R1:2 to X1:5, with both its joints"


def test_an_outcome_that_the_meters_own_ohms_change_is_told_as_it_is_shown():
    found = find(RESISTORS, ["left turn signals dark when turn left", "right turn signals fine"])
    row = RESISTORS.positions()
    step = next(each for each in found.ahead.path(4) if each.offer.instrument == "meter" and found.ahead.solved.is_soft(each.offer.red, each.offer.black))
    assert step.offer.positions == row
    least = min(each.least for each in step.outcomes if each.least > 1)
    circuit = changed(RESISTORS, LoseJoint("W28", "R1:2"))
    assert least == pytest.approx(operating_point(circuit, row).meter(step.offer.red, step.offer.black), abs=0.3)


@pytest.mark.parametrize(("circuit", "wire", "end"), [(LED, "W34", "X20:1"), (cl.arrangement("hazard-by-diodes"), "W19", "X4:2")], ids=["LED lamps", "diodes"])
def test_an_open_joint_behind_led_lamps_or_diodes_is_found_though_leads_stand_where_nothing_else_leads(circuit, wire, end):
    """From plus to what hangs on a lamp without ground, or on blocked diodes, a meter shows 0 V: nothing flows through it."""
    bench = Bench(circuit, (LoseJoint(wire, end),), noise=0.005, seed=3)
    found = find(circuit, bench.complaint())
    for _ in range(16):
        if found.next is None:
            break
        found = found.told(bench.answer(found.next.offer))
    assert found.is_found and found.causes[0].repair.startswith(f"mend {wire},")

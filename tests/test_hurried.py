"""A flasher with lamp-out sensing that hurries: told of faults and of two circuits side by side as the time course shows it."""

from functools import cache

import numpy as np
import pytest

from circuitlab import flash, run, trial
from circuitlab.arrangements import AddPart, AddWire, Hold, LoseJoint, SetValue, arrangement, arrangement_names, changed
from circuitlab.arrangements.rows import rows_of
from circuitlab.parts import Lamp, Part, Wire, load_sensing_flasher
from circuitlab.arrangements.typed_changes import read_change
from circuitlab.reasoning import lamp_table, prove
from circuitlab.reasoning.comparing import compare
from circuitlab.reasoning.faults import Fault, batches, fault_table, single_faults
from circuitlab.reasoning.observing import observe
from circuitlab.reasoning.to_build import to_build
from circuitlab.solving import operating_point
from circuitlab.solving.sweep_laws import numbers
from circuitlab.views.build_sheet import sheet_page
from circuitlab.views.compare_words import comparison_summary
from circuitlab.views.proof_words import proof_text

from test_flashers import lamps_on

FAST, SLOW = "K9 flashes some 2.2 times as fast", "K9 no longer flashes some 2.2 times as fast"
CLICKS = "K9 clicks some 2.2 times as fast"
RATE = pytest.mark.outside("flasher chips' sheets: 2.15 to 2.3 times the rate with a lamp out; UN R48 par. 6.5.9: 60 to 120 "
                           "flashes per minute")
IN_THE_RESISTORS = [f"joint of {wire} at {end} corroded, 5 ohm"
                    for wire, end in (("W17", "R1:1"), ("W21", "R2:1"), ("W28", "X1:5"), ("W29", "X1:6"))]


@cache
def leds():
    return arrangement("led-lamps-load-resistors")


def rate_of(circuit, row, lamp):
    return flash(trial(circuit, row), lamp, 1.0).rate


@RATE
@pytest.mark.parametrize("words", IN_THE_RESISTORS)
def test_a_bad_joint_of_a_load_resistor_is_a_wrong_signal_that_hurries(words):
    """In the rows said and in no other that flashes, by the measured rate: 198 a minute is beyond 120."""
    fault = next(fault for fault in single_faults(leds()) if fault.words == words)
    table, faulty = fault_table(leds(), faults=[fault]), fault.apply(leds())
    (line,) = table.lines
    assert line.worst == "wrong signal"
    flashing = [(row, effect) for row, effect in zip(table.rows, line.effects) if row["key"] == "on" and row["turn lever"] != "off"]
    for row, effect in flashing:
        lamp = "E1" if row["turn lever"] == "left" else "E2"
        assert rate_of(leds(), row, lamp) == pytest.approx(90, rel=1e-3)
        assert rate_of(faulty, row, lamp) == pytest.approx(198 if effect.reasons == (FAST,) else 90, rel=1e-3), row
        assert effect.seen == effect.reasons and effect.classes == (("wrong signal",) if effect.reasons else ("no effect",))
    assert sum(effect.reasons == (FAST,) for _, effect in flashing) == 2


@RATE
def test_a_blown_bulb_stays_a_lamp_lost_and_is_said_to_hurry_the_other():
    both = lamps_on(load_sensing_flasher("K9"))
    (line,) = fault_table(both, faults=[Hold("E2", "blown")]).lines
    on = line.effects[-1]
    assert on.worst == line.worst == "lamp lost" and on.reasons[-1] == on.seen[-1] == FAST
    assert rate_of(changed(both, Hold("E2", "blown")), {"switch": "on"}, "E1") == pytest.approx(198, rel=1e-3)


@RATE
def test_a_load_that_comes_back_is_told_likewise():
    """One bulb alone hurries; with one of 42 W in its place it does not."""
    one, more = lamps_on(load_sensing_flasher("K9"), (21.0,)), SetValue("E1", "watts", 42.0)
    (line,) = fault_table(one, faults=[more]).lines
    assert line.worst == "wrong signal" and line.effects[-1].reasons == (SLOW,)
    rates = [rate_of(each, {"switch": "on"}, "E1") for each in (one, changed(one, more))]
    assert rates == pytest.approx([198, 90], rel=1e-3)


def test_where_no_lamp_flashes_nobody_sees_it_hurry():
    """5 ohm behind the flasher leave its lamps dark, and its load light: it is heard. One that is held on does not swing at all."""
    cart = arrangement("separate-filaments")
    for circuit, fault, heard in ((cart, LoseJoint("W9", "S3:49a", 5.0), 4), (lamps_on(load_sensing_flasher("K9")), Hold("K9", "on"), 0)):
        (line,) = fault_table(circuit, faults=[fault]).lines
        assert line.worst != "no effect" and not any(FAST in effect.reasons for effect in line.effects)
        assert sum(CLICKS in effect.seen for effect in line.effects) == heard
        assert compare(circuit, fault.apply(circuit)).hurried == ()


def starts_a_minute(circuit, row):
    """Return how often K9's output comes on, counted in a course of its own; 0 where it does not, or finds no rest."""
    course = run(circuit, [(0.0, *item) for item in row.items()], until=3.0)
    starts = [event.time for event in course.events if (event.name, event.state) == ("K9", "on") and event.time > 0.5]
    return 60 * (len(starts) - 1) / (starts[-1] - starts[0]) if course.verdict == "settled" and len(starts) > 1 else 0.0


@RATE
@pytest.mark.parametrize("words, rows", [("joint of W13 at S3:49a", 4), ("joint of W14 at X4:1", 2), ("joint of W17 at X5:1", 2)])
def test_a_bad_joint_behind_the_flasher_is_heard_though_its_lamps_are_dark(words, rows):
    """In the rows said and in no other: 198 starts a minute where 90 should be."""
    cart = arrangement("shared-filament-rear-relays")
    (fault,) = [each for each in single_faults(cart) if each.words == f"{words} corroded, 5 ohm"]
    table, faulty = fault_table(cart, faults=[fault]), fault.apply(cart)
    told = [row for row, effect in zip(table.rows, table.lines[0].effects) if CLICKS in effect.reasons and CLICKS in effect.seen]
    assert len(told) == rows
    for row in table.rows:
        assert starts_a_minute(faulty, row) == pytest.approx(198 if row in told else starts_a_minute(cart, row), rel=1e-3), row


def is_in_doubt(circuit, row):
    """Whether its load lies between surely and perhaps too light, so that nobody says what real lamps let it do."""
    points = [point for phase in ("on", "off") if (point := operating_point(circuit, row, {"K9": phase})).is_settled]
    return any(point.hurried() != point.hurried(perhaps=True) for point in points)


def is_sensing(name):
    return getattr(arrangement(name).by_name.get("K9"), "type", "") == "electronic with lamp-out sensing"


@RATE
@pytest.mark.in_turn(20)
@pytest.mark.parametrize("name", [name for name in arrangement_names() if is_sensing(name)])
def test_every_row_says_when_the_flasher_starts_twice_as_often_and_no_other_does(name):
    """Bad joints, open wires, blown lamps, each row beside the starts counted in time."""
    cart = arrangement(name)
    table = fault_table(cart, faults=single_faults(cart, ["corroded joint", "open wire", "blown lamp"]))
    healthy, told, other = [starts_a_minute(cart, row) for row in table.rows], 0, 0
    for line in table.lines:
        faulty = line.fault.apply(cart)
        for row, effect, before in zip(table.rows, line.effects, healthy):
            is_said = any("times as fast" in words for words in effect.reasons)
            if is_said or before and not (is_in_doubt(cart, row) or is_in_doubt(faulty, row)):
                after = starts_a_minute(faulty, row)
                assert is_said == (after > 1.8 * max(before, 90) or before > 1.8 * after > 0), (line.fault.words, row, before, after)
                told, other = told + is_said, other + (not is_said)
    assert other and (told or name in ("led-lamps-no-load", "tied-stop-and-turn")), "in those two no such fault surely changes the rate"


@pytest.mark.parametrize("name", ["led-lamps-load-resistors", pytest.param("led-lamps-no-load", marks=pytest.mark.full)])
def test_many_at_once_hurry_as_one_by_one(name):
    """Every fourth fault, and two that change or hold the flasher itself."""
    healthy = arrangement(name)
    rows = rows_of(healthy)
    faults = [*single_faults(healthy)[::4], *(SetValue("K9", "rated_load", watts) for watts in (10.0, 100.0)), Hold("K9", "on")]
    seen = batches.observe_all(healthy, rows, faults)
    for fault, at_once in zip(faults, seen):
        alone = observe(fault.apply(healthy), rows, healthy)
        assert [each.hurried for each in at_once] == [each.hurried for each in alone], fault
    assert {each.hurried for at_once in seen for each in at_once} == {(), ("K9",)}
    assert {each.hurried for each in seen[-1]} == {()} != {each.hurried for each in seen[-2]}


def test_the_law_takes_numbers_and_arrays_alike():
    """The bound lies at 0.75 x 2.70 A, of two 21 W lamps at 12 V. Source: a chip's sheet; the kit's own share."""
    unit, amps = load_sensing_flasher("K9"), np.array([0.9, 2.0, 2.05, 3.4])
    currents = [np.full(4, 12 / 2400), amps, np.zeros(4)]
    expected = [True, True, False, False]
    assert unit.hurries("on", currents).tolist() == expected
    assert numbers(lambda many: unit.hurries("on", many), currents).astype(bool).tolist() == expected
    assert [unit.hurries("on", each) for each in zip(*currents)] == expected
    assert not any(unit.hurries("off", each) for each in zip(*currents)) and not Part.hurries(unit, "on", (0.0, 0.0, 0.0))


@RATE
def test_a_comparison_says_in_how_many_rows_which_flasher_hurries():
    """No lamp looks different, but without the resistors every row that flashes hurries, as measured."""
    bare = arrangement("led-lamps-no-load")
    found, turned = compare(bare, leds()), [row for row in rows_of(bare) if row["key"] == "on" and row["turn lever"] != "off"]
    for row in turned:
        lamp = "E1" if row["turn lever"] == "left" else "E2"
        assert [rate_of(each, row, lamp) for each in (bare, leds())] == pytest.approx([198, 90], rel=1e-3)
    assert found.hurried == (("K9", len(turned), 0),) and not found.changed_rows and not found.is_same
    assert comparison_summary(found) == (f"In all 12 rows every lamp looks the same, but {FAST} in {len(turned)} rows before, "
                                         "in 0 rows after.")
    assert compare(bare, bare).hurried == () and compare(bare, bare).is_same


def test_proof_and_sheet_say_that_a_flasher_hurries_whatever_the_rule_asks():
    """Two LED lamps a side: measured at 198 a minute; with their load resistors at 90, and nothing is said."""
    light, full = (arrangement(f"led-lamps-{name}") for name in ("no-load", "load-resistors"))
    row = {"key": "on", "turn lever": "left"}
    assert [rate_of(each, row, "E1") for each in (light, full)] == pytest.approx([198, 90], rel=1e-3)
    words = "K9 flashes some 2.2 times as fast as with its full load"
    for cart, told in ((light, 1), (full, 0)):
        assert proof_text(prove(cart)).count(words) == told
        assert sheet_page(to_build(cart)).count(f"As listed, {words}") == told


def test_what_a_chattering_circuit_shall_do_is_no_wrong_signal_where_a_fault_lets_it():
    """2 ohm at the flasher: with a lamp out the rest of the load lets it run, and the other lamp flashes as the rule asks."""
    bad = changed(arrangement("separate-filaments"), SetValue("W8", "end_joint", 2.0))
    (fault,) = [each for each in single_faults(bad) if each.words == "E3 blown"]
    (line,) = fault_table(bad, faults=[fault]).lines
    reasons = {words for effect in line.effects for words in effect.reasons}
    assert not [words for words in reasons if "shall be dark" in words], reasons


def test_of_a_load_near_the_bound_no_change_of_the_rate_is_told():
    """30 of 42 W: perhaps it hurries; with 22 W it does. Measured 198 both times, so no fault and no comparison says a change."""
    near = arrangement("tied-through-diodes")
    (fault,) = [each for each in single_faults(near) if each.words == "V1:A touches V1:K"]
    row = {"key": "on", "brake pedal": "held", "turn lever": "left"}
    assert [rate_of(each, row, "E3") for each in (near, fault.apply(near))] == pytest.approx([198, 198], rel=1e-3)
    (line,) = fault_table(near, faults=[fault]).lines
    assert not [words for effect in line.effects for words in effect.reasons if "times as fast" in words]
    assert compare(near, fault.apply(near)).hurried == ()


@RATE
def test_where_no_filament_is_about_every_load_under_the_bound_surely_hurries():
    """Both LED lamps of a side out: the resistors draw 2.60 A of 3.50 A, hot or cold, and every flash is too fast."""
    dark = changed(leds(), Hold("E1", "blown"), Hold("E3", "blown"))
    row = {"key": "on", "turn lever": "left"}
    point = operating_point(dark, row, {"K9": "on"})
    assert abs(point.current("K9", 1)) == pytest.approx(2.60, abs=0.02) and point.hurried() == ("K9",)
    assert "so it flashes 2.2 times as fast" in " ".join(point.remarks)
    starts = [event.time for event in trial(dark, row).events if (event.name, event.state) == ("K9", "on")]
    gaps = np.diff(starts)
    assert len(gaps) > 5 and 60 / gaps == pytest.approx(198, rel=1e-3)
    bulb = changed(dark, AddPart(Lamp("E9")), AddWire(Wire("W90", "X2:1", "E9:1")))
    assert operating_point(bulb, row, {"K9": "on"}).hurried() == (), "of a bulb nobody knows how warm it gets in a flash"


def test_many_at_once_know_where_a_fault_brings_a_filament():
    """A circuit of LED lamps with both of a side out, and with a bulb besides, so that the load alone no longer tells: counted in time."""
    rows = rows_of(leds())
    out = Hold("E1", "blown"), Hold("E3", "blown")
    bulb = AddPart(Lamp("E9")), AddWire(Wire("W90", "X2:1", "E9:1"))
    faults = [Fault(changes, "E1", "blown", "more than one", 1.0) for changes in (out, (*out, *bulb))]
    seen = batches.observe_all(leds(), rows, faults)
    for fault, at_once in zip(faults, seen):
        circuit = fault.apply(leds())
        assert [each.hurried for each in at_once] == [("K9",) if starts_a_minute(circuit, row) > 180 else () for row in rows]
        assert any(each.hurried for each in at_once) and is_in_doubt(circuit, {**rows[0], "key": "on", "turn lever": "left"}) == (len(fault.changes) > 2)


NEAR = [("shared-filament-rear-relays", "short K1:87a to K1:30", {"key": "on", "brake pedal": "held", "turn lever": "left"}),
        ("shared-filament-rear-relays", "a relay with 87b in the place of 87a plugged in as K1",
         {"key": "on", "brake pedal": "held", "turn lever": "left"}),
        pytest.param("hazard-by-diodes", "corrode W26 at X6:1 5 ohm",
                     {"key": "off", "brake pedal": "released", "turn lever": "off", "hazard": "on"}, marks=pytest.mark.full)]


@RATE
@pytest.mark.parametrize("name, words, row", NEAR)
def test_where_the_load_leaves_it_open_time_tells_it_in_row_table_fault_and_comparison(name, words, row):
    """62 to 64 % of its load: no filament is colder there than at rest. Counted in a course of its own: 198 starts a minute."""
    cart = arrangement(name)
    (change,) = [each for each in single_faults(cart) if each.words == words] or [read_change(words, cart)]
    faulty = change.apply(cart)
    assert [starts_a_minute(each, row) for each in (cart, faulty)] == pytest.approx([90, 198], rel=1e-2)
    table = fault_table(cart, faults=[change])
    effect = table.lines[0].effects[table.rows.index(row)]
    assert any("2.2 times as fast" in each for each in effect.seen)
    assert observe(faulty, [row], cart)[0].hurried == ("K9",)
    assert row in lamp_table(faulty).hurried[0][1]
    found = compare(cart, faulty)
    assert sum(after for _, before, after in (*found.hurried, *found.clicking)) > 0
    for each, cells in zip(table.rows, table.lines[0].effects):
        said = any("times as fast" in reason for reason in cells.reasons)
        assert said == (starts_a_minute(faulty, each) > 1.8 * max(90, starts_a_minute(cart, each))), each


def test_a_comparison_tells_a_hurry_that_is_heard_alone():
    """5 ohm behind the flasher leave its lamps dark."""
    cart = arrangement("separate-filaments")
    found = compare(cart, LoseJoint("W9", "S3:49a", 5.0).apply(cart))
    assert found.clicking == (("K9", 0, 4),) and f"{CLICKS} in 0 rows before, in 4 rows after" in comparison_summary(found)

"""The time course: gaps, equal times, scripts, carrying on, fuses, flashers, buzzing."""

from dataclasses import replace
from itertools import permutations

import pytest

from circuitlab.arrangements import AddWire, Hold, changed, arrangement
from circuitlab.ground.errors import ScriptError, UnknownName
from circuitlab.parts import Wire
from circuitlab.parts.flasher import NEEDING
from circuitlab.solving import operating_point, run

from small_boards import (buzzer, flasher_board, lamp_board, relay_board, rivals, self_holding, states_of,
                          straight_short, without_ground)

ON, OFF = (0.5, "switch", "on"), (1.5, "switch", "off")


def events(course, name):
    return [(event.time, event.state) for event in course.events if event.name == name]


# --- contacts ------------------------------------------------------------------------------------------------------

def test_a_changeover_contact_breaks_before_it_makes():
    """Coil at 0.5 s: rest contact open at 8 ms, make contact closed at 10 ms; back: 5 ms and 7 ms."""
    course = run(relay_board(), [ON, OFF], 2.5)
    assert events(course, "K1") == [(0.508, "gap"), (0.510, "operated"), (1.505, "gap"), (1.507, "released")]
    inside = course.at(0.509)
    assert inside.states["K1"] == "gap" and inside.current("K1", 1) == inside.current("K1", 2) == 0.0
    assert abs(inside.lamp_volts("E1")) < 1e-12 and abs(inside.lamp_volts("E2")) < 1e-12
    assert inside.light("E2") > 0.5, "still glowing"
    assert course.at(0.507).lamp_volts("E2") > 10 and course.at(0.511).lamp_volts("E1") > 5


def test_a_relay_without_a_gap_changes_over_at_once():
    course = run(relay_board(transfer_gap=0.0), [ON], 1.0)
    assert course.spans("K1")[-1] == (0.510, 1.0, "operated")
    assert states_of(course, "K1") in (["released", "operated"], ["released", "gap", "operated"])
    assert all(state != "gap" or end == start for start, end, state in course.spans("K1"))


def test_a_pulse_shorter_than_the_operate_time_does_not_move_the_relay():
    course = run(relay_board(), [(0.5, "switch", "on"), (0.507, "switch", "off")], 1.0)
    assert events(course, "K1") == []
    assert events(run(relay_board(), [(0.5, "switch", "on"), (0.5079, "switch", "off")], 1.0), "K1") == []


def test_an_armature_under_way_lands_before_it_turns_back():
    """The coil is off again 0.5 ms after the break contact has opened; release is counted from the landing."""
    assert events(run(relay_board(), [(0.5, "switch", "on"), (0.5085, "switch", "off")], 1.0), "K1") == [
        (0.508, "gap"), (0.510, "operated"), (0.515, "gap"), (0.517, "released")]


def test_every_jump_is_there_twice_and_times_never_go_back():
    course = run(relay_board(), [ON, OFF], 2.5)
    assert all(a <= b for a, b in zip(course.times, course.times[1:]))
    jump = [index for index, t in enumerate(course.times) if t == 0.5]
    assert len(jump) == 2
    make = [course.lamp_volts["E1"][index] for index, t in enumerate(course.times) if t == 0.510]
    assert abs(make[0]) < 1e-12 and make[-1] > 5
    assert len(course.times) == len(course.lamp_volts["E1"]) == len(course.light["E2"])


# --- scripts -------------------------------------------------------------------------------------------------------

def test_actions_at_equal_times_in_any_order_give_equal_records():
    cart = arrangement("shared-filament-four-relays-hazard")
    actions = [(0.5, "key", "on"), (0.5, "turn lever", "left"), (0.5, "brake pedal", "held"), (0.5, "hazard", "on")]
    first, *others = [run(cart, order, 2.0) for order in permutations(actions)]
    assert len(others) == 23 and len(first.events) > 10
    for other in others:
        assert (other.times, other.lamp_volts, other.light, other.events) == (
            first.times, first.lamp_volts, first.light, first.events)


def test_the_same_control_moved_twice_at_once_ends_where_it_was_moved_last():
    course = run(lamp_board(), [(0.5, "switch", "on"), (0.5, "switch", "off")], 1.0)
    assert course.at(1.0).light("E1") == 0.0 and states_of(course, "switch")[-1] == "off"


@pytest.mark.parametrize("script, until, words", [
    ([(1.0, "switch", "on"), (0.5, "switch", "off")], 2.0, "cannot go back in time"),
    ([(-0.1, "switch", "on")], 2.0, "cannot go back in time"),
    ([(1.0, "switch", "on")], 1.0, "must end after 1 s"),
    ([], 0.0, "must end after 0 s"),
    ([], 4000.0, "within 3600 s"),
    ([(1.0, "switch")], 2.0, "is not an action"),
    ([("soon", "switch", "on")], 2.0, "is not an action"),
    ([7], 2.0, "is not an action"),
    ([(float("nan"), "switch", "on")], 2.0, "cannot go back in time"),
])
def test_a_script_that_cannot_be_played_is_refused_in_words(script, until, words):
    with pytest.raises(ScriptError, match=words):
        run(lamp_board(), script, until)


def test_a_script_with_a_wrong_control_or_position_names_what_there_is():
    with pytest.raises(UnknownName, match="Did you mean 'switch'"):
        run(lamp_board(), [(0.5, "swich", "on")])
    with pytest.raises(UnknownName, match="It has: off, on"):
        run(lamp_board(), [(0.5, "switch", "up")])


def test_controls_may_stand_anywhere_before_the_script_begins():
    course = run(lamp_board(), [], 1.0, {"switch": "on"})
    rest = operating_point(lamp_board(), {"switch": "on"})
    assert course.events == () and course.spans("switch") == ((0.0, 1.0, "on"),)
    assert course.at(0.0).light("E1") == pytest.approx(rest.light("E1"), rel=1e-6)
    assert course.light["E1"][-1] == pytest.approx(rest.light("E1"), rel=1e-3)


# --- reading -------------------------------------------------------------------------------------------------------

def test_the_operating_point_at_a_sample_is_the_sample():
    """Just after a jump where a time is there twice; volts between samples are drawn straight and do not count."""
    course = run(arrangement("shared-filament-rear-relays"), [(0.2, "key", "on"), (0.4, "turn lever", "left")], 2.0)
    ticks = {sample.tick / 1e6 for sample in course._samples}
    for index, moment in enumerate(course.times):
        last = index + 1 == len(course.times) or course.times[index + 1] > moment
        if last and moment in ticks:
            point = course.at(moment)
            for lamp in course.light:
                assert point.light(lamp) == pytest.approx(course.light[lamp][index], abs=1e-9)
                assert abs(point.lamp_volts(lamp)) == pytest.approx(abs(course.lamp_volts[lamp][index]), abs=1e-9)


def test_spans_cover_the_whole_record_without_a_hole():
    course = run(arrangement("shared-filament-four-relays"), [(0.2, "key", "on"), (0.4, "turn lever", "left")], 3.0)
    for name in ("key", "turn lever", "brake pedal", "K1", "K9", "F1", "S3"):
        spans = course.spans(name)
        assert spans[0][0] == 0.0 and spans[-1][1] == 3.0
        assert all(a[1] == b[0] and a[2] != b[2] for a, b in zip(spans, spans[1:]))
    assert states_of(course, "K1") == ["released", "gap", "operated"]
    with pytest.raises(UnknownName, match="no control or part 'K7'"):
        course.spans("K7")


def test_a_moment_outside_the_record_is_refused():
    course = run(lamp_board(), [], 1.0)
    for moment in (-0.001, 1.001):
        with pytest.raises(ScriptError, match="runs from 0 to 1 s"):
            course.at(moment)
    assert course.at(1.0).is_settled


def test_stopping_and_carrying_on_is_the_same_as_one_run():
    """Events to the microsecond; light to 1e-3, as stopping adds a step to the integration."""
    cart = arrangement("shared-filament-four-relays")
    script = [(0.2, "key", "on"), (0.7, "turn lever", "left"), (1.63, "brake pedal", "held"),
              (2.9, "turn lever", "off")]
    whole = run(cart, script, 4.0)
    parts = run(cart, script[:2], 1.1).carry_on(script[2:3], 2.345).carry_on(script[3:], 4.0)
    assert parts.events == whole.events and parts.until == whole.until and parts.script == whole.script
    for step in range(401):
        one, other = whole.at(step / 100), parts.at(step / 100)
        assert one.states == other.states and one.positions == other.positions
        assert all(one.light(lamp) == pytest.approx(other.light(lamp), abs=1e-3) for lamp in whole.light)


def test_carrying_on_leaves_the_first_record_as_it_was():
    first = run(relay_board(), [ON], 1.0)
    before = (first.times, first.events, first.until)
    one, other = first.carry_on([OFF], 2.0), first.carry_on([], 2.0)
    assert (first.times, first.events, first.until) == before
    assert one.at(2.0).states["K1"] == "released" and other.at(2.0).states["K1"] == "operated"
    with pytest.raises(ScriptError):
        first.carry_on([(0.4, "switch", "off")], 2.0)


# --- fuses ---------------------------------------------------------------------------------------------------------

def test_a_fuse_blows_on_a_short_through_it_within_a_tenth_of_a_second():
    short = changed(lamp_board(), AddWire(Wire("W9", "E1:1", "G1:-")))
    course = run(short, [ON], 2.0)
    (moment, state), = events(course, "F1")
    assert state == "blown" and 0.5 < moment < 0.6 and course.verdict == "settled"
    assert course.at(0.5).current("F1") > 50 and course.at(1.0).current("F1") == 0.0


def test_a_fuse_stays_blown_and_never_comes_back():
    short = changed(lamp_board(), AddWire(Wire("W9", "E1:1", "G1:-")))
    course = run(short, [ON, OFF, (2.0, "switch", "on")], 3.0)
    assert states_of(course, "F1") == ["whole", "blown"]


def test_the_inrush_of_its_own_lamp_does_not_blow_a_fuse():
    course = run(lamp_board(fuse=3.0), [ON], 3.0)
    assert course.at(0.5).current("F1") > 5 * 3.0 and events(course, "F1") == []


def test_a_fuse_warms_up_over_several_short_overloads():
    """Each pulse alone is too short; with no time to cool between them a later one is too much."""
    short = changed(lamp_board(fuse=35.0), AddWire(Wire("W9", "E1:1", "G1:-", length=8.0)))
    once = run(short, [(0.0, "switch", "on"), (0.25, "switch", "off")], 3.0)
    pulses = [(start + moment, "switch", state) for start in (0.0, 0.3, 0.6, 0.9, 1.2, 1.5)
              for moment, state in ((0.0, "on"), (0.25, "off"))]
    often = run(short, pulses, 3.0)
    assert events(once, "F1") == []
    assert [state for _, state in events(often, "F1")] == ["blown"] and events(often, "F1")[0][0] > 0.6


def test_a_shorted_battery_ends_the_run_at_once_with_its_verdict():
    course = run(straight_short(), [ON], 5.0)
    assert course.verdict == "shorted" and course.until == 0.5 and "G1" in course.sentence


def test_where_a_record_ends_on_a_control_action_the_control_stands_where_it_was_put():
    course = run(straight_short(), [ON], 5.0)
    assert course.at(0.5).positions == {"switch": "on"} and course.at(0.499).positions == {"switch": "off"}


# --- flashers ------------------------------------------------------------------------------------------------------

def test_a_free_running_flasher_runs_alone_from_the_moment_it_has_supply():
    course = run(flasher_board(rate=60, on_share=0.4), [(1.0, "supply", "on")], 3.9)
    assert events(course, "K9") == [(1.0, "on"), (1.4, "off"), (2.0, "on"), (2.4, "off"), (3.0, "on"), (3.4, "off")]


def test_a_free_running_flasher_stops_when_its_supply_goes():
    course = run(flasher_board(rate=60), [(1.0, "supply", "on"), (2.2, "supply", "off")], 4.0)
    assert events(course, "K9")[-1] == (2.23, "idle"), "after its hold-up"


def test_a_load_needing_flasher_waits_starts_with_its_load_and_stops_when_it_goes():
    course = run(without_ground(rate=60, type=NEEDING),
                 [(0.0, "supply", "on"), (1.0, "load", "on"), (3.2, "load", "off")], 6.0)
    assert events(course, "K9")[:4] == [(1.0, "on"), (1.5, "off"), (2.0, "on"), (2.5, "off")]
    assert states_of(course, "K9")[-1] == "idle" and course.spans("K9")[-1][0] <= 4.0
    assert course.light["E1"][-1] == pytest.approx(0.0, abs=1e-3)


def test_a_load_needing_flasher_with_too_little_load_keeps_its_lamp_steady():
    course = run(without_ground(type=NEEDING, least_load=180.0), [(0.0, "supply", "on"), (0.5, "load", "on")], 4.0)
    assert [state for _, state in events(course, "K9")][-1:] in ([], ["idle"])
    assert course.at(4.0).light("E1") > 0.7


def test_a_held_flasher_does_not_swing():
    course = run(changed(flasher_board(), Hold("K9", "off")), [(0.0, "supply", "on"), (0.0, "load", "on")], 2.0)
    assert events(course, "K9") == [] and max(course.light["E1"]) == 0.0


# --- no rest -------------------------------------------------------------------------------------------------------

def test_a_buzzing_relay_is_named_with_its_frequency_in_bounded_time():
    """Operate in 10 ms, release in 7 ms: 59 Hz by the relay's own times; found within a fifth of a second."""
    course = run(buzzer(), [ON], 60.0)
    assert course.verdict == "buzzing" and "K1 buzzes at about 59 Hz" in course.sentence
    assert 0.5 < course.until < 0.7 and len(course.events) < 100
    slow = run(buzzer().with_parts(replace(buzzer().part("K1"), operate_time=0.022)), [ON], 60.0)
    assert "34 Hz" in slow.sentence, "22 ms there and 7 ms back"


def test_a_flasher_that_swings_for_ever_is_not_called_buzzing():
    course = run(flasher_board(rate=120), [(0.0, "supply", "on"), (0.0, "load", "on")], 60.0)
    assert course.verdict == "settled" and len(events(course, "K9")) > 200


def test_a_buzzer_that_is_switched_off_in_time_settles():
    course = run(buzzer(), [ON, (0.53, "switch", "off")], 2.0)
    assert course.verdict == "settled" and states_of(course, "K1")[-1] == "released"


def test_of_two_rivals_the_faster_one_wins():
    course = run(rivals(operate_time=0.012), [ON], 2.0)
    assert course.verdict == "settled"
    assert (course.at(2.0).states["K1"], course.at(2.0).states["K2"]) == ("operated", "released")
    course = run(rivals(operate_time=0.009), [ON], 2.0)
    assert (course.at(2.0).states["K1"], course.at(2.0).states["K2"]) == ("released", "operated")


def test_a_self_holding_relay_remembers_the_start_button_until_stop():
    script = [(0.5, "start", "on"), (0.8, "start", "off"), (2.0, "stop", "on"), (2.2, "stop", "off")]
    course = run(self_holding(), script, 3.0)
    assert course.at(1.9).states["K1"] == "operated" and course.at(1.9).light("E1") > 0.7
    assert course.at(3.0).states["K1"] == "released"


def test_a_step_that_runs_off_the_scale_is_taken_again_shorter():
    """Tail lamps thrown at 0.5 s: the longest step a hot filament allows falls on a stage that leaves the scale."""
    cart = arrangement("shared-filament-four-relays-hazard")
    course = run(cart, [(0.5, "tail lamps", "on")], 6.5, {"key": "on"})
    settled = operating_point(cart, {"key": "on", "tail lamps": "on"})
    assert course.verdict == "settled" and course.until == 6.5
    lit = [lamp for lamp in course.lamp_volts if settled.lamp_volts(lamp) > 5]
    assert lit
    for lamp in lit:
        assert course.lamp_volts[lamp][-1] == pytest.approx(settled.lamp_volts(lamp), abs=1e-3), lamp

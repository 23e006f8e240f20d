"""A course lived in: acts in the middle of it, changed circuits, verdicts, an hour without drift."""

from dataclasses import replace
from random import Random

import pytest

from circuitlab.arrangements import AddWire, Hold, LoseJoint, RemovePart, SetValue, arrangement, arrangement_names, changed
from circuitlab.ground.errors import ScriptError, UnknownName
from circuitlab.parts import Breaker, Wire
from circuitlab.solving import run
from circuitlab.solving.live import KEPT, Live
from circuitlab.solving.time_course import TICK

from small_boards import board, buzzer, lamp_board, old_tractor, relay_board, self_holding, straight_short

ON = ("switch", "on")


def played(live, until, positions=None):
    """Play at once, from rest, what hands did to a live course."""
    return run(live.arrangement, [(act.when, act.what, act.to) for act in live.script], until, positions)


def told(course):
    return [(event.time, event.name, event.state) for event in course.events]


def must_agree(live, course, moments=300, near=1e-6):
    """Events alike to the microsecond; states, volts and light alike at many moments."""
    assert list(live.events) == told(course)
    assert (live.verdict, live.until) == (course.verdict, course.until)
    for step in range(moments + 1):
        moment = min(live.until, live.begin + (live.until - live.begin) * step / moments)
        here, there = live.at(moment), course.at(moment)
        assert (here.states, here.positions, here.phases) == (there.states, there.positions, there.phases)
        for lamp in course.lamp_volts:
            assert here.lamp_volts(lamp) == pytest.approx(there.lamp_volts(lamp), abs=near)
            assert here.light(lamp) == pytest.approx(there.light(lamp), abs=near)


# --- what hands do is what a script does --------------------------------------------------------------------------------

@pytest.mark.in_turn(21, 1)
@pytest.mark.parametrize("name", arrangement_names())
def test_a_hundred_acts_one_after_another_are_the_script_played_at_once(name):
    """Some on one microsecond, some within a relay's travel, some beyond what was asked ahead."""
    circuit, chance, moment = arrangement(name), Random(name), 0.0
    live = Live(circuit)
    for _ in range(100):
        moment = round(moment + chance.choice([0.0, 0.0, 0.003, 0.009, 0.31, 0.7, 2.2]), 6)
        control = chance.choice(circuit.controls)
        live.act(moment, control.name, chance.choice(control.positions))
        if chance.random() < 0.6:
            live.ahead(moment + chance.choice([0.004, 0.5, 4.0]))
            live.ahead(moment + 5.0)
    live.ahead(moment + 3.0)
    assert len(live.script) == 100 and len(live.events) > 100
    must_agree(live, played(live, live.until))


def test_an_act_on_the_very_microsecond_of_a_move_happens_together_with_it():
    """The switch opens as the contact leaves its seat, and as it lands."""
    for moment in (0.508, 0.510):
        live = Live(relay_board())
        live.act(0.5, *ON)
        live.ahead(3.0)
        live.act(moment, "switch", "off")
        live.ahead(1.0)
        must_agree(live, played(live, 1.0))


def test_of_two_acts_at_once_the_order_counts_no_more_than_in_a_script():
    cart = arrangement("shared-filament-four-relays-hazard")
    acts, made = [("key", "on"), ("turn lever", "left"), ("brake pedal", "held"), ("hazard", "on")], []
    for order in (acts, acts[::-1]):
        live = Live(cart)
        for act in order:
            live.act(0.5, *act)
        live.ahead(2.0)
        made.append(live.events)
    assert made[0] == made[1] and len(made[0]) > 10


def test_what_was_asked_ahead_is_kept_extended_and_thrown_away_by_the_next_act():
    live = Live(relay_board())
    live.act(0.5, *ON)
    piece = live.ahead(1.0)
    assert (piece.begin, piece.until, live.now, live.until) == (0.5, 1.0, 0.5, 1.0)
    assert piece.spans("K1") == ((0.5, 0.508, "released"), (0.508, 0.510, "gap"), (0.510, 1.0, "operated"))
    assert live.ahead(0.7).until == 1.0 and live.ahead(2.0).until == 2.0
    point = live.act(0.509, "switch", "off")
    assert (live.until, point.states["K1"], point.positions) == (0.509, "gap", {"switch": "off"})
    assert live.ahead(1.0).spans("K1")[-1] == (0.517, 1.0, "released"), "it lands at 0.510 s before it turns back"


def test_a_record_from_a_moment_on_reads_like_the_whole():
    whole = run(arrangement("shared-filament-four-relays"), [(0.2, "key", "on"), (0.7, "turn lever", "left")], 3.0)
    late = whole.since(1.234567)
    assert late.begin <= 1.234567 < late.times[2] and late.until == 3.0
    for moment in (1.234567, 1.9, 2.5, 3.0):
        here, there = late.at(moment), whole.at(moment)
        assert (here.states, here.positions) == (there.states, there.positions)
        assert all(here.light(lamp) == there.light(lamp) for lamp in whole.light)
    assert late.spans("K9")[-1] == whole.spans("K9")[-1] and late.spans("key") == ((late.begin, 3.0, "on"),)
    with pytest.raises(ScriptError, match=f"runs from {late.begin:g} to 3 s"):
        late.at(0.5)


# --- for long -----------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("minutes, circuit, acts", [
    (2, arrangement("shared-filament-four-relays-hazard"), [("key", "on"), ("hazard", "on")]),
    *(pytest.param(10, *given, marks=pytest.mark.full) for given in (
        (arrangement("shared-filament-four-relays-hazard"), [("key", "on"), ("hazard", "on")]),
        (old_tractor(), [("key", "on"), ("turn lever", "left")])))])
def test_minutes_bring_no_drift_and_are_begun_anew(minutes, circuit, acts):
    """Every event on its microsecond, though the record goes back two minutes at most; acts at the end as well."""
    live = Live(circuit)
    for act in acts:
        live.act(0.25, *act)
    end = 60 * minutes
    for second in range(4, end + 1, 3):
        live.ahead(second)
        assert live.until - live.begin < 3 * KEPT / TICK
        assert live.until - live._legs[-1].start.now / TICK < 5, "or acts would have much to go over again"
    live.ahead(end)
    assert live.begin > end - 180 and live.verdict == "settled"
    must_agree(live, played(live, end))
    live.act(end - 0.876544, acts[-1][0], "off")
    live.ahead(end + 2)
    must_agree(live, played(live, end + 2))


@pytest.mark.full
def test_a_circuit_in_which_nothing_happens_is_begun_anew_as_well():
    live = Live(lamp_board())
    live.act(0.5, *ON)
    for second in range(1, 400):
        live.ahead(second)
    assert live.begin > 200 and sum(len(leg.samples) for leg in live._legs) < 3 * KEPT / TICK * 10
    live.act(399.5, "switch", "off")
    live.ahead(402.0)
    must_agree(live, played(live, 402.0), near=3e-4)     # as careful as steps are
    with pytest.raises(ScriptError, match="goes back to"):
        live.at(10.0)


def test_events_are_kept_for_an_hour():
    live = Live(lamp_board())
    for minute in range(70):
        live.act(60.0 * minute, "switch", "on")
        live.ahead(60.0 * minute + 30)
    assert 600 <= live.events[0][0] <= 720 and live.events[-1][0] == 69 * 60.0


# --- a changed circuit --------------------------------------------------------------------------------------------------

def shuffled(circuit, chance):
    """The same circuit with its parts and wires in another order."""
    return replace(circuit, parts=chance.sample(circuit.parts, len(circuit.parts)),
                   wires=chance.sample(circuit.wires, len(circuit.wires)))


@pytest.mark.in_turn(11, 2)
@pytest.mark.parametrize("name", arrangement_names())
def test_a_change_that_changes_nothing_leaves_the_course_as_it_is(name):
    """Parts in another order, in the middle of flashes, of a relay's travel, of a filament's rise: states and warmth by name."""
    circuit, chance = arrangement(name), Random(name)
    acts = [(0.3 + 0.4 * number, control.name, control.positions[-1]) for number, control in enumerate(circuit.controls)]
    whole, live = run(circuit, acts, 6.0), Live(circuit)
    for when, *act in acts:
        live.act(when, *act)
        for late in (0.0035, 0.009, 0.05):
            live.change(when + late, shuffled(circuit, chance))
    live.change(4.4, shuffled(circuit, chance))
    live.ahead(6.0)
    for name in dict(whole.first):
        mine, its = ([event for event in events if event[1] == name] for events in (live.events, told(whole)))
        assert [event[2] for event in mine] == [event[2] for event in its]
        assert [event[0] for event in mine] == pytest.approx([event[0] for event in its], abs=5e-6)
    for step in range(121):
        here, there = live.at(step / 20), whole.at(step / 20)
        assert (here.states, here.positions) == (there.states, there.positions)
        for lamp in whole.light:
            assert here.light(lamp) == pytest.approx(there.light(lamp), abs=1e-3)


def test_a_lifted_wire_leaves_the_filament_to_cool_and_the_relay_to_drop():
    circuit = relay_board()
    live = Live(circuit)
    live.act(0.5, *ON)
    before = live.ahead(2.0).at(2.0)
    after = live.change(2.0, changed(circuit, LoseJoint("W3", "K1:86")))
    assert after.states["K1"] == "operated" and after.temperature("E1") == pytest.approx(before.temperature("E1"), rel=1e-6)
    assert live.ahead(3.0).spans("K1") == ((2.0, 2.005, "operated"), (2.005, 2.007, "gap"), (2.007, 3.0, "released"))
    opened = Live(circuit)
    opened.act(0.5, *ON)
    opened.act(2.0, "switch", "off")
    opened.ahead(3.0)
    assert live.at(2.05).light("E1") == pytest.approx(opened.at(2.05).light("E1"), abs=1e-6) and live.at(2.05).light("E1") > 0.01
    assert live.at(1.99).states["K1"] == "operated", "the circuit before is remembered"


def test_a_relay_that_holds_itself_is_still_held_after_a_change_elsewhere():
    circuit = self_holding()
    live = Live(circuit)
    live.act(0.5, "start", "on")
    live.act(0.8, "start", "off")
    live.change(1.5, circuit.with_parts(replace(circuit.part("E1"), watts=40.0, bulb="")))
    assert live.ahead(3.0).at(3.0).states["K1"] == "operated"
    live.change(3.0, changed(live.arrangement, RemovePart("K1")))
    live.change(4.0, circuit)
    assert live.ahead(5.0).at(5.0).states["K1"] == "released", "plugged in again it is at rest"


def test_a_fuse_stays_blown_until_another_is_put_in():
    circuit = lamp_board()
    short = changed(circuit, AddWire(Wire("W9", "E1:1", "G1:-")))
    live = Live(circuit)
    live.act(0.5, *ON)
    live.change(1.0, short)
    assert live.ahead(2.0).at(2.0).states["F1"] == "blown"
    live.change(2.0, circuit)
    assert live.ahead(3.0).at(3.0).states["F1"] == "blown" and live.at(3.0).light("E1") < 1e-3
    live.change(3.0, circuit, new=["F1"])
    assert live.ahead(4.0).at(4.0).states["F1"] == "whole" and live.at(4.0).light("E1") > 0.5
    live.change(4.0, short)
    live.change(5.0, changed(circuit, SetValue("F1", "rating", 7.5)))
    assert live.ahead(6.0).at(6.0).states["F1"] == "whole", "another rating is another fuse"


def test_a_breaker_keeps_its_warmth_through_a_change():
    """It is strained by a bad lamp; a wire added elsewhere must not give it a fresh start."""
    circuit = board("a breaker", [Breaker("F1", 5.0), *(part for part in lamp_board().parts if part.name != "F1")],
                    [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "G1:-")])
    circuit = circuit.with_parts(replace(circuit.part("E1"), watts=85.0, bulb=""))
    opens = next(event.time for event in run(circuit, [(0.5, *ON)], 5.0).events if event.state == "open")
    live = Live(circuit)
    live.act(0.5, *ON)
    live.change((0.5 + opens) / 2, changed(circuit, AddWire(Wire("W9", "E1:2", "G1:-"))))
    live.ahead(5.0)
    assert next(time for time, _, state in live.events if state == "open") == pytest.approx(opens, abs=0.02)
    assert 0.7 < opens < 3


def test_what_was_welded_goes_on_from_there():
    circuit = relay_board()
    live = Live(changed(circuit, Hold("K1", "operated")))
    live.change(1.0, circuit)
    assert live.ahead(2.0).spans("K1")[-1] == (1.007, 2.0, "released")
    stuck = Live(changed(circuit, Hold("K1", "gap")))
    stuck.change(1.0, circuit)
    stuck.act(2.0, *ON)
    assert stuck.ahead(3.0).at(3.0).states["K1"] == "operated"


def test_a_control_that_is_gone_from_where_it_stood_is_at_rest():
    cart = arrangement("shared-filament-four-relays")
    live = Live(cart, {"key": "on", "turn lever": "left"})
    assert live.ahead(1.0).at(1.0).positions == {"key": "on", "turn lever": "left", "brake pedal": "released"}
    live.change(1.0, lamp_board())
    assert live.positions == {"switch": "off"}
    live.change(2.0, cart)
    assert live.positions == cart.positions() and live.at(0.5).positions["turn lever"] == "left"


def test_the_ambient_moves_cold_filaments_and_leaves_hot_ones_hot():
    live = Live(lamp_board(), {"switch": "on"})
    hot = live.ahead(1.0).at(1.0).temperature("E1")
    assert live.change(1.0, replace(lamp_board(), ambient=-20.0)).temperature("E1") == pytest.approx(hot, rel=1e-9)


# --- verdicts -----------------------------------------------------------------------------------------------------------

def test_a_shorted_battery_stops_the_course_until_a_hand_undoes_it():
    circuit = lamp_board()
    live = Live(circuit)
    live.act(0.5, *ON)
    live.change(1.0, changed(circuit, AddWire(Wire("W9", "G1:+", "G1:-"))), ["short G1:+ to G1:-"])
    assert (live.verdict, live.ahead(9.0).until) == ("shorted", 1.0) and "G1 is shorted" in live.sentence
    live.act(3.0, "switch", "off")
    assert (live.verdict, live.now) == ("shorted", 1.0), "the clock stands still, and the short is still there"
    live.change(4.0, circuit, [])
    assert (live.verdict, live.now) == ("settled", 1.0) and live.ahead(2.0).until == 2.0
    assert live.at(1.0).positions == {"switch": "off"}
    assert [act.what for act in live.script] == ["switch", ("short G1:+ to G1:-",), "switch", ()]


def test_a_shorting_switch_that_is_opened_again():
    live = Live(straight_short())
    live.act(0.5, *ON)
    assert live.verdict == "shorted" and live.ahead(2.0).until == 0.5
    live.act(2.5, "switch", "off")
    assert live.verdict == "settled" and live.ahead(2.0).until == 2.0
    must_agree(live, played(live, 2.0))


def test_a_buzzing_relay_stops_the_course_and_an_act_goes_on_from_there():
    live = Live(buzzer())
    live.act(0.5, *ON)
    stopped = live.ahead(5.0)
    assert live.verdict == "buzzing" and "K1 buzzes" in live.sentence and stopped.until == live.until < 1.0
    live.act(4.0, "switch", "off")
    assert live.now == stopped.until and live.ahead(2.0).verdict == "settled" and live.until == 2.0
    must_agree(live, played(live, 2.0))


def test_an_act_far_beyond_a_verdict_that_nobody_had_asked_for():
    live = Live(buzzer())
    live.act(0.5, *ON)
    live.act(4.0, "switch", "off")
    assert live.now < 1.0 and live.ahead(2.0).at(2.0).states["K1"] == "released"


def test_leads_stay_in_the_order_in_which_they_were_put_on_where_a_verdict_stops_the_course_before_them():
    live = Live(buzzer())
    live.act(0.5, *ON)
    live.lead(5.0, "red", "K1:85")
    live.ahead(10.0)
    live.lead(5.1, "red", "K1:86")
    assert live.verdict == "buzzing" and [act.to for act in live.script] == ["on", "K1:85", "K1:86"]
    assert [act.when for act in live.script[1:]] == [live.until] * 2


# --- wrong acts ---------------------------------------------------------------------------------------------------------

def test_wrong_acts_are_refused_in_words_and_nothing_is_lost():
    live = Live(lamp_board())
    live.act(0.5, *ON)
    live.ahead(2.0)
    before = (live.events, live.script, live.until)
    for at, control, position, error, words in [
            (0.4, "switch", "off", ScriptError, "comes too late: it has gone on from 0.5 s"),
            (-1, "switch", "off", ScriptError, "is no moment"), (float("nan"), "switch", "off", ScriptError, "is no moment"),
            (True, "switch", "off", ScriptError, "is no moment"), (1e7, "switch", "off", ScriptError, "more than a day after 2 s"),
            ("1", "switch", "off", ScriptError, "is no moment"),
            (1.0, "swich", "off", UnknownName, "Did you mean 'switch'"), (1.0, "switch", "up", UnknownName, "It has: off, on")]:
        with pytest.raises(error, match=words):
            live.act(at, control, position)
    for moment in (2.5, -0.5):
        with pytest.raises(ScriptError):
            live.at(moment)
    assert (live.events, live.script, live.until) == before

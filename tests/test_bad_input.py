"""Bad input: the sentence names the thing, says what is wrong and what is allowed."""

from math import inf, nan

import pytest

import circuitlab as cl
from circuitlab.arrangements import AddWire, Arrangement, Hold, Wanted, arrangement, changed
from circuitlab.ground.errors import ArrangementError, CircuitLabError, PartError, ScriptError, UnknownName
from circuitlab.ground.quantities import awg_to_mm2, read_quantity
from circuitlab.parts import (Battery, Chassis, Control, Flasher, Fuse, Lamp, Relay, Resistor, Splice, Switch, Wire,
                              toggle)
from circuitlab.reasoning import lamp_table
from circuitlab.solving import operating_point, run


def loop(*more, **other):
    """Return one lamp on one fuse, with whatever is to be tried added to it."""
    parts = [Battery("G1"), Fuse("F1", 5.0), Lamp("E1"), *other.pop("parts", ())]
    wires = [Wire("W1", "G1:+", "F1:1", "RD"), Wire("W2", "F1:2", "E1:1", "RD"), Wire("W3", "E1:2", "G1:-", "BK"),
             *more]
    return Arrangement("one loop", other.pop("controls", ()), parts, wires, **other)


# ------------------------------------------------------------------ a part by itself

@pytest.mark.parametrize("make, words", [
    (lambda: Battery("G1", -12), r"battery 'G1': voltage must be between 0 and 60 V, got -12"),
    (lambda: Battery("G1", "12 A"), r"battery 'G1': voltage: '12 A' is not in V. Write it as a number of V, such as '12 V'"),
    (lambda: Battery("G1", nan), r"battery 'G1': voltage must be between 0 and 60 V, got nan"),
    (lambda: Battery("G1", 12.6, 0), r"battery 'G1': internal resistance must be between 0.001 and 10 ohm, got 0"),
    (lambda: Fuse("F1", 0), r"fuse 'F1': rating must be between 0.1 and 500 A, got 0"),
    (lambda: Fuse("F1", True), r"fuse 'F1': rating must be a number of A, got True"),
    (lambda: Resistor("R1", inf), r"resistor 'R1': resistance must be between 0.001 and 1e\+09 ohm, got inf"),
    (lambda: Splice("X1", 1), r"splice 'X1': ways must be 2 to 24, got 1"),
    (lambda: Splice("X1", 2.5), r"splice 'X1': ways must be 2 to 24, got 2.5"),
    (lambda: Chassis("X1", 0), r"chassis 'X1': studs must be 1 to 24, got 0"),
    (lambda: Lamp("E1", 13.5, 0), r"lamp 'E1': watts must be between 0.1 and 200 W, got 0"),
    (lambda: Lamp("E1", light="blue"), r"lamp 'E1': light must be red, amber or white, got 'blue'"),
    (lambda: Relay("K1", "both"), r"relay 'K1': contact must be changeover, make or dual, got 'both'"),
    (lambda: Relay("K1", pull_in_voltage=2.0),
     r"relay 'K1': drop out voltage 2.5 V must be below pull in voltage 2 V"),
    (lambda: Relay("K1", transfer_gap=0.02), r"relay 'K1': transfer gap must be between 0 and 0.007 s, got 0.02"),
    (lambda: Flasher("K9", 0), r"flasher 'K9': rate must be between 10 and 600 flashes per minute, got 0"),
    (lambda: Flasher("K9", on_share=1.0), r"flasher 'K9': on share must be between 0.05 and 0.95 of the period"),
    (lambda: Flasher("K9", pilot=1), r"flasher 'K9': pilot must be true or false, got 1"),
    (lambda: Flasher("K9", type="electronic"), r"flasher 'K9': type must be thermal fixed load, thermal variable load, electronic "
     r"free running, electronic with lamp-out sensing or electronic load needing, got 'electronic'"),
    (lambda: Wire("W1", "G1:+", "F1:1", "PINK"),
     r"wire 'W1': colour 'PINK' is not.*Allowed: BK, BN, RD.* such as RDBU"),
    (lambda: Wire("W1", "G1:+", "F1:1", "red"), r"wire 'W1': colour 'red' is not.*Allowed: BK"),
    (lambda: Wire("W1", "G1:+", "F1:1", "RDBUGN"), r"wire 'W1': colour 'RDBUGN' is not one or two"),
    (lambda: Wire("W1", "G1:+", "F1:1", 7), r"wire 'W1': colour 7 is not one or two"),
    (lambda: Wire("W1", "G1:+", "F1:1", length=0), r"wire 'W1': length must be between 0.001 and 100 m, got 0"),
    (lambda: Wire("W1", "G1:+", "F1:1", area=-1), r"wire 'W1': area must be between 0.05 and 200 mm2, got -1"),
    (lambda: Wire("W1", "G1:+", "F1:1", start_joint=0), r"wire 'W1': start joint must be between 0.001 and inf ohm"),
    (lambda: Wire("W1", "G1:+", "F1"), r"wire 'W1': an end must be a part and a terminal such as 'K1:87', got 'F1'"),
    (lambda: Wire("W1", "G1:+", ""), r"wire 'W1': an end must be a part and a terminal such as 'K1:87', got ''"),
    (lambda: Wire("W1", "G1:+", None), r"wire 'W1': an end must be a part and a terminal such as 'K1:87', got None"),
    (lambda: Wire("W1", "G1:+", "G1:+"), r"wire 'W1': both ends are on 'G1:\+'. Give it two different terminals"),
    (lambda: Switch("S1"), r"switch 'S1': name the control that works it"),
    (lambda: Switch("S1", "key"), r"switch 'S1': it closes nothing in any position. Give it at least one pair"),
    (lambda: Switch("S1", "key", {"on": [("30",)]}), r"switch 'S1': closes must give terminal pairs for each position"),
    (lambda: Switch("S1", "key", {"on": [(30, 15)]}), r"switch 'S1': its terminals must all be words in quotes"),
    (lambda: Switch("S1", "key", {"on": [("30", "30")]}), r"switch 'S1': it closes '30' with itself. Name the two terminals"),
    (lambda: Switch("S1", "key", [("on", [("1", "2")]), ("on", [("1", "3")])]),
     r"switch 'S1': it names a position twice. Give all its pairs in one place"),
    (lambda: toggle("S1", "key", worked_by="foot"), r"switch 'S1': worked_by must be hand, key, pedal or pressure"),
])
def test_a_part_that_cannot_be_is_named_with_what_is_allowed(make, words):
    with pytest.raises(PartError, match=words) as caught:
        make()
    assert caught.value.pieces["part"] and str(caught.value).endswith(".")


@pytest.mark.parametrize("make, words", [
    (lambda: Control("key", ("on",)), r"control 'key' needs two or more different positions, rest first"),
    (lambda: Control("key", ("on", "on")), r"control 'key' needs two or more different positions"),
    (lambda: Control("key", (0, 1)), r"control 'key': its positions \(0, 1\) must all be words in quotes"),
    (lambda: Control("key", ("off", "on"), ("off", "start")), r"control 'key' shows .* Name the same positions"),
    (lambda: Wanted("E1", "steady", "key on"), r"the rule for 'E1' says when='key on'. Give each control once"),
    (lambda: Wanted("E1", "steady", [("key", "on"), ("key", "off")]),
     r"the rule for 'E1' says .*Give each control once"),
])
def test_a_control_or_a_rule_that_cannot_be_is_named(make, words):
    with pytest.raises(ArrangementError, match=words):
        make()


@pytest.mark.parametrize("text, unit, words", [
    ("twelve", "V", r"'twelve' is not a quantity. Write a number and its unit, such as '3.5 V'"),
    ("", "A", r"'' is not a quantity"), ("nan", "A", r"'nan' is not a quantity"),
    (None, "A", r"'None' is not a quantity"),
    (True, "A", r"'True' is not a quantity"), ("12 A", "V", r"'12 A' is not in V. .* such as '12 V'"),
    ("3 mm2", "A", r"'3 mm2' is not in A"), ("1.2.3", "V", r"'1.2.3' is not in V"),
    ("99 AWG", "mm2", r"99 AWG is outside the gauges the kit knows, 0 to 40")])
def test_a_typed_quantity_that_is_none_says_how_to_write_one(text, unit, words):
    with pytest.raises(PartError, match=words):
        read_quantity(text, unit)


def test_a_gauge_out_of_range_is_refused():
    with pytest.raises(PartError, match="-1 AWG is outside the gauges the kit knows, 0 to 40"):
        awg_to_mm2(-1)


# ------------------------------------------------------------------ parts and wires together

@pytest.mark.parametrize("make, error, words", [
    (lambda: Arrangement("no battery", parts=[Lamp("E1")]), ArrangementError,
     r"arrangement 'no battery' has no battery. Add one, such as Battery\('G1'\)"),
    (lambda: Arrangement("empty"), ArrangementError, r"arrangement 'empty' has no battery"),
    (lambda: Arrangement("", parts=[Battery("G1")]), ArrangementError,
     r"an arrangement needs a title in words, got ''"),
    (lambda: Arrangement("one", parts=Battery("G1")), ArrangementError, r"'parts' must be a list, even of one thing"),
    (lambda: loop(parts=[Lamp("E1")]), ArrangementError, r"2 parts are named 'E1'. Give each its own name"),
    (lambda: loop(parts=[Lamp("W1")]), ArrangementError, r"2 parts are named 'W1'"),
    (lambda: loop(parts=[Lamp("")]), PartError, r"a part cannot be named ''. Use letters and a number, such as E1"),
    (lambda: loop(parts=[Lamp("E:2")]), PartError, r"a part cannot be named 'E:2'"),
    (lambda: loop(parts=["E2"]), ArrangementError, r"'E2' is not a part. Give parts such as Battery or Lamp"),
    (lambda: loop(parts=[Wire("W9", "G1:+", "E1:1")]), ArrangementError, r"is not a part.*wires go into 'wires'"),
    (lambda: loop(Lamp("E2")), ArrangementError, r"is not a wire. Everything else goes into 'parts'"),
    (lambda: loop(Wire("W9", "G1:+", "E2:1")), UnknownName, r"wire 'W9' goes to 'E2:1', but .* has no part 'E2'"),
    (lambda: loop(Wire("W9", "E1:3", "G1:-")), UnknownName,
     r"wire 'W9' goes to 'E1:3', but lamp 'E1' has no terminal '3'. It has: 1, 2"),
    (lambda: loop(Wire("W9", "E1:1", "G1:minus")), UnknownName,
     r"'G1:minus', but battery 'G1' has no terminal 'minus'"),
    (lambda: loop(Wire("W9", "E1:1", "W1:1")), UnknownName,
     r"wire 'W9' goes to 'W1:1', but 'W1' is a wire, no terminal"),
    (lambda: loop(parts=[toggle("S1", "key")]), UnknownName, r"has no control 'key'. It has: \(none\)"),
    (lambda: loop(parts=[toggle("S1", "key")], controls=[Control("key", ("out", "in"))]), UnknownName,
     r"control 'key' has no position 'on'. It has: out, in"),
    (lambda: loop(controls=["key"]), ArrangementError, r"'key' is not a control. Give one such as Control\('key'"),
    (lambda: loop(controls=[Control("key", ("off", "on"))] * 2), ArrangementError, r"2 controls are named 'key'"),
    (lambda: loop(rule=["E1 steady"]), ArrangementError,
     r"'E1 steady' is not a line of a rule. Give one such as Wanted"),
    (lambda: loop(rule=[Wanted("E7", "steady")]), UnknownName, r"has no part 'E7'.*Did you mean 'E1'"),
    (lambda: loop(rule=[Wanted("F1", "steady")]), UnknownName, r"the rule has no lamp 'F1'. It has: E1"),
    (lambda: loop(rule=[Wanted("E1", "bright")]), ArrangementError,
     r"the rule for 'E1' asks for 'bright'. It may ask"),
    (lambda: loop(rule=[Wanted("E1", "steady", {"key": "on"})]), UnknownName, r"has no control 'key'"),
    (lambda: loop(held={"F1": "burnt"}), UnknownName, r"fuse 'F1' has no state 'burnt'. It has: whole, blown"),
    (lambda: loop(note=5), ArrangementError, r"an arrangement's note must be words in quotes, got 5"),
])
def test_parts_and_wires_that_make_no_circuit_are_named(make, error, words):
    with pytest.raises(error, match=words):
        make()


def test_every_error_of_the_kit_is_also_the_built_in_one_a_python_user_expects():
    with pytest.raises(KeyError):
        loop().part("E9")
    with pytest.raises(ValueError):
        Fuse("F1", -1)
    with pytest.raises(CircuitLabError) as caught:
        loop().part("E9")
    assert caught.value.pieces["name"] == "E9" and "E1" in caught.value.pieces["allowed"]


# ------------------------------------------------------------------ asking and playing

@pytest.mark.parametrize("ask, words", [
    (lambda cart: operating_point(cart, {"turn lever": "up"}),
     r"control 'turn lever' has no position 'up'. It has: off, left, right"),
    (lambda cart: operating_point(cart, {"turn leaver": "left"}),
     r"has no control 'turn leaver'. It has: key, brake pedal, turn lever. Did you mean 'turn lever'"),
    (lambda cart: operating_point(cart, phases={"K8": "on"}), r"has no flasher 'K8'. It has: K9"),
    (lambda cart: operating_point(cart, phases="maybe"), r"flasher 'K9' has no phase 'maybe'. It has: on, off"),
    (lambda cart: operating_point(cart).volts("K1:88"),
     r"relay 'K1' has no terminal '88'. It has: 30, 85, 86, 87, 87a"),
    (lambda cart: operating_point(cart).volts("Q1:1"), r"has no part 'Q1'"),
    (lambda cart: operating_point(cart).light("K1"), r"has no lamp 'K1'. It has: E1, E2, E3, E4"),
    (lambda cart: operating_point(cart).current("K1", 7), r"relay 'K1' has no branch '7'. It has: 0, 1, 2"),
    (lambda cart: run(cart, [(1, "turn lever", "up")]), r"control 'turn lever' has no position 'up'"),
    (lambda cart: run(cart, [(1, "horn", "on")]), r"has no control 'horn'. It has: key, brake pedal, turn lever"),
])
def test_a_question_about_something_not_there_says_what_is_there(ask, words):
    with pytest.raises(UnknownName, match=words):
        ask(arrangement("shared-filament-rear-relays"))


def test_positions_that_pair_nothing_are_refused():
    with pytest.raises(ArrangementError, match=r"'on' does not say which control stands where. Give pairs such as"):
        operating_point(arrangement("one-fused-lamp"), "on")


@pytest.mark.parametrize("script, until, words", [
    ([(1.0, "key", "on"), (0.5, "key", "off")], 5.0,
     r"'key' to 'off' at 0.5 s comes after 1 s. A script cannot go back in time: list the actions in order"),
    ([(-1.0, "key", "on")], 5.0, r"'key' to 'on' at -1 s .* A script cannot go back in time"),
    ([(nan, "key", "on")], 5.0, r"'key' to 'on' at nan s"),
    ([(1.0, "key")], 5.0, r"\(1.0, 'key'\) is not an action. Write \(seconds, control, position\)"),
    ([("soon", "key", "on")], 5.0, r"\('soon', 'key', 'on'\) is not an action. Write \(seconds, control, position\)"),
    ([(9.0, "key", "on")], 5.0, r"the run ends at 5 s, but it must end after 9 s.*Give a later 'until'"),
    ([], 0.0, r"the run ends at 0 s, but it must end after 0 s"), ([], inf, r"the run ends at inf s"),
])
def test_a_script_that_cannot_be_played_says_which_action_and_why(script, until, words):
    with pytest.raises(ScriptError, match=words):
        run(arrangement("shared-filament-rear-relays"), script, until)


def test_a_moment_outside_the_record_is_refused():
    with pytest.raises(ScriptError, match=r"runs from 0 to 2 s; 9 is no moment in it. Ask for a number of seconds inside it"):
        run(arrangement("one-fused-lamp"), until=2.0).at(9)


# ------------------------------------------------------------------ shorts: not refused, but never silent

def test_a_short_behind_a_fuse_blows_it_and_what_it_fed_goes_dark():
    short = changed(arrangement("one-fused-lamp"), AddWire(Wire("W90", "S1:2", "X1:1", "PK", 0.2, 1.5)))
    assert operating_point(short).states["F1"] == "whole"          # the switch still holds it off
    point = operating_point(short, {"lamp switch": "on"})
    assert point.states["F1"] == "blown" and point.light("E1") == 0.0
    assert point.current("W1") == pytest.approx(0.0, abs=1e-9)
    row = next(row for row in lamp_table(short).rows if row.positions == {"lamp switch": "on"})
    assert row.cells["E1"].look == "dark" and row.blown == ("F1",) and "F1" in row.sentence


def test_a_short_in_time_blows_the_fuse_within_the_gate_for_six_times_its_rating():
    """ISO 8820-3 type C, from memory: 600 % opens within 0.1 s, and this short draws far more."""
    short = changed(arrangement("one-fused-lamp"), AddWire(Wire("W90", "S1:2", "X1:1", "PK", 0.2, 1.5)))
    course = run(short, [(0.5, "lamp switch", "on")], 2.0)
    blown = [event.time for event in course.events if (event.name, event.state) == ("F1", "blown")]
    assert len(blown) == 1 and 0.5 < blown[0] < 0.6
    assert course.at(0.4).states["F1"] == "whole" and course.at(2.0).lamp_volts("E1") == 0.0


def test_a_short_takes_only_the_fuse_of_its_own_circuit():
    cart = changed(arrangement("shared-filament-rear-relays"), AddWire(Wire("W90", "X3:1", "X1:1", "PK", 0.2, 1.5)))
    point = operating_point(cart, {"key": "on", "brake pedal": "held", "turn lever": "left"})
    assert (point.states["F1"], point.states["F2"]) == ("blown", "whole")
    assert point.light("E1") > 0.5 and point.light("E3") > 0.5 and point.light("E2") == 0.0


def test_a_supply_shorted_at_the_battery_gives_ohms_law_and_no_good_row():
    """Nothing protects a wire from battery plus to minus; its current is the battery's own limit, by hand."""
    wire = Wire("W90", "G1:+", "G1:-", "PK", 0.2, 2.5)
    lamp = arrangement("one-fused-lamp")
    short = changed(lamp, AddWire(wire))
    point = operating_point(short)
    ohms = lamp.battery.internal_resistance + 0.001 + 0.017241 * 0.2 / 2.5 + 0.001
    assert point.current("W90") == pytest.approx(12.6 / ohms, rel=1e-9)
    assert point.current("W90") > 1000 and point.volts("G1:+") < 4
    assert point.verdict == "shorted" and "G1 is shorted: 1" in point.sentence and "nor a fuse" in point.sentence
    row = next(row for row in lamp_table(short).rows if row.positions == {"lamp switch": "on"})
    assert row.cells["E1"].look == row.verdict == "shorted" and row.cells["E1"].wanted == "steady"
    assert operating_point(lamp, {"lamp switch": "on"}).verdict == "settled"


def test_a_supply_that_is_shorted_during_a_run_ends_the_record_there():
    short = changed(arrangement("one-fused-lamp"), AddWire(Wire("W90", "G1:+", "S1:1", "RD", 0.2, 2.5)),
                    AddWire(Wire("W91", "S1:2", "G1:-", "BK", 0.2, 2.5)))
    course = run(short, [(0.5, "lamp switch", "on")], 2.0)
    assert course.verdict == "shorted" and 0.5 <= course.until < 0.6 and "G1 is shorted" in course.sentence


def test_a_fuse_already_blown_when_a_record_begins_is_one_of_its_events():
    short = changed(arrangement("one-fused-lamp"), AddWire(Wire("W90", "S1:2", "X1:1", "PK", 0.2, 1.5)))
    course = run(short, [], 1.0, {"lamp switch": "on"})
    assert [(event.time, event.name, event.state) for event in course.events] == [(0.0, "F1", "blown")]


@pytest.mark.parametrize("ask, words", [
    (lambda lamp: run(lamp, 5), "5 is not a script. Write a list of"),
    (lambda lamp: run(lamp, until="x"), "until must be a number of seconds, got 'x'"),
    (lambda lamp: run(lamp).at("x"), "'x' is no moment in it"),
    (lambda lamp: operating_point("one-fused-lamp"), "'one-fused-lamp' is not an arrangement. Open one with arrangement"),
    (lambda lamp: operating_point(lamp, phases=3), "phases must be 'on' or 'off'.*got 3"),
    (lambda lamp: operating_point(lamp, phases="maybe"), "no phase 'maybe'. It has: on, off"),
    (lambda lamp: operating_point(lamp, operated=["F1"]), "fuse 'F1' has no state 'operated'. It has: whole, blown"),
])
def test_a_question_of_the_wrong_kind_is_answered_in_words(ask, words):
    with pytest.raises(CircuitLabError, match=words):
        ask(arrangement("one-fused-lamp"))


def test_a_shorted_supply_behind_a_dead_fuse_is_no_short():
    cart = changed(arrangement("one-fused-lamp"), Hold("F1", "blown"),
                   AddWire(Wire("W90", "F1:2", "X1:1", "PK", 0.2, 1.5)))
    point = operating_point(cart, {"lamp switch": "on"})
    assert point.current("W90") == 0.0 and point.volts("F1:1") == pytest.approx(12.6)


# ------------------------------------------------------------------ what a first evening stumbled over

def test_a_wire_to_a_ground_that_another_type_of_flasher_has_is_to_be_taken_away():
    text = cl.arrangement("shared-filament-rear-relays").write_text()
    with pytest.raises(cl.CircuitLabError, match=r"has no terminal '31'.*This type works without 31: take the wire there away\."):
        cl.arrangement(text.replace('type = "electronic with lamp-out sensing"', 'type = "thermal fixed load"'))


def test_a_bulb_called_led_leads_to_the_part_that_is_one():
    with pytest.raises(cl.CircuitLabError, match="An LED lamp is a part of its own: kind 'LED lamp'"):
        cl.Lamp("E1", bulb="LED amber")


def test_a_rule_sentence_without_its_colon_is_shown_where_it_goes():
    with pytest.raises(cl.CircuitLabError, match="If it is meant as a sentence: first the lamp or terminal, then a colon"):
        cl.rule("rear left flashes when turn left")
    with pytest.raises(cl.CircuitLabError) as said:
        cl.rule("separat-lamps")
    assert "colon" not in str(said.value)


def test_faults_stopped_before_the_first_count_none():
    def stop(done, total):
        raise KeyboardInterrupt
    table = cl.fault_table(cl.arrangement("one-fused-lamp"), progress=stop)
    said = table.text()
    assert "Stopped: none of" in said and "by the worst each does" not in said

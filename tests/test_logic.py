"""Lamp logic: formulas from contacts, the ways they come from, relays that remember, and where volts differ."""

from dataclasses import replace

import pytest

from circuitlab.arrangements import Hold, LoseJoint, SetValue, SwapTerminals, arrangement, arrangement_names, changed
from circuitlab.arrangements.reachable import cut, is_joined, ways
from circuitlab.ground.errors import ArrangementError, UnknownName
from circuitlab.parts import Battery, Diode, Lamp, LedLamp, Resistor, Splice, Wire, toggle
from circuitlab.reasoning import lamp_logic
from circuitlab.views.logic_words import formula, lit_when, logic_html, logic_text

from small_boards import board, buzzer, lamp_board, relay_board, rivals, self_holding

HAZARD = arrangement("shared-filament-four-relays-hazard")


# --- formulas ------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("name, lamp, wanted", [
    ("one-fused-lamp", "E1", "lamp switch"), ("relay-test-board", "E2", "¬test switch"),
    ("separate-filaments", "E3", "key · turn lever[left] · K9"), ("third-stop-lamp", "E9", "brake pedal"),
    ("tied-stop-and-turn", "E4", "brake pedal + key · ¬turn lever[off] · K9"),
    ("tied-through-diodes", "E2", "brake pedal + key · turn lever[right] · K9"),
    ("combined-turn-stop-lever", "E1", "brake pedal · ¬turn lever[left] + key · turn lever[left] · K9"),
    ("shared-filament-four-relays-hazard", "E5", "tail lamps")])
def test_the_formula_of_a_lamp_is_the_one_read_off_the_wiring_by_hand(name, lamp, wanted):
    assert formula(lamp_logic(arrangement(name), compare=False).lamp(lamp).condition) == wanted


def test_the_exclusive_or_of_stop_and_flash_is_found():
    """Selected: exactly one of stop and flash; not selected: stop."""
    condition = lamp_logic(arrangement("flashing-line-only")).lamp("E1").condition
    for stop in ("released", "held"):
        for flash in ("on", "off"):
            where = {"key": "on", "turn lever": "left", "brake pedal": stop, "K9": flash}
            assert condition.holds(where) == ((stop == "held") != (flash == "on"))
            assert condition.holds({**where, "turn lever": "off"}) == (stop == "held")


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("name", arrangement_names())
def test_the_solver_confirms_every_formula_of_the_library_in_every_row_and_phase(name):
    logic = lamp_logic(arrangement(name))
    assert logic.differences == () and logic.remembering == ()
    assert logic.compared > 1 and {one.lamp for one in logic.lamps} == {
        lamp.name for lamp in logic.arrangement.of_kind(Lamp)}


@pytest.mark.parametrize("name", arrangement_names())
def test_every_way_told_lights_the_lamp_in_every_row_in_which_its_contacts_are_closed(name):
    for one in lamp_logic(arrangement(name), compare=False).lamps:
        assert one.ways
        for way in one.ways:
            assert one.lamp in way.names and "G1" not in way.names
            assert (way.condition & ~one.condition).is_never


def test_a_relays_formula_is_told_too():
    logic = lamp_logic(HAZARD, compare=False)
    assert {formula(condition) for condition in logic.relays.values()} == {
        "hazard + key · turn lever[left]", "hazard + key · turn lever[right]"}
    with pytest.raises(UnknownName, match="no lamp 'E99'"):
        logic.lamp("E99")


@pytest.mark.parametrize("change, lamp, wanted", [
    (Hold("K1", "operated"), "E1", "key · K9 + hazard · K9"), (Hold("K1", "released"), "E1", "brake pedal"),
    (LoseJoint("W38", "X9:3"), "E1", "0"), (Hold("F4", "blown"), "E5", "0"), (Hold("E1", "blown"), "E1", "0"),
    (SwapTerminals("K3:87", "K3:87a"), "E3", "key · ¬turn lever[left] · ¬hazard · K9")])
def test_a_fault_changes_the_formula(change, lamp, wanted):
    found = lamp_logic(changed(HAZARD, change), compare=False).lamp(lamp)
    assert set(formula(found.condition).split(" + ")) == set(wanted.split(" + "))


def test_a_diode_conducts_one_way_and_an_led_lamp_lights_one_way_round():
    def row(anode, lamp):
        other = {"A": "K", "K": "A"}[anode]
        return board("a diode", [Battery("G1"), toggle("S1", "switch"), Diode("V1"), lamp],
                     [("G1:+", "S1:1"), ("S1:2", f"V1:{anode}"), (f"V1:{other}", "E1:1"), ("E1:2", "G1:-")])
    for anode, lamp, wanted in (("A", Lamp("E1"), "switch"), ("K", Lamp("E1"), "0"), ("A", LedLamp("E1"), "switch")):
        logic = lamp_logic(row(anode, lamp))
        assert formula(logic.lamp("E1").condition) == wanted and logic.differences == ()
    turned = row("A", LedLamp("E1"))
    turned = replace(turned, wires=(*turned.wires[:2], Wire("W3", "V1:K", "E1:2"), Wire("W4", "E1:1", "G1:-")))
    logic = lamp_logic(turned)
    assert formula(logic.lamp("E1").condition) == "0" and logic.differences == ()


# --- relays that remember ------------------------------------------------------------------------------------------

def test_a_relay_that_holds_itself_stays_in_the_formula_and_is_confirmed_in_each_way_the_row_is_reached():
    logic = lamp_logic(self_holding())
    assert logic.remembering == ("K1",) and logic.differences == () and logic.compared == 5
    assert formula(logic.lamp("E1").condition) == "start · ¬stop + ¬stop · K1"
    assert "K1 hold themselves" not in logic_text(logic) and "K1 holds itself" in logic_text(logic)


@pytest.mark.parametrize("circuit, verdict", [(buzzer, "buzzing"), (rivals, "several stable")])
def test_a_row_that_does_not_settle_is_a_difference_not_a_crash(circuit, verdict):
    difference, = lamp_logic(circuit()).differences
    assert verdict in difference.sentence and difference.volts is None and difference.positions == {"switch": "on"}


# --- where volts differ --------------------------------------------------------------------------------------------

def test_a_lamp_that_glows_through_another_is_named():
    """A big and a small lamp in a row: the contacts light neither, the volts light the small one."""
    circuit = board("in a row", [Battery("G1"), toggle("S1", "switch"), Lamp("E1"), Lamp("E2", watts=5.5)],
                    [("G1:+", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "E2:1"), ("E2:2", "G1:-")])
    logic = lamp_logic(circuit)
    assert formula(logic.lamp("E2").condition) == "0"
    difference, = logic.differences
    assert difference.lamp == "E2" and not difference.says and difference.volts > 11
    assert "through E1" in difference.sentence


def test_a_lamp_at_three_volts_that_shows_nothing_is_named_all_the_same():
    circuit = board("weak", [Battery("G1"), toggle("S1", "switch"), Resistor("R1", 10.0), Lamp("E1")],
                    [("G1:+", "S1:1"), ("S1:2", "R1:1"), ("R1:2", "E1:1"), ("E1:2", "G1:-")])
    difference, = lamp_logic(circuit).differences
    assert 1.0 < difference.volts < 3.5 and "too little to see" in difference.sentence and "through R1" in difference.sentence


def test_a_lamp_that_the_contacts_light_and_the_volts_do_not_is_named():
    dull = changed(lamp_board(), SetValue("S1", "resistance", 3.5))
    difference, = lamp_logic(dull).differences
    assert difference.says and "contacts say E1 is lit, volts say dim" in difference.sentence


def test_a_flasher_that_never_starts_is_named():
    logic = lamp_logic(changed(arrangement("led-lamps-no-load"), SetValue("K9", "least_load", 10.0)))
    assert len(logic.differences) == 8 and {one.phases["K9"] for one in logic.differences} == {"on"}
    assert all("K9 does not swing, its contact waits open" in one.sentence for one in logic.differences)


# --- words ---------------------------------------------------------------------------------------------------------

def test_formula_sentence_and_contact_path_are_told_for_every_lamp():
    text, page = logic_text(lamp_logic(HAZARD)), logic_html(lamp_logic(HAZARD))
    assert "E3 = hazard · K9 + key · turn lever[left] · K9" in text
    assert "E3, front left: lit with hazard on and K9 on, or with key on, turn lever left and K9 on." in text
    assert "by S2:1-2 (brake pedal held), K1:87a-30 (K1 released) [W1 F1 W2 S2 W3 X3 W4 K1 W27 E1" in text
    assert "Solved in 96 rows and phases: volts agree with the contacts in all of them." in text
    assert page.count('<th scope="row"') == 6 and "K1:87a-30 (K1 released)" in page
    broken = lamp_logic(changed(HAZARD, LoseJoint("W38", "X9:3")))
    assert "E1, rear left: never lit." in logic_text(broken) and "it gets its current through" in logic_text(broken)


def test_a_lamp_that_is_always_lit_is_said_so():
    circuit = board("always", [Battery("G1"), Lamp("E1")], [("G1:+", "E1:1"), ("E1:2", "G1:-")], ())
    condition = lamp_logic(circuit).lamp("E1").condition
    assert (formula(condition), lit_when(condition)) == ("1", "lit always")


# --- ways and cuts -------------------------------------------------------------------------------------------------

def test_ways_are_told_stretch_by_stretch_and_follow_closed_contacts_only_when_states_are_given():
    circuit = arrangement("shared-filament-four-relays")
    every = ways(circuit, "G1:+", "E1:1")
    straight = [way for way in every if len({link.name for link in way}) == len(way)]
    assert len(straight) == 2 and all("K1" in [link.name for link in way] for way in straight)
    assert all([link.name for link in way].count("K2") == 2 for way in every if way not in straight), "both contacts of K2"
    closed = ways(circuit, "G1:+", "E1:1", {"S2": "held", "S1": "off", "K1": "released", "K2": "released"})
    assert [[link.name for link in way] for way in closed] == [["W1", "F1", "W2", "S2", "W3", "X3", "W4", "K1", "W22"]]
    assert ways(circuit, "G1:+", "E1:1", {"S2": "released", "S1": "off"}) == ()
    assert all("K1:87" == way[-2].start for way in ways(circuit, "G1:+", "E1:1", barred={"K1:87a"}))
    assert is_joined(circuit, "E1:2", "G1:-") and not is_joined(circuit, "E1:1", "E1:2")
    with pytest.raises(UnknownName):
        ways(circuit, "G1:+", "E9:1")


def test_the_fewest_openings_that_cut_a_lamp_off_are_found():
    circuit = arrangement("shared-filament-four-relays")
    assert len(cut(circuit, "G1:+", "E1:1")) == 1
    assert len(cut(arrangement("tied-stop-and-turn"), "G1:+", "X3:1")) == 2, "the stop feed, and the flasher's"
    assert cut(circuit, "E1:1", "E1:2") == ()
    metal = board("metal", [Battery("G1"), Splice("X1"), Lamp("E1")], [("G1:+", "X1:1"), ("X1:2", "E1:1"), ("E1:2", "G1:-")],
                  ())
    with pytest.raises(ArrangementError, match="nothing that could be opened lies between X1:1 and X1:2"):
        cut(metal, "X1:1", "X1:2")

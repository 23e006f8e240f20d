"""The kit's rules against what laws and standards say of combined lamps, hazard, stop and flash; contact truths again.

Every group has a planted opposite that must not pass.
"""

from itertools import product

import pytest

from circuitlab.arrangements import Hold, SwapTerminals, arrangement, arrangement_names, changed
from circuitlab.parts import Lamp
from circuitlab.reasoning import Limits, lamp_logic, prove, rule, rule_names, with_rule

from outside.test_signal_rules import LADDERS, ladder

JUDGE = "turn-and-hazard-over-stop"
CART = arrangement("shared-filament-four-relays-hazard")
COMBINED = {"E1": "left", "E2": "right"}     # the cart's lamps with one filament for both signals


def rows(circuit):
    """Yield every row of an arrangement."""
    names = [control.name for control in circuit.controls]
    for row in product(*(control.positions for control in circuit.controls)):
        yield dict(zip(names, row))


def signalling(row, side):
    return row["key"] == "on" and row["turn lever"] == side


def steady_while_flashing(name):
    """Return rows in which a rule lets stop be steady in a combined lamp whose turn or hazard signal is selected."""
    ruled = with_rule(CART, name)
    return {"turn": [row for row in rows(CART) for lamp, side in COMBINED.items()
                     if signalling(row, side) and ruled.wanted(lamp, row) == "steady"],
            "hazard": [row for row in rows(CART) for lamp in COMBINED
                       if row["hazard"] == "on" and ruled.wanted(lamp, row) == "steady"]}


@pytest.mark.outside("SAE J586 FEB84 and J588 NOV84, par. 5.4.2, in FMVSS 108, as quoted in NHTSA interpretation "
                     "12221.ztv (1996): no stop signal in a combined lamp that flashes")
def test_the_rule_never_asks_for_stop_in_a_lamp_whose_turn_signal_flashes():
    assert steady_while_flashing(JUDGE)["turn"] == []
    assert steady_while_flashing("turn-over-stop-over-hazard")["turn"] == []
    assert len(steady_while_flashing("stop-over-turn")["turn"]) == 8, "the planted opposite"


@pytest.mark.outside("NHTSA interpretation 2629y (1990): the stop signal cannot come on in a combined lamp while hazard "
                     "flashes")
def test_the_rule_never_asks_for_stop_in_a_lamp_whose_hazard_signal_flashes():
    assert steady_while_flashing(JUDGE)["hazard"] == []
    assert steady_while_flashing("turn-over-stop-over-hazard")["hazard"], "a local variant, and it says so"
    assert "aiam4658" in rule("turn-over-stop-over-hazard").source


@pytest.mark.in_turn(3, 1)
@pytest.mark.outside("NHTSA interpretation aiam4658: which signal shows must not depend on which switch came first; front "
                     "lamps must not go steady")
@pytest.mark.parametrize("name", ["shared-filament-four-relays-hazard", "shared-filament-rear-relays-hazard",
                                  "hazard-two-pole-switch", "hazard-by-diodes", "hazard-third-relay"])
def test_the_order_of_brake_and_hazard_makes_no_difference_and_front_lamps_never_go_steady(name):
    proof = prove(arrangement(name), JUDGE, timing=False)
    assert not any(failure.lamp in proof.table.lamps for failure in proof.failures) and proof.orders == len(proof.table.rows)
    front = [lamp.name for lamp in proof.arrangement.of_kind(Lamp) if lamp.place.startswith("front")]
    assert len(front) == 2
    assert all(row.cells[lamp].look in ("dark", "flashing") for row in proof.table.rows for lamp in front)


@pytest.mark.in_turn(6)
@pytest.mark.outside("DIN 72552, terminal 15, as tabulated: plus behind the ignition switch, so dead with the key off")
@pytest.mark.parametrize("name", rule_names())
def test_hazard_on_both_coil_lines_wakes_terminal_15_and_every_rule_says_so(name):
    """Hazard on, key off, lever on a side: the lever joins 15 to a coil line that the hazard switch feeds."""
    ruled = with_rule(arrangement("hazard-two-pole-switch"), name)
    woken = [failure for failure in prove(ruled, timing=False).failures if failure.lamp == "S1:15"]
    assert {tuple(failure.positions.values()) for failure in woken} == {
        ("off", pedal, lever, "on") for pedal in ("released", "held") for lever in ("left", "right")}
    assert all(failure.wanted == "dead" and failure.seen.startswith("live at 12.") for failure in woken)
    assert all({"S4", "S3"} <= set(failure.path.names) for failure in woken), "the way of the current is told"
    for other in ("hazard-by-diodes", "hazard-third-relay", "shared-filament-four-relays-hazard"):
        assert not any(failure.lamp == "S1:15" for failure in prove(with_rule(arrangement(other), name), timing=False).failures)


@pytest.mark.outside("NHTSA interpretation 12221.ztv (1996): separate chambers, the stop lamp may stay on")
def test_separate_lamps_keep_stop_steady_beside_a_flashing_turn_signal():
    circuit = arrangement("separate-filaments")
    proof = prove(circuit, "separate-lamps")
    assert proof.is_kept
    row = proof.table.row(key="on", brake_pedal="held", turn_lever="left")
    assert (row.cells["E1"].look, row.cells["E5"].look) == ("steady", "flashing")
    assert not prove(changed(circuit, Hold("K9", "off")), "separate-lamps", timing=False).is_kept


@pytest.mark.outside("NHTSA interpretation 12535ztv (1996): rear turn red or amber; StVZO s.54(3): yellow only")
def test_red_rear_turn_lamps_pass_one_rule_and_fail_the_other():
    red = arrangement("separate-filaments")
    red = red.with_parts(*(type(lamp)(lamp.name, light="red", place=lamp.place) for lamp in red.of_kind(Lamp)
                           if lamp.place.endswith("turn")))
    assert prove(red, "separate-lamps", timing=False).is_kept
    assert {failure.lamp for failure in prove(red, "separate-lamps-amber-turn", timing=False).failures} == {"E5", "E6"}


@pytest.mark.outside("FMVSS 108 (old S5.5.4), SAE J586 par. 2.1: stop lamps lit as long as the service brake is applied")
@pytest.mark.parametrize("name", [name for name in rule_names()])
def test_every_rule_asks_for_stop_whenever_the_pedal_is_held_and_no_signal_is_selected(name):
    circuit = arrangement("separate-filaments") if name.startswith("separate") else CART
    ruled = with_rule(circuit, name)
    for row in rows(circuit):
        if row["turn lever"] == "off" and row.get("hazard", "off") == "off":
            assert all(ruled.wanted(lamp, row) == ("steady" if row["brake pedal"] == "held" else "dark")
                       for lamp in ("E1", "E2"))


@pytest.mark.outside("NHTSA interpretation 20174.ztv: amber lamps lit steadily by the brake are not acceptable")
def test_steady_amber_by_the_brake_breaks_the_rule():
    proof = prove(arrangement("tied-stop-and-turn"), JUDGE, timing=False)
    amber = {failure.lamp for failure in proof.failures if failure.seen.startswith("steady")
             and proof.arrangement.part(failure.lamp).light == "amber" and failure.positions["turn lever"] == "off"}
    assert amber == {"E3", "E4"}
    assert all(prove(arrangement(name), JUDGE, timing=False).is_kept for name in arrangement_names()
               if name.startswith("shared-filament"))


@pytest.mark.outside("StVZO s.54; UN R48 par. 6.5.9; SAE J974 par. 4.3: 60 to 120 flashes per minute, both included; "
                     "first light within 1 s, first dark within 1.5 s (R48 as summarised)")
@pytest.mark.parametrize("name", rule_names())
def test_the_limits_in_every_rule_file_are_the_published_ones(name):
    limits = rule(name).limits
    assert (limits.slowest, limits.fastest, limits.first_light, limits.first_dark) == (60, 120, 1.0, 1.5)
    assert limits == Limits(), "and those that count without a file"


@pytest.mark.outside("SAE J586/J588 par. 5.4.2 and NHTSA interpretation 2629y, as one truth: f where turn or hazard, else stop")
@pytest.mark.parametrize("name, lamps", [
    ("shared-filament-four-relays-hazard", COMBINED), ("shared-filament-rear-relays-hazard", COMBINED),
    ("hazard-by-diodes", COMBINED), ("hazard-two-pole-switch", COMBINED), ("hazard-third-relay", COMBINED)])
def test_the_formula_of_a_combined_lamp_is_the_published_truth(name, lamps):
    circuit = arrangement(name)
    logic = lamp_logic(circuit, compare=False)
    for row in rows(circuit):
        for lamp, side in lamps.items():
            for phase in ("on", "off"):
                flashes = signalling(row, side) or row["hazard"] == "on"
                wanted = phase == "on" if flashes else row["brake pedal"] == "held"
                assert logic.lamp(lamp).condition.holds({**row, "K9": phase}) == wanted


@pytest.mark.outside("Lessons in Electric Circuits, Digital, ladder logic: digital logic functions")
@pytest.mark.parametrize("name", LADDERS)
def test_formulas_of_contact_ladders_are_the_textbooks(name):
    branches, inverted, wanted = LADDERS[name]
    logic = lamp_logic(ladder(branches, inverted))
    assert logic.differences == ()
    rows_ = [{"A": a, "B": b} for a, b in product(("off", "on"), repeat=2)]
    assert tuple(int(logic.lamp("E1").condition.holds(row)) for row in rows_) == wanted
    other = lamp_logic(changed(ladder(branches, inverted), SwapTerminals("K1:87", "K1:87a")), compare=False)
    assert tuple(int(other.lamp("E1").condition.holds(row)) for row in rows_) != wanted

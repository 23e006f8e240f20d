"""Why things are as they are: what is named as the cause is one, at every part, wire and terminal of many circuits."""

from itertools import product
from random import Random

import pytest

from circuitlab.arrangements import AddWire, Hold, LoseJoint, arrangement, arrangement_names, changed
from circuitlab.ground.errors import CircuitLabError, UnknownName
from circuitlab.parts import Wire
from circuitlab.reasoning.faults import single_faults
from circuitlab.reasoning.why import reason, why
from circuitlab.solving import operating_point, run

from random_arrangements import random_arrangement
from small_boards import buzzer, lamp_board, old_tractor, relay_board
from trying_causes import holds, tried

SPARE = {"trailer-12n-separate-lamps": ("X5:2s floats", "X5:2p floats")}       # a pin that no wire goes to on either side
LEFT = {"key": "on", "turn lever": "left", "brake pedal": "held"}


def named(circuit):
    """Whatever may be asked about; of a lamp with two filaments, whose sentences are theirs, each filament."""
    return [part.name for part in (*circuit.parts, *circuit.wires) if not part.seats] + list(circuit.terminals)


def must_hold(point, names):
    """Every cause named is one; return how many were tried, and the sentences that name none for want of volts."""
    count, silent = 0, []
    for name in names:
        told = reason(point, name)
        assert told.sentence.endswith(".") and "\n" not in told.sentence and "None" not in told.sentence
        if not told.does:
            silent += [told.sentence] * ("floats" in told.sentence or "0.0 V" in told.sentence)
            continue
        after = tried(point, told, name)
        if after is not None:
            assert holds(point, told, after, name), (told, after.sentence)
            count += 1
    return count, silent


def by_chance(circuit, chance, most):
    """Some rows of a circuit, in both phases."""
    rows = list(product(*[control.positions for control in circuit.controls]))
    for row in chance.sample(rows, min(most, len(rows))):
        for phase in ("on", "off"):
            yield operating_point(circuit, dict(zip([control.name for control in circuit.controls], row)), phase)


@pytest.mark.in_turn(22, 10)
@pytest.mark.parametrize("name", [*arrangement_names(), "old tractor"])
def test_every_cause_is_one_in_every_arrangement(name):
    """A jumper over what is open brings the volts, what is closed takes them when it is opened; nothing dark is left unexplained."""
    circuit, tries, dark = old_tractor() if name == "old tractor" else arrangement(name), 0, []
    chance = Random(name)
    for point in by_chance(circuit, chance, 2):
        if point.is_settled:
            count, silent = must_hold(point, chance.sample(named(circuit), min(60, len(named(circuit)))))
            tries, dark = tries + count, dark + [words for words in silent if not words.startswith(SPARE.get(name, ()))]
    assert tries > 30 and dark == []


@pytest.mark.parametrize("name", ["shared-filament-four-relays", "hazard-by-diodes", "flashing-line-only", "switched-ground-coils",
                                  "led-lamps-load-resistors"])
@pytest.mark.full
def test_every_cause_is_one_with_a_fault_in_the_circuit(name):
    """Joints lost, fuses blown, wires chafed through: what would short the battery is not called a cure."""
    circuit, chance, tries = arrangement(name), Random(name), 0
    for fault in chance.sample(single_faults(circuit), 12):
        positions = {control.name: chance.choice(control.positions) for control in circuit.controls}
        point = operating_point(changed(circuit, *fault.changes), positions, chance.choice(["on", "off"]))
        if point.is_settled:
            tries += must_hold(point, chance.sample(named(point.arrangement), 25))[0]
    assert tries > 80


@pytest.mark.parametrize("seeds", [(*range(6), 158), pytest.param(range(6, 300), marks=pytest.mark.full)])
def test_every_cause_is_one_where_anything_is_wired_to_anything(seeds):
    tries = 0
    for seed in seeds:
        circuit, chance = random_arrangement(seed), Random(seed)
        point = operating_point(circuit, {control.name: chance.choice(control.positions) for control in circuit.controls})
        if point.is_settled:
            tries += must_hold(point, chance.sample(named(circuit), 25))[0]
    assert tries > 5 * len(seeds)


# --- single sentences ---------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("positions, name, sentence", [
    ({}, "K1", "K1 rests: its coil has 0.0 V, because S3 is open from 15 to L (turn lever off) and S1 is open (key off)."),
    ({}, "S1", "S1 is open, because key is off."), (LEFT, "S3", "S3 joins 15 to L, because turn lever is left."),
    (LEFT, "K3", "K3 is operated: its coil has 12.3 V, because S3 joins it to the battery's plus; on the way from plus are F2, "
                 "S1 and S3."),
    ({"key": "on"}, "E1", "E1 is dark: it has 0.0 V, because K1 is open from 30 to 87 (it rests)."),
    ({}, "F1", "F1 is whole and carries nothing, because S2 is open (brake pedal released)."),
    ({}, "G1:-", "G1:- is on the battery's minus, from which volts are counted."),
    (LEFT, "G1:+", "G1:+ has 12.6 V: it is the battery's own pole."),
    ({}, "K9", "K9 rests: its electronics have 0.0 V, because S1 is open (key off)."),
])
def test_what_is_said_at_the_four_relays(positions, name, sentence):
    assert why(operating_point(arrangement("shared-filament-four-relays"), positions), name) == sentence


def test_what_is_broken_is_named():
    def at(*changes, name="E1"):
        return why(operating_point(changed(lamp_board(), *changes), {"switch": "on"}), name)

    assert at(LoseJoint("W2", "F1:2")) == "E1 is dark: it has 0.0 V, because W2 is off at F1:2."
    assert at(LoseJoint("W2", "F1:2"), name="W2") == "W2 carries nothing: it is off at F1:2."
    assert at(Hold("F1", "blown")) == "E1 is dark: it has 0.0 V, because F1 is blown."
    assert at(LoseJoint("W4", "G1:-")) == "E1 is dark: it has 0.0 V, because W4 is off at G1:-."
    assert at(LoseJoint("W4", "G1:-"), name="E1:2") == "E1:2 has 12.6 V, because W4 is off at G1:-."
    assert at(Hold("E1", "blown")) == "E1 is broken, whatever it gets (12.6 V)."
    assert "because W2 takes" in at(LoseJoint("W2", "F1:2", 3.0))
    touching = Wire("W9", "E1:1", "E1:2", start_joint=2.0, end_joint=2.0)
    assert at(AddWire(touching)).startswith("E1 is lit")
    series = changed(lamp_board(), LoseJoint("W4", "G1:-", 5.0), AddWire(Wire("W9", "E1:1", "E1:2")))
    assert why(operating_point(series, {"switch": "on"}), "E1") == "E1 is dark: it has 0.0 V, because W9 joins both its ends."


@pytest.mark.parametrize("change, mended, words", [
    (LoseJoint("W4", "E1:2"), AddWire(Wire("jumper", "E1:2", "G1:-")), "W4 is off at E1:2"),
    (Hold("E1", "blown"), AddWire(Wire("jumper", "E1:1", "E1:2")), "E1 is blown")])
def test_of_what_floats_both_gaps_are_named(change, mended, words):
    """Towards plus and towards minus; over the second a jumper is laid, and it floats no more."""
    circuit = changed(lamp_board(), change)
    for name, head in (("E1:1", "E1:1 floats"), ("W3", "W3 carries nothing; it floats")):
        assert why(operating_point(circuit), name) == f"{head}, because S1 is open (switch off); towards minus {words}."
    assert operating_point(circuit).meter("E1:1") is None and operating_point(changed(circuit, mended)).meter("E1:1") == 0.0
    assert "towards" not in why(operating_point(circuit), "E1")
    assert "towards" not in why(operating_point(lamp_board()), "E1:1")


def test_one_gap_that_parts_a_point_from_both_poles_is_named_once():
    told = why(operating_point(arrangement("shared-filament-four-relays")), "K1:87")
    assert told == "K1:87 floats, because K1 is open from 30 to 87 (it rests) and S2 is open (brake pedal released)."


def test_a_blown_fuse_before_a_short_is_never_to_be_bridged():
    short = changed(lamp_board(), AddWire(Wire("W9", "S1:1", "G1:-")))
    point = operating_point(short, {"switch": "on"})
    assert point.states["F1"] == "blown"
    told = why(point, "F1:2")
    assert "joins it to the battery's minus" in told, "the short itself is named at its own terminal"
    open_again = operating_point(changed(short, Hold("F1", "blown")))
    told = reason(open_again, "E1")
    assert told.sentence == ("E1 is dark: it has 0.0 V, because S1 is open (switch off) and F1 is blown; "
                             "a jumper there would short the battery: find the short first.")
    assert abs(tried(open_again, told, "E1").current("G1")) > 40


def test_a_moment_of_a_course_is_explained_as_well():
    course = run(relay_board(), [(0.5, "switch", "on")], 1.0)
    assert why(course.at(0.509), "E1") == "E1 is dark: it has 0.0 V, because K1 is open from 30 to 87 (it is under way)."
    assert why(course.at(0.9), "E1").startswith("E1 is lit: it has 12.5 V, because K1 joins it to the battery's plus")


def test_what_finds_no_rest_has_no_reason_but_that():
    assert why(operating_point(buzzer(), {"switch": "on"}), "K1").startswith("K1: nothing steady can be said, because K1 buzzes")


def test_what_is_not_there_is_asked_back():
    point = operating_point(lamp_board())
    for name in ("E9", "E1:9", "W99", "", ":", None, 7):
        with pytest.raises((UnknownName, CircuitLabError)):
            why(point, name)

"""A bulb turned round in its holder: its tail lamp is too bright and its stop lamp dim, in proof, table, faults, time and in what a customer says."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import SetValue, arrangement, changed
from circuitlab.arrangements.complaints import LOOKS
from circuitlab.parts import Lamp
from circuitlab.reasoning.faults import single_faults
from circuitlab.reasoning.finding.customers import read_symptoms
from circuitlab.reasoning.finding.told import read_symptom
from circuitlab.reasoning.looks import TOO_BRIGHT, look_of
from circuitlab.reasoning.observing import BRIGHT, LIT, levels_of, look, observe
from circuitlab.solving import operating_point
from circuitlab.views.fault_words import fault_table_html, fault_table_text, seen_words
from circuitlab.views.proof_words import proof_text

CART = arrangement("tail-and-stop-two-filaments")
TURNED = changed(CART, SetValue("E1", "fitted", "turned round"))
TAILS = {"key": "off", "brake pedal": "released", "turn lever": "off", "tail lamps": "on"}
BOTH = {**TAILS, "brake pedal": "held"}


@pytest.mark.outside("P21/5W by UNECE R37: 440 lm bright, 35 lm weak, so twelve times as bright in its place")
def test_the_light_of_the_bright_filament_is_twelve_times_what_belongs_there():
    light = operating_point(TURNED, TAILS).light("E1.58") / operating_point(CART, TAILS).light("E1.58")
    assert light == pytest.approx(440 / 35, rel=0.06)      # its greater current takes it a tenth of a volt on the way


def test_another_filament_is_too_bright_and_what_too_many_volts_do_is_told_otherwise():
    assert look_of([8.0], True) == look_of([8.0, 7.9], True) == TOO_BRIGHT and look_of([8.0]) == look_of([2.4], True) == "steady"
    assert look_of([8.0, 0.0], True) == "flashing" and TOO_BRIGHT in LOOKS
    assert levels_of([8.0, 8.0], True) == (BRIGHT, BRIGHT) and levels_of([8.0]) == (LIT,)
    assert look(((BRIGHT,), (BRIGHT,)), 0) == TOO_BRIGHT
    assert Lamp("E1").misplaced == CART.part("E1.54").misplaced == "" and "26.5 W" in TURNED.part("E1.58").misplaced


def test_table_time_and_faults_see_the_same():
    rows = {tuple(row.positions.items()): row for row in cl.lamp_table(TURNED).rows}
    row = next(row for positions, row in rows.items() if dict(positions) == BOTH)
    assert (row.cells["E1.54"].look, row.cells["E1.58"].look, row.cells["E2.58"].look) == ("dim", TOO_BRIGHT, "steady") and row.breaks_rule
    course = cl.run(TURNED, [(0.0, "tail lamps", "on")], until=2.0)
    assert cl.flash(course, "E1.58", 1.0).look == TOO_BRIGHT and cl.flash(course, "E2.58", 1.0).look == "steady"
    seen = observe(TURNED, [BOTH], CART)[0]
    lamps = [lamp.name for lamp in TURNED.of_kind(Lamp)]
    assert look(seen.levels, lamps.index("E1.58")) == TOO_BRIGHT and look(seen.levels, lamps.index("E1.54")) == "dim steady"


def test_the_fault_tells_both_halves_and_in_one_word_with_the_proof():
    table = cl.fault_table(CART, faults=single_faults(CART, ["bulb turned round"]))
    line = next(line for line in table.lines if "E1" in line.fault.words)
    assert set(line.counts) == {"wrong signal", "lamp lost", "no effect"}
    words = seen_words(table, line)
    assert "E1.54 is dim" in words and "E1.58 is too bright instead of steady" in words and "glow" not in fault_table_text(table, readings=False)
    effect = line.effects[table.rows.index(BOTH)]
    assert effect.classes == ("wrong signal", "lamp lost") and not any("nobody" in reason for reason in effect.reasons), "whoever drives behind sees it"


def test_a_batch_of_faults_sees_what_each_alone_shows():
    faults = single_faults(CART, ["bulb turned round", "blown lamp"])
    table = cl.fault_table(CART, faults=faults)
    for line in table.lines:
        seen = observe(changed(CART, *line.fault.changes), table.rows, CART)
        assert [table.rows[row] for row, effect in enumerate(line.effects) if "is too bright" in " ".join(effect.reasons)] == [
            row for row, each in zip(table.rows, seen) if any(BRIGHT in phase for phase in each.levels)]


def test_the_proof_points_at_the_bulb_and_not_at_a_way_that_is_sound():
    proof = cl.prove(TURNED)
    lamps = {failure.lamp: failure for failure in proof.failures}
    assert set(lamps) == {"E1.54", "E1.58"} and lamps["E1.54"].seen.startswith("dim") and lamps["E1.58"].seen.startswith("too bright at 12")
    for failure in proof.failures:
        assert failure.path is None and failure.detour is None
        assert any("Look at the bulb of E1 and its holder, not at the wires" in words for words in failure.remarks)
    assert "lost on the way" not in proof_text(proof) and "path" not in proof_text(proof)


@pytest.mark.parametrize(("said", "means"), [
    ("rear left tail bright when tail lamps on", ["rear left tail too bright when tail lamps on"]),
    ("rear left tail too bright when tail lamps on", ["rear left tail too bright when tail lamps on"]),
    ("left tail lamp too bright", ["rear left tail too bright when tail lamps on"]),
    ("left tail lamp brighter than the brake lamp", ["rear left tail too bright when tail lamps on", "rear left stop dim when brake pedal held"]),
    ("tail lamp brighter than brake lamp", ["rear left tail or rear right tail too bright when tail lamps on",
                                            "rear left stop or rear right stop dim when brake pedal held"]),       # of either side
    ("left brake light weaker than the tail light", ["rear left tail too bright when tail lamps on", "rear left stop dim when brake pedal held"]),
    ("right tail light brighter than the left", ["rear right tail too bright when tail lamps on", "rear left tail steady when tail lamps on"])])
def test_what_a_customer_says_of_it_is_understood(said, means):
    assert [str(each) for each in read_symptoms(said, CART)] == means
    assert all(read_symptom(str(each), CART) == each for each in read_symptoms(said, CART))


@pytest.mark.parametrize("said", ["rear left tail bright when tail lamps on", "left tail lamp brighter than the brake lamp"])
def test_find_then_says_the_bulb_of_that_lamp(said):
    found = cl.find(CART, said)
    assert "turned round" in found.causes[0].words and "E1" in found.causes[0].words


# ------------------------------------------------------------------ dimmer without another look

TRAILER = arrangement("trailer-12n-separate-lamps")


def test_a_fault_that_only_dims_a_lamp_is_told_so_and_not_as_without_effect():
    """5 ohm in the wire of a tail lamp of 5 W: worked by hand, 0.38 A lose some 1.8 V of 12.2, and light goes with the power 3.4 of volts."""
    faults = [fault for fault in single_faults(TRAILER, ["corroded joint"]) if fault.place == "E13:1"]
    table = cl.fault_table(TRAILER, faults=faults)
    (line,) = table.lines
    lamp, share = table.dimmed(line)
    assert line.worst == "no effect" and lamp == "E13" and share == pytest.approx((10.45 / 12.15) ** 3.4, abs=0.03)
    text = " ".join(fault_table_text(table).split())
    assert "No signal is lost, and a lamp is dimmer" in text and f"E13 gives {100 * share:.0f} % of its right light" in text and "No effect in any row" not in text
    assert "No signal is lost, and E13 gives" in fault_table_html(table) and "No signal is lost" not in fault_table_html(table, readings=False)


def test_what_dims_no_lamp_stays_without_effect():
    table = cl.fault_table(TRAILER, faults=single_faults(TRAILER, ["water in a plug"]))
    quiet = [line for line in table.lines if line.worst == "no effect"]
    assert quiet and all(table.dimmed(line) is None for line in quiet)
    assert "No effect in any row" in fault_table_text(table) and "dimmer" not in fault_table_text(table)

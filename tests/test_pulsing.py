"""A lamp that a flasher makes brighter and less bright, as a shared bad ground does: it pulses, in every answer of the kit."""

import pytest

from circuitlab import arrangement, compare, flash, prove, run
from circuitlab.arrangements import arrangement_names, changed
from circuitlab.arrangements.rows import rows_of
from circuitlab.arrangements.typed_changes import read_change
from circuitlab.reasoning import lamp_table
from circuitlab.reasoning.faults import batches, fault_table
from circuitlab.reasoning.looks import look_of
from circuitlab.reasoning.observing import PULSES, levels_of, look, observe
from circuitlab.solving import operating_point
from circuitlab.views.board.words import came_of

FOUR = "shared-filament-four-relays"
BRAKING = {"key": "on", "brake pedal": "held", "turn lever": "left"}


def bad_ground(ohms):
    cart = arrangement(FOUR)
    return changed(cart, read_change(f"corrode W35 at G1:- {ohms} ohm", cart))


def played(circuit):
    return run(circuit, [(0.0, *item) for item in BRAKING.items()], 8.0)


@pytest.mark.outside("common practice of fault finding: a stop lamp that winks with the turn signal has a bad ground in common with it")
@pytest.mark.parametrize("ohms", [0.5, 1.0])
def test_the_stop_lamp_on_a_bad_ground_pulses_with_the_turn_signal(ohms):
    circuit = bad_ground(ohms)
    lights = [operating_point(circuit, BRAKING, phase).light("E2") for phase in ("on", "off")]
    assert 0.1 * lights[1] < lights[0] < 0.8 * lights[1]
    row = next(row for row in lamp_table(circuit).rows if row.positions == BRAKING)
    assert row.cells["E2"].look == "pulses" and not row.keeps_rule
    seen = flash(played(circuit), "E2", 2.0)
    assert seen.look == "pulses" and seen.rate == pytest.approx(90, rel=1e-3)
    assert seen.sentence.startswith("pulses 90 per minute, between ")
    assert "E2 pulses 90 a minute" in came_of(played(circuit).since(2.0), "Done")


@pytest.mark.outside("Bloch's law: within some 50 to 100 ms the eye adds light up, so a dip of 20 % for a few ms is not seen; from memory")
def test_a_relay_that_changes_over_in_time_with_the_flasher_leaves_its_lamp_steady():
    """Stop through 87a fills the pauses: what the filament loses while the contact is under way is too short to be seen. The board's words are the table's."""
    cart = arrangement("shared-filament-rear-relays")
    circuit = changed(cart, read_change("move W10 from S3:SL to X4:1", cart))
    course = played(circuit)
    light = [each for moment, each in zip(course.times, course.light["E1"]) if moment > 2]
    assert min(light) < 0.8 * max(light)
    assert flash(course, "E1", 2.0).look == "steady" == next(row for row in lamp_table(circuit).rows if row.positions == BRAKING).cells["E1"].look
    assert came_of(course.since(2.0), "Done") == "Done. E1, E2 steady; E3 flashing 90 a minute; E4 dark."


def test_proof_and_comparison_do_not_take_it_for_steady():
    proof = prove(bad_ground(0.5))
    assert not proof.is_kept
    told = [(failure.lamp, failure.wanted, failure.seen) for failure in proof.of_row(BRAKING)]
    assert [(lamp, wanted) for lamp, wanted, _ in told] == [("E2", "steady")] and told[0][2].startswith("pulses at 9.7/11.2 V")
    compared = compare(arrangement(FOUR), bad_ground(0.5))
    assert not compared.is_same and "was steady, now pulses" in compared.text()


def test_a_fault_that_makes_it_pulse_is_a_wrong_signal_and_no_signal_lost():
    cart = arrangement(FOUR)
    (line,) = fault_table(cart, faults=[read_change("corrode W35 at G1:- 0.5 ohm", cart)]).lines
    assert line.worst == "wrong signal"
    reasons = {reason for effect in line.effects for reason in effect.reasons}
    assert "E2 pulses with the flasher instead of steady" in reasons and not any("nobody" in reason for reason in reasons)


def test_many_at_once_see_the_same_as_one_by_one():
    cart, rows = arrangement(FOUR), rows_of(arrangement(FOUR))
    changes = [read_change(f"corrode W35 at G1:- {ohms} ohm", cart) for ohms in (0.2, 0.5, 1)]
    quick = batches.observe_all(cart, rows, changes)
    alone = [observe(change.apply(cart), rows, cart) for change in changes]
    assert [[each.levels for each in seen] for seen in quick] == [[each.levels for each in seen] for seen in alone]
    assert any(PULSES in phase for seen in quick for each in seen for phase in each.levels)


@pytest.mark.parametrize("lights, seen", [
    ((0.9, 0.73), "steady"), ((0.9, 0.71), "pulses"), ((0.9, 0.2), "pulses"), ((0.9, 0.08), "flashing"), ((0.9, 0.0), "flashing"),
    ((0.26, 0.24), "steady"), ((0.2, 0.1), "dim"), ((0.2, 0.015), "dim flashing"), ((0.005, 0.0), "dark")])
def test_a_lamp_that_goes_out_flashes_and_one_that_only_loses_light_pulses(lights, seen):
    assert look_of(lights) == seen
    levels = [(level,) for level in levels_of(lights)]
    assert look(levels, 0) == {"dim": "dim steady"}.get(seen, seen)


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("name", arrangement_names())
def test_no_lamp_of_a_healthy_arrangement_pulses(name):
    assert "pulses" not in {cell.look for row in lamp_table(arrangement(name)).rows for cell in row.cells.values()}


def test_a_row_in_which_the_flasher_cannot_stay_on_fails_as_the_table_has_it():
    """On 2 ohm of ground the output breaks its own supply down; told from its two phases at rest E1 would flash dimly."""
    proof = prove(bad_ground(2))
    row = {"key": "on", "brake pedal": "released", "turn lever": "left"}
    (failure,) = proof.of_row(row)
    assert failure.lamp == "" and "K9 cannot stay on" in failure.seen and "dim flashing" not in proof.text()


def test_the_heading_counts_the_rows_that_the_table_marks():
    table = lamp_table(bad_ground(2))
    assert len(table.failing) == 8 and any(row.verdict != "settled" for row in table.failing)
    assert "asks in 8 of 12 rows" in table.text() and "12 rows, 8 of them break the rule" in table.text()

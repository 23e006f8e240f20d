"""A flasher that waits in a row and would go on there had it begun before: two orders, two lamps, and the proof says both."""

import pytest

import circuitlab as cl

TIED = "tied-stop-and-turn"
LEFT_THEN_PEDAL = (("key", "on"), ("turn lever", "left"), ("brake pedal", "held"))
STAND = dict(LEFT_THEN_PEDAL)


def with_joint(ohms):
    circuit = cl.arrangement(TIED)
    return cl.changed(circuit, cl.changes.read_change(f"corrode W1 at F1:1 {ohms} ohm", circuit))


def played(circuit, *throws):
    """Return what E1 does once throws a second apart are made."""
    course = cl.run(circuit, [(float(second), *throw) for second, throw in enumerate(throws)], until=12.0)
    return cl.flash(course, "E1", 8.0).look


@pytest.mark.parametrize("ohms", [0.2, 0.5])
def test_both_orders_into_a_row_are_told_where_they_end_otherwise(ohms):
    circuit = with_joint(ohms)
    first, last = played(circuit, *LEFT_THEN_PEDAL), played(circuit, LEFT_THEN_PEDAL[0], LEFT_THEN_PEDAL[2], LEFT_THEN_PEDAL[1])
    assert first == "pulses" and last in ("steady", "dim")
    proof = cl.prove(circuit, "stop-over-turn", timing=False)
    assert "Every order of throwing leads to the same" not in proof.text()
    told = {(failure.lamp, failure.seen.partition(" ")[0]) for failure in proof.failures
            if failure.positions == STAND and failure.throws == LEFT_THEN_PEDAL}
    assert ("E1", first) in told and proof.orders == 14


def test_where_the_lamps_look_alike_the_order_does_not_matter():
    """The same flasher goes on there too, and nobody sees it: the supply does not yield."""
    circuit = cl.arrangement(TIED)
    assert played(circuit, *LEFT_THEN_PEDAL) == played(circuit, LEFT_THEN_PEDAL[0], LEFT_THEN_PEDAL[2], LEFT_THEN_PEDAL[1]) == "steady"
    assert "Every order of throwing leads to the same" in cl.prove(circuit, "stop-over-turn", timing=False).text()

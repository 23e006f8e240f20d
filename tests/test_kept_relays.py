"""Relays that would stay in and are never brought in: the row is what the hand finds, worked from rest; not all lamps are in doubt."""

import pytest

import circuitlab as cl
from circuitlab.solving import run

LEFT = {"key": "on", "brake pedal": "held", "turn lever": "left"}
WEAK = [("shared-filament-four-relays", "W11", "K1"), ("shared-filament-four-relays", "W12", "K3"),
        ("switched-ground-coils", "W9", "K1"), ("switched-ground-coils", "W11", "K3")]


@pytest.mark.parametrize("pedal", ["released", "held"])
@pytest.mark.parametrize("name, wire, relay", WEAK)
def test_a_coil_behind_75_ohm_leaves_its_own_lamp_alone_out_and_no_lamp_in_doubt(name, wire, relay, pedal):
    """12.6 V through 75 ohm and a coil of 85 ohm leave 6.7 V, of which the kit's relay needs 7.0; all others pull in. The row
    against a course in which the hand throws every control from rest."""
    board, row = cl.changed(cl.arrangement(name), cl.SetValue(wire, "end_joint", 75.0)), {**LEFT, "brake pedal": pedal}
    told = cl.row_of(board, row)
    course = run(board, [(0.1 * number, *item) for number, item in enumerate(row.items(), start=1)], until=6.0)
    assert relay not in {event.name for event in course.events if event.state == "operated"}
    assert told.verdict == "settled" and told.sentence == f"{relay} stays released, worked from rest; once in, it would hold"
    assert {lamp: cell.look for lamp, cell in told.cells.items()} == {lamp: cl.flash(course, lamp, 1.5).look for lamp in told.cells}
    assert next(each for each in cl.lamp_table(board).rows if each.positions == row).sentence == told.sentence

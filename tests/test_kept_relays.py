"""Relays that would stay in and are never brought in: the row is what the hand finds, worked from rest; not all lamps are in doubt."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import AddPart, AddWire
from circuitlab.parts import Lamp, Resistor, Wire
from circuitlab.solving import run

from small_boards import self_holding

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


@pytest.mark.parametrize("own, inner, sure", [(2.1, 0.12, True), (1.5, 0.6, False)])
def test_a_lamp_at_the_border_of_dim_is_in_doubt_only_where_somebody_would_see_it(own, inner, sure):
    """A lamp behind a resistor, beside a relay that holds itself and a lamp that takes some of the battery's volts: 0.256 and 0.237 of
    its light on both sides of the border, or twice as far apart."""
    wires = (("W90", "G1:+", "R1:1"), ("W91", "R1:2", "E2:1"), ("W92", "E2:2", "G1:-"))
    circuit = cl.changed(self_holding(), cl.SetValue("G1", "internal_resistance", inner), AddPart(Lamp("E2")), AddPart(Resistor("R1", own)),
                         *(AddWire(Wire(*each)) for each in wires))
    row = {"start": "off", "stop": "off"}
    lights = [cl.operating_point(circuit, row, {}, in_).light("E2") for in_ in ((), ("K1",))]
    assert lights[0] > 0.25 > lights[1] and (lights[1] > 0.8 * lights[0]) == sure
    told = cl.row_of(circuit, row)
    assert told.verdict == "several stable" and told.cells["E1"].look == "several stable"
    assert (told.cells["E2"].look == "several stable") == (not sure)

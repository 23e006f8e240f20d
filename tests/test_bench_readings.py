"""The readings column of the build sheet: which rows it takes, and that each number is what a meter shows there."""

import re
from dataclasses import replace

import pytest

from circuitlab.arrangements import AddWire, LoseJoint, arrangement, arrangement_names, changed
from circuitlab.parts import Diode, Wire
from circuitlab.reasoning.bench_readings import bench_readings
from circuitlab.reasoning.leads import Reading
from circuitlab.solving import operating_point
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.views.build_sheet.lists import reading_text

from judges.kirchhoff import settle
from small_boards import flasher_board, old_tractor, straight_short
from test_build_sheet import heads, page, rows, words

LEFT = {"key": "on", "brake pedal": "held", "turn lever": "left"}


def column(made):
    """Return {wire: (volts at rest, volts in the row)} as the sheet has them."""
    first = page(build_sheet(made))[0]
    assert heads(first, "wires")[-2:] == ["V rest", "V row"]
    return {row[0]: tuple(row[-2:]) for row in rows(first, "wires")}, words(first)


def test_one_lamp_reads_what_is_reckoned_by_hand():
    """12.6 V up to the open switch and nothing behind it; closed, 12.4 to 12.6 V up to the lamp and next to nothing behind."""
    found, said = column(arrangement("one-fused-lamp"))
    assert {wire: cells[0] for wire, cells in found.items()} == {"W1": "12.6", "W2": "12.6", "W3": "0", "W4": "0", "W5": "0"}
    closed = {wire: float(cells[1]) for wire, cells in found.items()}
    assert all(12.3 < closed[wire] <= 12.6 for wire in ("W1", "W2", "W3")) and closed["W4"] < 0.1 and closed["W5"] < 0.1
    assert "10 megohm meter shows, black lead on G1:-" in said and "Row: lamp switch on." in said


@pytest.mark.in_turn(7, 3)
@pytest.mark.parametrize("name", arrangement_names())
def test_every_wire_has_what_a_meter_shows_at_its_end_in_both_rows(name):
    made = arrangement(name)
    expected = bench_readings(made)
    assert expected.rows[0] == made.positions() and expected.rows[1] != expected.rows[0] and expected.black == "G1:-"
    assert list(expected.readings) == [wire.name for wire in made.wires]
    for wire, taken in expected.readings.items():
        assert expected.red[wire] in made.part(wire).terminals and expected.red[wire] != "G1:-"
        for positions, readings in zip(expected.rows, taken):
            for reading in readings:
                point = operating_point(made, positions, reading.phases)
                assert reading.value == point.meter(expected.red[wire]) and reading.word == point.liveness(expected.red[wire])
    cells, _ = column(made)
    assert {wire: "/".join(dict.fromkeys(map(reading_text, taken[1]))) for wire, taken in expected.readings.items()} == \
        {wire: cell for wire, (_, cell) in cells.items()}


@pytest.mark.parametrize("name", ["separate-filaments", "shared-filament-four-relays", "insulated-body"])
def test_the_volts_are_those_of_kirchhoffs_laws(name):
    """An independent judge, without a meter: the same to 0.05 V, as no diode blocks there."""
    made = arrangement(name)
    expected = bench_readings(made)
    for positions, which in zip(expected.rows, (0, 1)):
        judge, volts = settle(made, positions, "on")
        for wire, taken in expected.readings.items():
            wanted, reading = judge.volts_of(expected.red[wire], volts), taken[which][-1]
            assert (wanted is None) == (reading.value is None), wire
            assert wanted is None or reading.value == pytest.approx(wanted, abs=0.05), wire


def test_the_row_is_the_one_that_tells_most_and_a_flasher_is_read_twice():
    found, said = column(arrangement("shared-filament-four-relays"))
    assert bench_readings(arrangement("shared-filament-four-relays")).rows[1] == LEFT
    assert any(cells[1].startswith("0/12.") or cells[1].startswith("0/11.") for cells in found.values())
    assert "between flashes" in said and "between flashes" not in column(arrangement("one-fused-lamp"))[1]


@pytest.mark.parametrize("made", [arrangement("shared-filament-four-relays"), old_tractor()], ids=lambda made: made.title)
def test_the_example_of_a_flash_is_the_widest_cell_of_the_sheet_itself(made):
    """With plus on the frame and 6 V nobody finds 12.0 on the sheet."""
    found, said = column(made)
    pairs = [cell for cells in found.values() for cell in cells if "/" in cell and "fl" not in cell]
    (example,) = re.findall(r"(\S+): between flashes and in a flash\.", said)
    volts = {cell: [float(one.replace("\N{MINUS SIGN}", "-").removesuffix(" g")) for one in cell.split("/")] for cell in pairs}
    assert abs(volts[example][1] - volts[example][0]) == max(abs(on - off) for off, on in volts.values())


def test_what_floats_and_what_may_be_a_ghost_is_said():
    found, said = column(arrangement("hazard-by-diodes"))
    assert found["W8"] == ("fl", "0.5") and "fl: floats, the display drifts by itself" in said
    assert "May be a ghost of up to 9.3 V where diodes leak much: W8, W16, W17." in said
    assert reading_text(Reading("E1:1", "G1:-", value=9.31, word="ghost")) == "9.3 g"
    leaky = changed(arrangement("hazard-by-diodes"))
    leaky = leaky.with_parts(*(replace(part, leakage=5e-6) for part in leaky.of_kind(Diode)))
    assert column(leaky)[0]["W16"][1].endswith(" g") and "g: a ghost, gone under a test lamp" in column(leaky)[1]


def test_plus_on_the_frame_reads_below_zero():
    found, said = column(old_tractor())
    assert found["W2"] == ("\N{MINUS SIGN}7.2", "\N{MINUS SIGN}7.1") and found["W1"][0] == "0" and "black lead on G1:+" in said


def test_a_circuit_without_steady_volts_at_rest_gets_no_column():
    short = changed(straight_short(), AddWire(Wire("W9", "S1:1", "S1:2")))
    first = page(build_sheet(short))[0]
    assert heads(first, "wires")[-1].startswith("AWG") and "No volts are given: at rest this circuit has none" in words(first)


def test_without_controls_there_is_only_rest_and_without_wires_nothing():
    lamp = arrangement("one-fused-lamp")
    alone = replace(lamp, controls=(), rule=(), parts=tuple(part for part in lamp.parts if part.name != "S1"),
                    wires=tuple(wire for wire in lamp.wires if wire.name not in ("W2", "W3")))
    assert len(bench_readings(alone).rows) == 1 and heads(page(build_sheet(alone))[0], "wires")[-1] == "V rest"
    assert bench_readings(replace(alone, wires=())).readings == {}


def test_a_lost_joint_is_read_where_it_stands():
    lost = changed(flasher_board(), LoseJoint("W5", "E1:2"))
    expected = bench_readings(lost)
    assert set(expected.readings) == {wire.name for wire in lost.wires}

"""Every row and every lamp of the kit's arrangements, against tables reasoned from the wiring by hand.

The tables in ``expected_rows`` were written before the solver could be asked.
"""

from itertools import product
from pathlib import Path

import pytest

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.parts import Lamp
from circuitlab.reasoning import lamp_table

FOLDER = Path(__file__).parent / "expected_rows"
NAMES = sorted(path.stem for path in FOLDER.glob("*.txt"))


def expected(name):
    """Return ``(controls, lamps, {positions: {lamp: look}})`` of a table file."""
    lines = [line for line in (FOLDER / f"{name}.txt").read_text(encoding="utf-8").splitlines()
             if line.strip() and not line.startswith("#")]
    head, *rows = [[cell.strip() for cell in line.split("|")] for line in lines]
    circuit = arrangement(name)
    width = len(circuit.controls)
    assert all(len(row) == len(head) for row in rows)
    looks = {tuple(row[:width]): dict(zip(head[width:], row[width:])) for row in rows}
    assert len(looks) == len(rows), "a row is there twice"
    return head[:width], head[width:], looks


def test_there_is_a_table_for_every_arrangement_of_the_kit_and_no_other():
    assert NAMES == arrangement_names()
    assert len(NAMES) == 8


@pytest.mark.parametrize("name", NAMES)
def test_the_table_has_every_combination_and_every_lamp(name):
    circuit = arrangement(name)
    controls, lamps, looks = expected(name)
    assert controls == [control.name for control in circuit.controls]
    assert lamps == [lamp.name for lamp in circuit.of_kind(Lamp)]
    assert set(looks) == set(product(*(control.positions for control in circuit.controls)))
    assert {look for row in looks.values() for look in row.values()} <= {"dark", "steady", "flashing"}


@pytest.mark.parametrize("name", NAMES)
def test_the_solver_agrees_in_every_row_and_every_lamp(name):
    controls, lamps, looks = expected(name)
    table = lamp_table(arrangement(name))
    found = {tuple(row.positions[control] for control in controls): row.cells for row in table.rows}
    assert set(found) == set(looks) and len(table.rows) == len(looks)
    wrong = [f"{positions} {lamp}: expected {looks[positions][lamp]}, got {cells[lamp].look}"
             for positions, cells in found.items() for lamp in lamps if cells[lamp].look != looks[positions][lamp]]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("name", [name for name in NAMES if name != "tied-stop-and-turn"])
def test_the_hand_reasoned_table_keeps_the_rule_in_the_file(name):
    circuit = arrangement(name)
    controls, _, looks = expected(name)
    for positions, row in looks.items():
        for lamp, look in row.items():
            assert circuit.wanted(lamp, dict(zip(controls, positions))) == look, (positions, lamp)


def test_the_tied_wires_break_the_rule_in_exactly_these_rows():
    """Reasoned: wherever the pedal is held (front lamps show stop, turns are hidden) or a turn flashes both sides."""
    circuit = arrangement("tied-stop-and-turn")
    assert circuit.rule == arrangement("shared-filament-rear-relays").rule
    controls, _, looks = expected("tied-stop-and-turn")
    broken = {positions for positions, row in looks.items()
              if any(circuit.wanted(lamp, dict(zip(controls, positions))) != look for lamp, look in row.items())}
    held = {positions for positions in looks if positions[1] == "held"}
    turning = {("on", "released", "left"), ("on", "released", "right")}
    assert broken == held | turning
    assert len(held) == 6

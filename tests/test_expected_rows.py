"""Every row and every lamp of the kit's arrangements, against tables reasoned from the wiring by hand.

The tables in ``expected_rows`` were written before the solver could be asked.
"""

from itertools import product
from pathlib import Path

import pytest

from circuitlab.arrangements import Hold, RemoveWire, ReplacePart, SwapTerminals, arrangement, arrangement_names, changed
from circuitlab.parts import Lamp, load_needing_flasher
from circuitlab.reasoning import flash, lamp_table
from circuitlab.solving import operating_point, run

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
    assert len(NAMES) >= 14


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


@pytest.mark.in_turn(11, 2)
@pytest.mark.parametrize("name", NAMES)
def test_the_time_course_agrees_in_every_row_and_every_lamp(name):
    """The same tables against filaments that warm and cool, and relays and flashers that take their time."""
    circuit = arrangement(name)
    controls, lamps, looks = expected(name)
    wrong = []
    for positions, row in looks.items():
        course = run(circuit, until=8.0, positions=dict(zip(controls, positions)))
        seen = {lamp: flash(course, lamp).look for lamp in lamps}
        wrong += [f"{positions} {lamp}: expected {row[lamp]}, got {seen[lamp]}" for lamp in lamps
                  if seen[lamp] != row[lamp]]
    assert not wrong, "\n".join(wrong)


def test_a_relay_with_87_and_87a_mixed_up_does_not_pass():
    """The comparison can fail: these two wires exchanged change rows of E1 and of no other lamp's rule."""
    _, _, looks = expected("shared-filament-four-relays")
    table = lamp_table(changed(arrangement("shared-filament-four-relays"), SwapTerminals("K1:87", "K1:87a")))
    wrong = {(tuple(row.positions.values()), lamp) for row in table.rows for lamp, cell in row.cells.items()
             if cell.look != looks[tuple(row.positions.values())][lamp]}
    assert {lamp for _, lamp in wrong} == {"E1"}
    assert (("on", "held", "left"), "E1") in wrong and (("off", "held", "off"), "E1") in wrong


# Arrangements that break the rule, with the rows in which they do: (key, brake pedal, turn lever). Reasoned, as the tables.
SIDES = ("left", "right")
BREAKS = {
    "tied-stop-and-turn": {(key, "held", lever) for key in ("off", "on") for lever in ("off", *SIDES)}
                          | {("on", "released", lever) for lever in SIDES},
    "tied-through-diodes": {("on", "held", lever) for lever in SIDES},             # stop hides the turn signal
    "combined-turn-stop-lever": {("off", "held", lever) for lever in SIDES},       # no stop on the lever's side
    "combined-turn-stop-lever-trailer": {("off", "held", lever) for lever in SIDES},
}
TOO_FAST = {  # arrangements whose looks are right and whose rate is not
    "led-lamps-no-load": {("on", pedal, lever) for pedal in ("released", "held") for lever in SIDES},
}


# Where the rule's line "S1:15: dead when key off" is broken, reasoned: the lever joins 15 to a line that is fed there. Stop on
# the tied turn wire comes as far as the flasher, which waits open.
AT_TERMINAL_15 = {
    "hazard-two-pole-switch": {("off", pedal, lever, "on") for pedal in ("released", "held") for lever in SIDES},  # coil line
}


@pytest.mark.in_turn(4, 1)
@pytest.mark.parametrize("name", NAMES)
def test_terminal_15_is_live_with_the_key_off_in_no_other_rows_than_these(name):
    """In the table of the whole arrangement and, row by row, under the test lamp."""
    circuit = arrangement(name)
    if "S1:15" not in circuit.terminals:
        assert circuit.ruled_terminals == () and name not in AT_TERMINAL_15
        return
    table = lamp_table(circuit)
    broken = {tuple(row.positions.values()) for row in table.rows
              if row.terminals and not row.terminals["S1:15"].keeps_rule}
    assert broken == AT_TERMINAL_15.get(name, set())
    off = [row for row in table.rows if row.positions["key"] == "off"]
    assert all(row.terminals.keys() == {"S1:15"} for row in off) and not any(
        row.terminals for row in table.rows if row not in off)
    lit = {tuple(row.positions.values()) for row in off
           if (operating_point(circuit, row.positions).test_lamp("S1:15") or 0.0) >= 1.0}
    assert lit == broken


@pytest.mark.parametrize("name", NAMES)
def test_the_hand_reasoned_table_breaks_the_rule_in_the_file_in_no_other_rows_than_these(name):
    circuit = arrangement(name)
    controls, _, looks = expected(name)
    broken = {positions for positions, row in looks.items()
              if any(circuit.wanted(lamp, dict(zip(controls, positions))) != look for lamp, look in row.items())}
    assert broken == BREAKS.get(name, set())


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


@pytest.mark.parametrize("lever", ["left", "right"])
def test_the_tied_wires_feed_back_to_the_flasher_and_no_further_as_the_table_says(lever):
    """With a two-pin flasher, which waits closed, they would feed the key's 15."""
    circuit = arrangement("tied-stop-and-turn")
    held = {"brake pedal": "held", "turn lever": lever}
    point = operating_point(circuit, held)
    assert point.is_live("K9:49a") and not point.is_live("S1:15") and point.volts("S1:15") > 1
    earth, = (wire.name for wire in circuit.wires if "K9:31" in wire.terminals)
    closed = changed(circuit, RemoveWire(earth), ReplacePart(load_needing_flasher("K9")))
    assert operating_point(closed, held).is_live("S1:15")
    assert not operating_point(circuit, {"turn lever": lever}).is_live("S1:15")
    assert not operating_point(arrangement("shared-filament-rear-relays"), held).is_live("S1:15")


@pytest.mark.parametrize("name", ["shared-filament-rear-relays-hazard", "shared-filament-four-relays-hazard"])
def test_hazard_does_not_feed_back_into_the_key_or_the_stop_line(name):
    for lever in ("off", "left", "right"):
        point = operating_point(arrangement(name), {"hazard": "on", "turn lever": lever})
        assert not point.is_live("S1:15") and not point.is_live("S4:15") and not point.is_live("X3:1")
        assert point.is_live("K9:49") and point.states["K1"] == point.states["K2"] == "operated"


@pytest.mark.parametrize("name", [name for name in NAMES if name.startswith("shared-filament")])
def test_without_the_fuse_of_lever_and_flasher_the_relays_fall_back_to_stop(name):
    circuit = changed(arrangement(name), Hold("F2", "blown"))
    point = operating_point(circuit, {"key": "on", "turn lever": "left", "brake pedal": "held"})
    assert point.states["K1"] == point.states["K2"] == "released"
    assert point.light("E1") > 0.5 and point.light("E2") > 0.5
    assert point.light("E3") == pytest.approx(0.0, abs=1e-6)

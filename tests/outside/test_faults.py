"""Published truths about faults, checked on circuits built for the purpose, each beside a planted opposite."""

import pytest

from circuitlab.arrangements import Hold, LoseJoint, Short, arrangement, arrangement_names, changed
from circuitlab.arrangements.rows import rows_of
from circuitlab.parts import Battery, Chassis, Control, Fuse, Lamp, Resistor, Splice, toggle
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.solving import operating_point

from outside.small_circuits import circuit

SWITCH = [Control("switch", ("off", "on"))]
GROUND_FAULT = "Lessons in Electric Circuits, Digital, ladder logic: ground fault on the wire between switch and load"


def switch_and_lamp(switch_first):
    """Battery, fuse, switch and lamp with the minus pole on metal, either order of switch and lamp."""
    parts = [Battery("G1"), Fuse("F1", 10), toggle("S1", "switch"), Lamp("E1"), Chassis("X1")]
    first, second = ("S1", "E1") if switch_first else ("E1", "S1")
    return circuit(parts, [("G1:+", "F1:1"), ("F1:2", f"{first}:1"), (f"{first}:2", f"{second}:1"),
                           (f"{second}:2", "X1:1"), ("X1:2", "G1:-")], controls=SWITCH)


def between(board):
    """The wire between switch and lamp touches metal."""
    return Short("S1:2" if board.part("W2").end == "S1:1" else "E1:2", "X1")


@pytest.mark.outside(GROUND_FAULT)
def test_a_ground_fault_behind_the_switch_blows_the_fuse_when_it_closes_and_never_lights_the_lamp():
    board = switch_and_lamp(True)
    line = fault_table(board, faults=[between(board)]).lines[0]
    rest, closed = (rows_of(board).index({"switch": position}) for position in ("off", "on"))
    assert line.effects[rest].worst == "no effect"
    assert "F1 blows" in line.effects[closed].reasons and "E1 stays dark" in line.effects[closed].reasons


@pytest.mark.outside(GROUND_FAULT)
def test_with_the_lamp_on_the_live_side_the_same_fault_lights_it_whatever_the_switch_does():
    board = switch_and_lamp(False)
    line = fault_table(board, faults=[between(board)]).lines[0]
    rest, closed = (rows_of(board).index({"switch": position}) for position in ("off", "on"))
    assert (
        line.effects[rest].reasons[0] == "E1 is steady and shall be dark" and line.effects[rest].worst == "wrong signal"
    )
    assert line.effects[closed].worst == "no effect"


@pytest.mark.outside(
    "OpenStax College Physics 2e, 21.2: starter 0.0500 ohm, battery 12.0 V with 0.0100 ohm, corroded joint "
    "of 0.0900 ohm: 200 A and 10.0 V become 80.0 A and 4.0 V"
)
def test_a_corroded_joint_starves_a_starter_as_the_textbook_says():
    """Wires as good as none: what joints and copper are left with is taken off the load."""
    board = circuit(
        [Battery("G1", 12.0, 0.01), Resistor("R1", 0.05)], [("G1:+", "R1:1"), ("R1:2", "G1:-")], controls=()
    )
    spare = sum(wire.resistance for wire in board.wires)
    healthy = board.with_parts(Resistor("R1", 0.05 - spare))
    before = operating_point(healthy)
    wire = healthy.wires[0]
    after = operating_point(changed(healthy, LoseJoint(wire.name, wire.end, wire.end_joint + 0.09)))
    assert before.current("R1") == pytest.approx(200.0, rel=1e-6) and after.current("R1") == pytest.approx(
        80.0, rel=1e-6
    )
    assert before.across("G1:+", "G1:-") == pytest.approx(10.0) and after.across("G1:+", "G1:-") == pytest.approx(11.2)
    assert after.current("R1") * 0.05 == pytest.approx(4.0)


SHARED = [name for name in arrangement_names() if name.startswith("shared-filament-")]


@pytest.mark.in_turn(4, 1)
@pytest.mark.outside(
    "SAE J586 FEB84 par. 5.4.2 and FMVSS 108 (old S5.5.4): the stop signal is lit as long as the service brake "
    "is applied, the turn signal in its lamp overriding it"
)
@pytest.mark.parametrize("name", SHARED)
def test_what_takes_the_stop_signal_only_while_turning_stands_first(name):
    """A dead flasher and an open 87 leave neither turn nor stop on that side: the worst a shared filament can do."""
    cart = arrangement(name)
    (to_87,) = cart.wires_at["K1:87"]
    asked = [fault for fault in single_faults(cart, ["dead flasher", "open wire", "blown lamp", "blown fuse"])]
    table = fault_table(cart, faults=asked)
    first = {line.fault.words for line in table.lines if line.hides}
    assert {"flasher K9 dead, its output never on", f"{to_87} open at K1:87"} <= first
    assert {line.fault.words for line in table.lines[:len(first)]} == first
    assert "E1 blown" not in first and "F1 blown" not in first      # these any check of the pedal finds


def test_a_separate_stop_lamp_loses_nothing_to_the_flasher():
    """The planted opposite: with filaments of their own no fault of the flasher hides the stop signal."""
    table = fault_table(arrangement("separate-filaments"), faults=[Hold("K9", "off")])
    assert not table.lines[0].hides and table.lines[0].worst == "signal lost"


def test_a_lost_common_ground_sends_current_backwards_through_a_dark_lamp():
    """Common practice: lamps whose shared ground is lost seek it through each other, and both glow in series."""
    parts = [
        Battery("G1"),
        Fuse("F1", 10),
        toggle("S1", "switch"),
        Lamp("E1", watts=5.0),
        Lamp("E2", watts=5.0),
        Splice("X2"),
        Splice("X3", 3),
        Chassis("X1", 3),
    ]
    board = circuit(parts, [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "X3:1"), ("E2:2", "X3:2"),
                            ("X3:3", "X1:1"), ("E2:1", "X1:3"), ("X1:2", "G1:-")], controls=SWITCH)
    white = next(wire.name for wire in board.wires if "X3:3" in wire.terminals)
    line = fault_table(board, faults=[LoseJoint(white, "X1:1")]).lines[0]
    seen = line.effects[rows_of(board).index({"switch": "on"})]
    assert seen.worst == "wrong signal" and any(reason.startswith("E2 is dim") for reason in seen.reasons)

"""Every row of every arrangement of the kit, in both flasher phases: against the independent judge; conservation."""

from dataclasses import replace
from itertools import product

import pytest

from circuitlab.arrangements import Hold, LoseJoint, SetAmbient, arrangement, arrangement_names, changed
from circuitlab.parts import Flasher
from circuitlab.solving import operating_point

from judges.kirchhoff import settle

NAMES = arrangement_names()


def points(circuit):
    """Yield (positions, phase) of every row, both phases where there is a flasher."""
    names = [control.name for control in circuit.controls]
    phases = ("on", "off") if circuit.of_kind(Flasher) else ("on",)
    for positions in product(*(control.positions for control in circuit.controls)):
        for phase in phases:
            yield dict(zip(names, positions)), phase


def compare(circuit, positions, phase):
    """Assert that the kit and the judge agree on states, volts to 1e-8 V and currents to 1e-6 A.

    The currents' tolerance is the judge's own: he takes them as differences of volts over 2 mohm.
    Where junctions block, a point may hang on 1 nS alone; there the 5e-13 A
    that the judge's equations leave over are as much as 5e-4 V; 1e-5 V is what has been seen.
    """
    near = 1e-5 if any(part.kind in ("diode", "LED lamp") for part in circuit.parts) else 1e-8
    judge, volts = settle(circuit, positions, phase)
    point = operating_point(circuit, positions, phase)
    assert point.is_settled
    assert {name: state for name, state in point.states.items() if circuit.part(name) in circuit.parts} == judge.states
    for terminal in circuit.terminals:
        wanted = judge.volts_of(terminal, volts)
        found = point.volts(terminal)
        assert (found is None) == (wanted is None), f"{terminal} floats in one of the two only"
        assert wanted is None or found == pytest.approx(wanted, abs=near), terminal
    for element in judge.inside:
        found = point.current(element.owner, element.order)
        assert found == pytest.approx(judge.amps(element, volts), abs=1e-6), element


@pytest.mark.in_turn(7, 4)
@pytest.mark.parametrize("part", [0, pytest.param(1, marks=pytest.mark.full)], ids=["even", "odd"])
@pytest.mark.parametrize("name", NAMES)
def test_every_row_agrees_with_kirchhoffs_laws_solved_by_scipy(name, part):
    """Every second row or phase here, the others in the long run."""
    for positions, phase in list(points(arrangement(name)))[part::2]:
        compare(arrangement(name), positions, phase)


CART = arrangement("shared-filament-four-relays")
FAULTS = {
    "a corroded frame joint": LoseJoint(CART.wires_at["G1:-"][0], "G1:-", 0.05),
    "a lost lamp ground": LoseJoint(CART.wires_at["E1:2"][0], "E1:2"),
    "a blown fuse": Hold("F2", "blown"), "a welded relay": Hold("K1", "operated"), "a lamp out": Hold("E3", "blown")}


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("fault", FAULTS)
def test_faulty_circuits_agree_too(fault):
    cart = changed(CART, FAULTS[fault])
    for positions, phase in points(cart):
        compare(cart, positions, phase)


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("celsius", [-30.0, 85.0])
def test_cold_and_hot_circuits_agree_too(celsius):
    """With a lamp that gets little, where a filament feels what is round it."""
    cart = changed(CART, SetAmbient(celsius), LoseJoint(CART.wires_at["E1:2"][0], "E1:2", 40.0))
    for positions, phase in points(cart):
        compare(cart, positions, phase)


@pytest.mark.in_turn(3, 1)
@pytest.mark.parametrize("name", NAMES)
def test_current_is_conserved_at_every_terminal_and_power_in_the_whole(name):
    """Currents to 1e-9 A: rounding of volts near 13 V over 2 mohm. Power to 1e-7 of what the battery gives."""
    circuit = arrangement(name)
    for positions, phase in points(circuit):
        point = operating_point(circuit, positions, phase)
        check_currents(circuit, point)
        check_power(circuit, point)


def terminal_of(name, end):
    """Return a terminal with the name of its part; of one filament of two that of its holder."""
    return end if ":" in end else f"{name.partition('.')[0]}:{end}"


def check_currents(circuit, point):
    left_over = {}
    for part in circuit.parts + circuit.wires:
        for order, branch in enumerate(part.branches()):
            amps = point.current(part.name, order)
            for end, sign in ((branch.start, -1), (branch.end, 1)):
                metal = terminal_of(part.name, end)
                if circuit.part(metal.partition(":")[0]).merged:
                    metal = metal.partition(":")[0]
                left_over[metal] = left_over.get(metal, 0.0) + sign * amps
    assert max(map(abs, left_over.values())) < 1e-9, max(left_over.items(), key=lambda item: abs(item[1]))


def check_power(circuit, point):
    """What the battery gives is the volts times the amperes of all the rest, its own inner resistance included."""
    given = taken = 0.0
    for part in circuit.parts + circuit.wires:
        for order, branch in enumerate(part.branches()):
            amps = point.current(part.name, order)
            given += branch.voltage * amps
            if part.kind in ("battery", "chassis"):   # the metal of the chassis is no terminal
                taken += branch.resistance * amps**2
            elif amps:
                start, end = (terminal_of(part.name, end) for end in (branch.start, branch.end))
                taken += amps * point.across(start, end)
    assert taken == pytest.approx(given, rel=1e-7, abs=1e-9)


def test_the_judge_is_not_pleased_by_a_wrong_wire():
    """The comparison itself can fail: the same row, one wire of the judged circuit a tenth longer."""
    cart = arrangement("one-fused-lamp")
    longer = cart.with_parts(replace(cart.part("W2"), length=cart.part("W2").length * 1.1))
    judge, volts = settle(longer, {"lamp switch": "on"}, "on")
    point = operating_point(cart, {"lamp switch": "on"})
    assert abs(point.volts("E1:1") - judge.volts_of("E1:1", volts)) > 1e-4


@pytest.mark.in_turn(3, 2)
@pytest.mark.parametrize("name", NAMES)
def test_the_order_in_which_parts_and_wires_are_listed_does_not_matter(name):
    """To 1e-9 V: the elimination runs in another order, and Newton's last step leaves some 1e-10 V."""
    circuit = arrangement(name)
    minus = circuit.battery
    turned = replace(circuit, parts=(minus, *(part for part in reversed(circuit.parts) if part != minus)),
                     wires=circuit.wires[::-1])
    for positions, phase in points(circuit):
        one, other = operating_point(circuit, positions, phase), operating_point(turned, positions, phase)
        assert one.states == other.states
        for terminal in circuit.terminals:
            assert one.volts(terminal) == pytest.approx(other.volts(terminal), abs=1e-9)

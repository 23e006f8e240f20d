"""Linear circuits against exact fractions (sympy), graph theory (networkx) and the laws every network keeps.

Random circuits come from fixed seeds or from hypothesis with its examples fixed, so every run sees the same ones.
"""

from dataclasses import replace
from fractions import Fraction
from random import Random

import networkx
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from circuitlab.arrangements import SetValue, changed
from circuitlab.parts import Battery, Resistor
from circuitlab.solving import operating_point

from judges.linear_networks import network, random_network

EXAMPLES = settings(max_examples=40, deadline=None, derandomize=True, database=None)


# --- exact fractions -----------------------------------------------------------------------------------------------

def exact_volts(circuit):
    """Return the volts of every terminal in exact fractions, splices as one point. [V]"""
    def point(terminal):
        return terminal.partition(":")[0] if terminal.startswith("X") else terminal
    ways = [(point(f"{part.name}:1"), point(f"{part.name}:2"), Fraction(part.resistance), Fraction(0))
            for part in circuit.of_kind(Resistor)]
    ways += [(point(f"{part.name}:-"), point(f"{part.name}:+"), Fraction(part.internal_resistance),
              Fraction(part.voltage)) for part in circuit.of_kind(Battery)]
    ways += [(point(wire.start), point(wire.end), Fraction(wire.resistance), Fraction(0)) for wire in circuit.wires]
    zero = "G1:-"
    names = sorted({name for start, end, *_ in ways for name in (start, end)} - {zero})
    number = {name: order for order, name in enumerate(names)}
    size = len(names)
    matrix, right = [[Fraction(0)] * size for _ in range(size)], [Fraction(0)] * size
    for start, end, ohms, force in ways:
        for here, there, sign in ((start, end, 1), (end, start, -1)):
            if here != zero:
                matrix[number[here]][number[here]] += 1 / ohms
                if there != zero:
                    matrix[number[here]][number[there]] -= 1 / ohms
                right[number[here]] -= sign * force / ohms
    a = DomainMatrix([[QQ(x.numerator, x.denominator) for x in row] for row in matrix], (size, size), QQ)
    b = DomainMatrix([[QQ(x.numerator, x.denominator)] for x in right], (size, 1), QQ)
    solved = a.lu_solve(b).to_Matrix()
    volts = {name: Fraction(int(solved[order].p), int(solved[order].q)) for name, order in number.items()}
    volts[zero] = Fraction(0)
    return {terminal: volts[point(terminal)] for terminal in circuit.terminals if point(terminal) in volts}


@pytest.mark.parametrize("seed", range(12))
def test_one_battery_networks_agree_with_exact_fractions_however_stiff(seed):
    """Resistances over twelve decades, volts to 1e-12 of themselves, tiny ones included: nothing is ever subtracted."""
    circuit = random_network(Random(seed), junctions=7)
    point = operating_point(circuit)
    for terminal, exact in exact_volts(circuit).items():
        found = Fraction(point.volts(terminal))
        assert abs(found - exact) <= abs(exact) * Fraction(1, 10**12), (terminal, float(found), float(exact))


@pytest.mark.parametrize("seed", range(6))
def test_networks_of_several_batteries_agree_with_exact_fractions(seed):
    """To 1e-12 of the greatest voltage: where batteries work against each other their shares do cancel."""
    circuit = random_network(Random(100 + seed), junctions=6, least=1e-2, most=1e5, batteries=3)
    point, exact = operating_point(circuit), exact_volts(circuit)
    greatest = max(map(abs, exact.values()))
    for terminal, volts in exact.items():
        assert abs(Fraction(point.volts(terminal)) - volts) <= greatest * Fraction(1, 10**12)


def test_the_fractions_find_a_last_place_that_is_wrong():
    """One resistor in 1e10 off is found: the comparison is as sharp as it says."""
    circuit = random_network(Random(3), junctions=7, least=1.0, most=1e3)
    part = circuit.part("R1")
    other = changed(circuit, SetValue("R1", "resistance", part.resistance * (1 + 1e-10)))
    point = operating_point(circuit)
    assert any(abs(Fraction(point.volts(terminal)) - exact) > abs(exact) * Fraction(1, 10**12)
               for terminal, exact in exact_volts(other).items())


# --- graph theory --------------------------------------------------------------------------------------------------

def between_battery_terminals(circuit):
    """Return what the battery's outside has, from its volts and current. [ohm]"""
    point = operating_point(circuit)
    return point.volts("G1:+") / point.current("G1")


@pytest.mark.parametrize("seed", range(12))
def test_the_resistance_the_battery_sees_is_the_graphs_resistance_distance(seed):
    """To 1e-9: networkx takes a pseudoinverse in floating point."""
    circuit = random_network(Random(200 + seed), junctions=9, least=0.5, most=500.0)
    graph = networkx.MultiGraph()
    for part in circuit.of_kind(Resistor):
        graph.add_edge(f"{part.name}:1", f"{part.name}:2", ohms=part.resistance)
    for wire in circuit.wires:
        ends = [end.partition(":")[0] if end.startswith("X") else end for end in wire.terminals]
        graph.add_edge(*ends, ohms=wire.resistance)
    distance = networkx.resistance_distance(graph, "G1:+", "G1:-", weight="ohms")
    assert between_battery_terminals(circuit) == pytest.approx(distance, rel=1e-9)


# --- laws ----------------------------------------------------------------------------------------------------------

ohm = st.floats(1e-2, 1e6)


@st.composite
def networks(draw):
    """Draw a connected network of 3 to 7 junctions with one battery on junctions 0 and 1."""
    junctions = draw(st.integers(3, 7))
    resistors = [(draw(st.integers(0, number - 1)), number, draw(ohm)) for number in range(1, junctions)]
    for _ in range(draw(st.integers(1, 6))):
        one, other = draw(st.integers(0, junctions - 1)), draw(st.integers(0, junctions - 1))
        if one != other:
            resistors.append((one, other, draw(ohm)))
    return junctions, resistors, (draw(st.floats(1, 60)), draw(st.floats(0.001, 10)))


def built(drawn, minus=0, plus=1):
    junctions, resistors, (volts, inner) = drawn
    return network(junctions, resistors, [(minus, plus, volts, inner)])


@EXAMPLES
@given(networks())
def test_what_flows_into_a_junction_flows_out(drawn):
    circuit = built(drawn)
    point = operating_point(circuit)
    for junction in range(drawn[0]):
        into = [point.current(wire.name) for wire in circuit.wires if wire.start.startswith(f"X{junction}:")]
        greatest = max(map(abs, into), default=0.0)
        assert abs(sum(into)) <= 1e-9 + 1e-9 * greatest     # rounding of up to 60 V over 2 mohm


@EXAMPLES
@given(networks())
def test_the_power_given_is_the_power_turned_to_heat(drawn):
    circuit = built(drawn)
    point = operating_point(circuit)
    given_ = drawn[2][0] * point.current("G1")
    heat = sum(point.current(part.name) ** 2 * part.branches()[0].resistance
               for part in (*circuit.of_kind(Resistor), *circuit.of_kind(Battery), *circuit.wires))
    assert heat == pytest.approx(given_, rel=1e-6)


@EXAMPLES
@given(networks())
def test_no_junction_lies_beyond_the_battery(drawn):
    """The greatest and the least volts are at the battery."""
    circuit = built(drawn)
    point = operating_point(circuit)
    top = point.volts("G1:+")
    assert all(-1e-12 <= point.volts(terminal) <= top * (1 + 1e-12) for terminal in circuit.terminals
               if point.volts(terminal) is not None)


@EXAMPLES
@given(networks(), st.data())
def test_what_a_battery_does_elsewhere_it_would_suffer_from_there(drawn, data):
    """Reciprocity: current in a far bar from a battery here equals the current here from that battery there."""
    junctions, resistors, (volts, inner) = drawn
    far = data.draw(st.integers(2, junctions - 1))
    there_pair = (far, (far + 1) % junctions)
    here = network(junctions, resistors, [(0, 1, volts, inner), (*there_pair, 0.0, inner)])
    there = network(junctions, resistors, [(0, 1, 0.0, inner), (*there_pair, volts, inner)])
    one, other = operating_point(here).current("G2"), operating_point(there).current("G1")
    assert one == pytest.approx(other, rel=1e-8, abs=1e-9)


@EXAMPLES
@given(networks(), st.integers(0, 20), st.floats(1.01, 1000))
def test_more_resistance_anywhere_never_makes_the_whole_less(drawn, which, factor):
    """Rayleigh's law."""
    circuit = built(drawn)
    part = circuit.of_kind(Resistor)[which % len(circuit.of_kind(Resistor))]
    assume(part.resistance * factor <= 1e9)
    more = circuit.with_parts(replace(part, resistance=part.resistance * factor))
    assert between_battery_terminals(more) >= between_battery_terminals(circuit) * (1 - 1e-12)


@EXAMPLES
@given(networks(), st.randoms(use_true_random=False))
def test_other_names_and_another_order_give_the_same_answer(drawn, random):
    junctions, resistors, battery = drawn
    circuit = built(drawn)
    order = list(range(len(resistors)))
    random.shuffle(order)
    place = list(range(2, junctions))
    random.shuffle(place)
    moved = [0, 1, *place]                    # junction numbers are names too; the battery stays on 0 and 1
    shuffled = built((junctions, [(moved[a], moved[b], ohms) for a, b, ohms in (resistors[i] for i in order)], battery))
    one, other = operating_point(circuit), operating_point(shuffled)
    for new, old in enumerate(order, start=1):
        assert other.current(f"R{new}") == pytest.approx(one.current(f"R{old + 1}"), rel=1e-8, abs=1e-10)
        for end in "12":
            assert other.volts(f"R{new}:{end}") == pytest.approx(one.volts(f"R{old + 1}:{end}"), rel=1e-11, abs=1e-12)


@EXAMPLES
@given(networks(), st.floats(1, 60), st.floats(1, 60))
def test_two_batteries_together_do_what_each_does_alone(drawn, first, second):
    """Superposition."""
    junctions, resistors, (_, inner) = drawn

    def amps(one, other):
        point = operating_point(network(junctions, resistors, [(0, 1, one, inner), (1, 2, other, inner)]))
        return [point.current(f"R{number}") for number in range(1, len(resistors) + 1)]
    for both, one, other in zip(amps(first, second), amps(first, 0.0), amps(0.0, second)):
        assert both == pytest.approx(one + other, rel=1e-7, abs=1e-8)

"""Independent judges of formulas, ways and cuts: sympy for the Boolean part, networkx for the graph, written down anew.

The contact network is stated again here, kind by kind, from the parts' own fields; relays are found by letting coils
and contacts chase each other, not by putting formulas into formulas.
"""

from itertools import combinations, product
from random import Random

import networkx
import pytest
from sympy import And, Not, Or, Symbol, simplify_logic
from sympy.logic.boolalg import BooleanFalse, BooleanTrue, Equivalent, SOPform

from circuitlab.arrangements import Hold, LoseJoint, SwapTerminals, arrangement, arrangement_names, changed
from circuitlab.arrangements.reachable import cut, ways
from circuitlab.parts import Lamp
from circuitlab.reasoning import lamp_logic
from circuitlab.reasoning.conditions import Condition

from small_boards import relay_board
from judges.two_filaments import end_of
from outside.test_signal_rules import LADDERS, ladder

NAMES = arrangement_names()
FAULTS = [SwapTerminals("K1:87", "K1:87a"), Hold("K1", "operated"), Hold("K9", "off"), LoseJoint("W22", "E1:1"),
          Hold("S2", "held"), Hold("F2", "blown")]


# --- the contact network, written down anew ------------------------------------------------------------------------

def edges(circuit, states, every=False):
    """Yield (name, one, other, both ways) of whatever conducts and is no load; with ``every``, open contacts too."""
    for part in circuit.parts:
        state, here = states[part.name], lambda terminal, part=part: f"{part.name}:{terminal}"
        if part.kind == "fuse" and state == "whole":
            yield part.name, here("1"), here("2"), True
        elif part.kind == "switch":
            closes = dict(part.closes)
            pairs = {pair for pairs in closes.values() for pair in pairs} if every else closes.get(state, ())
            for one, two in pairs:
                yield part.name, here(one), here(two), True
        elif part.kind == "relay":
            if every or state == "operated":
                yield part.name, here("30"), here("87"), True
            if every or state == "released":
                yield part.name, here("30"), here("87a"), True
        elif part.kind == "converter" and part.type == "unpowered":
            yield part.name, here("58"), here("58t"), True
        elif part.kind == "channel" and (every or state == "on"):
            side = part.name[-2:-1]
            for fed in ("54", side) if "30" not in circuit.part(part.seat).terminals else ("30",):
                yield part.name, f"{part.seat}:{fed}", f"{part.seat}:{part.name.partition('.')[2]}", fed == "30"
        elif part.kind == "flasher" and (every or state == "on"):
            yield part.name, here("49"), here("49a"), True
        elif part.kind == "diode":
            yield part.name, here("A"), here("K"), False
        elif part.kind == "splice":
            for one, two in combinations(part.terminals, 2):
                yield part.name, here(one), here(two), True
        elif part.kind == "connector" and (every or state == "mated"):
            for pin in {end[:-1] for end in part.terminals}:
                yield part.name, here(f"{pin}s"), here(f"{pin}p"), True
        elif part.kind == "chassis":
            for stud in part.terminals:
                yield part.name, here(stud), here("body"), True
    for wire in circuit.wires:
        if wire.start_joint + wire.end_joint < float("inf"):
            yield wire.name, wire.start, wire.end, True


def reaches(circuit, states, start, barred):
    """Return every terminal that plus (or, backwards, minus) reaches without passing the other pole."""
    near, forwards = {}, start.endswith("+")
    for _, one, two, both in edges(circuit, states):
        one, two = (one, two) if forwards else (two, one)
        near.setdefault(one, set()).add(two)
        if both:
            near.setdefault(two, set()).add(one)
    reached, ahead = {start}, [start]
    while ahead:
        for other in near.get(ahead.pop(), ()):
            if other not in reached and other != barred:
                reached.add(other)
                ahead.append(other)
    return reached


def lit(circuit, positions, phases):
    """Return which lamps contacts light in a row, or None when coils and contacts do not come to rest."""
    held = dict(circuit.held)
    states = {}
    for part in circuit.parts:
        first = positions[part.control] if part.kind == "switch" else \
            phases[part.name] if part.kind == "flasher" else part.states[0]
        states[part.name] = held.get(part.name, first)
    for _ in range(12):
        plus, minus = reaches(circuit, states, "G1:+", "G1:-"), reaches(circuit, states, "G1:-", "G1:+")
        after = dict(states)
        for part in circuit.parts:
            if part.kind == "relay" and part.name not in held:
                a, b = f"{part.name}:86", f"{part.name}:85"
                drawn = a in plus and b in minus or b in plus and a in minus
                after[part.name] = "operated" if drawn else "released"
            if part.kind == "channel" and part.name not in held:
                side, at = part.name[-2:-1], lambda end, part=part: f"{part.seat}:{end}"
                told = {"L": (at("54") in plus) ^ (at("L") in plus), "R": (at("54") in plus) ^ (at("R") in plus), "8": at("58") in plus}
                supplied = at("31") in minus and ("30" not in circuit.part(part.seat).terminals or at("30") in plus)
                after[part.name] = "on" if supplied and told[side] else "off"
        if after == states:
            return {lamp.name for lamp in circuit.of_kind(Lamp) if states[lamp.name] == "whole"
                    for one, two in [[end_of(lamp.name, end) for end in "12"]] if one in plus and two in minus or lamp.kind == "lamp" and two in plus and one in minus}
        states = after
    return None


def rows(circuit):
    """Yield every row with every combination of phases."""
    names = [control.name for control in circuit.controls]
    flashers = [part.name for part in circuit.parts if part.kind == "flasher"]
    for row in product(*(control.positions for control in circuit.controls)):
        for phases in product(("on", "off"), repeat=len(flashers)):
            yield dict(zip(names, row)), dict(zip(flashers, phases))


def agree(circuit):
    """Assert that every formula says what the contacts, chased anew, say; return how often a lamp was lit."""
    logic, count = lamp_logic(circuit, compare=False), 0
    for positions, phases in rows(circuit):
        shining = lit(circuit, positions, phases)
        for one in logic.lamps:
            assert one.condition.holds({**positions, **phases}) == (one.lamp in shining), (positions, phases, one.lamp)
            count += one.lamp in shining
    return count


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", NAMES)
def test_formulas_agree_with_contacts_chased_anew_in_every_row(name):
    assert agree(arrangement(name)) > 0


@pytest.mark.parametrize("fault", FAULTS, ids=str)
def test_formulas_of_broken_arrangements_agree_too(fault):
    assert agree(changed(arrangement("shared-filament-four-relays"), fault)) > 0


@pytest.mark.parametrize("name", LADDERS)
def test_formulas_of_contact_ladders_agree(name):
    branches, inverted, wanted = LADDERS[name]
    agree(ladder(branches, inverted))
    condition = lamp_logic(ladder(branches, inverted), compare=False).lamp("E1").condition
    assert tuple(int(condition.holds({"A": a, "B": b})) for a in ("off", "on") for b in ("off", "on")) == wanted


def test_the_judge_can_disagree():
    """With the formula of another arrangement it must."""
    sound, broken = relay_board(), changed(relay_board(), SwapTerminals("K1:87", "K1:87a"))
    logic = lamp_logic(broken, compare=False)
    assert any(one.condition.holds(positions) != (one.lamp in lit(sound, positions, {}))
               for positions, _ in rows(sound) for one in logic.lamps)


# --- sympy ---------------------------------------------------------------------------------------------------------

def expression(condition):
    """Return a condition as a sympy expression, one symbol for each value of a variable."""
    return Or(*(And(*(Or(*(Symbol(f"{name}={value}") for value in sorted(allowed))) for name, allowed in term.items()))
                for term in condition.terms))


def two_valued(condition):
    """Return a condition whose variables have two values each as a sympy expression, one symbol for each variable."""
    values = dict(condition.domain)
    return Or(*(And(*(Symbol(name) if allowed == {values[name][1]} else Not(Symbol(name))
                      for name, allowed in term.items())) for term in condition.terms))


@pytest.mark.in_turn(7, 2)
@pytest.mark.parametrize("name", NAMES)
def test_sympy_finds_formula_and_exhaustive_truth_table_equal(name):
    """The truth table comes from chasing contacts; sympy evaluates the formula row by row."""
    circuit = arrangement(name)
    logic = lamp_logic(circuit, compare=False)
    written = {one.lamp: expression(one.condition) for one in logic.lamps}
    values = dict(logic.lamps[0].condition.domain)
    for positions, phases in rows(circuit):
        shining = lit(circuit, positions, phases)
        where = {**positions, **phases}
        symbols = {Symbol(f"{variable}={value}"): where.get(variable) == value
                   for variable, every in values.items() for value in every}
        for lamp, formula in written.items():
            got = formula if isinstance(formula, (BooleanTrue, BooleanFalse)) else formula.subs(symbols)
            assert bool(got) == (lamp in shining), (where, lamp)


@pytest.mark.parametrize("seed", range(40))
def test_and_or_not_and_shortest_are_equivalent_for_sympy(seed):
    chance = Random(seed)
    domain = tuple((name, ("0", "1")) for name in "abcd")

    def random_condition():
        return Condition(domain, tuple({name: frozenset({chance.choice("01")})
                                        for name in chance.sample("abcd", chance.randint(1, 3))}
                                       for _ in range(chance.randint(0, 5))))

    one, two = random_condition(), random_condition()
    for ours, theirs in ((one | two, Or(two_valued(one), two_valued(two))),
                         (one & two, And(two_valued(one), two_valued(two))), (~one, Not(two_valued(one))),
                         (one.shortest(), two_valued(one))):
        assert simplify_logic(Equivalent(two_valued(ours), theirs), force=True) == True  # noqa: E712
    minterms = [[int(row[name]) for name in "abcd"] for row in (dict(zip("abcd", values))
                for values in product("01", repeat=4)) if one.holds(row)]
    theirs = SOPform([Symbol(name) for name in "abcd"], minterms)
    terms = 0 if theirs in (BooleanFalse(), False) else len(theirs.args) if isinstance(theirs, Or) else 1
    assert terms <= len(one.shortest().terms) <= terms + 1, "a least sum, or one term more"


# --- ways and cuts against networkx --------------------------------------------------------------------------------

def graph_of(circuit):
    """Return every contact, open or closed, as a graph in which wires and contacts are nodes; a splice is one point."""
    graph = networkx.DiGraph()
    states = {part.name: "whole" if part.kind == "fuse" else part.states[0] for part in circuit.parts}
    point = {f"{part.name}:{end}": part.name for part in circuit.parts if part.kind == "splice" for end in part.terminals}
    for number, (name, one, two, both) in enumerate(edges(circuit, states, every=True)):
        one, two = point.get(one, one), point.get(two, two)
        for here, there in ((one, two), (two, one))[:(2 if both else 1) if one != two else 0]:
            graph.add_edge(here, (number, name))
            graph.add_edge((number, name), there)
    return graph


@pytest.mark.parametrize("name", NAMES)
def test_every_simple_path_of_networkx_is_a_way_and_no_other(name):
    circuit = arrangement(name)
    graph = graph_of(circuit)
    splices = {part.name for part in circuit.parts if part.kind == "splice"}
    for lamp in circuit.of_kind(Lamp):
        theirs = sorted(tuple(node[1] for node in path if isinstance(node, tuple))
                        for path in networkx.all_simple_paths(graph, "G1:+", end_of(lamp.name, "1")))
        ours = sorted(tuple(link.name for link in way if link.name not in splices)
                      for way in ways(circuit, "G1:+", end_of(lamp.name, "1")))
        assert ours == theirs and ours


@pytest.mark.parametrize("name", NAMES)
def test_a_cut_cuts_and_none_is_smaller(name):
    """Once cut nothing is joined; no single opening does where two are told, and so on; and networkx counts the same."""
    circuit = arrangement(name)
    lamp = circuit.of_kind(Lamp)[0].name
    found = cut(circuit, "G1:+", end_of(lamp, "1"))
    graph = graph_of(circuit)
    number_of = {}
    states = {part.name: part.states[0] for part in circuit.parts}
    for number, (owner, one, two, _) in enumerate(edges(circuit, states, every=True)):
        number_of[owner, frozenset({one, two})] = (number, owner)
    openings = [node for node in graph if isinstance(node, tuple) and not node[1].startswith("X")]

    def joined(without):
        left = graph.subgraph(set(graph) - set(without))
        return networkx.has_path(left, "G1:+", end_of(lamp, "1"))

    assert joined([]) and not joined([number_of[link.name, frozenset({link.start, link.end})] for link in found])
    for fewer in combinations(openings, len(found) - 1):
        assert joined(fewer)

"""Meter and test lamp before a judge who puts them in as real branches and solves all equations at once, densely.

He knows nothing of the kit's short ways: neither which points need no solving, nor that neighbours share a word.
"""

from dataclasses import replace
from itertools import product
from random import Random

import numpy as np
import pytest
from scipy.optimize import root

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.parts import Lamp
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.leads import power_off
from circuitlab.solving import METER, TEST_LAMP, operating_point
from circuitlab.solving.sweep_ohms import OhmsAtOnce

from judges.kirchhoff import Circuit, Element
from test_semiconductors import random_diode_network

NAMES = arrangement_names()
NEAR = 2.5e-4        # V: what the kit leaves out where no meter would show it is 2e-4 V
HELD = {"meter": lambda red, black: Element("meter", 0, red, black, ohms=10e6),
        "test lamp": lambda red, black: Element("test lamp", 0, red, black, curve=Lamp("H1", 12.0, 3.0))}
OVER = {"meter": 1e-10, "test lamp": 1e-7}     # A, what the judge may leave over at a point: 1 mV of a meter at the most


def left(circuit, free, tool, red, black):
    """Return what stays between two terminals with an instrument there. [V]

    Newton's steps from the volts without it are quick; where they do not get there, scipy goes on by least squares.
    """
    loaded = Circuit(circuit.arrangement, circuit.states, [HELD[tool](red, black)])
    volts = loaded._polished(free)
    if np.abs(loaded.equations(volts)).max(initial=0) > OVER[tool]:
        found = root(loaded.equations, free, jac=loaded.slopes, method="lm", options={"xtol": 1e-15, "ftol": 1e-15})
        volts = loaded._polished(found.x)
    assert np.abs(loaded.equations(volts)).max(initial=0) < OVER[tool], "the judge himself did not solve his equations"
    return loaded.volts_of(red, volts) - loaded.volts_of(black, volts)


def word(circuit, free, terminal, zero):
    """Return what a terminal is by its definition, and how far the volts that decide it lie from 1 V. [text], [V]"""
    if circuit.volts_of(terminal, free) is None:
        return "floating", 1.0
    lamp, meter = (abs(left(circuit, free, tool, terminal, zero)) for tool in ("test lamp", "meter"))
    return ("live", lamp - 1) if lamp >= 1 else ("ghost", min(1 - lamp, meter - 1)) if meter >= 1 else ("dead", 1 - meter)


def judged(point, chance, most=4, highest=False):
    """Hold a point's readings and words against the judge's at some of its terminals; return the words. [text]

    Chosen are terminals that the kit cannot judge at a glance, one of each piece of metal, and a few others.
    """
    cart, zero = point.arrangement, f"{point.arrangement.battery.name}:-"
    if highest:
        cart = replace(cart, parts=tuple(replace(part, leakage=part.highest_leakage) if hasattr(part, "leakage") else part
                                         for part in cart.parts))
    circuit = Circuit(cart, point.states)
    free, words = circuit.solve(), []
    hard = [end for end in cart.terminals if point.volts(end) is not None and abs(point.volts(end)) > 0.5
            and point._metering._away[point._net.point_of[end]] > 20]
    ends = chance.sample(hard, min(most, len(hard))) + chance.sample(cart.terminals, min(2, len(cart.terminals)))
    for red in ends:
        black = chance.choice([end for end in (zero, chance.choice(cart.terminals)) if end != red] or [cart.terminals[0]])
        for tool, instrument in (("meter", METER), ("test lamp", TEST_LAMP)):
            found = point.meter(red, black, instrument, highest)
            if found is not None:
                assert found == pytest.approx(left(circuit, free, tool, red, black), abs=NEAR), (cart.title, red, black, tool)
        if not highest:
            wanted, apart = word(circuit, free, red, zero)
            assert apart < 2 * NEAR or point.liveness(red) == wanted, (cart.title, red)
            words.append(point.liveness(red))
    return words


def settled_points(cart, most, chance):
    """Return some settled points of an arrangement, all rows and both phases taken alike."""
    rows = [dict(zip(cart.controls_by_name, places)) for places in
            product(*(control.positions for control in cart.controls))]
    found = []
    for row, phase in chance.sample(list(product(rows, ("on", "off"))), min(most, 2 * len(rows))):
        point = operating_point(cart, row, phase)
        if point.is_settled:
            found.append(point)
    return found


@pytest.mark.in_turn(21, 10)
@pytest.mark.parametrize("name", NAMES)
def test_readings_of_every_arrangement_are_the_judges(name):
    chance = Random(name)
    for point in settled_points(arrangement(name), 6, chance):
        judged(point, chance)
        judged(point, chance, 2, highest=True)


def faulty(name, step, rows, chance):
    """Judge every so-many-th single fault of an arrangement; return how many points there were, and the words met."""
    cart, seen, words = arrangement(name), 0, set()
    for fault in single_faults(cart)[chance.randrange(step)::step]:
        for point in settled_points(fault.apply(cart), rows, chance):
            words |= set(judged(point, chance, 3))
            seen += 1
    return seen, words


@pytest.mark.in_turn(21, 9)
@pytest.mark.parametrize("name", NAMES)
def test_readings_with_single_faults_are_the_judges(name):
    seen, _ = faulty(name, 19, 1, Random(name))
    assert seen


LOST = [(f"led-lamps-{kind}", f"ground joint of {wire} lost") for kind, wires in (
    ("load-resistors", ("W33 at X1:9", "W24 at X1:1", "W25 at X1:2", "W26 at X1:3", "W27 at X1:4")),
    ("no-load", ("W29 at X1:7", "W22 at X1:1", "W23 at X1:2", "W24 at X1:3", "W25 at X1:4"))) for wire in wires]


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("name, fault", [*LOST, ("tied-through-diodes", "E3 blown"), ("tied-through-diodes", "E4 blown")])
def test_no_fault_is_told_by_volts_that_nobody_would_read(name, fault):
    """The twelve that were: behind LED lamps 12.6 V where a meter shows 7.9 V, beside blocked diodes 11.5 V for 1 V.

    Where the flasher hurries, so that nobody reads volts in time with it, two of them are told in ohms: no way where one was.
    """
    told = (table := fault_table(arrangement(name), faults=[one for one in single_faults(arrangement(name))
                                                            if one.words == fault])).reading(table.lines[0])
    if told.healthy.instrument == "ohms":
        assert (name, told.running) == ("led-lamps-no-load", ({}, {})) and told.healthy.value < 0.1 and told.faulty.value is None
        return
    for each, cart in ((told.healthy, table.arrangement), (told.faulty, table.lines[0].fault.apply(table.arrangement))):
        circuit = Circuit(cart, operating_point(cart, each.positions, each.phases).states)
        assert each.value == pytest.approx(left(circuit, circuit.solve(), "meter", each.red, each.black), abs=NEAR)


@pytest.mark.full
@pytest.mark.parametrize("name", NAMES)
def test_readings_with_many_single_faults_are_the_judges(name):
    seen, words = faulty(name, 5, 2, Random(f"{name}, the long run"))
    assert seen > 3 and "live" in words


def networks(seeds):
    words = []
    for seed in seeds:
        chance, point = Random(seed), operating_point(random_diode_network(seed))
        words += judged(point, chance)
        judged(point, chance, 2, highest=True)
    return words


def test_readings_in_a_few_random_networks_are_the_judges():
    """Diodes, LED lamps, filaments and resistors up to a megohm between a few points, wired by chance."""
    assert {"live", "ghost", "dead"} <= set(networks((0, 3, 9, 12)))


@pytest.mark.full
def test_readings_in_three_hundred_random_networks_are_the_judges():
    words = networks(range(300))
    assert min(words.count(each) for each in ("live", "ghost", "dead")) > 10


# ------------------------------------------------------------------ ohms between all pairs at once

def ohms_alike(cart, chance, rows, pairs):
    """Hold the ohms of all pairs at once against those of single pairs, power off; return how many there were with a way, and without."""
    ways, none = 0, 0
    for point in settled_points(power_off(cart), rows, chance):
        at_once = OhmsAtOnce(point)
        for _ in range(pairs):
            red, black = chance.sample(cart.terminals, 2)
            found, wanted = at_once.ohms(red, black), point.ohms(red, black)
            assert found is wanted is None or None not in (found, wanted) and found == pytest.approx(wanted, rel=1e-4, abs=1e-5), (cart.title, point.positions, red, black)
            ways, none = ways + (found is not None), none + (found is None)
    return ways, none


@pytest.mark.in_turn(21, 5)
@pytest.mark.parametrize("name", NAMES)
def test_ohms_of_all_pairs_at_once_are_those_of_single_pairs(name):
    """In whole circuits and in one with a fault."""
    chance, cart = Random(name), arrangement(name)
    counts = [ohms_alike(each, chance, 3, 40) for each in (cart, chance.choice(single_faults(cart)).apply(cart))]
    assert min(sum(each) for each in zip(*counts)) > 5


@pytest.mark.parametrize("seeds", [range(4), pytest.param(range(4, 200), marks=pytest.mark.full)])
def test_ohms_of_all_pairs_at_once_are_those_of_single_pairs_in_random_networks(seeds):
    """Junctions that an ohmmeter begins to open, LED lamps, filaments, resistors up to a megohm."""
    ways = sum(ohms_alike(random_diode_network(seed), Random(seed), 2, 20)[0] for seed in seeds)
    assert ways > len(seeds)


def test_with_a_battery_on_the_pairs_are_solved_one_by_one():
    """What an ohmmeter shows then is nonsense, and the same nonsense."""
    point = operating_point(arrangement("one-fused-lamp"), {"lamp switch": "on"})
    for red, black in (("E1:1", "E1:2"), ("F1:1", "X1:1"), ("S1:1", "E1:1")):
        assert OhmsAtOnce(point).ohms(red, black) == point.ohms(red, black)

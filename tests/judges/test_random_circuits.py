"""Circuits nobody would wire: batteries, lamps, diodes, relays, fuses and resistors thrown on a few junctions.

Loose terminals, loops, shorts, batteries against each other and islands of their own all come up. Whatever comes, it
ends in a verdict; and where that is settled, the independent judge finds the same states and volts.
"""

from collections import Counter
from math import inf
from random import Random

import pytest

from circuitlab.arrangements import Arrangement
from circuitlab.parts import (Battery, Control, Diode, Fuse, Lamp, LedLamp, Relay, Resistor, Splice, Wire,
                              toggle)
from circuitlab.solving import operating_point, run

from judges.heating import Replay
from judges.kirchhoff import NoRest, settle


def thrown(random, switches=0, junctions_too=False):
    """Return a random arrangement, with diodes and LED lamps if wanted; one terminal in twenty stays loose."""
    junctions = random.randint(2, 7)
    parts, wires, ways = [Splice(f"X{number}", 24) for number in range(junctions)], [], [0] * junctions
    lots = [(Battery, random.randint(1, 3)), (Lamp, random.randint(0 if not switches else 2, 6)),
            (Relay, random.randint(0, 4)), (Resistor, random.randint(0, 6)), (Fuse, random.randint(0, 2))]
    if junctions_too:
        lots += [(Diode, random.randint(1, 6)), (LedLamp, random.randint(0, 4))]
    for record, count in lots:
        for number in range(count):
            parts.append(_part(random, record, number))
    parts += [toggle(f"S{number}", "switch") for number in range(switches)]
    for part in parts[junctions:]:
        for terminal in part.terminals:
            junction = random.randrange(junctions)
            if random.random() < 0.95 and ways[junction] < 24:
                ways[junction] += 1
                wires.append(Wire(f"W{len(wires) + 1}", f"X{junction}:{ways[junction]}", f"{part.name}:{terminal}",
                                  length=random.choice([0.1, 1, 5, 20]), area=random.choice([0.35, 1, 2.5])))
    return Arrangement("thrown together", controls=[Control("switch", ("off", "on"))], parts=parts, wires=wires)


def _part(random, record, number):
    if record is Battery:
        return Battery(f"G{number}", random.choice([12.6, 6, 14, 0.0]), random.choice([0.008, 0.05, 1]))
    if record is Lamp:
        return Lamp(f"E{number}", 13.5, random.choice([2, 5.5, 26.5, 60]))
    if record is Fuse:
        return Fuse(f"F{number}", random.choice([5, 10, 20]))
    if record is LedLamp:
        return LedLamp(f"P{number}", load_resistance=random.choice([inf, 6.0]))
    if record is Diode:
        return Diode(f"V{number}")
    return Relay(f"K{number}") if record is Relay else Resistor(f"R{number}", 10 ** random.uniform(-1, 4))


@pytest.mark.in_turn(4, 1)
@pytest.mark.parametrize("junctions_too", [False, True], ids=["filaments", "filaments and junctions"])
@pytest.mark.parametrize("seeds", [range(40), range(40, 100)], ids=["first", "rest"])
def test_whatever_is_wired_comes_to_a_verdict_and_the_judge_agrees_where_it_is_settled(junctions_too, seeds):
    """States equal, volts to 1e-7 V. The judge lets all relays react at once and may go in circles."""
    verdicts, compared = Counter(), 0
    for seed in seeds:
        circuit = thrown(Random(seed), junctions_too=junctions_too)
        point = operating_point(circuit)
        verdicts[point.verdict] += 1
        if not point.is_settled:
            continue
        try:
            judge, volts = settle(circuit, {"switch": "off"}, "on")
        except NoRest:
            continue
        assert {part.name: point.states[part.name] for part in circuit.parts} == judge.states, seed
        for terminal in circuit.terminals:
            found, wanted = point.volts(terminal), judge.volts_of(terminal, volts)
            assert (found is None) == (wanted is None), (seed, terminal)
            assert found is None or found == pytest.approx(wanted, abs=1e-7), (seed, terminal)
        compared += 1
    assert compared >= 0.9 * len(seeds), verdicts
    assert len(verdicts) > 1 or seeds.start, verdicts      # the first forty hold one that does not settle


def test_a_time_course_stays_where_the_operating_point_settled():
    """Nothing is moved, so no part may move: 150 circuits, half a second each, 5 s for a buzzer with a fuse."""
    for seed in range(150):
        circuit = thrown(Random(seed), junctions_too=seed % 2)
        point = operating_point(circuit)
        course = run(circuit, [], until=5.0 if point.verdict == "buzzing" else 0.5)
        assert course.verdict == point.verdict or point.verdict == "several stable", seed
        if point.verdict == "settled":
            assert course.at(0.5).states == point.states, seed


def test_the_light_of_random_circuits_agrees_with_scipy():
    """Switched on, off and on again; 5e-4 of the greatest light. Courses that end in a verdict are left out."""
    compared = 0
    for seed in range(60):
        circuit = thrown(Random(1000 + seed), switches=2)
        course = run(circuit, [(0.1, "switch", "on"), (0.7, "switch", "off"), (0.9, "switch", "on")], until=1.5)
        peak = max(max(values) for values in course.light.values())
        if course.verdict != "settled" or peak < 0.01:
            continue
        replay = Replay(course)
        for step in range(0, 151, 3):
            point = course.at(step / 100)
            for lamp in course.light:
                assert abs(point.light(lamp) - replay.light(lamp, step / 100)) <= 5e-4 * peak, (seed, lamp, step)
        compared += 1
    assert compared >= 15

"""1,000 networks nobody would wire: Kirchhoff's laws hold, nothing is NaN, and no foreign error comes out.

The laws are those of the independent judge in ``judges/kirchhoff.py``, who states every part's law anew: put into his
equations, the kit's volts must leave no current over, and must give the kit's currents.
"""

from collections import Counter
from random import Random

import pytest

import circuitlab as cl
from circuitlab.parts import Lamp
from circuitlab.reasoning import count_rows, lamp_table
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.rows_at_once import rows_at_once
from circuitlab.solving import operating_point, run, sweep

from attack.judging import MOST_ROWS, Tries, nans_in, picture_faults
from attack.wild_networks import wild
from judges.kirchhoff import Circuit
from judges.test_random_circuits import thrown
from random_arrangements import random_arrangement

NETWORKS, PLAIN = 1000, 24
OVER = 1e-6         # A left over at a point: rounding of volts over a milliohm, and where Newton's steps end
POINTS = 4          # operating points of each network
RUN, SWEPT, FAULTS, DRAWN = 11, 23, 53, 59     # one network in so many, prime to the makers' turn


def network(seed):
    """Return a network: wired half sensibly, thrown together, or wild."""
    makers = (random_arrangement, lambda number: thrown(Random(number), switches=number % 3, junctions_too=number % 2),
              wild, wild)
    return makers[seed % 4](seed)


def random_case(circuit, chance):
    """Return positions, phases and relays operated beforehand, drawn by chance."""
    positions = {control.name: chance.choice(control.positions) for control in circuit.controls}
    phases = {part.name: chance.choice(("on", "off")) for part in circuit.parts if part.swings}
    relays = [part.name for part in circuit.parts if "operated" in part.states]
    return positions, phases, chance.sample(relays, chance.randint(0, len(relays))) if chance.random() < 0.3 else []


def law_faults(circuit, point):
    """Return where the judge's laws do not hold for the kit's volts and currents."""
    judge = Circuit(circuit, point.states)
    volts = {terminal: point.volts(terminal) for terminal in circuit.terminals}
    floats = {terminal for terminal in volts if judge.metal[terminal] not in judge.grounded}
    faults = [f"floats in one of the two only: {end}" for end in volts if (volts[end] is None) != (end in floats)]
    inner = {f"{part.name}:{name}" for part in circuit.parts for name in part.inner}
    over, largest = Counter(), 1.0
    for element in judge.elements:
        amps = point.current(element.owner, element.order)
        largest = max(largest, abs(amps))
        over[judge.metal[element.start]] -= amps
        over[judge.metal[element.end]] += amps
        if inner.isdisjoint((element.start, element.end)) and None not in (volts[element.start], volts[element.end]):
            wanted = _amps(element, volts[element.start] - volts[element.end])
            if abs(amps - wanted) > OVER * max(1.0, abs(wanted)):
                faults.append(f"current by the law: {element.owner} {amps!r} A, the judge says {wanted!r}")
    return faults + [f"current left over: {end} {amps!r} A" for end, amps in over.items() if abs(amps) > OVER * largest]


def _amps(element, drop):
    from judges.curves import amps_at

    return amps_at(element.curve, drop) if element.curve else (drop + element.force) / element.ohms


def attack_points(circuit, chance):
    faults = []
    for _ in range(POINTS):
        point = operating_point(circuit, *random_case(circuit, chance))
        faults += [f"NaN in {where}" for where in nans_in((point.sentence, point._volts, point._temperatures))]
        if not point.sentence.strip() or not point.is_settled and point._volts:
            faults.append("a verdict without words, or volts without rest")
        if point.is_settled:
            faults += law_faults(circuit, point)
            read = [point.light(lamp.name) for lamp in circuit.of_kind(Lamp)]
            read += [point.power(part.name) for part in circuit.parts]
            faults += [f"NaN in readings{where}" for where in nans_in(read)]
    return faults


def attack_table(circuit, chance):
    """The whole table where it is short, else a single row; each flasher and breaker doubles the work."""
    phases = 2 ** sum(part.swings for part in circuit.parts)
    if phases > 8:
        return []
    short = count_rows(circuit) * phases <= 16
    found = lamp_table(circuit).rows if short else rows_at_once(circuit, [random_case(circuit, chance)[0]])
    return [f"NaN in the table{where}" for where in nans_in(found)]


def attack_course(circuit, chance):
    """A run of 2 s with the controls thrown about: in order of time, no NaN, and an operating point at any moment."""
    moments = sorted(chance.uniform(0, 1.8) for _ in range(5))
    script = [(moment, control.name, chance.choice(control.positions))
              for moment in moments for control in circuit.controls if chance.random() < 0.5]
    course = run(circuit, script, until=2.0, positions=random_case(circuit, chance)[0])
    faults = [f"NaN in the course{where}"
              for where in nans_in((course.times, course.lamp_volts, course.light, course.lamp_current))]
    happened = [event.time for event in course.events]
    if list(course.times) != sorted(course.times) or happened != sorted(happened):
        faults.append("times go back")
    for moment in (0.0, chance.uniform(0, course.times[-1]), course.times[-1]):
        point = course.at(moment)
        if point.is_settled:
            faults += [f"NaN at a moment{where}" for where in nans_in(point._volts)]
    return faults


def attack_sweep(circuit, chance):
    """A sweep with some faults: each case as it is alone."""
    faults = single_faults(circuit)
    changes = [(), *(fault.changes for fault in chance.sample(faults, min(4, len(faults))))]
    cases = [random_case(circuit, chance)[:2] for _ in range(2)]
    try:
        found = sweep(circuit, [rows for rows, _ in cases], [phases for _, phases in cases], changes)
    except ArithmeticError:     # the one error a sweep may end with; who asks it asks the cases one by one then
        return []
    wrong, volts = [], {lamp.name: found.lamp_volts(lamp.name).filled(0.0) for lamp in circuit.of_kind(Lamp)}
    wrong += [f"NaN in the sweep: {lamp}" for lamp, each in volts.items() if (each != each).any()]
    for case in chance.sample(range(len(found)), min(6, len(found))):
        point = found.point(case)
        if found.in_doubt[case]:      # only its rest is swept; time decides, and the point has asked it
            if found.verdicts[case] not in ("settled", "buzzing"):
                wrong.append(f"swept {found.verdicts[case]} though time decides")
        elif point.verdict != found.verdicts[case]:
            wrong.append(f"swept another verdict: {found.verdicts[case]}, alone {point.verdict}")
        elif point.is_settled:
            wrong += [f"swept other volts: {lamp} {each[case]!r}, alone {point.lamp_volts(lamp)!r}"
                      for lamp, each in volts.items()
                      if lamp in found.case(case)[0].by_name and abs(each[case] - point.lamp_volts(lamp)) > 1e-9]
    return wrong


def attack_faults(circuit, chance):
    faults = single_faults(circuit)
    if count_rows(circuit) * 2 ** sum(part.swings for part in circuit.parts) > MOST_ROWS:
        return []
    table = fault_table(circuit, faults=chance.sample(faults, min(12, len(faults))))
    return [f"NaN in the faults{where}" for where in nans_in(table.lines)]


def attack_drawing(circuit, chance):
    point = operating_point(circuit, *random_case(circuit, chance))
    faults = picture_faults(cl.draw(circuit, point, readings=True)) + picture_faults(cl.draw_attached(circuit, point))
    return faults + ([] if circuit.describe(point).strip() and circuit.describe_attached(point).strip()
                     else ["no words"])


def attack(seeds, counts):
    tries = Tries(counts)
    sampled = ((attack_course, RUN), (attack_sweep, SWEPT), (attack_faults, FAULTS), (attack_drawing, DRAWN))
    for seed in seeds:
        circuit = network(seed)
        wanted = [attack_points, attack_table,
                  *(each for number, (each, every) in enumerate(sampled) if seed % every == number)]
        for each in wanted:
            tries.make(f"{each.__name__}, seed {seed}", lambda: circuit,
                       lambda made: each(made, Random(f"{seed} {each.__name__}")))
    tries.check()


def test_random_networks_keep_the_laws(counts):
    """The first of them."""
    attack(range(PLAIN), counts)
    assert not counts.refused       # whatever is wired whole has an answer


@pytest.mark.full
@pytest.mark.parametrize("part", range(4))
def test_a_thousand_random_networks_keep_the_laws(part, counts):
    """The rest of them."""
    attack(range(PLAIN + part, NETWORKS, 4), counts)
    assert not counts.refused


def test_the_judge_sees_a_wrong_wire():
    """The laws can be broken: one wire a tenth longer, the volts as before."""
    circuit = cl.arrangement("one-fused-lamp")
    point = operating_point(circuit, {"lamp switch": "on"})
    assert law_faults(circuit, point) == []
    longer = cl.changed(circuit, cl.SetValue("W2", "length", circuit.part("W2").length * 1.1))
    assert any("current by the law: W2" in fault for fault in law_faults(longer, point))

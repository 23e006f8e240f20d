"""Fault verdicts against an independent dense solve, on a random sample of faults, rows and arrangements.

The judge solves Kirchhoff's laws for the broken arrangement by itself, makes lamps bright or dark by his own formula,
and puts the row into classes by rules written down here anew. Where he goes in circles he has no say.
"""

from itertools import product
from math import inf
from random import Random

import pytest

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.arrangements.rows import rows_of
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.sizing import capacity

from judges.kirchhoff import NoRest, settle
from judges.two_filaments import end_of, is_missing

SAMPLE = 10     # faults of each arrangement
ROWS = 3        # rows of each fault
CONTACT = 0.02  # ohm, of a flasher's


def light_of(part, circuit, volts):
    """Return the light of a lamp: that of a filament goes as U^3.4, that of an LED as its current."""
    if circuit.states[part.name] == "blown":
        return 0.0
    ends = [circuit.volts_of(end_of(part.name, end), volts) for end in "12"]
    if None in ends:
        return 0.0
    drop = ends[0] - ends[1]
    if part.kind == "LED lamp":
        (element,) = (each for each in circuit.curved if each.owner == part.name)
        return max(0.0, circuit.amps(element, volts) / (part.watts / part.volts))
    holder = circuit.arrangement.by_name.get(part.name.partition(".")[0])
    turned = getattr(holder, "fitted", "right way") == "turned round"
    share = {".54": 35 / 440, ".58": 440 / 35}[part.name[-3:]] if turned else 1.0      # lumens of a P21/5W: its sheet
    return 0.0 if is_missing(part, circuit.arrangement) else share * (abs(drop) / part.volts) ** 3.4


def seen_in_phases(lights):
    """Return dark, dim or lit in every phase of a flasher, or in all of them that it pulses: None on the edge of two.

    It is out where it gives less than with half the volts of its brightest phase; it pulses where it is lit throughout and
    loses a fifth and more.
    """
    most, least = max(lights), min(lights)
    edges = [(each, edge) for each in lights for edge in (0.01, 0.25)] + [(least, 0.5 ** 3.4 * most), (least, 0.8 * most)]
    if any(edge and abs(each / edge - 1) < 0.01 for each, edge in edges):
        return (None,) * len(lights)
    called = "dark" if most < 0.01 else "dim" if most < 0.25 else "lit"
    out = [each < 0.01 or each < 0.5 ** 3.4 * most for each in lights]
    if called == "lit" and not any(out) and least < 0.8 * most:
        called = "pulses"
    return tuple("dark" if gone else called for gone in out)


def judged(circuit, positions):
    """Return what the judge sees in a row: (look of each lamp, greatest battery current, currents of wires, light loads,
    watts on average in the worse joint of each wire).

    A load is light for a flasher with lamp-out sensing by its sheet: 2.37, 2.70 and 3.03 A of two 21 W lamps at 9, 12 and
    15 V; three quarters of that for sure, for filaments in a flash are colder than at rest.
    """
    seen, drawn, wires, light, heat = {}, 0.0, {}, {}, {}
    flashers = [part for part in circuit.parts if part.kind == "flasher"]
    on = max((part.on_share for part in flashers), default=1.0)
    share = {"on": on, "off": 1 - on}
    for phase in ("on", "off") if flashers else ("on",):
        solved, volts = settle(circuit, positions, phase)
        for element in solved.inside:
            amps = abs(solved.amps(element, volts))
            if element.owner == circuit.battery.name:
                drawn = max(drawn, amps)
            elif element.owner.startswith("W"):
                wires[element.owner] = max(wires.get(element.owner, 0.0), amps)
                wire = circuit.part(element.owner)
                joint = max((each for each in (wire.start_joint, wire.end_joint) if each < inf), default=0.0)
                heat[element.owner] = heat.get(element.owner, 0.0) + share[phase] * amps**2 * joint
        for part in flashers:
            if phase == "on" == solved.states[part.name] and "sensing" in part.type and part.name not in dict(circuit.held):
                fed, out = (solved.volts_of(f"{part.name}:{end}", volts) for end in ("49", "49a"))
                ground = solved.volts_of(f"{part.name}:31", volts)
                light[part.name] = (fed - out) / CONTACT / ((2.70 + 0.11 * (fed - ground - 12)) * part.rated_load / 42)
        for part in circuit.parts:
            if part.kind in ("lamp", "LED lamp"):
                seen.setdefault(part.name, []).append(light_of(part, solved, volts))
    return {lamp: seen_in_phases(phases) for lamp, phases in seen.items()}, drawn, wires, light, heat


def classes(before, after, limits):
    """Return the classes that must be there, by rules of the judge's own."""
    wanted, lost = set(), False
    for lamp, old in before[0].items():
        new = after[0][lamp]
        was_flashing, is_flashing = len(set(old)) > 1, len(set(new)) > 1
        if set(old) == {"dark"}:
            wanted |= set() if set(new) == {"dark"} else {"wrong signal"}
        elif set(new) != {"dark"} and ("pulses" in old) != ("pulses" in new):
            wanted.add("wrong signal")
        elif set(new) == {"dark"} or ("lit" in old and "lit" not in new and was_flashing == is_flashing):
            lost = True
        elif was_flashing != is_flashing:
            wanted.add("wrong signal")
    if lost:
        wanted.add("lamp lost")
    if not wanted and not any(len(set(new)) > 1 for new in after[0].values()):      # its relay is heard, though no lamp shows it
        wanted |= {"wrong signal" for name, load in after[3].items() if load < 0.75 and before[3].get(name, 1) >= 1}
    elif not wanted and before[3].keys() == after[3].keys():
        loads = [sorted((before[3][name], after[3][name])) for name in before[3]]
        wanted |= {"wrong signal" for least, most in loads if least < 0.75 and most >= 1}
    heavy = {wire for wire, amps in after[2].items() if amps > limits.get(wire, float("inf"))}
    hot = {name for name, watts in after[4].items() if watts > 20} - {name for name, watts in before[4].items() if watts > 20}
    if hot or heavy - {wire for wire, amps in before[2].items() if amps > limits.get(wire, float("inf"))} or \
            after[1] > 300 >= before[1]:
        wanted.add("fire risk")
    return wanted


@pytest.mark.in_turn(21, 6)
@pytest.mark.parametrize("name", arrangement_names())
def test_the_judge_puts_a_random_sample_of_faults_into_the_same_classes(name):
    chance, healthy = Random(name), arrangement(name)
    faults = chance.sample(single_faults(healthy), min(SAMPLE, len(single_faults(healthy))))
    table = fault_table(healthy, faults=faults)
    rows = rows_of(healthy)
    limits = {wire.name: capacity(wire.area, "chassis wiring").amps for wire in healthy.wires}
    known, compared = {}, 0
    for line, row in product(table.lines, sorted(chance.sample(range(len(rows)), min(ROWS, len(rows))))):
        effect = line.effects[row]
        if any("before" in reason or "opens and recloses" in reason for reason in effect.reasons):
            continue            # what relays do that were operated before, the judge does not ask
        try:
            before = known[row] = known.get(row) or judged(healthy, rows[row])
            after = judged(line.fault.apply(healthy), rows[row])
        except NoRest:
            continue
        if None in [level for seen in (before, after) for phases in seen[0].values() for level in phases]:
            continue            # on the very edge between two levels
        expected = classes(before, after, limits)
        assert expected == set(effect.classes) & {"fire risk", "wrong signal", "lamp lost"}, (
            line.fault.words,
            rows[row],
        )
        assert ("signal lost" not in effect.classes) or expected & {"lamp lost", "wrong signal"}, line.fault.words
        compared += 1
    assert compared >= 0.6 * len(faults) * min(ROWS, len(rows))

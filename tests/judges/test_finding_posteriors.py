"""Posteriors by exact enumeration: each candidate solved by itself, one point after the other, and weighed by rules written down here anew.

The judge makes every candidate's circuit, reads it with the meter of an operating point, and multiplies densities in plain loops.
"""

from math import exp, hypot, inf, pi, sqrt

import pytest

import circuitlab as cl
from circuitlab.arrangements.rows import phases_of
from circuitlab.reasoning.finding import weighing as w
from circuitlab.reasoning.finding.assumptions import odds_column
from circuitlab.reasoning.finding.candidates import candidates_of, prior
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.told import read_taken
from circuitlab.solving import operating_point

from repairers import bench_with, followed

LAMP = cl.arrangement("one-fused-lamp")
READINGS = ["11.6 V at S1:2 when lamp switch on", "0.8 V from G1:+ to S1:1 when lamp switch on", "10.6 V from E1:1 to E1:2 when lamp switch on",
            "12.5 V at F1:1", "0.1 V at E1:2 when lamp switch on, not sure"]
SCALES = {0.9: 0.05, 0.94: 0.1, 0.97: 0.2, 1.0: 0.25, 1.03: 0.15, 1.07: 0.05, 1.11: 0.1, 1.15: 0.1}
SUPPLY = 12.6


def expected(circuit, taken, behind=()):
    """Return the volts between the leads of a circuit, and whether they drift: from one operating point. A lead on a lamp's holder is not on its bulb."""
    reading = taken.reading
    point = operating_point(circuit, reading.positions, "on")
    volts = [point.volts(dict(behind).get(end, end)) for end in (reading.red, reading.black)]
    return (0.0, True) if None in volts else (volts[0] - volts[1], False)


def dense(value, seen, adrift, scale):
    """Where the leads drift, a display stands near 0 half of the time, and else is off by 0.7 V."""
    if adrift:
        return (_bell(value, seen, 0.7, scale) + _bell(value, seen, 0.0, scale)) / 2
    return _bell(value, seen, 0.0, scale)


def _bell(value, seen, drift, scale):
    lost = min(abs(seen), abs(SUPPLY - abs(seen)))
    off = hypot(0.005 * abs(value) + 0.02, 0.08 * lost, 0.05, drift)
    return exp(-((value - seen * scale) / off)**2 / 2) / (off * sqrt(2 * pi))


def ways_of(candidates, volts, number):
    """Return what is expected with a candidate, and on the way half to the next grades of the same place: all readings share the way."""
    each, (seen, _) = candidates[number], volts[number]
    ways = [seen]
    for step in (-1, 1):
        other = number + step
        near = (0 <= other < len(candidates) and each.grade is not None and candidates[other].grade is not None
                and (candidates[other].repair, candidates[other].sort, candidates[other].place) == (each.repair, each.sort, each.place))
        goal = volts[other][0] if near else seen
        ways += [seen + share * (goal - seen) for share in (0.17, 0.33, 0.5)]
    return ways


def likelihood(taken, seen, adrift, scale):
    """Return how dense a reading lies where this is expected."""
    found = 0.98 * dense(taken.reading.value, seen, adrift, scale) + 0.02 / 15.0
    return found if taken.sure else sqrt(found)


def enumerated(candidates, odds, readings):
    """Return the odds of every repair, by multiplying out."""
    healthy = {id(taken): expected(LAMP, taken) for taken in readings}
    volts = {id(taken): [expected(each.apply(LAMP), taken, each.behind) for each in candidates] for taken in readings}
    weights = {}
    for number, each in enumerate(candidates):
        if each.blows_something:
            continue
        share = 0.03 if each.comes_and_goes else 0.001
        total = 0.0
        ways = {id(taken): ways_of(candidates, volts[id(taken)], number) for taken in readings}
        for scale, chance in SCALES.items():
            for way in range(7):
                product = chance / 7
                for taken in readings:
                    at_fault = likelihood(taken, ways[id(taken)][way], volts[id(taken)][number][1], scale)
                    product *= (1 - share) * at_fault + share * likelihood(taken, *healthy[id(taken)], scale)
                total += product
        weights[each.repair] = weights.get(each.repair, 0.0) + odds[number] * total
    whole = sum(weights.values())
    return {repair: weight / whole for repair, weight in weights.items()}


class Enumerated:
    """A candidate of the judge's: as the kit's, with whether it shorts something, which the judge leaves out."""

    def __init__(self, each):
        self.each = each
        points = [operating_point(each.apply(LAMP), {"lamp switch": position}, "on") for position in ("off", "on")]
        own = any(getattr(change, "state", "") == "blown" for change in each.changes)
        self.blows_something = any(point.verdict != "settled" or point.states.get("F1") == "blown" and not own for point in points)

    def __getattr__(self, name):
        return getattr(self.each, name)


def test_posteriors_are_those_of_exact_enumeration():
    """Repair for repair, over readings one after the other; shorts apart, which burn or blow the fuse."""
    candidates = [Enumerated(each) for each in candidates_of(LAMP)]
    odds = prior(LAMP, [each.each for each in candidates], odds_column("workshop practice"))
    for count in range(1, len(READINGS) + 1):
        taken = [read_taken(each, LAMP) for each in READINGS[:count]]
        found = find(LAMP, (), READINGS[:count])
        ours = {cause.repair: cause.odds for cause in found.causes}
        judged = enumerated(candidates, odds, taken)
        shared = [repair for repair in ours if judged.get(repair, 0.0) > 1e-6]
        shorts = {each.repair for each in candidates if each.blows_something}
        assert {*ours} - {*shared} <= shorts and len(shared) > 1
        assert {repair for repair, share in judged.items() if share > 0.02} <= {*ours}
        mine, his = sum(ours[repair] for repair in shared), sum(judged[repair] for repair in shared)
        for repair in shared:
            assert ours[repair] / mine == pytest.approx(judged[repair] / his, rel=0.02), (count, repair)


def test_the_constants_of_the_judge_are_those_that_are_stated():
    """So that who changes one looks at the judge."""
    assert (w.SLIP, w.BULBS, w.JOINTS, w.FLOATING, w.STAYS_NEAR, w.RANGE["meter"], w.STEPS) == (0.02, 0.08, 0.05, 0.7, 0.5, 15.0, (0.17, 0.33, 0.5))
    assert dict(zip(w.SCALES.tolist(), [round(exp(each), 6) for each in w._SCALE_ODDS.tolist()])) == SCALES


def agreeing(circuit, candidates, taken):
    """Return the repairs of every candidate that is within three times its tolerance of each reading in some phase, or seen so."""
    left = set()
    for each in candidates:
        broken = each.apply(circuit)
        if all(_agrees(broken, one, dict(each.behind)) for one in taken):
            left.add(each.repair)
    return left


def _agrees(broken, taken, behind):
    if taken.seen:
        return (dict(broken.held).get(taken.seen[0]) == "blown") == (taken.seen[1] == "blown")
    if taken.reading.instrument != "meter":
        return True
    for phases in phases_of(broken):
        if any(phases[name] != phase for name, phase in taken.reading.phases.items()):
            continue
        point = operating_point(broken, taken.reading.positions, phases)
        if not point.is_settled:
            continue
        volts = [point.volts(behind.get(end, end)) for end in (taken.reading.red, taken.reading.black)]
        seen = 0.0 if None in volts else volts[0] - volts[1]
        if abs(seen - taken.reading.value) < 3 * hypot(taken.reading.tolerance, 0.08 * min(abs(seen), abs(SUPPLY - abs(seen))), 0.05,
                                                       0.7 if None in volts else 0.05 * abs(seen)):
            return True
    return False


@pytest.mark.parametrize(("name", "seed"), [("one-fused-lamp", 3), *(pytest.param("tied-stop-and-turn", seed, marks=pytest.mark.full)
                                                                     for seed in range(3, 16))])
def test_what_is_left_is_no_longer_than_what_enumeration_leaves(name, seed):
    """The likeliest span, or the repair that is found, lies within what agrees with every reading, and is no longer."""
    from random import Random

    circuit = cl.arrangement(name)
    candidates, chance = candidates_of(circuit), Random(seed)
    while True:
        hidden = chance.choice([each for each in candidates if each.grade in (1.0, 2.0, inf)])
        bench = bench_with(circuit, hidden)
        if bench.complaint():
            break
    found, _, _ = followed(bench)
    left = agreeing(circuit, candidates, found.taken)
    span = found.spans[0].repairs if found.spans else (found.causes[0].repair,)
    assert hidden.repair in left and hidden.repair in span and len(span) <= len(left)


def test_the_judge_can_refuse():
    """A reading far off leaves nothing of what it contradicts."""
    taken = [read_taken("12.5 V from S1:2 to E1:1 when lamp switch on", LAMP)]
    left = agreeing(LAMP, [each for each in candidates_of(LAMP) if each.grade is not None], taken)
    assert any(repair.startswith("mend W3") for repair in left) and not any(repair.startswith("mend W4") for repair in left)

"""The next test against the best order there is, by dynamic programming over sets of states, on small trees drawn by chance."""

from functools import cache
from random import Random
from statistics import mean

import pytest

from circuitlab.reasoning.finding.looking_ahead import Lookahead

SHAPES = [(6, 9, (1,)), (7, 10, (1,)), (7, 10, (1, 2, 4)), (7, 11, (1, 2, 3, 4, 5, 6, 7, 8))]       # states, tests, efforts
TREES = 60          # of each shape: 240


def drawn(shape, seed):
    """Return odds, outcomes and efforts of a tree in which every state can be found."""
    states, count, efforts = shape
    chance = Random(f"{shape} {seed}")
    odds = [chance.random()**2 + 0.01 for _ in range(states)]
    outcomes = [[int(state == test) for state in range(states)] for test in range(states)]
    outcomes += [[chance.randrange(2 + (chance.random() < 0.3)) for _ in range(states)] for _ in range(count - states)]
    return [each / sum(odds) for each in odds], outcomes, [float(chance.choice(efforts)) for _ in outcomes]


def optimum(odds, outcomes, efforts):
    """Return the least effort until one state is left, on average: every test tried in every set of states."""
    def parted(test, states):
        groups = {}
        for state in states:
            groups.setdefault(outcomes[test][state], []).append(state)
        return [frozenset(group) for group in groups.values()]

    @cache
    def least(states):
        if len(states) < 2:
            return 0.0
        whole, found = sum(odds[state] for state in states), float("inf")
        for test, effort in enumerate(efforts):
            groups = parted(test, states)
            if len(groups) > 1:
                found = min(found, effort + sum(sum(odds[state] for state in group) / whole * least(group) for group in groups))
        return found
    return least(frozenset(range(len(odds))))


def excess(shape, seed, policy="best"):
    """Return by what share a policy takes more effort than the optimum."""
    odds, outcomes, efforts = drawn(shape, seed)
    tests = Lookahead(odds, range(len(odds)), outcomes, efforts)
    return tests.cost(getattr(tests, policy)) / optimum(odds, outcomes, efforts) - 1


@pytest.mark.outside("rollout on random small trees: 0.5 to 0.7 % above the optimum on average, plain gain for effort 2.1 to 3.7 %; computed with "
                     "dynamic programming, beside arXiv and IEEE papers on test sequencing")
@pytest.mark.parametrize("of", [pytest.param(1, marks=pytest.mark.full), 4])
def test_looking_ahead_is_within_1_5_percent_of_the_optimum_on_average_and_beats_one_step(of):
    """All 240 trees with ``--full``, every fourth in the plain run."""
    ahead = [excess(shape, seed) for shape in SHAPES for seed in range(0, TREES, of)]
    plain = [excess(shape, seed, "plain") for shape in SHAPES for seed in range(0, TREES, of)]
    assert len(ahead) == 240 // of and min(ahead) > -1e-9
    assert mean(ahead) < 0.015 and mean(ahead) < mean(plain)


def test_the_judge_finds_the_half_split():
    """Eight places in a row take three tests, whatever the order of tests it is given."""
    outcomes = [[int(place > test) for place in range(8)] for test in range(7)]
    assert optimum([1 / 8] * 8, outcomes, [1.0] * 7) == pytest.approx(3.0)


def test_a_worse_policy_is_seen_to_be_worse():
    """Who walks takes more than the optimum in most trees."""
    odds, outcomes, efforts = drawn(SHAPES[0], 1)
    tests = Lookahead(odds, range(len(odds)), outcomes, efforts)

    def first(alive):
        return next((test for test in range(len(efforts)) if len(set(tests.outcomes[test][alive])) > 1), None)
    assert tests.cost(first) > 1.05 * optimum(odds, outcomes, efforts)

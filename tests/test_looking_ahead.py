"""Which test comes next, against published orders of tests; nothing here knows of circuits."""

import numpy as np
import pytest

from circuitlab.reasoning.finding.looking_ahead import Lookahead

TEXTBOOK = {     # odds, and the outcome of five tests, of six states; inputs from memory of Pattipati and Alexandridis 1990
    "s0": (0.70, "00000"), "s1": (0.01, "01001"), "s2": (0.02, "00110"), "s3": (0.10, "10011"), "s4": (0.05, "11000"), "s5": (0.12, "11110")}


def textbook(states=tuple(TEXTBOOK)):
    odds = [TEXTBOOK[state][0] for state in states]
    outcomes = [[int(TEXTBOOK[state][1][test]) for state in states] for test in range(5)]
    return Lookahead(np.array(odds) / sum(odds), states, outcomes, [1.0] * 5)


def series(places=12):
    """Twelve places in a row, one fault, volts at each place between two."""
    outcomes = [[int(place > test) for place in range(places)] for test in range(places - 1)]
    return Lookahead([1 / places] * places, range(places), outcomes, [1.0] * (places - 1))


def walked(tests):
    """Return the policy of who walks from the battery, place after place."""
    def choose(alive):
        return next((test for test in range(len(tests.efforts)) if len(set(tests.outcomes[test][alive])) > 1), None)
    return choose


@pytest.mark.outside("half-split of 12 places in a row, equal odds and effort: 3.67 tests, walking from the battery 6.42; computed beside research on "
                     "structured troubleshooting")
def test_half_split_and_walking_take_as_many_tests_as_published():
    tests = series()
    assert round(tests.cost(tests.best), 2) == round(tests.along(tests.whole), 2) == 3.67
    assert round(tests.cost(walked(tests)), 2) == 6.42


@pytest.mark.outside("Pattipati, Alexandridis 1990, textbook tree of 6 states and 5 tests: optimum 2.18; inputs from memory")
def test_looking_ahead_finds_the_optimum_of_the_textbook_tree_where_one_step_misses_it():
    tests = textbook()
    assert round(tests.cost(tests.best), 2) == 2.18
    assert round(tests.cost(tests.plain), 2) == 2.86
    faulty = textbook(("s1", "s2", "s3", "s4", "s5"))
    assert round(faulty.cost(faulty.best), 2) == round(faulty.cost(faulty.plain), 2) == 2.20


# The box: x = a c, y = b d, z = c e, f = x + y, g = y + z; a 3, b 2, c 2, d 3, e 3; f read 10 instead of 12, g 12
BOX = {"A1": {"x": 6, "y": 6, "z": 6}, "M1": {"x": 4, "y": 6, "z": 6}, "A2 and M2": {"x": 6, "y": 4, "z": 6}, "M2 and M3": {"x": 6, "y": 4, "z": 8}}


@pytest.mark.outside("de Kleer, Williams 1987, box of three multipliers and two adders: minimal candidates A1, M1, A2 M2, M2 M3; first probe x")
def test_the_first_probe_in_the_box_of_adders_is_x():
    odds = [0.01, 0.01, 0.0001, 0.0001]
    outcomes = [[each[place] for each in BOX.values()] for place in "xyz"]
    tests = Lookahead(odds, BOX, outcomes, [1.0] * 3)
    assert tests.plain(tests.whole) == tests.best(tests.whole) == 0
    left = {outcome: [name for name, alive in zip(BOX, rest) if alive] for outcome, rest, _ in tests.parted(0, tests.whole)}
    assert left == {4: ["M1"], 6: ["A1", "A2 and M2", "M2 and M3"]}


def test_states_with_the_same_repair_are_not_told_apart():
    """One test parts two repairs, another, as cheap, parts states of one repair only: that one tells nothing."""
    tests = Lookahead([0.4, 0.3, 0.3], ["W1", "W1", "W2"], [[0, 1, 1], [0, 0, 1]], [1.0, 1.0])
    assert tests.gains(tests.whole)[1] == pytest.approx(0.8813, abs=1e-3)      # all there is: -0.7 log2 0.7 - 0.3 log2 0.3
    assert tests.best(tests.whole) == 1 and tests.cost(tests.best) == 1.0


def test_effort_counts():
    """A dear test that parts everything loses against two cheap ones, and wins against two dear ones."""
    states, outcomes = range(3), [[0, 1, 2], [0, 1, 1], [0, 0, 1]]
    assert Lookahead([1 / 3] * 3, states, outcomes, [10.0, 1.0, 1.0]).best(np.ones(3, bool)) in (1, 2)
    assert Lookahead([1 / 3] * 3, states, outcomes, [10.0, 8.0, 8.0]).best(np.ones(3, bool)) == 0


def test_nothing_is_proposed_where_one_repair_is_left_or_likely_enough():
    tests = Lookahead([0.97, 0.03], ["W1", "W2"], [[0, 1]], [1.0], enough=0.95)
    assert tests.best(tests.whole) is None and tests.is_done(tests.whole)
    assert Lookahead([0.5, 0.5], ["W1", "W1"], [[0, 1]], [1.0]).best(np.ones(2, bool)) is None

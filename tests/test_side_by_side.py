"""Two lamps told to be of two brightnesses in one row: what leaves both alike explains that badly."""

import numpy as np
import pytest

import circuitlab as cl
from circuitlab.reasoning.finding import weighing
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.side_by_side import TOLD_APART, told_apart
from circuitlab.reasoning.finding.solved import solved

SEPARATE, TRAILER = cl.arrangement("separate-filaments"), cl.arrangement("trailer-12n-separate-lamps")
DIM, DARK, RIGHT = (f"rear {side} stop {look} when braking" for side, look in (("left", "dim"), ("right", "dark"), ("right", "steady")))


def of(found, words):
    return sum(float(weight) for each, weight in zip(found.ahead.solved.candidates, found.ahead.weights) if each.words.startswith(words))


@pytest.mark.parametrize("symptoms", [[DIM, DARK], [DIM, RIGHT]])
def test_what_leaves_both_lamps_alike_by_an_operating_point_is_lowered_and_nothing_else(symptoms):
    everything = solved(SEPARATE)
    row = find(SEPARATE, symptoms).symptoms[0].positions
    lowered = told_apart(everything, find(SEPARATE, symptoms).symptoms)
    assert set(np.round(np.exp(lowered), 6)) == {1.0, TOLD_APART}
    sound = cl.operating_point(SEPARATE, row)
    for number in range(1, len(everything.variants), 40):
        point = cl.operating_point(everything.variants[number], row)
        if not point.is_settled or everything.candidates[number - 1].light:
            continue
        here, there = (point.light(lamp) / sound.light(lamp) for lamp in ("E1", "E2"))
        if abs(abs(here - there) - 0.15 * max(here, there)) > 0.05:
            assert (lowered[number] < 0) == (abs(here - there) < 0.15 * max(here, there) + 0.01), everything.candidates[number - 1].words


@pytest.mark.outside("a lamp dimmer than its like on the other side has its loss on its own branch, not ahead of both; common practice")
@pytest.mark.parametrize("circuit, symptoms, own, ahead", [
    (SEPARATE, [DIM, DARK], "E2 blown", "G1 flat"), (SEPARATE, [DIM, RIGHT], "5 ohm between E1:2", "G1 flat"),
    (TRAILER, ["E11 dim when braking", "E12 dark when braking"], "E12 blown", "G1 flat")])
def test_a_lamp_beside_its_like_puts_the_fault_on_its_own_branch(circuit, symptoms, own, ahead, monkeypatch):
    """Against each thing told by itself, the branch of one gains on what feeds both."""
    both = find(circuit, symptoms)
    monkeypatch.setattr(weighing, "told_apart", lambda everything, symptoms: np.zeros(len(everything.variants)))
    apart = find(circuit, symptoms)
    assert of(both, own) / of(both, ahead) > 3 * of(apart, own) / of(apart, ahead) > 0
    assert of(both, ahead) < of(apart, ahead)


@pytest.mark.outside("a trailer lamp that lights faintly with another signal: its ground is lost, current goes back through other lamps; look there first; common practice")
@pytest.mark.parametrize("circuit, said, ground", [
    ("trailer-4-flat-combined-lamps", "trailer right dim when turn left", ("W42", "pin 1 of X5")),
    ("trailer-12n-separate-lamps", "trailer left turn dim when braking", ("W41", "pin 3 of X5"))])
def test_a_lamp_that_is_dim_where_it_shall_be_dark_points_to_a_lost_ground_before_pins_that_touch(circuit, said, ground):
    first, second = find(cl.arrangement(circuit), said).causes[:2]
    for cause in (first, second):
        assert "open" in cause.words and any(name in cause.words for name in ground), cause.words

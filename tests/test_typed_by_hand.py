"""Sentences that say what a hand does lead to the sentence that is meant, which can be typed."""

import re

import pytest

import circuitlab as cl
from circuitlab.arrangements import Arrangement, changed, read_change
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Battery, Connector, Fuse, FuseBlock, Lamp, LedLamp, TwoFilamentLamp, Wire

WIRES = [Wire("W1", "G1:+", "F6:30"), Wire("W2", "F6:1", "X5:1s"), Wire("W3", "X5:1p", "E2:1"), Wire("W4", "E2:2", "G1:-")]
CIRCUIT = Arrangement("by hand", parts=[Battery("G1"), FuseBlock("F6", "10 A, spare, 3 A"), Fuse("F1", 5.0), Connector("X5"), TwoFilamentLamp("E1"), Lamp("E2"), LedLamp("E3")], wires=WIRES)


@pytest.mark.parametrize(("typed", "meant"), [
    ("open X5", ["hold X5 parted"]), ("part X5", ["hold X5 parted"]), ("unplug X5", ["hold X5 parted"]), ("Pull the plug X5 apart", ["hold X5 parted"]),
    ("take X5 apart", ["hold X5 parted"]), ("pull F6.3", ["hold F6.3 missing"]), ("take out F6.3", ["hold F6.3 missing"]), ("pull out F6.1", ["hold F6.1 missing"]),
    ("pull F1", ["blow F1"]), ("blow F6", ["blow F6.1", "blow F6.3"]), ("pull F6", ["hold F6.1 missing", "hold F6.3 missing"]), ("turn E1 round", ['set E1 fitted "turned round"'])])
def test_what_a_hand_does_leads_to_a_sentence_that_can_be_typed(typed, meant):
    with pytest.raises(CircuitLabError) as caught:
        read_change(typed, CIRCUIT)
    said = re.sub(r" \([^)]*\)", "", str(caught.value).partition("Write: ")[2]).removesuffix(".").split(", or ")
    assert said == meant
    for sentence in said:
        assert changed(CIRCUIT, read_change(sentence, CIRCUIT)) != CIRCUIT


def test_a_bulb_that_is_turned_round_is_turned_back():
    turned = changed(CIRCUIT, read_change('set E1 fitted "turned round"', CIRCUIT))
    with pytest.raises(CircuitLabError, match='Write: set E1 fitted "right way"'):
        read_change("turn E1 round", turned)


@pytest.mark.parametrize(("typed", "says"), [("open W3", "lose W3 at X5:1p or lose W3 at E2:1"), ("turn E2 round", "no verb 'turn'"), ("remove F6.3", "hold F6.3 missing")])
def test_what_no_hand_does_is_answered_as_before(typed, says):
    with pytest.raises(CircuitLabError, match=says):
        read_change(typed, CIRCUIT)
    assert str(read_change("take out F1", CIRCUIT)) == "remove F1 with its wires"
    assert str(read_change("blow F1", CIRCUIT)) == "blow F1" and cl.operating_point(CIRCUIT).current("E2") > 1

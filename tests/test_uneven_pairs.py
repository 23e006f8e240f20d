"""Lamps left and right of one signal: a pair that looks uneven is a caution, and a healthy one is none."""

import pytest

from circuitlab.arrangements import arrangement, arrangement_names, changed
from circuitlab.arrangements.typed_changes import read_change
from circuitlab.reasoning import lamp_table
from circuitlab.reasoning.proving import prove


def altered(sentence):
    cart = arrangement("separate-filaments")
    return changed(cart, read_change(sentence, cart))


@pytest.mark.outside("UN Regulation 37, from memory: P21W 460 lm, R5W 50 lm, R10W 125 lm; that a pair must look alike: common practice")
@pytest.mark.parametrize("sentence, told", [
    ("set E1 bulb R5W", "lamp 'E1' (R5W, 50 lm; rear left stop) gives far less light than lamp 'E2' (P21W, 460 lm; rear right stop)"),
    ("set E4 bulb R10W", "lamp 'E4' (R10W, 125 lm; front right) gives far less light than lamp 'E3' (P21W, 460 lm; front left)"),
    ("set E5 watts 5 W", "lamp 'E5' (5 W; rear left turn) gives far less light than lamp 'E6' (P21W, 460 lm; rear right turn)"),
    ("set E3 bulb PY21W", ""), ("set E1 bulb H21W", ""), ("set E1 bulb W16W", ""), ("replace E1 by LED lamp", ""), ('set E1 place "tail"', "")])
def test_a_lamp_made_for_less_than_half_the_light_of_the_one_across_is_a_caution(sentence, told):
    """Near bulbs, amber glass, an LED whose lumens nobody gave and a lamp with none across make none."""
    said = [words for words in altered(sentence).cautions() if "a pair must look alike" in words]
    assert [words[:len(told)] for words in said] == ([told] if told else [])


@pytest.mark.parametrize("sentence, lamp", [("corrode W4 at E1:1 1.6 ohm", "E1"), ("corrode W13 at E5:1 2 ohm", "E5"),
                                            ("corrode W4 at E1:1 0.6 ohm", ""), ("corrode W2 at F1:2 1.6 ohm", ""), ("blow E1", "")])
def test_a_lamp_that_gets_less_than_half_the_light_of_the_one_across_is_told_beside_the_table(sentence, lamp):
    """A bad joint that both share leaves them alike; a dark lamp is told by the rule. Light as U^3.4."""
    proof = prove(altered(sentence), timing=False)
    assert [words.split()[0] for words in proof.table.uneven] == ([lamp] if lamp else [])
    assert (f"{lamp} gives " in proof.text() and "a pair must look alike" in proof.text()) == bool(lamp)


@pytest.mark.parametrize("name", arrangement_names())
def test_no_pair_of_the_kits_own_arrangements_looks_uneven(name):
    one = arrangement(name)
    assert not any("look alike" in words for words in one.cautions()) and lamp_table(one).uneven == ()


@pytest.mark.outside("a bulb of two filaments turned round in a worn holder: tail too bright, stop too faint; common practice")
def test_of_a_bulb_turned_round_nobody_is_sent_to_the_lamp_that_is_right():
    """917 % across 74 %: the lamp told of, and looked at, is the bright one; the faint stop filament gets all its volts."""
    two = arrangement("tail-and-stop-two-filaments")
    told = {words.split()[0]: words for words in lamp_table(changed(two, read_change('set E1 fitted "turned round"', two))).uneven}
    assert list(told) == ["E1.54", "E1.58"] and "E1.58 is too bright for its place" in told["E1.58"]
    assert "E1.54 gets as many volts as E2.54" in told["E1.54"]
    assert all("the wrong one, or turned round" in words and "supply off" in words and "lost on the way" not in words for words in told.values())


@pytest.mark.parametrize("more", [(), ("set G1 voltage 17.5 V",)], ids=["12 V", "too many volts"])
def test_volts_lost_on_the_way_are_still_looked_for(more):
    """Also where too many volts make the lamp across give twice its light."""
    cart = altered("corrode W4 at E1:1 1.6 ohm")
    told = lamp_table(changed(cart, *(read_change(each, cart) for each in more))).uneven
    assert len(told) == 1 and told[0].endswith("Look for the volts that are lost on the way to E1 and back")

"""The trailer converter against published circuits for one, and against series circuits by hand."""

from itertools import product

import pytest

from circuitlab.arrangements import SetValue, arrangement, changed
from circuitlab.parts import Battery, Control, Converter, Resistor, Switch
from circuitlab.parts.converter import LOGICS, TYPES, logic_of
from circuitlab.solving import operating_point

from .small_circuits import circuit

CIRCUITS = ("three published circuits for a converter: a radio amateur's 4-to-3 wire taillight conversion, an electronics "
            "magazine's trailer stop and turn signal converter, a maker's shop blog on a lighting controller (2017)")
GOOD = "the electronics magazine's page: about 2.5 V lost in typical converters, 0.5 V at 2 A in a good one, which also drives 7.5 A"
TOWING = "a towing-parts maker's wiring page, credited to SAE: 4 A for each circuit of a vehicle with separate lamps, 7.5 A with combined ones"

# stop, turn: what the lamp of that side does; three circuits agree on the first, and warn of the second
PUBLISHED = {"exclusive": {(0, 0): 0, (1, 0): 1, (0, 1): 1, (1, 1): 0}, "plain": {(0, 0): 0, (1, 0): 1, (0, 1): 1, (1, 1): 1}}


@pytest.mark.outside(CIRCUITS)
@pytest.mark.parametrize("logic", LOGICS)
def test_the_truth_table_is_the_published_one(logic):
    assert {tuple(map(int, given)): int(out) for given, out in logic_of(logic).items()} == PUBLISHED[logic]


def bench(converter, ohms=6.0, tail=30.0):
    """A converter on a battery of 12.8 V with hardly any resistance, a switch on each signal, a resistor on each output."""
    named = (("54", "stop"), ("L", "left"), ("R", "right"), ("58", "tail"))
    parts = [Battery("G1", 12.8, 0.001), converter, *(Switch(f"S{signal}", name, {"on": [("1", "2")]}) for signal, name in named),
             Resistor("R1", ohms), Resistor("R2", ohms), Resistor("R3", tail)]
    pairs = [pair for signal, _ in named for pair in (("G1:+", f"S{signal}:1"), (f"S{signal}:2", f"K11:{signal}"))]
    pairs += [("K11:Lt", "R1:1"), ("K11:Rt", "R2:1"), ("K11:58t", "R3:1"), *((f"R{number}:2", "G1:-") for number in (1, 2, 3)), ("K11:31", "G1:-")]
    pairs += [("G1:+", "K11:30")] if converter.type == "powered" else []
    return circuit(parts, pairs, [Control(name, ("off", "on")) for _, name in named])


@pytest.mark.outside(CIRCUITS)
@pytest.mark.parametrize(("type_", "logic"), list(product(TYPES, LOGICS)))
def test_every_combination_of_signals_gives_what_the_table_says_on_each_side(type_, logic):
    whole = bench(Converter("K11", type_, logic))
    for stop, left, right, tail in product((0, 1), repeat=4):
        said = dict(zip(("stop", "left", "right", "tail"), (("off", "on")[on] for on in (stop, left, right, tail))))
        point = operating_point(whole, said)
        assert point.verdict == "settled"
        lit = [point.across(f"R{number}:1", f"R{number}:2") > 6 for number in (1, 2, 3)]
        assert lit == [bool(PUBLISHED[logic][stop, left]), bool(PUBLISHED[logic][stop, right]), bool(tail)], said
        for number, is_lit in zip((1, 2, 3), lit):
            assert is_lit or abs(point.across(f"R{number}:1", f"R{number}:2")) < 0.01


@pytest.mark.outside(GOOD)
def test_a_powered_one_loses_half_a_volt_at_2_a_and_that_is_a_resistance():
    """12.8 V over 0.25 ohm and 6.15 ohm are 2 A: 0.5 V lost; over 12.55 ohm 1 A, and 0.25 V."""
    for ohms, amps in ((6.15, 2.0), (12.55, 1.0)):
        point = operating_point(bench(Converter("K11"), ohms), {"stop": "on"})
        assert point.current("R1") == pytest.approx(amps, abs=0.005)
        assert point.across("K11:30", "K11:Lt") == pytest.approx(0.25 * amps, abs=0.005)


@pytest.mark.outside(GOOD)
@pytest.mark.parametrize("loses", [0.5, 2.5])
def test_an_unpowered_one_loses_so_many_volts_at_2_a_and_nearly_as_many_at_less(loses):
    """Its junctions hardly care: at half the amps more than half of the volts are lost."""
    whole = bench(Converter("K11", "unpowered", loses=loses), (12.8 - loses) / 2)
    assert operating_point(whole, {"stop": "on"}).across("K11:54", "K11:Lt") == pytest.approx(loses, abs=0.02)
    half = operating_point(bench(Converter("K11", "unpowered", loses=loses), 12.8 - loses), {"stop": "on"}).across("K11:54", "K11:Lt")
    assert 0.7 * loses < half < loses


@pytest.mark.outside("worked by hand: 12.8 to 10.3 V by the published exponent of flux, about 3.4 (lamp rerating), is 48 % of the light")
def test_2_5_v_lost_in_a_simple_one_take_half_of_a_bulb_s_light():
    cart = changed(arrangement("trailer-4-flat-converter"), SetValue("K11", "loses", 2.5))
    good, simple = (operating_point(each, {"brake pedal": "held"}) for each in (arrangement("trailer-4-flat-converter"), cart))
    volts = [point.across("E7:1", "E7:2") for point in (good, simple)]
    assert volts[0] - volts[1] == pytest.approx(1.6, abs=0.3)       # at 1.8 A, less as the lamp gets less
    assert simple.light("E7") / good.light("E7") == pytest.approx((volts[1] / volts[0]) ** 3.4, rel=0.06)


@pytest.mark.outside(f"{GOOD}; {TOWING}")
def test_what_a_channel_is_made_for_is_the_published_amps():
    assert [Converter("K11", type_).most_amps for type_ in TYPES] == [7.5, 4.0]
    assert [Converter("K11", type_).lost_volts for type_ in TYPES] == [0.5, 2.5]

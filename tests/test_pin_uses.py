"""What the wires of a connector's pins lead to, beside what is usual on them: a caution where it does not fit, in every place that shows cautions."""

from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import LoseJoint, SetValue, Short, changed
from circuitlab.arrangements.pin_uses import pin_words
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.commands.proofs import print_cautions
from circuitlab.parts import Battery, Chassis, Connector, Lamp, TwoFilamentLamp
from circuitlab.views.sizing_words import sizing_text

from outside.small_circuits import circuit

FLAT, TWELVE = (cl.arrangement(name) for name in ("trailer-4-flat-combined-lamps", "trailer-12n-separate-lamps"))


def exchanged(cart, one, other, halves="sp"):
    """Return a cart with the wires of two pins of X5 in each other's place, on one half or both."""
    to = {f"X5:{pin}{half}": f"X5:{there}{half}" for pin, there in ((one, other), (other, one)) for half in halves}
    return replace(cart, wires=[replace(wire, start=to.get(wire.start, wire.start), end=to.get(wire.end, wire.end)) for wire in cart.wires])


def told(cart):
    """Return the pin and what is told to be there, by the pin."""
    return {words.split()[1]: words.partition(", and ")[2].partition(". Put")[0] for words in pin_words(cart)}


@pytest.mark.parametrize("name", cl.arrangement_names())
def test_no_arrangement_of_the_kit_has_any(name):
    assert told(cl.arrangement(name)) == {}


@pytest.mark.outside("SAE J1239 and ISO 1724, trade lists of contacts: yellow left, green right, brown tail, white ground; 1 left turn, 5 and 7 tail, 6 stop")
@pytest.mark.parametrize("cart, one, other, expected", [
    (FLAT, 3, 4, {"3": "E8 (trailer right)", "4": "E7 (trailer left)"}),
    (FLAT, 2, 3, {"3": "E9 (trailer left tail), E10 (trailer right tail)"}),
    (TWELVE, 5, 7, {"5": "E13 (trailer left tail)", "7": "E14 (trailer right tail)"}),
    (TWELVE, 1, 7, {"1": "E13 (trailer left tail)", "7": "E7 (trailer left turn)"}),
    (TWELVE, 1, 6, {"1": "E11 (trailer left stop), E12 (trailer right stop)", "6": "E7 (trailer left turn)"}),
])
def test_lamps_that_a_pin_is_not_for_are_named(cart, one, other, expected):
    """Whether the wires are exchanged on both halves, where every row is still proved, or on the trailer's alone."""
    for halves in ("sp", "p"):
        found = told(exchanged(cart, one, other, halves))
        assert {pin: words.replace(" and ", ", ").partition("lead to ")[2] for pin, words in found.items()} == expected


def test_a_trailer_with_left_and_right_exchanged_on_both_halves_is_proved_and_cautioned():
    """Its own rows are right; it is the next trailer or cart on this plug that signals to the wrong side."""
    cart = exchanged(FLAT, 3, 4)
    assert cl.prove(cart).is_proved and [*told(cart)] == ["3", "4"] and len(cart.cautions()) == 2


def test_a_ground_pin_that_is_not_grounded_on_the_vehicle_is_told_and_one_lost_by_a_fault_is_not():
    off = told(exchanged(FLAT, 1, 2, "s"))
    assert off == {"1": "on the vehicle's half W31 to X11:4 leads neither to the frame nor to the battery's minus"}
    white = next(wire.name for wire in FLAT.wires if "X5:1s" in wire.terminals)
    for fault in (LoseJoint(white, "X5:1s"), Short("X5:3s", "X5:4s"), SetValue("X5", "pins", "1: inf")):
        assert told(changed(FLAT, fault)) == {}


def test_wired_for_four_pins_and_called_another_kind_is_told_by_prove_size_and_sheet(capsys):
    """Pin 2 is rear fog there, of which nothing is said; 4 is right turn in both."""
    cart = changed(FLAT, SetValue("X5", "type", "13-pin"))
    assert [*told(cart)] == ["1", "3"] and cl.prove(cart).is_proved
    said = next(pin_words(cart))
    assert said.startswith("pin 1 of connector 'X5' (13-pin) is usually left turn, and on the trailer's half wires alone lead to E8 (trailer right)")
    print_cautions(cart)        # what the command prove prints first
    for page in (capsys.readouterr().out, sizing_text(cl.size(cart))):
        assert f"Caution: {said}" in page
    assert "pin 1 of connector &#x27;X5&#x27; (13-pin) is usually left turn" in build_sheet(cart)


def test_of_two_filaments_each_is_judged_by_the_spring_that_feeds_it():
    """The bright one may be turn lamp, stop lamp or both; the weak one is a tail lamp, whatever the glass is called."""
    def behind(turn, tail):
        parts = [Battery("G1"), Chassis("X1"), Connector("X5", "12N"), TwoFilamentLamp("E1", place="trailer left tail and turn")]
        return circuit(parts, [("X5:1p", turn), ("X5:7p", tail), ("E1:31", "X5:3p"), ("X5:3s", "X1:1"), ("G1:-", "X1:2"), ("G1:+", "X5:1s")],
                       length=1.0, area=1.5)
    assert told(behind("E1:54", "E1:58")) == {}
    assert [*told(behind("E1:58", "E1:54"))] == ["1", "7"]


def test_a_use_or_a_place_that_tells_nothing_is_left_alone_and_an_adapter_grounds_over_its_own_pin():
    parts = [Battery("G1"), Chassis("X1"), Connector("X5", "7-blade"), Connector("X6", "4-flat"), Lamp("E1", place="trailer"), Lamp("E2", place="work lamp, right")]
    pairs = [("G1:-", "X1:1"), ("X5:1s", "X1:2"), ("X5:1p", "X6:1s"), ("X5:5p", "X6:3s"), ("X6:3p", "E1:1"), ("X5:2p", "E2:1"),
             ("E1:2", "X6:1p"), ("E2:2", "X5:1p"), ("G1:+", "X5:5s")]
    assert told(circuit(parts, pairs, length=1.0, area=1.5)) == {}

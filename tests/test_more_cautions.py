"""Cautions on what wires alone do: poles joined, a wire unguarded up to its fuse, red light ahead of the vehicle."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import read_change
from circuitlab.arrangements.bare_runs import unguarded_words
from circuitlab.benches.board.desk import Desk
from circuitlab.parts import LedLamp
from circuitlab.solving import operating_point

CART = cl.arrangement("shared-filament-rear-relays")


def with_changes(cart, *sentences):
    """Return a cart with some changes made to it."""
    for words in sentences:
        cart = read_change(words, cart).apply(cart)
    return cart


def test_the_wire_that_joins_the_batterys_poles_is_named_and_the_solver_agrees():
    short = with_changes(CART, "add wire W90 from G1:+ to X1:2")
    (said, *_) = short.cautions()
    assert said.startswith("W90 joins the battery's plus to its minus") and "melts" in said
    assert operating_point(short, {}).verdict == "shorted"
    assert not any("melts" in words for words in CART.cautions())
    over_a_fuse = with_changes(CART, "add wire W90 from F1:2 to X1:2")
    assert not any("with no fuse" in words for words in over_a_fuse.cautions()), "a fuse lies in that way"


@pytest.mark.parametrize("metres, is_said", [("0.2 m", False), ("0.3 m", False), ("0.31 m", True), ("2 m", True)])
def test_a_wire_to_its_fuse_is_told_when_it_is_as_long_as_sizing_does_not_let_it_be(metres, is_said):
    """The same bound as the sizing rule, whose source stands there."""
    cart = with_changes(CART, f"set W1 length {metres}")
    assert any(words.startswith("W1 runs") for words in unguarded_words(cart)) == is_said
    (on_board,) = [words for words in Desk(cart).as_list()["stands"] if "aution" in words]
    assert ("W1 runs" in on_board) == is_said
    kept = [finding.is_kept for finding in cl.size(cart).findings if finding.rule == "the fuse sits at the battery" and finding.part == "W1"]
    assert kept == [not is_said]


@pytest.mark.parametrize(("metres", "is_said"), [("0.2 m", True), ("0.1 m", False), ("0.11 m", True)])
def test_all_wires_up_to_the_first_fuse_count_together_as_in_sizing(metres, is_said):
    """Battery to a distribution block 0.2 m, and on to the fuse: the board says what sizing calls a fire risk, and what to do about it."""
    cart = with_changes(CART, "set W1 length 0.2 m", 'add part X40 distribution block, bars "30: 4"', "move W1 from F1:1 to X40:1", "add wire W61 from X40:2 to F1:1",
                        f"set W61 length {metres}")
    said = [words for words in unguarded_words(cart) if words.startswith("W1, W61 run")]
    assert len(said) == is_said
    assert [finding.is_kept for finding in cl.size(cart).findings if finding.rule == "the fuse sits at the battery" and finding.part == "W61"] == [not is_said]
    if is_said:
        assert "Put a main fuse at the battery" in said[0] and "No caution" not in " ".join(Desk(cart).as_list()["stands"])
        mended = with_changes(cart, said[0].partition("such as: ")[2].rstrip("."))
        assert not [*unguarded_words(mended)]


def test_red_light_ahead_is_told_and_amber_is_not():
    """UN R48 par. 5.10.1, from memory: no red light to the front."""
    red = with_changes(CART, "replace E3 by lamp, bulb P21W, light red")
    assert any("'E3'" in words and "no red light may be seen from ahead" in words for words in red.cautions())
    assert not any("red light" in words for words in CART.cautions()), "rear lamps are red, front ones amber"
    assert with_changes(red, "set E3 light amber").cautions() == CART.cautions()


def test_none_of_the_kits_arrangements_has_any_of_these():
    carts = [cl.arrangement(name) for name in cl.arrangement_names()]
    said = [words for cart in carts for words in (*cart.cautions(), *unguarded_words(cart))]
    assert not [words for words in said if "melts" in words or "fuse lies ahead" in words or "red light" in words]


def test_a_test_lamp_at_a_floating_terminal_stays_dark_and_has_no_display():
    off = operating_point(with_changes(CART, "blow F1"), {"brake pedal": "released"})
    assert "the test lamp stays dark" in cl.take_reading(off, "F1:2", None, "test lamp").brief
    assert "display" in cl.take_reading(off, "F1:2").brief


def test_an_led_lamp_whose_plus_a_wire_joins_to_ground_is_not_called_turned():
    cart = cl.arrangement("led-lamps-no-load")
    lamp = next(part.name for part in cart.of_kind(LedLamp))
    joined = with_changes(cart, f"add wire W90 from {lamp}:1 to {lamp}:2")
    (said,) = [words for words in joined.cautions() if f"'{lamp}'" in words and "stay dark" in words]
    assert said.startswith(f"wire W90 joins {lamp}:1, of LED lamp '{lamp}', to ground") and "wrong way round" not in said
    assert with_changes(joined, "remove W90").cautions() == cart.cautions()
    ends = [cart.wires_at[f"{lamp}:{end}"][0] for end in "12"]
    turned = with_changes(cart, f"move {ends[0]} from {lamp}:1 to {lamp}:2", f"move {ends[1]} from {lamp}:2 to {lamp}:1")
    assert any(f"LED lamp '{lamp}' is the wrong way round" in words for words in turned.cautions())
    trailer = with_changes(cl.arrangement("trailer-4-flat-converter-led"), "add wire W70 from E7:1 to X1:9")
    assert any(words.startswith("wire W70 joins E7:1, of LED lamp 'E7', to ground") for words in trailer.cautions()), "whose ground goes over a connector"
    assert not any("wrong way round" in words for words in trailer.cautions())

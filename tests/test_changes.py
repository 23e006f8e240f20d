"""Changes and faults: an arrangement in, another out, and the old one stays as it was."""

import pickle
import sys
from dataclasses import replace
from math import inf
from subprocess import run

import pytest

from circuitlab.arrangements import (AddWire, Hold, LoseJoint, MoveWire, RemoveWire, ReplacePart, SetValue,
                                     SwapTerminals, arrangement, changed, read_text, write_text)
from circuitlab.ground.errors import ArrangementError, PartError, UnknownName
from circuitlab.parts import Fuse, Lamp, Relay, Wire, turn_lever

EVERY_CHANGE = (
    MoveWire("W15", "X4:2", "X5:2"), SwapTerminals("K1:87", "K1:87a"), LoseJoint("W22", "X1:1"),
    LoseJoint("W23", "X1:2", 0.8), ReplacePart(Lamp("E2", 13.5, 5.2, "R5W", place="rear right")),
    SetValue("F1", "rating", 5.0), AddWire(Wire("W90", "K1:30", "K2:30", "PK", 0.2, 1.5)), RemoveWire("W9"),
    Hold("K2", "released"))


@pytest.fixture
def cart():
    return arrangement("shared-filament-rear-relays")


@pytest.mark.parametrize("change", EVERY_CHANGE, ids=str)
def test_a_change_gives_another_arrangement_and_leaves_the_old_one_alone(cart, change):
    before, text = arrangement("shared-filament-rear-relays"), write_text(cart)
    after = change.apply(cart)
    assert after != cart and after is not cart
    assert cart == before and write_text(cart) == text
    assert changed(cart, change) == after
    assert changed(cart) is cart


def test_what_is_equal_has_one_hash_however_it_was_made_and_in_another_process_too(cart):
    """A relay learns of the diode beside it only once all parts are known, so a record is made in two steps."""
    hash(cart)
    diode = AddWire(Wire("W90", "K1:30", "K2:30", "PK", 0.2, 1.5))
    one, other = diode.apply(cart), replace(cart, wires=(*cart.wires, diode.wire))
    assert one == other and hash(one) == hash(other) != hash(cart)
    beside = read_text(write_text(arrangement("hazard-by-diodes")))
    assert beside == replace(arrangement("hazard-by-diodes"), name=beside.name) and hash(beside) == hash(replace(beside))
    there = run([sys.executable, "-c", "import pickle, sys; cart = pickle.load(sys.stdin.buffer); from circuitlab import arrangement; "
                 "sys.exit(hash(cart) != hash(arrangement(cart.name)))"], input=pickle.dumps(cart), check=False)
    assert there.returncode == 0


def test_undo_is_replay_without_the_last_change(cart):
    steps = [cart]
    for change in EVERY_CHANGE:
        steps.append(change.apply(steps[-1]))
    for count, step in enumerate(steps):
        assert changed(cart, *EVERY_CHANGE[:count]) == step
    assert len({write_text(step) for step in steps}) == len(EVERY_CHANGE) + 1


def test_a_changed_arrangement_survives_its_text_file(cart):
    broken = changed(cart, *EVERY_CHANGE)
    assert read_text(write_text(broken), cart.name) == broken


# ------------------------------------------------------------------ what each one does

def test_moving_a_wire_changes_that_end_only(cart):
    wire = cart.part("W14")
    after = MoveWire("W14", wire.end, "X1:4").apply(cart)
    assert after.part("W14") == replace(wire, end="X1:4")
    assert "W14" in after.wires_at["X1:4"] and "W14" not in after.wires_at[wire.end]
    assert [w for w in after.wires if w.name != "W14"] == [w for w in cart.wires if w.name != "W14"]


def test_moving_a_wire_there_and_back_gives_the_same_arrangement(cart):
    start = cart.part("W14").start
    there = MoveWire("W14", start, "X5:2").apply(cart)
    assert MoveWire("W14", "X5:2", start).apply(there) == cart


def test_swapping_two_terminals_exchanges_all_their_wires_and_twice_is_nothing(cart):
    swap = SwapTerminals("K1:87", "K1:87a")
    after = swap.apply(cart)
    assert after.wires_at["K1:87"] == cart.wires_at["K1:87a"] == ("W4",)
    assert after.wires_at["K1:87a"] == cart.wires_at["K1:87"] == ("W16",)
    assert swap.apply(after) == cart


def test_swapping_with_a_loose_terminal_and_between_parts_moves_the_wires_over():
    cart = arrangement("shared-filament-four-relays")
    after = SwapTerminals("K3:87", "K3:87a").apply(cart)
    assert after.wires_at["K3:87"] == () and after.wires_at["K3:87a"] == cart.wires_at["K3:87"] != ()
    crossed = SwapTerminals("K1:86", "K2:86").apply(cart)
    assert crossed.wires_at["K1:86"] == cart.wires_at["K2:86"]


def test_swapping_the_two_ends_of_one_wire_keeps_the_wire():
    lamp = arrangement("one-fused-lamp")
    after = SwapTerminals("S1:2", "E1:1").apply(lamp)
    assert (after.part("W3").start, after.part("W3").end) == ("E1:1", "S1:2")


def test_a_lost_joint_opens_the_end_that_is_named(cart):
    wire = cart.part("W22")
    after = LoseJoint("W22", wire.end).apply(cart).part("W22")
    assert (after.start_joint, after.end_joint, after.resistance) == (wire.start_joint, inf, inf)
    corroded = LoseJoint("W22", wire.start, 0.7).apply(cart).part("W22")
    assert (corroded.start_joint, corroded.end_joint) == (0.7, wire.end_joint)
    assert corroded.resistance == pytest.approx(wire.resistance + 0.7 - wire.start_joint)


def test_another_part_takes_the_place_and_the_wires_of_the_old_one(cart):
    after = ReplacePart(Fuse("F1", 20.0)).apply(cart)
    assert after.part("F1") == Fuse("F1", 20.0)
    assert after.wires == cart.wires and [p.name for p in after.parts] == [p.name for p in cart.parts]


def test_one_value_is_set_and_the_rest_of_the_part_stays(cart):
    after = SetValue("K9", "type", "electronic free running").apply(cart)
    assert after.part("K9") == replace(cart.part("K9"), type="electronic free running")
    thin = SetValue("W20", "area", 0.75).apply(cart)
    assert thin.part("W20").copper == pytest.approx(2 * cart.part("W20").copper)  # half the copper, from 1.5 mm2


def test_a_wire_is_added_last_and_taken_out_again(cart):
    wire = Wire("W90", "E1:1", "E2:1", "PK")
    after = AddWire(wire).apply(cart)
    assert after.wires == cart.wires + (wire,)
    assert RemoveWire("W90").apply(after) == cart


def test_a_part_is_held_and_the_later_word_counts(cart):
    after = changed(cart, Hold("K1", "released"), Hold("F1", "blown"), Hold("K1", "operated"))
    assert dict(after.held) == {"K1": "operated", "F1": "blown"}
    assert cart.held == ()


@pytest.mark.parametrize("change, words", [
    (MoveWire("W4", "K1:87a", "K1:87"), "move W4 from K1:87a to K1:87"),
    (SwapTerminals("K1:87", "K1:87a"), "swap K1:87 and K1:87a"),
    (LoseJoint("W4", "K1:87a"), "lose W4 at K1:87a"),
    (LoseJoint("W4", "K1:87a", 0.5), "corrode W4 at K1:87a 0.5 ohm"),
    (ReplacePart(Fuse("F1", 5.0)), "replace F1 by a new fuse, rating 5 A"),
    (SetValue("F1", "rating", 5.0), "set F1 rating 5 A"),
    (AddWire(Wire("W90", "E1:1", "E2:1")), "add wire W90 from E1:1 to E2:1 0.5 m 1 mm2"),
    (RemoveWire("W4"), "remove W4"), (Hold("F1", "blown"), "blow F1")])
def test_a_change_says_itself_in_words(change, words):
    assert str(change) == words


# ------------------------------------------------------------------ what cannot be done

@pytest.mark.parametrize("change, error, words", [
    (MoveWire("W99", "F1:1", "F1:2"), UnknownName, r"has no wire 'W99'"),
    (MoveWire("F1", "F1:1", "F1:2"), UnknownName, r"has no wire 'F1'. It has: W1, W2"),
    (MoveWire("W4", "K1:87", "K2:87"), UnknownName, r"wire 'W4' is not on 'K1:87'. Its ends are on X3:2 and K1:87a"),
    (MoveWire("W4", "K1:87a", "K1:88"), UnknownName, r"relay 'K1' has no terminal '88'. It has: 30, 85, 86, 87, 87a"),
    (MoveWire("W4", "K1:87a", "X3:2"), PartError,
     r"wire 'W4': both ends are on 'X3:2'. Give it two different terminals"),
    (MoveWire("W4", "K1:87a", "W5:1"), UnknownName, r"'W5' is a wire, no terminal"),
    (SwapTerminals("K1:87", "K1:87b"), UnknownName, r"relay 'K1' has no terminal '87b'"),
    (SwapTerminals("K7:87", "K1:87"), UnknownName, r"has no part 'K7'. It has: G1, F1"),
    (LoseJoint("W4", "K2:87a"), UnknownName,
     r"wire 'W4' is not on 'K2:87a'. Its ends are on X3:2 and K1:87a"),
    (LoseJoint("W4", "K1:87a", 0.0), PartError,
     r"wire 'W4': end joint must be between 0.001 and inf ohm, got 0"),
    (LoseJoint("W4", "K1:87a", -1), PartError, r"wire 'W4': end joint must be between"),
    (ReplacePart(Fuse("F9")), UnknownName, r"has no part 'F9'"),
    (ReplacePart(Relay("K1", contact="make")), ArrangementError,
     r"the new relay 'K1' has no terminal '87a', but wire 'W4' is on it. Move the wire first"),
    (ReplacePart(turn_lever("S3")), ArrangementError,
     r"the new switch 'S3' has no terminal '15', but wire 'W9' is on it"),
    (ReplacePart(turn_lever("S3", "steering", (("15", "SL", "SR"), ("49a", "L", "R")))), UnknownName,
     r"has no control 'steering'. It has: key, brake pedal, turn lever"),
    (SetValue("F1", "watts", 5.0), UnknownName, r"fuse 'F1' has no value 'watts'. It has: rating, place, note"),
    (SetValue("F1", "name", "F8"), UnknownName, r"fuse 'F1' has no value 'name'"),
    (SetValue("F1", "rating", -5.0), PartError, r"fuse 'F1': rating must be between 0.1 and 500 A, got -5"),
    (SetValue("F1", "rating", "five"), PartError, r"fuse 'F1': rating: 'five' is not a quantity"),
    (SetValue("F1", "note", 5), PartError, r"fuse 'F1': note must be words in quotes, got 5"),
    (SetValue("S1", "closes", 5), PartError,
     r"switch 'S1': closes must give terminal pairs for each position, such as .*, got 5"),
    (SetValue("F11", "rating", 5.0), UnknownName, r"has no part 'F11'.*Did you mean 'F1'"),
    (AddWire(Wire("W4", "E1:1", "E2:1")), ArrangementError, r"2 parts are named 'W4'. Give each its own name"),
    (AddWire(Wire("W90", "E1:1", "E2:9")), UnknownName,
     r"wire 'W90' goes to 'E2:9', but lamp 'E2' has no terminal '9'"),
    (RemoveWire("W99"), UnknownName, r"has no wire 'W99'"),
    (RemoveWire("K1"), UnknownName, r"has no wire 'K1'. It has: W1"),
    (Hold("F1", "molten"), UnknownName, r"fuse 'F1' has no state 'molten'. It has: whole, blown"),
    (Hold("S3", "up"), UnknownName, r"switch 'S3' has no state 'up'. It has: off, left, right"),
    (Hold("K9", "on and on"), UnknownName, r"flasher 'K9' has no state 'on and on'. It has: idle, on, off"),
    (Hold("K8", "on"), UnknownName, r"has no part 'K8'"),
], ids=str)
def test_a_change_that_cannot_be_made_says_why_and_what_there_is(cart, change, error, words):
    with pytest.raises(error, match=words):
        change.apply(cart)
    assert cart == arrangement("shared-filament-rear-relays")


def test_a_name_alone_is_no_part_and_no_wire():
    with pytest.raises(ArrangementError, match=r"'F1' is not a part to put in. Give one such as Fuse\('F1', 5\)"):
        ReplacePart("F1")
    with pytest.raises(ArrangementError, match=r"is not a part to put in"):
        ReplacePart(Wire("W1", "E1:1", "E2:1"))
    with pytest.raises(ArrangementError, match=r"'W90' is not a wire. Give one such as Wire\("):
        AddWire("W90")


def test_no_change_of_a_row_is_made_when_one_of_them_fails(cart):
    with pytest.raises(UnknownName):
        changed(cart, SetValue("F1", "rating", 5.0), RemoveWire("W99"))
    assert cart.part("F1").rating == 7.5

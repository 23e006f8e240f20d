"""Where parts stand while a circuit is wired: a hand puts them there, nothing else moves, and the file draws the same again."""

from dataclasses import replace
from random import Random

import pytest

import circuitlab as cl
from circuitlab.arrangements import read_change
from circuitlab.arrangements.plan import Plan, stood
from circuitlab.benches.board.desk import Desk
from circuitlab.ground.errors import CircuitLabError
from circuitlab.views.attached import lay_out_attached

BY_HAND = ("add part F1 fuse, rating 7.5 A at 37 7", 'add part S1 switch, control lamps, closes "on: 1-2" with control lamps: off, on at 37 20',
           "add part E1 lamp at 37 33", "add wire W1 from G1:+ to F1:1 RD 0.5 m 1 mm2", "add wire W2 from F1:2 to S1:1 RD 0.5 m 1 mm2",
           "add wire W3 from S1:2 to E1:1 RD 0.5 m 1 mm2", "add wire W4 from E1:2 to X1:2 BK 0.5 m 1 mm2", "add wire W5 from G1:- to X1:1 BK 0.5 m 1 mm2")


def heard(desk, words):
    """Type a change, and return where each block stands after it. [step]"""
    answers = {answer["kind"]: answer for answer in desk.hear({"kind": "typed", "words": words, "act": desk.last + 1, "at": 0})}
    assert "trouble" not in answers, answers["trouble"]
    return spots(desk.sheet)


def spots(sheet):
    """Return where each block of a sheet stands. [step]"""
    return {name: (x, y) for name, x, y, _ in sheet.spots}


@pytest.fixture
def desk(tmp_path):
    """A desk with an empty board, as it opens."""
    desk = Desk(cl.changes.bare(), form="attached")
    desk.folder = tmp_path
    return desk


def test_no_block_moves_while_a_circuit_is_put_together_by_hand(desk):
    before = spots(desk.sheet)
    for words in BY_HAND:
        after = heard(desk, words)
        assert {name: after[name] for name in before} == before, words
        before = after


def test_a_part_stood_elsewhere_moves_alone_and_back_when_it_is_undone(desk):
    for words in BY_HAND:
        before = heard(desk, words)
    after = heard(desk, "stand E1 at 62 20")
    assert after["E1"][0] > before["E1"][0] + 15
    assert {name for name in before if after[name] != before[name]} == {"E1"}
    list(desk.hear({"kind": "undo", "words": "stand E1 at 62 20", "act": desk.last + 1, "at": 0}))
    assert spots(desk.sheet) == before


def test_the_file_of_a_circuit_wired_by_hand_is_drawn_as_it_stood(desk, tmp_path):
    for words in (*BY_HAND, "stand E1 at 62 20", "add part E2 lamp", "add wire W6 from S1:2 to E2:1 RD 0.5 m 1 mm2"):
        stood_there = heard(desk, words)
    list(desk.hear({"kind": "store", "file": "mine"}))
    read = cl.load(tmp_path / "mine.toml")
    assert read == replace(desk.tried.arrangement, name="mine") and spots(lay_out_attached(read)) == stood_there
    assert spots(Desk(read, form="attached").sheet) == stood_there


@pytest.mark.full
def test_parts_put_anywhere_stand_somewhere_and_those_before_stay_nearly(desk):
    """Forty lamps at random places, many over each other: every one is on the sheet, none over another, and few push a column aside."""
    chance, before, moved = Random(7), spots(desk.sheet), 0
    for number in range(1, 41):
        try:
            after = heard(desk, f"add part E{number} lamp at {chance.randint(0, 90)} {chance.randint(0, 60)}")
        except AssertionError as error:
            assert "at one place" in str(error)
            continue
        boxes = [block.box for block in desk.sheet.blocks]
        assert not any(one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
                       for place, one in enumerate(boxes) for other in boxes[place + 1:])
        moved += any(abs(after[name][0] - x) > 0.1 for name, (x, _) in before.items())
        before = after
    assert len(before) > 30
    assert moved <= 10, f"{moved} parts of 40 pushed what stood there aside"


@pytest.mark.parametrize("words, says", [
    ("add part E1 lamp at -1 2", "off the sheet"), ("add part E1 lamp at 3 9000", "off the sheet"), ("add part E1 lamp at 1..2 3", "is no number")])
def test_a_place_that_is_none_is_refused_in_a_sentence(words, says):
    with pytest.raises(CircuitLabError) as caught:
        read_change(words, cl.changes.bare())
    assert says in str(caught.value)


@pytest.mark.parametrize("words", ["add part E1 lamp, place rear at 30 2", "add part E1 lamp standing at 30, 2", 'add part E1 lamp, place "at 3 4" at 30 2.5'])
def test_a_part_with_a_place_says_itself_as_it_is_read(words):
    change = read_change(words, cl.changes.bare())
    assert read_change(str(change), cl.changes.bare()) == change and change.at[0] == 30
    there = change.apply(cl.changes.bare())
    assert dict((spot[0], spot[1]) for spot in there.plan.attached)["E1"] == 30
    assert there == read_change(str(change).rpartition(" at ")[0], cl.changes.bare()).apply(cl.changes.bare()), "where it stands is no part of the circuit"


def test_an_arrangement_without_a_plan_gets_one_of_how_it_is_drawn_when_a_part_is_put_in_at_a_place():
    cart = cl.arrangement("one-fused-lamp")
    there = read_change("add part E9 lamp at 80 2", cart).apply(cart)
    drawn = spots(lay_out_attached(cart))
    assert {spot[0]: spot[1:3] for spot in there.plan.attached if spot[0] != "E9"} == drawn
    assert {name: place for name, place in spots(lay_out_attached(there)).items() if name != "E9"} == drawn


def test_what_two_plans_tell_otherwise_does_not_stay():
    was, now = Plan([("K1", 4, 2, False), ("K2", 4, 9, False)]), Plan([("K1", 9, 2, False), ("K2", 4, 9, False)])
    drawn = (("K1", 5.0, 2.0, False), ("K2", 5.0, 9.0, False), ("E1", 20.0, 2.0, False))
    wires = (("W1", "K1:87", "right", "E1:1", "left", 3.0, 2.0), ("W2", "K2:87", "left", "E1:2", "left", 9.0, 4.0))
    sheet = Plan(drawn, columns=[(5, "K1", "K2"), (20, "E1")], wires=wires)
    left = stood("attached", now, was, sheet)
    assert set(left.attached) == {("K1", 9.0, 2.0, False), *drawn[1:]} and left.wires == wires[1:], "a wire of a part that moved finds its sides anew"
    assert left.columns == ((5, "K2"), (20, "E1")), "K1 may give way, what stood may not"
    assert set(stood("attached", Plan(), was, sheet).attached) == {drawn[2]}, "what is planned no more stands where the kit puts it"


def test_no_outline_of_a_vehicle_is_drawn_round_lamps_that_stand_elsewhere_than_their_places_say():
    """Two lamps put the wrong way round by hand: the drawing does not claim that left is right."""
    cart = cl.changes.bare()
    for words in ("add part E1 lamp, place rear left at 60 4", "add part E2 lamp, place rear right at 30 4"):
        cart = read_change(words, cart).apply(cart)
    assert lay_out_attached(cart).outline == ()
    turned = read_change("stand E1 at 30 30", cart).apply(cart)
    turned = read_change("stand E2 at 60 30", turned).apply(turned)
    assert lay_out_attached(turned).outline != ()


def test_the_first_part_stood_elsewhere_on_a_cart_without_a_plan_moves_alone_though_others_were_put_in_before(tmp_path):
    """The kit would draw the cart otherwise with what was put in; a board draws it as it stood, there and back."""
    desk = Desk(cl.arrangement("shared-filament-rear-relays"), form="attached")
    desk.folder = tmp_path
    for words in ("add part F9 fuse, rating 5 A", "add part E9 lamp", "add wire W90 from F9:2 to E9:1 RD 0.5 m 1 mm2"):
        before = heard(desk, words)
    assert before != spots(lay_out_attached(desk.tried.arrangement)), "else this shows nothing"
    after = heard(desk, "stand F9 at 110 20")
    assert {name for name in before if after[name] != before[name]} == {"F9"}
    list(desk.hear({"kind": "undo", "words": "stand F9 at 110 20", "act": desk.last + 1, "at": 0}))
    assert {name: there for name, there in spots(desk.sheet).items() if name != "F9"} == {name: there for name, there in before.items() if name != "F9"}

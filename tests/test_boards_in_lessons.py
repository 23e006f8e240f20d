"""The live boards of the lessons, worked by their desks: every button does something, and comes off again."""

from itertools import count, product

import pytest
from worked_lessons import worked

import circuitlab as cl
from circuitlab.benches.board.desk import TICK
from circuitlab.ground.places import kit_folder
from circuitlab.parts import Fuse

LESSONS = [path.stem for path in sorted(kit_folder("lessons").glob("[01][0-9]*_*.ipynb")) if "cl.board(" in path.read_text("utf-8")]
MOST_ROWS = 8      # that are gone through on one board
BY_HAND = {"04_size_fuse_and_wire": {"short at X2"}}       # what leaves a blown fuse, as the lesson says


def boards(name):
    """Return the boards that a lesson shows."""
    return [shown for shown in worked(name).shown.values() if hasattr(shown, "desk")]


class Hand:
    """A hand at a board's desk; between two acts it waits until everything has settled."""

    def __init__(self, board):
        self.desk, self.numbers = board.desk, count(board.desk.last + 1)

    def does(self, **message):
        """Do something, hear no trouble, and return each lamp's volts and look after a second, and all states of every part."""
        live, act = self.desk.live, next(self.numbers)
        said = list(self.desk.hear({"act": act, "at": round((live.now + 3) * TICK), **message}))
        assert [answer["words"] for answer in said if answer["kind"] == "trouble"] == []
        course, begin = live.ahead(live.now + 3), live.now + 1
        assert course.verdict == "settled", course.sentence
        flashes = {lamp: cl.flash(course, lamp, begin, begin + 2) for lamp in course.lamp_volts}
        states = {name: {state for _, end, state in course.spans(name) if end > begin} for name in dict(course.first)}
        return {lamp: flash.highest for lamp, flash in flashes.items()}, {lamp: flash.look for lamp, flash in flashes.items()}, states

    def blown(self):
        """Return the fuses that are blown and not held so."""
        live = self.desk.live
        held = dict(self.desk.present.held)
        return [fuse.name for fuse in self.desk.present.of_kind(Fuse) if live.at(live.now + 1).states[fuse.name] == "blown" and fuse.name not in held]


def alike(one, other):
    """Tell whether two such answers are the same, to what a meter shows of volts. [yes/no]"""
    return one[1:] == other[1:] and one[0] == pytest.approx(other[0], abs=0.03)


@pytest.mark.in_turn(13, 2)
@pytest.mark.parametrize("name", LESSONS)
def test_every_button_of_every_board_does_something_and_comes_off_again(name):
    """In some row it changes what is seen; undone, all is as before, but for a fuse it blew."""
    left_blown = set()
    for board in boards(name):
        hand, cards, seen = Hand(board), board.desk.tried.cards, set()
        rows = list(product(*(control.positions for control in board.desk.present.controls))) if cards else []
        for row in rows[::max(1, len(rows) // MOST_ROWS)]:
            for control, position in zip(board.desk.present.controls, row, strict=True):
                healthy = hand.does(kind="act", control=control.name, position=position)
            for words in cards:
                seen |= set() if alike(hand.does(kind="card", words=words, made=True), healthy) else {words}
                after = hand.does(kind="card", words=words, made=False)
                for fuse in hand.blown():
                    left_blown.add(words)
                    after = hand.does(kind="change", what="new", name=fuse)
                assert alike(after, healthy), (words, row)
        assert seen == set(cards)
    assert left_blown == BY_HAND.get(name, set())


def test_a_free_running_flasher_swings_without_its_bulbs_as_the_lesson_says():
    """With both left bulbs out one with lamp-out sensing waits, and the free-running one swings."""
    hand = Hand(boards("08_time_the_flasher")[0])
    hand.does(kind="act", control="turn lever", position="left")
    waits = hand.does(kind="card", words="both left bulbs out", made=True)[2]["K9"]
    swings = hand.does(kind="card", words="K9 free-running", made=True)[2]["K9"]
    assert (len(waits), len(swings)) == (1, 2)


@pytest.mark.parametrize("share, is_enough", [(0.45, True), (0.15, False)])
def test_the_dials_of_the_flasher_give_the_light_that_is_asked_for(share, is_enough):
    """At 120 a minute: with a long flash nearly the light of a steady lamp, with a short one far from it."""
    hand = Hand(boards("08_time_the_flasher")[0])
    steady = hand.desk.live.at(0).light("E3")
    hand.does(kind="dial", words="flash rate", value=120)
    hand.does(kind="dial", words="on share", value=share)
    course, now = hand.desk.live.ahead(hand.desk.live.now + 3), hand.desk.live.now
    assert (max(light for at, light in zip(course.times, course.light["E3"], strict=True) if at > now + 1) > 0.8 * steady) == is_enough


@pytest.mark.full
def test_the_two_thresholds_are_found_on_the_board_with_the_slider_as_the_lesson_says():
    """From 0 V up in steps of 0.1 V until K1 pulls in, down until it lets go: both within what the question takes for right."""
    lesson = worked("06b_pull_in_and_let_go")
    first = boards("06b_pull_in_and_let_go")[0]
    hand, found = Hand(first), {}
    dial = next(dial for dial in first.desk.tried.dials if dial.words == "supply")
    assert dial.least == 0
    for way, steps, state in (("pull in", range(0, 151), "operated"), ("lets go", range(150, -1, -1), "released")):
        hand.does(kind="dial", words="supply", value=next(iter(steps)) / 10)
        found[way] = next(step / 10 for step in steps if hand.does(kind="dial", words="supply", value=step / 10)[2]["K1"] == {state})
    asked = lesson.names["found"]
    circuit = cl.arrangement("relay-test-board")
    for way, volts in found.items():
        assert volts == pytest.approx(asked(circuit, f"{way}, K1"), rel=0.08)

"""Lesson 12 as a learner works it: shut before an answer, own replies for wrong ideas, counts that are the kit's."""

import re
from html import escape

import pytest
from worked_lessons import (LONGEST_REPLY, check_kept, check_right_answers, notebook, right_answer, right_choices, words,
                            worked)

import circuitlab as cl
from circuitlab.benches import Board
from circuitlab.benches.lesson import CLOSED, Question
from circuitlab.ground.places import kit_folder
from circuitlab.teaching import fairness

NAME = "12_change_one_thing"
AGREES = "That is what happens|That agrees with the circuit|Right"

# Reasoned by hand from the circuit, not taken from the kit.
RIGHT = {"fall back": "brake", "wait": "it stays open", "free": "in none", "amps": "less than a fifth",
         "needing": "turn lost", "heat": "about as much as a bulb", "weld": "where left is not chosen",
         "coil": "wrong signal", "share": "no effect", "lost": "none", "exclusive": "dark", "transfer": "stop lost"}
# E1 with the key on: pedal released and lever off, left, right; pedal held and lever off, left, right.
DECK = {"coil wire W11 off K1": "dark dark dark steady steady steady",
        "W4 off 87a of K1": "dark flashing dark dark flashing dark",
        "flasher K9 dead": "dark dark dark steady dark steady",
        "coil of K1 on the flashing wire": "flashing flashing flashing steady steady steady",
        "coil of K1 on the brake wire": "dark dark dark flashing flashing flashing",
        "87a of K1 on the key wire": "steady flashing steady steady flashing steady"}


pytestmark = pytest.mark.usefixtures("answers")


@pytest.fixture
def sat():
    return worked(NAME)


@pytest.fixture(scope="module")
def seen():
    """The lesson for those that only look at it: nobody answers anything in it."""
    return worked(NAME)


@pytest.fixture
def lesson(sat):
    return sat.lesson


def choices_of(lesson):
    """Return the questions with choices, by item."""
    return {item: question for item, question in lesson.questions.items() if isinstance(question, Question)}


def table_of(question):
    """Return the right looks of E1 for the card a text names, as worked out by hand."""
    return DECK[next(card for card in DECK if f"Card: {card}." in question.question)].split()


# ------------------------------------------------------------------ shut, and open

def test_nothing_shows_before_an_answer(seen):
    """Every result is shut, every reply empty of a verdict."""
    for item, question in choices_of(seen.lesson).items():
        assert not question.is_answered and question.shown == "", item
        assert not re.search(AGREES, question.reply), item


def test_an_observation_waits_for_its_prediction(lesson):
    """What is looked at in the table of amps cannot be told before the table is there."""
    waiting = lesson.questions["amps"]
    lesson.answer("amps", waiting.asked.truth())
    assert CLOSED in waiting.reply and not waiting.is_answered


def test_the_right_choices_are_those_reasoned_by_hand(seen):
    """The circuit's own answer to every question with choices."""
    assert right_choices(seen.lesson) == RIGHT


def test_a_right_answer_opens_what_was_shut(lesson):
    """Each prediction shows its result, each question says that the circuit agrees."""
    check_right_answers(lesson)
    assert right_answer(lesson.questions["deck"]) == {"E1": table_of(lesson.questions["deck"])}


@pytest.mark.full
def test_answers_are_there_again_the_next_time(answers):
    """All of them."""
    check_kept(worked, NAME, answers)


# ------------------------------------------------------------------ wrong answers

def test_each_wrong_choice_gets_a_reply_of_its_own(lesson):
    """Short, unlike its neighbours, without the right choice and without a verdict."""
    for item, question in choices_of(lesson).items():
        if question.asked.after:
            lesson.answer(question.asked.after, lesson.questions[question.asked.after].asked.truth())
        replies = question.asked.replies
        assert len(set(replies.values())) == len(replies) >= 3, item
        for wrong in set(replies) - {question.asked.truth()}:
            lesson.answer(item, wrong)
            assert escape(replies[wrong]) in question.reply, (item, wrong)
            assert 5 <= len(replies[wrong].split()) <= LONGEST_REPLY, (item, wrong)
            assert not re.search(AGREES + r"\.", question.reply), (item, wrong)
            if " " in question.asked.truth():
                assert question.asked.truth() not in replies[wrong], (item, wrong)


def test_the_cards_of_the_check_are_equally_hard(seen):
    """Different tables, one kept for the worked twin; the idea that nothing else changes is never right."""
    found = fairness(seen.lesson.questions["deck"])
    assert found.is_equal, found.sentence
    assert found.answers == len(DECK) - 1 == len({*DECK.values()}) - 1


@pytest.mark.in_turn(5, 2)
@pytest.mark.parametrize("turn", range(len(DECK) - 1))
def test_every_card_is_marked_by_the_circuit(lesson, turn):
    """Right by the table above; who leaves the rows as before gets that idea's reply; one row wrong is wrong."""
    question = lesson.questions["deck"]
    for _ in range(turn):
        question.renew()
    right = table_of(question)
    lesson.answer("deck", {"E1": "dark flashing dark steady flashing steady".split()})
    assert "E1 would keep its look" in words(question.reply) and "does not agree" in question.reply
    wrong = list(right)
    wrong[5] = "dark" if right[5] != "dark" else "steady"
    lesson.answer("deck", {"E1": wrong}, reason="each row is followed anew from its feed to E1")
    assert "does not agree" in question.reply
    lesson.answer("deck", {"E1": right}, reason="each row is followed anew from its feed to E1")
    assert "The circuit agrees" in question.reply and question.credit == 1


# ------------------------------------------------------------------ what is counted and classed

def test_the_classes_are_those_of_the_fault_table(seen):
    """Where the lesson says 'wrong signal', the kit's table of faults does; lost and none agree as well."""
    met, cart = set(), seen.names["cart"]
    for sentence in ("weld K1 operated", "lose W11 at K1:86", "lift K1:87a", "hold K9 off", "blow F1", "blow F2",
                     "lose W2 at F1:2"):
        comparison = seen.names["typed"](cart, sentence)
        (line,) = cl.fault_table(cart, faults=[cl.changes.read_change(sentence, cart)]).lines
        mine = seen.names["worst"](comparison)
        assert {"stop lost": "signal lost", "turn lost": "signal lost"}.get(mine, mine) == line.worst, sentence
        met.add(mine)
    assert met == {"wrong signal", "stop lost", "turn lost"}


def test_a_look_before_and_after_has_one_class(seen):
    for was, now, said in (
        ("dark", "dark", "no effect"), ("steady", "steady", "no effect"), ("dark", "steady", "wrong signal"),
        ("steady", "flashing", "wrong signal"), ("flashing", "steady", "wrong signal"), ("steady", "dark", "stop lost"),
        ("flashing", "dark", "turn lost")):
        assert seen.names["effect"](was, now) == said, (was, now)


def test_every_reveal_counts_the_rows_of_its_own_comparison(lesson):
    """The circuits are made here again; the sentence above each table is theirs."""
    cart, rear = cl.arrangement("shared-filament-four-relays"), cl.arrangement("shared-filament-rear-relays")
    leds = [cl.changes.read_change(f"replace E{n} by LED lamp", cart) for n in (1, 2, 3, 4)]
    made = {"free": (cart, leds), "needing": (rear, leds), "weld": (cart, [cl.Hold("K1", "operated")]),
            "coil": (cart, [cl.LoseJoint("W11", "K1:86")]), "share": (cart, [cl.MoveWire("W26", "X1:1", "E2:2")])}
    counts = {}
    for item, (before, changes) in made.items():
        comparison = cl.compare(before, cl.changed(before, *changes))
        counts[item] = len(comparison.changed_rows)
        lesson.answer(item, RIGHT[item])
        said = (f"In {counts[item]} of {len(comparison.rows)} rows some lamp looks different" if counts[item]
                else f"In all {len(comparison.rows)} rows every lamp looks the same")
        assert said in lesson.questions[item].shown, item
    assert counts["free"] == counts["share"] == 0 < counts["coil"] < counts["needing"] < counts["weld"]


def test_the_load_resistors_mend_the_led_lamps_at_the_price_of_heat(lesson):
    """The rows are those of bulbs again, and the watts shown are volts times volts over ohms."""
    loaded = cl.arrangement("led-lamps-load-resistors")
    rear, bare = cl.arrangement("shared-filament-rear-relays"), cl.arrangement("led-lamps-no-load")
    assert cl.compare(rear, loaded).is_same
    assert [round(cl.flash(cl.trial(each, {"key": "on", "turn lever": "left"}), "E3", 1.0).rate) for each in (rear, loaded, bare)] == [90, 90, 198]
    point = cl.operating_point(loaded, {"key": "on", "turn lever": "left"}, "on")
    lesson.answer("heat", RIGHT["heat"])
    assert "different from bulbs: 0." in lesson.questions["heat"].shown
    watts = cl.say(point.across("R1:1", "R1:2") ** 2 / loaded.part("R1").resistance, "W")
    assert watts in lesson.questions["heat"].shown


def test_the_exclusive_or_keeps_every_look_and_swings_against_the_front(lesson):
    """No row looks different; in each phase of the row with both, one of E1 and E3 is lit, never both."""
    xor, row = cl.arrangement("flashing-line-only"), {"key": "on", "brake pedal": "held", "turn lever": "left"}
    assert cl.compare(cl.arrangement("shared-filament-four-relays"), xor).is_same
    for phase in ("off", "on"):
        point = cl.operating_point(xor, row, phase)
        assert [point.light(lamp) > 0.25 for lamp in ("E1", "E3")] in ([True, False], [False, True]), phase
    lesson.answer("exclusive", RIGHT["exclusive"])
    assert lesson.questions["exclusive"].shown.count("one relay for each lamp: 0.") == 1


def test_no_count_of_rows_is_typed(seen):
    """Neither as a figure nor as a word before 'rows', save the six of the check that are written out there."""
    prose = "\n".join(cell.source for cell in notebook(NAME).cells if cell.cell_type == "markdown")
    spelt = "two|three|four|five|seven|eight|nine|ten|eleven|twelve"
    assert re.findall(rf"\b(?:\d+|{spelt})\s+(?:\w+\s+)?rows\b", prose) == []
    assert len(seen.names["six"]) == 6


def test_every_card_of_the_board_can_be_played_and_undone(sat):
    """Each alone says how many rows look different, and leaves nothing behind."""
    board, cart = sat.shown["bench"], sat.names["cart"]
    assert isinstance(board, Board) and len(board.desk.tried.cards) == 5
    for number, words in enumerate(board.desk.tried.cards):
        press = {"kind": "card", "act": 2 * number, "at": number * 10 ** 6, "words": words}
        said = {answer["kind"]: answer for answer in board.desk.hear(press | {"made": True})}
        assert "trouble" not in said and said["now"]["made"] == (words,)
        (table,) = board.desk.hear({"kind": "table", "positions": sat.names["both"], "only": False})
        changed = len(cl.compare(cart, board.desk.present).changed_rows)
        assert table["words"].startswith("1 change made. ") and (f"{changed} of " if changed else "every lamp looks the same") in table["words"]
        list(board.desk.hear(press | {"made": False}))
        assert board.desk.present == cart


@pytest.mark.parametrize("picture, name", [
    ("flashing_line_only", "flashing-line-only"), ("one_relay_for_each_lamp", "shared-filament-four-relays")])
def test_the_pictures_are_drawn_from_the_circuits(picture, name, tmp_path):
    """The file in the lessons is what the kit draws today."""
    cl.save_picture(cl.arrangement(name), tmp_path / "fresh.svg")
    kept = (kit_folder("lessons") / "pictures" / f"{picture}.svg").read_text("utf-8")
    assert kept == (tmp_path / "fresh.svg").read_text("utf-8")

"""An issued code is entered in a box of the lesson: right, wrong, another lesson's; kept for the next day, and marked."""

import json

import pytest
from hands import press

import circuitlab as cl
from circuitlab.benches.code_box import ITEM
from circuitlab.teaching import issue_code
from circuitlab.teaching.record_lines import CODED
from circuitlab.teaching.seeds import seed_of

LAMP = cl.arrangement("one-fused-lamp")
CODE = issue_code("invented quinces", "06", "seat 4")


def lesson(folder, number="06"):
    made = cl.Lesson(number, folder)
    made.measure("volts", "What is across the battery?", cl.vary(LAMP, {("G1", "voltage"): (11.8, 12.2, 12.6, 13.0, 13.4)}), "V",
                 lambda lamp: lamp.battery.voltage)
    return made, made.code_box()


def enter(box, code):
    press(box, "Code from a teacher")
    box.entry.value = code
    press(box, "Use this code")
    return box.said


def test_a_code_asks_its_own_numbers_at_once_and_the_next_day(tmp_path):
    """Small letters and spaces do not matter; what was answered and asked afresh before does not move it."""
    made, box = lesson(tmp_path)
    made.answer("volts", "1 V")
    made.questions["volts"].renew()
    said = enter(box, f" {CODE.lower()} ")
    assert CODE in said and "Cannot" not in said and not made.questions["volts"].is_answered
    assert made.questions["volts"].seed == seed_of(CODE, "volts", 0) and f"code {CODE}" in made.questions["volts"].on_paper()
    made.questions["volts"].renew()
    again, box = lesson(tmp_path)
    assert (again.book.code, box.entry.value) == (CODE, CODE) and again.questions["volts"].seed == seed_of(CODE, "volts", 1)


@pytest.mark.parametrize(("code", "said"), [
    ("", "is not an issued code. A code has 8 letters and digits"), ("7K3M", "is not an issued code"),
    (CODE[:-1] + ("0" if CODE[-1] != "0" else "1"), "has a wrong letter in it. Compare it with the slip you were given.")])
def test_a_wrong_code_is_a_sentence_and_changes_nothing(tmp_path, code, said):
    made, box = lesson(tmp_path)
    assert said in enter(box, code).replace("&#x27;", "'")
    assert made.book.code is None and made.questions["volts"].seed == 1 and made.record.events() == []


def test_a_code_of_another_lesson_is_told(tmp_path):
    """Where that lesson has used it; its record lies beside this one."""
    lesson(tmp_path, "07")[0].record.add(ITEM, CODED, code=CODE)       # as an older kit took it
    made, box = lesson(tmp_path)
    assert f"you use the code '{CODE}' in lesson 07; each lesson has a code of its own. Look on your slip for lesson 06." in enter(
        box, CODE).replace("&#x27;", "'")
    assert made.book.code is None


def test_a_code_that_was_issued_for_another_lesson_is_told_before_it_is_used_anywhere(tmp_path):
    """By its first letter, save one of 32 that fit by chance; what was answered stays, and the right code is taken after it."""
    told = []
    for seat in range(1, 33):
        made, box = lesson(tmp_path / str(seat))
        made.answer("volts", "1 V")
        said = enter(box, issue_code("invented quinces", "07", f"seat {seat}")).replace("&#x27;", "'")
        told.append("was issued for another lesson than 06, or by an older kit. Look on your slip for lesson 06" in said)
        assert not told[-1] or (made.book.code is None and len(made.record.events()) == 1 and made.questions["volts"].is_answered)
        assert CODE in enter(box, CODE) and made.book.code == CODE
    assert sum(told) >= 28


def test_a_neighbours_code_and_one_of_another_class_are_right_codes_here(tmp_path):
    """Nothing on this machine tells them from one's own; marking the class does."""
    for number, code in enumerate((issue_code("invented quinces", "06", "seat 5"), issue_code("another class", "06", "seat 4"))):
        assert code in enter(lesson(tmp_path / str(number))[1], code)


def test_an_edited_line_of_a_code_is_passed_over(tmp_path):
    made, box = lesson(tmp_path)
    enter(box, CODE)
    line = json.loads(made.record.path.read_text("utf-8"))
    made.record.path.write_text(json.dumps(line | {"code": "7K3M"}) + "\n", "utf-8")
    assert lesson(tmp_path)[0].book.code is None


def test_a_second_code_over_answers_is_asked_about_once(tmp_path):
    """Two learners on one laptop: the second one is told of a folder of his own. A slip put right by its owner takes a second press, none where nothing was answered."""
    other = issue_code("invented quinces", "06", "seat 5")
    made, box = lesson(tmp_path)
    made.answer("volts", "1 V")     # before any code: nobody's yet
    assert other in enter(box, other)
    box.entry.value = CODE
    press(box, "Use this code")
    assert made.book.code == CODE and "Cannot" not in box.said
    made.answer("volts", "1 V")
    before = made.record.events()
    box.entry.value = other
    press(box, "Use this code")
    said = box.said.replace("&#x27;", "'")
    assert f"this record already holds answers of code '{CODE}'" in said and "start --folder" in said and "once more" in said
    assert made.book.code == CODE and made.record.events() == before and made.questions["volts"].is_answered
    again, box = lesson(tmp_path)   # the next day it is asked again
    box.entry.value = other
    press(box, "Use this code")
    assert "already holds answers" in box.said and again.book.code == CODE
    press(box, "Use this code")
    assert again.book.code == other and again.record.last(ITEM, CODED)["code"] == other and "Cannot" not in box.said

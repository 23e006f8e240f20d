"""A lesson's book: what opens what, what the record keeps, and which answers stay those of a question that was mended."""

import json

import pytest

import circuitlab as cl
from circuitlab.teaching.book import AT_ONCE, CLOSED, KEPT, UNPAID, WRONG, Book, Marking
from circuitlab.teaching.ladder import Refused

CHOICES = {"dark": "A dark lamp has the same level at both ends. Has it?", "steady": "Which contact would be closed?"}
LAMP = cl.arrangement("one-fused-lamp")
PLACES = {"the fuse": "A blown fuse has volts on one side only. Has it?", "the lamp": "What lies across it?",
          "the switch": "An open switch has all the volts across it. Has it?"}


def asked(question="What does E1 do?", choices=CHOICES, answer="steady", pick="Where?", circuit=LAMP, replies=PLACES):
    """Return a book of a prediction, what was seen then, a note and a check."""
    book = Book("01")
    book.predict("rear", question, choices, lambda: answer)
    book.observe("seen", "What did you see?", CHOICES, lambda: "steady", after="rear")
    book.note("exit", "What would you measure first?")
    book.choose("where", pick, circuit, replies, lambda cart: "the lamp")
    return book


def record_of(book, *answers):
    """Return the lines a book writes for answers, as a kit of another version would have left them."""
    lines = [book.commit(item, answer, "sure")[1] for item, answer in answers]
    return [json.loads(json.dumps({"kit": "0.0.1", "lesson": "01", **line})) for line in lines]


def marked(book, lines):
    """Return (marks by question, what is wrong with the lines) of a record."""
    marking = Marking(book)
    faults = [fault for fault in map(marking.take, lines) if fault]
    return {item: mark.word for item, mark in marking.marks().items()}, faults


EVERYTHING = (("rear", "steady"), ("seen", "dark"), ("exit", "the fuse"), ("where", "the lamp"))


def test_a_question_stays_shut_until_the_one_it_waits_for_is_answered():
    book = asked()
    assert book.is_shut("seen") and not book.is_shut("rear")
    with pytest.raises(Refused, match=CLOSED):
        book.commit("seen", "dark")
    assert book.progress() == "Of 4 questions: 0 answered, 0 tried, 4 open; credit 0 of 1."
    book.commit("rear", "dark")
    assert not book.is_shut("seen") and book.progress() == "Of 4 questions: 1 answered, 0 tried, 3 open; credit 0 of 1."


def test_a_question_cannot_wait_for_one_that_was_not_asked_before_it():
    with pytest.raises(cl.CircuitLabError, match="waits for one that was not asked before it.*'raer'"):
        asked().observe("late", "And now?", CHOICES, lambda: "dark", after="raer")


def test_what_a_question_does_not_take_is_no_line_of_the_record():
    book = asked()
    for item, answer in (("rear", "blue noise"), ("exit", "  "), ("where", ""), ("where", "the horn")):
        with pytest.raises(cl.CircuitLabError):
            book.commit(item, answer)
    assert not any(way.is_answered for way in book.ways.values())


def test_an_answer_stays_that_of_its_question_whatever_the_kits_version():
    marks, faults = marked(asked(), record_of(asked(), *EVERYTHING))
    assert marks == {"rear": AT_ONCE, "seen": WRONG, "exit": KEPT, "where": UNPAID} and not faults


@pytest.mark.parametrize("mended", [
    {"choices": CHOICES | {"dark": "A better reply."}}, {"replies": PLACES | {"the fuse": "Another reply. Is it?"}},
    {"circuit": cl.changed(LAMP, cl.SetValue("F1", "note", "behind the seat"))}], ids=["reply", "reply of a check", "note"])
def test_better_words_around_a_question_keep_its_answers(mended):
    lines = record_of(asked(), *EVERYTHING)
    assert marked(asked(**mended), lines) == marked(asked(), lines)
    book = asked(**mended)
    assert [bool(book.replay(item, lines)) for item in book.questions] == [True] * 4


@pytest.mark.parametrize(("mended", "item"), [
    ({"question": "What does E2 do?"}, "rear"), ({"choices": CHOICES | {"flashing": "Follow 87."}}, "rear"),
    ({"pick": "Where now?"}, "where"), ({"circuit": cl.changed(LAMP, cl.SetValue("G1", "voltage", 6.3))}, "where")],
    ids=["words", "choices", "words of a check", "circuit"])
def test_another_question_of_the_same_name_does_not_take_its_answers(mended, item):
    lines, book = record_of(asked(), *EVERYTHING), asked(**mended)
    marks, faults = marked(book, lines)
    assert item not in marks and faults[0] == "answered when the question was another one; not in the mark"
    assert book.replay(item, lines) is None and not book.ways[item].is_answered


def test_a_line_of_an_older_kit_has_no_fingerprint_and_is_taken():
    lines = [{name: value for name, value in line.items() if name != "of"} for line in record_of(asked(), *EVERYTHING)]
    assert marked(asked(), lines)[0] == {"rear": AT_ONCE, "seen": WRONG, "exit": KEPT, "where": UNPAID}


def test_a_fingerprint_holds_nothing_of_the_answer():
    one, other = asked(answer="steady"), asked(answer="dark")
    assert {item: question.fingerprint for item, question in one.questions.items()} == {
        item: question.fingerprint for item, question in other.questions.items()}


def test_a_prediction_can_carry_an_idea():
    """Whoever chooses it wrongly is told what it would show, and counts as having it."""
    choices = CHOICES | {"dark": cl.idea("M5", would="Then no lamp in series would light either.")}
    book = asked(choices=choices)
    reply, line = book.commit("rear", "dark", "sure")
    assert reply.sentences[1] == "Then no lamp in series would light either." and line["idea"] == reply.idea == "M5"
    marking = Marking(asked(choices=choices))
    assert not marking.take(line | {"lesson": "01"})
    assert marking.marks()["rear"].ideas == ("M5",) and marking.marks()["rear"].is_overconfident


def test_the_paper_twin_comes_from_the_book_and_holds_no_answer_and_no_reply():
    book = asked()
    forms = {item: book.on_paper(item) for item in book.questions}
    assert all(form.startswith("<form") for form in forms.values()) and "How sure" in forms["rear"]
    assert not any(reply in form for form in forms.values() for reply in (*CHOICES.values(), *PLACES.values()))


def test_two_sittings_of_a_lesson_are_one(tmp_path):
    """The record is written under one version of the kit and taken up under another."""
    def lesson():
        made = cl.Lesson("01", tmp_path)
        made.predict("rear", "What does E1 do?", CHOICES, lambda: "steady")
        made.choose("where", "Where?", LAMP, PLACES, lambda cart: "the lamp")
        return made
    first = lesson()
    first.record.version = "0.0.1"
    first.answer("rear", "dark")
    first.answer("where", "the fuse")
    second = lesson()
    assert str(second.progress()).startswith("Of 2 questions: 1 answered, 1 tried, 0 open; credit 0 of 1") and len(second.questions["where"].way.tries) == 1
    assert second.questions["rear"].reply == first.questions["rear"].reply

"""What a lesson asks, and the record it keeps of the answers."""

import json

import pytest
from hands import press, refusal

import circuitlab as cl
from circuitlab.benches.record import Record
from circuitlab.ground import appending

CHOICES = {"dark": "A dark lamp would have the same level at both ends. Has it?",
           "steady": "Steady needs a closed way to the stop line. Which contact would that be?",
           "flashing": "A flash needs the flasher's line. Follow 87."}


@pytest.fixture
def cart():
    return cl.arrangement("shared-filament-four-relays")


def ask(folder, cart):
    """A lesson with one prediction, an observation behind it, and a reading."""
    lesson = cl.Lesson("11", folder)
    row = cart.positions({"key": "on", "turn lever": "left", "brake pedal": "held"})
    look = lambda: cl.row_of(cart, row).cells["E1"].look
    lesson.predict("rear", "What does E1 do?", CHOICES, look, lambda: cl.draw(cart), "The coil decides.")
    lesson.observe("seen", "What did you see?", CHOICES, look, after="rear")
    lesson.measure("volts", "Volts of E2?", cart, "V", lambda cart: cl.operating_point(cart, row).lamp_volts("E2"))
    return lesson


def test_the_result_stays_shut_until_a_prediction_is_committed(tmp_path, cart):
    """No picture, no reply, before an answer."""
    lesson = ask(tmp_path, cart)
    question = lesson.questions["rear"]

    assert "Predict first" in question.reply and question.shown == ""
    lesson.answer("rear", "flashing", "sure")
    assert question.shown.startswith("<svg") and "That is what happens." in question.reply


@pytest.mark.parametrize("choice", ["dark", "steady"])
def test_a_wrong_prediction_gets_the_reply_written_for_it(tmp_path, cart, choice):
    """Each idea has its own answer, and none gives the right one away."""
    question = ask(tmp_path, cart).answer("rear", choice)

    assert CHOICES[choice] in question.reply
    assert all(CHOICES[other] not in question.reply for other in CHOICES if other != choice)


def test_an_observation_waits_for_its_prediction(tmp_path, cart):
    """Nobody writes down what they saw before it was to be seen."""
    lesson = ask(tmp_path, cart)
    assert "Predict first" in lesson.answer("seen", "flashing").reply

    lesson.answer("rear", "dark")
    assert "agrees with the circuit" in lesson.answer("seen", "flashing").reply


@pytest.mark.parametrize("typed, said", [("12,2 V", "The circuit agrees"), ("12200 mV", "The circuit agrees"),
                                         ("15", "more than the battery has"), ("0 V", "Name the two places")])
def test_a_reading_takes_comma_point_and_prefix(tmp_path, cart, typed, said):
    """Right is right however it is written; wrong is taken at its word."""
    assert said in ask(tmp_path, cart).answer("volts", typed).reply


def test_a_reading_without_a_number_is_told_so(tmp_path, cart):
    """Through the widget it is a sentence, not a traceback."""
    reading = ask(tmp_path, cart).questions["volts"]
    reading.entry.put("twelve")
    press(reading)

    assert "&#x27;twelve&#x27; is not a quantity" in refusal(reading)
    assert not reading.is_answered


def test_answers_are_kept_line_by_line_and_taken_up_again(tmp_path, cart):
    """A second sitting finds the first one's answer; the file has one line per answer."""
    ask(tmp_path, cart).answer("rear", "steady", "guess")
    again = ask(tmp_path, cart)
    lines = [json.loads(line) for line in again.record.path.read_text(encoding="utf-8").splitlines()]

    assert again.questions["rear"].is_answered and CHOICES["steady"] in again.questions["rear"].reply
    assert [(line["kit"], line["lesson"], line["item"], line["event"], line["answer"], line["confidence"], line["right"])
            for line in lines] == [(cl.__version__, "11", "rear", "predicted", "steady", "guess", False)]


def test_a_line_cut_off_by_a_crash_does_no_harm(tmp_path):
    """The broken line is skipped, the next one starts on a line of its own."""
    record = Record("6", tmp_path)
    record.add("a", "noted", answer="first")
    with open(record.path, "a", encoding="utf-8") as file:
        file.write('{"item": "b", "ev')
    record.add("c", "noted", answer="third")

    assert [event["answer"] for event in record.events()] == ["first", "third"]


def test_without_locks_a_line_that_another_writer_breaks_off_at_that_moment_does_no_harm(tmp_path, monkeypatch):
    monkeypatch.setattr(appending, "fcntl", None)
    monkeypatch.setattr(appending, "msvcrt", None)
    path = tmp_path / "record"
    path.write_text("before\n")

    class Broken(str):
        """A line that is put into bytes just when a full disk cuts another writer's."""

        def encode(self, *how):
            with path.open("ab") as other:
                other.write(b'{"item": "q", "ans')
            return super().encode(*how)

    appending.append(path, [Broken("mine\n")])
    assert [line for line in path.read_text().split("\n") if line] == ["before", '{"item": "q", "ans', "mine"]


def test_without_a_folder_the_record_is_temporary(tmp_path, monkeypatch):
    """A run in a clone leaves nothing behind; a learner's copy has a folder named answers."""
    monkeypatch.delenv("PIN_THIRTY_ANSWERS", raising=False)
    monkeypatch.chdir(tmp_path)
    assert not Record("0").is_kept

    (tmp_path / "answers").mkdir()
    kept = Record("0")
    kept.add("a", "noted", answer="x")
    assert kept.is_kept and (tmp_path / "answers" / "lesson-0.jsonl").exists()


def test_a_folder_that_cannot_be_written_is_said_and_the_answer_still_counts(tmp_path, cart):
    """A full disk or a file in the way: a sentence, and the result opens all the same."""
    (tmp_path / "answers").write_text("a file, not a folder")
    lesson = ask(tmp_path / "answers", cart)
    question = lesson.questions["rear"]
    question.entry.put("flashing")
    press(question)

    assert "could not be written" in refusal(question)
    assert question.is_answered and "That is what happens." in question.reply


def test_an_answer_of_another_version_is_asked_again(tmp_path, cart):
    """A choice that is no longer offered does not stop the lesson."""
    Record("11", tmp_path).add("rear", "predicted", answer="blinking twice", confidence="sure")

    assert not ask(tmp_path, cart).questions["rear"].is_answered


def test_unknown_questions_and_choices_are_named(tmp_path, cart):
    """Which one, and what there is instead."""
    lesson = ask(tmp_path, cart)
    with pytest.raises(cl.CircuitLabError, match="no question 'reer'.*Did you mean 'rear'"):
        lesson.answer("reer", "dark")
    with pytest.raises(cl.CircuitLabError, match="no choice 'blinking'.*dark, steady, flashing"):
        lesson.answer("rear", "blinking")


@pytest.mark.parametrize("number", ["..", ".", "../07", "07/../../up", "a\\b", "C:07", "", " ", "0\n7"])
def test_a_number_that_leads_elsewhere_opens_no_record(number, tmp_path):
    """It is a piece of the record's name: one sentence says what is allowed, and no folder is made."""
    with pytest.raises(cl.CircuitLabError) as said:
        cl.Lesson(number, tmp_path / "answers")
    assert "its number is a piece of the record's name. Letters, figures, - and _ are allowed. Write one such as '07'." in str(said.value)
    assert not (tmp_path / "answers").exists() and "\n" not in str(said.value)


def test_any_plain_number_opens_one(tmp_path):
    for number in ("07", "06b", "x1", "my-lesson_2"):
        assert cl.Lesson(number, tmp_path).record.path == tmp_path / f"lesson-{number}.jsonl"

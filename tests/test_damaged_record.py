"""A damaged record: the good lines count, the others are named once, in the lesson and to the teacher; nothing stops, nothing is cut.

The lesson asks one question of each kind; the class is marked by the same questions.
"""

import json
import os
import sys
import threading

import every_kind
import pytest
from every_kind import NUMBER, STEPS, opened, right_answers, worked_through
from hands import refusal
from worked_lessons import right_answer, worked

import circuitlab as cl
from circuitlab.benches.record import Record
from circuitlab.commands.line import main
from circuitlab.ground.errors import FileError
from circuitlab.teaching import class_marking
from circuitlab.teaching.record_lines import MOST_LETTERS

FILE = f"lesson-{NUMBER}.jsonl"


@pytest.fixture
def seat(tmp_path, monkeypatch):
    """One seat of a class that is marked by the questions of the small lesson."""
    monkeypatch.setattr(class_marking, "lesson_book", every_kind.gathered)
    (tmp_path / "class" / "seat 1").mkdir(parents=True)
    return tmp_path / "class" / "seat 1"


def marked(seat):
    """Return the one student of the class."""
    (student,) = class_marking.class_summary(seat.parent).students
    return student


def stumbles(lesson):
    """Return what any question says cannot be done."""
    return [*filter(None, map(refusal, lesson.questions.values()))]


def good(item, **more):
    """Return a sound line of the record."""
    return json.dumps({"kit": cl.__version__, "lesson": NUMBER, "seed": None, "item": item, **more}) + "\n"


PREDICTED = good("rear", event="predicted", answer="flashing", confidence="sure", right=True)
NOTED = good("exit", event="noted", answer="the lamp", confidence=None, right=None)


def told_once(folder, capsys):
    """Open the lesson, and return it with what it prints; a second question to it says nothing anew."""
    capsys.readouterr()
    lesson, _ = opened(folder)
    return lesson, capsys.readouterr().out


# ------------------------------------------------------------------ one bad line between two good ones

BAD = {
    "nested deeply": "[" * 100_000, "closed and nested": '{"a":' * 2000 + "1" + "}" * 2000, "no object": '"x"', "cut off": PREDICTED[:40],
    "an item that is a list": PREDICTED.replace('"rear"', '["rear"]'), "an event that is a number": PREDICTED.replace('"predicted"', "5"),
    "a confidence that is a list": PREDICTED.replace('"sure"', "[]"), "a confidence that is a number": PREDICTED.replace('"sure"', "3"),
    "a moment that is a number": PREDICTED.replace('"seed"', '"at": 7, "seed"'), "a kit that is a number": good("rear", event="noted", kit=3),
    "a huge number": PREDICTED.replace('"flashing"', "9" * 5000), "a number beyond all": PREDICTED.replace('"flashing"', "1e999"),
    "no number": PREDICTED.replace('"flashing"', "NaN"), "infinity": PREDICTED.replace("true", "Infinity"),
    "a seed that is text": good("open", event="tried", seed="x", answer="12"), "NUL bytes": "\0" * 4000, "NUL in a line": PREDICTED[:-9] + "\0\0\n",
    "an answer nested": good("rows", event="tried", seed=1, answer=json.loads("[" * 60 + "]" * 60)),
    "a kind of a newer kit": good("rear", event="weighed", answer="heavy"), "of another lesson": PREDICTED.replace(f'"{NUMBER}"', '"02"'),
    "a line of 2 MB": PREDICTED.replace("flashing", "x" * 2_000_000),
}


@pytest.mark.in_turn(9)
@pytest.mark.parametrize("name", BAD)
def test_a_bad_line_is_named_once_and_costs_no_other(seat, capsys, name):
    """Line 2 of 3; the lesson takes up lines 1 and 3, the marking counts them, the file stays as it is."""
    (seat / FILE).write_text(PREDICTED + BAD[name].rstrip("\n") + "\n" + NOTED, encoding="utf-8")
    before = (seat / FILE).read_bytes()
    lesson, told = told_once(seat, capsys)

    assert told.count("line 2 (") == 1 and told.startswith(f"1 line of your record '{FILE}' cannot be used: ")
    assert told.endswith("The other 2 lines count, and nothing was deleted.\n") and len(told) < 300
    assert [item for item, question in lesson.questions.items() if question.is_answered] == ["rear", "exit"]
    assert not stumbles(lesson) and (seat / FILE).read_bytes() == before
    student = marked(seat)
    assert [(item, mark.word) for (_, item), mark in student.marks.items()] == [("rear", "right at once"), ("exit", "kept")]
    (trouble,) = student.troubles
    assert trouble.words.startswith(f"lesson {NUMBER}, line 2: ")
    lesson.answer("seen", "flashing")
    assert (seat / FILE).read_bytes().startswith(before) and opened(seat)[0].questions["seen"].is_answered


def test_the_lines_of_a_newer_kit_are_counted_and_named_as_unknown(seat, capsys):
    """Two events this kit has never heard of, with fields of their own."""
    newer = good("rear", event="weighed", answer="heavy", grams=3.5, kit="99.0") * 2
    (seat / FILE).write_text(newer + PREDICTED, encoding="utf-8")
    lesson, told = told_once(seat, capsys)
    assert "2 lines" in told and "lines 1 to 2 (of a kind this kit does not know, perhaps of a newer kit)" in told
    assert "The other line counts" in told and lesson.questions["rear"].is_answered


def test_many_bad_lines_are_one_short_sentence(seat, capsys):
    """Every other one of 400."""
    (seat / FILE).write_text(f"{PREDICTED}cut\n" * 200, encoding="utf-8")
    _, told = told_once(seat, capsys)
    assert "200 lines" in told and "lines 2, 4, 6" in told and "and 188 more" in told and len(told) < 300
    assert len(marked(seat).troubles) == 1


ODD = (None, 7, 10 ** 15, -0.5, True, "", "nan", "\ud800", [], {}, ["x"], [[]], ["E1", "F1"], {"E1": 5}, {"E1": ["dark"]}, {"E1": {"a": 1}},
       {"E1": {"steady": 1, "dark": 2}, "E2": {"steady": 1, "dark": 2}}, {"F1": 1, "S1": 2, "E1": 3}, {"G1:+ - F1:1": 1},
       ["G1:+ - F1:1"], {"F1:2": ["live"]}, "x" * 100_000)


@pytest.mark.in_turn(9)
@pytest.mark.parametrize("number", range(len(ODD)))
def test_an_answer_no_question_takes_stops_no_kind_of_question(seat, capsys, number):
    """Sound lines whose answer is of another kind, for each question: all open, and the marking passes over them."""
    kinds = {item: question.kind for item, question in opened(seat)[0].questions.items()}
    lines = [good(item, event=kind, seed=1, answer=ODD[number], reason=None, confidence="sure", right=False)
             for item, kind in kinds.items()]
    (seat / FILE).write_text(PREDICTED + "".join(lines), encoding="utf-8")
    lesson, told = told_once(seat, capsys)
    assert not told and not stumbles(lesson), ODD[number]
    assert marked(seat).marks[NUMBER, "rear"].word == "right at once", ODD[number]


def test_one_of_every_kind_answered_rightly_is_answered_the_next_time(seat):
    (seat / FILE).write_text(PREDICTED, encoding="utf-8")
    lesson, _ = opened(seat)
    for item, answer in right_answers(lesson).items():
        lesson.answer(item, answer)
    assert all(question.is_answered for question in opened(seat)[0].questions.values())


# ------------------------------------------------------------------ files an editor or a disk made of it

@pytest.mark.in_turn(3)
@pytest.mark.parametrize("made", ["utf-8-sig", "utf-16", "utf-16-be", "crlf"])
def test_a_record_saved_by_an_editor_is_read_and_added_to(seat, capsys, made):
    """With a mark at its start, in UTF-16, with other line ends: every answer is taken up, new ones too."""
    record = worked_through(seat).decode()
    text = record.replace("\n", "\r\n") if made == "crlf" else "\ufeff" * (made == "utf-16-be") + record
    (seat / FILE).write_bytes(text.encode("utf-8" if made == "crlf" else made))
    before = [mark.word for mark in marked(seat).marks.values()]
    lesson, told = told_once(seat, capsys)
    assert not told and all(question.is_answered for question in lesson.questions.values())
    lesson.answer("exit", "and one more: \N{GREEK CAPITAL LETTER OMEGA}")

    assert Record(NUMBER, seat).events()[-1]["answer"] == "and one more: \N{GREEK CAPITAL LETTER OMEGA}"
    assert Record(NUMBER, seat).trouble() == "" and [mark.word for mark in marked(seat).marks.values()] == before


def test_an_editor_s_record_cut_in_the_middle_of_a_letter_goes_on_on_a_line_of_its_own(seat):
    """UTF-16, one byte short."""
    (seat / FILE).write_bytes((PREDICTED + NOTED).encode("utf-16")[:-41])
    Record(NUMBER, seat).add("exit", "noted", answer="after")
    assert [event.get("answer") for event in Record(NUMBER, seat).events()] == ["flashing", "after"]


def test_two_spoilt_bytes_at_the_start_do_not_turn_the_record_into_another_encoding(seat):
    """They look like the mark of UTF-16; the lines behind them are UTF-8, and so is what is added."""
    (seat / FILE).write_bytes(b"\xff\xfe\n" + PREDICTED.encode())
    Record(NUMBER, seat).add("exit", "noted", answer="after")
    record = Record(NUMBER, seat)
    assert [event["answer"] for event in record.events()] == ["flashing", "after"] and "line 1 (" in record.trouble()


def test_fifty_megabytes_without_a_line_end_cost_that_line_alone(seat, capsys):
    """Passed over in pieces."""
    with open(seat / FILE, "w", encoding="utf-8") as file:
        file.write(PREDICTED)
        for _ in range(50):
            file.write("x" * 1_000_000)
        file.write("\n" + NOTED)
    lesson, told = told_once(seat, capsys)
    assert "line 2 (far too long for a line of a record)" in told and "other 2 lines count" in told
    assert lesson.questions["exit"].is_answered and len(marked(seat).marks) == 2


def test_a_record_without_end_is_read_so_far_and_said_so(seat):
    """More lines than any lesson makes."""
    (seat / FILE).write_text(NOTED * 50_010, encoding="utf-8")
    record = Record(NUMBER, seat)
    assert len(record.events()) == 50_000 and "cannot be read to its end" in record.trouble()


def in_time(do):
    """Return what it gives, or fail when it waits: nobody will ever write into that pipe."""
    found = []

    def work():
        try:
            found.append((do(), None))
        except Exception as error:
            found.append((None, error))
    waiting = threading.Thread(target=work, daemon=True)
    waiting.start()
    waiting.join(60)
    assert found, "it waits without end"
    if found[0][1]:
        raise found[0][1]
    return found[0][0]


@pytest.mark.parametrize("what", ["a folder", pytest.param("a pipe", marks=pytest.mark.skipif(
    not hasattr(os, "mkfifo"), reason="no pipes with names here"))])
def test_a_folder_or_a_pipe_in_its_place_is_said_and_the_lesson_goes_on(seat, capsys, what):
    """Read and written; the answers wait, and go in once it is gone."""
    (seat / FILE).mkdir() if what == "a folder" else os.mkfifo(seat / FILE)
    (seat / "lesson-00.jsonl").write_text(NOTED.replace(f'"{NUMBER}"', '"00"'), encoding="utf-8")
    lesson, told = in_time(lambda: told_once(seat, capsys))
    assert f"Your record '{FILE}' cannot be read: it is a" in told and "Nothing was deleted" in told
    with pytest.raises(FileError, match=f"could not be written.*it is a .*Move '{FILE}' away"):
        in_time(lambda: lesson.answer("rear", "flashing"))
    assert lesson.questions["rear"].is_answered
    assert any("the record cannot be read: it is a" in each.words for each in in_time(lambda: marked(seat)).troubles)
    (seat / FILE).rmdir() if what == "a folder" else (seat / FILE).unlink()
    lesson.answer("exit", "the lamp")
    assert [event["item"] for event in Record(NUMBER, seat).events()] == ["rear", "exit"]


# ------------------------------------------------------------------ what is written

def test_half_a_character_blocks_no_later_answer(seat):
    """It is kept as the sign for a lost one; on the page, too, where half a one could not be sent."""
    lesson, _ = opened(seat)
    lesson.answer("exit", "half \ud83d, whole \ud83d\ude00")
    lesson.answer("rear", "flashing")
    kept = Record(NUMBER, seat).events()
    assert [event["item"] for event in kept] == ["exit", "rear"]
    assert kept[0]["answer"] == lesson.questions["exit"].entry.value == "half \N{REPLACEMENT CHARACTER}, whole \N{GRINNING FACE}"
    for item, question in lesson.questions.items():
        try:
            lesson.answer(item, "\udcff")
        except cl.CircuitLabError as said:
            assert str(said).isprintable() and "\udcff" not in str(said), item


@pytest.mark.parametrize("answer", ["x" * 1_100_000, float("inf"), 10 ** 40], ids=["long", "infinite", "huge"])
def test_what_could_not_be_read_back_is_not_written(seat, answer):
    """A sentence, and no line that the next sitting would have to name."""
    lesson, _ = opened(seat)
    with pytest.raises(FileError, match="cannot be kept"):
        lesson.answer("exit", answer)
    lesson.answer("rear", "flashing")
    assert [event["item"] for event in Record(NUMBER, seat).events()] == ["rear"] and not Record(NUMBER, seat).trouble()


def test_a_word_for_how_sure_that_is_none_is_named(seat):
    """Before it is written."""
    lesson, _ = opened(seat)
    with pytest.raises(cl.CircuitLabError, match="no word for how sure '3'. It has: sure, think so, guess"):
        lesson.answer("rear", "flashing", 3)
    assert not lesson.record.path.exists()


def test_what_another_writer_put_behind_a_failed_write_is_not_cut_off(seat, monkeypatch):
    """It came between: a writer that knows no lock, and a disk that fails afterwards."""
    record, real = Record(NUMBER, seat), os.fsync

    def late(file):
        with open(seat / FILE, "ab") as other:
            other.write(NOTED.encode())
        raise OSError(28, "No space left on device")
    monkeypatch.setattr(os, "fsync", late)
    with pytest.raises(FileError):
        record.add("rear", "predicted", answer="flashing")
    monkeypatch.setattr(os, "fsync", real)
    record.add("exit", "noted", answer="second")
    assert [event["answer"] for event in Record(NUMBER, seat).events()] == ["flashing", "the lamp", "second"]


# ------------------------------------------------------------------ ticket, class, every lesson

def shown(page):
    return page.markup if hasattr(page, "markup") else str(vars(page))


def test_a_damaged_ticket_says_so_where_it_is_asked_for_and_a_sound_one_opens_behind_damage(tmp_path):
    """In another lesson of the same folder."""
    held = good("ticket", event="held")
    other = cl.Lesson("05", tmp_path)
    (tmp_path / FILE).write_text("[" * 100_000 + "\n" + held, encoding="utf-8")
    assert STEPS[0] in shown(other.workbench(STEPS))
    (tmp_path / FILE).write_text(PREDICTED + held.replace('"ticket"', '["ticket"]'), encoding="utf-8")
    said = shown(other.workbench(STEPS))
    assert STEPS[0] not in said and "Shut." in said and "line 2 (" in said and "nothing was deleted" in said


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="names are text there")
def test_a_student_s_folder_with_a_name_that_is_no_text_is_marked_and_shown(seat, tmp_path, capsys):
    """Bytes of another encoding, an item that moves a terminal; the pages are written."""
    strange = seat.parent / os.fsdecode(b"J\xfcrgen")
    strange.mkdir()
    (strange / FILE).write_text(PREDICTED + good("\x1b[2J\ud800", event="noted", answer="x"), encoding="utf-8")
    assert main(["class-summary", str(seat.parent), "--out", str(tmp_path / "pages")]) == 1
    told = capsys.readouterr().out
    assert "J\N{REPLACEMENT CHARACTER}rgen: " in told and "\x1b" not in told
    assert "J\N{REPLACEMENT CHARACTER}rgen" in (tmp_path / "pages" / "grid.html").read_text(encoding="utf-8")


def test_a_lesson_of_which_no_line_is_good_does_not_stop_the_marking_of_the_others(seat):
    """And no other seat has a line of it."""
    (seat / FILE).write_text("cut\n", encoding="utf-8")
    (seat / "lesson-00.jsonl").write_text(NOTED.replace(f'"{NUMBER}"', '"00"'), encoding="utf-8")
    student = marked(seat)
    assert student.marks["00", "exit"].word == "kept" and "line 1: cut off" in student.troubles[0].words


def check_lesson_with_damage(name, folder, capsys):
    """Answer a lesson, damage its record between all lines, open it again."""
    first = worked(name).lesson
    for item, question in first.questions.items():
        first.answer(item, right_answer(question), "sure")
    path = first.record.path
    damage = [line.rstrip("\n").encode("utf-8", "surrogatepass") for line in BAD.values() if len(line) < 10_000]
    lines = path.read_bytes().split(b"\n")
    path.write_bytes(b"\n".join(each for number, line in enumerate(lines) for each in (damage[number % len(damage)], line)))
    capsys.readouterr()
    second = worked(name).lesson
    assert capsys.readouterr().out.count("cannot be used") == 1
    assert [item for item, question in second.questions.items() if not question.is_answered] == [] == stumbles(second)
    assert len(second.record.events()) >= len(first.questions)


@pytest.mark.parametrize("name", ["01b_pass_the_safety_ticket"])
def test_a_lesson_takes_up_every_answer_out_of_a_damaged_record(name, answers, capsys):
    """The lesson of the safety ticket."""
    check_lesson_with_damage(name, answers, capsys)


@pytest.mark.full
@pytest.mark.parametrize("name", sorted(path.stem for path in cl.ground.places.kit_folder("lessons").glob("[0-9x][0-9]*_*.ipynb")))
def test_every_lesson_takes_up_every_answer_out_of_a_damaged_record(name, answers, capsys):
    """All of them."""
    check_lesson_with_damage(name, answers, capsys)


def test_a_record_that_would_not_be_read_to_its_end_takes_no_more(tmp_path):
    """Else an answer would be taken, and never be found again."""
    record = Record("00", tmp_path)
    record.add("q", "noted", answer="one")
    with open(record.path, "r+b") as file:
        file.truncate(MOST_LETTERS - 50)
    with pytest.raises(FileError, match="it is as long as a record may be.*Move 'lesson-00.jsonl' away"):
        record.add("q", "noted", answer="two")
    record.path.rename(tmp_path / "old.jsonl")
    record.add("q", "noted", answer="three")
    assert [event["answer"] for event in record.events()] == ["two", "three"]

"""A class's records marked anew: an invented class of 24 seats, its broken neighbours, and the pages made of them.

The class is invented: headless learners work lesson 07 through its own questions, rightly, by a wrong idea, half of it,
or with nonsense.
"""

import csv
import json
import random
import re
import shutil
from hashlib import sha256
from functools import cache
from html.parser import HTMLParser

import pytest
from worked_lessons import notebook, right_one, worked

import circuitlab as cl
from circuitlab.commands.class_tables import codes_in
from circuitlab.commands.line import main
from circuitlab.teaching import issue_code
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.book import MARKS
from circuitlab.teaching.class_marking import ClassSummary, class_summary
from circuitlab.teaching import gathering
from circuitlab.teaching.gathering import lesson_files
from circuitlab.teaching.ideas import IDEAS
from circuitlab.teaching.record_lines import told
from circuitlab.views.class_pages import SHAPES

NAME, SECRET, SEATS = "07_prove_every_row", "invented apples in june", range(1, 25)
START = next(cell.source for cell in notebook(NAME).cells if cell.id == "start")
lesson_book = cache(gathering.lesson_book)     # its questions are only read here
STYLES = ("right", "idea", "half", "nonsense")      # of seats 1, 5, 9 ..., of seats 2, 6, 10 ... and so on


def style_of(seat):
    return STYLES[(seat - 1) % 4]


def work(folder, seat):
    """Send one headless learner through the lesson, with an issued code, by its real questions."""
    code = issue_code(SECRET, "07", f"seat {seat}")
    own = START.replace('cl.Lesson("07")', f'cl.Lesson("07", {str(folder)!r}, "{code}")')
    assert own != START
    lesson, style, chance = worked(NAME, start=own).lesson, style_of(seat), random.Random(seat)
    gathered = lesson_book("07").questions
    for number, (item, question) in enumerate(lesson.questions.items()):
        if style == "half" and number % 2:
            continue
        if style == "nonsense" and number % 2:
            if question.kind == "noted":
                lesson.answer(item, "  ")
            else:
                with pytest.raises(cl.CircuitLabError):
                    lesson.answer(item, {"?": 1} if question.kind == "tried" else "blue noise")
            continue
        wrong = style == "idea" or style == "half" and chance.random() < 0.5
        answer(lesson, gathered[item], wrong)


def answer(lesson, question, wrong):
    """Give one answer; what is right comes from the questions gathered without widgets."""
    if question.kind == "noted":
        lesson.answer(question.item, "an invented sentence")
    elif question.kind == "tried":
        for turn in range(1 if wrong else question.task.kind.in_a_row):
            if turn:
                lesson.questions[question.item].renew()
            posed = question.task.pose(question.task.variants.of(lesson.questions[question.item].seed))
            given = wrong_one(posed) if wrong else right_one(posed)
            lesson.answer(question.item, given, "sure" if wrong else "guess")
    else:
        choices = [choice for choice in question.choices if (choice == question.truth()) != wrong]
        lesson.answer(question.item, choices[0], "sure" if wrong else "guess")


def wrong_one(posed):
    """Return the answer of M11 where it is looked for, else of another idea, else a choice that is wrong."""
    ideas = posed.idea_answers
    if ideas:
        return ideas.get("M11", next(iter(ideas.values())))
    return next(option for option in posed.kind.options if not posed.is_right(option))


@pytest.fixture(scope="module")
def handed_in(tmp_path_factory):
    """The folder of the class: 24 seats, some with their records in a folder 'answers', and three broken ones."""
    folder = tmp_path_factory.mktemp("class")
    for seat in SEATS:
        work(folder / f"seat {seat}" / ("answers" if seat % 2 else ""), seat)
    for name, content in (("empty", None), ("picture", b"\x89PNG\0\0\x01"), ("essay", b"My answers, by me.\n")):
        (folder / name).mkdir()
        if content is not None:
            (folder / name / "lesson-07.jsonl").write_bytes(content)
    return folder


@pytest.fixture(scope="module")
def codes(tmp_path_factory):
    folder = tmp_path_factory.mktemp("codes")
    (folder / "labels.txt").write_text("".join(f"Seat {seat}\n" for seat in SEATS), encoding="utf-8")
    assert main(["class-codes", "--secret", SECRET, "--lesson", "07", "--labels", str(folder / "labels.txt"),
                 "--out", str(folder / "codes.csv")]) == 0
    return folder / "codes.csv"


@pytest.fixture(scope="module")
def pages(handed_in, codes, tmp_path_factory):
    """Everything the command writes, key too, and what the class's folder held before and after."""
    out, before = tmp_path_factory.mktemp("pages"), prints(handed_in)
    key = tmp_path_factory.mktemp("drawer") / "key.html"
    assert main(["class-summary", str(handed_in), "--out", str(out), "--codes", str(codes), "--key", str(key)]) == 1
    assert prints(handed_in) == before and len(before) == 26
    return {path.name: path.read_text(encoding="utf-8-sig") for path in [*out.iterdir(), key]}


def prints(folder):
    """Return what every file under a folder holds, and when it was changed."""
    return {str(path.relative_to(folder)): (sha256(path.read_bytes()).hexdigest(), path.stat().st_mtime_ns)
            for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def copied(handed_in, tmp_path):
    """A class of two, to break."""
    for seat in (1, 2):
        shutil.copytree(handed_in / f"seat {seat}", tmp_path / "class" / f"seat {seat}")
    return tmp_path / "class"


def troubles(folder, seat=1, **more):
    """Return what was wrong with a seat's record, sentence by sentence."""
    student = next(each for each in class_summary(folder, **more).students if each.name == f"seat {seat}")
    return [each.words for each in student.troubles]


def record(folder, seat):
    return next((folder / f"seat {seat}").rglob("lesson-07.jsonl"))


# ------------------------------------------------------------------ the questions of the lessons

@pytest.mark.in_turn(13, 7)
@pytest.mark.parametrize("number", lesson_files())
def test_a_lesson_gathers_the_questions_it_asks_with_widgets(number):
    """The same items in the same order, of the same kinds, with the same answers."""
    (path,) = kit_folder("lessons").glob(f"{number}_*.ipynb")
    shown, gathered = worked(path.stem).lesson.questions, lesson_book(number).questions
    assert list(gathered) == list(shown) != []
    for item, question in gathered.items():
        assert question.kind == shown[item].kind, item
        if question.kind not in ("tried", "noted"):
            assert question.truth() == shown[item].asked.truth(), item


@pytest.mark.in_turn(13, 10)
@pytest.mark.parametrize("number", lesson_files())
def test_what_hangs_on_a_cell_the_learner_edits_is_not_marked(number):
    """An attempt of the learner's own, as it stands, and nothing else in any lesson."""
    own = {item for item, question in lesson_book(number).questions.items() if question.is_own}
    assert own == ({"own"} if number == "10" else set())


@pytest.mark.in_turn(13, 3)
@pytest.mark.parametrize("number", lesson_files())
def test_whoever_answers_a_lesson_rightly_is_right_at_once_in_all_of_it(number, tmp_path, monkeypatch):
    """Worked with the real widgets, marked without them; what is the learner's own is not marked, notes are kept."""
    monkeypatch.setenv("PIN_THIRTY_ANSWERS", str(tmp_path / "class" / "seat 1"))
    (path,) = kit_folder("lessons").glob(f"{number}_*.ipynb")
    lesson, gathered = worked(path.stem).lesson, lesson_book(number).questions
    for question in gathered.values():
        answer(lesson, question, wrong=False)
    (student,) = class_summary(tmp_path / "class").students
    words = {"noted": "kept", "own": "not marked"}
    assert {item: student.marks[number, item].word for item in gathered} == {
        item: words.get("own" if question.is_own else question.kind, "right at once") for item, question in gathered.items()}
    assert student.troubles == ()


@pytest.mark.full
def test_a_choice_that_speaks_of_an_idea_is_one_that_the_circuit_denies():
    """In the plain questions of every main lesson but the last; each idea is one of the table."""
    spoken = {}
    for number in lesson_files():
        for item, question in lesson_book(number).questions.items():
            for choice, code in getattr(question, "ideas", {}).items():
                assert choice != question.truth() and code in IDEAS, (item, choice)
                spoken.setdefault(number, []).append(code)
    main_ones = [number for number in lesson_files() if number.isdecimal()]
    assert [number for number in main_ones if number in spoken] == main_ones[:-1] and sum(map(len, spoken.values())) > 30


def test_every_idea_of_the_table_can_be_counted_in_some_lesson():
    """By a wrong choice that speaks of it, or by a question of the ladder that looks for it."""
    summary = ClassSummary({number: lesson_book(number).questions for number in lesson_files()}, (), ())
    counted = {code for number in lesson_files() for code, count in summary.ideas(number).items() if count is not None}
    assert [code for code in IDEAS if code not in counted] == []


# ------------------------------------------------------------------ the class

@pytest.mark.full
def test_every_seat_gets_the_marks_of_how_it_was_worked(handed_in, codes):
    """Right ones right at once, those with an idea wrong and sure, with M11 in the rows; the broken ones named."""
    summary = class_summary(handed_in)
    assert [student.name for student in summary.students] == [f"seat {seat}" for seat in SEATS]
    assert {name for name, _ in summary.skipped} == {"empty", "picture", "essay"}
    asked = [item for item, question in lesson_book("07").questions.items() if question.kind != "noted"]
    for seat, student in zip(SEATS, summary.students):
        marks = [summary.mark(student, "07", item) for item in asked]
        words = [mark.word for mark in marks]
        assert student.troubles == ()
        credit = sum(mark.credit for mark in marks)
        if style_of(seat) == "right":
            assert credit == summary.earning("07") == 4
            assert set(words) == {"right at once"} and not any(mark.is_overconfident for mark in marks)
        elif style_of(seat) == "idea":
            assert credit == 0
            assert set(words) == {"wrong"} and summary.mark(student, "07", "eight").ideas == ("M11",)
            assert all(mark.is_overconfident for mark in marks)
        else:
            assert words[1::2] == ["no answer"] * len(words[1::2]) and "no answer" not in words[::2]
    with_m11 = sum(any("M11" in mark.ideas for mark in student.marks.values()) for student in summary.students)
    assert summary.ideas("07")["M11"] == with_m11 >= 6 and summary.ideas("07")["M1"] is None
    assert set(SHAPES) == set(MARKS) and len(set(SHAPES.values())) == len(MARKS)


def test_a_record_of_the_older_rule_is_marked_by_todays_and_that_is_said(copied):
    """Its lines name no rule and hold one right choice each: numbers and tables keep their credit, choices are right without one."""
    before = class_summary(copied).students[0]
    lines = [json.loads(line) for line in record(copied, 1).read_text(encoding="utf-8").splitlines()]
    first, older = {}, []
    for line in lines:
        if line["event"] == "renewed" or first.setdefault(line["item"], line) is not line:
            continue
        older.append({name: value for name, value in line.items() if name != "rule"} | ({"credit": 1.0} if "credit" in line else {}))
    record(copied, 1).write_text("".join(f"{json.dumps(line)}\n" for line in older), encoding="utf-8")
    student = class_summary(copied).students[0]
    choices = ("normally", "click", "double")
    assert {item: mark.word for (_, item), mark in student.marks.items()} == {
        item: "right, no credit" if item in choices else mark.word for (_, item), mark in before.marks.items()}
    assert student.marks["07", "eight"].credit == 1 and [each.words for each in student.troubles] == [
        "lesson 07: 3 answers are of an older kit, which gave credit for one choice right once; marked by the rule of today, two "
        "variants in a row"]


def test_an_edited_verdict_is_caught(copied):
    """Every 'right' turned to true: the marks stay as the circuit has them, and the lines are named."""
    before = class_summary(copied)
    text = record(copied, 2).read_text(encoding="utf-8")
    edited = text.replace('"right": false', '"right": true').replace('"credit": 0.0', '"credit": 1.0')
    assert edited != text
    record(copied, 2).write_text(edited, encoding="utf-8")
    after = class_summary(copied)

    assert [student.marks for student in after.students] == [student.marks for student in before.students]
    told = [trouble for trouble in troubles(copied, 2) if "the record says right, the circuit says wrong" in trouble]
    assert len(told) == text.count('"right": false') and not after.students[0].troubles


def test_a_truncated_line_another_kit_and_a_stranger_are_named_and_the_rest_is_marked(copied):
    """By line; each costs its own mark and no other."""
    lines = record(copied, 1).read_text(encoding="utf-8").splitlines()
    items = [json.loads(line)["item"] for line in lines]
    lines[0] = json.dumps({name: value for name, value in (json.loads(lines[0]) | {"kit": "0.0.9"}).items() if name != "of"})
    lines[1] = lines[1].replace(f'"item": "{items[1]}"', '"item": "no such"')
    lines[2] = lines[2][:30]
    record(copied, 1).write_text("\n".join(lines), encoding="utf-8")
    student = class_summary(copied).students[0]

    assert {item for _, item in student.marks} == set(items[3:])
    told = troubles(copied)
    assert len(told) == 3
    for line, words in ((1, "of kit 0.0.9"), (2, "no such question"), (3, "cut off")):
        assert any(f"line {line}" in trouble and words in trouble for trouble in told), line


def test_no_line_stops_the_summary(copied):
    """Each is named as a line that is none."""
    count = len(record(copied, 1).read_text(encoding="utf-8").splitlines())
    lines = ['{"a": ', "[1]", '"x"', "null", "[" * 100_000, '{"item": 3, "event": "tried"}', "NaN"]
    with open(record(copied, 1), "a", encoding="utf-8") as file:
        file.write("\n".join(lines))
    assert lines_named(copied, "not in the mark") == [*range(count + 1, count + 1 + len(lines))]


def test_an_answer_that_waits_for_a_lost_one_is_told_with_the_line_that_was_lost(copied):
    """A prediction's line is cut off; the observation that waits for it is out, and the sentence says because of which line. Without a lost line it says nothing of one."""
    path = record(copied, 1)
    lines = path.read_text("utf-8").splitlines(keepends=True)
    waits = {item: question.after for item, question in lesson_book("07").questions.items() if question.after}
    number, item = next((number, json.loads(line)["item"]) for number, line in enumerate(lines, 1) if json.loads(line)["item"] in waits)
    before = [place for place, line in enumerate(lines, 1) if json.loads(line)["item"] == waits[item]]
    path.write_text("".join(line[:40] + "\n" if place in before else line for place, line in enumerate(lines, 1)), "utf-8")
    (said,) = (each for each in troubles(copied) if f"line {number}, question '{item}'" in each)
    assert "answered before the question it waits for; not in the mark" in said
    assert said.endswith(f"; {told(before)}, which cannot be used, may have held that answer")
    path.write_text("".join(line for place, line in enumerate(lines, 1) if place not in before), "utf-8")
    (said,) = (each for each in troubles(copied) if f"question '{item}'" in each)
    assert said.endswith("not in the mark")


def lines_named(folder, words):
    """Return the number of each line of seat 1 of which something is said, as often as it is."""
    told = [each for each in troubles(folder) if re.search(words, each)]
    runs = [run for each in told for run in re.findall(r"(\d+)(?: to (\d+))?", each.split("line", 1)[1].split(":")[0])]
    return sorted(line for first, last in runs for line in range(int(first), int(last or first) + 1))


def test_no_answer_stops_the_summary(copied):
    """Whatever is in the place of an answer or a seed, it is named and not counted."""
    before, kit = class_summary(copied).students[0].marks, cl.__version__
    count = len(record(copied, 1).read_text(encoding="utf-8").splitlines())
    answers = [None, 7, [], {}, {"E1": 5}, {"E1": ["dark"]}, "nan", ["E1"], True, {"E1": {"a": 1}}, {"E1": [[]] * 8}]
    events = [{"seed": seed, "item": item, "event": kind, "answer": answer, "right": True}
              for seed in (None, True, -1, "3", 10 ** 30, 1) for answer in answers
              for item, kind in (("eight", "tried"), ("normally", "checked"))]
    with open(record(copied, 1), "a", encoding="utf-8") as file:
        file.write("".join(json.dumps(event | {"kit": kit, "lesson": "07"}) + "\n" for event in events))
    student = class_summary(copied).students[0]
    assert student.marks == before
    assert lines_named(copied, "not in the mark") == [*range(count + 1, count + 133)] and len(events) == 132


def test_an_answer_after_the_key_and_numbers_of_somebody_else_do_not_count(copied, codes):
    """A try at numbers whose key was shown is refused; a neighbour's record has the neighbour's numbers."""
    shutil.copyfile(record(copied, 1), record(copied, 2))
    issued = {(row["label"].casefold(), row["lesson"]): row["code"]
              for row in csv.DictReader(codes.read_text(encoding="utf-8-sig").splitlines())}
    neighbour = class_summary(copied, codes=issued).students[1]
    assert any("not issued to this student" in each for each in troubles(copied, 2, codes=issued))
    assert ("07", "eight") not in neighbour.marks
    (said,) = [each for each in troubles(copied, 2, codes=issued) if "not issued" in each]      # one sentence, whose they are, which lines
    assert re.fullmatch(r"lesson 07, lines [\d, to]+: answers to numbers that were not issued to this student, but are those of 'seat 1'; not in the mark", said)
    seeds = [json.loads(line)["seed"] for line in record(copied, 1).read_text(encoding="utf-8").splitlines() if '"tried"' in line]
    assert len(seeds) > 2
    open_ones = record(copied, 2).read_text(encoding="utf-8")
    for seed in {*seeds}:
        open_ones = open_ones.replace(f'"seed": {seed}', '"seed": 3')
    record(copied, 2).write_text(open_ones, encoding="utf-8")
    assert any("but are those asked without a code; not in the mark" in each for each in troubles(copied, 2, codes=issued))

    event = json.loads(next(line for line in record(copied, 1).read_text(encoding="utf-8").splitlines() if '"eight"' in line))
    posed = lesson_book("07").questions["eight"].task
    looks = lambda number: {"E1": [("dark", "steady")[number >> bit & 1] for bit in range(8)]}
    wrong = [given for given in map(looks, range(1, 9)) if given != event["answer"]][:3]
    reasons = posed.pose(posed.variants.of(event["seed"])).reasons
    tries = [event | {"answer": given, "right": False, "reason": reason} for given, reason in zip(wrong, [*reasons, *reasons])]
    helps = [event | {"event": "helped"}] * 2
    lines = [json.dumps(each) for each in [*tries, *helps, event]]
    record(copied, 1).write_text("\n".join(lines), encoding="utf-8")
    student = class_summary(copied).students[0]
    assert student.marks["07", "eight"].word == "wrong"
    assert any("line 6" in each and "refused" in each for each in troubles(copied))


# ------------------------------------------------------------------ the pages

def visible(page):
    """Return the text of an HTML page with its attributes that are read aloud or shown, its style left out."""
    found = []
    reader = HTMLParser()
    reader.handle_data = found.append
    reader.handle_starttag = lambda tag, attributes: found.extend(value for name, value in attributes
                                                                  if name in ("title", "aria-label"))
    reader.feed(re.sub("<style>.*?</style>", "", page, flags=re.S))
    return "\n".join(found)


def test_the_grid_has_every_seat_and_names_what_was_skipped(pages):
    """One row for each seat, one column for each question; the tables agree with the page."""
    text = visible(pages["grid.html"])
    for seat in SEATS:
        assert f"\nseat {seat}\n" in text
    for name in ("empty", "picture", "essay"):
        assert f"\n{name}\n: no answers yet: " in text
    heads, *rows = csv.reader(pages["grid.csv"].splitlines())
    assert len(rows) == 27 and len(heads) == 1 + len(lesson_book("07").questions) + 3
    (eight,) = [place for place, head in enumerate(heads) if head.startswith("07 eight: ")]
    assert heads[eight] == f"07 eight: {lesson_book('07').questions['eight'].question}" and heads[-3:-1] == ["credit", "sure and wrong"]
    assert rows[0][eight] == "right at once" and rows[1][eight] == "wrong (sure at first, M11)"
    lines = list(csv.DictReader(pages["misconceptions.csv"].splitlines()))
    ideas = {row["code"]: row["students"] for row in lines if row["question"] == "all"}
    assert ideas["M11"] == str(sum(any("M11" in cell for cell in row) for row in rows)) and ideas["M1"] == "not looked for"
    told = [row["students"] for row in lines]
    looked = [each for each in told if each != "not looked for"]
    assert told == looked + ["not looked for"] * (len(told) - len(looked)) and int(looked[0]) > 0 == int(looked[-1])
    assert {f"M{number}" for number in range(1, 20)} <= set(ideas)


def test_a_column_has_the_number_of_its_question_on_paper_and_a_sentence_below_is_whole(copied, codes, tmp_path):
    """Each question of the lesson in its order; whose numbers somebody else's answers are for is read to the end."""
    shutil.copytree(copied / "seat 1", copied / "seat 3")
    assert main(["class-summary", str(copied), "--codes", str(codes), "--out", str(tmp_path / "pages")]) == 1
    page = (tmp_path / "pages" / "grid.html").read_text("utf-8")
    heads = re.findall(r"<th[^>]*><span title=[^>]*>(.*?)</span>", page)
    assert [f"{number} {item}" for number, item in enumerate(lesson_book("07").questions, 1)] == heads[:-2]
    (told,) = (words for words in (each.words for student in class_summary(copied, codes=codes_in(codes.read_text("utf-8-sig"), "codes.csv")).students
                                   if student.name == "seat 3" for each in student.troubles) if "not issued to this student" in words)
    assert len(told) > 110 and told.endswith("but are those of 'seat 1'; not in the mark") and f"\n: {told}\n" in visible(page)


def test_the_projector_page_names_nobody(pages):
    """No label of the class, sound or broken, and no word of what was wrong with a record."""
    text = visible(pages["projector.html"])
    for name in ("seat", "Seat", "empty", "picture", "essay", "no answers yet"):
        assert name not in text, name
    assert len(re.findall(r'<th scope="row">\d+</th>', pages["projector.html"])) == 24


def test_the_key_stands_on_its_own_page_alone(pages):
    """The key has every question's answer; no other page has a right answer that is longer than a word."""
    gathered = lesson_book("07").questions
    plain = {question.truth() for question in gathered.values() if question.kind in ("predicted", "observed")}
    telling = {words for words in plain if " " in words}
    assert len(telling) >= 5
    for words in telling:
        assert words in visible(pages["key.html"])
        for name in ("grid.html", "projector.html", "grid.csv"):
            assert words not in pages[name], (name, words)
    assert "row 1: E1" in visible(pages["key.html"]) and "row 1: E1" not in pages["grid.html"] + pages["projector.html"]


def test_the_key_is_not_laid_among_lessons(copied, tmp_path, capsys):
    """Neither into a learner's folder nor below it."""
    mine = tmp_path / "mine"
    (mine / "pictures").mkdir(parents=True)
    (mine / lesson_files()["06"].name).write_text("{}", "utf-8")
    for key in (mine / "key.html", mine / "pictures" / "key.html"):
        assert main(["class-summary", str(copied), "--out", str(tmp_path / "pages"), "--key", str(key)]) == 2
        assert "among the lessons in 'mine'" in capsys.readouterr().err and not key.exists()


def test_the_key_is_written_only_when_asked_and_only_apart(copied, tmp_path, capsys):
    """Not among the records, not among the pages, not at all without the word."""
    out = tmp_path / "pages"
    for place in (copied / "key.html", out / "key.html"):
        assert main(["class-summary", str(copied), "--out", str(out), "--key", str(place)]) == 2
        assert not place.exists()
    assert main(["class-summary", str(copied), "--out", str(out)]) == 0
    assert {path.name for path in out.iterdir()} == {"grid.html", "projector.html", "grid.csv", "misconceptions.csv"}


def test_nothing_is_overwritten_without_saying_so(copied, tmp_path, capsys):
    """Pages, codes, and the folder of the records itself."""
    out = tmp_path / "pages"
    assert main(["class-summary", str(copied), "--out", str(out)]) == 0
    (out / "grid.csv").write_text("mine")
    assert main(["class-summary", str(copied), "--out", str(out)]) == 2
    assert "--again" in capsys.readouterr().err and (out / "grid.csv").read_text() == "mine"
    assert main(["class-summary", str(copied), "--out", str(out), "--again"]) == 2
    assert "a text of another kind" in capsys.readouterr().err and (out / "grid.csv").read_text() == "mine"
    (out / "grid.csv").unlink()
    before = (out / "grid.html").read_bytes()
    shutil.rmtree(copied / "seat 1")
    assert main(["class-summary", str(copied), "--out", str(out), "--again"]) == 0
    assert "What was there before is kept as 'grid.before-1.html'" in capsys.readouterr().out
    assert (out / "grid.before-1.html").read_bytes() == before != (out / "grid.html").read_bytes()
    assert (out / "grid.csv").exists() and not (out / "grid.before-1.csv").exists()
    assert main(["class-summary", str(copied), "--out", str(copied / "pages")]) == 2
    assert not (copied / "pages").exists()


def test_with_leave_to_write_again_each_of_the_four_takes_the_place_of_its_own_kind(copied, tmp_path, capsys):
    """The next lesson's summary in the same folder; what the one before said is kept beside."""
    out = tmp_path / "pages"
    assert main(["class-summary", str(copied), "--out", str(out)]) == 0
    names = {path.name for path in out.iterdir()}
    shutil.rmtree(copied / "seat 1")
    assert main(["class-summary", str(copied), "--out", str(out), "--again"]) == 0
    kept = {path.name for path in out.iterdir()} - names
    assert {"grid.before-1.html", "grid.before-1.csv", "projector.before-1.html"} <= kept
    assert "seat 1" in (out / "grid.before-1.csv").read_text(encoding="utf-8-sig")
    assert "seat 1" not in (out / "grid.csv").read_text(encoding="utf-8-sig")


def test_a_name_cannot_become_a_tag_or_a_formula(copied, tmp_path):
    """It is shown as it is written."""
    (copied / "seat 1").rename(copied / "=1+1 <b>")
    main(["class-summary", str(copied), "--out", str(tmp_path / "pages")])
    assert "=1+1 &lt;b&gt;" in (tmp_path / "pages" / "grid.html").read_text(encoding="utf-8")
    assert "'=1+1 <b>," in (tmp_path / "pages" / "grid.csv").read_text(encoding="utf-8-sig")


def test_a_table_has_no_endless_cell_and_a_terminal_no_endless_line(copied, tmp_path, capsys):
    """Forty thousand scattered lines that are none of a record; table programs cut a cell at 32 767 letters."""
    whole = record(copied, 1).read_text(encoding="utf-8")
    record(copied, 1).write_text(whole + "x\n\n" * 40_000, encoding="utf-8")
    (copied / "odd").mkdir()
    (copied / "odd" / "lesson-07.jsonl").write_text("x\n\n" * 40_000, encoding="utf-8")
    assert main(["class-summary", str(copied), "--out", str(tmp_path / "pages")]) == 1
    text = (tmp_path / "pages" / "grid.csv").read_text(encoding="utf-8-sig")
    cells = [cell for line in csv.reader(text.splitlines()) for cell in line]
    said = capsys.readouterr().out.splitlines()
    told = [cell for cell in cells if "cut off or edited by hand" in cell or "goes on for far longer" in cell]
    assert len(told) == 2 and max(map(len, cells)) < 5_200 and max(map(len, said)) <= 300


def test_a_cell_that_is_too_long_says_that_it_was_shortened():
    from circuitlab.commands.class_tables import table_text
    text = table_text([["seat 1", "x" * 361_000]])
    assert len(text) < 5_200 and "(shortened: it has 361000 letters, the record holds them all)" in text


# ------------------------------------------------------------------ codes and bad input

def test_codes_come_from_secret_lesson_and_label(codes):
    """One line for each label, all different, the same as a learner's own code."""
    *rows, end = csv.DictReader(codes.read_text(encoding="utf-8-sig").splitlines())
    assert list(end.values()) == ["end of the table", "07", "24 codes"]
    assert len({row["code"] for row in rows}) == len(rows) == 24
    assert all(row["code"] == issue_code(SECRET, "07", row["label"]) for row in rows)


def issue(folder, labels, secret=SECRET, *more):
    """Issue codes of lesson 07 to labels and return the table."""
    (folder / "labels.txt").write_text("\n".join(labels), encoding="utf-8")
    assert main(["class-codes", "--secret", secret, "--lesson", "07", "--labels", str(folder / "labels.txt"), "--out", str(folder / "codes.csv"), *more]) == 0
    return folder / "codes.csv"


def test_every_label_of_the_table_without_a_folder_is_named_and_counted(copied, codes, tmp_path, capsys):
    """Twenty-three of 24, whose answers nobody has seen: in the command, on the grid and in its table; a name that is not a label is told as such."""
    (copied / "seat 2").rename(copied / "Anna")
    assert main(["class-summary", str(copied), "--codes", str(codes), "--lesson", "7", "--out", str(tmp_path / "pages")]) == 1
    said = capsys.readouterr().out
    named = re.search(r"^No folder here is named as these of the table of codes: (.*)\.$", said, flags=re.M)[1].split(", ")
    assert named == [f"seat {seat}" for seat in SEATS if seat != 1]
    assert "2 seats with answers, 0 with no answers yet, 23 of the table without a folder" in said
    assert "Anna: lesson 07: this name is not in the table of codes" in said and "give the folder its label" in said
    rows = list(csv.reader((tmp_path / "pages" / "grid.csv").read_text("utf-8-sig").splitlines()))
    assert [row[0] for row in rows if row[-1].endswith("and no folder")] == named
    assert ", ".join(named) in visible((tmp_path / "pages" / "grid.html").read_text("utf-8"))
    assert "seat 3" not in (tmp_path / "pages" / "projector.html").read_text("utf-8")


def test_a_label_without_a_folder_alone_makes_the_summary_partial(copied, tmp_path, capsys):
    """Two folders of two are whole; of three labels they are not."""
    for labels, ends in ((["seat 1", "Seat 2"], 0), (["seat 1", "Seat 2", "seat 10"], 1)):
        table = issue(tmp_path, labels, SECRET, "--again")
        shown = ["class-summary", str(copied), "--codes", str(table), "--out", str(tmp_path / "pages"), "--again"]
        assert main(shown) == ends, capsys.readouterr().out


def test_a_table_of_another_lesson_marks_nobody(copied, codes, tmp_path, capsys):
    """Else everybody's answers would count, whoever's numbers they are for."""
    assert main(["class-summary", str(copied), "--codes", str(codes), "--lesson", "06", "--out", str(tmp_path / "pages")]) == 2
    said = capsys.readouterr().err
    assert "holds no code of lesson 06, only of 07" in said and "leave --codes out" in said and not (tmp_path / "pages").exists()


def test_other_words_for_a_table_that_is_there_say_how_many_codes_changed(tmp_path, capsys):
    """None where they are the same; slips that were handed out fit the earlier table alone."""
    issue(tmp_path, ["seat 1", "seat 2", "seat 3"])
    for labels, secret, said in ((["seat 1", "seat 2", "seat 3"], SECRET, ""), (["Seat 1", "seat 2", "seat 3"], "invented pears in july", "3 codes changed"),
                                 (["seat 1"], "invented pears in july", "2 codes of the earlier table left out"), (["seat 1"], SECRET, "1 code changed")):
        capsys.readouterr()
        issue(tmp_path, labels, secret, "--again")
        told = capsys.readouterr().out
        assert said in told and ("earlier table" in told) == bool(said), told


@pytest.mark.parametrize(("secret", "said"), [("abc", "only 1 word,"), ("pears pears in july", "only 3 different words"), (SECRET, "")])
def test_a_secret_of_few_words_is_warned_of(tmp_path, capsys, secret, said):
    """Where the same word twice is one; and one code is one."""
    issue(tmp_path, ["seat 1"], secret)
    told = capsys.readouterr().out
    assert told.startswith("1 code is in ") and said in told and ("take four or more" in told) == bool(said)


@pytest.mark.parametrize(("labels", "said"), [("", "holds no label"), ("seat 1\nSeat  1\n", "stands twice"), (None, "there is no such file")])
def test_bad_labels_get_a_sentence(tmp_path, capsys, labels, said):
    """And no table is written."""
    if labels is not None:
        (tmp_path / "labels.txt").write_text(labels)
    assert main(["class-codes", "--secret", "s", "--lesson", "07", "--labels", str(tmp_path / "labels.txt"),
                 "--out", str(tmp_path / "codes.csv")]) == 2
    assert said in capsys.readouterr().err and not (tmp_path / "codes.csv").exists()


def test_a_folder_that_is_no_class_gets_a_sentence(tmp_path, capsys):
    """Missing, empty, without a record, a lesson there is not."""
    (tmp_path / "class" / "seat 1").mkdir(parents=True)
    for words, said in (([str(tmp_path / "none")], "is not a folder"), ([str(tmp_path / "class" / "seat 1")], "holds no folder"),
                        ([str(tmp_path / "class")], "seat 1: no answers yet: the folder is empty"),
                        ([str(tmp_path / "class"), "--lesson", "77"], "there is no lesson '77'. The lessons are 00 to 12, the extras x1 to x5.")):
        assert main(["class-summary", *words, "--out", str(tmp_path / "pages")]) == 2
        shown = capsys.readouterr().err
        assert said in shown and "Did you mean" not in shown
    assert not (tmp_path / "pages").exists()


def test_where_nothing_can_be_marked_every_folder_is_named_with_its_reason(tmp_path, capsys):
    """Twenty-four seats: empty, a picture, a file, and lines that hold no answer."""
    for seat in SEATS:
        (tmp_path / "class" / f"seat {seat}").mkdir(parents=True)
    (tmp_path / "class" / "seat 3" / "lesson-07.jsonl").write_bytes(b"\x89PNG\0\0\x01")
    (tmp_path / "class" / "seat 4" / "lesson-07.jsonl").write_text(blank("eight"), encoding="utf-8")
    (tmp_path / "class" / "list.txt").write_text("seats")
    assert main(["class-summary", str(tmp_path / "class"), "--out", str(tmp_path / "pages")]) == 2
    said = capsys.readouterr().err
    for name, why in ((1, "the folder is empty"), (3, "cut off or edited by hand"), (4, "an answer the lesson would have refused: empty"), (24, "the folder is empty")):
        assert re.search(rf"^seat {name}: no answers yet: .*{why}", said, flags=re.M), name
    assert "list.txt: left out: a file" in said and "not one of its 24 folders holds an answer" in said


def blank(item):
    """Return a line of lesson 07 that answers nothing."""
    return json.dumps({"kit": cl.__version__, "lesson": "07", "item": item, "event": "tried", "seed": 1, "answer": {}, "right": True}) + "\n"


def test_a_seat_without_a_valid_answer_has_no_answers_yet_and_is_never_marked_0(copied, tmp_path, capsys):
    """The same for an empty folder, for lines that hold no answer, for a seat that is at another lesson, for notes alone."""
    for name in ("blank", "early", "noting", "nothing"):
        (copied / name).mkdir()
    lines = record(copied, 1).read_text(encoding="utf-8").splitlines(keepends=True)
    (copied / "blank" / "lesson-07.jsonl").write_text(blank("eight"), encoding="utf-8")
    (copied / "noting" / "lesson-07.jsonl").write_text("".join(line for line in lines if '"noted"' in line), encoding="utf-8")
    (copied / "early" / "lesson-00.jsonl").write_text(json.dumps({"kit": cl.__version__, "lesson": "00", "item": "before-switch",
        "event": "predicted", "answer": next(iter(lesson_book("00").questions["before-switch"].choices)), "right": None}) + "\n")
    assert main(["class-summary", str(copied), "--out", str(tmp_path / "pages")]) == 1
    said = capsys.readouterr().out
    for name, why in (("blank", "an answer the lesson would have refused: empty"), ("nothing", "the folder is empty")):
        assert re.search(f"^{name}: no answers yet: .*{why}", said, flags=re.M), name
    assert "4 seats with answers, 2 with no answers yet" in said
    grid, wall, table = ((tmp_path / "pages" / page).read_text(encoding="utf-8-sig") for page in ("grid.html", "projector.html", "grid.csv"))
    for lesson, seats in (("00", ("seat 1", "seat 2", "noting")), ("07", ("early", "noting"))):
        rows = re.findall("<tr>.*?</tr>", grid.split(f"<h1>Lesson {lesson}")[1].split("</section>")[0])
        unmarked = [row for row in rows for seat in seats if re.search(f"{seat}( \\*)?</th>", row)]
        assert len(unmarked) == len(seats) and all("no answers yet" in row and not re.search(r">\d+ of \d", row) for row in unmarked)
        assert wall.split(f"<h1>Lesson {lesson}")[1].split("</section>")[0].count("no answers yet") == len(seats)
    assert [[row[0], row[-3]] for row in csv.reader(table.splitlines()) if "no answers yet" in row] == [["noting", "no answers yet"]]


def test_every_trouble_tells_a_teacher_what_it_means_for_the_mark(copied):
    """Each of a record's own faults, in words without field names; marked as the circuit has it, or not in the mark."""
    lines = record(copied, 1).read_text(encoding="utf-8").splitlines(keepends=True)
    event = json.loads(lines[0])
    of_old = {name: value for name, value in event.items() if name != "of"} | {"kit": "0.0.9"}
    bad = ["{", "[1]", json.dumps({"item": 3}), *(json.dumps(event | each) for each in (
        {"event": "weighed"}, {"seed": "3"}, {"lesson": "02"}, {"item": "no such"}, {"event": "checked"}, {"of": "another"},
        {"answer": [[[[[[[[[]]]]]]]]]})), json.dumps(of_old)]
    record(copied, 1).write_text("".join(each + "\n" for each in bad) + "".join(lines), encoding="utf-8")
    told = troubles(copied)
    assert lines_named(copied, "not in the mark") == [*range(1, len(bad) + 1)]
    for code in ("'seed'", "'item'", "'answer'", "JSON", "line of a record", "of a kind", "counted"):
        assert not any(code in each for each in told), code


@pytest.mark.parametrize("words", ["7", "07", " 7"])
def test_a_lesson_may_be_named_without_its_nought(copied, tmp_path, words):
    assert main(["class-summary", str(copied), "--out", str(tmp_path / "pages"), "--lesson", words]) == 0
    (tmp_path / "labels.txt").write_text("seat 1\n")
    assert main(["class-codes", "--secret", SECRET, "--lesson", words, "--labels", str(tmp_path / "labels.txt"),
                 "--out", str(tmp_path / "codes.csv")]) == 0
    row, end = csv.DictReader((tmp_path / "codes.csv").read_text(encoding="utf-8-sig").splitlines())
    assert list(end.values()) == ["end of the table", "07", "1 code"]
    assert row["lesson"] == "07" and row["code"] == issue_code(SECRET, "07", "seat 1")


# ------------------------------------------------------------------ the safety ticket

@pytest.fixture(scope="module")
def ticketed(tmp_path_factory):
    """Three seats of lesson 01b: one has passed the ticket, one has not, one wrote into the record that it has."""
    folder, patch = tmp_path_factory.mktemp("ticketed"), pytest.MonkeyPatch()
    gathered = lesson_book("01b").questions
    for seat in (1, 2, 3):
        patch.setenv("PIN_THIRTY_ANSWERS", str(folder / f"seat {seat}" / "answers"))
        lesson = worked("01b_pass_the_safety_ticket").lesson
        for question in gathered.values():
            answer(lesson, question, wrong=seat > 1 and question.item == "ticket-ring")
    patch.undo()
    passed = [line for line in prints_of(folder, 1) if json.loads(line)["event"] == "held"]
    assert len(passed) == 1 and not any('"held"' in line for line in prints_of(folder, 2))
    with open(next((folder / "seat 3").rglob("*.jsonl")), "a", encoding="utf-8") as file:
        file.write(passed[0] + "\n")
    return folder


def prints_of(folder, seat):
    return next((folder / f"seat {seat}").rglob("lesson-01b.jsonl")).read_text("utf-8").splitlines()


def test_the_safety_ticket_is_seen_in_the_grid(ticketed, tmp_path, capsys):
    """By a shape and a word for each seat, in its own column of all pages; who wrote it into the record has not passed, and is named."""
    assert main(["class-summary", str(ticketed), "--lesson", "01b", "--out", str(tmp_path)]) == 1
    said = "lesson 01b: the record says that the safety ticket was passed, the answers that count do not show it"
    assert f"seat 3: {said}" in capsys.readouterr().out
    heads, *rows = csv.reader((tmp_path / "grid.csv").read_text("utf-8-sig").splitlines())
    place = heads.index("01b ticket: safety ticket passed")
    assert [(row[0], row[place], row[-1]) for row in rows] == [("seat 1", "passed", ""), ("seat 2", "not passed", ""), ("seat 3", "not passed", said)]
    for name, students in (("grid.html", ["seat 1", "seat 2", "seat 3 *"]), ("projector.html", None)):
        page = (tmp_path / name).read_text("utf-8")
        found = dict(re.findall(r'<th scope="row">(.*?)</th>.*?aria-label="(passed|not passed)"', page))
        assert sorted(found.values()) == ["not passed", "not passed", "passed"]
        assert students is None or list(found) == students
        assert visible(page).count("\nticket\n") == 1 and "safety ticket passed" in visible(page)


def test_a_lesson_without_a_ticket_has_no_column_for_one(pages):
    assert "ticket" not in visible(pages["grid.html"]) and "ticket" not in pages["grid.csv"]

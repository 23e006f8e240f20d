"""A lesson on paper for a class of invented seats, the answers to it, and what is refused."""

import re
from html import escape, unescape

import pytest
from test_no_key_is_shipped import ROOTS, shipped
from worked_lessons import of_kind, right_one, worked

from circuitlab.benches.laddered import Laddered
from circuitlab.commands.line import main
from circuitlab.ground.errors import CircuitLabError
from circuitlab.ground.files import page_mark
from circuitlab.teaching import issue_code
from circuitlab.teaching.class_marking import ClassSummary, earning
from circuitlab.teaching.class_paper import SCREEN_ONLY, answers_to_paper, questions_on_paper
from circuitlab.teaching.gathering import lesson_book, lesson_files
from circuitlab.teaching.kinds import Number
from circuitlab.teaching.paper import SURE
from circuitlab.views.paper_pages import answer_page, question_page

SECRET, SEATS, NAME = "invented pears in july", ("seat 1", "seat 2", "seat 3"), "06_test_the_relay"
CODES = {(seat, "06"): issue_code(SECRET, "06", seat) for seat in SEATS}
pytestmark = pytest.mark.usefixtures("answers")


def words(page):
    """Return what stands on a page, in one line. [text]"""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", page.partition("</style>")[2])).split())


@pytest.fixture(scope="module")
def lessons():
    """Lesson 06 with its widgets for each seat, opened with that seat's code."""
    made = {}
    for seat in SEATS:
        made[seat] = worked(NAME).lesson
        made[seat].use_code(CODES[seat, "06"])
    return made


@pytest.mark.parametrize("variant", [1, 2])
def test_a_sheet_asks_what_the_learner_meets_on_the_screen(lessons, variant):
    """Word for word, seed for seed, as the lesson with that code asks first, and behind 'New numbers'."""
    for sheet in questions_on_paper("6", CODES, variant).sheets:
        for form, asked in zip(sheet.forms, lessons[sheet.label].questions.values(), strict=True):
            if isinstance(asked, Laddered) and asked.way.can_renew:
                posed = asked.task.pose(asked.task.variants.of(asked.seed + variant - 1))
                assert f"seed {posed.seed}." in form and posed.question in unescape(form)
            else:
                assert asked.way.words in unescape(form)


def test_what_is_right_on_paper_is_right_on_the_screen(lessons):
    """Each answer is the key of the circuit's own sum, and the lesson takes that sum as right."""
    paper = answers_to_paper("06", CODES, SECRET)
    for sheet in paper.sheets:
        lesson, told = lessons[sheet.label], {place: right for place, _, right in (*paper.shared, *sheet.answers)}
        assert sorted(told) == [*range(1, len(lesson.questions) + 1)]
        for place, (item, asked) in enumerate(lesson.questions.items(), 1):
            if isinstance(asked, Laddered):
                assert told[place] == asked.way.posed.taken() and asked.way.posed.is_right(asked.way.posed.read(right_one(asked.way.posed))), item


def bounds(told):
    """Return number, unit, least and most of what is told of a number."""
    number, unit, low, high = re.fullmatch(r"(\S+) (\S+) \((\S+) to (\S+)\)", told).groups()
    return float(number), unit, float(low), float(high)


@pytest.mark.in_turn(13, 5)
@pytest.mark.parametrize("number", lesson_files())
def test_a_number_stands_with_its_bounds_in_the_unit_of_the_blank(number):
    """What the screen takes ends just beyond them, on both sides; without bounds is only a reading that floats."""
    codes = {("seat 1", number): issue_code(SECRET, number, "seat 1")}
    book, sheet = lesson_book(number), answers_to_paper(number, codes, SECRET)
    book.use_code(codes["seat 1", number])
    told = {place: right for place, _, right in (*sheet.shared, *sheet.sheets[0].answers)}
    for place, (item, way) in enumerate(book.ways.items(), 1):
        if (posed := getattr(way, "posed", None)) and isinstance(posed.kind, Number):
            for truth in (posed.truth, 0.128, -posed.truth, 12.46, 1234.0, 0.0) if posed.truth is not None else ():
                value, unit, low, high = bounds(posed.kind.taken(truth))
                step = 0.12 * (high - low)      # of two figures of the width, the last one rounded inwards
                assert posed.kind.same(low, truth) and posed.kind.same(high, truth) and low <= value <= high, (item, truth)
                assert not posed.kind.same(low - step, truth) and not posed.kind.same(high + step, truth), (item, truth)
            assert told[place] == posed.kind.taken(posed.truth)
            assert posed.truth is None or f"____ {bounds(told[place])[1]}<" in book.on_paper(item), item


@pytest.mark.parametrize(("number", "earns"), [("06", 6)])
def test_the_answer_sheet_says_which_questions_earn_credit(number, earns):
    """Those that are checked: as many as the grid counts with; a star beside their numbers and a sentence that says so."""
    paper = answers_to_paper(number, CODES, SECRET)
    page = words(answer_page(paper))
    questions = [*lesson_book(number).questions.values()]
    assert len(paper.earning) == earns == earning(lesson_book(number).questions)
    for place, question in enumerate(questions, 1):
        own = question.question if question.kind != "tried" else None
        assert own is None or f"{place} {' '.join(own.split())}" in page
    assert all(f" {place} * " in page for place in paper.earning) and "Questions with * earn credit" in page
    assert page.count(" * ") == 1 + sum(place in paper.earning for sheet in paper.sheets for place, *_ in sheet.answers) + sum(
        place in paper.earning for place, *_ in paper.shared)


def test_what_the_lesson_asks_a_reason_for_it_asks_on_paper_too(lessons):
    """Every reason of the screen beside a box on the sheet; on the answer sheet the one that the lesson takes, and it is said what another costs."""
    paper, page = answers_to_paper("06", CODES, SECRET), words(answer_page(answers_to_paper("06", CODES, SECRET)))
    forms = {sheet.label: sheet.forms for sheet in questions_on_paper("06", CODES).sheets}
    asked_for = set()
    for seat, lesson in lessons.items():
        for place, asked in enumerate(lesson.questions.values(), 1):
            reasons = getattr(asked, "reasons", ())
            form = words(f"</style>{forms[seat][place - 1]}")
            assert all(f"because {reasons[0]}" in form and reason in form for reason in reasons)
            assert (place in paper.reasons) == bool(reasons)
            if reasons:
                asked_for.add(place)
                assert paper.reasons[place] in reasons and asked.way.posed.holds(paper.reasons[place]) and f"because {paper.reasons[place]}" in page
    assert len(asked_for) >= 2 and "A right answer whose reason does not hold has half." in page


@pytest.mark.in_turn(13, 4)
@pytest.mark.parametrize("number", lesson_files())
def test_a_sheet_of_any_lesson_has_every_box_of_the_screen(number):
    """Choices, reasons, how sure: what the widgets show is printed; the answer sheet has what is right and, where one is asked for, the reason that holds."""
    codes = {("seat 1", number): issue_code(SECRET, number, "seat 1")}
    lesson = worked(lesson_files()[number].stem).lesson
    lesson.use_code(codes["seat 1", number])
    (sheet,), answers = questions_on_paper(number, codes).sheets, answers_to_paper(number, codes, SECRET)
    right = {place for place, *_ in (*answers.shared, *answers.sheets[0].answers)}
    assert right == {*range(1, len(lesson.questions) + 1)} and len(sheet.forms) == len(right)
    for place, (form, asked) in enumerate(zip(sheet.forms, lesson.questions.values()), 1):
        said, reasons = words(f"</style>{form}"), getattr(asked, "reasons", ())
        boxes = [*reasons, *(SURE if asked.asked.with_confidence else ()), *(choice for _, choices in asked.way.boxes for choice in choices)]
        assert all(form.count(f'value="{escape(each)}"') >= boxes.count(each) for each in boxes), asked.item
        assert ("because" in said.split()) == bool(reasons) or "because" in asked.way.words, asked.item
        assert (place in answers.reasons) == any(map(asked.way.posed.holds, reasons) if reasons else ()), asked.item


def test_no_sheet_for_learners_tells_an_answer(lessons):
    """No box is ticked, no number lies about, and nothing in the page differs by what is right."""
    page = question_page(questions_on_paper("06", CODES))
    assert "checked" not in page and "answer sheet" not in page
    for seat, lesson in lessons.items():
        section = next(each for each in page.split("<section>") if f"<b>{seat}</b>" in each)
        for item, asked in of_kind(lesson, Laddered).items():
            if isinstance(asked.task.kind, Number):
                number = asked.way.posed.key()
                assert number not in words(section), item


def test_the_answers_of_two_learners_differ():
    """Else nothing would be gained by codes."""
    first, second, third = (sheet.answers for sheet in answers_to_paper("06", CODES, SECRET).sheets)
    assert first != second != third != first


@pytest.mark.full
def test_what_nobody_else_can_mark_is_said_alike_on_the_answer_sheet_and_in_the_key():
    """Of a question about the learner's own attempt: what it depends on."""
    codes = {("seat 1", "10"): issue_code(SECRET, "10", "seat 1")}
    questions = lesson_book("10").questions
    own = questions["own"]
    (on_paper,) = {right for _, words, right in answers_to_paper("10", codes, SECRET).shared if words == own.question}
    (in_key,) = {right for _, words, _, _, right in ClassSummary({"10": questions}, (), ()).key() if words == own.question}
    assert on_paper == in_key == "depends on what the learner chose in the lesson"


def test_another_secret_is_refused_in_one_sentence():
    with pytest.raises(CircuitLabError, match=r"not the words that the codes of lesson 06 were issued with: 'seat 1' .*, so would 2 more\. Give the words"):
        answers_to_paper("06", CODES, SECRET + "!")
    one = {**CODES, ("seat 2", "06"): issue_code("another class", "06", "seat 2")}
    with pytest.raises(CircuitLabError, match="'seat 2' would have another code. Give"):
        answers_to_paper("06", one, SECRET)


def test_no_answer_sheet_is_shipped():
    """Neither in the package nor in lessons or datasets."""
    found = [name for name, text in shipped(ROOTS).items() if page_mark("an answer sheet") in text[:400]]
    assert found == [] and page_mark("an answer sheet") in answer_page(answers_to_paper("06", CODES, SECRET))[:400]


@pytest.fixture
def desk(tmp_path, monkeypatch):
    """A teacher's folder with labels and issued codes."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "labels.txt").write_text("\n".join(SEATS), "utf-8")
    assert main(["class-codes", "--secret", SECRET, "--lesson", "06", "--labels", "labels.txt", "--out", "codes.csv"]) == 0
    return tmp_path


def test_both_pages_are_written_and_kept(desk, capsys):
    """Only over their own kind, and the old one beside it."""
    for words in (["class-paper"], ["class-answers", "--secret", SECRET]):
        given = [*words, "--lesson", "6", "--codes", "codes.csv", "--out", f"{words[0]}.html"]
        assert main(given) == 0 and "3 sheets" in capsys.readouterr().out
        assert main(given) == 2 and "is there already" in capsys.readouterr().err
        assert main([*given, "--again", "--variant", "2"]) == 0 and (desk / f"{words[0]}.before-1.html").is_file()
    assert main(["class-paper", "--lesson", "6", "--codes", "codes.csv", "--out", "class-answers.html", "--again"]) == 2


@pytest.mark.parametrize(("words", "said"), [
    (["class-answers", "--secret", "no", "--lesson", "06", "--codes", "codes.csv", "--out", "a.html"], "not the words"),
    (["class-answers", "--secret", "", "--lesson", "06", "--codes", "codes.csv", "--out", "a.html"], "secret is empty"),
    (["class-answers", "--secret", SECRET, "--lesson", "06", "--codes", "codes.csv", "--out", "a.pdf"], "does not end in .html"),
    (["class-paper", "--lesson", "07", "--codes", "codes.csv", "--out", "a.html"], "no code for lesson 07"),
    (["class-paper", "--lesson", "77", "--codes", "codes.csv", "--out", "a.html"], "no lesson '77'"),
    (["class-paper", "--lesson", "06", "--codes", "labels.txt", "--out", "a.html"], "not a table of codes"),
    (["class-paper", "--lesson", "06", "--codes", "codes.csv", "--variant", "0", "--out", "a.html"], "no variant 0"),
])
def test_bad_input_gets_one_sentence_and_writes_nothing(desk, words, said, capsys):
    before = {path.name for path in desk.iterdir()}
    capsys.readouterr()
    assert main(words) == 2
    told = capsys.readouterr().err
    assert said in told and "Traceback" not in told and {path.name for path in desk.iterdir()} == before


def test_answers_are_not_laid_among_lessons(desk, capsys):
    """Neither into a learner's folder nor below it."""
    (desk / "mine" / "pictures").mkdir(parents=True)
    (desk / "mine" / f"{NAME}.ipynb").write_text("{}", "utf-8")
    for out in ("mine/a.html", "mine/pictures/a.html"):
        assert main(["class-answers", "--secret", SECRET, "--lesson", "06", "--codes", "codes.csv", "--out", out]) == 2
        assert "among the lessons in 'mine'" in capsys.readouterr().err
    assert not [*desk.rglob("a.html")]


# ------------------------------------------------------------------ drawings

def test_each_drawing_is_there_once_and_tells_nothing_that_is_asked():
    """The pictures of the prose and the boards, at rest: no volts, no lamp lit; ahead of the questions that speak of them."""
    drawings = questions_on_paper("06", CODES).drawings
    assert len(drawings) >= 1 and len({each.svg for each in drawings}) == len(drawings)
    first = drawings[0]
    assert 1 <= first.first <= 19 and first.words and "K1" in first.svg and "drawn without live or dead" in first.svg
    assert not any(re.search(r"\d V, \d+ %|class=\"[^\"]*\blit\b", each.svg) for each in drawings)
    page = question_page(questions_on_paper("06", CODES))
    assert page.count("<figure>") == len(drawings) and page.count("<section>") == len(SEATS) + 1


def test_pictures_of_the_prose_are_drawn_too():
    """The three drawings of lesson 05, in their order, though no board shows the second."""
    codes = {("seat 1", "05"): issue_code(SECRET, "05", "seat 1")}
    told = [each.words.partition(",")[0] for each in questions_on_paper("05", codes).drawings]
    assert told[:3] == ["Drawing 1", "Drawing 2", "Drawing 3"] and len({*told}) == len(told)


def on_paper(number):
    return questions_on_paper(number, {("seat 1", number): issue_code(SECRET, number, "seat 1")})


def test_a_question_is_pointed_to_the_drawing_of_its_own_circuit():
    """W16 and W10 of lesson 11's check are in the cart with two rear relays, not in the one drawn last; lesson 06 speaks of its board from the second question on."""
    paper = on_paper("11")
    two, four = (next(each for each in paper.drawings if words in each.words) for words in ("two rear relays", "one relay for each lamp"))
    asked = paper.sheets[0].forms[8]
    assert "Key on, pedal held, lever" in asked and "K1" in asked
    assert two.first == 1 and four.first is None and 9 not in four.also and all(wire in two.svg for wire in ("W16", "W10", "W4"))
    assert f"For question {two.first} and on." in question_page(paper)
    (board,) = on_paper("06").drawings
    assert board.first == 2


def test_what_the_lesson_says_ahead_of_its_check_stands_on_paper():
    """Which cart it is about, word for word."""
    form = on_paper("11").sheets[0].forms[8]
    assert words("</style>" + form).startswith("On the cart with two rear relays one thing breaks.")
    assert [place for place, each in enumerate(on_paper("11").sheets[0].forms, 1) if each.startswith("<p>")] == [9]


@pytest.mark.parametrize(("number", "there", "not_there"), [("08", (4, 5, 6, 7, 9), (3, 14)), ("11", (4, 8), (3, 9)), ("05", (14,), (4, 5)), ("11c", (11,), (10,)), ("10", (7, 8), (5,))])
def test_what_needs_the_screen_is_marked_and_keeps_its_number(number, there, not_there):
    """Charts, buttons, what was seen; not what the printed drawings show. As many forms as the lesson has questions."""
    forms = on_paper(number).sheets[0].forms
    marked = [place for place, form in enumerate(forms, 1) if SCREEN_ONLY in form]
    assert tuple(marked) == there and not {*not_there} & {*marked} and len(forms) == len(lesson_book(number).questions)


def test_the_command_says_that_the_drawings_are_printed_for_each_learner(desk, capsys):
    """There they stand once, at the end."""
    assert main(["class-paper", "--lesson", "06", "--codes", "codes.csv", "--out", "paper.html"]) == 0
    assert "drawings stand at the end, once: print those pages again for each learner" in capsys.readouterr().out
    page = (desk / "paper.html").read_text("utf-8")
    assert page.rindex("<section>") == page.index("<section><h1>Drawings.")

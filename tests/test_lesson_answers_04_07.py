"""Lessons 04, 05 and 07 as a learner works them: shut before an answer, a reply of its own for each wrong idea."""

import re
from itertools import product
from types import SimpleNamespace

import pytest
from worked_lessons import (check_kept, check_no_number_is_told, check_observations_wait, check_own_replies,
                            check_right_answers, notebook, of_kind, right_by_variant, right_choices, right_numbers, told_by,
                            words, worked)

import circuitlab as cl
from circuitlab.benches.lesson import CLOSED, Question
from circuitlab.ground.places import kit_folder
from circuitlab.teaching import fairness


# Reasoned by hand from the circuit, not taken from the kit.
RIGHT = {
    "04_size_fuse_and_wire": {
        "current-out": "it rises", "third-lamp": "it falls", "protects": "the wire W3", "thirty": "it stays whole",
        "weakest": "W3", "cold": "only at first, then far less", "drop": "about nine tenths of them",
        "far": "it stays whole", "awg": "1.5 mm\N{SUPERSCRIPT TWO}", "choice": "1.5 mm\N{SUPERSCRIPT TWO}", "rule-broken": "wire"},
    "05_draw_and_list": {
        "road-back": "it stays dark", "open-switch": "source volts", "same": "1 and 2", "hangs-on": "S1:1",
        "count": "4", "belongs": "S1:2 and E2:1", "rest": "from F1:2 to S1:1", "third-rest": "E2",
        "ground-side": "source volts", "compare": "same lamps, other nets", "which-list": "A", "colour": "the paper alone"},
    "07_prove_every_row": {
        "normally": "30 and 87a", "click": "both coils, no contact", "count": "48", "series": "only with both on",
        "beside": "with either on, or both", "one-on": "K1 pulls, E1 is dark", "break": "only with S1 on and S2 off",
        "rest": "only with both off", "back": "source volts", "sneak": "with either on, or both",
        "missed": "half of them", "few": "four", "double": "twice as many"}}
WORKED = tuple(RIGHT)
ONE = "G1:+ - F1:1; F1:2 - S1:1; S1:2 - X2:1; X2:2 - E1:1; X2:3 - E2:1; E1:2 - X1:1; E2:2 - X1:2; X1:3 - G1:-"
CHAIN = "G1:+ - F1:1; F1:2 - E1:1; E1:2 - S1:1; S1:2 - E2:1; E2:2 - X1:1; X1:2 - G1:-"
TASKS = {"05_draw_and_list": {"list": ONE.replace("; ", "\n"), "own-list": CHAIN.replace("; ", "\n")},
         "07_prove_every_row": {"eight": "by its contacts"}}

pytestmark = pytest.mark.usefixtures("answers")


def given_to(lesson, name, item):
    """Return a right answer to a question with variants: as written above, or from the contacts its text names."""
    return TASKS[name][item] if item != "eight" else {"E1": eight(lesson.questions["eight"].question)}


def eight(question, normal="break"):
    """Work out the eight rows from the words alone: K1 and one of K2, K3; a ``normal`` contact is closed at rest."""
    kinds = re.findall(r"K\d (make|break)", question)
    rows = product((False, True), repeat=3)
    closed = [[pulled != (kind == normal) for pulled, kind in zip(row, kinds)] for row in rows]
    return ["steady" if first and (second or third) else "dark" for first, second, third in closed]


# ------------------------------------------------------------------ before an answer

def test_nothing_is_open_before_an_answer(lesson):
    """Every prediction is shut and says how to open it; no reply stands anywhere else."""
    predictions = {item for item, question in of_kind(lesson, Question).items() if question.kind == "predicted"}
    assert len(predictions) >= 4
    for item, question in of_kind(lesson, Question).items():
        assert words(question.reply).strip() == (CLOSED if item in predictions else ""), item
        assert question.shown == "", item
        assert not question.is_answered, item


@pytest.mark.in_turn(3, 2)
def test_what_was_seen_is_asked_only_after_its_prediction(lesson):
    """An observation is shut while its prediction is."""
    check_observations_wait(lesson)


# ------------------------------------------------------------------ the right answer

def test_the_right_choices_are_those_reasoned_by_hand(name, lesson):
    """The circuit's own answer to every question with choices."""
    assert right_choices(lesson) == RIGHT[name]


@pytest.mark.in_turn(3)
def test_a_right_answer_opens_what_was_shut(lesson):
    """Each prediction shows its result, each question says that the circuit agrees."""
    check_right_answers(lesson)


def test_lists_and_rows_written_by_hand_are_agreed_with(name, lesson):
    """Those above, and the rows worked out from the words of the question."""
    for item in TASKS.get(name, {}):
        lesson.answer(item, given_to(lesson, name, item))
        assert "The circuit agrees" in lesson.questions[item].reply, item


@pytest.mark.in_turn(3, 1)
def test_answers_are_there_again_the_next_time(name, answers):
    """All of them."""
    check_kept(worked, name, answers)


# ------------------------------------------------------------------ the wrong answers

@pytest.mark.in_turn(3, 2)
def test_each_wrong_choice_gets_a_reply_of_its_own(lesson):
    """What that idea would show and where to look: short, unlike its neighbours, and without the right choice."""
    check_own_replies(lesson)


@pytest.mark.in_turn(3)
def test_no_source_or_reply_holds_the_right_number_of_a_reading(name, lesson):
    """Not in the cells, not in their metadata, not in any reply of another question."""
    check_no_number_is_told(name, lesson)


def test_a_planted_number_is_found(tmp_path):
    """The search above sees a comma, a missing space and milli, and passes what is not near."""
    reading = cl.Lesson("98", tmp_path).measure("planted", "Volts?", cl.arrangement("one-fused-lamp"), "V", lambda lamp: 0.75)

    assert told_by("at 0,75 V or 0.76V or 750 mV", reading) == ["0,75", "0.76", "750"]
    assert told_by("W0.75 V, 10.75 V, 75 V, 0.75 A, 0.75 mm2", reading) == []


# ------------------------------------------------------------------ lesson 04: fuse and wire

SIZES = ("0.5 mm2", "0.75 mm2", "18 AWG", "1.5 mm2", "14 AWG", "2.5 mm2", "12 AWG", "4 mm2", "6 mm2")


@pytest.fixture
def sizing():
    """Lesson 04, and what it says of a choice for a job, rule by rule."""
    names = worked("04_size_fuse_and_wire").names
    judged = next(cell.source for cell in notebook("04_size_fuse_and_wire").cells if cell.id == "judged")

    def told(fuse, copper, lamps=3, run=5.5):
        names.update(fuse=fuse, copper=copper, lamps=lamps, run=run)
        exec(judged, names)
        return " ".join(names["told"])
    return SimpleNamespace(names=names, told=told)


def test_any_choice_that_keeps_the_rules_is_accepted(sizing):
    """Fuse and wire in every pairing: nothing is called broken exactly when the judgement breaks nothing, several times over."""
    accepted = 0
    for fuse in (3, 5, 6, 7.5, 10, 15, 30):
        for copper in SIZES:
            told = sizing.told(fuse, copper)
            kept = all(finding.is_kept for finding in cl.sizing.judge(sizing.names["mine"]))
            assert ("broken" not in told) == kept, (fuse, copper)
            accepted += kept
    assert accepted >= 6


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("fuse, copper, rule", [
    (3, "4 mm2", "load"), (6, "4 mm2", "load"), (30, "4 mm2", "wire"), (7.5, "1 mm2", "drop"), (10, "16 AWG", "drop")])
def test_a_bad_choice_is_told_its_rule(sizing, fuse, copper, rule):
    """Too small a fuse, one nobody makes, too big a fuse for the wire, too thin a wire for the run."""
    assert f"<b>{rule}</b> broken" in sizing.told(fuse, copper)


def test_the_thinnest_wire_of_each_job_keeps_the_rules_and_the_next_thinner_does_not(sizing):
    """By the cell in which the learner tries it; every job can be done in more than one way."""
    wires = ("1 mm\N{SUPERSCRIPT TWO}", "1.5 mm\N{SUPERSCRIPT TWO}", "2.5 mm\N{SUPERSCRIPT TWO}", "4 mm\N{SUPERSCRIPT TWO}")
    for job, right in right_by_variant(sizing.names["lesson"].questions["choice"]).items():
        lamps, run, fuse = map(float, job.split(", "))
        broken = ["broken" in sizing.told(fuse, wire, int(lamps), run) for wire in wires]
        assert broken == [place < wires.index(right) for place in range(len(wires))] and any(broken), job
        assert "broken" not in sizing.told(fuse, "6 mm2", int(lamps), run), job


def test_the_readings_of_the_work_lamps_follow_by_hand(sizing):
    """Ohms of one lit lamp by volts over amps; the drop by the copper's length, area and amps."""
    truth = right_numbers(sizing.names["lesson"])
    point = cl.operating_point(sizing.names["two"], {"lamp switch": "on"})

    assert truth["hot-ohms"] == pytest.approx(point.lamp_volts("E1") / point.current("W4"))
    assert truth["run-drop"] == pytest.approx(point.current("F1") * (0.017241 * 6 / 0.5 + 0.002), rel=1e-6)


# ------------------------------------------------------------------ lesson 05: drawings and lists

@pytest.fixture
def listing(answers):
    """Lesson 05, and what it says of a list; each list as a first try."""
    def reply(item, lines):
        for record in answers.glob("*.jsonl"):
            record.unlink()
        lesson = worked("05_draw_and_list").lesson
        lesson.answer(item, lines.replace("; ", "\n"))
        return words(lesson.questions[item].reply)
    return reply


@pytest.mark.parametrize("item, lines", [
    ("list", "E2:2 - G1:-; E1:2 - E2:2; E1:1 - E2:1 - S1:2; S1:1 - F1:2; F1:1 - G1:+"),
    ("list", ONE.replace("F1:1", "F1:9").replace("F1:2", "F1:1").replace("F1:9", "F1:2")),
    ("own-list", "G1:- - X1:3; X1:1 - E2:2; E2:1 - S1:2; S1:1 - E1:2; E1:1 - F1:2; F1:1 - G1:+"),
    ("own-list", CHAIN.lower())])
def test_any_list_of_the_same_nets_is_right(listing, item, lines):
    """Another order, past the splice and the frame, a turned fuse, small letters."""
    assert "The circuit agrees" in listing(item, lines)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("item, lines, said", [
    ("list", ONE.replace("X2:3 - E2:1", "S1:1 - E2:1"), "E2 is steady with lamp switch off"),
    ("list", ONE.replace("E2:2 - X1:2; ", ""), "E2 is dark with lamp switch on"),
    ("list", ONE.replace("E2:2 - X1:2", "E2:2 - X2:2"), "E2 is dark"),
    ("list", ONE.replace("F1:2 - S1:1", "F1:1 - S1:1"), "every lamp does what it should"),
    ("own-list", CHAIN.replace("S1:2 - E2:1; E2:2 - X1:1", "S1:2 - X1:1; E2:1 - E1:1; E2:2 - X1:1"),
     "with lamp switch off")])
def test_a_wrong_list_is_told_what_it_would_do(listing, item, lines, said):
    """A lamp ahead of the switch, no way back, a lamp on one net, a fuse passed by, lamps side by side."""
    reply = listing(item, lines)
    assert "does not agree" in reply and said in reply


def test_what_is_no_list_gets_a_sentence(listing):
    """Nothing, words, a part that is not there, a terminal with itself."""
    for lines, said in (("", "no connection yet"), ("all in a row", "does not join two"), ("G1:+ - F7:1", "F7"),
                        ("F1:1 - F1:1", "does not join two")):
        with pytest.raises(cl.CircuitLabError, match=said):
            listing("list", lines)


# ------------------------------------------------------------------ lesson 07: rows

@pytest.fixture
def proving():
    return worked("07_prove_every_row")


def test_the_eight_rows_are_equally_hard_for_everybody(proving):
    """Six sets of contacts, six different tables, the idea always apart from the truth."""
    found = fairness(proving.lesson.questions["eight"])

    assert found.is_equal, found.sentence
    assert found.answers == 6


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("turn", range(6))
def test_every_variant_of_the_eight_rows_is_marked_by_its_contacts(proving, turn):
    """Right by the words of the question; the idea that a break contact closes with the coil gets its reply."""
    question = proving.lesson.questions["eight"]
    for _ in range(turn):
        question.renew()
    rows = eight(question.question)
    proving.lesson.answer("eight", {"E1": eight(question.question, normal="")})
    assert "does not agree" in question.reply
    assert "break contact would close with the coil" in words(question.reply)
    odd = next(number for number, look in enumerate(rows) if look == eight(question.question, normal="")[number])
    other = [look if number != odd else {"dark": "steady", "steady": "dark"}[look] for number, look in enumerate(rows)]
    proving.lesson.answer("eight", {"E1": other}, reason="'normally' means at rest, with a dead coil")
    assert "does not agree" in question.reply and f"row {odd + 1} " in question.reply
    proving.lesson.answer("eight", {"E1": rows}, reason="'normally' means at rest, with a dead coil")
    assert "The circuit agrees" in question.reply and question.credit == 1


def test_each_fault_of_board_b_shows_in_one_row_of_its_own(proving):
    """By hand: a weld at rest, a lost coil wire where its switch acts alone, rust where both coils pull at once."""
    assert {words: proving.names["seen"](words) for words in proving.names["faults"]} == {
        "K1 welded": [("off", "off")], "W4 off K1:86": [("on", "off")], "W7 off K2:86": [("off", "on")],
        "rust between W5 and X1": [("on", "on")]}


def test_the_count_is_the_carts(proving, monkeypatch):
    """Two by two by three by two by two; another cart in its place gives another count."""
    assert proving.lesson.questions["count"].asked.truth() == str(2 * 2 * 3 * 2 * 2)
    plain = cl.arrangement
    monkeypatch.setattr(cl, "arrangement", lambda name: plain(name.removesuffix("-hazard")))
    assert worked("07_prove_every_row").lesson.questions["count"].asked.truth() == str(2 * 2 * 3)


# ------------------------------------------------------------------ pictures

@pytest.mark.parametrize("picture, lesson_name, circuit, form", [
    ("work_lamps", "04_size_fuse_and_wire", "two", "current-path"),
    ("two_lamps_drawing_1", "05_draw_and_list", "one", "current-path"),
    ("two_lamps_drawing_2", "05_draw_and_list", "two", "attached"),
    ("two_lamps_drawing_3", "05_draw_and_list", "three", "current-path"),
    ("contacts_board_a", "07_prove_every_row", "series", "current-path"),
    ("contacts_board_b", "07_prove_every_row", "beside", "current-path")])
def test_the_pictures_are_drawn_from_the_circuits(picture, lesson_name, circuit, form, tmp_path):
    """The file in the lessons is what the kit draws today."""
    cl.save_picture(worked(lesson_name).names[circuit], tmp_path / "fresh.svg", form=form)

    kept = (kit_folder("lessons") / "pictures" / f"{picture}.svg").read_text("utf-8")
    assert kept == (tmp_path / "fresh.svg").read_text("utf-8")

"""Lessons 01, 02 and 03 as a learner works them, and the safety ticket that opens the pages for the real bench."""

import re
from html import escape

import pytest
from hands import refusal
from worked_lessons import (check_kept, check_no_answer_is_named, check_no_number_is_told, check_observations_wait,
                            check_own_replies, check_right_answers, of_kind, reply_to, right_answer, right_choices,
                            right_numbers, right_one, words, worked)

import circuitlab as cl
from circuitlab.benches.asked import CLOSED, Question
from circuitlab.ground.places import kit_folder

WORKED = ("01_close_the_loop", "01b_pass_the_safety_ticket", "02_compare_two_places", "03_follow_the_ground")
PLAIN = WORKED[1]       # the safety ticket alone: it predicts, observes and measures nothing
TICKET = ("wire", "looks", "smoke", "fuse", "blown", "hot", "ring", "meter")

# Reasoned by hand from the circuits, and for the ticket from the cautions; not taken from the kit.
RIGHT = {
    "01_close_the_loop": {
        "recall-zero": "battery minus", "one-wire": "it stays dark", "sketches": "A, C and E",
        "in-out": "the same in both", "reversed": "it lights", "second-lamp": "about twice",
        "first-lamp": "it stays bright", "touch": "at the battery end", "bigger-fuse": "the wire",
        "guards": "the lamp", "gap": "none"},
    "01b_pass_the_safety_ticket": {
        "ticket-wire": "power off", "ticket-looks": "someone else looks", "ticket-smoke": "switch off, step back, say so",
        "ticket-fuse": "at the battery end", "ticket-blown": "nothing yet",
        "ticket-hot": "the lamp", "ticket-ring": "a short", "ticket-meter": "a short"},
    "02_compare_two_places": {
        "recall-gap": "nowhere", "socket": "source volts", "levels": "the first two", "closing": "S1:2 alone",
        "dark-and-live": "both at source volts", "open-switch": "source volts", "rubbing": "lamp lit",
        "fuse-and-bulb": "nothing to compare", "test-lamp": "bulb in only",
        "in-series": "lamp dark, meter at source volts", "both-live": "on the way back", "two-zeros": "the fuse"},
    "03_follow_the_ground": {
        "recall-minus": "a minus sign", "proof": "neither", "shell": "a few volts", "shell-out": "about zero volts",
        "behind": "less light", "feed-or-ground": "both the same", "neighbours": "less light",
        "lost-ground": "lit, by the stop wire W9", "lost-brake": "a dim glow", "sign": "a minus sign",
        "bad-leg": "B", "next-reading": "lamp ground side to battery minus, bulb in"}}

# Each wrong idea about lamps, meters and ground, and the choice that somebody with that idea makes.
IDEAS = {
    "the lamp uses up current": ("01", "in-out", "more in W3"),
    "the battery always gives the same current": ("01", "second-lamp", "it stays"),
    "one wire from plus is enough": ("01", "one-wire", "it lights"),
    "current runs up to a gap": ("01", "gap", "those ahead of the gap"),
    "a bigger fuse is safer": ("01", "bigger-fuse", "the fuse"),
    "the fuse protects the lamp": ("01", "guards", "the fuse"),
    "no current, so no volts": ("02", "socket", "about zero volts"),
    "nothing across an open switch": ("02", "open-switch", "about zero volts"),
    "0 V means that nothing is there": ("02", "two-zeros", "neither"),
    "0 V always means joined to minus": ("02", "test-lamp", "bulb in and bulb out"),
    "only what comes behind feels a change": ("03", "behind", "as bright as before"),
    "each branch minds its own business": ("03", "neighbours", "as bright as before"),
    "ground is always 0 V": ("03", "shell", "about zero volts"),
    "a good reading with the bulb out proves both legs": ("03", "proof", "both legs"),
    "no ground wire, no way back": ("03", "lost-ground", "dark")}


pytestmark = pytest.mark.usefixtures("answers")


# ------------------------------------------------------------------ before an answer

def test_nothing_is_open_before_an_answer(name, lesson):
    """Every prediction is shut and says how to open it; no reply stands anywhere else."""
    predictions = {item for item, question in of_kind(lesson, Question).items() if question.kind == "predicted"}
    assert (len(predictions) >= 6) == (name != PLAIN)
    for item, question in of_kind(lesson, Question).items():
        assert words(question.reply).strip() == (CLOSED if item in predictions else ""), item
        assert question.shown == "", item
        assert not question.is_answered, item


@pytest.mark.in_turn(3, 2)
def test_what_was_seen_is_asked_only_after_its_prediction(name, lesson):
    """An observation is shut while its prediction is; the ticket has none of either."""
    if name == PLAIN:
        assert of_kind(lesson, Question) == {}
    else:
        check_observations_wait(lesson)


# ------------------------------------------------------------------ the right answer

def test_the_right_choices_are_those_reasoned_by_hand(name, lesson):
    """The circuit's own answer to every question with choices."""
    assert right_choices(lesson) == RIGHT[name]


def test_the_amps_of_two_lamps_follow_from_their_volts():
    """What leaves the battery is what both filaments take at the volts they have, I = I_rated (U / U_rated)^0.55 or so."""
    work = worked("01_close_the_loop")
    point = cl.operating_point(work.names["two"], work.names["both"])
    each = [26.5 / 13.5 * (point.lamp_volts(lamp) / 13.5)**0.55 for lamp in ("E1", "E2")]

    assert right_numbers(work.lesson)["both-lamps"] == pytest.approx(sum(each), rel=0.02)


def test_the_readings_without_a_meter_follow_from_the_levels():
    """Red minus black, and nothing else; the switch open, the loop has no current and so its full source volts."""
    work = worked("02_compare_two_places")
    point = cl.operating_point(work.names["lamp"], {"lamp switch": "on"})
    truth = right_numbers(work.lesson)

    assert truth["over-the-lamp"] == pytest.approx(point.volts("S1:2") - point.volts("E1:2"))
    assert truth["leads-turned"] == pytest.approx(-work.names["lamp"].battery.voltage, abs=1e-6)


def test_the_lost_volts_follow_from_ohms_law():
    """Current times the ohms of the leg: rust, copper, joints and studs."""
    work = worked("03_follow_the_ground")
    truth = right_numbers(work.lesson)
    rusty = cl.changed(work.names["lamp"], work.names["rusty"])
    stud, leg = rusty.part("X1").stud_resistance, [rusty.part(wire).resistance for wire in ("W4", "W5")]
    shared = cl.operating_point(work.names["shared"], {"lamps": "three"})

    assert truth["ground-leg"] == pytest.approx(
        cl.operating_point(rusty, {"lamp switch": "on"}).current("W4") * (sum(leg) + 2 * stud))
    assert truth["shared-leg"] == pytest.approx(
        sum(shared.current(wire) for wire in ("W6", "W7", "W8")) * work.names["shared"].part("W9").resistance)


@pytest.mark.in_turn(3)
def test_a_right_answer_opens_what_was_shut(lesson):
    """Each prediction shows its result, each question says that the circuit agrees."""
    check_right_answers(lesson)


@pytest.mark.in_turn(3, 1)
def test_answers_are_there_again_the_next_time(name, answers):
    """All of them; the ticket is one line more, written once."""
    check_kept(worked, name, answers, more_lines=int(name == PLAIN))


# ------------------------------------------------------------------ the wrong answers

@pytest.mark.in_turn(3, 2)
def test_each_wrong_choice_gets_a_reply_of_its_own(lesson):
    """What that idea would show and where to look: short, unlike its neighbours, and without the right choice."""
    check_own_replies(lesson)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("idea", IDEAS)
def test_each_wrong_idea_has_its_probe(idea):
    """Some choice is what that idea would say; it is wrong, and its reply sends the learner to look."""
    number, item, choice = IDEAS[idea]
    lesson = worked(next(name for name in WORKED if name.startswith(number))).lesson
    reply = reply_to(lesson.questions[item], choice)

    assert right_choices(lesson)[item] != choice
    assert escape(reply) in lesson.answer(item, choice, "sure").reply
    assert re.search(r"\?|Look|Compare|Count|Draw|Take|Watch", reply), reply


@pytest.mark.in_turn(3)
def test_no_source_or_reply_holds_the_right_number_of_a_reading(name, lesson):
    """Not in the cells, not in their metadata, not in a table on show, not in any reply of another question."""
    assert bool(right_numbers(lesson)) == (name != PLAIN)
    check_no_number_is_told(name, lesson)


@pytest.mark.in_turn(3, 1)
def test_words_that_are_no_answer_get_a_sentence(lesson):
    """A number without sense and a choice that is not there are named; nothing is written down for them."""
    check_no_answer_is_named(lesson)


# ------------------------------------------------------------------ the safety ticket

def pass_ticket(lesson, but=()):
    """Answer every item of the ticket rightly, save those named; with fresh numbers where it has been answered before."""
    for item in (f"ticket-{each}" for each in TICKET):
        question = lesson.questions[item]
        if question.is_answered:
            question.renew()
        posed = question.way.posed
        wrong = next(choice for choice in posed.kind.options if not posed.is_right(choice))
        lesson.answer(item, wrong if item in but else right_one(posed))


def test_the_page_is_shut_until_every_item_is_right():
    """Blank: shut. Seven right and one wrong: shut, whichever it is. All right: cautions and steps."""
    work = worked("01b_pass_the_safety_ticket")
    ticket = work.shown["ticket"]
    assert [question.item for question in ticket.questions] == [f"ticket-{each}" for each in TICKET]
    assert "0 of 8 items are right" in ticket.page and "<ol>" not in ticket.page
    for item in TICKET:
        pass_ticket(work.lesson, but=[f"ticket-{item}"])
        assert "7 of 8 items are right" in ticket.page and "<ol>" not in ticket.page, item
    pass_ticket(work.lesson)

    assert "The page for the real bench is open" in ticket.page
    assert all(escape(line) in ticket.page for line in (*work.lesson.cautions(), *ticket.steps))
    assert refusal(ticket) == ""


def test_a_choice_that_was_not_committed_opens_nothing():
    """Ticking the right box is no answer; fresh numbers leave the page open, and a wrong commit of them shuts it."""
    work = worked("01b_pass_the_safety_ticket")
    ticket, last = work.shown["ticket"], work.lesson.questions["ticket-meter"]
    pass_ticket(work.lesson, but=["ticket-meter"])
    last.renew()
    last.entry.put(right_answer(last))
    work.lesson.questions["ticket-wire"].renew()
    assert ticket.right == 7
    pass_ticket(work.lesson)
    assert "<ol>" in ticket.page
    pass_ticket(work.lesson, but=["ticket-ring"])
    assert "<ol>" not in ticket.page


@pytest.mark.in_turn(12)
@pytest.mark.parametrize("guarded", [path.stem for path in sorted(kit_folder("lessons").glob("*.ipynb"))
                                     if not path.stem.startswith("01b")])
def test_the_ticket_opens_the_pages_of_the_other_lessons(guarded, answers):
    """Shut without it and with seven items right, open with it; the ticket lies beside the other answers."""
    assert "Shut. This page opens with the safety ticket" in worked(guarded).shown["workbench"]._repr_html_()
    first = worked("01b_pass_the_safety_ticket").lesson
    pass_ticket(first, but=["ticket-smoke"])
    assert "<ol>" not in worked(guarded).shown["workbench"]._repr_html_()
    pass_ticket(first)
    page = worked(guarded).shown["workbench"]._repr_html_()

    assert page.count("<li>") >= len(first.cautions()) + 2
    assert "Shut" not in page


def test_a_ticket_passed_where_it_was_before_still_opens_the_pages(answers):
    """As the last part of lesson 01, in an earlier kit: the line that says so lies in that lesson's record."""
    cl.Lesson("01").record.add("ticket", "held")
    assert "<ol>" in worked("02_compare_two_places").shown["workbench"]._repr_html_()


def test_a_ticket_that_is_not_kept_says_so(monkeypatch, tmp_path):
    """Without a folder for answers the other lessons cannot know of it; they say what to do."""
    monkeypatch.delenv("PIN_THIRTY_ANSWERS")
    monkeypatch.chdir(tmp_path)
    pass_ticket(worked("01b_pass_the_safety_ticket").lesson)

    page = worked("02_compare_two_places").shown["workbench"]._repr_html_()
    assert "make a folder named answers" in page and "<ol>" not in page


def test_a_ticket_needs_items_with_choices():
    """A note can be neither right nor wrong."""
    lesson = cl.Lesson("01")
    for questions in ([], [lesson.note("exit", "What next?")]):
        with pytest.raises(cl.CircuitLabError, match="needs one or more checks|must be a list of checks"):
            lesson.safety_ticket(questions, ["Look."])


# ------------------------------------------------------------------ what the lessons show

def test_the_answers_come_from_the_circuit(monkeypatch):
    """With rust at the work lamp's stud from the start, a lit lamp's shell is no longer near zero."""
    plain = cl.arrangement
    monkeypatch.setattr(cl, "arrangement", lambda name: cl.changed(plain(name), cl.LoseJoint("W4", "X1:1", 2.0)))

    assert "With a clean stud: a few volts" in worked("03_follow_the_ground").lesson.answer("shell", "a few volts").shown


@pytest.mark.parametrize("lesson_name, picture, made", [
    ("02_compare_two_places", "switch_on_the_ground_side", "ground_side"),
    ("03_follow_the_ground", "three_lamps_one_ground", "shared"), ("03_follow_the_ground", "two_housings", "housings")])
def test_the_pictures_are_drawn_from_the_lessons_own_circuits(lesson_name, picture, made, tmp_path):
    """The file in the lessons is what the kit draws today of the circuit built there."""
    cl.save_picture(worked(lesson_name).names[made], tmp_path / "fresh.svg")

    kept = (kit_folder("lessons") / "pictures" / f"{picture}.svg").read_text("utf-8")
    assert kept == (tmp_path / "fresh.svg").read_text("utf-8")

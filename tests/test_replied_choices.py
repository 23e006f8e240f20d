"""Choices that bring their own replies: the first step of the ladder, said to the right one as well, some of them ideas."""

import re

import pytest

import circuitlab as cl
from circuitlab.teaching import IDEAS
from circuitlab.teaching.fairness import fairness

ONE, ON = cl.arrangement("one-fused-lamp"), {"lamp switch": "on"}
FAULTS = {"the fuse is blown": cl.Hold("F1", "blown"), "the bulb is out": cl.Hold("E1", "blown"), "nothing is wrong": ()}
REPLIES = {"source volts": "Then one end is joined to plus and the other to minus.",
           "half of them": "Then {part} would share them with something. With which current?",
           "none": cl.idea("M9", would="Then both ends are at one level.")}
MORE = {"where": "Take one end of {part} at a time to battery minus.", "principle": "A reading compares two levels.",
        "steps": lambda lamp, fault, part: f"each end of {part} by itself, black lead on battery minus"}


def level(lamp, fault, part):
    share = abs(cl.operating_point(lamp, ON).across(f"{part}:1", f"{part}:2")) / lamp.battery.voltage
    return "source volts" if share > 0.9 else "none" if share < 0.1 else "half of them"


def ask(folder, circuit=None, **more):
    """Ask what a meter shows across a part, in six variants."""
    circuit = circuit or cl.vary(ONE, fault=FAULTS, part=("F1", "E1"))
    return cl.Lesson("96", folder).choose("across", "Switch on, {fault}. What is across {part}?", circuit, REPLIES, level,
                                          **MORE | more)


def wrong_ones(question):
    """Return what this variant offers and its circuit denies. [text]"""
    posed = question.way.posed
    return [option for option in posed.kind.options if option != posed.truth]


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("turn", range(6))
def test_each_choice_is_told_its_own_reply_right_or_wrong(turn, tmp_path):
    """In every variant, with its picks filled in; no other choice's reply beside it."""
    for number, option in enumerate(REPLIES):
        question = ask(tmp_path / str(number))
        for _ in range(turn):
            question.renew()
        said = {each: question.way.posed.kind.reply(each) for each in REPLIES}
        question.commit(option)
        right = option not in wrong_ones(question)
        assert "{" not in said[option] and [each for each in REPLIES if said[each] in question.reply] == [option]
        assert ("The circuit agrees" in question.reply) == right == question.is_right and question.credit == 0


def test_three_wrong_tries_climb_and_fresh_numbers_give_the_credit(tmp_path):
    """Reply, place, principle; then a twin with another answer, then the key, then another variant."""
    question = ask(tmp_path)
    (first, second), reasons = wrong_ones(question), [None, *question.reasons]
    steps = [question.way.posed.kind.reply(first), question.way.posed.variant.fill(MORE["where"]), MORE["principle"]]
    for option, reason, step in zip((first, second, first), reasons, steps):
        question.commit(option, None, reason)
        assert step in question.reply and [each for each in steps if each in question.reply] == [step]
    right = question.way.posed.key()
    question.help()
    assert "A worked twin." in question.reply and f"answer is: {right}." not in question.reply
    question.help()
    assert f"The circuit shows: {right}." in question.reply and question.credit == 0
    for credit in (0, 0.5):
        question.renew()
        question.commit(question.way.posed.key())
        assert question.credit == credit
    assert "Half a credit." in question.reply


@pytest.mark.parametrize("place", range(4))
def test_whoever_clicks_through_the_choices_earns_nothing_by_it(place, tmp_path):
    """Four choices and no reason: right at once, then at once again is full; after a click too many two more variants give half."""
    levels = {"source volts": "Then it is open.", "three quarters": "Then it shares.", "half": "Then it shares.", "none": "Then it is whole."}
    asked = cl.Lesson("96", tmp_path).choose("across", "Switch on, {fault}. What is across {part}?",
                                             cl.vary(ONE, fault=FAULTS, part=("F1", "E1")), levels, level)
    clicks = wrong_ones(asked)
    clicks.insert(place, asked.way.posed.truth)
    for option in clicks[:place + 1]:
        asked.commit(option)
    assert "The circuit agrees" in asked.reply and asked.credit == 0
    assert ("One in a row so far" if place == 0 else "No credit yet") in asked.reply
    assert "Press 'Another like it'." in asked.reply.replace("&#x27;", "'")
    assert "At most three variants count." in asked.way.earned.rule and any(
        getattr(each, "value", "") == f"<div>{asked.way.earned.rule}</div>" for each in asked.view.children)
    for credit in ([1] if place == 0 else [0, 0.5]):
        asked.renew()
        asked.commit(asked.way.posed.truth)
        assert asked.credit == credit
    asked.renew()
    asked.commit(wrong_ones(asked)[0])
    assert asked.credit == credit       # what is earned stays


def test_the_second_of_two_choices_earns_nothing(tmp_path):
    """Nothing else was left to press, and there are no fresh numbers to be told of."""
    asked = cl.Lesson("96", tmp_path).choose("two", "Across S1?", ONE, ["none", "source volts"], lambda lamp: level(lamp, "", "S1"))
    for option in ("source volts", "none"):
        asked.commit(option)
    assert asked.is_right and asked.credit == 0 and "No credit" in asked.reply and "Press" not in asked.reply


def test_a_choice_that_is_an_idea_counts_as_one_where_it_is_wrong(tmp_path):
    """By its code in the record, with its own reason on the menu; where it is right it is no idea."""
    told = {}
    for turn in range(6):
        question = ask(tmp_path / str(turn))
        for _ in range(turn):
            question.renew()
        question.commit("none", None, IDEAS["M9"].because)
        told[question.question] = question.record.events()[-1]["idea"], question.credit
    assert set(told.values()) == {("M9", 0.0), (None, 0.0)}
    assert set(question.reasons) == {IDEAS["M9"].because, IDEAS["M9"].law}


def test_a_right_answer_is_told_a_statement_never_a_question(tmp_path):
    """Its own reply where that asks nothing, else the principle; a number has the principle."""
    options = {"none": "Then it is closed. Is it?", "source volts": "Then it is open. Is it?", "half": "Then it shares."}
    asked = cl.Lesson("96", tmp_path).choose("asks", "Across S1?", ONE, options, lambda lamp: level(lamp, "", "S1"), **MORE | {
        "where": "", "steps": ""})
    asked.commit("none")
    assert MORE["principle"] in asked.reply and "Is it?" not in asked.reply
    number = cl.Lesson("96", tmp_path).measure("volts", "Across S1?", ONE, "V", lambda lamp: 1.0, principle="Two places.")
    number.commit("1 V")
    assert "Two places." in number.reply


def test_without_an_idea_no_reason_is_asked(tmp_path):
    """A second try needs another answer and nothing else."""
    question = cl.Lesson("96", tmp_path).choose("plain", "Across {part}?", cl.vary(ONE, part=("F1", "E1", "S1")), {
        "source volts": "Then it is open.", "none": "Then it is closed.", "half": "Then it shares."},
        lambda lamp, part: level(lamp, "", part))
    assert question.reasons == () and "Why?" not in question.on_paper()
    first, second = wrong_ones(question)
    question.commit(first)
    question.commit(second)
    assert len(question.way.tries) == 2


def test_a_choice_that_is_right_in_some_variants_is_fair(tmp_path):
    """Unlike an idea that is worked out, it has its reply either way."""
    found = fairness(ask(tmp_path))
    assert found.is_equal and found.answers == 2, found.sentence


def test_twins_can_be_given_and_are_never_asked(tmp_path):
    """All variants have one answer, the twin another."""
    holes = {"the fuse is blown": FAULTS["the fuse is blown"], "no fuse is fitted": cl.Hold("F1", "blown")}
    whole = cl.vary(ONE, fault={"nothing is wrong": ()}, part=("F1", "S1"))
    question = ask(tmp_path, cl.vary(ONE, fault=holes, part=("F1",), twins=whole))
    assert len(question.task.variants) == 2
    for seed in range(4):
        posed = question.task.pose(question.task.variants.of(seed))
        assert posed.key() == "source volts" and "nothing is wrong" in posed.twin() and "answer is: none" in posed.twin()


def test_without_variants_to_spare_a_twin_is_the_one_furthest_ahead(tmp_path):
    """Of three; with two there is none, as the other one is next."""
    asked = lambda *parts: ask(tmp_path / str(len(parts)), cl.vary(ONE, fault={"the fuse is blown": FAULTS["the fuse is blown"]},
                                                                   part=parts)).task
    three, two = asked("F1", "E1", "S1"), asked("F1", "E1")
    names = [three.variants.of(seed).picks["part"] for seed in range(3)]
    twins = [next(three.variants.twins(seed)).picks["part"] for seed in range(3)]
    assert twins == [names[2], names[0], names[1]]
    assert two.pose(two.variants.of(0)).twin() == ""


def test_a_record_of_a_former_kind_is_passed_over(tmp_path):
    """An answer to a question that had no ladder then: asked anew, and nothing fails."""
    lesson = cl.Lesson("96", tmp_path)
    lesson.record.add("across", "checked", answer="none", confidence="sure", right=True)
    lesson.record.add("across", "read", answer="12 V", confidence="sure", right=True)
    question = ask(tmp_path)
    assert not question.is_answered and question.is_right is None and not re.search("agree", question.reply)
    question.commit("half of them")
    assert question.is_right is False and ask(tmp_path).is_right is False

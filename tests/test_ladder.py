"""The ladder of help: one step for each try, a changed reason, the key at the very end, a fresh variant for credit."""

import json

import pytest
from hands import boxes, buttons, markup, press, tick

import circuitlab as cl
from circuitlab.benches import laddered
from circuitlab.teaching import IDEAS, Ladder, Refused, Task, idea
from circuitlab.teaching.kinds import Choice, Number

ONE = cl.arrangement("one-fused-lamp")
BATTERIES = {("G1", "voltage"): (11.8, 12.2, 12.6, 13.0, 13.4, 13.8)}
WRONG, LAW = "the switch is open, so there is nothing across it", "an open contact stands between two different levels"
SECOND = "the lamp and the switch share the volts"


def task(circuit=None):
    """Volts across an open switch, with two ideas."""
    shares = cl.idea("shares", SECOND, "Then a current would flow.", "Which current?", "Many people say so.",
                     reads_as=lambda lamp: lamp.battery.voltage / 2)
    return Task("open", "What is across the open switch?", Number("V"), circuit or cl.vary(ONE, BATTERIES),
                lambda lamp: cl.operating_point(lamp).across("S1:1", "S1:2"), [idea("M6", reads_as=0.0), shares])


@pytest.fixture
def ladder():
    return Ladder(task())


def right(ladder):
    """What a careful learner reads off: the battery's volts."""
    return f"{ladder.posed.variant.circuit.battery.voltage} V"


def test_three_wrong_tries_climb_consequence_place_principle(ladder):
    """Then a worked twin opens, and only behind it the key."""
    m6 = IDEAS["M6"]
    first = ladder.commit("0", WRONG)
    second = ladder.commit("7777", SECOND)
    third = ladder.commit("0 V", WRONG)

    assert [reply.step for reply in (first, second, third)] == [0, 1, 2]
    assert (m6.would in first.sentences, m6.instead in third.sentences) == (True, True)
    assert [reply.idea for reply in (first, second, third)] == ["M6", None, "M6"]
    assert ladder.next_help == "twin" and "more help" in third.sentences[-1]
    assert ladder.help()[0] == "twin" and ladder.next_help == "key"
    assert ladder.help()[0] == "key" and ladder.next_help is None


def test_the_place_to_look_is_that_of_the_idea_behind_the_second_answer(ladder):
    """Each idea has its own."""
    ladder.commit("7777", SECOND)
    assert IDEAS["M6"].look in ladder.commit("0", WRONG).sentences


def test_a_twin_shows_other_numbers_and_is_never_asked(ladder):
    """Its answer is not this one's; no seed leads to it."""
    for number in ("0", "1", "2"):
        ladder.commit(number, {"0": WRONG, "1": SECOND, "2": WRONG}[number])
    _, (twin,) = ladder.help()
    volts = {f"{ladder.task.variants.of(seed).circuit.battery.voltage:.1f} V" for seed in range(50)}

    assert "So here the answer is: " in twin
    assert [each for each in volts if f"answer is: {each}" in twin] == []


def test_the_key_gives_no_credit_and_a_fresh_variant_does(ladder):
    """After the key this one is closed; the next has other numbers and can be earned."""
    for number, reason in (("0", WRONG), ("1", SECOND), ("2", WRONG)):
        ladder.commit(number, reason)
    ladder.help()
    _, key = ladder.help()
    with pytest.raises(Refused, match="this one is done. Press 'New numbers'"):
        ladder.commit(right(ladder), LAW)
    assert right(ladder) in key[0] and ladder.credit == 0 and ladder.is_closed

    before = right(ladder)
    ladder.renew()
    assert right(ladder) != before and not ladder.is_closed
    assert ladder.commit(right(ladder), LAW).credit == ladder.credit == 1


def test_help_does_not_open_early(ladder):
    """Not before three tries, not after a right answer."""
    with pytest.raises(Refused, match="after three tries"):
        ladder.help()
    ladder.commit("0", WRONG)
    ladder.commit("1", SECOND)
    assert ladder.next_help is None
    ladder.commit(right(ladder), LAW)
    with pytest.raises(Refused, match="no more to show"):
        ladder.help()


def test_a_second_try_needs_a_changed_answer_and_a_changed_reason(ladder):
    """What is refused costs no try."""
    ladder.commit("0", WRONG)
    for given, reason, said in (("0 mV", LAW, "the answer you gave before"), ("5", None, "choose a reason as well"),
                                ("5", WRONG, "that reason before"), ("5", "because", "not in the list")):
        with pytest.raises(Refused, match=said):
            ladder.commit(given, reason)
    assert len(ladder.tries) == 1
    assert ladder.commit("5", SECOND).step == 1


def test_a_reason_that_holds_may_be_kept_and_starts_higher(ladder):
    """Wrong answer, right reason: straight to where to look; the reason need not change."""
    first = ladder.commit("5", LAW)
    assert first.step == 1 and "Your reason holds" in first.sentences[0]
    assert ladder.commit(right(ladder), LAW).credit == 1


def test_a_right_answer_for_the_wrong_reason_is_half(ladder):
    """And is told why; without a reason at the first try it counts in full."""
    half = ladder.commit(right(ladder), WRONG)
    assert half.right and half.credit == 0.5 and "not for that reason" in half.sentences[1]
    again = Ladder(task())
    assert again.commit(right(again)).credit == 1


def test_the_menu_holds_every_idea_and_one_law_in_no_telling_order():
    """Over several questions the law is not always in one place."""
    places = set()
    for name in "abcdefgh":
        made = Task(name, "?", Choice(("x", "y")), ONE, lambda lamp: "y", [idea("M6", reads_as="x")])
        menu = Ladder(made).posed.reasons
        assert sorted(menu) == sorted((WRONG, LAW))
        places.add(menu.index(LAW))
    assert places == {0, 1}


def test_without_variants_the_key_comes_without_a_twin_and_closes_the_question():
    """There is nothing fresh to ask; that is said."""
    ladder = Ladder(task(ONE))
    for number, reason in (("0", WRONG), ("1", SECOND), ("2", WRONG)):
        ladder.commit(number, reason)
    what, sentences = ladder.help()

    assert what == "key" and sentences[-1] == "No credit for this one."
    with pytest.raises(Refused, match="no other numbers"):
        ladder.renew()


# ------------------------------------------------------------------ through the widgets

@pytest.fixture
def ask(tmp_path):
    """Return a function that opens the lesson, as a sitting does."""
    def opened():
        shares = task().ideas[1]
        return cl.Lesson("96", tmp_path).measure(
            "open", "What is across the open switch?", cl.vary(ONE, BATTERIES), "V",
            lambda lamp: cl.operating_point(lamp).across("S1:1", "S1:2"), ideas=[idea("M6", reads_as=0.0), shares],
            confidence=True, key_idea="It stands between two levels.",
            reveal=lambda lamp: cl.draw(lamp, cl.operating_point(lamp)))
    return opened


def answer(question, typed, reason=None):
    """Type, choose a reason, press Commit."""
    question.entry.put(typed)
    if reason:
        tick(question, reason)
    press(question)


def test_the_buttons_appear_when_their_time_has_come(ask, monkeypatch):
    """Help after three tries; the picture and the key idea only when the question is closed."""
    monkeypatch.setattr(laddered, "PAUSE", 0.0)
    question = ask()
    seen = []
    for typed, reason in (("0", WRONG), ("1", SECOND), ("2", WRONG)):
        answer(question, typed, reason)
        seen.append((list(buttons(question)), question.shown))
    assert seen == [(["Commit", "New numbers"], ""), (["Commit", "New numbers"], ""),
                    (["Commit", "Show a worked twin", "New numbers"], "")]
    press(question, "Show a worked twin")
    assert "A worked twin." in question.reply and list(buttons(question)) == ["Commit", "Show the key", "New numbers"]
    press(question, "Show the key")
    assert "The circuit shows" in question.reply and question.shown.startswith("<svg")
    assert "It stands between two levels." in question.reply and list(buttons(question)) == ["Commit", "New numbers"]
    press(question, "New numbers")
    assert question.seed == 2 and question.shown == "" and question.entry.value == ""
    assert "open seed 2" in buttons(question)["New numbers"].tooltip and "seed" not in "".join(markup(question))
    assert "open seed 2" in question.on_paper()


def test_commit_waits_a_moment_after_the_second_wrong_try(ask, monkeypatch):
    """Hurried guessing is told to read; what is told stays on the page; then it goes on."""
    clock = [100.0]
    monkeypatch.setattr(laddered.time, "monotonic", lambda: clock[0])
    question = ask()
    for typed, reason in (("0", WRONG), ("1", SECOND)):
        answer(question, typed, reason)
    told = question.reply
    answer(question, "2", WRONG)
    assert "Commit opens again" in question.reply and len(question.way.tries) == 2
    assert all(sentence in question.reply for sentence in told.split("<p>")[1:2])
    clock[0] += laddered.PAUSE
    answer(question, "2", WRONG)
    assert len(question.way.tries) == 3


def test_a_second_sitting_takes_up_tries_help_and_fresh_numbers(ask):
    """The same variant, the same step, the same words."""
    question = ask()
    for typed, reason in (("0", WRONG), ("1", SECOND), ("2", WRONG)):
        question.commit(typed, "guess", reason)
    question.help()
    again = ask()
    assert again.reply == question.reply and again.way.next_help == "key" and len(again.way.tries) == 3
    again.help()
    again.renew()
    again.commit("0", "sure", WRONG)

    third = ask()
    assert (third.seed, len(third.way.tries), third.reply) == (2, 1, again.reply)
    assert third.entry.value == "0" and boxes(third, WRONG)[0].value
    events = [json.loads(line)["event"] for line in third.record.path.read_text("utf-8").splitlines()]
    assert events == ["tried"] * 3 + ["helped"] * 2 + ["renewed", "tried"]


@pytest.mark.parametrize("line", [
    {"item": "open", "event": "tried", "seed": 1, "answer": {"odd": 1}}, {"item": "open", "event": "tried", "seed": 99},
    {"item": "open", "event": "helped", "seed": 1}, {"item": "open", "event": "tried", "seed": 1, "answer": "12 A"},
    {"item": "open", "event": "tried", "seed": 1, "answer": ["12"], "reason": ["x"]}, {"item": "open", "event": "renewed", "seed": "x"},
])
def test_a_line_of_another_version_or_an_edited_one_does_not_stop_the_lesson(ask, line):
    """It is left out; the question opens and can be answered."""
    path = ask().record.path
    path.write_text(json.dumps({"lesson": path.stem.removeprefix("lesson-"), **line}) + "\n", encoding="utf-8")
    again = ask()

    assert not again.is_answered
    again.commit(right(again.way))
    assert "The circuit agrees" in again.reply


def test_a_question_waits_for_the_one_before_it(tmp_path):
    """Shut until the prediction is committed."""
    lesson = cl.Lesson("96", tmp_path)
    lesson.predict("first", "?", {"x": "", "y": ""}, lambda: "x")
    later = lesson.choose("later", "?", ONE, ["x", "y"], lambda lamp: "x", after="first")
    later.commit("x")
    assert "Predict first" in later.reply and not later.is_answered
    lesson.answer("first", "y")
    assert "The circuit agrees" in lesson.answer("later", "x").reply


def test_a_prediction_is_made_once_and_then_the_result_opens(tmp_path):
    """Right or wrong; until then it is shut, and nothing can be tried out against it."""
    lesson = cl.Lesson("96", tmp_path)
    asked = lesson.measure("once", "Volts?", ONE, "V", lambda lamp: cl.operating_point(lamp).across("S1:1", "S1:2"),
                           ideas=[idea("M6", reads_as=0.0)], once=True, confidence=True, reveal=lambda lamp: "<p>seen</p>")
    assert "Predict first" in asked.reply and asked.shown == ""
    asked.commit("0", "sure")
    assert asked.shown == "<p>seen</p>" and "closing the switch would change nothing" in asked.reply
    asked.commit("12.6")
    assert "A prediction is made once" in asked.reply and len(asked.record.events()) == 1
    assert list(buttons(asked)) == ["Commit"]

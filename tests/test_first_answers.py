"""What a learner sees while answering: how far the lesson is, right and wrong by sign and word, an ordinary slip told as what it is."""

import re

import pytest
from hands import boxes, buttons, press, refusal, tick
from lesson_path import LESSONS
from worked_lessons import of_kind, worked

import circuitlab as cl
from circuitlab.benches.laddered import Laddered
from circuitlab.teaching import Ladder, Refused, Task
from circuitlab.teaching.kinds import Number

ONE = cl.arrangement("one-fused-lamp")
REPLIES = {"dark": "Look at E1.", "steady": "Look at F1.", "flashing": "Look at S1."}
READ = {"words": "Across the lamp?", "circuit": cl.vary(ONE, {("G1", "voltage"): (12.4, 12.8, 13.2)}), "unit": "V"}


def lesson(folder):
    """A lesson with one question of each kind of way, its progress shown before and behind them."""
    made = cl.Lesson("97", folder)
    shown = made.progress()
    made.predict("rear", "What does the lamp do?", REPLIES, lambda: "steady")
    made.choose("where", "Where?", cl.vary(ONE, part=("F1", "S1")), {"here": "Look.", "there": "Look.", "no": "Look."},
                lambda lamp, part: "here", confidence=True)
    made.measure("volts", READ["words"], READ["circuit"], "V", lambda lamp: lamp.battery.voltage)
    made.note("exit", "What first?")
    return made, shown


def counts(shown):
    """Return how many are answered, tried, open, as they stand on the page."""
    return tuple(map(int, re.search(r"(\d+) answered, (\d+) tried, (\d+) open", shown.shown).groups()))


def signs(shown):
    """Return the sign of each question, in order."""
    return re.findall(r'<span title="[^"]*">(.)</span>', shown.shown)


def test_a_tick_is_for_full_credit_alone_and_what_is_answered_without_has_a_sign_and_a_word_of_its_own(tmp_path):
    """A note and a prediction earn nothing, a choice right once not yet, a number right at once does; a key tells the signs apart."""
    made, shown = lesson(tmp_path)
    tick(made.questions["rear"], "steady")
    press(made.questions["rear"])
    made.answer("exit", "dunno")
    made.answer("where", "here")
    assert "One in a row so far" in made.questions["where"].reply
    assert signs(shown) == ["\N{BLACK CIRCLE}", "\N{BLACK CIRCLE}", "\N{WHITE CIRCLE}", "\N{BLACK CIRCLE}"]
    assert "3 answered, 0 tried, 1 open; credit 0 of 2" in str(shown)
    made.answer("volts", "12.6 V")
    assert signs(shown)[2] == "\N{HEAVY CHECK MARK}" and "4 answered, 0 tried, 0 open; credit 1 of 2" in str(shown)
    assert "\N{HEAVY CHECK MARK} full credit" in shown.shown and "\N{BLACK CIRCLE} answered" in shown.shown


def test_progress_counts_while_answers_are_given_and_is_the_same_after_a_restart(tmp_path):
    """Shown before the first question was asked; one sign for each question, in their order."""
    made, shown = lesson(tmp_path)
    assert counts(shown) == (0, 0, 4) and "Of 4 questions" in str(shown)
    tick(made.questions["rear"], "dark")
    press(made.questions["rear"])
    assert counts(shown) == (1, 0, 3)
    tick(made.questions["where"], "there")
    tick(made.questions["where"], "sure")
    press(made.questions["where"])
    assert counts(shown) == (1, 1, 2)
    again, later = lesson(tmp_path)
    assert counts(later) == (1, 1, 2) == counts(again.progress())
    assert signs(later) == ["\N{BLACK CIRCLE}", "\N{CIRCLE WITH UPPER RIGHT QUADRANT BLACK}", "\N{WHITE CIRCLE}", "\N{WHITE CIRCLE}"]
    assert 'title="Where?: tried"' in later.shown


def test_what_was_looked_at_and_seen_otherwise_is_not_done(tmp_path):
    """A prediction may be wrong and is done; what can be looked at again is done when it agrees."""
    made = cl.Lesson("97", tmp_path)
    shown = made.progress()
    made.observe("seen", "What does the lamp do?", REPLIES, lambda: "steady")
    tick(made.questions["seen"], "dark")
    press(made.questions["seen"])
    assert counts(shown) == (0, 1, 0)
    tick(made.questions["seen"], "steady")
    press(made.questions["seen"])
    assert counts(shown) == (1, 0, 0)


def test_a_refused_answer_is_not_shown_as_the_one_judged_before(tmp_path):
    made = cl.Lesson("97", tmp_path)
    asked = made.measure("volts", READ["words"], READ["circuit"], "V", lambda lamp: lamp.battery.voltage)
    asked.commit("126")
    judged = re.findall("<p>(.*?)</p>", asked.reply)
    asked.entry.put("12.6 A")
    press(asked)
    before, *kept = re.findall("<p>(.*?)</p>", asked.reply)
    assert "Try 1" in judged[0] and before == "<i>What follows was said of the try before:</i>" and kept[0] == judged[0]
    assert "is not in V" in refusal(asked)
    asked.entry.put("126")
    press(asked)
    refused, before, *kept = re.findall("<p>(.*?)</p>", asked.reply)
    assert "Try 1" not in refused and "of the try before" in before and kept[0] == judged[0]


def ticked(question):
    """Return the words of every box that is ticked."""
    return [words for words in (*REPLIES, "here", "there", "no", "sure", "think so", "guess")
            if any(box.value for box in boxes(question, words))]


def test_what_was_chosen_stays_chosen_and_how_sure_too(tmp_path):
    """After a restart, for a prediction and for a check that has been helped since."""
    made, _ = lesson(tmp_path)
    made.answer("rear", "dark", "sure")
    for choice in ("there", "no"):
        made.answer("where", choice, "guess")
    again, _ = lesson(tmp_path)
    assert ticked(again.questions["rear"]) == ["dark", "sure"]
    assert ticked(again.questions["where"]) == ["no", "guess"]


def test_right_half_right_and_wrong_differ_by_sign_word_and_line(tmp_path):
    """Nothing by colour alone; choices are boxes to tick everywhere."""
    made, _ = lesson(tmp_path)
    wrong = made.answer("rear", "dark").reply
    right = made.answer("where", "here").reply
    half = made.choose("half", "Which?", ONE, {"one": cl.idea("M6", would="Look.", reads_as="two"), "two": "Look.", "three": "Look."},
                       lambda lamp: "one", ideas=[cl.idea("M5", reads_as="three")])
    half.commit("one", reason=next(each for each in half.reasons if not half.way.posed.holds(each)))
    seen = [re.search(r'border-left: 6px (\w+).*?<b>(.) ([\w ]+)\.</b>', reply).groups() for reply in (wrong, right, half.reply)]
    assert seen == [("dashed", "\N{HEAVY BALLOT X}", "Not so"), ("solid", "\N{HEAVY CHECK MARK}", "Right"),
                    ("double", "\N{CIRCLE WITH LEFT HALF BLACK}", "Half right")]
    assert {len(boxes(made.questions["rear"], words)) for words in REPLIES} == {1}


@pytest.mark.parametrize(("typed", "told"), [
    ("1.24", "The figures are right, the decimal point is not: it stands one place too far left."),
    ("124", "The figures are right, the decimal point is not: it stands one place too far right."),
    ("-12.4", "The figures are right, the sign is not: a minus sign says that red and black have changed places."),
    ("12.4 mV", "The figures are right, the unit is not: V, or a thousandth of it?"),
    ("-1.24", "one place too far left. So is the sign."),
    ("7", "That is too little. Name the two places"), ("12.9", "more than the battery has"),
    ("-7", "The sign is not right: a minus sign says that red and black have changed places. Nor are the figures: too little."),
    ("-15", "The sign is not right: a minus sign says that red and black have changed places. Nor are the figures: too much."),
])
def test_an_ordinary_slip_is_answered_as_what_it_is(typed, told):
    ladder = Ladder(Task("volts", READ["words"], Number("V"), cl.vary(ONE, {("G1", "voltage"): (12.4, 12.8)}),
                         lambda lamp: lamp.battery.voltage))
    assert ladder.posed.variant.circuit.battery.voltage == 12.4
    assert told in ladder.commit(typed).sentences[1]


@pytest.mark.parametrize(("unit", "typed", "told"), [
    ("A", "-1", "The sign is not right: a minus sign says that red and black"), ("ohm", "-12.4", "the sign is not: nothing that is counted in ohm is less than zero."),
    ("W", "-3", "The sign is not right: nothing that is counted in W is less than zero. Nor are the figures: too little."), ("W", "3", "That is too little."),
])
def test_a_wrong_sign_is_told_before_too_much_in_every_unit(unit, typed, told):
    ladder = Ladder(Task("read", "How much?", Number(unit), ONE, lambda lamp: 12.4))
    assert told in ladder.commit(typed).sentences[1]


def test_a_slip_is_told_at_a_later_try_too_ahead_of_the_help():
    """Sign, decimal point and unit; what is no slip gets the help alone."""
    ladder = Ladder(Task("volts", READ["words"], Number("V"), ONE, lambda lamp: 12.4, where="Look at E1.", principle="All that is joined is at one level."))
    told = [ladder.commit(typed).sentences[1] for typed in ("7", "-7", "124", "8")]
    assert told[1].startswith("The sign is not right: ") and told[1].endswith("Look at E1.")
    assert told[2].startswith("The figures are right, the decimal point is not") and told[2].endswith("All that is joined is at one level.")
    assert told[3] == "All that is joined is at one level."


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", LESSONS)
def test_a_wrong_sign_is_told_before_too_much_in_every_lesson(name, answers):
    """Of whatever is to be read as a number, unless the number belongs to a known idea."""
    for item, question in of_kind(worked(name).lesson, Laddered).items():
        posed = question.way.posed
        if isinstance(posed.kind, Number) and posed.truth and not posed.kind.same(posed.truth, 0.0):
            for typed in (-1.37 * posed.truth, -0.61 * posed.truth):
                assert posed.idea_behind(typed) or "The sign is not right" in posed.sentence(0, typed, None), (item, typed)


def test_the_field_of_a_reading_asks_for_number_and_unit_and_no_example_is_the_usual_reading(tmp_path):
    """A battery's or a lit lamp's volts: what a refusal gives as an example is neither."""
    asked = lesson(tmp_path)[0].questions["volts"]
    assert asked.entry.box.placeholder == "number and unit"
    with pytest.raises(cl.CircuitLabError, match=r"such as '[\d.]+ V'") as refused:
        asked.commit("twelve")
    assert not re.search(r"such as\D+1[0-4]", str(refused.value))


def test_a_number_of_another_unit_is_not_counted():
    ladder = Ladder(Task("volts", READ["words"], Number("V"), ONE, lambda lamp: 12.6))
    with pytest.raises(cl.CircuitLabError, match="'12.6 A' is not in V. Write it as a number of V"):
        ladder.commit("12.6 A")
    assert ladder.tries == []


def test_new_numbers_are_offered_only_where_there_are_numbers(tmp_path):
    made, _ = lesson(tmp_path)
    assert [*buttons(made.questions["volts"])] == ["Commit", "New numbers"]
    assert [*buttons(made.questions["where"])] == ["Commit", "Another like it"]
    wired = made.wire("wired", "Wire it.", ONE, lambda: cl.board(ONE))
    assert [*buttons(wired)] == ["Commit"]


def test_a_refusal_never_leaves_one_reason_alone():
    """With two on the menu the first may be given again; with three it is refused, as two are left then."""
    def ladder(*ideas):
        return Ladder(Task("open", "Across the open switch?", Number("V"), ONE, lambda lamp: 12.6, ideas))
    first = cl.idea("M6", reads_as=0.0)
    second = cl.idea("shares", "they share", "Then?", "Look.", "No.", reads_as=6.3)
    two, three = ladder(first), ladder(first, second)
    assert (len(two.reasons), len(three.reasons)) == (2, 3)
    for each in (two, three):
        each.commit("0", first.because)
    two.commit("1", first.because)
    with pytest.raises(Refused, match="gave that reason before"):
        three.commit("1", first.because)
    three.commit("1", second.because)
    three.commit("2", second.because)

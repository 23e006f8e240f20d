"""Lessons 09 and 10 as a learner works them: shut before an answer, a reply of its own for each wrong idea."""

import re

import pytest
from worked_lessons import (check_kept, check_no_number_is_told, check_observations_wait, check_own_replies,
                            check_right_answers, notebook, of_kind, right_answer, right_choices, right_numbers, words, worked)

import circuitlab as cl
from circuitlab.benches.lesson import CLOSED, Question
from circuitlab.ground.places import kit_folder
from circuitlab.teaching import fairness
from circuitlab.teaching.ideas import IDEAS


# Reasoned by hand from the circuit, not taken from the kit.
RIGHT = {
    "09_keep_sides_apart": {
        "rows": "12", "turned": "as before", "joined": "E1, E2, E3, E4", "way": "from X4 to X7", "two": "E1, E3",
        "both": "much alike", "light": "a good part of it", "cart": "two poles", "lever": "lever left, knob off",
        "cure": "two diodes, arrows away from X7", "bridged": "lever left, knob off"},
    "10_ask_one_filament_twice": {
        "rows": "24", "diode": "near zero volts", "vehicle-a": "a filament for each job",
        "vehicle-b": "one filament, turn wins", "volts": "about the same", "flash": "steady", "front": "E1, E2, E3, E4",
        "mended": "E1, E2", "hidden": "E1, E2", "meet": "both", "own": "more rows", "ask": "pedal held, lever right"}}
WORKED = tuple(RIGHT)
SIX = [f"pedal {pedal}, lever {lever}" for pedal in ("up", "held") for lever in ("middle", "left", "right")]
KEEPS, BREAKS = "every lamp keeps the rule", "some lamp breaks it"


pytestmark = pytest.mark.usefixtures("answers")


def reversed_rows(diode):
    """Work out by hand the rear lamps with one diode turned round: knob off, then on; lever off, left, right."""
    own, other = ("E1", "E2") if diode == "V1" else ("E2", "E1")
    left_lit = {"E1", "E2"} if own == "E1" else {"E1"}        # the lever's current passes back through a turned V1 only
    right_lit = {"E1", "E2"} if own == "E2" else {"E2"}
    lit = [set(), left_lit, right_lit, {other}, {other} | left_lit, {other} | right_lit]
    return {lamp: ["flashing" if lamp in row else "dark" for row in lit] for lamp in ("E1", "E2")}


def given_to(question):
    """Return a right answer to a question with a ladder, reasoned by hand."""
    if question.item == "reversed":
        return reversed_rows(re.match(r"V\d", question.question)[0])
    return {row: KEEPS if row == "pedal up, lever middle" else BREAKS for row in SIX}


# ------------------------------------------------------------------ before an answer

def test_nothing_is_open_before_an_answer(lesson):
    """Every prediction is shut and says how to open it; no reply stands anywhere else."""
    predictions = {item for item, question in of_kind(lesson, Question).items() if question.kind == "predicted"}
    assert len(predictions) >= 4
    for item, question in lesson.questions.items():
        assert words(question.reply).strip() == (CLOSED if item in predictions else ""), item
        assert not question.is_answered, item
    assert [item for item, question in of_kind(lesson, Question).items() if question.shown] == []


@pytest.mark.in_turn(2, 1)
def test_what_was_seen_is_asked_only_after_its_prediction(lesson):
    """An observation is shut while its prediction is."""
    check_observations_wait(lesson)


# ------------------------------------------------------------------ the right answer

def test_the_right_choices_are_those_reasoned_by_hand(name, lesson):
    """The circuit's own answer to every question with choices."""
    assert right_choices(lesson) == RIGHT[name]


@pytest.mark.in_turn(2)
def test_a_right_answer_opens_what_was_shut(lesson):
    """Each prediction shows its result, each question says that the circuit agrees."""
    check_right_answers(lesson)
    for item in {"reversed", "tie-rows"} & {*lesson.questions}:
        assert right_answer(lesson.questions[item]) == given_to(lesson.questions[item])


@pytest.mark.full
def test_answers_are_there_again_the_next_time(name, answers):
    """All of them."""
    check_kept(worked, name, answers)


# ------------------------------------------------------------------ the wrong answers

@pytest.mark.in_turn(2)
def test_each_wrong_choice_gets_a_reply_of_its_own(lesson):
    """What that idea would show and where to look: short, unlike its neighbours, and without the right choice."""
    check_own_replies(lesson)


@pytest.mark.in_turn(2)
def test_no_source_or_reply_holds_the_right_number_of_a_reading(name, lesson):
    """Not in the cells, not in their metadata, not in a table on show, not in any reply of another question."""
    assert right_numbers(lesson)
    check_no_number_is_told(name, lesson)


def test_no_count_of_failing_rows_is_typed(name):
    """Neither as a figure nor as a word before what is said of rows."""
    source = "\n".join(cell.source for cell in notebook(name).cells)
    spelt = "no|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"
    assert re.findall(rf"\b(?:\d+|{spelt})\s+(?:\w+\s+)?rows?\s+(?:fail|break)", source) == []
    assert re.findall(r"\brows? (?:failing|failed|fail|broken)\W+\d", source) == []


# ------------------------------------------------------------------ lesson 09

@pytest.fixture
def sides():
    return worked("09_keep_sides_apart")


def test_the_turned_diode_is_equally_hard_for_everybody(sides):
    """Both diodes give tables of their own, the ideas always apart from the truth."""
    found = fairness(sides.lesson.questions["reversed"])

    assert found.is_equal, found.sentence
    assert found.answers == 2


@pytest.mark.parametrize("turn", range(2))
def test_ideas_about_the_turned_diode_get_their_replies(sides, turn):
    """Nothing runs backwards; a diode turned round changes nothing; then the table reasoned by hand."""
    question = sides.lesson.questions["reversed"]
    for _ in range(turn):
        question.renew()
    right = given_to(question)
    sound = {"E1": ["dark", "flashing", "dark", *["flashing"] * 3], "E2": ["dark", "dark", *["flashing"] * 4]}
    cut = {lamp: [look if number < 3 or right[lamp][number] == look else "dark" for number, look in enumerate(looks)]
           for lamp, looks in sound.items()}
    sides.lesson.answer("reversed", sound)
    assert "any wire would do" in words(question.reply)
    sides.lesson.answer("reversed", cut, reason="current does not run backwards along a wire")
    assert "does not agree" in question.reply and IDEAS["M14"].look in words(question.reply)
    sides.lesson.answer("reversed", right, reason="a wire carries current either way, from high to low")
    assert "The circuit agrees" in question.reply


def test_boards_keep_or_break_the_rule_as_reasoned(sides):
    """By hand: joined fails with the lever moved and the knob off; one diode fails to one side; the others keep all."""
    rows = {words: [(row.positions["turn lever"], row.positions["hazard"]) for row in cl.lamp_table(board).failing]
            for words, board in ((each, sides.names[each]) for each in ("joined", "two", "diodes", "one"))}

    assert rows == {"joined": [("left", "off"), ("right", "off")], "two": [], "diodes": [], "one": [("right", "off")]}


def test_the_price_of_a_diode_follows_from_its_data(sides):
    """V1 keeps its forward voltage, less a little for fewer amps than rated; heat is volts times amps."""
    diode, heat = cl.Diode("V1"), sides.lesson.questions["heat"]
    for seed in range(len(heat.task.variants)):
        posed = heat.task.pose(heat.task.variants.of(seed))
        point = cl.operating_point(posed.variant.circuit, {"hazard": "on"}, "on")
        kept, amps = point.across("V1:A", "V1:K"), point.current("V1")

        assert amps == pytest.approx(point.current("E1") + point.current("E3"), rel=1e-6)
        assert 0.7 * diode.forward_voltage < kept < diode.forward_voltage
        assert posed.truth == pytest.approx(kept * amps)


# ------------------------------------------------------------------ lesson 10

ASK = "10_ask_one_filament_twice"
ONE_JOB = {("up", "middle", "off"): "dark", ("up", "left", "off"): "flashing", ("held", "middle", "off"): "steady",
           ("up", "middle", "on"): "flashing", ("up", "left", "on"): "flashing"}


def with_rule_of(*looks):
    """Run lesson 10 with a complete rule; ``looks`` for the three rows in which stop meets turn or hazard."""
    rule = ONE_JOB | dict(zip([("held", "left", "off"), ("held", "middle", "on"), ("held", "left", "on")], looks))
    return worked(ASK, yours_rule=f"mine = {rule!r}")


def wrong_rows(names, circuit):
    """Return the rows with the key on that break the rule in force, in the words of the lesson."""
    return {row for row in SIX if names["group"](names["ruled"](names[circuit]), row) == BREAKS}


def test_a_rule_with_gaps_is_told_its_rows_and_the_carts_rule_serves(capsys):
    """Each open row is named; so is a look that nobody asks for; nothing stops."""
    worked(ASK)
    told = capsys.readouterr().out
    assert told.count("no look yet") == 8 and "as yours is not complete" in told
    rule = ONE_JOB | {("held", "left", "off"): "flashing", ("held", "middle", "on"): "blue",
                      ("held", "left", "on"): "dark", ("up", "middle", "off"): "steady"}
    worked(ASK, yours_rule=f"mine = {rule!r}")
    told = capsys.readouterr().out
    assert "pedal up, lever middle, hazard off: you wrote steady" in told
    assert "pedal held, lever middle, hazard on: no look yet" in told and told.count("you wrote") == 1


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("look, hidden", [
    ("flashing", {"pedal held, lever left", "pedal held, lever right"}), ("steady", set()),
    ("dark", {"pedal held, lever left", "pedal held, lever right"})])
def test_attempts_are_judged_by_the_learners_rule(look, hidden, capsys):
    """By hand: the tie fails whoever wins; diodes fail where stop and turn meet, unless the learner lets stop win."""
    lesson = with_rule_of(look, look, look)

    assert "Judged below by your rule." in capsys.readouterr().out
    assert wrong_rows(lesson.names, "tied") == set(SIX) - {"pedal up, lever middle"}
    assert wrong_rows(lesson.names, "parted") == hidden
    lesson.lesson.answer("meet", "both")
    counts = [len(cl.lamp_table(lesson.names["ruled"](lesson.names[each])).failing) for each in ("tied", "parted")]
    assert re.findall(r"<td>(\d+) of", lesson.lesson.questions["meet"].shown) == [str(count) for count in counts]


def test_the_learners_rule_asks_of_the_right_lamp_what_it_asks_of_the_left():
    """Mirrored, and only while the key is on; the front lamps keep the cart's own rule."""
    names = with_rule_of("dark", "flashing", "flashing").names
    circuit = names["ruled"](names["tied"])

    for lamp, side, other in (("E1", "left", "right"), ("E2", "right", "left")):
        row = {"key": "on", "brake pedal": "held", "turn lever": side}
        assert circuit.wanted(lamp, row) == "dark"
        assert circuit.wanted(lamp, row | {"turn lever": other}) == "steady"
        assert circuit.wanted(lamp, row | {"key": "off"}) == "steady"
        assert circuit.wanted(lamp, row | {"brake pedal": "released"}) == "flashing"
    assert circuit.wanted("E3", {"key": "on", "brake pedal": "held", "turn lever": "left"}) == "flashing"


def test_ideas_about_the_tie_get_their_replies():
    """Each job alone; current that does not run backwards; and the list waits for its prediction."""
    lesson = worked(ASK).lesson
    question = lesson.questions["tie-rows"]
    lesson.answer("tie-rows", given_to(question))
    assert CLOSED in question.reply and not question.is_answered
    lesson.answer("front", "E1, E2")
    lesson.answer("tie-rows", dict.fromkeys(SIX, KEEPS))
    assert "what nobody asked for" in words(question.reply)
    lesson.answer("tie-rows", {row: BREAKS if row in SIX[4:] else KEEPS for row in SIX},
                  reason="current does not run backwards along a wire")
    assert "does not agree" in question.reply and IDEAS["M14"].look in words(question.reply)


@pytest.mark.in_turn(3, 1)
@pytest.mark.parametrize("attempt, said", [
    ('cl.SwapTerminals("V1:A", "V1:K")', "more rows"), ('cl.AddWire(cl.Wire("W90", "X2:1", "X2:2"))', "as many rows"),
    ('cl.RemoveWire("W26")', "more rows"), ('cl.AddWire(cl.Wire("W90", "X2:1", "X5:1"))', "more rows"),
    ('cl.MoveWire("W6", "V1:K", "X4:1")', "more rows"), ('cl.RemoveWire("W6")', "more rows")])
def test_the_learners_own_attempt_is_counted_from_its_circuit(attempt, said):
    """By hand: a lost feed, a dead flasher, a joined pair each spoil rows; a wire inside a splice changes nothing."""
    lesson = worked(ASK, yours_attempt=f"attempt = [{attempt}]\ntried = ruled(cl.changed(parted, *attempt))").lesson

    assert lesson.questions["own"].asked.truth() == said


def test_the_checks_tell_the_systems_apart():
    """A circuit in which stop wins is told from one in which turn wins, and from one with two filaments."""
    names = worked(ASK).names
    assert [names["system"](names[each]) for each in ("tied", "parted")] == ["one filament, stop wins"] * 2
    assert names["system"](cl.arrangement("shared-filament-four-relays")) == "one filament, turn wins"


def test_lesson_10_gives_no_hint_of_the_cure():
    """No relay, no contact that changes over, no lesson that has it: neither in the text nor in what opens."""
    lesson = worked(ASK).lesson
    for item, question in of_kind(lesson, Question).items():
        lesson.answer(item, question.asked.truth())
    opened = " ".join(words(question.shown + question.reply) for question in of_kind(lesson, Question).values())
    source = "\n".join(cell.source for cell in notebook(ASK).cells)
    assert re.findall(r"relay|changeover|\b87a?\b|lesson 11|select wire", source + opened, re.I) == []


# ------------------------------------------------------------------ pictures

@pytest.mark.parametrize("picture, lesson_name, circuit, form", [
    ("left_and_right_joined", "09_keep_sides_apart", "joined", "current-path"),
    ("two_pole_knob", "09_keep_sides_apart", "two", "current-path"),
    ("two_isolation_diodes", "09_keep_sides_apart", "diodes", "current-path")])
def test_the_pictures_are_drawn_from_the_circuits(picture, lesson_name, circuit, form, tmp_path):
    """The file in the lessons is what the kit draws today."""
    cl.save_picture(worked(lesson_name).names[circuit], tmp_path / "fresh.svg", form=form)

    kept = (kit_folder("lessons") / "pictures" / f"{picture}.svg").read_text("utf-8")
    assert kept == (tmp_path / "fresh.svg").read_text("utf-8")


@pytest.mark.parametrize("picture", ["tied_stop_and_turn", "tied_through_diodes"])
def test_the_pictures_of_the_attempts_are_fresh(picture, tmp_path):
    """Each is the schematic that the kit draws now, at rest."""
    cl.save_picture(cl.arrangement(picture.replace("_", "-")), tmp_path / "fresh.svg")
    kept = (kit_folder("lessons") / "pictures" / f"{picture}.svg").read_text("utf-8")
    assert kept == (tmp_path / "fresh.svg").read_text("utf-8")

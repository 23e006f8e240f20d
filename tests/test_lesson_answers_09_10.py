"""Lessons 09 and 10 as a learner works them: shut before an answer, a reply of its own for each wrong idea."""

import re
from html import escape

import nbformat
import pytest
from worked_lessons import LONGEST_REPLY, check_observations_wait, check_own_replies, notebook, of_kind, words, worked

import circuitlab as cl
from circuitlab.benches import Bench
from circuitlab.benches.lesson import CLOSED, Note, Question, Reading
from circuitlab.ground.places import kit_folder
from circuitlab.teaching import fairness
from circuitlab.teaching.ideas import IDEAS


# Reasoned by hand from the circuit, not taken from the kit.
RIGHT = {
    "09_keep_sides_apart": {
        "rows": "6", "turned": "as before", "joined": "E1, E2, E3, E4", "way": "from X4 to X7", "two": "E1, E3",
        "both": "much alike", "light": "a good part of it", "cart": "none of them", "lever": "lever left, knob off",
        "cure": "two diodes, arrows away from X7", "bridged": "lever right, knob off"},
    "10_ask_one_filament_twice": {
        "rows": "12", "diode": "near zero volts", "vehicle-a": "a filament for each job",
        "vehicle-b": "one filament, turn wins", "volts": "about the same", "flash": "steady", "front": "E1, E2, E3, E4",
        "mended": "E1, E2", "hidden": "E1, E2", "meet": "both", "own": "more rows", "ask": "pedal held, lever right"}}
WORKED = tuple(RIGHT)
SIX = [f"pedal {pedal}, lever {lever}" for pedal in ("up", "held") for lever in ("middle", "left", "right")]
KEEPS, BREAKS = "every lamp keeps the rule", "some lamp breaks it"


pytestmark = pytest.mark.usefixtures("answers")


def tasks(lesson):
    """Return the questions that climb the ladder, by item."""
    return {item: question for item, question in lesson.questions.items()
            if not isinstance(question, (Note, Question, Reading))}


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
    assert [item for item, question in of_kind(lesson, Question).items() if question._shown.value] == []


def test_what_was_seen_is_asked_only_after_its_prediction(lesson):
    """An observation is shut while its prediction is."""
    check_observations_wait(lesson)


# ------------------------------------------------------------------ the right answer

def test_the_right_choices_are_those_reasoned_by_hand(name, lesson):
    """The circuit's own answer to every question with choices."""
    assert {item: question._truth() for item, question in of_kind(lesson, Question).items()} == RIGHT[name]


def test_a_right_answer_opens_what_was_shut(lesson):
    """Each prediction shows its result, each question says that the circuit agrees."""
    for item, question in of_kind(lesson, Question).items():
        lesson.answer(item, question._truth(), "sure")
        assert question.is_answered, item
        assert re.search("That is what happens|That agrees with the circuit|Right", question.reply), item
        assert bool(question._shown.value) == (question.kind == "predicted"), item
    for item, reading in of_kind(lesson, Reading).items():
        lesson.answer(item, f"{reading._truth():.6f}".replace(".", ","))
        assert "The circuit agrees" in reading.reply, item
    for item, question in tasks(lesson).items():
        lesson.answer(item, given_to(question))
        assert "The circuit agrees" in question.reply, item
    assert all(isinstance(question, Note) for question in lesson.questions.values() if not question.is_answered)


def test_answers_are_there_again_the_next_time(name, answers):
    """A second run in the same folder opens what the first one answered, and asks for nothing twice."""
    first = worked(name).lesson
    for item, question in first.questions.items():
        given = (question._truth() if isinstance(question, Question) else "at the splice" if isinstance(question, Note)
                 else f"{question._truth():.4f}" if isinstance(question, Reading) else given_to(question))
        first.answer(item, given, "guess")
    second = worked(name).lesson
    count = len(second.questions)

    assert [item for item, question in second.questions.items() if not question.is_answered] == []
    assert second.progress().startswith(f"{count} of {count} questions answered")
    assert len(second.record.events()) == count
    assert [path.name for path in answers.iterdir()] == [f"lesson-{name[:2]}.jsonl"]


# ------------------------------------------------------------------ the wrong answers

def test_each_wrong_choice_gets_a_reply_of_its_own(lesson):
    """What that idea would show and where to look: short, unlike its neighbours, and without the right choice."""
    check_own_replies(lesson)


def test_a_wrong_number_gets_a_place_to_look_and_no_number(lesson):
    """Whatever was typed, the hint says where to look; it holds no number with a unit."""
    for item, reading in of_kind(lesson, Reading).items():
        truth = reading._truth()
        for number in (0.0, -truth, 2 * truth + 1, truth / 2, 1000 * truth, truth + 3 * reading._tolerance):
            lesson.answer(item, f"{number:.4f}")
            hint = reading._hint(number)
            assert escape(hint) in reading.reply and "agrees" not in reading.reply, (item, number)
            assert 5 <= len(hint.split()) <= LONGEST_REPLY, (item, number)
            assert re.findall(r"\d\.\d|\d+ ?m?[VAWs]\b", hint) == [], (item, number)


def test_no_source_holds_an_accepted_number(name, lesson):
    """No quantity in the committed lesson would be taken by one of its readings."""
    source = nbformat.writes(notebook(name))
    for item, reading in of_kind(lesson, Reading).items():
        found = re.findall(rf"(?<![\w.,])(\d+(?:[.,]\d+)?)[ \N{{NO-BREAK SPACE}}]?{reading.unit}(?!\w)", source)
        assert [number for number in found
                if abs(float(number.replace(",", ".")) - reading._truth()) <= reading._tolerance] == [], item


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
    point, diode = sides.names["seen"](), cl.Diode("V1")
    kept, amps = point.across("V1:A", "V1:K"), point.current("V1")

    assert amps == pytest.approx(point.current("E1") + point.current("E3"), rel=1e-6)
    assert 0.75 * diode.forward_voltage < kept < diode.forward_voltage
    assert of_kind(sides.lesson, Reading)["heat"]._truth() == pytest.approx(kept * amps)


def test_every_box_of_every_bench_can_be_ticked_and_unticked(sides):
    """Each change alone moves the sentence in some row, says nothing of trouble, and comes off again."""
    (bench,) = [shown for shown in sides.shown.values() if isinstance(shown, Bench)]
    seen = set()
    for lever in ("off", "left", "right"):
        for knob in ("off", "on"):
            bench.controls["turn lever"].value, bench.controls["hazard"].value = lever, knob
            healthy = bench.sentence
            for box in bench.faults.values():
                box.value = True
                seen |= {box.description} if bench.sentence != healthy else set()
                assert bench._guard.place.value == "", box.description
                box.value = False
                assert bench.sentence == healthy, box.description
    assert seen == set(bench.faults)


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
    return {row for row in SIX if names["group"](names[circuit], row) == BREAKS}


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
    assert re.findall(r"<td>(\d+) of", lesson.lesson.questions["meet"]._shown.value) == [str(count) for count in counts]


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


@pytest.mark.parametrize("attempt, said", [
    ('cl.SwapTerminals("V1:A", "V1:K")', "more rows"), ('cl.AddWire(cl.Wire("W90", "X2:1", "X2:2"))', "as many rows"),
    ('cl.RemoveWire("W26")', "more rows"), ('cl.AddWire(cl.Wire("W90", "X2:1", "X5:1"))', "more rows"),
    ('cl.MoveWire("W6", "V1:K", "X4:1")', "more rows"), ('cl.RemoveWire("W6")', "more rows")])
def test_the_learners_own_attempt_is_counted_from_its_circuit(attempt, said):
    """By hand: a lost feed, a dead flasher, a joined pair each spoil rows; a wire inside a splice changes nothing."""
    lesson = worked(ASK, yours_attempt=f"attempt = [{attempt}]\ntried = ruled(cl.changed(parted, *attempt))").lesson

    assert lesson.questions["own"]._truth() == said


def test_the_checks_tell_the_systems_apart():
    """A circuit in which stop wins is told from one in which turn wins, and from one with two filaments."""
    names = worked(ASK).names
    assert [names["system"](names[each]) for each in ("tied", "parted")] == ["one filament, stop wins"] * 2
    assert names["system"](cl.arrangement("shared-filament-four-relays")) == "one filament, turn wins"


def test_lesson_10_gives_no_hint_of_the_cure():
    """No relay, no contact that changes over, no lesson that has it: neither in the text nor in what opens."""
    lesson = worked(ASK).lesson
    for item, question in of_kind(lesson, Question).items():
        lesson.answer(item, question._truth())
    opened = " ".join(words(question._shown.value + question.reply) for question in of_kind(lesson, Question).values())
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

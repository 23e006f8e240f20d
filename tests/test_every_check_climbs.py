"""A headless learner who is wrong three times goes up the whole ladder of every check of every lesson, in every variant.

Consequence, where to look, principle: three different sentences without the key; then a worked twin whose answer is not
theirs, then the key without credit, then fresh numbers for credit.
"""

import pytest
from hands import buttons
from worked_lessons import gives_away, of_kind, right_one, words

import circuitlab as cl
from circuitlab.arrangements import write_text
from circuitlab.benches.asked import Note, Question
from circuitlab.benches.laddered import Laddered
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.kinds import BlankTable, Choice, Number, Sort, Wired

WORKED = [path.stem for path in sorted(kit_folder("lessons").glob("[0-9x][0-9]*_*.ipynb"))]


pytestmark = pytest.mark.usefixtures("answers")


def checks(lesson):
    """Return the questions of a lesson that may be tried again, by item."""
    return {item: asked for item, asked in of_kind(lesson, Laddered).items() if not asked.asked.once}


def ways_to_err(posed):
    """Yield answers a learner may give to a question, as they are given; some may be right."""
    kind, truth = posed.kind, posed.truth
    yield from posed.idea_answers.values()
    if isinstance(kind, Choice):
        yield from 2 * kind.options
    elif isinstance(kind, Number):
        yield from (f"{value:.6f}" for value in (2 * (truth or 0) + 1, (truth or 1) / 2, 0.0, -(truth or 1)))
    elif isinstance(kind, BlankTable):
        turned = [{lamp: looks[:row] + [each] + looks[row + 1:] for lamp, looks in truth.items()}
                  for row in range(len(kind.rows)) for each in kind.looks]
        yield from turned
    elif isinstance(kind, Sort):
        yield from ({**truth, item: group} for item in kind.items for group in kind.groups)
    elif isinstance(kind, Wired):
        yield from (write_text(cl.changed(truth, cl.RemoveWire(wire.name))) for wire in truth.wires)
    else:
        lines = [f"{wire.start} - {wire.end}" for wire in posed.variant.circuit.wires]
        yield from ("\n".join(lines[:place] + lines[place + 1:]) for place in range(len(lines)))


def three_wrong(posed):
    """Return three wrong answers, each unlike the one before it."""
    chosen = []
    for given in ways_to_err(posed):
        answer = posed.read(given)
        if not posed.is_right(answer) and not (chosen and posed.kind.same(answer, posed.read(chosen[-1]))):
            chosen.append(given)
        if len(chosen) == 3:
            return chosen
    raise AssertionError(f"{posed}: no three wrong answers")


def reasons_for(posed):
    """Return a reason for each of three tries: none at first, then one that does not hold, then another."""
    menu = sorted(posed.reasons, key=posed.holds)
    return [None, *([menu[0], menu[-1]] if menu else [None, None])]


def asked_anew(asked, folder, turn):
    """Return a question as a learner meets it after so many fresh numbers."""
    learner = cl.Lesson("99", folder).ask(asked.task)
    for _ in range(turn):
        learner.renew()
    return learner


# ------------------------------------------------------------------ what is looked for; each returns sentences

def not_climbing(learner):
    """What is wrong with the three steps of a learner who errs three times."""
    posed, said = learner.way.posed, []
    for given, reason in zip(three_wrong(posed), reasons_for(posed)):
        learner.commit(given, None, reason)
        said.append(words(learner.reply.split("<p>")[2]).strip())
    steps = [event["step"] for event in learner.record.events() if event["event"] == "tried"]
    found = [] if steps == [0, 1, 2] else [f"{posed}: steps {steps}"]
    found += [] if len(set(said)) == 3 else [f"{posed}: says one thing twice: {said}"]
    found += [f"{posed}: gives the key away: {each}" for each in said if gives_away(posed, each)]
    return found + [f"{posed}: {len(each.split())} words" for each in said if not 4 <= len(each.split()) <= 40]


def without_help(learner):
    """What is wrong with twin, key and fresh numbers after three wrong tries; what is wired on a board has its key alone."""
    posed, key, before = learner.way.posed, learner.way.posed.key(), learner.question
    if isinstance(posed.kind, Wired):
        learner.help()
        return [] if key in words(learner.reply) and learner.credit == 0 else [f"{posed}: the key does not open, or has credit"]
    if "Show a worked twin" not in buttons(learner):
        return [f"{posed}: no twin"]
    learner.help()
    twin = words(learner.reply)
    answer = twin.partition("answer is: ")[2].rpartition(". Yours")[0]
    found = [] if answer and answer.lstrip("-") != key.lstrip("-") else [f"{posed}: its twin has its answer"]
    found += [] if posed.variant.fill(learner.task.steps) else [f"{posed}: its twin is not worked"]
    learner.help()
    found += [] if key in words(learner.reply) and learner.credit == 0 else [f"{posed}: the key does not open, or has credit"]
    for _ in range(posed.kind.in_a_row):
        learner.renew()
        found += [] if learner.question != before else [f"{posed}: the fresh one asks the same"]
        learner.commit(right_one(learner.way.posed))
    earned = 0.5 if posed.kind.in_a_row > 1 else 1      # half: those are the second and third variant
    return found + ([] if learner.credit == earned else [f"{posed}: {learner.credit} for fresh right answers"])


# ------------------------------------------------------------------ the lessons

@pytest.mark.in_turn(6, 1)
def test_what_is_asked_plainly_is_predicted_observed_or_noted(lesson):
    """All else climbs."""
    plain = {item: asked.kind for item, asked in lesson.questions.items() if isinstance(asked, (Note, Question))}
    assert set(plain.values()) <= {"predicted", "observed", "noted"}
    assert checks(lesson) and {*plain, *of_kind(lesson, Laddered)} == set(lesson.questions)


@pytest.mark.in_turn(13, 4)
@pytest.mark.parametrize("turns", [(0, 2), pytest.param((2, 6), marks=pytest.mark.full)], ids=["first", "others"])
def test_the_variants_of_every_check_climb(lesson, turns, tmp_path):
    """Each with all its help, three wrong tries first."""
    found = []
    for item, asked in checks(lesson).items():
        for turn in range(turns[0], min(turns[1], len(asked.task.variants))):
            learner = asked_anew(asked, tmp_path / f"{item}{turn}", turn)
            found += not_climbing(learner) + without_help(learner)
    assert found == []


@pytest.mark.in_turn(6, 1)
def test_every_check_asks_variants_that_are_equally_hard(lesson):
    """By the kit's own measure."""
    found = {item: asked.fairness() for item, asked in checks(lesson).items()}
    assert {item: each.sentence for item, each in found.items() if not each.is_equal} == {}


# ------------------------------------------------------------------ the tests above can find what they look for

@pytest.mark.parametrize("more, said", [
    ({"where": "It is source volts."}, "gives the key away"), ({"principle": "Take one end at a time."}, "says one thing twice"),
    ({"steps": ""}, "not worked"), ({"circuit": cl.arrangement("one-fused-lamp")}, "no twin")])
def test_a_planted_fault_is_found(tmp_path, more, said):
    """A step that tells, a step that repeats, a twin without its way, a question without variants."""
    one = more.get("circuit") or cl.vary(cl.arrangement("one-fused-lamp"), ends=("S1:1 S1:2", "F1:1 F1:2", "S1:2 S1:1"))
    read = lambda lamp, ends="S1:1 S1:2": "source volts" if cl.operating_point(lamp).across(*ends.split()) else "zero volts"
    help_words = {"where": "Take one end at a time.", "principle": "A reading compares two levels.", "steps": "end by end"}
    asked = cl.Lesson("98", tmp_path).choose("planted", "Switch off, from one end to the other: what is read?", one, {
        "source volts": "Then the ends would be apart.", "half of them": "Then something would share them.",
        "zero volts": "Then the ends would be level."}, read, **help_words | {
            name: value for name, value in more.items() if name != "circuit"})
    learner = asked_anew(asked, tmp_path / "learner", 0)
    assert any(said in each for each in not_climbing(learner) + without_help(learner))

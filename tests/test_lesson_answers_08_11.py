"""Lessons 08, 11 and 11c with a learner in them.

Shut until answered, open afterwards, a reply of its own for every wrong idea;
and what they count is what the kit counts.
"""

import json
import re
from contextlib import redirect_stdout
from functools import cache
from html import escape
from io import StringIO

import nbformat
import pytest
from worked_lessons import notebook, worked

import circuitlab as cl
from circuitlab.benches.lesson import CLOSED
from circuitlab.ground.places import kit_folder

LESSONS = kit_folder("lessons")
NUMBERS = ("08", "11", "11c")

ASKED = '''
import json
def seen(question):
    return {"reply": question.reply, "shown": getattr(question, "_shown").value if hasattr(question, "_shown") else ""}
'''
BEFORE = '''
print(json.dumps({item: {"kind": question.kind, "has_result": bool(question.asked.reveal),
                         "after": question.asked.after,
                         "choices": getattr(question.asked, "replies", None) or None, **seen(question)}
                  for item, question in lesson.questions.items()}))
'''
EARLY = '''
early = {}
for item, question in lesson.questions.items():
    if question.asked.after:
        lesson.answer(item, next(iter(question.choices)))
        early[item] = {"answered": question.is_answered, **seen(question)}
print(json.dumps(early))
'''
TRIED = '''
tried = {}
for item, question in lesson.questions.items():
    for choice in getattr(question, "choices", ()):
        lesson.answer(item, choice, "guess")
        tried.setdefault(item, {})[choice] = {"right": question.asked.truth() == choice, **seen(question)}
print(json.dumps(tried))
'''
READ = '''
read = {}
for item, question in lesson.questions.items():
    if question.kind == "tried":
        truth = question.way.posed.truth
        lesson.answer(item, truth if isinstance(truth, str) else f"{truth:.4f}".replace(".", ","))
        read[item] = seen(question)["reply"]
print(json.dumps(read))
'''
LAST = "lesson.answer('exit', 'the steady wire, in both positions'); print(json.dumps(seen(lesson.questions['exit'])))"
AGAIN = """
print(json.dumps({item: {"answered": question.is_answered, **seen(question)}
                  for item, question in lesson.questions.items()}))
"""


TRACED = """
measured = {letter: cl.flash(traced(letter), "E5") for letter in traces}
print(json.dumps({letter: [flash.rate, flash.on_share, flash.is_rate_allowed] for letter, flash in measured.items()}))
"""


def path(number):
    (found,) = LESSONS.glob(f"{number}_*.ipynb")
    return found


def sat(number, *told):
    """Run a lesson's code, more code after it; return what it made and what each of those printed."""
    work = worked(path(number).stem)
    return work, [json.loads(printed(source, work.names)) for source in (ASKED + told[0], *told[1:])]


def printed(source, names):
    """Return what some code prints among the names of a lesson. [text]"""
    with redirect_stdout(StringIO()) as said:
        exec(source, names)
    return said.getvalue()


def test_a_reply_that_is_told_right_and_wrong_alike_says_of_what_it_speaks():
    """W10 breaks: each reply names its own answer, so that none reads as what this row does."""
    for option, reply in zip(*(lambda kind: (kind.options, kind.replies))(worked("11_share_one_filament").lesson.questions["transfer"].task.kind)):
        assert reply.startswith(f"{option.capitalize()} means: ")


class Sitting:
    """Everything one learner saw who tried every answer, and what a second sitting then opened with."""

    def __init__(self, number, folder):
        self.number = number
        self.work, told = sat(number, BEFORE, EARLY, TRIED, READ, LAST, *([TRACED] if number == "08" else []))
        self.before, self.early, self.tried, self.read, self.noted, *self.traced = told
        _, (self.again,) = sat(number, AGAIN)
        self.lines = (folder / f"lesson-{number}.jsonl").read_text(encoding="utf-8").splitlines()


@pytest.fixture(scope="module")
def sit(tmp_path_factory):
    """Work a lesson through, once; its record lies in a temporary folder."""
    @cache
    def worked(number):
        folder = tmp_path_factory.mktemp("answers")
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("PIN_THIRTY_ANSWERS", str(folder))
            return Sitting(number, folder)
    return worked


@pytest.fixture(params=NUMBERS)
def sitting(request, sit):
    """Each of the three lessons, worked through."""
    return sit(request.param)


@pytest.mark.in_turn(3)
def test_unanswered_results_are_shut(sitting):
    """Each prediction says so, and shows nothing."""
    predictions = {item: asked for item, asked in sitting.before.items() if asked["kind"] == "predicted"}
    assert len(predictions) >= 4 and all(asked["has_result"] for asked in predictions.values())
    assert [item for item, asked in predictions.items() if CLOSED not in asked["reply"] or asked["shown"]] == []


@pytest.mark.in_turn(3)
def test_a_committed_answer_opens_the_result_right_or_wrong(sitting):
    """The same result whatever was chosen, and no longer the shut sentence."""
    for item, asked in sitting.before.items():
        if asked["kind"] != "predicted":
            continue
        results = {seen["shown"] for seen in sitting.tried[item].values()}
        assert len(results) == 1 and len(results.pop()) > 100, item
        assert not any(CLOSED in seen["reply"] for seen in sitting.tried[item].values()), item


def test_one_choice_is_right_and_each_wrong_one_has_its_own_reply(sitting):
    """Its reply is shown, is nobody else's, and does not hold another choice's verdict."""
    replies = []
    for item, choices in sitting.tried.items():
        assert [choice for choice, seen in choices.items() if seen["right"]] != [], f"{item}: no choice is right"
        assert sum(seen["right"] for seen in choices.values()) == 1, item
        for choice, seen in choices.items():
            own = sitting.before[item]["choices"][choice]
            assert len(own.split()) >= 5, f"{item}: '{choice}' has no reply; an empty one would tell the right choice"
            assert (escape(own) in seen["reply"]) != seen["right"], (item, choice)
            replies.append(own)
    assert len(replies) >= 20 and len(set(replies)) == len(replies)


def test_no_reply_says_only_wrong_or_names_the_right_choice(sitting):
    """Where to look, never the value, no praise, no blame."""
    for item, choices in sitting.tried.items():
        right = next(choice for choice, seen in choices.items() if seen["right"])
        for choice, seen in choices.items():
            own = sitting.before[item]["choices"][choice]
            assert not re.search(r"\b(wrong|incorrect|well done|careless|silly|sorry)\b", own, re.I), (item, choice)
            assert len(own.split()) <= 40, (item, choice)
            assert not re.search(rf"\b(answer is|it is|they are) {re.escape(right)}\b", own, re.I), (item, choice)


def test_an_observation_waits_for_its_prediction(sitting):
    """Answered first, it stays shut and is not taken."""
    assert list(sitting.early) == [item for item, asked in sitting.before.items() if asked["after"]]
    assert bool(sitting.early) == (sitting.number != "11c")     # which looks back at nothing
    assert [item for item, seen in sitting.early.items() if seen["answered"] or CLOSED not in seen["reply"]] == []


def test_the_next_sitting_opens_what_was_answered(sitting):
    """Every line of the record is JSON of this lesson; results are open again without a click."""
    assert all(json.loads(line)["lesson"] == sitting.number for line in sitting.lines)
    assert sitting.noted["reply"] and "Kept." in sitting.noted["reply"]
    assert [item for item, seen in sitting.again.items() if not seen["answered"]] == []
    results = [item for item, asked in sitting.before.items() if asked["has_result"]]
    assert [item for item in results if not sitting.again[item]["shown"]] == []


def test_right_answers_on_the_ladder_are_agreed_with(sitting):
    """Numbers with a decimal comma."""
    assert len(sitting.read) >= (3 if sitting.number != "11c" else 2)       # which has predictions beside
    assert [item for item, reply in sitting.read.items() if "The circuit agrees" not in reply] == []


# ------------------------------------------------------------------ lesson 08

def test_the_trace_of_lesson_08_says_which_it_is_and_keeps_its_numbers_to_itself(sit):
    """Picture and spoken text name neither rate nor on-time %."""
    work = sit("08").work
    (source,) = [cell.source for cell in notebook(path("08").stem).cells if cell.id == "trace"]
    shown = printed(source, work.names) + work.shown["trace"].markup
    assert "trace P" in shown and "<svg" in shown and "on at 0.50" in shown
    assert not re.search("per minute|on-time|the band", shown)


def test_the_six_traces_of_lesson_08_can_be_told_apart_and_read(sit):
    """Two below the limits, two within, two above, none near a limit; all flash often enough to count a period."""
    (traced,) = sit("08").traced
    rates = sorted(rate for rate, _, _ in traced.values())
    assert len(traced) == 6 and [allowed for _, (_, _, allowed) in sorted(traced.items())] == 2 * [False, True, False]
    assert len({round(rate) for rate in rates}) == 6 and rates[1] < 56 and rates[2] > 64 and rates[3] < 116 and rates[4] > 124
    assert all(25 <= 100 * share <= 75 for _, share, _ in traced.values())


def test_the_pictures_of_lesson_08_are_fresh():
    """Each is the chart that the kit draws now, on white; both flashers have one rate and two on-shares."""
    cart, seen = cl.arrangement("separate-filaments"), []
    for name, share in (("a", 0.3), ("b", 0.65)):
        course = cl.trial(cl.changes.with_settings(cart, rate=80, on_share=share), {"key": "on", "turn lever": "left"})
        fresh = cl.time_chart(course, ["E5"], told=False).replace('style="', 'style="background:#fff;color:#000;', 1)
        assert (LESSONS / "pictures" / f"flasher_{name}.svg").read_text(encoding="utf-8") == fresh
        seen.append(cl.flash(course, "E5"))
    assert abs(seen[0].rate - seen[1].rate) < 0.1 and seen[1].on_share - seen[0].on_share > 0.3


# ------------------------------------------------------------------ lesson 11

def faults_of_lesson_11():
    """Return the circuits the lesson breaks, made again here, in the lesson's order."""
    cart, rear = cl.arrangement("shared-filament-four-relays"), cl.arrangement("shared-filament-rear-relays")
    full = cl.arrangement("shared-filament-four-relays-hazard")
    coils = (cl.MoveWire("W10", "S3:SL", "X4:1"), cl.MoveWire("W10", "S3:SL", "X3:1"))
    faults = (cl.SwapTerminals("K1:87", "K1:87a"), cl.MoveWire("W11", "X4:2", "K1:87"),
              cl.AddWire(cl.Wire("W98", "F1:2", "K1:30")), cl.Hold("K9", "off"), cl.Hold("F2", "blown"),
              cl.AddWire(cl.Wire("W99", "X3:1", "K3:87a")))
    return [cl.arrangement("tied-stop-and-turn"), *(cl.changed(rear, change) for change in coils),
            *(cl.changed(cart, change) for change in faults), cl.changed(full, cl.LoseJoint("W38", "X9:3"))]


def test_no_count_of_failing_rows_is_typed_in_lesson_11():
    """Neither as a figure nor as a word before 'rows'."""
    source = "\n".join(cell.source for number in ("11", "11c") for cell in nbformat.read(path(number), as_version=4).cells)
    source, roads = re.subn(r"\*Short road, \d of \d\.\*", "", source)
    assert roads == 1
    counts = {len(cl.lamp_table(circuit).failing) for circuit in faults_of_lesson_11()}
    assert len(counts) >= 5 and 0 not in counts
    figures = set(re.findall(r"(?<![\w.:/\"-])\d+(?![\w.:%])", source))
    assert figures & {str(count) for count in counts} == set()
    spelt = "two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"
    assert re.findall(rf"\b(?:\d+|{spelt})\s+(?:\w+\s+)?rows\b", source) == []


def test_the_pictures_of_lesson_11_are_fresh(tmp_path):
    """Each is the schematic that the kit draws now, at rest."""
    for picture, name in (("tied_stop_and_turn", "tied-stop-and-turn"),
                          ("two_rear_relays", "shared-filament-rear-relays"),
                          ("one_relay_for_each_lamp", "shared-filament-four-relays")):
        cl.save_picture(cl.arrangement(name), tmp_path / "fresh.svg")
        fresh = (tmp_path / "fresh.svg").read_text(encoding="utf-8")
        assert (LESSONS / "pictures" / f"{picture}.svg").read_text(encoding="utf-8") == fresh, picture


def test_every_reveal_of_lesson_11_counts_the_rows_of_its_own_circuit(sit):
    """The count shown is that of the circuit made here again; the table at the end holds all of them."""
    tied, flashing, brake, *broken, housing = [len(cl.lamp_table(circuit).failing) for circuit in faults_of_lesson_11()]
    shown = {item: next(iter(choices.values()))["shown"] for number in ("11", "11c") for item, choices in sit(number).tried.items()}
    assert f"{tied} of them break" in shown["tied rows"]
    assert "steady wire: rows failing 0." in shown["coil"] and f"brake wire: rows failing {brake}." in shown["coil"]
    assert f"flashing wire: rows failing {flashing}." in shown["coil"]
    items = ("swapped", "flashing coil", "battery", "dead flasher", "fuse", "front stop")
    for item, count in zip(items, broken, strict=True):
        assert f"{count} of them break" in shown[item], item
    assert re.findall(r"<td>(\d+) of \d+", shown["worst"]) == [str(count) for count in (*broken, housing)]
    assert shown["key off"].count("every lamp and terminal keeps its rule in all of them") == 2
    hazards = [cl.arrangement(name) for name in cl.arrangement_names() if name.endswith("-hazard")]
    assert re.findall(r": (\d+) rows, 0 fail", shown["key off"]) == [str(each.count_rows()) for each in hazards] != []

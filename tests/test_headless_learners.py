"""Headless learners go through every question of every lesson, each in their own way, and are answered as it was meant.

One knows, one has a wrong idea, one leaves the field empty, one writes nonsense, one writes numbers as another country
does. What none of them may read before the key: the value, the tolerance, the sum.
"""

import json
import re
from html import escape

import pytest
from hands import buttons, press, refusal
from worked_lessons import (choices, gives_away, notebook, of_kind, open_observations, reply_to, right_numbers, told_by, words,
                            worked)

import circuitlab as cl
from circuitlab.arrangements import write_text
from circuitlab.benches.asked import Note, Question
from circuitlab.benches.laddered import Laddered
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.kinds import BlankTable, Lines, Number, Sort, Wired

WORKED = [path.stem for path in sorted(kit_folder("lessons").glob("[0-9x][0-9]*_*.ipynb"))]
OPEN = {"item", "question", "record", "kind", "choices", "unit", "view", "is_answered", "static"}
SUM = re.compile(r"lambda|Traceback|operating_point|\bcl\.|_truth|_tolerance|row_of\(|File \"")
HELP = {"Show a worked twin", "Show the key"}      # what its buttons say
BLANK = ("", "   ", None)
NONSENSE = ("twelve", "1,234", "12.1 V red lead on plus", "E1: 12", "12..1", "=6*2", "\N{PILE OF POO}", "\n\n", "nan", "inf")
OTHER_UNIT = {"V": "3 A", "A": "3 V", "W": "3 ohm", "ohm": "3 W", "s": "3 V", "%": "3 A", "/min": "3 V", "mm2": "3 V"}
READ_AS = {  # what a wrong idea would read: (lesson, item): {idea: number, from the lesson's own names}
    ("00", "open-switch-volts"): {"M6": lambda given: 0.0},
    ("00", "lit-lamp-volts"): {"M6": lambda given: 0.0},
    ("01", "both-lamps"): {"M2": lambda given: given / 2},
    ("02", "leads-turned"): {"M14": lambda given: -given},
    ("03", "ground-leg"): {"M8": lambda given: 0.0},
    ("03", "shared-leg"): {"M4": lambda given: given / 3, "M8": lambda given: 0.0},
    ("04", "hot-ohms"): {"M19": lambda given: cl.sizing.read_quantity("471 mohm", "ohm")},
    ("04", "run-drop"): {"M17": lambda given: 0.0},
    ("08", "average-read"): {"M16": lambda given: 2 * given}}


pytestmark = pytest.mark.usefixtures("answers")


# ------------------------------------------------------------------ how a learner writes

def fresh(asked, folder):
    """Return a question of the ladder as a learner meets it who has not tried yet."""
    return cl.Lesson("99", folder).ask(asked.task)


def locales(number, unit):
    """The same number as it is written here and elsewhere, with and without its unit, pasted with spaces round it."""
    text = f"{number:.6f}"
    pretty = {"mm2": "mm\N{SUPERSCRIPT TWO}"}.get(unit, unit)
    written = [text, text.replace(".", ","), f"{text.replace('.', ',')} {pretty}", f"{text}{unit}", f"  {text} {unit}\n",
               f"{text}\N{NO-BREAK SPACE}{unit}", text.replace("-", "\N{MINUS SIGN}")]
    return written + ([f"{1000 * number:.4f} m{unit}"] if unit in ("V", "A", "s") else [])


def typed(kind, answer):
    """The same answer in the ways a learner may write it down."""
    if isinstance(kind, Number):
        return locales(answer, kind.unit)
    if isinstance(kind, Lines):
        return [answer, "\n".join(reversed(str(answer).splitlines())).lower()]
    if isinstance(kind, (BlankTable, Sort)):
        return [answer, dict(reversed(answer.items()))]
    if isinstance(kind, Wired):
        return [answer, f"# mine\n{answer}"]
    return [answer, f"  {str(answer).upper()} "] if isinstance(answer, str) else [answer]


def list_of(circuit):
    """Return a circuit's wires as a learner's connection list. [text]"""
    return "\n".join(f"{wire.start} - {wire.end}" for wire in circuit.wires)


def right_answer(asked):
    """Return the right answer to a question of the ladder, worked out from its circuit."""
    posed = asked.way.posed
    if isinstance(posed.kind, Wired):
        return write_text(posed.truth)
    return list_of(posed.variant.circuit) if isinstance(posed.kind, Lines) else posed.truth


def blanks_and_nonsense(kind):
    """What is no answer to a kind of question."""
    wrong = ["no such answer", "all of them, please", {"E9": ["dark"]}, ["dark"], 77]
    return [*BLANK, {}, *([*NONSENSE, OTHER_UNIT[kind.unit]] if isinstance(kind, Number) else wrong)]


# ------------------------------------------------------------------ the learner who knows

@pytest.mark.in_turn(13, 3)
def test_whoever_knows_is_agreed_with(lesson, tmp_path):
    """Every question, plain or with variants, however the answer is written."""
    open_observations(lesson)
    for item, asked in lesson.questions.items():
        if isinstance(asked, Question):
            lesson.answer(item, asked.asked.truth(), "sure")
            assert re.search("That is what happens|That agrees", asked.reply), item
        elif isinstance(asked, Laddered):
            for number, given in enumerate(typed(asked.way.posed.kind, right_answer(asked))):
                learner = fresh(asked, tmp_path / f"{item}{number}")
                learner.commit(given)
                assert "The circuit agrees" in learner.reply and learner.credit == (asked.task.kind.in_a_row == 1), (item, given)
        else:
            lesson.answer(item, "In my own words: \N{GREEK CAPITAL LETTER OMEGA}, and a comma, too.")
            assert "Kept" in asked.reply, item
    assert not [item for item, asked in lesson.questions.items() if not asked.is_answered and not isinstance(asked, Laddered)]


# ------------------------------------------------------------------ the learner with a wrong idea

@pytest.mark.in_turn(13, 7)
def test_each_wrong_idea_is_answered_by_its_own_reply(lesson, tmp_path):
    """Choices by the reply written for them; answers of an idea, solved as it would wire or read, by that idea's sentence."""
    open_observations(lesson)
    for item, asked in lesson.questions.items():
        if isinstance(asked, Question):
            for wrong in set(asked.choices) - {asked.asked.truth()}:
                lesson.answer(item, wrong, "sure")
                others = {reply for choice, reply in asked.asked.replies.items() if choice != wrong}
                assert escape(asked.asked.replies[wrong]) in asked.reply, (item, wrong)
                assert not [reply for reply in others if escape(reply) in asked.reply], (item, wrong)
        elif isinstance(asked, Laddered):
            for code, answer in asked.way.posed.idea_answers.items():
                learner = fresh(asked, tmp_path / f"{item}{code}")
                learner.commit(answer)
                own = next(one for one in asked.task.ideas if one.code == code)
                assert escape(own.would) in learner.reply, (item, code)
                assert learner.record.events()[-1]["idea"] == code, item


@pytest.mark.in_turn(9, 2)
@pytest.mark.parametrize("number, item", READ_AS)
def test_a_number_read_as_an_idea_would_is_sent_to_look(number, item, tmp_path):
    """It is not near enough; the reply says what would be seen, and no number that would be right."""
    name = next(each for each in WORKED if each.startswith(number))
    asked = worked(name).lesson.questions[item]
    for code, read in READ_AS[number, item].items():
        learner = fresh(asked, tmp_path / code)
        learner.commit(f"{read(asked.way.posed.truth):.5f}")
        assert "does not agree" in learner.reply and len(words(learner.reply).split()) > 10, code


@pytest.mark.in_turn(13, 4)
def test_a_wrong_unit_is_not_taken_for_the_number(lesson, tmp_path):
    """Milli where none belongs is a thousand times too little; volts in the place of amps are refused in a sentence."""
    for item, number in right_numbers(lesson).items():
        asked = lesson.questions[item]
        unit, learner = asked.task.kind.unit, fresh(asked, tmp_path / item)
        with pytest.raises(cl.CircuitLabError):
            learner.commit(OTHER_UNIT[unit])
        if unit in ("V", "A", "s"):
            learner.commit(f"{number:.5f} m{unit}")
            assert "does not agree" in learner.reply and re.search(rf"thousandth|read the m{unit}", learner.reply), item


# ------------------------------------------------------------------ blank and nonsense

@pytest.mark.in_turn(13, 1)
def test_blank_and_nonsense_get_a_sentence_and_leave_no_trace(lesson, tmp_path):
    """One line, no traceback, nothing in the record, the question still open."""
    for item, asked in lesson.questions.items():
        if isinstance(asked, Note):
            for given in BLANK:
                asked.commit(given)
                assert not asked.is_answered and "Write a sentence first" in asked.reply
            continue
        learner = fresh(asked, tmp_path / item) if isinstance(asked, Laddered) else asked
        tried = blanks_and_nonsense(asked.way.posed.kind) if isinstance(asked, Laddered) else [*BLANK, "no such choice", 7]
        before = learner.record.events(item)
        for given in tried:
            with pytest.raises(cl.CircuitLabError) as said:
                learner.commit(given)
            assert 15 < len(str(said.value)) < 300 and not SUM.search(str(said.value)), (item, given)
        assert learner.record.events(item) == before and not learner.is_answered, item


@pytest.mark.in_turn(13, 1)
def test_commit_on_an_empty_question_is_answered_on_the_page(lesson):
    """The button itself, with nothing chosen or typed: the learner reads a sentence and nothing of the sum."""
    for item, asked in lesson.questions.items():
        press(asked)
        read = words(asked.reply + refusal(asked))
        assert len(read.split()) >= 4 and not SUM.search(read), item
        assert not asked.is_answered, item


# ------------------------------------------------------------------ what nobody may read before the key

@pytest.mark.in_turn(13, 4)
def test_tries_on_the_ladder_read_nothing_of_the_key(lesson, tmp_path):
    """Each idea's answer as the first try, then a second and a third wrong one; help stays shut till then."""
    for item, asked in of_kind(lesson, Laddered).items():
        posed = asked.way.posed
        for code, answer in posed.idea_answers.items():
            learner = fresh(asked, tmp_path / f"{item}{code}")
            for number, given in enumerate((answer, spoilt(posed.kind, answer, posed.truth), answer)):
                assert not HELP & set(buttons(learner)), (item, code)
                learner.commit(given, reason=next(filter(posed.holds, learner.reasons), None) if number else None)
                seen = words(learner.reply)
                assert f"Try {number + 1}." in seen and not SUM.search(seen), (item, code)
                assert not gives_away(posed, seen), (item, code, number)
            assert HELP & set(buttons(learner)) == {"Show a worked twin" if posed.twin() else "Show the key"}, (item, code)


def spoilt(kind, answer, truth):
    """Return one more wrong answer to a question, unlike the one given."""
    if isinstance(kind, Number):
        return 7777.0
    if isinstance(kind, Lines):
        return "G1:+ - G1:-"
    if isinstance(kind, BlankTable):
        every = [{**answer, lamp: [look, *looks[1:]]} for lamp, looks in answer.items() for look in kind.looks]
    elif isinstance(kind, Sort):
        every = [{**answer, item: group} for item in answer for group in kind.groups]
    else:
        every = getattr(kind, "options", "ABCD")
    return next(each for each in every if not kind.same(each, answer) and not kind.same(each, truth))


@pytest.mark.in_turn(13, 2)
def test_tab_completion_and_repr_offer_nothing(lesson):
    """Public names and public attributes alike; the mime bundle that a page keeps holds the paper twin only."""
    for item, asked in lesson.questions.items():
        public = {each for each in vars(asked) if not each.startswith("_")}
        assert public <= OPEN, (item, public - OPEN)
        assert not [each for each in dir(asked) if re.search("truth|toler|hint|reveal|key|repl(?!y)|work|task", each)], item
        bundle = asked._repr_mimebundle_()
        kept = json.dumps(bundle[0] if isinstance(bundle, tuple) else bundle)
        assert not SUM.search(kept + repr(asked)), item
        assert not [choice for choice in choices(asked) if reply_to(asked, choice) in kept], item


def test_a_sum_that_fails_says_nothing_of_itself(tmp_path):
    """The learner is told that the kit stumbled, with neither numbers nor expression, on the page and from code."""
    def broken():
        raise ValueError("expected 12.2 within 0.02")
    lesson, one = cl.Lesson("99", tmp_path), cl.arrangement("one-fused-lamp")
    reading = lesson.measure("broken", "Volts?", one, "V", lambda lamp: broken())
    choice = lesson.choose("choice", "Which?", one, {"a": "A.", "b": "B.", "c": "C."}, lambda lamp: broken())
    seen = lesson.predict("seen", "Which?", {"a": "A.", "b": "B."}, broken)
    seen.entry.put("a")
    reading.entry.put("3")
    choice.entry.put("a")
    for asked, given in ((reading, "3"), (choice, "a"), (seen, "a")):
        press(asked)
        with pytest.raises(cl.CircuitLabError, match="cannot be worked out") as said:
            asked.commit(given)
        assert said.value.__cause__ is None and said.value.__context__ is None
        for told in (refusal(asked), str(said.value)):
            assert "cannot be worked out" in told and "12.2" not in told and "0.02" not in told


@pytest.mark.in_turn(13, 5)
def test_pictures_and_alt_text_hold_no_accepted_number(name, lesson):
    """The words for a picture and the picture's own, against every reading; battery volts and the axis of light are given."""
    given = {f"{cl.arrangement('one-fused-lamp').battery.voltage:g}", "50"}
    for cell in notebook(name).cells:
        for alt, picture in re.findall(r"!\[(.*?)\]\((.*?)\)", cell.source, flags=re.S):
            seen = alt + picture + words((kit_folder("lessons") / picture).read_text("utf-8"))
            for item in right_numbers(lesson):
                assert set(told_by(seen, lesson.questions[item])) <= given, (item, picture)

"""What the tests of lesson answers share: a lesson run as it is committed, and its questions seen as a learner sees them."""

import ast
import re
from html import escape, unescape
from types import SimpleNamespace

import nbformat
import pytest

from circuitlab.arrangements import write_text
from circuitlab.benches.asked import CLOSED, Note, Question
from circuitlab.benches.laddered import Laddered
from circuitlab.ground.errors import CircuitLabError
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.kinds import Choice, Lines, Number, Wired

LONGEST_REPLY = 40  # words
AGREED = "That is what happens|That agrees|The circuit agrees|Kept"


def notebook(name):
    """Return a lesson as it is committed."""
    return nbformat.read(kit_folder("lessons") / f"{name}.ipynb", as_version=4)


def worked(name, **own):
    """Run every code cell of a lesson, the learner's own as given, and return what it made, showed and asked, cell by cell."""
    names, shown, asked = {}, {}, {}
    for cell in notebook(name).cells:
        if cell.cell_type == "code":
            body = ast.parse(own.get(cell.id.replace("-", "_"), cell.source))
            last = body.body.pop() if isinstance(body.body[-1], ast.Expr) else None
            before = set(names["lesson"].questions) if "lesson" in names else set()
            exec(compile(body, cell.id, "exec"), names)
            if last:
                shown[cell.id] = eval(compile(ast.Expression(last.value), cell.id, "eval"), names)
            asked[cell.id] = [item for item in names["lesson"].questions if item not in before]
    return SimpleNamespace(lesson=names["lesson"], names=names, shown=shown, asked=asked)


def of_kind(lesson, record):
    """Return the questions of one kind, by item."""
    return {item: question for item, question in lesson.questions.items() if isinstance(question, record)}


def words(markup):
    """Return what a learner reads of some HTML. [text]"""
    return unescape(re.sub(r"<[^>]+>", " ", markup))


# ------------------------------------------------------------------ what is right, worked out from the circuit

def right_one(posed):
    """Return the right answer to a question of the ladder as a learner gives it."""
    if isinstance(posed.kind, Lines):
        return "\n".join(f"{wire.start} - {wire.end}" for wire in posed.variant.circuit.wires)
    if isinstance(posed.kind, Wired):
        return write_text(posed.truth)
    return f"{posed.truth:.6f}" if isinstance(posed.kind, Number) and posed.truth is not None else posed.truth


def right_answer(question):
    """Return a right answer to any question as a learner gives it; to a note, some words."""
    if isinstance(question, Laddered):
        return right_one(question.way.posed)
    if isinstance(question, Note):
        return "across the lamp first"
    return question.asked.truth()


def choices(question):
    """Return the choices of a question that bring their replies, as it stands now. [text]"""
    if isinstance(question, Question):
        return tuple(choice for choice, reply in question.asked.replies.items() if reply)
    kind = question.way.posed.kind if isinstance(question, Laddered) else None
    return kind.options if getattr(kind, "replies", ()) else ()


def reply_to(question, choice):
    """Return what is written for a choice, in a question of the ladder as it stands now. [text]"""
    if isinstance(question, Question):
        return question.asked.replies[choice]
    posed = question.way.posed
    return posed.sentence(0, choice, None if posed.is_right(choice) else posed.idea_behind(choice))


def right_choices(lesson):
    """Return the right choice of every question with choices, as it is asked first. [text]"""
    ladder = {item: asked.way.posed.truth for item, asked in of_kind(lesson, Laddered).items()
              if type(asked.task.kind) is Choice}
    plain = {item: question.asked.truth() for item, question in of_kind(lesson, Question).items()}
    return {item: (plain | ladder)[item] for item in lesson.questions if item in plain or item in ladder}


def right_numbers(lesson):
    """Return the right number of every reading, as it is asked first. [unit of each]"""
    return {item: asked.way.posed.truth for item, asked in of_kind(lesson, Laddered).items()
            if isinstance(asked.task.kind, Number)}


def right_by_variant(asked):
    """Return the right answer of every variant of a question by its picks, in one text. [text] or [unit]"""
    variants = [asked.task.variants.of(seed) for seed in range(1, len(asked.task.variants) + 1)]
    return {", ".join(variant.picks.values()): asked.task.pose(variant).truth for variant in variants}


def told_by(text, asked):
    """Return the quantities in a text that a reading would take for right in some variant, whatever their sign. [text]"""
    kind, truths = asked.task.kind, right_by_variant(asked).values()
    found = re.findall(rf"(?<![\w.,])(\d+(?:[.,]\d+)?)[ \N{{NO-BREAK SPACE}}]?(m?){re.escape(kind.unit)}(?!\w)", text)
    return [number for number, milli in found for truth in truths
            if kind.same(float(number.replace(",", ".")) / (1000 if milli else 1), abs(truth))]


def gives_away(posed, sentence):
    """Whether a sentence holds the key of a question that its words and choices do not hold already."""
    if isinstance(posed.kind, Number):
        said = re.findall(rf"(-?\d+(?:[.,]\d+)?)[ \N{{NO-BREAK SPACE}}]?(m?{re.escape(posed.kind.unit)})(?!\w)", sentence)
        return any(posed.is_right(sign * posed.read(" ".join(each))) for each in said for sign in (1, -1))
    key = posed.key()
    is_name = len(key.split()) == 1 or len(key.split()) == 2 and key.split()[0] in ("a", "the")     # of a part, a row, a list
    return not is_name and key in sentence and key not in posed.question


# ------------------------------------------------------------------ what holds of every lesson

def check_right_answers(lesson):
    """Whatever is answered rightly is agreed with; each prediction shows its result."""
    for item, question in lesson.questions.items():
        lesson.answer(item, right_answer(question), "sure")
        assert question.is_answered and re.search(AGREED, question.reply), item
        if isinstance(question, Question):
            assert bool(question.shown) == (question.kind == "predicted"), item


def check_kept(work, name, folder, more_lines=0):
    """A second run in the same folder opens what the first one answered, and asks for nothing twice."""
    first = work(name).lesson
    for item, question in first.questions.items():
        first.answer(item, right_answer(question), "guess")
    second = work(name).lesson
    count = len(second.questions)

    assert [item for item, question in second.questions.items() if not question.is_answered] == []
    assert str(second.progress()).startswith(f"Of {count} questions: {count} answered, 0 tried")
    assert {item: q.shown != "" for item, q in of_kind(second, Question).items()} == {
        item: q.kind == "predicted" for item, q in of_kind(second, Question).items()}
    assert len(second.record.events()) == count + more_lines
    assert [path.name for path in folder.iterdir()] == [f"lesson-{name.partition('_')[0]}.jsonl"]


def check_no_answer_is_named(lesson):
    """A number without sense and a choice that is not there get a sentence, and nothing is written down for them."""
    for item in right_numbers(lesson):
        with pytest.raises(CircuitLabError, match="is not a quantity"):
            lesson.answer(item, "a lot")
    for item in right_choices(lesson):
        with pytest.raises(CircuitLabError, match="no (choice|answer) 'perhaps'"):
            lesson.answer(item, "perhaps")
    assert lesson.record.events() == []


def check_no_number_is_told(name, lesson):
    """No reading's right number in the cells, their metadata, a table on show, a reply to another question."""
    open_observations(lesson)
    source = nbformat.writes(notebook(name))
    seen = [words(shown.markup) for shown in worked(name).shown.values() if hasattr(shown, "markup")]
    for item, question in of_kind(lesson, Question).items():
        for choice in question.choices:
            lesson.answer(item, choice)
            seen.append(words(question.reply))
    for item in right_numbers(lesson):
        assert told_by(source, lesson.questions[item]) == [], item
        assert told_by("\n".join(seen), lesson.questions[item]) == [], item


def open_observations(lesson):
    """Answer every prediction that an observation waits for."""
    for question in of_kind(lesson, Question).values():
        if question.asked.after:
            lesson.answer(question.asked.after, lesson.questions[question.asked.after].asked.truth())


def check_observations_wait(lesson):
    """An observation is shut while its prediction is."""
    waiting = [question for question in of_kind(lesson, Question).values() if question.asked.after]
    assert waiting
    for question in waiting:
        lesson.answer(question.item, question.asked.truth())
        assert CLOSED in question.reply
        assert not question.is_answered


def check_own_replies(lesson):
    """Each wrong choice is told what its idea would show and where to look: short, unlike its neighbours, never the right choice."""
    open_observations(lesson)
    for item, question in of_kind(lesson, Question).items():
        replies = question.asked.replies
        assert len(set(replies.values())) == len(replies), item
        for wrong in set(question.choices) - {question.asked.truth()}:
            lesson.answer(item, wrong)
            assert escape(replies[wrong]) in question.reply, (item, wrong)
            assert 5 <= len(replies[wrong].split()) <= LONGEST_REPLY, (item, wrong)
            assert not re.search(AGREED, question.reply), (item, wrong)
            assert bool(question.shown) == (question.kind == "predicted"), (item, wrong)
            if " " in question.asked.truth():
                assert question.asked.truth() not in replies[wrong], (item, wrong)

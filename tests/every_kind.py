"""One question of each kind in one small lesson, asked with widgets or gathered without, and a record of all that can happen."""

from test_questions import CART, KINDS, ROWS

import circuitlab as cl
from circuitlab.benches.laddered import Laddered
from circuitlab.teaching.book import Book

NUMBER = "01b"      # the lesson of the safety ticket
CHOICES = {"dark": "A dark lamp has the same level at both ends. Has it?", "flashing": "Follow 87.",
           "steady": "Which contact would close a way to the stop line?"}
TICKET = ("open", "shelf")
STEPS = ["Supply off."]


def ask(lesson):
    """Ask everything; return the lesson."""
    look = lambda: cl.row_of(CART, ROWS[0]).cells["E1"].look
    lesson.predict("rear", "What does E1 do?", CHOICES, look)
    lesson.observe("seen", "What did you see?", CHOICES, look, after="rear")
    lesson.note("exit", "What would you measure first?")
    for make, *_ in KINDS.values():
        make(lesson)
    return lesson


def gathered(number):
    """Return the book as a class is marked by it."""
    return ask(Book(number))


def opened(folder):
    """Return the lesson as a learner opens it, with its ticket."""
    lesson = ask(cl.Lesson(NUMBER, folder))
    return lesson, lesson.safety_ticket([lesson.questions[item] for item in TICKET], STEPS)


def right_answers(lesson):
    """Return a right answer to each question, by item."""
    ladder = {item: asked for item, asked in lesson.questions.items() if isinstance(asked, Laddered)}
    first = dict(zip(ladder, (right for _, right, *_ in KINDS.values())))
    return {"rear": "flashing", "seen": "flashing", "exit": "the lamp, \N{LATIN SMALL LETTER U WITH DIAERESIS}ber beide Enden"} | {
        item: first[item][0] if first[item] else ladder[item].way.posed.truth for item in ladder}


def worked_through(folder):
    """Answer everything, some of it wrongly first, with help and fresh numbers; return the record's bytes."""
    lesson, ticket = opened(folder)
    open_switch = lesson.questions["open"]
    for typed, reason in zip(("0", "7", "0"), (*open_switch.reasons, *open_switch.reasons)):
        open_switch.commit(typed, "sure", reason)
    open_switch.help()
    open_switch.help()
    open_switch.renew()
    right = right_answers(lesson) | {"open": f"{open_switch.way.posed.truth} V"}
    for item, answer in right.items():
        lesson.answer(item, answer, "guess")
    assert "is open" in ticket.page and all(question.is_answered for question in lesson.questions.values())
    return lesson.record.path.read_bytes()

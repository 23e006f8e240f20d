"""The safety ticket: checks that must all be right before a page for the real bench opens, here and in other lessons."""

from html import escape

import ipywidgets as widgets

from ..ground.errors import ArrangementError
from ..teaching.record_lines import HELD
from ..views.build_sheet.page import CAUTIONS
from .guard import Guard
from .picture import show
from .record import Record

BOARDS_ONLY = "These steps are for a board on a bench. Boards only means boards only: no vehicle, not even a parked one."
LESSON, ITEM = "01b", "ticket"      # where the ticket is, and the line, HELD, that says somebody has it
EARLIER = "01"      # where it was in earlier kits: whoever has it has it


class SafetyTicket:
    """The items of the ticket, one below the other, and the page they open; see :func:`safety_ticket`."""

    def __init__(self, lesson, questions, steps):
        self.lesson, self.questions, self.steps = lesson, tuple(questions), tuple(steps)
        self._guard = Guard()
        self._page = widgets.HTML("")
        self._right = {}
        for question in self.questions:
            question._reply.observe(self._guard.watch(lambda _, asked=question: self._answered(asked)), names="value")
        self.view = widgets.VBox([*(question.view for question in self.questions), self._page, self._guard.place])
        for question in self.questions:
            self._guard.watch(self._answered)(question)

    @property
    def right(self):
        """How many items are right as they were committed last. [1]"""
        return sum(self._right.values())

    @property
    def page(self):
        """What stands below the items now, as HTML."""
        return self._page.value

    def _answered(self, question):
        """Take in what was committed last; open the page, or say how many items are still missing."""
        if question.is_right is not None or question.item not in self._right:   # fresh numbers take nothing back
            self._right[question.item] = bool(question.is_right)
        count = len(self.questions)
        if self.right < count:
            self._page.value = _said(f"{self.right} of {count} items are right. The page for the real bench is shut.")
            return
        self._page.value = _said(f"All {count} items are right. The page for the real bench is open.") + page(self.steps)
        if self.lesson.record.last(ITEM, HELD) is None:
            self.lesson.record.add(ITEM, HELD)

    def _repr_mimebundle_(self, **options):
        """Show the widgets; the items as plain forms ride along for print."""
        bundles = [question._repr_mimebundle_(**options) for question in self.questions]
        twins = [bundle[0] if isinstance(bundle, tuple) else bundle for bundle in bundles]
        twin = {"text/plain": f"Safety ticket with {len(twins)} items",
                "text/html": "".join(each.get("text/html", "") for each in twins)}
        if not any("application/vnd.jupyter.widget-view+json" in each for each in twins):
            return twin
        shown = self.view._repr_mimebundle_(**options)
        return (shown[0] | twin, shown[1]) if isinstance(shown, tuple) else shown | twin


def safety_ticket(lesson, questions, steps):
    """Return several checks as one ticket; when all are right, the page for the real bench opens below them.

    Parameters
    ----------
    lesson : Lesson
    questions : sequence of Laddered
        As ``lesson.choose`` and its like return them.
    steps : sequence of str
        What to do at the real bench, one sentence or two each. [text]

    Raises
    ------
    ArrangementError
        When there is no question, or one that is neither right nor wrong.
    """
    questions = tuple(questions)
    if not questions or not all(hasattr(question, "is_right") for question in questions):
        raise ArrangementError("a safety ticket needs one or more checks, as lesson.choose(...) returns them.")
    return SafetyTicket(lesson, questions, steps)


def workbench(lesson, steps):
    """Return the page for the real bench of a lesson, open to whoever holds the safety ticket of lesson 01b.

    Parameters
    ----------
    lesson : Lesson
        Whose answers lie in the same folder as those of lesson 01b.
    steps : sequence of str
        What to do at the real bench, one sentence or two each. [text]
    """
    record = lesson.record
    ticket = Record(LESSON, record.path.parent)
    if record.is_kept and (ticket.last(ITEM, HELD) or Record(EARLIER, record.path.parent).last(ITEM, HELD)):
        return show(page(steps))
    kept = "" if record.is_kept else "Your answers are not kept here: make a folder named answers beside the lessons."
    trouble = ticket.trouble() if record.lesson != LESSON else ""       # of its own record a lesson tells when it opens
    return show(_said(" ".join(each for each in (
        f"Shut. This page opens with the safety ticket, lesson {LESSON}. Then run this lesson again.",
        kept, trouble) if each)))


def page(steps):
    """Return cautions first, then the steps, as HTML."""
    lines, numbered = ("".join(f"<li>{escape(line)}</li>" for line in each) for each in ((BOARDS_ONLY, *CAUTIONS), steps))
    return f'<p><b>Before you touch a wire</b></p><ul>{lines}</ul><p><b>Then</b></p><ol>{numbered}</ol>'


def _said(sentence):
    return f'<div role="status" aria-live="polite"><p><b>{escape(sentence)}</b></p></div>'

"""The plain questions as widgets: a prediction, an observation, a sentence of one's own; and what every question has in common.

What opens, what is right and what is said, the lesson's book decides; here it
is shown, and what the book returns for the record is written down.
"""

import os
from html import escape

import ipywidgets as widgets

from ..teaching.book import CLOSED
from ..teaching.ladder import Refused
from ..teaching.paper import HOW_SURE, SURE
from .guard import Guard
from .spoken import outermost
from .stopped import picture_place

STATIC = "PIN_THIRTY_STATIC"     # environment variable: anything in it shows the paper twin in the place of the widgets


class Asked:
    """What every question has: its text, a commit button, a place for the reply.

    Parameters
    ----------
    record : Record
        Where answers are written down.
    book : Book
    item : str
        Which of its questions. [text]
    """

    def __init__(self, record, book, item):
        self.record, self._book, self.item, self.static = record, book, item, book.questions[item].static
        self._guard = Guard()
        self._button = widgets.Button(description="Commit", tooltip="Commit this answer", button_style="primary",
                                      layout=widgets.Layout(margin="8px 2px 2px"))   # set apart from the choices above it
        self._reply = widgets.HTML("")
        self._button.on_click(self._guard.watch(lambda _: self._clicked()))

    book = property(lambda self: self._book)
    asked = property(lambda self: self.book.questions[self.item])   # as data
    kind = property(lambda self: self.asked.kind)
    way = property(lambda self: self.book.ways[self.item])          # the learner's own way through it
    question = property(lambda self: self.way.words)
    is_answered = property(lambda self: self.way.is_answered)

    def _box(self, *asked):
        words = widgets.HTML(f"<p><b>{escape(self.question)}</b></p>")
        return outermost(words, *asked, self._button, self._reply, picture_place(self._guard.place))

    def _say(self, *sentences):
        self._reply.value = f'<div role="status" aria-live="polite">{"".join(f"<p>{each}</p>" for each in sentences if each)}</div>'

    @property
    def reply(self):
        """What the learner reads now, as HTML."""
        return self._reply.value

    def take_up(self):
        """Take up an earlier sitting; whatever goes wrong there is a sentence at this question and stops no other."""
        self._guard.watch(self.resume)()

    def on_paper(self):
        """Return the question as a plain form for print, without its answer. [HTML]"""
        return self.book.on_paper(self.item)

    def __repr__(self):
        return f"Question '{self.item}', {'answered' if self.is_answered else 'open'}"

    def __dir__(self):
        return ["item", "question", "kind", "reply", "is_answered", "commit", "on_paper", "view", "static"]

    def _repr_mimebundle_(self, **options):
        """Show the widgets; the paper twin rides along for a page that has none."""
        twin = {"text/plain": repr(self), "text/html": self.on_paper()}
        if self.static or os.environ.get(STATIC):
            return twin
        shown = self.view._repr_mimebundle_(**options)
        return (shown[0] | twin, shown[1]) if isinstance(shown, tuple) else shown | twin


class _Plain(Asked):
    """A question that is the same for everybody."""

    def resume(self):
        """Take up the answer of an earlier sitting, if there is one."""
        events = self.record.events(self.item, self.kind)
        reply = self.book.replay(self.item, events)
        if reply:
            self._take(reply, events[-1].get("confidence"))

    def commit(self, value, confidence=None):
        """Answer, and write the answer down; what the question does not take is said and not kept."""
        try:
            reply, line = self.book.commit(self.item, value, confidence)
        except Refused as refused:
            self._say(sentence(refused))
            return
        self._take(reply, confidence)
        self.record.add(**line)


class Question(_Plain):
    """One question with choices; see :class:`Lesson`."""

    def __init__(self, record, book, item):
        super().__init__(record, book, item)
        style = {"button_width": "auto", "description_width": "0px"}
        self._choice = widgets.ToggleButtons(options=self.asked.choices, value=None, style=style)
        self._sure = widgets.ToggleButtons(
            options=SURE, value="think so", description=HOW_SURE,
            style={"button_width": "auto", "description_width": "initial"}) if self.asked.with_confidence else None
        self._shown = widgets.HTML("")
        self.view = self._box(self._choice, *([self._sure] if self._sure else []))
        self.view.children += (self._shown,)
        if self.asked.reveal:
            self._say(CLOSED)

    choices = property(lambda self: self.asked.choices)

    def _clicked(self):
        if self._choice.value is None:
            self._guard.say("")
            self._say("Choose an answer, then press Commit.")
            return
        self.commit(self._choice.value, self._sure.value if self._sure else None)

    def _take(self, reply, confidence):
        value = self.way.answer
        self._choice.value = value
        if self.asked.reveal:
            self._shown.value = str(self.asked.reveal())
        said = f"You said: {escape(value)}" + (f" ({escape(confidence)})." if confidence else ".")
        judged, *told = reply.sentences
        key = f"<i>{escape(self.asked.key_idea)}</i>" if self.asked.key_idea else ""
        self._say(f"{said} {judged}", *map(escape, told), key)


class Note(_Plain):
    """A line in the learner's own words; see :meth:`Lesson.note`."""

    def __init__(self, record, book, item):
        super().__init__(record, book, item)
        self._typed = widgets.Textarea(placeholder="in your own words", continuous_update=False,
                                       layout=widgets.Layout(width="90%"))
        self.view = self._box(self._typed)

    def _clicked(self):
        self.commit(self._typed.value)

    def _take(self, reply, confidence):
        self._typed.value = str(self.way.answer)
        self._say(*reply.sentences)


def sentence(error):
    """Return what a refusal says, as a sentence of a page. [HTML]"""
    return escape(f"{str(error)[:1].upper()}{str(error)[1:]}")

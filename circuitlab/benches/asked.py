"""The plain questions as widgets: a prediction, an observation, a sentence of one's own; and what every question has in common.

What opens, what is right and what is said, the lesson's book decides; here it
is shown, and what the book returns for the record is written down.
"""

import os
from html import escape

import ipywidgets as widgets

from ..ground.errors import CircuitLabError
from ..teaching.book import CLOSED
from ..teaching.ladder import HALF, RIGHT, WRONG, Refused
from ..teaching.paper import HOW_SURE, SURE, USUAL
from .entries import OneOf, Single
from .guard import Guard
from .spoken import outermost
from .stopped import picture_place

# An answer is judged by a sign, a word and the form of a line, and by colour last.
WORDS = {RIGHT: "<b>\N{HEAVY CHECK MARK} Right.</b> ", HALF: "<b>\N{CIRCLE WITH LEFT HALF BLACK} Half right.</b> ",
         WRONG: "<b>\N{HEAVY BALLOT X} Not so.</b> "}
_LINES = {judged: f' style="border-left: 6px {line}; padding-left: 10px"' for judged, line in {
    RIGHT: "solid #1a7f37", HALF: "double #9a6700", WRONG: "dashed #cf222e"}.items()}
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
        self._guard, self._call = Guard(), lambda: None
        self._button = self._guard.button("Commit", lambda: self._clicked(), "Commit this answer",
                                          margin="8px 2px 2px")     # set apart from the choices above it
        self._button.button_style = "primary"
        self._reply, self._shown, self._sure = widgets.HTML(""), widgets.HTML(""), None

    book = property(lambda self: self._book)
    asked = property(lambda self: self.book.questions[self.item])   # as data
    kind = property(lambda self: self.asked.kind)
    way = property(lambda self: self.book.ways[self.item])          # the learner's own way through it
    question = property(lambda self: self.way.words)
    is_answered = property(lambda self: self.way.is_answered)
    entry = property(lambda self: self._entry)                      # its widgets: ``value`` and ``put(value)``
    reply = property(lambda self: self._reply.value)                # what the learner reads now, as HTML
    shown = property(lambda self: self._shown.value)                # what has opened below it, as HTML

    def _box(self, *asked):
        words = widgets.HTML(f"<p><b>{escape(self.question)}</b></p>")
        return outermost(words, *asked, self._button, self._reply, picture_place(self._guard.place))

    def _say(self, *sentences, judged=None):
        """Show sentences, those of a judged answer beside its line."""
        lines, line = "".join(f"<p>{each}</p>" for each in sentences if each), _LINES.get(judged, "")
        self._reply.value = f'<div role="status" aria-live="polite"{line}>{lines}</div>'

    @property
    def _key_idea(self):
        return f"<i>{escape(self.asked.key_idea)}</i>" if self.asked.key_idea and self.way.is_open else ""

    _said = ()      # the sentences that stay while a try is refused

    @property
    def _before(self):
        return ("<i>What follows was said of the try before:</i>", *self._said) if self._said else ()

    def _clicked(self):
        self.commit(self._entry.value, self._sure.value if self._sure else None)

    def commit(self, value, confidence=None, reason=None):
        """Answer, and write the answer down; what the question does not take is said and not kept."""
        try:
            reply, line = self.book.commit(self.item, value, confidence, reason)
        except Refused as refused:
            said = str(refused)
            self._say(escape(f"{said[:1].upper()}{said[1:]}"), *self._before)
            return
        except CircuitLabError:
            if self._said:
                self._say(*self._before)
            raise
        self._take(reply, confidence)
        self._write(line)

    def call_after(self, call):
        """Call a function without arguments after each answer."""
        self._call = call

    def _write(self, line):
        """Put a line into the record; the answer counts even where it cannot be written."""
        try:
            self.record.add(**line)
        finally:
            self._call()

    def resume(self):
        """Take up the answer of an earlier sitting, if there is one."""
        events = self.record.events(self.item, self.kind)
        reply = self.book.replay(self.item, events)
        if reply:
            self._take(reply, events[-1].get("confidence"))

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


class Question(Asked):
    """One question with choices; see :class:`Lesson`."""

    def __init__(self, record, book, item):
        super().__init__(record, book, item)
        self._entry = OneOf.of(self.asked.choices)
        sure = []
        if self.asked.with_confidence:
            self._sure = OneOf(SURE, value=USUAL)
            sure = [widgets.HTML(f"<div>{HOW_SURE}</div>"), self._sure.box]
        self.view = self._box(self._entry.box, *sure)
        self.view.children += (self._shown,)
        if self.asked.reveal:
            self._say(CLOSED)

    choices = property(lambda self: self.asked.choices)

    def _clicked(self):
        if self._entry.value is None:
            self._guard.say("")
            self._say("Choose an answer, then press Commit.")
            return
        super()._clicked()

    def _take(self, reply, confidence):
        value = self.way.answer
        self._entry.put(value)
        if self._sure:
            self._sure.put(confidence or USUAL)
        if self.asked.reveal:
            self._shown.value = str(self.asked.reveal())
        judged, *told = reply.sentences       # what was chosen stands above, and stays so
        self._say(f"{WORDS[reply.verdict]}{judged}", *map(escape, told), self._key_idea, judged=reply.verdict)


class Note(Asked):
    """A line in the learner's own words; see :meth:`Lesson.note`."""

    def __init__(self, record, book, item):
        super().__init__(record, book, item)
        self._entry = Single(widgets.Textarea(placeholder="in your own words", continuous_update=False,
                                              layout=widgets.Layout(width="90%")))
        self.view = self._box(self._entry.box)

    def _take(self, reply, confidence):
        self._entry.put(self.way.answer)
        self._say(*reply.sentences)

"""The plain questions: a prediction, an observation, a sentence of one's own; and what every question has in common."""

import os
from html import escape

import ipywidgets as widgets

from ..ground.errors import CircuitLabError, unknown_name
from ..teaching.paper import HOW_SURE, paper
from ..teaching.record_lines import sound
from ..teaching.task import stumbled
from .guard import Guard
from .spoken import outermost
from .stopped import picture_place

SURE = ("sure", "think so", "guess")
CLOSED = "Predict first: this opens when you have committed an answer."
STATIC = "PIN_THIRTY_STATIC"     # environment variable: anything in it shows the paper twin in the place of the widgets


class Asked:
    """What every question has: its text, a commit button, a place for the reply."""

    kind = ""
    static = False      # whether to show the paper twin, not the widgets

    def __init__(self, record, item, question):
        self.record, self.item, self.question = record, item, question
        self.is_answered = False
        self._guard = Guard()
        self._button = widgets.Button(description="Commit", tooltip="Commit this answer", button_style="primary",
                                      layout=widgets.Layout(margin="8px 2px 2px"))   # set apart from the choices above it
        self._reply = widgets.HTML("")
        self._button.on_click(self._guard.watch(lambda _: self._clicked()))

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

    def resume(self):
        """Take up the answer of an earlier sitting, if there is one."""
        event = self.record.last(self.item, self.kind)
        if event:
            try:
                self.answer(event.get("answer"), event.get("confidence"))
            except CircuitLabError:
                pass  # an answer of another version: ask again

    def commit(self, value, confidence=None):
        """Answer, and write the answer down."""
        value = sound(value)
        right = self.answer(value, confidence)
        self.record.add(self.item, self.kind, answer=value, confidence=confidence, right=right)

    def _shows(self, truth):
        """Return what the circuit shows, or raise a sentence that holds nothing of the sum that failed."""
        try:
            return truth()
        except CircuitLabError:
            raise
        except Exception as error:      # its own words could say what is sought
            kind = type(error).__name__
        raise stumbled(self.item, kind)

    def on_paper(self):
        """Return the question as a plain form for print, without its answer. [HTML]"""
        return paper(self.item, self.question, [])

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

    def __init__(self, record, item, kind, question, choices, truth, reveal=None, key_idea="", with_confidence=False,
                 opens_after=None):
        super().__init__(record, item, question)
        self.kind, self.choices, self._replies = kind, tuple(choices), dict(choices)
        self._truth, self._reveal, self._key_idea = truth, reveal, key_idea
        self._after = opens_after
        style = {"button_width": "auto", "description_width": "0px"}
        self._choice = widgets.ToggleButtons(options=self.choices, value=None, style=style)
        self._sure = widgets.ToggleButtons(
            options=SURE, value="think so", description=HOW_SURE,
            style={"button_width": "auto", "description_width": "initial"}) if with_confidence else None
        self._shown = widgets.HTML("")
        self.view = self._box(self._choice, *([self._sure] if self._sure else []))
        self.view.children += (self._shown,)
        if reveal:
            self._say(CLOSED)

    def on_paper(self):
        """Return the choices as boxes to tick."""
        return paper(self.item, self.question, [("", self.choices)], SURE if self._sure else ())

    def _clicked(self):
        if self._choice.value is None:
            self._guard.say("")
            self._say("Choose an answer, then press Commit.")
            return
        self.commit(self._choice.value, self._sure.value if self._sure else None)

    def answer(self, value, confidence=None):
        """Take an answer and show what follows from it; returns whether it was right."""
        if value not in self.choices:
            raise unknown_name(f"question '{self.item}'", "choice", value, self.choices)
        if self._after is not None and not self._after.is_answered:
            self._say(CLOSED)
            return None
        self._choice.value, self.is_answered = value, True
        right = value == self._shows(self._truth)
        if self._reveal:
            self._shown.value = str(self._reveal())
        said = f"You said: {escape(value)}" + (f" ({escape(confidence)})." if confidence else ".")
        judged = {"predicted": "That is what happens." if right else "Compare it with the result below.",
                  "observed": "That agrees with the circuit." if right else "Look again."}[self.kind]
        self._say(said + " " + judged, "" if right else escape(self._replies[value]),
                  f"<i>{escape(self._key_idea)}</i>" if self._key_idea else "")
        return right


class Note(Asked):
    """A line in the learner's own words; see :meth:`Lesson.note`."""

    kind = "noted"

    def __init__(self, record, item, question):
        super().__init__(record, item, question)
        self._typed = widgets.Textarea(placeholder="in your own words", continuous_update=False,
                                       layout=widgets.Layout(width="90%"))
        self.view = self._box(self._typed)

    def on_paper(self):
        """Return lines to write on."""
        return paper(self.item, self.question, [("_" * 60, ())] * 3)

    def _clicked(self):
        self.commit(self._typed.value)

    def answer(self, value, confidence=None):
        """Keep a sentence; there is nothing to be right or wrong about."""
        if not isinstance(value, (str, int, float)) or not str(value or "").strip():
            self._say("Write a sentence first, then press Commit.")
            return None
        self._typed.value, self.is_answered = str(value), True
        self._say("Kept.")
        return None

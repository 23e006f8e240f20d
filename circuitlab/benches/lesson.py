"""What a lesson asks: predict first, then see, then say what was seen, then check.

Every question shows its result only once an answer has been committed. The
right answer is worked out from the circuit when it is needed; it is written
down nowhere. A wrong choice gets the reply written for that very idea.
"""

from html import escape

import ipywidgets as widgets

from ..ground.errors import CircuitLabError, unknown_name
from ..ground.quantities import read_quantity
from .guard import Guard
from .record import Record

SURE = ("sure", "think so", "guess")
CLOSED = "Predict first: this opens when you have committed an answer."


class Lesson:
    """The questions of one lesson and the record of their answers.

    Parameters
    ----------
    number : str
        Of the lesson, such as ``"11"``. [text]
    folder : str or Path, optional
        Where to keep the record; see :class:`~circuitlab.benches.record.Record`.
    """

    def __init__(self, number, folder=None):
        from .. import __version__

        self.record = Record(number, folder, __version__)
        self.questions = {}

    def predict(self, item, question, choices, truth, reveal=None, key_idea=""):
        """Ask for a prediction; the result stays shut until it is committed.

        Parameters
        ----------
        item : str
            Short name of the question, unique in the lesson. [text]
        question : str
            What will happen? [text]
        choices : dict of str to str
            Each answer, and the reply to whoever chose it wrongly: what that
            idea would show, and where to look. Never the right value. [text]
        truth : callable
            Without arguments; returns the right choice, worked out from the circuit.
        reveal : callable, optional
            Returns what to show then: text, SVG or HTML.
        key_idea : str
            One sentence shown after the result. [text]
        """
        return self._ask(Question(self.record, item, "predicted", question, choices, truth, reveal, key_idea, True))

    def observe(self, item, question, choices, truth, after=None):
        """Ask what was really seen; ``after`` names a prediction that must be committed first."""
        return self._ask(Question(self.record, item, "observed", question, choices, truth,
                                  opens_after=self.questions.get(after)))

    def check(self, item, question, choices, truth, key_idea=""):
        """Ask a closing question; may be tried again, a wrong try gets its own reply."""
        return self._ask(Question(self.record, item, "checked", question, choices, truth, key_idea=key_idea))

    def reading(self, item, question, unit, truth, tolerance, hint):
        """Ask for a number with its unit, such as a meter would show.

        Parameters
        ----------
        unit : str
            As :func:`~circuitlab.read_quantity` takes it. [text]
        truth : callable
            Returns the number, worked out from the circuit. [unit]
        tolerance : float
            How far off still counts. [unit]
        hint : callable
            Gets the number that was typed and returns where to look; not the value. [text]
        """
        return self._ask(Reading(self.record, item, question, unit, truth, tolerance, hint))

    def note(self, item, question):
        """Ask for a sentence of the learner's own; it is kept, not marked."""
        return self._ask(Note(self.record, item, question))

    def answer(self, item, value, confidence="think so"):
        """Commit an answer from code, as the widget's button does.

        Raises
        ------
        UnknownName
            For a question or choice that is not there.
        """
        if item not in self.questions:
            raise unknown_name(f"lesson {self.record.lesson}", "question", item, self.questions)
        self.questions[item].commit(value, confidence)
        return self.questions[item]

    def progress(self):
        """Return how many of the lesson's questions have an answer, in words."""
        done = sum(question.is_answered for question in self.questions.values())
        kept = f"kept in {self.record.path.name}" if self.record.is_kept else "kept only while this page is open"
        return f"{done} of {len(self.questions)} questions answered, {kept}."

    def _ask(self, question):
        self.questions[question.item] = question
        question.resume()
        return question


class _Asked:
    """What every question has: its text, a commit button, a place for the reply."""

    kind = ""

    def __init__(self, record, item, question):
        self.record, self.item, self.question = record, item, question
        self.is_answered = False
        self._guard = Guard()
        self._button = widgets.Button(description="Commit", tooltip="Commit this answer")
        self._reply = widgets.HTML("")
        self._button.on_click(self._guard.watch(lambda _: self._clicked()))

    def _box(self, *asked):
        words = widgets.HTML(f"<p><b>{escape(self.question)}</b></p>")
        return widgets.VBox([words, *asked, self._button, self._reply, self._guard.place])

    def _say(self, *sentences):
        self._reply.value = f'<div role="status" aria-live="polite">{"".join(f"<p>{each}</p>" for each in sentences if each)}</div>'

    @property
    def reply(self):
        """What the learner reads now, as HTML."""
        return self._reply.value

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
        right = self.answer(value, confidence)
        self.record.add(self.item, self.kind, answer=value, confidence=confidence, right=right)

    def _repr_mimebundle_(self, **options):
        return self.view._repr_mimebundle_(**options)


class Question(_Asked):
    """One question with choices; see :class:`Lesson`."""

    def __init__(self, record, item, kind, question, choices, truth, reveal=None, key_idea="", with_confidence=False,
                 opens_after=None):
        super().__init__(record, item, question)
        self.kind, self.choices, self.truth, self.reveal, self.key_idea = kind, dict(choices), truth, reveal, key_idea
        self._after = opens_after
        style = {"button_width": "auto", "description_width": "0px"}
        self._choice = widgets.ToggleButtons(options=list(self.choices), value=None, style=style)
        self._sure = widgets.ToggleButtons(options=SURE, value="think so", description="how sure?",
                                           style={"button_width": "auto"}) if with_confidence else None
        self._shown = widgets.HTML("")
        self.view = self._box(self._choice, *([self._sure] if self._sure else []))
        self.view.children += (self._shown,)
        if reveal:
            self._say(CLOSED)

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
        right = value == self.truth()
        if self.reveal:
            self._shown.value = str(self.reveal())
        said = f"You said: {escape(value)}" + (f" ({escape(confidence)})." if confidence else ".")
        judged = {"predicted": "That is what happens." if right else "Compare it with the result below.",
                  "observed": "That agrees with the circuit." if right else "Look again.",
                  "checked": "Right." if right else "Not this one."}[self.kind]
        self._say(said + " " + judged, "" if right else escape(self.choices[value]),
                  f"<i>{escape(self.key_idea)}</i>" if self.key_idea and (right or self.kind == "predicted") else "")
        return right


class Reading(_Asked):
    """One question for a number; see :meth:`Lesson.reading`."""

    kind = "read"

    def __init__(self, record, item, question, unit, truth, tolerance, hint):
        super().__init__(record, item, question)
        self.unit, self.truth, self.tolerance, self.hint = unit, truth, tolerance, hint
        self._typed = widgets.Text(placeholder=f"a number of {unit}", description=f"{unit}:",
                                   continuous_update=False)
        self.view = self._box(self._typed)

    def _clicked(self):
        self.commit(self._typed.value)

    def answer(self, value, confidence=None):
        """Take a typed quantity; returns whether it is near enough."""
        number = read_quantity(value, self.unit)
        self._typed.value, self.is_answered = str(value), True
        right = abs(number - self.truth()) <= self.tolerance
        self._say(f"You read {escape(str(value))}. " + ("The circuit agrees." if right else escape(self.hint(number))))
        return right


class Note(_Asked):
    """A line in the learner's own words; see :meth:`Lesson.note`."""

    kind = "noted"

    def __init__(self, record, item, question):
        super().__init__(record, item, question)
        self._typed = widgets.Textarea(placeholder="in your own words", layout=widgets.Layout(width="90%"))
        self.view = self._box(self._typed)

    def _clicked(self):
        self.commit(self._typed.value)

    def answer(self, value, confidence=None):
        """Keep a sentence; there is nothing to be right or wrong about."""
        if not str(value or "").strip():
            self._say("Write a sentence first, then press Commit.")
            return None
        self._typed.value, self.is_answered = str(value), True
        self._say("Kept.")
        return None

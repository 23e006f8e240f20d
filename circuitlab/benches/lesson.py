"""What a lesson asks: predict first, then see, then say what was seen, then check.

A prediction and an observation are committed once; then the result opens, and
a wrong choice gets the reply written for that very idea. Whatever is checked
climbs the ladder of help. The right answer is worked out from the circuit when
it is needed; it is written down nowhere.
"""

from ..ground.arguments import FOLDER, must_be
from ..ground.calls import answering
from ..ground.errors import unknown_name
from ..parts.making import Maker
from ..teaching.asking import TaskQuestions
from ..teaching.seeds import read_code
from .asked import CLOSED, SURE, Note, Question
from .laddered import Laddered
from .record import Record

__all__ = ["CLOSED", "Lesson", "Note", "Question", "SURE"]


@answering
class Lesson(TaskQuestions, metaclass=Maker):
    """The questions of one lesson and the record of their answers.

    Parameters
    ----------
    number : str
        Of the lesson, such as ``"11"``. [text]
    folder : str or Path, optional
        Where to keep the record; see :class:`~circuitlab.benches.record.Record`.
    code : str, optional
        Issued by a teacher: the questions with variants then ask the learner's own. Without one
        the seeds are open and count from 1. [text]
    static : bool
        Show every question as a plain form for print. The environment variable ``PIN_THIRTY_STATIC`` does the same.
    """

    def __init__(self, number, folder=None, code=None, static=False):
        from .. import __version__

        if folder is not None:
            must_be(folder, FOLDER, "folder", "Lesson")
        self.record = Record(number, folder, __version__)
        self.code = read_code(code) if code else None
        self.static = static
        self.questions = {}
        trouble = self.record.trouble()
        if trouble:
            print(trouble)      # once, below the cell that opens the lesson

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

    def note(self, item, question):
        """Ask for a sentence of the learner's own; it is kept, not marked."""
        return self._ask(Note(self.record, item, question))

    def answer(self, item, value, confidence="think so", reason=None):
        """Commit an answer from code, as the widget's button does.

        Parameters
        ----------
        item : str
            The question. [text]
        value : str, dict or list
            As the question takes it: a choice, a typed number, ``{lamp: [look for each row]}``,
            ``{item: group}``, items in their order, or lines of connections.
        confidence, reason : str, optional
            How sure, and one of the reasons offered. [text]

        Raises
        ------
        UnknownName
            For a question, a choice or a word for how sure that is not there.
        """
        if item not in self.questions:
            raise unknown_name(f"lesson {self.record.lesson}", "question", item, self.questions)
        if confidence not in (None, *SURE):
            raise unknown_name(f"question '{item}'", "word for how sure", confidence, SURE)
        more = {} if reason is None else {"reason": reason}
        self.questions[item].commit(value, confidence, **more)
        return self.questions[item]

    def progress(self):
        """Return how many of the lesson's questions have an answer, in words."""
        done = sum(question.is_answered for question in self.questions.values())
        kept = f"kept in {self.record.path.name}" if self.record.is_kept else "kept only while this page is open"
        return f"{done} of {len(self.questions)} questions answered, {kept}."

    def _asked(self, task, more):
        """Give a task its widgets."""
        more = dict(more)
        after, confidence = more.pop("after", None), more.pop("confidence", False)
        static = more.pop("static", False)
        asked = Laddered(self.record, task, self.code, opens_after=self.questions.get(after), with_confidence=confidence,
                         **more)
        asked.static = static
        return self._ask(asked)

    def _ask(self, question):
        question.static = question.static or self.static
        self.questions[question.item] = question
        question.take_up()
        return question

"""What a lesson asks: predict first, then see, then say what was seen, then check.

A prediction and an observation are committed once; then the result opens, and
a wrong choice gets the reply written for that very idea. Whatever is checked
climbs the ladder of help. The right answer is worked out from the circuit when
it is needed; it is written down nowhere.
"""

from IPython.display import display

from ..ground.arguments import FOLDER, checked, must_be
from ..ground.calls import answering
from ..ground.errors import unknown_name
from ..parts.making import Maker
from ..teaching.asking import Asking
from ..teaching.book import CLOSED, Book
from ..teaching.paper import SURE
from ..teaching.seeds import issue_code
from .asked import Note, Question
from .code_box import CodeBox, kept_code
from .laddered import Laddered
from .progress import Progress
from .record import Record
from .slips import listen, set_back
from .ticket import safety_ticket, workbench

__all__ = ["CLOSED", "Lesson", "Note", "Question", "SURE"]
_SHOWN = {"tried": Laddered, "noted": Note}


@answering
class Lesson(Asking, metaclass=Maker):
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

    >>> lesson = Lesson("07")
    >>> question = lesson.note("seen", "What did you see?")
    >>> list(lesson.questions)
    ['seen']
    """

    def __init__(self, number, folder=None, code=None, static=False):
        from .. import __version__

        if folder is not None:
            must_be(folder, FOLDER, "folder", "Lesson")
        self.record = Record(number, folder, __version__)
        self.book = Book(number, code or kept_code(self.record))
        self.static = static
        self.questions, self._progress = {}, []
        if listen(self.record.lesson):
            display(self.progress(self.code_box().view))
        trouble = self.record.trouble()
        if trouble:
            print(trouble)      # once, below the cell that opens the lesson

    def __dir__(self):
        return [name for name in super().__dir__() if name != "book"]       # it holds the answers: nobody shall meet it by Tab

    def answer(self, item, value, confidence="think so", reason=None):
        """Commit an answer from code, as the widget's button does.

        Parameters
        ----------
        item : str
            The question. [text]
        value : str, dict or list
            As the question takes it: a choice, a typed number, ``{lamp: [look for each row]}``,
            ``{item: group}``, items in their order, lines of connections, or a circuit as the text of its file.
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
        self.questions[item].commit(value, confidence, reason)
        return self.questions[item]

    safety_ticket, workbench, set_back = checked(safety_ticket, 1), checked(workbench, 1), checked(set_back, 1)

    def issue_code(self, secret, label):
        """Return the code of one learner in this lesson; see :func:`circuitlab.teaching.seeds.issue_code`. [text]"""
        return issue_code(secret, self.record.lesson, label)

    def code_box(self):
        """Return the box in which an issued code is entered. [CodeBox]"""
        return CodeBox(self)

    def use_code(self, code):
        """Ask the checks with the numbers of an issued code from now on. [text]"""
        self.book.use_code(code)
        for question in self.questions.values():
            if isinstance(question, Laddered):
                question.anew()
        self._count()

    def progress(self, beside=None):
        """Return how many of the lesson's questions are answered, tried and open, and the credit; where it is shown it counts on. [Progress]"""
        kept = f"kept in {self.record.path.name}" if self.record.is_kept else "kept only while this page is open"
        self._progress.append(Progress(self.book, kept, beside))
        return self._progress[-1]

    def show_progress(self):
        """Show :meth:`progress` below a cell that shows something else last."""
        display(self.progress())

    def _count(self):
        for each in self._progress:
            each.tell()
        for board, asked in self._wired().values():
            board.task = next((each.question for each in asked if not each.way.is_closed), "")

    def _wired(self):
        """Return each board on which something is asked to be wired, and the questions that ask it, in their order."""
        found = {}
        for each in self.questions.values():
            board = getattr(each.way.posed.kind, "board", None) if isinstance(each, Laddered) else None
            if board and hasattr(made := board(), "task"):
                found.setdefault(id(made), (made, []))[1].append(each)
        return found

    def keep(self, question):
        """Put a question into the lesson's book and give it its widgets, as an earlier sitting left them."""
        self.book.keep(question)
        shown = _SHOWN.get(question.kind, Question)(self.record, self.book, question.item)
        shown.static = question.static or self.static
        self.questions[question.item] = shown
        shown.call_after(self._count)
        shown.take_up()
        self._count()
        return shown

"""What a lesson can ask, each question one line in a cell: predictions and notes, and checks with variants, ideas and help."""

from dataclasses import replace

from ..ground.calls import answering
from ..ground.errors import ArrangementError, shown, unknown_name
from ..views.build_sheet.page import CAUTIONS
from .ideas import Idea
from .kinds import BlankTable, Choice, Lines, Number, Sort, Wired
from .kinds.blank_table import LOOKS
from .questions import Check, Plain
from .task import Task
from .variants import variants_of

MORE = ("ideas", "where", "principle", "steps", "reveal", "key_idea", "after", "confidence", "once", "static")


@answering
class Asking:
    """What a lesson can ask; whoever inherits it says in ``keep`` what becomes of a question.

    Every method but ``cautions`` and the first three questions takes ``circuit``, an arrangement or its variants from
    :func:`~circuitlab.teaching.vary`, and these by name:

    ideas : sequence of Idea
        From :func:`~circuitlab.teaching.idea`; they make replies, reasons and the steps of the ladder.
    where, principle, steps : str or callable
        Where to look, the principle, and how a worked twin is worked, in the question's own words. [text]
    reveal : callable
        Gets the circuit and the picks; what to show when the question is closed.
    key_idea : str
        One sentence shown then. [text]
    after : str
        A question that must have an answer first. [text]
    confidence : bool
        Whether to ask how sure.
    once : bool
        A prediction: one try, then ``reveal`` opens whatever was said.
    static : bool
        Show the plain form for print.

    Callables get the circuit, and the picks of its variants by name: ``lambda cart: ...`` or
    ``lambda cart, side: ...``. Texts, rows and names may hold picks: ``"the {side} lamp"``.
    """

    def cautions(self):
        """Return the short caution block that heads every build sheet, line by line. [text]"""
        return CAUTIONS

    def predict(self, item, question, choices, truth, reveal=None, key_idea=""):
        """Ask for a prediction; the result stays shut until it is committed.

        Parameters
        ----------
        item : str
            Short name of the question, unique in the lesson. [text]
        question : str
            What will happen? [text]
        choices : dict of str to str or Idea
            Each answer, and the reply to whoever chose it wrongly: what that
            idea would show, and where to look. Never the right value. An idea,
            ``cl.idea("M6", would="...")``, replies with its ``would``. [text]
        truth : callable
            Without arguments; returns the right choice, worked out from the circuit.
        reveal : callable, optional
            Returns what to show then: text, SVG or HTML.
        key_idea : str
            One sentence shown after the result. [text]
        """
        return self.keep(Plain(item, "predicted", question, truth, choices, reveal=reveal, key_idea=key_idea))

    def observe(self, item, question, choices, truth, after=None):
        """Ask what was really seen; ``after`` names a prediction that must be committed first."""
        return self.keep(Plain(item, "observed", question, truth, choices, after))

    def note(self, item, question):
        """Ask for a sentence of the learner's own; it is kept, not marked."""
        return self.keep(Plain(item, "noted", question))

    def ask(self, task, **more):
        """Ask a question that is there as data, a :class:`~circuitlab.teaching.Task`."""
        if not isinstance(task, Task):
            raise ArrangementError(f"a lesson asks a question with variants, not {shown(task)}. Write lesson.choose(...) or one of its like.")
        return self.keep(Check(task, **_known(more, MORE[4:])))

    def grid(self, item, question, circuit, rows, lamps=None, looks=LOOKS, **more):
        """Ask for the look of each lamp in chosen rows; the circuit is the key.

        Parameters
        ----------
        rows : sequence of dict of str to str
            Control positions; controls not named rest. [text]
        lamps : sequence of str, optional
            All of the circuit when not given. [text]
        """
        kind = BlankTable.of(variants_of(circuit).base, rows, lamps, looks)
        return self._task(item, question, kind, circuit, None, more)

    def measure(self, item, question, circuit, unit, truth, within=0.02, **more):
        """Ask for a reading with its unit; ``truth`` gets the circuit and returns it, None for floating.

        Parameters
        ----------
        within : float
            What share of itself it may be off; neighbouring variants must differ by more. [1]
        """
        return self._task(item, question, Number(unit, within), circuit, truth, more)

    def choose(self, item, question, circuit, options, truth, **more):
        """Ask for one of a few answers; ``truth`` gets the circuit and returns the right one.

        Parameters
        ----------
        options : sequence of str, or dict of str to str, callable or Idea
            The answers. In a dict each with its reply: what would be seen if it were so, true whichever answer is right.
            A reply that asks nothing is told to the right one as well; else the principle is. An idea,
            ``cl.idea("M6", would="...")``, replies with its ``would``, and whoever chooses its answer wrongly counts as
            having it. Three or more, or there is no third try. [text]
        """
        ideas = [replace(said, reads_as=option) for option, said in _items(options) if isinstance(said, Idea)]
        replies = tuple(said.would if isinstance(said, Idea) else said for _, said in _items(options))
        more["ideas"] = [*ideas, *more.get("ideas", ())]
        return self._task(item, question, Choice(tuple(options), replies=replies), circuit, truth, more)

    def sort(self, item, question, circuit, items, groups, truth, **more):
        """Ask to put items into two or three groups; ``truth`` gets the circuit and an item and returns its group."""
        return self._task(item, question, Sort(tuple(items), tuple(groups)), circuit, truth, more)

    def connect(self, item, question, circuit, **more):
        """Ask for a connection list in typed lines; the circuit's own wires are the key, compared as nets."""
        return self._task(item, question, Lines(variants_of(circuit).base), circuit, None, more)

    def wire(self, item, question, circuit, board, by="rows", **more):
        """Ask for a circuit to be wired on a board; what is wired there when it is committed is the answer, and the circuit the key.

        Parameters
        ----------
        board : callable
            Without arguments; returns the board of the lesson, ``lambda: bench``.
        by : {"rows", "nets"}
            Whether every lamp shall do in every row what it does in the key, or whether the same terminals shall be
            joined; names and order do not count. A key that keeps its own rule asks for that as well. [text]
        """
        return self._task(item, question, Wired(variants_of(circuit).base, by, board), circuit, None, more)

    def _task(self, item, question, kind, circuit, truth, more):
        """Make the task and keep its question."""
        more = dict(_known(more, MORE))
        said = {name: more.pop(name) for name in ("ideas", "where", "principle", "steps") if name in more}
        return self.ask(Task(item, question, kind, circuit, truth, **said), **more)


def _known(more, names):
    """Return what a question is given by name, or raise for a name no question takes."""
    for name in more:
        if name not in names:
            raise unknown_name("a question", "argument", name, names)
    return more


def _items(options):
    """Return (option, reply) pairs of a dict of replies, and none of a plain sequence."""
    return tuple(options.items()) if hasattr(options, "items") else ()

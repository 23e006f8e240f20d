"""The questions of a lesson as data, and one learner's way through each that is the same for everybody.

A plain one is answered once and gets the reply to its choice; a check climbs
the ladder of help, and its way is a :class:`~circuitlab.teaching.ladder.Ladder`.
"""

from functools import cache, cached_property
from hashlib import sha256

from ..ground.errors import unknown_name
from .ideas import Idea
from .ladder import RIGHT, WRONG, Ladder, Refused, Reply, Way
from .task import worked_out

_JUDGED = {"predicted": ("Compare it with the result below.", "That is what happens."),
           "observed": ("Look again.", "That agrees with the circuit.")}
_RULED = [("_" * 60, ())] * 3      # to write on


class Plain:
    """A question that is the same for everybody: a prediction, an observation, a sentence of one's own.

    Attributes
    ----------
    item, kind, question : str
        Short name, what its line in the record says (predicted, observed, noted), its words. [text]
    truth : callable
        Returns what the circuit shows, worked out once. [text]
    replies : dict of str to str
        Each choice, and what whoever chose it wrongly is told. [text]
    probed : tuple of Idea
        The wrong ideas it looks for.
    ideas : dict of str to str
        Codes of the ideas that choices speak of. [text]
    after : str or None
        The question that must have an answer first. [text]
    reveal : callable or None
        Returns what is shown once it is answered.
    key_idea : str
        One sentence shown then. [text]
    earns : bool
        Whether it earns credit: checks do.
    is_own : bool
        Whether the answer hangs on a cell the learner edits, so that nobody else can mark it.
    """

    is_own = static = earns = False

    def __init__(self, item, kind, question, truth=None, choices=(), after=None, reveal=None, key_idea=""):
        self.item, self.kind, self.question, self.after = item, kind, question, after
        self.truth = cache(lambda: worked_out(item, truth))
        said = dict(choices)
        self.replies = {choice: reply.would if isinstance(reply, Idea) else reply for choice, reply in said.items()}
        self.probed = tuple(reply for reply in said.values() if isinstance(reply, Idea))
        self.ideas = {choice: reply.code for choice, reply in said.items() if isinstance(reply, Idea)}
        self.choices, self.reveal, self.key_idea = tuple(said), reveal, key_idea
        self.with_confidence = kind == "predicted"

    def __repr__(self):
        return f"question '{self.item}'"

    @cached_property
    def fingerprint(self):
        """What is asked, in sixteen letters: an answer hangs on it. Replies and what is shown may get better words. [text]"""
        return _fingerprint(self.kind, self.question, *sorted(self.choices))

    def is_right(self, answer):
        """Tell whether an answer agrees with the circuit, None for one that is only kept; raise for one it does not take."""
        if self.kind == "noted":
            if not isinstance(answer, (str, int, float)) or not str(answer or "").strip():
                raise Refused("write a sentence first, then press Commit.")
            return None
        self.check(answer)
        return answer == self.truth()

    def check(self, answer):
        """Raise for a choice that is not there."""
        if answer not in self.choices:
            raise unknown_name(f"question '{self.item}'", "choice", answer, self.choices)

    def key(self):
        """Return the right answer in words. [text]"""
        return "in the learner's own words" if self.kind == "noted" else self.truth()

    def way(self, code=None):
        """Return a learner's way through it. [Once]"""
        return Once(self)


class Once(Way):
    """One learner's way through a plain question.

    Attributes
    ----------
    answer : str or None
        The last one that was taken. [text]
    """

    answer = None

    def __init__(self, question):
        self.question = question

    is_answered = property(lambda self: self.answer is not None)
    is_open = is_answered                   # whether its result may be seen

    @property
    def is_done(self):
        """Whether nothing is left to do: what was looked at otherwise than it is wants a second look. [yes/no]"""
        return self.is_answered and (self.question.kind != "observed" or self.question.is_right(self.answer))

    def commit(self, given, reason=None):
        """Take an answer and return the reply; raise a sentence for one the question does not take."""
        question = self.question
        if reason is not None:
            raise Refused("this question asks for no reason.")
        right = question.is_right(given)
        self.answer = given
        if right is None:
            return Reply(None, None, None, 0.0, ("Kept.",))
        told = "" if right else question.replies[given]
        return Reply(right, None, None if right else question.ideas.get(given), float(right),
                     tuple(filter(None, (_JUDGED[question.kind][right], told))), RIGHT if right else WRONG)

    def event(self, reply, given, reason):
        """Return what the record keeps of an answer beside the answer itself."""
        return {"event": self.question.kind, "right": reply.right} | ({"idea": reply.idea} if reply.idea else {})

    def again(self, event, last):
        """Take the answer of an event of a record; return the reply, ``last`` for an event of another form."""
        return self.commit(event.get("answer")) if event["event"] == self.question.kind else last

    words = property(lambda self: self.question.question)       # as they stand on the page
    reasons = ()

    @property
    def boxes(self):
        """What to print for a pencil: ``(label, choices)`` pairs, or lines to write on."""
        return _RULED if self.question.kind == "noted" else [("", self.question.choices)]


class Check:
    """A question that is checked and climbs the ladder of help; it has the attributes of a plain one.

    Attributes
    ----------
    task : Task
        The question as data.
    once : bool
        A prediction: one try, then the result opens whatever was said.
    """

    kind, is_own = "tried", False
    probed = property(lambda self: self.task.ideas)
    earns = property(lambda self: not self.once)

    def __init__(self, task, after=None, once=False, reveal=None, key_idea="", confidence=False, static=False):
        self.item, self.task, self.after, self.once = task.item, task, after, once
        self.reveal, self.key_idea, self.with_confidence, self.static = reveal, key_idea, confidence, static

    __repr__ = Plain.__repr__

    @property
    def question(self):
        """Its words, those of the first variant where they differ. [text]"""
        return self.task.pose(self.task.variants.of(1)).question

    @cached_property
    def fingerprint(self):
        """What is asked, in sixteen letters, by its first variant. [text]"""
        return _fingerprint(self.kind, *self.task.pose(self.task.variants.of(1)).asked)

    def check(self, answer):
        """Nothing is said of a try before it is open."""

    def way(self, code=None):
        """Return a learner's way through it. [Ladder]"""
        return Ladder(self.task, code, once=self.once)


def shared_key(question):
    """Return what is right of a plain question for everybody, in words; of one that nobody else can mark, what it depends on. [text]"""
    return "depends on what the learner chose in the lesson" if question.is_own else question.key()


def _fingerprint(*asked):
    return sha256("\n".join(map(str, asked)).encode("utf-8", "replace")).hexdigest()[:16]

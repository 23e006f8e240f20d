"""The ladder of help: one step for each try, the key at the very end, and a fresh variant for credit.

A wrong answer is first taken at its word (what would be seen if it were so),
then gets a place to look, then the principle. After three wrong tries a
worked twin opens, and behind it the key. No step before the key holds the
value, the tolerance, or the way it is worked out.
"""

from contextlib import suppress
from dataclasses import dataclass

from ..ground.errors import CircuitLabError
from .credit import RULE, Earned
from .seeds import seed_of

RIGHT, HALF, WRONG = "right", "half right", "wrong"
TRIES = 3          # wrong ones before twin and key open
NO_ANSWER = (CircuitLabError, TypeError, ValueError, AttributeError, LookupError, ArithmeticError, RecursionError)
"""What a question raises for an answer that somebody wrote into a record by hand, or that an earlier kit took."""


@dataclass(frozen=True)
class Reply:
    """What a try was answered with.

    Attributes
    ----------
    right : bool
    step : int or None
        Which step of the ladder a wrong answer got: 0, 1 or 2.
    idea : str or None
        Code of the idea that leads to the answer.
    credit : float
        What the question has earned so far, in all its variants.
    sentences : tuple of str
        Plain text.
    verdict : str or None
        RIGHT, HALF where the answer is right and the reason given is not, WRONG; None for what is only kept. [text]
    """

    right: bool
    step: int | None
    idea: str | None
    credit: float
    sentences: tuple
    verdict: str | None = None


class Refused(CircuitLabError, ValueError):
    """A try that is not counted: nothing was changed, or a reason is missing."""


class Way:
    """One learner's way through one question: it has ``commit``, and ``again`` for each event of a record."""

    is_answered = is_done = False

    def replay(self, events):
        """Take up what a record holds and return the last reply or help, or None.

        Parameters
        ----------
        events : iterable of dict
            Of this question, oldest first. Those that no longer fit, as of another version, are left out.
        """
        last = None
        for event in events:
            with suppress(*NO_ANSWER):
                last = self.again(event, last)
        return last


class Ladder(Way):
    """One learner's way through one question.

    Parameters
    ----------
    task : Task
    code : str, optional
        Issued code; without one the seeds are open. [text]
    first : int, optional
        Seed to begin with in the place of the code's own, to take up a record without its code. [1]
    once : bool
        A prediction: one try, and no help.
    earned : Earned, optional
        To go on counting, with a variant of its own for each ladder.

    Attributes
    ----------
    task : Task
        The question as data.
    posed : Posed
        The question as it stands.
    tries : list of dict
        Those counted in this variant: answer as it was given, reason, right, step.
    is_answered, is_done : bool
        Whether there was a try in any variant, and a right one; any try, where there is only one.
    """

    def __init__(self, task, code=None, first=None, once=False, earned=None):
        self.task, self._first = task, seed_of(code, task.item, 0) if first is None else first
        self._once, self._turn, self.earned = once, -1, earned or Earned(task, once)
        self._renew()

    def __repr__(self):
        return f"question '{self.task.item}', seed {self.seed}, {len(self.tries)} tries"

    def __dir__(self):
        return ["commit", "help", "renew", "replay", "seed", "tries", "posed", "is_right", "is_closed", "is_open",
                "is_answered", "next_help", "can_renew", "credit", "earned", "words", "boxes", "reasons"]

    def _renew(self):
        self._turn += 1
        self.seed = self._first + self._turn
        self.posed = self.task.pose(self.task.variants.of(self.seed))
        self.tries, self._shown, self._last = [], [], None

    # ------------------------------------------------------------------ where it stands

    @property
    def is_right(self):
        """Whether the variant has been answered rightly, before its key was shown."""
        return bool(self.tries) and self.tries[-1]["right"]

    @property
    def is_closed(self):
        """Whether there is nothing more to answer in this variant."""
        return self.is_right or "key" in self._shown

    @property
    def is_open(self):
        """Whether the result may be seen."""
        return self.is_closed or self._once and bool(self.tries)

    @property
    def credit(self):
        """Of the question, earned so far. [1]"""
        return self.earned.credit

    @property
    def next_help(self):
        """``twin``, ``key``, or None while there are tries left or nothing more to show. [text]"""
        if self._once or self.is_right or len(self.tries) < TRIES:
            return None
        if not self._shown and self.posed.twin():
            return "twin"
        return "key" if "key" not in self._shown else None

    @property
    def can_renew(self):
        """Whether there is another variant to ask."""
        return len(self.task.variants) > 1

    # ------------------------------------------------------------------ what can be done

    def commit(self, given, reason=None):
        """Take a try and return the reply.

        Raises
        ------
        CircuitLabError
            For a blank, nonsense, an unchanged answer or reason; such a try is not counted.
        """
        if self._once and self.tries:
            raise Refused("a prediction is made once. Compare it with the result.")
        if self.is_closed:
            raise Refused("this one is done. " + (f"Press '{self.another}' for a fresh one." if self.can_renew else
                                                  "Go on with the next question."))
        answer = self.posed.read(given)
        self._check_reason(answer, reason)
        right = self.posed.is_right(answer)
        one = None if right else self.posed.idea_behind(answer)
        holds = self.posed.holds(reason)
        verdict = WRONG if not right else RIGHT if holds or reason is None else HALF
        self.earned.add(self.seed, right, verdict != HALF)
        step = None if right else min(max(len(self.tries), int(holds)), 2)
        sentences = self._right(verdict == RIGHT) if right else self._wrong(step, answer, one, holds)
        self._last, self.is_answered = answer, True
        self.is_done = self.is_done or right or self._once
        self.tries.append({"answer": given, "reason": reason, "right": right, "idea": one.code if one else None,
                           "step": step, "holds": holds})
        return Reply(right, step, one.code if one else None, self.credit, sentences, verdict)

    def _check_reason(self, answer, reason):
        menu = self.posed.reasons
        if reason is not None and reason not in menu:
            raise Refused("that reason is not in the list. Choose one that is." if menu else
                          "this question asks for no reason.")
        if not self.tries:
            return
        failed = {made["reason"] for made in self.tries if made["reason"] is not None and not made["holds"]}
        if self.posed.kind.same(answer, self._last):
            raise Refused("that is the answer you gave before. Change it, and say why.")
        if menu and reason is None:
            raise Refused("choose a reason as well: what has changed your mind?")
        if reason in failed and len({*menu} - failed) > 1:        # else the refusal would name the reason that is left
            raise Refused("you gave that reason before, and it led you here. Choose another one.")

    def _right(self, holds):
        why = self.posed.agreement() if holds else "But not for that reason: it would lead elsewhere in the next circuit."
        return tuple(each for each in ("The circuit agrees.", why, self.earned.told()) if each)

    def _wrong(self, step, answer, one, holds):
        said = "The circuit does not agree." + (" Your reason holds, though." if holds else "")
        more = ("You have had three tries. There is more help now, if you want it."
                if len(self.tries) + 1 >= TRIES else "")
        return tuple(each for each in (said, self.posed.sentence(step, answer, one), more) if each)

    def help(self):
        """Show the next help and return it as ``(what, sentences)``.

        Raises
        ------
        Refused
            Before three tries, or when everything has been shown.
        """
        what = self.next_help
        if what is None:
            raise Refused("more help opens after three tries." if len(self.tries) < TRIES and not self.is_right else
                          "there is no more to show here.")
        self._shown.append(what)
        if what == "twin":
            return what, (self.posed.twin(),)
        again = "No credit for this one." if not self.can_renew else self.earned.told() or (
            f"For credit, press '{self.another}' and answer a fresh one.")
        return what, (f"The circuit shows: {self.posed.key()}.", self.posed.sentence(2, self._last, None), again)

    def renew(self):
        """Go on to the next variant.

        Raises
        ------
        Refused
            When the question has no variants.
        """
        if not self.can_renew:
            raise Refused("this question has no other numbers.")
        self._renew()

    def again(self, event, last):
        """Do again what an event of a record says; return what is told then, ``last`` where it says nothing of these numbers."""
        if event.get("event") == "renewed":     # with other numbers before the code was entered
            return self.renew() if event.get("seed") in (None, self.seed + 1) else last
        if event.get("seed") != self.seed or event.get("event") not in ("tried", "helped"):
            return last
        return self.help() if event["event"] == "helped" else self.commit(event.get("answer"), event.get("reason"))

    def event(self, reply, given, reason):
        """Return what the record keeps of the try just made beside the answer itself."""
        return {"event": "tried", "seed": self.seed, "try": len(self.tries), "reason": reason, "right": reply.right,
                "idea": reply.idea, "step": reply.step, "credit": reply.credit, "rule": RULE}

    another = property(lambda self: self.posed.kind.another)    # on the button that asks the next variant
    words = property(lambda self: self.posed.question)          # as they stand on the page
    reasons = property(lambda self: self.posed.reasons)

    @property
    def boxes(self):
        """What to print for a pencil: ``(label, choices)`` pairs."""
        return self.posed.kind.on_paper()

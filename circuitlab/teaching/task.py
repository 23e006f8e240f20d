"""A question as data: its words, its kind, its circuit or variants, the way to its answer, the ideas that miss it."""

from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import cached_property
from hashlib import sha256

from ..arrangements import Plan, write_text
from ..ground.errors import ArrangementError, CircuitLabError
from .ideas import check_ideas
from .kinds import Choice, Lines, Sort
from .variants import variants_of


@dataclass(frozen=True)
class Task:
    """One question.

    Parameters
    ----------
    item : str
        Short name, unique in its lesson. [text]
    question : str or callable
        In words; ``{side}`` is filled in from the variant, a callable gets the circuit and the picks. [text]
    kind : one of the kinds
    circuit : Arrangement or Variants
    work : callable, optional
        The way to the answer; gets the circuit and the picks. Blank tables and connection lists are their own.
    ideas : sequence of Idea
        What people think instead.
    where, principle : str or callable
        Second and third step of the ladder; if empty, those of the idea that fits, or else the kind's and the first idea's. [text]
    steps : str or callable
        How a worked twin is worked; gets the twin's circuit and picks. [text]
    """

    item: str
    question: object
    kind: object
    circuit: object = field(repr=False)
    work: object = field(default=None, repr=False)
    ideas: tuple = field(default=(), repr=False)
    where: object = field(default="", repr=False)
    principle: object = field(default="", repr=False)
    steps: object = field(default="", repr=False)

    def __post_init__(self):
        object.__setattr__(self, "variants", variants_of(self.circuit))
        object.__setattr__(self, "ideas", check_ideas(self.ideas))
        if self.work is None and not hasattr(self.kind, "solved"):
            raise ArrangementError(f"question '{self.item}' does not say how its answer is worked out. Give truth=...")
        self.pose(self.variants.of(1))

    def pose(self, variant):
        """Return the question for one variant."""
        return Posed(self, variant)


class Posed:
    """A question with one variant's circuit, texts and numbers. What is right is worked out when an answer is marked."""

    def __init__(self, task, variant):
        self._task, self.variant = task, variant
        self.kind = kind = task.kind.filled(variant)
        if isinstance(kind, Choice):
            self.kind = kind.mixed(task.item, variant.seed)
        self.question = variant.fill(task.question)
        self.seed = variant.seed

    def __repr__(self):
        return f"question '{self._task.item}', seed {self.seed}"

    def __dir__(self):
        return ["question", "seed", "kind", "reasons"]

    def _work(self, circuit, **picks):
        """Work an answer out from a circuit: the right one from the variant's own."""
        work, kind = self._task.work, self.kind
        if work is None:
            return kind.solved(circuit, **picks)
        if isinstance(kind, Sort):
            return {item: work(circuit, item, **picks) for item in kind.items}
        return work(circuit, **picks)

    @cached_property
    def truth(self):
        """The right answer, worked out from the circuit."""
        return self._as_answer(worked_out(self._task.item, lambda: self._work(self.variant.circuit, **self.variant.picks)))

    def _as_answer(self, worked):
        if isinstance(worked, (float, int)) and not isinstance(worked, bool) or worked is None:
            return worked
        with suppress(CircuitLabError):
            return self.kind.read(worked, self.variant)
        raise CircuitLabError(f"question '{self._task.item}' does not offer what its circuit shows. "
                              "Tell whoever gave you the lesson.")

    @cached_property
    def idea_answers(self):
        """The answer each idea gives here, by its code; those that agree with the circuit are left out."""
        answers = {}
        for one in self._task.ideas:
            answer = self._as_answer(one.answer(self._work, self.variant))
            if not self.kind.same(answer, self.truth):
                answers[one.code] = answer
        return answers

    @property
    def asked(self):
        """What is asked, for its fingerprint: words, form, what is shown to choose from, and the circuit without its notes."""
        return self.question, self.kind.form, self._task.kind.filled(self.variant).on_paper(), _bare(self.variant.circuit)

    def read(self, given):
        """Return what was given as an answer, or raise a sentence for a blank or for nonsense."""
        return self.kind.read(given, self.variant)

    def is_right(self, answer):
        """Tell whether an answer agrees with the circuit."""
        return self.kind.same(answer, self.truth)

    def idea_behind(self, answer):
        """Return the idea that leads to a wrong answer, or None."""
        answers = self.idea_answers.items()
        code = next((code for code, other in answers if self.kind.same(answer, other)), None) or next(
            (code for code, other in answers if self.kind.explains(answer, self.truth, other)), None)
        return next((one for one in self._task.ideas if one.code == code), None)

    @property
    def reasons(self):
        """The reasons to choose from: each idea's own and one that holds, in an order that says nothing. [text]"""
        menu = list(dict.fromkeys([one.because for one in self._task.ideas] + self._laws[:1]))
        told = lambda reason: sha256(f"{self._task.item}\n{reason}".encode()).digest()
        return tuple(sorted(menu, key=told)) if len(menu) > 1 else ()

    @property
    def because(self):
        """The reason of the menu that holds; empty where none is asked for. [text]"""
        return next(filter(self.holds, self.reasons), "")

    @property
    def _laws(self):
        return [one.law for one in self._task.ideas if one.law]

    def holds(self, reason):
        """Tell whether a reason is one that holds."""
        return reason in self._laws

    def sentence(self, step, answer, one):
        """Return the sentence of a step of the ladder: 0 consequence, 1 where to look, 2 principle. [text]"""
        fill, task = self.variant.fill, self._task
        if step == 0:
            return fill(one.would) if one else self.kind.would(answer, self.truth, self.variant)
        slip = "" if one else self.kind.slip(answer, self.truth)
        return f"{slip} {self._help(step, answer, one)}".strip()

    def _help(self, step, answer, one):
        """Return where to look, or the principle, without a word on the answer itself save where each try is looked at anew. [text]"""
        fill, task = self.variant.fill, self._task
        if step == 1:
            look = one.look if one and not isinstance(self.kind, Lines) else ""     # a list can be told its very line
            return fill(task.where) or fill(look) or self.kind.where(answer, self.truth, self.variant)
        first = one or next((each for each in task.ideas if each.instead), None)
        said = fill(task.principle) or (fill(first.instead) if first else "") or (
            "Work it out once more from the battery on: which way is closed, and what lies in it?")
        return f"{said} {self.kind.would(answer, self.truth, self.variant)}" if self.kind.is_looked_at_anew else said

    def agreement(self):
        """Return what a right answer is told: what its choice's reply states, or the principle where it asks something. [text]"""
        reply = self.kind.reply(self.truth) if isinstance(self.kind, Choice) else ""
        return reply if reply and "?" not in reply else self.variant.fill(self._task.principle)

    def twin(self):
        """Return a worked twin, or an empty text when there is no variant whose answer differs by more than its sign. [text]"""
        for variant in self._task.variants.twins(self.seed):
            twin = self._task.pose(variant)
            if not twin._is_told_by(self.truth if not isinstance(self.kind, Lines) else twin.kind.solved(self.variant.circuit)):
                steps = variant.fill(self._task.steps) or next((one.law for one in self._task.ideas if one.law), "")
                return (f"A worked twin. {twin.question} {_capital(steps)} "
                        f"So here the answer is: {twin.kind.words(twin.truth)}. Yours has its own.")
        return ""

    def _is_told_by(self, answer):
        """Tell whether an answer gives this one away: the same, or but for its sign."""
        numbers = [isinstance(each, (int, float)) for each in (answer, self.truth)]
        return self.kind.same(abs(answer), abs(self.truth)) if all(numbers) else self.kind.same(answer, self.truth)

    def key(self):
        """Return the right answer in words, for the last step. [text]"""
        return self.kind.words(self.truth)

    def taken(self):
        """Return the right answer for whoever marks paper: of a number, within which bounds. [text]"""
        return self.kind.taken(self.truth)


def _bare(circuit):
    """Return the text of what there is and how it is joined: no titles, notes or places, no rule. [text]"""
    parts = [replace(part, place="", note="") if hasattr(part, "note") else part for part in circuit.parts]
    return write_text(replace(circuit, title="bare", note="", rule=(), parts=parts, plan=Plan()))


def worked_out(item, work):
    """Return what a question's own sum gives; where it fails, raise a sentence that says nothing of the sum."""
    try:
        return work()
    except CircuitLabError:
        raise
    except Exception as error:      # its own words could say what is sought
        kind = type(error).__name__
    raise CircuitLabError(f"question '{item}' cannot be worked out: the kit stumbled ({kind}) in its own sum. "
                          "Go on with the next question and tell whoever gave you the lesson.")


def _capital(sentence):
    return f"{sentence[:1].upper()}{sentence[1:]}{'' if not sentence or sentence.endswith('.') else '.'}"

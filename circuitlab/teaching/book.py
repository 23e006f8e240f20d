"""A lesson's book: its questions in their order, what opens what, what an answer is told, and how a record is marked.

Widgets, the marking of a class and the paper twin all ask the book, and decide
nothing themselves. A question is data; its *way* is one learner's way through it.
"""

from dataclasses import dataclass

from ..ground.errors import unknown_name
from .asking import Asking
from .credit import RULE, Earned
from .kinds import Choice
from .ladder import NO_ANSWER, Ladder, Refused
from .paper import SURE, paper
from .questions import Check
from .record_lines import FORMER, HELD, sound
from .seeds import read_code, seed_of

CLOSED = "Predict first: this opens when you have committed an answer."
UNUSED = "not in the mark"
TOO_EARLY = f"answered before the question it waits for; {UNUSED}"
FOREIGN = f"an answer to numbers that were not issued to this student; {UNUSED}"
FULL, HALF_PAID, DONE, TRIED, OPEN = STANDING = ("full credit", "half a credit", "answered", "tried", "open")
AT_ONCE, LATER, HALF, UNPAID, WRONG, KEPT, UNMARKED, BLANK = MARKS = (
    "right at once", "right later", "half right", "right, no credit", "wrong", "kept", "not marked", "no answer")
MOST_TURNS = 10_000     # fresh numbers a learner may have asked for


class Book(Asking):
    """The questions of one lesson, in the order in which they are asked, and one learner's way through each.

    Parameters
    ----------
    number : str
        Of the lesson, such as ``"11"``. [text]
    code : str, optional
        As it was issued; questions with variants then ask the learner's own numbers. [text]

    Attributes
    ----------
    questions : dict of str to Plain or Check
    ways : dict of str to Once or Ladder
    ticket : tuple of str
        Its questions that make up the safety ticket. [text]
    """

    ticket = ()

    def __init__(self, number, code=None):
        self.number, self.code = str(number), read_code(code) if code else None
        self.questions, self.ways = {}, {}

    def keep(self, question):
        """Put a question at the end; one of the same name is asked anew."""
        if question.after is not None and question.after not in self.questions:
            raise unknown_name(f"question '{question.item}' waits for one that was not asked before it: lesson {self.number}",
                               "question", question.after, self.questions)
        self.questions[question.item], self.ways[question.item] = question, question.way(self.code)
        return question

    def use_code(self, code):
        """Ask every question with variants anew, with the numbers of an issued code."""
        self.code = read_code(code)
        self.ways |= {item: question.way(self.code) for item, question in self.questions.items() if isinstance(question, Check)}

    def standing(self):
        """Return how far each question is, by item: one of STANDING; what is answered and has earned no credit is DONE. [text]"""
        return {item: self._how_far(item) for item in self.ways}

    def _how_far(self, item):
        way = self.ways[item]
        if not way.is_done:
            return TRIED if way.is_answered else OPEN
        return {1: FULL, 0.5: HALF_PAID}.get(way.credit, DONE) if self._pays(item) else DONE

    def _pays(self, item):
        """Tell whether a question counts in the mark. [yes/no]"""
        return self.questions[item].earns and not self.questions[item].is_own

    def progress(self):
        """Return how many of the questions are answered, tried and open, and what of the credit there is was earned, in words."""
        far, paid = [*self.standing().values()], sum(map(self._pays, self.questions))
        answered = len(far) - far.count(TRIED) - far.count(OPEN)
        credit = f"; credit {far.count(FULL) + far.count(HALF_PAID) / 2:g} of {paid}" * bool(paid)
        return f"Of {len(far)} questions: {answered} {DONE}, {far.count(TRIED)} {TRIED}, {far.count(OPEN)} {OPEN}{credit}."

    def is_shut(self, item):
        """Tell whether a question waits for another one's answer. [yes/no]"""
        after = self.questions[item].after
        return after is not None and not self.ways[after].is_answered

    def commit(self, item, answer, confidence=None, reason=None):
        """Take an answer.

        Returns
        -------
        (Reply, dict)
            What it is told, and what its line in the record says.

        Raises
        ------
        CircuitLabError
            For an answer that is not taken: it counts nowhere.
        """
        answer, way = sound(answer), self.ways[item]
        if self.is_shut(item):
            self.questions[item].check(answer)
            raise Refused(CLOSED)
        reply = way.commit(answer, reason)
        return reply, self._line(item) | way.event(reply, answer, reason) | {"answer": answer, "confidence": confidence}

    def help(self, item):
        """Show the next help and return its sentences, and what its line in the record says."""
        what, sentences = self.ways[item].help()
        return sentences, self._line(item) | {"event": "helped", "seed": self.ways[item].seed, "what": what}

    def renew(self, item):
        """Go on to fresh numbers and return what the line in the record says."""
        self.ways[item].renew()
        return self._line(item) | {"event": "renewed", "seed": self.ways[item].seed}

    def _line(self, item):
        return {"item": item, "of": self.questions[item].fingerprint}

    def on_paper(self, item, foot=""):
        """Return a question as a plain form for print, without its answer. [HTML]"""
        question, way = self.questions[item], self.ways[item]
        return paper(item, way.words, way.boxes, SURE if question.with_confidence else (), way.reasons, foot)

    def replay(self, item, events):
        """Take up what a record holds of a question and return the reply or help to its last event, or None."""
        if self.is_shut(item):
            return None
        return self.ways[item].replay([event for event in events if event["item"] == item and self.is_asked(event)])

    def is_asked(self, event):
        """Tell whether an event answers the question as it is now; one without a fingerprint, as older kits wrote, may."""
        of = event.get("of")
        return of is None or of == self.questions[event["item"]].fingerprint


@dataclass(frozen=True)
class Mark:
    """What became of one question.

    Attributes
    ----------
    word : str
        One of MARKS. [text]
    tries : int
        Answers that counted. [1]
    ideas : tuple of str
        Codes of the wrong ideas behind its wrong answers, each once.
    is_overconfident : bool
        The first answer was given as sure, and is wrong.
    chosen : tuple of str
        Wrong choices, each once.
    credit : float
        0, 0.5 or 1; of questions that earn none, 0.
    """

    word: str = BLANK
    tries: int = 0
    ideas: tuple = ()
    is_overconfident: bool = False
    chosen: tuple = ()
    credit: float = 0.0


class Marking:
    """Goes through one record in its order, as the lesson itself would, and believes no verdict that stands in it.

    Parameters
    ----------
    book : Book
        Of the kit's own lesson.
    code : str, optional
        As it was issued to this learner, read. [text]
    """

    def __init__(self, book, code=None):
        self._book, self._code, self._ladders, self._earned = book, code, {}, {}
        self.answers, self.seeds = {}, {}      # by item: (right, credit, idea, was sure, wrong choice) of each answer
        self.former = 0                        # answers given under the rule of an older kit, when one right choice earned credit
        self.says_ticket = self.shows_ticket = False        # what the record says of the safety ticket, and what its answers show
        self._of_ticket = dict.fromkeys(book.ticket, False)

    def take(self, event):
        """Take one event and return what is wrong with it, or an empty text. [text]"""
        if event["event"] == HELD:
            self.says_ticket = self.says_ticket or bool(self._of_ticket)
            return ""
        question = self._book.questions.get(event["item"])
        if question is None:
            return f"there is no such question in the lesson; {UNUSED}"
        is_check = isinstance(question, Check)
        if event["event"] in FORMER:
            return f"answered in a form the question had in an older kit; {UNUSED}"
        if event["event"] != question.kind and not (is_check and event["event"] in ("helped", "renewed")):
            return f"answered in a form the question does not have; {UNUSED}"
        if not self._book.is_asked(event):
            return f"answered when the question was another one; {UNUSED}"
        if question.after and not self.answers.get(question.after):
            return "" if event.get("right") is None else TOO_EARLY
        if question.kind == "noted" and not str(event.get("answer") or "").strip():
            return ""
        if question.is_own:
            if event["event"] == question.kind:
                self.answers.setdefault(question.item, []).append(None)
            return ""
        try:
            return self._checked(question, event) if is_check else self._plain(question, event)
        except NO_ANSWER:
            return f"holds no answer the question takes; {UNUSED}"

    def _plain(self, question, event):
        reply = question.way().commit(event.get("answer"))
        return self._keep(question, event, reply, event["answer"] if question.choices and not reply.right else None)

    def _checked(self, question, event):
        seed = event.get("seed")
        if isinstance(seed, bool) or not isinstance(seed, int) or not 0 <= seed < 2 ** 33:
            return f"does not say which numbers the question had; {UNUSED}"
        first = seed_of(self._code, question.item, 0)
        if self._code and not 0 <= seed - first < MOST_TURNS:
            return FOREIGN
        if event["event"] == "renewed":
            return ""
        if (question.item, seed) not in self._ladders:
            earned = self._earned.setdefault(question.item, Earned(question.task, question.once))
            self._ladders[question.item, seed] = Ladder(question.task, first=seed, once=question.once, earned=earned)
        ladder = self._ladders[question.item, seed]
        if event["event"] == "tried" and question.once and ladder.tries:
            return f"a second answer to a prediction, where the first one counts; {UNUSED}"
        reply = ladder.replay([event])
        if reply is None:
            return f"an answer the lesson would have refused: empty, unchanged, or given after the key was shown; {UNUSED}"
        if event["event"] == "helped":
            return ""
        self.seeds.setdefault(question.item, []).append(seed)
        self.former += event.get("rule") != RULE and question.task.kind.in_a_row > 1
        is_choice = type(question.task.kind) is Choice and not reply.right      # the letter of a chart says nothing
        return self._keep(question, event, reply, ladder.posed.read(event.get("answer")) if is_choice else None)

    def _keep(self, question, event, reply, chosen):
        right, said = reply.right, {True: "right", False: "wrong"}
        self.answers.setdefault(question.item, []).append(
            (right, reply.credit, reply.idea, event.get("confidence") == "sure", chosen))
        if question.item in self._of_ticket:
            self._of_ticket[question.item] = right
            self.shows_ticket = self.shows_ticket or all(self._of_ticket.values())
        if right is not None and event.get("right") is not right:
            return f"the record says {said.get(event.get('right'), 'neither right nor wrong')}, the circuit says {said[right]}; marked {said[right]}"
        return ""

    def marks(self):
        """Return the mark of every question that has answers, by item, in the order in which they are asked."""
        return {item: self._mark(item) for item in self._book.questions if item in self.answers}

    def _mark(self, item):
        question, answers = self._book.questions[item], self.answers[item]
        kind, credit = question.kind, self._earned[item].credit if item in self._earned and question.earns else 0.0
        if answers[0] is None:
            return Mark(UNMARKED, len(answers))
        if kind == "noted":
            return Mark(KEPT, len(answers))
        if kind == "predicted":
            answers = answers[:1]       # what came later was said with the result in view
        ideas = tuple(dict.fromkeys(each[2] for each in answers if each[2]))
        chosen = tuple(dict.fromkeys(each[4] for each in answers if each[4] is not None))
        row = question.task.kind.in_a_row if question.earns else 1
        return Mark(_word(answers, row), len(answers), ideas, answers[0][3] and not answers[0][0], chosen, credit)


def _word(answers, row):
    """Return the word for answers of which so many in a row earn a credit."""
    best = max(credit for _, credit, *_ in answers)
    if max(credit for _, credit, *_ in answers[:row]) == 1:
        return AT_ONCE
    return LATER if best == 1 else HALF if best > 0 else UNPAID if any(right for right, *_ in answers) else WRONG

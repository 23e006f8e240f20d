"""A class's answers marked anew: every line replayed against the circuit, no stored verdict believed.

A record is a text file on the learner's machine. Marking it anew catches a
verdict that was edited; it cannot tell who gave an answer, or whether the
answer itself was edited.
"""

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from .chosen_ideas import CHOSEN_IDEAS
from .class_records import UNUSED, Trouble, read_class, read_student
from .gathering import Laddered, lesson_number, lesson_questions
from .ideas import IDEAS
from .kinds import Choice
from .ladder import NO_ANSWER, Ladder
from .record_lines import FORMER, printable
from .seeds import read_code, seed_of

AT_ONCE, LATER, HALF, WRONG, KEPT, UNMARKED, BLANK = MARKS = (
    "right at once", "right later", "half right", "wrong", "kept", "not marked", "no answer")
UNSCORED = (KEPT, UNMARKED, BLANK)      # whoever has no other mark in a lesson has no answers yet
MOST_TROUBLES = 200     # of one student that are told one by one
MOST_TURNS = 10_000     # fresh numbers a learner may have asked for


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
    """

    word: str = BLANK
    tries: int = 0
    ideas: tuple = ()
    is_overconfident: bool = False
    chosen: tuple = ()


@dataclass(frozen=True)
class Student:
    """One row of the class: marks by lesson and question, and what could not be used."""

    name: str
    marks: dict
    troubles: tuple
    seeds: dict


@dataclass(frozen=True)
class ClassSummary:
    """Everything the pages of a class show.

    Attributes
    ----------
    questions : dict of str to dict
        By lesson, then by item, in the order in which they are asked.
    students : tuple of Student
        Those of whom some answer counts.
    skipped : tuple of (str, str)
        The others: the name, and that they have no answers yet, or what was left out, and why.
    """

    questions: dict
    students: tuple
    skipped: tuple

    def mark(self, student, lesson, item):
        """Return a student's mark of a question. [Mark]"""
        return student.marks.get((lesson, item), Mark())

    def has_answers(self, student, lesson):
        """Whether any of a student's answers in a lesson is right or wrong. [yes/no]"""
        return any(of == lesson and mark.word not in UNSCORED for (of, _), mark in student.marks.items())

    def marks(self, lesson, item):
        """Return every student's mark of a question, in the order of the students."""
        return [self.mark(student, lesson, item) for student in self.students]

    def asked(self, lesson):
        """Return how many questions of a lesson are marked: not the notes, nor what hangs on the learner's own numbers. [1]"""
        return sum(question.kind != "noted" and not question.is_own for question in self.questions[lesson].values())

    def ideas(self, lesson):
        """Return how many students showed each wrong idea in a lesson, None where none of its questions looks for it. [1]"""
        looked = {code for choices in CHOSEN_IDEAS.get(lesson, {}).values() for code in choices.values()}
        looked |= {one.code for question in self.questions[lesson].values() if isinstance(question, Laddered)
                   and not question.is_own for one in question.task.ideas}
        seen = Counter()
        for student in self.students:
            seen.update({code for (of, _), mark in student.marks.items() if of == lesson for code in mark.ideas})
        return {code: seen[code] if code in looked else None for code in [*IDEAS, *sorted(looked - set(IDEAS))]}

    def because(self, lesson, code):
        """Return a wrong idea in the learner's words. [text]"""
        own = {one.code: one.because for question in self.questions[lesson].values() if isinstance(question, Laddered)
               for one in question.task.ideas}
        return own.get(code) or IDEAS[code].because

    def key(self):
        """Yield the answer key: lesson, question, who it is for, seed and the right answer, all in words."""
        for lesson, questions in self.questions.items():
            for item, question in questions.items():
                if not isinstance(question, Laddered):
                    right = "hangs on what the learner chose in the lesson" if question.is_own else question.key()
                    yield lesson, question.question, "everybody", "", right
                    continue
                for student in self.students:
                    for seed in student.seeds.get((lesson, item), ()):
                        posed = question.task.pose(question.task.variants.of(seed))
                        yield lesson, posed.question, student.name, str(seed), posed.key()


def class_summary(folder, lesson=None, codes=None):
    """Mark a class's records anew.

    Parameters
    ----------
    folder : str or Path
        Holds one folder for each student; see :func:`~circuitlab.teaching.class_records.read_class`. [text]
    lesson : str, optional
        Only this lesson, such as ``"07"`` or ``"7"``. [text]
    codes : dict of (str, str) to str, optional
        Issued code by label and lesson; answers to other numbers then do not count. [text]

    Returns
    -------
    ClassSummary

    Raises
    ------
    CircuitLabError
        When there is nothing to summarise, or a lesson of the kit fails.
    """
    lesson = lesson_number(lesson) if lesson is not None else None
    handed = read_class(folder, lesson)
    lessons = sorted({number for each in handed for number, events in each.events.items() if events})
    questions = {number: lesson_questions(number) for number in lessons}
    marked = [(each, _student(each, questions, codes or {}) if each.is_usable else None) for each in handed]
    students = tuple(student for _, student in marked if student and student.marks)
    skipped = tuple((each.name, each.without(student.troubles if student else each.troubles))
                    for each, student in marked if not student or not student.marks)
    return ClassSummary(questions, students, skipped)


def student_marks(folder, lesson):
    """Mark one student's record of a lesson anew.

    Parameters
    ----------
    folder : str or Path
        Where the record lies. [text]
    lesson : str
        Such as ``"11"``. [text]

    Returns
    -------
    dict of str to Mark
        By question; those without an answer that counts are left out.
    """
    marked = _student(read_student(Path(folder), lesson), {lesson: lesson_questions(lesson)}, {})
    return {item: mark for (_, item), mark in marked.marks.items()}


def plain_label(label):
    """Return a label as codes are issued for it: case and spaces do not matter. [text]"""
    return " ".join(str(label).casefold().split())


def _student(handed, questions, codes):
    marks, seeds, troubles = {}, {}, list(handed.troubles)
    for lesson, events in handed.events.items():
        if not events:      # told in the troubles; nobody's questions may have been gathered for it
            continue
        code = codes.get((plain_label(handed.name), lesson))
        if codes and code is None:
            troubles.append(Trouble(lesson, f"lesson {lesson}: no code was issued to this name; its answers are marked, whoever's numbers they are for"))
        marker = _Marker(questions[lesson], code and read_code(code), CHOSEN_IDEAS.get(lesson, {}))
        for number, event in events:
            fault = marker.take(event)
            if fault:
                troubles.append(Trouble(lesson, f"lesson {lesson}, line {number}, question '{printable(event['item'])}': {fault}"))
        for item in questions[lesson]:
            if item in marker.answers:
                marks[lesson, item] = marker.mark(item)
        seeds |= {(lesson, item): tuple(dict.fromkeys(found)) for item, found in marker.seeds.items()}
    if len(troubles) > MOST_TROUBLES:
        troubles = [*troubles[:MOST_TROUBLES], Trouble("", f"{len(troubles) - MOST_TROUBLES} more lines are not used")]
    return Student(handed.name, marks, tuple(troubles), seeds)


class _Marker:
    """Goes through one record in its order, as the lesson itself would."""

    def __init__(self, questions, code, chosen_ideas):
        self._questions, self._code, self._chosen_ideas, self._ladders = questions, code, chosen_ideas, {}
        self.answers, self.seeds = {}, {}      # by item: (right, credit, idea, was sure, wrong choice) of each answer

    def take(self, event):
        """Take one event and return what is wrong with it, or an empty text."""
        question = self._questions.get(event["item"])
        if question is None:
            return f"there is no such question in the lesson; {UNUSED}"
        is_ladder = isinstance(question, Laddered)
        if event["event"] in FORMER:
            return f"answered in a form the question had in an older kit; {UNUSED}"
        if event["event"] != question.kind and not (is_ladder and event["event"] in ("helped", "renewed")):
            return f"answered in a form the question does not have; {UNUSED}"
        if question.after and not self.answers.get(question.after):
            return "" if event.get("right") is None else f"answered before the question it waits for; {UNUSED}"
        if question.kind == "noted" and not str(event.get("answer") or "").strip():
            return ""
        if question.is_own:
            if event["event"] == question.kind:
                self.answers.setdefault(question.item, []).append(None)
            return ""
        try:
            return self._laddered(question, event) if is_ladder else self._plain(question, event)
        except NO_ANSWER:
            return f"holds no answer the question takes; {UNUSED}"

    def _plain(self, question, event):
        answer = event.get("answer")
        right = question.is_right(answer)
        chosen = answer if question.choices and not right else None
        idea = self._chosen_ideas.get(question.item, {}).get(chosen)
        return self._keep(question, event, right, float(bool(right)), idea, chosen)

    def _laddered(self, question, event):
        seed = event.get("seed")
        if isinstance(seed, bool) or not isinstance(seed, int) or not 0 <= seed < 2 ** 33:
            return f"does not say which numbers the question had; {UNUSED}"
        first = seed_of(self._code, question.item, 0)
        if self._code and not 0 <= seed - first < MOST_TURNS:
            return f"an answer to numbers that were not issued to this student; {UNUSED}"
        if event["event"] == "renewed":
            return ""
        if (question.item, seed) not in self._ladders:
            self._ladders[question.item, seed] = Ladder(question.task, first=seed)
        ladder = self._ladders[question.item, seed]
        if event["event"] == "tried" and question.once and ladder.tries:
            return f"a second answer to a prediction, where the first one counts; {UNUSED}"
        reply = ladder.replay([event])
        if reply is None:
            return f"an answer the lesson would have refused: empty, unchanged, or given after the key was shown; {UNUSED}"
        if event["event"] == "helped":
            return ""
        self.seeds.setdefault(question.item, []).append(seed)
        is_choice = type(question.task.kind) is Choice and not reply.right      # the letter of a chart says nothing
        return self._keep(question, event, reply.right, reply.credit, reply.idea,
                          ladder.posed.read(event.get("answer")) if is_choice else None)

    def _keep(self, question, event, right, credit, idea, chosen=None):
        sure = event.get("confidence") == "sure"
        self.answers.setdefault(question.item, []).append((right, credit, idea, sure, chosen))
        said = {True: "right", False: "wrong"}
        if right is not None and event.get("right") is not right:
            return f"the record says {said.get(event.get('right'), 'neither right nor wrong')}, the circuit says {said[right]}; marked {said[right]}"
        return ""

    def mark(self, item):
        """Return the mark of a question that has answers."""
        answers, kind = self.answers[item], self._questions[item].kind
        if answers[0] is None:
            return Mark(UNMARKED, len(answers))
        if kind == "noted":
            return Mark(KEPT, len(answers))
        if kind == "predicted":
            answers = answers[:1]       # what came later was said with the result in view
        ideas = tuple(dict.fromkeys(each[2] for each in answers if each[2]))
        chosen = tuple(dict.fromkeys(each[4] for each in answers if each[4] is not None))
        return Mark(_word(answers), len(answers), ideas, answers[0][3] and not answers[0][0], chosen)


def _word(answers):
    best = max(credit for _, credit, *_ in answers)
    if answers[0][1] == 1:
        return AT_ONCE
    return LATER if best == 1 else HALF if best > 0 else WRONG

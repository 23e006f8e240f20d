"""A class's answers marked anew: every line replayed against the circuit, no stored verdict believed.

A record is a text file on the learner's machine. Marking it anew catches a
verdict that was edited; it cannot tell who gave an answer, or whether the
answer itself was edited.
"""

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from .book import BLANK, FOREIGN, KEPT, MOST_TURNS, TOO_EARLY, UNMARKED, UNUSED, Mark, Marking
from .class_records import Trouble, natural, read_class, read_student
from .gathering import lesson_book, lesson_number
from .ideas import IDEAS
from .questions import Check, shared_key
from .record_lines import printable, told
from .seeds import read_code, seed_of

UNSCORED = (KEPT, UNMARKED, BLANK)      # whoever has no other mark in a lesson has no answers yet
MOST_TROUBLES = 200     # of one student that are told one by one
FEW = 2                 # answers to numbers of somebody else that are told line by line


@dataclass(frozen=True)
class Student:
    """One row of the class: marks by lesson and question, what could not be used, and the lessons whose safety ticket was passed."""

    name: str
    marks: dict
    troubles: tuple
    seeds: dict
    tickets: tuple = ()


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
    ticketed : tuple of str
        The lessons in which a safety ticket can be passed. [text]
    missing : tuple of str
        Labels to which a code was issued, and of which there is no folder. [text]
    """

    questions: dict
    students: tuple
    skipped: tuple
    ticketed: tuple = ()
    missing: tuple = ()

    def mark(self, student, lesson, item):
        """Return a student's mark of a question. [Mark]"""
        return student.marks.get((lesson, item), Mark())

    def has_answers(self, student, lesson):
        """Whether any of a student's answers in a lesson is right or wrong. [yes/no]"""
        return any(of == lesson and mark.word not in UNSCORED for (of, _), mark in student.marks.items())

    def marks(self, lesson, item):
        """Return every student's mark of a question, in the order of the students."""
        return [self.mark(student, lesson, item) for student in self.students]

    def earning(self, lesson):
        """Return how many questions of a lesson earn credit: its checks, but for what depends on the learner's own numbers. [1]"""
        return earning(self.questions[lesson])

    def ideas(self, lesson):
        """Return how many students showed each wrong idea in a lesson, None where none of its questions looks for it. [1]"""
        looked = {one.code for question in self.questions[lesson].values() if not question.is_own for one in question.probed}
        seen = Counter()
        for student in self.students:
            seen.update({code for (of, _), mark in student.marks.items() if of == lesson for code in mark.ideas})
        return {code: seen[code] if code in looked else None for code in [*IDEAS, *sorted(looked - set(IDEAS))]}

    def because(self, lesson, code):
        """Return a wrong idea in the learner's words. [text]"""
        own = {one.code: one.because for question in self.questions[lesson].values() for one in question.probed}
        return own.get(code) or IDEAS[code].because

    def key(self):
        """Yield the answer key: lesson, question, who it is for, seed and the right answer, all in words."""
        for lesson, questions in self.questions.items():
            for item, question in questions.items():
                if not isinstance(question, Check):
                    yield lesson, question.question, "everybody", "", shared_key(question)
                    continue
                for student in self.students:
                    for seed in student.seeds.get((lesson, item), ()):
                        posed = question.task.pose(question.task.variants.of(seed))
                        yield lesson, posed.question, student.name, str(seed), posed.key()


def earning(questions):
    """Return how many of the questions of a lesson, a dict by item, earn credit. [1]"""
    return sum(question.earns and not question.is_own for question in questions.values())


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
    books = {number: lesson_book(number) for number in lessons}
    students = [_student(each, books, codes or {}) for each in handed]
    skipped = tuple((each.name, each.without(student.troubles)) for each, student in zip(handed, students) if not student.marks)
    return ClassSummary({number: book.questions for number, book in books.items()},
                        tuple(student for student in students if student.marks), skipped,
                        tuple(number for number, book in books.items() if book.ticket), _missing(handed, lesson, codes or {}))


def _missing(handed, lesson, codes):
    """Return the labels, of the lesson where it is one, of which no folder was handed in. [text]"""
    there = {plain_label(each.name) for each in handed if each.is_seat}
    return tuple(sorted({label for label, of in codes if lesson in (None, of) and label not in there}, key=natural))


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
    marked = _student(read_student(Path(folder), lesson), {lesson: lesson_book(lesson)}, {})
    return {item: mark for (_, item), mark in marked.marks.items()}


def plain_label(label):
    """Return a label as codes are issued for it: case and spaces do not matter. [text]"""
    return " ".join(str(label).casefold().split())


def _former(count):
    return "1 answer is of an older kit, which gave credit" if count == 1 else f"{count} answers are of an older kit, which gave credit"


def _foreign(lesson, events, codes):
    """Return what is said of answers to numbers of somebody else: line by line where they are few, else in one sentence that says whose they are."""
    if len(events) <= FEW:
        return [Trouble(lesson, f"lesson {lesson}, line {number}, question '{printable(event['item'])}': {FOREIGN}") for number, event in events]
    issued = {f"those of '{printable(label, 60)}'": code for (label, of), code in codes.items() if of == lesson} | {"those asked without a code": None}
    whose = next((f", but are {words}" for words, code in issued.items() if all(
        0 <= event["seed"] - seed_of(code, event["item"], 0) < MOST_TURNS for _, event in events)), "")
    return [Trouble(lesson, f"lesson {lesson}, {told([number for number, _ in events])}: answers to numbers that were not issued to this student{whose}; "
                            f"{UNUSED}")]


def _student(handed, books, codes):
    marks, seeds, troubles, tickets = {}, {}, list(handed.troubles), []
    for lesson, events in handed.events.items():
        if not events:      # told in the troubles; nobody's questions may have been gathered for it
            continue
        code = codes.get((plain_label(handed.name), lesson))
        if codes and code is None:
            troubles.append(Trouble(lesson, f"lesson {lesson}: this name is not in the table of codes: give the folder its label; until then any numbers count"))
        marking, foreign = Marking(books[lesson], code and read_code(code)), []
        for number, event in events:
            fault = marking.take(event)
            if fault == FOREIGN:
                foreign.append((number, event))
            elif fault:
                lost = [line for line in handed.lost.get(lesson, ()) if line < number] if fault == TOO_EARLY else ()
                why = f"; {told(lost)}, which cannot be used, may have held that answer" if lost else ""
                troubles.append(Trouble(lesson, f"lesson {lesson}, line {number}, question '{printable(event['item'])}': {fault}{why}"))
        troubles += _foreign(lesson, foreign, codes)
        if marking.former:
            troubles.append(Trouble(lesson, f"lesson {lesson}: {_former(marking.former)} for one choice right once; "
                                            "marked by the rule of today, two variants in a row"))
        if marking.says_ticket and not marking.shows_ticket:
            troubles.append(Trouble(lesson, f"lesson {lesson}: the record says that the safety ticket was passed, the answers that count do not show it"))
        tickets += [lesson] * (marking.says_ticket and marking.shows_ticket)
        marks |= {(lesson, item): mark for item, mark in marking.marks().items()}
        seeds |= {(lesson, item): tuple(dict.fromkeys(found)) for item, found in marking.seeds.items()}
    if len(troubles) > MOST_TROUBLES:
        troubles = [*troubles[:MOST_TROUBLES], Trouble("", f"{len(troubles) - MOST_TROUBLES} more lines are not used")]
    return Student(handed.name, marks, tuple(troubles), seeds, tuple(tickets))

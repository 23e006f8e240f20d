"""The paper twin of a lesson for each learner of a class, and, apart from it, what is right on each sheet.

Both come from the issued codes alone. The answers are worked out when they are
asked for, from the circuits, and are kept nowhere.
"""

import re
from dataclasses import dataclass, field
from html import escape

from .. import __version__
from ..arrangements import Arrangement
from ..ground.errors import FileError
from ..ground.places import kit_folder
from ..views.schematic import draw
from .gathering import lesson_book, lesson_files, lesson_number
from .ladder import Ladder
from .questions import Check, shared_key
from .seeds import issue_code

_NAMES = re.compile(r'(?:id="|#)[^")]*')       # of the parts of a drawing: they differ where nothing else does
_SCREEN = re.compile(r"\b(?:that|same) chart\b|\btrace [A-Z]\b|\bpress(?:ed)?\b|\babove\b|\bdid you see\b", re.IGNORECASE)
_PRINTED = re.compile(r"\bdrawing \d", re.IGNORECASE)      # a picture of the prose, which is printed too
SCREEN_ONLY = "Screen only: the lesson shows what this question asks about."


@dataclass(frozen=True)
class Sheet:
    """One learner's sheet.

    Attributes
    ----------
    label, code : str
        Whose it is. [text]
    forms : tuple of str
        Every question of the lesson in order, to be filled in, without its answer. [HTML]
    answers : tuple of (int, str, str)
        Number, words and right answer of each question that has this learner's own numbers. [1], [text]
    """

    label: str
    code: str
    forms: tuple = ()
    answers: tuple = ()


@dataclass(frozen=True)
class Drawing:
    """A drawing of a lesson, nothing in it live.

    Attributes
    ----------
    first : int or None
        The question from which on it is looked at, the first that speaks of it; None where it is only for some. [1]
    also : tuple of int
        Questions about its circuit behind those of another drawing; all of them without ``first``. [1]
    words, svg : str
        What it shows, and itself. [text], [SVG]
    """

    first: int | None
    also: tuple
    words: str
    svg: str


@dataclass(frozen=True)
class OnPaper:
    """A lesson on paper.

    Attributes
    ----------
    lesson : str
        Its number. [text]
    variant : int
        Which of each learner's variants, from 1. [1]
    sheets : tuple of Sheet
    shared : tuple of (int, str, str)
        Number, words and right answer of each question that is the same for everybody; empty without answers.
    drawings : tuple of Drawing
        Each once; empty with answers.
    reasons : dict of int to str
        With answers: the reason that holds, by number of the question, for those that ask for one. It is the same for everybody. [text]
    earning : frozenset of int
        With answers: the numbers of the questions that earn credit. [1]
    """

    lesson: str
    variant: int
    sheets: tuple
    shared: tuple = ()
    drawings: tuple = ()
    reasons: dict = field(default_factory=dict)
    earning: frozenset = frozenset()

    @property
    def title(self):
        """Of the lesson, by the name of its file. [text]"""
        return f"Lesson {self.lesson}: {lesson_files()[self.lesson].stem.partition('_')[2].replace('_', ' ')}"


def questions_on_paper(lesson, codes, variant=1):
    """Return the questions of a lesson for each learner of a class, without answers.

    Parameters
    ----------
    lesson : str
        Such as ``"06"`` or ``"6"``. [text]
    codes : dict of (str, str) to str
        Issued code by label and lesson, as :func:`~circuitlab.commands.class_tables.codes_in` reads them. [text]
    variant : int
        1 for the numbers a learner meets first, 2 for those behind **New numbers**, and so on. [1]

    Returns
    -------
    OnPaper

    Raises
    ------
    UnknownName
        For a lesson the kit does not have.
    FileError
        When no code was issued for the lesson, or there is no such variant.
    """
    number, issued, book = _begun(lesson, codes, variant)
    sheets = []
    for label, code in issued.items():
        _turn_to(book, code, variant)
        sheets.append(Sheet(label, code, tuple(_ahead(book, item) + book.on_paper(item, _foot(way, code)) for item, way in book.ways.items())))
    return OnPaper(number, variant, tuple(sheets), drawings=tuple(_drawings(book)))


def answers_to_paper(lesson, codes, secret, variant=1):
    """Return what is right on each sheet of :func:`questions_on_paper`, for whoever knows the class's secret.

    Parameters
    ----------
    lesson, codes, variant
        As there.
    secret : str
        The words the codes were issued with. [text]

    Returns
    -------
    OnPaper

    Raises
    ------
    FileError
        Besides, when a code was issued with other words.
    """
    number, issued, book = _begun(lesson, codes, variant)
    strange = [label for label, code in issued.items() if issue_code(secret, number, label) != code]
    if strange:
        raise FileError(f"these are not the words that the codes of lesson {number} were issued with: '{strange[0]}' would have another code"
                        f"{f', so would {len(strange) - 1} more' if strange[1:] else ''}. Give the words of this class, or issue new codes.")
    sheets, shared = [], ()
    for label, code in issued.items():
        _turn_to(book, code, variant)
        told = [(place, way.words, _right(book.questions[item], way), _is_own(way))
                for place, (item, way) in enumerate(book.ways.items(), 1)]
        shared = tuple(each[:3] for each in told if not each[3])
        sheets.append(Sheet(label, code, answers=tuple(each[:3] for each in told if each[3])))
    reasons = {place: way.posed.because for place, way in enumerate(book.ways.values(), 1) if way.reasons and way.posed.because}
    earning = frozenset(place for place, question in enumerate(book.questions.values(), 1) if question.earns and not question.is_own)
    return OnPaper(number, variant, tuple(sheets), shared, reasons=reasons, earning=earning)


def _begun(lesson, codes, variant):
    number = lesson_number(lesson)
    issued = {label: code for (label, of), code in codes.items() if of == number}
    if not issued:
        raise FileError(f"the table holds no code for lesson {number}. Issue them with class-codes --lesson {number}.")
    if not 1 <= variant <= 100:
        raise FileError(f"there is no variant {variant}. The first is 1, the one behind 'New numbers' 2, and so on to 100.")
    return number, issued, lesson_book(number)


def _turn_to(book, code, variant):
    """Ask a learner's own numbers, of the variant wanted."""
    book.use_code(code)
    for way in book.ways.values():
        for _ in range(variant - 1):
            if _is_own(way):
                way.renew()


def _ahead(book, item):
    """Return what stands ahead of a question on paper: what the lesson says there, and whether only the screen shows what is asked about. [HTML]"""
    words, question = book.ways[item].words, book.questions[item]
    shown = _SCREEN.search(words) or question.kind == "observed" and not _PRINTED.search(words)
    said = f'<p>{escape(book.ahead[item])}</p>' if item in book.ahead else ""
    return said + (f'<p class="screen">{SCREEN_ONLY}</p>' if shown else "")


def _drawings(book):
    """Yield each drawing once, where it is spoken of first: of a board at rest, which tells no answer, or a picture of the prose."""
    found, asked = {}, _asked_about(book)
    for before, words, drawn in book.drawn:
        svg = (kit_folder("lessons") / drawn).read_text("utf-8") if isinstance(drawn, str) else draw(drawn, prefix=f"paper{len(found)}-", background="#ffffff")
        found.setdefault(_NAMES.sub("", svg), (before + 1, " ".join(words.split()), svg))
    starts = {bare: _start(book, first, asked.get(bare, ()), {*sum(asked.values(), [])}) for bare, (first, *_) in found.items()}
    for bare, (_, words, svg) in found.items():
        own, start = asked.get(bare, ()), starts[bare]
        after = min((other for other in starts.values() if other and start and other > start), default=len(book.questions) + 1 if start else 0)
        yield Drawing(min(start, *own, start) if start else None, tuple(number for number in own if number > after), words, svg)


def _start(book, first, own, asked):
    """Return the question from which on a drawing is looked at: not one about another circuit, nor a sentence of one's own; None where none is left. [1]"""
    for number, question in list(enumerate(book.questions.values(), 1))[first - 1:]:
        if number in own or number not in asked and question.kind != "noted":
            return number
    return None


def _asked_about(book):
    """Return the numbers of the questions that ask about a circuit, by its drawing without names. [1]"""
    asked = {}
    for number, question in enumerate(book.questions.values(), 1):
        if isinstance(question, Check) and isinstance(question.task.variants.base, Arrangement):
            asked.setdefault(_NAMES.sub("", draw(question.task.variants.base, background="#ffffff")), []).append(number)
    return asked


def _is_own(way):
    """Tell whether a question has numbers that another learner's has not. [yes/no]"""
    return isinstance(way, Ladder) and way.can_renew


def _foot(way, code):
    return f"Code {code}, seed {way.seed}. Kit {__version__}." if _is_own(way) else ""


def _right(question, way):
    """Return the right answer in words, of a number with the least and the most that count. [text]"""
    return way.posed.taken() if isinstance(question, Check) else shared_key(question)

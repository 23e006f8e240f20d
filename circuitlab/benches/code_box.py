"""Where a learner enters an issued code: behind a button beside the progress, below the cell that opens a lesson."""

from html import escape

import ipywidgets as widgets

from ..ground.errors import PartError
from ..teaching.record_lines import CODED, UNASKED, read_record
from ..teaching.seeds import is_of, read_code
from .guard import Guard
from .spoken import outermost

ITEM = "code"


class CodeBox:
    """A text box for the code and a button; what is entered is kept in the record and asks the learner's own numbers at once.

    Parameters
    ----------
    lesson : Lesson
    """

    def __init__(self, lesson):
        self._lesson, self._guard, self._asked = lesson, Guard(), None     # the code that was asked about once, as answers of another stand here
        self.entry = widgets.Text(value=lesson.book.code or "", placeholder="7K3M-9QXD", continuous_update=False,
                                  description="code:", style={"description_width": "initial"},
                                  layout=widgets.Layout(width="190px"))
        self._said, self._opens = widgets.HTML(""), self._guard.button("Code from a teacher", self.open, width="auto")
        self._row = widgets.HBox([self.entry, self._guard.button("Use this code", self.use, width="auto")],
                                 layout=widgets.Layout(flex_flow="row wrap", display="none"))
        self.view = outermost(self._opens, self._row, self._said, self._guard.place)
        self._tell()

    said = property(lambda self: self._said.value + self._guard.place.value)      # what the learner reads below the box, as HTML

    def open(self):
        """Show the box, or fold it again."""
        self._row.layout.display = "" if self._row.layout.display else "none"

    def use(self):
        """Take up the code in the box.

        Raises
        ------
        PartError
            For one with a wrong letter, one of another lesson, and, until the button is pressed again, one beside which answers of another code stand.
        """
        self._said.value = ""
        lesson, code = self._lesson, read_code(self.entry.value)
        if code != lesson.book.code:
            _check_lesson(code, lesson.record)
            if code != self._asked and _has_answers(lesson.record):
                self._asked = code
                raise PartError(f"this record already holds answers of code '{lesson.book.code}': if somebody else gave them, open a folder of your own, "
                                f"start --folder \"your label\"; if they are yours and '{code}' is the code on your slip, press the button once more.")
            lesson.use_code(code)
            lesson.record.add(ITEM, CODED, code=code)
        self._tell()

    def _tell(self):
        code = self._lesson.book.code
        self.entry.value = code or self.entry.value
        self._opens.description = f"Code {code}" if code else "Code from a teacher"
        self._said.value = "" if not code else (
            f'<div role="status" aria-live="polite">The checks ask the numbers of code <b>{escape(code)}</b>. '
            "Answers to other numbers stay in your record and are not in the mark.</div>")


def _has_answers(record):
    """Tell whether anything was answered since a code was entered last, which was an answer of that code. [yes/no]"""
    kinds = [event["event"] for event in record.events()]
    return CODED in kinds and any(kind not in UNASKED for kind in kinds[len(kinds) - kinds[::-1].index(CODED):])


def _check_lesson(code, record):
    """Raise for a code that was not issued for this lesson, or that another lesson's record beside this one names as its own."""
    for path in sorted(record.path.parent.glob("lesson-*.jsonl")):
        other = path.stem.removeprefix("lesson-")
        if path != record.path and code in [event.get("code") for _, event in read_record(path, other).events if event["event"] == CODED]:
            raise PartError(f"you use the code '{code}' in lesson {other}; each lesson has a code of its own. "
                            f"Look on your slip for lesson {record.lesson}.")
    if not is_of(code, record.lesson):
        raise PartError(f"the code '{code}' was issued for another lesson than {record.lesson}, or by an older kit. Look on your slip for lesson "
                        f"{record.lesson}, or ask your teacher for its code; what you have answered stays as it is.")


def kept_code(record):
    """Return the code that was entered last in a lesson, None where there is none or it was edited. [text]"""
    event = record.last(ITEM, CODED)
    try:
        return event and read_code(event.get("code"))
    except PartError:
        return None

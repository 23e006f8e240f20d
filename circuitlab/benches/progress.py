"""How far a lesson is: one sign for each question, and a sentence; both follow each answer."""

import os
from html import escape

import ipywidgets as widgets

from ..teaching.book import DONE, FULL, HALF_PAID, OPEN, TRIED
from .asked import STATIC

_SIGNS = {FULL: "\N{HEAVY CHECK MARK}", HALF_PAID: "\N{CIRCLE WITH LEFT HALF BLACK}", DONE: "\N{BLACK CIRCLE}",
          TRIED: "\N{CIRCLE WITH UPPER RIGHT QUADRANT BLACK}", OPEN: "\N{WHITE CIRCLE}"}
_KEY = ", ".join(f"{sign} {far}" for far, sign in _SIGNS.items())


class Progress:
    """Shown in a notebook it counts while answers are given; printed it is the sentence of this moment.

    Parameters
    ----------
    book : Book
    where : str
        What is said of where the answers are kept. [text]
    beside : ipywidgets.Widget, optional
        What stands at its right, as the box for a code does.
    """

    def __init__(self, book, where, beside=None):
        self._book, self._where, self._line = book, where, widgets.HTML("")
        self._view = self._line if beside is None else widgets.HBox([self._line, beside], layout=widgets.Layout(
            flex_flow="row wrap", justify_content="space-between"))
        self.tell()

    def __str__(self):
        return f"{self._book.progress().removesuffix('.')}, {self._where}."

    __repr__ = __str__

    def tell(self):
        """Say anew how far the lesson is."""
        signs = "".join(f'<span title="{escape(self._book.questions[item].question)}: {far}">{_SIGNS[far]}</span> '
                        for item, far in self._book.standing().items())
        self._line.value = (f'<p><span aria-hidden="true"><span style="font-size: 1.15em">{signs}</span> ({_KEY})</span><br>'
                            f"<b>{escape(str(self))}</b></p>")

    @property
    def shown(self):
        """What stands there now. [HTML]"""
        return self._line.value

    def _repr_mimebundle_(self, **options):
        twin = {"text/plain": str(self) if self._book.questions else ""}
        if os.environ.get(STATIC):
            return twin
        shown = self._view._repr_mimebundle_(**options)
        return (shown[0] | twin, shown[1]) if isinstance(shown, tuple) else shown | twin

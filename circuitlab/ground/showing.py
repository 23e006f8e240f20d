"""The one place through which a result shows itself: printed, at a prompt, and as the output of a notebook's cell.

A result names its views; no floor below the views knows where they are. The public page, which may look at any floor,
says so once. At a prompt a result is one sentence, printed it is whole, in a notebook it is its table or picture.
"""

import sys
from html import escape

from .calls import answering
from .plain import bounded, plain

MOST_SAID = 300         # letters of the sentence at a prompt
SPELLED = str.maketrans({"\N{NOT SIGN}": "not ", "\N{MIDDLE DOT}": "and", "\N{MINUS SIGN}": "-",
                         "\N{DEGREE SIGN}": " deg", "\N{HORIZONTAL ELLIPSIS}": "...", "\N{GREEK CAPITAL LETTER OMEGA}": "ohm"})
_page = []


def open_page(page):
    """Say on which module every view is found under its name."""
    _page[:] = [page]


def view(name):
    """Return a view by its name on the public page."""
    return getattr(_page[0], name)


class Showing:
    """A result that shows itself; its record is made with ``repr=False``.

    Attributes
    ----------
    text_view, html_view : str
        Names of the functions that show it whole, on the public page; empty where it has none. [text]
    brief : str
        What it is and how it came out, in one sentence. [text]
    """

    text_view = html_view = ""

    def __init_subclass__(cls, **more):
        super().__init_subclass__(**more)
        answering(cls)

    @property
    def brief(self):
        """What it is, in one sentence; its own where it has one. [text]"""
        return f"{getattr(self, 'sentence', type(self).__name__).rstrip('.')}."

    def __repr__(self):
        said = bounded(plain(self.brief, kept=""), MOST_SAID)
        return f"{said} print() shows it whole." if self.text_view else said

    def __str__(self):
        return for_console(view(self.text_view)(self)) if self.text_view else for_console(self.brief)

    def _repr_html_(self):
        return view(self.html_view)(self) if self.html_view else f"<pre>{escape(str(self))}</pre>"


class Drawing(str):
    """The text of a drawing, SVG, which does not flood a prompt: there it is a sentence, in a notebook the picture."""

    __slots__ = ()

    def __repr__(self):
        return (f"A drawing: {len(self)} letters of SVG. A notebook shows it; cl.save_picture(arrangement, 'FILE.svg') draws into "
                "a file, print() writes the letters.")

    def _repr_html_(self):
        return str(self)


def for_console(text):
    """Return a text with what the console has no letter for spelled out, or as '?'. [text]"""
    coding = getattr(sys.stdout, "encoding", None) or "utf-8"
    try:
        text.encode(coding)
    except UnicodeEncodeError:
        text = text.translate(SPELLED).encode(coding, "replace").decode(coding)
    return plain(text)

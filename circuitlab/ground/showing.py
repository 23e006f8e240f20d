"""The one place through which a result shows itself: printed, at a prompt, and as the output of a notebook's cell.

A result names its views by room, such as ``"views.tables:lamp_table_html"``; no floor below the views imports one. The
public page, which may look at any floor, opens the door once. At a prompt a result is one sentence, printed it is whole,
in a notebook it is its table or picture.
"""

import sys
from html import escape
from types import MethodType

from .calls import answering
from .plain import bounded, plain

MOST_SAID = 300         # letters of the sentence at a prompt
SPELLED = str.maketrans({"\N{NOT SIGN}": "not ", "\N{MIDDLE DOT}": "and", "\N{MINUS SIGN}": "-",
                         "\N{DEGREE SIGN}": " deg", "\N{HORIZONTAL ELLIPSIS}": "...", "\N{GREEK CAPITAL LETTER OMEGA}": "ohm"})
_doors = []


def open_doors(find):
    """Say who finds what stands in a room: it gets ``"views.tables:lamp_table_html"``."""
    _doors[:] = [find]


class Door:
    """A method of a result that another room works out, found there when it is first asked for.

    Parameters
    ----------
    place : str
        The room and the function in it, which gets the result first. [text]
    """

    def __init__(self, place):
        self.place = place

    def __get__(self, result, kind=None):
        return self if result is None else MethodType(_doors[0](self.place), result)


class Showing:
    """A result that shows itself; its record is made with ``repr=False``.

    Attributes
    ----------
    text_view, html_view : str
        The rooms and functions that show it whole, as for a :class:`Door`; empty where it has none. [text]
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

    def text(self, *given, **options):
        """Return it whole, in words; it takes what its view takes. [text]"""
        return Door(self.text_view or "ground.showing:in_words").__get__(self)(*given, **options)

    def html(self, *given, **options):
        """Return it whole, as HTML or SVG; it takes what its view takes. [text]"""
        return Door(self.html_view or "ground.showing:in_plain_type").__get__(self)(*given, **options)

    def __str__(self):
        return for_console(self.text())

    def _repr_html_(self):
        return self.html()


def in_words(result):
    """Return what a result without a view prints: what it says of itself, or its own text. [text]"""
    return result.brief if type(result).__str__ is Showing.__str__ else str(result)


def in_plain_type(result):
    """Return what a result without a picture prints, as HTML. [text]"""
    return f"<pre>{escape(str(result))}</pre>"


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

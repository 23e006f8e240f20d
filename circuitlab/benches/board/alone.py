"""A board in one file: its reel, its modules and its style put into a page that needs no kit and nothing from outside."""

from ...views.board.alone_page import alone_page
from .board import FIND, LIST, MODULES, PAGE, joined
from .reel import Reel

ALL = (*MODULES, "reel", "alone")
ALONE = tuple(name for name in ALL if name not in (*LIST, *FIND))


def board_page(arrangement, form="schematic", progress=None):
    """Return the page of a board that works without the kit. [HTML]

    Parameters
    ----------
    arrangement : Arrangement
        Of at most as many rows as :data:`~circuitlab.reasoning.throws.MOST_ROWS_PLAYED` says.
    form : {"schematic", "attached"}
    progress : callable, optional
        As :meth:`Reel.wind` calls it.
    """
    style = "\n".join((PAGE / name).read_text(encoding="utf-8") for name in ("board.css", "alone.css"))
    return alone_page(arrangement, Reel(arrangement, form).wind(progress), joined(ALONE), style)

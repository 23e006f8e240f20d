"""The board as a widget: its page's modules joined into one, and messages to and from the desk."""

import asyncio
import os
import re
from collections import deque
from itertools import count, islice
from pathlib import Path

import anywidget
import traitlets

from ...arrangements.shelf import bare
from ..asked import STATIC
from .desk import Desk

PAGE = Path(__file__).with_name("page")
FIND = ("symptoms", "readings", "answer", "told", "suspects", "finding")       # of a board that finds a fault; a board without a kit behind it has neither
LIST = ("ledger", "parts", "rules", "files", "byhand", "wiring")      # what a board without a kit behind it has not
MODULES = ("clock", "player", "drawing", "hands", "beside", "rows", "acts", "change", "compared", *LIST, *FIND, "below", "leads", "away", "deeds", "flashes", "edges", "board")       # each imports from those before it alone
PAUSE = 0.003       # s, for a message to leave the kernel before it computes on
NUMBER = count(1)
_WAITING = deque()      # boards with an answer to work out, those of all pages


def joined(names=MODULES):
    """Return the page's modules as one: their imports of each other left out, and all exports but the default. [text]"""
    texts = [(PAGE / f"{name}.js").read_text(encoding="utf-8") for name in names]
    texts = [re.sub(r'^import .* from "\./\w+\.js";\n', "", text, flags=re.MULTILINE) for text in texts]
    return "\n".join(re.sub(r"^export (?!default)", "", text, flags=re.MULTILINE) for text in texts)


class Board(anywidget.AnyWidget):
    """One live board; see :func:`board`.

    Attributes
    ----------
    desk : Desk
        What computes; its ``live`` is the record.
    task : str
        What a lesson asks to be wired on it next, shown beside the drawing; empty for nothing. [text]
    """

    _esm, _css = joined(), PAGE / "board.css"
    still = traitlets.Dict().tag(sync=True)
    task = traitlets.Unicode("").tag(sync=True)

    def __init__(self, arrangement, changes=(), positions=None, form="schematic", script=None):
        desk = Desk(arrangement, positions, form, f"board{next(NUMBER)}-", changes)
        if script:
            desk.play(script)
        self._open(desk)

    def _open(self, desk):
        """Show a desk, and hear for it."""
        self.desk, self._rest = desk, iter(())
        anywidget.AnyWidget.__init__(self, still=desk.still())
        self.on_msg(self._hear)

    @property
    def script(self):
        """What hands did so far. [Script]"""
        return self.desk.script

    @property
    def arrangement(self):
        """The circuit as it is wired now, with what hands took out put back; the list, the proof and a lesson judge this one. [Arrangement]"""
        return self.desk.tried.arrangement

    def _hear(self, _, message, buffers):
        """Answer first what is wanted first; the rest after a pause, in which that goes out, or never where another act comes.

        What only lies ahead waits for its turn among all boards: one piece after another, so that a hand is never kept waiting.
        """
        self.desk.keeps = True
        if message["kind"] == "prove":
            return self._later(message)
        if "position" not in message:
            self._go_on()
        self._rest = self.desk.hear(message)
        for answer in islice(self._rest, int(message["kind"] != "more")):
            self.send(answer)
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:        # no loop that could wait
            self._go_on()
            return
        if not _WAITING:
            loop.call_later(PAUSE, _in_turn, loop)
        (_WAITING.append if message["kind"] == "more" else _WAITING.appendleft)(self)

    def _later(self, message):
        """Answer what takes long once all else is said, or never where an act came meanwhile: the page asks again."""
        try:
            asyncio.get_running_loop().call_later(2 * PAUSE, self._in_quiet, message)
        except RuntimeError:        # no loop that could wait
            self._in_quiet(message)

    def _in_quiet(self, message):
        if message["act"] == self.desk.last:
            for answer in self.desk.hear(message):
                self.send(answer)

    def _go_on(self):
        for answer in self._rest:
            self.send(answer)

    def _repr_mimebundle_(self, **options):
        """Show the board; its still picture rides along for a page that has no widgets."""
        still = {"text/plain": repr(self), "text/html": self.desk.on_paper()}
        if os.environ.get(STATIC):
            return still
        shown, *more = super()._repr_mimebundle_(**options)
        return shown | still, *more

    def __repr__(self):
        return f"A board for '{self.desk.present.title}'. Write it last in a cell of a notebook to see it."


def _in_turn(loop):
    """Let the first board that waits go on, and the others after a pause."""
    try:
        _WAITING.popleft()._go_on()
    finally:
        if _WAITING:
            loop.call_later(PAUSE, _in_turn, loop)


def board(arrangement=None, changes=None, positions=None, form=None, script=None):
    """Return a live board for an arrangement, or for every row of a table; write it last in a cell to see it.

    Parameters
    ----------
    arrangement : Arrangement, Changes, Proof, FaultTable or Comparison, optional
        None for an empty board to wire a circuit of one's own on. A list of changes is gone on with. Of a table, as ``prove``, ``fault_table`` and ``compare`` make it, every line can
        be chosen: the board goes there from rest, its change made, and for a fault with the leads put on the reading that tells it.
    changes : dict of str to change, str, or list of these, optional
        What may be broken and put back, or tried, by the words on its button.
    positions : dict of str to str, optional
        Where the controls stand to begin with. [text]
    form : {"schematic", "attached"}, optional
        How it is drawn: as a schematic unless given, an empty board attached, as it is wired. [text]
    script : Script, optional
        What hands did another time, played again when time runs; see ``cl.scripts``.

    Raises
    ------
    ArrangementError
        For a change that does not fit the arrangement: now, not when its button is pressed.

    >>> import circuitlab as cl
    >>> board(cl.arrangement("one-fused-lamp"))
    A board for 'One lamp with its fuse and its switch'. Write it last in a cell of a notebook to see it.
    """
    empty = arrangement is None
    return Board(bare() if empty else arrangement, changes or {}, positions, form or ("attached" if empty else "schematic"), script)

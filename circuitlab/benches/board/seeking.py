"""A board that finds a fault, as a widget: what takes seconds is worked out beside it, so that it answers hands meanwhile."""

import asyncio
import threading
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from time import monotonic

from .board import NUMBER, Board
from .telling import SLOW, FindDesk

OFTEN = 0.3         # s between two words on how far it is
_BESIDE = ThreadPoolExecutor(max_workers=1, thread_name_prefix="finding")


class _Going:
    """Says now and then how far the candidates are solved; the end of the kernel stops them."""

    def __init__(self, send):
        self.send, self.said = send, 0.0

    def __call__(self, done, total):
        if monotonic() - self.said > OFTEN:
            self.said = monotonic()
            self.send({"kind": "going", "words": f"Solving what may be at fault: {done} of {total}."})
        return threading.main_thread().is_alive()


class FindBoard(Board):
    """A live board on which symptoms and readings are told; see :func:`find`.

    Attributes
    ----------
    desk : FindDesk
        What computes; its ``case`` is all that is told.
    """

    def __init__(self, case, path=None):
        self._foreseen = None
        self._open(FindDesk(case, path, prefix=f"board{next(NUMBER)}-"))

    @property
    def case(self):
        """All that is told and not taken back, with repair, retests, and who signed. [Case]"""
        return self.desk.case

    @property
    def finding(self):
        """What may be at fault after all that is told, once what is being worked out beside is done. [Finding]"""
        return _BESIDE.submit(self.desk.found).result()     # never two at once; nothing there waits for this thread, and nothing there asks for this

    def _hear(self, widget, message, buffers):
        """Answer at once; what takes long beside, in the order in which it was asked for."""
        if message["kind"] not in SLOW:
            super()._hear(widget, message, buffers)
            return self._foresee(message)
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:        # no loop that could wait
            return self._work_out(message, self.send)
        _BESIDE.submit(self._work_out, message, partial(loop.call_soon_threadsafe, self.send))

    def _foresee(self, message):
        """Work out beside what a test lamp gives where it was just put, for it is told next; everything must be solved before."""
        place = self.desk.lamp_place(message)
        if place is not None and place != self._foreseen:
            self._foreseen = place
            _BESIDE.submit(self.desk.foresee, *place)

    def _work_out(self, message, send):
        """Send every answer to a message; of a fault of the kit itself a sentence as well."""
        self.desk.going = _Going(send)
        try:
            for answer in self.desk.hear(message):
                send(answer)
        except Exception as error:
            send({"kind": "trouble", "words": f"the kit stumbled ({type(error).__name__}: {error}). Take back what was told last, and go on.",
                  "of": message["kind"], "asked": ""})

    def __repr__(self):
        return f"A board to find the fault in '{self.desk.present.title}'. Write it last in a cell of a notebook to see it."

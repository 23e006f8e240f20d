"""How far a long work is: shown where somebody watches, and said in one sentence when it is stopped."""

import sys
import time

from ..ground.stopping import STOPPED

OFTEN = 0.1      # s, between two looks at how far it is


class Watching:
    """Takes the progress of a work; to be given as its ``progress``.

    Parameters
    ----------
    what : str
        What is counted, where the work does not say. [text]
    """

    def __init__(self, what="rows"):
        self._far, self._shown, self._on_line = (0, 0, what), 0.0, False

    def __call__(self, done, total, what=None):
        what = what or self._far[2]
        if what != self._far[2]:
            self.close()
        self._far = done, total, what
        if sys.stderr.isatty() and (done == total or time.monotonic() - self._shown > OFTEN):
            self._shown, self._on_line = time.monotonic(), True     # first: a Ctrl+C may come while it prints
            getattr(sys.stderr, "beneath", sys.stderr).write(f"\r{done} of {total} {what}  ")
            sys.stderr.flush()

    def close(self):
        """End the line that shows how far it is, if there is one."""
        if self._on_line:
            print(file=sys.stderr)
            self._on_line = False

    def stopped(self, so=""):
        """Say how far the work got, and what follows; return the number to leave with. [1]"""
        self.close()
        done, total, what = self._far
        far = f"after {done} of {total} {what}" if done else f"before the first of the {what} was done"
        print(f"stopped {far}{so}.", file=sys.stderr)
        return STOPPED

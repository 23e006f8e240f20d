"""What a command prints: nothing in it moves the cursor or changes colours, and no console makes it stumble."""

import os
import sys
from contextlib import contextmanager

from ..ground.plain import plain


class Console:
    """A stream beneath which another one is written to, with letters that are not to be seen shown by their numbers.

    Parameters
    ----------
    beneath : text stream or None
        None swallows everything: the command was started without that stream.
    """

    def __init__(self, beneath):
        self.beneath = open(os.devnull, "w") if beneath is None else beneath
        if hasattr(self.beneath, "reconfigure"):
            self.beneath.reconfigure(errors="replace")   # an old console shows '?' rather than a traceback

    def write(self, text):
        """Write text, made plain; return how many letters it had. [1]"""
        self.beneath.write(plain(text))
        return len(text)

    def __getattr__(self, name):
        return getattr(self.beneath, name)


@contextmanager
def console():
    """Put a console over both streams."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = map(Console, before)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before

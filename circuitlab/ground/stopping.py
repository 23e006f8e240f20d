"""Ctrl+C while a command is still being loaded: one sentence, as later on, and no traceback.

``python -m circuitlab`` loads the whole page of the package before its first line runs. So the page asks this room
first, which loads nothing but what Python has at hand, and the command line takes over when it stands.
"""

import os
import signal
import sys

STOPPED = 130    # ended from the keyboard; the number shells use for that
SENTENCE = "stopped before the end."


def stand_by():
    """Answer Ctrl+C with the sentence from here on, where the package is being loaded as a command."""
    asked = getattr(sys, "orig_argv", [])
    place = asked.index("-m") if "-m" in asked else len(asked)
    if asked[place + 1:place + 2] == ["circuitlab"] and sys.argv[:1] == ["-m"] \
            and signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, _leave)


def hand_over():
    """Let Ctrl+C be an error again that ends what runs: whoever calls this says the sentence."""
    if signal.getsignal(signal.SIGINT) is _leave:
        signal.signal(signal.SIGINT, signal.default_int_handler)


def _leave(*_):
    os.write(2, f"{SENTENCE}\n".encode())
    os._exit(STOPPED)

"""A line typed at the keyboard."""

import sys


def typed():
    """Return a line from the keyboard. [text]

    Raises
    ------
    KeyboardInterrupt
        Where it ends.
    """
    print("> ", end="", flush=True)
    line = sys.stdin.readline()
    if not line:
        raise KeyboardInterrupt
    return line.strip()

"""Prepared changes by the words on their buttons, looked at before anybody presses one."""

from ..ground.errors import ArrangementError
from .changes import changed
from .tried import cards_of


def check_cards(arrangement, changes):
    """Raise ArrangementError for a prepared change that is none, or that does not fit the arrangement.

    >>> import circuitlab as cl
    >>> check_cards(cl.arrangement("one-fused-lamp"), {"fuse blown": "F1"})
    Traceback (most recent call last):
    ...
    circuitlab.ground.errors.ArrangementError: 'fuse blown' is not a change. Give one such as cl.Hold("F1", "blown").
    """
    for words, steps in cards_of(changes).items():
        if not all(hasattr(step, "apply") for step in steps):
            raise ArrangementError(f"'{words}' is not a change. Give one such as cl.Hold(\"F1\", \"blown\").")
        changed(arrangement, *steps)

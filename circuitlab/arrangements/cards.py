"""Prepared changes by the words on their buttons, looked at before anybody presses one."""

from ..ground.errors import ArrangementError, CircuitLabError
from .history import Changes
from .tried import cards_of


def check_cards(before, changes):
    """Raise ArrangementError for a prepared change that is none, or that does not fit an arrangement or a list of changes.

    >>> import circuitlab as cl
    >>> check_cards(cl.arrangement("one-fused-lamp"), {"fuse gone": cl.Hold("F7", "blown")})
    Traceback (most recent call last):
    ...
    circuitlab.ground.errors.ArrangementError: the change 'fuse gone' of a board: arrangement 'one-fused-lamp' has no part \
'F7'. It has: G1, F1, S1, E1, X1. Did you mean 'F1'?
    """
    begun = before if isinstance(before, Changes) else Changes(before)
    for words, steps in cards_of(changes).items():
        try:
            begun.make(*steps, name=words)
        except CircuitLabError as error:
            raise ArrangementError(f"the change '{words}' of a board: {error}") from None

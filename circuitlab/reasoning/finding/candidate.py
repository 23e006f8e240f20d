"""One thing that may be at fault, as a change that nobody wanted, with the repair it asks for."""

from dataclasses import dataclass, replace
from math import inf

from ...arrangements import Hold, LoseJoint, changed
from .assumptions import OPEN_SHARE
from .seen import MISSING

MOVING = ("switches", "relays", "flashers", "converters")       # sorts of what moves, so that it may stick now and then


@dataclass(frozen=True)
class Candidate:
    """One thing that may be at fault: a change that nobody wanted.

    Attributes
    ----------
    changes : tuple of change
    words : str
        What it is. [text]
    sort : str
        A line of the table of odds. [text]
    place : tuple of str
        The two terminals it lies between, or the parts it is about. [text]
    repair : str
        What is to be done about it. Two with the same need not be told apart. [text]
    grade : float or None
        Of a bad joint or contact; ``inf`` for open. [ohm]
    share : float
        Of the odds of all that one place may have. [1]
    blows : tuple of str
        Fuses it has blown: they stay so. [text]
    light : tuple of (str, float)
        A lamp whose glass lets less light out, and what part of it; empty for none. [text], [1]
    behind : tuple of (str, str)
        Terminals a lead is not on any more, as something poor lies behind them, each with the place where its wires are now. [text]
    chafed : tuple of str
        The wire that touches the frame somewhere along it, the terminal that the change has it touch at, and its other one. Taken
        off the first it still touches, from the other. Empty for none. [text]
    """

    changes: tuple
    words: str
    sort: str
    place: tuple
    repair: str
    grade: float | None = None
    share: float = 1.0
    blows: tuple = ()
    light: tuple = ()
    behind: tuple = ()
    chafed: tuple = ()

    def apply(self, arrangement):
        """Return the arrangement with it."""
        return changed(arrangement, *self.changes)

    @property
    def comes_and_goes(self):
        """Whether it may be there one moment and not the next. [yes/no]"""
        return self.grade is not None or self.sort in MOVING

    @property
    def is_missing(self):
        """Whether it is a fuse that does not sit in its way of a block. [yes/no]"""
        return any(getattr(change, "state", "") == MISSING for change in self.changes)

    @property
    def is_joint(self):
        """Whether it is a joint of one wire with so many ohms, or open. [yes/no]"""
        return self.grade is not None and len(self.changes) == 1 and isinstance(self.changes[0], LoseJoint)

    def after_blowing(self, fuses, part=1.0, words=""):
        """Return it with the fuses that it blows gone, that part of its share, and words behind its own. [text], [1]"""
        gone = tuple(Hold(name, "blown") for name in fuses)
        return replace(self, changes=(*self.changes, *gone), words=self.words + words, blows=tuple(fuses), share=part * self.share) if gone or part != 1.0 else self


def ohms_words(ohms):
    """Return the grade of a bad joint in words. [ohm], [text]

    >>> ohms_words(0.3), ohms_words(inf)
    ('0.3 ohm', 'open')
    """
    return "open" if ohms == inf else f"{ohms:g} ohm"


def graded(grades, share=1.0 - OPEN_SHARE):
    """Return grades, each with its share of the odds of a place. [ohm], [1]"""
    return [(grade, share / len(grades)) for grade in grades]

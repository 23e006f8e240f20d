"""What is found when a part is held to one rule of sizing."""

from dataclasses import dataclass

from ...ground.showing import Showing
from .limits import RULES


@dataclass(frozen=True, repr=False)
class Finding(Showing):
    """One rule, kept or broken by one part.

    Attributes
    ----------
    rule : str
        Its name, one of :data:`~circuitlab.reasoning.sizing.limits.RULES`. [text]
    part : str
        The part or wire it is about. [text]
    is_kept : bool
    sentence : str
        What was found and in which row; not what would be right. [text]
    value, limit : float or None
        None where the rule has no number. [unit]
    unit, source : str
    """

    rule: str
    part: str
    is_kept: bool
    sentence: str
    value: float | None
    limit: float | None
    unit: str
    source: str


def judged(rule, part, what, value=None, limit=None, unit="", kept=None, source=""):
    """Return the finding on a part by a rule's name; unless it is said whether it is kept, a value is held to its limit as it is told."""
    rule = RULES[rule]
    if kept is None:
        kept = limit is not None and (_told(value) <= _told(limit) if rule.side == "at most"
                                      else _told(value) >= _told(limit))
    says = f"{part}: {what}. That {'keeps' if kept else 'breaks'} the rule '{rule.name}'"
    return Finding(rule.name, part, bool(kept), says, value, limit, unit, source or rule.source)


def _told(value):
    """Return a value as it is told, with three digits: one that is told as its limit is at its limit."""
    return float(f"{value:.3g}")

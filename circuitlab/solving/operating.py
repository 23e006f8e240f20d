"""The operating point: what the search for a settled state finds, and what time makes of it where that leaves it open.

A time course begins with what the search alone finds, so the search stands
below it and the operating point above both.
"""

from dataclasses import replace

from .buzzing import leading, restless_words
from .deciding import buzzes_in_time, verdict_in_time
from .inrush import decided_by_time, told_by_time
from .settling import untimed_point


def operating_point(arrangement, positions=None, phases="on", operated=()):
    """Return the settled operating point of an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str, optional
        Control positions; a control not named is at rest. [text]
    phases : str or dict of str to str
        ``"on"`` or ``"off"``, for all flashers or for each by name. [text]
    operated : iterable of str
        Relays taken to be operated beforehand; all others start released. [text]

    Returns
    -------
    OperatingPoint

    Raises
    ------
    UnknownName
        For a control, position, phase or relay that is not there.

    Notes
    -----
    Lamps are at their settled temperature for the volts they have in this
    phase. For a lamp that warms or cools see :func:`~circuitlab.solving.run`.

    >>> import circuitlab as cl
    >>> round(operating_point(cl.arrangement("one-fused-lamp"), {"lamp switch": "on"}).lamp_volts("E1"), 2)
    12.39
    """
    point = untimed_point(arrangement, positions, phases, operated, operating_point)
    if point.verdict == "several stable" and not operated and buzzes_in_time(arrangement, point.positions):
        return _named(point, point.sentence.partition(" can come to rest")[0].split(", "))
    if point.verdict == "buzzing":
        return not operated and told_by_time(point) or _named(point, point.movers)
    if point.verdict == "settled" and not operated:
        return decided_by_time(point)
    return point


def _named(point, names):
    """Return a point without rest by what that is called, from the names of what moves: buzzing, or chatter."""
    parts = leading(map(point.arrangement.part, names))
    verdict = verdict_in_time(point.arrangement, point.positions, parts)
    return replace(point, verdict=verdict, sentence=restless_words(parts, verdict))

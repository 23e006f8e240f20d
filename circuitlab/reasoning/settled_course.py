"""A row that only time decides: its controls are moved, and what comes of it is looked at once all is warm."""

from ..solving.buzzing import NO_REST
from ..solving.deciding import course_from_rest, long_enough
from ..solving.inrush import restless_course
from .flashing import TOO_SHORT

WARM = 0.5       # s, in which relays have moved and filaments are warm
_LONG = 2.5      # s, for parts that need their time to warm up


def settled_course(arrangement, positions, points=()):
    """Return the time course of a row, from rest, long enough for a flasher's period and for what is under way.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str
        The row. [text]
    points : sequence of OperatingPoint
        The row's own, which tell what finds no rest.
    """
    restless = next((point for point in points if point.movers), None)
    if restless is not None:
        course = restless_course(arrangement, tuple(restless.positions.items()))
        if course.verdict in NO_REST:      # it ended there, so no longer one has more to tell
            return course
    swinging = [part for part in arrangement.parts if part.swings]
    slow = any(part.heat_time for part in swinging)
    until = WARM + (_LONG if slow else max((60 / getattr(part, "rate", 60.0) for part in swinging), default=0.5))
    movers = [arrangement.part(name) for name in {name for point in points for name in point.movers}]
    until = max(until, long_enough({*movers, *swinging}) if movers else 0.0)
    return course_from_rest(arrangement, tuple(positions.items()), until)


def settled_moments(course):
    """Return a moment in each stretch of a course in which nothing changes, once warm, save what no filament shows. [s]"""
    turns = sorted({WARM, course.until, *(event.time for event in course.events if WARM < event.time < course.until)})
    return tuple((start + end) / 2 for start, end in zip(turns, turns[1:]) if end - start >= TOO_SHORT)

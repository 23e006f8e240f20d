"""The lowest and the highest reading of a meter between two leads over a stretch of a record, as its MIN/MAX key keeps them."""

from ..solving.time_course import TICK


def extremes(live, red, black, begin, end):
    """Return the least and the greatest volts between two terminals, and whether one of them floated meanwhile.

    Between two events only filaments warm or cool, so volts there run from one end to the other without turning back but
    for what several lamps on one weak supply do to each other; a point in the middle is looked at as well.

    Parameters
    ----------
    live : Live or TimeCourse
    red, black : str
        Terminals. [text]
    begin, end : float
        Within the record. [s]

    Returns
    -------
    tuple of (float or None, float or None, bool)
        [V]

    >>> import circuitlab as cl
    >>> course = cl.run(cl.arrangement("one-fused-lamp"), [(0.5, "lamp switch", "on")], until=1.0)
    >>> extremes(course, "E1:1", "G1:-", 0.0, 0.4)
    (0.0, 0.0, False)
    >>> [round(volts, 1) for volts in extremes(course, "E1:1", "G1:-", 0.4, 1.0)[:2]]
    [0.0, 12.4]
    """
    times = sorted({round(each[0] * TICK) for each in map(_plain, live.events) if begin < each[0] <= end})
    ticks = [round(begin * TICK), *(tick - before for tick in times for before in (1, 0)), round(end * TICK)]
    ticks += [(here + there) // 2 for here, there in zip(ticks, ticks[1:]) if there - here > 1]
    seen = [live.at(tick / TICK).meter(red, black) for tick in ticks if begin <= tick / TICK <= end]
    values = [volts for volts in seen if volts is not None]
    return min(values, default=None), max(values, default=None), len(values) < len(seen)


def _plain(event):
    """Return an event with its time first, of either record."""
    return event if isinstance(event, tuple) else (event.time, event.name, event.state)

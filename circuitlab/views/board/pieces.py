"""A piece of a record as the page plays it back: when which picture stands, and how the lamps' volts and light run."""

from bisect import bisect_left, bisect_right

SHADE = 0.004      # of rated light: less is no step that an eye, or a strip of 200 px, could show
VOLT = 0.04        # V, the same of volts


def moments_of(course, begin, end):
    """Return the moments in ``(begin, end]`` at which something changes its state, each once. [s]"""
    return sorted({event.time for event in course.events if begin < event.time <= end})


def piece_of(course, begin, end):
    """Return the curves of a time course between two moments.

    Parameters
    ----------
    course : TimeCourse
    begin, end : float
        Within the record. [s]

    Returns
    -------
    dict of str to list
        For each lamp ``[moment, volts, light]`` one after the other, jumps twice. [s], [V], [1]
    """
    first, last = max(0, bisect_right(course.times, begin) - 1), bisect_left(course.times, end) + 1
    times = course.times[first:last]
    return {lamp: _thinned(list(zip(times, course.lamp_volts[lamp][first:last], course.light[lamp][first:last], strict=True)))
            for lamp in course.lamp_volts}


def _thinned(points):
    """Return points without those that lie on the straight line between their neighbours, as near as an eye can tell."""
    kept = points[:1]
    for index in range(1, len(points) - 1):
        (t, volts, light), (here, *own), (later, *far) = kept[-1], points[index], points[index + 1]
        share = (here - t) / (later - t) if later > t else 2.0
        if share > 1 or abs(volts + share * (far[0] - volts) - own[0]) > VOLT / 4 or abs(light + share * (far[1] - light) - own[1]) > SHADE / 4 \
                or here - t > 0.25:
            kept.append(points[index])
    kept += points[1:][-1:]
    return [[round(t, 6), round(volts, 3), round(light, 4)] for t, volts, light in kept]

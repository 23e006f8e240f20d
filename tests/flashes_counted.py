"""How often light comes on in a second: more than three flashes in any one may not be shown over a page.

Source: WCAG 2.2, success criterion 2.3.1 and its definition of a general flash: two opposing changes of a tenth of the
full light or more. Lamps that come on together are one flash to the eye.
"""

from bisect import bisect_right

MOST = 3             # flashes in any second. Source: WCAG 2.2, 2.3.1
CHANGE = 0.1         # of full light. Source: its definition of a general flash
TOGETHER = 0.06      # s within which lamps that come on are seen as one flash: the kit's own


def most_flashes(lights, speed=1.0):
    """Return how many flashes begin in the second that has most of them, all lamps of a page together.

    Parameters
    ----------
    lights : iterable of (sequence of float, sequence of float)
        For each lamp moments [s] and its light at each, relative to full light; more than full counts as full. [1]
    speed : float
        At which it is shown; 0.1 is slowed down tenfold. [1]

    >>> lamp = [0.0, 0.1, 0.1, 0.2, 0.2, 0.3, 0.3], [1.0, 1.0, 0.0, 0.0, 1.0, 1.0, 0.0]
    >>> most_flashes([lamp])
    1
    """
    seen = []
    for moment in sorted(moment / speed for times, values in lights for moment in rises(times, values)):
        if not seen or moment - seen[-1] > TOGETHER:
            seen.append(moment)
    return max((bisect_right(seen, moment + 1) - place for place, moment in enumerate(seen)), default=0)


def is_too_fast(lights, speed=1.0):
    """Tell whether showing these lamps would be more than three flashes in some second; as ``most_flashes``. [yes/no]"""
    return most_flashes(lights, speed) > MOST


def rises(times, values):
    """Return when light has risen by what counts since it was last as low, once for each fall before. [s]"""
    found, extreme, is_up = [], None, False
    for moment, light in zip(times, values):
        light = min(light, 1.0)
        if extreme is None:
            extreme, is_up = light, light >= CHANGE
        elif is_up:
            extreme = max(extreme, light)
            is_up, extreme = (False, light) if extreme - light >= CHANGE else (True, extreme)
        else:
            extreme = min(extreme, light)
            if light - extreme >= CHANGE:
                found.append(moment)
                is_up, extreme = True, light
    return found

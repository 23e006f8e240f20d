"""What the eye sees of a lamp that something restless feeds: it flickers, or it is lit evenly by what it gets on average.

A relay that buzzes faster than the eye can follow lights its lamps evenly, and dimmer; slower, they flicker.
"""

from bisect import bisect_left
from math import sqrt

from ..solving.buzzing import who_and_rate
from .looks import DARK_BELOW

FUSION = 50.0    # Hz, above which a bright light on and off looks even: flicker fusion is put at 50 to 60 Hz, from memory
TURNS = 2        # looked at, the last of a course


def restless_light(course, lamp):
    """Return ``(light, flickers)`` of a lamp in a course that finds no rest, relative to rated. [1], [yes/no]

    The light is that of a filament at rest on the effective volts of the last turns, which a course cut short has not
    reached yet; of a lamp without a filament its mean.
    """
    begin = max((event.time for event in course.events if event.name in course.arrangement.controls_by_name), default=0.0)
    late = [event for event in course.events if event.time >= begin]
    _, rate = who_and_rate(late, course.arrangement.by_name)
    first = bisect_left(course.times, max(begin, course.until - TURNS / rate)) if rate else 0
    times = course.times[first:]
    device = course.arrangement.part(lamp).branches()[0].device
    if device.warms:
        volts = sqrt(_mean(times, [each**2 for each in course.lamp_volts[lamp][first:]]))
        light = 0.0 if course.arrangement.is_gone(lamp) else device.shine(volts, device.settled_temperature(volts))
    else:
        light = _mean(times, course.light[lamp][first:])
    volts = [abs(each) for each in course.lamp_volts[lamp][first:]]
    return light, max(light, *course.light[lamp][first:]) >= DARK_BELOW and rate < FUSION and min(volts) < max(volts) / 2


def _mean(times, values):
    """Return the mean over time of values joined by straight lines."""
    span = times[-1] - times[0]
    return sum((late - soon) * (one + other) / 2 for soon, late, one, other in zip(times, times[1:], values, values[1:])) / span \
        if span else values[-1]

"""What a time course says in words: the same facts as its picture, no more and no less."""

from math import ceil, floor

from ..ground.errors import unknown_name
from ..ground.quantities import say
from ..parts import Switch
from ..reasoning import ALLOWED_RATE, flash
from .style import named

BAND = f"{ALLOWED_RATE[0]:g} to {ALLOWED_RATE[1]:g}"   # flashes per minute
BAND_SOURCE = "SAE J974 par. 4.3; StVZO 54"
SLIGHT = 0.5   # V, a trace this far below 0 needs no axis of its own: what a shared ground gives


def chosen(course, lamps):
    """Return the names of the lamps to show: all of them, or those asked for.

    Raises
    ------
    UnknownName
        For a lamp the course does not have.
    """
    if lamps is None:
        return tuple(course.lamp_volts)
    for lamp in lamps:
        if lamp not in course.lamp_volts:
            raise unknown_name("the time course", "lamp", lamp, course.lamp_volts)
    return tuple(lamps)


def volt_marks(course, lamps):
    """Return the marks of the volts axis, its ends included: 0, 5, 10, 15, or wider when a trace needs it. [V]

    Light shares the axis, 10 V standing for 100 %.
    """
    low = min((min(course.lamp_volts[lamp]) for lamp in lamps), default=0)
    high = max((max(max(course.lamp_volts[lamp]), 10 * max(course.light[lamp])) for lamp in lamps), default=0)
    low, high = min(low, 0) if low < -SLIGHT else 0, max(high, 15)
    step = 5 * ceil((high - low) / 20)
    return range(step * floor(low / step), step * ceil(high / step) + 1, step)


def lamp_words(course, lamp, measured):
    """Return the short lines that stand beside a lamp: look and rate, band and on-share, volts and light. [text]"""
    if measured.rate is None:
        lines = [measured.look if not measured.look.endswith("changing") else measured.sentence.partition(",")[0]]
    else:
        where = "in" if measured.is_rate_allowed else "below" if measured.rate < ALLOWED_RATE[0] else "above"
        lines = [f"{measured.look}, {measured.rate:.0f} per minute",
                 f"{where} the band, on-time {100 * measured.on_share:.0f} %"]
    volts, light = course.lamp_volts[lamp], course.light[lamp]
    return [*lines, f"{_tenths(min(volts))} to {_tenths(max(volts))} V, light to {100 * max(light):.0f} %"]


def current_words(course, lamp):
    """Return the greatest and the last current of a lamp, in one short line. [text]"""
    amps = course.lamp_current[lamp]
    highest = max(amps, key=abs)
    return [f"current to {say(highest, 'A')}"] if abs(highest) > 1e-6 else []


def reading_words(course, lamp, moment):
    """Return what stands at a lamp at one moment: volts, light and current, in one short line. [text]"""
    point = course.at(min(moment, course.until))
    return [f"at {moment:.2f} s: {say(abs(point.lamp_meter(lamp) or 0.0), 'V')}, {100 * point.light(lamp):.0f} %, "
            f"{say(abs(point.current(lamp)), 'A')}"]


def edge_words(measured):
    """Return when a lamp came on and went off: what a trace shows before anybody has measured it. [text]"""
    moments = [(time, "on" if rises else "off") for time, rises in measured.edges]
    return [f"{what} at " + ", ".join(f"{time:.2f}" for time, each in moments if each == what) + " s"
            for what in ("on", "off") if any(each == what for _, each in moments)] or [measured.look]


def _tenths(volts):
    return f"{round(volts, 1) + 0.0:.1f}"


def oddities(course, lamps):
    """Return the sentences that stand above a chart: nothing to show, nothing to move, a record cut short. [text]"""
    said = []
    if not course.arrangement.controls:
        said.append("There is no control to move.")
    if not lamps:
        said.append("There is no lamp to show.")
    if course.verdict != "settled":
        said.append(f"The record ends at {course.until:g} s: {course.sentence}.")
    return said


def has_rates(measured):
    """Tell whether any lamp has flashed long enough for a rate, so that the band of rates is drawn. [yes/no]"""
    return any(each.rate is not None for each in measured.values())


def actions(course, control):
    """Return the moves of a control as (time [s], position), the first at 0."""
    return [(start, position) for start, _, position in course.spans(control)]


def part_events(course):
    """Return the events of parts; controls and the switches they work are shown as bars."""
    arrangement = course.arrangement
    shown = {*arrangement.controls_by_name, *(switch.name for switch in arrangement.of_kind(Switch))}
    return [event for event in course.events if event.name not in shown]


def lasting(course, event):
    """Tell whether an event is one the part does not come back from, such as a blown fuse."""
    part = course.arrangement.part(event.name)
    return part.latching and event.state == part.states[-1]


def describe_course(course, lamps=None, parts=(), measured=None, told=True):
    """Return the text alternative of a time chart.

    Parameters
    ----------
    course : TimeCourse
        As :func:`~circuitlab.solving.run` gives it.
    lamps : iterable of str, optional
        Lamps shown; all when not given. [text]
    parts : iterable of str, optional
        Relays, flashers or fuses shown as bars as well. [text]
    measured : dict of str to Flash, optional
        What :func:`~circuitlab.reasoning.flash` says of each lamp, when it is at hand already.
    told : bool
        False leaves rate, on-share and light to the listener: when each lamp came on and went off is said instead.

    Returns
    -------
    str
        What, axes, range, each control's moves, each lamp's look, rate,
        on-share and volts, and the events. [text]
    """
    lamps, arrangement = chosen(course, lamps), course.arrangement
    measured = measured or {lamp: flash(course, lamp) for lamp in lamps}
    marks = volt_marks(course, lamps)
    said = [f"Time chart of {arrangement.title}, 0 to {course.until:g} s."]
    if lamps:
        said.append(f"One strip for each lamp: volts from {marks[0]} to {marks[-1]} V, "
                    f"relative light from {10 * marks[0]} to {10 * marks[-1]} %."
                    + (f" The band is {BAND} flashes per minute." if told and has_rates(measured) else ""))
    said += oddities(course, lamps)
    for name in [control.name for control in arrangement.controls] + list(parts):
        first, *later = actions(course, name)
        said.append(f"{name}: {first[1]}" + "".join(f", at {time:g} s {state}" for time, state in later) + ".")
    for lamp in lamps:
        said.append(f"{named(arrangement.part(lamp))}: "
                    f"{'; '.join(lamp_words(course, lamp, measured[lamp]) if told else edge_words(measured[lamp]))}.")
    events = part_events(course)
    if events:
        said.append(f"Ticks where a part changes: {len(events)}.")
    said += [f"{event.name} is {event.state} from {event.time:g} s." for event in events if lasting(course, event)]
    return " ".join(said)

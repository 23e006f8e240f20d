"""What a time course says in words: the same facts as its picture, no more and no less."""

from ..ground.errors import unknown_name
from ..reasoning import flash
from .style import named

PERMITTED = (60, 120)  # flashes per minute. Source: SAE J974 par. 4.3; StVZO 54 (90 +-30 per minute)
PERMITTED_SOURCE = "SAE J974 par. 4.3; StVZO 54"


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


def volt_range(course, lamps):
    """Return the ends of the volts axis: 0 and 15, wider in steps of 5 when a trace needs it. [V]

    Light shares the axis, 10 V standing for 100 %.
    """
    low, high = 0, 15
    for lamp in lamps:
        low = min(low, min(course.lamp_volts[lamp], default=0))
        high = max(high, max(course.lamp_volts[lamp], default=0), 10 * max(course.light[lamp], default=0))
    return int(-5 * (-low // 5 + (-low % 5 > 0))), int(5 * (high // 5 + (high % 5 > 0)))


def lamp_words(course, lamp, measured):
    """Return the short lines that stand beside a lamp: look and rate, band and on-share, volts and light. [text]"""
    lines = [measured.look]
    if measured.rate is not None:
        low, high = PERMITTED
        lines[0] += f", {measured.rate:.0f} per minute"
        lines.append("below the band" if measured.rate < low else "above the band" if measured.rate > high
                     else "in the band")
        if measured.on_share is not None:
            lines[1] += f", on-share {100 * measured.on_share:.0f} %"
    volts, light = course.lamp_volts[lamp], course.light[lamp]
    if volts:
        lines.append(f"{min(volts) + 0.0:.1f} to {max(volts):.1f} V, light to {100 * max(light):.0f} %")
    return lines


def actions(course, control):
    """Return the moves of a control as (time [s], position), the first at 0."""
    return [(start, position) for start, _, position in course.spans(control)]


def part_events(course):
    """Return the events of parts; those of controls are shown as bars."""
    controls = course.arrangement.controls_by_name
    return [event for event in course.events if event.name not in controls]


def lasting(course, event):
    """Tell whether an event is one the part does not come back from, such as a blown fuse."""
    part = course.arrangement.part(event.name)
    return part.latching and event.state == part.states[-1]


def describe_course(course, lamps=None, parts=()):
    """Return the text alternative of a time chart.

    Parameters
    ----------
    course : TimeCourse
        As :func:`~circuitlab.solving.run` gives it.
    lamps : iterable of str, optional
        Lamps shown; all when not given. [text]
    parts : iterable of str, optional
        Relays, flashers or fuses shown as bars as well. [text]

    Returns
    -------
    str
        What, axes, range, each control's moves, each lamp's look, rate,
        on-share and volts, and the events. [text]
    """
    lamps, arrangement = chosen(course, lamps), course.arrangement
    low, high = volt_range(course, lamps)
    said = [f"Time chart of {arrangement.title}, 0 to {course.until:g} s."]
    if lamps:
        said.append(f"One strip for each lamp: volts from {low} to {high} V, "
                    f"relative light from {10 * low} to {10 * high} %. "
                    f"The band is {PERMITTED[0]} to {PERMITTED[1]} flashes per minute.")
    else:
        said.append("There is no lamp to show.")
    if not arrangement.controls:
        said.append("There is no control to move.")
    for name in [control.name for control in arrangement.controls] + list(parts):
        first, *later = actions(course, name)
        said.append(f"{name}: {first[1]}" + "".join(f", at {time:g} s {state}" for time, state in later) + ".")
    for lamp in lamps:
        said.append(f"{named(arrangement.part(lamp))}: {'; '.join(lamp_words(course, lamp, flash(course, lamp)))}.")
    events = part_events(course)
    if events:
        said.append(f"Part events: {len(events)}.")
    said += [f"{event.name} is {event.state} from {event.time:g} s." for event in events if lasting(course, event)]
    return " ".join(said)

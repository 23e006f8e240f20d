"""The live time chart: one SVG string, made by hand so that it follows a slider in a blink.

Each trace is drawn in its own units, milliseconds across and hundredths of a
volt up, and a transform puts it on the page; so the numbers in the path are
the record itself.
"""

from ..ground.showing import Drawing
from ..reasoning import flash
from . import style
from .chart_frame import (GAUGE_END, LEFT, LETTER, RIGHT, WIDTH, WORDS, gauge, heading, put, put_wrapped, time_axis,
                          volt_axis, x_at, x_of_rate)
from .course_words import (actions, chosen, current_words, describe_course, has_rates, lamp_words, lasting, oddities,
                           part_events, reading_words, volt_marks)

__all__ = ["describe_course", "time_chart"]

STRIP, BAR_ROW, GAP = 92, 24, 18                 # heights [px]


def time_chart(course, lamps=None, prefix="", parts=(), told=True, moment=None, currents=False):
    """Draw a time course: controls as bars on top, one strip of volts and light for each lamp.

    Parameters
    ----------
    course : TimeCourse
        As :func:`~circuitlab.solving.run` gives it.
    lamps : iterable of str, optional
        Lamps to show, in this order; all when not given. [text]
    prefix : str
        Put before every id, so that two charts can stand on one page. [text]
    parts : iterable of str, optional
        Relays, flashers or fuses to show as thin bars as well. [text]
    told : bool
        Whether what was measured stands beside each lamp; False leaves rate and on-share for the reader to find.
    moment : float, optional
        A moment to mark and to read off, such as the one a schematic beside the chart shows. [s]
    currents : bool
        Whether each lamp's current is drawn too, 1 A for each volt of the axis; an inrush beyond it is cut and said.

    Returns
    -------
    str
        One ``svg`` element with its text alternative. [text]

    Raises
    ------
    UnknownName
        For a lamp or part the course does not have.

    >>> import circuitlab as cl
    >>> chart = time_chart(cl.run(cl.arrangement("one-fused-lamp"), [(0.5, "lamp switch", "on")]))
    >>> chart[:4], "lamp switch" in chart
    ('<svg', True)
    """
    below, above, y, spoken = _pieces(course, lamps, prefix, parts, told, moment, currents)
    return Drawing(f"{_open(y, spoken, prefix)}{''.join(below)}{''.join(above)}</svg>")


def _open(y, spoken, prefix):
    return (f'<svg xmlns="http://www.w3.org/2000/svg" id="{style.safe(prefix)}chart" role="img" aria-label="{spoken}" '
            f'viewBox="0 0 {WIDTH} {y}" width="{WIDTH}" height="{y}" '
            f'style="max-width:100%;height:auto" font-family="{style.FONT}" font-size="12" fill="currentColor" '
            'stroke="none">')


def _pieces(course, lamps, prefix, parts, told, moment, currents):
    """Return the pieces that lie below, those above them, the height [px] and the words."""
    lamps, arrangement = chosen(course, lamps), course.arrangement
    piece, y = heading(arrangement.title, tuple(oddities(course, lamps)))
    first, below, above = y, [piece], []
    for name, rest, thick in (*((control.name, control.rest, 15) for control in arrangement.controls),
                              *((name, arrangement.part(name).states[0], 11) for name in parts)):
        label, bottom = put_wrapped(8, y + 13, name, LEFT - 24)
        below.append(label)
        above.append(_bars(course, name, rest, y, thick))
        y = max(y + BAR_ROW, bottom - 6)
    events = part_events(course)
    if events:
        below.append(put(8, y + 13, "a part changes"))
        piece, y = _events(course, events, y)
        above.append(piece)
    y, marks = y + 4, volt_marks(course, lamps)
    measured = {lamp: flash(course, lamp) for lamp in lamps}
    across = [round(1000 * time) for time in course.times]
    more = {lamp: [*(current_words(course, lamp) if currents and told else ()),
                   *(reading_words(course, lamp, moment) if moment is not None and told else ())] for lamp in lamps}
    for number, lamp in enumerate(lamps):
        frame, piece, y = _strip(course, lamp, measured[lamp], across, y, marks, f"{style.safe(prefix)}{number}", told,
                                 more[lamp], currents)
        below.append(frame)
        above.append(piece)
    y -= GAP if lamps else 0
    above.append(_moments(course, first, y))
    if moment is not None:
        above.append(_mark(x_at(course.until, moment), first, y))
    piece, y = time_axis(course.until, y, bool(lamps), told and has_rates(measured), currents)
    below.append(piece)
    spoken = style.safe(describe_course(course, lamps, parts, measured, told)
                        + "".join(f" {lamp}: {'; '.join(words)}." for lamp, words in more.items() if words)
                        + ("" if moment is None else f" The moment {moment:g} s is marked."))
    return below, above, y, spoken


def trace(across, up):
    """Return the path of a trace through whole-number points, holding level where it does not change. [text]

    >>> trace([0, 500, 500, 1000], [0, 0, 1190, 1190])
    'M0 0H500V1190H1000'
    """
    if not across:
        return ""
    drawn_x, last_x, last_y = across[0], across[0], up[0]
    path = [f"M{last_x} {last_y}"]
    add = path.append
    for x, y in zip(across, up):
        if y != last_y:
            if drawn_x != last_x:
                add(f"H{last_x}")
            add(f"V{y}" if x == last_x else f"L{x} {y}")
            drawn_x, last_y = x, y
        last_x = x
    if drawn_x != last_x:
        add(f"H{last_x}")
    return "".join(path)


# ------------------------------------------------------------------ pieces, each with the y below it

def _bars(course, name, rest, y, thick):
    """Draw one row: a thin line at rest, a thick bar with the state's word where it is not."""
    middle, free, line, pieces = y + 9, LEFT, [], []
    spans = [(x_at(course.until, start), x_at(course.until, end), state) for start, end, state in course.spans(name)]
    moved = [start for start, _, state in spans if state != rest] + [RIGHT]
    for start, end, state in spans:
        if state == rest:
            line.append(f"M{start:.1f} {middle}H{end:.1f}")
        elif end - start < 1:   # a relay's contact on its way
            line.append(f"M{start:.1f} {middle - thick / 2:g}v{thick}")
        else:
            pieces.append(f'<g><title>{style.safe(f"{name}: {state}")}</title>'
                          f'<rect x="{start:.1f}" y="{middle - thick / 2:g}" width="{end - start:.1f}" '
                          f'height="{thick}" fill="currentColor" fill-opacity=".2" stroke="currentColor" '
                          f'stroke-width="{style.THIN}"/>')
            until = next(later for later in moved if later >= end or later == RIGHT)
            word, free = _word(state, start, end, free, until, middle)
            pieces.append(f"{word}</g>")
    pieces.append(f'<path d="{"".join(line)}" stroke="currentColor" stroke-width="{style.THIN}"/>')
    return "".join(pieces)


def _word(state, start, end, free, until, middle):
    """Put a state's word into its bar, else behind it, else before it; the title says it in any case."""
    room = len(state) * LETTER * 11 + 6
    if room <= end - start:
        return put(start + 5, middle + 4, state, ' font-size="11"'), end   # where a marked moment seldom passes
    if room <= until - end:
        return put(end + 4, middle - 3, state, ' font-size="11"'), end + room
    if room <= start - free:
        return put(start - 4, middle - 3, state, ' font-size="11" text-anchor="end"'), end
    return "", end


def _events(course, events, y):
    """Draw a tick for every event of a part, and words for those it does not come back from."""
    pixels = dict.fromkeys(f"{x_at(course.until, event.time):.0f}" for event in events)
    ticks = "".join(f"M{x} {y + 4}v10" for x in pixels)
    pieces = [f'<path d="{ticks}" stroke="currentColor" stroke-width="{style.THIN}" fill="none"/>']
    bottom = y + BAR_ROW
    for event in events:
        if lasting(course, event):
            words, x = f"{event.name} {event.state}, {event.time:.2f} s", x_at(course.until, event.time)
            room = len(words) * LETTER * 11
            pieces.append(put(min(x, RIGHT - room), bottom + 6, words, ' font-size="11" font-weight="bold"'))
            bottom += 14
    return "".join(pieces), bottom


def _strip(course, lamp, measured, across, y, marks, number, told, more=(), currents=False):
    """Draw one lamp: its frame with the name left, and volts and light in it with what was measured right."""
    part = course.arrangement.part(lamp)
    name, below = put_wrapped(8, y + 12, lamp, LEFT - 60, ' font-size="13" font-weight="bold"', 13)
    place, below = put_wrapped(8, below, part.place, LEFT - 60) if part.place else ("", below)
    words, under = "", y + 11
    for line in (*lamp_words(course, lamp, measured), *more) if told else ():
        piece, under = put_wrapped(WORDS, under, line, WIDTH - WORDS - 4)
        words += piece
    band, rate = "", ""
    if told and measured.rate is not None:
        band, rate, under = gauge(under - 3), _rate(measured.rate, under - 3), under + 24
    bottom = max(y + STRIP, below - 10, under - 8)
    scale = (bottom - y) / (marks[-1] - marks[0])
    volts = trace(across, [round(100 * value) for value in course.lamp_volts[lamp]])
    light = trace(across, [round(1000 * value) for value in course.light[lamp]])
    place_it = (f'transform="translate({LEFT} {y + scale * marks[-1]:.2f}) '
                f'scale({(RIGHT - LEFT) / (1000 * (course.until or 1)):.6g} {-scale / 100:.6g})"')
    colour = style.LIGHT_COLOURS[part.light]
    amps = ""
    if currents:
        cut = [round(100 * max(marks[0], min(marks[-1], value))) for value in course.lamp_current[lamp]]
        amps = (f'<path id="{number}amps" d="{trace(across, cut)}" vector-effect="non-scaling-stroke" '
                f'stroke="currentColor" stroke-width="{style.THIN}"{style.dashes(style.CURRENT_DASH)}/>')
    return (f"{name}{place}{band}{volt_axis(y, marks, scale)}",
            f'<g>{words}</g>{rate}<g {place_it} fill="none" stroke-linejoin="round">'
            f'<path id="{number}light" d="{light}" vector-effect="non-scaling-stroke" stroke="{colour}" '
            f'stroke-width="{style.THIN}"{style.dashes(style.LIGHT_DASH)}/>{amps}'
            f'<path id="{number}volts" d="{volts}" vector-effect="non-scaling-stroke" stroke="currentColor" '
            f'stroke-width="{style.MAIN}"/></g>', bottom + GAP)


def _rate(rate, y):
    """Draw the measured rate as a mark on that line; one beyond it with an arrow."""
    x = x_of_rate(min(rate, GAUGE_END))
    beyond = (f'<path d="M{x + 3:.1f} {y + 1}l5 4l-5 4" fill="none" stroke="currentColor" '
              f'stroke-width="{style.THIN}"/>') if rate > GAUGE_END else ""
    return f'{beyond}<path class="rate" d="M{x:.1f} {y - 3}v16" stroke="currentColor" stroke-width="{style.HEAVY}"/>'


def _moments(course, top, bottom):
    """Draw a dotted line down the chart at every move of a control."""
    times = sorted({time for control in course.arrangement.controls for time, _ in actions(course, control.name)[1:]})
    path = "".join(f"M{x_at(course.until, time):.1f} {top}V{bottom:.1f}" for time in times)
    return (f'<path d="{path}" stroke="currentColor" stroke-width="{style.HAIR}" fill="none"'
            f'{style.dashes(style.ACTION_DASH)}/>') if path else ""


def _mark(x, top, bottom):
    """Draw a line through the whole chart with a pointer at its head: the moment drawn beside it."""
    return (f'<path class="moment" d="M{x:.1f} {top}V{bottom:.1f}" stroke="currentColor" stroke-width="{style.THIN}"/>'
            f'<path d="M{x - 5:.1f} {top - 6}h10l-5 7z"/>')

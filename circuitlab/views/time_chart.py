"""The live time chart: one SVG string, made by hand so that it follows a slider in a blink.

Each trace is drawn in its own units, milliseconds across and hundredths of a
volt up, and a transform puts it on the page; so the numbers in the path are
the record itself.
"""

from functools import lru_cache
from textwrap import wrap

from ..reasoning import ALLOWED_RATE, flash
from . import style
from .course_words import (BAND, BAND_SOURCE, actions, chosen, current_words, describe_course, lamp_words, lasting,
                           oddities, part_events, reading_words, volt_marks)

__all__ = ["describe_course", "time_chart"]

WIDTH, LEFT, RIGHT, WORDS = 900, 150, 618, 670   # page, ends of the time axis, left end of the words [px]
STRIP, BAR_ROW, GAP = 92, 24, 18                 # heights [px]
STEPS = (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 1e9)   # of the axis [s]
GAUGE, GAUGE_END = 200, 240                      # width [px], rate at its right end [1/min]
LETTER = 0.58                                    # width of a letter over its size, sans-serif: from memory


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
    """
    lamps, arrangement = chosen(course, lamps), course.arrangement
    pieces, y = _heading(course, lamps)
    first = y
    for control in arrangement.controls:
        piece, y = _bars(course, control.name, control.rest, y, 15)
        pieces.append(piece)
    for name in parts:
        piece, y = _bars(course, name, arrangement.part(name).states[0], y, 11)
        pieces.append(piece)
    piece, y = _events(course, y)
    pieces.append(piece)
    y, marks, measured = y + 4, volt_marks(course, lamps), {lamp: flash(course, lamp) for lamp in lamps}
    across = [round(1000 * time) for time in course.times]
    for number, lamp in enumerate(lamps):
        read = reading_words(course, lamp, moment) if moment is not None and told else ()
        piece, y = _strip(course, lamp, measured[lamp], across, y, marks, f"{style.safe(prefix)}{number}", told,
                          (*(current_words(course, lamp) if currents and told else ()), *read), currents)
        pieces.append(piece)
    y -= GAP if lamps else 0
    pieces.append(_moments(course, first, y))
    if moment is not None:
        pieces.append(_mark(_x(course, moment), first, y))
    piece, y = _time_axis(course, y, bool(lamps), told, currents)
    pieces.append(piece)
    spoken = style.safe(describe_course(course, lamps, parts, measured, told)
                        + _spoken_more(course, lamps, moment if told else None, currents and told)
                        + ("" if moment is None else f" The moment {moment:g} s is marked."))
    return (f'<svg xmlns="http://www.w3.org/2000/svg" id="{style.safe(prefix)}chart" role="img" aria-label="{spoken}" '
            f'viewBox="0 0 {WIDTH} {y}" width="{WIDTH}" height="{y}" style="max-width:100%;height:auto" '
            f'font-family="{style.FONT}" font-size="12" fill="currentColor" stroke="none">{"".join(pieces)}</svg>')


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

def _text(x, y, words, more=""):
    return f'<text x="{x:.1f}" y="{y:.1f}"{more}>{style.safe(words)}</text>'


@lru_cache(maxsize=512)
def _wrapped(words, letters):
    return tuple(wrap(words, letters)) or ("",)


def _lines(x, y, words, width, more="", size=12):
    """Return text wrapped to a width, and the y below it."""
    lines = _wrapped(words, max(4, int(width / (LETTER * size))))
    return "".join(_text(x, y + 15 * number, line, more) for number, line in enumerate(lines)), y + 15 * len(lines)


def _heading(course, lamps):
    piece, y = _lines(8, 20, course.arrangement.title, WIDTH - 16, ' font-size="14" font-weight="bold"', 14)
    pieces = [piece]
    for words in oddities(course, lamps):
        piece, y = _lines(8, y + 3, words, WIDTH - 16)
        pieces.append(piece)
    return pieces, y


def _x(course, time):
    return LEFT + (RIGHT - LEFT) * time / (course.until or 1)


def _bars(course, name, rest, y, thick):
    """Draw one row: a thin line at rest, a thick bar with the state's word where it is not."""
    label, bottom = _lines(8, y + 13, name, LEFT - 24)
    middle, free, line, pieces = y + 9, LEFT, [], [label]
    spans = [(_x(course, start), _x(course, end), state) for start, end, state in course.spans(name)]
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
                          f'stroke-width="{style.THIN}"/></g>')
            until = next(later for later in moved if later >= end or later == RIGHT)
            word, free = _word(state, start, end, free, until, middle)
            pieces.append(word)
    pieces.append(f'<path d="{"".join(line)}" stroke="currentColor" stroke-width="{style.THIN}"/>')
    return "".join(pieces), max(y + BAR_ROW, bottom - 6)


def _word(state, start, end, free, until, middle):
    """Put a state's word into its bar, else behind it, else before it; the title says it in any case."""
    room = len(state) * LETTER * 11 + 6
    if room <= end - start:
        return _text(start + 5, middle + 4, state, ' font-size="11"'), end   # where a marked moment seldom passes
    if room <= until - end:
        return _text(end + 4, middle - 3, state, ' font-size="11"'), end + room
    if room <= start - free:
        return _text(start - 4, middle - 3, state, ' font-size="11" text-anchor="end"'), end
    return "", end


def _events(course, y):
    """Draw a tick for every event of a part, and words for those it does not come back from."""
    events = part_events(course)
    if not events:
        return "", y
    pixels = dict.fromkeys(f"{_x(course, event.time):.0f}" for event in events)
    ticks = "".join(f"M{x} {y + 4}v10" for x in pixels)
    pieces = [_text(8, y + 13, "part events"),
              f'<path d="{ticks}" stroke="currentColor" stroke-width="{style.THIN}" fill="none"/>']
    bottom = y + BAR_ROW
    for event in events:
        if lasting(course, event):
            words, x = f"{event.name} {event.state}, {event.time:.2f} s", _x(course, event.time)
            room = len(words) * LETTER * 11
            pieces.append(_text(min(x, RIGHT - room), bottom + 6, words, ' font-size="11" font-weight="bold"'))
            bottom += 14
    return "".join(pieces), bottom


def _strip(course, lamp, measured, across, y, marks, number, told, more=(), currents=False):
    """Draw one lamp: name left, volts and light in the middle, what was measured right."""
    part = course.arrangement.part(lamp)
    name, below = _lines(8, y + 12, lamp, LEFT - 60, ' font-size="13" font-weight="bold"', 13)
    place, below = _lines(8, below, part.place, LEFT - 60) if part.place else ("", below)
    words, under = "", y + 11
    for line in (*lamp_words(course, lamp, measured), *more) if told else ():
        piece, under = _lines(WORDS, under, line, WIDTH - WORDS - 4)
        words += piece
    has_gauge = told and measured.rate is not None
    gauge = _gauge(measured.rate, under - 3) if has_gauge else ""
    under += 24 if has_gauge else 0
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
    return (f'{name}{place}{words}{gauge}{_volt_axis(y, marks, scale)}'
            f'<g {place_it} fill="none" stroke-linejoin="round">'
            f'<path id="{number}light" d="{light}" vector-effect="non-scaling-stroke" stroke="{colour}" '
            f'stroke-width="{style.THIN}"{style.dashes(style.LIGHT_DASH)}/>{amps}'
            f'<path id="{number}volts" d="{volts}" vector-effect="non-scaling-stroke" stroke="currentColor" '
            f'stroke-width="{style.MAIN}"/></g>'), bottom + GAP


def _spoken_more(course, lamps, moment, currents):
    """Return what readings and currents add to the text alternative."""
    return "".join(f" {lamp}: {'; '.join(words)}." for lamp in lamps for words in (
        (*(current_words(course, lamp) if currents else ()),
         *(reading_words(course, lamp, moment) if moment is not None else ())),) if words)


def _volt_axis(y, marks, scale):
    """Draw the grid of a strip: volts left, percent of rated light right, on the same lines."""
    lines, labels = [], []
    for volts in marks:
        at = y + scale * (marks[-1] - volts)
        lines.append(f"M{LEFT} {at:.1f}H{RIGHT}")
        labels.append(_text(LEFT - 6, at + 3.5, f"{volts} V", ' text-anchor="end"'))
        labels.append(_text(RIGHT + 5, at + 3.5, f"{10 * volts} %"))
    return (f'<path d="{"".join(lines)}" stroke="currentColor" stroke-width="{style.HAIR}" stroke-opacity=".35"/>'
            f'<g font-size="10">{"".join(labels)}</g>')


def _gauge(rate, y):
    """Draw the permitted band on a line of rates, and the measured rate as a mark on it."""
    low, high = (WORDS + GAUGE * edge / GAUGE_END for edge in ALLOWED_RATE)
    x = WORDS + GAUGE * min(rate, GAUGE_END) / GAUGE_END
    beyond = f"M{x + 3:.1f} {y + 1}l5 4l-5 4" if rate > GAUGE_END else ""
    return (f'<rect x="{low:.1f}" y="{y}" width="{high - low:.1f}" height="10" fill="currentColor" fill-opacity=".22"/>'
            f'<path d="M{WORDS} {y + 5}H{WORDS + GAUGE}M{low:.1f} {y}v10M{high:.1f} {y}v10{beyond}" fill="none" '
            f'stroke="currentColor" stroke-width="{style.THIN}"/>'
            f'<path class="rate" d="M{x:.1f} {y - 3}v16" stroke="currentColor" stroke-width="{style.HEAVY}"/>'
            f'<g font-size="10" text-anchor="middle">{_text(low, y + 20, f"{ALLOWED_RATE[0]:g}")}'
            f'{_text(high, y + 20, f"{ALLOWED_RATE[1]:g}")}</g>')


def _moments(course, top, bottom):
    """Draw a dotted line down the chart at every move of a control."""
    times = sorted({time for control in course.arrangement.controls for time, _ in actions(course, control.name)[1:]})
    path = "".join(f"M{_x(course, time):.1f} {top}V{bottom:.1f}" for time in times)
    return (f'<path d="{path}" stroke="currentColor" stroke-width="{style.HAIR}" fill="none"'
            f'{style.dashes(style.ACTION_DASH)}/>') if path else ""


def _mark(x, top, bottom):
    """Draw a line through the whole chart with a pointer at its head: the moment drawn beside it."""
    return (f'<path class="moment" d="M{x:.1f} {top}V{bottom:.1f}" stroke="currentColor" stroke-width="{style.THIN}"/>'
            f'<path d="M{x - 5:.1f} {top - 6}h10l-5 7z"/>')


def _time_axis(course, y, has_lamps, told, currents=False):
    """Draw the seconds, and below them what each kind of line means."""
    step = next(step for step in STEPS if course.until / step <= 10)
    times = [step * number for number in range(int(course.until / step + 1e-9) + 1)]
    ticks = "".join(f"M{_x(course, time):.1f} {y}v6" for time in times)
    pieces = [f'<path d="M{LEFT} {y}H{RIGHT}{ticks}" stroke="currentColor" stroke-width="{style.THIN}" fill="none"/>',
              *(_text(_x(course, time), y + 19, f"{time:g}", ' font-size="11" text-anchor="middle"')
                for time in times), _text(RIGHT + 24, y + 19, "seconds", ' font-size="11"')]
    if not has_lamps:
        return "".join(pieces), y + 30
    key = [("volts across the lamp", f'stroke="currentColor" stroke-width="{style.MAIN}"'),
           ("light, % of rated", f'stroke="currentColor" stroke-width="{style.THIN}"{style.dashes(style.LIGHT_DASH)}'),
           ("a control is moved", f'stroke="currentColor" stroke-width="{style.HAIR}"{style.dashes(style.ACTION_DASH)}')]
    if currents:
        key.insert(2, ("current, 1 A for 1 V",
                       f'stroke="currentColor" stroke-width="{style.THIN}"{style.dashes(style.CURRENT_DASH)}'))
    x = LEFT
    for words, look in key:
        pieces.append(f'<path d="M{x} {y + 38}h26" {look}/>' + _text(x + 32, y + 42, words, ' font-size="11"'))
        x += 58 + len(words) * LETTER * 11
    if not told:
        return "".join(pieces), y + 50
    pieces.append(f'<rect x="{LEFT}" y="{y + 50}" width="26" height="10" fill="currentColor" fill-opacity=".22" '
                  f'stroke="currentColor" stroke-width="{style.THIN}"/>'
                  + _text(LEFT + 32, y + 59, f"the band, {BAND} flashes per minute ({BAND_SOURCE}); "
                          "the heavy mark is the measured rate", ' font-size="11"'))
    return "".join(pieces), y + 70

"""What stands still in a live time chart: heading, axes, the band of rates, the key.

Each is made once for a place and kept, because a slider moves none of it.
"""

from functools import lru_cache
from textwrap import wrap

from ..reasoning import ALLOWED_RATE
from . import style
from .course_words import BAND, BAND_SOURCE

WIDTH, LEFT, RIGHT, WORDS = 900, 150, 618, 670   # page, ends of the time axis, left end of the words [px]
STEPS = (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 1e9)   # of the axis [s]
GAUGE, GAUGE_END = 200, 240                      # width [px], rate at its right end [1/min]
LETTER = 0.58                                    # width of a letter over its size, sans-serif: from memory


def put(x, y, words, more=""):
    """Return words at a place."""
    return f'<text x="{x:.1f}" y="{y:.1f}"{more}>{style.safe(words)}</text>'


@lru_cache(maxsize=512)
def _wrapped(words, letters):
    return tuple(wrap(words, letters)) or ("",)


def put_wrapped(x, y, words, width, more="", size=12):
    """Return text wrapped to a width, and the y below it."""
    lines = _wrapped(words, max(4, int(width / (LETTER * size))))
    return "".join(put(x, y + 15 * number, line, more) for number, line in enumerate(lines)), y + 15 * len(lines)


def x_at(until, time):
    """Return where a time lies on an axis that ends at ``until``. [px]"""
    return LEFT + (RIGHT - LEFT) * time / (until or 1)


def x_of_rate(rate):
    """Return where a rate lies on the line of rates. [px]"""
    return WORDS + GAUGE * rate / GAUGE_END


@lru_cache(maxsize=64)
def heading(title, oddly):
    """Write the title, and below it what is odd about the record; with the y below it."""
    pieces, y = put_wrapped(8, 20, title, WIDTH - 16, ' font-size="14" font-weight="bold"', 14)
    for words in oddly:
        piece, y = put_wrapped(8, y + 3, words, WIDTH - 16)
        pieces += piece
    return pieces, y


@lru_cache(maxsize=256)
def volt_axis(y, marks, scale):
    """Draw the grid of a strip: volts left, percent of rated light right, on the same lines."""
    lines, labels = [], []
    for volts in marks:
        at = y + scale * (marks[-1] - volts)
        lines.append(f"M{LEFT} {at:.1f}H{RIGHT}")
        labels.append(put(LEFT - 6, at + 3.5, f"{volts} V", ' text-anchor="end"'))
        labels.append(put(RIGHT + 5, at + 3.5, f"{10 * volts} %"))
    return (f'<path d="{"".join(lines)}" stroke="currentColor" stroke-width="{style.HAIR}" stroke-opacity=".35"/>'
            f'<g font-size="10">{"".join(labels)}</g>')


@lru_cache(maxsize=256)
def gauge(y):
    """Draw the permitted band on a line of rates."""
    low, high = (x_of_rate(edge) for edge in ALLOWED_RATE)
    return (f'<rect x="{low:.1f}" y="{y}" width="{high - low:.1f}" height="10" fill="currentColor" fill-opacity=".22"/>'
            f'<path d="M{WORDS} {y + 5}H{WORDS + GAUGE}M{low:.1f} {y}v10M{high:.1f} {y}v10" fill="none" '
            f'stroke="currentColor" stroke-width="{style.THIN}"/>'
            f'<g font-size="10" text-anchor="middle">{put(low, y + 20, f"{ALLOWED_RATE[0]:g}")}'
            f'{put(high, y + 20, f"{ALLOWED_RATE[1]:g}")}</g>')


@lru_cache(maxsize=64)
def time_axis(until, y, has_lamps, told, currents=False):
    """Draw the seconds, and below them what each kind of line means."""
    step = next(step for step in STEPS if until / step <= 10)
    times = [step * number for number in range(int(until / step + 1e-9) + 1)]
    ticks = "".join(f"M{x_at(until, time):.1f} {y}v6" for time in times)
    pieces = [f'<path d="M{LEFT} {y}H{RIGHT}{ticks}" stroke="currentColor" stroke-width="{style.THIN}" fill="none"/>',
              *(put(x_at(until, time), y + 19, f"{time:g}", ' font-size="11" text-anchor="middle"')
                for time in times), put(RIGHT + 24, y + 19, "seconds", ' font-size="11"')]
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
        pieces.append(f'<path d="M{x} {y + 38}h26" {look}/>' + put(x + 32, y + 42, words, ' font-size="11"'))
        x += 58 + len(words) * LETTER * 11
    if not told:
        return "".join(pieces), y + 50
    pieces.append(f'<rect x="{LEFT}" y="{y + 50}" width="26" height="10" fill="currentColor" fill-opacity=".22" '
                  f'stroke="currentColor" stroke-width="{style.THIN}"/>'
                  + put(LEFT + 32, y + 59, f"the band, {BAND} flashes per minute ({BAND_SOURCE}); "
                          "the heavy mark is the measured rate", ' font-size="11"'))
    return "".join(pieces), y + 70

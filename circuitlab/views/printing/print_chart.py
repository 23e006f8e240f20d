"""The print twin of the time chart, in matplotlib: for learners' own figures, sheets and exports.

This is the one room that imports matplotlib.
"""

from dataclasses import dataclass
from textwrap import fill

from matplotlib.figure import Figure

from ...ground.errors import CircuitLabError
from ...reasoning import flash
from .. import style
from ..course_words import BAND, BAND_SOURCE, actions, chosen, lamp_words, lasting, oddities, part_events, volt_marks

INK = "black"
KEY = ("heavy: volts across the lamp; thin dashes: light, % of rated; dotted: a control is moved; "
       f"band: {BAND} flashes per minute ({BAND_SOURCE})")
WIDTH, LEAST_WIDTH, COLUMN = 216.0, 70.0, 140.0     # of a new figure; the narrowest; up to here a column [mm]
_INCH, _POINT = 25.4, 72.0                          # [mm], [pt] in one inch
_LETTER = 0.62               # how wide a letter of DejaVu Sans runs, rather too much, in letter heights


@dataclass(frozen=True)
class _Room:
    """What the width of a figure leaves: its letters, and where the words of a lamp stand. [mm], [pt], [in]"""

    width: float
    small: float = 8.0
    name: float = 9.0
    strip: float = 1.1
    heavy: float = style.MAIN

    @property
    def is_column(self):
        return self.width <= COLUMN

    def lines(self, text, size, share=1.0):
        """Break a text so that no line is wider than a share of the figure. [text]"""
        return fill(text, max(8, int(share * self.width / _INCH * _POINT / (_LETTER * size))))

    def letters(self, text):
        """Return about how wide a text runs in small letters, as a share of the axes. [1]"""
        return _LETTER * self.small * (len(text) + 1) / ((0.62 if self.is_column else 0.72) * self.width / _INCH * _POINT)


def plot(course, ax=None, lamps=None, width_mm=WIDTH):
    """Plot a time course for print.

    Parameters
    ----------
    course : TimeCourse
        As :func:`~circuitlab.solving.run` gives it.
    ax : matplotlib Axes, optional
        Draw the volts of all lamps into it, and their light as thin lines
        against a percent axis on its right.
    lamps : iterable of str, optional
        Lamps to show, in this order; all when not given. [text]
    width_mm : float
        How wide a new figure is, 70 at least. Up to 140 it is made for one
        column of a page: what was measured stands over each strip instead of
        beside it. Save it as it is, without cutting its margins off. [mm]

    Returns
    -------
    matplotlib Axes or Figure
        The given axes, else a new figure with the controls as bars on top and
        one strip for each lamp below. No letter of it is lower than 6.5 pt.

    Raises
    ------
    UnknownName
        For a lamp the course does not have.
    CircuitLabError
        For a figure too narrow to be read.
    """
    lamps = chosen(course, lamps)
    if ax is not None:
        return _overlay(course, lamps, ax)
    if not width_mm >= LEAST_WIDTH:
        raise CircuitLabError(f"a time chart {width_mm:g} mm wide cannot be read. Make it at least {LEAST_WIDTH:g} mm wide; "
                          "80 is one column of a page.", width_mm=width_mm)
    return _figure(course, lamps, _Room(width_mm, 6.5, 7.0, 0.72, 1.6) if width_mm <= COLUMN else _Room(width_mm))


def _overlay(course, lamps, ax):
    """Draw every lamp into one set of axes, told apart by dash, weight and colour."""
    marks = volt_marks(course, lamps)
    for number, lamp in enumerate(lamps):
        look = {"color": style.LAMP_COLOURS[number % len(style.LAMP_COLOURS)], "linestyle": _dash(number)}
        weight = style.HEAVY - 0.6 * (number % 4)   # the widest lies lowest, so that equal traces stay visible
        label = style.named(course.arrangement.part(lamp))
        ax.plot(course.times, course.lamp_volts[lamp], linewidth=weight, label=label, **look)
        ax.plot(course.times, [10 * light for light in course.light[lamp]], linewidth=style.HAIR,
                label="_" + label, **look)
    _volts_and_percent(ax, marks, 8)
    ax.set(xlim=(0, course.until), xlabel="time [s]", title=course.arrangement.title)
    if lamps:
        ax.legend(title="volts; thin: light, % of rated", loc="upper left", bbox_to_anchor=(1.12, 1), frameon=False)
    else:
        ax.text(0.5, 0.5, "There is no lamp to show.", transform=ax.transAxes, ha="center")
    return ax


def _figure(course, lamps, room):
    """Make a figure: controls on top, one strip for each lamp below."""
    controls = course.arrangement.controls
    heights = [0.32 * max(len(controls), 1), *(room.strip for _ in lamps)]
    said = [*oddities(course, lamps), *_unsaid(course, room), *([KEY] if lamps else [])]
    below = "\n".join(room.lines(text, room.small) for text in said)
    words = (0.62 if room.is_column else 0.25) * len(lamps) + room.small * 1.3 / _POINT * below.count("\n")
    figure = Figure(figsize=(room.width / _INCH, sum(heights) + words + 1.2), layout="constrained")
    axes = figure.subplots(len(heights), 1, sharex=True, squeeze=False, height_ratios=heights)[:, 0]
    size = 8 if room.is_column else 12
    figure.suptitle(room.lines(course.arrangement.title, size * 1.1), fontweight="bold", fontsize=size)
    _bars(course, controls, axes[0], room)
    marks = volt_marks(course, lamps)
    for lamp, ax in zip(lamps, axes[1:]):
        _strip(course, lamp, ax, marks, room)
    moments = {time for control in controls for time, _ in actions(course, control.name)[1:]}
    for ax in axes:
        for time in moments:
            ax.axvline(time, color=INK, linewidth=style.HAIR, linestyle=(0, style.ACTION_DASH))
    axes[-1].set(xlim=(0, course.until))
    axes[-1].set_xlabel("time [s]", fontsize=room.small if room.is_column else 10)
    axes[-1].tick_params(axis="x", bottom=True, labelbottom=True, labelsize=room.small if room.is_column else 10)
    _mark_lasting(course, axes, room)
    figure.supxlabel(below, fontsize=min(room.small, 7.5))
    return figure


def _mark_lasting(course, axes, room):
    """Draw a line where a part changed for good, its words above the controls, one over the other."""
    events = [event for event in part_events(course) if lasting(course, event)]
    for number, event in enumerate(events):
        side = "right" if event.time > course.until / 2 else "left"
        axes[0].annotate(f"{event.name} {event.state}", (event.time, 1), xytext=(0, 2 + 1.4 * room.small * number),
                         xycoords=("data", "axes fraction"), textcoords="offset points", fontsize=room.small,
                         fontweight="bold", ha=side, va="bottom")
        for ax in axes:
            ax.axvline(event.time, color=INK, linewidth=style.THIN)


def _bars(course, controls, ax, room):
    """Draw one row for each control: a thin line at rest, a thick bar with the position's word."""
    for row, control in enumerate(controls):
        spans = course.spans(control.name)
        for number, (start, end, position) in enumerate(spans):
            if position == control.rest:
                ax.plot((start, end), (row, row), color=INK, linewidth=style.THIN, solid_capstyle="butt")
                continue
            ax.barh(row, end - start, left=start, height=0.62, color="0.82", edgecolor=INK, linewidth=style.HAIR)
            beside = _beside(spans, number, control, course.until, room)
            if beside == "in":
                ax.text((start + end) / 2, row, position, ha="center", va="center", fontsize=room.small,
                        bbox={"facecolor": "0.82", "edgecolor": "none", "pad": 1})    # hides what is dotted behind it
            elif beside:
                ax.text(end if beside == "after" else start, row - 0.05, f" {position} ", fontsize=room.small,
                        ha="left" if beside == "after" else "right", va="bottom")
    names = [room.lines(control.name, room.small, 0.19) if room.is_column else control.name for control in controls]
    ax.set_yticks(range(len(controls)), names, fontsize=room.small if room.is_column else 10)
    ax.set_ylim(max(len(controls), 1) - 0.4, -0.6)
    _bare(ax)
    ax.tick_params(axis="both", length=0, labelbottom=False)


def _beside(spans, number, control, until, room):
    """Return where a position's word finds room: in its bar, after it or before it; empty for nowhere. [text]"""
    start, end, position = spans[number]
    wide = room.letters(position) * until
    if end - start > wide:
        return "in"
    sides = [("after", number + 1), ("before", number - 1)]
    return next((side for side, at in sides if 0 <= at < len(spans) and spans[at][2] == control.rest
                 and spans[at][1] - spans[at][0] > (1 if side == "after" else 2) * wide), "")


def _unsaid(course, room):
    """Return a sentence for every move whose word finds no room on its row. [text]"""
    for control in course.arrangement.controls:
        spans = course.spans(control.name)
        lines = [f"{position} from {start:.4g} to {end:.4g} s" for number, (start, end, position) in enumerate(spans)
                 if position != control.rest and not _beside(spans, number, control, course.until, room)]
        if lines:
            yield f"{control.name}: {', '.join(lines)}."


def _strip(course, lamp, ax, marks, room):
    """Draw one lamp: volts heavy, light thin and dashed, what was measured in words beside or over it."""
    part, words = course.arrangement.part(lamp), lamp_words(course, lamp, flash(course, lamp))
    ax.plot(course.times, [10 * light for light in course.light[lamp]], color=style.LIGHT_COLOURS[part.light],
            linewidth=style.THIN, linestyle=(0, style.LIGHT_DASH))
    ax.plot(course.times, course.lamp_volts[lamp], color=INK, linewidth=room.heavy)
    _volts_and_percent(ax, marks, room.small)
    over = 1.25 * room.small * len(words) if room.is_column else 0
    ax.set_title(style.named(part), loc="left", fontsize=room.name, fontweight="bold", pad=3 + over)
    if over:
        ax.annotate("\n".join(words), (0, 1), xytext=(0, 3), xycoords="axes fraction", textcoords="offset points",
                    va="bottom", fontsize=room.small, linespacing=1.1)
    else:
        ax.text(1.1, 0.98, "\n".join(words), transform=ax.transAxes, va="top", fontsize=room.small)
    ax.tick_params(axis="x", labelbottom=False, bottom=False)


def _volts_and_percent(ax, marks, size):
    """Give axes their volts left, and percent of rated light right on the same lines: 10 V stand for 100 %."""
    ax.set_ylim(marks[0] - 0.3, marks[-1])
    ax.set_yticks(marks)
    ax.set_ylabel("V", rotation=0, labelpad=8, va="center", fontsize=max(size, 7))
    percent = ax.secondary_yaxis("right", functions=(lambda volts: 10 * volts, lambda share: share / 10))
    percent.set_yticks([10 * volts for volts in marks])
    percent.tick_params(labelsize=size)
    ax.tick_params(axis="y", labelsize=size)
    percent.set_ylabel("%", rotation=0, labelpad=6, va="center", fontsize=max(size, 7))
    ax.grid(axis="y", color="0.75", linewidth=style.HAIR)
    _bare(ax)


def _bare(ax):
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)


def _dash(number):
    pattern = style.LAMP_DASHES[number % len(style.LAMP_DASHES)]
    return (0, pattern) if pattern else "-"

"""The print twin of the time chart, in matplotlib: for learners' own figures, sheets and exports.

This is the one room that imports matplotlib.
"""

from matplotlib.figure import Figure

from ..reasoning import flash
from . import style
from .course_words import BAND, BAND_SOURCE, actions, chosen, lamp_words, lasting, oddities, part_events, volt_marks

INK = "black"
KEY = ("heavy: volts across the lamp; thin dashes: light, % of rated; dotted: a control is moved; "
       f"band: {BAND} flashes per minute ({BAND_SOURCE})")


def plot(course, ax=None, lamps=None):
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

    Returns
    -------
    matplotlib Axes or Figure
        The given axes, else a new figure with the controls as bars on top and
        one strip for each lamp below.

    Raises
    ------
    UnknownName
        For a lamp the course does not have.
    """
    lamps = chosen(course, lamps)
    return _figure(course, lamps) if ax is None else _overlay(course, lamps, ax)


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
    _volts_and_percent(ax, marks)
    ax.set(xlim=(0, course.until), xlabel="time [s]", title=course.arrangement.title)
    if lamps:
        ax.legend(title="volts; thin: light, % of rated", loc="upper left", bbox_to_anchor=(1.12, 1), frameon=False)
    else:
        ax.text(0.5, 0.5, "There is no lamp to show.", transform=ax.transAxes, ha="center")
    return ax


def _figure(course, lamps):
    """Make a figure: controls on top, one strip for each lamp below."""
    controls = course.arrangement.controls
    heights = [0.32 * max(len(controls), 1), *(1.1 for _ in lamps)]
    figure = Figure(figsize=(8.5, sum(heights) + 0.25 * len(lamps) + 1.2), layout="constrained")
    axes = figure.subplots(len(heights), 1, sharex=True, squeeze=False, height_ratios=heights)[:, 0]
    figure.suptitle(course.arrangement.title, fontweight="bold")
    _bars(course, controls, axes[0])
    marks = volt_marks(course, lamps)
    for lamp, ax in zip(lamps, axes[1:]):
        _strip(course, lamp, ax, marks)
    moments = {time for control in controls for time, _ in actions(course, control.name)[1:]}
    for ax in axes:
        for time in moments:
            ax.axvline(time, color=INK, linewidth=style.HAIR, linestyle=(0, style.ACTION_DASH))
    axes[-1].set(xlim=(0, course.until), xlabel="time [s]")
    axes[-1].tick_params(axis="x", bottom=True, labelbottom=True)
    for event in part_events(course):
        if lasting(course, event):
            axes[0].annotate(f"{event.name} {event.state}", (event.time, 1.02), xycoords=("data", "axes fraction"),
                             fontsize=8, fontweight="bold", ha="center", va="bottom")
            for ax in axes:
                ax.axvline(event.time, color=INK, linewidth=style.THIN)
    figure.supxlabel("\n".join([*oddities(course, lamps), *([KEY] if lamps else [])]), fontsize=7.5)
    return figure


def _bars(course, controls, ax):
    """Draw one row for each control: a thin line at rest, a thick bar with the position's word."""
    for row, control in enumerate(controls):
        for start, end, position in course.spans(control.name):
            if position == control.rest:
                ax.plot((start, end), (row, row), color=INK, linewidth=style.THIN, solid_capstyle="butt")
            else:
                ax.barh(row, end - start, left=start, height=0.62, color="0.82", edgecolor=INK, linewidth=style.HAIR)
                fits = (end - start) / course.until > 0.018 * len(position)
                ax.text((start + end) / 2 if fits else end, row, position if fits else f" {position}",
                        ha="center" if fits else "left", va="center", fontsize=8)
    ax.set_yticks(range(len(controls)), [control.name for control in controls])
    ax.set_ylim(max(len(controls), 1) - 0.4, -0.6)
    _bare(ax)
    ax.tick_params(axis="both", length=0, labelbottom=False)


def _strip(course, lamp, ax, marks):
    """Draw one lamp: volts heavy, light thin and dashed, what was measured in words beside it."""
    part, measured = course.arrangement.part(lamp), flash(course, lamp)
    ax.plot(course.times, [10 * light for light in course.light[lamp]], color=style.LIGHT_COLOURS[part.light],
            linewidth=style.THIN, linestyle=(0, style.LIGHT_DASH))
    ax.plot(course.times, course.lamp_volts[lamp], color=INK, linewidth=style.MAIN)
    _volts_and_percent(ax, marks)
    ax.set_title(style.named(part), loc="left", fontsize=9, fontweight="bold", pad=3)
    ax.text(1.1, 0.98, "\n".join(lamp_words(course, lamp, measured)), transform=ax.transAxes, va="top", fontsize=8)
    ax.tick_params(axis="x", labelbottom=False, bottom=False)


def _volts_and_percent(ax, marks):
    """Give axes their volts left, and percent of rated light right on the same lines: 10 V stand for 100 %."""
    ax.set_ylim(marks[0] - 0.3, marks[-1])
    ax.set_yticks(marks)
    ax.set_ylabel("V", rotation=0, labelpad=8)
    percent = ax.secondary_yaxis("right", functions=(lambda volts: 10 * volts, lambda share: share / 10))
    percent.set_yticks([10 * volts for volts in marks])
    percent.tick_params(labelsize=8)
    ax.tick_params(axis="y", labelsize=8)
    percent.set_ylabel("%", rotation=0, labelpad=6)
    ax.grid(axis="y", color="0.75", linewidth=style.HAIR)
    _bare(ax)


def _bare(ax):
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)


def _dash(number):
    pattern = style.LAMP_DASHES[number % len(style.LAMP_DASHES)]
    return (0, pattern) if pattern else "-"

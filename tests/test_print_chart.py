"""The printed time chart in one column of a page, judged by geometry: letters, boxes, dashes, grey."""

from itertools import combinations

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.text import Text

from circuitlab.arrangements import Arrangement, arrangement, arrangement_names
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Battery, Control, Fuse, Lamp, Wire, toggle
from circuitlab.solving import run
from circuitlab.views.printing.print_chart import plot

COLUMN = 80          # mm
LEAST = 6            # pt, of any letter
MOVES = (0.3, 1.6)   # s, when every control is moved, and the last of them moved again


def moved(which):
    """Return a course of 2 s in which every control leaves its rest, and the last one comes back."""
    whole = arrangement(which)
    script = [(MOVES[0] + 0.1 * number, control.name, control.positions[-1])
              for number, control in enumerate(whole.controls)]
    return run(whole, script + [(MOVES[1], whole.controls[-1].name, whole.controls[-1].rest)], until=2)


def blown():
    """Return a course in which two fuses blow one soon after the other, under names as long as a learner's may be."""
    control = "switch of the lamps on the load bed"
    lamps = [Lamp("E1", place="rear left, above the tow bar of the cart"), Lamp("E2", place="rear right")]
    wires = [Wire(f"W{number}{at}", start, end, "RD") for number in (1, 2) for at, start, end in (
        ("a", "G1:+", f"F{number}:1"), ("b", f"F{number}:2", f"S{number}:1"),
        ("c", f"S{number}:2", f"E{number}:1"), ("d", f"E{number}:2", "G1:-"))]
    return run(Arrangement("Two fuses that are far too small for the lamps behind them", [Control(control, ("off", "on"))],
                           [Battery("G1"), Fuse("F1", 1.0), Fuse("F2", 1.0), toggle("S1", control), toggle("S2", control),
                            *lamps], wires), [(0.2, control, "on")], until=10)


def shown(figure):
    """Return every text that is drawn, with its box on the page: ``(text, box [px])``."""
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    hidden = set()
    for ax in [*figure.axes, *(child for ax in figure.axes for child in ax.child_axes)]:
        for axis in (ax.xaxis, ax.yaxis):
            low, high = sorted(axis.get_view_interval())
            ticks = axis.get_major_ticks() + axis.get_minor_ticks()
            hidden |= {label for tick in ticks for label in (tick.label1, tick.label2)
                       if not tick.get_visible() or not low - 1e-6 <= tick.get_loc() <= high + 1e-6}
    return [(text, text.get_window_extent(canvas.get_renderer())) for text in figure.findobj(Text)
            if text.get_text().strip() and text.get_visible() and text not in hidden]


def faults(figure):
    """Return in words what cannot be read: letters too low, texts on one another or off the page."""
    words, page = shown(figure), figure.bbox
    found = [f"'{text.get_text()}' is {text.get_fontsize():g} pt" for text, _ in words if text.get_fontsize() < LEAST]
    found += [f"'{text.get_text()}' leaves the page" for text, box in words
              if box.x0 < 0 or box.y0 < 0 or box.x1 > page.width or box.y1 > page.height]
    return found + [f"'{one.get_text()}' on '{two.get_text()}'" for (one, a), (two, b) in combinations(words, 2)
                    if min(a.x1, b.x1) - max(a.x0, b.x0) > 0.5 and min(a.y1, b.y1) - max(a.y0, b.y0) > 0.5]


@pytest.mark.in_turn(22, 10)
@pytest.mark.parametrize("which", [*arrangement_names(), "blown"])
def test_in_a_column_of_80_mm_every_text_can_be_read(which):
    course = blown() if which == "blown" else moved(which)
    figure = plot(course, width_mm=COLUMN)
    assert figure.get_figwidth() * 25.4 == pytest.approx(COLUMN)
    assert faults(figure) == []
    words = " ".join(" ".join(text.get_text() for text, _ in shown(figure)).split())
    for name in [control.name for control in course.arrangement.controls] + list(course.lamp_volts):
        assert name in words
    if which == "blown":
        assert "F1 blown" in words and "F2 blown" in words


@pytest.mark.full
def test_the_whole_width_can_be_read_as_well():
    for course in (moved("shared-filament-rear-relays-hazard"), blown()):
        assert faults(plot(course)) == []


@pytest.mark.full
def test_a_position_whose_word_finds_no_room_is_said_below():
    """The brake is tapped five times in half a second: no bar and no gap is as wide as 'held'."""
    whole = arrangement("shared-filament-rear-relays")
    moves = [(0.1 * tap + late, "brake pedal", position) for tap in range(1, 6)
             for late, position in ((0, "held"), (0.05, "released"))]
    figure = plot(run(whole, moves, until=4), width_mm=COLUMN)
    words = " ".join(" ".join(text.get_text() for text, _ in shown(figure)).split())
    assert "brake pedal: held from 0.1 to 0.15 s, held from 0.2 to 0.25 s" in words
    assert faults(figure) == []


def test_the_judge_finds_planted_defects():
    figure = plot(moved("one-fused-lamp"), width_mm=COLUMN)
    figure.text(0.5, 0.5, "one")
    figure.text(0.5, 0.5, "two")
    figure.text(0.98, 0.5, "off the page")
    figure.text(0.1, 0.01, "low", fontsize=4)
    found = " ".join(faults(figure))
    assert "'one' on 'two'" in found and "'off the page' leaves the page" in found and "'low' is 4 pt" in found


def test_lines_are_told_apart_without_colour():
    """Volts, light and moves differ by dash; volts are heavier and much darker than light in grey."""
    def grey(line):
        return sum(share * part for share, part in zip((0.2126, 0.7152, 0.0722), to_rgb(line.get_color())))

    course = moved("shared-filament-rear-relays")
    figure = plot(course, width_mm=COLUMN)
    strips = [ax for ax in figure.axes if ax.get_ylabel() == "V"]
    assert len(strips) == len(course.lamp_volts)
    for ax in strips:
        traces = [line for line in ax.lines if len(line.get_xdata()) > 2]
        light, volts = sorted(traces, key=lambda line: line.get_linewidth())
        move = next(line for line in ax.lines if len(line.get_xdata()) == 2)
        assert len({str(line._dash_pattern) for line in (light, volts, move)}) == 3
        assert volts.get_linewidth() >= light.get_linewidth() + 0.3 and grey(light) - grey(volts) > 0.25


def test_a_figure_too_narrow_is_refused_and_a_line_of_the_record_is_still_the_record():
    course = moved("one-fused-lamp")
    for width in (20, float("nan")):
        with pytest.raises(CircuitLabError, match="at least 70 mm"):
            plot(course, width_mm=width)
    figure = plot(course, width_mm=COLUMN)
    assert any(list(line.get_ydata()) == list(course.lamp_volts["E1"]) for ax in figure.axes for line in ax.lines)

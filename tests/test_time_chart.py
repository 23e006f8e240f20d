"""The time chart: the picture, its words and its print twin say what the record says."""

import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from circuitlab.arrangements import Arrangement, arrangement
from circuitlab.ground.errors import UnknownName
from circuitlab.ground.quantities import say
from circuitlab.parts import Battery, Control, Fuse, Lamp, Relay, Switch, Wire, toggle
from circuitlab.reasoning import flash
from circuitlab.solving import run
from circuitlab.views import style
from circuitlab.views.printing.print_chart import plot
from circuitlab.views.time_chart import describe_course, time_chart, trace

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = '</title><script>alert("x")</script> & \'q\''
SCRIPT = [(0.3, "key", "on"), (0.6, "turn lever", "left"), (2.5, "brake pedal", "held"), (4.2, "brake pedal", "released")]


@pytest.fixture(scope="module")
def course():
    """Left turn with the brake coming and going, on filaments shared through four relays."""
    return run(arrangement("shared-filament-four-relays"), SCRIPT, until=5)


def one_lamp(control="lamp switch", lamp="E1", place="", fuse=5.0, supply=12.6):
    """Return a lamp behind a fuse and a switch; everything with a name of choice."""
    return Arrangement("one lamp", [Control(control, ("off", "on"))],
                       [Battery("G1", supply), Fuse("F1", fuse), toggle("S1", control), Lamp(lamp, place=place)],
                       [Wire("W1", "G1:+", "F1:1"), Wire("W2", "F1:2", "S1:1"), Wire("W3", "S1:2", f"{lamp}:1"),
                        Wire("W4", f"{lamp}:2", "G1:-")])


def buzzer():
    """Return a relay that breaks its own coil circuit."""
    return Arrangement("buzzer", [Control("switch", ("off", "on"))],
                       [Battery("G1"), toggle("S1", "switch"), Relay("K1"), Lamp("E1")],
                       [Wire("W1", "G1:+", "S1:1"), Wire("W2", "S1:2", "K1:30"), Wire("W3", "K1:87a", "K1:86"),
                        Wire("W4", "K1:85", "G1:-"), Wire("W5", "K1:87a", "E1:1"), Wire("W6", "E1:2", "G1:-")])


def texts(svg):
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}text")]


def points(path):
    """Return the corners of a path of M, L, H and V as whole numbers."""
    found = []
    for letter, numbers in re.findall(r"([MLHV])([-\d ]+)", path):
        values = [int(number) for number in numbers.split()]
        x, y = {"M": values, "L": values, "H": [*values, found[-1][1]] if found else [],
                "V": [found[-1][0], *values] if found else []}[letter]
        found.append((x, y))
    return found


def passes(corners, x, y):
    """Tell whether a path of corners goes through a point, level or upright between two corners."""
    return any((x0 == x1 == x and min(y0, y1) <= y <= max(y0, y1)) or (y0 == y1 == y and x0 <= x <= x1)
               or (x, y) in ((x0, y0), (x1, y1)) for (x0, y0), (x1, y1) in zip(corners, corners[1:]))


def paths(svg):
    return {element.get("id"): element for element in ET.fromstring(svg).iter(f"{SVG}path") if element.get("id")}


def test_every_sample_lies_on_its_path_and_every_corner_is_a_sample(course):
    """The numbers in the paths are the record: ms across, hundredths of a volt or thousandths of rated light up."""
    found = paths(time_chart(course))
    for number, lamp in enumerate(course.lamp_volts):
        for kind, values, scale in (("volts", course.lamp_volts[lamp], 100), ("light", course.light[lamp], 1000)):
            samples = [(round(1000 * time), round(scale * value)) for time, value in zip(course.times, values)]
            corners = points(found[f"{number}{kind}"].get("d"))
            missed = [sample for sample in samples if not passes(corners, *sample)]
            assert missed == [], f"{lamp} {kind}"
            assert set(corners) <= set(samples) | {(x, y) for (x, _), (_, y) in zip(samples[1:], samples)}
    assert max(course.lamp_volts["E1"]) > 11   # so the paths above were no flat lines


def test_the_transform_puts_ten_volts_on_the_line_labelled_ten_volts(course):
    """Axis labels and traces share one scale, for volts and for seconds."""
    root = ET.fromstring(time_chart(course, lamps=["E1"]))
    group = next(element for element in root.iter(f"{SVG}g") if element.get("transform"))
    shift_x, shift_y, scale_x, scale_y = map(float, re.findall(r"-?[\d.]+(?:e-?\d+)?", group.get("transform")))
    where = {element.text: element for element in root.iter(f"{SVG}text")}
    for label, volts in (("0 V", 0), ("10 V", 10), ("15 V", 15)):
        assert float(where[label].get("y")) - 3.5 == pytest.approx(shift_y + scale_y * 100 * volts, abs=0.1)
    for label in ("0", "3", "5"):
        assert float(where[label].get("x")) == pytest.approx(shift_x + scale_x * 1000 * float(label), abs=0.1)


def test_bars_begin_and_end_where_the_control_was_moved(course):
    """The brake's bar spans 2.5 to 4.2 s on the axis that carries the seconds."""
    root = ET.fromstring(time_chart(course))
    where = {element.text: float(element.get("x")) for element in root.iter(f"{SVG}text")}
    bar = next(group.find(f"{SVG}rect") for group in root.iter(f"{SVG}g")
               if getattr(group.find(f"{SVG}title"), "text", "") == "brake pedal: held")
    second = (where["5"] - where["0"]) / 5
    assert float(bar.get("x")) == pytest.approx(where["0"] + 2.5 * second, abs=0.1)
    assert float(bar.get("width")) == pytest.approx(1.7 * second, abs=0.1)


def test_picture_and_words_name_every_control_and_lamp(course):
    """Same facts in both."""
    words, spoken = texts(time_chart(course)), describe_course(course)
    assert len(course.arrangement.controls) == 3 and len(course.lamp_volts) == 4
    for control in course.arrangement.controls:
        assert control.name in words
        assert f"{control.name}: {control.rest}" in spoken
    for lamp in course.lamp_volts:
        assert lamp in words and course.arrangement.part(lamp).place in words
        assert style.named(course.arrangement.part(lamp)) in spoken
    for time, control, position in SCRIPT:
        assert f"at {time:g} s {position}" in spoken.partition(f"{control}: ")[2].partition(". ")[0]
    assert ET.fromstring(time_chart(course)).get("aria-label") == spoken


def test_rate_and_on_share_are_those_of_flash(course):
    """Words beside the strip, words spoken and the mark on the gauge come from the one measurement."""
    measured = flash(course, "E1")
    assert measured.look == "flashing" and measured.is_rate_allowed
    for said in (" ".join(texts(time_chart(course, ["E1"]))), describe_course(course, ["E1"])):
        assert f"flashing, {measured.rate:.0f} per minute" in said
        assert f"in the band, on-time {100 * measured.on_share:.0f} %" in said
        assert f"{max(course.lamp_volts['E1']):.1f} V, light to {100 * max(course.light['E1']):.0f} %" in said
    root = ET.fromstring(time_chart(course, ["E1"]))
    low, high = (float(next(e.get("x") for e in root.iter(f"{SVG}text") if e.text == edge)) for edge in ("60", "120"))
    mark = next(element for element in root.iter(f"{SVG}path") if element.get("class") == "rate")
    x = float(re.match(r"M([\d.]+)", mark.get("d"))[1])
    assert 60 + 60 * (x - low) / (high - low) == pytest.approx(measured.rate, abs=0.5)   # half a pixel is 0.6 per minute


@pytest.mark.parametrize(("rate", "where"), [(30.0, "below the band"), (180.0, "above the band"), (600.0, "above the band")])
def test_a_rate_outside_the_band_says_so(rate, where):
    """A slow and two fast flashers, one of them beyond the end of the gauge."""
    sound = arrangement("shared-filament-four-relays")
    flasher = next(part for part in sound.parts if part.kind == "flasher")
    course = run(sound.with_parts(replace(flasher, rate=rate)), SCRIPT[:2], until=8)
    assert f"{rate:.0f} per minute; {where}" in describe_course(course)
    assert any(words.startswith(where) for words in texts(time_chart(course)))


def test_the_band_is_told_only_where_a_lamp_flashes(course):
    """The moment a relay changes over needs none; its ticks are told for what they are."""
    board = arrangement("relay-test-board")
    change = run(board, [(0.001, "test switch", "on")], until=0.02)
    for said in (" ".join(texts(time_chart(change, parts=["K1"]))), describe_course(change)):
        assert "band" not in said and "a part changes" in said
    for said in (" ".join(texts(time_chart(course))), describe_course(course)):
        assert "60 to 120 flashes per minute" in said


def test_a_lamp_lit_once_says_when(course):
    """A lamp that came and went without flashing is not called flashing, and has no gauge."""
    assert "E2, rear right: lit from 2.5" in describe_course(course, ["E2"])
    assert 'class="rate"' not in time_chart(course, ["E2"])


def test_lamps_can_be_chosen_and_ordered_and_a_wrong_name_is_told(course):
    """Only the lamps asked for, in that order."""
    words = texts(time_chart(course, ["E3", "E1"]))
    assert words.index("E3") < words.index("E1") and "E2" not in words
    with pytest.raises(UnknownName, match="no lamp 'E7'.*Did you mean"):
        time_chart(course, ["E7"])
    with pytest.raises(UnknownName, match="no lamp 'K1'"):
        plot(course, lamps=["K1"])


def test_relays_and_flashers_can_be_shown_as_bars(course):
    """Their states come from the record, also in the words."""
    svg, spoken = time_chart(course, parts=["K1", "K9"]), describe_course(course, parts=["K1", "K9"])
    operated = [start for start, _, state in course.spans("K1") if state == "operated"]
    assert len(operated) == svg.count("<title>K1: operated</title>") == 1
    assert f"at {operated[0]:g} s operated" in spoken
    assert svg.count("<title>K9: on</title>") == sum(state == "on" for *_, state in course.spans("K9")) > 3


def test_a_blown_fuse_is_written_into_picture_and_words():
    """A 1 A fuse cannot carry a 26.5 W lamp."""
    course = run(one_lamp(fuse=1.0), [(0.2, "lamp switch", "on")], until=10)
    blown = next(event for event in course.events if event.name == "F1" and event.state == "blown")
    assert any(words.startswith("F1 blown") and f"{blown.time:.2f} s" in words for words in texts(time_chart(course)))
    assert f"F1 is blown from {blown.time:g} s." in describe_course(course)
    assert any(note.get_text() == "F1 blown" for ax in plot(course).axes for note in ax.texts)


def test_a_record_cut_short_by_buzzing_says_so():
    """The sentence of the verdict stands above the chart and in the words."""
    course = run(buzzer(), [(0.2, "switch", "on")], until=5)
    assert course.verdict == "buzzing" and course.until < 5
    assert any("K1 buzzes at about" in words for words in texts(time_chart(course)))
    assert course.sentence in describe_course(course)
    assert any(course.sentence in text for text in figure_words(plot(course)))


def test_current_is_drawn_ampere_for_volt_and_an_inrush_beyond_the_axis_is_cut_and_said(course):
    """The path holds the record's amperes up to the top mark; the greatest of them stands in words and in the spoken text."""
    svg = time_chart(course, lamps=["E1"], currents=True)
    corners = points(paths(svg)["0amps"].get("d"))
    amps = course.lamp_current["E1"]
    assert max(amps) > 15 and max(y for _, y in corners) == 1500
    for time, value in list(zip(course.times, amps))[::7]:
        assert passes(corners, round(1000 * time), round(100 * min(value, 15)))
    said = f"current to {max(amps):.1f} A"
    assert said in texts(svg) and said in ET.fromstring(svg).get("aria-label")
    assert "0amps" not in paths(time_chart(course, lamps=["E1"]))


def test_lamp_current_is_that_of_the_operating_point_at_the_moment(course):
    """Seen between the events, where the record has samples of its own."""
    for index in range(0, len(course.times), 50):
        point = course.at(course.times[index])
        if point.lamp_volts("E1") == pytest.approx(course.lamp_volts["E1"][index], abs=1e-6):
            assert course.lamp_current["E1"][index] == pytest.approx(point.current("E1"), abs=1e-3)


def test_the_marked_moment_is_read_off_beside_every_lamp(course):
    """Volts, light and current of the operating point at that moment, in the picture and in the spoken text."""
    svg, point = time_chart(course, moment=3.1), course.at(3.1)
    for lamp in ("E1", "E4"):
        said = (f"at 3.10 s: {say(abs(point.lamp_volts(lamp)), 'V')}, {100 * point.light(lamp):.0f} %, "
                f"{say(abs(point.current(lamp)), 'A')}")
        assert said in texts(svg) and said in ET.fromstring(svg).get("aria-label")
    assert 'class="moment"' in svg and 'class="moment"' not in time_chart(course)


def test_more_volts_than_the_axis_widen_it():
    """24 V on the lamp: nothing leaves the strip."""
    course = run(one_lamp(supply=24.0, fuse=30.0), [(0.2, "lamp switch", "on")], until=1)
    assert max(course.lamp_volts["E1"]) > 15
    labels = [int(words.removesuffix(" V")) for words in texts(time_chart(course)) if re.fullmatch(r"-?\d+ V", words)]
    assert max(labels) >= max(course.lamp_volts["E1"]) and 10 * max(labels) >= 100 * max(course.light["E1"])


def test_names_that_look_like_markup_stay_text():
    """In every place a name can stand: control, lamp, place, prefix."""
    course = run(one_lamp(HOSTILE, "E<1>", HOSTILE), [(0.2, HOSTILE, "on")], until=1)
    svg = time_chart(course, prefix='"><x')
    root = ET.fromstring(svg.encode("utf-8"))
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {"svg", "text", "path", "g", "rect", "title"}
    shown = "".join("".join(texts(svg)).split())
    for name in (HOSTILE, "E<1>"):
        expected = name
        assert "".join(expected.split()) in shown
        assert expected in root.get("aria-label")


def test_nothing_to_show_is_said():
    """No lamps and no controls still give a chart, with sentences."""
    course = run(Arrangement("bare", parts=[Battery("G1")]), until=1)
    for said in (" ".join(texts(time_chart(course))), describe_course(course), " ".join(figure_words(plot(course)))):
        assert "There is no control to move." in said and "There is no lamp to show." in said


def test_the_same_record_gives_the_same_bytes_and_two_prefixes_share_no_id(course):
    """Deterministic, and two charts can stand on one page."""
    again = run(arrangement("shared-filament-four-relays"), SCRIPT, until=5)
    assert time_chart(course, prefix="a") == time_chart(again, prefix="a")
    first, second = (set(re.findall(r' id="([^"]*)"', time_chart(course, prefix=prefix))) for prefix in "ab")
    assert len(first) == len(second) == 1 + 2 * len(course.lamp_volts) and not first & second


def test_no_text_is_smaller_than_ten_pixels_and_no_colour_speaks_alone(course):
    """Sizes at the chart's own width; volts and light differ by weight and dash as well."""
    svg = time_chart(course)
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)) >= 10
    found = paths(svg)
    assert found["0volts"].get("stroke-dasharray") is None and found["0light"].get("stroke-dasharray")
    assert float(found["0volts"].get("stroke-width")) > float(found["0light"].get("stroke-width"))
    assert found["0volts"].get("stroke") == "currentColor"


@pytest.mark.outside("WCAG 2.2, success criterion 1.4.11 and the definition of relative luminance")
def test_every_line_colour_keeps_three_to_one_on_paper_and_on_a_dark_page():
    """The formula of relative luminance, written out here."""
    def luminance(colour):
        channels = [int(colour[at:at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return sum(share * c for share, c in zip((0.2126, 0.7152, 0.0722), linear))
    for colour in (*style.LIGHT_COLOURS.values(), *style.LAMP_COLOURS):
        for page in ("#ffffff", "#111111"):
            low, high = sorted((luminance(colour), luminance(page)))
            assert (high + 0.05) / (low + 0.05) >= 3, (colour, page)


def test_a_trace_holds_level_and_slopes_only_where_the_record_does():
    """By hand: a jump, a hold, a ramp, an end at rest."""
    assert trace([0, 5, 5, 8, 12, 20], [0, 0, 9, 9, 4, 4]) == "M0 0H5V9H8L12 4H20"
    assert trace([3], [7]) == "M3 7" and trace([], []) == ""


# ------------------------------------------------------------------ the print twin

def figure_words(figure):
    """Return every text of a figure that matplotlib would draw."""
    from matplotlib.text import Text
    return [text.get_text() for text in figure.findobj(Text) if text.get_text()]


def test_the_print_twin_draws_the_same_record(course):
    """Its heaviest line in each strip is the lamp's volts; names and measured words are those of the live chart."""
    figure = plot(course)
    strips = [ax for ax in figure.axes if ax.get_ylabel() == "V"]
    assert len(strips) == len(course.lamp_volts)
    for ax, (lamp, volts) in zip(strips, course.lamp_volts.items()):
        heavy = max((line for line in ax.lines if len(line.get_xdata()) > 2), key=lambda line: line.get_linewidth())
        assert list(heavy.get_xdata()) == list(course.times) and list(heavy.get_ydata()) == list(volts)
        assert ax.get_title(loc="left") == style.named(course.arrangement.part(lamp))
    words = " ".join(figure_words(figure))
    measured = flash(course, "E1")
    assert f"{measured.rate:.0f} per minute" in words and "brake pedal" in words and "held" in words


def test_the_print_twin_draws_into_axes_of_the_learner(course):
    """Told apart by dash and colour; the axes come back for more styling."""
    from matplotlib.figure import Figure
    ax = Figure().subplots()
    assert plot(course, ax) is ax
    assert course.plot(ax=Figure().subplots(), lamps=["E1"]).get_title() == course.arrangement.title
    labelled = [line for line in ax.lines if not line.get_label().startswith("_")]
    assert [list(line.get_ydata()) for line in labelled] == [list(volts) for volts in course.lamp_volts.values()]
    assert len({line.get_color() for line in labelled}) == len(labelled)
    assert len({str(line._dash_pattern) for line in labelled}) == len(labelled)


def test_chart_and_schematic_need_no_matplotlib():
    """In a fresh Python: only the print twin loads it, and who asks for schemdraw's own way to it."""
    code = ("import sys; from circuitlab.views.time_chart import time_chart; from circuitlab.solving import run; "
            "from circuitlab.views.schematic import draw; from circuitlab.arrangements import arrangement; "
            "lamp = arrangement('one-fused-lamp'); time_chart(run(lamp, until=1)); draw(lamp); "
            "print('matplotlib' in sys.modules, 'numpy' in sys.modules); import schemdraw.backends.mpl")
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split() \
        == ["False", "False"]


def test_a_trace_can_be_shown_for_the_reader_to_measure(course):
    """No rate, no on-share, no band, in picture or words; the moments a listener needs are said."""
    told, left_open = time_chart(course), time_chart(course, told=False)
    drawn = [{name: path.get("d") for name, path in paths(svg).items()} for svg in (told, left_open)]
    assert drawn[0] == drawn[1] and "0volts" in drawn[0]
    for word in ("per minute", "on-time", "band", 'class="rate"'):
        assert word in told and word not in left_open
    on, off = ([time for time, rises in flash(course, "E1").edges if rises == wanted] for wanted in (True, False))
    assert f"on at {on[0]:.2f}, {on[1]:.2f}" in left_open and f"off at {off[0]:.2f}, {off[1]:.2f}" in left_open

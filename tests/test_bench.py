"""The bench is a skin: its controls, its pictures and its sentence, worked here without a browser."""

import re
import xml.etree.ElementTree as tree
from collections import Counter

import pytest

import circuitlab as cl
from circuitlab.benches.guard import Guard
from circuitlab.views.schematic import fill, lay_out, lettering, live_layers
from circuitlab.views.time_chart import chart_layers


@pytest.fixture
def cart():
    return cl.arrangement("shared-filament-four-relays")


@pytest.fixture
def bench(cart):
    return cl.bench(cart, {"flasher dead": cl.Hold("K9", "off"), "87 and 87a of K1 swapped":
                           cl.SwapTerminals("K1:87", "K1:87a")}, {"key": "on", "turn lever": "left"})


def pictures(bench):
    return bench._schematic.markup, bench._chart.markup


def test_a_control_changes_both_pictures_and_the_sentence(bench):
    """Press the pedal: schematic, chart and status sentence all follow."""
    before, sentence = pictures(bench), bench.sentence
    bench.controls["brake pedal"].value = "held"

    assert all(new != old for new, old in zip(pictures(bench), before))
    assert "brake pedal held" in bench.sentence and "brake pedal released" in sentence


@pytest.mark.parametrize("name, value, measured", [("rate", 60, 60), ("rate", 120, 120), ("on_time", 30, 30)])
def test_a_flasher_slider_sets_what_the_chart_measures(bench, name, value, measured):
    """Rate and on-time read from the trace are those of the sliders."""
    bench.sliders[name].value = value
    flash = cl.flash(bench.course, "E1")

    assert (flash.rate if name == "rate" else 100 * flash.on_share) == pytest.approx(measured, abs=0.01)


def test_the_supply_slider_changes_the_lamp_volts(bench):
    """More volts behind the battery are more volts across the lamp."""
    highest = {}
    for volts in (10.0, 14.0):
        bench.sliders["volts"].value = volts
        highest[volts] = cl.flash(bench.course, "E1").highest

    assert highest[14.0] - highest[10.0] == pytest.approx(3.9, abs=0.3)


def test_pedal_timing_moves_the_action(bench):
    """The pedal goes down and comes up where its sliders say."""
    bench.controls["brake pedal"].value = "held"
    bench.sliders["pedal_at"].value, bench.sliders["pedal_for"].value = 1.0, 0.5

    assert [(time, state) for time, name, state in bench.course.script if name == "brake pedal"] == [
        (1.0, "held"), (1.5, "released")]


def test_the_moment_slider_moves_along_one_record(bench):
    """Another moment redraws the schematic from the same time course."""
    course, (schematic, chart) = bench.course, pictures(bench)
    bench.sliders["moment"].value = 2.1

    assert bench.course is course
    assert bench._schematic.markup != schematic and "At 2.10 s" in bench.sentence


def test_a_fault_is_made_and_taken_back(bench):
    """Tick and untick: the sentence changes and comes back word for word."""
    before = bench.sentence
    bench.faults["flasher dead"].value = True
    broken = bench.sentence
    bench.faults["flasher dead"].value = False

    assert "E1 dark" in broken and "E1 flashing" in before
    assert bench.sentence == before


def test_numbers_exist_without_widgets(bench, cart):
    """The bench shows what trial() computes for the same settings, no more."""
    same = cl.trial(cl.changes.with_settings(cart, volts=12.6, rate=90, on_share=0.5), {"key": "on", "turn lever": "left"})

    assert same.events == bench.course.events
    assert same.lamp_volts == bench.course.lamp_volts


def test_several_open_benches_share_no_id(cart):
    """Two benches of one arrangement on one page keep their ids apart."""
    ids = [set(re.findall(r' id="([^"]+)"', "".join(pictures(cl.bench(cart))))) for _ in range(2)]

    assert ids[0] and ids[1] and not ids[0] & ids[1]


def test_a_bench_without_flasher_or_control_still_works():
    """A battery and a lamp: no sliders to fail, a sentence to read."""
    bare = cl.Arrangement("a lamp on a battery", parts=[cl.Battery("G1"), cl.Lamp("E1")], wires=[
        cl.Wire("W1", "G1:+", "E1:1", "RD"), cl.Wire("W2", "E1:2", "G1:-", "BK")])
    bench = cl.bench(bare)

    assert list(bench.sliders) == ["volts"] and not bench.controls
    assert "E1: lit" in bench.sentence


def test_a_bench_without_a_lamp_says_so():
    """Nothing to see is said, not hidden."""
    bare = cl.Arrangement("a battery", parts=[cl.Battery("G1"), cl.Resistor("R1")], wires=[
        cl.Wire("W1", "G1:+", "R1:1", "RD"), cl.Wire("W2", "R1:2", "G1:-", "BK")])

    assert "there is no lamp" in cl.bench(bare).sentence


def test_a_failing_handler_says_a_sentence_and_the_bench_goes_on(bench, monkeypatch):
    """An error inside a redraw reaches the learner; the next control works again."""
    monkeypatch.setattr("circuitlab.benches.panel.trial", lambda *a, **k: 1 / 0)
    bench.controls["brake pedal"].value = "held"
    said = bench._guard.place.value
    monkeypatch.undo()
    bench.controls["turn lever"].value = "right"

    assert 'role="alert"' in said and "ZeroDivisionError" in said
    assert bench._guard.place.value == "" and "turn lever right" in bench.sentence


def test_the_kits_own_errors_are_told_in_their_own_words():
    """A CircuitLabError keeps its sentence; markup in it is escaped."""
    guard = Guard()

    def handler():
        raise cl.CircuitLabError("lamp '<E1>' is not there")

    guard.watch(handler)()
    assert "lamp &#x27;&lt;E1&gt;&#x27; is not there" in guard.place.value


def test_a_shorted_supply_on_the_bench_blows_the_fuse_and_says_so():
    """Bad wiring is answered by the status sentence, not by a traceback."""
    lamp = cl.arrangement("one-fused-lamp")
    lamp_wire = cl.Wire("W99", "E1:1", "E1:2", "RD", 0.1, 2.5)
    bench = cl.bench(lamp, {"lamp bridged": cl.AddWire(lamp_wire)}, {"lamp switch": "on"})
    bench.faults["lamp bridged"].value = True

    assert re.search(r"F1 blows at \d\.\d\d s", bench.sentence)


def test_a_supply_shorted_from_the_first_moment_is_said_on_the_bench():
    """The record has no length then; the sentence names the short all the same."""
    lamp = cl.arrangement("one-fused-lamp")
    bench = cl.bench(lamp, {"plus to minus": cl.AddWire(cl.Wire("W99", "G1:+", "G1:-", "RD", 0.1, 6))})
    bench.faults["plus to minus"].value = True

    assert bench._guard.place.value == "" and "G1 is shorted" in bench.sentence


@pytest.mark.parametrize("faults, match", [({"odd": "swap"}, "fault 'odd' is not a change"),
                                           ({"gone": cl.Hold("K77", "off")}, "no part 'K77'")])
def test_a_fault_that_does_not_fit_is_refused_at_once(cart, faults, match):
    """Not at the click, when nobody would see it."""
    with pytest.raises(cl.CircuitLabError, match=match):
        cl.bench(cart, faults)


def test_every_picture_is_well_formed_and_has_a_text_alternative(bench):
    """Both pictures parse, are images to a screen reader, and speak of every lamp."""
    for picture in (bench._schematic.layers[-1].value, bench._chart.layers[-1].value):
        root = tree.fromstring(picture)
        assert root.get("role") in ("img", "group")
        assert all(lamp in root.get("aria-label") for lamp in ("E1", "E2", "E3", "E4"))


def test_every_widget_has_a_name(bench):
    """No control without words beside it."""
    named = [*bench.controls.values(), *bench.sliders.values(), *bench.faults.values()]

    assert len(named) >= 10 and all(widget.description for widget in named)


def test_a_relay_on_the_still_bench_remembers_where_it_was():
    """Up from nothing it waits for its pull-in volts; down again it holds until its drop-out volts."""
    bench = cl.still_bench(cl.arrangement("relay-test-board"), positions={"test switch": "on"}, volts=(0, 15))
    relay, slider, seen = cl.arrangement("relay-test-board").part("K1"), bench.sliders["volts"], {}
    for way, steps in (("down", range(126, -1, -1)), ("up", range(151))):
        for step in steps:
            slider.value = step / 10
            seen[way, step] = bench.point.states["K1"]
    dropped = min(step for (way, step), state in seen.items() if way == "down" and state == "operated")
    pulled = min(step for (way, step), state in seen.items() if way == "up" and state == "operated")

    assert dropped / 10 == pytest.approx(relay.drop_out_voltage, abs=0.15)
    assert pulled / 10 == pytest.approx(relay.pull_in_voltage, abs=0.15)
    assert "K1, test board: operated, 15.0 V across the coil" in bench.sentence


def test_the_still_bench_says_what_its_controls_do():
    """The switch off lets the relay go whatever it remembers; an open coil ground never lets it in."""
    bench = cl.still_bench(cl.arrangement("relay-test-board"), {"coil ground open": cl.LoseJoint("W8", "K1:85")},
                           {"test switch": "on"}, volts=(0, 15))
    assert "E1, board, make side: lit" in bench.sentence
    bench.sliders["volts"].value = 8.0
    assert "E1, board, make side: dim, 8.0 V" in bench.sentence
    bench.sliders["volts"].value = 13.5
    bench.controls["test switch"].value = "off"
    assert "E2, board, break side: lit" in bench.sentence
    bench.faults["coil ground open"].value = True
    bench.controls["test switch"].value = "on"
    assert "K1, test board: released, 0.0 V across the coil" in bench.sentence


@pytest.mark.parametrize("make", [cl.bench, cl.still_bench])
def test_the_supply_slider_reaches_as_far_as_asked_and_no_less_than_the_battery(make):
    """Its ends are those given, and the arrangement's own volts are always among them."""
    lamp = cl.arrangement("one-fused-lamp")
    wide, narrow = make(lamp, volts=(0, 15)).sliders["volts"], make(lamp, volts=(9, 10)).sliders["volts"]

    assert (wide.min, wide.max) == (0, 15)
    assert (narrow.min, narrow.max) == (9, lamp.battery.voltage)


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", cl.arrangement_names())
def test_the_layers_of_a_bench_together_are_the_whole_schematic(name):
    arrangement = cl.arrangement(name)
    sheet, point = lay_out(arrangement), cl.operating_point(arrangement)
    are_the_layers_of(fill(sheet, arrangement, point), lettering(sheet), *live_layers(sheet, arrangement, point))


@pytest.mark.in_turn(2, 1)
@pytest.mark.parametrize("name", cl.arrangement_names())
def test_the_layers_of_a_bench_together_are_the_whole_chart(name):
    arrangement = cl.arrangement(name)
    course = cl.trial(arrangement, {control.name: control.positions[-1] for control in arrangement.controls})
    more = {"moment": course.until / 2, "currents": True}
    are_the_layers_of(cl.time_chart(course, **more), *chart_layers(course, **more))


def are_the_layers_of(whole, *layers):
    """Check that layers hold every shape and word of a picture once, and that only the uppermost is told."""
    shapes = [Counter(re.findall(r"<(?:text|path|circle|polygon|rect).*?(?:</text>|/>)", each)) for each in (whole, *layers)]
    assert all(shapes) and shapes[0] == sum(shapes[1:], Counter())
    assert ["aria-label" in layer for layer in layers] == [False] * (len(layers) - 1) + [True]
    assert all('aria-hidden="true"' in layer for layer in layers[:-1])
    said = [re.search('aria-label="[^"]*"', each).group() for each in (whole, layers[-1])]
    assert said[0] == said[1]


def test_a_move_of_a_slider_sends_only_the_layers_that_it_changes(bench):
    """The lamps' values and traces follow the supply; words, wires and axes stay as they are."""
    before = [layer.value for layers in (bench._schematic, bench._chart) for layer in layers.layers]
    bench.sliders["volts"].value = 13.5
    after = [layer.value for layers in (bench._schematic, bench._chart) for layer in layers.layers]
    assert [old == new for old, new in zip(before, after, strict=True)] == [True, True, False, True, False]


def test_a_box_adds_relay_states_and_currents_to_the_chart(bench):
    plain = bench._chart.markup
    bench.more.value = True
    assert "<title>K1: operated</title>" in bench._chart.markup and "current, 1 A for 1 V" in bench._chart.markup
    assert "<title>K1: operated</title>" not in plain and "current, 1 A for 1 V" not in plain
    bench.more.value = False
    assert bench._chart.markup == plain

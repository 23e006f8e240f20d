"""A flasher with lamp-out sensing whose load a relay brings late: time, table, proof and comparison say the same of it."""

import pytest

from circuitlab import arrangement, compare, flash, prove, run, trial
from circuitlab.arrangements import changed
from circuitlab.arrangements.typed_changes import read_change
from circuitlab.parts import Battery, Lamp, LedLamp, Relay, load_sensing_flasher, toggle
from circuitlab.reasoning import lamp_table
from circuitlab.solving import operating_point
from circuitlab.solving.sweeping import sweep

from small_boards import board
from test_flashers import lamps_on

REAR, FOUR, LEDS = "shared-filament-rear-relays", "shared-filament-four-relays", "led-lamps-load-resistors"
SENSING = "set K9 type electronic with lamp-out sensing"
LEFT = {"key": "on", "turn lever": "left"}
RATE = pytest.mark.outside("flasher chips' sheets: 2.15 to 2.3 times the rate with a lamp out")


def altered(name, *sentences):
    circuit = arrangement(name)
    for sentence in sentences:
        circuit = changed(circuit, read_change(sentence, circuit))
    return circuit


def rate_in_time(circuit, lamp="E1", until=20.0):
    """Flashes per minute at the end of a long course. [1/min]"""
    return flash(run(circuit, [(0.0, *item) for item in LEFT.items()], until), lamp, until - 10).rate


@pytest.mark.in_turn(12)
@RATE
@pytest.mark.parametrize("name, sentences, rate", [
    (REAR, ["replace E3 by LED lamp"], 198),
    (REAR, ["set E3 bulb W3W"], 198),
    (REAR, ["corrode W15 at E3:1 20 ohm"], 198),
    (FOUR, [SENSING, "replace E3 by LED lamp"], 198),
    (FOUR, [SENSING, "replace E3 by LED lamp", "set K3 operate time 9 ms"], 198),
    (REAR, ["replace E3 by LED lamp", "set K1 operate time 40 ms"], 198),
    (LEDS, ["move W17 from X4:4 to E1:1"], 90)])
def test_a_relay_of_some_ten_milliseconds_is_waited_for(name, sentences, rate):
    circuit = altered(name, *sentences)
    assert rate_in_time(circuit) == pytest.approx(rate, rel=1e-3)
    assert flash(trial(circuit, LEFT), "E1", 1.0).look == "flashing"
    assert lamp_table(circuit).row(**LEFT | {"brake pedal": "released"}).cells["E1"].look == "flashing"
    assert [operating_point(circuit, LEFT, phase).states["K9"] for phase in ("on", "off")] == ["on", "off"]
    assert ("2.2 times as fast" in prove(circuit).text()) == (rate == 198)


def test_the_flasher_with_too_little_load_gives_up_fifty_milliseconds_into_its_flash():
    light = lamps_on(load_sensing_flasher("K9")).with_parts(*(LedLamp(name, load_resistance=60.0) for name in ("E1", "E2")))
    course = run(light, [(1.0, "switch", "on")], 4.0)
    events = [(event.state, event.time) for event in course.events if event.name == "K9"]
    assert events == [("on", 1.0), ("idle", pytest.approx(1.05))]


def test_a_relay_later_than_that_comes_too_late_in_the_table_as_in_time():
    late = altered(REAR, "replace E3 by LED lamp", "set K1 operate time 80 ms")
    assert flash(run(late, [(0.0, *item) for item in LEFT.items()], 20.0), "E1", 1.0).look == "dark"
    assert lamp_table(late).row(**LEFT | {"brake pedal": "released"}).cells["E1"].look == "dark"
    assert operating_point(late, LEFT).states["K9"] == "idle"
    assert not prove(late).is_kept and "K9 flashes" not in prove(late).text()


def relay_behind(lamp):
    """A relay whose coil hangs on 49a and that brings a lamp onto 49a."""
    parts = [Battery("G1", 12.6), load_sensing_flasher("K9"), toggle("S1", "switch"), Relay("K1"), lamp]
    return board("a relay behind a flasher", parts, [
        ("G1:+", "S1:1"), ("S1:2", "K9:49"), ("K9:49a", "K1:86"), ("K9:49a", "K1:30"), ("K1:87", "E1:1"), ("E1:2", "G1:-"),
        ("K1:85", "G1:-"), ("K9:31", "G1:-")])


@pytest.mark.parametrize("lamp", [Lamp("E1", 12.0, 21.0), LedLamp("E1", 12.0, 3.0, load_resistance=8.0)], ids=["filament", "LED"])
def test_a_relay_that_the_flasher_itself_works_brings_its_load_in_time(lamp):
    cart = relay_behind(lamp)
    assert flash(run(cart, [(0.0, "switch", "on")], 20.0), "E1", 1.0).look == "flashing"
    points = [operating_point(cart, {"switch": "on"}, phase) for phase in ("on", "off")]
    assert [(point.states["K9"], point.states["K1"]) for point in points] == [("on", "operated"), ("off", "released")]
    assert lamp_table(cart).row(switch="on").cells["E1"].look == "flashing"
    swept = sweep(cart)
    differ = [swept.state("K1")[number] != swept.point(number).states["K1"] for number in range(len(swept))]
    assert any(differ) and swept.in_doubt[differ].all()

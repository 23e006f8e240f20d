"""The battery the wrong way round, and two in series: what does not care, what is dead, what is said."""

import pytest

from circuitlab.arrangements import Arrangement, SwapTerminals, arrangement, changed, read_change
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.arrangements.nets import supplies
from circuitlab.parts import (Battery, Flasher, Fuse, Lamp, LedLamp, Relay, Splice, Wire, load_needing_flasher, thermal_flasher,
                              variable_load_flasher)
from circuitlab.parts.flasher import SENSING
from circuitlab.reasoning import prove
from circuitlab.solving import operating_point, sweep
from circuitlab.commands.build_sheets import build_sheet

TURN = SwapTerminals("G1:+", "G1:-")
POLARITY = pytest.mark.outside("maker's page on two-pin flashers, ef32rl.com/polarity-test: a thermal unit does not care, "
                               "electronic ones in general do not work reversed")


def fed(part, inlet, *more):
    """Return a battery, a fuse and a part, its inlet on the fuse, with what else is wired."""
    wires = [Wire("W1", "G1:+", "F1:1", area=2.5), Wire("W2", "F1:2", f"{part.name}:{inlet}"), *more]
    return Arrangement("a part alone", [], [Battery("G1"), Fuse("F1", 10.0), part, Lamp("E1"), Lamp("E2")], wires)


def flashing(flasher):
    """Return a flasher with two lamps on its output."""
    outlet = f"{flasher.name}:49a"
    ground = [Wire("W9", f"{flasher.name}:31", "G1:-")] if "31" in flasher.terminals else []
    return fed(flasher, "49", Wire("W3", outlet, "E1:1"), Wire("W4", outlet, "E2:1"), Wire("W5", "E1:2", "G1:-"),
               Wire("W6", "E2:2", "G1:-"), *ground)


@POLARITY
@pytest.mark.parametrize("make, cares", [
    (Flasher, True), (lambda name: load_needing_flasher(name), True), (lambda name: thermal_flasher(name), False),
    (lambda name: variable_load_flasher(name), False),
    (lambda name: Flasher(name, type=SENSING), True)])
def test_an_electronic_flasher_does_not_run_the_wrong_way_round_and_one_that_works_by_heat_does(make, cares):
    right, wrong = (operating_point(circuit) for circuit in (flashing(make("K9")), changed(flashing(make("K9")), TURN)))
    assert right.states["K9"] == "on" and not right.remarks
    assert wrong.states["K9"] == ("idle" if cares else "on")
    assert sum("K9 is fed the wrong way round: plus belongs on 49" in words for words in wrong.remarks) == cares
    many = sweep(changed(flashing(make("K9")), TURN), [{}], ["on"])
    assert many.state("K9").tolist() == [wrong.states["K9"]]


def test_a_relay_with_a_diode_shorts_and_a_plain_one_does_not_care():
    """Common practice: 86 is plus where a diode is built in; ISO mini relays without one have no polarity."""
    for kind, states in (("diode", ("operated", "released")), ("none", ("operated", "operated")), ("resistor", ("operated",) * 2)):
        board = fed(Relay("K1", suppression=kind), "86", Wire("W3", "K1:85", "G1:-"))
        points = [operating_point(circuit) for circuit in (board, changed(board, TURN))]
        assert [point.states["K1"] for point in points][0] == states[0]
        assert points[1].states["F1"] == ("blown" if kind == "diode" else "whole")


@pytest.mark.parametrize("name", ["shared-filament-four-relays", "hazard-by-diodes", "one-fused-lamp", "led-lamps-no-load"])
def test_a_battery_the_wrong_way_round_is_said_wherever_there_is_a_frame(name):
    assert not [words for words in warnings_for(arrangement(name)) if "wrong way round" in words]
    first = warnings_for(changed(arrangement(name), TURN))[0]
    assert first.startswith("battery 'G1' is the wrong way round: its plus is on the frame 'X1'.")
    assert "as in some old tractors" in first


@pytest.mark.parametrize("name", ["shared-filament-four-relays", pytest.param("hazard-by-diodes", marks=pytest.mark.full), "led-lamps-load-resistors"])
def test_what_hangs_on_an_electronic_flasher_is_not_proved_the_wrong_way_round(name):
    """All three have an electronic flasher with 31 on the frame."""
    assert prove(arrangement(name), timing=False).is_kept
    assert not prove(changed(arrangement(name), TURN), timing=False).is_kept


def said(board):
    """Return the cautions on a board, save that it has no fuse."""
    return tuple(words for words in warnings_for(board) if not words.startswith("no fuse lies"))


def pair(lamp, *wires):
    """Return two batteries of 12.6 V one behind the other, and a lamp."""
    return Arrangement("two batteries", [], [Battery("G1"), Battery("G2"), lamp, Splice("X9", 3)],
                       [Wire("W1", "G1:+", "G2:-"), *wires, Wire("W9", f"{lamp.name}:2", "G1:-")])


def test_two_batteries_in_series_are_seen_as_what_they_give_together():
    both = pair(Lamp("E1"), Wire("W2", "G2:+", "E1:1"))
    assert supplies(both) == (25.2,)
    assert "made for 13.5 V and the battery gives 25.2 V" in said(both)[0]
    assert said(pair(Lamp("E1", volts=24.0, bulb=""), Wire("W2", "G2:+", "E1:1"))) == ()


def test_a_lamp_on_the_middle_of_two_batteries_has_the_volts_of_one():
    middle = pair(Lamp("E1"), Wire("W2", "G1:+", "E1:1"))
    assert supplies(middle) == (12.6,)
    assert said(middle) == ("no wire goes to G2:+: battery 'G2' cannot work without it. Wire it.",)


def test_two_batteries_side_by_side_give_what_one_gives():
    side = Arrangement("side by side", [], [Battery("G1"), Battery("G2"), Lamp("E1", volts=6.0)],
                       [Wire("W1", "G1:+", "G2:+"), Wire("W2", "G1:-", "G2:-"), Wire("W3", "G1:+", "E1:1"), Wire("W4", "E1:2", "G2:-")])
    assert supplies(side) == (12.6,) and "made for 6.0 V and the battery gives 12.6 V" in said(side)[0]


def test_an_led_lamp_turned_by_the_battery_is_dark_and_said():
    board = fed(LedLamp("E9"), "1", Wire("W3", "E9:2", "G1:-"))
    point = operating_point(changed(board, TURN))
    assert point.light("E9") < 0.01 < operating_point(board).light("E9")


def test_a_feed_without_a_fuse_is_said_before_it_is_built():
    """A fuse at the battery end of every feed: common practice."""
    lamp = arrangement("one-fused-lamp")
    bare = changed(lamp, *(read_change(words, lamp) for words in ("move W1 from F1:1 to S1:1",)))
    assert warnings_for(lamp) == ()
    assert warnings_for(bare)[0].startswith("no fuse lies between the battery's plus and S1:")
    assert "no fuse lies between" in build_sheet(bare)

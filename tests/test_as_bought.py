"""Parts as one buys them: by the ratings that are printed on them, on the build sheet and in sizing."""

import re
from html import unescape

import pytest

from circuitlab.arrangements import Arrangement, SetValue, arrangement, changed
from circuitlab.parts import Battery, Control, Diode, Flasher, Fuse, Lamp, LedLamp, Resistor, Wire, toggle
from circuitlab.parts.catalogue import diode, flasher, fuse, led_lamp, load_resistor
from circuitlab.reasoning.sizing import judge, size
from circuitlab.reasoning.sizing.found import judged
from circuitlab.views.build_sheet.lists import parts_list


def told(part):
    """Return what the parts list says is to be bought."""
    said = unescape(re.sub(r"<[^>]+>", " ", parts_list(Arrangement("one", parts=[Battery("G1"), part]))))
    return " ".join(said.partition(f" {part.name} ")[2].split())


@pytest.mark.outside("UN Regulation 37, from memory, and 97/24/EC: rated watts, printed on the bulb; catalogue of flashers; "
                     "fitting instruction for load resistors; maker sheets of diodes, from memory")
@pytest.mark.parametrize("part, words", [
    (Lamp("E1", bulb="P21/5W", watts=6.6), "lamp, P21/5W, 6.6 W at 13.5 V (on the bulb: 12 V 21/5 W), red light"),
    (Lamp("E1", bulb="R5W 6 V"), "lamp, R5W 6 V, 5.5 W at 6.75 V (on the bulb: 6 V 5 W)"),
    (Lamp("E1", bulb="1157"), "lamp, 1157, 26.88 W at 12.8 V"),
    (Lamp("E1", watts=3), "lamp, 3 W at 13.5 V"),
    (load_resistor("R1"), "resistor, 6 ohm, 50 W"),
    (led_lamp("E1", load="two lamps"), "load resistor 3 ohm 100 W"),
    (diode("V1", "1N5401"), "diode, carries 3 A, blocks 100 V, drops 1 V at 3 A"),
    (flasher("K9", "electronic with lamp-out sensing 98 W"),
     "flasher, electronic with lamp-out sensing, 49 49a 31, 42 to 98 W, 12 V, 90 per minute"),
    (flasher("K9", "thermal fixed load"), "flasher, thermal fixed load, 49 49a, for 42 W, 12 V"),
    (flasher("K9", "electronic load needing"), "flasher, electronic load needing, 49 49a, 10 to 98 W"),
    (Flasher("K9"), "flasher, electronic free running, 49 49a 31, any load"),
    (fuse("F1", "maxi blade 60 A"), "maxi blade fuse, 60 A"), (fuse("F1", "torpedo 8 A"), "torpedo fuse, 8 A")])
def test_the_parts_list_says_what_to_ask_for(part, words):
    assert words in told(part)


def loop(load, *more, fuse_=10.0):
    """Return a load behind a fuse and a switch."""
    one, other = ("A", "K") if isinstance(load, Diode) else ("1", "2")
    wires = [Wire("W1", "G1:+", "F1:1", "RD", 0.2), Wire("W2", "F1:2", "S1:1"), Wire("W3", "S1:2", f"{load.name}:{one}")]
    end = f"{load.name}:{other}"
    if more:
        wires.append(Wire("W5", end, f"{more[0].name}:1"))
        end = f"{more[0].name}:2"
    return Arrangement("a loop", [Control("switch", ("off", "on"))],
                       [Battery("G1"), Fuse("F1", fuse_), toggle("S1", "switch"), load, *more],
                       [*wires, Wire("W4", end, "G1:-")])


def verdict(board, rule):
    return [found.is_kept for found in judge(board) if found.rule == rule]


@pytest.mark.parametrize("board, rule, kept", [
    (loop(load_resistor("R1")), "the resistor stands its heat", True),
    (loop(Resistor("R1", 6.0, rated_watts=10.0)), "the resistor stands its heat", False),
    (loop(LedLamp("E1", load_resistance=6.0, load_watts=10.0)), "the resistor stands its heat", False),
    (loop(diode("V1", "1N5401"), Lamp("E1")), "the diode carries the load", True),
    (loop(diode("V1", "1N4001"), Lamp("E1")), "the diode carries the load", False)])
def test_a_part_that_is_bought_by_a_rating_is_held_to_it(board, rule, kept):
    """12.6 V on 6 ohm are 26 W; a lamp of 26.5 W draws 1.9 A."""
    assert verdict(board, rule) == [kept]


def test_a_flasher_is_held_to_the_most_it_is_made_for():
    rule, cart = "the flasher carries its lamps", arrangement("flashing-line-only")
    unit = cart.of_kind(Flasher)[0].name
    assert verdict(cart, rule) == [], "a unit for any load is held to none"
    assert verdict(changed(cart, SetValue(unit, "most_load", 10.0)), rule) == [False]
    assert verdict(changed(cart, SetValue(unit, "most_load", 500.0)), rule) == [True]


@pytest.mark.parametrize("area", [0.5, 1.0, 1.5])
def test_what_reads_as_its_limit_is_at_its_limit(area):
    for found in size(changed(loop(Lamp("E1")), SetValue("W3", "area", area))).findings:
        if found.limit is not None and not found.is_kept:
            assert f"{found.value:.3g}" != f"{found.limit:.3g}", found


@pytest.mark.parametrize("value, kept", [(1.0004, True), (0.99, True), (1.006, False)])
def test_a_current_told_as_one_ampere_may_be_where_one_ampere_is_allowed(value, kept):
    assert judged("the wire carries the load", "W1", "it", value, 1.0, "A").is_kept == kept
    assert judged("the contact is kept clean", "K1", "it", 2 - value, 1.0, "A").is_kept == kept


def test_a_diode_keeps_what_one_fuse_lets_through_from_the_wires_of_another():
    """Two feeds come together through diodes: before a diode only its own fuse feeds, behind them both do."""
    parts = [Battery("G1"), Fuse("F1", 5.0), Fuse("F2", 10.0), Diode("V1"), Diode("V2"), Lamp("E1"), Lamp("E2")]
    wires = [Wire("W1", "G1:+", "F1:1"), Wire("W2", "G1:+", "F2:1"), Wire("W3", "F1:2", "V1:A"),
             Wire("W4", "F2:2", "V2:A"), Wire("W5", "V1:K", "E1:1"), Wire("W6", "V2:K", "E1:1"),
             Wire("W7", "E1:2", "G1:-"), Wire("W8", "F1:2", "E2:1"), Wire("W9", "E2:2", "G1:-")]
    guards = size(Arrangement("two feeds", parts=parts, wires=wires)).guarding
    assert guards.together["W3"] == guards.together["W8"] == ("F1",) and guards.together["W4"] == ("F2",)
    assert guards.together["W5"] == guards.together["W6"] == ("F1", "F2")

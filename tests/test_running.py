"""With the engine running: fuses, contacts and lamps at the volts a charging system holds; and what a connector's pins are made for."""

from dataclasses import replace

import pytest
from small_boards import board

import circuitlab as cl
from circuitlab.arrangements import ReplacePart, SetValue, arrangement, changed, read_change
from circuitlab.parts import Battery, Connector, Fuse, Lamp, LedLamp, Resistor, toggle
from circuitlab.parts.connector import rated_pins
from circuitlab.reasoning.sizing import judge, size
from circuitlab.reasoning.sizing.running import charged
from circuitlab.views.sizing_words import sizing_text

FLAT = arrangement("trailer-4-flat-combined-lamps")


def heated(ohms, fuse, volts=12.6, load=None):
    """A resistor, or what else, on a fuse and a switch, with next to no wire."""
    return board("heater", [Battery("G1", volts, 0.001), Fuse("F1", fuse), toggle("S1", "switch"), load or Resistor("R1", ohms)],
                 [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", f"{load.name if load else 'R1'}:1"), (f"{load.name if load else 'R1'}:2", "G1:-")], ("switch",))


def broken(whole, rule):
    return [finding for finding in judge(whole) if not finding.is_kept and finding.rule == rule]


@pytest.mark.outside("charging systems hold 13.8 to 14.4 V of 12 V: common practice; other systems in proportion")
def test_a_charging_system_holds_a_fifth_more_than_its_system_is_called():
    assert [charged(Battery("G1", volts)).voltage for volts in (6.3, 12.0, 12.6, 13.8, 25.2)] == [7.2, 14.4, 14.4, 14.4, 28.8]
    assert [charged(Battery("G1", volts)).voltage for volts in (3.0, 15.0, 16.8, 35.0)] == [3.0, 15.0, 16.8, 35.0], "what is no vehicle's, or has more, stays"


def test_a_fuse_that_has_enough_in_hand_at_rest_and_too_little_with_the_engine_running_is_told():
    """Ohm's law: 12.6 V on 2.2 ohm and the loop's own are under 80 % of 7.5 A, 14.4 V are over."""
    (found,) = broken(heated(2.2, 7.5), "the fuse carries the load")
    assert found.value == pytest.approx(14.4 / 2.2, rel=0.03) and found.value > 0.8 * 7.5 > 12.6 / 2.2 > 0.7 * 7.5
    assert found.sentence.startswith("F1: with the engine running (14.4 V)") and "heat it on average with switch on" in found.sentence
    assert broken(heated(2.2, 7.5, 14.4), "the fuse carries the load")[0].sentence.startswith("F1: 6.3"), "as it is told where the battery has as much"
    assert broken(heated(2.6, 7.5), "the fuse carries the load") == []


@pytest.mark.outside("worked by hand: 6 ohm take 26 W at 12.6 V and 34.6 W at 14.4 V")
def test_a_load_resistor_that_gets_too_hot_only_then_is_told():
    whole = heated(0, 5.0, load=Resistor("R1", 6.0, rated_watts=30.0))
    (found,) = broken(whole, "the resistor stands its heat")
    assert "with the engine running (14.4 V)" in found.sentence and found.value == pytest.approx(34.6, rel=0.03)
    assert size(whole).running.lamp == ""


def test_the_sheet_says_both_and_what_becomes_of_lamps():
    sized = size(arrangement("one-fused-lamp"))
    text = sizing_text(sized)
    assert "With the engine running" in text and "most at 12.6 V  heats at 14.4 V" in text
    assert sized.running.lamp == "E1" and sized.running.life == pytest.approx((13.5 / sized.running.lamp_volts) ** 13, rel=1e-6)
    assert 14.0 < sized.running.lamp_volts < 14.4 and f"it lasts {sized.running.life:.2g} of the life told" in text
    (line,) = [line.split() for line in text.splitlines() if line.startswith("F1") and line.endswith("%")]
    assert line == ["F1", "5.00", "A", "1.87", "A", "2.01", "A", "40", "%"]
    assert len(sized.findings) == 35 and sized.broken == (), "every check at rest stays"


def test_what_flashes_counts_by_its_heat_in_a_fuse_and_in_full_at_rest():
    """Half of the time on: the root of a half, as the heat of a wire goes; the flasher's own share is its mean."""
    ran = size(FLAT).running
    rest, heat = next((rest, heat) for name, _, rest, heat in ran.fuses if name == "F2")
    assert 0.65 < heat / (rest * (14.4 / 12.6) ** 0.54) < 0.78


def test_a_battery_that_has_as_much_and_a_led_lamp_say_nothing_more():
    assert size(heated(6.0, 5.0, 14.4)).running is None
    assert "With the engine running" not in sizing_text(size(heated(6.0, 5.0, 14.4)))
    led = size(heated(0, 5.0, load=LedLamp("E1"))).running
    assert led.lamp == "" and led.life == 1.0


@pytest.mark.parametrize("name", ["trailer-12n-separate-lamps", "trailer-4-flat-combined-lamps", "tail-and-stop-two-filaments", "hazard-by-diodes",
                                  "shared-filament-rear-relays-hazard", "third-stop-lamp"])
def test_arrangements_of_the_kit_keep_their_margins_with_the_engine_running(name):
    sized = size(arrangement(name))
    assert sized.broken == () and all(heat <= 0.8 * rating for _, rating, _, heat in sized.running.fuses)


# ------------------------------------------------------------------ what a pin is made for

@pytest.mark.outside("SAE J1239, its scope: lamp circuits of 7.5 A at most; SAE J2863, as summarised: signal circuits of 5 A at most")
def test_pins_are_made_for_what_their_standard_says():
    assert rated_pins("4-flat") == dict.fromkeys("234", 7.5)      # the common ground is no lamp circuit
    assert rated_pins("7-blade") == dict.fromkeys("3567", 5.0), "ground, brakes and plus are power circuits, in thicker wire"
    assert rated_pins("12N") == rated_pins("13-pin") == {}


def loaded(lamps, kind="4-flat", pin="2", fuse=20.0):
    """So many lamps of 21 W behind one pin of a connector."""
    parts = [Battery("G1", 13.5, 0.001), Fuse("F1", fuse), toggle("S1", "switch"), Connector("X5", kind), *(Lamp(f"E{number}") for number in range(1, lamps + 1))]
    return board("plug", parts, [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", f"X5:{pin}s"),
                                 *((start, end) for number in range(1, lamps + 1) for start, end in ((f"X5:{pin}p", f"E{number}:1"), (f"E{number}:2", "G1:-")))], ("switch",))


def test_a_pin_that_carries_more_than_it_is_made_for_is_told_like_an_overheated_wire():
    over, under = cl.operating_point(loaded(5), {"switch": "on"}), cl.operating_point(loaded(3), {"switch": "on"})
    assert 7.5 < over.current("X5", 1) < 10 and under.current("X5", 1) < 7.5
    (said,) = [words for words in over.overheated if words.startswith("pin 2 of X5 carries")]
    assert "made for 7.5 A for long" in said and not [words for words in under.overheated if "X5" in words]
    assert any(said in told for told in cl.lamp_table(loaded(5)).overheated)
    (found,) = broken(loaded(5), "the pin carries the load")
    assert "its pin 2 carries" in found.sentence and found.limit == 7.5
    assert broken(loaded(5, "12N"), "the pin carries the load") == [], "no standard at hand says what its pins carry"


def test_size_says_once_where_a_fuse_is_larger_than_the_pins_behind_it_and_what_is_allowed():
    sized = size(FLAT)
    assert sized.unguarded == (("F1", "X5", ("3", "4"), 7.5),)
    text = sizing_text(sized)
    assert text.count("Caution: F1 of 10.0 A does not guard pins 3, 4 of X5, made for 7.5 A") == 1 and "7.5 A at most" in text and "All is well" not in text
    assert sized.survey.load("F1").amps > 0.9 * 7.5, "four lamps leave a fuse of 7.5 A no margin"
    assert size(changed(FLAT, SetValue("F1", "rating", 7.5))).unguarded == ()
    assert size(changed(FLAT, SetValue("F2", "rating", 10.0))).unguarded == (("F1", "X5", ("3", "4"), 7.5), ("F2", "X5", ("3", "4"), 7.5))
    assert size(arrangement("trailer-12n-separate-lamps")).unguarded == ()


def test_the_fuse_of_a_pin_counts_by_the_side_that_it_feeds():
    whole = changed(loaded(3, fuse=10.0), ReplacePart(replace(Connector("X5", "7-blade"))))
    assert size(whole).unguarded == ()      # pin 2 of a 7-blade is one for power
    assert size(loaded(2, "7-blade", "3", 7.5)).unguarded == (("F1", "X5", ("3",), 5.0),)


def test_a_fuse_that_sits_in_a_block_counts_like_any_other():
    own = cl.changes.bare()
    for sentence in ('add part F5 fuse block, ways "30: 15 A, 5 A"', "add part X5 connector, type 4-flat", "add part E1 lamp", "add wire W1 from G1:+ to F5:30",
                     "add wire W2 from F5:1 to X5:2s", "add wire W3 from X5:2p to E1:1", "add wire W4 from E1:2 to X1:1", "add wire W5 from X1:2 to G1:-"):
        own = changed(own, read_change(sentence, own))
    sized = size(own)
    assert sized.unguarded == (("F5.1", "X5", ("2",), 7.5),) and [name for name, *_ in sized.running.fuses] == ["F5.1", "F5.2"]
    assert "Caution: F5.1 of 15.0 A does not guard pin 2 of X5" in sizing_text(sized)

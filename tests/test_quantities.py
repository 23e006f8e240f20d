"""Quantities as text: read as people write them, wherever a number is wanted, and refused where they could mislead."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitlab.arrangements import Arrangement, SetValue, arrangement, changed, read_text, write_text
from circuitlab.ground.errors import FileError, PartError
from circuitlab.ground.quantities import awg_to_mm2, read_quantity, say
from circuitlab.parts import Battery, Flasher, Fuse, Lamp, Relay, Resistor, Wire


@pytest.mark.parametrize("text, unit, value", [
    ("21 W", "W", 21), ("21W", "W", 21), ("21 watts", "W", 21), ("0,75 mm2", "mm2", 0.75),
    ("0.75 mm\u00b2", "mm2", 0.75),
    ("0,75", "mm2", 0.75), (".5 mm2", "mm2", 0.5), ("250 mA", "A", 0.25), ("12,6 V", "V", 12.6), ("12.6V", "V", 12.6),
    ("6 v", "V", 6), ("-0,3 V", "V", -0.3), ("+14 V", "V", 14), ("1.5 kohm", "ohm", 1500), ("1 Mohm", "ohm", 1e6),
    ("20 m\u03a9", "ohm", 0.02), ("4,7 k\u2126", "ohm", 4700), ("85 Ohm", "ohm", 85), ("10 ms", "s", 0.01),
    ("2,5 m", "m", 2.5), ("80 cm", "m", 0.8), ("120 mm", "m", 0.12), ("10 ft", "m", 3.048), ("12 in", "m", 0.3048),
    ("5 \u00b5A", "A", 5e-6), ("50 %", "1", 0.5), ("0,5", "1", 0.5), ("50 %", "%", 50), ("90 per minute", "/min", 90),
    ("85 /min", "flashes per minute", 85), ("  7.5   A ", "A", 7.5), ("1e3 ohm", "ohm", 1000),
    (7, "A", 7), (0.75, "mm2", 0.75)])
def test_a_quantity_is_read_as_people_write_it(text, unit, value):
    read = read_quantity(text, unit)
    assert read == pytest.approx(value, rel=1e-12) and isinstance(read, float)


@pytest.mark.parametrize("text", ["18 AWG", "18awg", "AWG 18", "awg18"])
def test_a_gauge_is_read_as_an_area(text):
    assert read_quantity(text, "mm2") == awg_to_mm2(18) == pytest.approx(0.823, abs=5e-4)


@pytest.mark.parametrize("text, unit, words", [
    ("21 V", "W", r"'21 V' is not in W. Write it as a number of W, such as '21 W'"),
    ("18 AWG", "A", r"'18 AWG' is not in A"), ("2 mm", "mm2", r"'2 mm' is not in mm2"), ("5 MA2", "A", r"is not in A"),
    ("3 mV", "A", r"'3 mV' is not in A"), ("bright", "W", r"'bright' is not a quantity"),
    ("W", "W", r"'W' is not a quantity"),
    ("1,500 ohm", "ohm", r"'1,500 ohm' can be read in two ways. Write 1500 or 1.500, whichever you mean"),
    ("12,600 V", "V", r"can be read in two ways. Write 12600 or 12.600"),
    ("50 %", "A", r"'50 %' is not in A"), ("AWG", "mm2", r"'AWG' is not a quantity"),
    ("60 AWG", "mm2", r"60 AWG is outside the gauges the kit knows, 0 to 40")])
def test_a_quantity_that_could_mislead_is_refused(text, unit, words):
    with pytest.raises(PartError, match=words):
        read_quantity(text, unit)


def test_three_digits_behind_a_comma_pass_where_they_cannot_be_thousands():
    assert read_quantity("0,750 mm2", "mm2") == 0.75 and read_quantity("1234,500 V", "V") == 1234.5


@given(st.floats(0.001, 999), st.sampled_from(["V", "A", "W", "ohm"]))
def test_what_is_said_can_be_read_again(value, unit):
    """To the digits a meter shows: half of the last one, which is 0.05 from 10 V upwards and for all volts."""
    assert read_quantity(say(value, unit), unit) == pytest.approx(value, rel=0.05, abs=0.051)


# ------------------------------------------------------------------ where parts are built

@pytest.mark.parametrize("in_words, in_numbers", [
    (lambda: Lamp("E1", "12,8 V", "26.9 W", "1156"), lambda: Lamp("E1", 12.8, 26.9, "1156")),
    (lambda: Wire("W1", "G1:+", "F1:1", "RD", "2,5 m", "1,5 mm2", "2 mohm"),
     lambda: Wire("W1", "G1:+", "F1:1", "RD", 2.5, 1.5, 0.002)),
    (lambda: Wire("W1", "G1:+", "F1:1", area="18 AWG"), lambda: Wire("W1", "G1:+", "F1:1", area=awg_to_mm2(18))),
    (lambda: Fuse("F1", "7.5 A"), lambda: Fuse("F1", 7.5)), (lambda: Fuse("F1", "500 mA"), lambda: Fuse("F1", 0.5)),
    (lambda: Battery("G1", "12,6 V", "8 mohm"), lambda: Battery("G1", 12.6, 0.008)),
    (lambda: Resistor("R1", "4,7 kohm"), lambda: Resistor("R1", 4700.0)),
    (lambda: Relay("K1", coil_resistance="90 ohm", pull_in_voltage="6,5 V", operate_time="12 ms"),
     lambda: Relay("K1", coil_resistance=90.0, pull_in_voltage=6.5, operate_time=0.012)),
    (lambda: Flasher("K9", "85 /min", "45 %"), lambda: Flasher("K9", 85.0, 0.45))])
def test_a_part_built_with_text_equals_the_part_built_with_numbers(in_words, in_numbers):
    assert in_words() == in_numbers()
    assert hash(in_words()) == hash(in_numbers())


@pytest.mark.parametrize("make, words", [
    (lambda: Lamp("E1", watts="21 V"), r"^lamp 'E1': watts: '21 V' is not in W"),
    (lambda: Lamp("E1", watts="-21 W"), r"^lamp 'E1': watts must be between 0.1 and 200 W, got -21"),
    (lambda: Fuse("F1", "big"), r"^fuse 'F1': rating: 'big' is not a quantity"),
    (lambda: Wire("W1", "G1:+", "F1:1", area="55 AWG"), r"^wire 'W1': area: 55 AWG is outside the gauges"),
    (lambda: Wire("W1", "G1:+", "F1:1", length="0 m"), r"^wire 'W1': length must be between 0.001 and 100 m, got 0"),
    (lambda: Resistor("R1", "1,000 ohm"), r"^resistor 'R1': resistance: '1,000 ohm' can be read in two ways")])
def test_a_wrong_text_names_the_part_and_the_field(make, words):
    with pytest.raises(PartError, match=words) as caught:
        make()
    assert caught.value.pieces["part"]


def test_a_change_takes_text_too_and_the_file_keeps_numbers():
    board = changed(arrangement("one-fused-lamp"), SetValue("F1", "rating", "7,5 A"))
    assert board.part("F1").rating == 7.5
    assert "rating = 7.5\n" in write_text(board) and read_text(write_text(board), board.name) == board
    with pytest.raises(FileError, match="'rating' must be a number, got '7.5 A'"):
        read_text(write_text(board).replace("rating = 7.5", 'rating = "7.5 A"'))


def test_an_arrangement_of_parts_in_words_is_the_one_in_numbers():
    def loop(fuse, watts, length):
        return Arrangement("loop", parts=[Battery("G1"), Fuse("F1", fuse), Lamp("E1", watts=watts)], wires=[
            Wire("W1", "G1:+", "F1:1", length=length), Wire("W2", "F1:2", "E1:1"), Wire("W3", "E1:2", "G1:-")])
    assert loop("5 A", "10 W", "120 cm") == loop(5.0, 10.0, 1.2)

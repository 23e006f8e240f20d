"""Parts by name, the names that are not there, and the cautions about what can be built but will surprise."""

import re
import subprocess
import sys
from dataclasses import replace
from math import inf

import pytest

from circuitlab.arrangements import (AddPart, AddWire, Arrangement, LoseJoint, SwapTerminals, arrangement,
                                     arrangement_names, changed, read_text, write_text)
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.ground.errors import PartError, UnknownName
from circuitlab.parts import (Battery, Chassis, Control, Diode, Fuse, Lamp, LedLamp, Relay, Splice, Switch, Wire,
                              toggle)
from circuitlab.parts.catalogue import (ampacity_tables, bulb, bulbs, carries, diode, flasher, fuse, fuse_colour,
                                        greatest_resistance, lamp, largest_fuse, led_lamp, load_resistor, near_names,
                                        relay, table)
from circuitlab.solving import operating_point

from small_boards import relay_board
from test_flashers import ON, lamps_on, measured


# ------------------------------------------------------------------ lamps

def test_the_kits_default_lamp_is_the_p21w_of_the_catalogue():
    assert lamp("E1", "P21W", place="rear left") == Lamp("E1", place="rear left")


@pytest.mark.parametrize("make, figures", [
    (lambda: lamp("E1", "1156"), (12.8, 26.9, "1156", "red", "")),
    (lambda: lamp("E1", 1156), (12.8, 26.9, "1156", "red", "")),
    (lambda: lamp("E1", "P21/5W", filament="minor"), (13.5, 6.6, "P21/5W", "red", "minor filament")),
    (lambda: lamp("E1", "1157", "major", note="shared"), (12.8, 26.88, "1157", "red", "shared")),
    (lambda: lamp("E1", "PY21W"), (13.5, 26.5, "PY21W", "amber", "")),
    (lambda: lamp("E1", "W5W", light="white"), (13.5, 5.5, "W5W", "white", "")),
    (lambda: lamp("E1", "P21W", rated_volts="24 V"), (28.0, 29.7, "P21W 24 V", "red", "")),
    (lambda: lamp("E1", "P21/5W", "minor", 6), (6.75, 6.6, "P21/5W 6 V", "red", "minor filament"))])
def test_a_lamp_has_the_figures_of_its_bulb(make, figures):
    made = make()
    assert (made.volts, made.watts, made.bulb, made.light, made.note) == figures


@pytest.mark.parametrize("one", bulbs(), ids=lambda one: f"{one.name} {one.filament} {one.rated_volts:g} V")
def test_every_bulb_can_be_fitted_and_draws_its_watts(one):
    made = lamp("E1", one.name, None if one.filament == "single" else one.filament, one.rated_volts, one.family)
    filament = made.filament
    assert filament.settled_current(one.volts)[0] * one.volts == pytest.approx(one.watts, rel=1e-9)


@pytest.mark.parametrize("make, error, words", [
    (lambda: lamp("E1", "P21"), UnknownName, r"the kit's catalogue has no bulb 'P21'. It has: W3W.*Did you mean "
     r"'P21W'"),
    (lambda: lamp("E1", "p21w"), UnknownName, r"has no bulb 'p21w'"),
    (lambda: lamp("E1", "1158"), UnknownName, r"has no bulb '1158'. It has: 1156, 1157.*Did you mean '115"),
    (lambda: lamp("E1", "W21W", rated_volts=24), UnknownName, r"has no 24 V bulb 'W21W'. It has W21W for 12 V"),
    (lambda: lamp("E1", "P21/5W"), PartError,
     r"P21/5W has two filaments, major \(26.5 W\) and minor \(6.6 W\), got filament=None. Say 'major' or 'minor'"),
    (lambda: lamp("E1", "P21/5W", "dim"), PartError, r"got filament='dim'"),
    (lambda: lamp("E1", "P21W", "minor"), PartError, r"P21W has one filament, so there is no 'minor' one"),
    (lambda: lamp("E1", "1156", family="UNECE"), PartError,
     r"1156 is a US trade number, and a UNECE category is asked for. The nearest is P21W, with 26.5 W at 13.5 V "
     r"instead of 26.9 W at 12.8 V: near, not the same"),
    (lambda: lamp("E1", "W5W", family="US"), PartError,
     r"W5W is a UNECE category, and a US trade number is asked for. The nearest is 2825, with 5.5 W at 13.5 V"),
    (lambda: lamp("E1", "67", family="UNECE"), PartError, r"knows no near UNECE category; choose one by its cap "
     r"\(BA15s\)"),
    (lambda: lamp("E1", "P21W", family="SAE"), UnknownName, r"no family of bulbs 'SAE'. It has: UNECE, US"),
    (lambda: lamp("E1", "WY5W", light="white"), PartError, r"lamp 'E1': a WY5W has amber glass and cannot show 'white'"),
    (lambda: lamp("E1", "P21W", rated_volts="12 A"), PartError, r"'12 A' is not in V")])
def test_a_bulb_that_is_not_there_or_not_meant_is_answered(make, error, words):
    with pytest.raises(error, match=words):
        make()


def test_near_names_stand_side_by_side():
    assert near_names("P21W") == {"P21W": "P21W (UNECE category): at most 26.5 W at 13.5 V, 460 lm, cap BA15s",
                                  "1156": "1156 (US trade number): 26.9 W at 12.8 V, 402 lm, cap BA15s"}
    assert list(near_names("1156")) == ["1156", "P21W"] and list(near_names(1157)) == ["1157", "P21/5W"]
    assert list(near_names("W5W")) == ["W5W", "2825", "168"] and list(near_names("PY21W")) == ["PY21W"]
    assert list(near_names("P21W", 24)) == ["P21W", "1683"]
    assert "minor filament" in near_names("1157")["P21/5W"]
    with pytest.raises(UnknownName, match="Did you mean 'P21W'"):
        near_names("P21X")


def test_a_bulb_tells_its_mark_and_source():
    known = bulb("P21/5W", "major")
    assert known.mark == "verified" and "97/24/EC" in known.source and bulb("194").mark == "from memory"


# ------------------------------------------------------------------ the other parts

def test_a_relay_is_as_slow_as_its_sheet_allows():
    made = relay("K1", "mini 85 ohm", place="fuse box")
    assert (made.contact, made.coil_resistance, made.pull_in_voltage, made.drop_out_voltage, made.contact_resistance,
            made.place) == ("changeover", 85.0, 8.0, 1.5, 0.0015, "fuse box")
    assert made.operate_time == Relay("K1").operate_time, "what the sheet leaves out is the kit's default"
    assert relay("K1", "twin 260 ohm").release_time == 0.002


@pytest.mark.parametrize("kind, rating, note", [
    (10, 10.0, "red blade"), ("7.5 A", 7.5, "brown blade"), ("7,5", 7.5, "brown blade"),
    ("blade 15 A", 15.0, "blue blade"),
    ("mini blade 3 A", 3.0, "violet mini blade"), ("maxi blade 60 A", 60.0, "light blue maxi blade"),
    ("torpedo 8 A", 8.0, "white torpedo")])
def test_a_fuse_has_a_rating_that_is_made_and_its_colour(kind, rating, note):
    made = fuse("F1", kind)
    assert (made.rating, made.note) == (rating, note)
    assert note.startswith(fuse_colour(kind) + " ")


def test_a_flasher_a_diode_an_led_and_a_load_resistor_by_name():
    free, sensing = flasher("K9", "electronic free running"), flasher("K9", "electronic with lamp-out sensing 98 W")
    assert (free.rate, free.on_share, free.waits, sensing.waits) == (90.0, 0.5, "", "open")
    assert (sensing.least_load, sensing.rated_load, sensing.most_load) == (10.0, 42.0, 98.0)
    made = diode("V1", "1N5819")
    assert (made.forward_voltage, made.forward_current, made.note) == (0.6, 1.0, "1N5819, up to 1 A")
    led, loaded = led_lamp("E1"), led_lamp("E1", load="one lamp", light="amber")
    assert (led.volts, led.watts, led.load_resistance, led.bulb) == (13.5, pytest.approx(4.05), inf, "LED for 21 W")
    assert (loaded.load_resistance, loaded.light) == (6.0, "amber")
    assert load_resistor("R1", "two lamps").resistance == 3.0


@pytest.mark.parametrize("name, maker", [("relays", relay), ("diodes", diode), ("leds", led_lamp),
                                         ("load_resistors", load_resistor), ("flashers", flasher)])
def test_every_row_of_a_table_can_be_fitted_and_written_to_a_file(name, maker):
    column = next(iter(table(name)[0]))
    for kind in [row[column] for row in table(name)]:
        board = Arrangement("one part", parts=[Battery("G1"), maker("Z1", kind)])
        assert read_text(write_text(board)) == board


@pytest.mark.parametrize("row", table("flashers"), ids=lambda row: row["flasher"])
def test_each_flasher_of_the_table_does_what_its_row_says(row):
    """Terminals; 49a without a load; the rate with one bulb of two out; and the rate at low volts."""
    unit = flasher("K9", row["flasher"])
    assert unit.terminals == tuple(row["terminals"].split()) and row["flasher"].startswith(row["type"])
    idle = operating_point(lamps_on(unit, ()), ON)
    assert idle.states["K9"] == ("on" if row["no load"] == "free running" else "idle")
    if row["type"] != "thermal variable load":      # there a test lamp draws its current through the heater
        assert idle.is_live("K9:49a") == (row["no load"] != "waits open")
    whole, one = measured(lamps_on(unit)), measured(lamps_on(unit, (21.0,)))
    out = one.look if one.rate is None else round(one.rate / whole.rate, 2)
    assert out in {"no change": (1.0, 1.01, 0.99, 0.98), "2.2 times the rate": (2.2,), "slower, or stays on": ("steady",)}[row["one bulb out"]]
    tired, flat = measured(lamps_on(unit, volts=9.5)), measured(lamps_on(unit, volts=5.5))
    if "same rate" in row["low volts"]:
        assert tired.rate == pytest.approx(whole.rate, rel=1e-3) and flat.look == "dark"
    elif "slower" in row["low volts"]:
        assert tired.rate < 0.9 * whole.rate and flat.look == ("dim" if "on" in row["low volts"] else "dark")


@pytest.mark.parametrize("make, words", [
    (lambda: relay("K1", "mini 80 ohm"), r"catalogue has no relay 'mini 80 ohm'. It has: mini 85 ohm.*Did you "
     r"mean 'mini 8"),
    (lambda: fuse("F1", "12 A"), r"no blade fuse of 12 A is made. The nearest: 10 A and 15 A"),
    (lambda: fuse("F1", 0.5), r"no blade fuse of 0.5 A is made. The nearest: 1 A"),
    (lambda: fuse("F1", "glass 8 A"), r"no family of fuses 'glass'. It has: blade, mini blade, maxi blade, torpedo"),
    (lambda: fuse("F1", "red"), r"'red' is no fuse. Write its rating, such as '7.5 A'"),
    (lambda: fuse("F1", "7.5 V"), r"'7.5 V' is not in A"),
    (lambda: diode("V1", "1N4002x"), r"no diode '1N4002x'.*Did you mean '1N400"),
    (lambda: led_lamp("E1", "stop"), r"no LED lamp 'stop'. It has: turn or stop, least"),
    (lambda: led_lamp("E1", load="three lamps"), r"no resistor 'three lamps'"),
    (lambda: flasher("K9", "therml"), r"no flasher 'therml'. It has: thermal fixed load, thermal variable load, electronic free")])
def test_a_part_that_is_not_there_is_answered(make, words):
    with pytest.raises((UnknownName, PartError), match=words):
        make()


# ------------------------------------------------------------------ wire

def test_what_a_wire_carries_depends_on_the_table_named():
    found = {name: carries("16 AWG", name) for name in ampacity_tables()}
    assert found == {"free air, 60 C insulation": 18.0, "free air, 90 C insulation": 24.0, "chassis wiring": 11.5,
                     "marine, 105 C insulation": 25.0}


def test_a_metric_wire_counts_as_the_next_thinner_gauge():
    assert carries(1.5, "chassis wiring") == carries("16 AWG", "chassis wiring")
    assert carries("1 mm2", "chassis wiring") == carries("18 AWG", "chassis wiring") == 8.1
    assert carries("0,823 mm2", "chassis wiring") == 8.1, "an area rounded to three digits is still its gauge"
    assert largest_fuse("2.5 mm2") == 15.0 and largest_fuse("12 AWG") == 20.0
    assert greatest_resistance(0.75) == 26.0 and greatest_resistance("2.5 mm2", "IEC 60228 class 1 and 2") == 7.41


@pytest.mark.parametrize("make, words", [
    (lambda: carries(1.5, "free air"), r"no ampacity table 'free air'. It has: free air, 60 C insulation"),
    (lambda: carries("0.5 mm2", "chassis wiring"), r"0.5 mm2 is thinner than any wire in the table 'chassis "
     r"wiring', which "
     r"begins at 18 AWG \(0.82 mm2\)"),
    (lambda: largest_fuse("1 mm2"), r"1 mm2 is thinner than any wire in the table 'largest fuse for a wire'"),
    (lambda: greatest_resistance(1.2), r"table 'IEC 60228 class 5' has no wire of '1.2 mm2'"),
    (lambda: greatest_resistance(1.5, "class 5"), r"no table of wire resistance 'class 5'.*Did you mean 'IEC "
     r"60228 class 5'")])
def test_a_wire_that_is_not_in_the_table_is_answered(make, words):
    with pytest.raises((UnknownName, PartError), match=words):
        make()


def test_importing_the_catalogue_reads_no_table():
    code = ("import builtins, io, pathlib; seen = []; real = io.open; "
            "spy = lambda file, *a, **k: (seen.append(str(file)), real(file, *a, **k))[1]; "
            "builtins.open = io.open = spy; import circuitlab.parts.catalogue as c; "
            "before = [name for name in seen if name.endswith('.csv')]; c.table('lamps'); "
            "print(before, sum(name.endswith('lamps.csv') for name in seen))")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] 1"


# ------------------------------------------------------------------ cautions

def loop(lamp_, volts=12.6, *more, wires=(), controls=()):
    """Return a lamp on a fuse and a battery of the given volts, and whatever is to be tried beside it."""
    return Arrangement("a loop", controls, [Battery("G1", volts), Fuse("F1", 5.0), lamp_, *more],
                       [Wire("W1", "G1:+", "F1:1"), Wire("W2", "F1:2", f"{lamp_.name}:1"),
                        Wire("W3", f"{lamp_.name}:2", "G1:-"), *wires])


@pytest.mark.parametrize("name", arrangement_names())
def test_the_kits_own_arrangements_give_no_cause_for_caution(name):
    assert warnings_for(arrangement(name)) == ()


@pytest.mark.parametrize("volts", [11.6, 12.6, 13.8, 14.4])
def test_a_lamp_for_this_battery_gives_no_caution(volts):
    for made in (lamp("E1", "P21W"), lamp("E1", "1156"), lamp("E1", "W5W"), led_lamp("E1")):
        assert warnings_for(loop(made, volts)) == ()
    assert warnings_for(loop(lamp("E1", "P21W", rated_volts=24), 2 * volts)) == ()
    assert warnings_for(loop(lamp("E1", "P21W", rated_volts=6), volts / 2)) == ()


def test_a_24_v_lamp_on_12_v_is_said_to_glow_dimly_and_does():
    board = loop(lamp("E1", "P21W", rated_volts=24))
    (sentence,) = warnings_for(board)
    point = operating_point(board)
    assert sentence.startswith("lamp 'E1' is made for 28.0 V and the battery gives 12.6 V: it will draw 690 mA")
    assert "about 7 % of its light" in sentence and point.light("E1") == pytest.approx(0.07, abs=0.005)
    assert point.current("E1") == pytest.approx(0.690, rel=0.02)
    assert sentence.endswith("Fit a bulb for this battery.")


@pytest.mark.outside("charging voltage of three cells, 7.2 V, is the most of a 6 V system; IEC 60095-1: 12 V are empty at 10.5 V; both from memory")
@pytest.mark.parametrize("volts", [8.0, 9.0, 10.0])
def test_of_a_flat_battery_nobody_is_told_to_change_the_bulb_or_the_relay(volts):
    """Twelve volts that have run down; a relay that no longer pulls in, likewise."""
    _, sentence = warnings_for(loop(lamp("E1", "P21W"), volts))
    assert sentence.endswith("See to the battery first, and keep the bulb.") and "Fit a bulb" not in sentence
    weak = replace(relay_board(pull_in_voltage=9.5), parts=tuple(
        replace(part, voltage=min(volts, 9.0)) if part.name == "G1" else part for part in relay_board(pull_in_voltage=9.5).parts))
    (sentence,) = [words for words in warnings_for(weak) if words.startswith("relay")]
    assert sentence.endswith("See to the battery first, and keep the relay.")


@pytest.mark.outside("common practice: at rest 12.6 V are full, 11.6 V empty; a cell has 2.1 V, so that five of six have 10.5 V")
@pytest.mark.parametrize("volts, empty, cell", [
    (12.0, False, False), (11.6, False, False), (11.5, True, False), (10.6, True, False), (10.5, True, True), (9.0, True, True), (7.2, False, False)])
def test_an_empty_battery_is_said_to_be_so_and_one_that_may_have_lost_a_cell_is_tested_before_it_is_charged(volts, empty, cell):
    """Once, however many lamps hang on it; 7.2 V is a charged battery of three cells."""
    said = [words for words in warnings_for(loop(lamp("E1", "P21W"), volts, lamp("E2", "R5W"))) if words.startswith("the battery has ")]
    assert len(said) == empty and any("a cell may be dead or shorted. Test it before you charge it" in words for words in said) == cell
    assert any("Charge it before you judge" in words for words in said) == (empty and not cell)
    assert not cell or said[0].endswith("overheats and gases on the charger: do not charge it.")


def test_an_empty_battery_is_judged_by_what_it_feeds():
    """24 V bulbs: 22 V are empty; of a 12 V bulb's battery that is no running down."""
    said = [warnings_for(loop(lamp("E1", "P21W", rated_volts=rated), 22.0))[0] for rated in (24, 12)]
    assert said[0].startswith("the battery has 22.0 V at rest: of a 24 V battery that is empty") and "empty" not in said[1]


@pytest.mark.parametrize("volts", [6.3, 7.2])
def test_on_a_battery_of_the_next_lower_system_the_bulb_is_the_wrong_one(volts):
    (sentence,) = warnings_for(loop(lamp("E1", "P21W"), volts))
    assert sentence.endswith("Fit a bulb for this battery.")


@pytest.mark.outside("a mini relay's sheet: 24 V across the coil of one for 12 V for at most 5 minutes")
def test_a_relay_on_twice_its_volts_burns_out_within_minutes():
    one = relay_board()
    twice = replace(one, parts=tuple(replace(part, voltage=25.2) if part.name == "G1" else part for part in one.parts))
    (sentence,) = [words for words in warnings_for(twice) if words.startswith("relay")]
    assert "burn out within minutes" in sentence


@pytest.mark.parametrize("made, volts, words", [
    (lamp("E1", "P21W", rated_volts=6), 12.6, r"made for 6.8 V .* it blazes, and it lasts seconds to "
     r"minutes at best. Fit a bulb for this battery.$"),
    (lamp("E1", "P21W", rated_volts=6), 25.2, r"it blazes, and it lasts seconds to minutes at best. Fit a bulb"),
    (lamp("E1", "P21W"), 20.0, r"it blazes at 3.8 times its light, and it lasts about 1/200 of its life. Fit a bulb"),
    (lamp("E1", "P21W"), 6.3, r"made for 13.5 V and the battery gives 6.3 V: it will draw 1.30 A and give about 7 %"),
    (LedLamp("E1", 28.0, 5.0, threshold=20.0), 12.6, r"it will draw 0 A and stay dark"),
    (LedLamp("E1", 6.75, 2.7, threshold=4.0), 12.6, r"2.9 times what it is made for, overheat and fail. Fit a lamp")])
def test_what_will_surprise_is_said(made, volts, words):
    (sentence,) = warnings_for(loop(made, volts))
    assert re.search(words, sentence), sentence


def test_either_filament_fits_the_name_of_a_two_filament_bulb_and_a_name_of_ones_own_is_left_alone():
    assert warnings_for(loop(lamp("E1", "P21/5W", "minor"))) == warnings_for(loop(lamp("E1", "P21/5W", "major"))) == ()
    assert warnings_for(loop(Lamp("E1", 13.5, 8.0, note="out of the box in the barn"))) == ()


def test_names_of_both_families_in_one_arrangement_are_pointed_out_once():
    both = loop(lamp("E1", "P21W"), 12.6, lamp("E2", "1156"), lamp("E3", "1156"))
    (sentence,) = warnings_for(both)
    assert "'E1' is a P21W (UNECE category) and lamp 'E2' a 1156 (US trade number)" in sentence
    assert warnings_for(loop(lamp("E1", "1156"), 12.6, lamp("E2", "1157", "minor"))) == ()


@pytest.mark.parametrize("made, volts, words", [
    (Relay("K1"), 6.3, "relay 'K1' operates at 7.0 V and the battery gives 6.3 V: it will not pull in from rest; once in, it would hold"),
    (relay("K1", "mini 24 V"), 12.6, "operates at 16.0 V and the battery gives 12.6 V: it will not pull in from rest; once in, it would hold"),
    (Relay("K1"), 25.2, "so it is a 12 V relay, and the battery gives 25.2 V: its coil will turn 7.47 W into heat")])
def test_a_relay_for_another_voltage_is_pointed_out(made, volts, words):
    board = Arrangement("a relay", parts=[Battery("G1", volts), made])
    (sentence,) = warnings_for(board)
    assert words in sentence


@pytest.mark.parametrize("kind, volts", [("mini 85 ohm", 12.6), ("mini 85 ohm", 14.4), ("mini 75 ohm", 14.4),
                                         ("mini 24 V", 25.2)])
def test_a_relay_for_this_battery_gives_no_caution(kind, volts):
    assert warnings_for(Arrangement("a relay", parts=[Battery("G1", volts), relay("K1", kind)])) == ()


def coil_board(anode, cathode, plus="86", chassis=False, fed=True):
    """Return a coil on a switch with a diode across it; ``plus`` is the coil end on the switch."""
    minus = "85" if plus == "86" else "86"
    parts = [Battery("G1"), Fuse("F1", 5.0), toggle("S1", "coil"), Relay("K1"), Diode("V1"), Splice("X1"), Splice("X2"),
             Chassis("X3", 2)]
    at = {"86": "X1" if plus == "86" else "X2", "85": "X1" if plus == "85" else "X2"}
    ground = [Wire("W7", "X2:3", "X3:1"), Wire("W8", "X3:2", "G1:-")] if chassis else [Wire("W7", "X2:3", "G1:-")]
    if not fed:
        ground = []
    return Arrangement("a coil", [Control("coil", ("off", "on"))], parts, [
        Wire("W1", "G1:+", "F1:1"), Wire("W2", "F1:2", "S1:1"), Wire("W3", "S1:2", "X1:3"),
        Wire("W4", "X1:1", f"K1:{plus}"),
        Wire("W5", "X2:1", f"K1:{minus}"), Wire("W6", f"{at[anode]}:2", "V1:A"),
        Wire("W9", f"{at[cathode]}:2", "V1:K"), *ground])


@pytest.mark.parametrize("board, wrong", [
    (coil_board("85", "86"), False), (coil_board("86", "85"), True), (coil_board("86", "85", chassis=True), True),
    (coil_board("86", "85", plus="85"), False), (coil_board("85", "86", plus="85"), True),
    (coil_board("86", "85", fed=False), False), (coil_board("85", "86", fed=False), False)],
    ids=["right", "wrong", "wrong over the chassis", "right, coil turned", "wrong, coil turned",
         "no ground, so it is not known", "nor the other way round"])
def test_a_diode_across_a_coil_the_wrong_way_is_said_to_stop_the_relay(board, wrong):
    every = warnings_for(board)
    found = [one for one in every if "V1" in one]
    assert set(every) - set(found) <= {"no wire goes to G1:-: battery 'G1' cannot work without it. Wire it."}
    assert len(found) == wrong and all("'V1' lies across the coil of 'K1' the wrong way round" in one for one in found)


@pytest.mark.parametrize("anode, cathode, operated", [("85", "86", True), ("86", "85", False)])
def test_and_so_it_comes(anode, cathode, operated):
    """The sentence says: the relay will not operate, and the fuse goes."""
    point = operating_point(coil_board(anode, cathode), {"coil": "on"})
    assert (point.states["K1"] == "operated") == operated and (point.states["F1"] == "blown") != operated


@pytest.mark.parametrize("plus", ["86", "85"])
def test_a_coil_that_has_lost_its_ground_has_no_side_of_its_own(plus):
    """A plain relay's coil has no polarity: DIN 72552 practice. Without ground nothing shorts either."""
    turned = coil_board(plus, "85" if plus == "86" else "86", plus=plus)
    (words,) = warnings_for(turned)
    assert words.endswith(f"K belongs on the coil's plus, here K1:{plus}.")
    lost = changed(turned, LoseJoint("W7", "X2:3"))
    assert warnings_for(lost) == () and operating_point(lost, {"coil": "on"}).states["F1"] == "whole"


@pytest.mark.parametrize("plus, minus", [("86", "85"), ("85", "86")])
@pytest.mark.parametrize("right", [True, False])
def test_a_diode_is_judged_by_the_side_that_its_coil_is_fed_from(plus, minus, right):
    """The lever grounds these coils, and K3's lies beside K1's: only the diode that blows the fuse is said to, at K1."""
    carts = arrangement("switched-ground-coils")
    if plus == "85":
        carts = changed(carts, SwapTerminals("K1:85", "K1:86"))
    anode, cathode = (minus, plus) if right else (plus, minus)
    there = changed(carts, AddPart(Diode("V1")), AddWire(Wire("W91", "V1:A", f"K1:{anode}")),
                    AddWire(Wire("W92", "V1:K", f"K1:{cathode}")))
    found = [words for words in warnings_for(there) if "V1" in words]
    blown = "blown" in (operating_point(there, {"key": "on", "turn lever": "left"}).states[name] for name in ("F1", "F2"))
    assert blown != right and len(found) == blown
    assert all("across the coil of 'K1' the wrong way round" in words and f"here K1:{plus}." in words for words in found)


def test_a_coil_that_either_pole_can_reach_at_both_ends_gets_no_caution():
    """Two changeover switches turn the coil's poles: whichever way its diode lies, it is right in one position."""
    halves = [Switch(name, side, {"off": [("1", "4")], "on": [("1", "2")]}) for name, side in (("S1", "one"), ("S2", "two"))]
    for anode, cathode in (("86", "85"), ("85", "86")):
        both = Arrangement("poles turned", [Control("one", ("off", "on")), Control("two", ("off", "on"))],
                           [Battery("G1"), Fuse("F1", 5.0), *halves, Relay("K1"), Diode("V1")], [
            Wire("W1", "G1:+", "F1:1"), Wire("W2", "F1:2", "S1:2"), Wire("W3", "F1:2", "S2:2"), Wire("W4", "S1:4", "G1:-"),
            Wire("W5", "S2:4", "G1:-"), Wire("W6", "S1:1", "K1:86"), Wire("W7", "S2:1", "K1:85"),
            Wire("W8", "V1:A", f"K1:{anode}"), Wire("W9", "V1:K", f"K1:{cathode}")])
        assert warnings_for(both) == ()


def test_an_led_lamp_the_wrong_way_round_is_said_to_stay_dark_and_does():
    board = loop(led_lamp("E1"))
    turned = replace(board, wires=[Wire("W1", "G1:+", "F1:1"), Wire("W2", "F1:2", "E1:2"), Wire("W3", "E1:1", "G1:-")])
    assert warnings_for(board) == () and operating_point(board).light("E1") > 0.7
    (sentence,) = warnings_for(turned)
    assert "LED lamp 'E1' is the wrong way round: it will stay "
    "dark" in sentence and operating_point(turned).light("E1") < 0.01

"""The ambient: one value of an arrangement that coils, filaments and wires follow, and nothing else does."""

import re
from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import read_text, write_text
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.commands.line import main
from circuitlab.ground.errors import ArrangementError, CircuitLabError, FileError
from circuitlab.parts import Battery, Relay, Wire
from circuitlab.solving import operating_point, run
from circuitlab.solving.sweeping import sweep
from circuitlab.views.attached import describe_attached
from circuitlab.views.schematic import describe

from small_boards import board, lamp_board, relay_board

ON = {"switch": "on"}
CART = cl.arrangement("shared-filament-four-relays")


def coil_ohms(arrangement):
    point = operating_point(arrangement, ON)
    return point.across("K1:86", "K1:85") / point.current("K1")


# --- a value of the arrangement ------------------------------------------------------------------------------------

def test_an_arrangement_is_at_20_c_unless_it_says_otherwise_and_is_another_one_then():
    assert CART.ambient == 20.0 and cl.changed(CART, cl.changes.SetAmbient(20)) == CART
    cold = cl.changed(CART, cl.changes.SetAmbient("-20 C"))
    assert cold.ambient == -20.0 and cold != CART and hash(cold) != hash(CART)
    assert {part.ambient for part in cold.parts + cold.wires} == {-20.0}
    assert {part.ambient for part in cl.changed(cold, cl.changes.SetAmbient(20.0)).parts} == {20.0} and cl.changed(cold, cl.changes.SetAmbient(20.0)) == CART
    assert str(cold).splitlines()[1] == "  ambient: -20 C" and "ambient" not in str(CART)


def test_a_part_put_in_or_changed_takes_the_ambient_of_where_it_is():
    warm = cl.changed(lamp_board(), cl.changes.SetAmbient(60))
    assert warm.with_parts(cl.Lamp("E1", bulb="R5W")).part("E1").filament.ambient == 60.0
    assert cl.changed(warm, cl.SetValue("W1", "length", 2.0)).part("W1").ambient == 60.0


@pytest.mark.parametrize("typed", ["set ambient to -20", "set ambient -20 C", "set ambient = -20", "set ambient temperature to -20 C",
                                   "Set ambient \N{MINUS SIGN}20 \N{DEGREE SIGN}C."])
def test_a_typed_sentence_sets_it_and_undo_takes_it_back(typed):
    made = cl.Changes(CART).make(typed)
    assert made.sentences == ("set ambient -20 C",) and made.after == cl.changed(CART, cl.changes.SetAmbient(-20))
    assert made.undo().after == CART


def test_a_part_called_ambient_is_set_as_any_other():
    odd = replace(lamp_board(), parts=(*lamp_board().parts, cl.Fuse("ambient", 5)))
    assert cl.changes.read_change("set ambient rating 3", odd) == cl.SetValue("ambient", "rating", 3.0)
    for change in (cl.changes.SetAmbient(20.0), cl.changes.SetAmbient(-5.0)):       # no value of a part begins with a figure
        assert cl.changes.read_change(str(change), odd) == change
    assert cl.changes.read_change("set ambient to 40", odd) == cl.changes.SetAmbient(40.0)


def test_a_file_says_it_where_it_is_not_20_and_is_read_back_equal():
    cold = cl.changed(CART, cl.changes.SetAmbient(-7.5))
    text = write_text(cold)
    assert "\nambient = -7.5\n" in text and read_text(text, cold.name) == cold
    assert "ambient" not in write_text(CART)
    assert write_text(cold).replace("ambient = -7.5\n", "") == write_text(CART)


@pytest.mark.parametrize("value, words", [
    (-31, "ambient must be between -30 and 85 C, got -31."), (86.0, "ambient must be between -30 and 85 C, got 86."),
    (float("nan"), "ambient must be between -30 and 85 C, got nan."), ("warm", "ambient: 'warm' is not a quantity."),
    ("60 V", "ambient: '60 V' is not in C."), (None, "ambient must be a number of C, got None."),
    (True, "ambient must be a number of C, got True.")])
def test_an_ambient_beyond_the_range_is_one_sentence_with_what_is_allowed(value, words):
    for make in (cl.changes.SetAmbient, lambda value: cl.changed(CART, cl.changes.SetAmbient(value)), lambda value: replace(CART, ambient=value)):
        with pytest.raises(ArrangementError) as caught:
            make(value)
        assert str(caught.value).startswith(words) and "-30 to 85 C, such as 'set ambient -20 C'." in str(caught.value)


def test_a_slip_in_a_file_or_a_sentence_is_a_sentence_too():
    with pytest.raises(CircuitLabError, match="ambient must be between -30 and 85 C, got 400"):
        cl.changes.read_change("set ambient 400", CART)
    with pytest.raises(CircuitLabError, match="ambient: 'warm' is not a quantity"):
        cl.changes.read_change("set ambient warm", CART)
    text = write_text(cl.changed(CART, cl.changes.SetAmbient(-7.5)))
    with pytest.raises(FileError, match="'ambient' must be a number, such as -20.0, got 'cold'"):
        read_text(text.replace("-7.5", '"cold"'))
    with pytest.raises(CircuitLabError, match="ambient must be between -30 and 85 C"):
        read_text(text.replace("-7.5", "inf"))


# --- what follows it ------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("celsius", [-30.0, 85.0])
def test_coils_and_wires_follow_it_save_those_with_a_temperature_of_their_own(celsius):
    grown = 1 + 0.003929 * (celsius - 20)
    relays = cl.changed(relay_board(), cl.changes.SetAmbient(celsius))
    assert coil_ohms(relays) == pytest.approx(85 * grown, rel=1e-9)
    assert relays.part("W1").copper == pytest.approx(relay_board().part("W1").copper * grown)
    own = cl.changed(relay_board(coil_temperature=20.0), cl.changes.SetAmbient(celsius))
    own = cl.changed(own, cl.SetValue("W1", "temperature", 20.0))
    assert coil_ohms(own) == pytest.approx(85.0, rel=1e-9)
    assert own.part("W1").copper == relay_board().part("W1").copper
    back = cl.changed(own, cl.changes.read_change("set W1 temperature as the ambient", own))
    assert back.part("W1").temperature is None and back.part("W1").copper == relays.part("W1").copper


def test_a_temperature_of_its_own_survives_file_and_sentence_even_20():
    own = cl.changed(cl.changed(lamp_board(), cl.changes.SetAmbient(60)), cl.SetValue("W1", "temperature", 20.0))
    again = read_text(write_text(own))
    assert again == own and again.part("W1").temperature == 20.0 and again.part("W2").temperature is None
    assert str(cl.SetValue("W1", "temperature", None)) == "set W1 temperature as the ambient"


def test_a_cold_filament_follows_it_and_a_hot_one_does_not_much():
    """Resistance as T^1.2 from 293 K: 13 % less at -20 C; hot, at 2800 K, what comes back from outside is nothing."""
    room, cold = operating_point(lamp_board()), operating_point(cl.changed(lamp_board(), cl.changes.SetAmbient(-20)))
    assert cold.temperature("E1") == pytest.approx(253.15) and room.temperature("E1") == pytest.approx(293.15)
    rush = [run(each, [(0.1, "switch", "on")], 1.0).at(0.1001).current("E1")
            for each in (lamp_board(), cl.changed(lamp_board(), cl.changes.SetAmbient(-20)))]
    assert 1.08 < rush[1] / rush[0] < 1.2
    hot = [run(each, [(0.1, "switch", "on")], 2.0).at(1.9).light("E1")
           for each in (lamp_board(), cl.changed(lamp_board(), cl.changes.SetAmbient(-20)))]
    assert hot[1] == pytest.approx(hot[0], rel=0.02)
    part = cl.changed(lamp_board(), cl.changes.SetAmbient(-20)).part("E1")
    assert part.inrush(13.5) / lamp_board().part("E1").inrush(13.5) == pytest.approx((293.15 / 253.15) ** 1.2)


def test_a_course_begins_and_ends_at_the_points_of_its_ambient():
    for celsius in (-30, 85):
        lamp = cl.changed(lamp_board(), cl.changes.SetAmbient(celsius))
        course = run(lamp, [(0.1, "switch", "on")], 3.0)
        assert course.at(0.0).temperature("E1") == pytest.approx(273.15 + celsius)
        assert course.at(3.0).temperature("E1") == pytest.approx(operating_point(lamp, ON).temperature("E1"), rel=1e-4)


def test_everything_asked_of_the_cart_follows_it():
    """A relay too weak for a hot day: point, table, proof, faults and size all see it, none of them told."""
    weak = CART.with_parts(*(replace(relay, pull_in_voltage=10.5) for relay in CART.of_kind(Relay)))
    hot = cl.changed(weak, cl.changes.SetAmbient(85))
    assert cl.prove(weak, timing=False).failures == () != cl.prove(hot, timing=False).failures
    row = {"key": "on", "brake pedal": "held"}
    assert cl.row_of(hot, row).cells != cl.row_of(weak, row).cells
    tables = cl.compare(weak, hot)
    assert "changed: arrangement ambient, temperature 20 C to 85 C" in tables.text() and not tables.is_same
    class_of = [{line.fault.words: line.worst for line in cl.fault_table(each, faults=cl.changes.single_faults(each)[:20]).lines}
                for each in (weak, hot)]
    assert class_of[0] != class_of[1]


def test_sizing_loses_more_volts_in_a_hot_wire():
    """A lamp's wire of 5 m: a quarter more volts at 85 C, a fifth less at -30 C, the lamp drawing nearly the same."""
    def lost(celsius):
        lamp = cl.changed(cl.changed(lamp_board(), cl.SetValue("W3", "length", 5.0)), cl.changes.SetAmbient(celsius))
        return next(finding.value for finding in cl.sizing.judge(lamp) if finding.rule == "little is lost in a wire"
                    and finding.part == "W3")
    assert [lost(celsius) / lost(20) for celsius in (-30, 85)] == pytest.approx([0.81, 1.25], abs=0.01)


def test_many_at_once_agree_with_one_by_one_in_mixed_ambients():
    lots = [cl.changed(CART, cl.changes.SetAmbient(celsius)) for celsius in (-30, 20, 85)]
    row = CART.positions({"key": "on", "brake pedal": "held"})
    found = sweep([(each, row, "on") for each in lots])
    for number, each in enumerate(lots):
        alone = operating_point(each, row)
        assert found.volts("E1:1")[number] == pytest.approx(alone.volts("E1:1"), abs=1e-8)


# --- where it is said -----------------------------------------------------------------------------------------------

def test_an_ambient_other_than_20_says_what_does_not_follow_it_and_20_says_nothing(tmp_path, capsys):
    words = [line for line in warnings_for(cl.changed(CART, cl.changes.SetAmbient(-20))) if "ambient" in line]
    assert len(words) == 1 and words[0].startswith("the ambient is -20 C: filaments, coils and wires follow it")
    for kept in ("fuses", "diodes", "flashers", "the meter", "the battery"):
        assert kept in words[0]
    assert not any("ambient" in line for line in warnings_for(CART))
    assert "the ambient is -20 C" in cl.write_build_sheet(cl.changed(CART, cl.changes.SetAmbient(-20)), tmp_path / "s.html").read_text("utf-8")
    assert "ambient" not in cl.write_build_sheet(CART, tmp_path / "t.html").read_text("utf-8")
    lamp = cl.changed(cl.arrangement("one-fused-lamp"), cl.changes.SetAmbient(-20))
    cl.save(lamp, tmp_path / "cold.toml")
    for command in ("prove", "faults", "size"):
        main([command, str(tmp_path / "cold.toml")])
        assert capsys.readouterr().out.count("Caution: the ambient is -20 C") == 1


def test_a_relay_that_no_longer_pulls_in_on_a_hot_day_is_warned_of():
    relay = board("a weak relay", [Battery("G1", 8.0), Relay("K1")], [("G1:+", "K1:86"), ("K1:85", "G1:-")])
    assert not any("never operate" in line for line in warnings_for(relay))
    assert any("operates at 8.8 V and the battery gives 8.0 V: it will not pull in from rest; once in, it would hold" in line
               for line in warnings_for(cl.changed(relay, cl.changes.SetAmbient(85))))


def test_a_wire_says_from_its_own_heat_how_soon_it_is_spoilt():
    thin = Wire("W1", "G1:+", "F1:1", area=0.5)
    soon = [thin.within(ambient=celsius).overheated([80.0])[0] for celsius in (20.0, 85.0)]
    assert soon[0] != soon[1]


@pytest.mark.outside("IEC 60028: annealed copper, 0.00393 per K at 20 C")
def test_copper_is_chosen_for_the_ambient_and_its_words_say_so():
    """At 85 C the same copper has 1.2554 times its ohms. The filament draws the same, so the volts and amps stay nearly."""
    def need(celsius):
        sized = cl.size(cl.changed(cl.arrangement("one-fused-lamp"), cl.changes.SetAmbient(celsius)))
        return next(each for each in sized.needs["E1"] if each.by.startswith("copper")), sized.text()
    (cool, cool_words), (hot, hot_words) = need(20), need(85)
    assert (cool.by, hot.by) == ("copper at 20 C", "copper at 85 C")
    assert hot.area / cool.area == pytest.approx(1 + 0.00393 * 65, rel=0.01)
    assert "Copper at 20 C and parts" in cool_words and "Copper at 85 C and parts" in hot_words and "opper at 20 C" not in hot_words


def test_copper_with_a_temperature_of_its_own_is_named_beside_the_ambient():
    own = cl.changed(cl.arrangement("one-fused-lamp"), cl.SetValue("W1", "temperature", 60.0))
    assert "Copper at 20 C, save W1 with a temperature given, and parts" in cl.size(own).text()


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("draw, describe", [(cl.draw, describe), (cl.draw_attached, describe_attached)])
def test_a_drawing_says_an_ambient_that_is_not_a_rooms(draw, describe):
    """In a line below and in words; at 20 C neither says anything, and nothing else moves."""
    cold, room = cl.changed(CART, cl.changes.SetAmbient(-20)), CART
    words, plain = str(draw(cold)), str(draw(room))
    lines = re.findall(r"<text[^>]*>(?:<title>[^<]*</title>)?([^<]*)</text>", words)
    assert "Ambient -20 C, not 20 C." in lines and "Ambient" not in plain
    assert "Ambient -20 C, not 20 C." in describe(cold) and "Ambient" not in describe(room)
    low = [float(re.search(r'viewBox="0 0 [0-9.]+ ([0-9.]+)"', each).group(1)) for each in (words, plain)]
    height = next(float(y) for y in re.findall(r'<text[^>]* y="([0-9.]+)"[^>]*>Ambient', words))
    assert low[0] > low[1] and height < low[0]

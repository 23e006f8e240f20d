"""The converter in carts and in hand: what it says of itself, what befalls it, how it behaves in time, and what may be done with it."""

from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import LoseJoint, MoveWire, RemoveWire, SetValue, Short, SwapTerminals, changed, read_change, read_text, write_text
from circuitlab.arrangements.apart import Apart
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.arrangements.mirrored import mirror
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.ground.errors import ArrangementError, CircuitLabError, UnknownName
from circuitlab.parts import Converter
from circuitlab.parts.converter import AT_ONCE, WAITS
from circuitlab.reasoning import path_to, prove
from circuitlab.reasoning.faults import single_faults
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.sizing import judge
from circuitlab.reasoning.why import why
from circuitlab.solving.beside_fuses import endangered

from outside.test_converter import bench

POWERED, UNPOWERED = map(cl.arrangement, ("trailer-4-flat-converter", "trailer-4-flat-converter-led"))
HELD, LEFT = {"brake pedal": "held"}, {"key": "on", "turn lever": "left"}
TRAILER = ("E7", "E8", "E9", "E11")


# ------------------------------------------------------------------ the part

@pytest.mark.parametrize("value", [{"type": "solar"}, {"logic": "xor"}, {"most": 0}, {"loses": 9.0}, {"volts": "many"}, {"dead": "perhaps"}, {"loses": 0.3, "type": "unpowered"}])
def test_what_cannot_be_is_refused_in_a_sentence_that_names_the_converter(value):
    with pytest.raises(CircuitLabError, match="converter 'K11'") as error:
        Converter("K11", **value)
    assert next(iter(value)) in str(error.value) and str(error.value).endswith(".")


def test_only_a_powered_one_has_30_and_a_channel_for_the_tail_lamps():
    assert [seat.name for seat in Converter("K11").seats] == ["K11.Lt", "K11.Rt", "K11.58t"]
    assert [seat.name for seat in Converter("K11", "unpowered").seats] == ["K11.Lt", "K11.Rt"]
    assert "30" in Converter("K11").needs and "30" not in Converter("K11", "unpowered").terminals
    with pytest.raises(UnknownName, match="no terminal '30'.*It has: 54, L, R, 58, 31, Lt, Rt, 58t"):
        changed(UNPOWERED, MoveWire("W6", "K11:54", "K11:30"))


def test_a_channel_comes_and_goes_with_its_converter():
    for change in (SetValue("K11.Lt", "most", 3.0), cl.changes.RemovePart("K11.Lt")):
        with pytest.raises(ArrangementError, match="'K11.Lt' is .* of K11 and comes and goes with"):
            changed(POWERED, change)
    out = Apart(POWERED).without("K11.Lt")
    assert out.out == ("K11",) and cl.operating_point(out.arrangement, HELD).light("E7") == 0 and out.with_back("K11.Lt").out == ()


@pytest.mark.parametrize("cart", [POWERED, UNPOWERED], ids=["powered", "unpowered"])
def test_its_cart_is_written_and_read_and_is_its_own_mirror(cart):
    assert replace(read_text(write_text(cart)), name=cart.name) == cart
    assert mirror(cart).names["K11.Lt"] == "K11.Rt" and mirror(cart).names["K11"] == "K11"
    assert warnings_for(cart) == () and all(finding.is_kept for finding in judge(cart))


# ------------------------------------------------------------------ supply, ground, load

def test_without_supply_or_ground_nothing_comes_out_and_it_says_why():
    for wire, end in (("W27", "K11:30"), ("W49", "X1:8")):
        point = cl.operating_point(changed(POWERED, LoseJoint(wire, end)), {**HELD, "tail lamps": "on"})
        assert [point.light(lamp) for lamp in TRAILER] == [0.0] * 4 and point.light("E1") > 0.5
        assert why(point, "K11.Lt").endswith(f"too little to work, because {wire} is off at {end}.")
    point = cl.operating_point(changed(UNPOWERED, LoseJoint("W47", "X1:8")), {**HELD, "tail lamps": "on"})
    assert max(point.light("E7"), point.light("E8")) < 1e-9 and point.light("E9") > 0.5, "only the tail signal goes straight through"


@pytest.mark.parametrize(("change", "said"), [
    (RemoveWire("W27"), "no wire goes to K11:30: converter 'K11' cannot work without it"),
    (RemoveWire("W49"), "no wire goes to K11:31: converter 'K11' cannot work without it"),
    (MoveWire("W27", "F5:2", "F1:2"), "the fuse of converter 'K11', F1, feeds S2 too. Wire K11:30 straight to a fuse of its own"),
    (MoveWire("W27", "F5:2", "S1:15"), "converter 'K11' has no fuse of its own: K11:30 hangs on K9, S1 by wires alone"),
    (MoveWire("W26", "G1:+", "S1:15"), "K11:30 gets its volts over S1: with the key off nothing comes out on the trailer. Wire K11:30 straight"),
    (MoveWire("W26", "G1:+", "S2:2"), "K11:30 gets its volts over S2: with the brake pedal released nothing comes out on the trailer"),
    (MoveWire("W26", "G1:+", "F1:2"), "K11:30 gets its volts over F1 too: that fuse takes E1 (rear left stop), E2 (rear right stop) with it"),
    (SwapTerminals("K11:L", "K11:R"), "L of converter 'K11' is for left turn signal, and wires lead from it to E4 (front right), E6 (rear right turn)"),
    (SwapTerminals("K11:54", "K11:L"), "54 of converter 'K11' is for stop signal, and wires lead from it to E5 (rear left turn)"),
    (SwapTerminals("X5:3s", "X5:4s"), "Lt of converter 'K11' is for left stop and turn, and wires lead from it to E8 (trailer right)"),
    (SetValue("K11", "logic", "plain"), "converter 'K11' joins stop and turn plainly: while the brakes are on")])
def test_what_its_builder_must_know_is_a_caution(change, said):
    assert any(said in sentence for sentence in warnings_for(changed(POWERED, change)))


def as_block(ways, *sentences):
    """Return the powered one with its battery fuses in one block, way 4 its own."""
    circuit, moves = POWERED, ("W1 from F1:1 to F9:30", "W2 from F1:2 to F9:1", "W8 from F2:2 to F9:2", "W22 from F4:2 to F9:3", "W27 from F5:2 to F9:4")
    gone = [f"remove {name} with its wires" for name in ("F1", "F2", "F4", "F5")]
    for sentence in (f'add part F9 fuse block, ways "{ways}"', *(f"move {words}" for words in moves), *gone, *sentences):
        circuit = changed(circuit, read_change(sentence, circuit))
    return circuit


@pytest.mark.parametrize(("circuit", "said"), [
    (changed(POWERED, MoveWire("W27", "F5:2", "G1:+")), ["no fuse lies between the battery's plus and K11"]),
    (changed(POWERED, MoveWire("W26", "G1:+", "F1:2"), SetValue("F1", "rating", 15.0)), []),
    (as_block("7.5 A, 7.5 A, 3 A, 7.5 A, spare"), []),
    (as_block("7.5 A, 7.5 A, 3 A, 7.5 A, spare", "move W27 from F9:4 to F9:5"), ["wire 'W27' is on 'F9:5', a spare way"]),
    (as_block("30: 7.5 A, 7.5 A, 3 A; 15: 7.5 A", "add wire W60 from S1:15 to F9:15"), ["K11:30 gets its volts over S1: with the key off"]),
    (as_block("7.5 A, 7.5 A, 3 A, 7.5 A", "remove W1"), ["no wire goes to G1:+", "no wire goes to F9:30"])])
def test_only_a_fuse_between_battery_and_supply_is_taken_for_its_guard_and_nothing_is_told_twice(circuit, said):
    """On the battery's metal, behind twice as large a fuse (common practice for one that stands), on a spare way, without a feed."""
    cautions = warnings_for(circuit)
    assert len(cautions) == len(said) and all(found.startswith(words) for found, words in zip(cautions, said))


def test_a_plain_one_loses_the_turn_signal_in_just_the_rows_with_stop_and_turn():
    failing = prove(changed(POWERED, SetValue("K11", "logic", "plain"))).failing_rows
    assert len(failing) == 4 and all(row["brake pedal"] == "held" and row["key"] == "on" and row["turn lever"] != "off" for row in failing)


def overloaded(watts):
    return changed(POWERED, SetValue("E7", "bulb", ""), SetValue("E7", "watts", watts), SetValue("F5", "rating", 20.0))


def test_a_powered_one_cuts_off_what_is_too_much_and_nothing_else():
    """90 W at 13.5 V draw less than 7.5 A and go on, 130 W more and are told of, 200 W a quarter more and are cut off; the other side stays lit."""
    fine, hot, cut = (cl.operating_point(overloaded(watts), HELD) for watts in (90.0, 130.0, 200.0))
    assert fine.states["K11.Lt"] == "on" and fine.current("E7") < 7.5 and not fine.overheated
    assert 7.5 < hot.current("E7") < 1.25 * 7.5 and any("K11.Lt carries" in each and "may cut off" in each for each in hot.overheated)
    assert cut.states["K11.Lt"] == "cut off" and cut.states["K11.Rt"] == "on" and cut.states["F5"] == "whole"
    assert "wants more" in why(cut, "K11.Lt") or "want more" in why(cut, "K11.Lt")


def test_it_waits_out_the_inrush_of_cold_filaments_and_cuts_a_short_before_its_fuse_blows():
    course = cl.run(POWERED, [(0.1, "brake pedal", "held")], 2.0)
    assert max(course.lamp_current["E7"]) > 7.5 and [event.state for event in course.events if event.name == "K11.Lt"] == ["on"]
    course = cl.run(changed(POWERED, Short("E7:1", "X1:9")), [(0.1, "brake pedal", "held")], 2.0)
    on, off = [event for event in course.events if event.name == "K11.Lt"]
    assert (on.state, off.state) == ("on", "cut off") and off.time - on.time == pytest.approx(AT_ONCE, abs=0.001) and course.at(1.9).states["F5"] == "whole"
    heavy = bench(Converter("K11"), 12.8 / 10 - 0.25)      # 10 A, no filament
    course = cl.run(heavy, [(0.1, "stop", "on")], 3.0)
    on, off = [event for event in course.events if event.name == "K11.Lt"]
    assert off.time - on.time == pytest.approx(WAITS, abs=0.001)
    assert cl.operating_point(heavy, {"stop": "on"}).states["K11.Lt"] == "cut off"


@pytest.mark.parametrize("watts", [21.0, 42.0, 63.0, 85.0])
def test_rest_and_time_agree_on_what_it_carries(watts):
    """Of filaments up to what it is made for: on in both."""
    course = cl.run(overloaded(watts), [(0.1, "brake pedal", "held")], 3.0)
    assert course.at(2.9).states["K11.Lt"] == cl.operating_point(overloaded(watts), HELD).states["K11.Lt"] == "on"


def test_after_a_cut_it_tries_again_with_the_next_signal():
    course = cl.run(overloaded(200.0), [(0.1, "brake pedal", "held"), (2.0, "brake pedal", "released"), (2.5, "brake pedal", "held")], 5.0)
    assert [event.state for event in course.events if event.name == "K11.Lt"] == ["on", "cut off", "off", "on", "cut off"]


def test_an_unpowered_one_is_guarded_by_nothing_and_is_told_to_burn_out():
    strong = changed(UNPOWERED, SetValue("K11", "most", 0.1))
    point = cl.operating_point(strong, HELD)
    assert any(each.startswith("K11.Lt carries") and "nothing in an unpowered converter guards it" in each for each in point.overheated)


def test_a_short_behind_an_unpowered_one_may_destroy_it_before_the_fuse_blows():
    """Tens of amps through 4 A, and a fuse that takes tenths of a second: the fault says to test it."""
    point = cl.operating_point(changed(UNPOWERED, Short("E7:1", "X1:9")), HELD)
    assert point.states["F1"] == "blown"
    (words,) = endangered(point)
    assert words.startswith("before F1 blew, K11.Lt carries") and "may be gone, open or shorted, so test it too" in words
    assert endangered(cl.operating_point(changed(POWERED, Short("X2:4", "X1:9")), HELD)) == ()


def test_a_lit_trailer_lamp_says_by_which_signals_its_channel_is_on_and_a_dark_one_that_no_wiring_leads_there():
    said = why(cl.operating_point(POWERED, HELD), "E7")
    assert said.endswith("K11.Lt is on by its signals, 12.4 V at K11:54 and 0.0 V at K11:L.")
    path = path_to(cl.operating_point(changed(POWERED, RemoveWire("W27")), {**HELD, "tail lamps": "on"}), "E9")
    assert path.sentence == "E9 (trailer left tail) misses its current: no wiring leads from G1:+ to E9:1, save back through E1 and E11"


# ------------------------------------------------------------------ in time

def test_braking_and_turning_the_trailer_s_lamp_is_lit_while_the_vehicle_s_turn_lamp_is_dark():
    """Exclusive or flashes in antiphase; without the brake both are lit together."""
    for brake, together in (("held", False), ("released", True)):
        course = cl.run(POWERED, [(0.1, "brake pedal", brake)] * (brake == "held") + [(0.2, "key", "on"), (0.3, "turn lever", "left")], 5.0)
        flashes = [span for span in course.spans("K9") if span[1] - span[0] > 0.2 and span[0] > 1.0]
        assert len(flashes) >= 8
        for begin, end, state in flashes[:-1]:
            point = course.at(end - 0.01)
            assert (point.light("E5") > 0.3) == (state == "on") and (point.light("E7") > 0.3) == ((state == "on") == together)


def test_a_poor_supply_lets_it_go_on_and_off_and_no_gate_chatters_at_its_threshold():
    """5 ohm on 30: cold filaments take the volts, the electronics hold up 30 ms, and begin anew."""
    course = cl.run(changed(POWERED, LoseJoint("W27", "K11:30", 5.0)), [(0.1, "brake pedal", "held")], 2.0)
    moves = [event.time for event in course.events if event.name == "K11.Lt"]
    assert course.sentence.endswith("how fast hangs on the maker") and "Hz" not in course.sentence
    assert course.verdict in ("buzzing", "chatter") and all(0.0009 < after - before for before, after in zip(moves, moves[1:]))
    assert max(after - before for before, after in zip(moves, moves[1:])) == pytest.approx(0.03, abs=0.002)


# ------------------------------------------------------------------ faults, finding, sheets

NEW = "put a new K11 in, only after ohms from Lt, Rt and 58t to the trailer's ground, plug in and lamps out, have found no short"


def test_every_mishap_of_it_is_a_fault_with_odds_and_a_repair_of_the_whole_converter():
    kinds = {fault.kind: fault for fault in single_faults(POWERED) if "K11" in fault.place and ":" not in fault.place}
    assert set(kinds) == {"dead converter", "dead channel", "stuck channel", "wrong converter"}
    repairs = {each.repair for each in candidates_of(POWERED) if each.sort == "converters"}
    assert repairs == {NEW}
    dead = cl.operating_point(kinds["dead converter"].apply(POWERED), {**HELD, "tail lamps": "on"})
    assert [dead.light(lamp) for lamp in TRAILER] == [0.0] * 4
    assert not {fault.kind for fault in single_faults(changed(POWERED, SetValue("K11", "dead", True)))} & set(kinds)


@pytest.mark.full
def test_a_dead_converter_is_found_by_readings_at_it():
    """Told as a meter has it on the cart with the dead one: volts on 30 and 54, none on Lt, and none between 31 and minus."""
    dead = cl.operating_point(changed(POWERED, SetValue("K11", "dead", True)), HELD)
    symptoms = ["trailer left dark when brake pedal held", "trailer left tail dark when tail lamps on"]
    readings = [f"{dead.meter(end):.1f} V at {end} when brake pedal held" for end in ("K11:30", "K11:54", "K11:Lt", "K11:31")]
    assert find(POWERED, symptoms).causes[0].repair != NEW
    assert find(POWERED, symptoms, readings).causes[0].repair == NEW


def test_the_build_sheet_lists_every_terminal_of_it():
    page = build_sheet(POWERED)
    assert all(f"K11:{terminal}" in page for terminal in POWERED.part("K11").terminals) and "4-flat" in page and "7.5 A each channel" in page


def test_the_sheet_of_a_trailer_says_that_ball_and_drawbar_are_no_ground():
    assert "Ball and drawbar are no ground" in build_sheet(POWERED) and "drawbar" not in build_sheet(cl.arrangement("separate-filaments"))

"""Two batteries in series, or side by side: from where volts are counted, what the supply is called, and lamps with too many volts."""

from dataclasses import replace

import pytest

from circuitlab.arrangements import Changes, FrameOn, LoseJoint, SetValue, Short, arrangement, changed
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.arrangements.tried import Tried
from circuitlab.parts import Battery, Lamp, LedLamp, Wire
from circuitlab.reasoning import lamp_logic, lamp_table, prove, row_of
from circuitlab.reasoning.faults import fault_table
from circuitlab.reasoning.leads import take_reading
from circuitlab.reasoning.paths import missing_path, path_to
from circuitlab.reasoning.sizing import drain, guarding, judge, size, survey
from circuitlab.solving import operating_point
from circuitlab.teaching.kinds import Number
from circuitlab.teaching.variants import vary
from circuitlab.views.fault_words import fault_table_text
from circuitlab.views.proof_words import proof_html, proof_text
from circuitlab.views.sizing_words import sizing_text
from circuitlab.views.tables import settled_status

LIT = {"lamp switch": "on"}


def in_series(low="G1", high="G2"):
    """Return the kit's one lamp on two batteries one behind the other, the one called ``low`` on the frame."""
    lamp = arrangement("one-fused-lamp")
    moved = {"G1:+": f"{high}:+", "G1:-": f"{low}:-"}
    wires = [replace(wire, start=moved.get(wire.start, wire.start), end=moved.get(wire.end, wire.end)) for wire in lamp.wires]
    return replace(lamp, parts=(*lamp.parts, Battery("G2")), wires=(*wires, Wire("W50", f"{low}:+", f"{high}:-", "RD", 0.3, 6.0)))


@pytest.fixture(params=[("G1", "G2"), ("G2", "G1")], ids=["first below", "first on top"])
def series(request):
    return in_series(*request.param)


def test_volts_are_counted_from_the_end_on_the_frame_whichever_battery_is_listed_first(series):
    point = operating_point(series, LIT)
    reading = take_reading(point, "F1:1")
    assert reading.black == "G1:-" if series.wires[-1].start == "G1:+" else "G2:-"
    assert reading.value == pytest.approx(25.1, abs=0.1) and reading.word == "live"
    assert point.liveness("E1:2") == "dead" and point.volts(series.wires[-1].start) == pytest.approx(12.5, abs=0.1)


def test_the_supply_is_what_both_give_together(series):
    assert settled_status(operating_point(series, LIT)).startswith("Supply 25.2 V, lamp switch on")
    middle = replace(series, wires=(*series.wires, Wire("W51", series.wires[-1].start, "S1:1")))
    assert settled_status(operating_point(middle)).startswith("Supply 12.6 V and 25.2 V,")
    assert settled_status(operating_point(arrangement("one-fused-lamp"))).startswith("Supply 12.6 V, lamp switch off")


@pytest.mark.outside("lamp rerating: life goes with the 13th power of the volts (12 to 16)")
def test_a_lamp_with_far_too_many_volts_is_told_with_its_life_in_point_rows_and_proof():
    """(18.6 / 13.5)^13 is 64, told to one digit; nobody's 13th power is taken at its word at twice the volts."""
    series = changed(in_series(), SetValue("G2", "voltage", 6.3))
    point = operating_point(series, LIT)
    said = "E1 has 18.6 V, 1.4 times the 13.5 V it is made for: it lasts about 1/60 of its life"
    assert point.overheated == (said,) and said in settled_status(point)
    proof = prove(series)
    assert f"{said} (with lamp switch on)" in proof_text(proof) and said in proof_html(proof)
    assert "Not proved, though all 2 rows keep the rule" in proof_text(proof) and "Some parts have more than they are made for" in proof_text(proof)
    assert "more than they are made for" not in proof_text(prove(arrangement("one-fused-lamp")))


@pytest.mark.parametrize("volts, told", [(17.0, False), (18.5, True)])
def test_only_beyond_thirteen_tenths_of_its_test_volts_is_told(volts, told):
    lamp = changed(arrangement("one-fused-lamp"), SetValue("G1", "voltage", volts))
    assert bool(operating_point(lamp, LIT).overheated) == told


def test_a_bulb_on_the_volts_of_the_next_system_is_told_in_the_same_words_everywhere_and_an_led_lamp_has_no_life_to_tell():
    lamp = changed(in_series(), SetValue("G2", "voltage", 16.0))
    soon = "it lasts seconds to minutes at best"
    point, (caution,) = operating_point(lamp, LIT), lamp.cautions()
    assert soon in caution and point.overheated[0].endswith(soon) and soon in settled_status(point)
    for said in (str(lamp_table(lamp)), proof_text(prove(lamp)), sizing_text(size(lamp)), fault_table_text(fault_table(lamp))):
        assert soon in said and "of its life" not in said and "melt" not in said
    led = in_series().with_parts(LedLamp("E1"))
    words = operating_point(led, LIT).overheated[0]
    assert words.startswith("E1 draws") and "times what it is made for: it overheats and fails" in words
    assert operating_point(arrangement("one-fused-lamp").with_parts(LedLamp("E1")), LIT).overheated == ()


def test_fuses_and_formulas_see_the_pair_as_one_supply(series):
    guards = guarding(survey(series))
    assert guards.wires["F1"] == ("W2", "W3") and guards.unfused == () and "W50" in guards.bare
    assert not lamp_logic(series).differences and "lamp switch" in str(lamp_logic(series))
    assert [each.rule for each in judge(series) if not each.is_kept] == ["the lamp stands its volts"]
    top = series.wires[0].start
    assert path_to(operating_point(series, LIT), "E1").steps[0].start == top
    assert missing_path(operating_point(series), "E1").steps[0].start == top
    assert "What each fuse guards" in sizing_text(size(series))


def test_an_unfused_feed_on_the_middle_is_told():
    series = in_series()
    bare = replace(series, wires=(*series.wires, Wire("W51", "G1:+", "S1:1")))
    assert any(words.startswith("no fuse lies between G1:+ and S1:") for words in warnings_for(bare))
    assert not any(words.startswith("no fuse") for words in warnings_for(series))


def test_the_pole_that_has_no_fuse_is_named_with_its_battery_and_is_the_one_of_the_live_sign():
    """The frame is on G2:-, so the middle, where E2 hangs, is G2's plus and not the minus of G1."""
    series = in_series("G2", "G1")
    middle = replace(series, parts=(*series.parts, Lamp("E2")), wires=(*series.wires, Wire("W51", "G2:+", "E2:1"), Wire("W52", "E2:2", "G2:-")))
    (words,) = [words for words in warnings_for(middle) if words.startswith("no fuse")]
    assert words.startswith("no fuse lies between G2:+ and E2: a wire that chafes there burns")


def test_the_drain_at_rest_counts_each_ampere_once():
    """Two batteries in series give the same amperes, side by side each its share: Kirchhoff."""
    lamp = arrangement("one-fused-lamp")
    side = replace(lamp, parts=(*lamp.parts, Battery("G2")),
                   wires=(*lamp.wires, Wire("W50", "G1:+", "G2:+"), Wire("W51", "G1:-", "G2:-")))
    always = [replace(each, controls=(), rule=(), parts=tuple(part for part in each.parts if part.name != "S1"),
                      wires=tuple(replace(wire, end="E1:1") if wire.name == "W2" else wire for wire in each.wires if wire.name != "W3"))
              for each in (lamp, side, in_series("G1", "G2"), in_series("G2", "G1"))]
    lit = [abs(operating_point(each).current("E1")) for each in always]
    assert [drain(each).amps for each in always] == pytest.approx(lit, abs=1e-6)


def test_a_question_knows_what_two_batteries_can_show():
    series = vary(in_series(), {("G2", "voltage"): (12.4, 12.6)})
    assert "more than the battery has" not in Number("V").would(24.0, 25.0, series.of(0))
    assert "more than the battery has" in Number("V").would(30.0, 25.0, series.of(0))


def test_with_plus_on_the_frame_the_other_ends_change_places():
    turned = changed(in_series(), FrameOn("plus"))
    assert turned.poles == ("G2:+", "G1:-") and in_series().poles == ("G1:-", "G2:+")
    assert row_of(turned, turned.positions(LIT)).cells["E1"].look == "steady"


def test_the_dial_of_the_supply_turns_both_batteries():
    tried = Tried(Changes(in_series())).with_dial("supply", 11.0)
    assert [part.voltage for part in tried.arrangement.of_kind(Battery)] == [11.0, 11.0]


@pytest.mark.parametrize("fault", [Short("G1:+", "X1:1"), LoseJoint("W5", "X1:2"), LoseJoint("W50", "G2:-")])
@pytest.mark.parametrize("order", [("G1", "G2"), ("G2", "G1")])
def test_a_fault_does_not_move_the_pole_that_volts_are_counted_from(fault, order):
    series = in_series(*order)
    fault = LoseJoint("W50", series.wires[-1].end) if fault == LoseJoint("W50", "G2:-") else fault
    fault = Short(series.wires[-1].start, "X1:1") if isinstance(fault, Short) else fault
    assert changed(series, fault).poles == series.poles

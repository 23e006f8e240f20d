"""A reversed battery is named by sizing, and a fault current's other victims by point, proof and fault table."""

import pytest

from circuitlab.arrangements import FrameOn, SetValue, Short, SwapTerminals, arrangement, changed
from circuitlab.parts import Battery, Diode, Fuse, Relay, Wire
from circuitlab.reasoning import prove
from circuitlab.solving.beside_fuses import endangered
from circuitlab.reasoning.faults import fault_table
from circuitlab.reasoning.sizing import judge, size
from circuitlab.solving import operating_point
from circuitlab.views.fault_words import fault_table_html, fault_table_text
from circuitlab.views.proof_words import proof_html, proof_text
from circuitlab.views.sizing_words import sizing_text
from circuitlab.views.tables import settled_status

from small_boards import board, old_tractor

TURN = SwapTerminals("G1:+", "G1:-")
SHORTED = Short("X4:1", "X1:1")      # the coil line of the left side, behind V1
HAZARD = {"hazard": "on"}


@pytest.mark.parametrize("name", ["shared-filament-four-relays", "one-fused-lamp", "tied-stop-and-turn"])
def test_sizing_says_first_that_the_battery_is_reversed_and_does_not_blame_the_loads(name):
    right, wrong = arrangement(name), changed(arrangement(name), TURN)
    broken = [finding for finding in judge(wrong) if not finding.is_kept]
    assert broken[0].rule == "the battery is the right way round" and broken[0].part == "G1"
    assert "G1: it is reversed against its frame, which is to be minus: its plus is on the frame 'X1'" in sizing_text(size(wrong))
    assert not [finding for finding in broken if finding.rule in ("a fuse ahead of every load", "the fuse sits at the battery")]
    assert "reversed" not in sizing_text(size(right))


@pytest.mark.full
def test_the_same_with_plus_declared_and_minus_there():
    tractor = old_tractor()
    assert "reversed" not in sizing_text(size(tractor))
    (first, *_) = judge(changed(tractor, FrameOn("minus")))
    assert "which is to be minus" in first.sentence
    (first, *_) = judge(changed(tractor, TURN))
    assert "which is to be plus" in first.sentence and "the battery's minus is on 'X1'" in first.sentence


@pytest.mark.outside("maker sheets of 1 A diodes (1N4001 to 7): 1 A on average, 30 A for one half wave of 8.3 ms")
def test_a_diode_in_the_way_of_a_fault_current_is_named_with_its_amperes():
    """A dead short behind a 1 A diode, fed over a 15 A fuse: tens of amperes until the fuse has gone."""
    broken = changed(arrangement("hazard-by-diodes"), SHORTED)
    point = operating_point(broken, HAZARD, "on")
    assert point.states["F3"] == "blown"
    (words,) = endangered(point)
    assert words.startswith("before F3 blew, V1 carries ") and "made for 1 A for long: it may be gone, open or shorted" in words
    amps = float(words.split("carries ")[1].split(" A")[0])
    assert 30 < amps < 200
    assert "Before F3 blew, V1 carries" in settled_status(point)
    assert endangered(operating_point(broken)) == () and endangered(operating_point(arrangement("hazard-by-diodes"), HAZARD)) == ()


def test_proof_and_fault_table_name_it_too():
    cart = arrangement("hazard-by-diodes")
    proof = prove(changed(cart, SHORTED), timing=False)
    for said in (proof_text(proof), proof_html(proof)):
        assert "before F3 blew, V1 carries" in said
    assert proof_text(proof).count("beside it: before F3 blew, V1 carries") < 3, "once for rows that fail alike"
    table = fault_table(cart, faults=[SHORTED, SetValue("E1", "watts", 21.0)])
    assert table.endangered(table.lines[0])[0].startswith("before F")
    assert "Beside it: before F" in fault_table_text(table) and "Beside it: before F" in fault_table_html(table)
    assert [table.endangered(line) for line in table.lines if line.fault.changes[0] != SHORTED] == [()]


def test_each_part_is_named_once_with_the_amperes_of_the_worse_phase():
    """With the flasher's output off and on the same diode carries a little less and a little more."""
    cart = arrangement("hazard-by-diodes")
    broken = changed(cart, SHORTED)
    points = [operating_point(broken, HAZARD, phase) for phase in ("off", "on")]
    table = fault_table(cart, faults=[SHORTED])
    (words,) = table.endangered(table.lines[0])
    amps = [float(one.split("carries ")[1].split(" A")[0]) for point in points for one in endangered(point)]
    assert len(set(amps)) == 2 and endangered(*points) == endangered(*reversed(points)) == (words,)
    assert f"carries {max(amps):g} A" in words and fault_table_text(table).count("Beside it:") == 1
    assert sum("V1 carries" in one for failure in prove(broken, timing=False).failures for one in failure.remarks
               if failure.positions == points[0].positions) == 1


def test_the_diode_in_a_relay_is_named_and_a_plain_relay_has_none():
    for suppression, count in (("diode", 1), ("resistor", 0), ("none", 0)):
        turned = board("turned", [Battery("G1"), Fuse("F1", 10.0), Relay("K1", suppression=suppression)],
                       [("G1:-", "F1:1"), ("F1:2", "K1:86"), ("K1:85", "G1:+")], ())
        said = endangered(operating_point(turned))
        assert len(said) == count and all("the diode in K1 carries" in words for words in said)


def test_a_diode_beyond_its_amperes_is_told_without_a_fuse_that_blows():
    lamp = arrangement("one-fused-lamp")
    small = lamp.with_parts(without=["W3"])
    fed = changed(small)
    fed = type(fed)(fed.title, fed.controls, (*fed.parts, Diode("V1", carries=1.0)),
                    (*fed.wires, Wire("W3", "S1:2", "V1:A"), Wire("W6", "V1:K", "E1:1")))
    words = operating_point(fed, {"lamp switch": "on"}).overheated
    assert len(words) == 1 and words[0].startswith("V1 carries 1.") and "made for 1 A for long" in words[0]
    assert operating_point(fed.with_parts(Diode("V1")), {"lamp switch": "on"}).overheated == ()

"""Procedures as manuals print them, replayed on a circuit with the fault in it: the printed conclusion is among what is found.

Each reading is what the meter shows in the broken circuit; where a manual prints the reading itself, that one is told.
"""

import pytest

import circuitlab as cl
from circuitlab.arrangements import Hold, LoseJoint, Short, changed
from circuitlab.reasoning.finding.finding import find

from repairers import ohms_read

LAMP, TIED = cl.arrangement("one-fused-lamp"), cl.arrangement("tied-stop-and-turn")
ON, BRAKING = {"lamp switch": "on"}, {"brake pedal": "held"}


def read(circuit, positions, red, black=None, phases="off"):
    return cl.take_reading(cl.operating_point(circuit, positions, phases), red, black).shown


def repairs(found):
    return [cause.repair.partition(",")[0] for cause in found.causes]


@pytest.mark.outside("service manual 1997, testing for voltage drop, circuit on: more than 0.5 V across a wire, joint or switch is suspicious")
@pytest.mark.parametrize(("ohms", "is_suspicious"), [(0.4, True), (0.02, False)])
def test_a_voltage_drop_of_half_a_volt_accuses_the_wire_it_is_read_across(ohms, is_suspicious):
    broken = changed(LAMP, LoseJoint("W3", "E1:1", ohms))
    lost = read(broken, ON, "S1:2", "E1:1")
    assert (lost > 0.5) == is_suspicious
    found = find(LAMP, "E1 dim when lamp switch on", f"{lost:.2f} V from S1:2 to E1:1 when lamp switch on")
    assert (repairs(found)[0] == "mend W3") == is_suspicious


@pytest.mark.outside("engine maker's manual p. 195: black lead on battery minus, red on the ground point; under 0.1 V good, 0.308 V a poor ground")
@pytest.mark.parametrize(("volts", "is_poor"), [(0.308, True), (0.05, False)])
def test_0_308_volts_at_a_ground_point_is_a_poor_ground(volts, is_poor):
    found = find(LAMP, "E1 dim when lamp switch on", [f"{volts} V at E1:2 when lamp switch on", "12.3 V at E1:1 when lamp switch on"])
    grounds = sum(cause.odds for cause in found.causes if cause.repair.partition(",")[0] in ("mend W4", "mend W5"))
    assert (grounds > 0.6) == is_poor


@pytest.mark.outside("training session P1-13: dim right tail lamp, 6 V across its ground joint, 6 V left for the lamp: the fault lies between splice and ground")
def test_six_volts_over_the_ground_and_six_for_the_lamp_put_the_fault_between_lamp_and_ground():
    """The joint then has the ohms of the lamp at 6 V."""
    ohms = 4.0
    for _ in range(20):
        broken = changed(TIED, LoseJoint("W17", "X1:2", ohms))
        over, left = read(broken, BRAKING, "E2:2", "X1:2"), read(broken, BRAKING, "E2:1", "E2:2")
        ohms *= left / over
    assert over == pytest.approx(6.1, abs=0.2) and left == pytest.approx(over, abs=0.05)
    found = find(TIED, "rear right dim when braking", [f"{over:.1f} V from E2:2 to X1:2 when braking", f"{left:.1f} V from E2:1 to E2:2 when braking"])
    best = found.causes[0]
    assert best.repair.startswith("mend W17,") and best.ohms[0] == pytest.approx(ohms, rel=0.15) and best.place == ("E2:2", "X1:2")


@pytest.mark.outside("service manual 2006, basic inspection: volts to ground from the supply on; the open lies between the last connector with volts and the "
                     "first without")
@pytest.mark.parametrize(("wire", "chain"), [("W2", ["F1:1", "F1:2", "S1:1", "S1:2", "E1:1"]), ("W3", ["F1:1", "F1:2", "S1:1", "S1:2", "E1:1"])])
def test_an_open_lies_between_the_last_with_volts_and_the_first_without(wire, chain):
    broken = changed(LAMP, LoseJoint(wire, LAMP.part(wire).end))
    volts = {terminal: read(broken, ON, terminal) for terminal in chain}
    last = max(number for number, terminal in enumerate(chain) if volts[terminal] > 6)
    assert {chain[last], chain[last + 1]} == {*LAMP.part(wire).terminals}
    found = find(LAMP, "E1 dark when lamp switch on", [f"{volts[terminal]:.1f} V at {terminal} when lamp switch on" for terminal in chain])
    assert repairs(found)[0] == f"mend {wire}" and found.causes[0].odds > 0.9


@pytest.mark.outside("service manuals: fuse out, load off, ohms from the load side of the fuse to ground; anything but over the range is a short")
@pytest.mark.parametrize(("changes", "is_short"), [((Short("E1:1", "X1:2"),), True), ((Hold("F1", "blown"),), False)])
def test_ohms_behind_the_blown_fuse_tell_a_short_from_a_fuse_that_was_old(changes, is_short):
    broken = changed(LAMP, *changes, Hold("F1", "blown"))
    ohms = ohms_read(broken, "F1:2", "X1:1", ON, out=("E1", "F1"))
    assert (ohms is not None and ohms < 1) == is_short and (ohms is None) == (not is_short)
    value = f"{ohms:.1f} ohm" if is_short else "no way"
    found = find(LAMP, "E1 dark when lamp switch on", ["F1 blown", f"{value} from F1:2 to X1:1 when lamp switch on, F1 out, E1 out"])
    shorted = sum(cause.odds for cause in found.causes if cause.repair.startswith(("part ", "free ")))
    assert (shorted > 0.8) == is_short and (shorted < 0.2) == (not is_short)


@pytest.mark.outside("service manual 2009: one fuse, several loads: part them one after another; the branch that takes the short away holds it")
def test_the_branch_whose_parting_ends_the_short_holds_it():
    readings = ["F1 blown"]
    for wire, end, value in (("W5", "X2:3", "0.1 ohm"), ("W4", "X2:2", "no way")):
        readings.append(f"{value} from F1:2 to X1:1 when braking, {wire} lifted at {end}, F1 out, E1 out, E2 out, E3 out, E4 out")
    found = find(TIED, "rear left dark when braking", readings)
    beyond = changed(TIED, LoseJoint("W4", "X2:2"))
    for cause in found.causes:
        if cause.odds > 0.05 and cause.repair.startswith(("part ", "free ")):
            broken = changed(beyond, *cause.changes)
            left = ohms_read(broken, "F1:2", "X1:1", BRAKING, out=("F1", "E1", "E2", "E3", "E4"))
            assert left is None or left > 2
    assert sum(cause.odds for cause in found.causes if cause.repair.startswith(("part ", "free "))) > 0.8


@pytest.mark.outside("service manuals 2002 and 2004, parasitic drain: more than 50 mA is too much, a lamp left on draws about 1 A; other makers print 25 to 50 mA "
                     "and rests of 5 to 75 minutes")
def test_amps_at_rest_of_a_lamp_left_on_accuse_its_switch():
    drawn = [abs(cl.operating_point(each, {}, "off").current("F1")) for each in (LAMP, changed(LAMP, Hold("S1", "on")))]
    assert drawn[0] < 0.05 and 1.0 < drawn[1] < 2.5
    left_on, sound = (find(LAMP, (), f"{amps:.2f} A through F1") for amps in reversed(drawn))
    switch = {"put a new S1 in", "part S1:1 from S1:2 and make good what is bare"}
    assert left_on.causes[0].repair in switch and sum(cause.odds for cause in left_on.causes if cause.repair in switch) > 0.6
    assert sum(cause.odds for cause in sound.causes if "stuck as with lamp switch on" in cause.words or cause.repair.startswith("part S1:1")) < 0.05


@pytest.mark.outside("continuity walk from the working end, technical manual p. 3-34: the first section without continuity is the bad one; here with the power "
                     "off, a section at a time")
def test_a_section_without_continuity_is_the_bad_one():
    broken = changed(LAMP, LoseJoint("W3", "E1:1"))
    sections = [("E1:2", "X1:1"), ("S1:2", "E1:1"), ("F1:2", "S1:1")]
    readings = []
    for one, other in sections:
        ohms = ohms_read(broken, one, other, {}, out=("E1",))
        readings.append(f"{'no way' if ohms is None else f'{ohms:.1f} ohm'} from {one} to {other}, E1 out")
    assert [each.startswith("no way") for each in readings] == [False, True, False]
    assert repairs(find(LAMP, "E1 dark when lamp switch on", readings))[0] == "mend W3"


@pytest.mark.outside("COMPUTED beside a P21W of 1.75 A: 0.1 ohm loses 0.18 V, 0.3 ohm 0.5 V, 1 ohm 1.5 V")
@pytest.mark.parametrize(("ohms", "volts"), [(0.1, 0.18), (0.3, 0.5), (1.0, 1.5)])
def test_graded_joints_lose_what_is_printed_and_are_sized_from_it(ohms, volts):
    broken, sound = (read(circuit, ON, "S1:2", "E1:1") for circuit in (changed(LAMP, LoseJoint("W3", "E1:1", ohms)), LAMP))
    assert broken - sound == pytest.approx(volts, rel=0.15)
    best = find(LAMP, (), f"{broken:.2f} V from S1:2 to E1:1 when lamp switch on").causes[0]
    assert best.repair.startswith("mend W3,") and ohms <= best.ohms[0] < ohms + 0.06       # with the copper of 2 m of wire

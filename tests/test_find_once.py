"""What the finder solves once for several candidates is what each of them gives by itself: joints in one run, and what was swept before a fuse went."""

import numpy as np
import pytest

import circuitlab as cl
from circuitlab.parts import Battery, Chassis, Control, Fuse, Lamp, Splice, Switch, Wire
from circuitlab.arrangements import Arrangement
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.finding.in_series import leading
from circuitlab.reasoning.finding.joined_sweeps import JoinedSweeps
from circuitlab.reasoning.finding.solved import solved
from circuitlab.ground.errors import UnknownName
from circuitlab.solving.sweeping import Made, sweep

FEW = ("one-fused-lamp", "hazard-third-relay", "led-lamps-load-resistors")


def named(circuit):
    """Return the words of each candidate that follows another, with those of that one."""
    candidates = candidates_of(circuit)
    return {candidates[number].words: candidates[first].words for number, first in leading(circuit, candidates).items()}


@pytest.mark.outside("Ohm's law, any textbook of circuits: resistors in series may change places, and nothing outside their row knows")
def test_joints_of_one_unbranched_run_follow_the_first_of_as_many_ohms():
    """Two lamps behind one fuse and one splice: the feed is a run, each lamp's own way another; what branches parts them."""
    parts = [Battery("G1"), Fuse("F1", 10), Switch("S1", "key", {"on": [("1", "2")]}), Splice("X2", 3), Lamp("E1"), Lamp("E2"), Chassis("X1", 3)]
    pairs = [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "X2:1"), ("X2:2", "E1:1"), ("X2:3", "E2:1"), ("E1:2", "X1:1"), ("E2:2", "X1:2"), ("X1:3", "G1:-")]
    found = named(Arrangement("two lamps", [Control("key", ("off", "on"))], parts, [Wire(f"W{number}", *pair, "RD", 0.3) for number, pair in enumerate(pairs, 1)]))

    def follows(words, first):
        return found.get(words, "") == first
    assert follows("5 ohm between F1:2 and S1:1 (W2)", "5 ohm between G1:+ and F1:1 (W1)") and follows("5 ohm between S1:2 and X2:1 (W3)", "5 ohm between G1:+ and F1:1 (W1)")
    assert follows("5 ohm between E1:2 and X1:1 (W6)", "5 ohm between X2:2 and E1:1 (W4)") and "5 ohm between X2:3 and E2:1 (W5)" not in found
    assert "open between F1:2 and S1:1 (W2)" not in found and all(one.split(" ")[0] == other.split(" ")[0] for one, other in found.items())


def test_a_joint_that_was_bad_from_the_start_is_in_no_run():
    cart = cl.arrangement("one-fused-lamp")
    known = named(cart)
    worn = named(cl.changed(cart, cl.LoseJoint("W2", "S1:1", 0.2)))
    assert any("(W2)" in words for words in known) and not any("(W2)" in words for words in (*worn, *worn.values()))


@pytest.mark.parametrize("name", [*FEW, *(pytest.param(name, marks=pytest.mark.full) for name in cl.arrangement_names() if name not in FEW)])
def test_every_case_is_as_if_all_had_been_solved_each_by_itself(name):
    """Where it rests, what time decides, every lamp's light and every terminal's volts."""
    everything = solved(cl.arrangement(name))
    plain = sweep(everything.read, everything.rows, everything.phases, [(Made(variant),) for variant in everything.variants])
    joined, rests = everything.sweep, plain.is_settled
    assert np.array_equal(joined.is_settled, rests) and np.array_equal(joined.in_doubt[rests], plain.in_doubt[rests])
    for lamp in everything.lamps:
        assert abs(joined.light(lamp).filled(-1.0) - plain.light(lamp).filled(-1.0)).max() < 1e-6
    for end in everything.terminals:
        mine, other = joined.volts(end), plain.volts(end)
        assert np.array_equal(np.ma.getmaskarray(mine), np.ma.getmaskarray(other)) and abs(mine.filled(0.0) - other.filled(0.0)).max() < 1e-6


def test_what_no_sweep_knows_is_told_as_one_would_tell_it_and_what_is_in_none_finds_no_rest():
    cart = cl.arrangement("one-fused-lamp")
    one, other = sweep(cart, [{"lamp switch": "on"}]), sweep([(cart, {"lamp switch": "off"}, "on")])
    joined = JoinedSweeps((3, 1, 1))
    joined.add(one, [2])
    joined.add_cases(other, np.array([0]))
    assert joined.is_settled.tolist() == [True, False, True] and joined.in_doubt.tolist() == [False] * 3
    assert joined.volts("E1:1").filled(-1).round(1).tolist() == [0.0, -1.0, 12.4] and joined.current("W1").filled(-1).tolist()[1] == -1
    assert joined.light("E1")[2] > 0.7
    with pytest.raises(UnknownName, match="has no terminal 'E1:7'"):
        joined.volts("E1:7")

"""Sweeps: what thousands of cases solved side by side say is what each case says alone."""

import subprocess
import sys
from math import exp
from random import Random

import numpy as np
import pytest

import circuitlab as cl
from circuitlab.ground.errors import ArrangementError, UnknownName
from circuitlab.solving import sweep
from circuitlab.solving.sweep_cases import Group
from circuitlab.solving.sweep_curves import CLOSE, Curves, current
from circuitlab.solving.sweep_laws import numbers, walk
from circuitlab.solving.sweep_search import search
from circuitlab.solving.sweep_outcome import Outcome
from circuitlab.solving.sweep_settling import _Rounds, settle
from circuitlab.solving.sweep_volts import Kernel

from random_arrangements import random_arrangement
from read_alone import CLOSE_ENOUGH, differences
from small_boards import buzzer, self_holding

MOST = 700            # cases of an arrangement that are solved alone for comparison
PRIMES = (1, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53)


def faults(arrangement):
    """Return one tuple of changes for every fault a bench offers: lost and bad joints, shorts, dead and stuck parts."""
    parts, wires = arrangement.parts, arrangement.wires
    found = [()]
    found += [(cl.LoseJoint(wire.name, wire.start),) for wire in wires]
    found += [(cl.LoseJoint(wire.name, wire.end, 0.8),) for wire in wires[::2]]
    found += [(cl.Hold(part.name, "blown"),) for part in parts if "blown" in part.states]
    found += [(cl.Hold(part.name, state),) for part in arrangement.of_kind(cl.Relay) for state in ("released", "operated")]
    found += [(cl.SetValue(part.name, "coil_resistance", 1e5),) for part in arrangement.of_kind(cl.Relay)]
    found += [(cl.Hold(part.name, state),) for part in arrangement.of_kind(cl.Flasher) for state in ("on", "off")]
    found += [(cl.Hold(part.name, arrangement.control(part.control).positions[-1]),)
              for part in arrangement.of_kind(cl.Switch)]
    found += [(cl.AddWire(cl.Wire("W99", wire.start, f"{arrangement.battery.name}:-", length=2.0)),)
              for wire in wires[::3] if not wire.start.endswith(":-")]
    found += [(cl.SetValue(part.name, "watts", 4.0),) for part in arrangement.of_kind(cl.Lamp) if not part.seat]
    found += [(cl.SetValue(part.name, field, value),) for part in parts for _, _, field, value in part.mishaps]
    found += [(cl.RemoveWire(wires[-1].name),), (cl.MoveWire(wires[0].name, wires[0].end, wires[1].end),),
              (cl.LoseJoint(wires[0].name, wires[0].start, 0.5), cl.Hold(parts[1].name, parts[1].states[-1]))]
    lamp = next(lamp for lamp in arrangement.of_kind(cl.Lamp) if not lamp.seat)
    return [*found, (cl.changes.ReplacePart(cl.LedLamp(lamp.name)),)]


def some(found, most):
    """Return every so many cases of more than ``most``, in steps that share no factor with rows and phases, and all that
    came to no rest."""
    step = next(step for step in PRIMES if step >= len(found) / most)
    return sorted({*range(0, len(found), step), *np.flatnonzero(~found.is_settled)[:100].tolist()})


@pytest.mark.in_turn(21, 4)
@pytest.mark.parametrize("name", cl.arrangement_names())
def test_every_row_phase_and_fault_reads_as_it_does_alone(name):
    """States and verdicts identical, volts of every terminal within 1 nV, floating where the one point floats."""
    cart = cl.arrangement(name)
    found = sweep(cart, changes=faults(cart))
    assert found.solved_alone == 0
    assert not found.in_doubt.reshape(found.shape)[0].any() and found.in_doubt.mean() < 0.05
    wrong, worst, _ = differences(found, some(found, MOST))
    assert not wrong, wrong[:5]
    assert 0 < worst < CLOSE_ENOUGH


def test_a_slip_in_the_last_digits_would_be_seen():
    """The comparison above is as sharp as it says: 10 nV in one terminal, or one state, is found."""
    found = sweep(cl.arrangement("relay-test-board"))
    lot = found._lots[0]
    lot.outcome.volts[1:] += 1e-8
    assert differences(found, some(found, 10))[1] > CLOSE_ENOUGH
    lot.outcome.codes[lot.places["K1"]] = 1
    assert any("K1 is gap" in sentence for sentence in differences(found, some(found, 10))[0])


@pytest.mark.in_turn(20)
@pytest.mark.parametrize("seed", range(40))
def test_arrangements_wired_by_chance_read_as_they_do_alone(seed):
    """Rows, phases and some faults of what nobody would build; circles and chance included."""
    board = random_arrangement(seed)
    chances = Random(seed).sample(faults_of_chance(board), 6)
    rows = [{"key": key, "hazard": hazard, "selector": selector} for key in ("off", "on") for hazard in ("off", "on")
            for selector in ("one", "three")]
    found = sweep(board, rows=rows, changes=[(), *chances])
    wrong, worst, _ = differences(found, some(found, 60))
    assert not wrong, wrong[:5]
    assert worst < CLOSE_ENOUGH


def faults_of_chance(board):
    """Return faults that any arrangement can have."""
    return ([(cl.LoseJoint(wire.name, wire.start),) for wire in board.wires]
            + [(cl.RemoveWire(wire.name),) for wire in board.wires]
            + [(cl.Hold(part.name, part.states[-1]),) for part in board.parts if len(part.states) > 1]
            + [(cl.AddWire(cl.Wire("W999", wire.start, wire.end, length=1.0)),) for wire in board.wires])


def test_cases_one_by_one_read_as_rows_and_changes_do():
    """Any mixture of arrangements, rows and phases, in the order given."""
    one, other = cl.arrangement("one-fused-lamp"), cl.arrangement("relay-test-board")
    control = one.controls[0].name
    cases = [(one, {}, "on"), (other, {}, "on"), (one, {control: one.controls[0].positions[1]}, "on"),
             (cl.changed(one, cl.Hold("F1", "blown")), {control: one.controls[0].positions[1]}, "off")]
    found = sweep(cases)
    assert found.shape == (4,) and len(found) == 4
    lit = found.lamp_volts("E1")
    assert [bool(volts > 6) for volts in (lit[0], lit[2], lit[3])] == [False, True, False]
    assert found.state("F1").tolist()[2:] == ["whole", "blown"]
    assert [found.point(number).arrangement for number in range(4)] == [case[0] for case in cases]


def test_a_sweep_in_which_every_case_buzzes_can_be_read():
    """No case has volts: everything is masked, and every state is there."""
    board = changed_supply(buzzer())
    found = sweep(board, rows=[{"switch": "on"}])
    assert found.verdicts.tolist() == ["buzzing"]
    for read in (found.light("E1"), found.lamp_volts("E1"), found.volts("K1:86"), found.across("K1:86", "K1:85"),
                 found.current("G1"), found.current("W1"), found.current("K1", 1), found.current("E1")):
        assert read.tolist() == [None] and (read.data == 0).all()
    assert not found.is_live("K1:86").any() and found.state("K1").tolist() == ["released"]
    assert not differences(found, [0])[0]


def changed_supply(board):
    """Return a board with a lamp across its battery."""
    return cl.changed(board, cl.changes.AddPart(cl.Lamp("E1")), cl.AddWire(cl.Wire("W91", "G1:+", "E1:1")),
                      cl.AddWire(cl.Wire("W92", "E1:2", "G1:-")))


@pytest.mark.parametrize("board", [buzzer(), cl.arrangement("shared-filament-four-relays-hazard")], ids=["buzzer", "hazard"])
def test_every_room_of_the_sweep_takes_no_cases_at_all(board):
    """Volts, currents, what is joined to minus, the rounds, the search, laws and curves: nothing in, nothing out."""
    group = Group([board], board)
    kernel, none, codes = Kernel(group), np.zeros(0, np.intp), np.zeros((len(board.parts), 0), np.int16)
    size = group.network.size
    volts, conductances = kernel.solve(none, codes)
    assert volts.shape == kernel.grounded(none, codes).shape == (size, 0)
    for number in range(len(group.network.ends)):
        assert kernel.current(number, none, codes, volts, conductances).shape == (0,)
    assert settle(kernel, none, [], none, [{}], none).example.shape == (0,)
    rounds = _Rounds(kernel, none, [{}], none, Outcome(codes, size, len(group.network.moving)))
    assert rounds.play(none) == [] and search(rounds, none, codes, codes) == []
    assert rounds.look(none, codes, codes).moves.shape == (0,)
    assert numbers(cl.Fuse("F1", 5.0).strain, [np.zeros(0)]).shape == (0,)
    assert kernel.curves.read(kernel.curves.first[none], np.zeros(0))[0].shape == (0,)


def test_what_a_variant_lacks_is_masked_and_not_nothing():
    """A wire taken out carries no current and has no reading; a wire moved keeps its name."""
    cart = cl.arrangement("relay-test-board")
    wire, last = cart.wires[0], cart.wires[-1]
    found = sweep(cart, changes=[(), (cl.RemoveWire(last.name),), (cl.MoveWire(wire.name, wire.end, cart.wires[1].end),)])
    for name in (wire.name, last.name):
        amps = found.current(name)
        for number in range(len(found)):
            there = name in found.case(number)[0].by_name
            assert (amps[number] is np.ma.masked) != there
            if there:
                assert abs(amps[number] - found.point(number).current(name)) < 1e-6
    assert all(np.isfinite(found.volts(terminal).data).all() for terminal in cart.terminals)


def test_phases_are_told_apart_by_flasher():
    """Phases may be given by name, as for one point."""
    cart = cl.arrangement("shared-filament-four-relays")
    row = {"key": "on", "turn lever": "left"}
    found = sweep(cart, rows=[row], phases=[{"K9": "off"}, "on"])
    assert found.state("K9").tolist() == ["off", "on"]
    assert found.across("G1:+", "G1:-")[0] > found.across("G1:+", "G1:-")[1]
    assert found.is_live("G1:+").all()


@pytest.mark.parametrize(("ask", "error", "words"), [
    (lambda cart: sweep(cart, rows=[]), ArrangementError, "nothing to sweep"),
    (lambda cart: sweep([]), ArrangementError, "list of cases is empty"),
    (lambda cart: sweep([cart]), ArrangementError, "is not a case"),
    (lambda cart: sweep([("cart", {}, "on")]), ArrangementError, "is not an arrangement"),
    (lambda cart: sweep(cart, rows=[{"kye": "on"}]), UnknownName, "key"),
    (lambda cart: sweep(cart, phases=["onn"]), UnknownName, "on"),
    (lambda cart: sweep(cart).volts("K1:88"), UnknownName, "K1:"),
    (lambda cart: sweep(cart).lamp_volts("E9"), UnknownName, "E1"),
    (lambda cart: sweep(cart).state("E9"), UnknownName, "E1"),
    (lambda cart: sweep(cart).current("K1", 9), UnknownName, "K1"),
])
def test_a_slip_of_the_pen_is_answered(ask, error, words):
    """Which thing, and what is allowed."""
    with pytest.raises(error, match=words):
        ask(cl.arrangement("shared-filament-four-relays"))


# ------------------------------------------------------------------------------------------------ laws and curves

@pytest.mark.parametrize("name", cl.arrangement_names())
def test_every_law_gives_each_of_many_cases_the_word_it_gives_alone(name):
    """``aim`` and ``strain`` of every part that watches currents, in every state, at random currents of either sign."""
    chance = np.random.default_rng(30)
    for part in cl.arrangement(name).parts:
        if not part.watched:
            continue
        currents = [chance.choice([-1, 1], 300) * 10 ** chance.uniform(-4, 3, 300) for _ in part.watched]
        for state in part.states:
            words = np.full(300, "", object)
            for cases, word in walk(lambda seen: part.aim(state, state, seen), currents):
                assert (words[cases] == "").all(), "two ways through the law for one case"
                words[cases] = word
            alone = [part.aim(state, state, [float(amps[case]) for amps in currents]) for case in range(300)]
            assert words.tolist() == alone
        strain = numbers(part.strain, currents)
        assert strain == pytest.approx([part.strain([float(amps[case]) for amps in currents]) for case in range(300)],
                                       rel=1e-14)


def test_a_law_that_an_array_cannot_follow_is_called_for_each_case():
    """Such as one with a function of Python's own in it."""
    def law(currents):
        return "warm" if exp(currents[0]) > 2 else "cold"
    found = np.full(4, "", object)
    for cases, word in walk(law, [np.array([0.0, 1.0, 0.5, 2.0])]):
        found[cases] = word
    assert found.tolist() == ["cold", "warm", "cold", "warm"]


LAWS = {"filament": cl.Lamp("E1").filament, "small filament": cl.Lamp("E1", 12.0, 1.2).filament,
        "diode": cl.Diode("V1").junction, "LED lamp": cl.LedLamp("E1").junction}


@pytest.mark.parametrize("name", LAWS)
def test_the_table_of_a_device_is_its_curve(name):
    """At 4000 random volts, many of them tiny: current to 0.1 nV times the slope, slope to a thousandth, no jump."""
    law = LAWS[name]
    chance = np.random.default_rng(5)
    volts = np.concatenate([chance.uniform(-15.9, 15.9, 3000), chance.normal(0, 0.05, 1000)])
    curves = Curves([law], current, 12.6)
    currents, slopes, inside = curves.read(curves.first[0], volts)
    assert (inside == volts).all()
    for volt, amps, slope in zip(volts, currents, slopes):
        exact, steep = law.settled_current(float(volt))
        assert abs(amps - exact) < 10 * CLOSE * steep
        assert abs(slope - steep) < 1e-3 * steep
    assert (np.diff(curves.values(curves.first[0], np.sort(volts))) >= 0).all()


def test_outside_its_range_a_curve_goes_on_straight():
    """With the slope at its end, so that a search that overshoots finds its way back."""
    law = LAWS["filament"]
    curves = Curves([law], current, 12.0)
    amps, slope = law.settled_current(curves.reach)
    assert curves.values(0, np.array([curves.reach + 2.0]))[0] == pytest.approx(amps + 2 * slope, rel=1e-9)


def test_importing_the_solving_floor_does_not_open_the_sweep():
    """One point and one run need no numpy."""
    code = "import sys, circuitlab, circuitlab.solving; print('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", ["shared-filament-four-relays-hazard", "trailer-separate-to-combined"])
def test_relays_operated_beforehand_are_so_in_every_case(name):
    """Each case against itself alone; where nothing holds a relay the answer is the one without."""
    arrangement = cl.arrangement(name)
    relays = [part.name for part in arrangement.of_kind(cl.Relay)]
    chances = faults(arrangement)[::5]
    found = sweep(arrangement, changes=chances, operated=relays)
    wrong, worst, _ = differences(found, some(found, MOST))
    assert wrong == [] and worst <= CLOSE_ENOUGH
    assert (found.verdicts == sweep(arrangement, changes=chances).verdicts).mean() > 0.9


def test_a_relay_that_holds_itself_stays_operated_if_it_was():
    """Of two stable ways the sweep finds the one it is asked for; a relay that is not there gets a sentence."""
    kept = self_holding()
    before, after = (sweep(kept, operated=names).state("K1").tolist() for names in ((), ("K1",)))
    assert before.count("operated") < after.count("operated")
    with pytest.raises(UnknownName, match="K9"):
        sweep(kept, operated=["K9"])

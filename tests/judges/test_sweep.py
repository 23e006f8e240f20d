"""Sweeps before judges who know nothing of them: Kirchhoff's laws stated anew, exact fractions, LAPACK, and the clockwork
of the comparison of speeds, which must run and compare equal work."""

import importlib.util
import json
import sys
from collections import Counter
from fractions import Fraction
from pathlib import Path
from random import Random

import numpy as np
import pytest

import circuitlab as cl
from circuitlab.parts import Resistor
from circuitlab.solving import sweep

from attack.misbehaving import misbehaving
from judges.kirchhoff import NoRest, settle
from judges.linear_networks import random_network
from judges.test_linear_networks import exact_volts

BENCHMARKS = Path(__file__).parents[1] / "benchmarks"


@pytest.fixture(scope="module")
def solver():
    """Return the benchmark as a module."""
    sys.path.insert(0, str(BENCHMARKS))
    spec = importlib.util.spec_from_file_location("solver", BENCHMARKS / "solver.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    yield module
    sys.path.remove(str(BENCHMARKS))


@pytest.mark.in_turn(3, 2)
@pytest.mark.parametrize("name", ["shared-filament-four-relays-hazard", "tied-stop-and-turn", "relay-test-board"])
def test_the_judge_of_kirchhoffs_laws_finds_the_same_volts_and_states(solver, name):
    """Some sixty cases of each, faults among them, scipy on all equations at once: volts to 0.1 uV, states the same."""
    cart = cl.arrangement(name)
    found = sweep(cart, changes=solver.faults(cart))
    judged, same = 0, judging(found, cart)
    for number in Random(4).sample(range(len(found)), 60):
        arrangement, positions, phase = found.case(number)
        try:
            circuit, exact = settle(arrangement, arrangement.positions(positions), phase)
        except NoRest:
            continue
        if found.verdicts[number] != "settled":
            continue
        judged += 1
        same(number, circuit, exact)
    assert judged > 40


def judging(found, board):
    """Return what asserts that a case of a sweep is as the judge has it: states the same, volts to 0.1 uV."""
    volts = {terminal: found.volts(terminal) for terminal in board.terminals}
    states = {part.name: found.state(part.name) for part in board.parts}

    def same(number, circuit, exact):
        assert {part.name: states[part.name][number] for part in board.parts} == circuit.states
        for terminal in board.terminals:
            there, here = circuit.volts_of(terminal, exact), volts[terminal][number]
            assert (there is None) == (here is np.ma.masked), (number, terminal)
            assert there is None or abs(there - here) < 1e-7, (number, terminal)
    return same


def is_known_to_the_judge(board):
    """Tell whether the judge has a law for every part of a board."""
    return not any(part.kind == "breaker" or part.kind == "flasher" and part.heat_time
                   or getattr(part, "suppression", "none") != "none" for part in board.parts)


@pytest.mark.parametrize("seeds", [range(12), pytest.param(range(12, 180), marks=pytest.mark.full)], ids=["first", "rest"])
def test_the_judge_finds_the_same_in_circuits_that_misbehave(seeds):
    """Shorts, blown fuses, sagging supplies; and whatever the sweep says comes to no rest sends the judge in circles."""
    verdicts = Counter()
    for board in filter(is_known_to_the_judge, map(misbehaving, seeds)):
        found = sweep(board)
        same = judging(found, board)
        for number in range(len(found)):
            _, positions, phase = found.case(number)
            phase = phase if isinstance(phase, str) else next(iter(phase.values()), "on")
            verdict = str(found.verdicts[number])
            try:
                circuit, exact = settle(board, board.positions(positions), phase)
            except NoRest:
                verdicts["in circles"] += 1
                continue
            assert verdict in ("settled", "shorted"), (board.title, number)
            same(number, circuit, exact)
            verdicts[verdict] += 1
    assert min(verdicts[kind] for kind in ("settled", "shorted", "in circles")) >= len(seeds) / 20, verdicts


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("seed", range(6))
def test_a_swept_stiff_network_agrees_with_exact_fractions(seed):
    """Resistances over twelve decades, each case with others: volts to 1e-14 of themselves."""
    board, chance = random_network(Random(seed), junctions=7), Random(seed)
    changes = [tuple(cl.SetValue(part.name, "resistance", 10 ** chance.uniform(-3, 9)) for part in board.of_kind(Resistor))
               for _ in range(4)]
    found = sweep(board, changes=changes)
    for number in range(len(found)):
        for terminal, exact in exact_volts(found.case(number)[0]).items():
            here = Fraction(float(found.volts(terminal)[number]))
            assert abs(here - exact) <= abs(exact) * Fraction(1, 10**14), (terminal, float(here), float(exact))


@pytest.mark.parametrize("wirings", [1, pytest.param(10, marks=pytest.mark.full)])
def test_random_networks_of_diodes_and_lamps_all_settle(solver, wirings):
    """Alone and ten values to a wiring: no current is left over at any junction."""
    failures, count, worst = solver.sturdiness(False, wirings=wirings)
    assert (failures, count) == (0, 10 * wirings)
    assert 0 < worst < 1e-7


def test_the_judge_of_left_over_current_sees_a_microvolt(solver):
    """A volt that is off by 10 uV at one junction leaves current over."""
    board = solver.diode_network(Random(1))
    found = sweep([(board, {}, "on")])

    def wrong(terminal):
        return float(found.volts(terminal)[0]) + (1e-5 if terminal.startswith("X3:") else 0.0)
    assert solver.left_over(board, lambda terminal: float(found.volts(terminal)[0])) < 1e-7
    assert solver.left_over(board, wrong) > 1e-6


@pytest.mark.full
def test_the_twin_on_lapack_does_the_same_work(solver):
    """In short: each twin's states are the sweep's, its volts as near as its leak lets them."""
    swept = solver.sweeping(short=True)
    assert {"twin", "reduced twin"} <= set(swept["seconds"])
    assert swept["unlike"] == 0 and 0 < swept["apart"] < 0.01
    assert swept["points"] == np.prod(swept["shape"]) == sum(swept["verdicts"].values())


@pytest.mark.full
def test_the_table_and_the_figures_are_printed(solver, capsys, monkeypatch):
    """In short, with every figure there; how fast anything is, is not tested."""
    figures = solver.main(["--short"])
    said = capsys.readouterr().out
    for words in ("networks solved", "twin", "growth exponents", "exact fractions", "solve_ivp takes", "odeint", *figures):
        assert words in said
    monkeypatch.setattr(solver, "measure", lambda short, say: figures)
    solver.main(["--json"])
    assert json.loads(capsys.readouterr().out) == figures
    assert set(figures) == {"sweep_vs_lapack_twin", "sweep_vs_reduced_twin", "points_per_second", "timecourse_vs_best_solve_ivp",
                            "timecourse_vs_odeint_on_the_kits_own", "growth_exponent", "worst_relative_error", "newton_failures", "peak_mb"}
    assert figures["newton_failures"] == 0 and figures["worst_relative_error"] < 1e-14
    assert all(value > 0 for name, value in figures.items() if name != "newton_failures")

"""A thousand circuits that misbehave on purpose: solved side by side they read as they do alone, row for row.

The sweep against one operating point after another, with relays at rest and with every relay operated beforehand:
verdicts and states the same, volts of every terminal within 1 nV. Rows of the lamp table and what is seen with faults
likewise, each from the sweep however few there are, and one by one.
"""

import re
from collections import Counter
from dataclasses import replace
from random import Random

import pytest

import circuitlab as cl
from circuitlab.reasoning import rows_at_once
from circuitlab.arrangements.rows import rows_of
from circuitlab.reasoning import observing
from circuitlab.reasoning.faults import batches, single_faults
from circuitlab.reasoning.rows import row_of
from circuitlab.solving import sweep

from attack.misbehaving import misbehaving
from read_alone import CLOSE_ENOUGH, differences

ALL = 1000
PLAIN = 20      # what fits the plain test command
LEAST = 50      # circuits in a thousand that show each kind of trouble
KINDS = ("settled", "tripping", "shorted", "buzzing", "several stable", "floating", "blown", "remembering")


def relays_of(board):
    """Return the names of its relays. [text]"""
    return [part.name for part in board.parts if "operated" in part.states]


def attacked(seed):
    """Hold a circuit's sweep against its cases alone; return (what is unlike, kinds of trouble it shows)."""
    board, kinds, wrong, states = misbehaving(seed), set(), [], []
    for operated in dict.fromkeys(((), tuple(relays_of(board)))):
        found = sweep(board, operated=operated)
        unlike, worst, alone = differences(found, range(len(found)))
        wrong += unlike + ([f"volts are {worst:.1e} V apart"] if worst > CLOSE_ENOUGH else [])
        states.append([list(point.states.values()) for point in alone])
        for point in alone:
            kinds.add(point.verdict)
            kinds |= {"blown"} & set(point.states.values())
            if point.is_settled and any(point.is_floating(terminal) for terminal in board.terminals):
                kinds.add("floating")
        if any(point.is_settled and one != other for point, one, other in zip(alone, states[0], states[-1])):
            kinds.add("remembering")
    return [f"seed {seed}: {sentence}" for sentence in wrong[:3]], kinds


def attack(seeds, counts):
    """Attack with circuits by their seeds; return how many circuits show each kind of trouble. [1]"""
    seen, broken = Counter(), []
    for seed in seeds:
        wrong, kinds = attacked(seed)
        counts.tried += 1
        counts.held += not wrong
        broken += wrong
        seen.update(kinds)
    assert not broken, broken[:10]
    return seen


@pytest.mark.full
def test_a_sweep_of_misbehaving_circuits_reads_as_each_case_alone(counts):
    """The first of the thousand, every row and phase, with every kind of trouble among them."""
    seen = attack(range(PLAIN), counts)
    assert all(seen[kind] >= LEAST * PLAIN / ALL for kind in KINDS), seen


@pytest.mark.full
def test_the_rest_of_a_thousand_misbehaving_circuits_read_as_each_case_alone(counts):
    """Each kind of trouble in at least fifty of them, and no seed left out or twice."""
    seen = attack(range(PLAIN, ALL), counts)
    assert all(seen[kind] >= LEAST for kind in KINDS), seen


@pytest.fixture
def every_row_at_once(monkeypatch):
    """Take the rows of a table from a sweep however few there are; rows that are looked at alone are so once for both."""
    known = {}

    def once(arrangement, positions):
        rows = known.setdefault(id(arrangement), (arrangement, {}))[1]   # kept with its rows: a number is given again
        key = tuple(positions.items())
        if key not in rows:
            rows[key] = row_of(arrangement, positions)
        return rows[key]
    monkeypatch.setattr(rows_at_once, "FEW", 0)
    monkeypatch.setattr(rows_at_once, "row_of", once)
    return once


def unlike_rows(board, one_by_one):
    """Return the rows of a board that a sweep and row after row have otherwise, volts within 1 nV."""
    found = []
    for row in cl.lamp_table(board).rows:
        alone = one_by_one(board, row.positions)
        same = (row.verdict, row.sentence, row.blown) == (alone.verdict, alone.sentence, alone.blown)
        for lamp, cell in row.cells.items():
            other = alone.cells[lamp]
            same &= (cell.look, cell.wanted) == (other.look, other.wanted)
            same &= cell.volts == pytest.approx(other.volts, abs=CLOSE_ENOUGH, rel=0)
        found += [] if same else [(board.title, row, alone)]
    return found


@pytest.mark.parametrize("seeds", [range(0, PLAIN, 2), pytest.param(range(PLAIN, ALL, 2), marks=pytest.mark.full)],
                         ids=["first", "rest"])
def test_lamp_tables_of_misbehaving_circuits_are_those_of_row_after_row(every_row_at_once, counts, seeds):
    """Looks, volts, verdicts, sentences and blown fuses."""
    for seed in seeds:
        unlike = unlike_rows(misbehaving(seed), every_row_at_once)
        assert not unlike, unlike[0]
        counts.tried += 1
        counts.held += 1


def unlike_faults(seed, most):
    """Return the faults of a board, some by chance, with which rows seen at once are not those seen one by one."""
    board = misbehaving(seed)
    faults = single_faults(board)
    faults = Random(seed).sample(faults, min(most, len(faults)))
    rows = rows_of(board)
    at_once = batches.observe_all(board, rows, faults)
    return [(board.title, str(fault)) for fault, seen in zip(faults, at_once)
            if not all(map(_alike, seen, observing.observe(fault.apply(board), rows, board)))]


def _alike(one, other):
    """Tell whether the same is seen: all but the last digits of amps."""
    same = [replace(each, drawn=0.0, sentence=re.sub(r"\d+ A flow", "A flow", each.sentence)) for each in (one, other)]
    return same[0] == same[1] and one.drawn == pytest.approx(other.drawn, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("seeds", [(*range(0, PLAIN, 5), 785), pytest.param(range(PLAIN, ALL, 5), marks=pytest.mark.full)],
                         ids=["first", "rest"])
def test_faults_of_misbehaving_circuits_seen_at_once_are_those_seen_one_by_one(counts, seeds):
    """Three faults each, with every row."""
    for seed in seeds:
        unlike = unlike_faults(seed, 3)
        assert not unlike, unlike
        counts.tried += 1
        counts.held += 1

"""One circuit gets one verdict: what is seen with a fault is what the changed arrangement's own lamp table says.

Faults of the library's arrangements by chance, in every row: the verdict, its sentence, and every lamp's look. A row that
only remembers (relays operated beforehand stay so) has its own words in both and is left out.
"""

from random import Random

import pytest

import circuitlab as cl
from circuitlab.arrangements.rows import rows_of
from circuitlab.reasoning.faults import batches, observe, single_faults
from circuitlab.reasoning.rows import look_of
from circuitlab.solving import run, sweep

NAMES = [name for name in cl.arrangement_names() if cl.count_rows(cl.arrangement(name)) <= 24]
LEVELS = ("dark", "dim", "lit", "unsteady")
RESTLESS = (("hazard-third-relay", "short K1:30 to K1:86"), ("shared-filament-four-relays", "corrode W6 at F2:1 5 ohm"),
            ("flashing-line-only", "short K1:30 to K1:86"))
HAZARD = {"key": "off", "brake pedal": "released", "turn lever": "off", "hazard": "on"}


def unlike(name, fault, found):
    """Return (rows in which fault bench and lamp table differ, rows compared), from what the fault bench found. [text], [1]"""
    wrong, compared = [], 0
    for seen, row in zip(found, cl.lamp_table(fault.apply(cl.arrangement(name))).rows):
        if "stays as it was before" in row.sentence:
            continue
        compared += 1
        seen_at_all = seen.levels and seen.verdict not in ("tripping", "shorted")
        looks = [seen.verdict if 3 in lamp else look_of([LEVELS[level] for level in lamp]) for lamp in zip(*seen.levels)]
        told = (seen.verdict, seen.sentence if seen.verdict != "settled" else "", looks if seen_at_all else [])
        own = (row.verdict, row.sentence if row.verdict != "settled" else "",
               [cell.look for cell in row.cells.values()] if seen_at_all else [])
        wrong += [] if told == own else [f"{name}, {fault}, {row.positions}: {told} and {own}"]
    return wrong, compared


def compare(chosen, counts):
    """Hold the faults chosen for each arrangement against its lamp tables."""
    broken = []
    for name, faults in chosen:
        board = cl.arrangement(name)
        for fault, found in zip(faults, batches.observe_all(board, rows_of(board), faults)):
            wrong, compared = unlike(name, fault, found)
            counts.tried += compared
            counts.held += compared - len(wrong)
            broken += wrong
    assert not broken, (len(broken), broken[:5])


def test_faults_and_lamp_tables_agree(counts):
    """A fault of each arrangement by chance, and those that stall a flasher or need time to tell."""
    chosen = [(name, [Random(name).choice(single_faults(cl.arrangement(name)))]) for name in NAMES]
    for name, words in RESTLESS:
        chosen.append((name, [fault for fault in single_faults(cl.arrangement(name)) if str(fault) == words]))
        assert len(chosen[-1][1]) == 1
    compare(chosen, counts)


@pytest.mark.full
@pytest.mark.parametrize("name", NAMES)
def test_every_fifth_fault_and_its_lamp_table_agree(name, counts):
    """And whatever makes a relay or flasher find no rest may be among them."""
    compare([(name, single_faults(cl.arrangement(name))[::5])], counts)


@pytest.mark.parametrize("wire, terminal", [("W44", "X1:7"), ("W9", "F3:1")])
def test_four_relays_on_a_bad_joint_buzz_whoever_is_asked(wire, terminal):
    """Pulled in, they put cold filaments on the joint that feeds their coils: a course from rest goes on and on."""
    board = cl.LoseJoint(wire, terminal, 5.0).apply(cl.arrangement("hazard-by-diodes"))
    course = run(board, [(0.0, *item) for item in HAZARD.items()], until=2.0)
    assert (course.verdict, course.sentence) == ("buzzing", "K1, K2, K3, K4 buzz at about 143 Hz")
    seen, row = observe(board, [HAZARD], board)[0], cl.lamp_table(board).row(hazard="on")
    assert {(each.verdict, each.sentence) for each in (seen, row)} == {("buzzing", course.sentence)}
    for phase in ("on", "off"):
        point = cl.operating_point(board, HAZARD, phase)
        assert (point.verdict, point.sentence) == ("buzzing", "K1, K2, K3, K4 buzz: each move undoes itself")
    assert set(sweep(board, rows=[HAZARD]).verdicts) == {"buzzing"}
    assert f"buzzing: {course.sentence}" in {failure.seen for failure in cl.prove(board).failures}


def test_two_rivals_rest_in_two_ways_whoever_is_asked():
    """Timed alike to the microsecond they would move in step for ever; no two relays are."""
    from small_boards import rivals
    board, on = rivals(), {"switch": "on"}
    said = {(each.verdict, each.sentence) for each in
            (cl.operating_point(board, on), cl.row_of(board, on), observe(board, [on], board)[0],
             *(batches.observe_all(board, [on], [cl.SetValue("K1", "note", "x")])[0]))}
    assert said == {("several stable", "K1, K2 can come to rest in 2 ways; which one depends on which moves first")}

"""One circuit gets one verdict: what is seen with a fault is what the changed arrangement's own lamp table says.

Faults of the library's arrangements by chance, in every row: the verdict, its sentence, and every lamp's look. A row that
only remembers (relays operated beforehand stay so) has its own words in both and is left out.
"""

from random import Random

import pytest

import circuitlab as cl
from circuitlab.arrangements.rows import rows_of
from circuitlab.commands.line import main
from circuitlab.reasoning.faults import batches, observe, single_faults
from circuitlab.reasoning.rows import look_of
from circuitlab.solving import run, sweep

NAMES = [name for name in cl.arrangement_names() if cl.arrangement(name).count_rows() <= 24]
LEVELS = (0.0, 0.05, 1.0)     # a light that looks dark, dim, lit
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
        looks = ["flickers" if 3 in lamp else "pulses" if 4 in lamp else "too bright" if 5 in lamp else look_of([LEVELS[level] for level in lamp]) for lamp in zip(*seen.levels)]
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


@pytest.mark.full
@pytest.mark.parametrize("wire, terminal", [("W44", "X1:7"), ("W9", "F3:1")])
def test_four_relays_on_a_bad_joint_buzz_whoever_is_asked(wire, terminal):
    """Pulled in, they put cold filaments on the joint that feeds their coils: a course from rest goes on and on."""
    board = cl.LoseJoint(wire, terminal, 5.0).apply(cl.arrangement("hazard-by-diodes"))
    course = run(board, [(0.0, *item) for item in HAZARD.items()], until=2.0)
    assert (course.verdict, course.sentence) == ("buzzing", "K1, K2, K3, K4 buzz at about 59 Hz")
    seen, row = observe(board, [HAZARD], board)[0], cl.lamp_table(board).row(hazard="on")
    assert {(each.verdict, each.sentence) for each in (seen, row)} == {("buzzing", course.sentence)}
    point = cl.operating_point(board, HAZARD)
    assert (point.verdict, point.sentence) == ("buzzing", "K1, K2, K3, K4 buzz: each move undoes itself")
    assert sweep(board, rows=[HAZARD]).verdicts[0] == "buzzing"
    off = cl.operating_point(board, HAZARD, "off")      # with the flasher's contact open nothing loads the joint, were it ever to last
    assert off.is_settled and {off.states[name] for name in ("K1", "K2", "K3", "K4")} == {"operated"}
    assert not any(event.state == "off" for event in course.events if event.name == "K9"), "it gives up before its first flash ends"
    assert f"buzzing: {course.sentence}" in {failure.seen for failure in cl.prove(board, timing=False).failures}


def test_relays_that_a_flasher_of_its_own_pace_moves_are_no_buzzing():
    """A relay on the flasher's output for half a minute, 45 flashes: so many turns of its own would be found out."""
    course = run(cl.arrangement("flashing-line-only"), [(0.0, "key", "on"), (0.0, "turn lever", "left")], until=30.0)
    assert course.verdict == "settled" and sum((event.name, event.state) == ("K1", "operated") for event in course.events) == 45


def slow_buzzer():
    """Return a relay of 60 and 50 ms that cuts its own coil, with a lamp on its make contact and one beside it."""
    from small_boards import board
    relay = cl.Relay("K1", operate_time=0.06, release_time=0.05)
    return board("a slow buzzer", [cl.Battery("G1"), cl.toggle("S1", "switch"), relay, cl.Lamp("E1"), cl.Lamp("E2"), cl.Splice("X1", 4)],
                 [("G1:+", "S1:1"), ("S1:2", "X1:1"), ("X1:2", "K1:30"), ("K1:87a", "K1:86"), ("K1:85", "G1:-"), ("K1:87", "E1:1"),
                  ("E1:2", "G1:-"), ("X1:3", "E2:1"), ("E2:2", "G1:-")])


@pytest.mark.full
def test_slow_chatter_is_chatter_whoever_is_asked(tmp_path, capsys):
    """Point, sweep, course, row, table, fault bench, proof with and without a rule, and every command."""
    board, on = slow_buzzer(), {"switch": "on"}
    words = "K1 chatters at about 9.1 Hz"
    course, point, row = run(board, [(0.0, "switch", "on")], until=4.0), cl.operating_point(board, on), cl.row_of(board, on)
    seen = (observe(board, [on], board)[0], batches.observe_all(board, [on], [cl.SetValue("K1", "note", "x")])[0][0])
    assert {each.verdict for each in (course, point, row, *seen)} == set(sweep(board, rows=[on]).verdicts) == {"chatter"}
    assert {each.sentence for each in (course, row, *seen)} == {words}
    assert {name: cell.look for name, cell in row.cells.items()} == {"E1": "flickers", "E2": "steady"}
    assert cl.lamp_table(board).row(switch="on") == row
    assert [cl.flash(course, lamp, 0.1).look for lamp in ("E1", "E2")] == ["flickers", "steady"]
    ruled = cl.rules.with_rule(board, "E1: dark\nE2: steady when switch on, else dark")
    proofs = [cl.prove(ruled), cl.prove(board, "E1: dark\nE2: steady when switch on, else dark")]
    assert [{failure.seen for failure in proof.failures} for proof in proofs] == [{f"chatter: {words}"}] * 2
    cl.save(ruled, tmp_path / "slow.toml")
    for command in (["prove"], ["prove", "--rule", "own"], ["faults", "--most", "1"]):
        main([command[0], str(tmp_path / "slow.toml"), *command[1:]])
        assert words in " ".join(capsys.readouterr().out.split())


def test_two_rivals_rest_in_two_ways_whoever_is_asked():
    """Timed alike to the microsecond they would move in step for ever; no two relays are."""
    from small_boards import rivals
    board, on = rivals(), {"switch": "on"}
    said = {(each.verdict, each.sentence) for each in
            (cl.operating_point(board, on), cl.row_of(board, on), observe(board, [on], board)[0],
             *(batches.observe_all(board, [on], [cl.SetValue("K1", "note", "x")])[0]))}
    assert said == {("several stable", "K1, K2 can come to rest in 2 ways; which one depends on which moves first")}

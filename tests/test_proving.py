"""Proof: rows, orders and time against a rule, the paths that explain a failure, and what is refused or sampled."""

import importlib.util
import json
import re
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest

import circuitlab as cl
from circuitlab.arrangements import (Hold, LoseJoint, SetValue, SwapTerminals, arrangement, arrangement_names, changed,
                                     save)
from circuitlab.commands.line import main
from circuitlab.ground.errors import ArrangementError, CircuitLabError
from circuitlab.parts import Battery, Diode, Lamp, Relay, Wire, toggle
from circuitlab.reasoning import Limits, Rule, lamp_table, missing_path, path_to, prove, row_of
from circuitlab.reasoning.faults import single_faults
from circuitlab.reasoning.orders import stays
from circuitlab.solving import operating_point
from circuitlab.solving.network import network
from circuitlab.views.proof_words import proof_html, proof_text
from circuitlab.views.schematic import draw

from small_boards import board, buzzer, lamp_board, many_switches, rivals, self_holding, straight_short
from test_expected_rows import AT_TERMINAL_15, BREAKS, TOO_FAST

JUDGE = "turn-and-hazard-over-stop"
JUDGED = [name for name in arrangement_names() if name not in ("one-fused-lamp", "relay-test-board")]
HAZARD = arrangement("shared-filament-four-relays-hazard")


# --- the library under the one rule --------------------------------------------------------------------------------

@pytest.mark.in_turn(12)
@pytest.mark.parametrize("name", JUDGED)
def test_the_one_rule_fails_every_arrangement_in_the_rows_reasoned_by_hand_and_in_no_other(name):
    proof = prove(arrangement(name), JUDGE)
    others = TOO_FAST | AT_TERMINAL_15
    assert {tuple(row.values()) for row in proof.failing_rows} == BREAKS.get(name, set()) | others.get(name, set())
    assert proof.is_kept == (name not in BREAKS | others) and proof.is_complete and proof.silent == ()
    assert all((failure.path is not None or failure.seen == "flashes 198.0 times per minute") and failure.rule
               for failure in proof.failures)
    assert proof.orders == len(proof.table.rows), "none of them remembers"


@pytest.mark.parametrize("name", ["one-fused-lamp", "relay-test-board"])
def test_the_small_boards_keep_their_own_rule(name):
    assert prove(arrangement(name)).is_kept


@pytest.mark.in_turn(6, 1)
@pytest.mark.parametrize("change", [SwapTerminals("K1:87", "K1:87a"), Hold("K1", "operated"), Hold("K9", "off"),
                                    LoseJoint("W38", "X9:3"), Hold("F1", "blown"), Hold("E3", "blown")])
def test_a_planted_fault_is_found(change):
    assert prove(HAZARD, timing=False).is_kept
    assert not prove(changed(HAZARD, change), timing=False).is_kept


def test_another_rule_gives_another_verdict():
    """Through the diodes stop hides the turn signal: that is the other rule, and the relays break that one."""
    assert prove(arrangement("tied-through-diodes"), "stop-over-turn", timing=False).is_kept
    assert not prove(arrangement("shared-filament-rear-relays"), "stop-over-turn", timing=False).is_kept
    assert not prove(HAZARD, "turn-over-stop-over-hazard", timing=False).is_kept


# --- rate, on-share, start, colour ---------------------------------------------------------------------------------

def signals(**flasher):
    cart = arrangement("shared-filament-four-relays")
    return prove(cart.with_parts(replace(cart.part("K9"), **flasher)), JUDGE)


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("rate, kept", [(60, True), (120, True), (57, False), (126, False)])
def test_the_rate_is_judged_from_the_time_course(rate, kept):
    proof = signals(rate=float(rate))
    assert proof.is_kept == kept
    assert proof.timing.rates == pytest.approx((rate, rate), rel=1e-4)
    if not kept:
        assert all(f"flashes {rate}.0 times per minute" in failure.seen for failure in proof.failures)
        assert {failure.wanted for failure in proof.failures} == {"60 to 120 flashes per minute"}


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("share, kept", [(0.31, True), (0.74, True), (0.2, False), (0.85, False)])
def test_the_on_share_is_judged_from_the_time_course(share, kept):
    proof = signals(on_share=share)
    assert proof.is_kept == kept
    assert kept or {failure.wanted for failure in proof.failures} == {"on for 30 to 75 % of the time"}


def test_the_first_light_is_judged_at_the_worst_moment_of_the_swing():
    """A free-running flasher at 60 per minute that is on for 0.3 s: thrown as it goes off, volts come 0.7 s later.

    A little more, where the relay lands just too late; and the filament shows its first light some 70 ms behind them.
    """
    proof = signals(rate=60.0, on_share=0.3)
    assert proof.is_kept and 0.76 < proof.timing.first_light < 0.79
    slow = Rule(("rear left: flash when turn left, else steady when stop",), limits=Limits(first_light=0.4))
    cart = arrangement("shared-filament-four-relays")
    late = prove(cart.with_parts(replace(cart.part("K9"), rate=60.0, on_share=0.3)), slow)
    assert late.failures and all("first light within 0.4 s" in failure.wanted for failure in late.failures)


def test_first_light_is_the_light_and_not_the_volts():
    """A lever straight onto the flasher's output: volts come at once, light when the filament's own course says so."""
    cart = arrangement("separate-filaments")
    course = cl.run(cart, [(0.5, "turn lever", "left")], 1.0, {"key": "on"})
    shines = next(time for time, light in zip(course.times, course.light["E3"]) if light > 0.01)
    waited = prove(cart).timing.first_light
    assert 0.04 < shines - 0.5 < 0.1 and abs(waited - (shines - 0.5)) < 0.02


def test_the_colour_of_a_lamps_light_is_judged_where_the_rule_names_one():
    cart = arrangement("separate-filaments")
    red = changed(cart, SetValue("E5", "light", "red"))
    assert prove(red, "separate-lamps", timing=False).is_kept
    failure, = prove(red, "separate-lamps-amber-turn", timing=False).failures
    assert (failure.lamp, failure.wanted, failure.positions) == ("E5", "amber light", {})


def test_a_fuse_that_blows_in_a_row_breaks_any_rule():
    proof = prove(lamp_board(fuse=1.0), "E1: dark")
    assert "F1 blows" in {failure.seen for failure in proof.failures}


# --- orders --------------------------------------------------------------------------------------------------------

def test_a_relay_that_holds_itself_is_judged_in_every_way_the_row_is_reached():
    """After start was pressed and let go, the lamp stays: the rule that forgets this is broken in that order only."""
    proof = prove(self_holding(), "E1: steady when start on and stop off")
    failure, = proof.failures
    assert failure.positions == {"start": "off", "stop": "off"} and failure.seen.startswith("steady")
    assert failure.throws == (("start", "on"), ("start", "off")) and "K1" in failure.path.names
    assert "after start on, then start off" in failure.sentence
    assert proof.orders == 5 and len(proof.table.rows) == 4


def test_every_order_of_throwing_is_walked_through():
    """Against all sequences of up to four throws, played one after the other."""
    circuit = self_holding()
    reached = {(tuple(stay.positions.values()), stay.operated[-1]) for ways in stays(circuit).values() for stay in ways}
    played = set()
    for throws in product([("start", "on"), ("start", "off"), ("stop", "on"), ("stop", "off")], repeat=4):
        where, operated = circuit.positions(), frozenset()
        for control, position in throws:
            where = {**where, control: position}
            point = operating_point(circuit, where, operated=operated)
            operated = frozenset(name for name, state in point.states.items() if state == "operated")
            played.add((tuple(where.values()), operated))
    assert reached == played


def test_a_lever_passes_off_on_its_way_from_left_to_right():
    for ways in stays(arrangement("shared-filament-four-relays")).values():
        for stay in ways:
            levers = ["off", *(position for control, position in stay.throws if control == "turn lever")]
            assert not any({one, two} == {"left", "right"} for one, two in zip(levers, levers[1:]))


# --- verdicts, samples, refusals -----------------------------------------------------------------------------------

@pytest.mark.parametrize("circuit, rule, words", [
    (buzzer, None, "buzzing: K1 buzzes"), (rivals, None, "several stable"), (straight_short, None, "shorted")])
def test_a_row_that_does_not_settle_is_a_verdict(circuit, rule, words):
    made = circuit()
    lit = [Lamp("E9"), *made.parts]
    made = replace(made, parts=tuple(lit), wires=(*made.wires, Wire("W91", "G1:+", "E9:1"), Wire("W92", "E9:2", "G1:-")))
    proof = prove(made, "E9: steady")
    failure, = proof.failures
    assert failure.positions == {"switch": "on"} and words in failure.seen and failure.lamp == ""
    assert words in proof_text(proof)


def test_more_than_sixteen_switches_are_refused_with_what_it_would_take_and_a_sample_is_offered():
    with pytest.raises(ArrangementError, match="131072 rows from 17 controls.*some .* hours.*sample=1000"):
        prove(many_switches(17), "E1: steady when switch 0")
    proof = prove(many_switches(17), "E1: steady when switch 0", sample=40)
    assert proof.is_kept and not proof.is_complete and len(proof.table.rows) == 40 and proof.all_rows == 131072
    assert "this is no proof" in proof_text(proof)
    assert not prove(many_switches(17), "E1: steady when switch 1", sample=40).is_kept


def test_a_sample_is_the_same_for_the_same_seed_and_never_larger_than_the_table():
    first, same, other = (prove(HAZARD, sample=10, seed=seed, timing=False).table.rows for seed in (1, 1, 2))
    assert [row.positions for row in first] == [row.positions for row in same] != [row.positions for row in other]
    assert prove(lamp_board(), "E1: steady when switch", sample=50).is_complete
    for wrong in (0, -1, 2.5, True):
        with pytest.raises(ArrangementError, match="a sample is a number of rows"):
            prove(HAZARD, sample=wrong)


def test_progress_is_told_of_rows_orders_and_time_courses_and_can_stop_each(monkeypatch):
    monkeypatch.setattr("circuitlab.reasoning.rows_at_once.TOGETHER", 5)
    cart, told = arrangement("shared-filament-four-relays"), []
    proof = prove(cart, progress=lambda *far: told.append(far))
    rows, orders, courses = ([far[:2] for far in told if far[2] == what] for what in ("rows", "orders", "time courses"))
    assert rows == [(5, 12), (10, 12), (12, 12)] and courses == [(done, 12) for done in range(1, 13)]
    assert [done for done, _ in orders] == list(range(1, proof.orders + 1)) and orders[-1] == (proof.orders, proof.orders)
    assert [far[2] for far in told] == sorted((far[2] for far in told), key=("rows", "orders", "time courses").index)
    for what, sentence in (("rows", "5 of 12 rows"), ("orders", "1 of . orders"), ("time courses", "1 of 12 time courses")):
        with pytest.raises(CircuitLabError, match=f"^stopped after {sentence}: nothing is proved"):
            prove(cart, progress=lambda done, total, of: of != what)


@pytest.mark.in_turn(21, 5)
@pytest.mark.parametrize("name", arrangement_names())
def test_rows_solved_at_once_are_those_solved_alone(name, monkeypatch):
    """Healthy and with faults that short, hold, blow and buzz: all words the same, volts within 1 nV."""
    monkeypatch.setattr("circuitlab.reasoning.rows_at_once.FEW", 0)
    healthy = arrangement(name)
    for each in (healthy, *(fault.apply(healthy) for fault in single_faults(healthy)[3::31])):
        for row in lamp_table(each).rows:
            alone = row_of(each, row.positions)
            assert (row.verdict, row.sentence, row.blown) == (alone.verdict, alone.sentence, alone.blown)
            assert row.cells.keys() == alone.cells.keys()
            for lamp, cell in row.cells.items():
                assert (cell.look, cell.wanted) == (alone.cells[lamp].look, alone.cells[lamp].wanted)
                assert cell.volts == pytest.approx(alone.cells[lamp].volts, rel=0, abs=1e-9)


def test_an_arrangement_without_a_rule_asks_for_one():
    with pytest.raises(ArrangementError, match="has no rule of its own"):
        prove(lamp_board())


# --- paths ---------------------------------------------------------------------------------------------------------

def chained(circuit, path):
    """Check that the steps hang together from plus to minus; current at every step; no step passes the battery."""
    place = network(circuit).point_of
    assert path.steps[0].start == "G1:+" and path.steps[-1].end == "G1:-"
    for one, two in zip(path.steps, path.steps[1:]):
        assert place[one.end] == place[two.start]
    assert path.lamp in path.names and "G1" not in path.names


@pytest.mark.in_turn(7, 2)
@pytest.mark.parametrize("name", JUDGED)
def test_the_path_of_every_lit_lamp_carries_its_current_from_plus_to_minus(name):
    circuit = arrangement(name)
    for positions in product(*(control.positions for control in circuit.controls)):
        point = operating_point(circuit, dict(zip((control.name for control in circuit.controls), positions)))
        for lamp in circuit.of_kind(Lamp):
            path = path_to(point, lamp.name)
            chained(circuit, path)
            if point.light(lamp.name) > 0.25:
                assert path.reached and not path.open_places and not path.is_backwards
                assert all(step.amps > min(0.05, 0.9 * abs(point.current(lamp.name))) for step in path.steps)
                for step in path.steps:
                    if step.name.startswith("W"):
                        flow = point.current(step.name)
                        wire = circuit.part(step.name)
                        assert (step.start, step.end) == ((wire.start, wire.end) if flow > 0 else (wire.end, wire.start))
                        assert step.amps == pytest.approx(abs(flow))


@pytest.mark.in_turn(9, 2)
@pytest.mark.parametrize("name", JUDGED)
def test_the_path_of_every_dark_lamp_would_light_it_once_its_open_places_are_bridged(name):
    circuit = arrangement(name)
    for positions in product(*(control.positions for control in circuit.controls)):
        point = operating_point(circuit, dict(zip((control.name for control in circuit.controls), positions)))
        dark = [lamp.name for lamp in circuit.of_kind(Lamp) if point.light(lamp.name) < 0.01]
        for lamp in dark[:1]:
            path = missing_path(point, lamp)
            chained(circuit, path)
            assert path.open_places and not path.reached
            bridges = [Wire(f"W{900 + number}", step.start, step.end) for number, step in enumerate(path.open_places)]
            held = tuple((part.name, point.states[part.name]) for part in circuit.parts
                         if part.kind in ("relay", "switch") or part.kind == "flasher")
            bridged = replace(circuit, wires=circuit.wires + tuple(bridges), held=held)
            assert operating_point(bridged, point.positions).light(lamp) > 0.2, (positions, lamp, path.sentence)


def test_the_way_through_the_tie_is_told_wire_by_wire():
    point = operating_point(arrangement("tied-stop-and-turn"), {"brake pedal": "held"})
    path = path_to(point, "E3")
    assert path.names == ("W1", "F1", "W2", "S2", "W3", "X2", "W4", "X3", "W14", "E3", "W18", "X1", "W21")
    assert "gets 11.9 V by G1:+ W1 F1:1-2 W2 S2:1-2 W3 X2:1-2 W4 X3:1-4 W14 E3:1-2 W18 X1:3-6 W21 G1:-" in path.sentence


def test_a_lost_ground_sends_current_backwards_through_other_lamps():
    """The trailer's white wire is open: stop runs through the tail lamps of trailer and cart to the cart's ground."""
    circuit = changed(arrangement("trailer-separate-to-combined"), LoseJoint("W48", "X23:2"))
    proof = prove(circuit, JUDGE, timing=False)
    stop = {"key": "off", "brake pedal": "held", "turn lever": "off", "tail lamps": "off"}
    by_lamp = {failure.lamp: failure for failure in proof.of_row(stop)}
    assert set(by_lamp) == {"E7", "E8", "E9", "E10"}
    assert by_lamp["E7"].seen.startswith("dark") and [step.name for step in by_lamp["E7"].path.open_places] == ["W48"]
    assert by_lamp["E7"].detour.through == ("E9", "E10") and by_lamp["E7"].detour.is_backwards
    glow = by_lamp["E9"].path
    assert by_lamp["E9"].seen.startswith("dim") and glow.is_backwards and "E10" in glow.through
    assert next(step for step in glow.steps if step.name == "E9").is_backwards
    assert "backwards through E9" in glow.sentence and "a joint is lost" in by_lamp["E7"].path.sentence
    assert not {"E1", "E2", "E5", "E6"} & {failure.lamp for failure in proof.failures}, "the cart itself is unharmed"


def test_current_through_a_coil_is_told():
    """A coil that finds its ground through a lamp."""
    circuit = board("a coil before a lamp", [Battery("G1"), toggle("S1", "switch"), Relay("K1"), Lamp("E1")],
                    [("G1:+", "S1:1"), ("S1:2", "K1:86"), ("K1:85", "E1:1"), ("E1:2", "G1:-")])
    path = path_to(operating_point(circuit, {"switch": "on"}), "E1")
    assert path.reached and path.through == ("K1",) and path.is_backwards and "passes K1 on its way" in path.sentence


def test_a_diode_the_wrong_way_is_an_open_place():
    circuit = board("a diode", [Battery("G1"), Diode("V1"), Lamp("E1")],
                    [("G1:+", "V1:K"), ("V1:A", "E1:1"), ("E1:2", "G1:-")], ())
    path = missing_path(operating_point(circuit), "E1")
    assert [step.name for step in path.open_places] == ["V1"] and "V1 blocking" in path.sentence


def test_a_lamp_that_no_wire_reaches_is_told_so():
    circuit = board("nothing", [Battery("G1"), Lamp("E1")], [("E1:2", "G1:-")], ())
    assert "no wiring leads from G1:+ to E1:1" in path_to(operating_point(circuit), "E1").sentence


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("change, open_place", [
    (LoseJoint("W27", "E1:1"), "W27"), (Hold("F2", "blown"), "F2"), (Hold("E1", "blown"), "E1"),
    (LoseJoint("W36", "X9:1"), "W36"), (Hold("K9", "off"), "K9")])
def test_a_lamp_that_misses_its_flash_is_told_where_the_current_stops(change, open_place):
    circuit = changed(HAZARD, change)
    row = {**HAZARD.positions(), "key": "on", "turn lever": "left"}
    failure = next(failure for failure in prove(circuit, timing=False).of_row(row) if failure.lamp == "E1")
    assert open_place in [step.name for step in failure.path.open_places]
    assert open_place in failure.path.sentence


# --- as text, as a page, on the command line -----------------------------------------------------------------------

def test_the_text_holds_the_rule_its_source_and_each_failure_with_its_path():
    proof = prove(arrangement("tied-stop-and-turn"), JUDGE)
    text = proof_text(proof)
    assert "SAE J586" in text and "8 of them break the rule" in text
    for failure in proof.failures:
        assert f"* {failure.sentence}" in text and failure.path.sentence in text


def test_the_page_opens_each_row_on_its_schematic_and_no_id_is_there_twice():
    page = proof_html(prove(arrangement("tied-stop-and-turn"), JUDGE, timing=False), pictures=3)
    assert page.count("<svg") == 3 and page.count("<details>") == 8 and "9 more rows without" in page
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids)) > 50
    assert proof_html(prove(lamp_board(), "E1: steady when switch")).count("<svg") == 2
    assert "&lt;" in proof_html(prove(replace(lamp_board(), title="a <b> lamp"), "E1: steady when switch"))


def test_a_failing_row_shows_its_path_on_a_band_and_what_stops_it_on_beads():
    """As a board says them; the names are those of the path, spoken and written."""
    proof = prove(changed(arrangement("one-fused-lamp"), Hold("F1", "blown")), timing=False)
    (failure,) = proof.failures
    page = proof_html(proof)
    assert page.count('class="trace"') > 3 and page.count('class="marked"') == 1 and "Marked, on beads: F1." in page
    traced = page.split("Traced, on a grey band: ")[1].split(".")[0].split(", ")
    assert set(traced) == set(failure.path.names)
    assert proof.sight(failure.positions) is proof.sight(failure.positions)


@pytest.mark.parametrize("words, code", [
    (["one-fused-lamp", "--rule", "own"], 0), (["shared-filament-four-relays", "--rule", JUDGE], 0),
    (["tied-stop-and-turn", "--rule", JUDGE], 1), (["tied-stop-and-turn"], 1),
    (["shared-filament-four-relays", "--rule", "rear left: steady when stop"], 1),
    (["shared-filament-four-relays", "--rule", "rear lft: steady when stop"], 2),
    (["shared-filament-four-relays", "--rule", "no-such-rule"], 2), (["one-fused-lamp", "--sample", "1"], 0),
    (["one-fused-lamp", "--sample", "0"], 2)])
def test_the_command_leaves_with_the_verdict(words, code, capsys):
    assert main(["prove", *words]) == code
    said = capsys.readouterr()
    assert (said.err != "") == (code == 2) and "Traceback" not in said.err
    if "--rule" in words and code < 2:
        assert ("Not kept" in said.out) == (code == 1) and (" path" in said.out) == (code == 1)


def test_the_command_proves_a_file_with_a_buzzing_row_and_one_with_too_many_rows(tmp_path, capsys):
    save(replace(buzzer(), parts=(*buzzer().parts, Lamp("E1")), wires=(*buzzer().wires, Wire("W8", "G1:+", "E1:1"),
                                                                       Wire("W9", "E1:2", "G1:-"))), tmp_path / "b.toml")
    assert main(["prove", str(tmp_path / "b.toml"), "--rule", "E1: steady"]) == 1
    assert "buzzing: K1 buzzes" in capsys.readouterr().out
    save(many_switches(17), tmp_path / "many.toml")
    assert main(["prove", str(tmp_path / "many.toml"), "--rule", "E1: steady when switch 0"]) == 2
    assert "sample" in capsys.readouterr().err
    assert main(["prove", str(tmp_path / "many.toml"), "--rule", "E1: steady when switch 0", "--sample", "9"]) == 0


def test_a_rule_file_of_ones_own_is_read(tmp_path, capsys):
    own = tmp_path / "mine.toml"
    own.write_text('format = 1\ntitle = "mine"\nsentences = ["load bed: steady when lamp switch"]\n')
    assert main(["prove", "one-fused-lamp", "--rule", str(own)]) == 0
    assert "Rule: mine" in capsys.readouterr().out


# --- speed ---------------------------------------------------------------------------------------------------------

def test_the_benchmark_runs_in_short_and_both_sides_agree(capsys):
    path = Path(__file__).parent / "benchmarks" / "proving.py"
    spec = importlib.util.spec_from_file_location("proof_benchmark", path)
    benchmark = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(benchmark)
    (said,) = benchmark.main(["--short"])
    assert said["same"] and said["rows"] == 2 and said["ratio of points"] > 0 and "x the proof" in capsys.readouterr().out
    assert json.loads((benchmark.main(["--short", "--json"]), capsys.readouterr().out)[1])[0]["arrangement"] == "one-fused-lamp"


TOO_LITTLE = "K9 has too little load to swing: it needs 10 W. Its lamps stay dark"


def test_a_flasher_s_own_remark_stands_with_the_rows_that_fail():
    """LED lamps on a flasher that needs 10 W: the proof says why they stay dark, in text and on the page."""
    proof = cl.prove(changed(cl.arrangement("led-lamps-no-load"), SetValue("K9", "least_load", 10.0)), timing=False)
    assert len(proof.failures) == 8
    for failure in proof.failures:
        (remark,) = failure.remarks
        assert remark == TOO_LITTLE
    assert proof.text(table=False).count("beside it: K9 has too little load to swing") == 8
    assert "too little load to swing" in proof.html()
    assert not any(failure.remarks for failure in cl.prove(cl.arrangement("tied-stop-and-turn"), timing=False).failures)


def test_led_lamps_make_a_flasher_with_lamp_out_sensing_too_fast_and_the_proof_says_why():
    """At 2.2 times its 90 a minute, as flasher chips' sheets say, in every row in which a lamp flashes and in no other."""
    proof = cl.prove(cl.arrangement("led-lamps-no-load"))
    assert len(proof.failures) == 8 and len(proof.failing_rows) == 4
    assert all("flashes 198.0 times per minute, wanted 60 to 120" in failure.sentence for failure in proof.failures)
    assert all(failure.remarks == ("K9 feeds 0.35 A of its 3.50 A, so it flashes 2.2 times as fast: a lamp is out, or too weak for it",)
               for failure in proof.failures)


def test_a_row_that_time_decides_is_proved_without_a_path():
    """A relay whose 30 touches its 85: no point with the flasher on is at rest, and in time the fuse leaves the lamps dark."""
    broken = changed(cl.arrangement("shared-filament-four-relays"), cl.changes.Short("K3:30", "K3:85"))
    row = next(row for row in cl.lamp_table(broken).rows if "over time" in row.sentence)
    found = cl.prove(broken, timing=False).of_row(row.positions)
    lamps = [failure for failure in found if failure.lamp]
    assert [failure.seen for failure in found if not failure.lamp] == ["F2 blows"]
    assert {failure.lamp for failure in lamps} == {lamp for lamp, cell in row.judged.items() if not cell.keeps_rule} == {"E1", "E3"}
    assert all(failure.path is None and failure.seen == row.cells[failure.lamp].look for failure in lamps)


def test_a_proof_says_how_to_read_its_table_and_its_last_line():
    """Empty cells of a terminal as on the build sheet; filaments only where the table speaks of them."""
    cart = cl.arrangement("shared-filament-four-relays")
    proof, alone = cl.prove(cart), cl.lamp_table(cart)
    empty = "Where the column of a terminal is empty, nothing is asked there in that row."
    said = proof.text()
    assert said.count(empty) == 1 and said.index("S1:15") < said.index(empty) < said.index("Rule:")
    assert "first light, when a lamp that is to flash begins to glow, at most 0." in said and "As a filament settles" not in said
    for text in (str(alone), alone._repr_html_()):
        assert "as each filament settles" in text and text.count("As a filament settles: by the light it comes to") == 1
        assert empty in text
    assert empty not in str(cl.lamp_table(cl.arrangement("one-fused-lamp")))

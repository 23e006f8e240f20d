"""Rules that name a terminal: what a sentence means, how a meter and a test lamp judge it, and where it is told."""

import re
from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import AddWire, RemovePart, Wanted, arrangement, changed, read_text, write_text
from circuitlab.benches.board.desk import Desk
from circuitlab.commands.line import main
from circuitlab.ground.errors import ArrangementError, CircuitLabError, FileError, UnknownName
from circuitlab.parts import Battery, Diode, Lamp, Splice, Wire, toggle
from circuitlab.solving import operating_point
from circuitlab.reasoning import lamp_table, prove, rule, rule_sentence, with_rule
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.arrangements.naming import renamed
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.views.proof_words import proof_html, proof_text

from small_boards import board, flasher_board, lamp_board, self_holding
from test_build_sheet import heads, page, rows

CART = arrangement("hazard-two-pole-switch")
SLEEPS = "S1:15: dead when key off"
WOKEN = {("off", pedal, lever, "on") for pedal in ("released", "held") for lever in ("left", "right")}


def ruled(circuit, *lines):
    """Return a circuit with lines of its own besides those it has."""
    return replace(circuit, rule=(*circuit.rule, *lines))


# --- what a sentence means -----------------------------------------------------------------------------------------

def test_a_terminal_is_asked_for_in_the_rows_that_fit_and_in_no_other():
    made = with_rule(CART, SLEEPS)
    asked = {tuple(row.positions.values()): made.wanted("S1:15", row.positions) for row in lamp_table(CART).rows}
    assert all(look == ("dead" if row[0] == "off" else None) for row, look in asked.items())
    assert made.ruled_terminals == ("S1:15",) and made.unruled == ("E1", "E2", "E3", "E4")
    whole = with_rule(CART, f"{SLEEPS}, else live")
    assert {whole.wanted("S1:15", row.positions) for row in lamp_table(CART).rows} == {"dead", "live"}


@pytest.mark.parametrize("sentence", [
    SLEEPS, "S1:15: live when key on", f"{SLEEPS}, else live", "K9:49a: flash when hazard on, else dead",
    "S1:15: dead when key off and not turn lever left"])
def test_a_terminals_sentence_reads_back_from_the_record_and_from_the_file(sentence):
    made = with_rule(CART, sentence)
    name = made.rule[0].lamp
    assert with_rule(CART, rule_sentence(made, name)).rule == made.rule
    text = write_text(made)
    assert f'terminal = "{name}"' in text and "lamp = " not in text
    assert read_text(text, made.name) == made


def test_lines_about_one_terminal_may_share_its_rows_out_and_may_not_contradict_each_other():
    made = with_rule(CART, f"{SLEEPS}\nS1:15, S3:15: live when key on")
    assert [made.wanted(name, {"key": key}) for name in ("S1:15", "S3:15") for key in ("off", "on")] == [
        "dead", "live", None, "live"]
    with pytest.raises(ArrangementError, match="two lines contradict each other about S1:15: with key off.*asks for dead"):
        with_rule(CART, f"{SLEEPS}\nS1:15: live when hazard on")


@pytest.mark.parametrize("text, error, words", [
    ("S1:16: dead", UnknownName, r"'S1:16: dead': switch 'S1' has no terminal '16'. It has: 30, 15. Did you mean '15'"),
    ("S7:15: dead", UnknownName, r"'S7:15: dead': arrangement 'hazard-two-pole-switch' has no part 'S7'"),
    ("S1: dead", UnknownName, r"has no lamp 'S1'.* A rule may name a terminal as well: S1:30 or S1:15\."),
    ("W8: dead", UnknownName, r"A rule may name a terminal as well: S1:15 or S3:15\."),
    ("S1:15: dark", ArrangementError, r"the terminal 'S1:15' cannot be dark. A terminal may be live, flash or dead"),
    ("S1:15: daed", UnknownName, r"no choice 'daed'. It has: live, flash, dead. Did you mean 'dead'"),
    ("E1: live", ArrangementError, r"the lamp 'E1' cannot be live. A lamp may be flash, steady or dark")])
def test_what_no_terminal_can_be_is_refused_in_one_sentence(text, error, words):
    with pytest.raises(error, match=words):
        with_rule(CART, text)


@pytest.mark.parametrize("line, words", [
    ('terminal = "S1:16"', "the rule speaks of 'S1:16', but switch 'S1' has no terminal '16'"),
    ('terminal = "S1"', "a rule speaks of a lamp or of a terminal"), ("terminal = 3", "a rule speaks of a lamp or of a terminal"),
    ('terminal = "S1:15"\nlamp = "E1"', "a rule speaks of a lamp or of a terminal")])
def test_a_file_whose_rule_names_no_terminal_says_so(line, words):
    text = write_text(lamp_board()).replace("# End", f'[[rule]]\n{line}\nlook = "dead"\nwhen = {{}}\n\n# End')
    with pytest.raises(CircuitLabError, match=words):
        read_text(text)
    with pytest.raises(FileError, match="a rule has no 'look'"):
        read_text(write_text(lamp_board()).replace("# End", '[[rule]]\nterminal = "S1:1"\n\n# End'))


def test_records_refuse_another_look_take_old_markings_and_follow_their_part():
    with pytest.raises(ArrangementError, match="the rule for 'S1:1' asks for 'dark'. It may ask for live, flashing or dead"):
        ruled(lamp_board(), Wanted("S1:1", "dark"))
    old = ruled(flasher_board(), Wanted("K9:X", "live", {"supply": "on"}))
    assert old.rule[0].lamp == "K9:49" and prove(replace(old, rule=old.rule), timing=False).is_kept
    assert renamed(CART, {"S1": "S9"}).ruled_terminals == ("S9:15",)
    assert changed(CART, RemovePart("S1")).ruled_terminals == ()


def test_a_rule_for_what_is_fitted_passes_over_a_terminal_that_is_not_there():
    own = replace(rule("turn-and-hazard-over-stop"), sentences=("rear left: dark", "S8:15: dead when key off"))
    assert [line.lamp for line in with_rule(CART, own).rule] == ["E1"]
    with pytest.raises(UnknownName, match="no part 'S8'"):
        with_rule(CART, replace(own, if_fitted=False))


# --- how it is judged ----------------------------------------------------------------------------------------------

def leaky(**diode):
    """A lamp on a switch, and a point X1 fed by a blocked diode alone; X2 hangs on nothing."""
    parts = [Battery("G1"), toggle("S1", "switch"), Lamp("E1"), Diode("V1", **diode), Splice("X1"), Splice("X2")]
    return board("a leaky diode", parts, [("G1:+", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "G1:-"), ("G1:+", "V1:K"), ("V1:A", "X1:1")])


@pytest.mark.parametrize("leakage, look, remark", [
    (1e-9, "dead", ""), (1e-4, "ghost", "a meter shows"), (0.01, "ghost", "a meter shows")])
def test_a_ghost_keeps_dead_with_a_remark_and_never_live(leakage, look, remark):
    """At 10 mA for 12 V the diode is 1.2 kilohm: a meter of 10 megohm shows all volts, a test lamp of 48 ohm 0.5 V of them."""
    made = leaky(leakage=leakage, highest_leakage=leakage)
    cell = lamp_table(with_rule(made, "X1:1: dead")).rows[0].terminals["X1:1"]
    assert (cell.look, cell.keeps_rule) == (look, True) and cell.remark.startswith(remark) and bool(cell.remark) == bool(remark)
    proof = prove(with_rule(made, "X1:1: dead"), timing=False)
    assert proof.is_kept and ("a ghost" in proof_text(proof)) == ("a ghost" in proof_html(proof, pictures=0)) == bool(remark)
    assert not prove(made, "X1:1: live", timing=False).is_kept


def test_what_only_the_highest_leakage_makes_a_ghost_is_told_too():
    cell = lamp_table(with_rule(leaky(leakage=1e-9, highest_leakage=1e-4), "X1:1: dead")).rows[0].terminals["X1:1"]
    assert cell.look == "dead" and cell.remark.startswith("a meter may show up to ") and cell.highest > 1.0


def test_floating_keeps_dead_and_live_and_flashing_are_held_in_every_phase():
    cart = arrangement("shared-filament-four-relays")       # its flasher runs freely while the key is on
    kept = {"K9:49a: flash when key on": True, "K9:49a: dead when key on": False, "K9:49a: live when key on": False,
            "K9:49: live when key on, else dead": True, "K9:49: flash when key on": False, "E1:2: dead": True}
    assert {text: prove(cart, text, timing=False).is_kept for text in kept} == kept
    assert lamp_table(with_rule(leaky(), "X2:1: dead")).rows[0].terminals["X2:1"].look == "floating"
    assert prove(leaky(), "X2:1: dead", timing=False).is_kept and not prove(leaky(), "X2:1: live", timing=False).is_kept


def test_the_failing_row_tells_rule_and_way_and_where_a_terminal_is_not_reached_what_stops_it():
    proof = prove(CART, SLEEPS, timing=False)
    assert {tuple(failure.positions.values()) for failure in proof.failures} == WOKEN
    failure = proof.failures[0]
    assert (failure.lamp, failure.wanted, failure.seen) == ("S1:15", "dead", "live at 12.3/12.6 V")
    assert failure.path.names[-4:] == ("X4", "W13", "S3", "W8") and failure.path.terminals[-1] == "S1:15"
    assert "test lamp (at S1:15) gets 12.5 V by G1:+ W9 F3:1-2" in proof_text(proof) and SLEEPS in proof_text(proof)
    missed = prove(lamp_board(), "S1:2: live", timing=False).failures
    assert [failure.positions for failure in missed] == [{"switch": "off"}]
    assert "stopped at S1:1 to 2, open while switch is off" in missed[0].path.sentence


def test_a_terminal_is_judged_in_every_way_a_row_is_reached():
    """The relay holds itself after start was let go: its coil is live in that order of throwing only."""
    proof = prove(self_holding(), "E1: steady when start on and stop off\nK1:86: dead when start off", timing=False)
    told = {(failure.lamp, failure.throws) for failure in proof.failures}
    assert told == {(name, (("start", "on"), ("start", "off"))) for name in ("E1", "K1:86")}


def test_where_only_time_decides_a_terminal_is_told_as_it_settles():
    """Lever left, 30 of the front relay touching its coil's minus: pulled in it shorts the flasher's supply, and the fuse goes
    after 23 ms. At no operating point with the flasher on is anything at rest; with the fuse gone all behind it is dead.
    """
    rule = "K9:49a: dead when turn lever left\nF2:1: live when turn lever left\nK9:49: live when turn lever left"
    board = with_rule(arrangement("shared-filament-four-relays"), rule)
    touching = next(fault for fault in single_faults(board) if fault.words == "K3:30 touches K3:85").apply(board)
    row = lamp_table(touching).row(key="on", turn_lever="left")
    assert row.verdict == "settled" and "F2" in row.blown
    looks = {name: (cell.look, cell.keeps_rule) for name, cell in row.terminals.items()}
    assert looks["F2:1"] == ("live", True) and looks["K9:49a"][1] and not looks["K9:49"][1]
    assert {looks[name][0] for name in ("K9:49", "K9:49a")} <= {"dead", "floating"}
    later = cl.run(touching, [(0.0, *item) for item in row.positions.items()], until=3.0).at(2.9)
    assert {name: later.liveness(name) for name in looks} == {name: look for name, (look, _) in looks.items()}
    failing = [failure.lamp for failure in prove(touching, timing=False).failures if failure.positions == row.positions]
    assert "K9:49" in failing and "K9:49a" not in failing
    line = cl.fault_table(board, faults=[fault for fault in single_faults(board) if fault.words == "K3:30 touches K3:85"]).lines[0]
    number = [each.positions for each in lamp_table(board).rows].index(row.positions)
    assert "K9:49" in line.effects[number].terminals and "K9:49a" not in line.effects[number].terminals


def test_rows_solved_at_once_judge_terminals_as_those_solved_alone(monkeypatch):
    monkeypatch.setattr("circuitlab.reasoning.rows_at_once.FEW", 0)
    for made in (CART, with_rule(arrangement("hazard-by-diodes"), "S1:15, S3:L: dead when key off\nK9:49a: flash when hazard on")):
        for row in lamp_table(made).rows:
            alone = cl.row_of(made, row.positions).terminals
            assert row.terminals.keys() == alone.keys()
            for name, cell in row.terminals.items():
                assert (cell.look, cell.wanted) == (alone[name].look, alone[name].wanted)
                assert cell.volts == pytest.approx(alone[name].volts, rel=0, abs=1e-9)


# --- where it is told ----------------------------------------------------------------------------------------------

def test_tables_have_a_column_for_it_and_the_summary_counts_it():
    table = lamp_table(CART)
    text, page_ = table.text(), table.html()
    assert text.splitlines()[2] == ("As listed, this circuit does not do what its rule asks in 4 of 24 rows, first with key off, brake "
                                    "pedal released, turn lever left, hazard on: S1:15 live, wanted dead.")
    assert "S1:15" in text.splitlines()[4] and "* live 12.3/12.6 V (rule: dead)" in text and "4 of them break the rule" in text
    assert re.search('<th scope="col"[^>]*>S1:15</th>', page_) and page_.count("(rule: dead)") == 4
    assert "every lamp and terminal keeps its rule" in lamp_table(arrangement("hazard-third-relay")).text()


def said(desk):
    """Return what a board says of the line it is set to. [text]"""
    return " ".join(list(desk.hear({"kind": "rows"}))[-1]["said"])


def test_the_board_of_a_proof_says_the_way_to_the_terminal():
    told = said(Desk(prove(CART, timing=False)))
    assert all(f" {name}" in told for name in ("S4:", "W13 ", "W8 ")) and "S1:15 live" in told


def test_the_tick_sheet_has_a_column_for_the_test_lamp():
    second = page(build_sheet(CART))[1]
    assert heads(second, "rows")[-2:] == ["test lamp at S1:15", "seen"]
    assert [row[-2] for row in rows(second, "rows")] == ["dark"] * 12 + [""] * 12
    live = page(build_sheet(with_rule(CART, "S1:15: live when key on\nK9:49a: flash when hazard on")))[1]
    assert {(row[1], row[4], row[-3], row[-2]) for row in rows(live, "rows")} == {
        (key, hazard, "steady" if key == "on" else "", "flashing" if hazard == "on" else "")
        for key in ("off", "on") for hazard in ("off", "on")}


def test_a_fault_that_only_wakes_a_terminal_is_no_longer_without_effect():
    """V3 shorted lets the hazard's coil line back to the lever: no lamp shows it."""
    cart = arrangement("hazard-by-diodes")
    faults = [fault for fault in single_faults(cart) if fault.words in ("V3:A touches V3:K", "E1 blown")]
    table = fault_table(cart, faults=faults)
    line = table.line("V3:A touches V3:K")
    assert (line.worst, line.counts["terminal wrong"]) == ("terminal wrong", 2)
    assert line.effects[line.first()].reasons == ("S1:15 is live and shall be dead",)
    assert table.rows[line.first()] == {"key": "off", "brake pedal": "released", "turn lever": "left", "hazard": "on"}
    without = fault_table(replace(cart, rule=tuple(each for each in cart.rule if not each.terminal)), faults=faults)
    assert without.line("V3:A touches V3:K").worst == "no effect"
    assert table.line("E1 blown").counts == without.line("E1 blown").counts
    told = said(Desk(fault_table(cart, faults=[line.fault])))
    assert "S1:15" in told and all(f" {name}" in told for name in ("V1:", "S3:", "W8 "))


def test_a_fault_looked_at_alone_sees_the_same_terminal_as_those_looked_at_together():
    from circuitlab.reasoning.faults import observe
    from circuitlab.reasoning.faults.batches import observe_all

    cart, table = arrangement("hazard-by-diodes"), lamp_table(arrangement("hazard-by-diodes"))
    rows_ = [row.positions for row in table.rows]
    fault = next(fault for fault in single_faults(cart) if fault.words == "V3:A touches V3:K")
    alone, (together,) = observe(fault.apply(cart), rows_, cart), observe_all(cart, rows_, [fault])
    assert [seen.broken for seen in alone] == [seen.broken for seen in together]
    assert sum(bool(seen.broken) for seen in alone) == 2


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("words, code, said", [
    (["prove", "hazard-two-pole-switch"], 1, "24 rows, 4 of them break the rule"),
    (["prove", "hazard-two-pole-switch", "--rule", "turn-and-hazard-over-stop"], 1, "S1:15 live at 12.3/12.6 V, wanted dead"),
    (["prove", "hazard-two-pole-switch", "--rule", "S1: dead"], 2, "A rule may name a terminal as well: S1:30 or S1:15"),
    (["prove", "hazard-third-relay", "--rule", "own"], 0, "Proved: all 24 rows keep the rule")])
def test_the_command_judges_it_alike_with_its_own_rule_and_the_kits(words, code, said, capsys):
    assert main(words) == code
    out = capsys.readouterr()
    assert said in out.out + out.err


def test_a_wire_that_wakes_the_terminal_is_found_whatever_the_lamps_do():
    """Dead short of the key switch: every row with the key off has 15 live, the lamps keep their rule with the lever off."""
    bridged = changed(arrangement("shared-filament-four-relays"), AddWire(Wire("W99", "S1:30", "S1:15")))
    failing = {tuple(row.positions.values()) for row in lamp_table(bridged).failing}
    assert {("off", pedal, lever) for pedal in ("released", "held") for lever in ("off", "left", "right")} == failing


def test_a_terminal_that_lights_no_test_lamp_keeps_no_rule_that_promises_one():
    """A joint of 120 ohm ahead of it leaves 1.8 V under the lamp: live to a meter, and dark to who ticks the sheet."""
    fused = cl.arrangement("one-fused-lamp")
    bad = changed(fused, cl.changes.read_change("corrode W2 at F1:2 120 ohm", fused))
    said = ("load bed: dark", "S1:1: live when lamp switch off")
    for circuit, look in ((fused, "live"), (bad, "weak")):
        cell = lamp_table(with_rule(circuit, "\n".join(said))).rows[0].terminals["S1:1"]
        assert (cell.look, cell.keeps_rule) == (look, look == "live")
    assert cell.under_lamp == pytest.approx(1.8, abs=0.1) and operating_point(bad).liveness("S1:1") == "live"
    text = proof_text(prove(with_rule(bad, "\n".join(said)), timing=False))
    assert "weak" in text and "only 1.8 V stay there under a test lamp, which hardly lights" in text and "Proved" not in text

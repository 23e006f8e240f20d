"""What "proved" needs: a rule for every lamp, every pin a part needs, and fuses and wires that do not burn."""

from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import RemoveWire, SetValue, arrangement, arrangement_names, changed, save
from circuitlab.arrangements.cautions import warnings_for
from circuitlab.commands.line import main
from circuitlab.parts import KINDS, Battery, Flasher, Lamp, Relay
from circuitlab.reasoning import lamp_table, prove
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.sizing import fire_risks, size
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.views.fault_words import fault_table_html, fault_table_text
from circuitlab.views.proof_words import proof_html, proof_text

from small_boards import board, flasher_board, lamp_board, many_switches, relay_board
from test_build_sheet import page, words

CART = arrangement("third-stop-lamp")
NAMED = "E9, rear centre"
SILENT = replace(CART, rule=tuple(line for line in CART.rule if line.lamp != "E9"))
BARE = replace(CART, rule=())


# --- a rule for every lamp -----------------------------------------------------------------------------------------

@pytest.mark.parametrize("name", arrangement_names())
def test_every_arrangement_of_the_kit_has_a_rule_for_each_of_its_lamps(name):
    made = arrangement(name)
    assert made.rule and made.unruled == ()
    assert set(made.by_name) & {line.lamp for line in made.rule} == {lamp.name for lamp in made.of_kind(Lamp)}


def test_a_lamp_without_a_rule_is_named_first_and_proved_is_not_said():
    sentence = f"No rule for {NAMED}: not proved for it."
    proof = prove(SILENT, timing=False)
    assert proof.is_kept and proof.is_complete and not proof.is_proved and prove(CART, timing=False).is_proved
    assert "no rule for E9: not proved" in proof.brief and "Proof" not in proof.brief
    for text in (lamp_table(SILENT).text(), proof_text(proof)):
        assert text.splitlines()[2] == sentence and "Proved" not in text
    assert proof_text(proof, table=False).startswith(sentence)
    for shown in (lamp_table(SILENT).html(), proof_html(proof)):
        assert sentence in shown and "Proved" not in shown
    assert "every lamp and terminal of which the rule speaks keeps its rule" in lamp_table(SILENT).text()
    assert "Proved: all 12 rows keep the rule" in proof_text(prove(CART, timing=False))


def test_a_broken_rule_and_a_lamp_without_one_are_both_told():
    wrong = changed(SILENT, cl.SwapTerminals("K1:87", "K1:87a"))
    said = proof_text(prove(wrong, timing=False), table=False)
    assert f"No rule for {NAMED}: not proved for it. Not kept:" in said


@pytest.mark.parametrize("circuit, sentence", [
    (SILENT, f"No rule for {NAMED}: not proved for it."),
    (BARE, "No rule is written down for this arrangement: nothing is proved.")])
def test_sheet_and_faults_say_so_first_too(circuit, sentence):
    first = words(page(build_sheet(circuit))[0])
    assert sentence in first and first.index(sentence) < first.index("Before you touch a wire")
    table = fault_table(circuit, faults=single_faults(circuit, ["dead flasher"]))
    assert " ".join(fault_table_text(table, readings=False).split()).startswith(f"{circuit.title} {sentence} 1 faults in 12 rows")
    assert f"{circuit.title}. {sentence} 1 faults" in fault_table_html(table, readings=False)
    whole = fault_table(CART, faults=single_faults(CART, ["dead flasher"]))
    assert "No rule" not in build_sheet(CART) + fault_table_text(whole, readings=False)


def test_faults_say_first_where_rule_and_circuit_disagree():
    wrong = changed(CART, cl.SwapTerminals("K1:87", "K1:87a"))
    failing = [row for row in lamp_table(wrong).rows if not row.keeps_rule]
    said = fault_table_text(fault_table(wrong, faults=single_faults(wrong, ["dead flasher"])), readings=False)
    sentence = f"As listed, this circuit does not do what its rule asks in {len(failing)} of 12 rows, first with "
    assert " ".join(said.split()).startswith(f"{CART.title} {sentence}") and len(failing) > 2
    assert " ".join(said.split()).index(sentence) < said.index("1 faults in")
    assert f"does not do what its rule asks in {len(failing)} of 12 rows" in build_sheet(wrong)


@pytest.mark.in_turn(3, 2)
@pytest.mark.parametrize("more", [[], ["--rule", "own"], ["--rule", "rear left: flash when turn left, else steady when stop"]])
def test_the_command_leaves_with_one_where_a_lamp_has_no_rule(tmp_path, capsys, more):
    save(SILENT, tmp_path / "silent.toml")
    assert main(["prove", str(tmp_path / "silent.toml"), *more]) == 1
    out = capsys.readouterr().out
    assert out.splitlines()[2].startswith("No rule for ") and NAMED in out.splitlines()[2] and "Proved" not in out


def test_without_any_rule_nothing_is_proved(tmp_path, capsys):
    save(BARE, tmp_path / "bare.toml")
    assert main(["prove", str(tmp_path / "bare.toml")]) == 1
    assert "nothing is proved" in capsys.readouterr().out
    assert main(["prove", str(tmp_path / "bare.toml"), "--rule", "turn-and-hazard-over-stop"]) == 0
    assert "Proved: all 12 rows" in capsys.readouterr().out


def test_a_rule_for_a_lamp_that_is_not_there_is_one_sentence(capsys):
    assert main(["prove", "one-fused-lamp", "--rule", "E1, E7: steady when lamp switch on"]) == 2
    assert "has no lamp 'E7'" in capsys.readouterr().err


# --- pins a part needs ---------------------------------------------------------------------------------------------

def unwired(circuit, terminal):
    return changed(circuit, *(RemoveWire(name) for name in circuit.wires_at[terminal]))


@pytest.mark.parametrize("circuit, terminal, kind", [
    (flasher_board(), "K9:31", "flasher 'K9'"), (flasher_board(), "K9:49a", "flasher 'K9'"), (relay_board(), "K1:85", "relay 'K1'"),
    (relay_board(), "K1:86", "relay 'K1'"), (lamp_board(), "E1:2", "lamp 'E1'"), (lamp_board(), "G1:-", "battery 'G1'")])
def test_an_unwired_pin_that_its_part_needs_is_named(circuit, terminal, kind):
    sentence = f"no wire goes to {terminal}: {kind} cannot work without it. Wire it."
    assert sentence not in warnings_for(circuit) and sentence in warnings_for(unwired(circuit, terminal))


@pytest.mark.parametrize("circuit, terminal", [
    (relay_board(), "K1:87"), (relay_board(), "K1:87a"), (flasher_board(pilot=True), "K9:C"), (lamp_board(), "S1:2"), (lamp_board(), "F1:2")])
def test_an_unused_contact_is_not_named(circuit, terminal):
    assert not any("cannot work" in words_ and f" {terminal}" in words_ for words_ in warnings_for(unwired(circuit, terminal)))


def test_a_spare_part_without_any_wire_is_not_named_and_two_pins_are_told_together():
    spare = replace(lamp_board(), parts=(*lamp_board().parts, Relay("K7"), Lamp("E7")))
    assert not any("cannot work" in words_ for words_ in warnings_for(spare))
    coilless = unwired(unwired(relay_board(), "K1:85"), "K1:86")
    assert "no wire goes to K1:85 and K1:86: relay 'K1' cannot work without them. Wire them." in warnings_for(coilless)


def test_what_a_part_needs_is_its_own_to_say():
    assert Battery("G1").needs == ("+", "-") and Relay("K1").needs == ("85", "86") and Lamp("E1").needs == ("1", "2")
    assert Flasher("K9", pilot=True).needs == ("49", "49a", "31") and Flasher("K9", type="electronic load needing").needs == ("49", "49a")
    assert all(set(made.needs) <= set(made.terminals) for name in arrangement_names() for made in arrangement(name).parts)
    assert {"switch", "fuse", "splice", "chassis"} <= {kind for kind, record in KINDS.items() if "needs" not in vars(record)}


def test_prove_in_both_forms_and_the_sheet_name_it(tmp_path, capsys):
    cart = unwired(arrangement("shared-filament-four-relays"), "K9:31")
    save(cart, tmp_path / "cart.toml")
    for more in ([], ["--rule", "own"]):
        assert main(["prove", str(tmp_path / "cart.toml"), *more]) == 1
        assert "Caution: no wire goes to K9:31: flasher 'K9' cannot work without it. Wire it." in capsys.readouterr().out
    assert "no wire goes to K9:31" in words(page(build_sheet(cart))[0])
    assert all("cannot work" not in words_ for name in arrangement_names() for words_ in warnings_for(arrangement(name)))


# --- what size finds -----------------------------------------------------------------------------------------------

RISKY = changed(arrangement("one-fused-lamp"), SetValue("F1", "rating", 30.0))


def test_a_fuse_above_what_its_wire_may_carry_stands_on_the_sheet_below_the_cautions():
    first = words(page(build_sheet(RISKY))[0])
    assert "Fire risk: F1: it can let 30 A into W2 (1 mm2; in the table 'chassis wiring'" in first
    assert "Fire risk" not in build_sheet(arrangement("one-fused-lamp"))
    faulty = unwired(RISKY, "E1:2")
    said = words(page(build_sheet(faulty))[0])
    assert said.index("cannot work without it") < said.index("Fire risk:") < said.index("Before you touch a wire")


@pytest.mark.parametrize("name", ["one-fused-lamp", "hazard-two-pole-switch", *(
    pytest.param(name, marks=pytest.mark.full) for name in ("tied-stop-and-turn", "led-lamps-no-load"))])
def test_fire_risks_are_those_that_size_finds_and_two_fuses_on_one_wire_are_told_once(name):
    told = fire_risks(arrangement(name))
    rules = {"a fuse ahead of every load", "the fuse sits at the battery", "the fuse guards its thinnest wire",
             "the wire carries the load"}
    found = {finding.sentence.partition(": ")[2] for finding in size(arrangement(name)).broken if finding.rule in rules}
    assert {finding.sentence.partition(": ")[2] for finding in told} == found and len(told) == len(found)
    assert len(told) == (1 if name == "hazard-two-pole-switch" else 0)


@pytest.mark.in_turn(11)
@pytest.mark.parametrize("name", arrangement_names())
def test_no_wire_of_the_kit_may_burn_save_where_a_tie_joins_two_fuses(name):
    ties = {"tied-through-diodes": ("F1", "F2"), "hazard-two-pole-switch": ("F2", "F3")}
    told = fire_risks(arrangement(name))
    assert bool(told) == (name in ties)
    assert all(" and ".join(ties[name]) in finding.sentence and finding.rule == "the fuse guards its thinnest wire" for finding in told)


@pytest.mark.parametrize("more", [[], ["--rule", "own"], ["--sample", "2"]])
def test_prove_counts_in_all_its_forms_what_size_finds(tmp_path, capsys, more):
    save(RISKY, tmp_path / "risky.toml")
    broken = len(size(RISKY).broken)
    main(["prove", str(tmp_path / "risky.toml"), *more])
    out = capsys.readouterr().out
    assert out.count(f"size finds {broken} thing{'s' * (broken != 1)} to mend: run `size`.") == 1 and broken
    main(["prove", "one-fused-lamp", *more])
    assert "size finds" not in capsys.readouterr().out


def test_an_arrangement_of_very_many_rows_is_not_sized_by_prove(tmp_path, capsys):
    save(many_switches(9), tmp_path / "many.toml")
    assert main(["prove", str(tmp_path / "many.toml"), "--rule", "E1: steady when switch 0"]) == 0
    assert "More than 256 rows: fuses and wires are not sized here, run `size`." in capsys.readouterr().out


def test_a_sheet_of_what_has_no_point_to_size_is_made_all_the_same():
    dead_short = board("a short for good", [Battery("G1"), Lamp("E1")], [("G1:+", "G1:-"), ("G1:+", "E1:1"), ("E1:2", "G1:-")], ())
    assert "without a steady result" in build_sheet(dead_short)

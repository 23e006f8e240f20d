"""Lamps and coils on the volts of the next system: said first, a broken rule of sizing, and of a fault a lamp lost."""

import pytest

from circuitlab import compare, fault_table, operating_point, prove, row_of
from circuitlab.arrangements import SetValue, arrangement, changed, save
from circuitlab.commands.line import main
from circuitlab.parts import Lamp, LedLamp
from circuitlab.reasoning.faults import observe
from circuitlab.reasoning.faults.batches import observe_all
from circuitlab.reasoning.rows import LampTable
from circuitlab.reasoning.sizing import fire_risks, judge, size
from circuitlab.views.compare_words import comparison_summary
from circuitlab.views.sizing_words import sizing_html, sizing_text

from small_boards import self_holding

CARTS = ("one-fused-lamp", "shared-filament-four-relays")
SOON = "it lasts seconds to minutes at best"


def on(volts, name="shared-filament-four-relays"):
    return changed(arrangement(name), SetValue("G1", "voltage", volts))


def broken(findings):
    return {(each.rule, each.part) for each in findings if not each.is_kept}


@pytest.mark.in_turn(4, 1)
@pytest.mark.parametrize("name", CARTS)
@pytest.mark.parametrize("volts", [24.0, 28.0])
def test_size_says_the_damage_before_anything_else_and_never_that_all_is_well(name, volts, tmp_path, capsys):
    save(on(volts, name), tmp_path / "mine.toml")
    assert main(["size", str(tmp_path / "mine.toml")]) == 1
    title, *lines = capsys.readouterr().out.splitlines()
    said, cautions = "\n".join(lines), [line for line in lines if line.startswith("Caution: ")]
    assert title == arrangement(name).title and lines[:len(cautions)] == cautions, "behind the title, ahead of the tables"
    assert any("lamp 'E1'" in line and SOON in line for line in cautions)
    assert "All is well" not in said and "every rule is kept" not in said and "What to buy" not in said
    assert said.index("the lamp stands its volts") < said.index("What flows")


@pytest.mark.in_turn(2, 1)
@pytest.mark.parametrize("name", CARTS)
@pytest.mark.parametrize("command", ["prove", "faults"])
def test_prove_and_faults_say_it_first_as_well(name, command, tmp_path, capsys):
    save(on(28.0, name), tmp_path / "mine.toml")
    main([command, str(tmp_path / "mine.toml"), *(["--kind", "blown fuse"] if command == "faults" else [])])
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("Caution: ") and any(SOON in line for line in lines[:lines.index(arrangement(name).title)])


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("volts", [17.5, 18.0, 24.0])
@pytest.mark.parametrize("name", CARTS)
def test_a_caution_on_the_life_of_a_lamp_is_never_left_with_nought(name, volts, tmp_path, capsys):
    """Some percent are lost on the way: what a lamp lives is told by its own volts, so no caution says less than sizing does."""
    save(on(volts, name), tmp_path / "mine.toml")
    assert main(["size", str(tmp_path / "mine.toml")]) == 1
    said = capsys.readouterr().out
    cautions = [line for line in said.splitlines() if line.startswith("Caution: lamp")]
    assert cautions and any("of its life" in line for line in cautions) == (1.25 < 0.9 * volts / 13.5 <= 1.35)
    assert "breaks the rule 'the lamp stands its volts'" in said


@pytest.mark.in_turn(5, 1)
@pytest.mark.parametrize("rule", [[], ["--rule", "own"]])
@pytest.mark.parametrize("volts, left", [(12.6, 0), (17.5, 1), (24.0, 1)])
def test_nothing_that_says_proved_burns_its_lamps(volts, left, rule, tmp_path, capsys):
    """Left with the same number as sizing, which has nothing to mend here at 12.6 V."""
    save(on(volts, "shared-filament-rear-relays"), tmp_path / "mine.toml")
    assert main(["prove", str(tmp_path / "mine.toml"), *rule]) == left
    said = capsys.readouterr().out
    assert ("Proved" in said) == (not left and bool(rule)) and said.startswith("Caution") == bool(left)
    proof = prove(on(volts, "shared-filament-rear-relays"))
    assert proof.is_kept and proof.is_proved == (not left) and ("not proved" in proof.brief) == bool(left)


def test_a_row_that_remembers_tells_what_its_lamp_would_have_once_its_relay_is_in():
    circuit = changed(self_holding(), SetValue("G1", "voltage", 24.0))
    row = row_of(circuit, {"start": "off", "stop": "off"})
    assert row.verdict == "several stable"
    coil, said = LampTable(circuit, (row,)).overheated
    assert coil.startswith("K1 has 23.8 V across its coil")
    held = operating_point(circuit, row.positions, {}, ("K1",))
    assert said.startswith(f"E1 has {held.lamp_volts('E1'):.1f} V, ") and SOON in said


def test_a_comparison_with_twice_the_volts_warns():
    before, after = on(12.6), on(24.0)
    found = compare(before, after)
    assert all(one == other for row in found.rows for one, other in row.lamps.values()) and compare(before, before).is_same
    assert not found.is_same and "some lamp looks different; brighter: E1, E2, E3, E4 (9 times before). Caution" in comparison_summary(found)
    assert "; dimmer: E1, E2, E3, E4 (11 % of before). Caution" in comparison_summary(compare(after, before))
    assert found.overheated[0] == () and {words.partition(" ")[0] for words in found.overheated[1]} >= {"E1", "E2", "E3", "E4"}
    assert "Caution, after alone: " in comparison_summary(found) and SOON in comparison_summary(found)
    assert "Caution, before alone: " in comparison_summary(compare(after, before))


def test_alike_cautions_are_one_line_that_names_all(capsys, tmp_path):
    save(on(24.0), tmp_path / "mine.toml")
    main(["size", str(tmp_path / "mine.toml")])
    ends = [line.partition("for this battery.")[2] for line in capsys.readouterr().out.splitlines() if line.startswith("Caution: ")]
    assert ends == [" The same holds of K2, K3, K4.", "", " The same holds of E2, E3, E4."]


def test_a_caution_that_breaks_no_rule_keeps_all_is_well_away_in_text_and_page():
    """Of 16.9 V a wire and a fuse leave the lamp less than 1.25 times its volts."""
    sized = size(on(16.9, "one-fused-lamp"))
    assert not sized.broken and sized.arrangement.cautions()
    for said in (sizing_text(sized), sizing_html(sized)):
        assert "All is well" not in said and "That does not lift the cautions above." in said
        assert said.index("Caution: lamp") < said.index("Rules")


@pytest.mark.in_turn(2, 1)
@pytest.mark.outside("common practice: 1.25 times a lamp's test volts; a mini relay's sheet: 24 V across a coil of 12 V for 5 minutes at most")
@pytest.mark.parametrize("volts, lamps, coils", [(12.6, False, False), (16.8, False, False), (19.0, True, False), (24.0, True, True)])
def test_lamps_and_coils_are_held_to_the_volts_they_get(volts, lamps, coils):
    """On this cart no more than 0.7 V are lost on the way to a lamp, and less to a coil: 13.5 x 1.25 = 16.9 V, 12 x 1.6 = 19.2 V."""
    found = broken(judge(on(volts)))
    assert {(rule, part) for rule, part in found if rule == "the lamp stands its volts"} == (
        {("the lamp stands its volts", f"E{number}") for number in range(1, 5)} if lamps else set())
    assert {(rule, part) for rule, part in found if rule == "the coil stands its volts"} == (
        {("the coil stands its volts", f"K{number}") for number in range(1, 5)} if coils else set())
    assert fire_risks(on(volts)) == (), "no wire burns of it"


def test_the_finding_tells_volts_row_and_fate_and_of_an_led_lamp_its_current():
    (of_lamp,) = [each for each in size(on(28.0, "one-fused-lamp")).broken]
    volts = operating_point(on(28.0, "one-fused-lamp"), {"lamp switch": "on"}).lamp_volts("E1")
    assert of_lamp.value == pytest.approx(volts) and of_lamp.limit == pytest.approx(16.875)
    assert of_lamp.sentence.startswith(f"E1: it has {volts:.1f} V, ") and f"{SOON} (with lamp switch on)" in of_lamp.sentence
    led = on(24.0, "one-fused-lamp").with_parts(LedLamp("E1"))
    (of_led,) = [each for each in size(led).broken if each.part == "E1"]
    assert "it draws" in of_led.sentence and "it overheats and fails" in of_led.sentence


# ------------------------------------------------------------------ one wording

@pytest.mark.outside("lamp rerating: life goes with the 13th power of the volts (12 to 16)")
def test_life_is_told_by_the_law_to_half_as_much_again_and_in_words_beyond():
    lamp = Lamp("E1")
    assert lamp.fate(1.5 * 13.5) == "it lasts about 1/200 of its life" and 1.5**13 == pytest.approx(195, abs=1)
    assert {lamp.fate(volts) for volts in (20.3, 24.0, 28.0, 60.0)} == {SOON}


@pytest.mark.parametrize("volts, words", [(28.0, SOON), (18.5, "it lasts about 1/50 of its life"), (16.0, "")])
def test_a_fault_that_overvolts_a_lamp_is_a_lamp_lost_and_told_so(volts, words):
    cart = arrangement("one-fused-lamp")
    table = fault_table(cart, faults=[SetValue("G1", "voltage", volts)])
    (line,) = table.lines
    assert line.worst == ("lamp lost" if words else "no effect")
    assert not words or words in table.text().replace("\n       ", " ")


def test_many_changes_at_once_and_point_by_point_tell_the_same_of_too_many_volts():
    cart = arrangement("shared-filament-four-relays")
    rows = tuple(dict(row.positions) for row in compare(cart, cart).rows)
    changes = [SetValue("G1", "voltage", 28.0), SetValue("E1", "volts", 6.0), SetValue("G1", "voltage", 17.0)]
    many = observe_all(cart, rows, changes)
    single = [observe(change.apply(cart), rows, cart) for change in changes]
    assert [[each.overvolted for each in seen] for seen in many] == [[each.overvolted for each in seen] for seen in single]
    assert {name for each in many[1] for name, _ in each.overvolted} == {"E1"}
    assert any(each.overvolted for each in many[0]) and not any(each.overvolted for each in many[2])


def test_where_lamps_burn_without_a_fault_the_table_says_to_mend_that_first():
    said = fault_table(on(28.0, "one-fused-lamp")).text().replace("\n", " ")
    assert f"Even without a fault E1 has 27.7 V, 2.0 times the 13.5 V it is made for: {SOON} (with lamp switch on). Mend that first." in said

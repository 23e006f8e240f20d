"""A table judges filaments settled, a proof plays them in time: neither promises what the other refutes."""

import pytest

import circuitlab as cl
from circuitlab.views.tables import summary


def corroded(ohms):
    """Return separate filaments with so many ohms in the feed of the flasher."""
    board = cl.arrangement("separate-filaments")
    return cl.changes.read_change(f"corrode W6 at F2:1 {ohms} ohm", board).apply(board)


def test_what_time_refutes_the_sentence_under_the_table_does_not_promise():
    """Settled, the lamps would give just over a quarter of their light; in a third of a second they do not get there."""
    proof = cl.prove(corroded(0.9))
    assert proof.table.failing == () and len(proof.failing_rows) == 4
    text = proof.text()
    assert ("12 rows; as each filament settles, every lamp and terminal keeps its rule in all of them. In time 4 of them break it "
            "(marked *).") in text and "4 of them break the rule" in text
    assert text.count("* flashing 0.0/9.3 V (in time: dim flashing 90 per minute)") == 4
    assert "E3 in time: dim flashing 90 per minute, on 50 % of the time, at most 9.3 V, 24 % of its light, wanted flashing" in text
    assert proof.html(pictures=0).count("flashing (in time: dim flashing 90 per minute)") == 8
    alone = "12 rows, every lamp and terminal keeps its rule in all of them, as each filament settles."
    assert alone in proof.table.text() and alone in proof.table.html()


def test_where_time_agrees_or_nothing_flashes_nothing_is_said_of_filaments():
    sound = cl.prove(cl.arrangement("separate-filaments"))
    assert "12 rows, every lamp and terminal keeps its rule in all of them." in sound.text()
    assert summary(cl.lamp_table(cl.arrangement("one-fused-lamp"))).endswith("every lamp keeps its rule in all of them.")


def test_a_flash_that_never_gets_a_quarter_of_its_light_is_dim_and_keeps_no_rule():
    """The bound of dim for a lamp that stays on, too: rated light at 13.5 V, and a quarter of it at 9 V."""
    board = corroded(1.5)
    row = cl.lamp_table(board).row(key="on", turn_lever="left")
    assert {row.cells[lamp].look for lamp in ("E3", "E5")} == {"dim flashing"} and not row.keeps_rule
    assert row == cl.row_of(board, row.positions)
    proof = cl.prove(board)
    assert len(proof.failing_rows) == 4 and "* dim flashing 0.0/7.9 V (rule: flashing)" in proof.text()
    measured = cl.flash(cl.run(board, [(0.0, "key", "on"), (0.0, "turn lever", "left")], until=4.0), "E5", 1.0)
    assert measured.look == "dim flashing" and ", 11 % of its light" in measured.sentence


def test_a_flasher_that_cold_lamps_never_let_stay_on_chatters_in_table_proof_and_time():
    """2 ohm: warm lamps would leave it 6.8 V, enough to run on; cold ones leave it less, each time."""
    board = corroded(2.0)
    row = cl.lamp_table(board).row(key="on", turn_lever="left")
    course = cl.run(board, [(0.0, "key", "on"), (0.0, "turn lever", "left")], until=8.0)
    assert (row.verdict, {row.cells[lamp].look for lamp in ("E3", "E5")}) == ("chatter", {"dark"}) == (
        course.verdict, {cl.flash(course, lamp, 1.0).look for lamp in ("E3", "E5")})
    assert row == cl.row_of(board, row.positions) and len(cl.prove(board).failing_rows) == 4


@pytest.mark.outside("Two flasher chips' data sheets: function promised for 8 or 9 to 15 or 18 V of a 12 V unit")
@pytest.mark.parametrize("rated, words", [(8.0, "above 12 V"), (17.0, "below 12.75 V")])
def test_volts_for_which_no_sheet_promises_a_flash_are_told_where_the_rule_is_kept(rated, words):
    """A flasher for two thirds of the battery, or for half as much again, told in table and proof, as text and as a page."""
    board = cl.changed(cl.arrangement("separate-filaments"), cl.SetValue("K9", "volts", rated), cl.SetValue("K9", "rated_load", 3 * rated))
    proof = cl.prove(board)
    said = f"V while it is on: {words} no sheet promises that it flashes (in "
    assert proof.is_proved and "No sheet promises it everywhere: see what is said of volts." in proof.text()
    for page in (proof.table.text(), proof.table.html(), proof.text(),
                 proof.text(table=False), proof.html(pictures=0)):
        assert page.count(said) == 1 and "K9 gets 12." in page
    assert cl.lamp_table(cl.arrangement("separate-filaments")).unpromised == ()


@pytest.mark.outside("Flasher chips' data sheets: function promised up to 18 V; one holds its relay off above 20.2 V to save the bulbs")
def test_a_battery_far_above_an_electronic_flashers_volts_is_a_caution_scaled_by_them():
    board = cl.arrangement("separate-filaments")

    def said(supply, rated=12.0):
        made = cl.changed(board, cl.SetValue(board.battery.name, "voltage", supply), cl.SetValue("K9", "volts", rated))
        return [line for line in made.cautions() if line.startswith("flasher 'K9'")]

    (line,) = said(24.0)
    assert "is made for 12.0 V and the battery gives 24.0 V: above 18.0 V no sheet promises" in line and "above some 20.0 V" in line
    assert said(18.0) == said(24.0, rated=24.0) == said(12.6) == [] and len(said(12.6, rated=6.0)) == 1


def hot_and_low():
    """Return the relay test board on a battery run down, at an engine's heat."""
    board = cl.arrangement("relay-test-board")
    return cl.changed(cl.changed(board, cl.SetValue(board.battery.name, "voltage", 7.6)), cl.changes.SetAmbient(85.0))


def test_a_relay_that_only_a_hand_could_push_in_stays_out_in_caution_table_and_proof():
    """Copper at 85 C has 1.26 times the resistance it has at 20 C, so 7 V to pull in become 8.8 V, and 7.6 V hold it."""
    board = hot_and_low()
    assert any("it will not pull in from rest; once in, it would hold" in line for line in board.cautions())
    row = cl.lamp_table(board).row(test_switch="on")
    assert (row.verdict, row.cells["E1"].look, row.cells["E2"].look) == ("settled", "dark", "dim")
    assert row.sentence == "K1 stays released, worked from rest; once in, it would hold" and row == cl.row_of(board, row.positions)
    proof = cl.prove(board)
    text = proof.text()
    assert row.sentence in text and "several stable" not in text and "two ways" not in text
    assert {(failure.lamp, failure.seen) for failure in proof.of_row(row.positions)} == {("E1", "dark"), ("E2", "dim at 7.6 V")}


def test_a_relay_that_throws_from_rest_do_bring_in_still_has_two_ways():
    from small_boards import self_holding
    assert any(row.verdict == "several stable" and "can rest in two ways" in row.sentence for row in cl.lamp_table(self_holding()).rows)


def test_a_battery_too_low_even_to_hold_a_relay_never_operates_it():
    board = cl.changed(cl.arrangement("relay-test-board"), cl.SetValue("G1", "voltage", 1.0))
    assert any("it will never operate" in line for line in board.cautions())

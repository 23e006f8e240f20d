"""A board opened with a proof, a fault table or a comparison: what it lists, and where it goes for each line; no browser here."""

import json
from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import Hold, LoseJoint, SwapTerminals, arrangement, arrangement_names, changed
from circuitlab.benches.board import listed
from circuitlab.benches.board.desk import TICK, Desk
from circuitlab.ground.errors import ArgumentError, ArrangementError
from circuitlab.parts import Control
from circuitlab.reasoning import Limits, Rule, prove
from circuitlab.reasoning.comparing import compare
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.one_of_two import own_positions
from circuitlab.reasoning.sights import changed_sight, first_difference
from circuitlab.solving import operating_point
from circuitlab.views.fault_words import reading_words
from circuitlab.views.schematic import lay_out

from small_boards import buzzer, self_holding

CART = arrangement("shared-filament-four-relays")
SWAPPED = changed(CART, SwapTerminals("K1:87", "K1:87a"))
TURNING = {"key": "on", "brake pedal": "released", "turn lever": "left"}


def hear(desk, **message):
    """Return what a desk answers, by kind, the last of each; what a page is sent can be sent."""
    return {answer["kind"]: json.loads(json.dumps(answer)) for answer in desk.hear(message)}


def go(desk, line, place=0):
    """Set a board to a line of its table."""
    answers = hear(desk, kind="row", act=desk.last + 1, line=line, place=place)
    assert "trouble" not in answers, answers["trouble"]
    return answers


def said(desk):
    """Return what is said of the line that the board is set to. [text]"""
    return " ".join(hear(desk, kind="rows")["row"]["said"])


@pytest.fixture(scope="module")
def table():
    return fault_table(CART)


@pytest.mark.in_turn(11)
@pytest.mark.parametrize("name", arrangement_names())
def test_the_board_stands_in_every_row_of_a_proof_as_the_row_does_at_rest(name):
    """States and volts against operating points asked one by one; failing rows are listed first of all."""
    circuit = changed(arrangement(name), cl.Hold("F1", "blown"))
    proof = prove(circuit, timing=False)
    desk = Desk(proof)
    listed_ = hear(desk, kind="rows")["rows"]
    assert listed_["numbers"] == [number for number, row in enumerate(proof.table.rows, 1) if row.positions in proof.failing_rows][:500] != []
    assert desk.line.number == listed_["numbers"][0]
    for number, row in list(enumerate(proof.table.rows, 1))[::max(1, len(proof.table.rows) // 6)]:
        answers = go(desk, number)
        assert answers["still"]["fresh"] and answers["now"]["at"] == round(desk.live.now * TICK)
        assert desk.live.positions == row.positions
        if not any(failure.throws for failure in proof.of_row(row.positions)):
            there = operating_point(circuit, row.positions)
            assert desk.live.at(0.0).states == there.states and desk.live.script == ()
        for failure in proof.of_row(row.positions):
            assert failure.short in " ".join(answers["row"]["said"])


def test_a_failing_row_is_said_with_its_path_and_what_stops_it_is_marked():
    proof = prove(SWAPPED, timing=False)
    desk = Desk(proof)
    row = go(desk, 8)["row"]
    failure, *_ = proof.of_row(TURNING)
    assert desk.live.positions == TURNING and row["marked"] == ["K1"]
    assert row["words"] == "8. key on, brake pedal released, turn lever left."
    for words in (failure.short, failure.rule, failure.path.sentence):
        assert words in row["said"][0]
    assert "No lamp breaks the rule" in go(desk, 1)["row"]["said"][0]


def test_all_rows_on_request_and_the_hand_goes_on_from_there():
    """The box asks for all of them; a control moved afterwards is an act of the new record."""
    desk = Desk(prove(SWAPPED, timing=False))
    first = hear(desk, kind="rows")["rows"]
    assert (first["only"], first["ticked"], len(first["numbers"])) == ("failing rows only (9 of 12)", True, 9)
    every = hear(desk, kind="rows", only=False)["rows"]
    assert every["numbers"] == list(range(1, 13)) and every["html"].count("<tr id=") == 12 and not every["more"]
    go(desk, 8)
    answers = hear(desk, kind="act", act=9, at=TICK, control="turn lever", position="off")
    assert answers["now"]["at"] == TICK and desk.live.positions == {**TURNING, "turn lever": "off"}
    assert [act.to for act in desk.live.script] == ["off"]
    go(desk, 8)
    assert desk.live.script == () and desk.live.now == 0.0


def test_a_proof_that_is_kept_lists_every_row():
    listed_ = hear(Desk(prove(CART, timing=False)), kind="rows")["rows"]
    assert not listed_["ticked"] and not listed_["free"] and len(listed_["numbers"]) == 12


def test_what_fails_in_every_row_has_a_line_of_its_own():
    """A lamp of a colour its place may not have fails in no single row."""
    proof = prove(CART, Rule(("front left: flash when turn left, else dark",), colours={"front left": ("red",)}), timing=False)
    desk = Desk(proof)
    assert hear(desk, kind="rows")["rows"]["numbers"] == [13] and desk.live.positions == CART.positions()
    assert "E3 shows amber light, wanted red light" in said(desk)


def test_a_lamp_that_fails_only_in_time_is_said_with_its_path():
    """The rule asks for another rate than the flasher's 90 a minute; the lamp does get its current."""
    desk = Desk(prove(CART, replace(cl.rule("turn-and-hazard-over-stop"), limits=Limits(slowest=100.0))))
    assert "E1 flashes 90.0 times per minute, wanted 100 to 120" in said(desk)


def test_where_order_matters_the_board_is_thrown_the_way_that_fails():
    """After start was let go the relay holds itself: that is the failure, and from rest it would not show."""
    proof = prove(replace(self_holding(), rule=(cl.rules.Wanted("E1", "dark"),)), timing=False)
    desk, positions = Desk(proof), {"start": "off", "stop": "off"}
    answers = go(desk, next(line.number for line in desk.lines.lines if line.what == positions))
    assert "after start on, then start off" in answers["row"]["said"][0]
    assert desk.live.positions == positions and desk.live.at(desk.live.now).states["K1"] == "operated"
    assert answers["now"]["at"] == 2 * TICK
    assert operating_point(self_holding(), positions).states["K1"] == "released"


def test_a_row_that_never_rests_stops_and_says_so():
    desk = Desk(prove(replace(buzzer(), parts=(*buzzer().parts, cl.Lamp("E1")), rule=(cl.rules.Wanted("E1", "dark"),))))
    assert "buzz" in said(desk)


# --- a fault table ---------------------------------------------------------------------------------------------------

def test_a_fault_is_made_marked_told_and_read(table):
    """The leads are where the table wants them, and the board's own meter shows there what the table says."""
    desk, line = Desk(table), table.line("W18 open at K1:87")
    row = go(desk, table.lines.index(line) + 1)["row"]
    broken, telltale = changed(CART, LoseJoint("W18", "K1:87")), table.reading(line)
    assert desk.present == broken and row["marked"] == ["W18"] and desk.still()["cards"] == ["W18 open at K1:87"]
    assert line.effects[line.first()].reasons[0] in " ".join(row["said"])
    assert reading_words(telltale) in row["said"][-1] and "STOP LAMP DARK WHILE SIGNALLING" in row["said"][0]
    assert (row["leads"], row["instrument"]) == ({"red": telltale.healthy.red, "black": telltale.healthy.black}, telltale.healthy.instrument)
    place = next(number for number, words in enumerate(row["places"]) if words.startswith("read here"))
    go(desk, table.lines.index(line) + 1, place)
    read = hear(desk, kind="read", **row["leads"], instrument=row["instrument"], since=0, at=0)["reading"]
    assert read["value"] == pytest.approx(telltale.faulty.value, abs=0.05)
    assert abs(read["value"] - telltale.healthy.value) > 1.0


def test_a_fault_is_mended_and_made_again_by_its_button(table):
    desk, line = Desk(table), table.line("W18 open at K1:87")
    go(desk, table.lines.index(line) + 1)
    assert hear(desk, kind="card", act=2, at=TICK, words="W18 open at K1:87", made=False)["now"]["made"] == []
    assert desk.present == CART
    hear(desk, kind="card", act=3, at=2 * TICK, words="W18 open at K1:87", made=True)
    assert desk.present == changed(CART, LoseJoint("W18", "K1:87"))


def test_the_rows_of_a_fault_are_those_with_an_effect_the_telling_one_first(table):
    desk, line = Desk(table), table.line("relay K2 welded operated")
    row = go(desk, table.lines.index(line) + 1)["row"]
    touched = [number for number, effect in enumerate(line.effects) if effect.worst != "no effect"]
    worst = line.effects[table.rows.index(desk.live.positions)].classes
    assert len(row["places"]) in (len(touched), len(touched) + 1) and line.worst in worst
    last = go(desk, table.lines.index(line) + 1, len(row["places"]) - 1)["row"]
    assert line.effects[table.rows.index(desk.live.positions)].worst in last["places"][-1]


def test_a_fault_does_not_reshuffle_the_sheet(table):
    """The fault's sheet is laid out like the healthy one: what a held part breaks is not on the sheet at all."""
    desk = Desk(table)
    held = next(line for line in table.lines if line.fault.changes == (Hold("K2", "operated"),))
    go(desk, table.lines.index(held) + 1)
    assert desk.sheet.symbols == lay_out(CART).symbols


@pytest.mark.parametrize("name", ["one-fused-lamp", pytest.param("relay-test-board", marks=pytest.mark.full)])
def test_every_fault_can_be_looked_at_in_every_row_and_read_there(name):
    """The record begins with the fault in it, settled as its own operating point is, and every advised place has a lead."""
    small = fault_table(arrangement(name))
    desk = Desk(small)
    for line in desk.lines.lines:
        row = go(desk, line.number)["row"]
        assert line.what.fault.words in row["words"] and row["marked"]
        for place in range(len(row["places"])):
            row = go(desk, line.number, place)["row"]
            assert desk.present == line.what.fault.apply(small.arrangement)
            there = operating_point(desk.present, desk.live.positions)
            if there.is_settled and desk.live.verdict == "settled":
                assert desk.live.at(0.0).states == there.states
        if row["leads"]:
            assert "trouble" not in hear(desk, kind="read", **row["leads"], instrument=row["instrument"], since=0, at=0)
        else:
            assert not line.stands_out or small.reading(line.what) is None


def test_a_fault_without_effect_says_that_nothing_is_seen(table):
    desk = Desk(table)
    row = go(desk, len(table.lines))["row"]
    assert table.lines[-1].worst == "no effect" and len(row["places"]) == len(table.rows) and not row["leads"]
    assert "nothing is seen" in " ".join(row["said"]) and "Reading" not in " ".join(row["said"])


def test_a_table_stopped_before_its_first_fault_is_answered():
    empty = fault_table(CART, progress=lambda done, total: False)
    with pytest.raises(ArrangementError, match="has no faults, so there is nothing to look up.*fault_table"):
        Desk(empty)


def test_a_table_of_very_many_faults_is_cut_and_says_so(table, monkeypatch):
    monkeypatch.setattr(listed, "MOST_LISTED", 20)
    answer = hear(Desk(table), kind="rows")["rows"]
    left = sum(line.worst != "no effect" for line in table.lines) - 20
    assert len(answer["numbers"]) == answer["html"].count("<tr id=") == 20
    assert left > 0 and answer["more"] == f"{left} more are not listed here."


# --- a comparison ----------------------------------------------------------------------------------------------------

def test_a_changed_row_stands_after_the_change_and_the_button_goes_back():
    comparison = compare(CART, SWAPPED)
    desk = Desk(comparison)
    assert len(hear(desk, kind="rows")["rows"]["numbers"]) == len(comparison.changed_rows) == 9
    row = go(desk, 8)["row"]
    assert desk.present == SWAPPED and desk.live.positions == TURNING and row["marked"] == ["W4", "W18"]
    told = " ".join(row["said"])
    lamp, phases = first_difference(CART, SWAPPED, TURNING)
    for words in ("E1 was flashing, now dark", "wire W4, still on X3:2, from K1:87a to K1:87",
                  f"Before: {changed_sight(CART, SWAPPED, TURNING, phases, lamp).path.sentence}",
                  f"After: {changed_sight(SWAPPED, CART, TURNING, phases, lamp).path.sentence}"):
        assert words in told
    hear(desk, kind="card", act=2, at=TICK, words="the change", made=False)
    assert desk.present == CART and desk.live.at(1.5).states["K1"] == "operated"


def test_a_row_that_one_of_the_two_does_not_have_is_said():
    longer = replace(CART, controls=(Control("key", ("off", "on", "start")), *CART.controls[1:]))
    for both, position, head in (((CART, longer), "start", "Before"), ((longer, CART), "off", "After")):
        desk = Desk(compare(*both))
        line = next(line for line in desk.lines.lines if line.what["key"] == "start")
        answers = go(desk, line.number)
        assert f"{head}: there is no such row here; what it lacks stands at rest." in answers["row"]["said"]
        assert desk.live.positions["key"] == position
        assert own_positions(desk.present, desk.live.positions) == desk.live.positions


def test_two_that_look_the_same_can_be_looked_through():
    desk = Desk(compare(CART, CART))
    answers = hear(desk, kind="rows")
    assert not answers["rows"]["free"] and len(answers["rows"]["numbers"]) == 12
    assert "Every lamp looks the same in this row" in answers["row"]["said"][0] and answers["row"]["marked"] == []


def test_other_parts_and_flashers_before_and_after_are_gone_through():
    desk = Desk(compare(arrangement("separate-filaments"), CART))
    for line in desk.lines.lines:
        go(desk, line.number)
        assert {lamp["name"] for lamp in desk.still()["lamps"]} == {part.name for part in CART.parts if part.shines}


# --- whatever it is given --------------------------------------------------------------------------------------------

def test_a_notebook_shows_the_tables_and_names_what_shows_their_rows(table):
    """A result that is the last of a cell is a table, not a record in print."""
    assert "W18 open at K1:87" in table._repr_html_() and "board(table)" in table._repr_html_()
    shown = compare(CART, SWAPPED)._repr_html_()
    assert "was flashing, now dark" in shown and "board(comparison)" in shown
    many = arrangement("shared-filament-four-relays-hazard")
    assert "board(proof) shows every row live" in prove(many, timing=False)._repr_html_()


@pytest.mark.parametrize(("given", "words"), [(7, "not the number 7"), ("cart", "not the text 'cart'"), ([], "not a list with nothing in it")])
def test_anything_else_is_answered_with_what_a_board_takes(given, words):
    with pytest.raises(ArgumentError, match=f"board: 'arrangement' must be an arrangement, a list of changes to one, a proof, a fault table or a comparison, {words}"):
        cl.board(given)


def test_a_line_or_row_that_is_not_there_and_positions_beside_a_table_are_said():
    proof = prove(CART, timing=False)
    desk = Desk(proof)
    assert "no line 77" in hear(desk, kind="row", act=1, line=77)["trouble"]["words"]
    assert "has no row 3" in hear(desk, kind="row", act=2, line=2, place=3)["trouble"]["words"]
    assert desk.line.number == 1
    with pytest.raises(ArrangementError, match="say where the controls stand"):
        Desk(proof, {"key": "on"})


def test_two_boards_share_no_id():
    boards = [cl.board(prove(CART, timing=False)) for _ in range(2)]
    first, second = (set(hear(board.desk, kind="rows")["rows"]["html"].split('id="')[1:]) for board in boards)
    assert first and first.isdisjoint(second)


def test_the_first_difference_is_found_in_the_phase_that_gives_it_away():
    stuck = changed(CART, cl.Hold("K9", "on"))
    assert first_difference(CART, stuck, TURNING) == ("E1", {"K9": "off"})
    assert first_difference(CART, CART, TURNING) == ("", {})


def test_every_single_fault_has_something_to_mark():
    for fault in single_faults(CART):
        broken = fault.apply(CART)
        assert changed_sight(broken, CART, CART.positions()).marked, fault.words

"""The look-up bench: rows chosen, their state, marks and sentences; worked here without a browser."""

import re
import sys
from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import Hold, LoseJoint, SwapTerminals, arrangement, changed
from circuitlab.benches import look_up
from circuitlab.ground.errors import ArrangementError
from circuitlab.parts import Control
from circuitlab.reasoning import Limits, Rule, path_to, prove
from circuitlab.reasoning.comparing import compare
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.sights import changed_sight, first_difference
from circuitlab.solving import operating_point
from circuitlab.views.fault_words import reading_words
from circuitlab.views.schematic import fill, lay_out

from small_boards import buzzer, self_holding

CART = arrangement("shared-filament-four-relays")
SWAPPED = changed(CART, SwapTerminals("K1:87", "K1:87a"))
TURNING = {"key": "on", "brake pedal": "released", "turn lever": "left"}


def said(bench):
    """What the bench says of an error, without the markup."""
    return re.sub("<[^>]+>", "", bench._guard.place.value)


def numbers(bench):
    """The numbers of the lines in the chooser."""
    return [number for _, number in bench.chosen.options]


# --- a proof ---------------------------------------------------------------------------------------------------------

@pytest.fixture(scope="module")
def proof():
    return prove(SWAPPED, timing=False)


def test_failing_rows_come_first_and_all_rows_on_request(proof):
    bench = look_up(proof)
    failing = [number for number, row in enumerate(proof.table.rows, start=1) if row.positions in proof.failing_rows]
    assert numbers(bench) == failing and len(failing) == 9 and bench.chosen.value == failing[0]
    assert re.findall(r'<tr id="[^"]*line-(\d+)"', bench._table.value) == [str(number) for number in failing]
    bench.chosen.value = 8
    bench.only.value = False
    assert numbers(bench) == list(range(1, 13)) and bench.chosen.value == 8, "the chosen row stays"
    bench.chosen.value = 1
    bench.only.value = True
    assert bench.chosen.value == failing[0], "a row that is no longer listed gives way to the first that is"
    assert bench.only.description == "failing rows only (9 of 12)"


def test_a_failing_row_is_drawn_in_its_state_with_the_path_of_its_current(proof):
    bench = look_up(proof)
    bench.chosen.value = 8
    (sight,) = bench.sights
    (failure, *_) = proof.of_row(TURNING)
    assert sight.point.positions == TURNING and sight.point.arrangement == proof.arrangement
    assert bench.lamp.value == failure.lamp == "E1" and sight.path == failure.path
    assert bench.phase.label == "K9 on" and sight.point.phases == {"K9": "on"}
    assert sight.marked == ("K1",), "what stops the current"
    wanted = fill(lay_out(SWAPPED), SWAPPED, operating_point(SWAPPED, TURNING), f"{bench._prefix}0-",
                  trace=(*failure.path.names, *failure.path.terminals), marked=["K1"])
    assert bench._pictures[0].value == wanted
    for sentence in (failure.short, failure.rule, failure.path.sentence):
        assert sentence in bench.sentence
    assert bench.sentence.startswith("8. key on, brake pedal released, turn lever left. ")
    assert f"{bench._prefix}line-8 " in bench._mark.value and f'id="{bench._prefix}line-8"' in bench._table.value


def test_phase_and_traced_lamp_are_a_matter_of_choice(proof):
    bench = look_up(proof)
    bench.chosen.value = 8
    bench.phase.value = 1
    assert bench.sights[0].point.phases == {"K9": "off"} and bench.sights[0].point.light("E3") < 0.01
    bench.phase.value = 0
    bench.lamp.value = "E3"
    assert bench.sights[0].path == path_to(operating_point(SWAPPED, TURNING), "E3") and bench.sights[0].path.reached
    assert bench.sights[0].path.sentence in bench.sentence and bench.sights[0].marked == ()
    bench.lamp.value = "nothing"
    assert bench.sights[0].trace == () and 'class="trace"' not in bench._pictures[0].value


def test_a_proof_that_is_kept_lists_every_row():
    bench = look_up(prove(CART, timing=False))
    assert bench.only.disabled and len(numbers(bench)) == 12 and "No lamp breaks the rule" in bench.sentence
    assert 'class="trace"' not in bench._pictures[0].value


SIDE = "front left: flash when turn left, else dark"


def test_what_fails_in_every_row_has_a_line_of_its_own():
    """A lamp of a colour its place may not have fails in no single row."""
    bench = look_up(prove(CART, Rule((SIDE,), colours={"front left": ("red",)}), timing=False))
    assert bench.chosen.options == (("13. every row", 13),)
    assert bench.sights[0].marked == ("E3",) and bench.sights[0].point.positions == CART.positions()
    assert "E3 shows amber light, wanted red light" in bench.sentence and said(bench) == ""


def test_a_lamp_that_fails_only_in_time_is_traced_too():
    """The rule asks for another rate than the flasher's 90 a minute; the lamp does get its current."""
    bench = look_up(prove(CART, replace(cl.rule("turn-and-hazard-over-stop"), limits=Limits(slowest=100.0))))
    assert bench.lamp.value == "E1" and "E1 flashes 90.0 times per minute, wanted 100 to 120" in bench.sentence
    assert bench.sights[0].path.reached and bench.sights[0].path.sentence in bench.sentence


def test_where_order_matters_the_picture_is_of_the_order_that_fails():
    """After start was let go the relay holds itself: that is the failure, and a relay at rest would not show it."""
    bench = look_up(prove(replace(self_holding(), rule=(cl.rules.Wanted("E1", "dark"),)), timing=False))
    positions = {"start": "off", "stop": "off"}
    number = next(line.number for line in bench._what.lines if line.what == positions)
    bench.chosen.value = number
    assert "E1 steady" in bench.sentence and "after start on, then start off" in bench.sentence
    assert bench.sights[0].point.states["K1"] == "operated" and bench.sights[0].path.reached
    assert operating_point(self_holding(), positions).states["K1"] == "released"


def test_a_row_that_never_rests_says_so():
    bench = look_up(prove(replace(buzzer(), parts=(*buzzer().parts, cl.Lamp("E1")), rule=(cl.rules.Wanted("E1", "dark"),))))
    assert bench.lamp.value == "nothing" and "buzz" in bench.sentence and said(bench) == ""
    bench.lamp.value = "E1"
    assert bench.sights[0].path is None and "buzz" in bench._pictures[0].value


# --- a fault table ---------------------------------------------------------------------------------------------------

@pytest.fixture(scope="module")
def table():
    return fault_table(CART)


def test_a_fault_is_applied_marked_and_told(table):
    bench = look_up(table)
    line = table.line("W18 open at K1:87")
    bench.chosen.value = table.lines.index(line) + 1
    broken = changed(CART, LoseJoint("W18", "K1:87"))
    (sight,) = bench.sights
    row = table.rows[line.first()]
    assert sight.point.arrangement == broken and sight.point.positions == row and sight.marked == ("W18",)
    assert bench.lamp.value == "E1" and "a joint is lost" in bench.sentence
    assert line.effects[line.first()].reasons[0] in bench.sentence
    assert reading_words(table.reading(line)) in bench.sentence
    assert "STOP LAMP DARK WHILE SIGNALLING" in bench.sentence


def test_the_rows_of_a_fault_are_those_with_an_effect_the_telling_one_first(table):
    bench = look_up(table)
    line = table.line("relay K2 welded operated")
    bench.chosen.value = table.lines.index(line) + 1
    shown = [bench._what.rows(bench._by_number[bench.chosen.value])[number][1] for _, number in bench.rows.options]
    touched = [row for row, effect in zip(table.rows, line.effects) if effect.worst != "no effect"]
    assert shown[0] == table.rows[line.first()] and len(shown) == len(touched) and all(row in touched for row in shown)
    bench.rows.value = len(shown) - 1
    assert bench.sights[0].point.positions == shown[-1]
    assert line.effects[table.rows.index(shown[-1])].reasons[0] in bench.sentence


def test_a_fault_does_not_reshuffle_the_sheet(table):
    """The fault's sheet is laid out like the healthy one: what a held part breaks is not on the sheet at all."""
    bench = look_up(table)
    held = next(line for line in table.lines if line.fault.changes == (Hold("K2", "operated"),))
    bench.chosen.value = table.lines.index(held) + 1
    broken = changed(CART, Hold("K2", "operated"))
    assert bench._pictures[0].value == fill(lay_out(CART), broken, bench.sights[0].point, f"{bench._prefix}0-",
                                            trace=bench.sights[0].trace, marked=("K2",))


def test_every_fault_of_a_small_board_can_be_looked_up_in_every_row():
    small = fault_table(arrangement("one-fused-lamp"))
    bench = look_up(small)
    bench.only.value = False
    assert len(numbers(bench)) == len(small.lines)
    for number, line in zip(numbers(bench), small.lines):
        bench.chosen.value = number
        assert said(bench) == "" and line.fault.words in bench.sentence
        for _, row in bench.rows.options:
            bench.rows.value = row
            (sight,) = bench.sights
            assert said(bench) == "" and sight.point.arrangement == line.fault.apply(small.arrangement)
            assert sight.marked and set(sight.marked) <= set(sight.point.arrangement.by_name)


def test_a_fault_without_effect_says_that_nothing_is_seen(table):
    bench = look_up(table)
    bench.only.value = False
    bench.chosen.value = len(table.lines)
    assert table.lines[-1].worst == "no effect" and len(bench.rows.options) == len(table.rows)
    assert "nothing is seen" in bench.sentence and "Reading" not in bench.sentence


def test_a_table_stopped_before_its_first_fault_is_answered():
    empty = fault_table(CART, progress=lambda done, total: False)
    with pytest.raises(ArrangementError, match="has no faults, so there is nothing to look up.*fault_table"):
        look_up(empty)


def test_a_table_of_very_many_faults_is_cut_and_says_so(table, monkeypatch):
    monkeypatch.setattr(sys.modules["circuitlab.benches.look_up"], "MOST_SHOWN", 20)
    bench = look_up(table)
    assert len(numbers(bench)) == bench._table.value.count("<tr id=") == 20
    left = sum(line.worst != "no effect" for line in table.lines) - 20
    assert left > 0 and f"<p>{left} more are not listed here.</p>" in bench._table.value


# --- a comparison ----------------------------------------------------------------------------------------------------

def test_a_changed_row_is_drawn_before_and_after_with_what_differs_marked():
    comparison = compare(CART, SWAPPED)
    bench = look_up(comparison)
    assert len(numbers(bench)) == len(comparison.changed_rows) == 9
    bench.chosen.value = 8
    before, after = bench.sights
    assert (before.point.arrangement, after.point.arrangement) == (CART, SWAPPED)
    assert before.marked == after.marked == ("W4", "W18") and bench.lamp.value == "E1"
    assert before.path.reached and not after.path.reached
    assert "E1 was flashing, now dark" in bench.sentence and "wire W4, end K1:87a to K1:87" in bench.sentence
    assert f"Before: {before.path.sentence}" in bench.sentence and f"After: {after.path.sentence}" in bench.sentence
    sheet = lay_out(SWAPPED, lay_out(CART))
    assert bench._pictures[1].value.endswith(fill(sheet, SWAPPED, after.point, f"{bench._prefix}1-", trace=after.trace,
                                                  marked=after.marked))


def test_a_coil_stays_where_it_was_when_its_contacts_are_rewired():
    def order(sheet):
        return [symbol.piece.key for symbol in sorted(sheet.symbols, key=lambda symbol: symbol.xs[0])]
    assert order(lay_out(SWAPPED, lay_out(CART))) == order(lay_out(CART))


def test_the_words_of_a_picture_number_the_paths_as_it_is_drawn():
    """Laid out like the one before, a relay can stand on another path than it would by itself."""
    sheet = lay_out(SWAPPED, lay_out(CART))
    spoken = fill(sheet, SWAPPED)
    path = sheet.paths[next(symbol.piece.key for symbol in sheet.symbols if symbol.piece.part == "E2")]
    assert f"Path {path}: lamp E2, rear right" in spoken
    assert lay_out(SWAPPED).paths != sheet.paths and SWAPPED.describe(sheet=sheet) in spoken


def test_a_row_that_one_of_the_two_does_not_have_is_said():
    longer = replace(CART, controls=(Control("key", ("off", "on", "start")), *CART.controls[1:]))
    bench = look_up(compare(CART, longer))
    bench.only.value = False
    started = next(line.number for line in bench._what.lines if line.what["key"] == "start")
    bench.chosen.value = started
    assert bench.sights[0] is None and "There is no such row here" in bench._pictures[0].value
    assert bench.sights[1].point.positions["key"] == "start" and said(bench) == ""


def test_two_that_look_the_same_can_be_looked_through():
    bench = look_up(compare(CART, CART))
    assert bench.only.disabled and len(numbers(bench)) == 12
    assert "Every lamp looks the same in this row" in bench.sentence and bench.sights[1].marked == ()


def test_other_flashers_before_and_after_are_each_shown_in_their_phase():
    separate = arrangement("separate-filaments")
    bench = look_up(compare(separate, CART))
    for number in numbers(bench):
        bench.chosen.value = number
        for phase in range(len(bench.phase.options)):
            bench.phase.value = phase
            assert said(bench) == ""


def test_a_notebook_shows_the_tables_and_names_what_shows_their_rows(table):
    """A result that is the last of a cell is a table, not a record in print."""
    assert "W18 open at K1:87" in table._repr_html_() and "look_up(table)" in table._repr_html_()
    shown = compare(CART, SWAPPED)._repr_html_()
    assert "was flashing, now dark" in shown and "look_up(comparison)" in shown
    many = arrangement("shared-filament-four-relays-hazard")
    assert "look_up(proof) shows it for every row" in prove(many, timing=False)._repr_html_()


# --- whatever it is given --------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("given", "words"), [(CART, "not the arrangement 'Shared filaments"), (None, "not None"),
                                              ("cart", "not 'cart'"), ([], r"not \[\]")])
def test_anything_else_is_answered_with_what_can_be_looked_up(given, words):
    with pytest.raises(ArrangementError, match=f"takes a proof, a fault table or a comparison, {words}.*Make one first"):
        look_up(given)


def test_two_benches_share_no_id(proof):
    ids = [set(re.findall(r' id="([^"]+)"', bench._table.value + bench._pictures[0].value))
           for bench in (look_up(proof), look_up(proof))]
    assert ids[0] and ids[0].isdisjoint(ids[1])


def test_the_table_is_one_for_a_screen_reader(proof):
    markup = look_up(proof)._table.value
    assert '<th scope="col"' in markup and markup.count('<th scope="row"') == 9 and "<caption" in markup
    assert 'role="region" aria-label="Shared filaments' in markup and 'tabindex="0"' in markup
    assert 'role="status" aria-live="polite"' in look_up(proof)._said.value


def test_the_first_difference_is_found_in_the_phase_that_gives_it_away():
    stuck = changed(CART, Hold("K9", "on"))
    assert first_difference(CART, stuck, TURNING) == ("E1", {"K9": "off"})
    assert first_difference(CART, CART, TURNING) == ("", {})
    assert changed_sight(CART, stuck, TURNING, {"K9": "off"}, "E1").point.phases == {"K9": "off"}


def test_every_single_fault_has_something_to_mark():
    for fault in single_faults(CART):
        broken = fault.apply(CART)
        assert changed_sight(broken, CART, CART.positions()).marked, fault.words

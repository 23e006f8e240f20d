"""The what-if bench: cards, typed sentences, undo, saving; worked here without a browser."""

import re
import sys
from threading import Event

import pytest
from hands import refusal

import circuitlab as cl
from circuitlab.arrangements import Changes, arrangement, arrangement_names, changed, load_changes
from circuitlab.benches import what_if
from circuitlab.benches.what_if import ready_changes
from circuitlab.reasoning.comparing import compare
from circuitlab.views.compare_words import faults_html

TURNING = {"key": "on", "turn lever": "left"}


@pytest.fixture
def cart():
    return arrangement("shared-filament-four-relays")


@pytest.fixture
def bench(cart):
    return what_if(cart, positions=TURNING)


def said(bench):
    """What the bench says of an error, without the markup."""
    return re.sub("<[^>]+>", "", refusal(bench))


def test_a_typed_sentence_changes_the_circuit_and_the_field_is_empty_again(bench, cart):
    bench.typed.value = "swap K1:87 and K1:87a"
    assert bench.changes.sentences == ("swap K1:87 and K1:87a",) and bench.typed.value == ""
    assert bench.changes.after == changed(cart, cl.SwapTerminals("K1:87", "K1:87a")) and bench.changes.before == cart
    assert bench.comparison == compare(cart, bench.changes.after)
    assert "1 change made. 9 of 12 rows look different" in bench.sentence
    assert "was steady, now dark" in bench._table.value and said(bench) == ""


def test_a_wrong_sentence_is_answered_and_stays_in_the_field(bench):
    bench.typed.value = "set F1 ratting 5"
    assert "Cannot do that: a fuse has no value" in said(bench)
    assert bench.typed.value == "set F1 ratting 5" and bench.changes.entries == ()
    bench.typed.value = "set F1 rating 5"
    assert said(bench) == "" and bench.changes.sentences == ("set F1 rating 5 A",)


def test_the_button_makes_what_is_typed_once(bench):
    bench.typed.value = "blow F1"
    bench.make_button.click()
    assert bench.changes.sentences == ("blow F1",)


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", arrangement_names()[::4])
def test_every_card_of_every_arrangement_can_be_played_and_undone(name):
    bench = what_if(arrangement(name))
    assert list(bench.cards) == list(ready_changes(arrangement(name)))
    for words, card in bench.cards.items():
        card.click()
        assert said(bench) == "" and bench.changes.entries[-1].name == words
        bench.undo_button.click()
        assert bench.changes.after == arrangement(name)


def test_cards_of_ones_own_hold_records_sentences_or_rows_of_them(cart):
    bench = what_if(cart, {"both fuses": ["blow F1", cl.Hold("F2", "blown")], "one": "blow F1"})
    bench.cards["both fuses"].click()
    assert bench.changes.entries[0].name == "both fuses" and bench.changes.sentences == ("blow F1", "blow F2")
    assert "both fuses: blow F1; blow F2" in bench._list.children[0].children[1].value


def test_changes_are_undone_one_by_one_from_anywhere(bench, cart):
    for sentence in ("blow F1", "hold K9 off", "set F2 rating 5"):
        bench.typed.value = sentence
    assert [button.tooltip for button in bench.undos] == ["undo blow F1", "undo hold K9 off", "undo set F2 rating 5 A"]
    bench.undos[1].click()
    assert bench.changes.sentences == ("blow F1", "set F2 rating 5 A") and len(bench.undos) == 2
    bench.undo_button.click()
    bench.undo_button.click()
    assert bench.changes.after == cart and "Every lamp looks the same" in bench.sentence
    bench.undo_button.click()
    assert "there is no change to undo" in said(bench)


def test_undo_all_takes_everything_back(bench, cart):
    bench.typed.value = "add part E9 lamp"
    bench.typed.value = "add wire W99 from X3:2 to E9:1"
    bench.undos[0].click()
    assert "cannot be undone alone" in said(bench) and len(bench.changes.entries) == 2
    bench.clear_button.click()
    assert bench.changes.after == cart and bench.undos == []


def test_undo_buttons_stay_the_same_widgets_so_that_the_keyboard_stays(bench):
    bench.typed.value, first = "blow F1", None
    first = bench.undos[0]
    bench.typed.value = "hold K9 off"
    bench.undos[0].click()
    assert bench.undos == [first] and first.tooltip == "undo hold K9 off"


def test_before_and_after_are_drawn_from_two_trials_with_ids_of_their_own(bench):
    (before, chart_before), (after, chart_after) = bench._pictures
    assert before.value.replace("-0-", "-1-") == after.value
    bench.typed.value = "hold K9 off"
    assert before.value.replace("-0-", "-1-") != after.value
    ids = [set(re.findall(r' id="([^"]+)"', picture.value)) for picture in (before, chart_before, after, chart_after)]
    assert all(ids[0].isdisjoint(other) for other in ids[2:]) and ids[0] and ids[2]
    unbroken = before.value
    bench.controls["brake pedal"].value = "held"
    assert before.value != unbroken and "brake pedal held" in bench.sentence


def test_both_schematics_keep_their_order_and_mark_what_differs(bench):
    bench.typed.value = "swap K1:87 and K1:87a"
    orders = [left_to_right(pictures[0].value) for pictures in bench._pictures]
    assert orders[0] == orders[1] and {"K1", "E1", "S3"} <= set(orders[0])
    for schematic, _ in bench._pictures:
        assert "Marked, on beads: W4, W18." in schematic.value and 'class="marked"' in schematic.value
    bench.undo_button.click()
    assert all("Marked" not in pictures[0].value for pictures in bench._pictures)


def test_the_table_can_be_cut_down_to_the_rows_that_changed(bench):
    bench.typed.value = "swap K1:87 and K1:87a"
    assert bench._table.value.count("<tr>") == 1 + 12
    bench.only.value = True
    assert bench._table.value.count("<tr>") == 1 + len(bench.comparison.changed_rows) == 1 + 9
    bench.undo_button.click()
    assert bench._table.value.count("<tr>") == 1 and "every lamp looks the same" in bench._table.value


@pytest.mark.full
def test_every_fault_is_compared_on_request(bench, cart):
    bench.typed.value = "swap K3:87 and K3:87a"
    bench.faults.button.click()
    bench.faults.wait()
    assert said(bench) == "" and bench.faults.button.description == "Compare every fault"
    asked = compare(cart, bench.changes.after, faults=True)
    assert faults_html(asked) in bench._fault_table.value and "possible only after" in bench._fault_table.value
    assert bench.faults.bar.value == bench.faults.bar.max > 300
    bench.undo_button.click()
    assert bench._fault_table.value == "", "what was said of another circuit goes"


def test_the_same_button_stops_the_faults_and_nothing_half_is_shown(bench, monkeypatch):
    begun, go_on = Event(), Event()

    def slow(before, after, faults=False, progress=None):
        begun.set()
        assert go_on.wait(20)
        return compare(before, after) if progress(1, 2) is False else pytest.fail("it was not told to stop")

    monkeypatch.setattr(sys.modules["circuitlab.benches.what_if"], "compare", slow)
    bench.faults.button.click()
    assert begun.wait(20) and bench.faults.button.description == "Stop" and bench.faults.is_running
    bench.faults.button.click()
    assert bench.faults.button.description == "Compare every fault" and not bench.faults.is_running
    go_on.set()
    bench.faults.wait()
    assert bench._fault_table.value == "" and said(bench) == ""
    assert "Stopped before the end" in bench.faults.view.children[2].value


def left_to_right(svg):
    """Names of the parts in the order of their first terminal from left to right."""
    found = re.findall(r'<g id="[^"]*part-[^>]*data-part="([^"]+)".*?<circle class="terminal"[^>]* cx="([^"]+)"', svg)
    return [name for name, _ in sorted(found, key=lambda pair: float(pair[1]))]


def test_the_moment_moves_both_pictures_without_another_run(bench):
    courses = bench._courses
    shown = bench._pictures[1][0].value
    bench.moment.value = 2.5
    assert bench._courses is courses and bench._pictures[1][0].value != shown and "At 2.50 s" in bench.sentence


def test_a_new_control_gets_its_buttons_and_goes_with_its_change(bench):
    bench.typed.value = "add control hazard: off, on"
    assert "hazard" in bench.controls and len(bench._controls.children) == 4
    bench.controls["hazard"].value = "on"
    assert said(bench) == "" and "hazard on" in bench.sentence
    bench.undo_button.click()
    assert "hazard" not in bench.controls and bench.controls["key"].value == "on"


def test_the_list_is_saved_and_gone_on_with(bench, tmp_path):
    bench.typed.value = "swap K1:87 and K1:87a"
    bench.file.value = str(tmp_path / "cart.changes")
    bench.save_button.click()
    assert "The changes are in" in bench.sentence
    again = what_if(load_changes(tmp_path / "cart.changes"))
    assert again.changes == bench.changes and again.undos
    bench.file.value = str(tmp_path / "nowhere" / "cart.changes")
    bench.save_button.click()
    assert "its folder is missing" in said(bench)


def test_a_change_that_shorts_the_supply_is_shown_not_hidden(bench):
    bench.typed.value = "short G1:+ to G1:-"
    assert said(bench) == "" and "G1 is shorted" in bench.sentence
    assert "shorted" in bench._table.value


def test_a_stumble_keeps_the_circuit_as_it_was(bench, monkeypatch):
    bench.typed.value = "blow F1"

    def broken(*given):
        monkeypatch.undo()
        raise ZeroDivisionError
    monkeypatch.setattr(sys.modules["circuitlab.benches.what_if"], "compare", broken)
    bench.typed.value = "blow F2"
    assert "the kit stumbled" in said(bench) and bench.changes.sentences == ("blow F1",)
    bench.typed.value = ""
    bench.typed.value = "blow F2"
    assert bench.changes.sentences == ("blow F1", "blow F2") and said(bench) == ""


def test_an_arrangement_without_controls_or_lamps_can_be_changed_too():
    bare = cl.Arrangement("a battery", parts=[cl.Battery("G1"), cl.Resistor("R1")], wires=[
        cl.Wire("W1", "G1:+", "R1:1", "RD"), cl.Wire("W2", "R1:2", "G1:-", "BK")])
    bench = what_if(bare)
    bench.typed.value = "set R1 resistance 5"
    assert bench.changes.after.part("R1").resistance == 5 and said(bench) == ""
    assert isinstance(bench.changes, Changes)


def test_help_shows_every_form(bench):
    from circuitlab.arrangements import FORMS
    from circuitlab.benches.what_if import _HELP
    assert all(form in _HELP for form in FORMS.values())

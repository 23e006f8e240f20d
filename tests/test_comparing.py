"""Two arrangements side by side: rows, parts, currents and volts, faults; as text and as HTML."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import (
    AddControl,
    AddPart,
    AddWire,
    Hold,
    LoseJoint,
    MarkNotKnown,
    MoveWire,
    RemovePart,
    ReplacePart,
    SetValue,
    SwapTerminals,
    arrangement,
    arrangement_names,
    changed,
)
from circuitlab.arrangements.typed_changes import read_change
from circuitlab.ground.errors import ArrangementError
from circuitlab.parts import Control, Lamp, LedLamp, Wire
from circuitlab.reasoning import lamp_table
from circuitlab.reasoning.comparing import ABSENT, Difference, compare
from circuitlab.reasoning.things import ThingChange
from circuitlab.solving import operating_point
from circuitlab.views.compare_words import (comparison_html, comparison_summary, comparison_text, lamp_tables_html,
                                            look_words)
from circuitlab.views.thing_words import name_line, thing_lines


@pytest.fixture(scope="module")
def cart():
    return arrangement("shared-filament-four-relays")


@pytest.mark.in_turn(7, 4)
@pytest.mark.parametrize("name", arrangement_names())
def test_nothing_sets_an_arrangement_apart_from_itself(name):
    same = compare(arrangement(name), arrangement(name))
    assert same.is_same and same.things == () and same.differences == () and same.faults is None
    assert "every lamp looks the same" in comparison_text(same)


@pytest.mark.parametrize("other", ["tied-stop-and-turn", "shared-filament-rear-relays"])
def test_the_rows_that_changed_are_those_in_which_the_lamp_tables_differ(cart, other):
    """Lamp by lamp against the two tables."""
    other = arrangement(other)
    found = compare(other, cart)
    tables = [lamp_table(each) for each in (other, cart)]
    expected = {}
    for before, after in zip(*(table.rows for table in tables)):
        assert before.positions == after.positions
        looks = {lamp: (before.cells[lamp].look, after.cells[lamp].look) for lamp in before.cells}
        expected[tuple(before.positions.items())] = {lamp: pair for lamp, pair in looks.items() if pair[0] != pair[1]}
    assert {
        tuple(row.positions.items()): {lamp: row.lamps[lamp] for lamp in row.changed} for row in found.rows
    } == expected
    assert len(found.changed_rows) == sum(map(bool, expected.values()))


def test_the_tie_differs_from_the_relays_in_the_rows_a_driver_would_name():
    found = compare(arrangement("tied-stop-and-turn"), arrangement("shared-filament-four-relays"))
    both = next(
        row for row in found.rows if row.positions == {"key": "on", "brake pedal": "held", "turn lever": "left"}
    )
    assert both.lamps["E1"] == ("steady", "flashing") and both.lamps["E4"] == ("steady", "dark")
    assert "E2" not in both.changed
    added = {(thing.kind, thing.name) for thing in found.things if thing.how == "added"}
    assert {("relay", f"K{number}") for number in range(1, 5)} <= added


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("change, thing", [
    (SetValue("F1", "rating", 5.0), ThingChange("changed", "F1", "fuse", (("rating", "7.5 A", "5 A"),))),
    (MoveWire("W4", "K1:87a", "K3:87a"), ThingChange("changed", "W4", "wire", (("end", "K1:87a", "K3:87a"),))),
    (LoseJoint("W4", "K1:87a"), ThingChange("changed", "W4", "wire", (("end joint", "0.001 ohm", "inf"),))),
    (Hold("E1", "blown"), ThingChange("changed", "E1", "lamp", (("held", "free", "blown"),))),
    (MarkNotKnown("W4"), ThingChange("changed", "W4", "wire", (("known", "known", "not known"),))),
    (AddWire(Wire("W90", "E1:1", "E2:1")), ThingChange("added", "W90", "wire")),
    (AddControl(Control("hazard", ("off", "on"))), ThingChange("added", "hazard", "control")),
    (AddPart(Lamp("E9")), ThingChange("added", "E9", "lamp"))], ids=str)
def test_each_change_is_said_as_what_it_is(cart, change, thing):
    assert compare(cart, changed(cart, change)).things == (thing,)
    back = compare(changed(cart, change), cart).things
    assert len(back) == 1 and back[0].how == {"changed": "changed", "added": "removed"}[thing.how]


def test_another_kind_of_lamp_is_one_part_taken_out_and_another_put_in(cart):
    found = compare(cart, changed(cart, ReplacePart(LedLamp("E1", place="rear left"))))
    assert found.things == (ThingChange("removed", "E1", "lamp"), ThingChange("added", "E1", "LED lamp"))
    assert found.is_same
    assert any(each.name == "F1" and each.after < each.before - 1 for each in found.differences)


def test_a_wire_that_shares_no_end_is_another_wire(cart):
    found = compare(cart, changed(cart, MoveWire("W4", "K1:87a", "K3:87a"), MoveWire("W4", "X3:2", "X4:2")))
    assert [(thing.how, thing.name) for thing in found.things] == [("removed", "W4"), ("added", "W4")]


def test_currents_and_lamp_volts_are_those_of_the_worst_row(cart):
    """A corroded ground takes volts from one lamp and current from its fuse."""
    after = changed(cart, LoseJoint("W26", "X1:1", 1.0))
    found = {each.name: each for each in compare(cart, after).differences}
    points = [operating_point(after, row.positions, phase) for row in lamp_table(after).rows for phase in ("on", "off")]
    assert found["F1"].after == pytest.approx(max(abs(point.current("F1")) for point in points))
    lit = [max(map(abs, row.cells["E1"].volts)) for row in lamp_table(after).rows if row.cells["E1"].look != "dark"]
    assert found["E1"].unit == "V" and found["E1"].after == pytest.approx(min(lit))
    assert found["E1"].before - found["E1"].after > 1 and "E2" not in found or found["E2"].after > found["E1"].after


def test_what_is_not_there_has_no_reading(cart):
    after = changed(cart, RemovePart("E3"))
    found = compare(cart, after)
    (lost,) = (each for each in found.differences if each.name == "E3")
    assert lost == Difference("E3", "V", lost.before, None) and lost.before > 11
    turning = next(
        row for row in found.rows if row.positions == {"key": "on", "brake pedal": "released", "turn lever": "left"}
    )
    assert turning.lamps["E3"] == ("flashing", ABSENT) and turning.changed == ("E3",)
    resting = next(row for row in found.rows if row.positions["key"] == "off")
    assert resting.lamps["E3"] == ("dark", ABSENT) and not resting.changed


def test_a_control_only_one_has_makes_rows_of_its_own(cart):
    hazard = arrangement("shared-filament-four-relays-hazard")
    found = compare(cart, hazard)
    assert len(found.rows) == 48 and set(found.rows[0].positions) == {
        "key",
        "brake pedal",
        "turn lever",
        "hazard",
        "tail lamps",
    }
    quiet = [row for row in found.rows if row.positions["hazard"] == "off" and row.positions["tail lamps"] == "off"]
    assert len(quiet) == 12 and not any(row.changed for row in quiet)
    assert all(row.changed for row in found.rows if row.positions["hazard"] == "on" and row.positions["key"] == "off")


def test_a_position_only_one_has_is_not_there_in_the_other(cart):
    other = changed(cart, SetValue("S1", "note", "same"))
    longer = other.__class__(
        other.title, [Control("key", ("off", "on", "start")), *other.controls[1:]], other.parts, other.wires
    )
    started = [row for row in compare(cart, longer).rows if row.positions["key"] == "start"]
    assert len(started) == 6 and all(pair[0] == ABSENT for row in started for pair in row.lamps.values())


def one_signal_wire():
    """A relay with nothing on its 87a, a lamp on 87."""
    return changed(arrangement("relay-test-board"), RemovePart("E2"))


@pytest.mark.parametrize("made, relay", [(one_signal_wire, "K1"), pytest.param(lambda: arrangement("shared-filament-four-relays"), "K3",
                                                                               marks=pytest.mark.full)])
def test_faults_are_compared_when_asked(made, relay):
    """With 87 and 87a swapped a broken wire, relay or flasher takes another signal."""
    heard, cart = [], made()
    found = compare(cart, changed(cart, SwapTerminals(f"{relay}:87", f"{relay}:87a")), faults=True,
                    progress=lambda done, total: heard.append((done, total)))
    assert found.faults and all(before != after for _, before, after in found.faults)
    words = {fault: (before, after) for fault, before, after in found.faults}
    assert words[f"a relay without 87a plugged in as {relay}"][0] == ABSENT        # only now there is a wire on 87a
    assert heard[0][0] == 0 and heard[-1][0] == heard[-1][1]
    text = " ".join(comparison_text(found).split())
    assert "single faults are possible only after" in text
    assert "Faults whose worst class changed" in comparison_html(found) or "0 do something else" in text


def test_a_fault_that_was_not_looked_at_is_not_called_absent(monkeypatch):
    """Stopped half way, the comparison says nothing of what it did not look at."""
    monkeypatch.setattr("circuitlab.reasoning.faults.table.TOGETHER", 10)
    board = arrangement("relay-test-board")
    swapped = changed(board, SwapTerminals("K1:87a", "K1:30"))
    whole = compare(board, swapped, faults=True)
    half = compare(board, swapped, faults=True, progress=lambda done, total: done < total * 0.75)
    assert 0 < len(half.faults) < len(whole.faults) and set(half.faults) < set(whole.faults)


def test_what_cannot_be_compared_is_said(cart):
    with pytest.raises(ArrangementError, match="'cart' is not an arrangement"):
        compare(cart, "cart")
    controls = [Control(f"c{number}", ("off", "on")) for number in range(17)]
    many = cart.__class__("many", controls, cart.of_kind(type(cart.battery)))
    with pytest.raises(ArrangementError, match="131072 rows together; 65536 are compared at most"):
        compare(many, many)


# ------------------------------------------------------------------ in words

def test_a_change_is_told_in_plain_words_in_the_place_of_a_second_title(cart):
    """W11 off its coil: no ohms, no 'inf', no title twice; the way back as well; a free part says what holds it."""
    off = compare(cart, changed(cart, LoseJoint("W11", "K1:86")))
    assert thing_lines(off) == ["W11 is off K1:86"] and thing_lines(compare(off.after, cart)) == ["W11 is on K1:86"]
    assert thing_lines(compare(cart, changed(cart, Hold("E1", "blown")))) == ["changed: lamp E1, held blown"]
    doubt = compare(cart, changed(cart, MarkNotKnown("F1")))
    assert thing_lines(doubt) == ["changed: fuse F1, not known"] and thing_lines(compare(doubt.after, cart)) == ["changed: fuse F1, known"]
    poor = changed(cart, LoseJoint("W11", "K1:86", 2.0))
    assert thing_lines(compare(cart, poor)) == ["changed: wire W11, end joint 0.001 ohm to 2 ohm"]
    for told in (comparison_text(off), comparison_html(off)):
        assert told.count(cart.title) == 1 and "the same circuit; W11 is off K1:86" in told
        assert "At 3 terminals a meter or a test lamp tells something else in some row:" in told and "inf" not in told


def test_the_text_and_the_page_say_the_same(cart):
    found = compare(cart, changed(cart, SwapTerminals("K1:87", "K1:87a"), SetValue("F1", "rating", 5.0)))
    text, html = comparison_text(found), comparison_html(found)
    for words in (comparison_summary(found), "was steady, now dark", "changed: fuse F1, rating 7.5 A to 5 A",
                  "moved: wire W4, still on X3:2, from K1:87a to K1:87"):
        assert words in text and words in html
    assert "<b>was steady, now dark</b>" in html
    assert len([line for line in text.splitlines() if "was " in line]) == len(found.changed_rows)


def test_both_lamp_tables_stand_in_one_with_every_row(cart):
    found = compare(cart, changed(cart, Hold("E1", "blown")))
    html = lamp_tables_html(found)
    assert html.count("<tr>") == 1 + 12
    assert html.count("<b>was ") == sum(len(row.changed) for row in found.rows)


def test_alike_things_share_a_line():
    found = compare(arrangement("tied-stop-and-turn"), arrangement("shared-filament-four-relays"))
    assert "added: relay K1, K2, K3, K4" in thing_lines(found)


def test_names_are_safe_on_a_page(cart):
    nasty = changed(cart, AddPart(Lamp("<b>E</b>")))
    assert "<b>E</b>" not in comparison_html(compare(cart, nasty))


def test_a_look_is_said_before_and_after():
    assert look_words("dark", "dark") == "dark" and look_words("dark", "steady") == "was dark, now steady"


def test_terminals_that_a_rule_may_name_are_held_against_each_other():
    """Every lamp is as before, but the second pole feeds the key's terminal 15 with the key off and the lever on a side."""
    found = compare(arrangement("hazard-by-diodes"), arrangement("hazard-two-pole-switch"))
    assert found.is_same
    first = found.terminals[0]
    assert first.names[0] == "S1:15" and (first.before, first.after) == ("dead", "live")
    woken = {("off", pedal, lever, "on") for pedal in ("released", "held") for lever in ("left", "right")}
    assert {tuple(row.values()) for row in first.rows} == woken
    text = comparison_text(found)
    assert "S1:15" in text.partition("Parts, wires")[0] and "dead before, live after, in 4 of 24 rows" in text
    assert "dead before, live after, in 4 of 24 rows" in comparison_html(found)


def test_terminals_are_what_an_instrument_makes_of_them_in_both(cart):
    """Row by row, terminal by terminal, against the words of the two operating points."""
    after = changed(cart, LoseJoint("W3", "X3:1"))
    found = compare(cart, after)
    told = {(tuple(row.items()), name): (change.before, change.after)
            for change in found.terminals for name in change.names for row in change.rows}
    expected = {}
    for row in found.rows:
        off, on = ([operating_point(each, row.positions, phase) for each in (cart, after)] for phase in ("off", "on"))
        for name in cart.terminals:
            words = [{pair[side].liveness(name) for pair in (off, on)} for side in (0, 1)]
            looks = ["flashing" if len(each) > 1 and "live" in each else min(each) for each in words]
            if all(len(each) == 1 or "live" in each for each in words) and looks[0] != looks[1] and cart.wires_at[name]:
                expected[tuple(row.positions.items()), name] = tuple(looks)
    assert expected and expected.items() <= told.items()
    assert {look for pair in told.values() for look in pair} <= {"live", "flashing", "ghost", "dead", "floating"}


def test_no_terminal_is_told_apart_where_nothing_is_or_where_only_one_has_it(cart):
    assert compare(cart, cart).terminals == ()
    assert "live, dead or floating as before" in comparison_text(compare(cart, cart))
    assert not [name for change in compare(cart, changed(cart, RemovePart("E3"))).terminals for name in change.names
                if name.startswith("E3")]


SPLIT = arrangement("separate-filaments")
BRAKING = {"key": "off", "brake pedal": "held", "turn lever": "off"}


def altered(sentence):
    return changed(SPLIT, read_change(sentence, SPLIT))


@pytest.mark.outside("UN Regulation 37, from memory: P21W 460 lm, R5W 50 lm, H21W 600 lm at 13.5 V; light as U^3.4: lamp rerating")
@pytest.mark.parametrize("sentence, share", [
    ("set E1 bulb R5W", 50 / 460), ("set E1 bulb H21W", 600 / 460), ("corrode W2 at F1:2 0.7 ohm", None), ("corrode W4 at E1:1 1.2 ohm", None)])
def test_a_lamp_that_anybody_sees_to_be_brighter_or_dimmer_does_not_look_the_same(sentence, share):
    """By the catalogue's lumens where the bulb is another; by the volts that a bad joint leaves where it is the same."""
    after = altered(sentence)
    found = compare(SPLIT, after)
    row = next(row for row in found.rows if row.positions == BRAKING)
    was, now = (operating_point(each, BRAKING).lamp_volts("E1") for each in (SPLIT, after))
    expected = (share or 1.0) * (now / was) ** 3.4
    assert row.lamps["E1"] == ("steady", "steady") and row.shares["E1"] == pytest.approx(expected, rel=0.05)
    assert not found.is_same and len(found.changed_rows) == 6 and set(row.changed) == ({"E1", "E2"} if "W2" in sentence else {"E1"})
    text = comparison_text(found)
    how = "dimmer" if expected < 1 else "brighter"
    assert "looks the same" not in text and f"some lamp looks different; {how}: E1" in text and f"was steady, now {how} (" in text
    assert f"was steady, now {how} (" in comparison_html(found)


@pytest.mark.parametrize("sentence", [
    "set E1 bulb 1156", "set E3 bulb PY21W", "corrode W4 at E1:1 0.1 ohm", "set G1 voltage 12.9 V", "replace E1 by LED lamp"])
def test_what_nobody_sees_or_nothing_tells_is_no_other_light(sentence):
    """Near bulbs, amber glass for an amber lens, a joint a little bad, a battery a little fuller; an LED whose lumens nobody gave."""
    found = compare(SPLIT, altered(sentence))
    assert not found.changed_rows and not any(row.shares for row in found.rows)
    assert "every lamp looks the same" in comparison_text(found)


def test_lamps_dimmer_by_as_much_share_their_words_and_a_new_look_is_not_told_twice():
    assert "different; dimmer: E1, E2 (49 % of before)." in comparison_summary(compare(SPLIT, altered("corrode W2 at F1:2 0.7 ohm")))
    dim = compare(SPLIT, altered("corrode W4 at E1:1 3 ohm"))
    assert all(not row.shares for row in dim.rows) and "was steady, now dim" in comparison_text(dim)


def test_a_dimmer_lamp_is_followed_on_the_board():
    from circuitlab.benches.board.listed import ComparedLines

    lines = ComparedLines(compare(SPLIT, altered("set E1 bulb R5W")))
    line = next(line for line in lines.lines if line.what == BRAKING)
    said, marked = lines.told(line, lines.places(line)[0])
    assert said[0] == "E1 was steady, now dimmer (12 %)." and "E1" in marked and said[2].startswith("Before: ") and "E1" in said[2]


def test_pins_of_another_kind_of_plug_are_not_taken_for_each_other():
    """Pin 3 of a 12N is ground, that of a 4-flat the left lamp (ISO 1724, SAE J1239, as in datasets/connector_pins.csv)."""
    twelve, flat = (cl.arrangement(name) for name in ("trailer-12n-separate-lamps", "trailer-4-flat-combined-lamps"))
    told = cl.compare(twelve, flat)
    assert told.other_plugs == (("X5", "12N", "4-flat"),)
    assert told.terminals and not [name for change in told.terminals for name in change.names if name.startswith("X5:")]
    words = "X5 is another plug: 12N before, 4-flat after. There a pin of the same number is another pin, so its pins are not compared."
    assert words in " ".join(comparison_text(told).split()) and words in comparison_html(told)
    poor = cl.compare(flat, cl.changed(flat, cl.changes.read_change('set X5 pins "3: inf"', flat)))
    assert poor.other_plugs == () and any(name == "X5:3p" for change in poor.terminals for name in change.names)
    assert "another plug" not in comparison_text(poor)

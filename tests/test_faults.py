"""Every single fault: what there is, what it does, what a driver behind would see, and the reading that reveals it."""

from collections import Counter
from dataclasses import replace

import pytest

from circuitlab.arrangements import (
    Hold,
    LoseJoint,
    SetValue,
    Short,
    arrangement,
    arrangement_names,
    changed,
    read_change,
)
from circuitlab.arrangements.rows import rows_of
from circuitlab.ground.errors import ArrangementError
from circuitlab.parts import Battery, Chassis, Fuse, Lamp, Relay, Resistor, Splice, Switch, toggle
from circuitlab.reasoning.faults import (CLASSES, ODDS, Fault, best_reading, double_faults, fault_table, single_faults)
from circuitlab.reasoning import observing
from circuitlab.reasoning.faults import batches
from circuitlab.reasoning.faults.catalogue import as_fault
from circuitlab.reasoning.faults.classing import look
from circuitlab.reasoning.observing import observe
from circuitlab.reasoning.leads import take_reading
from circuitlab.solving import operating_point, run
from circuitlab.views.fault_words import fault_table_html, fault_table_text, faults_summary, reading_words, shown_words

from small_boards import board, lamp_board, relay_board, self_holding, straight_short

NAMES = arrangement_names()


@pytest.fixture(scope="module")
def cart():
    return arrangement("shared-filament-four-relays")


@pytest.fixture(scope="module")
def table(cart):
    return fault_table(cart)


def row_of(table, **moved):
    """Return the number of the row in which the given controls are moved."""
    where = table.arrangement.positions({name.replace("_", " "): position for name, position in moved.items()})
    return table.rows.index(where)


def effect(table, words, **moved):
    return table.line(words).effects[row_of(table, **moved)]


# ------------------------------------------------------------------ the catalogue

PLUGS = {"poor pin", "open pin", "plug parted", "plug half in", "water in a plug"}       # of a connector: see test_trailers
OF_CONVERTERS = {"dead converter", "wrong converter", "dead channel", "stuck channel"}      # see test_converter
OF_BLOCKS = {"missing fuse", "clips spread"}        # of a fuse block: see test_fuse_blocks
OF_TWO = {"wrong bulb", "bulb turned round", "filaments touching"}      # only a lamp with two filaments has them


def test_the_cart_with_two_filaments_has_their_faults_too():
    kinds = {fault.kind for fault in single_faults(arrangement("tail-and-stop-two-filaments"))}
    assert OF_TWO < kinds <= set(ODDS)


def test_there_is_a_fault_of_every_kind_and_none_twice(cart):
    faults = single_faults(cart)
    assert {fault.kind for fault in faults} == set(ODDS) - {"dead load"} - OF_TWO - PLUGS - OF_CONVERTERS - OF_BLOCKS      # no library cart has a dead load: see test_roles
    assert len({fault.words for fault in faults}) == len(faults)
    of_kind = {kind: [fault for fault in faults if fault.kind == kind] for kind in ODDS}
    assert len(of_kind["blown lamp"]) == 4 and len(of_kind["blown fuse"]) == 2 and len(of_kind["dead coil"]) == 4
    assert len(of_kind["open wire"]) + sum("joint of" in f.words for f in of_kind["lost ground joint"]) == len(
        cart.wires
    )
    assert len(of_kind["stuck switch"]) == 2 + 2 + 3
    assert {fault.place for fault in of_kind["wrong relay type"]} == {"K1", "K2"}      # the others leave 87a open


@pytest.mark.in_turn(6)
@pytest.mark.parametrize("name", NAMES)
def test_every_fault_can_be_made_changes_something_and_can_be_typed(name):
    healthy = arrangement(name)
    for fault in single_faults(healthy):
        broken = fault.apply(healthy)
        assert broken != healthy, fault.words
        part = fault.place.partition(":")[0]
        assert part in healthy.by_name and fault.kind in ODDS and fault.odds == ODDS[fault.kind]
        present = healthy
        for sentence in str(fault).split("; "):
            present = read_change(sentence, present).apply(present)
        assert present == broken, str(fault)


def resistance(part):
    """Return what a part or wire is between its ends, or None where that says nothing."""
    return getattr(part, "resistance", None)


@pytest.mark.parametrize("name", ["shared-filament-four-relays-hazard", "trailer-separate-to-combined"])
def test_every_fault_is_physically_plausible(name):
    """Metal is never lost, resistances only grow or a touch of a few milliohms is added; nothing else moves."""
    healthy = arrangement(name)
    for fault in single_faults(healthy):
        broken = fault.apply(healthy)
        added = set(broken.by_name) - set(healthy.by_name)
        assert set(healthy.by_name) <= set(broken.by_name), fault.words
        for extra in added:
            thing = broken.part(extra)
            assert isinstance(thing, Splice) or thing.resistance < 0.05, fault.words
        for wire in healthy.wires:
            assert broken.part(wire.name).resistance >= wire.resistance
        held = dict(broken.held)
        assert not set(held) - {fault.place}
        assert broken.of_kind(Battery) == healthy.of_kind(Battery)


def test_only_the_kinds_asked_for_come_back(cart):
    assert {fault.kind for fault in single_faults(cart, ["blown fuse", "dead coil"])} == {"blown fuse", "dead coil"}


def test_a_body_without_chassis_knows_no_short_to_it():
    """On a return wire there is no bare metal to touch."""
    assert not [
        fault for fault in single_faults(lamp_board()) if fault.kind in ("short to chassis", "lost ground joint")
    ]


# ------------------------------------------------------------------ known truths

def test_losing_the_turn_fuse_leaves_the_stop_signal(table):
    for moved in ({"brake_pedal": "held"}, {"key": "on", "brake_pedal": "held"}):
        assert effect(table, "F2 blown", **moved).worst == "no effect"
    turning = effect(table, "F2 blown", key="on", turn_lever="left")
    assert turning.worst == "signal lost" and "E1 stays dark" in turning.reasons
    both = effect(table, "F2 blown", key="on", turn_lever="left", brake_pedal="held")
    assert both.worst == "wrong signal" and "E1 is steady instead of flashing" in both.reasons
    assert not table.line("F2 blown").hides


def test_a_dead_flasher_takes_the_stop_from_the_side_that_turns_and_stands_at_the_top(table):
    words = "flasher K9 dead, its output never on"
    assert effect(table, words, brake_pedal="held").worst == "no effect"
    both = effect(table, words, key="on", brake_pedal="held", turn_lever="left")
    assert both.worst == "signal lost" and "E1 stays dark" in both.reasons
    assert "E2 stays dark" not in both.reasons
    line = table.line(words)
    assert line.hides and table.rows[line.hidden_in]["brake pedal"] == "held"
    place = [each.hides for each in table.lines]
    assert place == sorted(place, reverse=True)


def test_an_open_87_stands_at_the_top_too_and_an_open_87a_does_not(cart, table):
    (to_87,), (to_87a,) = cart.wires_at["K1:87"], cart.wires_at["K1:87a"]
    assert table.line(f"{to_87} open at K1:87").hides
    plain = table.line(f"{to_87a} open at K1:87a")
    assert not plain.hides
    stopping = plain.effects[row_of(table, brake_pedal="held")]
    assert stopping.worst == "lamp lost" and stopping.reasons == ("E1 stays dark",)   # the other side still shows it
    assert plain.effects[row_of(table, key="on", turn_lever="right", brake_pedal="held")].worst == "signal lost"
    assert plain.effects[row_of(table, key="on", turn_lever="left", brake_pedal="held")].worst == "no effect"


def test_an_open_coil_loses_the_turn_signal_of_its_side_and_keeps_the_stop(table):
    words = "coil of K1 broken"
    assert effect(table, words, brake_pedal="held").worst == "no effect"
    assert effect(table, words, key="on", turn_lever="left").worst == "signal lost"
    assert effect(table, words, key="on", turn_lever="right").worst == "no effect"
    assert effect(table, words, key="on", turn_lever="left", brake_pedal="held").reasons[0] == \
        "E1 is steady instead of flashing"


def test_a_blown_front_lamp_is_only_a_lamp_lost(table):
    assert table.line("E3 blown").worst == "lamp lost" and table.line("E1 blown").worst == "signal lost"


def test_an_unfused_wire_that_touches_metal_is_a_fire_risk_and_a_fused_one_is_not(table):
    assert table.line("W1 chafed through to X1 at F1:1").worst == "fire risk"
    fused = table.line("W2 chafed through to X1 at S2:1")
    assert fused.worst == "signal lost" and "F1 blows" in fused.effects[row_of(table, brake_pedal="held")].reasons
    assert table.line("G1:+ touches G1:-").worst == "fire risk"


def test_a_fuse_far_too_large_is_no_guard():
    """The same chafed wire behind 400 A."""
    board_ = replace(lamp_board(400.0), parts=(*lamp_board(400.0).parts, Chassis("X1")))
    board_ = read_change("add wire W5 from X1:1 to G1:- 0.5 m 2.5 mm2", board_).apply(board_)
    chafed = fault_table(board_, faults=[Short("S1:1", "X1:1")]).lines[0]
    assert chafed.worst == "fire risk"
    assert "W2" in chafed.effects[0].reasons[0] or "W2" in chafed.effects[0].reasons[-1]
    small = fault_table(changed(board_, SetValue("F1", "rating", 5.0)), faults=[Short("S1:1", "X1:1")]).lines[0]
    assert small.worst == "signal lost"


def test_a_coil_that_stays_on_drains_the_battery_with_nothing_to_see():
    """85 ohm behind a switch that sticks: 0.15 A, no lamp changes."""
    parts = [
        Battery("G1"),
        Fuse("F1"),
        Switch("S1", "switch", {"on": [("1", "2")]}),
        Relay("K1", contact="make"),
        Lamp("E1"),
    ]
    quiet = board(
        "a relay without work",
        parts,
        [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "K1:86"), ("K1:85", "G1:-"), ("F1:2", "E1:1")],
    )
    line = fault_table(quiet, faults=[Hold("S1", "on")]).lines[0]
    assert line.worst == "battery drain" and line.effects[0].reasons == ("0.15 A flow with everything at rest",)
    assert line.counts == {"battery drain": 1, "no effect": 1}


def test_a_coil_with_a_little_current_less_is_no_drain(table):
    assert effect(table, "coil of K1 broken").worst == "no effect"


def test_a_short_that_lets_a_relay_hold_itself_is_found():
    """Start pressed once and the lamp stays: only what was before tells."""
    holding = self_holding()
    loop = next(wire.name for wire in holding.wires if wire.terminals == ("K1:87", "X2:2"))
    open_ = changed(holding, LoseJoint(loop, "K1:87"))
    line = fault_table(open_, faults=[Short("K1:87", "X2:3")]).lines[0]
    row = rows_of(open_).index({"start": "off", "stop": "off"})
    assert line.effects[row].worst == "wrong signal"
    assert line.effects[row].reasons == ("E1 is steady and shall be dark, if relays were operated before",)


def test_a_fault_that_buzzes_is_named():
    line = fault_table(relay_board(), faults=[Short("K1:87a", "K1:86")]).lines[0]
    assert any("buzz" in reason for effect_ in line.effects for reason in effect_.reasons)


def test_a_healthy_row_without_an_answer_is_compared_by_its_verdict():
    short = straight_short()
    line = fault_table(short, faults=[LoseJoint("W1", "G1:+")]).lines[0]
    assert line.worst == "no effect"


@pytest.mark.outside("UN R48 par. 5.15: stop and turn lamps are red or amber; white ones behind only to reverse and at the plate")
def test_a_white_lamp_over_a_load_bed_is_lost_and_signals_nothing():
    line = fault_table(arrangement("one-fused-lamp"), faults=[Hold("E1", "blown")]).lines[0]
    assert line.worst == "lamp lost" and {words for each in line.effects for words in each.reasons} == {"E1 stays dark"}
    amber = arrangement("one-fused-lamp").with_parts(replace(arrangement("one-fused-lamp").part("E1"), light="amber"))
    line = fault_table(amber, faults=[Hold("E1", "blown")]).lines[0]
    assert line.worst == "signal lost" and "nobody sees the steady signal of lamp switch on" in line.effects[-1].reasons
    behind = amber.with_parts(replace(amber.part("E1"), place="rear left"))
    assert "nobody behind sees the steady signal of lamp switch on" in fault_table(behind, faults=[Hold("E1", "blown")]).lines[0].effects[-1].reasons


def test_rules_name_the_signal_and_another_rule_may_be_given(cart):
    fault = [Hold("E2", "blown")]
    own = fault_table(cart, faults=fault).lines[0]
    assert "nobody behind sees the steady signal of brake pedal held" in own.effects[-3 + 1].reasons or any(
        "of brake pedal held" in reason for each in own.effects for reason in each.reasons)
    none = fault_table(cart, rule=(), faults=fault).lines[0]
    assert not any("brake pedal held" in reason for each in none.effects for reason in each.reasons)


@pytest.mark.parametrize("levels, seen", [
    (((2,), (2,)), "steady"), (((0,), (0,)), "dark"), (((1,), (1,)), "dim steady"), (((2,), (0,)), "flashing"),
    (((2,), (1,)), "flashing"), (((1,), (0,)), "dim flashing")])
def test_a_lamp_is_looked_at_over_the_phases(levels, seen):
    assert look(levels, 0) == seen


# ------------------------------------------------------------------ batch and point by point

def signature(seen):
    """What can be seen, without the words and the last digits of a current."""
    return (seen.verdict, seen.overloaded, [frozenset(levels) for levels in zip(*seen.levels)],
            [frozenset(levels) for levels in zip(*seen.held_levels)])


@pytest.mark.in_turn(4, 1)
@pytest.mark.parametrize(
    "name",
    [
        "one-fused-lamp",
        "relay-test-board",
        "tied-stop-and-turn",
        "shared-filament-rear-relays",
        "shared-filament-four-relays",
    ],
)
def test_the_batch_sees_what_is_seen_point_by_point(name):
    """Every second fault in every row; blown fuses and drawn amperes too."""
    healthy = arrangement(name)
    rows, faults = rows_of(healthy), single_faults(healthy)[::2]
    for fault, seen in zip(faults, batches.observe_all(healthy, rows, faults)):
        alone = observe(fault.apply(healthy), rows, healthy)
        assert [signature(each) for each in seen] == [signature(each) for each in alone], fault.words
        assert [each.blown for each in seen] == [each.blown for each in alone], fault.words
        assert [each.drawn for each in seen] == pytest.approx([each.drawn for each in alone], abs=1e-5), fault.words


def test_a_wire_that_two_batteries_overload_together_is_seen_at_once_and_alone():
    """Two batteries side by side each give half of 12.6 V over 0.8 ohm, under what any wire may carry; the one wire
    behind both carries all of it (Kirchhoff's current law)."""
    doubled = board("two batteries", [Battery("G1"), Battery("G2"), Splice("X1", 3), Splice("X2", 3),
                                      Resistor("R1", 0.8), toggle("S1", "switch")],
                    [("G1:+", "X1:1"), ("G2:+", "X1:2"), ("X1:3", "S1:1"), ("S1:2", "R1:1"), ("R1:2", "X2:3"),
                     ("G1:-", "X2:1"), ("G2:-", "X2:2")])
    rows, fault = rows_of(doubled), LoseJoint("W1", "G1:+", 0.001)
    off, on = observe(doubled, rows, doubled)
    assert off.overloaded == () and on.overloaded == ("W3", "W4", "W5") and 7.0 < on.drawn < 8.0
    assert batches.observe_all(doubled, rows, [fault])[0][1].overloaded == on.overloaded


@pytest.mark.parametrize("name, step", [("switched-ground-coils", 3), *(pytest.param(name, 1, marks=pytest.mark.full) for name in (
    "shared-filament-four-relays", "switched-ground-coils", "third-stop-lamp"))])
def test_a_flasher_that_cannot_stay_on_shows_what_the_time_course_shows(name, step, monkeypatch):
    """The short cut against the long way: lamps in every row in which the flasher finds no rest."""
    healthy = arrangement(name)
    rows = rows_of(healthy)
    faults = [fault for fault in single_faults(healthy) if fault.kind in ("corroded joint", "short to chassis",
                                                                          "short between neighbours")][::step]
    quick = batches.observe_all(healthy, rows, faults)
    monkeypatch.setattr(observing, "_stalled", lambda *given: None)
    slow = batches.observe_all(healthy, rows, faults)
    def timed(lots):
        return sum("looked at over time" in each.sentence for seen in lots for each in seen)

    assert timed(slow) - timed(quick) > 5
    for fault, one, other in zip(faults, quick, slow):
        for row, a, b in zip(rows, one, other):
            assert [set(x) for x in zip(*a.levels)] == [set(x) for x in zip(*b.levels)], (fault.words, row)


def test_relays_that_drop_with_the_supply_a_flasher_breaks_do_not_come_to_it(monkeypatch):
    """A hazard feed with 5 ohm in it, a flasher that lets go at once: it does so before a relay moves, as the played second shows."""
    healthy = changed(arrangement("shared-filament-four-relays-hazard"), SetValue("K9", "hold_up", 0.0))
    rows = [row for row in rows_of(healthy) if row["key"] == "off"]
    corroded = LoseJoint("W9", "F3:1", 5.0)
    (quick,) = batches.observe_all(healthy, rows, [corroded])
    alone = observe(corroded.apply(healthy), rows, healthy)
    assert not any("looked at over time" in each.sentence for each in (*quick, *alone))
    assert [each.levels for each in quick] == [each.levels for each in alone]
    monkeypatch.setattr(observing, "_stalled", lambda *given: None)
    (slow,) = batches.observe_all(healthy, rows, [corroded])
    assert sum(each.verdict == "chatter" for each in slow) == sum(row["hazard"] == "on" for row in rows) == 12
    for row, a, b in zip(rows, quick, slow):
        assert [set(x) for x in zip(*a.levels)] == [set(x) for x in zip(*b.levels)], row


def test_a_fuse_that_blows_beside_a_flasher_that_cannot_stay_on_is_told_among_many_too():
    """A bad joint ahead of the flasher and a lamp's wire on the chassis: the fuse of the stop lamps goes, seen alone and at once."""
    healthy = arrangement("combined-turn-stop-lever-trailer")
    rows, singles = rows_of(healthy), {fault.words: fault for fault in single_faults(healthy)}
    (both,) = double_faults(healthy, [singles["joint of W6 at K9:49 corroded, 5 ohm"], singles["W11 chafed through to X1 at E7:1"]])
    (many,), alone = batches.observe_all(healthy, rows, [both]), observe(both.apply(healthy), rows, healthy)
    told = [(each.verdict, each.blown, each.levels) for each in many]
    assert told == [(each.verdict, each.blown, each.levels) for each in alone]
    assert ("chatter", ("F1",)) in [each[:2] for each in told]


def test_with_its_hold_up_the_flasher_is_on_for_long_enough_that_relays_drop_with_its_supply(monkeypatch):
    """The same feed: four relays buzz, in the settled row, among many changes, and in time."""
    healthy = arrangement("shared-filament-four-relays-hazard")
    rows = [row for row in rows_of(healthy) if row["hazard"] == "on"][:4]
    corroded = LoseJoint("W9", "F3:1", 5.0)
    (many,), alone = batches.observe_all(healthy, rows, [corroded]), observe(corroded.apply(healthy), rows, healthy)
    for row, one, other in zip(rows, many, alone):
        course = run(corroded.apply(healthy), [(0.0, *item) for item in row.items()], 1.0)
        assert one.verdict == other.verdict == course.verdict == "buzzing"


# ------------------------------------------------------------------ the table

@pytest.mark.in_turn(7, 2)
@pytest.mark.parametrize("part", [0, *(pytest.param(each, marks=pytest.mark.full) for each in (1, 2))])
@pytest.mark.parametrize("name", NAMES)
def test_every_arrangement_of_the_kit_gets_its_table(name, part):
    healthy = arrangement(name)
    faults = single_faults(healthy)[::7 if len(rows_of(healthy)) > 24 else 3][part::3]
    found = fault_table(healthy, faults=faults)
    assert found.is_complete and len(found.lines) == len(faults)
    assert [line.rank for line in found.lines] == sorted(line.rank for line in found.lines)
    for line in found.lines:
        assert len(line.effects) == len(found.rows)
        for each in line.effects:
            assert each.classes == tuple(sorted(each.classes, key=CLASSES.index))
            assert (each.worst == "no effect") == (each.classes == ("no effect",))
            assert each.worst == "no effect" or each.reasons
    assert sum(found.counts.values()) == len(faults)


def test_progress_is_told_and_can_stop_the_work(cart, monkeypatch):
    monkeypatch.setattr("circuitlab.reasoning.faults.table.TOGETHER", 10)
    heard = []
    found = fault_table(cart, faults=single_faults(cart)[:35],
                        progress=lambda done, total: heard.append((done, total)) or done < 20)
    assert heard == [(0, 35), (10, 35), (20, 35)]
    assert not found.is_complete and len(found.lines) == 20 and found.asked == 35
    assert "15 faults were not looked at" in faults_summary(found)


def test_the_keyboard_ends_the_work_and_keeps_what_there_is(cart, monkeypatch):
    monkeypatch.setattr("circuitlab.reasoning.faults.table.TOGETHER", 10)

    def interrupt(done, total):
        if done:
            raise KeyboardInterrupt
    assert len(fault_table(cart, faults=single_faults(cart)[:30], progress=interrupt).lines) == 10


def test_a_plain_change_is_a_fault_too_and_anything_else_is_not(cart):
    assert fault_table(cart, faults=[Hold("K9", "off")]).line("hold K9 off").hides
    with pytest.raises(ArrangementError, match="'K9 dead' is neither a fault nor a change"):
        fault_table(cart, faults=["K9 dead"])


def test_a_fault_the_table_does_not_have_is_said(table):
    with pytest.raises(ArrangementError, match="no fault of the table is 'gone'. Ask by its words, such as"):
        table.line("gone")


def test_double_faults_are_pairs_of_different_places(cart):
    singles = single_faults(cart, ["blown fuse", "dead flasher", "dead coil"])
    pairs = double_faults(cart, singles)
    assert len(pairs) == len(singles) * (len(singles) - 1) // 2      # all of them sit in different places
    dead = next(pair for pair in pairs if pair.words == "F1 blown, and F2 blown")
    worst = fault_table(cart, faults=[dead]).lines[0]
    assert worst.effects[rows_of(cart).index(cart.positions({"brake pedal": "held", "key": "on", "turn lever": "left"}))
                         ].reasons[-1].startswith("nobody behind sees")
    assert dead.odds < min(fault.odds for fault in singles)
    assert double_faults(cart, singles, progress=lambda done, total: False) == ()
    same = [
        Fault((Hold("F1", "blown"),), "F1", "blown fuse", "one", 1.0),
        Fault((Hold("F1", "whole"),), "F1", "x", "two", 1.0),
    ]
    assert double_faults(cart, same) == ()


# ------------------------------------------------------------------ the reading

@pytest.mark.parametrize("step, volts, ohms", [(12, 15, 2), pytest.param(6, 30, 4, marks=pytest.mark.full)])
def test_the_reading_tells_the_fault_in_its_own_row(cart, table, step, volts, ohms):
    """Whatever is printed can be measured again: the two volts are those of the two arrangements."""
    told = Counter()
    for line in table.lines[::step]:
        reading = table.reading(line)
        if reading is None:
            continue
        for circuit, each in ((cart, reading.healthy), (line.fault.apply(cart), reading.faulty)):
            if not reading.before:
                point = operating_point(circuit, each.positions, each.phases)
                assert take_reading(point, each.red, each.black, each.instrument) == each
            told[each.instrument] += 1
            assert each.red in cart.terminals and cart.wires_at[each.red]
        assert reading.difference >= 0.5 or reading.seen or reading.healthy.instrument == "ohms"
    assert told["meter"] > volts and told["ohms"] > ohms


def test_no_place_would_differ_much_more_than_the_one_chosen(cart, table):
    """The greatest difference anywhere is at most half a volt and the price of reach beyond the chosen one."""
    for words in ("ground joint of W26 at X1:1 lost", "coil of K1 broken", "F1 blown"):
        line = table.line(words)
        reading, broken = table.reading(line), line.fault.apply(cart)
        before, after = (operating_point(each, reading.healthy.positions, reading.healthy.phases) for each in (cart, broken))
        most = max(
            abs((before.volts(end) or 0) - (after.volts(end) or 0)) for end in cart.terminals if cart.wires_at[end]
        )
        assert reading.difference >= 0.95 * most - 0.5


def test_a_lost_ground_is_read_at_the_lamps_own_ground_terminal(table):
    reading = table.reading(table.line("ground joint of W26 at X1:1 lost"))
    assert reading.healthy.red == "E1:2" and reading.healthy.value < 0.5 and reading.faulty.value > 11


def test_a_blown_lamp_is_told_by_its_volts_and_its_darkness(table):
    """Healthy or not, it has its volts across it; that it is dark all the same tells it. Common practice."""
    reading = table.reading(table.line("E1 blown"))
    assert {reading.healthy.red, reading.healthy.black} == {"E1:1", "E1:2"} and reading.seen == "E1 stays dark"
    assert reading.faulty.value > reading.healthy.value > 11
    assert reading_words(reading).endswith("now, and E1 stays dark.")
    told = best_reading(table.arrangement, Hold("E1", "blown"), ())     # no row to look in: a filament is gone on ohms too
    assert told.healthy.instrument == "ohms" and told.healthy.value < 5 and told.faulty.value is None


def live(table, line):
    reading = table.reading(line)
    return reading is not None and reading.healthy.instrument != "ohms"


@pytest.mark.parametrize("name", ["one-fused-lamp", pytest.param("shared-filament-rear-relays", marks=pytest.mark.full)])
def test_no_short_is_looked_for_live(name):
    """Neither where hundreds of amps flow nor where a fuse would blow again: ohms, battery off. Common practice."""
    table = fault_table(arrangement(name))
    shorts = [line for line in table.lines if line.is_short]
    assert {line.worst for line in shorts} >= {"fire risk", "lamp lost" if name == "one-fused-lamp" else "signal lost"}
    assert not [line.fault.words for line in shorts if live(table, line)]
    told = [table.reading(line) for line in shorts]
    assert sum(each is not None for each in told) >= 0.8 * len(told)
    for each in filter(None, told):
        assert each.faulty.value is None or each.healthy.value is None or abs(each.faulty.value - each.healthy.value) > 0.8
        assert "every battery off (minus first)" in reading_words(each, is_short=True)
    assert reading_words(None, is_short=True) == ("every battery off first (minus first), and never measure it live: look for what "
                                                  "touches.")


def test_of_a_joint_that_gets_hot_nobody_is_told_that_something_touches():
    """Nothing touches at a corroded joint, and a reading live would be at the hot place: off, cool, look."""
    healthy = arrangement("trailer-4-flat-combined-lamps")
    joint = next(fault for fault in single_faults(healthy, ["corroded joint"]) if fault.place == "F1:1")
    table = fault_table(healthy, faults=[joint])
    (line,) = table.lines
    assert line.fault.words == "joint of W1 at F1:1 corroded, 5 ohm" and line.is_short and table.reading(line) is None
    said = "Reading: every battery off first (minus first), and never measure it live: let it cool, then look for a joint or pin that is loose, dark or burnt."
    text, page = (" ".join(words(table).split()) for words in (fault_table_text, fault_table_html))
    assert said in text and said.removeprefix("Reading: ") in page and "what touches" not in text + page
    (both,) = double_faults(healthy, [joint, single_faults(healthy, ["short to chassis"])[-1]])
    assert joint.is_poor and not both.is_poor and as_fault(LoseJoint("W1", "F1:1", 5.0)).is_poor


def test_a_touch_beside_a_cold_filament_is_measured_with_the_lamp_out():
    """A cold 21 W filament has half an ohm: nobody tells a touch beside it before the lamp is out of its socket."""
    table = fault_table(arrangement("one-fused-lamp"))
    reading = table.reading(table.line("E1:1 touches E1:2"))
    assert reading.before == "F1 pulled out, E1 out of its socket" and reading.healthy.value is None and reading.faulty.value < 0.1
    assert "0 ohm (what the leads show held together) now" in reading_words(reading)


def test_a_bridged_fuse_guards_nothing_and_is_found_with_the_fuse_out():
    table = fault_table(arrangement("one-fused-lamp"))
    line = table.line("F1:1 touches F1:2")
    assert line.worst == "protection lost" and line.counts == {"protection lost": 2}
    reading = table.reading(line)
    assert reading.before == "F1 pulled out" and reading.healthy.shown == 0 and reading.faulty.value > 12


@pytest.mark.full
def test_a_row_that_tells_is_found_beyond_the_first_few():
    """A joint of 5 ohm in the common ground: where the flasher finds no rest, the pedal alone tells it.

    On the way through a flasher that waits open such a joint carries next to nothing wherever there is rest: no volts of the
    circuit itself tell it, those under a lamp clipped on do.
    """
    table = fault_table(arrangement("hazard-by-diodes"), faults=[fault for fault in single_faults(arrangement("hazard-by-diodes"))
                                                                 if fault.words.endswith("corroded, 5 ohm")])
    told = {line.fault.words: table.reading(line) for line in table.lines if line.worst != "no effect"}
    assert None not in told.values()
    through = ["W9 at F3:1", "W10 at X2:1", "W11 at K9:49", "W26 at X6:1"]
    assert [words for words, each in told.items() if "clipped on" in each.before] == [f"joint of {each} corroded, 5 ohm" for each in through]


# ------------------------------------------------------------------ in words

@pytest.mark.parametrize("step, number", [(10, 17), pytest.param(1, 169, marks=pytest.mark.full)])
def test_the_text_says_every_fault_with_its_row_and_reading(table, step, number):
    some = replace(table, lines=table.lines[::step])
    text = " ".join(fault_table_text(some).split())
    assert text.startswith(table.arrangement.title) and f"{number} faults in 12 rows" in text
    assert len(some.lines) == number and text.count("Reading: ") > number / 2
    for line in some.lines:
        assert line.fault.words in text
    assert text.index("STOP LAMP DARK WHILE SIGNALLING") < text.index("fire risk in") < text.index("wrong signal in")
    assert "the odds are the kit's own guess" in text


def test_the_html_has_a_line_for_each_fault_and_is_safe(table):
    html = fault_table_html(table, readings=False)
    assert html.count("<tr>") == len(table.lines) + 1
    nasty = replace(table.lines[0].fault, words="<script>")
    shown = fault_table_html(replace(table, lines=(replace(table.lines[0], fault=nasty),)), readings=False)
    assert "<script>" not in shown and "&lt;script&gt;" in shown


def test_an_arrangement_without_lamps_or_controls_has_a_table_as_well():
    bare = board("a battery and a fuse", [Battery("G1"), Fuse("F1")], [("G1:+", "F1:1"), ("F1:2", "G1:-")], ())
    assert fault_table(bare).is_complete


def test_no_meter_is_held_to_the_dead_side_of_a_blown_fuse():
    """With the fuse gone its battery side reads nothing whatever the short: the fuse is out, the lead on its load side."""
    table = fault_table(arrangement("relay-test-board"))
    told = [(line, table.reading(line)) for line in table.lines if line.is_short and any(each.blown for each in line.effects)]
    assert len(told) > 4
    for line, reading in told:
        assert reading.before.startswith("F1 pulled out") and reading.healthy.red not in ("F1:1", "G1:+")
        alone = changed(line.fault.apply(table.arrangement), Hold("F1", "blown"))
        point = operating_point(alone, reading.faulty.positions)
        if reading.before == "F1 pulled out":
            assert take_reading(point, reading.faulty.red, reading.faulty.black, "ohms") == reading.faulty


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("words, red, least", [("W44 at X1:7", {"E1:2", "X1:7", "G1:-"}, 5), ("W9 at F3:1", {"F3:1", "G1:+"}, 2)])
def test_a_bad_joint_is_read_at_the_joint_and_accuses_nothing_else(words, red, least):
    """5 ohm in the common ground: 9 V where there should be none, with the pedal alone. Common practice: volts dropped.

    In the hazard feed only the coils draw while the flasher waits open: four of 0.1 A lose 2 V.
    """
    cart = arrangement("hazard-by-diodes")
    (fault,) = [fault for fault in single_faults(cart) if fault.words == f"joint of {words} corroded, 5 ohm"]
    table = fault_table(cart, faults=[fault])
    reading = table.reading(table.lines[0])
    assert reading.healthy.red in red or reading.healthy.red in ("E1:2", "E2:2") and words.startswith("W44")
    assert reading.difference > least


def test_different_coil_faults_are_read_at_different_places():
    table = fault_table(arrangement("relay-test-board"))
    told = {words: table.reading(table.line(words)) for words in (
        "ground joint of W8 at X1:1 lost", "W4 open at S1:1", "W5 open at K1:86", "relay K1 stuck released")}
    places = {words: {each.healthy.red, each.healthy.black} - {"G1:-"} for words, each in told.items()}
    assert places == {"ground joint of W8 at X1:1 lost": {"K1:85"}, "W4 open at S1:1": {"S1:1"}, "W5 open at K1:86": {"S1:2", "K1:86"},
                      "relay K1 stuck released": {"K1:86", "K1:87"}}
    alike = {words: set(each.alike) for words, each in told.items() if each.alike}
    assert alike == {"relay K1 stuck released": {"coil of K1 broken", "ground joint of W8 at X1:1 lost"}}


@pytest.mark.parametrize("name", ["relay-test-board", "switched-ground-coils"])
def test_a_broken_coil_is_read_as_no_way(name):
    """Common practice: an open coil shows over the range on any meter."""
    circuit = arrangement(name)
    (broken, *_) = [fault for fault in single_faults(circuit, ["dead coil"]) if fault.place == "K1"]
    ends = "K1:86", "K1:85"
    alone = changed(circuit, *broken.changes, *(LoseJoint(wire, ends[0]) for wire in circuit.wires_at[ends[0]]))
    assert shown_words(take_reading(operating_point(alone), *ends, "ohms")) == "no way (over the range)"
    whole = shown_words(take_reading(operating_point(circuit), *ends, "ohms"))
    assert whole.endswith(" ohm") and "over" not in whole


@pytest.mark.outside("Joule: a current that is on for half of the time heats as one of 0.71 of it; W13 of 0.35 mm2 may carry 3.44 A for long, and 3.64 A flash in it")
def test_a_wire_behind_a_flasher_is_judged_by_what_heats_it_on_average():
    """Point by point and all at once; welded in its on state the flasher overloads it."""
    thin, row = changed(arrangement("trailer-12n-separate-lamps"), SetValue("W13", "area", 0.35)), {"key": "on", "turn lever": "left"}
    welded, limit = Hold("K9", "on"), observing.limits_of(thin)["W13"]
    assert abs(operating_point(thin, row, "on").current("W13")) > limit > 0.75 * abs(operating_point(thin, row, "on").current("W13"))
    seen = [observe(circuit, [thin.positions(row)], thin)[0].overloaded for circuit in (thin, changed(thin, welded))]
    assert seen == [(), ("W13",)]
    assert [each[0].overloaded for each in batches.observe_all(thin, [thin.positions(row)], [SetValue("W13", "area", 0.35), welded])] == seen

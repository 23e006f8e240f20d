"""Two circuits side by side, whatever things are called in them: wires by what they join, parts by how they are wired."""

from collections import Counter
from dataclasses import fields, replace
from operator import attrgetter
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitlab.arrangements import (AddPart, AddWire, Arrangement, LoseJoint, MoveWire, RemoveWire, ReplacePart, SetValue, Short,
                                     arrangement, arrangement_names, changed)
from circuitlab.arrangements.counterparts import counterparts
from circuitlab.arrangements.naming import renamed
from circuitlab.benches.board.listed import ComparedLines
from circuitlab.parts import Battery, Fuse, Lamp, LedLamp, Relay, Wire
from circuitlab.reasoning.comparing import compare
from circuitlab.reasoning.things import ThingChange, marked_things, things_changed
from circuitlab.views.compare_words import comparison_html, comparison_text
from circuitlab.views.thing_words import name_line, thing_lines
from random_arrangements import random_arrangement

REAR, FOUR = arrangement("shared-filament-rear-relays"), arrangement("shared-filament-four-relays")
NAME = attrgetter("name")


def scrambled(circuit, seed, parts=False):
    """Return a circuit whose wires, and parts where asked, are listed anew under other names, half of the wires the other way
    round, and those names."""
    chance = Random(seed)
    named = [circuit.wires, circuit.listed] if parts else [circuit.wires]
    names = {thing.name: f"{letter}{number}" for letter, lot in zip("LP", named)
             for number, thing in enumerate(chance.sample(lot, len(lot)), 1)}
    other = renamed(circuit, names)
    names |= {seat.name: f"{names[part.name]}{seat.name.removeprefix(part.name)}" for part in circuit.listed for seat in part.seats if part.name in names}
    turned = [replace(wire, start=wire.end, end=wire.start, start_joint=wire.end_joint, end_joint=wire.start_joint)
              if chance.random() < 0.5 else wire for wire in other.wires]
    return replace(other, wires=chance.sample(turned, len(turned)), parts=chance.sample(other.parts, len(other.parts))), names


def told(before, after):
    """Return what is told of two circuits beside names."""
    return [thing for thing in things_changed(counterparts(before, after)) if not thing.is_only_named]


# ------------------------------------------------------------------ wires

@pytest.mark.parametrize("name", arrangement_names())
def test_wires_of_other_names_the_other_way_round_are_the_same_wires(name):
    circuit = arrangement(name)
    other, names = scrambled(circuit, name)
    same = counterparts(circuit, other)
    assert same.wires == {wire.name: names[wire.name] for wire in circuit.wires} and told(circuit, other) == []
    assert {wire.name: wire for wire in same.there.wires} == {wire.name: wire for wire in circuit.wires}


@pytest.mark.full
def test_a_circuit_of_other_names_compares_as_the_same_and_says_which_name_is_which():
    other, names = scrambled(REAR, 3, parts=True)
    found = compare(REAR, other, faults=True)
    assert found.is_same and not found.terminals and not found.differences and found.faults == ()
    assert thing_lines(found) == [] and all(f"K9 is {names['K9']}" in told for told in (comparison_text(found), comparison_html(found)))
    text = comparison_text(found)
    assert "Parts, wires and controls are the same." in text and f"W1 is {names['W1']}," in text


def test_names_that_changed_places_are_told_as_names_alone():
    swapped = renamed(REAR, {"W1": "W2", "W2": "W1"})
    assert told(REAR, swapped) == [] and len(things_changed(counterparts(REAR, swapped))) == 2
    assert name_line(compare(REAR, swapped), "wires") == "Wires of other names in the second: W1 is W2, W2 is W1."


def test_three_names_numbered_on_together_share_their_words():
    found = compare(FOUR, renamed(FOUR, {"W1": "L8", "W2": "L9", "W3": "L10", "W5": "L11", "W6": "L12"}))
    assert name_line(found, "wires") == "Wires of other names in the second: W1 to W3 are L8 to L10, W5 is L11, W6 is L12."
    assert name_line(found, "parts") == ""


@pytest.mark.parametrize("is_renamed", [False, True])
def test_one_end_moved_is_one_change(is_renamed):
    for circuit, wire, old, new in ((REAR, "W16", "K1:87", "K2:87"), (FOUR, "W4", "K1:87a", "K3:87a")):
        moved = changed(circuit, MoveWire(wire, old, new))
        other, names = scrambled(moved, 1) if is_renamed else (moved, {})
        assert told(circuit, other) == [ThingChange("changed", wire, "wire", (("end", old, new),), names.get(wire, ""))]


def test_a_wire_to_another_terminal_of_one_splice_is_said_to_be_on_the_same_metal():
    found = compare(REAR, renamed(changed(REAR, MoveWire("W28", "X1:5", "X1:6")), {"W28": "W77"}))
    assert thing_lines(found) == ["on another terminal of the same splice or chassis: wire W28 (W77 there) X1:5 to X1:6"]


def test_a_wire_of_the_same_name_is_none_that_was_moved_where_another_took_its_place():
    """W28 runs from the flasher to ground in both, as W40 in the second; W28 there is another wire that has an end in common."""
    other = changed(renamed(REAR, {"W28": "W40"}), MoveWire("W40", "X1:5", "X1:4"), AddWire(Wire("W28", "X1:5", "E1:2", "YE", 3.0)))
    assert [(thing.how, thing.name, thing.there) for thing in told(REAR, other)] == [("changed", "W28", "W40"), ("added", "W28", "")]


def test_a_wire_of_another_colour_and_length_with_one_end_elsewhere_is_another_wire():
    other = changed(REAR, MoveWire("W16", "X4:3", "X5:3"), SetValue("W16", "colour", "BU"), SetValue("W16", "length", 0.2))
    assert [(thing.how, thing.name) for thing in told(REAR, other)] == [("removed", "W16"), ("added", "W16")]
    assert thing_lines(compare(REAR, other)) == ["removed: wire W16 X4:3 to K1:87", "added: wire W16 X5:3 to K1:87"]


def test_parallel_wires_are_matched_one_to_one_by_what_they_are_made_of():
    lots = [("W2", "RD", 1.0), ("W3", "RD", 2.0), ("W4", "BK", 1.0)], [("W9", "BK", 1.0), ("W4", "RD", 2.0), ("W2", "BU", 1.5)]
    before, after = (Arrangement("side by side", (), [Battery("G1"), Lamp("E1")], [
        Wire("W1", "G1:-", "E1:2"), *(Wire(name, *ends, colour, length) for name, colour, length in lot)])
        for lot, ends in zip(lots, (("G1:+", "E1:1"), ("E1:1", "G1:+"))))
    assert counterparts(before, after).wires == {"W1": "W1", "W2": "W2", "W3": "W4", "W4": "W9"}
    assert [thing.name for thing in told(before, after)] == ["W2"]
    assert told(before, changed(before, RemoveWire("W3"))) == [ThingChange("removed", "W3", "wire")]


def test_a_joint_is_compared_with_the_joint_at_the_same_terminal():
    bad = changed(scrambled(REAR, 5)[0], LoseJoint(scrambled(REAR, 5)[1]["W16"], "K1:87", 2.0))
    (thing,) = told(REAR, bad)
    assert (thing.name, thing.values) == ("W16", (("end joint", "0.001 ohm", "2 ohm"),))


def test_two_places_that_touch_are_no_wire_that_was_there():
    short = changed(REAR, RemoveWire("W22"), Short("E1:2", "X1:1", 0.5))
    assert sorted(thing.how for thing in told(REAR, short)) == ["added", "removed"]


# ------------------------------------------------------------------ parts

@pytest.mark.parametrize("name", arrangement_names())
def test_parts_of_other_names_are_known_by_how_they_are_wired(name):
    """All names are others, wires and parts listed in another order: each is found again, and lamps do the same under it."""
    circuit = arrangement(name)
    other, names = scrambled(circuit, name, parts=True)
    same = counterparts(circuit, other)
    assert same.parts | same.wires == names and told(circuit, other) == []


def test_a_flasher_of_another_name_is_found_and_said():
    found = compare(REAR, renamed(REAR, {"K9": "B1"}))
    assert found.same.parts["K9"] == "B1" and not [thing for thing in found.things if not thing.is_only_named]
    assert "Parts of other names in the second: K9 is B1." in comparison_text(found).partition("In all")[0]


def test_a_part_with_one_wire_elsewhere_is_still_found_by_the_others():
    other = changed(renamed(REAR, {"K1": "K7"}), MoveWire("W16", "K7:87", "K7:87a"))
    assert told(REAR, other) == [ThingChange("changed", "W16", "wire", (("end", "K1:87", "K1:87a"),))]


def test_a_wire_that_was_moved_and_changed_keeps_its_name_where_a_part_has_another():
    """And a wire there that is called as a part here is in nobody's way."""
    other = changed(renamed(REAR, {"K9": "B1", "W1": "K9"}), MoveWire("W4", "K1:87a", "K1:87"), SetValue("W4", "length", 0.3))
    assert told(REAR, other) == [ThingChange("changed", "W4", "wire", (("end", "K1:87a", "K1:87"), ("length", "0.2 m", "0.3 m")))]
    assert counterparts(REAR, other).wires["W1"] == "K9"


def test_splices_numbered_in_another_order_are_the_same_splices():
    assert told(REAR, renamed(REAR, {"X2": "X3", "X3": "X2", "X4": "X5", "X5": "X4"})) == []


def test_a_name_that_some_wire_bears_out_is_kept():
    """The two relays with all wires but the ground exchanged: the names say which is which."""
    swapped = counterparts(REAR, renamed(REAR, {"K1": "K2", "K2": "K1"}))
    assert swapped.parts["K1"] == "K1" and swapped.parts["E1"] == "E1"


def test_what_could_be_two_things_is_nothing():
    """Two lamps side by side, alike in all: nobody can say which of two others is which, unless their places do."""
    def lamps(names, places=("", "")):
        return Arrangement("two lamps", (), [Battery("G1"), *(Lamp(name, place=place) for name, place in zip(names, places))], [
            Wire(f"{name}{end}", pole, f"{name}:{end}") for name in names for pole, end in (("G1:+", 1), ("G1:-", 2))])

    assert counterparts(lamps(["E1", "E2"]), lamps(["L1", "L2"])).parts == {"G1": "G1"}
    assert {(thing.how, thing.name) for thing in told(lamps(["E1", "E2"]), lamps(["L1", "L2"])) if thing.kind == "lamp"} == {
        ("removed", "E1"), ("removed", "E2"), ("added", "L1"), ("added", "L2")}
    placed = lamps(["E1", "E2"], ("left", "right")), lamps(["L1", "L2"], ("right", "left"))
    assert counterparts(*placed).parts == {"G1": "G1", "E1": "L2", "E2": "L1"}


def test_a_part_of_other_values_or_another_kind_is_another_part():
    for part in (Fuse("F8", 5.0), Fuse("F8", 7.5)):
        other = changed(renamed(REAR, {"F1": "F8"}), ReplacePart(replace(part, place="beside the battery")))
        assert ("F1" in counterparts(REAR, other).parts) == (part.rating == 7.5)
    led = changed(REAR, ReplacePart(LedLamp("E1", place="rear left")))
    assert "E1" not in counterparts(REAR, led).parts and compare(REAR, led).rows[0].lamps.keys() == {"E1", "E2", "E3", "E4"}


def test_a_part_without_a_wire_is_found_by_its_name_alone():
    spare = [changed(REAR, AddPart(Relay(name))) for name in ("K7", "K8")]
    assert {(thing.how, thing.name) for thing in told(*spare)} == {("removed", "K7"), ("added", "K8")}
    assert told(spare[0], spare[0]) == []


def test_a_name_that_belongs_to_something_else_there_is_nowhere_confused():
    """K1 is the flasher of the first and a relay of the second; what either alone has is told under its own name."""
    first, second = renamed(REAR, {"K9": "K1", "K1": "K9"}), changed(REAR, AddPart(Lamp("E9")))
    same = counterparts(first, second)
    assert same.parts["K1"] == "K9" and same.parts["K9"] == "K1" and told(first, second) == [ThingChange("added", "E9", "lamp")]
    more = changed(renamed(REAR, {"K9": "B1", "K1": "K3"}), AddPart(Relay("K9")), AddPart(Fuse("K1", 5)))
    assert {thing.name: (thing.how, thing.kind) for thing in told(REAR, more)} == {"K9": ("added", "relay"), "K1": ("added", "fuse")}
    assert {part.kind for part in counterparts(REAR, more).there.parts if part.name == "K9"} == {"flasher"}


def test_a_board_follows_a_lamp_under_its_name_in_either_circuit():
    """What is told of a row comes from both circuits, each in its own words; nothing is marked for its name alone."""
    other = changed(renamed(REAR, {"E1": "L1", "W20": "L20"}), RemoveWire("W4"))
    found = compare(REAR, other)
    assert found.same.parts["E1"] == "L1" and marked_things(found.same) == ("W4",)
    lines = ComparedLines(found)
    line = next(line for line in lines.lines if line.stands_out)
    said, _ = lines.told(line, lines.places(line)[0])
    assert said[0].startswith("E1 was steady, now dark") and any(words.startswith("After: ") and "L1" in words for words in said)


# ------------------------------------------------------------------ by chance

def _one_change(chance, circuit):
    """Return a change of one wire or part, and the thing that must be told of it, and of nothing else."""
    wire = chance.choice(circuit.wires)
    kind = chance.choice(("length", "colour", "move", "joint", "remove", "add", "note"))
    free = [end for end in circuit.terminals if end not in wire.terminals]
    if kind == "remove":
        return RemoveWire(wire.name), ("removed", wire.name)
    if kind == "add":
        return AddWire(Wire("N1", *chance.sample(circuit.terminals, 2), "PK", 7.77)), ("added", "N1")
    if kind == "move":
        return MoveWire(wire.name, chance.choice(wire.terminals), chance.choice(free)), ("changed", wire.name)
    if kind == "joint":
        return LoseJoint(wire.name, chance.choice(wire.terminals), 3.3), ("changed", wire.name)
    thing = chance.choice((wire, chance.choice(circuit.listed))) if kind == "note" else wire
    return SetValue(thing.name, kind, {"length": 9.9, "colour": "TQPK", "note": "another"}[kind]), ("changed", thing.name)


@settings(max_examples=150, deadline=None)
@given(st.randoms(use_true_random=False), st.sampled_from(arrangement_names()), st.booleans())
def test_one_change_by_chance_is_told_and_nothing_else(chance, name, is_renamed):
    before = arrangement(name)
    change, expected = _one_change(chance, before)
    after = changed(before, change)
    if is_renamed:
        after, names = scrambled(after, chance.random())
        expected = (expected[0], names[expected[1]]) if expected[0] == "added" else expected
    assert [(thing.how, thing.name) for thing in told(before, after)] == [expected]


@pytest.mark.full
@settings(max_examples=60, deadline=None)
@given(st.randoms(use_true_random=False), st.one_of(st.integers(0, 500), st.sampled_from(arrangement_names())))
def test_many_changes_by_chance_leave_no_wire_untold_and_as_many_unmoved_as_there_are(chance, which):
    """Held against a count of ends: of each two terminals, as many wires are the same as run there in both. What is said to be
    the same, its told values aside, is the same."""
    before = arrangement(which) if isinstance(which, str) else random_arrangement(which)
    after = before
    for _ in range(chance.randint(1, 6)):
        change, (_, thing) = _one_change(chance, after)
        after = changed(after, change) if thing != "N1" or "N1" not in after.by_name else after
    after, _ = scrambled(after, chance.random())
    same = counterparts(before, after)
    ends = [Counter(frozenset(wire.terminals) for wire in circuit.wires) for circuit in (before, after)]
    unmoved = [name for name in same.wires if {*before.part(name).terminals} == {*same.there.part(name).terminals}]
    assert len(unmoved) == sum((ends[0] & ends[1]).values())
    assert len({*same.wires.values()}) == len(same.wires) and {part.name for part in before.parts} == same.parts.keys()
    values = {thing.name: {field for field, *_ in thing.values} for thing in told(before, after) if thing.how == "changed"}
    for name in (*same.parts, *same.wires):
        one, other = before.part(name), same.there.part(name)
        assert {field.replace("_", " ") for field in map(NAME, fields(one)) if getattr(one, field) != getattr(other, field)} == values.get(
            name, set())
    gone = {thing.name for thing in told(before, after) if thing.how == "removed"}
    new = {thing.name for thing in told(before, after) if thing.how == "added"}
    assert gone == {wire.name for wire in before.wires} - same.wires.keys()
    assert new == {wire.name for wire in after.wires} - {*same.wires.values()}


def test_lamps_of_other_carts_are_told_by_where_they_stand_and_not_by_a_name_that_means_another_lamp():
    """E11 is the trailer's left stop lamp in one, its right tail lamp in the other; the trailer's tails are there in both."""
    before, after = arrangement("trailer-12n-separate-lamps"), arrangement("trailer-4-flat-converter")
    found = counterparts(before, after)
    for lamp, there in found.parts.items():
        if isinstance(before.part(lamp), Lamp) and before.part(lamp).bulb != after.part(there).bulb:
            assert before.part(lamp).place == after.part(there).place, (lamp, there)
    tails = {lamp.name for lamp in before.of_kind(Lamp) if lamp.place in ("trailer left tail", "trailer right tail")}
    assert len(tails) == 2 and all(after.part(found.parts[lamp]).place == before.part(lamp).place for lamp in tails)
    assert "E11" not in found.parts and "E11" not in found.there.by_name


def test_a_lamp_of_the_trailer_is_none_of_the_vehicle():
    """E10 is the trailer's right tail lamp in one cart, the rear tail lamp of the other."""
    found = counterparts(arrangement("trailer-4-flat-combined-lamps"), arrangement("trailer-separate-to-combined"))
    assert all(("trailer" in found.before.part(lamp).place) == ("trailer" in found.after.part(there).place)
               for lamp, there in found.parts.items() if isinstance(found.before.part(lamp), Lamp))
    assert "E10" not in found.parts

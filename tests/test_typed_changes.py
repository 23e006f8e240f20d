"""Changes typed as sentences: read, said again word for word, made, undone by replay, saved and read back."""

from dataclasses import fields
from random import Random

import pytest

from circuitlab.arrangements import (FORMS, AddControl, AddPart, AddWire, Arrangement, Changes, Hold, Lift, LoseJoint, MarkNotKnown,
                                     MoveWire, RemovePart, RemoveWire, ReplacePart, SetValue, Short, SwapTerminals,
                                     arrangement, changed, load_changes, read_change, save, save_changes)
from circuitlab.ground.errors import ArrangementError, CircuitLabError, FileError, PartError, UnknownName
from circuitlab.parts import KINDS, Chassis, Control, Fuse, Lamp, LedLamp, Relay, Splice, Switch, Wire
from circuitlab.solving import operating_point

from random_arrangements import random_arrangement


@pytest.fixture(scope="module")
def cart():
    return arrangement("shared-filament-four-relays")


@pytest.mark.parametrize("typed, record", [
    ("move W18 to K1:87a", MoveWire("W18", "K1:87", "K1:87a")),            # the end on the same part
    ("move W18 to K3:87a", MoveWire("W18", "K1:87", "K3:87a")),            # the end on a part of the same kind
    ("move W7 to K3:87", MoveWire("W7", "S1:30", "K3:87")),                # else the far end
    ("move W7 from F2:2 to K3:87", MoveWire("W7", "F2:2", "K3:87")),
    ("Swap K1:87 with K1:87a.", SwapTerminals("K1:87", "K1:87a")),
    ("lose W5 at X3:3", LoseJoint("W5", "X3:3")), ("corrode W5 at X3:3 0,8 ohm", LoseJoint("W5", "X3:3", 0.8)),
    ("corrode W5 at X3:3 800 mohm", LoseJoint("W5", "X3:3", 0.8)), ("lift X1:6", Lift("X1:6")),
    ("short K1:87 to K1:87a", Short("K1:87", "K1:87a")), ("short E1:1 to chassis", Short("E1:1", "X1")),
    ("short E1:1 to X1 2 ohm", Short("E1:1", "X1", 2.0)),
    ("blow F1", Hold("F1", "blown")), ("weld K1 operated", Hold("K1", "operated")),
    ("stick S2 held", Hold("S2", "held")),
    ("hold K9 off", Hold("K9", "off")), ("set F1 rating 5", SetValue("F1", "rating", 5.0)),
    ("set K1 pull in voltage 8000 mV", SetValue("K1", "pull_in_voltage", 8.0)),
    ("set K9 pilot yes", SetValue("K9", "pilot", True)), ("set X2 ways 4", SetValue("X2", "ways", 4)),
    ('set W5 note "new, by hand"', SetValue("W5", "note", "new, by hand")),
    ("set W5 end joint inf", SetValue("W5", "end_joint", float("inf"))),
    ("replace E3 by an LED lamp, watts 3 W", ReplacePart(LedLamp("E3", watts=3.0, light="amber", place="front left"))),
    ("replace E3 by a new LED lamp", ReplacePart(LedLamp("E3"))),
    ("add wire W60 from X3:2 to E3:1 RD 0.5 m 1 mm2", AddWire(Wire("W60", "X3:2", "E3:1", "RD", 0.5, 1.0))),
    ("connect wire W60 from X3:2 to E3:1 rdwh 2,5 m 1.5 mm2, note \"spare\"",
     AddWire(Wire("W60", "X3:2", "E3:1", "RDWH", 2.5, 1.5, note="spare"))),
    ('add part E7 lamp, place "rear, third"', AddPart(Lamp("E7", place="rear, third"))),
    ('add part S9 switch, control "brake pedal", closes "held: 1-2 1-3", worked by pedal',
     AddPart(Switch("S9", "brake pedal", {"held": [("1", "2"), ("1", "3")]}, "pedal"))),
    ("add control hazard: off, on", AddControl(Control("hazard", ("off", "on")))),
    ('add control "tail lamps": off, "half way", on shown on, "half way", off',
     AddControl(Control("tail lamps", ("off", "half way", "on"), ("on", "half way", "off")))),
    ("remove W3", RemoveWire("W3")), ("remove K3", RemovePart("K3")), ("take K3 with its wires", RemovePart("K3"))])
def test_a_typed_sentence_makes_its_record_and_the_record_says_it_again(cart, typed, record):
    read = read_change(typed, cart)
    assert read == record
    assert read_change(str(read), cart) == record and str(read_change(str(read), cart)) == str(record)
    assert read.apply(cart) == record.apply(cart) != cart


def test_every_form_the_help_shows_can_be_typed(cart):
    """The help's own examples, each on the arrangement they were written for."""
    ready = changed(cart, AddWire(Wire("W90", "X3:2", "E2:1")), MarkNotKnown("W8"), AddControl(Control("horn", ("off", "on"))))
    names = {"W5 at X1:2": "W26 at E1:2", "E5:1": "E3:1"}
    for form in FORMS.values():
        for example in form.split(", or: "):
            for old, new in names.items():
                example = example.replace(old, new)
            after = read_change(example, ready).apply(ready)
            assert after != ready or after.plan != ready.plan, example


@pytest.mark.parametrize("typed, error, words", [
    ("", ArrangementError, "no change is written there. Begin with one of: move, swap"),
    ("fly W7 to K3:87", UnknownName, "has no verb 'fly'. It has: move, swap"),
    ("moove W7 to K3:87", UnknownName, "Did you mean 'move'"),
    ("move W7", ArrangementError, "'move W7' cannot be read. Write it so: move W7 to K3:87"),
    ("move F1 to K3:87", ArrangementError, "'F1' is no wire, and only a wire can be moved"),
    ("move W7 to K3:99", UnknownName, "relay 'K3' has no terminal '99'. It has: 30, 85, 86, 87, 87a"),
    ("set F1 colour red", UnknownName, "a fuse has no value 'colour'. It has: rating, place, note"),
    ("set F1 rating", PartError, "the rating of the fuse is not said"),
    ("set F1 rating five", PartError, "'five' is not a quantity"),
    ("set X2 ways many", PartError, "must be a whole number, got 'many'"),
    ("set K9 pilot maybe", PartError, "'yes' or 'no', got 'maybe'"),
    ("replace E1 by tree", UnknownName, "has no kind of part 'tree'. It has: battery, fuse"),
    ("add wire W60 from X3:2 to E3:1 RD half a metre", ArrangementError, "'half a metre' is no colour, length"),
    ("add part K1 relay", ArrangementError, "the name 'K1' is taken by a relay"),
    ('add part S9 switch, control "brake pedal", closes "held"', PartError, "does not say what closes where"),
    ("blow K1", UnknownName, "relay 'K1' has no state 'blown'"),
    ('hold S2 "held', ArrangementError, "a quote that is not closed"),
    ("short E1:1 to X2", UnknownName, "'X2' is a splice; only a chassis is all one bare metal"),
    ("short E1:1 to E2:1 0", ArrangementError, "between 0.003 and 1000000 ohm"),
    ("lift K3:87a", ArrangementError, "nothing is wired to 'K3:87a'"),
    ("remove G1", ArrangementError, "has no battery"), ("corrode W5 at X3:3 0", PartError, "must be between 0.001")])
def test_what_cannot_be_typed_is_said_in_words(cart, typed, error, words):
    with pytest.raises(error, match=words):
        read_change(typed, cart)


@pytest.mark.parametrize("typed, said", [
    ("lift F1 : 2", "lift F1:2"), ("lose W2 at F1: 2", "lose W2 at F1:2"), ("lose W2 at S1", "lose W2 at S1:1"),
    ("corrode wire W2 at S1 1 ohm", "corrode W2 at S1:1 1 ohm"), ("delete W2", "remove W2"), ("take off W2", "remove W2"), ("take out F1", "remove F1 with its wires"), ("remove the F1", "remove F1 with its wires"),
    ("blow fuse F1", "blow F1"), ("set fuse F1 rating to 3 A", "set F1 rating 3 A"), ("set F1 rating=3", "set F1 rating 3 A"),
    ("lift terminal F1:2", "lift F1:2"), ("move wire W2 to S1:2", "move W2 from S1:1 to S1:2"),
    ("\u201clift F1:2\u201d", "lift F1:2"), ("'lift F1:2'", "lift F1:2"), ("lift \u201cF1:2\u201d", "lift F1:2"),
    ("set W2 note \u201enew, by hand\u201c", 'set W2 note "new, by hand"'),
    ("replace F1 with fuse", 'replace F1 by a new fuse, rating 5 A, place "beside the battery"'),
    ("replace F1 with breaker", 'replace F1 by a new breaker, rating 5 A, place "beside the battery"'),
    ("add part F9 fuse", "add part F9 fuse, rating 10 A"),
    ("add wire W9 from F1:1 to S1:1 RD 0.5 mm2", "add wire W9 from F1:1 to S1:1 RD 0.5 m 0.5 mm2")])
def test_a_small_liberty_is_taken_as_it_is_meant(typed, said):
    """What is made says itself whole, amps and ends included."""
    circuit = arrangement("one-fused-lamp")
    assert str(read_change(typed, circuit)) == said and read_change(said, circuit) == read_change(typed, circuit)


@pytest.mark.parametrize(("typed", "says"), [
    ("lose w11 at k1:86", "lose W11 at K1:86"), ("blow f1", "blow F1"), ("swap k1:87A and K1:87", "swap K1:87a and K1:87"),
    ("add wire W90 from e1:1 to x3:2 RD 1 m 1 mm2", "add wire W90 from E1:1 to X3:2 RD 1 m 1 mm2"),
    ("set fuse f1 rating 5 a", "set F1 rating 5 A"), ("move w7 to k3:87", "move W7 from S1:30 to K3:87")])
def test_small_letters_of_a_name_are_taken_as_they_are_meant(typed, says):
    assert str(read_change(typed, arrangement("shared-filament-four-relays"))) == says


def test_names_that_differ_in_capitals_alone_are_two_names():
    circuit = changed(arrangement("one-fused-lamp"), *(AddPart(Fuse(name, rating=5.0)) for name in ("fu", "Fu")))
    assert str(read_change("set fu rating 2", circuit)) == "set fu rating 2 A"
    with pytest.raises(UnknownName):
        read_change("set FU rating 2", circuit)


@pytest.mark.parametrize("typed, words", [
    ("lift F1", "'F1' is a whole fuse. Which of its terminals? Write F1:1 or F1:2."),
    ("lift F1-2", "has no part 'F1-2'. A terminal is written with a colon: F1:2."),
    ("lift W2", "'W2' is a wire, no terminal. It runs from F1:2 to S1:1: name one of these."),
    ("lift f2:2", "has no part 'f2'. It has: G1, F1, S1, E1, X1."),
    ("lose W2", "'lose W2' does not say at which end. Write lose W2 at F1:2 or lose W2 at S1:1."),
    ("remove W99", "has no wire 'W99'. It has: W1, W2, W3, W4, W5."),
    ('hold "lamp switch" on', "'lamp switch' is a control, no part: a hand or foot moves it to off, on. Its switch is S1."),
    ("cut W2", "Is one of these meant: lose W2 at F1:2 or lose W2 at S1:1; remove W2?"),
    ("add part E9 lamp 21W", "'21W' behind 'lamp' does not say which value it is. Write a comma, the value's name and the value: "
                             "E9 lamp, watts 21W."),
    ('add part S9 switch "key"', "'key' behind 'switch' does not say which value it is."),
    ("add relay K77", "the name stands before the kind. Write it so: add part K77 relay."),
    ("add part K77", "what kind of part 'K77' is to be is not said. Write it so: add part K77 relay."),
    ("add lamp", "the new lamp needs a name. Write it so: add part E2 lamp, watts 21 W."),
    ("add", "'add' does not say what."),
    ("add wire W9", "'add wire W9' does not say from where to where it runs. Write it so: add wire W60 from X3:2 to E5:1"),
    ("add wire W9 from F1:1 to E1", "'E1' is a whole lamp. Which of its terminals? Write E1:1 or E1:2."),
    ("add control key", "does not say the control's positions, rest first. Write it so: add control key: off, on."),
    ("add part F1 fuse", "the name 'F1' is taken by a fuse. Give the new fuse another one, such as F2."),
    ("add wire W1 from F1:1 to S1:1 RD", "the name 'W1' is taken by a wire. Give the new wire another one, such as W6."),
    ("add wire W9 from F1:1 to S1:1 red 0.5 m", "colour 'red' is not one or two IEC 60757 letters pairs. Write RD."),
    ("set W2 colour red/white", "Write RDWH."),
    ("add wire W9 from F1:1 to S1:1 RD 0.5", "'0.5' has no unit. Write 0.5 m for the wire's length, or 0.5 mm2 for its area."),
    ("add wire W9 from F1:1 to S1:1 RD 0.5 m 1", "'1' has no unit."),
    ("add wire W9 from F1:1 to S1:1 RD 0.5 m 1 m", "gives the wire its length twice."),
    ("add wire W9 from F1:1 to S1:1 0,5 qmm", "'0,5 qmm' is neither a length in m nor an area in mm2."),
    ("replace F1 by a new fuse", "the rating of the new fuse is not said. Write how many amps it is to have: "
                                 "replace F1 by a new fuse, rating 5 A."),
    ("replace E1 by fuse", "the rating of the new fuse is not said.")])
def test_what_is_half_right_is_asked_back_about_itself(typed, words):
    """With a sentence that can be typed."""
    with pytest.raises(CircuitLabError) as caught:
        read_change(typed, arrangement("one-fused-lamp"))
    assert words in str(caught.value)


def test_a_part_of_the_same_kind_keeps_what_is_not_said():
    """A lamp its watts, a fuse its amps, even one that is not the kit's usual one."""
    circuit = changed(arrangement("one-fused-lamp"), SetValue("E1", "watts", 5.0), SetValue("F1", "rating", 7.5))
    assert read_change("replace E1 by lamp", circuit).part.watts == 5.0
    assert read_change("replace F1 with fuse", circuit).part.rating == 7.5


def test_whatever_is_typed_ends_in_a_sentence(cart):
    """2,000 sentences thrown together of the grammar's own words: a change or a sentence, never a stumble."""
    chance = Random(5)
    words = [*FORMS, "W7", "K1:87", "K1", "from", "to", "at", "by", "and", "part", "wire", "control", "lamp", "rating",
             "5",
             "A", '"', ",", ":", "0.8 ohm", "chassis", "RD", "-", "closes", "X1", "a new", "shown", "\\", "\N{SNOWMAN}"]
    made = 0
    for _ in range(2000):
        try:
            read_change(" ".join(chance.choice(words) for _ in range(chance.randint(1, 7))), cart)
            made += 1
        except CircuitLabError as error:
            assert str(error).endswith((".", "'?", "?")), error
    assert made < 2000


# ------------------------------------------------------------------ what the new changes do

def test_lifting_a_terminal_keeps_its_wires_together_and_off_it(cart):
    after = Lift("X1:6").apply(cart)
    assert after.wires_at["X1:6"] == ()
    (block,) = set(after.of_kind(Splice)) - set(cart.of_kind(Splice))
    assert sorted(name for way in block.terminals for name in after.wires_at[f"{block.name}:{way}"]) == \
        sorted(cart.wires_at["X1:6"])
    before, now = (operating_point(circuit, {"key": "on"}).volts("K9:31") for circuit in (cart, after))
    assert before < 0.01 and 0.3 < now < 0.6      # its 5 mA find minus backwards through coils, two ways of 170 ohm


def test_a_short_joins_two_places_by_its_resistance(cart):
    after = Short("E1:1", "E3:1", 0.5).apply(cart)
    assert after.wires[-1].resistance == pytest.approx(0.5, abs=1e-12)
    assert len(Short("E1:1", "X1").apply(cart).part("X1").terminals) == len(cart.part("X1").terminals) + 1
    spare = changed(cart, SetValue("X1", "studs", 9))
    assert Short("E1:1", "X1").apply(spare).part("X1").studs == 9            # a stud that is free is as good
    twice = changed(cart, Short("E1:1", "X1"), Short("E2:1", "X1"))
    assert [wire.name for wire in twice.wires[-2:]] == ["short1", "short2"]
    full = changed(cart, ReplacePart(Chassis("X1", 24)), *(AddWire(Wire(f"W{90 + n}", f"X1:{n}", "X4:1"))
                                                           for n in range(8, 25)))
    assert Short("E1:1", "X1").apply(full).part("X1").studs == 24


def test_a_removed_part_takes_wires_rule_and_hold_with_it(cart):
    after = changed(cart, Hold("E3", "blown"), RemovePart("E3"))
    assert "E3" not in after.by_name and not {"W24", "W28"} & set(after.by_name)
    assert not [line for line in after.rule if line.lamp == "E3"] and after.held == ()


@pytest.mark.parametrize("seed", range(12))
def test_random_changes_of_random_arrangements_say_themselves(seed):
    """Every kind of change the names allow, on circuits wired by chance: read back, the same record."""
    chance, circuit = Random(seed), random_arrangement(seed)
    wire = chance.choice(circuit.wires)
    free = [end for end in circuit.terminals if end not in wire.terminals]
    part = chance.choice(circuit.listed)
    for change in (MoveWire(wire.name, wire.start, chance.choice(free)), LoseJoint(wire.name, wire.end),
                   LoseJoint(wire.name, wire.start, chance.uniform(0.01, 9)), SwapTerminals(*chance.sample(free, 2)),
                   Short(*chance.sample(free, 2), chance.uniform(0.01, 9)), Lift(wire.end), RemoveWire(wire.name),
                   AddWire(Wire("W999", *chance.sample(free, 2), "RDBU", chance.uniform(0.1, 9), 0.75, 0.5)),
                   ReplacePart(part)):
        assert read_change(str(change), circuit) == change


def test_every_value_of_every_kind_of_part_is_said_with_a_unit_its_part_reads():
    """One of each kind with its defaults, a wire too: each value typed back gives itself."""
    made = {"switch": {"control": "key", "closes": {"on": [("1", "2")]}}, "fuse block": {"ways": "30: 10 A, spare; 15: 5 A"}}
    parts = [record(f"P{number}", **made.get(kind, {})) for number, (kind, record) in enumerate(KINDS.items())]
    circuit = Arrangement("one of each", [Control("key", ("off", "on"))], parts, [Wire("W1", "P0:+", "P0:-")])
    for part in (*circuit.listed, *circuit.wires):
        for field in fields(part):
            if field.name != "name":
                change = SetValue(part.name, field.name, getattr(part, field.name))
                assert read_change(str(change), circuit) == change, str(change)


# ------------------------------------------------------------------ the list of changes

def test_the_list_is_undone_one_by_one(cart):
    typed = ["swap K1:87 and K1:87a", "lose W5 at X3:3", "set F1 rating 5 A"]
    made = Changes(cart)
    stages = [made.after]
    for sentence in typed:
        made = made.make(sentence)
        stages.append(made.after)
    assert made.sentences == tuple(typed) and len(set(stages)) == 4
    for stage in reversed(stages[:-1]):
        made = made.undo()
        assert made.after == stage
    with pytest.raises(ArrangementError, match="there is no change to undo"):
        made.undo()


def test_one_from_the_middle_is_undone_unless_a_later_one_needs_it(cart):
    made = Changes(cart).make("add part E9 lamp").make("set F1 rating 5 A").make("add wire W99 from X3:2 to E9:1")
    assert made.undo(1).sentences == (made.sentences[0], made.sentences[2])
    with pytest.raises(ArrangementError, match="'add part E9 lamp' cannot be undone alone, a later change needs it"):
        made.undo(0)
    with pytest.raises(ArrangementError, match="no change number 8; there are 3"):
        made.undo(7)


def test_a_list_that_cannot_go_on_stays_as_it_is(cart):
    made = Changes(cart).make("blow F1")
    with pytest.raises(UnknownName):
        made.make("set F1 rating 5 A", "remove W99")
    assert made.sentences == ("blow F1",)
    with pytest.raises(ArrangementError, match="no change is given"):
        made.make()


def test_a_saved_list_is_read_back_the_same(cart, tmp_path):
    made = (Changes(cart).make("swap K1:87 and K1:87a").make(Hold("S2", "held"), "lift X1:6", name="two: at once:")
            .make('set W5 note "a, b: c"', "blow F2"))
    path = tmp_path / "cart.changes"
    save_changes(made, path)
    again = load_changes(path)
    assert again.after == made.after and again.sentences == made.sentences
    assert [entry.name for entry in again.entries] == ["swap K1:87 and K1:87a", "two: at once", made.entries[2].name]
    save_changes(again, tmp_path / "again.changes")
    assert (tmp_path / "again.changes").read_bytes() == path.read_bytes()


def test_the_arrangement_beside_the_list_comes_first(cart, tmp_path):
    save(changed(cart, SetValue("F1", "rating", 20.0)), tmp_path / "mine.toml")
    (tmp_path / "mine.changes").write_text("changes to mine\nblow F2\nend of changes\n", encoding="utf-8")
    assert load_changes(tmp_path / "mine.changes").before.part("F1") == Fuse("F1", 20.0, cart.part("F1").place)


@pytest.mark.parametrize("text, words", [
    ("", "is no list of changes"), ("changes to nowhere\n", "has no arrangement 'nowhere'"),
    ("changes to one-fused-lamp\nblow F1\nblow F7\n", "line 3: .*has no part 'F7'"),
    ("changes to one-fused-lamp\nbroken:\n", "line 2: no change is given"),
    ("changes to one-fused-lamp\nblow F1\n", "its last line is missing: 'end of changes'. It seems to be cut off")])
def test_a_list_that_cannot_be_read_says_where(tmp_path, text, words):
    path = tmp_path / "bad.changes"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(CircuitLabError, match=words):
        load_changes(path)


def test_a_list_is_not_made_twice_to_what_it_was_saved_into(cart, tmp_path):
    """The changed arrangement is saved over the one the list was made to: a swap would undo itself without a word."""
    save(cart, tmp_path / "m.toml")
    made = Changes(arrangement(tmp_path / "m.toml")).make("swap K1:87 and K1:87a")
    save_changes(made, tmp_path / "m.changes")
    assert load_changes(tmp_path / "m.changes").after == made.after
    save(made.after, tmp_path / "m.toml")
    with pytest.raises(FileError, match="another 'm' than the one that is found now.*'m.before-1.toml'"):
        load_changes(tmp_path / "m.changes")
    (tmp_path / "m.before-1.toml").replace(tmp_path / "m.toml")
    assert load_changes(tmp_path / "m.changes").after == made.after
    by_hand = [line for line in (tmp_path / "m.changes").read_text().splitlines(keepends=True) if not line.startswith("made to")]
    (tmp_path / "m.changes").write_text("".join(by_hand))
    save(made.after, tmp_path / "m.toml")
    assert load_changes(tmp_path / "m.changes").before.name == "m", "a list without the line is made to whatever is found"


def test_colons_at_odd_places_are_read_back(cart):
    """Beside a control's name and in its first position; a name for a change of which only unseen letters would be left."""
    added = AddControl(Control("from", (":1", "to")))
    assert str(added) == 'add control "from": :1, "to"' and read_change(str(added), cart) == added
    with pytest.raises(ArrangementError, match="a change cannot be called"):
        Changes(cart).make("blow F2", name="\u200d:")


def test_files_that_cannot_be_opened_or_written_get_a_sentence(cart, tmp_path):
    with pytest.raises(FileError, match="there is no such file"):
        load_changes(tmp_path / "none.changes")
    with pytest.raises(FileError, match="its folder is missing"):
        save_changes(Changes(cart), tmp_path / "none" / "a.changes")
    with pytest.raises(FileError, match="has no name to find it again by"):
        save_changes(Changes(Changes(cart).before.__class__("bare", parts=cart.parts[:1])), tmp_path / "a.changes")


def test_a_new_relay_can_be_plugged_in(cart):
    after = read_change("replace K3 by relay, contact make", cart).apply(cart)
    assert after.part("K3") == Relay("K3", contact="make", place=cart.part("K3").place)

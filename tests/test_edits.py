"""Edits whoever makes a circuit of one's own needs: names, title, controls, the rule; the empty board and the shelf; redo."""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import circuitlab as cl
from circuitlab.arrangements import Changes, SetRule, Wanted, bare, changed, read_change, read_text, shelf
from circuitlab.arrangements.sentences import quoted
from circuitlab.arrangements.tried import Tried

CART = cl.arrangement("shared-filament-rear-relays")
LEVER, PEDAL = '"turn lever"', '"brake pedal"'


def done(sentence, circuit=CART):
    """Make a change typed as a sentence, which must say the same of itself when it is read back."""
    change = read_change(sentence, circuit)
    assert read_change(str(change), circuit) == change
    return change.apply(circuit)


def refused(sentence, circuit=CART):
    with pytest.raises(cl.CircuitLabError) as said:
        read_change(sentence, circuit)
    return str(said.value)


def test_a_part_a_wire_and_a_control_may_have_another_name_and_everything_follows():
    there = done("rename E1 E7")
    assert there.wanted("E7", there.positions({"brake pedal": "held"})) == "steady" and cl.prove(there).is_proved
    assert {end for wire in there.wires for end in wire.terminals if end.startswith("E7")} == {"E7:1", "E7:2"}
    assert done("rename W1 supply").part("supply").terminals == CART.part("W1").terminals
    there = done(f'rename control {PEDAL} "stop pedal"')
    assert there.part("S2").control == "stop pedal" and cl.prove(there).is_proved
    assert done('rename control "stop pedal" "brake pedal"', there) == CART
    assert "taken by a relay" in refused("rename K1 K2") and "has no part 'Q1'" in refused("rename Q1 K3")
    assert "holds a colon" in refused("rename K1 K:1") and "2 controls are named 'key'" in refused(f"rename control {PEDAL} key")


@pytest.mark.parametrize("sentence, lines", [
    (f"rule E1: steady when {PEDAL} held; flashing when {LEVER} left and key on",
     [("steady", {"brake pedal": "held"}), ("flashing", {"turn lever": "left", "key": "on"})]),
    ("rule E1: flash when turn lever left and key on, else steady when brake pedal held, else dark",
     [("flashing", {"turn lever": "left", "key": "on"}), ("steady", {"brake pedal": "held"}), ("dark", {})]),
    ("rule E1: steady when key on or brake pedal is held", [("steady", {"key": "on"}), ("steady", {"brake pedal": "held"})]),
    ("rule E1: dark", [("dark", {})]), ("rule S1:15: dead when key off", [("dead", {"key": "off"})]), ("forget rule E1", [])])
def test_a_rule_is_written_in_a_sentence(sentence, lines):
    name = "S1:15" if "S1" in sentence else "E1"
    there = done(sentence)
    assert [line for line in there.rule if line.lamp == name] == [Wanted(name, *line) for line in lines]
    assert [line for line in there.rule if line.lamp != name] == [line for line in CART.rule if line.lamp != name]


@pytest.mark.parametrize("typed, said", [
    ("rule e1: Steady if Brake Pedal HELD", f"rule E1: steady when {PEDAL} held"), ("rule E1: lit when key = on", "rule E1: steady when key on"),
    ("rule E1: dark ELSE steady when key is on", "rule E1: dark; steady when key on"), ("rule for E1: dark", "rule E1: dark"),
    ("rule S1:15: flash when key on", "rule S1:15: flashing when key on")])
def test_a_rule_may_be_written_with_small_liberties(typed, said):
    assert str(read_change(typed, CART)) == said


@pytest.mark.parametrize("control, position", [
    ("a", "b c"), ("a b", "c"), ("else", "on"), ("or", "and"), ("when", "when"), ("horn", "or"), ("is", "if"), ("a;b", "c;d"), ("a", "is on"),
    ("a:b", "c: d"), ('"', "x,"), ("K1", "E1")])
def test_names_made_of_the_words_of_a_rule_are_said_so_that_they_are_read_back(control, position):
    there = changed(CART, *(cl.changes.AddControl(cl.Control(name, tuple(dict.fromkeys((position, "c", "other"))))) for name in (control, "a b c")))
    for more in ({}, {"key": "on"}):
        change = SetRule("E1", (("steady", {control: position} | more), ("flashing", more | {control: position}), ("dark", {})))
        assert read_change(str(change), there) == change


@pytest.mark.parametrize("sentence, words", [
    ("rule E1: steady when brake pedal", "does not say where 'brake pedal' stands. Write \"brake pedal\" released, \"brake pedal\" held."),
    ("rule E1: steady when", "does not say when it is steady. Write it so: rule E1"), ("rule E1: ;", "says nothing. Write it so"),
    ("rule E9: dark", "has no part 'E9'"), ("rule E1: blinking", "Did you mean 'flashing'"), ("rule E1", "Write it so: rule E1: steady"),
    ("rule E1: steady when brke pedal held", "Did you mean 'brake pedal'"), ("rule E1: steady when key up", "control 'key' has no position 'up'"),
    ("rule K1: dark", "the rule has no lamp 'K1'"), ("rule S1:16: dead", "Did you mean"), ("rule S1:15: dim", "has no look 'dim'"),
    ("forget rule K1", "the rule has no lamp 'K1'"), ("forget rule S1:30", "the rule does not speak of 'S1:30'"), ("title", "Write it so: title")])
def test_a_rule_that_cannot_be_is_said_in_a_sentence(sentence, words):
    assert words in refused(sentence)


def test_a_switch_brings_its_control_and_the_last_one_takes_it_away():
    there = done('add part S9 switch, control horn, closes "held: 1-2" with control horn: released, held')
    assert there.controls[-1] == cl.Control("horn", ("released", "held"))
    assert done("remove S9 with its wires", there) == CART
    assert "is not worked by control 'horn'" in refused('add part S9 switch, control key, closes "on: 1-2" with control horn: released, held')
    assert "control 'key' works S1" in refused("remove control key")
    there = done("remove S2 with its wires")        # the rule speaks of its pedal, which stays
    assert there.control("brake pedal") and any("control 'brake pedal' moves nothing" in words for words in there.cautions())
    assert "the rule of E1, E2 speaks of control 'brake pedal'" in refused(f"remove control {PEDAL}", there)
    there = changed(there, SetRule("E1", ()), SetRule("E2", ()))
    assert "brake pedal" not in done(f"remove control {PEDAL}", there).controls_by_name


def test_a_control_is_taken_out_where_a_wire_is_called_control_too():
    both = done("add control from: off, on", done("rename W4 control"))
    assert "from" not in done('remove control "from"', both).controls_by_name and "control" not in done("remove control", both).by_name


def test_a_part_without_a_name_is_asked_for_one_and_is_not_called_by_the_article():
    assert "the new lamp needs a name" in refused("add a lamp") and "the new LED lamp needs a name" in refused("add an LED lamp")
    assert done("add part a lamp").part("a").kind == "lamp"


@pytest.mark.parametrize("closes, positions", [
    ("held: 1-2", ("released", "held")), ("on: 1-2", ("off", "on")), ("up: 1-2", ("off", "up")), ("released: 1-2", ("released", "held")),
    ("left: 49a-L; right: 49a-R", ("off", "left", "right")), ("left: 49a-L; off: 49a-1; right: 49a-R", ("off", "left", "right")),
    ("out: 1-2; in: 1-3", ("out", "in")), ("off: ; low: 1-2; high: 1-2 1-3", ("off", "low", "high")), ("on: 1-2; off: 1-3", ("off", "on"))])
def test_a_switch_whose_control_is_not_there_brings_one_with_the_positions_it_closes_in(closes, positions):
    change = read_change(f'add part S9 switch, control horn, closes "{closes}"', CART)
    assert change.control == cl.Control("horn", positions) and str(change).endswith(f" with control horn: {', '.join(map(quoted, positions))}")
    assert done(str(change)) == change.apply(CART) and done("remove S9", change.apply(CART)) == CART


def test_a_control_that_is_there_is_taken_and_a_slip_of_its_name_is_asked_back():
    plain = done(f'add part S9 switch, control {PEDAL}, closes "held: 1-2"')
    assert plain.controls == CART.controls
    assert done(f'add part S9 switch, control {PEDAL}, closes "held: 1-2" with control {PEDAL}: released, held') == plain
    assert "is there already, with the positions released, held" in refused(
        f'add part S9 switch, control {PEDAL}, closes "on: 1-2" with control {PEDAL}: off, on')
    assert "no position 'on'" in refused(f'add part S9 switch, control {PEDAL}, closes "on: 1-2"')
    said = refused('add part S9 switch, control "brak pedal", closes "held: 1-2"')
    assert "Did you mean 'brake pedal'? If a new control is meant, write behind the rest: with control \"brak pedal\": released, held." in said
    sentence = f'add part S9 switch, control "brak pedal", closes "held: 1-2" {said.partition("the rest: ")[2].removesuffix(".")}'
    assert done(sentence).control("brak pedal").positions == ("released", "held")


@pytest.mark.parametrize("sentence, words", [
    ("add wire W90 from F1:1 to F1:1", "wire 'W90': both ends are on 'F1:1'. Give it two different terminals."),
    ("add part K1 fuse", "the name 'K1' is taken by a relay. Give the new fuse another one, such as F3. To put another part in its place, write: "
     "replace K1 by fuse."), ("add part W1 fuse", "taken by a wire. Give the new fuse another one, such as F3."),
    ("add wire K1 from F1:1 to E1:1", "taken by a relay. Give the new wire another one, such as W30."),
    ("rename E1 E2", "the name 'E2' is taken by a lamp. Give the lamp another one, such as E5."),
    ("add part K:1 relay", "a part cannot be named 'K:1'. Use letters and a number, such as K1: the name of this relay holds a colon, which stands "
     "before a terminal."), ("add wire W:1 from F1:1 to E1:1", "such as W1: the name of this wire holds a colon"),
    ("rename E1 E:1", "such as E1: the name of this lamp holds a colon")])
def test_what_cannot_be_joined_or_named_is_said_in_one_sentence_and_nothing_is_lost(sentence, words):
    before = CART.write_text()
    assert words in refused(sentence)
    assert CART.write_text() == before


def test_a_part_still_wired_goes_with_its_wires_and_says_so_and_comes_back():
    change = read_change("remove E1", CART)
    assert str(change) == "remove E1 with its wires"
    tried = Tried(Changes(CART)).with_typed("remove E1")
    gone = [name for name in CART.by_name if name not in tried.arrangement.by_name]
    assert gone == ["E1", *(wire.name for wire in CART.wires if "E1" in {end.partition(":")[0] for end in wire.terminals})]
    assert tried.undone(tried.words[-1]).arrangement == CART


def test_a_file_of_a_newer_kit_is_told_as_one(tmp_path):
    file = tmp_path / "mine.toml"
    file.write_text(CART.write_text().replace("format = 1", "format = 2"), encoding="utf-8")
    with pytest.raises(cl.CircuitLabError, match="'mine.toml' says format 2. This kit reads format 1: the file may come from a newer kit. Open it with"):
        cl.load(file)


def test_a_title_is_written():
    assert done('title "My first cart"').title == done("title My first cart").title == "My first cart"


@pytest.mark.in_turn(7)
@pytest.mark.parametrize("name", ["", *cl.arrangement_names()])
def test_everything_on_the_shelf_can_be_taken_one_after_the_other(name):
    circuit = cl.arrangement(name) if name else bare()
    for number in range(len(shelf(circuit))):
        ready = shelf(circuit)[number]
        count = len(circuit.listed)
        circuit = done(ready.sentence, circuit)
        assert len(circuit.listed) == count + 1 and str(read_change(str(cl.changes.RemovePart(circuit.listed[-1].name)), circuit))
    assert read_text(circuit.write_text(), circuit.name) == circuit
    unworked = [words for words in circuit.cautions() if "moves nothing" in words]
    assert not unworked


def test_the_shelf_has_what_the_library_is_made_of():
    """Every kind of part in the library but the battery, which every board has, and parts of a workshop's own making."""
    kinds = {part.kind for name in cl.arrangement_names() for part in cl.arrangement(name).listed}
    there = {read_change(ready.sentence, bare()).part.kind for ready in shelf(bare())}
    assert kinds - there <= {"battery"}


def test_the_empty_board_is_a_circuit_of_which_nothing_is_wired():
    board = bare()
    assert board.loose == board.terminals and not board.wires and not board.cautions()
    assert read_text(board.write_text()) == board


# ------------------------------------------------------------------ undo and redo

def test_what_was_undone_is_made_again_until_something_else_is_made():
    tried = Tried(Changes(CART)).with_typed("rename K1 K4").with_typed("remove W1")
    once = tried.undone(tried.words[-1])
    assert once != tried == once.redone() == once.undone(once.words[-1]).redone().redone()
    other = once.with_typed("remove W2")
    with pytest.raises(cl.CircuitLabError, match="nothing to do again"):
        other.redone()


def edited(seed, steps=25):
    """Make edits drawn by chance with undo and redo between them; hold each against the replay of the sentences made and not undone."""
    chance, tried, made, undone, count = Random(seed), Tried(Changes(bare())), [], [], 0
    for _ in range(steps):
        what = chance.random()
        if what < 0.2 and made:
            tried, before = tried.undone(tried.words[-1]), made.pop()
            undone.append(before)
        elif what < 0.3 and undone:
            tried = tried.redone()
            made.append(undone.pop())
        else:
            sentence = drawn(chance, tried.arrangement)
            try:
                tried = tried.with_typed(sentence)
            except cl.CircuitLabError:
                continue
            made.append(sentence)
            undone.clear()
        again = bare()
        for sentence in made:
            again = read_change(sentence, again).apply(again)
        assert tried.arrangement == again and tried.arrangement.write_text() == again.write_text()       # where parts stand is in the text alone
        count += 1
    return count


def drawn(chance, circuit):
    """Return an edit as a sentence; it need not fit."""
    end = lambda: chance.choice(circuit.terminals)
    name = chance.choice([*circuit.by_name])
    lamps = [lamp.name for lamp in circuit.of_kind(cl.Lamp)] or ["E1"]
    control = chance.choice([*circuit.controls_by_name, "key"])
    return chance.choice([
        *[chance.choice(shelf(circuit)).sentence] * 4, *[f"add wire W{chance.randrange(1, 60)} from {end()} to {end()} RD 1 m 1 mm2"] * 4,
        f"remove {name}", f"rename {name} {name[0]}{chance.randrange(1, 30)}", f"move {name} from {end()} to {end()}",
        f"rule {chance.choice(lamps)}: steady when \"{control}\" {chance.choice(['on', 'held', 'left'])}", f"forget rule {chance.choice(lamps)}",
        f"set {name} length {chance.randrange(1, 9)} m", f"set {name} place rear", f'title "Circuit {chance.randrange(9)}"',
        f'add part S{chance.randrange(1, 30)} switch, control {chance.choice(["horn", "key", "beacon"])}, closes "on: 1-2"',
        f"stand {name} at {chance.randrange(9)} {chance.randrange(9)}", f"mark {name} not known",
        f'rename control "{control}" "{control} 2"', f'remove control "{control}"'])


@pytest.mark.parametrize("seed", [*range(10), *(pytest.param(seed, marks=pytest.mark.full) for seed in range(10, 500))])
def test_edits_by_chance_with_undo_and_redo_equal_the_replay(seed):
    assert edited(seed) > 3


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=40))
def test_whatever_stands_behind_rule_or_title_ends_in_a_change_or_a_sentence(words):
    for sentence in (f"rule E1: {words}", f"rule {words}", f"title {words}", f"rename {words}", f"forget {words}"):
        try:
            read_change(sentence, CART).apply(CART)
        except cl.CircuitLabError as error:
            assert str(error).endswith((".", "?"))

"""What-if on the live board: changes typed, prepared, turned and made by hand; undone, saved and compared. No browser here."""

import json
import re

import pytest

import circuitlab as cl
from circuitlab.arrangements.tried import Tried, cards_of
from circuitlab.benches.board.changing import HELP
from circuitlab.benches.board.desk import TICK, Desk
from circuitlab.views.board import FORMS, picture_of
from circuitlab.views.compare_words import lamp_tables_html

FOUR = "shared-filament-four-relays"
TURNING = {"key": "on", "turn lever": "left"}
SWAP, SWAPPED = "swap K1:87 and K1:87a", cl.SwapTerminals("K1:87", "K1:87a")


@pytest.fixture
def cart():
    return cl.arrangement(FOUR)


@pytest.fixture
def desk(cart):
    return Desk(cart, TURNING)


def say(desk, kind, second=0.0, **more):
    """Return what a desk answers, by kind, the last of each."""
    message = {"kind": kind, "act": desk.last + 1, "at": round(second * TICK), **more}
    return {answer["kind"]: json.loads(json.dumps(answer)) for answer in desk.hear(message)}


def typed(desk, words):
    return say(desk, "typed", words=words)


def table(desk, only=False, **positions):
    return say(desk, "table", positions={**desk.live.positions, **positions}, only=only)["table"]


def before(desk, second=0.0, runs=False):
    return say(desk, "before", second, runs=runs)["before"]


def test_a_typed_sentence_changes_the_circuit_and_the_field_may_be_emptied(desk, cart):
    """The same circuit as the change called in Python makes, and it goes on from the moment of the act."""
    said = typed(desk, f"  {SWAP}")
    assert said["took"]["words"] == f"  {SWAP}"
    assert said["now"]["listed"] == [SWAP]
    assert desk.present == cl.changed(cart, SWAPPED)
    assert said["ahead"]["said"].startswith(f"{SWAP}. ")


@pytest.mark.parametrize(("words", "says"), [
    ("set F1 ratting 5", "a fuse has no value 'ratting'"), ("blow F77", "no part 'F77'"), ("", "no change is typed"), ("  ", "no change is typed")])
def test_a_wrong_sentence_is_answered_and_leaves_everything_as_it_was(desk, cart, words, says):
    """Nothing says that it was taken, so the field keeps it; the next one is made."""
    said = typed(desk, words)
    assert says in said["trouble"]["words"] and said["trouble"]["of"] == "typed"
    assert "took" not in said and said["now"]["listed"] == [] and desk.present == cart
    assert typed(desk, "set F1 rating 5")["now"]["listed"] == ["set F1 rating 5 A"]


def test_everything_changed_stands_in_one_list_and_each_is_undone_alone(cart):
    """A card, a value turned, a typed sentence, a fuse taken out, a wire taken off."""
    desk = Desk(cart, changes={"flasher dead": cl.Hold("K9", "off")})
    say(desk, "card", words="flasher dead", made=True)
    say(desk, "dial", words="supply", value=11.0)
    typed(desk, SWAP)
    say(desk, "change", what="out", name="F1")
    said = say(desk, "change", what="off", name="W5", terminal="K2:87a")["now"]
    assert said["listed"] == ["flasher dead: hold K9 off", "supply: set G1 voltage 11 V", SWAP, "F1 taken out", "W5 off K2:87a"]
    assert said["made"] == ["flasher dead"] and said["turned"]["supply"] == 11.0
    for words in said["listed"]:
        left = say(desk, "undo", words=words)["now"]
        assert words not in left["listed"]
    assert left["listed"] == left["made"] == left["out"] == left["off"] == []
    assert left["turned"]["supply"] == cart.part("G1").voltage and desk.present == cart
    assert "no change made 'F1 taken out'" in say(desk, "undo", words="F1 taken out")["trouble"]["words"]


def test_what_a_later_change_needs_is_not_undone_alone_but_all_at_once_it_is(desk, cart):
    """One sentence that names both, nothing lost; undo all takes everything back, what hands did too."""
    typed(desk, "add part E9 lamp")
    typed(desk, "add wire W99 from X3:2 to E9:1")
    say(desk, "change", what="out", name="F1")
    held, listed = desk.present, desk.listed
    said = say(desk, "undo", words=listed[0])
    assert said["trouble"]["words"].startswith(f"'{listed[0]}' cannot be undone alone, a later change needs it: ")
    assert desk.present == held and said["now"]["listed"] == listed
    assert say(desk, "undo", words="")["now"]["listed"] == [] and desk.present == cart


def test_a_value_turned_again_is_one_change_and_the_later_of_dial_and_sentence_counts(desk):
    """The dial shows what is so: a sentence of the same value moves it."""
    for volts in (11.0, 10.0):
        say(desk, "dial", words="supply", value=volts)
    assert desk.listed == ["supply: set G1 voltage 10 V"]
    said = typed(desk, "set G1 voltage 13 V")["now"]
    assert said["turned"]["supply"] == desk.present.part("G1").voltage == 13.0
    assert say(desk, "dial", words="supply", value=12.0)["now"]["listed"] == ["set G1 voltage 13 V", "supply: set G1 voltage 12 V"]
    assert desk.present.part("G1").voltage == 12.0


def test_a_value_turned_back_to_where_it_stood_is_no_change(desk, cart):
    """Nor is one that never moved; with a sentence of another value in the list, turning to that leaves the sentence alone."""
    stood = cart.part("G1").voltage
    for volts in (11.0, stood, stood):
        left = say(desk, "dial", words="supply", value=volts)["now"]
    assert left["listed"] == [] and left["turned"]["supply"] == stood and desk.present == cart
    typed(desk, "set G1 voltage 13 V")
    say(desk, "dial", words="supply", value=11.0)
    assert say(desk, "dial", words="supply", value=13.0)["now"]["listed"] == ["set G1 voltage 13 V"]


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("name", cl.arrangement_names())
def test_the_example_in_the_field_is_short_and_can_be_made(name):
    desk = Desk(cl.arrangement(name))
    words = desk.still()["example"]
    assert len(words) < 16 and typed(desk, words)["now"]["listed"] == [words]


def test_the_picture_follows_a_supply_turned_to_nothing_while_no_part_changes_its_state():
    """Lines that were live are not drawn so any more."""
    desk = Desk(cl.arrangement("one-fused-lamp"), {"lamp switch": "on"})
    key = say(desk, "hello")["now"]["key"]
    assert say(desk, "dial", words="supply", value=0.0)["now"]["key"] != key


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("change", [SWAPPED, cl.LoseJoint("W1", "F1:1"), "remove W9"])
def test_a_change_made_and_undone_leaves_the_sheet_as_it_was_and_a_picture_of_its_own(cart, form, change):
    """However far a changed circuit moves what is drawn: what the page keeps under a key stands where the sheet says."""
    desk, kept, first = Desk(cart, {"key": "on"}, form=form, changes={"it": change}), {}, None
    for number in range(3):
        said = say(desk, "card", second=number, words="it", made=number == 1)["now"] if number else say(desk, "hello")["now"]
        kept |= said["pictures"]
        point = desk.live.at(desk.live.now)
        assert kept[said["key"]]["svg"] == picture_of(form, desk.sheet, desk.present, point, desk.prefix)["svg"], number
        first = first or (desk.still()["areas"], kept[said["key"]]["svg"])
    assert (desk.still()["areas"], kept[said["key"]]["svg"]) == first


def test_a_card_holds_records_sentences_or_rows_of_them(cart):
    tried = Tried(cl.Changes(cart), cards_of({"both fuses": ["blow F1", cl.Hold("F2", "blown")], "one": "blow F1"}))
    assert tried.with_card("both fuses", True).words == ("both fuses: blow F1; blow F2",)
    assert tried.with_card("one", True).with_card("one", True).words == ("one: blow F1",)
    assert tried.with_card("one", True).with_card("one", False) == tried


def test_the_list_is_saved_and_a_board_goes_on_with_it(desk, cart, tmp_path):
    """What hands took apart with it; positions of a control that a change adds are taken too."""
    assert "nothing to save" in say(desk, "save", file=str(tmp_path / "cart.changes"))["trouble"]["words"]
    typed(desk, "add control hazard: off, on")
    typed(desk, SWAP)
    say(desk, "change", what="out", name="F1")
    file = tmp_path / "cart.changes"
    assert say(desk, "save", file=str(file))["saved"]["words"].startswith(f"The changes are in {file}.")
    board = cl.board(cl.changes.load_changes(file), positions={"hazard": "on", "key": "on"})
    assert board.desk.present == desk.present and board.desk.tried.changes.before == cart
    assert board.desk.listed == ["add control hazard: off, on", SWAP, "F1 taken out: lose W1 at F1:1; lose W2 at F1:2"]
    assert board.desk.live.positions == {"key": "on", "brake pedal": "released", "turn lever": "off", "hazard": "on"}
    assert say(board.desk, "undo", words="")["now"]["listed"] == [] and board.desk.present == cart
    assert "its folder is missing" in say(desk, "save", file=str(tmp_path / "nowhere" / "cart.changes"))["trouble"]["words"]


def test_a_circuit_without_a_name_is_not_saved_with_one_sentence(cart):
    bare = cl.Arrangement("a battery", parts=[cl.Battery("G1"), cl.Resistor("R1")], wires=[
        cl.Wire("W1", "G1:+", "R1:1", "RD"), cl.Wire("W2", "R1:2", "G1:-", "BK")])
    desk = Desk(bare)
    typed(desk, "set R1 resistance 5")
    assert desk.present.part("R1").resistance == 5
    assert "has no name to find it again by" in say(desk, "save", file="x.changes")["trouble"]["words"]


def test_the_table_is_that_of_the_lamps_until_something_is_changed_then_of_both(desk, cart):
    """Cells say was and now as a comparison has them, changed rows alone where asked; how many is said."""
    plain = table(desk)
    assert plain["words"] == "" and plain["html"].count("<tr") == 1 + 12 and "was " not in plain["html"]
    typed(desk, SWAP)
    found = cl.compare(cart, cl.changed(cart, SWAPPED))
    both = table(desk)
    assert both["words"] == f"1 change made. In {len(found.changed_rows)} of 12 rows some lamp looks different."
    assert both["html"].count("was ") == lamp_tables_html(found).count("was ") > 0
    assert table(desk, only=True)["html"].count("<tr") == 1 + len(found.changed_rows)
    assert "<li>moved: wire W4, " in both["html"]


@pytest.mark.parametrize("changed", [False, True])
def test_the_row_of_the_positions_shown_stands_out_and_follows_them(desk, changed):
    """One row alone, by aria-current; of positions in the past as of those now."""
    if changed:
        typed(desk, SWAP)
    for where in (("on", "released", "left"), ("off", "held", "right")):
        html = table(desk, **dict(zip(("key", "brake pedal", "turn lever"), where)))["html"]
        (row,) = re.findall(r"<tr aria-current.*?</tr>", html)
        assert tuple(re.findall(r">([^<]+)</th>", row)) == where


def test_before_shows_the_circuit_as_it_was_where_controls_and_flasher_are(desk, cart):
    """Against an operating point of the unchanged circuit; it says positions and phase, and marks what was changed."""
    assert before(desk)["svg"] == "" and before(desk)["words"] == "Nothing is changed yet. The circuit is as it was."
    typed(desk, SWAP)
    shown = {}
    for second, state in ((0.1, desk.live.at(0.1).states["K9"]), (0.5, desk.live.at(0.5).states["K9"])):
        say(desk, "more", act=desk.last)
        shown[state] = before(desk, second)
        there = cl.operating_point(cart, TURNING, state)
        assert f"key on, brake pedal released, turn lever left, K9 {state}, lamps settled. Marked, on beads: W4, W18." in shown[state]["words"]
        assert f"{there.lamp_volts('E1'):.1f} V" in shown[state]["svg"] and 'class="marked"' in shown[state]["svg"]
    assert set(shown) == {"on", "off"}
    assert "K9 on" in before(desk, 0.5, runs=True)["words"] and "K9 on" in before(desk, 0.1, runs=True)["words"]
    say(desk, "act", 0.9, control="brake pedal", position="held")
    assert "brake pedal held" in before(desk, 1.0)["words"]


def test_before_passes_over_what_is_new_and_positions_that_were_not_there(desk):
    """A control and a lamp that changes add; a flasher that is held dead now swung before."""
    for words in ("add control hazard: off, on", "add part E9 lamp", "hold K9 off"):
        typed(desk, words)
    say(desk, "act", 0.1, control="hazard", position="on")
    said = before(desk, 0.3)["words"]
    assert "hazard" not in said and "E9" not in said and "K9 on" in said


def test_a_part_taken_out_by_hand_is_marked_in_the_picture_before(desk):
    say(desk, "change", what="out", name="F1")
    assert "Marked, on beads: F1, W1, W2." in before(desk)["words"]


def test_a_change_that_shorts_the_supply_stops_the_board_and_undone_it_goes_on(desk):
    assert typed(desk, "short G1:+ to G1:-")["ahead"]["verdict"] == "shorted"
    assert "shorted" in table(desk)["html"] + table(desk)["words"]
    assert say(desk, "undo", words="")["ahead"]["verdict"] == "settled"


def test_the_help_is_every_form_of_sentence():
    from circuitlab.arrangements import FORMS
    assert set(HELP) == set(FORMS.values())


@pytest.mark.parametrize("words", ["take out F1", "pull F1", "put F1 back", "F1 out", "take the fuse f1 out.", "Pull out F1", "put F1 back in", "taken out F1"])
def test_a_part_typed_out_of_its_holder_or_back_has_one_plain_answer(desk, cart, words):
    """Whichever way it is said; what it names to type can be typed."""
    said = typed(desk, words)["trouble"]["words"]
    assert said == ("a hand takes F1 out and puts it back: click F1, then 'take out' or 'put back'. To take it out of the circuit for good type "
                    "'remove F1 with its wires'. For a blown fuse type 'blow F1'.")
    assert desk.present == cart and not desk.listed and [desk.still()["pulled"]["F1"][each] for each in (0, 1)] == ["take out", "put back"]
    for typed_so in re.findall("type '(.*?)'", said):
        assert "trouble" not in typed(Desk(cart), typed_so)


def test_what_no_hand_takes_out_and_what_is_no_taking_out_is_read_as_ever(desk):
    """A battery stays where it is; a plug has its own words; a change stays one, also of a part whose name is a word of it."""
    assert "takes G1 out" not in typed(desk, "take out G1")["trouble"]["words"]
    assert "trouble" not in typed(desk, "blow F1")
    plugs = Desk(cl.arrangement("trailer-4-flat-combined-lamps"))
    assert "hold X5 parted" in typed(plugs, "pull X5")["trouble"]["words"]
    typed(plugs, "rename F1 out")
    assert "trouble" not in typed(plugs, "blow out") and plugs.present.part("out").kind == "fuse"


FLAT = "trailer-4-flat-combined-lamps"


@pytest.mark.parametrize("name, part, held", [(FLAT, "F1", "brake pedal"), (FLAT, "E7", "brake pedal"), (FOUR, "K1", "brake pedal")])
def test_a_part_that_is_out_tells_what_stands_where_its_wires_end(name, part, held):
    """The volts are those of a circuit in which each of these ends hangs on a splice of its own, which a meter can touch."""
    circuit, desk = cl.arrangement(name), Desk(cl.arrangement(name))
    say(desk, "act", 0.5, control=held, position="held")
    say(desk, "change", 1.0, what="out", name=part)
    told = say(desk, "tell", 3.0, name=part)["told"]["words"]
    assert f"{part}, " in told and ", out: its terminals are those of the part in the hand. In its " in told and "because" not in told
    ends = [end for end in (f"{part}:{terminal}" for terminal in circuit.part(part).terminals) if circuit.wires_at[end]]
    spliced = cl.changed(circuit, *map(cl.changes.Lift, ends))
    point = cl.operating_point(spliced, {held: "held"})
    assert len(ends) == told.count(" where ")
    for end in ends:
        (wire,) = circuit.wires_at[end]
        (hung,) = {*spliced.part(wire).terminals} - {*circuit.part(wire).terminals}
        volts = point.meter(hung)
        assert f"{'floating' if volts is None else f'{volts:.1f} V'.replace('-0.0', '0.0')} where {wire} ends" in told
        assert f"{part} is out, and this is a terminal of the part in the hand. In its " in say(desk, "tell", 3.0, name=end)["told"]["words"]
    say(desk, "undo", 3.5, words=f"{part} taken out")
    assert "in the hand" not in say(desk, "tell", 4.0, name=part)["told"]["words"]


def test_a_wires_end_that_a_hand_took_off_is_not_in_the_holder():
    desk = Desk(cl.arrangement(FLAT))
    say(desk, "change", 0.5, what="off", name="W1", terminal="F1:1")
    say(desk, "change", 1.0, what="out", name="F1")
    told = say(desk, "tell", 2.0, name="F1")["told"]["words"]
    assert "W1" not in told and "where W2 ends" in told
    assert "No wire ends in its holder." in say(desk, "tell", 2.0, name="F1:1")["told"]["words"]


def test_wires_of_one_terminal_hang_together_where_a_part_is_out():
    circuit = cl.arrangement(FLAT)
    doubled = cl.changed(circuit, cl.changes.read_change("add wire W90 from F1:1 to F2:1 RD 0.5 m 1 mm2", circuit))
    assert [*doubled.wires_at["F1:1"]] == ["W1", "W90"]
    desk = Desk(doubled)
    say(desk, "change", 1.0, what="out", name="F1")
    assert say(desk, "tell", 2.0, name="F1:1")["told"]["words"].endswith("In its holder: 12.6 V where W1 and W90 end.")


def test_a_lamp_behind_longer_wires_is_called_steady_as_its_neighbours():
    """All four stop lamps have volts from the moment of the act, and burn as bright as anybody can tell in the end."""
    desk = Desk(cl.arrangement(FLAT))
    said = say(desk, "act", 0.5, control="brake pedal", position="held")["ahead"]["said"]
    assert said == "brake pedal held. E1, E2, E7, E8 steady; E3, E4, E5, E6, E9, E10 dark."
    lights = [desk.live.at(3.0).light(lamp) for lamp in ("E1", "E2", "E7", "E8")]
    assert max(lights) - min(lights) < 0.2 * max(lights)


def test_every_change_of_the_circuit_tells_anew_of_what_was_told_last(desk):
    """Taken out, undone, typed, undone and done again: the words of the page are of the circuit as it is then."""
    def told(kind, second, **more):
        return say(desk, kind, second, **more)["told"]["words"]
    say(desk, "tell", 0.5, name="F1")
    assert ", out: its terminals" in told("change", 1.0, what="out", name="F1")
    assert "fuse, whole: terminal 1: 12." in told("undo", 2.0, words="F1 taken out")
    assert "fuse, blown: " in told("typed", 3.0, words="blow F1")
    assert "fuse, whole: " in told("undo", 4.0, words="blow F1")
    assert "fuse, blown: " in told("redo", 5.0)
    assert told("typed", 6.0, words="remove F1 with its wires") == ""

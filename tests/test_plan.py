"""The plan: it survives the file, counts for nothing but drawings, and what it knows stays where it stood when something is added."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from reading_attached import AttachedPicture
from reading_attached import faults as faults_attached
from reading_pictures import Picture, faults
from test_board_changes import say, typed

import circuitlab as cl
from circuitlab.arrangements import (AddPart, Changes, MovePart, Plan, RemovePart, arrangement, arrangement_names, changed,
                                     read_change, read_text, write_text)
from circuitlab.arrangements.plan import BROKEN, STEP
from circuitlab.benches.board.desk import Desk
from circuitlab.commands.line import main
from circuitlab.ground.errors import ArrangementError, CircuitLabError, FileError, UnknownName
from circuitlab.parts import Lamp, Splice, Wire
from circuitlab.views.attached import draw_attached, lay_out_attached
from circuitlab.views.schematic import draw, lay_out

CART = "shared-filament-rear-relays"
NEW = {"X91", "X92", "X93", "E91", "E92"}


def with_trailer(cart):
    """Return a cart to which a trailer is coupled, change by change: two lamps, fed from the cart's rear lamps, and its own frame."""
    lamps = [lamp.name for lamp in cart.of_kind(Lamp)]
    left, right = (next((name for name in lamps if {side} <= set(cart.part(name).place.split()) and "front" not in cart.part(name).place),
                        lamps[-1]) for side in ("left", "right"))
    frame = next((f"{part.name}:{part.terminals[0]}" for part in cart.parts if part.kind == "chassis"), cart.zero)
    parts = [Splice("X91", 3, place="trailer coupling"), Splice("X92", 3, place="trailer coupling"),
             Splice("X93", 4, place="trailer coupling"), Lamp("E91", place="trailer left"), Lamp("E92", place="trailer right")]
    wires = [Wire("W91", cart.part(left).at("1"), "X91:1", "YE"), Wire("W92", cart.part(right).at("1"), "X92:1", "GN"), Wire("W93", "X91:2", "E91:1", "YE"),
             Wire("W94", "X92:2", "E92:1", "GN"), Wire("W95", "E91:2", "X93:1", "BK"), Wire("W96", "E92:2", "X93:2", "BK"),
             Wire("W97", "X93:3", frame, "BK")]
    return changed(cart, *map(AddPart, parts), *map(cl.AddWire, wires))


def spots(sheet):
    """Return where each block of an attached sheet stands, from its corner."""
    return {name: place for name, *place in sheet.spots}


def wrongs(circuit):
    return faults(lay_out(circuit), Picture(draw(circuit))) + faults_attached(lay_out_attached(circuit), AttachedPicture(draw_attached(circuit)))


# ------------------------------------------------------------------ in the file

@pytest.mark.in_turn(21, arrangement_names().index("shared-filament-four-relays"))
@pytest.mark.parametrize("name", arrangement_names())
def test_a_plan_written_and_read_draws_the_same_two_pictures_as_without_it(name):
    """The plan of a drawing is that drawing: letter by letter, through the file too."""
    cart = arrangement(name)
    stood = cart.planned()
    again = read_text(write_text(stood), name)
    assert again == stood == cart and again.plan == stood.plan and write_text(again) == write_text(stood)
    assert {part for part, *_ in stood.plan.attached} == {part.name for part in cart.listed}
    assert draw(again) == draw(cart) and draw_attached(again) == draw_attached(cart)
    assert again.planned().plan == stood.plan


def test_a_file_without_a_plan_is_written_as_before():
    """Every library file has none, and its bytes are compared elsewhere; a plan adds five tables at its end, and nothing else."""
    cart = arrangement(CART)
    text, more = write_text(cart), write_text(cart.planned())
    ends = text.splitlines()[-1]
    assert "plan" not in text and not cart.plan
    assert more.startswith(text.removesuffix(f"{ends}\n")) and more.count("[plan") == 5 and more.endswith(f"{ends}\n")


PLACE = st.floats(0, 2000) | st.integers(0, 2000)
PATHS = st.lists(PLACE, max_size=4)


@settings(derandomize=True, max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_any_plan_comes_back_from_the_file_as_it_was(data):
    cart = arrangement(data.draw(st.sampled_from(arrangement_names())))
    names = [part.name for part in cart.parts]
    keys = [*names, *cart.terminals, *(wire.name for wire in cart.wires), "K1.coil", "W1 lane 1", "no such part"]
    plan = Plan([(name, *data.draw(st.tuples(PLACE, PLACE)), data.draw(st.booleans()))
                 for name in data.draw(st.lists(st.sampled_from([*names, "gone"]), unique=True))],
                [(key, tuple(data.draw(PATHS)), data.draw(PLACE), data.draw(st.booleans()))
                 for key in data.draw(st.lists(st.sampled_from(keys), unique=True, max_size=9))])
    try:
        stood = replace(cart, plan=plan)
    except ArrangementError as error:
        assert "at one place" in str(error)
        return
    again = read_text(write_text(stood), cart.name)
    assert again.plan == stood.plan and again == cart and write_text(again) == write_text(stood)
    assert "gone" not in write_text(stood) and "no such part" not in write_text(stood)


@pytest.mark.in_turn(6)
@pytest.mark.parametrize("seed", range(6))
def test_a_plan_of_any_places_is_drawn_without_a_fault(seed):
    """By hand or by chance, inside each other or far off: nothing overlaps, and the drawing keeps what it then shows."""
    chance, cart = Random(seed), arrangement(arrangement_names()[3 * seed])
    plan = Plan([(part.name, chance.uniform(0, 90), chance.uniform(0, 90), chance.random() < 0.3) for part in cart.parts
                 if chance.random() < 0.8])
    stood = replace(cart, plan=plan)
    assert wrongs(stood) == []
    assert draw_attached(stood.planned()) == draw_attached(stood)


@pytest.mark.parametrize(("lines", "says"), [
    ("[plan.attached]\nF1 = 3", "the plan says of 'F1' 3. Write how far right and how far down, in steps of 10 px, such as F1 = [4.0, 2.0]"),
    ("[plan.attached]\nF1 = [1, 2, 3]", "such as F1 = [4.0, 2.0], or [4.0, 2.0, \"turned\"]"),
    ("[plan.attached]\nF1 = [\"far\", 2]", "the place of 'F1' in the plan must be numbers, got 'far'"),
    ("[plan.attached]\nF1 = [nan, 2]", "must be numbers, got nan"),
    ("[plan.attached]\nF1 = [-1, 2]", "'F1' would stand off the sheet, at -1"),
    ("[plan.attached]\nF1 = [1, 2001]", "each 0 to 2000 steps of 10 px"),
    (f"[plan.attached]\nF1 = [1, 1{'0' * 400}]", "'F1' would stand off the sheet"),
    ("[plan.attached]\nF1 = [1, 2]\nG1 = [1, 2.0]", "the plan has 'F1' and 'G1' at one place, 1 2. Give one of them another."),
    ("[plan.schematic]\nF1 = []", "Write how far right each of its paths is, then how far down it begins"),
    ("[plan.schematic]\nF1 = [true]", "must be numbers, got True"),
    ("[plan.atached]\nF1 = [1, 2]", "the plan has no drawing 'atached'. It has: attached, schematic, columns, wires, later, ways. Did you mean 'attached'?"),
    ("[plan.wires]\nW1 = [\"G1:+\", \"top\", \"F1:1\", \"left\"]", "the side on which it is met, left or right, then how far down it leaves"),
    ("[plan.wires]\nW1 = [\"G1:+\", \"left\", \"F1:1\", \"left\", \"low\"]", "the place of 'W1' in the plan must be numbers, got 'low'"),
    ("[plan]\ncolumns = [3.0]", "'plan.columns' must be a list of columns, each with how far right it is, in steps of 10 px, and the parts in it"),
    ("[plan]\nattached = 3", "'plan.attached' must be a table, written [plan.attached]"),
    ("[plan.later]\nE1 = [1]", "Write its first path, how far right that is and how far down it begins, in steps of 10 px, such as E1 = [12, 60.0, 14.5]"),
    ("[plan.later]\nE1 = [1.5, 2.0, 3.0]", "Write its first path"), ("[plan.later]\nE1 = [1, -2.0, 3.0]", "'E1' would stand off the sheet"),
    ("[plan.ways]\nW1 = [3]", "Write its two terminals, then the points of its way in the current-path drawing"),
    ("[plan.ways]\nW1 = [\"G1:+\", \"F1:1\", 2.0]", "Write its two terminals"),
    (f"[plan.ways]\nW1 = [\"G1:+\", \"F1:1\", 2.0, 3.0, \"{BROKEN}\"]", f"\"{BROKEN}\" between those of its two ends"),
    ("[plan.ways]\nW1 = [\"G1:+\", \"F1:1\", 2.0, true, 2.0, 4.0]", "must be numbers, got True")])
def test_a_plan_nobody_can_read_is_said_in_one_sentence(lines, says):
    text = write_text(arrangement("one-fused-lamp"))
    end = text.splitlines()[-1]
    with pytest.raises(CircuitLabError) as caught:
        read_text(text.removesuffix(f"{end}\n") + f"{lines}\n{end}\n")
    assert says in str(caught.value)


def test_a_part_taken_out_of_the_file_by_hand_leaves_its_place_behind_and_nothing_is_lost():
    """A stale line is dropped without a word: the circuit is what counts."""
    text = write_text(arrangement("one-fused-lamp").planned())
    longer = text.replace("[plan.attached]\n", "[plan.attached]\nE77 = [3.0, 4.0]\n")
    again = read_text(longer, "one-fused-lamp")
    assert longer != text and write_text(again) == text


# ------------------------------------------------------------------ no part of the circuit

def test_a_plan_is_no_part_of_equality_hash_proof_or_a_list_of_changes(tmp_path):
    cart = arrangement(CART)
    stood = cart.planned()
    moved = changed(stood, MovePart("X1", 100, 70))
    assert cart == stood == moved and hash(cart) == hash(moved) and len({cart, stood, moved}) == 1
    assert cl.prove(moved).text() == cl.prove(cart).text()
    cl.save(cart, tmp_path / "cart.toml")
    cl.changes.save_changes(Changes(arrangement(str(tmp_path / "cart.toml"))).make("lift K1:87"), tmp_path / "cart.changes")
    cl.save(moved, tmp_path / "cart.toml")
    assert cl.changes.load_changes(tmp_path / "cart.changes").before.plan == moved.plan


def test_equal_arrangements_with_other_plans_have_each_their_own_drawing():
    """Whichever is drawn first: what is kept of drawings is kept by plan."""
    cart = arrangement(CART)
    moved = changed(cart, MovePart("X1", 100, 70))
    paths = replace(moved, plan=Plan((), [(key, tuple(x + 5 for x in xs), y, turned) for key, xs, y, turned in cart.planned().plan.schematic]))
    for circuit in (moved, cart, paths):
        draw(circuit), draw_attached(circuit)
    assert draw_attached(cart) != draw_attached(moved) and draw_attached(paths) == draw_attached(cart)
    assert draw(cart) == draw(moved) != draw(paths)


# ------------------------------------------------------------------ what is added moves nothing

@pytest.mark.in_turn(4, arrangement_names().index(CART))
@pytest.mark.parametrize("name", arrangement_names())
def test_a_trailer_moves_nothing_that_was_there(name):
    """In the attached form every block stays, save by 18 px where the smallest sheets first become a vehicle; in the
    current-path form every piece and every line of metal stays, and its path keeps its number."""
    cart = arrangement(name).planned()
    more = with_trailer(cart)
    was, now = spots(lay_out_attached(cart)), spots(lay_out_attached(more))
    gone = [max(abs(now[part][side] - was[part][side]) for side in (0, 1)) for part in was]
    assert max(gone) <= (1.85 if name in ("one-fused-lamp", "relay-test-board") else 0)
    assert set(now) - set(was) == NEW
    before, after = lay_out(cart), lay_out(more)
    stand = {symbol.piece.key: (symbol.xs, symbol.top, symbol.near_up) for symbol in after.symbols}
    for symbol in before.symbols:
        assert stand[symbol.piece.key] == (symbol.xs, symbol.top, symbol.near_up), symbol.piece.key
        assert after.paths[symbol.piece.key] == before.paths[symbol.piece.key]
    levels = {metal.key: metal.lines[0][1] for metal in after.metals}
    assert all(levels[metal.key] == metal.lines[0][1] for metal in before.metals)
    assert wrongs(more) == []


def test_the_box_of_every_block_and_symbol_is_where_it_was_pixel_by_pixel():
    """On the two-relay cart: blocks but for those that one more wire makes taller, and all symbols."""
    cart = arrangement(CART).planned()
    more = read_text(write_text(with_trailer(cart)), CART)
    before, after = ({block.part: block.box for block in lay_out_attached(each).blocks} for each in (cart, more))
    assert all(after[name][:3] == box[:3] for name, box in before.items())
    assert {name for name, box in before.items() if after[name] != box} <= {"E1", "E2", "X1"}
    before, after = ({symbol.piece.key: symbol.box for symbol in lay_out(each).symbols} for each in (cart, more))
    assert {key for key, box in before.items() if after[key] != box} == set()
    assert [path for path in lay_out(more).columns][:len(lay_out(cart).columns)] == list(lay_out(cart).columns)


@pytest.mark.full
def test_without_its_plan_the_same_trailer_moves_much():
    """So that the test above can fail."""
    cart, more = arrangement(CART), with_trailer(arrangement(CART))
    was, now = spots(lay_out_attached(cart)), spots(lay_out_attached(more))
    assert sum(was[part] != now[part] for part in was) > len(was) / 2
    before, after = ({symbol.piece.key: symbol.xs for symbol in lay_out(each).symbols} for each in (cart, more))
    assert sum(before[key] != after[key] for key in before) > 3


@pytest.mark.in_turn(21, arrangement_names().index("shared-filament-four-relays"))
@pytest.mark.parametrize("name", arrangement_names())
def test_one_more_wire_anywhere_leaves_blocks_in_place(name):
    """Two wires by chance in each: whatever moves moves little, and nothing overlaps."""
    cart, chance = arrangement(name).planned(), Random(name)
    was = spots(lay_out_attached(cart))
    for _ in range(2):
        more = changed(cart, cl.AddWire(Wire("W99", *chance.sample(cart.terminals, 2), "VT")))
        now = spots(lay_out_attached(more))
        assert max(max(abs(now[part][0] - was[part][0]), abs(now[part][1] - was[part][1])) for part in was) <= 3
        assert wrongs(more) == []


def test_what_is_taken_out_leaves_the_plan_and_its_room_is_taken_by_what_comes():
    cart = arrangement(CART).planned()
    less = changed(cart, RemovePart("X3"))
    assert "X3" not in {name for name, *_ in less.plan.attached} and not any(key.startswith("X3") for key, *_ in less.plan.schematic)
    was, now = spots(lay_out_attached(cart)), spots(lay_out_attached(less))
    assert all(now[name] == was[name] for name in now)
    back = changed(less, AddPart(Splice("X30", 3, place="relay box under the seat")))
    again = spots(lay_out_attached(back))
    assert all(again[name] == was[name] for name in now) and abs(again["X30"][1] - was["X3"][1]) < 12


# ------------------------------------------------------------------ a hand moves a part

def test_a_part_stood_elsewhere_is_drawn_there_and_all_others_stay():
    cart = arrangement(CART)
    was = spots(lay_out_attached(cart))
    low = max(y for _, y, _ in was.values()) + 20
    moved = changed(cart, MovePart("X2", was["X1"][0], low))
    now = spots(lay_out_attached(moved))
    assert now["X2"][0] == was["X1"][0] and abs(now["X2"][1] - low) <= 1.4      # a place of the column's own lattice, 14 px apart
    assert all(now[name] == was[name] for name in was if name != "X2")
    assert wrongs(moved) == []


def test_standing_a_part_is_a_change_like_any_other():
    """Typed, said again, undone by replay without it."""
    cart = arrangement(CART)
    stand = read_change("stand K1 at 60,5 20", cart)
    assert stand == MovePart("K1", 60.5, 20) and str(stand) == "stand K1 at 60.5 20" and read_change(str(stand), cart) == stand
    made = Changes(cart).make("lift K1:87").make(stand)
    assert made.after.plan and made.undo().after.plan == cart.plan
    assert dict((name, (x, y)) for name, x, y, _ in made.after.plan.attached)["K1"] == (60.5, 20.0)
    odd = replace(cart, parts=[replace(part, name="the relay") if part.name == "X5" else part for part in cart.parts],
                  wires=[replace(wire, start=wire.start.replace("X5:", "the relay:"), end=wire.end.replace("X5:", "the relay:"))
                         for wire in cart.wires])
    assert read_change(str(MovePart("the relay", 1, 2)), odd) == MovePart("the relay", 1, 2)


@pytest.mark.parametrize(("typed_words", "error", "says"), [
    ("stand K7 at 4 2", UnknownName, "has no part 'K7'"), ("stand W1 at 4 2", ArrangementError, "'W1' is a wire, which lies where its ends"),
    ("stand K1 at 4", ArrangementError, "Write it so: stand K1 at 4 2"), ("stand K1 at left 2", ArrangementError, "'left' is no number"),
    ("stand K1 at -4 2", ArrangementError, "'K1' would stand off the sheet, at -4"), ("stand K1 at 4 inf", ArrangementError, "off the sheet, at inf")])
def test_a_place_that_is_none_is_said(typed_words, error, says):
    with pytest.raises(error, match=says):
        read_change(typed_words, arrangement(CART))


def test_two_parts_on_one_spot_are_refused():
    cart = arrangement(CART).planned()
    _, x, y, _ = next(spot for spot in cart.plan.attached if spot[0] == "K1")
    with pytest.raises(ArrangementError, match="the plan has 'K1' and 'K2' at one place"):
        changed(cart, MovePart("K2", x, y))


def test_what_is_no_plan_is_refused():
    with pytest.raises(ArrangementError, match="'plan' must say where parts stand"):
        replace(arrangement(CART), plan={"K1": (1, 2)})


def test_on_a_board_a_part_moves_by_its_sentence_and_goes_back_with_undo():
    """The areas under a hand go with it; nothing else moves, there or back."""
    desk = Desk(arrangement(CART), {})
    say(desk, "form", form="attached")
    was = {block.part: block.box for block in desk.sheet.blocks}
    low = max(box[3] for box in was.values()) / STEP
    typed(desk, f"stand X2 at 45 {low:g}")
    now = {block.part: block.box for block in desk.sheet.blocks}
    assert [name for name in was if now[name] != was[name]] == ["X2"]
    say(desk, "undo", words=desk.tried.changes.sentences[0])
    assert {block.part: block.box for block in desk.sheet.blocks} == was


def test_on_a_board_without_a_plan_a_change_moves_nothing_either():
    desk = Desk(arrangement(CART), {})
    say(desk, "form", form="attached")
    was = spots(desk.sheet)
    typed(desk, "add part F9 fuse, rating 5 A")
    typed(desk, "add wire W70 from F9:1 to X2:1 RD 0.5 m 1 mm2")
    now = spots(desk.sheet)
    assert all(now[name] == was[name] for name in was) and "F9" in now


def test_the_command_line_draws_a_file_by_its_plan_and_copies_one_with_it(tmp_path):
    copy, moved = tmp_path / "mine.toml", tmp_path / "moved.toml"
    assert main(["copy", CART, str(copy)]) == 0
    mine = arrangement(str(copy))
    assert mine.plan == arrangement(CART).planned().plan
    cl.save(changed(mine, MovePart("X2", 100, 70)), moved)
    pictures = []
    for file in (copy, moved):
        assert main(["draw", str(file), "--form", "attached", "--out", str(file.with_suffix(".svg"))]) == 0
        pictures.append(AttachedPicture(file.with_suffix(".svg").read_text(encoding="utf-8")).outlines)
    assert [name for name in pictures[0] if pictures[0][name] != pictures[1][name]] == ["X2"]


# ------------------------------------------------------------------ boxes

@pytest.mark.in_turn(21, arrangement_names().index("shared-filament-four-relays"))
@pytest.mark.parametrize("name", arrangement_names())
def test_parts_that_share_a_place_stand_in_boxes_with_its_name_and_nothing_else_does(name):
    sheet = lay_out_attached(arrangement(name))
    places = {part.name: part.place.partition(",")[0].strip().lower() for part in arrangement(name).parts}
    shared = {part: place for part, place in places.items() if place and list(places.values()).count(place) > 1}
    said = [label.text for label in sheet.labels if label.owner == "box"]
    for block in sheet.blocks:
        left, top, right, low = block.box
        around = [place for place, *box in sheet.boxes if box[0] < left and box[1] < top and right < box[2] and low < box[3]]
        assert [place.lower() for place in around] == ([shared[block.part]] if block.part in shared else []), block.part
    assert sorted(said) == sorted(place for place, *_ in sheet.boxes)
    for one, *box in sheet.boxes:
        for other, *second in sheet.boxes:
            assert one == other and box == second or box[2] < second[0] or second[2] < box[0] or box[3] < second[1] or second[3] < box[1]
    edges = [(box, label) for _, *box in sheet.boxes for label in sheet.labels if crosses(box, label.box)]
    assert edges == []


def crosses(box, label):
    """Tell whether a label lies on the outline of a box: partly inside, partly out."""
    meets = label[0] < box[2] and box[0] < label[2] and label[1] < box[3] and box[1] < label[3]
    inside = box[0] <= label[0] and label[2] <= box[2] and box[1] <= label[1] and label[3] <= box[3]
    return meets and not inside


def test_a_box_is_drawn_once_and_carries_no_current():
    picture = AttachedPicture(draw_attached(arrangement(CART)))
    boxes = [shape for shape in picture.root.iter() if shape.get("class") == "box"]
    assert len(boxes) == len(lay_out_attached(arrangement(CART)).boxes) > 2
    assert all(float(shape.get("stroke-width")) <= 1 and "fill" not in shape.attrib for shape in boxes)


def test_a_plan_needs_a_file_of_this_kit():
    with pytest.raises(FileError, match="'plan' must be tables"):
        read_text("plan = 3\n" + write_text(arrangement("one-fused-lamp")))

"""The connection list of the board by keyboard alone: a circuit wired from nothing, edits refused and taken back, rows removed."""

import re

import nbformat
import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.benches.board import listing
from circuitlab.views.board.connections import choices_of, connections

pytestmark = pytest.mark.browser
FOCUSED = "() => document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
FIELDS = ("name", "from", "to", "colour", "length in metres", "size in mm2")
MOST_TABS = 60


@pytest.fixture(autouse=True)
def patient(monkeypatch):
    """However slow the machine, a proof is waited for."""
    monkeypatch.setattr(listing, "ENOUGH", 60.0)


def tab_to(page, name, back=False):
    """Press Tab until something has the keyboard."""
    for _ in range(MOST_TABS):
        if page.evaluate(FOCUSED) == name:
            return
        page.keyboard.press("Shift+Tab" if back else "Tab")
    raise AssertionError(f"{name} is not reached by Tab")


def pick(page, panel):
    """Go back to the list's toolbar and choose wires, parts or rule there by arrows."""
    if not page.evaluate("() => document.querySelector('.pin30-wiring').contains(document.activeElement)"):
        tab_to(page, "strip")
        page.keyboard.press("Tab")
    for _ in range(MOST_TABS):
        if page.evaluate("() => document.activeElement.parentNode.getAttribute('aria-label')") == "List":
            break
        page.keyboard.press("Shift+Tab")
    for _ in range(MOST_TABS):
        if page.evaluate(FOCUSED).startswith(panel):
            return page.keyboard.press("Enter")
        page.keyboard.press("ArrowRight")
    raise AssertionError(f"no {panel} in the toolbar")


def add_parts(page, board, sentences):
    """Type one sentence after the other into the field of the parts."""
    pick(page, "parts")
    tab_to(page, "add a part, as a sentence")
    field = page.get_by_label("add a part, as a sentence")
    for words in sentences:
        page.keyboard.type(words)
        page.keyboard.press("Enter")
        expect(field).to_have_value("")
    expect(field).to_be_focused()


def add_wires(page, wires):
    """Type one wire after the other into the last row: only what is not there already is typed."""
    pick(page, "wires")
    tab_to(page, "new wire from")
    for wire in wires:
        said = (wire.name, wire.start, wire.end, wire.colour, f"{wire.length:g}", f"{wire.area:g}")
        for column, value in list(zip(FIELDS, said))[1:]:
            field = page.get_by_label(f"new wire {column}", exact=True)
            expect(field).to_be_focused()
            if field.input_value() != value:
                page.keyboard.type(value)
            if column != FIELDS[-1]:
                page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        expect(page.get_by_label(f"{wire.name} from", exact=True)).to_have_value(wire.start)
        expect(page.get_by_label("new wire from", exact=True)).to_be_focused()


TWO_LAMPS = [cl.Wire("W1", "G1:-", "X1:1", "BK"), cl.Wire("W2", "G1:+", "F1:1", "RD", 0.2), cl.Wire("W3", "F1:2", "S1:1", "RD", 1.2), cl.Wire("W4", "S1:2", "X2:1", "YE"),
             cl.Wire("W5", "X2:2", "E1:1", "YE"), cl.Wire("W6", "X2:3", "E2:1", "YE", 2), cl.Wire("W7", "E1:2", "X1:2", "BK"), cl.Wire("W8", "E2:2", "X1:2", "BK", 2, 1.5)]


def test_two_fused_lamps_are_wired_from_nothing_by_keyboard_alone(page, keep_picture):
    """The drawing has each wire as soon as it is added; control and lamps work; the list is what was typed."""
    page.set_viewport_size({"width": 1190, "height": 640})
    board = open_board(page, cl.changes.bare())
    add_parts(page, board, ["add control lamps: off, on", "add part F1 fuse, rating 10 A", 'add part S1 switch, control lamps, closes "on: 1-2"',
                            "add part E1 lamp, place left", "add part E2 lamp, place right", "add part X2 splice"])
    add_wires(page, TWO_LAMPS)
    assert board.desk.present.wires == tuple(TWO_LAMPS)
    assert page.locator(".pin30-drawing [data-key^=W], .pin30-drawing .wire").count() >= len(TWO_LAMPS)
    expect(page.locator(".pin30-stands")).to_contain_text("No terminal that a part needs is loose.")
    expect(page.locator(".pin30-rule")).to_have_text("Not proved: E1, E2 have no rule.")
    keep_picture("board-list")
    page.get_by_role("button", name="lamps: on").press("Enter")
    expect(lamp(page, "E2")).to_contain_text("%")
    assert page.problems == []


def test_colour_and_metres_that_nobody_typed_follow_from_the_ends_and_are_seen_before_enter(page):
    """Black to minus, the colour of what is carried elsewhere, and 0.2 m up to the fuse; what was typed by hand stays, whatever the ends."""
    page.set_viewport_size({"width": 1190, "height": 640})
    board = open_board(page, cl.arrangement("one-fused-lamp"))
    page.get_by_role("button", name="list", exact=True).click()
    said = {column: page.get_by_label(f"new wire {column}", exact=True) for column in FIELDS}
    usual = connections(board.desk.present)["usual"]["elsewhere"]
    for start, colour, metres in (("G1:-", "BK", usual["m"]), ("G1:+", usual["colour"], "0.2"), ("F1:2", "RD", usual["m"]), ("S1:1", "RD", usual["m"]), ("E1:1", "WH", usual["m"])):
        said["from"].fill(start)
        expect(said["length in metres"]).to_have_value(metres)
        expect(said["colour"]).to_have_value(colour)
    said["colour"].fill("VT")
    said["from"].fill("G1:-")
    said["to"].fill("E1:2")
    expect(said["colour"]).to_have_value("VT")
    said["to"].press("Enter")
    expect(said["to"]).to_have_value("")
    assert (board.desk.present.wires[-1].terminals, board.desk.present.wires[-1].colour) == (("G1:-", "E1:2"), "VT")
    assert page.problems == []


def as_typed(circuit):
    """Return everything of a circuit but its wires as sentences that add it to an empty board. [text]"""
    controls = [str(cl.changes.AddControl(control)) for control in circuit.controls]
    metal = next(part for part in circuit.parts if part.name == "X1")
    parts = [str(cl.changes.AddPart(part)) for part in circuit.parts if part.name not in ("G1", "X1")]
    return [*controls, f"set X1 studs {metal.studs}", f"set X1 place {metal.place}", f"set G1 place {circuit.battery.place}", *parts]


@pytest.mark.full
def test_the_cart_with_two_rear_relays_is_wired_from_nothing_until_it_is_proved_by_keyboard_alone(page, keep_picture):
    """Held against the kit's own: the same parts and controls, every connection of it and no other, and the same table of lamps."""
    page.set_viewport_size({"width": 1190, "height": 640})
    target = cl.arrangement("shared-filament-rear-relays")
    board = open_board(page, cl.changes.bare())
    add_parts(page, board, as_typed(target))
    add_wires(page, target.wires)
    add_rule(page, target)
    expect(page.locator(".pin30-rule")).to_have_text("Proved: every lamp has a rule and every row keeps it.", timeout=20_000)
    keep_picture("board-list-proved")
    made = board.desk.present
    assert {part.name: part for part in made.parts} == {part.name: part for part in target.parts} and made.controls == target.controls
    assert {frozenset(wire.terminals) for wire in made.wires} == {frozenset(wire.terminals) for wire in target.wires}
    found = cl.compare(target, made)
    assert found.things == () and found.is_same
    assert cl.prove(made).is_proved
    assert page.problems == []


def add_rule(page, target):
    """Type what each lamp shall do into its field, and go down to the next."""
    pick(page, "rule")
    first = target.of_kind(cl.Lamp)[0].name
    tab_to(page, f"{first} shall be")
    for lamp_ in target.of_kind(cl.Lamp):
        field = page.get_by_label(f"{lamp_.name} shall be", exact=True)
        expect(field).to_be_focused()
        page.keyboard.type(choices_of(target.rule, lamp_.name))
        page.keyboard.press("Enter")
        expect(page.get_by_role("button", name=f"forget rule {lamp_.name}")).to_be_attached()
        page.keyboard.press("ArrowDown")


@pytest.mark.full
def test_in_jupyterlab_keys_are_the_lists_own_and_a_copy_of_each_step_is_kept(notebooks, notebook, page, keep_picture):
    """Letters and Ctrl+Z in fields do nothing to the notebook; the proof comes by itself; the next board offers what was not saved."""
    code = "import circuitlab as cl\ncl.board()"
    made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(code), nbformat.v4.new_code_cell("cl.board()")],
                                    metadata={"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, notebooks / "list.ipynb")
    notebook.open("list.ipynb").run_all()
    board = notebook.outputs.locator(".pin30-board").first
    board.locator(".pin30-wiring").get_by_role("button", name="wires").first.click()
    field = board.get_by_label("new wire from", exact=True)
    field.focus()
    page.keyboard.type("G1:-")
    page.keyboard.press("Tab")
    page.keyboard.type("X1:1")
    page.keyboard.press("Enter")
    expect(board.get_by_label("W1 from", exact=True)).to_have_value("G1:-")
    expect(field).to_be_focused()
    expect(board.locator(".pin30-rule")).to_have_text("Not proved: there is no lamp yet.")
    for key in ("ArrowUp", "ArrowDown", "a", "b", "x", "d", "d", "Escape", "Control+Delete"):
        page.keyboard.press(key)
    expect(notebook.panel.locator(".jp-CodeCell")).to_have_count(2)
    board.get_by_role("table").first.locator("th").first.click()        # beside every field
    for key in ("x", "d", "d"):
        page.keyboard.press(key)
    expect(notebook.panel.locator(".jp-CodeCell")).to_have_count(2)
    expect(board.get_by_label("W1 from", exact=True)).to_have_value("G1:-")
    field.focus()
    kept = re.search(r"kept in '(my-circuit.*?\.unsaved)'", board.locator(".pin30-panel.file").text_content())[1]     # others may lie there
    assert cl.load(notebooks / kept).wires[0].terminals == ("G1:-", "X1:1")
    page.keyboard.press("Control+z")
    expect(board.get_by_label("W1 from", exact=True)).to_have_count(0)
    expect(notebook.panel.locator(".jp-CodeCell")).to_have_count(2)
    page.keyboard.press("Control+Shift+z")
    expect(board.get_by_label("W1 from", exact=True)).to_have_value("G1:-")
    page.keyboard.press("Control+z")
    other = notebook.outputs.locator(".pin30-board").nth(1)
    other.locator(".pin30-wiring").get_by_role("button", name="file").click()
    other.get_by_label("title of the circuit").fill("Mine")
    page.keyboard.press("Enter")
    expect(other.get_by_role("group", name="Circuit: Mine")).to_be_visible()
    expect(other.get_by_role("button", name=f"take up {kept}", exact=True)).to_be_visible()
    keep_picture("board-list-lab")


@pytest.fixture
def cart_list(page):
    """A board of the cart with its list open."""
    page.set_viewport_size({"width": 1190, "height": 640})
    board = open_board(page, cl.arrangement("shared-filament-rear-relays"))
    page.get_by_role("button", name="list", exact=True).click()
    expect(page.get_by_label("W1 from", exact=True)).to_have_value("G1:+")
    return board


def test_a_refused_edit_stays_with_its_reason_below_and_escape_gives_the_old_value_back(page, cart_list):
    """The reason belongs to its field, goes when it is mended, and the drawing stays as it was."""
    field, before = page.get_by_label("W3 to", exact=True), cart_list.desk.present
    field.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("K7:86")
    page.keyboard.press("Enter")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_value("K7:86")
    why = page.locator(f"#{field.get_attribute('aria-describedby')}")
    expect(why).to_contain_text("Did you mean 'K9'")
    low, high = why.bounding_box(), field.bounding_box()
    assert 0 <= low["y"] - high["y"] - high["height"] < 12
    assert cart_list.desk.present == before
    page.keyboard.press("Escape")
    expect(field).to_have_value("X3:1")
    expect(why).to_have_count(0)
    expect(field).not_to_have_attribute("aria-invalid", "true")
    page.keyboard.press("Control+a")
    page.keyboard.type("X3:9")
    page.keyboard.press("Tab")
    expect(page.get_by_label("W3 colour", exact=True)).to_be_focused()
    expect(field).to_have_value("X3:9")
    expect(page.locator(".pin30-why")).to_have_count(1)
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Control+a")
    page.keyboard.type("X5:2")
    page.keyboard.press("Enter")
    expect(page.locator(".pin30-why")).to_have_count(0)
    assert cart_list.desk.present.part("W3").end == "X5:2"
    assert page.problems == []


def test_arrows_go_from_row_to_row_tab_along_one_and_the_table_is_left_after_it(page, cart_list):
    """One row is in the way of Tab; a row is removed by key or button, undone and done again by key."""
    page.get_by_label("W3 colour", exact=True).focus()
    page.keyboard.press("ArrowDown")
    expect(page.get_by_label("W4 colour", exact=True)).to_be_focused()
    page.keyboard.press("ArrowUp")
    for name in ("W3 length in metres", "W3 size in mm2", "remove W3"):
        page.keyboard.press("Tab")
        assert page.evaluate(FOCUSED) == name
    page.keyboard.press("Tab")
    assert not page.evaluate("() => document.querySelector('.pin30-ledger').contains(document.activeElement)")
    page.get_by_label("W3 colour", exact=True).focus()
    page.keyboard.press("Control+Delete")
    expect(page.get_by_label("W3 colour", exact=True)).to_have_count(0)
    expect(page.get_by_label("W4 colour", exact=True)).to_be_focused()
    expect(page.locator(".pin30-rule")).to_contain_text("rows do otherwise", timeout=15_000)
    page.keyboard.press("Control+z")
    expect(page.get_by_label("W3 colour", exact=True)).to_have_value("OG")
    page.keyboard.press("Control+Shift+z")
    expect(page.get_by_label("W3 colour", exact=True)).to_have_count(0)
    page.get_by_role("button", name="undo", exact=True).press("Enter")
    expect(page.get_by_label("W3 colour", exact=True)).to_have_value("OG")
    page.get_by_role("button", name="remove W3", exact=True).press("Delete")
    expect(page.get_by_label("W3 colour", exact=True)).to_have_count(0)
    assert page.problems == []


def test_a_wire_without_an_end_is_not_sent_and_the_last_row_is_kept_when_the_list_is_closed(page, cart_list):
    field = page.get_by_label("new wire from", exact=True)
    field.focus()
    page.keyboard.type("K1:30")
    page.keyboard.press("Enter")
    expect(page.locator(".pin30-why")).to_contain_text("'to' is empty")
    expect(page.get_by_label("new wire to", exact=True)).to_be_focused()
    assert not any(message["kind"] == "typed" for message in page.evaluate("window.sent"))
    for _ in range(2):
        page.get_by_role("button", name="list", exact=True).click()
    expect(field).to_have_value("K1:30")
    assert page.problems == []


@pytest.mark.full
def test_the_last_row_stays_at_its_place_whatever_is_said_above_it(page):
    """Rule proved or not, said in one line or in two, a wire refused and a wire added."""
    page.set_viewport_size({"width": 1190, "height": 640})
    cart = cl.arrangement("shared-filament-rear-relays")
    rear = [wire for wire in cart.wires if {end.partition(":")[0] for end in wire.terminals} & {"K1", "K2"} or "E2:1" in wire.terminals]
    open_board(page, cl.changed(cart, *(cl.RemoveWire(wire.name) for wire in rear)))
    page.get_by_role("button", name="list", exact=True).click()
    start, end = (page.get_by_label(f"new wire {which}", exact=True) for which in ("from", "to"))
    rule, words, places = page.locator(".pin30-rule"), set(), set()

    def look(said):
        expect(rule).to_contain_text(said, timeout=15_000)
        words.add(rule.bounding_box()["height"])
        places.add(round(start.bounding_box()["y"]))
    look("rows do otherwise")
    for first, second in (("X3:2", "E1:1"), ("X3.3", "E2:1"), ("X3:3", "E2:1")):
        start.fill(first)
        end.fill(second)
        end.press("Enter")
        expect(page.locator(".pin30-why") if "." in first else page.get_by_label(re.compile(r"W\d+ to")).last).to_be_visible()
        if "." not in first:
            expect(end).to_have_value("")
            look("Not proved yet.")
        look("rows do otherwise")
    assert len(words) > 1 and max(places) - min(places) <= 1
    assert page.problems == []


# Names of the parts of which a picture lies outside the place of the sheet, in part at least.
CUT = """() => { const place = document.querySelector(".pin30-stage").getBoundingClientRect();
  return [...document.querySelectorAll("g.part[data-key] .ring")].filter(each => { const box = each.getBoundingClientRect();
    return box.left < place.left - 1 || box.right > place.right + 1 || box.top < place.top - 1 || box.bottom > place.bottom + 1; })
    .map(each => each.parentNode.dataset.key); }"""


@pytest.mark.parametrize("form", ["schematic", "attached"])
@pytest.mark.full
def test_the_whole_drawing_can_be_seen_and_is_when_it_is_proved(page, form):
    """In a cell of a window of 1366 x 768: cut off before, whole once the last wire proves it, as it was when that is changed again."""
    page.set_viewport_size({"width": 1190, "height": 640})
    cart = cl.arrangement("shared-filament-rear-relays")
    (last,) = (wire for wire in cart.wires if "K2:30" in wire.terminals)
    open_board(page, cl.changed(cart, cl.RemoveWire(last.name)), form=form)
    page.get_by_role("button", name="list", exact=True).click()
    whole, rule = page.get_by_role("button", name="whole drawing"), page.locator(".pin30-rule")
    expect(rule).to_contain_text("rows do otherwise", timeout=15_000)
    assert page.evaluate(CUT) != []
    whole.click()
    assert page.evaluate(CUT) == []
    whole.click()
    assert page.evaluate(CUT) != []
    start, end = (page.get_by_label(f"new wire {which}", exact=True) for which in ("from", "to"))
    start.fill(last.start)
    end.fill(last.end)
    end.press("Enter")
    expect(rule).to_contain_text("Proved: ", timeout=15_000)
    expect(whole).to_have_attribute("aria-pressed", "true")
    assert page.evaluate(CUT) == []
    expect(start).to_be_in_viewport()
    page.get_by_role("button", name="undo", exact=True).click()
    expect(rule).to_contain_text("rows do otherwise", timeout=15_000)
    expect(whole).to_have_attribute("aria-pressed", "false")
    assert page.problems == []


def test_the_red_frame_is_on_the_field_that_the_words_are_about(page, cart_list):
    """Enter in `to` refuses `from` first, then `to`: frame and keyboard go where the wrong word stands; small letters are taken."""
    start, end = (page.get_by_label(f"new wire {which}", exact=True) for which in ("from", "to"))
    for (first, second), wrong, right, words in ((("X3.2", "E1"), start, end, "this circuit has no part 'X3.2'"), (("x3:1", "E1"), end, start, "'E1' is a whole lamp"),
                                                 (("K99:30", "e1:1"), start, end, "no part 'K99'")):
        start.fill(first)
        end.fill(second)
        end.press("Enter")
        expect(page.locator(".pin30-why")).to_contain_text(words)
        expect(wrong).to_have_attribute("aria-invalid", "true")
        expect(right).not_to_have_attribute("aria-invalid", "true")
        expect(wrong).to_be_focused()
    start.fill("x5:2")
    end.press("Enter")
    expect(end).to_have_value("")
    assert cart_list.desk.present.wires[-1].terminals == ("X5:2", "E1:1")
    assert page.problems == []


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("size", [(1190, 640), (860, 640), (390, 844)])
@pytest.mark.parametrize("panel", ["wires", "parts", "rule", "file"])
def test_the_list_fits_with_a_drawing_beside_or_above_it(page, size, panel):
    """Nothing is wider than the page, every target has 24 px, fields of one row do not overlap; drawing and list both have room."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    open_board(page, cl.arrangement("shared-filament-rear-relays"))
    page.get_by_role("button", name="list", exact=True).click()
    page.locator(".pin30-wiring").get_by_role("button", name=panel).first.click()
    expect(page.locator(f".pin30-panel.{panel} input").first).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    boxes = page.evaluate("""() => [...document.querySelectorAll('.pin30-wiring :is(button, input)')].filter(each => each.checkVisibility() &&
        (each.closest('.pin30-ledger, .pin30-shelf')?.getBoundingClientRect().bottom ?? Infinity) >= each.getBoundingClientRect().bottom).map(each => { const box = each.getBoundingClientRect(); return [box.left, box.top, box.right, box.bottom]; })""")
    for place, (left, top, right, low) in enumerate(boxes):
        assert right - left >= 23.5 and low - top >= 23.5
        for other in boxes[place + 1:place + 12]:
            assert right <= other[0] + 1 or other[2] <= left + 1 or low <= other[1] + 1 or other[3] <= top + 1
    stage, listed = (page.locator(each).bounding_box() for each in (".pin30-stage", f".pin30-panel.{panel}"))
    assert listed["height"] >= (60 if panel == "file" else 140) and stage["height"] >= 240
    if size[0] > 700:
        assert stage["width"] >= 0.35 * size[0] and listed["width"] >= 0.45 * size[0]
        assert listed["y"] + listed["height"] <= size[1] - 112 + 1


def test_a_part_is_taken_from_the_shelf_renamed_given_values_and_removed_by_keyboard_alone(page):
    """Its sentence can be altered before it is sent; what is refused there stays with its reason; a switch brings its control."""
    board = open_board(page, cl.changes.bare())
    pick(page, "parts")
    tab_to(page, "take fuse 7.5 A from the shelf")
    for _ in range(20):
        if page.evaluate(FOCUSED) == "take lamp switch from the shelf":
            break
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    field = page.get_by_label("add a part, as a sentence")
    expect(field).to_be_focused()
    sentence = next(each.sentence for each in cl.changes.shelf(cl.changes.bare()) if each.words == "lamp switch")
    expect(field).to_have_value(sentence)
    page.keyboard.type(", up")
    page.keyboard.press("Enter")
    expect(page.get_by_label("S1 name", exact=True)).to_have_value("S1")
    assert board.desk.present.controls[0].positions[-1] == "up"
    page.keyboard.type("add part S1 fuse, rating 5 A")
    page.keyboard.press("Enter")
    expect(page.locator(".pin30-panel.parts").get_by_role("alert")).to_contain_text("the name 'S1' is taken")
    expect(field).to_have_value("add part S1 fuse, rating 5 A")
    page.keyboard.press("Control+a")
    page.keyboard.type("add part F1 fuse, rating 5 A")
    page.keyboard.press("Enter")
    expect(page.get_by_label("F1 rating", exact=True)).to_have_value("5 A")
    for label, typed, shown in (("F1 rating", "7,5", "7.5 A"), ("F1 place", "left, low", "left, low"), ("F1 other value", "family mini blade", ""), ("F1 name", "F7", "F7")):
        page.get_by_label(label, exact=True).focus()
        page.keyboard.press("Control+a")
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
        if label != "F1 name":
            expect(page.get_by_label(label, exact=True)).to_have_value(shown)
    expect(page.get_by_label("F7 name", exact=True)).to_be_focused()
    fuse = board.desk.present.part("F7")
    assert (fuse.rating, fuse.place) == (7.5, "left, low")
    page.keyboard.press("Control+Delete")
    expect(page.get_by_label("F7 name", exact=True)).to_have_count(0)
    assert "F7" not in board.desk.present.by_name
    assert page.problems == []


def test_what_a_lamp_shall_do_is_put_together_by_buttons_or_taken_as_published(page, cart_list):
    """A choice goes behind those that are there and is sent by Enter; a published rule says its source."""
    page.locator(".pin30-wiring").get_by_role("button", name="rule").first.click()
    cart = cart_list.desk.present
    page.get_by_role("button", name="forget rule E1").press("Enter")
    expect(page.locator(".pin30-rule")).to_contain_text("E1 has no rule.", timeout=15_000)
    field = page.get_by_label("E1 shall be", exact=True)
    for look, where in (("flashing", ("key: on", "turn lever: left")), ("steady", ("brake pedal: held",))):
        field.focus()
        page.get_by_role("button", name=f"look: {look}").press("Enter")
        for each in where:
            page.locator(".pin30-builder").get_by_role("button", name=each).press("Enter")
        page.get_by_role("button", name="write for E1").press("Enter")
        expect(field).to_be_focused()
        for each in where:
            page.locator(".pin30-builder").get_by_role("button", name=each).press("Enter")
    field.press("Enter")
    expect(field).to_have_value('flashing when key on and "turn lever" left; steady when "brake pedal" held')
    expect(page.locator(".pin30-rule")).to_contain_text("Proved: ", timeout=15_000)
    assert [line for line in cart_list.desk.present.rule if line.lamp == "E1"] == [line for line in cart.rule if line.lamp == "E1"]
    page.get_by_text("published rules that fit").click()
    page.get_by_role("button", name="take the rule turn-over-stop-over-hazard").press("Enter")
    expect(page.locator(".pin30-panel.rule")).to_contain_text("Source: ")
    asked = cl.rules.with_rule(cart, "turn-over-stop-over-hazard")
    expect(field).to_have_value(choices_of(asked.rule, "E1"))
    page.wait_for_function("window.asked === window.answered")
    rules = [{line for line in circuit.rule if not line.terminal} for circuit in (cart_list.desk.present, asked)]
    assert rules[0] == rules[1]
    assert page.problems == []


def test_why_time_stopped_is_read_whole_beside_the_list(page):
    """Below what is told of a terminal: the sentence takes several lines and none is cut."""
    page.set_viewport_size({"width": 1366, "height": 700})
    open_board(page, cl.arrangement("relay-test-board"), form="attached")
    page.get_by_role("button", name="list", exact=True).click()
    expect(page.locator(".pin30-wiring")).to_be_visible()
    box = page.locator('[data-key="end F1:1"] .ring').bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.get_by_role("button", name="red lead here")).to_be_visible()
    page.evaluate("""() => { document.querySelector(".pin30-alert").textContent = "Stopped: " + "relay K1 buzzes, about 50 times a second. ".repeat(4) + "Undo what you did last."; }""")
    words, alert = (page.locator(each).first.bounding_box() for each in (".pin30-words", ".pin30-alert"))
    assert alert["height"] > 30 and alert["y"] + alert["height"] <= words["y"] + words["height"] + 1
    assert words["height"] < 170


def test_what_goes_with_a_part_is_shown_before_it_is_taken_away_and_may_be_kept(page, keep_picture):
    """In the list and on the drawing: the wires are named and marked; kept, all stays; taken away, one undo brings all of it back."""
    page.set_viewport_size({"width": 1330, "height": 900})
    board = open_board(page, cl.arrangement("shared-filament-rear-relays"), form="attached")
    page.get_by_role("button", name="list", exact=True).click()
    page.locator(".pin30-wiring").get_by_role("button", name="parts").first.click()
    before, marked = board.desk.present, "() => [...document.querySelectorAll('.pin30-drawing .marked')].map(each => each.dataset.key).sort()"
    asked, take, keep = (page.locator(".pin30-goes p"), *(page.get_by_role("button", name=each, exact=True) for each in ("take it away", "keep it")))
    gone = page.get_by_role("button", name="remove F2 with its wires W6, W7")
    for leave in (keep.click, lambda: page.keyboard.press("Escape"), lambda: page.get_by_label("F1 name", exact=True).focus()):
        gone.click()
        expect(asked).to_have_text("This takes away F2 and its 2 wires: W6, W7.")
        assert page.evaluate(marked) == ["F2", "W6", "W7"]
        expect(take).to_be_focused()
        keep_picture("board-takes-away")
        leave()
        expect(asked).to_have_count(0)
        assert page.evaluate(marked) == [] and board.desk.present == before
    gone.click()
    page.keyboard.press("Enter")
    expect(gone).to_have_count(0)
    assert {"F2", "W6", "W7"}.isdisjoint(board.desk.present.by_name)
    assert page.evaluate("() => document.activeElement.closest('.pin30-ledger tr')?.dataset.name") is not None, "the keyboard is in the list still"
    page.get_by_role("button", name="undo", exact=True).click()
    expect(gone).to_have_count(1)
    assert board.desk.present == before
    says = page.locator(".pin30-in-hand")
    for leave in (keep.click, lambda: page.keyboard.press("Escape"), lambda: page.keyboard.press("ArrowUp")):
        page.locator("[data-key=F2]").focus()
        page.keyboard.press("Delete")
        expect(says).to_contain_text("This takes away F2 and its 2 wires: W6, W7. Delete again")
        assert page.evaluate(marked) == ["F2", "W6", "W7"]
        leave()
        expect(says.locator("span")).to_have_text("")
        assert page.evaluate(marked) == [] and board.desk.present == before
    page.locator("[data-key=F2]").focus()
    page.get_by_role("button", name="remove F2", exact=True).click()
    take.click()
    expect(says).to_contain_text("F2 is taken away, with its wires W6, W7.")
    assert {"F2", "W6", "W7"}.isdisjoint(board.desk.present.by_name) and len(board.desk.listed) == 1
    page.keyboard.press("Control+z")
    expect(gone).to_have_count(1)
    assert board.desk.present == before and page.problems == []


def test_nothing_is_told_of_a_part_whose_coming_is_undone(page):
    """Neither where it was chosen nor where the pointer still lies; no lead on it leaves a complaint behind."""
    open_board(page, cl.arrangement("one-fused-lamp"), form="attached")
    page.get_by_role("button", name="list", exact=True).click()
    page.get_by_role("button", name=re.compile("^parts")).click()
    page.get_by_label("add a part, as a sentence").fill("add part F3 fuse")
    page.keyboard.press("Enter")
    page.locator("[data-key=F3]").focus()
    told, alerts = page.locator(".pin30-told"), page.locator(".pin30-words .pin30-alert")
    expect(told).to_contain_text("F3, fuse, whole")
    page.locator("[data-key='end F3:1']").focus()
    page.keyboard.press("r")
    page.get_by_role("button", name="list", exact=True).click()
    page.locator("[data-key=F3]").focus()
    page.locator("[data-key=F3] .ring").hover()
    page.keyboard.press("Control+z")
    expect(page.locator("[data-key=F3]")).to_have_count(0)
    page.wait_for_timeout(800)
    expect(told).not_to_contain_text("F3")
    expect(alerts).to_have_text("")
    page.get_by_role("button", name="redo", exact=True).click()
    page.locator("[data-key=F3]").focus()
    expect(told).to_contain_text("F3, fuse, whole")
    page.get_by_role("button", name="undo", exact=True).click()
    expect(page.locator("[data-key=F3]")).to_have_count(0)
    expect(told).to_have_text("")
    expect(alerts).to_have_text("")
    expect(page.locator(".pin30-deeds button")).to_have_count(0)
    assert page.problems == []


def test_asking_for_a_long_proof_takes_no_height_from_the_list(page, monkeypatch):
    """Its button stands in the row of the list's own, where arrows come by it while it is there and pass on while it is not."""
    monkeypatch.setattr(listing, "ENOUGH", 1e-6)
    page.set_viewport_size({"width": 1366, "height": 768})
    open_board(page, cl.arrangement("shared-filament-rear-relays"))
    page.get_by_role("button", name="list", exact=True).click()
    prove, ledger = page.get_by_role("button", name="prove", exact=True), page.get_by_role("region", name="Wires")
    expect(prove).to_be_visible()
    high = ledger.bounding_box()["height"]
    page.get_by_role("button", name="keys of the list").focus()
    page.keyboard.press("ArrowRight")
    expect(prove).to_be_focused()
    prove.click()
    expect(page.locator(".pin30-rule")).to_have_text("Proved: every lamp has a rule and every row keeps it.")
    expect(prove).to_be_hidden()
    assert ledger.bounding_box()["height"] == high
    page.get_by_role("button", name="keys of the list").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("button", name=re.compile("^wires"))).to_be_focused()

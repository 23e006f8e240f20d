"""Wiring by hand on the attached drawing while the list is open: by mouse, by keyboard alone, and what was there stands still."""

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.benches.board import listing

pytestmark = pytest.mark.browser
MIDDLE = """key => { const {x, y, width, height} = document.querySelector(`[data-key="${key}"] .ring`).getBoundingClientRect();
  return [x + width / 2, y + height / 2]; }"""
SIGHT = """key => document.querySelector(`[data-key="${key}"] .ring`).scrollIntoView({block: "nearest", inline: "nearest"})"""
PROVED = "Proved: every lamp has a rule and every row keeps it."


@pytest.fixture
def empty(page):
    """An empty board as it opens: attached, its list open."""
    page.set_viewport_size({"width": 1366, "height": 700})
    board = open_board(page, cl.changes.bare(), form="attached")
    expect(page.locator(".pin30-shelf button").first).to_be_visible()
    return board


def place(page, key):
    """Return where something is on the page, brought into sight. [px]"""
    page.evaluate(SIGHT, key)
    return page.evaluate(MIDDLE, key)


def says(page, words):
    """Wait until the line over the drawing says what came of it."""
    expect(page.locator(".pin30-in-hand")).to_contain_text(words)


def put_in(page, ready, right, down):
    """Take a part from the shelf and put it at a place of the drawing's, in px from its corner."""
    page.get_by_role("button", name=f"take {ready} from the shelf", exact=True).click()
    says(page, f"In hand: {ready}")
    page.locator(".pin30-stage").evaluate("stage => stage.scrollTo(0, 0)")
    box = page.locator(".pin30-stage").bounding_box()
    page.mouse.move(box["x"] + right, box["y"] + down)
    page.mouse.click(box["x"] + right, box["y"] + down)
    says(page, "It is put in.")


def join(page, start, end):
    """Click one terminal and then another."""
    page.mouse.click(*place(page, f"end {start}"))
    says(page, f"from {start} in hand")
    page.mouse.click(*place(page, f"end {end}"))
    says(page, f"joins {start} and {end}.")


def spots(board):
    """Return where each block stands on the sheet that is shown. [step]"""
    return {name: (x, y) for name, x, y, _ in board.desk.sheet.spots}


def test_a_fused_lamp_is_put_together_by_mouse_and_what_stands_stays(page, empty, keep_picture):
    """Parts stand where they were put, give or take a column; no block moves when another or a wire comes; the lamp lights."""
    for ready, name, down in (("fuse 7.5 A", "F1", 60), ("lamp switch", "S1", 190), ("lamp 21 W", "E1", 320)):
        before = spots(empty)
        put_in(page, ready, 400, down)
        after = spots(empty)
        assert {key: after[key] for key in before} == before
        (left, _), wanted = empty.desk.sheet.corner, empty.desk.tried.arrangement.plan
        shown = empty.desk.still()["plan"]["anchor"][0]        # the page's left edge, on the sheet
        assert dict((spot[0], spot[1:3]) for spot in wanted.attached)[name] == pytest.approx(((400 + shown - left) / 10, after[name][1]), abs=5)
        assert after[name][0] == pytest.approx((400 + shown - left) / 10, abs=5.5), "a column has room for wires on both sides"
    stood = spots(empty)
    wires = [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "X1:2"), ("G1:-", "X1:1")]
    for start, end in wires:
        join(page, start, end)
    made = empty.desk.tried.arrangement
    assert [wire.terminals for wire in made.wires] == wires
    assert [wire.colour for wire in made.wires] == ["RD", "RD", "RD", "BK", "BK"], "to minus black, though nobody typed it"
    moved = {name: (stood[name], there) for name, there in spots(empty).items() if there != pytest.approx(stood[name], abs=0.1)}
    assert not moved
    keep_picture("board-by-hand")
    page.get_by_role("button", name="lamp switch: on").click()
    expect(lamp(page, "E1")).to_contain_text("%")
    assert page.problems == []


def test_a_wire_is_drawn_out_and_a_part_dragged_by_the_mouse(page, keep_picture):
    page.set_viewport_size({"width": 1366, "height": 700})
    board = open_board(page, cl.arrangement("one-fused-lamp"), form="attached")
    page.get_by_role("button", name="list", exact=True).click()
    expect(page.get_by_label("W1 from", exact=True)).to_have_value("G1:+")
    page.mouse.move(*place(page, "end F1:2"))
    page.mouse.down()
    page.mouse.move(*place(page, "end E1:1"), steps=6)
    keep_picture("board-by-hand-drawn-out")
    page.mouse.up()
    says(page, "joins F1:2 and E1:1.")
    before, (x, y) = spots(board), place(page, "E1")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 200, y, steps=6)
    page.mouse.up()
    says(page, "E1 stands there.")
    after = spots(board)
    assert after["E1"][0] > before["E1"][0] + 12
    assert {name: there for name, there in after.items() if name != "E1"} == {name: there for name, there in before.items() if name != "E1"}
    page.keyboard.press("Control+z")
    expect(page.locator(".pin30-changes, .pin30-stands").first).to_be_visible()
    page.wait_for_function("window.asked === window.answered")
    assert spots(board) == before, "undone, it stands where it stood"
    assert page.problems == []


def to_terminal(page, name):
    """Reach a terminal of the part that has the keyboard by t."""
    for _ in range(12):
        page.keyboard.press("t")
        if page.evaluate("() => document.activeElement.dataset.key") == f"end {name}":
            return
    raise AssertionError(f"{name} is not reached")


def to_part(page, name):
    """Reach a part by arrows, whichever way leads nearer."""
    for _ in range(40):
        here, there = (page.evaluate(MIDDLE, key) for key in (page.evaluate("() => document.activeElement.dataset.key"), name))
        if page.evaluate("() => document.activeElement.dataset.key") == name:
            return
        right, down = there[0] - here[0], there[1] - here[1]
        was = page.evaluate("() => document.activeElement.dataset.key")
        for way in sorted((("ArrowRight", right), ("ArrowLeft", -right), ("ArrowDown", down), ("ArrowUp", -down)), key=lambda each: -each[1]):
            page.keyboard.press(way[0])
            if page.evaluate("() => document.activeElement.dataset.key") != was:
                break
    raise AssertionError(f"{name} is not reached by arrows")


def test_by_keyboard_alone_a_wire_is_joined_moved_and_removed_and_a_part_moved(page):
    page.set_viewport_size({"width": 1366, "height": 700})
    board = open_board(page, cl.arrangement("one-fused-lamp"), form="attached")
    page.get_by_role("button", name="list", exact=True).click()
    expect(page.get_by_label("W1 from", exact=True)).to_have_value("G1:+")
    wires = board.desk.present.wires
    page.locator(".pin30-drawing [tabindex='0']").focus()
    to_part(page, "F1")
    to_terminal(page, "F1:2")
    page.keyboard.press("Enter")
    says(page, "from F1:2 in hand")
    to_part(page, "E1")
    to_terminal(page, "E1:1")
    page.keyboard.press("Enter")
    says(page, "joins F1:2 and E1:1.")
    new = board.desk.present.wires[-1]
    assert new.terminals == ("F1:2", "E1:1") and board.desk.present.wires[:-1] == wires
    to_part(page, "E1")
    while page.evaluate("() => document.activeElement.dataset.key") != new.name:
        page.keyboard.press("n" if page.evaluate("() => document.activeElement.classList.contains('wire')") else "w")
    page.keyboard.press("Shift+Enter")
    says(page, f"The end of {new.name} at E1:1 in hand")
    to_part(page, "S1")
    to_terminal(page, "S1:1")
    page.keyboard.press(" ")
    says(page, f"{new.name} now joins F1:2 and S1:1.")
    assert board.desk.present.part(new.name).terminals == ("F1:2", "S1:1")
    to_part(page, "E1")
    before = spots(board)
    page.keyboard.press("m")
    says(page, "E1 in hand")
    for _ in range(5):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    says(page, "E1 stands there.")
    assert spots(board)["E1"][1] > before["E1"][1] + 8
    page.keyboard.press("Control+z")
    page.keyboard.press("m")
    page.keyboard.press("Escape")
    expect(page.locator(".pin30-in-hand span")).to_have_text("")
    page.wait_for_function("window.asked === window.answered")
    assert spots(board) == before
    while page.evaluate("() => document.activeElement.dataset.key") != new.name:
        page.keyboard.press("w")
        for _ in range(4):
            if page.evaluate("() => document.activeElement.dataset.key") != new.name:
                page.keyboard.press("n")
        if page.evaluate("() => document.activeElement.dataset.key") != new.name:
            to_part(page, "S1")
    page.keyboard.press("Delete")
    says(page, f"{new.name} is taken away.")
    assert board.desk.present.wires == wires
    assert page.problems == []


def test_what_is_in_hand_is_let_go_of_and_what_is_refused_says_why(page):
    """On its own terminal, beside everything, by Escape, by the other form; a second part of one name is refused and stays in hand."""
    page.set_viewport_size({"width": 1366, "height": 700})
    board = open_board(page, cl.arrangement("one-fused-lamp"), form="attached")
    page.get_by_role("button", name="list", exact=True).click()
    expect(page.get_by_label("W1 from", exact=True)).to_have_value("G1:+")
    before = board.desk.present
    line = page.locator(".pin30-in-hand span")
    for away in (lambda: page.mouse.click(*place(page, "end F1:1")), lambda: page.keyboard.press("Escape"),
                 lambda: page.get_by_role("button", name="let go", exact=True).click()):
        page.mouse.click(*place(page, "end F1:1"))
        says(page, "from F1:1 in hand")
        away()
        expect(line).to_have_text("")
    page.locator(".pin30-wiring").get_by_role("button", name="parts").first.click()
    page.get_by_role("button", name="take lamp 21 W from the shelf").click()
    page.get_by_label("add a part, as a sentence").fill("add part F1 lamp")
    box = page.locator(".pin30-stage").bounding_box()
    page.mouse.click(box["x"] + box["width"] - 60, box["y"] + box["height"] - 60)
    says(page, "'F1'")
    says(page, "In hand: lamp 21 W")
    assert board.desk.present == before
    page.get_by_role("button", name="current-path", exact=True).click()
    expect(page.get_by_role("button", name="attached", exact=True)).to_be_visible()
    expect(line).to_have_text("")
    page.mouse.click(*place(page, "end F1:2"))
    page.mouse.click(*place(page, "end E1:1"))
    says(page, "joins F1:2 and E1:1.")
    assert board.desk.present.wires[-1].terminals == ("F1:2", "E1:1"), "terminals are joined in a schematic as well"
    page.get_by_role("button", name="list", exact=True).click()
    expect(page.locator(".pin30-in-hand")).to_have_count(0)
    page.mouse.click(*place(page, "end F1:2"))
    assert len(board.desk.present.wires) == len(before.wires) + 1
    assert page.problems == []


SHELF = [("fuse 7.5 A", "F1", 330, 40), ("fuse 7.5 A", "F2", 330, 150), ("key switch", "S1", 330, 260), ("brake pedal switch", "S2", 330, 370),
         ("flasher, electronic free running", "K1", 560, 40), ("turn lever", "S3", 560, 180), ("splice, 3 ways", "X2", 560, 330),
         ("changeover relay", "K2", 780, 40), ("changeover relay", "K3", 780, 220), ("lamp 21 W", "E1", 780, 420), ("lamp 21 W", "E2", 780, 560)]
WIRES = [("G1:-", "X1:1"), ("G1:+", "F1:1"), ("G1:+", "S1:30"), ("S1:15", "F2:1"), ("F1:2", "S2:1"), ("F2:2", "K1:49"), ("K1:31", "X1:2"),
         ("K1:49a", "X2:1"), ("X2:2", "K2:87"), ("X2:3", "K3:87"), ("S2:2", "K2:87a"), ("S2:2", "K3:87a"), ("K2:30", "E1:1"), ("K3:30", "E2:1"),
         ("E1:2", "X1:3"), ("E2:2", "X1:4"), ("F2:2", "S3:49a"), ("S3:L", "K2:86"), ("S3:R", "K3:86"), ("K2:85", "X1:3"), ("K3:85", "X1:4")]


@pytest.mark.full
def test_a_cart_with_two_relays_is_wired_from_nothing_until_it_is_proved_by_the_drawing_alone(page, keep_picture, monkeypatch):
    """Parts by place, wires from terminal to terminal, the rule by buttons; nothing is typed. The rule is that of the kit's own cart."""
    monkeypatch.setattr(listing, "ENOUGH", 60.0)        # however slow the machine
    page.set_viewport_size({"width": 1900, "height": 1000})
    board = open_board(page, cl.changes.bare(), form="attached")
    expect(page.locator(".pin30-shelf button").first).to_be_visible()
    for ready, name, right, down in SHELF:
        put_in(page, ready, right, down)
        assert name in board.desk.present.by_name
    for start, end in WIRES:
        join(page, start, end)
    keep_picture("board-by-hand-cart")
    page.locator(".pin30-wiring").get_by_role("button", name="rule").click()
    for name, side in (("E1", "left"), ("E2", "right")):
        page.get_by_label(f"{name} shall be", exact=True).click()
        for pressed in (("look: flashing", "key: on", f"turn lever: {side}"), ("look: steady", "brake pedal: held", "key: on", f"turn lever: {side}")):
            for words in pressed:       # the second time, what is pressed already is let go
                page.locator(".pin30-builder").get_by_role("button", name=words, exact=True).click()
            page.get_by_role("button", name=f"write for {name}").click()
        page.keyboard.press("Enter")
        page.locator(".pin30-builder").get_by_role("button", name="brake pedal: held", exact=True).click()
    expect(page.locator(".pin30-rule")).to_have_text(PROVED, timeout=20_000)
    made = board.desk.tried.arrangement
    assert cl.prove(made).is_proved
    assert {*map(str, made.rule)} == {str(line) for line in cl.arrangement("shared-filament-rear-relays").rule if line.lamp in ("E1", "E2")}
    page.get_by_role("button", name="wide drawing").click()
    keep_picture("board-by-hand-proved")
    assert page.problems == []


def test_in_the_current_path_form_nothing_is_lost_by_a_drag_and_a_click_and_a_rail_gives_its_next_terminal(page):
    """The kit finds each part its place there, and says so; what is pressed twice stays."""
    page.set_viewport_size({"width": 1366, "height": 700})
    cart = cl.Changes(cl.arrangement("one-fused-lamp")).make("add part X7 splice", "add part E7 lamp").after
    board = open_board(page, cart, form="schematic")
    page.get_by_role("button", name="list", exact=True).click()
    expect(page.locator(".pin30-shelf button").first).to_be_attached()
    before = board.desk.present
    middle = page.evaluate("""() => { const {x, y, width, height} = document.querySelector('[data-key^="E1"] .ring').getBoundingClientRect();
        return [x + width / 2, y + height / 2]; }""")
    page.mouse.move(*middle)
    page.mouse.down()
    page.mouse.move(middle[0] + 60, middle[1] - 30, steps=4)
    page.mouse.up()
    says(page, "the kit finds each part its place")
    page.mouse.click(*middle)
    page.mouse.click(*middle)
    page.keyboard.press("m")
    says(page, "what stands is moved in the attached form")
    assert board.desk.present == before
    page.mouse.click(*place(page, "end E7:1"))
    says(page, "from E7:1 in hand")
    page.mouse.click(*page.evaluate("""() => { const {x, y, width, height} = document.querySelector('[data-key="bar X7"] .ring').getBoundingClientRect();
        return [x + width / 2, y + height / 2]; }"""))
    says(page, "joins E7:1 and X7:1.")
    assert board.desk.present.wires[-1].terminals == ("E7:1", "X7:1") and page.problems == []


def test_a_part_for_which_there_is_no_room_where_it_is_put_is_brought_into_sight_and_said(page):
    """Upon the battery of a cart with a trailer, where everything is full: nobody looks for it."""
    page.set_viewport_size({"width": 1500, "height": 900})
    board = open_board(page, cl.arrangement("trailer-12n-separate-lamps"), form="attached")
    page.get_by_role("button", name="list", exact=True).click()
    page.get_by_role("button", name="parts 32", exact=True).click()
    before = {*spots(board)}
    put_in(page, "fuse 7.5 A", 200, 160)
    (name,) = {*spots(board)} - before
    says(page, f"There was no room where you clicked: {name} stands in the nearest free place")
    stage, part = (page.locator(which).first.bounding_box() for which in (".pin30-stage", f'[data-key="{name}"]'))
    assert stage["x"] <= part["x"] and part["x"] + part["width"] <= stage["x"] + stage["width"]
    assert stage["y"] <= part["y"] and part["y"] + part["height"] <= stage["y"] + stage["height"]

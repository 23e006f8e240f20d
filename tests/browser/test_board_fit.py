"""The live board in four sizes of window: letters and targets large enough, lamps and controls in sight with what just moved."""

from io import BytesIO

import pytest
from board_page import lamp, open_board
from PIL import Image
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.benches.board import Board

pytestmark = pytest.mark.browser
CHROME = 112        # px of the window that the lessons' JupyterLab has for itself, with one document shown
LETTERS, TARGET = 10, 24        # px
SIZES = {"laptop": (1366, 640), "narrow": (1024, 640), "twice as large": (683, 320), "phone": (390, 844)}
BOXES = """() => Object.fromEntries(["lamps", "controls", "stage", "drawing"].map(what => {
  const {left, top, right, bottom} = document.querySelector(`.pin30-${what}`).getBoundingClientRect();
  return [what, {left, top, right, bottom}]; }))"""
# Names of the parts of which a whole picture lies within the place of the sheet.
SEEN = """() => { const place = document.querySelector(".pin30-stage").getBoundingClientRect();
  return [...document.querySelectorAll("g.part[data-key] .ring")].filter(each => { const box = each.getBoundingClientRect();
    return box.left >= place.left - 1 && box.right <= place.right + 1 && box.top >= place.top - 1 && box.bottom <= place.bottom + 1; })
    .map(each => each.parentNode.getAttribute("aria-label").split(",")[0]); }"""
SMALL = """least => [...document.querySelectorAll(".pin30-board button, .pin30-drawing .ring")].filter(each => {
    const box = each.getBoundingClientRect(); return each.tagName !== "path" && Math.min(box.width, box.height) < least - 0.01; }).map(each => each.outerHTML)"""


@pytest.mark.in_turn(6, 1)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "form"), [("shared-filament-four-relays", "schematic"), ("hazard-third-relay", "schematic"),
                                            ("combined-turn-stop-lever-trailer", "attached")])
def test_lamps_and_controls_stay_in_sight_with_what_just_moved(page, name, form, size):
    """After key and lever, however small the window: all of them between the first lamp and the end of the view."""
    wide, tall = SIZES[size]
    page.set_viewport_size({"width": wide, "height": tall})
    page.emulate_media(reduced_motion="no-preference")
    board = open_board(page, cl.arrangement(name), form=form)
    page.get_by_role("button", name="key: on").click()
    page.get_by_role("button", name="turn lever: left").click()
    expect(lamp(page, "E1")).not_to_contain_text("dark")
    boxes = page.evaluate(BOXES)
    first = min(boxes[what]["top"] for what in ("lamps", "controls"))
    last = max(boxes[what]["bottom"] for what in ("lamps", "controls", "stage"))
    assert last - (first if wide < 700 else 0) <= tall - CHROME
    assert all(boxes[what]["left"] >= 0 and boxes[what]["right"] <= wide for what in ("lamps", "controls", "stage"))
    if wide < 700:
        assert boxes["lamps"]["bottom"] <= boxes["controls"]["top"] and boxes["controls"]["bottom"] <= boxes["stage"]["top"]
    assert {"S3", "K1", "K9"} & set(page.evaluate(SEEN))
    scale = (boxes["drawing"]["right"] - boxes["drawing"]["left"]) / board.still["view"][2]
    assert scale * board.still["least_letter"] >= LETTERS
    assert page.evaluate(SMALL, TARGET) == []


def test_four_relays_stand_whole_on_a_laptop(page):
    """Lever, pedal and every other part of the schematic."""
    page.set_viewport_size({"width": 1366, "height": 640})
    board = open_board(page, cl.arrangement("shared-filament-four-relays"))
    assert set(page.evaluate(SEEN)) == {area["name"] for area in board.still["areas"] if area["kind"] == "part"}


PLACES = """() => Object.fromEntries([".pin30-board", ".pin30-beside > .pin30-row button", ".pin30-lamps", ".pin30-below > .pin30-row"].map(what => {
  const {left, top, right, bottom} = document.querySelector(what).getBoundingClientRect(); return [what, {left, top, right, bottom}]; }))"""
FAULTS = {"K1: 87 and 87a swapped": cl.SwapTerminals("K1:87", "K1:87a"), "K1: coil on the flashing wire": cl.MoveWire("W11", "X4:2", "K1:87"),
          "K1: battery on 30": cl.AddWire(cl.Wire("W98", "F1:2", "K1:30")), "K9: flasher dead": cl.Hold("K9", "off"),
          "F2 blown": cl.Hold("F2", "blown"), "K3: stop wire on 87a": cl.AddWire(cl.Wire("W99", "X3:1", "K3:87a"))}


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(("name", "form", "faults"), [("shared-filament-four-relays", "schematic", FAULTS), ("shared-filament-four-relays", "attached", FAULTS),
                                                      ("shared-filament-rear-relays-hazard", "schematic", {})])
def test_run_lamps_and_tabs_stay_in_sight_whatever_is_pressed(page, name, form, faults):
    """With each tab open in turn the board is no taller than the view, and Run, every lamp and the tabs lie in it."""
    page.set_viewport_size({"width": 1190, "height": 640})      # of a cell in a window of 1366
    open_board(page, cl.arrangement(name), form=form, changes=faults)
    page.locator("[data-key=F1]").focus()
    for words in list(faults)[:1]:
        page.get_by_role("button", name=words).click()
    for tab in page.locator(".pin30-below > .pin30-row button").all():
        tab.click()
        page.wait_for_timeout(300)
        first = page.evaluate(PLACES)
        for what, box in first.items():
            assert box["top"] >= 0 and box["bottom"] <= 640 - CHROME, (tab.inner_text(), what)
        lamps = page.locator(".pin30-lamps")
        assert lamps.evaluate("each => each.scrollHeight - each.clientHeight") == 0
        inside = page.locator(".pin30-inside").bounding_box()
        assert inside["y"] + inside["height"] <= 640 - CHROME
        assert inside["height"] >= 60, tab.inner_text()
        assert inside["y"] - first[".pin30-below > .pin30-row"]["bottom"] >= 4
        words = page.locator(".pin30-below button").evaluate_all("all => all.map(each => each.getAttribute('aria-label') ?? each.textContent)")
        assert len(words) == len(set(words)), words
    expect(page.locator(".pin30-beside")).to_contain_text("% of rated light")


TASK = ("Now mend it with K1 for E1 and K2 for E2: 30 to the lamp, 87a from stop, 87 from that side's flash, the coil from the steady lever wire of that "
        "side to X1:5. Commit when the line says Proved.")


@pytest.mark.parametrize("lists", [False, True])
def test_what_is_to_be_wired_is_in_sight_with_board_and_list(page, lists, keep_picture):
    """In the window of a usual laptop: the task whole, Run, lamps, controls and tabs beside it, and room for some lines of the list."""
    page.set_viewport_size({"width": 1198, "height": 768})      # of a cell in a window of 1366
    cart, loose = cl.arrangement("shared-filament-rear-relays"), ("K1", "K2", "E1:1", "E2:1")
    board = Board(cl.Changes(cart).make(*(f"remove {wire.name}" for wire in cart.wires if wire.start.startswith(loose) or wire.end.startswith(loose))).after)
    board.task = TASK
    open_board(page, board)
    if lists:
        page.get_by_role("button", name="list", exact=True).click()
        expect(page.locator(".pin30-rule")).to_contain_text("rows do otherwise")        # once hands were quiet: that takes some of the list's height
        new = page.get_by_label("new wire from", exact=True).bounding_box()
        ledger = page.locator(".pin30-ledger").first.bounding_box()
        assert ledger["height"] >= 120
        assert ledger["y"] <= new["y"] and new["y"] + new["height"] <= ledger["y"] + ledger["height"]
    keep_picture(f"fit-task-{lists}")
    task = page.locator(".pin30-task")
    expect(task).to_have_text(TASK)
    assert task.evaluate("each => each.scrollHeight - each.clientHeight") <= 0
    for what in (".pin30-board", ".pin30-task", ".pin30-beside > .pin30-row button", ".pin30-lamps", ".pin30-controls", ".pin30-below > .pin30-row"):
        box = page.locator(what).first.bounding_box()
        assert box["y"] >= 0 and box["y"] + box["height"] <= 768 - CHROME, what
    assert page.locator(".pin30-beside").evaluate("each => each.scrollHeight - each.clientHeight") <= 0


def test_a_board_without_a_task_has_no_place_for_one(page):
    open_board(page, cl.arrangement("shared-filament-rear-relays"))
    expect(page.locator(".pin30-task")).to_be_hidden()


def test_pressing_a_button_moves_no_other(page):
    """Not one box of the prepared faults and of the controls within its column, though the sheet is another."""
    page.set_viewport_size({"width": 1190, "height": 640})
    open_board(page, cl.arrangement("shared-filament-four-relays"), changes=FAULTS)
    where = """() => [...document.querySelectorAll(".pin30-controls button, .pin30-cards button")].map(each => {
        const {left, top, width, height} = each.getBoundingClientRect(), column = document.querySelector(".pin30-work").getBoundingClientRect();
        return [left - column.left, top - column.top, width, height]; })"""
    before = page.evaluate(where)
    for words in ("K1: coil on the flashing wire", "key: on", "turn lever: left"):
        page.get_by_role("button", name=words).click()
        expect(page.get_by_role("button", name=words)).to_have_attribute("aria-pressed", "true")
        assert page.evaluate(where) == before


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(("size", "share"), [((683, 320), 0.6), ((390, 844), 0.6)])
@pytest.mark.parametrize(("name", "form"), [("shared-filament-four-relays", "schematic"), ("shared-filament-rear-relays-hazard", "attached")])
def test_the_drawing_has_most_of_a_small_view(page, name, form, size, share):
    """Sixty percent of what JupyterLab leaves of the height, prepared faults or not."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    open_board(page, cl.arrangement(name), form=form, changes=FAULTS if "four" in name else {})
    place = page.locator(".pin30-stage").bounding_box()
    assert min(place["height"], page.locator(".pin30-drawing").bounding_box()["height"]) >= share * (size[1] - CHROME)


def test_an_edge_with_more_behind_it_is_shaded_until_it_is_reached(page):
    """The last pixels of the sheet's place: darker than its paper where the sheet goes on, not at the sheet's own edge."""
    page.set_viewport_size({"width": 390, "height": 844})
    open_board(page, cl.arrangement("shared-filament-four-relays"), form="attached")
    page.locator(".pin30-drawing").evaluate("each => { each.style.visibility = 'hidden'; }")

    def dark(side):
        box = page.locator(".pin30-stage").bounding_box()
        x = box["x"] + (1 if side == "left" else box["width"] - 3)
        shot = page.screenshot(clip={"x": x, "y": box["y"] + box["height"] / 2, "width": 2, "height": 2})
        return Image.open(BytesIO(shot)).convert("L").getpixel((0, 0)) < 220
    assert (dark("left"), dark("right")) == (False, True)
    page.locator(".pin30-stage").evaluate("each => each.scrollTo(200, 0)")
    assert (dark("left"), dark("right")) == (True, True)
    page.locator(".pin30-stage").evaluate("each => each.scrollTo(9999, 0)")
    assert (dark("left"), dark("right")) == (True, False)


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("wide", [1190, 390])
def test_the_table_scrolls_within_itself_and_its_sentences_wrap(page, wide):
    """Its last column can be brought into sight; no sentence under it is wider than its place."""
    page.set_viewport_size({"width": wide, "height": 640})
    open_board(page, cl.arrangement("shared-filament-rear-relays-hazard"))
    page.get_by_role("button", name="table", exact=True).click()
    table = page.get_by_role("region", name="Lamp table")
    expect(table.get_by_role("row").first).to_be_visible()
    assert table.evaluate("each => each.scrollWidth > each.clientWidth")
    table.evaluate("each => { each.scrollLeft = 9999; each.scrollTop = 9999; }")
    place, last = table.bounding_box(), table.locator("thead th").last.bounding_box()
    assert place["x"] <= last["x"] and last["x"] + last["width"] <= place["x"] + place["width"] + 1
    for words in (*table.locator("p").all(), table.locator("caption")):
        box = words.bounding_box()
        assert place["x"] <= box["x"] + 2 and box["x"] + box["width"] <= place["x"] + place["width"] + 2, words.inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= wide


WORDS = ".pin30-controls button, .pin30-lamps li, .pin30-below > .pin30-row button, .pin30-beside > .pin30-row button"


@pytest.mark.parametrize(("wide", "tall"), [(1330, 900), (1190, 640)])
def test_what_lies_out_of_sight_is_named_below_the_drawing_and_gone_to(page, wide, tall, keep_picture):
    """In a cell of a window of 1500 and of 1366 px: every part of the trailer is in sight or named, then come to; all at once it has smaller letters.

    Nothing beside the drawing stands elsewhere for it.
    """
    page.set_viewport_size({"width": wide, "height": tall})
    board = open_board(page, cl.arrangement("combined-turn-stop-lever-trailer"), form="attached")
    every = {area["name"] for area in board.still["areas"] if area["kind"] == "part"}
    bar, whole = page.get_by_role("toolbar", name="Drawing"), page.get_by_role("button", name="whole drawing")
    beside = f"() => [...document.querySelectorAll('{WORDS}')].map(each => {{ const {{left, top}} = each.getBoundingClientRect(); return [left, top]; }})"
    before, first = page.evaluate(beside), page.locator(".pin30-drawing").bounding_box()

    def named(way):
        """Once it is drawn."""
        words = page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done([...document.querySelectorAll('.pin30-edges button')].map(each => each.title)))))")
        return {name for each in words if f" {way}: " in each for name in each.partition(": ")[2].split(", ")}
    assert named("up") == named("left") == set()
    assert {"E7", "E8", "X20"} <= named("down") and {"E7", "E8"}.isdisjoint(page.evaluate(SEEN))
    assert named("down") | named("right") == every - set(page.evaluate(SEEN))
    keep_picture(f"edges-{wide}")
    for _ in range(4):
        if named("down"):
            bar.get_by_role("button", name="down: ").click()
    assert page.evaluate("() => document.activeElement.textContent") == "whole", "the keyboard is not lost with what it pressed"
    assert {"E7", "X20"} <= set(page.evaluate(SEEN)) and "E3" in named("up")
    whole.click()
    assert set(page.evaluate(SEEN)) == every and not any(map(named, ("left", "up", "down", "right")))
    keep_picture(f"edges-{wide}-whole")
    assert page.evaluate(beside) == before
    whole.click()
    now = page.locator(".pin30-drawing").bounding_box()
    assert (now["width"], now["height"]) == (first["width"], first["height"])
    assert page.problems == []


def test_a_drawing_that_is_seen_whole_has_nothing_below_it(page):
    page.set_viewport_size({"width": 1366, "height": 640})
    open_board(page, cl.arrangement("shared-filament-four-relays"))
    expect(page.get_by_role("button", name="whole drawing")).to_have_count(0)


@pytest.mark.parametrize(("wide", "tall", "least"), [(1330, 900, 30), (1190, 640, 18)])
def test_the_shelf_is_seen_whole_where_the_window_has_room_and_over_half_of_it_on_a_laptop(page, wide, tall, least):
    """Parts that can be taken without scrolling, with the list of a cart that has a trailer."""
    page.set_viewport_size({"width": wide, "height": tall})
    open_board(page, cl.arrangement("combined-turn-stop-lever-trailer"), form="attached")
    page.get_by_role("button", name="list", exact=True).click()
    page.locator(".pin30-wiring").get_by_role("button", name="parts").first.click()
    expect(page.locator(".pin30-rule")).to_contain_text("rows do otherwise")
    shelf = page.locator(".pin30-shelf button")
    seen = shelf.evaluate_all("""all => { const {bottom} = document.querySelector('.pin30-panel.parts').getBoundingClientRect();
        return all.filter(each => each.getBoundingClientRect().bottom <= bottom).length; }""")
    assert seen >= min(least, shelf.count())
    shelf.last.scroll_into_view_if_needed()
    expect(page.get_by_label("add a part, as a sentence")).to_be_in_viewport(ratio=1)
    page.get_by_label("E8 name", exact=True).scroll_into_view_if_needed()
    expect(page.get_by_label("E8 name", exact=True)).to_be_in_viewport(ratio=1)


def test_what_can_be_done_with_what_is_chosen_is_in_sight_beside_the_list_however_much_is_told_of_it(page):
    """On 1366 by 768 with the connection list open: a plug has much to tell, and its buttons stand before that."""
    page.set_viewport_size({"width": 1366, "height": 768})
    open_board(page, cl.arrangement("trailer-4-flat-combined-lamps"))
    page.get_by_role("button", name="list", exact=True).click()
    page.locator("[data-key='X5.3']").focus()
    deed = page.get_by_role("button", name="part the plug")
    expect(page.locator(".pin30-told")).to_contain_text("because it is mated")
    place, button = page.locator(".pin30-words").bounding_box(), deed.bounding_box()
    assert place["y"] <= button["y"] and button["y"] + button["height"] <= place["y"] + place["height"]

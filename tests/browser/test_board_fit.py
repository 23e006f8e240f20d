"""The live board in four sizes of window: letters and targets large enough, lamps and controls in sight with what just moved."""

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl

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

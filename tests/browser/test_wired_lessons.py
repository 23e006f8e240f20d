"""Lessons 05 and 11b wired on their boards by keyboard, in JupyterLab: built, failed, mended, proved, and judged as they stand."""

import re

import pytest
from playwright.sync_api import expect

from circuitlab.ground.places import kit_folder

pytestmark = [pytest.mark.browser, pytest.mark.full]
SOON = 20_000     # ms
ROW = """(board, ends) => { const at = name => board.querySelector(`[aria-label="${name}"]`).value;
    const names = [...board.querySelectorAll('[aria-label$=" from"]')].map(each => each.getAttribute("aria-label").slice(0, -5));
    return names.find(name => ends.every((end, place) => at(`${name} ${["from", "to"][place]}`) === end)); }"""
# In an order and in directions of the learner's own.
DRAWING_1 = ("X1:3 G1:-", "F1:1 G1:+", "F1:2 S1:1", "S1:2 X2:1", "X2:2 E1:1", "X2:3 E2:1", "E1:2 X1:1", "E2:2 X1:2")
TIE = ("X3:2 E1:1", "E1:1 X4:3", "X3:3 E2:1", "X5:3 E2:1")
MOVED = (("X3:2 E1:1", "to", "K1:87a"), ("E1:1 X4:3", "from", "K1:87"), ("X3:3 E2:1", "to", "K2:87a"), ("X5:3 E2:1", "to", "K2:87"))
ADDED = ("K1:30 E1:1", "E2:1 K2:30", "S3:SL K1:86", "S3:SR K2:86", "K1:85 X1:5", "K2:85 X1:5")


@pytest.fixture
def opened(notebook, page):
    """Return a function that opens a lesson by its number in a window of a school's computer, runs it, and returns the board to be wired."""
    page.set_viewport_size({"width": 1280, "height": 800})

    def run(number):
        (lesson,) = kit_folder("lessons").glob(f"{number}_*.ipynb")
        notebook.open(lesson.name).run_all()
        return notebook.outputs.locator(".pin30-board").last
    yield run
    assert (page.outside, page.problems) == ([], [])


def wire(page, board, *joins):
    """Type wires into the last row, each ``"from to"``; the next row has the focus by itself."""
    board.get_by_label("new wire from", exact=True).focus()
    for join in joins:
        start, end = join.split()
        expect(board.get_by_label("new wire from", exact=True)).to_be_focused()
        page.keyboard.type(start)
        page.keyboard.press("Tab")
        page.keyboard.type(end)
        page.keyboard.press("Enter")
        expect(board.get_by_label("new wire from", exact=True)).to_have_value("", timeout=SOON)


def move(page, board, join, end, where):
    """Type over one end of the wire that joins two terminals."""
    name = board.evaluate(ROW, join.split())
    board.get_by_label(f"{name} {end}", exact=True).focus()
    page.keyboard.press("Control+a")
    page.keyboard.type(where)
    page.keyboard.press("Enter")
    expect(board.get_by_label(f"{name} {end}", exact=True)).to_have_value(where, timeout=SOON)
    expect(board.locator(".pin30-why")).to_have_count(0)


def commit(notebook, words):
    """Press Commit below the question that begins with these words, and return what it is told."""
    question = notebook.outputs.filter(has_text=words).last
    question.get_by_role("button", name="Commit").press("Enter")
    reply = question.get_by_role("status").last
    expect(reply).to_contain_text("Try", timeout=SOON)
    return reply


def test_drawing_1_is_wired_from_its_list_and_proved_before_its_nets_are_right(opened, page, notebook, keep_picture):
    """E2 past the splice and ahead of the switch is told; nothing is judged before a wire is there."""
    board = opened("05")
    notebook.outputs.filter(has_text="Wire drawing 1").last.get_by_role("button", name="Commit").press("Enter")
    expect(notebook.outputs.filter(has_text="Wire drawing 1").last.get_by_role("alert")).to_contain_text("nothing is wired yet")
    board.scroll_into_view_if_needed()
    keep_picture("wired-05-empty")
    board.locator(".pin30-wiring").get_by_role("button", name=re.compile("^wires")).click()
    wire(page, board, *(join.replace("X2:3", "F1:2") for join in DRAWING_1))
    rule = board.locator(".pin30-rule")
    expect(rule).to_contain_text("E2 steady", timeout=SOON)
    keep_picture("wired-05-wrong")
    expect(commit(notebook, "Wire drawing 1")).to_contain_text("one place of")
    move(page, board, "F1:2 E2:1", "from", "X2:3")
    expect(rule).to_contain_text("Proved: ", timeout=SOON)
    keep_picture("wired-05-proved")
    expect(commit(notebook, "Wire drawing 1")).to_contain_text("The circuit agrees", timeout=SOON)
    keep_picture("wired-05-judged")


def test_the_tie_fails_on_the_board_and_is_mended_into_the_cart_with_two_relays(opened, page, notebook, keep_picture):
    board = opened("11b")
    notebook.panel.get_by_role("paragraph").filter(has_text="What to wire is said on the board").scroll_into_view_if_needed()
    keep_picture("wired-11b-how")
    board.get_by_role("button", name="list", exact=True).click()
    rule = board.locator(".pin30-rule")
    expect(rule).to_contain_text("rows do otherwise", timeout=SOON)      # before anything is wired, without being asked
    keep_picture("wired-11b-list")
    wire(page, board, *TIE)
    expect(rule).to_contain_text("Not proved: 8 of 12 rows do otherwise.", timeout=SOON)
    board.get_by_role("button", name="hold brake pedal").click()
    expect(board.get_by_role("list", name="Lamps").get_by_role("listitem").filter(has_text="E3")).to_contain_text("%", timeout=SOON)
    keep_picture("wired-11b-tie")
    expect(commit(notebook, "First the tie")).to_contain_text("The circuit agrees", timeout=SOON)
    keep_picture("wired-11b-tie-judged")
    expect(commit(notebook, "Now mend it")).to_contain_text("E3 is steady. It should be dark there.", timeout=SOON)
    for each in MOVED:
        move(page, board, *each)
    keep_picture("wired-11b-half")
    wire(page, board, *ADDED)
    expect(rule).to_contain_text("Proved: ", timeout=SOON)
    keep_picture("wired-11b-proved")
    expect(commit(notebook, "Now mend it")).to_contain_text("The circuit agrees", timeout=SOON)
    keep_picture("wired-11b-judged")

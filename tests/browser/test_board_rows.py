"""A board opened with a table: its lines looked at by key and by click, on a page of its own."""

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl

pytestmark = pytest.mark.browser
CART = cl.arrangement("shared-filament-four-relays")
FAULTS = ("W18 open at K1:87", "relay K2 welded operated", "E1 blown")


@pytest.fixture
def moving(page):
    """A page whose reader has not asked for less motion."""
    page.emulate_media(reduced_motion="no-preference")
    return page


def chosen(page):
    """Return the line that is looked at."""
    return page.locator(".pin30-lines tr.chosen")


def test_a_failing_row_is_looked_at_by_keyboard_and_goes_on_by_hand(moving, keep_picture):
    """Open at the first failing row; an arrow and Enter set the board to the next, at its own time 0; a lever goes on from there."""
    moving.set_viewport_size({"width": 1366, "height": 640})
    proof = cl.prove(cl.changed(CART, cl.SwapTerminals("K1:87", "K1:87a")), timing=False)
    board = open_board(moving, proof)
    expect(chosen(moving)).to_have_count(1)
    expect(chosen(moving).get_by_role("button")).to_have_text("4")
    expect(moving.locator(".pin30-found")).to_contain_text("E1 dark, wanted steady")
    expect(moving.locator("g.part.marked[data-key=K1], g.marked")).not_to_have_count(0)
    expect(lamp(moving, "E2")).to_contain_text("71 %")
    chosen(moving).get_by_role("button").focus()
    for _ in range(4):
        moving.keyboard.press("ArrowDown")
    moving.keyboard.press("Enter")
    expect(chosen(moving).get_by_role("button")).to_have_text("8")
    expect(moving.get_by_role("button", name="turn lever: left")).to_have_attribute("aria-pressed", "true")
    expect(moving.locator(".pin30-clock")).to_have_text("0.00 s")
    assert moving.evaluate("document.activeElement.textContent") == "8"
    keep_picture("board-of-a-proof")
    moving.get_by_role("button", name="turn lever: off").click()
    expect(moving.get_by_role("status").filter(has_text="turn lever off")).to_have_count(1)
    assert board.desk.live.positions == {"key": "on", "brake pedal": "released", "turn lever": "off"}
    moving.get_by_role("checkbox").uncheck()
    expect(moving.locator(".pin30-lines tbody tr")).to_have_count(12)
    expect(chosen(moving).get_by_role("button")).to_have_text("8")
    moving.locator(".pin30-lines tbody tr").nth(0).click()
    expect(moving.locator(".pin30-found")).to_contain_text("No lamp breaks the rule in this row.")
    expect(moving.locator(".pin30-clock")).to_have_text("0.00 s")
    assert moving.problems == []


def test_a_fault_is_looked_at_with_the_leads_on_its_reading_and_mended_by_its_button(moving, keep_picture):
    """The reading beside it is the meter's; another row by its list; mended, the lamp lights."""
    moving.set_viewport_size({"width": 1366, "height": 640})
    table = cl.fault_table(CART, faults=[fault for fault in cl.changes.single_faults(CART) if fault.words in FAULTS])
    board = open_board(moving, table)
    number = [line.fault.words for line in table.lines].index("W18 open at K1:87") + 1
    moving.locator(".pin30-lines").get_by_role("button", name=f"{number}. ").click()
    expect(moving.locator(".pin30-found b")).to_have_text(f"{number}. signal lost: W18 open at K1:87.")
    where = table.reading(table.lines[number - 1]).healthy
    expect(moving.locator(".pin30-reading")).to_contain_text(f"{where.instrument}, red on {where.red}, black on {where.black}")
    expect(moving.locator("g.lead.red")).to_have_attribute("visibility", "visible")
    keep_picture("board-of-faults")
    rows = moving.get_by_role("combobox", name="In row")
    read = next(words for words in rows.locator("option").all_inner_texts() if words.startswith("read here"))
    rows.select_option(read)
    expect(rows).to_have_value(read)
    expect(moving.locator(".pin30-found li").nth(1)).to_contain_text("In this row, ")
    moving.get_by_role("button", name="W18 open at K1:87", exact=True).click()
    expect(moving.get_by_role("button", name="W18 open at K1:87", exact=True)).to_have_attribute("aria-pressed", "false")
    assert board.desk.present == CART
    assert moving.problems == []


def test_a_comparison_with_other_lamps_and_controls_changes_what_stands_beside(moving):
    """After the change there is another circuit; undone, the first one stands there again."""
    before = cl.arrangement("one-fused-lamp")
    open_board(moving, cl.compare(before, CART))
    expect(moving.locator(".pin30-lamps li")).to_have_count(4)
    expect(moving.get_by_role("button", name="press brake pedal")).to_have_count(1)
    moving.get_by_role("button", name="the change").click()
    expect(moving.locator(".pin30-lamps li")).to_have_count(1)
    expect(moving.get_by_role("button", name="lamp switch: on")).to_have_count(1)
    expect(moving.get_by_role("button", name="press brake pedal")).to_have_count(0)
    moving.get_by_role("button", name="lamp switch: on").click()
    expect(lamp(moving, "E1")).to_contain_text("7", timeout=1500)
    assert moving.problems == []

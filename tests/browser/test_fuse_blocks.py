"""A fuse block on the live board: each fuse is met by itself in both forms, comes out alone and goes back; spare ways are no hand's business."""

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl
from test_fuse_blocks import SPLIT

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("form", ["schematic", "attached"])
def test_one_fuse_is_pulled_alone_and_put_back(page, form):
    """Pedal and key are on: without F5.1 the brake lamp is dark and the tail lamp stays lit; the button puts it back."""
    board = open_board(page, cl.changed(SPLIT, cl.Hold("S1", "on"), cl.Hold("S2", "held")), form=form)
    status = page.get_by_role("status")
    page.locator("[data-key='F5.1']").click()
    expect(page.locator(".pin30-told")).to_contain_text("F5.1, under the dash, fuse, whole: terminal F5:30: 12.")
    expect(lamp(page, "E1")).to_contain_text("12.")
    page.get_by_role("button", name="take out").click()
    expect(status.filter(has_text="taken out")).to_contain_text("F5.1 taken out.")
    expect(lamp(page, "E1")).not_to_contain_text("12.")
    expect(lamp(page, "E2")).to_contain_text("12.")
    assert board.desk.apart.out == ("F5.1",) and board.desk.present.held[-1] == ("F5.1", "missing")
    expect(page.locator(".pin30-drawing")).to_contain_text("missing")
    page.get_by_role("button", name="put back").click()
    expect(status.filter(has_text="put back")).to_contain_text("F5.1 put back.")
    expect(lamp(page, "E1")).to_contain_text("12.")
    assert board.desk.apart.out == () and page.problems == []


def test_the_block_itself_is_told_and_not_taken_out(page):
    """In the attached form its frame is met beside its fuses; no button takes it out."""
    open_board(page, SPLIT, form="attached")
    page.locator("[data-key='F5']").click(position={"x": 6, "y": 150})
    expect(page.locator(".pin30-told")).to_contain_text("F5, under the dash, fuse block: F5.1 whole")
    expect(page.get_by_role("button", name="take out")).to_have_count(0)
    assert page.problems == []

"""A lamp with two filaments on the live board: each filament is met by itself, the bulb comes out and is turned round as one."""

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl

pytestmark = pytest.mark.browser
CART = "tail-and-stop-two-filaments"


@pytest.mark.parametrize("form", ["schematic", "attached"])
def test_the_bulb_is_turned_round_and_taken_out_at_one_of_its_filaments(page, form):
    """The tail lamps are on: turned, the bright filament is the tail lamp; out, both lines say dark; the button puts both back."""
    board = open_board(page, cl.changed(cl.arrangement(CART), cl.Hold("S4", "on")), form=form)
    stop, status = page.locator("[data-key='E1.54']"), page.get_by_role("status")
    stop.click()
    expect(page.locator(".pin30-told")).to_contain_text("E1.54, rear left stop, lamp, whole: dark, 0 A; terminal E1:54: 0.0 V")
    page.get_by_role("button", name="turn the bulb round").click()
    expect(page.get_by_role("button", name="turn the bulb back")).to_be_visible()
    assert board.desk.present.part("E1").fitted == "turned round" and board.desk.present.part("E1.58").watts == 26.5
    expect(lamp(page, "E1.58")).to_contain_text("12.")
    page.get_by_role("button", name="take out").click()
    expect(status.filter(has_text="taken out")).to_contain_text("E1.54 taken out.")
    expect(lamp(page, "E1.58")).not_to_contain_text("12.")
    page.get_by_role("button", name="put back").click()
    expect(status.filter(has_text="put back")).to_contain_text("E1.54 put back.")
    assert board.desk.apart.out == () and page.problems == []

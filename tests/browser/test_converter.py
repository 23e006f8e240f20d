"""A converter on the live board: each channel is met by itself and says why it is as it is; the box comes out as one."""

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl

pytestmark = pytest.mark.browser
CART = "trailer-4-flat-converter"


@pytest.mark.parametrize("form", ["schematic", "attached"])
def test_a_channel_tells_its_signals_and_the_converter_comes_out_at_one_of_them(page, form):
    """The brake is held: Lt is on, by its signals; with K11 out the trailer is dark and the cart's own stop lamp stays lit."""
    board = open_board(page, cl.changed(cl.arrangement(CART), cl.Hold("S2", "held")), form=form)
    expect(lamp(page, "E7")).to_contain_text("11.")
    channel, status = page.locator("[data-key='K11.Lt']"), page.get_by_role("status")
    channel.click()
    told = page.locator(".pin30-told")
    expect(told).to_contain_text("K11.Lt, tail of the cart, channel, on")
    expect(told).to_contain_text("K11.Lt is on by its signals: K11:L has 0.0 V, K11:54 has 12.4 V")
    page.get_by_role("button", name="take out").click()
    expect(status.filter(has_text="taken out")).to_contain_text("K11.Lt taken out.")
    expect(lamp(page, "E7")).not_to_contain_text("11.")
    expect(lamp(page, "E2")).to_contain_text("12.")
    page.get_by_role("button", name="put back").click()
    expect(lamp(page, "E7")).to_contain_text("11.")
    assert board.desk.apart.out == () and page.problems == []

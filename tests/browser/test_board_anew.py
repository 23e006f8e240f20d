"""A current-path drawing that has grown can be laid out anew on the page; the button is there only then."""

from board_page import open_board
from playwright.sync_api import expect
from test_standing import BY_HAND

import circuitlab as cl


def test_a_grown_drawing_is_laid_out_anew_by_its_button(page):
    board = open_board(page, cl.changes.bare())
    button = page.get_by_role("button", name="anew: lay the drawing out anew")
    expect(button).to_have_count(0)
    for words in BY_HAND:
        list(board.desk.hear({"kind": "typed", "words": words, "act": board.desk.last + 1, "at": 0}))
    for form in ("attached", "current-path"):
        page.get_by_role("button", name=form, exact=True).click()
    expect(button).to_be_visible()
    assert board.desk.sheet.is_grown
    button.click()
    expect(button).to_have_count(0)
    assert not board.desk.sheet.is_grown

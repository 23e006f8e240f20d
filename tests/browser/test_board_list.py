"""The connection list of the board by keyboard alone: a circuit wired from nothing, edits refused and taken back, rows removed."""

import re

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.arrangements.sentences import quoted, values_words

pytestmark = pytest.mark.browser
FOCUSED = "() => document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
FIELDS = ("name", "from", "to", "colour", "length in metres", "size in mm2")
MOST_TABS = 60


def empty():
    return cl.Arrangement("A circuit of my own", parts=[cl.Battery("G1"), cl.Chassis("X1")])


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
    for _ in range(7):
        if page.evaluate(FOCUSED).startswith(panel):
            return page.keyboard.press("Enter")
        page.keyboard.press("ArrowRight")
    raise AssertionError(f"no {panel} in the toolbar")


def add_parts(page, board, sentences):
    """Type one sentence after the other into the field of the parts."""
    pick(page, "parts")
    tab_to(page, "add a part, as a sentence")
    field = page.get_by_role("textbox", name="add a part, as a sentence")
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


TWO_LAMPS = [cl.Wire("W1", "G1:-", "X1:1", "BK"), cl.Wire("W2", "G1:+", "F1:1", "RD"), cl.Wire("W3", "F1:2", "S1:1", "RD", 1.2), cl.Wire("W4", "S1:2", "X2:1", "YE"),
             cl.Wire("W5", "X2:2", "E1:1", "YE"), cl.Wire("W6", "X2:3", "E2:1", "YE", 2), cl.Wire("W7", "E1:2", "X1:2", "BK"), cl.Wire("W8", "E2:2", "X1:2", "BK", 2, 1.5)]


def test_two_fused_lamps_are_wired_from_nothing_by_keyboard_alone(page, keep_picture):
    """The drawing has each wire as soon as it is added; control and lamps work; the list is what was typed."""
    page.set_viewport_size({"width": 1190, "height": 640})
    board = open_board(page, empty())
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

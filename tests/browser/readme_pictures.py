"""The README's pictures, taken anew from live boards in Chromium: ``PYTHONPATH=tests python tests/browser/readme_pictures.py``.

Each is a board as the kit opens it, worked as a hand would; nothing is drawn or retouched.
"""

import shutil
from pathlib import Path

from board_page import open_board
from playwright.sync_api import expect, sync_playwright

import circuitlab as cl

PICTURES = Path(__file__).parents[2] / "lessons" / "pictures"
MOST_BYTES = 120_000        # of one picture, so that a clone stays light
WIDE = 1180                 # px
SIGNALS = {"key": "on", "brake pedal": "held", "turn lever": "left"}


def faults():
    """Return the faults of lesson 11c's board. [dict of text to change]"""
    return {"K1: 87 and 87a swapped": cl.SwapTerminals("K1:87", "K1:87a"), "K1: coil on the flashing wire": cl.MoveWire("W11", "X4:2", "K1:87"),
            "K1: battery on 30": cl.AddWire(cl.Wire("W98", "F1:2", "K1:30")), "K9: flasher dead": cl.Hold("K9", "off"),
            "F2 blown": cl.Hold("F2", "blown"), "K3: stop wire on 87a": cl.AddWire(cl.Wire("W99", "X3:1", "K3:87a"))}


def both_signals(page):
    """A shared filament in a flash while the pedal is held: stop on one side, turn on the other."""
    open_board(page, cl.arrangement("shared-filament-four-relays"), positions=SIGNALS, changes=faults())
    expect(page.get_by_role("list", name="Lamps")).to_contain_text("%")


def bad_ground(page):
    """A bad joint in the ground wire of one rear lamp, and the meter that finds it."""
    bad = {"W22: 2 ohm in its joint": cl.SetValue("W22", "start_joint", 2.0)}
    open_board(page, cl.arrangement("shared-filament-rear-relays"), positions={"brake pedal": "held"}, changes=bad)
    page.get_by_role("button", name=next(iter(bad))).click()
    page.get_by_role("button", name="meter", exact=True).click()
    page.locator("[data-key='end E1:2']").focus()
    page.keyboard.press("r")
    expect(page.locator(".pin30-reading")).to_contain_text("red on E1:2, black on G1:-")


SHOTS = {"board.png": both_signals, "bad_ground.png": bad_ground}


def take(browser, work):
    """Return one picture, as tall as its board. [PNG]"""
    page = browser.new_context(viewport={"width": WIDE, "height": 800}, locale="en-GB").new_page()
    work(page)
    page.mouse.move(WIDE - 1, 799)
    page.wait_for_timeout(400)
    tall = page.evaluate("Math.max(...[...document.querySelectorAll('svg, button, p')].map(each => each.getBoundingClientRect().bottom))")
    return page.screenshot(clip={"x": 0, "y": 0, "width": WIDE, "height": min(tall + 6, 800)})


def main():
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for name, work in SHOTS.items():
            picture = take(browser, work)
            (PICTURES / name).write_bytes(picture)
            print(name, len(picture))


if __name__ == "__main__":
    main()

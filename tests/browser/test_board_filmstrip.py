"""One relay's transfer on the running board at 1/100, as frames show it; kept as a filmstrip for people."""

import base64

import pytest
from board_page import open_board

import circuitlab as cl

pytestmark = pytest.mark.browser
STEP = 50       # ms of the page's clock: 0.5 ms of the circuit at 1/100
FRAMES = 40


def state(page):
    """Return what K1's contact is said to be. [text]"""
    return page.locator("g.part[data-key^='K1']").first.get_attribute("aria-label").partition(": ")[2]


def around(page):
    """Return a picture of K1's contact with its lamp below. [PNG as text]"""
    box = min((each.bounding_box() for each in page.locator("g.part[data-key^='K1']").all()), key=lambda each: each["x"])
    clip = {"x": box["x"] - 30, "y": box["y"] - 40, "width": 110, "height": 170}
    return base64.b64encode(page.screenshot(clip=clip)).decode()


def test_a_transfer_is_seen_at_a_hundredth(page, keep_picture):
    """Released, in the gap, operated, in this order and each for as long as the relay's record says."""
    page.emulate_media(reduced_motion="no-preference")
    page.clock.install(time=0)
    page.set_viewport_size({"width": 1366, "height": 640})
    board = open_board(page, cl.arrangement("shared-filament-four-relays"), positions={"key": "on"})
    page.clock.pause_at(10_000)
    page.get_by_role("button", name="speed 1/100").click()
    page.get_by_role("button", name="turn lever: left").click()
    page.wait_for_function("window.asked === window.answered")
    seen, strip = [], []
    for number in range(FRAMES):
        page.clock.run_for(STEP)
        now = state(page)
        if not seen or seen[-1][0] != now:
            seen.append([now, 0])
        seen[-1][1] += 1
        if number % 4 == 3:
            strip.append(f"<figure style='display: inline-block; margin: 4px'><img src='data:image/png;base64,{around(page)}'>"
                         f"<figcaption>{(number + 1) * STEP / 100:.1f} ms, {now}</figcaption></figure>")
    assert [name for name, _ in seen] == ["released", "gap", "operated"]
    changes = [event for event in board.desk.live.ahead(1.0).events if event.name == "K1"]
    gap = changes[1].time - changes[0].time
    assert seen[1][1] * STEP / 1000 / 100 == pytest.approx(gap, abs=2 * STEP / 1000 / 100)
    page.set_content("".join(strip))
    keep_picture("transfer-filmstrip")

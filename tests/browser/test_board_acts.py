"""Acts on the page: told, saved and played again on the page's own clock."""

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl

pytestmark = pytest.mark.browser
CART = cl.arrangement("shared-filament-four-relays")


def test_what_hands_did_is_played_again_at_its_own_moments(page, tmp_path, monkeypatch, keep_picture):
    """On a clock of the test's; saved, read, and the same acts at the same microseconds; a script of another circuit loses nothing."""
    monkeypatch.chdir(tmp_path)
    page.set_viewport_size({"width": 1366, "height": 640})
    page.emulate_media(reduced_motion="no-preference")
    page.clock.install(time=0)
    board = open_board(page, CART, changes={"F1 blown": cl.Hold("F1", "blown")})

    def on(milliseconds):
        page.clock.run_for(milliseconds)
        page.wait_for_function("window.asked === window.answered")

    on(50)
    page.get_by_role("button", name="acts").click()
    expect(page.get_by_role("list", name="Acts so far")).to_contain_text("Nothing yet")
    page.get_by_role("button", name="hold brake pedal").click()
    on(300)
    page.locator("[data-key=F2]").focus()
    page.keyboard.press("Enter")
    on(400)
    page.get_by_role("button", name="F1 blown").click()
    on(700)
    acts = page.get_by_role("list", name="Acts so far").get_by_role("listitem")
    expect(acts).to_have_count(3)
    page.get_by_role("button", name="save").click()
    expect(page.get_by_text("Saved in 'mine.script'.")).to_have_count(1)
    script = board.desk.live.script
    for press in ("replay", "load"):
        page.get_by_role("button", name=press).click()
        page.wait_for_function("window.asked === window.answered")
        on(100)
        expect(acts.nth(2)).to_contain_text("blow F1 (to come)")
        expect(lamp(page, "E1")).not_to_contain_text("dark")
        for _ in range(12):
            on(100)
        assert board.desk.live.script == script
        expect(acts.filter(has_text="to come")).to_have_count(0)
        expect(page.get_by_role("button", name="F1 blown")).to_have_attribute("aria-pressed", "true")
        expect(lamp(page, "E1")).to_contain_text("dark")
    keep_picture("board-acts")
    (tmp_path / "mine.script").write_text("script of one-fused-lamp\nend of script\n", encoding="utf-8")
    page.get_by_role("button", name="load").click()
    expect(page.get_by_role("alert")).to_contain_text("this is a script of 'one-fused-lamp', not of")
    assert board.desk.live.script == script
    assert page.problems == []


def test_leads_put_on_and_away_are_acts_and_are_played_again(page):
    page.emulate_media(reduced_motion="no-preference")
    page.clock.install(time=0)
    board = open_board(page, CART)

    def on(milliseconds):
        page.clock.run_for(milliseconds)
        page.wait_for_function("window.asked === window.answered")

    on(50)
    page.get_by_role("button", name="Run time").click()
    on(200)
    page.locator('[data-key="end K1:87"]').focus()
    page.keyboard.press("r")
    on(300)
    page.get_by_role("button", name="leads away", exact=True).click()
    on(300)
    assert {act[2:] for act in board.desk.script.acts} == {("red", "K1:87"), ("red", ""), ("black", "")}
    page.get_by_role("button", name="acts").click()
    page.get_by_role("button", name="replay").click()
    page.wait_for_function("window.asked === window.answered")
    for _ in range(4):
        on(100)
    for lead in ("red", "black"):
        expect(page.locator(f"g.lead.{lead}")).to_have_attribute("visibility", "visible")
    for _ in range(6):
        on(100)
    for lead in ("red", "black"):
        expect(page.locator(f"g.lead.{lead}")).to_have_attribute("visibility", "hidden")
    assert page.problems == []


def test_what_is_told_of_a_part_stays_true_when_the_hand_has_left_it(page):
    """Pointed at while dark, then left, then lit again: the sentence under the lamps is not that of before."""
    page.emulate_media(reduced_motion="no-preference")
    open_board(page, cl.arrangement("one-fused-lamp"), positions={"lamp switch": "on"}, changes={"fuse blown": cl.Hold("F1", "blown")})
    page.get_by_role("button", name="fuse blown").click()
    page.locator("[data-key=E1]").hover()
    expect(page.locator(".pin30-told")).to_contain_text("E1 is dark")
    page.mouse.move(1, 1)
    page.get_by_role("button", name="fuse blown").click()
    expect(page.locator(".pin30-told")).to_contain_text("E1 is lit")
    expect(page.locator(".pin30-told")).not_to_contain_text("dark")
    assert page.problems == []

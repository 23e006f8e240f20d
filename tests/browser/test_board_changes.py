"""What-if on the live board by keyboard and mouse: a change typed, seen before and after in picture and table, undone and saved."""

import pytest
from board_page import lamp, open_board
from playwright.sync_api import expect

import circuitlab as cl

pytestmark = pytest.mark.browser
FOUR = "shared-filament-four-relays"
SWAP = "swap K1:87 and K1:87a"
PIXEL = 1


@pytest.fixture
def cart():
    return cl.arrangement(FOUR)


def tab(page, name):
    page.get_by_role("button", name=name, exact=True).click()


def test_a_change_is_typed_seen_in_the_table_and_undone_by_keyboard(page, cart, keep_picture):
    """A wrong sentence stays in the field and is answered; letters typed there are the field's own, though s stops the board elsewhere."""
    page.emulate_media(reduced_motion="no-preference")
    open_board(page, cart, positions={"key": "on", "turn lever": "left"})
    tab(page, "change")
    page.keyboard.press("Tab")
    typed = page.get_by_role("textbox", name="type a change")
    expect(typed).to_be_focused()
    page.keyboard.type("swop K1:87 and K1:87a")
    page.keyboard.press("Enter")
    wrong = page.locator(".pin30-change").get_by_role("alert")
    expect(wrong).to_contain_text("no verb 'swop'")
    expect(page.get_by_role("button", name="Run time")).to_be_visible()
    expect(typed).to_have_value("swop K1:87 and K1:87a")
    page.keyboard.press("Control+a")
    page.keyboard.type(SWAP)
    page.keyboard.press("Enter")
    expect(typed).to_have_value("")
    expect(wrong).to_have_text("")
    expect(page.get_by_role("button", name="Stop time")).to_be_visible()
    listed = page.get_by_role("list", name="Changes made")
    expect(listed).to_contain_text(SWAP)
    tab(page, "table")
    found = cl.compare(cart, cl.changed(cart, cl.SwapTerminals("K1:87", "K1:87a")))
    region = page.get_by_role("region", name="Lamp table")
    expect(region.get_by_text("was steady, now dark", exact=True)).to_have_count(
        sum(pair == ("steady", "dark") for row in found.rows for pair in row.lamps.values()))
    expect(page.get_by_text(f"In {len(found.changed_rows)} of {len(found.rows)} rows some lamp looks different.")).to_be_visible()
    expect(region.locator("[aria-current]")).to_have_text("onreleasedleftwas flashing, now darkdarkflashingdark")
    page.get_by_label("changed rows only").check()
    expect(region.locator("tbody tr")).to_have_count(len(found.changed_rows))
    page.get_by_role("button", name="hold brake pedal").click()
    expect(region.locator("[aria-current] th")).to_have_text(["on", "held", "left"])
    keep_picture("board-table-changed")
    tab(page, "change")
    page.get_by_role("button", name=f"undo {SWAP}").focus()
    page.keyboard.press("Enter")
    expect(listed).to_have_text("Nothing is changed.")
    expect(typed).to_be_focused()
    assert page.problems == []


def test_before_follows_the_controls_and_says_what_it_shows(page, cart, keep_picture):
    """Its letters are as large as the drawing's; while time runs its flasher stays on, so nothing in it flashes."""
    page.emulate_media(reduced_motion="no-preference")
    open_board(page, cart, changes={"coil wire off": cl.LoseJoint("W11", "K1:86")})
    tab(page, "before")
    expect(page.get_by_text("Nothing is changed yet.")).to_be_visible()
    page.get_by_role("button", name="coil wire off").click()
    page.get_by_role("button", name="key: on").click()
    page.get_by_role("button", name="turn lever: left").click()
    was = page.get_by_role("region", name="The circuit before")
    expect(page.get_by_text("key on, brake pedal released, turn lever left, K9 on, lamps settled. Marked, on beads: W11.")).to_be_visible()
    expect(lamp(page, "E1")).to_contain_text("dark")
    lit = cl.operating_point(cart, {"key": "on", "turn lever": "left"})
    expect(was).to_contain_text(f"{lit.lamp_volts('E1'):.1f} V")
    seen = page.evaluate("""() => new Promise(done => { const told = [...document.querySelectorAll('.pin30-below p')][0], seen = new Set();
        const look = count => { seen.add(told.textContent); count ? setTimeout(look, 100, count - 1) : done(seen.size); }; look(20); })""")
    assert seen == 1
    sizes = page.evaluate("""() => ['.pin30-drawing', '.pin30-before svg'].map(each => { const svg = document.querySelector(each);
        return svg.getBoundingClientRect().width / svg.viewBox.baseVal.width; })""")
    assert sizes[0] == pytest.approx(sizes[1], rel=0.01)
    keep_picture("board-before")
    page.keyboard.press("s")
    page.locator("[data-key=S2]").focus()
    page.keyboard.press("h")
    expect(page.get_by_text("key on, brake pedal held, turn lever left")).to_be_visible()
    assert page.problems == []


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("wide", [1366, 390])
@pytest.mark.parametrize("what", ["change", "before", "table"])
def test_each_of_them_stays_within_its_view(page, cart, wide, what):
    """No control of it is wider than the view, none under 24 px, none lies on another (WCAG 2.2, 1.4.10 and 2.5.8)."""
    page.set_viewport_size({"width": wide, "height": 640})
    open_board(page, cart, changes={"coil wire off": cl.LoseJoint("W11", "K1:86")})
    page.get_by_role("button", name="coil wire off").click()
    page.locator("[data-key=F1]").focus()
    page.keyboard.press("Enter")
    tab(page, what)
    expect(page.locator(".pin30-inside > *").first).to_be_visible()
    boxes = page.evaluate("""() => [...document.querySelectorAll('.pin30-inside :is(button, input, summary)')].filter(each => each.checkVisibility())
        .map(each => each.closest('label') ?? each).map(each => { const box = each.getBoundingClientRect(); return [box.left, box.top, box.right, box.bottom]; })""")
    assert page.evaluate("document.documentElement.scrollWidth") <= wide
    for place, (left, top, right, low) in enumerate(boxes):
        assert 0 <= left and right <= wide + PIXEL and right - left >= 24 - PIXEL / 2 and low - top >= 24 - PIXEL / 2
        for other in boxes[place + 1:]:
            assert right <= other[0] + PIXEL or other[2] <= left + PIXEL or low <= other[1] + PIXEL or other[3] <= top + PIXEL


def test_a_value_turned_stands_in_the_list_and_the_list_is_saved(page, cart, tmp_path):
    """By arrow keys; the slider goes back when its change is undone."""
    open_board(page, cart)
    tab(page, "change")
    supply = page.get_by_role("slider", name="supply")
    supply.focus()
    page.keyboard.press("ArrowLeft")
    listed = page.get_by_role("list", name="Changes made")
    expect(listed).to_contain_text("supply: set G1 voltage 12.5 V")
    file = tmp_path / "mine.changes"
    page.get_by_role("textbox", name="file for the changes").fill(str(file))
    page.get_by_role("button", name="save the changes").click()
    expect(page.get_by_text("The changes are in")).to_be_visible()
    assert cl.changes.load_changes(file).after.part("G1").voltage == 12.5
    page.get_by_role("button", name="undo supply: set G1 voltage 12.5 V").click()
    expect(supply).to_have_value("12.6")
    assert page.problems == []


def test_values_of_a_flasher_that_is_added_can_be_turned_at_once(page):
    """The keyboard stays in the field where it was typed."""
    open_board(page, cl.arrangement("one-fused-lamp"))
    tab(page, "change")
    expect(page.get_by_role("slider")).to_have_count(1)
    page.get_by_role("textbox", name="type a change").fill("add part K9 flasher")
    page.keyboard.press("Enter")
    expect(page.get_by_role("slider", name="flash rate")).to_be_visible()
    expect(page.get_by_role("textbox", name="type a change")).to_be_focused()
    expect(page.get_by_role("textbox", name="type a change")).to_have_value("")
    assert page.problems == []


def test_what_is_told_of_a_part_comes_anew_with_the_undoing_of_its_taking_out(page):
    """Also where time stands, and nothing that the page asks for from then on is heard."""
    page.emulate_media(reduced_motion="no-preference")
    open_board(page, cl.arrangement("trailer-4-flat-combined-lamps"))
    page.locator("[data-key='F1']").first.focus()
    page.get_by_role("button", name="take out", exact=True).click()
    told = page.locator(".pin30-told").first
    expect(told).to_contain_text("in the hand")
    page.get_by_role("button", name="Stop time").click()
    tab(page, "change")
    page.evaluate("window.late = 200")
    page.get_by_role("button", name="undo F1 taken out").click()
    page.evaluate("window.dead = true")
    expect(page.get_by_role("status").first).to_contain_text("F1 taken out, undone")
    expect(told).to_contain_text("fuse, whole: terminal 1: 12.6 V")
    assert page.problems == []

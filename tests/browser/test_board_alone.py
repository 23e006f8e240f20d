"""A board in one file: opened from disk with the network off, worked by mouse, finger and keyboard."""

import os
import re
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from axe_core import look_through
from board_page import lamp, looks, most_in_a_second, on_a_clock, pass_time, watch
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.commands.line import main

pytestmark = pytest.mark.browser
FOUR = "shared-filament-four-relays"


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """Return a function that gives the file of a board, written once by the command."""
    folder = tmp_path_factory.mktemp("boards")

    def write(name, form="current-path"):
        file = folder / f"{Path(name).stem}-{form}.html"
        if not file.exists():
            assert main(["board", name, "--out", str(file), "--form", form]) == 0
        return file
    return write


@pytest.fixture
def opened(browser, written):
    """Return a function that opens a board from disk; when done no request was made and nothing went wrong."""
    contexts, asked, problems = [], [], []

    def open_file(name=FOUR, form="current-path", size=(1366, 640), clocked=False, **more):
        file = written(name, form)
        context = browser.new_context(viewport={"width": size[0], "height": size[1]}, locale="en-GB", **more)
        contexts.append(context)
        context.set_offline(True)
        page = context.new_page()
        if clocked:
            on_a_clock(page)
        page.on("request", lambda request: asked.append(request.url) if request.url != file.as_uri() else None)
        page.on("pageerror", lambda error: problems.append(str(error)))
        page.on("console", lambda message: problems.append(message.text) if message.type in ("error", "warning") else None)
        page.goto(file.as_uri())
        return page
    yield open_file
    for context in contexts:
        context.close()
    assert asked == []
    assert problems == []


@pytest.fixture
def keep():
    """Save a picture of a page for people, when PIN_THIRTY_PICTURES names a folder."""
    def save(page, name):
        folder = os.environ.get("PIN_THIRTY_PICTURES")
        if folder:
            Path(folder).mkdir(parents=True, exist_ok=True)
            page.screenshot(path=Path(folder) / f"{name}.png")
    return save


def middle(page, key):
    """Return the middle of an area of the drawing, brought into sight. [px]"""
    area = page.locator(f"[data-key='{key}']")
    area.scroll_into_view_if_needed()
    box = area.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_a_pressed_pedal_lights_its_lamp_and_springs_back(opened):
    """By mouse on the drawing; time stands until then."""
    page = opened()
    expect(page.get_by_role("heading", level=1)).to_have_text("Shared filaments: one relay for each lamp and a free-running flasher")
    page.wait_for_timeout(300)
    expect(page.locator(".pin30-clock")).to_have_text("0.00 s")
    expect(lamp(page, "E1")).to_contain_text("dark")
    page.mouse.move(*middle(page, "S2"))
    page.mouse.down()
    expect(lamp(page, "E1")).to_contain_text("69 %")
    expect(page.get_by_role("status")).to_contain_text("brake pedal held. E1, E2 steady")
    page.mouse.up()
    expect(lamp(page, "E1")).to_contain_text("dark")
    expect(page.locator("[data-key=S2]")).to_have_attribute("aria-label", "S2, pedal arm, switch: released")


def test_a_click_on_the_middle_of_the_lever_moves_it(opened):
    """Where it stands as the page opens: on to left; and back."""
    page = opened()
    for stands in ("left", "off", "left"):
        page.mouse.click(*middle(page, "S3"))
        expect(page.get_by_role("button", name=f"turn lever: {stands}")).to_have_attribute("aria-pressed", "true")


def test_a_click_on_the_name_of_a_part_works_it_too(opened):
    """The word beside the symbol is what one is told to click."""
    page = opened()
    name, *box = next(each for each in page.evaluate("board.still.names") if each[0].startswith("S3") and each[3] - each[1] > 10)
    left, top, right, low = page.evaluate("""([left, top, right, low]) => { const {drawing} = board, {left: x, top: y} = drawing.root.getBoundingClientRect();
      const [from, above] = drawing.view, at = (a, b) => [x + (a - from) * drawing.scale, y + (b - above) * drawing.scale]; return [...at(left, top), ...at(right, low)]; }""", box)
    page.mouse.click((left + right) / 2, (top + low) / 2)
    expect(page.get_by_role("button", name="turn lever: left")).to_have_attribute("aria-pressed", "true")
    assert page.evaluate("([name, ...box]) => board.drawing.find(box[0] + 1, box[1] + 1)?.name", [name, *box]) == "S3"


def test_volts_are_told_at_a_terminal_of_the_row_and_phase_shown(opened):
    """By finger, as operating points have them; in a flash and in the pause after it."""
    page = opened(size=(390, 844), has_touch=True, is_mobile=True)
    told = page.locator(".pin30-told")
    page.touchscreen.tap(*middle(page, "end E1:1"))
    expect(told).to_have_text("E1:1: 0.0 V, dead.")
    page.get_by_role("button", name="key: on").tap()
    page.get_by_role("button", name="turn lever: left").tap()
    circuit, row = cl.arrangement(FOUR), {"key": "on", "turn lever": "left"}
    volts = cl.operating_point(circuit, row).meter("E1:1")
    expect(told).to_have_text(f"E1:1: {volts:.1f} V, live.")
    expect(told).to_have_text("E1:1: 0.0 V, dead.")
    page.get_by_role("button", name="hold brake pedal").tap()
    page.touchscreen.tap(*middle(page, "end K2:30"))
    expect(told).to_have_text(re.compile(r"K2:30: 12\.\d V, live\."))


def test_lamps_flash_at_their_real_rate_and_one_key_stops_them(opened):
    """Rises of some seconds of the page's clock; after s nothing moves any more."""
    page = opened(clocked=True)
    page.get_by_role("button", name="key: on").click()
    page.get_by_role("button", name="turn lever: left").click()
    pass_time(page, 1.5)
    seen = watch(page, "() => Number(document.querySelector('.pin30-glass span').style.opacity)", 4.5)
    rises = [moment for (_, was), (moment, now) in zip(seen, seen[1:]) if was < 0.5 <= now]
    assert len(rises) >= 6
    assert 60 * (len(rises) - 1) / (rises[-1] - rises[0]) == pytest.approx(90, abs=2)
    page.keyboard.press("s")
    pass_time(page, 0.1)
    seen = looks(page, "E1", 1.0)
    assert max(seen) == min(seen)


@pytest.mark.full
def test_a_flasher_that_hurries_is_stilled_by_one_key(opened):
    """As on the live board: beyond three flashes a second on a small area, none once stilled."""
    page = opened("led-lamps-no-load")
    page.get_by_role("button", name="key: on").click()
    page.get_by_role("button", name="turn lever: left").click()
    page.wait_for_timeout(500)
    assert most_in_a_second(page, 2.5)[0] in (3, 4)
    page.keyboard.press("f")
    page.wait_for_timeout(1200)
    assert most_in_a_second(page, 2.5)[0] == 0
    expect(page.locator(".pin30-fast")).to_contain_text("steady mean")


@pytest.mark.parametrize("acts", [2, pytest.param(8, marks=pytest.mark.full)])
def test_acts_on_the_page_lead_where_the_kit_leads(opened, acts):
    """Seeded acts, each given time to settle: lamps, controls and states of that row, by an operating point."""
    page, chance = opened("shared-filament-rear-relays", clocked=True), Random(30)
    circuit = cl.arrangement("shared-filament-rear-relays")
    for _ in range(acts):
        buttons = page.locator(".pin30-controls button:not([aria-label^=press])")
        buttons.nth(chance.randrange(buttons.count())).click()
        pass_time(page, 1.3)
        row = {control.name: page.evaluate("name => board.position(name)", control.name) for control in circuit.controls}
        cells = cl.lamp_table(circuit).row(**{name.replace(" ", "_"): where for name, where in row.items()}).cells
        seen = watch(page, "() => [...document.querySelectorAll('.pin30-lamps li')].map(row => [row.querySelector('b').textContent, "
                           "Number(row.querySelector('.pin30-glass span').style.opacity)])", 0.7)
        for name, cell in cells.items():
            lights = [dict(each)[name] for _, each in seen]
            assert ("flashing" if max(lights) - min(lights) > 0.3 else "steady" if min(lights) > 0.3 else "dark") == cell.look, (row, name)


def test_large_letters_come_and_go_with_one_key(opened, keep):
    """No letter of the drawing under 16 px, those beside it 24; what is chosen and how it stands are kept."""
    page = opened()
    size = "(() => { const drawn = document.querySelector('.pin30-drawing'); return drawn.getBoundingClientRect().width / drawn.viewBox.baseVal.width; })()"
    least = page.evaluate("board.still.least_letter")
    before = page.evaluate(size)
    assert before * least >= 10
    page.get_by_role("button", name="hold brake pedal").click()
    keep(page, "alone-1366x640")
    page.keyboard.press("l")
    expect(page.get_by_role("button", name="large letters")).to_have_attribute("aria-pressed", "true")
    assert page.evaluate(size) * least >= 16
    assert page.locator(".pin30-value").first.evaluate("each => parseFloat(getComputedStyle(each).fontSize)") >= 24
    assert page.evaluate("document.documentElement.scrollWidth") <= 1366
    expect(lamp(page, "E1")).to_contain_text("69 %")
    keep(page, "alone-large-1366x640")
    page.keyboard.press("l")
    assert page.evaluate(size) == before


@pytest.mark.in_turn(2)
@pytest.mark.parametrize(("form", "size"), [("current-path", (1366, 640)), ("current-path", (390, 844)), ("attached", (1366, 640)),
                                            ("attached", (390, 844))])
def test_lamps_and_controls_are_in_sight_when_it_opens(opened, keep, form, size):
    """Nothing runs out of the page at its side; targets are large enough for a finger (WCAG 2.2, 2.5.8)."""
    page = opened(form=form, size=size)
    page.get_by_role("button", name="hold brake pedal").click()
    page.wait_for_timeout(400)
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    for what in (".pin30-lamps", ".pin30-controls", ".pin30-told"):
        box = page.locator(what).bounding_box()
        assert 0 <= box["y"] <= box["y"] + box["height"] <= size[1] / 2 + 60, what
    small = page.locator("button").evaluate_all("all => all.filter(each => each.offsetHeight < 24 || each.offsetWidth < 24).length")
    assert small == 0
    keep(page, f"alone-{form}-{size[0]}x{size[1]}")


def test_it_can_be_worked_by_the_keyboard_alone(opened):
    """From the page's beginning: tab to the drawing, arrows to another part, Space on the pedal, t to a terminal."""
    page = opened()
    for _ in range(20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('.pin30-drawing') !== null"):
            break
    first = page.evaluate("document.activeElement.dataset.key")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.dataset.key") != first
    page.locator("[data-key=S2]").focus()
    page.keyboard.down("Space")
    expect(lamp(page, "E1")).to_contain_text("69 %")
    page.keyboard.press("t")
    expect(page.locator(".pin30-told")).to_contain_text(re.compile(r"S2:\d: 12\.\d V, live\."))
    page.keyboard.up("Space")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('.pin30-drawing') === null")


def test_nothing_is_offered_that_only_the_live_board_can(opened):
    """No leads, nothing to take out; what would do so there does nothing here."""
    page = opened()
    for name in ("meter", "red lead", "take out", "attached"):
        expect(page.get_by_role("button", name=name)).to_have_count(0)
    page.locator("[data-key=F1]").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("r")
    expect(page.locator(".pin30-told")).to_contain_text("F1, beside the battery, fuse, whole: terminal 1: 12.6 V, 2: 12.6 V.")
    page.get_by_role("button", name="keys").click()
    expect(page.locator(".pin30-inside")).not_to_contain_text("lead")
    page.get_by_role("button", name="table").click()
    expect(page.get_by_role("region", name="Lamp table").get_by_role("row")).to_have_count(13)       # a head, 12 rows


def test_names_that_would_be_code_stay_names(opened, tmp_path):
    """From a file of one's own: shown letter for letter, and nothing of them runs."""
    bad, file = "</script><img src=x onerror=window.hurt=1>", tmp_path / "bad.toml"
    one = cl.arrangement("one-fused-lamp")
    cl.save(replace(one.with_parts(replace(one.part("E1"), place=bad)), title=bad), file)
    page = opened(str(file))
    expect(page.get_by_role("heading", level=1)).to_have_text(bad)
    page.locator("[data-key=E1]").focus()
    expect(page.locator(".pin30-told")).to_contain_text(bad)
    page.get_by_role("button", name="table").click()
    expect(page.get_by_role("region", name="Lamp table")).to_contain_text(bad)
    assert page.locator("img").count() == 0
    assert page.evaluate("window.hurt") is None


def test_start_over_puts_everything_at_rest(opened):
    """A held pedal too."""
    page = opened()
    page.get_by_role("button", name="hold brake pedal").click()
    expect(lamp(page, "E1")).to_contain_text("69 %")
    page.get_by_role("button", name="start over").click()
    expect(lamp(page, "E1")).to_contain_text("dark")
    expect(page.get_by_role("button", name="hold brake pedal")).to_have_attribute("aria-pressed", "false")


def test_start_over_stops_the_clock_and_forgets_what_was_pointed_at(opened):
    """At the first moment again, until the next act; nothing is told of a part any more."""
    page = opened()
    page.get_by_role("button", name="key: on").click()
    page.locator("[data-key=F1]").focus()
    expect(page.locator(".pin30-told")).to_contain_text("F1")
    page.get_by_role("button", name="start over").click()
    expect(page.get_by_role("status")).to_have_text("Started over: everything at rest, fuses whole.")
    page.wait_for_timeout(600)
    expect(page.locator(".pin30-clock")).to_have_text("0.00 s")
    expect(page.locator(".pin30-told")).to_have_text("")
    page.get_by_role("button", name="hold brake pedal").click()
    expect(lamp(page, "E1")).to_contain_text("69 %")


def test_an_act_while_time_stands_is_told_as_what_is_to_come(opened):
    """The lever moved after Stop: lamps stay dark, and the sentence says so; Run brings it."""
    page = opened()
    page.get_by_role("button", name="key: on").click()
    page.get_by_role("button", name="Stop time").click()
    page.get_by_role("button", name="turn lever: right").click()
    expect(page.get_by_role("status")).to_have_text("Time stands. Once it runs: turn lever right. E1, E3 dark; E2, E4 flashing 90 a minute.")
    expect(lamp(page, "E2")).to_contain_text("dark")
    page.get_by_role("button", name="Run time").click()
    expect(page.get_by_role("status")).to_have_text("turn lever right. E1, E3 dark; E2, E4 flashing 90 a minute.")
    expect(lamp(page, "E2")).to_contain_text("%")


def test_the_first_tab_stop_is_seen(opened):
    """A part of the drawing, with a ring round it."""
    page = opened()
    page.keyboard.press("Tab")
    ring = page.evaluate("getComputedStyle(document.activeElement.querySelector('.ring') ?? document.activeElement).stroke")
    assert page.evaluate("document.activeElement.dataset.key") == "S1"
    assert ring == "rgb(26, 111, 208)"


def test_who_wants_no_motion_steps_from_event_to_event(opened):
    """Nothing moves by itself."""
    page = opened(clocked=True, reduced_motion="reduce")
    page.get_by_role("button", name="key: on").click()
    page.get_by_role("button", name="turn lever: left").click()
    seen = []
    for _ in range(8):
        page.get_by_role("button", name="Next event").click()
        shown = looks(page, "E1", 0.3)
        assert max(shown) == min(shown)
        seen.append(shown[-1] > 0.5)
    assert 3 <= sum(seen) <= 5


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(("form", "large", "below"), [("current-path", False, "strip"), ("current-path", True, "table"), ("attached", False, "keys")])
def test_axe_finds_nothing_serious(opened, form, large, below):
    """The whole page, with something chosen and running; its policy would keep the checker out, so it is put in as the test's own."""
    page = opened(form=form)
    page.get_by_role("button", name="hold brake pedal").click()
    page.locator("[data-key=F1]").focus()
    page.get_by_role("button", name=below, exact=True).click()
    if large:
        page.keyboard.press("l")
    passed, grave = look_through(page, "html")
    assert grave == []
    assert {"button-name", "color-contrast", "html-has-lang", "document-title"} <= set(passed)


def test_a_plug_is_parted_on_the_page_while_lamps_flash_and_put_in_again(opened):
    """Its lamps go out where the controls stand, the cart's go on, and a throw made then leads on with the plug parted."""
    page = opened("trailer-4-flat-combined-lamps", clocked=True)
    for name in ("key: on", "turn lever: left", "hold brake pedal"):
        page.get_by_role("button", name=name).click()
    pass_time(page, 1.5)
    expect(lamp(page, "E8")).to_contain_text("64 %")
    page.get_by_role("button", name="plug X5: parted").click()
    pass_time(page, 1.5)
    expect(lamp(page, "E8")).to_contain_text("floating")
    expect(lamp(page, "E2")).to_contain_text("72 %")
    expect(page.get_by_role("status")).to_contain_text("X5 parted. E1, E3 flashing 90 a minute; E2 steady; ")
    expect(page.get_by_role("status")).to_contain_text("This page shows the circuit as it settles with the plug out from the start.")
    expect(page.get_by_role("button", name="plug X5: parted")).to_have_attribute("aria-pressed", "true")
    assert [max(looks(page, name, 1.2)) > 0.3 for name in ("E1", "E7")] == [True, False]
    page.get_by_role("button", name="turn lever: right").click()
    pass_time(page, 1.5)
    assert page.evaluate("board.position('brake pedal')") == "held" and page.evaluate("board.drawing.states.X5") == "parted"
    page.locator("[data-key='X5.3']").first.focus()
    page.keyboard.press("Enter")
    pass_time(page, 1.5)
    expect(page.get_by_role("button", name="plug X5: mated")).to_have_attribute("aria-pressed", "true")
    assert [max(looks(page, name, 1.2)) > 0.3 for name in ("E7", "E8")] == [True, True]
    expect(page.get_by_role("status")).to_contain_text("X5 mated again")
    page.get_by_role("button", name="plug X5: parted").click()
    page.get_by_role("button", name="start over").click()
    expect(page.get_by_role("button", name="plug X5: mated")).to_have_attribute("aria-pressed", "true")


@pytest.mark.parametrize("form", ["current-path", "attached"])
def test_the_row_below_a_large_drawing_is_in_sight_and_shows_it_whole(opened, form):
    """On a window of 1366 by 768: nothing of its buttons is cut, and all of the drawing is in its place once it is asked for."""
    page = opened("trailer-4-flat-combined-lamps", form=form, size=(1366, 768))
    row = page.get_by_role("toolbar", name="Drawing", exact=True).bounding_box()
    assert row["y"] + row["height"] <= 768
    page.get_by_role("button", name="whole drawing").click()
    stage, drawn = (page.locator(f".pin30-{what}").bounding_box() for what in ("stage", "drawing"))
    assert drawn["x"] + drawn["width"] <= stage["x"] + stage["width"] + 1 and drawn["y"] + drawn["height"] <= stage["y"] + stage["height"] + 1
    assert stage["y"] + stage["height"] <= page.get_by_role("toolbar", name="Drawing", exact=True).bounding_box()["y"]
    page.get_by_role("button", name="whole drawing").click()
    assert page.locator(".pin30-drawing").bounding_box()["width"] > drawn["width"]

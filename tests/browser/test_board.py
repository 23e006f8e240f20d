"""The live board: in JupyterLab once, and on a page of its own for what needs no notebook."""

import re
from dataclasses import replace
from random import Random

import nbformat
import pytest
from board_page import lamp, looks, most_in_a_second, on_a_clock, open_board, pass_time, watch
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.benches.board import listing

pytestmark = pytest.mark.browser
FOUR = "shared-filament-four-relays"
CODE = f'import circuitlab as cl\nboard = cl.board(cl.arrangement("{FOUR}"))\nboard'
NOW = 1500      # ms: by then a hand sees that something answers


@pytest.fixture
def moving(page):
    """A page whose reader has not asked for less motion."""
    page.emulate_media(reduced_motion="no-preference")
    return page


@pytest.fixture
def clocked(moving):
    """Such a page on a clock of the test's: seconds of it pass in a fraction of one. In JupyterLab and in the lessons time is real."""
    return on_a_clock(moving)


def middle(locator):
    """Return the middle of what is drawn. [px]"""
    box = locator.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def rises(seen):
    """Return how often something dark became bright. [1]"""
    marks = [light > 0.6 for light in seen if light > 0.6 or light < 0.25]
    return sum(later and not earlier for earlier, later in zip(marks, marks[1:]))


def test_in_jupyterlab_the_pedal_lights_the_lamp_and_the_lever_flashes_it(notebooks, notebook, moving, keep_picture):
    """Pressed in the drawing itself; the lamp is out again when the hand lets go, and flashes at the flasher's own rate."""
    cell = nbformat.v4.new_code_cell(CODE, id="board")
    made = nbformat.v4.new_notebook(cells=[cell], metadata={
        "kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, notebooks / "board.ipynb")
    notebook.open("board.ipynb").run_all()
    board = notebook.outputs.locator(".pin30-board")
    expect(lamp(board, "E1")).to_contain_text("dark")
    expect(board.get_by_role("button", name="Run time")).to_be_visible()
    moving.mouse.move(*middle(board.locator("[data-key=S2]")))
    moving.mouse.down()
    expect(lamp(board, "E1")).to_contain_text("69 %", timeout=NOW)
    expect(board.get_by_role("button", name="S2, pedal arm, switch: held")).to_have_count(1)
    moving.mouse.up()
    expect(lamp(board, "E1")).to_contain_text("dark", timeout=NOW)
    board.get_by_role("button", name="key: on").click()
    x, y = middle(board.locator("[data-key=S3]"))
    moving.mouse.click(x - 80, y)
    flashed = rises(looks(moving, "E1", 2.7))
    rate = cl.arrangement(FOUR).part("K9").rate
    assert abs(flashed - 2.7 * rate / 60) <= 1
    board.locator("[data-key=S2]").focus()
    for key in ("b", "Escape", "a", "s", "x", "n", "h", "t", "w", "d", "d"):     # of which some would add and delete cells in a notebook
        moving.keyboard.press(key)
    expect(notebook.panel.locator(".jp-Cell")).to_have_count(1)
    expect(lamp(board, "E1")).to_be_visible()
    keep_picture("board-in-jupyterlab")
    assert moving.outside == []
    assert moving.problems == []
    moving.evaluate("window.jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.restart()")
    expect(board.get_by_role("alert")).to_contain_text("stopped: run this cell again", timeout=20_000)
    assert moving.evaluate("document.querySelector('.pin30-stage').inert")
    (notebooks / "board.ipynb").unlink()


def test_every_click_on_a_lever_moves_it(moving):
    """Also on the middle, where it stands as the board opens; left and right of that it goes where it is pointed at, and back."""
    open_board(moving, cl.arrangement(FOUR))
    box = moving.locator("[data-key=S3]").bounding_box()
    for share, stands in ((0.5, "left"), (0.5, "off"), (0.5, "left"), (0.9, "right"), (0.9, "off"), (0.1, "left"), (0.1, "off"), (0.5, "left")):
        moving.mouse.click(box["x"] + share * box["width"], box["y"] + box["height"] / 2)
        expect(moving.get_by_role("button", name=f"turn lever: {stands}")).to_have_attribute("aria-pressed", "true")


def told(page):
    """Return what is told of the thing that is chosen. [text]"""
    return page.locator(".pin30-told")


def test_by_keyboard_alone_a_fuse_is_found_pulled_and_put_back(page):
    """Arrows from where Tab leads; the pedal stays down while it is held; the spoken sentence says what came of it."""
    open_board(page, cl.arrangement(FOUR))
    page.locator("[data-key=S1]").focus()
    for key, name in (("ArrowLeft", "S2"), ("ArrowUp", "F1"), ("w", "wire W1"), ("n", "wire W2"), ("w", "S2"), ("h", "S2"),
                      ("t", "terminal S2:1"), ("ArrowUp", "S2"), ("ArrowUp", "F1")):
        page.keyboard.press(key)
        assert page.evaluate("document.activeElement.getAttribute('aria-label')").startswith(name), key
    assert page.locator(".pin30-drawing [tabindex='0']").count() == 1
    expect(page.get_by_role("status")).to_have_text("brake pedal held. E1, E2 steady; E3, E4 dark.")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_have_text("F1 taken out. E1, E2, E3, E4 dark.")
    expect(page.get_by_role("button", name="F1, beside the battery, fuse: out")).to_be_focused()
    page.keyboard.press(" ")
    expect(page.get_by_role("status")).to_have_text("F1 put back. E1, E2 steady; E3, E4 dark.")
    assert page.problems == []


def test_a_wire_is_lifted_by_a_second_click_at_its_end_and_put_back_by_the_button(page):
    """The first click tells what is read there; the cross is drawn where the wire is off."""
    open_board(page, cl.arrangement(FOUR))
    x, y = middle(page.locator("[data-key=W5]"))
    page.mouse.click(x + 1, y + 20)
    expect(told(page)).to_contain_text("W5, orange, X3:3 to K2:87a: dead, 0 A. W5 carries nothing; it has 0.0 V, because S2 is open")
    page.mouse.click(x + 1, y + 20)
    expect(page.get_by_role("status")).to_contain_text("W5 off K2:87a.")
    expect(page.locator(".pin30-drawing path.off")).to_have_count(2)
    page.get_by_role("button", name="put back on K2:87a").click()
    expect(page.get_by_role("status")).to_contain_text("W5 back on K2:87a.")
    expect(page.locator(".pin30-drawing path.off")).to_have_count(0)


def test_leads_are_put_on_by_click_or_key_and_keep_the_least_and_the_most_while_it_flashes(clocked):
    """The words are the reading's own."""
    board = open_board(clocked, cl.arrangement(FOUR), positions={"key": "on", "turn lever": "left"})
    clocked.get_by_role("button", name="meter", exact=True).click()
    clocked.get_by_role("button", name="red lead", exact=True).click()
    place = clocked.locator("[data-key='end E1:1']").bounding_box()
    clocked.mouse.click(place["x"] + 14, place["y"] + 14)
    expect(clocked.locator(".pin30-reading")).to_contain_text("red on E1:1, black on G1:-")
    clocked.get_by_role("button", name="Run time").click()
    pass_time(clocked, 1.5)
    expect(clocked.locator(".pin30-reading")).to_contain_text("MIN 0.0 V, MAX 12.1 V", timeout=4000)
    clocked.locator("[data-key='end K1:30']").focus()
    clocked.keyboard.press("b")
    clocked.keyboard.press("s")
    expect(clocked.locator(".pin30-reading")).to_contain_text("black on K1:30")
    moment = clocked.evaluate("Math.max(...window.sent.filter(each => each.kind === 'read').map(each => each.at))") / 1e6
    assert board.desk.live.at(moment).meter("E1:1", "K1:30") is not None


def test_under_the_cursor_of_the_strip_drawing_controls_and_lamps_are_of_one_moment(clocked):
    """Also after time has gone on; an act goes back to now."""
    board = open_board(clocked, cl.arrangement(FOUR))
    clocked.get_by_role("button", name="strip").click()
    clocked.get_by_role("button", name="hold brake pedal").click()
    pass_time(clocked, 0.8)
    clocked.get_by_role("button", name="hold brake pedal").click()
    pass_time(clocked, 0.8)
    strip = clocked.get_by_role("slider", name="Moment on the strip")
    clocked.get_by_role("button", name="Stop time").click()
    now = float(strip.get_attribute("aria-valuemax"))
    held, let_go = clocked.evaluate("window.sent.filter(each => each.kind === 'act').map(each => each.at / 1e6)")
    box = strip.bounding_box()
    clocked.mouse.click(box["x"] + box["width"] * (1 - (now - 0.3 * held - 0.7 * let_go) / 8), box["y"] + 10)
    clocked.wait_for_function("document.querySelector('canvas').getAttribute('aria-valuenow') < document.querySelector('canvas').getAttribute('aria-valuemax') - 0.3")
    moment = float(strip.get_attribute("aria-valuenow"))
    point = board.desk.live.at(moment)
    assert point.positions["brake pedal"] == "held"
    told_light = int(re.search(r"(\d+) %", lamp(clocked, "E1").inner_text())[1])
    assert told_light == pytest.approx(100 * point.light("E1"), abs=1)         # whole percents of a curve thinned to what an eye can tell
    expect(clocked.get_by_role("button", name="press")).to_have_attribute("aria-pressed", "true")
    expect(clocked.get_by_role("button", name="hold brake pedal")).to_have_attribute("aria-pressed", "false")
    expect(clocked.get_by_role("button", name="stand still")).to_have_attribute("aria-pressed", "true")
    expect(clocked.get_by_role("status")).to_contain_text("brake pedal held.")
    expect(clocked.locator("[data-key=S2]")).to_have_attribute("aria-label", "S2, pedal arm, switch: held")
    strip.focus()
    for _ in range(3):
        clocked.keyboard.press("ArrowRight")
    expect(strip).to_have_attribute("aria-valuenow", str(round(moment + 3 * 0.32, 6)))
    clocked.keyboard.press("Escape")
    expect(lamp(clocked, "E1")).to_contain_text("dark")
    expect(clocked.get_by_role("status")).to_contain_text("brake pedal released.")


def test_in_slow_motion_the_clock_tells_milliseconds_and_of_a_latched_pedal_hold_alone_is_pressed(moving):
    open_board(moving, cl.arrangement(FOUR))
    clock = moving.get_by_role("timer")
    expect(clock).to_have_text("0.00 s")
    moving.get_by_role("button", name="speed 1/100").click()
    expect(clock).to_have_text("0.000 s")
    moving.get_by_role("button", name="hold brake pedal").click()
    expect(moving.get_by_role("toolbar", name="brake pedal").locator("[aria-pressed=true]")).to_have_text(["hold"])
    moving.get_by_role("button", name="Stop time").click()
    moving.locator("[data-key='K1.coil']").focus()
    for key in "wn":
        moving.keyboard.press(key)
        wire = moving.evaluate("document.activeElement.getAttribute('aria-label')")
        assert re.search(r"K1:8[56]\b", wire), wire


def test_who_wants_no_motion_steps_from_event_to_event(page):
    """Nothing moves by itself; each step shows what stands just before the next event."""
    open_board(on_a_clock(page), cl.arrangement(FOUR))
    page.get_by_role("button", name="key: on").click()
    page.get_by_role("button", name="turn lever: left").click()
    expect(lamp(page, "E1")).to_contain_text(" V, ")
    seen = []
    for _ in range(8):
        page.get_by_role("button", name="Next event").click()
        seen.append(page.evaluate("document.querySelector('.pin30-glass span').style.opacity") > "0.5")
        assert max(looks(page, "E1", 0.4)) == min(looks(page, "E1", 0.1))
    flashing = seen[seen.index(True):]
    assert len(flashing) >= 4
    assert flashing == [step % 2 == 0 for step in range(len(flashing))]


def test_the_board_stands_whole_in_a_small_window(moving, keep_picture):
    """1366x640: every letter of the sheet 10 px or more, drawing, lamps and controls in sight without scrolling."""
    moving.set_viewport_size({"width": 1366, "height": 640})
    board = open_board(moving, cl.arrangement(FOUR))
    scale = moving.evaluate("(() => { const drawn = document.querySelector('.pin30-drawing'); "
                            "return drawn.getBoundingClientRect().width / drawn.viewBox.baseVal.width; })()")
    assert scale * board.still["least_letter"] >= 10
    for what in (".pin30-drawing", ".pin30-lamps", ".pin30-controls", ".pin30-said"):
        box = moving.locator(what).bounding_box()
        assert box["x"] >= 0 and box["y"] >= 0, what
        assert box["x"] + box["width"] <= 1366 and box["y"] + box["height"] <= 640 - 90, what
    small = moving.locator(".pin30-board button").evaluate_all("all => all.filter(each => each.offsetHeight < 24 || each.offsetWidth < 24).length")
    assert small == 0
    keep_picture("board-1366x640")
    for wide, tall in ((1024, 640), (683, 320), (360, 640)):
        moving.set_viewport_size({"width": wide, "height": tall})
        moving.wait_for_timeout(100)
        assert moving.evaluate("document.documentElement.scrollWidth") <= wide
        assert moving.locator(".pin30-lamps").bounding_box()["y"] + 40 < tall
        keep_picture(f"board-{wide}x{tall}")


def test_numbers_beside_a_flashing_lamp_are_mostly_those_of_the_light_that_is_seen(clocked):
    """Looked at once its filament has warmed, not in the very moment it came on, which would stand for most of the flash."""
    open_board(clocked, cl.arrangement(FOUR), positions={"key": "on", "turn lever": "left"})
    clocked.get_by_role("button", name="Run time").click()
    row = "[...document.querySelectorAll('.pin30-lamps li')].find(each => each.textContent.startsWith('E1'))"
    seen = watch(clocked, f"() => {row}.querySelector('.pin30-value').textContent", 5.0)
    fed = [float(share[1]) for _, words in seen if (share := re.match(r"1[12]\.\d V, (\d+) %", words))]
    assert len(fed) > 50 and sum(each > 20 for each in fed) > 0.6 * len(fed)


def test_a_kit_that_does_not_answer_is_waited_for_and_time_goes_on_from_there(clocked):
    """The clock stands soon after the record's end, says so, and loses nothing when the answer comes."""
    open_board(clocked, cl.arrangement(FOUR))
    clocked.evaluate("window.dead = true")
    clocked.get_by_role("button", name="Run time").click()
    clocked.clock.run_for(4500)
    expect(clocked.locator(".pin30-clock")).to_contain_text("4.30 s, waiting for the kit", timeout=6000)
    clocked.evaluate("window.dead = false")
    clocked.wait_for_function("!document.querySelector('.pin30-clock').textContent.includes('waiting')", timeout=5000)
    assert float(clocked.locator(".pin30-clock").inner_text().split()[0]) < 5.5


def test_time_does_not_go_back_where_an_act_is_answered_late(clocked):
    """What hands do meanwhile stays in its order: leads taken away and put on again are on."""
    board = open_board(clocked, cl.arrangement(FOUR))
    clocked.get_by_role("button", name="Run time").click()
    clocked.clock.run_for(500)
    clocked.evaluate("window.late = 1000")
    clocked.get_by_role("button", name="hold brake pedal").click()
    clocked.clock.run_for(700)
    clocked.locator('[data-key="end E1:1"]').focus()
    clocked.keyboard.press("r")
    clocked.get_by_role("button", name="leads away", exact=True).click()
    clocked.clock.run_for(400)
    clocked.locator('[data-key="end E2:1"]').focus()
    clocked.keyboard.press("r")
    clocked.evaluate("window.late = 0")
    clocked.clock.run_for(1000)
    clocked.wait_for_function("window.asked === window.answered")
    times = clocked.evaluate("window.sent.filter(each => each.kind === 'act' || each.kind === 'lead').map(each => each.at)")
    assert times == sorted(times)
    assert [act.to for act in board.desk.script.acts if act.what == "red"] == ["E1:1", "", "E2:1"]


def test_a_pedal_tapped_faster_than_the_kit_answers_lights_its_lamp_the_next_time(moving):
    """The answer to the press comes after the release has gone out: it counts no more, and its picture is kept all the same."""
    open_board(moving, cl.arrangement(FOUR))
    moving.get_by_role("button", name="Run time").click()
    moving.wait_for_function("window.asked === window.answered")
    moving.evaluate("window.late = 200")
    for _ in range(2):
        moving.get_by_role("button", name="press brake pedal").click()
        moving.wait_for_function("window.asked === window.answered")
        moving.evaluate("window.late = 0")
    moving.get_by_role("button", name="hold brake pedal").click()
    expect(lamp(moving, "E1")).to_contain_text("69 %", timeout=NOW)
    assert moving.problems == []


@pytest.mark.outside("WCAG 2.2, success criterion 2.3.1 and its definition of the general flash threshold: three flashes in any second")
@pytest.mark.full
def test_never_more_than_three_flashes_a_second_once_stilled_by_one_key(moving):
    """A flasher that hurries shows its own rate where it is small on the page; one key makes a steady mean of it, under a mashed pedal too."""
    open_board(moving, cl.arrangement("led-lamps-no-load"), positions={"key": "on", "turn lever": "left"})
    moving.get_by_role("button", name="Run time").click()
    assert most_in_a_second(moving, 1.8)[0] in (3, 4)
    moving.get_by_role("button", name="hold brake pedal").click()       # one more that comes on: told within a second
    expect(moving.locator(".pin30-fast")).to_contain_text("small on the page", timeout=20_000)
    moving.get_by_role("button", name="hold brake pedal").click()
    moving.keyboard.press("f")
    moving.wait_for_timeout(600)
    most, flasher = most_in_a_second(moving, 2.2, "document.querySelector('[data-key=K9]').getAttribute('aria-label')")
    assert most == 0
    assert sum(one != other for one, other in zip(flasher, flasher[1:])) <= 3       # 3.3 flashes a second are 14 turns in this time
    expect(moving.locator(".pin30-fast")).to_contain_text("steady mean")
    moving.evaluate("""() => { let pressed = 0; const pedal = document.querySelector('[data-key=S2]');
        const mash = kind => pedal.dispatchEvent(new KeyboardEvent(kind, {key: ' ', bubbles: true}));
        document.querySelector('[data-key=S2]').focus();
        const timer = setInterval(() => { mash(pressed++ % 2 ? 'keyup' : 'keydown'); if (pressed > 30) clearInterval(timer); }, 60); }""")
    assert most_in_a_second(moving, 2.2)[0] <= 3
    moving.get_by_role("button", name="Stop time").click()
    expect(moving.locator(".pin30-fast")).to_have_text("", timeout=3000)


def test_the_largest_glow_of_every_board_stays_under_the_area_that_may_flash():
    """All that flash by each rule at the largest scale, and lamps that no rule speaks of; and no lit lamp is a saturated red, by linear shares.

    What flashes over a larger area by a fault, or under a hand, the page holds still by the area that it finds.
    """
    from circuitlab.views.board.sheets import LIT_RED

    shares = [((int(LIT_RED[place:place + 2], 16) / 255 + 0.055) / 1.055) ** 2.4 for place in (1, 3, 5)]
    assert shares[0] / sum(shares) < 0.8
    counted = []
    for name in cl.arrangement_names():
        circuit = cl.arrangement(name)
        steady = {line.part for line in circuit.rule} - {line.part for line in circuit.rule if line.look == "flashing"}
        counted.append(sum(part.shines and part.name not in steady for part in circuit.parts))
        assert counted[-1] * (3.1416 * (17 * 1.4) ** 2 + 256) < 21824, name
    assert max(counted) >= 6


def test_two_boards_on_a_page_do_not_touch_each_other(moving):
    """Each its own clock, record and ids; a hand on one leaves the other as it was."""
    open_board(moving, cl.arrangement("one-fused-lamp"))
    open_board(moving, cl.arrangement(FOUR), beside=True)
    first, second = moving.locator(".pin30-board").nth(0), moving.locator(".pin30-board").nth(1)
    second.get_by_role("button", name="hold brake pedal").click()
    expect(lamp(second, "E1")).to_contain_text("69 %", timeout=NOW)
    expect(lamp(first, "E1")).to_contain_text("dark")
    expect(first.locator(".pin30-clock")).to_have_text("0.00 s")
    first.get_by_role("button", name="lamp switch: on").click()
    expect(lamp(first, "E1")).to_contain_text("7", timeout=NOW)
    doubled = moving.evaluate("(() => { const ids = [...document.querySelectorAll('[id]')].map(each => each.id); return ids.length - new Set(ids).size; })()")
    assert doubled == 0


def test_names_that_would_be_code_stay_names(page):
    """In the drawing, beside it, in what is told and in the table: nothing of them runs or is taken for markup."""
    bad = "<img src=x onerror=window.hurt=1>"
    one = cl.arrangement("one-fused-lamp")
    lamp_part = one.part("E1")
    hostile = replace(one.with_parts(replace(lamp_part, place=bad)), title=bad)
    open_board(page, hostile)
    page.get_by_role("button", name="lamp switch: on").click()
    page.locator("[data-key=E1]").focus()
    expect(told(page)).to_contain_text(bad)
    page.get_by_role("button", name="table", exact=True).click()
    expect(page.get_by_role("region", name="Lamp table")).to_contain_text(bad)
    assert page.locator("img").count() == 0
    assert page.evaluate("window.hurt") is None


def states_shown(page):
    """Return the state that every part is said to be in, where it has one. [text]"""
    names = page.locator("g.part[data-key]").evaluate_all("all => all.map(each => each.getAttribute('aria-label'))")
    return {name.split(",")[0]: name.partition(": ")[2] for name in names if ": " in name}


CARDS = {"F1 blown": cl.Hold("F1", "blown"), "K1 sticks": cl.Hold("K1", "operated"), "W1 off": cl.LoseJoint("W1", "F1:1")}


def act_by_chance(page, chance, board):
    """Let a hand do one thing: work a control, take something out or off, make or undo a change, turn a dial, put a lead on, change the form."""
    kind = chance.choices(("control", "area", "card", "dial", "lead", "form"), (12, 3, 2, 1, 2, 1))[0]
    if kind == "control":
        buttons = page.locator(".pin30-controls button")
        buttons.nth(chance.randrange(buttons.count())).click()
    elif kind == "area":
        areas = [area["key"] for area in board.desk.still()["areas"] if area["kind"] == "wire" or area["name"] in ("F1", "F2", "E1", "E2", "K9")]
        page.locator(f'[data-key="{chance.choice(areas)}"]').focus()
        page.keyboard.press(chance.choice(("Enter", "Shift+Enter")))
    elif kind == "card":
        page.locator(".pin30-cards button").nth(chance.randrange(len(CARDS))).click()
    elif kind == "dial":
        if page.locator(".pin30-inside input[type=range]").count() == 0:
            page.get_by_role("toolbar", name="Below the drawing").get_by_role("button", name="change", exact=True).click()
        page.locator(".pin30-inside input[type=range]").nth(chance.randrange(3)).evaluate(
            "(slider, share) => { slider.value = Number(slider.min) + share * (slider.max - slider.min);"
            " slider.dispatchEvent(new Event('input')); slider.dispatchEvent(new Event('change')); }", 0.4 + 0.6 * chance.random())
    elif kind == "lead":
        ends = [area["key"] for area in board.desk.still()["areas"] if area["kind"] == "terminal"]
        page.locator(f'[data-key="{chance.choice(ends)}"]').focus()
        page.keyboard.press(chance.choice(("r", "b")))
        if chance.random() < 0.2:
            page.get_by_role("button", name="leads away", exact=True).click()
    else:
        page.locator(".pin30-beside button", has_text=re.compile("^(attached|current-path)$")).click()


def leads_of(desk):
    """Return where the leads are after all that hands did: the black one on minus, unless it was put elsewhere."""
    leads = {}
    for act in desk.script.acts:
        if act.kind == "lead" and act.to:
            leads = {"black": desk.present.zero, **leads, act.what: act.to}
        elif act.kind == "lead":
            leads.pop(act.what, None)
    return leads


@pytest.mark.parametrize("name, acts", [(FOUR, 30), pytest.param("shared-filament-rear-relays-hazard", 1000, marks=pytest.mark.full)])
def test_after_seeded_acts_the_page_shows_what_the_record_has(moving, name, acts):
    """Hands doing everything a board knows, at random while it runs, on a clock of the test's; drawing, lamps, controls, buttons
    and leads as the kit has them at that moment."""
    chance = Random(30)
    moving.clock.install(time=0)
    board = open_board(moving, cl.arrangement(name), changes=CARDS)
    desk, stopped = board.desk, 0
    moving.clock.run_for(50)
    moving.locator("[data-key=S1]").focus()
    for number in range(acts):
        act_by_chance(moving, chance, board)
        moving.clock.run_for(chance.choice((20, 150, 700, 1500)))
        moving.wait_for_function("window.asked === window.answered")
        if number % 5 != 0:
            continue
        if moving.get_by_role("button", name="Stop time").count():
            moving.get_by_role("button", name="Stop time").click()
        moving.clock.run_for(300)
        moving.wait_for_function("window.asked === window.answered")
        shown = moving.evaluate("window.sent.findLast(each => each.kind === 'tell').at")
        point = desk.live.at(shown / 1e6)
        seen = states_shown(moving)
        off = {wire for wire, _ in desk.apart.off}
        assert {name: point.states[name] for name in seen if name not in desk.apart.out} == \
               {name: state for name, state in seen.items() if name not in desk.apart.out}, (number, shown)
        assert all(seen[name] == "out" for name in desk.apart.out)
        assert {node.get_attribute("data-key") for node in moving.locator("g.wire[aria-label*=': off ']").all()} == off
        for words in CARDS:
            assert moving.get_by_role("button", name=words, exact=True).get_attribute("aria-pressed") == str(words in desk.tried.made).lower()
        for control, position in point.positions.items():
            pressed = moving.get_by_role("toolbar", name=control, exact=True).locator("[aria-pressed=true]").all_inner_texts()
            assert position in pressed or {"press", "hold"} & set(pressed) or position == desk.present.control(control).positions[0], (number, control)
        leads = leads_of(desk)
        for lead in ("red", "black"):
            drawn, at = moving.locator(f"g.lead.{lead}"), desk.still()["terminals"].get(leads.get(lead))
            assert drawn.get_attribute("visibility") == ("visible" if at else "hidden"), (number, lead)
            if at:
                assert drawn.get_attribute("transform") == f"translate({at[0]:.10g} {at[1]:.10g})", (number, lead)
        stopped += point.verdict != "settled"
        if point.verdict == "settled":
            for place in moving.locator(".pin30-lamps li").all():
                name, light = place.locator("b").inner_text(), place.locator(".pin30-glass span").evaluate("each => Number(each.style.opacity)")
                assert light == pytest.approx(min(1, max(0, point.light(name)) ** 0.5), abs=0.03), (number, name)
        if moving.get_by_role("button", name="Run time").count():
            moving.get_by_role("button", name="Run time").click()
    assert {act.kind for act in desk.script.acts} == {"control", "change", "lead"} and stopped < acts / 20
    assert moving.problems == []


def test_a_minute_on_the_page_is_a_minute_of_the_record(moving):
    """On a clock of the test's: no drift over sixty seconds of flashing, and nothing of it waited for."""
    moving.clock.install(time=0)
    board = open_board(moving, cl.arrangement(FOUR), positions={"key": "on", "turn lever": "left"})
    moving.clock.pause_at(10_000)      # and goes on by steps alone, however busy the machine
    moving.get_by_role("button", name="Run time").click()
    begun = moving.evaluate("performance.now()")
    for _ in range(60):
        moving.clock.run_for(1000)
        moving.wait_for_function("window.asked === window.answered")
    passed = (moving.evaluate("performance.now()") - begun) / 1000
    assert float(moving.locator(".pin30-clock").inner_text().split()[0]) == pytest.approx(passed, abs=0.3)
    assert board.desk.live.until >= passed


def test_by_finger_alone(browser):
    """A pedal is down while a finger rests on it; the lever goes where it is touched; a fuse comes out at the second touch."""
    context = browser.new_context(viewport={"width": 400, "height": 800}, has_touch=True, is_mobile=True, reduced_motion="no-preference")
    page = context.new_page()
    board = open_board(page, cl.arrangement(FOUR))
    touched = context.new_cdp_session(page)

    def touch(kind, *at):
        touched.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in at]})

    page.locator("[data-key=S2]").scroll_into_view_if_needed()
    touch("touchStart", middle(page.locator("[data-key=S2] .ring")))
    expect(lamp(page, "E1")).to_contain_text("69 %", timeout=NOW)
    touch("touchEnd")
    expect(lamp(page, "E1")).to_contain_text("dark", timeout=NOW)
    page.locator("[data-key=F1]").tap()
    expect(told(page)).to_contain_text("F1")
    page.locator("[data-key=F1]").tap()
    expect(page.get_by_role("status")).to_contain_text("F1 taken out")
    page.get_by_role("button", name="turn lever: right").tap()
    expect(page.get_by_role("status")).to_contain_text("turn lever right")
    assert board.desk.live.positions["turn lever"] == "right"
    context.close()


def test_a_plug_is_parted_and_put_in_again_by_its_own_words(page):
    """The trailer goes dark and the cart's lamps stay; whichever pin is touched, the whole plug is meant."""
    open_board(page, cl.arrangement("trailer-4-flat-combined-lamps"))
    x, y = middle(page.locator("[data-key='X5.3']"))
    page.mouse.click(x, y)
    page.get_by_role("button", name="part the plug").click()
    expect(page.get_by_role("status")).to_contain_text("X5 parted.")
    expect(page.get_by_role("button", name=re.compile("^X5, tail of the cart, connector: out")).first).to_be_attached()
    page.get_by_role("button", name="put the plug in").click()
    expect(page.get_by_role("status")).to_contain_text("X5 mated again.")
    assert page.problems == []


def test_a_plug_is_parted_beside_the_controls_and_what_is_proved_is_said_of_the_mated_one(page, monkeypatch):
    """It has a row of its own there, which says how it stands however it was parted."""
    monkeypatch.setattr(listing, "ENOUGH", 60.0)
    open_board(page, cl.arrangement("trailer-4-flat-combined-lamps"))
    page.get_by_role("button", name="list", exact=True).click()
    rule, parted = page.locator(".pin30-rule"), page.get_by_role("button", name="plug X5: parted")
    expect(rule).to_have_text("Proved: every lamp has a rule and every row keeps it.", timeout=30_000)
    parted.click()
    expect(parted).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("button", name="plug X5: mated")).to_have_attribute("aria-pressed", "false")
    expect(rule).to_have_text("X5 parted: as it stands nothing is proved. With all put back, proved: every lamp has a rule and every row keeps it.", timeout=30_000)
    expect(rule).not_to_have_class(re.compile("proved"))
    x, y = middle(page.locator("[data-key='X5.3']"))
    page.mouse.click(x, y)
    page.get_by_role("button", name="put the plug in").click()
    expect(parted).to_have_attribute("aria-pressed", "false")
    expect(rule).to_have_text("Proved: every lamp has a rule and every row keeps it.", timeout=30_000)
    assert page.problems == []

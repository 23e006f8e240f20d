"""A fault found on the board: the left rear dim case by mouse, another by keyboard alone, in JupyterLab; sizes, and what is marked."""

import re

import nbformat
import pytest
from axe_core import OUTPUTS, look_through
from board_page import open_board
from playwright.sync_api import expect
from repairers import Bench

import circuitlab as cl
from circuitlab.arrangements import LoseJoint, Short
from test_fuse_blocks import SPLIT

pytestmark = pytest.mark.browser
FOCUSED = "() => document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
MOST_KEYS = 60
NAME = "shared-filament-four-relays"
LOST = "about 0.5 ohm between X3:2 and K1:87a (W4): 0.90 V lost at 1.8 A"
NEXT = re.compile("put the leads there|^look at")
CHROME = 112        # px of the window that JupyterLab has for itself
# Whether the middle of a thing is in the window, and nothing lies above it.
SEEN = """what => { const each = document.querySelector(what), {left, top, right, bottom} = each.getBoundingClientRect(), [x, y] = [(left + right) / 2, (top + bottom) / 2];
  return x > 0 && y > 0 && x < innerWidth && y < innerHeight && each.contains(document.elementFromPoint(x, y)); }"""


def in_a_notebook(notebook, notebooks, name):
    """Open and run a notebook with one board that finds a fault, and return the board."""
    made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(f'import circuitlab as cl\ncl.find(cl.arrangement("{name}"))')],
                                    metadata={"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, notebooks / f"find-{name}.ipynb")
    notebook.open(f"find-{name}.ipynb").run_all()
    return notebook.outputs.locator(".pin30-board")


def point(page, board, terminal):
    """Click where a terminal is drawn."""
    box = board.locator(f'[data-key="end {terminal}"]').bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def tell(page, sentence, number):
    """Type a sentence and tell it; so many are told then."""
    page.get_by_label("sentence to tell").fill(sentence)
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name=f"told {number}")).to_be_visible()


def until(page, key, name):
    """Press a key until the thing of that name has the keyboard."""
    for _ in range(MOST_KEYS):
        if (page.evaluate(FOCUSED) or "").startswith(name):
            return
        page.keyboard.press(key)
    raise AssertionError(f"{name} is not reached by {key}, but {page.evaluate(FOCUSED)[:60]}")


def test_the_left_rear_dim_case_by_mouse(notebook, notebooks, page, keep_picture):
    """Look chosen beside the lamp, leads clicked, volts typed: the joint in one reading; symptom, drawing and answer are seen at once."""
    page.set_viewport_size({"width": 1366, "height": 640})
    board = in_a_notebook(notebook, notebooks, NAME)
    board.get_by_role("button", name="hold brake pedal").click()
    board.get_by_label("what E1 rear left does").select_option("dim")
    sentence = board.get_by_label("sentence to tell")
    expect(sentence).to_have_value("rear left dim when brake pedal held")
    board.get_by_role("button", name="tell this sentence").click()
    expect(board.get_by_role("button", name="put the leads there")).to_be_visible(timeout=60_000)
    assert board.locator(".pin30-causes li").count() > 3 and board.locator(".pin30-badge").count() > 3
    page.evaluate("document.querySelector('.pin30-board').scrollIntoView()")
    keep_picture("find-symptom")
    for what in (".pin30-look", "[data-key=F1]", "[data-key=E1]", ".pin30-causes li", ".pin30-next button", ".pin30-sentence-row input"):
        assert page.evaluate(SEEN, what), what
    point(page, board, "X3:2")
    point(page, board, "K1:87a")
    expect(board.get_by_role("button", name="black on K1:87a")).to_be_visible()
    board.get_by_label("what the meter shows").fill("0,9")
    expect(sentence).to_have_value("0,9 V from X3:2 to K1:87a when brake pedal held")
    keep_picture("find-reading")
    board.get_by_role("button", name="tell this sentence").click()
    expect(board.locator(".pin30-causes li").first).to_contain_text(LOST)
    board.get_by_role("button", name="look at E2").click()         # a glance, for a flat battery would dim the other side too
    board.get_by_label("what E2 rear right does").select_option("steady")
    expect(sentence).to_have_value("rear right steady when brake pedal held")
    board.get_by_role("button", name="tell this sentence").click()
    expect(board.locator(".pin30-next")).to_contain_text("Likely enough to be mended")
    expect(board.locator(".pin30-causes li").nth(1)).to_contain_text("Refuted unless", use_inner_text=False)
    keep_picture("find-found")
    passed, grave = look_through(page, OUTPUTS)
    assert grave == [] and {"button-name", "select-name", "color-contrast"} <= set(passed)
    board.get_by_role("button", name="told 3").click()
    board.get_by_role("button", name="take back 0.9 V").click()
    expect(board.get_by_text("(taken back)")).to_be_visible()
    board.get_by_role("button", name="tell again 0.9 V").click()
    board.get_by_label("case", exact=True).fill("left-rear")
    board.get_by_role("button", name="save the case").click()
    expect(board.get_by_text("The case is kept in 'left-rear.case'.")).to_be_visible()
    assert "reading: 0.9 V from X3:2 to K1:87a when brake pedal held" in (notebooks / "left-rear.case").read_text(encoding="utf-8")
    assert page.problems == [] and page.outside == []


WATCH_POINTER = "addEventListener('pointerdown', () => { window.pointed = (window.pointed || 0) + 1; }, true)"


def walk_by_keyboard(page, board, circuit):
    """From the first Tab to the repair: switch, look, a proposal followed, and leads put on terminals of the drawing."""
    key, bench = page.keyboard.press, Bench(circuit, (LoseJoint("W3", "E1:1", 0.8),))
    until(page, "Tab", "lamp switch: off")
    key("ArrowRight")
    key("Enter")
    until(page, "Shift+Tab", "what E1 load bed does")
    page.keyboard.type("dim")
    expect(board.get_by_label("sentence to tell")).to_have_value("load bed dim when lamp switch on")
    key("Enter")
    expect(board.get_by_role("button", name="put the leads there")).to_be_visible(timeout=60_000)
    until(page, "Tab", "put the leads there")
    key("Enter")
    expect(board.get_by_label("what the meter shows")).to_be_focused()
    page.keyboard.type(bench.shown(cl.find(circuit, "load bed dim when lamp switch on").next.offer))
    key("Enter")
    expect(board.get_by_role("button", name="told 2")).to_be_visible()
    until(page, "Shift+Tab", "S1")
    for terminal in ("S1:2", "E1:1"):
        until(page, "ArrowDown", terminal.partition(":")[0])
        until(page, "t", f"terminal {terminal}")
        key("Enter")
        key("ArrowDown")
    expect(board.get_by_role("button", name="black on E1:1")).to_be_visible()
    volts = cl.take_reading(cl.operating_point(bench.faulty, {"lamp switch": "on"}), "S1:2", "E1:1").value
    until(page, "Tab", "what the meter shows")
    page.keyboard.type(f"{volts:.2f}")
    key("Enter")
    expect(board.locator(".pin30-causes li").first).to_contain_text("between S1:2 and E1:1 (W3)")
    assert page.evaluate("window.pointed || 0") == 0 and page.problems == []


def test_another_fault_by_keyboard_alone(page):
    """No pointer at all."""
    page.add_init_script(WATCH_POINTER)
    circuit = cl.arrangement("one-fused-lamp")
    open_board(page, cl.find(circuit))
    walk_by_keyboard(page, page.locator(".pin30-board"), circuit)


@pytest.mark.full
def test_another_fault_by_keyboard_alone_in_jupyterlab(notebook, notebooks, page, keep_picture):
    """Its own shortcuts do not come between."""
    page.set_viewport_size({"width": 1366, "height": 640})
    page.add_init_script(WATCH_POINTER)
    circuit = cl.arrangement("one-fused-lamp")
    board = in_a_notebook(notebook, notebooks, circuit.name)
    page.keyboard.press("Escape")
    walk_by_keyboard(page, board, circuit)
    expect(notebook.panel.locator(".jp-CodeCell")).to_have_count(1)
    keep_picture("find-keyboard")


@pytest.mark.in_turn(12)
@pytest.mark.parametrize("size", [(1190, 640), (860, 640), (390, 844)])
@pytest.mark.parametrize("shown", ["answer", "reading", "told", "repair"])
def test_nothing_overlaps_and_every_target_is_large_enough(page, size, shown, tmp_path, keep_picture):
    """On each page of the tab: buttons and fields of 24 px, none above another, nothing wider than the window; beside the drawing all within the view."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    circuit = cl.arrangement("tied-stop-and-turn")
    open_board(page, cl.find(circuit, "left rear dim when braking", "10 V at E1:1 when braking, not sure", case=tmp_path / "dim.case"))
    expect(page.get_by_role("button", name=NEXT)).to_be_attached(timeout=60_000)
    page.get_by_role("button", name=shown).first.click()
    keep_picture(f"find-{shown}-{size[0]}")
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    boxes = page.evaluate("""() => [...document.querySelectorAll('.pin30-beside :is(button, input:not([type=checkbox]), select)')].filter(each => each.checkVisibility() &&
        (each.closest('.pin30-told-list, .pin30-page')?.getBoundingClientRect().bottom ?? Infinity) >= each.getBoundingClientRect().bottom).map(each => {
        const {left, top, right, bottom} = each.getBoundingClientRect(); return [left, top, right, bottom, each.getAttribute('aria-label') ?? each.textContent]; })""")
    for place, (left, top, right, low, name) in enumerate(boxes):
        assert right - left >= 23.5 and low - top >= 23.5, name
        for other in boxes[place + 1:]:
            assert right <= other[0] + 1 or other[2] <= left + 1 or low <= other[1] + 1 or other[3] <= top + 1, (name, other)
    stage, answer = (page.locator(each).bounding_box() for each in (".pin30-stage", f".pin30-page.{shown}"))
    assert stage["height"] >= 240 and answer["height"] >= 150
    if size[0] > 700:
        assert answer["y"] + answer["height"] <= size[1] - CHROME + 1 and stage["width"] >= 0.4 * size[0]
    assert page.problems == []


@pytest.mark.full
def test_the_kit_sets_the_row_takes_out_what_is_in_the_way_and_puts_it_back(page):
    """A dead short followed to its end by one press for each proposal: switches, parts out, wires off and leads stand as it wants them, no more."""
    circuit = cl.arrangement("tied-stop-and-turn")
    bench, board, kinds = Bench(circuit, (Short("E1:1", "E1:2"),)), cl.find(circuit), []
    open_board(page, board)
    tell(page, bench.complaint(), 1)
    for number in range(2, 14):
        offer = board.finding.next and board.finding.next.offer
        if offer is None:
            break
        kinds.append(offer.instrument)
        first = page.locator(".pin30-next > :first-child")
        expect(first).to_contain_text("Battery off means" if offer.instrument == "ohms" else "Next (about")
        page.get_by_role("button", name=NEXT).click()
        if offer.instrument != "watch":
            instrument = "ohms" if offer.instrument == "ohms" else "seen" if offer.look else "volts"
            expect(page.get_by_role("button", name=instrument, exact=True)).to_have_attribute("aria-pressed", "true")
        page.wait_for_function("window.asked === window.answered")
        if offer.instrument != "look":      # a fuse is looked at whatever the switches do
            assert board.desk.live.positions == circuit.positions(offer.positions)
        assert (set(board.desk.apart.out), set(board.desk.apart.off)) == ({*offer.out}, {*offer.lifted})
        shown = bench.shown(offer)
        if offer.instrument == "watch":
            page.get_by_label(f"what {offer.look} ").select_option(offer.sound if shown == "works" else shown)
        elif shown[0].isdigit():
            page.get_by_label("what the meter shows").fill(shown)
        else:
            page.get_by_role("button", name=shown, exact=True).click()
        expect(page.get_by_label("sentence to tell")).to_have_value(re.compile(re.escape(circuit.part(offer.look).place if offer.instrument == "watch" else offer.look or offer.red)))
        page.get_by_role("button", name="tell this sentence").click()
        expect(page.get_by_role("button", name=f"told {number}")).to_be_visible()
    assert "ohms" in kinds and board.finding.causes[0].words == "E1:1 touches E1:2" and page.problems == []


def test_what_is_refused_stays_in_its_field_and_every_kind_of_reading_is_made_on_the_drawing(page):
    """Seen, out of reach, test lamp, amps, not sure; shown again, the board has all that was told."""
    board = cl.find(cl.arrangement("one-fused-lamp"))
    open_board(page, board)
    field = page.get_by_label("sentence to tell")
    field.fill("1 V from S1:2 to S1:2")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert").filter(has_text="both leads are on S1:2")).to_be_visible()
    expect(field).to_have_value("1 V from S1:2 to S1:2")
    page.locator("[data-key=F1]").click()
    page.get_by_role("button", name="seen whole").click()
    expect(field).to_have_value("F1 whole")
    page.get_by_role("button", name="tell this sentence").click()
    expect(page.get_by_role("button", name="told 1")).to_be_visible()
    page.locator('[data-key="end S1:2"]').focus()
    page.get_by_role("button", name="cannot get at it").click()
    expect(field).to_have_value("cannot get at S1:2")
    page.get_by_role("button", name="test lamp").click()
    page.locator('[data-key="end S1:2"]').focus()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="dim", exact=True).click()
    expect(field).to_have_value("test lamp dim at S1:2")
    page.get_by_role("button", name="amps").click()
    page.locator("[data-key=F1]").focus()
    page.get_by_label("what the meter shows").fill("1,7")
    expect(field).to_have_value("1,7 A through F1")
    page.get_by_label("not sure").check()
    expect(field).to_have_value("1,7 A through F1, not sure")
    open_board(page, board)         # the same one, shown again
    expect(page.get_by_role("button", name="told 1")).to_be_visible()
    assert page.problems == []


@pytest.mark.parametrize("form", ["schematic", "attached"])
def test_a_fuse_that_is_not_in_its_way_is_clicked_like_any_other_look(page, form, keep_picture):
    """From the drawing, and among the readings; where it cannot be so, as of a bulb, nothing offers it; the cause is that of the typed sentence."""
    board = open_board(page, cl.find(SPLIT))
    tell(page, "rear left dark when pedal held", 1)
    if form == "attached":
        page.get_by_role("button", name="attached").click()
    field = page.get_by_label("sentence to tell")
    page.locator("[data-key='F5.1']").click()
    page.get_by_role("button", name="seen missing").click()
    expect(field).to_have_value("F5.1 missing")
    words = page.get_by_role("toolbar", name="In a word")
    expect(words.get_by_role("button")).to_have_text(["whole", "blown", "missing"])
    expect(words.get_by_role("button", name="missing")).to_have_attribute("aria-pressed", "true")
    keep_picture(f"find-missing-{form}")
    page.locator(".pin30-page.reading").get_by_role("combobox").first.select_option("E1")
    expect(words.get_by_role("button")).to_have_text(["whole", "blown"])
    expect(field).to_have_value("")
    page.locator("[data-key='E1']").click()
    expect(page.get_by_role("button", name="seen blown")).to_be_visible()
    expect(page.get_by_role("button", name="seen missing")).to_have_count(0)
    page.locator("[data-key='F5.1']").click()
    words.get_by_role("button", name="missing").click()
    expect(field).to_have_value("F5.1 missing")
    page.get_by_role("button", name="tell this sentence").click()
    expect(page.locator(".pin30-causes li").first).to_contain_text("no fuse sits in the place of F5.1", timeout=60_000)
    assert board.case.readings == ("F5.1 missing",) and page.problems == []


def test_what_is_chosen_beside_a_lamp_belongs_to_the_row_that_the_switches_stand_in(page):
    """Told in one row, not told in another, there again when the switches come back; and on the sheet in the other form as well."""
    open_board(page, cl.find(cl.arrangement("one-fused-lamp")))
    look = page.get_by_label("what E1 load bed does")
    page.get_by_role("button", name="lamp switch: on").click()
    look.select_option("flickers")
    page.get_by_role("button", name="only sometimes").click()
    expect(page.get_by_label("sentence to tell")).to_have_value("load bed flickers when lamp switch on, only sometimes")
    page.get_by_role("button", name="tell this sentence").click()
    expect(page.get_by_role("button", name="told 1")).to_be_visible()
    expect(page.get_by_role("button", name="only sometimes")).to_have_attribute("aria-pressed", "false")
    page.get_by_role("button", name="lamp switch: off").click()
    expect(look).to_have_value("not told")
    page.get_by_role("button", name="lamp switch: on").click()
    expect(look).to_have_value("flickers")
    page.get_by_role("button", name="attached").click()
    expect(page.get_by_role("button", name="current-path")).to_be_visible()
    expect(look).to_have_value("flickers")
    assert page.locator(".pin30-badge").count() >= 1 and page.problems == []


def test_what_was_chosen_beside_one_lamp_is_told_when_another_is_chosen(page):
    """No sentence is lost for want of a press."""
    open_board(page, cl.find(cl.arrangement("tied-stop-and-turn")))
    page.get_by_role("button", name="hold brake pedal").click()
    page.get_by_label("what E1 rear left does").select_option("dim")
    expect(page.get_by_label("sentence to tell")).to_have_value("rear left dim when brake pedal held")
    page.get_by_label("what E2 rear right does").select_option("steady")
    expect(page.get_by_role("button", name="told 1")).to_be_visible()
    expect(page.get_by_label("sentence to tell")).to_have_value("rear right steady when brake pedal held")
    page.get_by_role("button", name="tell this sentence").click()
    expect(page.get_by_role("button", name="told 2")).to_be_visible()
    assert page.problems == []


def test_where_the_kit_asks_what_a_lamp_does_the_row_is_set_and_its_field_is_next(page, tmp_path):
    open_board(page, cl.find(cl.arrangement("tied-stop-and-turn"), "left rear dim when braking", case=tmp_path / "dim.case"))
    page.get_by_role("button", name="look at E3").click(timeout=20_000)
    assert page.evaluate(FOCUSED).startswith("what E3") and page.problems == []
    expect(page.get_by_role("button", name="hold brake pedal")).to_have_attribute("aria-pressed", "true")


def test_a_signature_that_is_refused_stays_said_beside_what_is_filed(page, tmp_path):
    """Until something is sent again; the row that waits is set by one press, and the file gets what was noted."""
    open_board(page, cl.find(cl.arrangement("one-fused-lamp"), "E1 dim when lamp switch on", case=tmp_path / "dim.case"))
    page.get_by_role("button", name="repair", exact=True).click()
    page.get_by_label("repair", exact=True).fill("mend W3")
    page.get_by_label("signed", exact=True).fill("A. Fitter")
    page.get_by_role("button", name="note repair, who signs and which vehicle").click()
    refused = page.get_by_role("alert").filter(has_text="nobody signs yet: 2 of 2 rows still to be worked again")
    expect(page.get_by_text("The case is kept in").filter(visible=True)).to_have_count(1, timeout=20_000)
    expect(refused).to_be_visible()
    page.get_by_role("button", name="this row is good").click()
    expect(refused).to_have_count(0)
    page.get_by_role("button", name="set the switches to the next row that waits").click()
    expect(page.get_by_text("This row, lamp switch on")).to_be_visible()
    page.get_by_role("button", name="this row is good").click()
    page.get_by_role("button", name="note repair, who signs and which vehicle").click()
    expect(page.get_by_text("The case is closed")).to_be_visible()
    assert page.problems == []

"""A learner's first evening and the next one, in the kit's own JupyterLab: a lesson is ready at its top, a slip stays a slip."""

import re

import nbformat
import pytest
from playwright.sync_api import expect
from private_lab import KERNEL_IS_IDLE, Notebook, PrivateLab

from circuitlab.commands.lessons import copy_lessons
from circuitlab.ground.known_cells import remember
from circuitlab.ground.places import kit_folder

pytestmark = pytest.mark.browser
NAME = "00_start_here.ipynb"
LESSONS = sorted(path.name for path in kit_folder("lessons").glob("*.ipynb"))
SHOWN = "window.jupyterapp.shell.currentWidget"
LOST = re.compile("Loading widget|Error displaying widget|model not found|stopped: run this cell again")
ERRORS = "[data-mime-type='application/vnd.jupyter.stderr'], [data-mime-type='application/vnd.jupyter.error']"
READY = """() => { const panel = document.querySelector('.jp-NotebookPanel.pin30-own');
  return !!panel && !panel.matches('.pin30-readying'); }"""


@pytest.fixture(scope="module")
def mine(tmp_path_factory):
    """A learner's own copy, in which nothing was opened yet."""
    return copy_lessons(tmp_path_factory.mktemp("mine")).folder


@pytest.fixture(scope="module")
def own_lab(mine):
    """JupyterLab on it."""
    lab = PrivateLab(mine)
    yield lab
    lab.close()


@pytest.fixture
def learner(page, own_lab):
    """A learner at a usual screen."""
    page.set_viewport_size({"width": 1366, "height": 768})
    return Notebook(page, own_lab)


def open_lesson(learner, name):
    """Open a lesson and do nothing; return once it is ready, at its top, every cell run, nothing lost."""
    learner.page.goto(learner.lab.page_of(name))
    learner.page.wait_for_function(READY, timeout=90_000)
    learner.page.wait_for_function(KERNEL_IS_IDLE, arg=True, timeout=60_000)
    assert learner.page.locator(".jp-WindowedPanel-outer").evaluate_all("all => all.map(each => each.scrollTop)") == [0]
    assert learner.page.evaluate(f"{SHOWN}.content.activeCellIndex") == 0
    expect(learner.outputs.filter(has_text=LOST)).to_have_count(0)
    return learner


def next_day(learner, name):
    """Save, let the kernel go as it does over night, and open the lesson again."""
    learner.page.evaluate(f"{SHOWN}.context.save().then(() => {SHOWN}.context.sessionContext.shutdown())")
    return open_lesson(learner, name)


def far(learner):
    """Return where it is said how far the lesson is: at its top and at its end."""
    return learner.outputs.get_by_text(re.compile(r"^Of \d+ questions: "))


def test_lesson_00_is_ready_one_click_lights_the_lamp_and_the_next_day_all_is_there(learner, page, keep_picture):
    """Then an answer is given, a cell spoilt and seen the next day, and set back. No code but the learner's is to be seen."""
    open_lesson(learner, NAME)
    board = learner.outputs.locator(".pin30-board").first
    board.locator('[data-key="S1"]').click()
    expect(board.get_by_role("list", name="Lamps")).to_contain_text(re.compile(r"\b[5-9]\d %|\b1\d\d %"), timeout=5000)
    keep_picture("evening-lamp")
    seen = learner.panel.locator(".jp-CodeCell .jp-Cell-inputWrapper:visible")
    assert all(text.lstrip("[]:0123456789 \n").startswith("# yours") for text in seen.all_inner_texts()) and seen.count() == 2
    asked = learner.outputs.filter(has_text="Switch still open. Red lead on S1:2")
    asked.get_by_role("checkbox", name="source volts", exact=True).click()
    asked.get_by_role("checkbox", name="sure", exact=True).click()
    asked.get_by_role("button", name="Commit").click()
    expect(asked.get_by_role("status").filter(has_text="\N{HEAVY BALLOT X} Not so.")).to_be_visible()
    expect(far(learner)).to_have_text(2 * [re.compile("^Of 11 questions: 1 answered, 0 tried, 1")])

    meter = learner.panel.locator(".jp-CodeCell").filter(has=page.get_by_label("red lead"))
    meter.get_by_label("red lead").select_option("S1:1")
    expect(meter).to_contain_text("red on S1:1, black on G1:-, switch off: 12.6 V")
    expect(meter).to_be_in_viewport()
    meter.locator(".cm-line", has_text="print").click()
    page.keyboard.press("Home")
    page.keyboard.type("((")
    page.keyboard.press("Shift+Enter")
    expect(meter).to_contain_text("Only this cell stops.")
    assert ".py" not in meter.inner_text() and "Traceback" not in meter.inner_text()
    keep_picture("evening-slip")

    next_day(learner, NAME)
    keep_picture("evening-next-day")
    expect(meter).to_contain_text("Only this cell stops.")
    expect(learner.panel.locator(ERRORS)).to_have_count(1)
    for words in ("source volts", "sure"):
        expect(asked.get_by_role("checkbox", name=words, exact=True)).to_be_checked()
    expect(far(learner)).to_have_text(2 * [re.compile("^Of 11 questions: 1 answered, 0 tried, 1")])
    meter.get_by_role("button", name="Set it back to its start").click()
    expect(meter).to_contain_text("red on G1:+, black on G1:-, switch off: 12.6 V")
    assert page.outside == []


@pytest.mark.full
def test_a_rule_that_is_typed_reaches_the_tables_as_one_that_is_chosen(learner, page, keep_picture):
    """They say whose rule they go by, and go by it, whether the learner's cell was run by its menu or by Shift and Enter alone."""
    open_lesson(learner, next(name for name in LESSONS if name.startswith("11_")))
    asked = learner.outputs.filter(has_text="Key off, lever left, pedal held")
    asked.get_by_role("checkbox", name="steady", exact=True).check()
    asked.get_by_role("button", name="Commit").click()
    expect(asked).to_contain_text("Your rule, turn wins:")
    expect(asked.get_by_role("table").first).not_to_contain_text("rule: steady")
    own = learner.panel.locator(".jp-CodeCell").filter(has=page.get_by_label("wins"))
    own.get_by_label("wins").select_option('"stop"')
    expect(asked).to_contain_text("Your rule, stop wins:", timeout=20_000)
    expect(asked.get_by_role("table").first).to_contain_text("rule: steady")
    keep_picture("evening-own-rule")
    own.locator(".cm-line").first.click()
    page.keyboard.press("Home")
    page.keyboard.press("Shift+End")
    page.keyboard.type('wins = "turn"')
    page.keyboard.press("Shift+Enter")
    expect(own).to_contain_text("E1 shall be flashing")
    expect(asked).to_contain_text("Your rule, turn wins:", timeout=20_000)
    expect(asked.get_by_role("table").first).not_to_contain_text("rule: steady")
    own.locator(".cm-line").first.click()
    page.keyboard.press("End")
    page.keyboard.type("x")
    page.keyboard.press("Shift+Enter")
    expect(own).to_contain_text("Only this cell stops.")
    expect(asked).to_contain_text("Your rule, turn wins:")


@pytest.mark.full
def test_what_is_printed_of_a_lesson_holds_no_reply_to_what_is_not_answered(learner, page, keep_picture):
    """By the page that JupyterLab prints, and by the browser's own print of the page that is open."""
    name = next(name for name in LESSONS if name.startswith("06_"))
    open_lesson(learner, name)
    replies = [" ".join(each.split()) for cell in nbformat.read(kit_folder("lessons") / name, as_version=4).cells if cell.cell_type == "code"
               for each in re.findall(r'"(Then [^"]{20,})"', cell.source)]
    assert len(replies) > 15
    printed = page.request.get(f"{learner.lab.address}/nbconvert/html/{name}?token={learner.lab.token}")
    assert printed.ok
    text = printed.text()
    assert "truth=" not in text and "Small current, big current" in text and "On the shelf, which two terminals" in text
    page.emulate_media(media="print")
    shown = page.locator("body").inner_text()
    keep_picture("evening-print")
    for where in (text, shown):
        assert [each for each in replies if each in " ".join(where.split())] == []
    page.emulate_media(media="screen")


@pytest.mark.full
def test_a_page_opened_again_is_not_run_again_and_run_all_leaves_the_reader_at_the_top(learner, page):
    open_lesson(learner, LESSONS[2])
    count = f"{SHOWN}.content.widgets.filter(cell => cell.model.type === 'code').map(cell => cell.model.executionCount)"
    before = page.evaluate(count)
    page.reload()
    page.wait_for_function(READY, timeout=90_000)
    expect(learner.outputs.filter(has_text=LOST)).to_have_count(0)
    assert page.evaluate(count) == before
    page.evaluate(f"{SHOWN}.context.sessionContext.session.kernel.requestExecute({{code: 'import ipywidgets; ipywidgets.Widget.close_all()'}}).done")
    page.reload()
    page.wait_for_function(READY, timeout=90_000)       # its widgets did not come back
    expect(learner.outputs.filter(has_text=LOST)).to_have_count(0)
    assert page.evaluate(count)[0] > max(before)
    before = page.evaluate(count)
    page.evaluate("window.jupyterapp.commands.execute('notebook:run-all-cells')")
    page.wait_for_function(f"() => {count}[0] > {max(before)} && {SHOWN}.content.activeCellIndex === 0", timeout=60_000)
    assert page.locator(".jp-WindowedPanel-outer").evaluate_all("all => all.map(each => each.scrollTop)") == [0]


@pytest.mark.full
def test_a_foreign_notebook_with_the_kits_key_is_not_run(learner, page, mine, keep_picture):
    """One sentence, nothing run, its code to be seen."""
    lesson = nbformat.read(mine / LESSONS[3], as_version=4)
    next(cell for cell in lesson.cells if cell.cell_type == "code").source = "open('planted', 'w').close()"
    nbformat.write(lesson, mine / "foreign.ipynb")
    page.goto(learner.lab.page_of("foreign.ipynb"))
    expect(page.locator(".pin30-strip")).to_contain_text("is not run by itself", timeout=60_000)
    keep_picture("evening-foreign")
    assert not (mine / "planted").exists() and learner.panel.locator(".pin30-yours").count() == 0
    expect(learner.panel.locator(".jp-InputPlaceholder").first).to_be_visible()


@pytest.mark.full
def test_a_lesson_that_stops_while_it_is_made_ready_says_so(learner, page, mine, own_lab):
    """As where the tag that lets the cells below go on was taken from a spoilt cell."""
    lesson = nbformat.read(mine / LESSONS[4], as_version=4)
    cell = next(cell for cell in lesson.cells if cell.id == "meter")
    cell.source, cell.metadata.tags = "watts = ", ["yours"]
    nbformat.write(lesson, mine / "stops.ipynb")
    remember([cell.source], own_lab.own)
    page.goto(learner.lab.page_of("stops.ipynb"))
    expect(page.locator(".pin30-strip")).to_contain_text("could not be made ready by itself", timeout=60_000)
    expect(learner.panel.locator(ERRORS)).to_contain_text("Only this cell stops.")


@pytest.mark.full
def test_a_lesson_edited_elsewhere_while_it_is_open_loses_nothing(learner, page, mine, keep_picture):
    """As by another window or a start with --renew: one question asks, what stands on the disk stays until it is answered, so does the answer given."""
    open_lesson(learner, LESSONS[1])
    path = mine / LESSONS[1]
    lesson = nbformat.read(path, as_version=4)
    lesson.cells[0].source = "# Edited elsewhere"
    page.wait_for_timeout(1500)         # else it is as young as what was saved
    nbformat.write(lesson, path)
    edited = path.read_text("utf-8")
    box = learner.outputs.filter(has=page.get_by_role("button", name="Commit", exact=True)).first
    box.get_by_role("checkbox").first.check()
    box.get_by_role("button", name="Commit", exact=True).click()
    expect(box.get_by_role("button", name="Commit", exact=True)).to_be_visible()
    page.evaluate("void window.jupyterapp.commands.execute('docmanager:save')")
    asked = page.get_by_role("dialog")
    expect(asked).to_contain_text("has changed on disk")
    keep_picture("evening-edited")
    asked.get_by_role("button", name="Cancel").click()
    assert path.read_text("utf-8") == edited
    record = mine / "answers" / f"lesson-{LESSONS[1][:2]}.jsonl"
    assert record.is_file() and '"lesson": "01"' in record.read_text("utf-8")


@pytest.mark.full
@pytest.mark.parametrize("name", LESSONS)
def test_every_lesson_is_ready_the_first_time_and_the_next_day(learner, name):
    """At its top, every cell run, no widget lost, no error."""
    open_lesson(learner, name)
    expect(learner.panel.locator(ERRORS)).to_have_count(0)
    next_day(learner, name)
    expect(learner.panel.locator(ERRORS)).to_have_count(0)

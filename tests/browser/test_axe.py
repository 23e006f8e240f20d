"""What the kit puts on a page, gone through by the checker axe-core: no serious and no critical violation.

Only the kit's own output is looked at: the outputs of a notebook's cells and the body of a printed page, not the frame
that JupyterLab puts around them.
"""

import os
import re
from pathlib import Path

import nbformat
import pytest
from board_page import open_board
from one_of_each import ASKED, START, write_notebook
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.ground.places import kit_folder
from circuitlab.commands.build_sheets import write_build_sheet

pytestmark = pytest.mark.browser

AXE = Path(__file__).with_name("node_modules") / "axe-core" / "axe.min.js"
MISSING = "The checker axe-core is not installed. It comes with npm: npm ci --prefix tests/browser"
OUTPUTS = ".jp-Cell-outputWrapper"
GRAVE = ("serious", "critical")
RUN = """([within, grave]) => axe.run({include: [within]}, {resultTypes: ['violations']}).then(told => ({
  passed: told.passes.map(rule => rule.id),
  grave: told.violations.filter(rule => grave.includes(rule.impact)).map(rule =>
    `${rule.id}, ${rule.impact}: ${rule.help}. ` + rule.nodes.map(node => node.html.slice(0, 200)).join(' ... '))}))"""

# Plain questions and a reading, with answers, so that a result and a reply are on the page as well.
PLAIN = {
    "predict": """lesson.predict("lamp", "The switch is closed. Is the lamp lit?", {"lit": "", "dark": "Follow the wire."},
    truth=lambda: "lit", reveal=lambda: cl.lamp_table(cart).html(), key_idea="A closed way.")""",
    "check": """lesson.choose("again", "And open?", one, {"lit": "Look at the contact.", "dim": "What takes volts?", "dark": ""},
    lambda one: "dark")""",
    "reading": 'lesson.measure("volts", "Volts of the battery?", one, "V", lambda one: one.battery.voltage)',
    "note": 'lesson.note("words", "What would you measure first?")',
    "answers": 'for item, said in (("lamp", "dark"), ("volts", "1 V")):\n'
               "    lesson.answer(item, said)",
}


@pytest.fixture
def checked(browser, page):
    """Return a function that has a part of a page checked, and gives back the rules kept and the grave violations."""
    if not AXE.is_file():
        (pytest.fail if os.environ.get("PIN_THIRTY_REQUIRE_BROWSER") else pytest.skip)(MISSING)

    def check(within):
        page.evaluate(AXE.read_text(encoding="utf-8") + "; 0")
        told = page.evaluate(RUN, [within, GRAVE])
        return told["passed"], told["grave"]
    return check


def lesson(number):
    """Return the path of a lesson."""
    (path,) = kit_folder("lessons").glob(f"{number}_*.ipynb")
    return path


def test_the_checker_sees_what_is_wrong(checked, page):
    """A slider without a name and faint words are found, and only where they are looked for."""
    page.set_content("<main><div role=slider tabindex=0 aria-valuenow=1></div><p style='color:#ccc'>faint</p></main>"
                     "<footer><img src='data:,'></footer>")
    assert [each.split(",")[0] for each in checked("main")[1]] == ["aria-input-field-name", "color-contrast"]


@pytest.mark.full
@pytest.mark.parametrize("number", ["11", "12"])
def test_a_lesson_with_its_bench(checked, notebook, number):
    """The bench of the shared filament, the board of lesson 12, and every question around them."""
    notebook.open(lesson(number).name).run_all()
    expect(notebook.outputs.get_by_role("button", name="change", exact=True).first).to_be_visible()
    passed, grave = checked(OUTPUTS)
    assert grave == []
    assert {"button-name", "color-contrast"} <= set(passed)


@pytest.mark.in_turn(5, 1)
@pytest.mark.parametrize("form", ["schematic", "attached"])
@pytest.mark.parametrize("below", ["strip", "table", "meter", "before", "change", "keys"])
def test_a_live_board(checked, page, form, below):
    """Each form, with each of the things below the drawing open, something chosen, taken out, and running."""
    open_board(page, cl.arrangement("shared-filament-four-relays"), form=form)
    page.get_by_role("button", name="hold brake pedal").click()
    page.locator("[data-key=F1]").focus()
    page.keyboard.press("Enter")
    page.get_by_role("button", name=below, exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("F1 taken out")
    passed, grave = checked("body")
    assert grave == []
    assert {"button-name", "color-contrast"} <= set(passed)


@pytest.mark.parametrize("panel", ["wires", "parts", "rule", "file"])
def test_the_connection_list(checked, page, panel):
    """Each of its panels, after an edit that is refused."""
    open_board(page, cl.arrangement("shared-filament-four-relays"))
    page.get_by_role("button", name="list", exact=True).click()
    page.get_by_label("W3 to", exact=True).fill("K77:86")
    page.keyboard.press("Enter")
    expect(page.locator(".pin30-why")).to_contain_text("no part 'K77'")
    page.locator(".pin30-wiring").get_by_role("button", name=panel).first.click()
    passed, grave = checked("body")
    assert grave == []
    assert {"label", "button-name", "color-contrast"} <= set(passed)


@pytest.mark.full
def test_a_board_of_a_fault_table(checked, page):
    """Its lines, of which one is chosen, what is said of it and in which row."""
    open_board(page, cl.fault_table(cl.arrangement("relay-test-board")))
    page.get_by_role("button", name=re.compile(r"^2\. ")).click()
    expect(page.locator(".pin30-found")).to_contain_text("2. ")
    passed, grave = checked("body")
    assert grave == []
    assert {"select-name", "button-name", "color-contrast", "label"} <= set(passed)


def test_questions_of_every_kind(checked, notebook, notebooks):
    """Open, answered, with a reply, a result and a table."""
    path = write_notebook(notebooks / "kinds.ipynb", {"start": START, **ASKED, **PLAIN})
    (notebooks / "answers" / "lesson-97.jsonl").unlink(missing_ok=True)
    notebook.open(path.name).run_all()
    expect(notebook.outputs.get_by_text("Name the two places")).to_be_visible()
    passed, grave = checked(OUTPUTS)
    path.unlink()
    assert grave == []
    assert {"label", "button-name", "aria-allowed-attr", "color-contrast"} <= set(passed)


@pytest.mark.full
def test_a_lesson_exported_for_print(checked, page, monkeypatch):
    """Run without widgets and exported to HTML by nbconvert: forms, drawings and tables on paper."""
    from nbclient import NotebookClient
    from nbconvert import HTMLExporter

    monkeypatch.setenv("PIN_THIRTY_STATIC", "yes")
    source = nbformat.read(lesson("11"), as_version=4)
    NotebookClient(source, timeout=60, resources={"metadata": {"path": str(kit_folder("lessons"))}}).execute()
    printed = HTMLExporter(mathjax_url="", require_js_url="", exclude_input=True, exclude_output_prompt=True)
    page.set_content(printed.from_notebook_node(source)[0])     # without code and numbers of cells, coloured by nbconvert
    passed, grave = checked("main")
    assert grave == []
    assert {"color-contrast", "image-alt"} <= set(passed)


def test_a_build_sheet(checked, page, tmp_path):
    """The printed pages of the four-relay arrangement."""
    path = write_build_sheet(cl.arrangement("shared-filament-four-relays"), tmp_path / "sheet.html")
    page.set_content(path.read_text(encoding="utf-8"))
    passed, grave = checked("html")
    assert grave == []
    assert {"color-contrast", "document-title", "html-has-lang"} <= set(passed)

"""What the kit puts on a page, gone through by the checker axe-core: no serious and no critical violation.

Questions of every kind are looked through where they are answered, in ``test_questions.py``.
Only the kit's own output is looked at: the outputs of a notebook's cells and the body of a printed page, not the frame
that JupyterLab puts around them.
"""

import re
from functools import partial

import nbformat
import pytest
from axe_core import OUTPUTS, look_through
from board_page import open_board
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.ground.places import kit_folder
from circuitlab.commands.build_sheets import write_build_sheet

pytestmark = pytest.mark.browser

@pytest.fixture
def checked(page):
    """Return a function that has a part of a page checked, and gives back the rules kept and the grave violations."""
    return partial(look_through, page)


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
@pytest.mark.parametrize("number", ["11", "11b", "12"])
def test_a_lesson_with_its_bench(checked, notebook, number):
    """The bench of the shared filament, the boards of lessons 11b and 12, and every question around them."""
    notebook.open(lesson(number).name).run_all()
    expect(notebook.outputs.get_by_role("button", name="change", exact=True).first).to_be_visible()
    passed, grave = checked(OUTPUTS)
    assert grave == []
    assert {"button-name", "color-contrast"} <= set(passed)


@pytest.mark.in_turn(7, 1)
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
@pytest.mark.in_turn(6)
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

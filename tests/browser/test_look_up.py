"""The look-up bench worked with the keyboard alone in JupyterLab: from a row of the table to its live schematic."""

import re

import nbformat
import pytest
from playwright.sync_api import expect

import circuitlab as cl
from circuitlab.views.fault_words import reading_words

pytestmark = pytest.mark.browser

CODE = """import circuitlab as cl
cart = cl.arrangement("shared-filament-four-relays")
swapped = cl.changed(cart, cl.SwapTerminals("K1:87", "K1:87a"))
cl.look_up({made})"""
PROOF, FAULTS = "cl.prove(swapped, timing=False)", "cl.fault_table(cart)"
MOST_TABS = 40


@pytest.fixture
def bench(notebooks, notebook):
    """Return a function that opens a notebook with nothing but a bench and gives the bench's output."""
    def open_bench(made):
        cell = nbformat.v4.new_code_cell(CODE.format(made=made), metadata={"deletable": False, "editable": False})
        written = nbformat.v4.new_notebook(cells=[cell], metadata={
            "kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
        nbformat.write(written, notebooks / "look_up.ipynb")
        notebook.open("look_up.ipynb").run_all()
        return notebook.outputs.first
    yield open_bench
    (notebooks / "look_up.ipynb").unlink()


def tab_to(page, target, key="Tab"):
    """Press Tab until a control has the focus; it must come within one round of the bench."""
    for _ in range(MOST_TABS):
        if target.evaluate("element => element === document.activeElement"):
            return
        page.keyboard.press(key)
    pytest.fail("the Tab key does not lead to it")


def test_a_failing_row_is_looked_up_by_keyboard(bench, page, keep_picture):
    """The chooser moves sentence, mark in the table and schematic; phase and lamp change the picture; all rows on request."""
    cart = cl.arrangement("shared-filament-four-relays")
    proof = cl.prove(cl.changed(cart, cl.SwapTerminals("K1:87", "K1:87a")), timing=False)
    place = bench(PROOF)
    status, picture = place.get_by_role("status"), place.locator("svg[role='img']")
    rows = place.get_by_role("listbox", name="row", exact=True)
    expect(rows.locator("option")).to_have_count(len(proof.failing_rows))
    expect(picture).to_have_count(1)

    onward = place.get_by_role("button", name="Next row", exact=True)
    tab_to(page, onward)
    for _ in range(4):
        page.keyboard.press("Enter")
    (failure, *_) = proof.of_row(proof.failing_rows[4])
    expect(status).to_contain_text(failure.path.sentence)
    expect(status).to_contain_text(failure.rule)
    expect(rows).to_have_value("8. key on, brake pedal released, turn lever left")
    expect(onward).to_be_focused()
    row = place.get_by_role("row").filter(has=page.get_by_role("rowheader", name="8", exact=True))
    expect(row.get_by_role("cell").first).to_have_css("position", "sticky")
    expect(picture.locator("path.trace").first).to_be_attached()
    expect(picture).to_have_attribute("aria-label", re.compile("Marked, on beads: K1"))
    keep_picture("look-up-proof")

    before = picture.evaluate("picture => picture.outerHTML")
    phase = place.get_by_role("button", name="K9 off", exact=True)
    tab_to(page, phase)
    page.keyboard.press("Enter")
    expect(picture.locator("[data-part='K9']").first).to_have_attribute("data-state", "off")
    assert picture.evaluate("picture => picture.outerHTML") != before

    nothing = place.get_by_role("button", name="nothing", exact=True)
    tab_to(page, nothing)
    page.keyboard.press("Enter")
    expect(picture.locator("path.trace")).to_have_count(0)

    only = place.get_by_role("checkbox")
    tab_to(page, only, "Shift+Tab")
    page.keyboard.press("Space")
    expect(rows.locator("option")).to_have_count(len(proof.table.rows))
    expect(status).to_contain_text("8. key on, brake pedal released, turn lever left")
    assert page.outside == []
    assert page.problems == []


@pytest.mark.full
def test_a_fault_is_looked_up_by_keyboard(bench, page, keep_picture):
    """The second fault and its second row, with the reading that reveals it."""
    cart = cl.arrangement("shared-filament-four-relays")
    table = cl.fault_table(cart)
    line = table.line("W18 open at K1:87")
    place = bench(FAULTS)
    status, picture = place.get_by_role("status"), place.locator("svg[role='img']")
    faults = place.get_by_role("listbox", name="fault", exact=True)
    tab_to(page, place.get_by_role("button", name="Next fault", exact=True))
    for _ in range(table.lines.index(line)):
        page.keyboard.press("Enter")
    expect(faults).to_have_value(f"{table.lines.index(line) + 1}. {line.worst}: {line.fault.words}")
    expect(status).to_contain_text(line.fault.words)
    expect(status).to_contain_text(reading_words(table.reading(line)))
    expect(picture).to_have_attribute("aria-label", re.compile("Marked, on beads: W18"))

    inside = place.get_by_role("listbox", name="in row", exact=True)
    said, first = status.inner_text(), inside.input_value()
    onward = place.get_by_role("button", name="Next row", exact=True)
    tab_to(page, onward)
    page.keyboard.press("Enter")
    expect(status).not_to_have_text(said)
    expect(status).to_contain_text(line.fault.words)
    expect(inside).not_to_have_value(first)
    expect(onward).to_be_focused()
    row = place.get_by_role("row").filter(has=page.get_by_text(line.fault.words, exact=True))
    expect(row.get_by_role("rowheader")).to_be_in_viewport()
    keep_picture("look-up-fault")
    assert page.outside == []
    assert page.problems == []

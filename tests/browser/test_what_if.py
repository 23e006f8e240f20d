"""The what-if bench worked with the keyboard alone in JupyterLab: a change typed, looked at, and put back."""

import nbformat
import pytest
from playwright.sync_api import expect

import circuitlab as cl

pytestmark = pytest.mark.browser

# The first comparison waits half way until it is stopped, so that the second key press never comes too late.
CODE = """import time
import circuitlab as cl
bench = cl.what_if(cl.arrangement("shared-filament-four-relays"), positions={"key": "on", "turn lever": "left"})
compare, begun = bench.faults._work, []
def compare_or_wait(progress):
    begun.append(time.monotonic())
    return compare(lambda done, total: (len(begun) > 1 or 2 * done < total or wait(progress, done, total)) and progress(done, total))
def wait(progress, done, total):
    while progress(done, total):
        time.sleep(0.01)
bench.faults._work = compare_or_wait
bench"""
MOST_TABS = 80


@pytest.fixture
def bench(notebooks, notebook):
    """The output of a notebook with nothing but the bench, after it has run."""
    cell = nbformat.v4.new_code_cell(CODE, id="bench", metadata={"deletable": False, "editable": False})
    made = nbformat.v4.new_notebook(cells=[cell], metadata={
        "kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, notebooks / "what_if.ipynb")
    notebook.open("what_if.ipynb").run_all()
    yield notebook.outputs.first
    (notebooks / "what_if.ipynb").unlink()


def tab_to(page, target):
    """Press Tab until a control has the focus; it must come within one round of the bench."""
    for _ in range(MOST_TABS):
        if target.evaluate("element => element === document.activeElement"):
            return
        page.keyboard.press("Tab")
    pytest.fail("the Tab key does not lead to it")


def test_a_change_is_typed_seen_and_put_back_by_keyboard(bench, page, keep_picture):
    """Table, sentence, list of changes and the picture after it follow the change and its undoing; what differs is marked in both schematics."""
    cart = cl.arrangement("shared-filament-four-relays")
    swapped = cl.compare(cart, cl.changed(cart, cl.SwapTerminals("K1:87", "K1:87a")))
    count = f"{len(swapped.changed_rows)} of {len(swapped.rows)} rows look different"
    status, table = bench.get_by_role("status").first, bench.get_by_role("table").first
    schematics = bench.locator("svg[role='img']")
    changed = table.get_by_role("cell", name="was steady, now dark", exact=True)
    steady_to_dark = sum(row.lamps["E1"] == ("steady", "dark") for row in swapped.rows)
    assert steady_to_dark > 0
    expect(status).to_contain_text("0 changes made. Every lamp looks the same in all rows")
    expect(changed).to_have_count(0)
    expect(schematics).to_have_count(4)
    drawn = schematics.evaluate_all("pictures => pictures.map(picture => picture.outerHTML)")
    keep_picture("what-if-before")

    typed = bench.get_by_role("textbox").first
    tab_to(page, typed)
    page.keyboard.type("swap K1:87 and K1:87a")
    page.keyboard.press("Enter")
    expect(status).to_contain_text(f"1 change made. {count}")
    expect(changed).to_have_count(steady_to_dark)
    expect(typed).to_have_value("")
    expect(typed).to_be_focused()
    now = schematics.evaluate_all("pictures => pictures.map(picture => picture.outerHTML)")
    assert [picture in now for picture in drawn] == [False, False, True, False], "only the chart before is as it was"
    assert ["Marked, on beads: W4, W18." in picture for picture in now] == [True, True, False, False]
    keep_picture("what-if-after")

    undo = bench.get_by_role("button", name="Undo the last", exact=True)
    tab_to(page, undo)
    page.keyboard.press("Enter")
    expect(status).to_contain_text("0 changes made. Every lamp looks the same in all rows")
    expect(changed).to_have_count(0)
    expect(undo).to_be_focused()
    assert schematics.evaluate_all("pictures => pictures.map(picture => picture.outerHTML)") == drawn
    assert page.outside == []
    assert page.problems == []


@pytest.mark.full
def test_every_fault_is_compared_by_keyboard_and_the_same_button_stops_it(bench, page, keep_picture):
    """The bar runs beside the bench; stopped, nothing half is shown; begun again, the table is that of a comparison."""
    cart = cl.arrangement("shared-filament-four-relays")
    swapped = cl.compare(cart, cl.changed(cart, cl.SwapTerminals("K1:87", "K1:87a")), faults=True)
    (words, before, after) = next(each for each in swapped.faults if "not there" not in each)
    card = bench.get_by_role("button", name="87 and 87a of K1 mixed up", exact=True)
    tab_to(page, card)
    page.keyboard.press("Enter")
    expect(bench.get_by_role("status").first).to_contain_text("1 change made")
    button = bench.get_by_role("button", name="Compare every fault", exact=True)
    tab_to(page, button)
    page.keyboard.press("Enter")
    expect(bench.get_by_role("button", name="Stop", exact=True)).to_be_focused()
    page.keyboard.press("Enter")
    expect(bench.get_by_text("Stopped before the end; nothing is shown.")).to_be_visible()
    expect(bench.get_by_role("table")).to_have_count(1)
    expect(button).to_be_focused()

    page.keyboard.press("Enter")
    table = bench.get_by_role("table").filter(has_text="Faults whose worst class changed")
    row = table.get_by_role("row").filter(has=page.get_by_text(words, exact=True))
    expect(row.get_by_role("rowheader")).to_have_text(words, timeout=30_000)
    expect(row.get_by_role("cell")).to_have_text([before, after])
    expect(button).to_be_focused()
    keep_picture("what-if-faults")
    assert page.outside == []
    assert page.problems == []

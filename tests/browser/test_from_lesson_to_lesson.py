"""The lessons' JupyterLab as it opens: one document at a time, no file pane; from lesson to lesson by their own links."""

import pytest
from playwright.sync_api import expect

from circuitlab.ground.places import kit_folder

pytestmark = pytest.mark.browser
LIST = "all_lessons.md"


def test_links_lead_from_a_lesson_to_the_list_and_to_the_next(notebook, page, lab, keep_picture):
    """Clicked in the notebook and in the list, with the file pane closed."""
    page.set_viewport_size({"width": 1366, "height": 640})
    first, second, third = [path.name for path in sorted(kit_folder("lessons").glob("0*.ipynb"))][:3]
    page.goto(lab.page_of(first))       # no kernel is waited for: links need none
    shell = page.locator(".jp-LabShell")
    expect(shell).to_have_attribute("data-shell-mode", "single-document")
    expect(page.locator("#jp-left-stack")).to_be_hidden()
    notebook.panel.locator(f"a[href*='{LIST}']").first.click()
    listed = page.locator(".jp-MarkdownViewer:visible")
    expect(listed.get_by_role("heading", name="All lessons")).to_be_visible()
    keep_picture("all-lessons")
    listed.locator(f"a[href*='{second}']").click()
    opened = page.locator(".jp-NotebookPanel:visible")
    expect(opened.get_by_role("heading", level=1).first).to_contain_text("Close the loop")
    opened.locator(f"a[href*='{third}']").click()
    expect(page.locator(".jp-NotebookPanel:visible").get_by_role("heading", level=1).first).to_contain_text("Pass the safety ticket")
    expect(shell).to_have_attribute("data-shell-mode", "single-document")
    expect(page.locator("#jp-left-stack")).to_be_hidden()
    keep_picture("lesson-in-one-document")
    assert page.outside == []

"""The notebook that ``board`` writes, opened in the kit's JupyterLab as a learner meets it."""

import pytest
from playwright.sync_api import expect

from circuitlab.arrangements import bare
from circuitlab.commands.board_notebook import board_call, notebook_text

pytestmark = [pytest.mark.browser, pytest.mark.full]


def test_the_notebook_of_an_empty_board_shows_it_when_its_cell_is_run(notebook, page, notebooks, keep_picture):
    """By click, Shift and Enter, as it says itself."""
    page.set_viewport_size({"width": 1366, "height": 900})
    (notebooks / "my_board.ipynb").write_text(notebook_text(bare().title, board_call(None, notebooks)), encoding="utf-8")
    notebook.open("my_board.ipynb")
    expect(notebook.panel.get_by_role("heading", name=bare().title)).to_be_visible()
    notebook.panel.locator(".jp-CodeCell .cm-content").click()
    page.keyboard.press("Shift+Enter")
    notebook.wait_until_run()
    board = notebook.outputs.locator(".pin30-board")
    for name in ("G1", "X1"):
        expect(board.locator("svg text").filter(has_text=name).first).to_be_visible()
    expect(board.get_by_role("button", name="take key switch from the shelf")).to_be_visible()      # on the shelf
    keep_picture("board-notebook")
    assert page.problems == [] and page.outside == []

"""The lesson on the shared filament, worked by a learner's keyboard and mouse in JupyterLab."""

import pytest
from playwright.sync_api import expect

from circuitlab.ground.places import kit_folder

pytestmark = pytest.mark.browser


@pytest.fixture
def bench(notebook):
    """The first bench with a slider in the lesson, after the whole lesson has run."""
    (lesson,) = kit_folder("lessons").glob("11_*.ipynb")
    notebook.open(lesson.name).run_all()
    return notebook.outputs.filter(has=notebook.page.get_by_role("slider")).first


class Shown:
    """The bench's picture and status sentence as they are now."""

    def __init__(self, bench):
        self.picture, self.status = bench.locator("svg").first, bench.get_by_role("status").first
        expect(self.picture).to_be_visible()
        expect(self.status).not_to_be_empty()
        self.drawn, self.said = self.draw(), self.status.inner_text()

    def draw(self):
        """Return the picture as it is drawn at this moment. [text]"""
        return self.picture.evaluate("picture => picture.outerHTML")

    def wait_until_new(self):
        """Return once sentence and picture differ from what they were."""
        expect(self.status).not_to_have_text(self.said)
        for _ in range(100):
            if self.draw() != self.drawn:
                return
            self.picture.page.wait_for_timeout(50)
        pytest.fail("the sentence changed and the picture did not")


def test_the_bench_answers_keys_and_clicks(bench, page, keep_picture):
    """A slider moved by keyboard and a toggle clicked each change picture and sentence; nothing goes wrong beside them."""
    cells = page.locator(".jp-NotebookPanel .jp-Cell")
    count = cells.count()
    keep_picture("combined-lesson-before")

    before, slider = Shown(bench), bench.get_by_role("slider").first
    value = slider.get_attribute("aria-valuenow")
    slider.focus()
    page.keyboard.press("Home")
    if slider.get_attribute("aria-valuenow") == value:
        page.keyboard.press("End")
    before.wait_until_new()
    expect(slider).not_to_have_attribute("aria-valuenow", value)

    before, toggle = Shown(bench), bench.locator("button.widget-toggle-button:not(.mod-active)").first
    name = toggle.inner_text()
    toggle.click()
    before.wait_until_new()
    expect(bench.locator("button.mod-active").filter(has_text=name)).to_be_visible()

    page.keyboard.press("d")            # in JupyterLab two of these delete an unprotected cell
    page.keyboard.press("d")
    expect(cells).to_have_count(count)
    keep_picture("combined-lesson-after")
    assert page.outside == []
    assert page.problems == []

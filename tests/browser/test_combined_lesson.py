"""The lesson on the shared filament, worked by a learner's keyboard and mouse in JupyterLab."""

import re

import pytest
from playwright.sync_api import expect

from circuitlab.ground.places import kit_folder

pytestmark = pytest.mark.browser


@pytest.fixture
def bench(notebook):
    """The lesson's first bench with a turn lever, after the whole lesson has run."""
    (lesson,) = kit_folder("lessons").glob("11_*.ipynb")
    notebook.open(lesson.name).run_all()
    return notebook.outputs.filter(has=notebook.page.get_by_title("turn lever: left")).first


class Shown:
    """The bench's pictures and its status sentence as they are now."""

    def __init__(self, bench):
        self.pictures, self.status = bench.locator("svg[role='img']"), bench.get_by_role("status").first
        expect(self.pictures.first).to_be_visible()
        expect(self.status).not_to_be_empty()
        self.drawn, self.said = self.draw(), self.status.inner_text()

    def draw(self):
        """Return the pictures as they are drawn at this moment. [text]"""
        return self.pictures.evaluate_all("pictures => pictures.map(picture => picture.outerHTML)")

    def wait_until_new(self):
        """Return once the sentence and every picture differ from what they were."""
        expect(self.status).not_to_have_text(self.said)
        for _ in range(100):
            drawn = self.draw()
            if len(drawn) == len(self.drawn) and not set(drawn) & set(self.drawn):
                return
            self.pictures.page.wait_for_timeout(50)
        pytest.fail("the sentence changed and a picture did not")


def test_the_bench_answers_clicks_and_keys(bench, notebook, page, keep_picture):
    """Each toggle clicked and each slider moved by keyboard changes pictures and sentence, and nothing goes wrong beside."""
    cells = page.locator(".jp-NotebookPanel .jp-Cell")
    count = cells.count()
    bench.scroll_into_view_if_needed()
    keep_picture("combined-lesson-before")

    for words in ("key: on", "turn lever: left", "brake pedal: held"):
        toggle = bench.get_by_title(words, exact=True)
        if "mod-active" not in toggle.get_attribute("class"):     # a lesson may open with some of them done
            before = Shown(bench)
            toggle.click()
            before.wait_until_new()
        expect(toggle).to_have_class(re.compile(r"\bmod-active\b"))

    before, slider = Shown(bench), notebook.slider("supply volts", bench)
    value = slider.get_attribute("aria-valuenow")
    slider.focus()
    page.keyboard.press("ArrowLeft")
    expect(slider).not_to_have_attribute("aria-valuenow", value)
    before.wait_until_new()

    page.keyboard.press("d")            # in JupyterLab two of these delete an unprotected cell
    page.keyboard.press("d")
    expect(cells).to_have_count(count)
    keep_picture("combined-lesson-after")
    assert page.outside == []
    assert page.problems == []

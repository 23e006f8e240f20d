"""One question of each kind, answered in JupyterLab with the keyboard alone, and gone through by axe-core with results and replies open."""

import re

import pytest
from axe_core import OUTPUTS, look_through
from one_of_each import ASKED, PLAIN, START, write_notebook
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

WIRED = ["G1:+ - F1:1", "S1:1 - F1:2", "S1:2 - E1:2", "E1:1 - G1:-"]


@pytest.fixture
def asked(notebooks, notebook):
    """The notebook with one question of each kind, run."""
    path = write_notebook(notebooks / "questions.ipynb", {"start": START, **ASKED, **PLAIN})
    (notebooks / "answers" / "lesson-97.jsonl").unlink(missing_ok=True)
    notebook.open(path.name).run_all()
    yield {name: notebook.panel.locator(".jp-Cell").nth(number + 1) for number, name in enumerate(ASKED)}
    path.unlink()


class Hands:
    """A learner without a mouse, inside one question."""

    def __init__(self, page, question):
        self.page, self.question = page, question
        self.status = question.get_by_role("status")

    def tab_to(self, target):
        """Press Tab until a control has the focus; it must come within one round of the question."""
        for _ in range(60):
            if target.evaluate("element => element === document.activeElement"):
                return target
            self.page.keyboard.press("Tab")
        pytest.fail("the Tab key does not lead to it")

    def tick(self, name):
        """Tick a box by its name."""
        box = self.tab_to(self.question.get_by_role("checkbox", name=name, exact=True))
        self.page.keyboard.press("Space")
        expect(box).to_be_checked()

    def press(self, name):
        """Press a button by its name."""
        self.tab_to(self.question.get_by_role("button", name=name, exact=True))
        self.page.keyboard.press("Enter")

    def hears(self, words):
        """Wait until a status line says words."""
        expect(self.status.filter(has_text=words)).to_be_visible()


@pytest.fixture
def hands(asked, page):
    """Return a function that puts the focus at the beginning of a question."""
    def take(name):
        question = asked[name]
        question.scroll_into_view_if_needed()
        question.locator("input, textarea, button.jupyter-button").first.focus()
        return Hands(page, question)
    return take


def test_each_kind_is_answered_by_keyboard_alone(hands, page, asked, keep_picture):
    """Typed, ticked, pressed; a wrong idea gets its reply, a right answer is agreed to, nothing goes wrong beside.

    Then the checker looks through what is open, answered or replied to.
    """
    measured = hands("measure")
    measured.tab_to(measured.question.get_by_role("textbox", name="V:"))
    page.keyboard.type("0 V")
    measured.tick("the switch is open, so there is nothing across it")
    measured.tick("sure")
    measured.press("Commit")
    measured.hears("closing the switch would change nothing")
    measured.question.get_by_role("textbox").focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("11,8")                                     # that of another variant
    measured.tick("an open contact stands between two different levels")
    measured.press("Commit")
    measured.hears("Your reason holds, though")
    measured.press("New numbers")
    measured.hears("The question asks anew.")
    expect(measured.question.get_by_role("button", name="New numbers")).to_have_attribute("title", re.compile("open seed 2"))

    grid = hands("grid")
    for box in ("E1 dark", "E1 flashing", "E2 steady"):
        grid.tick(box)
    expect(grid.question.get_by_role("checkbox", name="E1 dark")).not_to_be_checked()
    grid.press("Commit")
    grid.hears(re.compile("Try 1"))

    sort = hands("sort")
    for box in ("F1:2: live", "S1:2: dead", "E1:2: dead"):
        sort.tick(box)
    sort.press("Commit")
    sort.hears("The circuit agrees")

    wired = hands("connect")
    wired.tab_to(wired.question.get_by_role("textbox"))
    for line in WIRED:
        page.keyboard.type(line)
        page.keyboard.press("Enter")
    wired.press("Commit")
    wired.hears("The circuit agrees")
    page.set_viewport_size({"width": 1280, "height": 3000})
    asked["measure"].scroll_into_view_if_needed()
    keep_picture("questions-by-keyboard")
    assert page.outside == []
    assert page.problems == []
    passed, grave = look_through(page, OUTPUTS)
    assert grave == []
    assert {"label", "button-name", "aria-allowed-attr", "color-contrast"} <= set(passed)

"""A whole lesson from its first cell to its exit note with the Tab, Space and Enter keys: no pointer, no shortcut of the test."""

import json
import re

import pytest
from playwright.sync_api import expect
from worked_lessons import worked

from circuitlab.benches.asked import CLOSED, SURE

pytestmark = pytest.mark.browser

LESSON = "10_ask_one_filament_twice"     # checks, predictions, an observation, a reading, a sorting, three notes
COMMITTED = {"predicted", "observed", "tried", "noted"}
TYPED = {"INPUT": "0 V", "TEXTAREA": "The volts at E1, pedal held"}

WATCH_POINTER = "addEventListener('pointerdown', () => { window.pointed = (window.pointed || 0) + 1; }, true)"
# Where the keyboard is: which cell, which of its choices (they lie together in a box), the words on it.
FOCUS = """() => {
  const at = document.activeElement, cell = at.closest('.jp-Cell');
  const row = at.type === 'checkbox' && at.closest('.widget-box');
  const choices = row ? [...row.querySelectorAll('input')] : [];
  const said = each => (each.closest('.widget-checkbox') || each).textContent.replace('\\u200b', '').trim();
  return {cell: [...document.querySelectorAll('.jp-NotebookPanel .jp-Cell')].indexOf(cell), tag: at.tagName,
          widget: !!at.closest('.jupyter-widgets'), words: said(at), type: at.type, choices: choices.map(said),
          place: choices.indexOf(at), ring: parseFloat(getComputedStyle(at).outlineWidth) *
            (getComputedStyle(at).outlineStyle === 'solid')}; }"""


class Walker:
    """Somebody who has a keyboard and nothing else."""

    def __init__(self, notebook):
        self.page, self.notebook = notebook.page, notebook
        self.key = self.page.keyboard.press
        self.cells = notebook.panel.locator(".jp-Cell")

    def run_the_lesson(self):
        """Select all cells, run them, and go back up to the first."""
        for key in ("Escape", "Control+a", "Control+Enter"):
            self.key(key)
        self.notebook.wait_until_run()
        for _ in range(self.cells.count()):
            self.key("ArrowUp")
        assert self.page.evaluate(FOCUS)["cell"] == 0

    def next(self):
        """Press Tab, and return the next widget that has the focus."""
        for _ in range(20):
            self.key("Tab")
            focus = self.page.evaluate(FOCUS)
            if focus["widget"]:
                assert focus["ring"] >= 2, f"nothing shows that the keyboard is on {focus['words']}"
                return focus
        pytest.fail("the Tab key leads to no widget any more")

    def answer(self, number):
        """Answer the next question: in each row of choices the one at a number, the least sure, a few typed words.

        Returns
        -------
        cell : Locator
            Of the question, after its reply has come.
        chosen : list of str
            Ticked, pressed or typed, in this order. [text]
        """
        chosen, focus = [], self.next()
        while focus["words"] in ("New numbers", "Another like it", "Code from a teacher"):      # of the question before, or beside the progress
            focus = self.next()
        cell = self.cells.nth(focus["cell"])
        is_prediction = cell.get_by_text(CLOSED).count() > 0
        while focus["words"] != "Commit":
            wanted = len(SURE) - 1 if tuple(focus["choices"]) == SURE else number % max(1, len(focus["choices"]))
            if focus["type"] in ("text", "textarea"):
                chosen.append(TYPED[focus["tag"]])
                self.page.keyboard.type(chosen[-1])
            elif focus["place"] == wanted:
                chosen.append(focus["words"])
                self.key("Space")
                expect(self.page.locator(":focus:is([aria-pressed=true], :checked)")).to_have_count(1)   # and it is said
            focus = self.next()
        self.key("Enter")
        expect(cell.get_by_role("status").filter(has_text=re.compile("Compare it|Look again|That is what|That agrees|Kept|Try 1"))).to_be_visible()
        if is_prediction:
            expect(cell.get_by_text(CLOSED)).to_have_count(0)
            expect(cell.locator(".widget-html-content").filter(has=self.page.locator("svg, table, p")).last).to_be_visible()
        return cell, chosen


@pytest.mark.full
def test_a_whole_lesson_by_keyboard(notebook, notebooks, page, keep_picture):
    """Every question is reached in its order, answered and kept; nothing goes wrong beside."""
    asked = list(worked(LESSON).lesson.questions.values())
    page.add_init_script(WATCH_POINTER)
    notebook.open(f"{LESSON}.ipynb")
    walker = Walker(notebook)
    walker.run_the_lesson()

    answers = []
    for number, question in enumerate(asked):
        cell, chosen = walker.answer(number)
        expect(cell.get_by_text(question.question, exact=True)).to_be_visible()
        answers.append(chosen)
        keep_picture(f"walk-{number:02}")

    kept = [json.loads(line) for line in (notebooks / "answers" / "lesson-10.jsonl").read_text(encoding="utf-8").splitlines()]
    assert [event["item"] for event in kept] == [question.item for question in asked]
    assert {event["event"] for event in kept} <= COMMITTED
    for event, chosen in zip(kept, answers):
        said = event["answer"]
        said = [f"{item}: {group}" for item, group in said.items()] if isinstance(said, dict) else [said]
        assert said + [event[word] for word in ("reason", "confidence") if event.get(word)] == chosen
    assert asked[-1].item == "exit"
    assert page.evaluate("window.pointed || 0") == 0
    assert page.outside == []
    assert page.problems == []

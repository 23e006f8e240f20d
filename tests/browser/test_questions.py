"""One question of each kind, answered in JupyterLab with the keyboard alone."""

import re

import nbformat
import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

START = """import circuitlab as cl
lesson = cl.Lesson("97")
one, cart = cl.arrangement("one-fused-lamp"), cl.arrangement("shared-filament-four-relays")
batteries = cl.vary(one, {("G1", "voltage"): (11.8, 12.2, 12.6, 13.0, 13.4, 13.8)})
swapped = [cl.SwapTerminals("K1:87", "K1:87a"), cl.SwapTerminals("K2:87", "K2:87a")]"""
ASKED = {
    "measure": """lesson.measure("open", "The switch is open. What does a meter show across it?", batteries, "V",
    lambda lamp: cl.operating_point(lamp).across("S1:1", "S1:2"), ideas=[cl.idea("M6", reads_as=0.0)], confidence=True)""",
    "grid": """lesson.grid("rows", "The lever is to the {side}. What does each rear lamp do?",
    cl.vary(cart, side=("left", "right")), [{"key": "on", "turn lever": "{side}", "brake pedal": "held"}],
    ["E1", "E2"], ideas=[cl.idea("M11", wires_as=swapped)])""",
    "trace": """lesson.pick_trace("trace", "Key on, lever left, pedal down from 1.5 to 3 s. Which chart is E1's?", cart, "E1",
    lambda cart: cl.trial(cart, {"key": "on", "turn lever": "left", "brake pedal": "held"}),
    ideas=[cl.idea("M11", wires_as=swapped), cl.idea("M18", wires_as=cl.SetValue("K9", "on_share", 0.8))])""",
    "sort": """lesson.sort("levels", "The switch is open. Which terminals are live?", one, ["F1:2", "S1:2", "E1:2"],
    ["live", "dead"], lambda lamp, end: "live" if cl.operating_point(lamp).is_live(end) else "dead")""",
    "order": """lesson.order("way", "In which order does the current pass them?", one, ["E1", "F1", "S1"],
    lambda lamp: [step for step in ("F1", "S1", "E1")])""",
    "place": """lesson.place("fuse", "Where does the fuse go?", one, ["battery plus", "switch", "lamp", "ground"],
    lambda lamp: "between battery plus and switch", ideas=[cl.idea("M15", reads_as="between switch and lamp")])""",
    "connect": """lesson.connect("list", "Write the connection list of this lamp.", one)""",
}
WIRED = ["G1:+ - F1:1", "S1:1 - F1:2", "S1:2 - E1:2", "E1:1 - G1:-"]


@pytest.fixture
def asked(notebooks, notebook):
    """The notebook with one question of each kind, run."""
    cells = [nbformat.v4.new_code_cell(code, id=name, metadata={"jupyter": {"source_hidden": True}, "deletable": False,
                                                                "editable": False})
             for name, code in {"start": START, **ASKED}.items()]
    made = nbformat.v4.new_notebook(cells=cells, metadata={
        "kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, notebooks / "questions.ipynb")
    (notebooks / "answers" / "lesson-97.jsonl").unlink(missing_ok=True)
    notebook.open("questions.ipynb").run_all()
    yield {name: notebook.panel.locator(".jp-Cell").nth(number + 1) for number, name in enumerate(ASKED)}
    (notebooks / "questions.ipynb").unlink()


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
    """Typed, ticked, pressed; a wrong idea gets its reply, a right answer is agreed to, nothing goes wrong beside."""
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
    measured.hears("Fresh numbers")
    expect(measured.question.get_by_text("open seed 2")).to_be_visible()

    grid = hands("grid")
    for box in ("E1 dark", "E1 flashing", "E2 steady"):
        grid.tick(box)
    expect(grid.question.get_by_role("checkbox", name="E1 dark")).not_to_be_checked()
    grid.press("Commit")
    grid.hears(re.compile("Try 1"))

    traces = hands("trace")
    expect(traces.question.get_by_role("img", name=re.compile("Chart A. Volts across E1"))).to_be_visible()
    traces.tick("chart A")
    traces.press("Commit")
    traces.hears("Try 1")

    sort = hands("sort")
    for box in ("F1:2: live", "S1:2: dead", "E1:2: dead"):
        sort.tick(box)
    sort.press("Commit")
    sort.hears("The circuit agrees")

    order = hands("order")
    order.press("F1")
    order.hears("Order: 1 F1")
    order.question.get_by_role("button", name="E1", exact=True).focus()
    for name in ("S1", "E1"):
        order.question.get_by_role("button", name=name, exact=True).focus()
        page.keyboard.press("Space")
    order.hears("Order: 1 F1, 2 S1, 3 E1")
    order.press("Commit")
    order.hears("The circuit agrees")

    place = hands("place")
    place.tick("between switch and lamp")
    place.press("Commit")
    place.hears("outlast the short")

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

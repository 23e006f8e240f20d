"""A kernel that died: each bench says so in the place of its picture, and neither click nor key does anything there."""

import os
import re
import signal

import pytest
from one_of_each import write_notebook
from playwright.sync_api import expect
from private_lab import PrivateLab, Notebook

pytestmark = pytest.mark.browser

CELLS = {
    "bench": """import os
import circuitlab as cl
print("kernel", os.getpid())
board = cl.arrangement("relay-test-board")
shown = cl.bench(board, faults={"K1 held": cl.Hold("K1", "released")})
shown""",
    "still": 'cl.still_bench(board, positions={"test switch": "on"})',
    "what-if": "cl.what_if(board)",
    "look-up": "cl.look_up(cl.prove(board))",
    "asked": 'cl.Lesson("97").note("own", "What would you measure first?")',
    "choice": """cl.Lesson("97").choose("again", "The switch is open?", board, {"lit": "Look.", "dim": "Look.", "dark": ""},
    lambda board: "dark")""",
}
ALL = len(CELLS)
STOPPED = "stopped: run this cell again"
SESSION = "window.jupyterapp.shell.currentWidget.context.sessionContext"
PRESSED = "part => [...part.querySelectorAll('.mod-active, :checked')].map(each => each.textContent + each.title)"
WHERE_THE_KEYBOARD_IS = """() => { const at = document.activeElement;
  return at.closest('.circuit-bench') ? at.className + ' ' + at.textContent : ''; }"""


@pytest.fixture
def work(notebooks, notebook, page):
    """A notebook with one bench of each kind, run; ``page.sent`` lists what was sent to a widget since then."""
    page.sent = []
    page.on("websocket", lambda socket: socket.on("framesent", lambda frame: page.sent.append(frame) if re.search(
        rb'"method": ?"(update|custom)"', frame if isinstance(frame, bytes) else frame.encode()) else None))
    path = write_notebook(notebooks / "stopped.ipynb", CELLS)
    notebook.open("stopped.ipynb").run_all()
    yield notebook
    path.unlink()


def kill(notebook):
    """Kill the kernel as a machine out of memory does; the server starts another one, and JupyterLab says so."""
    os.kill(int(re.search(r"kernel (\d+)", notebook.outputs.first.inner_text())[1]), signal.SIGKILL)
    notebook.page.get_by_role("button", name="Ok").click()


def shut_down(notebook):
    """Shut the kernel down as the menu does."""
    notebook.page.evaluate(f"{SESSION}.shutdown()")


def restart(notebook):
    """Restart the kernel as the menu does, its question answered."""
    notebook.page.evaluate(f"{SESSION}.session.kernel.restart()")


def shut_down_elsewhere(notebook):
    """Shut the kernel down from another page."""
    kernel = notebook.page.evaluate(f"{SESSION}.session.kernel.id")
    done = notebook.page.request.delete(f"{notebook.lab.address}/api/kernels/{kernel}",
                                        headers={"Authorization": f"token {notebook.lab.token}"})
    assert done.ok


def benches(notebook):
    """Return every bench and question on the page."""
    return notebook.outputs.locator(".circuit-bench")


def assert_stopped(notebook):
    """Every bench says so, in words that are seen and spoken; its pictures are gone."""
    alerts = benches(notebook).get_by_role("alert").filter(has_text=STOPPED)
    expect(alerts).to_have_count(ALL)
    for alert in alerts.all():
        expect(alert).to_be_visible()
    expect(benches(notebook).locator(".circuit-picture svg[role='img']").filter(visible=True)).to_have_count(0)
    tree = notebook.page.context.new_cdp_session(notebook.page).send("Accessibility.getFullAXTree")["nodes"]
    told = [(node["role"]["value"], node.get("name", {}).get("value", "")) for node in tree if not node["ignored"]]
    assert sum(role == "alert" for role, _ in told) == ALL
    assert told.count(("StaticText", STOPPED)) == ALL
    assert {name for role, name in told if role == "slider"} == set(), "a slider is still offered"
    assert {name for role, name in told if role in ("button", "checkbox", "textbox")} & {
        "Commit", "K1 held", "Make the change", "Next row", "lit"} == set()


def assert_nothing_works(notebook):
    """A click on anything that could be clicked does nothing, and the keyboard passes it by."""
    page, sent = notebook.page, len(notebook.page.sent)
    before = [bench.evaluate(PRESSED) for bench in benches(notebook).all()]
    for control in benches(notebook).locator("button, input, textarea, .noUi-handle").filter(visible=True).all():
        control.scroll_into_view_if_needed()
        box = control.bounding_box()
        page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        control.evaluate("part => part.focus()")
        assert page.evaluate(WHERE_THE_KEYBOARD_IS) == ""
    benches(notebook).first.locator(".told-stopped").focus()
    for _ in range(4):
        page.keyboard.press("Tab")
        assert page.evaluate(WHERE_THE_KEYBOARD_IS) == ""
    assert [bench.evaluate(PRESSED) for bench in benches(notebook).all()] == before
    assert page.sent[sent:] == []


def assert_works(notebook):
    """The first bench shows its picture and answers a click."""
    expect(benches(notebook).get_by_role("alert").filter(has_text=STOPPED)).to_have_count(0)
    bench = benches(notebook).first
    expect(bench.locator("svg[role='img']").first).to_be_visible()
    before = bench.get_by_role("status").inner_text()
    bench.get_by_role("button", name="on", exact=True).click()
    expect(bench.get_by_role("status")).not_to_have_text(before)


@pytest.mark.parametrize("end", [kill, shut_down, restart, shut_down_elsewhere])
def test_a_bench_whose_kernel_is_gone_says_so_and_works_when_run_again(work, page, keep_picture, end):
    """However the kernel ended."""
    assert_works(work)
    keep_picture(f"stopped-before-{end.__name__}")
    end(work)
    assert_stopped(work)
    keep_picture(f"stopped-{end.__name__}")
    assert_nothing_works(work)
    if page.evaluate(f"!{SESSION}.session"):
        page.evaluate(f"{SESSION}.startKernel()")
    page.wait_for_function(f"{SESSION}.session?.kernel?.status === 'idle'")
    work.run_all()
    assert_works(work)
    keep_picture(f"stopped-after-{end.__name__}")

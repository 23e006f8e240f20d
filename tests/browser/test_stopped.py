"""A kernel that died: each bench says so in the place of its picture, and neither click nor key does anything there."""

import os
import re
import signal

import pytest
from one_of_each import write_notebook
from playwright.sync_api import expect
from private_lab import Notebook, PrivateLab

pytestmark = pytest.mark.browser

CELLS = {
    "bench": """import os
import circuitlab as cl
print("kernel", os.getpid())
board = cl.arrangement("relay-test-board")
shown = cl.Lesson("97").choose("first", "The switch is open?", board, {"lit": "Look.", "dim": "Look.", "dark": ""}, lambda board: "dark")
shown""",
    "asked": 'cl.Lesson("97").note("own", "What would you measure first?")',
    "choice": """cl.Lesson("97").choose("again", "The switch is open?", board, {"lit": "Look.", "dim": "Look.", "dark": ""},
    lambda board: "dark")""",
}
ALL = len(CELLS)
STOPPED = "stopped: run this cell again"
SESSION = "window.jupyterapp.shell.currentWidget.context.sessionContext"
PRESSED = "part => [...part.querySelectorAll('.mod-active, :checked')].map(each => each.textContent + each.title)"
REACHED = """() => [...document.querySelectorAll('.circuit-bench :is(button, input, textarea, select, .noUi-handle)')]
  .filter(part => part.checkVisibility()).map(part => {
    part.scrollIntoView({block: 'center'});
    const box = part.getBoundingClientRect();
    part.focus();
    const at = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    return {what: part.outerHTML, by: [part.contains(at) && 'pointer', document.activeElement === part && 'keyboard']
      .filter(Boolean).join()}; })"""

TO_THE_TOP = "document.querySelectorAll('.jp-WindowedPanel-outer').forEach(part => { part.scrollTop = 0; })"


@pytest.fixture
def write(notebooks):
    """Return a function that writes a notebook of some of the cells where JupyterLab looks, and takes it away later."""
    written = []

    def write_cells(**cells):
        written.append(write_notebook(notebooks / "stopped.ipynb", cells))
        return written[-1].name
    yield write_cells
    for path in written:
        path.unlink()


def count_sent(page):
    """Keep in ``page.sent`` what is sent to a widget of the kernel from now on."""
    page.sent = []
    page.on("websocket", lambda socket: socket.on("framesent", lambda frame: page.sent.append(frame) if re.search(
        rb'"method": ?"(update|custom)"', frame if isinstance(frame, bytes) else frame.encode()) else None))


def kill_kernel(notebook):
    """Kill the kernel as a machine out of memory does."""
    os.kill(pid_of(notebook), signal.SIGKILL)


def kill(notebook):
    """Kill the kernel; the server starts another one, and JupyterLab says so."""
    kill_kernel(notebook)
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


def assert_stopped(notebook, count=ALL):
    """Every bench says so, in words that are seen and spoken; its pictures are gone."""
    alerts = benches(notebook).get_by_role("alert").filter(has_text=STOPPED)
    expect(alerts).to_have_count(count, timeout=30_000)     # JupyterLab asks for its kernels every ten seconds
    for alert in alerts.all():
        expect(alert).to_be_visible()
    expect(benches(notebook).locator(".circuit-picture svg[role='img']").filter(visible=True)).to_have_count(0)
    tree = notebook.page.context.new_cdp_session(notebook.page).send("Accessibility.getFullAXTree")["nodes"]
    told = [(node["role"]["value"], node.get("name", {}).get("value", "")) for node in tree if not node["ignored"]]
    assert sum(role == "alert" for role, _ in told) == count
    assert told.count(("StaticText", STOPPED)) >= count
    assert {name for role, name in told if role == "slider"} == set(), "a slider is still offered"
    assert {name for role, name in told if role in ("button", "checkbox", "textbox")} & {
        "Commit", "Next row", "lit"} == set()


def all_in_sight(notebook, count):
    """Have every bench on the page: JupyterLab takes a cell off it that was scrolled away."""
    notebook.page.evaluate(TO_THE_TOP)
    expect(benches(notebook)).to_have_count(count)


def assert_nothing_works(notebook):
    """Nothing that could be pressed is under a pointer or takes the keyboard; real clicks and keys do nothing."""
    page, sent = notebook.page, len(notebook.page.sent)
    before = [bench.evaluate(PRESSED) for bench in benches(notebook).all()]
    reached = page.evaluate(REACHED)
    assert len(reached) >= 8
    assert [each for each in reached if each["by"]] == []
    all_in_sight(notebook, len(before))
    told = benches(notebook).first.locator(".told-stopped")
    told.focus()
    for control in benches(notebook).first.locator("button, input, .noUi-handle").filter(visible=True).all()[:4]:
        control.scroll_into_view_if_needed()       # a space may have scrolled the page: what is clicked shall be the control
        box = control.bounding_box()
        page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.keyboard.press("Space")
    told.focus()
    for _ in range(4):
        page.keyboard.press("Tab")
        assert not page.evaluate("document.activeElement.matches('.circuit-bench *')")
    all_in_sight(notebook, len(before))
    assert [bench.evaluate(PRESSED) for bench in benches(notebook).all()] == before
    assert page.sent[sent:] == []


def with_a_kernel(page):
    """Wait for a kernel; start one whenever JupyterLab has found out that there is none, which may take it some seconds."""
    for _ in range(120):        # a minute: on a loaded machine a kernel that was killed is found out, and another up, after more than half of one
        if page.evaluate(f"{SESSION}.session?.kernel?.status === 'idle'"):
            return
        if page.evaluate(f"!{SESSION}.session"):
            page.evaluate(f"{SESSION}.startKernel()")
        page.wait_for_timeout(500)
    raise AssertionError(page.evaluate(f"{SESSION}.session?.kernel?.status ?? 'no session'"))


def assert_works(notebook):
    """The first bench shows its picture and answers a click."""
    expect(benches(notebook).get_by_role("alert").filter(has_text=STOPPED)).to_have_count(0)
    bench = benches(notebook).first
    before = bench.inner_text()
    bench.locator("input[type=checkbox]:not(:checked)").first.check()
    bench.get_by_role("button", name="Commit").click()
    expect(bench).not_to_have_text(before)


@pytest.mark.parametrize("end", [kill, *(pytest.param(each, marks=pytest.mark.full)
                                         for each in (shut_down, restart, shut_down_elsewhere))])
def test_a_bench_whose_kernel_is_gone_says_so_and_works_when_run_again(notebook, write, page, keep_picture, end):
    """However the kernel ended; on a page so tall that no key scrolls a bench away."""
    page.set_viewport_size({"width": 1280, "height": 1800})
    count_sent(page)
    work = notebook.open(write(**CELLS))
    work.run_all()
    assert_works(work)
    assert page.sent, "so that it is seen when something is sent"
    keep_picture(f"stopped-before-{end.__name__}")
    end(work)
    assert_stopped(work)
    keep_picture(f"stopped-{end.__name__}")
    assert_nothing_works(work)
    with_a_kernel(page)
    work.run_all()
    assert_works(work)
    keep_picture(f"stopped-after-{end.__name__}")


@pytest.mark.full
@pytest.mark.parametrize("is_another", [False, True])
def test_a_connection_that_comes_back(notebook, write, page, is_another):
    """While it is away a bench says so; the same kernel goes on, another one that has its place does not."""
    sockets, is_away = [], []

    def connect(socket):
        if is_away:
            socket.close()
        else:
            socket.connect_to_server()
            sockets.append(socket)
    page.route_web_socket(re.compile("/api/kernels/"), connect)
    count_sent(page)
    work = notebook.open(write(bench=CELLS["bench"]))
    work.run_all()
    assert_works(work)
    is_away.append(True)
    for socket in sockets:
        socket.close()
    assert_stopped(work, 1)
    if is_another:
        kill_kernel(work)
    is_away.clear()
    page.wait_for_function(f"{SESSION}.session?.kernel?.connectionStatus === 'connected'", timeout=60_000)
    if is_another:
        page.wait_for_function(f"{SESSION}.session?.kernel?.status === 'idle'")
        assert_stopped(work, 1)
        work.run_all()
    assert_works(work)


@pytest.mark.full
def test_a_server_that_was_stopped(notebooks, page, write):
    """Its benches say so as well."""
    lab = PrivateLab(notebooks)
    try:
        work = Notebook(page, lab).open(write(bench=CELLS["bench"]))
        work.run_all()
        lab.server.kill()
        assert_stopped(work, 1)
    finally:
        lab.close()


@pytest.mark.full
def test_where_no_handler_may_run_the_rules_remain(notebook, write, page):
    """The words stand in the place of the picture and no pointer reaches a button; the keyboard still does."""
    bare = CELLS["bench"] + "\nlast = shown.view.children[-1]\nlast.value = last.value.partition('<img')[0]\nshown"
    work = notebook.open(write(bench=bare))
    work.run_all()
    kill(work)
    bench = benches(work).first
    place = bench.locator(".circuit-picture").first
    expect(place).to_be_visible()
    assert STOPPED in place.evaluate("part => getComputedStyle(part, '::before').content")
    expect(bench.locator("svg[role='img']").filter(visible=True)).to_have_count(0)
    assert {each["by"] for each in page.evaluate(REACHED)} == {"keyboard"}


BOARD = """import os
import circuitlab as cl
print("kernel", os.getpid())
board = cl.board(cl.arrangement("shared-filament-four-relays"), positions={"key": "on", "turn lever": "left"})
board"""


def pid_of(notebook):
    """Return the number of the kernel's process, which the cell has printed."""
    return int(re.search(r"kernel (\d+)", notebook.outputs.first.inner_text())[1])


def clock_of(board):
    """Return what a board's clock shows. [s]"""
    return float(board.locator(".pin30-clock").inner_text().split()[0])


@pytest.mark.full
def test_a_board_that_runs_while_its_kernel_is_held_waits_and_goes_on_and_killed_says_so_and_runs_again(notebook, write, page, keep_picture):
    """Held as a busy machine holds it: the clock stands soon after the record's end, nothing is lost. Killed by SIGKILL: a sentence."""
    page.emulate_media(reduced_motion="no-preference")
    work = notebook.open(write(board=BOARD))
    work.run_all()
    board = notebook.outputs.locator(".pin30-board")
    board.get_by_role("button", name="Run time").click()
    expect(board.get_by_role("list", name="Lamps")).to_contain_text("%", timeout=5000)
    os.kill(pid_of(work), signal.SIGSTOP)
    try:
        expect(board.locator(".pin30-clock")).to_contain_text("waiting for the kit", timeout=15_000)
        page.wait_for_timeout(1000)
        held = clock_of(board)
        page.wait_for_timeout(1500)
        assert clock_of(board) == held
    finally:
        os.kill(pid_of(work), signal.SIGCONT)
    expect(board.locator(".pin30-clock")).not_to_contain_text("waiting", timeout=10_000)
    page.wait_for_timeout(1500)
    assert held + 0.5 < clock_of(board) < held + 8
    os.kill(pid_of(work), signal.SIGKILL)
    page.get_by_role("button", name="Ok").click(timeout=30_000)
    expect(board.get_by_role("alert")).to_contain_text(STOPPED, timeout=30_000)
    stood = clock_of(board)
    page.wait_for_timeout(1000)
    assert clock_of(board) == stood and page.evaluate("document.querySelector('.pin30-stage').inert")
    keep_picture("board-killed-while-it-runs")
    with_a_kernel(page)
    work.run_all()
    expect(board.get_by_role("button", name="Run time")).to_be_visible()
    board.get_by_role("button", name="Run time").click()
    page.wait_for_timeout(2500)
    assert clock_of(board) > 1
    expect(board.get_by_role("button", name="turn lever: left")).to_have_attribute("aria-pressed", "true")

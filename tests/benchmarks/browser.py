"""From key press to picture in a real JupyterLab, beside an empty echo and an empty frame loop; all figures of one run.

    python tests/benchmarks/browser.py [--json] [--keys N] [--minutes N] [--boards N]

Of a slider that only echoes its value, and of a pedal of the running live board of shared-filament-four-relays, from the
key's event to the frame after the changed output: ``echo_ms``, ``board_ms``, ``board_p95_ms``. ``dropped_..._percent`` of
the frames of an empty page, of the board standing and of it flashing; ``bytes_a_second`` that it is sent meanwhile.
``page_mb_after_1`` and ``..._after_N`` minutes of flashing, on a settable clock. ``many_p95_ms``: the pedal again while N
boards run on the page; ``many_page_mb`` and ``many_kernel_mb`` of each of them. Needs Chromium.
"""

import argparse
import json
import sys
import tempfile
from pathlib import Path

import nbformat

sys.path[:0] = [str(Path(__file__).parents[1] / "browser"), str(Path(__file__).parents[1])]

from board_page import open_board  # noqa: E402  (found by the path above)
from private_lab import Notebook, PrivateLab  # noqa: E402

import circuitlab as cl  # noqa: E402

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
CELLS = ["""import ipywidgets
echo, word = ipywidgets.IntSlider(description="echo slider", max=100000), ipywidgets.HTML("0")
word.add_class("echoed")
echo.observe(lambda change: setattr(word, "value", f"<b>{change['new']}</b>"), names="value")
ipywidgets.VBox([echo, word])""", """import circuitlab as cl
board = cl.board(cl.arrangement("shared-filament-four-relays"))
board"""]
MANY = """import circuitlab as cl, psutil
four = cl.arrangement("shared-filament-four-relays")
before = psutil.Process().memory_info().rss
display(cl.board(four))
for number in range({}):
    display(cl.board(four, positions={{"key": "on", "turn lever": "left"}}))"""
MB = 1e6
# How much more the kernel holds than before its boards. [bytes]
GROWN = """() => window.jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.requestExecute(
  {code: "", user_expressions: {grown: "psutil.Process().memory_info().rss - before"}}).done
  .then(answer => Number(answer.content.user_expressions.grown.data["text/plain"]))"""
# How long apart the frames of some seconds are. [ms]
FRAMES = """(seconds) => new Promise(done => { const apart = []; let last = performance.now(); const begun = last;
  const look = () => { const now = performance.now(); apart.push(now - last); last = now;
    now - begun < 1000 * seconds ? requestAnimationFrame(look) : done(apart.slice(1)); };
  requestAnimationFrame(look); })"""
SECONDS = 5         # that frames are looked at
DROPPED = 34        # ms between two frames, from which one was left out
WATCH = """(selector) => { window.taken = []; window.pressed = 0;
  const target = document.querySelector(selector);
  document.addEventListener('keydown', () => { window.pressed = performance.now(); }, true);
  new MutationObserver(() => { const start = window.pressed; window.pressed = 0; if (start) requestAnimationFrame(() => {
      const channel = new MessageChannel();
      channel.port1.onmessage = () => { window.taken.push(performance.now() - start); window.last = performance.now(); };
      channel.port2.postMessage(0); }); }).observe(target, {childList: true, subtree: true, characterData: true}); }"""


def press(page, slider, keys):
    """Press arrow keys one by one on a slider, each after the last picture; return the times. [ms]"""
    slider.focus()
    for turn in range(keys):
        before = page.evaluate("window.taken.length")
        page.keyboard.press("ArrowRight" if turn % 40 < 20 else "ArrowLeft")
        page.wait_for_function("(count) => window.taken.length > count", arg=before, timeout=10_000)
        page.wait_for_timeout(30)
    return page.evaluate("window.taken")[5:]


def _middle_and_tail(times):
    times = sorted(times)
    return times[len(times) // 2], times[int(len(times) * 0.95)]


def press_pedal(page, keys):
    """Latch and let go the pedal of the page's first board; return the times to the picture. [ms]"""
    page.locator(".pin30-board [data-key=S2]").first.focus()
    page.evaluate(WATCH, ".pin30-drawing > g:nth-child(2)")
    for _ in range(keys):
        before = page.evaluate("window.taken.length")
        page.keyboard.press("h")
        page.wait_for_function("(count) => window.taken.length > count", arg=before, timeout=10_000)
        page.wait_for_timeout(60)
    return page.evaluate("window.taken")[5:]


def dropped(page, seconds):
    """Return the share of frames left out over some seconds. [%]"""
    frames = page.evaluate(FRAMES, seconds)
    return 100 * sum(each > DROPPED for each in frames) / len(frames)


def heap(page):
    """Return what the page's script holds once nothing is left to collect. [MB]"""
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable")
    session.send("HeapProfiler.collectGarbage")
    found = {each["name"]: each["value"] for each in session.send("Performance.getMetrics")["metrics"]}
    session.detach()
    return found["JSHeapUsedSize"] / MB


def measure_one(browser, lab, given):
    """Measure echo and board in one notebook, and an empty page beside it."""
    empty = browser.new_page()
    figures = {"dropped_empty_percent": dropped(empty, SECONDS)}
    empty.close()
    page, came = browser.new_page(viewport={"width": 1280, "height": 1800}), []
    page.on("websocket", lambda socket: socket.on("framereceived", lambda payload: came.append(len(payload))))
    notebook = Notebook(page, lab)
    notebook.open("echo.ipynb")
    notebook.run_all()
    page.evaluate(WATCH, ".echoed")
    figures["echo_ms"], figures["echo_p95_ms"] = _middle_and_tail(press(page, notebook.slider("echo slider"), given.keys))
    figures["dropped_still_percent"] = dropped(page, SECONDS)
    figures["board_ms"], figures["board_p95_ms"] = _middle_and_tail(press_pedal(page, given.keys))
    for name in ("key: on", "turn lever: left"):
        notebook.outputs.get_by_role("button", name=name).click()
    page.wait_for_timeout(1000)
    came.clear()
    figures["dropped_running_percent"] = dropped(page, SECONDS)
    figures["bytes_a_second"] = sum(came) / SECONDS
    page.close()
    return figures


def measure_long(browser, minutes):
    """Let a board flash for minutes of a settable clock, its strip open; return what the page holds after one and after all."""
    page = browser.new_page()
    page.clock.install(time=0)
    open_board(page, cl.arrangement("shared-filament-four-relays"), positions={"key": "on", "turn lever": "left"})
    page.clock.pause_at(10_000)      # and goes on by steps alone, however busy the machine
    page.get_by_role("button", name="strip", exact=True).click()
    page.get_by_role("button", name="Run time").click()
    figures = {}
    for second in range(1, 60 * minutes + 1):
        page.clock.run_for(1000)
        page.wait_for_function("window.asked === window.answered")
        page.evaluate("window.sent.length = 0")      # what only the harness keeps
        if second in (60, 60 * minutes):
            figures[f"page_mb_after_{second // 60}"] = heap(page)
    page.close()
    return figures


def measure_many(browser, lab, given):
    """Measure the pedal of one board while many more flash on the same page, and what each takes of page and kernel."""
    page = browser.new_page(viewport={"width": 1280, "height": 1800})
    notebook = Notebook(page, lab)
    notebook.open("many.ipynb")
    before = heap(page)
    notebook.run_all()
    page.wait_for_function("count => document.querySelectorAll('.pin30-lamps').length === count", arg=given.boards)
    page.evaluate("document.querySelectorAll('.pin30-board [aria-label=\"Run time\"]').forEach(each => each.click())")
    page.wait_for_timeout(5000)
    middle, tail = _middle_and_tail(press_pedal(page, given.keys))
    figures = {"many_ms": middle, "many_p95_ms": tail, "many_dropped_percent": dropped(page, SECONDS),
               "many_page_mb": (heap(page) - before) / given.boards, "many_kernel_mb": page.evaluate(GROWN) / MB / given.boards}
    page.close()
    return figures


def write_notebook(path, *cells):
    """Write a notebook of code cells."""
    made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source) for source in cells], metadata={
        "kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, path)


def main(words=None):
    """Measure and print; returns the figures as a dict."""
    from playwright.sync_api import sync_playwright
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true")
    for name, usual in (("keys", 60), ("minutes", 10), ("boards", 24)):
        parser.add_argument(f"--{name}", type=int, default=usual)
    given = parser.parse_args(words)
    folder = Path(tempfile.mkdtemp())
    write_notebook(folder / "echo.ipynb", *CELLS)
    write_notebook(folder / "many.ipynb", MANY.format(given.boards - 1))
    lab = PrivateLab(folder)
    try:
        with sync_playwright() as playwright:
            from conftest import find_chromium  # the browser tests' own way to find it
            browser = playwright.chromium.launch(executable_path=find_chromium(playwright), headless=True, args=FLAGS)
            figures = measure_one(browser, lab, given) | measure_many(browser, lab, given) | measure_long(browser, given.minutes)
            browser.close()
    finally:
        lab.close()
    figures["board_over_echo_ms"] = figures["board_ms"] - figures["echo_ms"]
    if given.json:
        print(json.dumps({name: round(value, 2) for name, value in figures.items()}))
    else:
        for name, value in figures.items():
            print(f"{name:26}{value:12.1f}")
    return figures


if __name__ == "__main__":
    main()

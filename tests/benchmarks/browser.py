"""From key press to picture in a real JupyterLab, beside an empty echo of the same kind of widget.

    python tests/benchmarks/browser.py [--json] [--keys N]

Opens a notebook with a slider that only echoes its value and the live board of
shared-filament-four-relays, presses keys, and times each from the key's event to the frame after
the changed output: ``echo_ms``, and ``board_ms`` and ``board_p95_ms`` of a pedal of the running board;
``dropped_..._percent`` the frames left out while it stands and while it flashes.
Needs Chromium.
"""

import argparse
import json
import sys
import tempfile
from pathlib import Path

import nbformat

sys.path[:0] = [str(Path(__file__).parents[1] / "browser"), str(Path(__file__).parents[1])]

from private_lab import Notebook, PrivateLab  # noqa: E402  (found by the path above)

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
CELLS = ["""import ipywidgets
echo, word = ipywidgets.IntSlider(description="echo slider", max=100000), ipywidgets.HTML("0")
word.add_class("echoed")
echo.observe(lambda change: setattr(word, "value", f"<b>{change['new']}</b>"), names="value")
ipywidgets.VBox([echo, word])""", """import circuitlab as cl
board = cl.board(cl.arrangement("shared-filament-four-relays"))
board"""]
# Frames of some seconds: how long apart, and how many bytes the page was sent meanwhile.
FRAMES = """(seconds) => new Promise(done => { const apart = []; let last = performance.now(); const begun = last;
  const look = () => { const now = performance.now(); apart.push(now - last); last = now;
    now - begun < 1000 * seconds ? requestAnimationFrame(look) : done(apart.slice(1)); };
  requestAnimationFrame(look); })"""
DROPPED = 34        # ms between two frames, from which one was left out
WATCH = """(selector) => { window.taken = []; window.pressed = 0;
  const target = document.querySelector(selector);
  document.addEventListener('keydown', () => { window.pressed = performance.now(); }, true);
  new MutationObserver(() => { const start = window.pressed; requestAnimationFrame(() => {
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


def work_board(page, notebook, keys):
    """Latch and let go a pedal on the running board; return the times to the picture, and the shares of frames dropped."""
    place = notebook.outputs.locator(".pin30-board")
    place.locator("[data-key=S2]").focus()
    still = page.evaluate(FRAMES, 3)
    page.evaluate(WATCH, ".pin30-drawing > g:nth-child(2)")
    for _ in range(keys):
        before = page.evaluate("window.taken.length")
        page.keyboard.press("h")
        page.wait_for_function("(count) => window.taken.length > count", arg=before, timeout=10_000)
        page.wait_for_timeout(60)
    taken = page.evaluate("window.taken")[5:]
    for name in ("key: on", "turn lever: left"):
        place.get_by_role("button", name=name).click()
    runs = page.evaluate(FRAMES, 5)
    return taken, *(100 * sum(each > DROPPED for each in frames) / len(frames) for frames in (still, runs))


def main(words=None):
    """Measure and print; returns the figures as a dict. [ms]"""
    from playwright.sync_api import sync_playwright
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--keys", type=int, default=60)
    given = parser.parse_args(words)
    folder = Path(tempfile.mkdtemp())
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source) for source in CELLS], metadata={
        "kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(book, folder / "echo.ipynb")
    lab = PrivateLab(folder)
    figures = {}
    try:
        with sync_playwright() as playwright:
            from conftest import find_chromium  # the browser tests' own way to find it
            browser = playwright.chromium.launch(executable_path=find_chromium(playwright), headless=True, args=FLAGS)
            page = browser.new_page(viewport={"width": 1280, "height": 1800})
            notebook = Notebook(page, lab)
            notebook.open("echo.ipynb")
            notebook.run_all()
            page.evaluate(WATCH, ".echoed")
            figures["echo"] = _middle_and_tail(press(page, notebook.slider("echo slider"), given.keys))
            taken, still, runs = work_board(page, notebook, given.keys)
            figures["board"] = _middle_and_tail(taken)
            browser.close()
    finally:
        lab.close()
    result = {"echo_ms": figures["echo"][0], "board_ms": figures["board"][0], "board_p95_ms": figures["board"][1],
              "dropped_still_percent": still, "dropped_running_percent": runs,
              "board_over_echo": figures["board"][0] / figures["echo"][0]}
    if given.json:
        print(json.dumps({name: round(value, 2) for name, value in result.items()}))
    else:
        for name, value in result.items():
            print(f"{name:20}{value:10.1f}")
    return result


if __name__ == "__main__":
    main()

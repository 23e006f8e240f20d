"""What a browser test finds ready: Chromium, a private JupyterLab on copies of the lessons, and a page that sees no web."""

import os
import shutil
from pathlib import Path

import pytest
from private_lab import Notebook, PrivateLab

from circuitlab.commands.lessons import copy_lessons

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
MISSING = ("Chromium is not installed. On Debian: apt-get install chromium. Elsewhere: python -m playwright install "
           "chromium, or set CHROMIUM to the program.")


def find_chromium(playwright):
    """Return the Chromium to drive, or None. [text]"""
    names = [os.environ.get("CHROMIUM"), "chromium", "chromium-browser", "google-chrome", "chrome",
             playwright.chromium.executable_path]
    return next((found for name in names if name and (found := shutil.which(name))), None)


@pytest.fixture(scope="session")
def browser():
    """Chromium without a window; skipped when there is none, unless a run demands it."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        program = find_chromium(playwright)
        if program is None:
            (pytest.fail if os.environ.get("PIN_THIRTY_REQUIRE_BROWSER") else pytest.skip)(MISSING)
        browser = playwright.chromium.launch(executable_path=program, headless=True, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def notebooks(tmp_path_factory):
    """The folder JupyterLab looks into: the lessons as a learner gets them."""
    return copy_lessons(tmp_path_factory.mktemp("notebooks")).folder


@pytest.fixture(scope="session")
def lab(notebooks):
    """One JupyterLab for all browser tests."""
    lab = PrivateLab(notebooks)
    yield lab
    lab.close()


@pytest.fixture
def page(browser):
    """A fresh page. ``page.outside`` lists requests that left this machine, ``page.problems`` what the console said."""
    context = browser.new_context(viewport={"width": 1280, "height": 1400}, reduced_motion="reduce", locale="en-GB")
    page = context.new_page()
    page.outside, page.problems = [], []

    def watch(route):
        address = route.request.url
        if address.startswith(("http://127.0.0.1:", "ws://127.0.0.1:", "blob:", "data:")):
            route.continue_()
        else:
            page.outside.append(address)
            route.abort()

    context.route("**/*", watch)
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    page.on("console", lambda message: page.problems.append(message.text) if message.type == "error" else None)
    yield page
    context.close()


@pytest.fixture
def notebook(browser, page, lab):
    """A hand for one notebook."""
    return Notebook(page, lab)


@pytest.fixture
def keep_picture(page):
    """Save a picture of the page for people, when PIN_THIRTY_PICTURES names a folder."""
    def keep(name):
        folder = os.environ.get("PIN_THIRTY_PICTURES")
        if folder:
            Path(folder).mkdir(parents=True, exist_ok=True)
            page.screenshot(path=Path(folder) / f"{name}.png")
    return keep

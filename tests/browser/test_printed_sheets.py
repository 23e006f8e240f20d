"""The build sheet on paper: two sides of A4 for every arrangement of the kit, and nothing cut off for bigger ones."""

import re

import pytest

from circuitlab.arrangements import Arrangement, arrangement, arrangement_names
from circuitlab.parts import Battery, Control, Fuse, Lamp, Relay, Wire
from circuitlab.commands.build_sheets import write_build_sheet

pytestmark = pytest.mark.browser
A4 = (595, 842)   # 210 x 297 mm in points


def printed(browser, path):
    """Return the bytes of the PDF, and how far the content reaches beyond the printed width. [px]"""
    page = browser.new_page(viewport={"width": 703, "height": 1000})   # 186 mm between the margins
    page.emulate_media(media="print")
    page.goto(path.as_uri())
    over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    pdf = page.pdf(prefer_css_page_size=True)
    page.close()
    return pdf, over


def sheets(pdf):
    """Count the pages of a PDF that keeps its page objects readable, as Chromium writes it."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


@pytest.mark.in_turn(11)
@pytest.mark.parametrize("name", arrangement_names())
def test_every_arrangement_of_the_kit_prints_on_two_a4_pages(browser, tmp_path, name):
    """Exactly two, of A4 size, and no wider than the paper."""
    pdf, over = printed(browser, write_build_sheet(arrangement(name), tmp_path / "sheet.html"))
    sizes = {tuple(round(float(edge)) for edge in box.split()[2:]) for box in re.findall(rb"/MediaBox\s*\[([^\]]*)\]", pdf)}
    assert sheets(pdf) == 2
    assert over <= 0
    assert all(abs(width - A4[0]) <= 1 and abs(height - A4[1]) <= 1 for width, height in sizes) and sizes


def test_a_big_arrangement_runs_on_and_loses_nothing(browser, tmp_path):
    """120 wires, 10 relays and 64 rows: more pages, every line of them inside the paper."""
    relays = [Relay(f"K{number}", place="a long shelf of relays") for number in range(10)]
    fuses = [Fuse(f"F{number}") for number in range(40)]
    made = Arrangement("big", [Control(f"switch {letter}", ("off", "on")) for letter in "abcdef"],
                       [Battery("G1"), *fuses, *relays, Lamp("E1")],
                       [Wire(f"W{number}", "G1:+", f"F{number % 40}:1", "RDBU", 1.25, 1.5) for number in range(120)])
    path = write_build_sheet(made, tmp_path / "big.html")
    pdf, over = printed(browser, path)
    assert sheets(pdf) > 2 and over <= 0
    page = browser.new_page(viewport={"width": 700, "height": 1000})
    page.goto(path.as_uri())
    cut = page.evaluate("""[...document.querySelectorAll('*')].filter(element =>
        getComputedStyle(element).overflow !== 'visible' && element.tagName !== 'svg').map(element => element.tagName)""")
    shown = page.inner_text("body")
    page.close()
    assert cut == []
    assert all(re.search(rf"\b{wire.name}\b", shown) for wire in made.wires)

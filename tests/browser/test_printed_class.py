"""The grid of a class on paper: one landscape sheet of A4 for 24 invented seats, names and troubles of any length."""

import re

import pytest

from circuitlab import __version__
from circuitlab.benches.record import Record
from circuitlab.commands.line import main
from circuitlab.teaching.gathering import lesson_book, lesson_files

pytestmark = pytest.mark.browser
A4_ACROSS = (842, 595)     # 297 x 210 mm in points


def invented(folder, lesson):
    """Write 24 records with the first two choices of every question; each has a line cut off and many of another kit."""
    questions = lesson_book(lesson).questions
    for seat in range(1, 25):
        name = f"seat {seat}, the one by the window in the second row from the door"
        for version in (__version__, "0.0.9"):
            record = Record(lesson, folder / name, version)
            for item, question in questions.items():
                for answer in list(question.choices)[:2] if question.kind not in ("tried", "noted") else ():
                    record.add(item, question.kind, answer=answer, confidence="sure", right=question.is_right(answer))
        with open(record.path, "a", encoding="utf-8") as file:
            file.write('{"item": "cut o')


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The folder of the pages of the lesson with the most questions, every seat with troubles to tell."""
    folder = tmp_path_factory.mktemp("printed")
    invented(folder / "class", max(lesson_files(), key=lambda number: len(lesson_book(number).questions)))
    assert main(["class-summary", str(folder / "class"), "--out", str(folder / "pages")]) == 1
    return folder / "pages"


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", ["grid.html", "projector.html"])
def test_a_class_of_24_prints_on_one_sheet(browser, pages, name):
    """Landscape A4, and no head of a column cut off."""
    page = browser.new_page()
    page.goto((pages / name).as_uri())
    page.emulate_media(media="print")
    heads = page.evaluate("[...document.querySelectorAll('thead th span')].every(span => "
                          "span.getBoundingClientRect().height <= span.closest('th').getBoundingClientRect().height)")
    pdf = page.pdf(prefer_css_page_size=True)
    page.close()
    sizes = [tuple(round(float(edge)) for edge in box.split()[2:]) for box in re.findall(rb"/MediaBox\s*\[([^\]]*)\]", pdf)]
    assert heads
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == 1
    assert sizes and all(abs(width - A4_ACROSS[0]) <= 1 and abs(height - A4_ACROSS[1]) <= 1 for width, height in sizes)

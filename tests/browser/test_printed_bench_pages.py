"""Sheets for the workbench and lessons on paper: on A4, nothing cut off, readable for a checker of accessibility."""

import re

import pytest
from axe_core import look_through
from test_printed_sheets import A4, printed, sheets

from circuitlab.commands.line import main
from circuitlab.teaching.gathering import lesson_book

pytestmark = pytest.mark.browser
SECRET = "invented plums in august"
SHEETS = {("safety",): 1, ("crimp",): 1, ("volt-drop", "one-fused-lamp"): 1, ("volt-drop", "shared-filament-rear-relays"): 2,
          ("volt-drop", "trailer-separate-to-combined"): 4}


def of_a4(pdf):
    """Whether every page of a PDF is A4, upright. [yes/no]"""
    sizes = {tuple(round(float(edge)) for edge in box.split()[2:]) for box in re.findall(rb"/MediaBox\s*\[([^\]]*)\]", pdf)}
    return bool(sizes) and all(abs(width - A4[0]) <= 1 and abs(height - A4[1]) <= 1 for width, height in sizes)


@pytest.mark.parametrize(("words", "most"), SHEETS.items(), ids=["-".join(words) for words in SHEETS])
@pytest.mark.in_turn(6)
def test_a_sheet_for_the_workbench_prints(browser, page, tmp_path, words, most):
    """On as few pages as said, no wider than the paper, without a grave violation."""
    out = tmp_path / "sheet.html"
    assert main(["bench-sheet", *words, "--out", str(out)]) == 0
    pdf, over = printed(browser, out)
    assert sheets(pdf) <= most and over <= 0 and of_a4(pdf)
    page.set_content(out.read_text("utf-8"))
    passed, grave = look_through(page, "html")
    assert grave == [] and {"color-contrast", "document-title", "html-has-lang"} <= set(passed)


@pytest.mark.parametrize("name", ["one-fused-lamp", "shared-filament-rear-relays"])
def test_a_blank_build_sheet_prints_on_two_sides(browser, page, tmp_path, name):
    """With every blank on it, and named for a reader by the head of its column."""
    out = tmp_path / "sheet.html"
    assert main(["sheet", name, "--blank", "--out", str(out)]) == 0
    pdf, over = printed(browser, out)
    assert sheets(pdf) == 2 and over <= 0 and of_a4(pdf)
    page.set_content(out.read_text("utf-8"))
    assert page.evaluate("[...document.querySelectorAll('.fill')].every(each => each.getBoundingClientRect().width > 15)")
    passed, grave = look_through(page, "html")
    assert grave == [] and {"color-contrast", "document-title"} <= set(passed)


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    """Questions and answers of lesson 06 for three seats."""
    folder = tmp_path_factory.mktemp("papers")
    (folder / "labels.txt").write_text("seat 1\nseat 2\nseat 3\n", "utf-8")
    codes = ["--lesson", "06", "--codes", str(folder / "codes.csv")]
    for words in (["class-codes", "--secret", SECRET, "--lesson", "06", "--labels", str(folder / "labels.txt"), "--out", str(folder / "codes.csv")],
                  ["class-paper", *codes, "--out", str(folder / "paper.html")],
                  ["class-answers", "--secret", SECRET, *codes, "--out", str(folder / "answers.html")]):
        assert main(words) == 0
    return folder


@pytest.mark.parametrize("name", ["paper", "answers"])
def test_a_lesson_on_paper_prints(browser, page, papers, name):
    """A new page for each learner; no question lies across two pages or runs over another."""
    pdf, over = printed(browser, papers / f"{name}.html")
    assert over <= 0 and of_a4(pdf) and sheets(pdf) >= (3 if name == "paper" else 1)
    page.set_content((papers / f"{name}.html").read_text("utf-8"))
    boxes = page.evaluate("[...document.querySelectorAll('form')].map(each => each.getBoundingClientRect()).map(({top, bottom}) => [top, bottom])")
    assert all(before[1] <= after[0] for before, after in zip(boxes, boxes[1:])) and (len(boxes) == 3 * len(lesson_book("06").questions)) == (name == "paper")
    passed, grave = look_through(page, "html")
    assert grave == [] and {"color-contrast", "document-title"} <= set(passed)

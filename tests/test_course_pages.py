"""The pages beside the lessons: words and letters, task map, teacher's guide agree with the kit and with each other."""

import csv
import re

import pytest

import circuitlab as cl
from circuitlab.ground.places import kit_folder
from circuitlab.views.style import COLOUR_WORDS

LESSONS = kit_folder("lessons")
NUMBERS = {path.name[:2] for path in LESSONS.glob("[0-9][0-9]_*.ipynb")}


def page(name):
    return (LESSONS / name).read_text("utf-8")


def table(text, heading):
    """Return the body rows of the table under a heading, cell by cell. [text]"""
    section = text.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in section.splitlines() if line.startswith("|")]
    return rows[2:]


# ------------------------------------------------------------------ words and letters

def test_the_words_page_is_a_link_away_from_lesson_00():
    """By its name, from the folder that is copied."""
    assert "[words.md](words.md)" in page("00_start_here.ipynb")


def test_the_colour_letters_are_those_of_the_kit():
    """Every colour of the kit in its order, with its word, and letters of four other worlds."""
    rows = table(page("words.md"), "Colour letters")
    assert [(row[0], row[1]) for row in rows] == list(COLOUR_WORDS.items())
    assert {len(row) for row in rows} == {6} and all(cell for row in rows for cell in row)


def test_letters_that_mean_two_colours_are_all_named():
    """Whatever the table gives to two colours is in the warning below it."""
    rows = table(page("words.md"), "Colour letters")
    means = {}
    for row in rows:
        for letters in {each.strip() for cell in row[2:] for each in cell.split(",")} - {"\N{EN DASH}"}:
            means.setdefault(letters.upper(), set()).add(row[1])
    double = {letters for letters, colours in means.items() if len(colours) > 1}
    warned = page("words.md").partition("**The same letter")[2].partition("\n\n")[0]
    assert {"P"} <= double
    assert [letters for letters in double if not re.search(rf"\b{letters} is ", warned)] == []


def test_gauges_have_their_areas():
    """To three digits, and between the two metric sizes beside them."""
    rows = table(page("words.md"), "Wire: two worlds")
    assert len(rows) >= 6
    for gauge, area, below, above in rows:
        exact = cl.read_quantity(f"{gauge} AWG", "mm2")
        assert area == f"{exact:.3g}"
        assert float(below) <= exact <= float(above)


def test_bulbs_are_those_of_the_dataset():
    """Every near pair of 12 V, its filaments and its cap; none missing, none made up."""
    with (kit_folder("datasets") / "lamps.csv").open(encoding="utf-8", newline="") as file:
        lines = [line for line in csv.DictReader(file)
                 if line["family"] == "UNECE" and line["near name"] and line["rated [V]"] == "12"]
    wanted = {line["bulb"]: [line["near name"], str(sum(each["bulb"] == line["bulb"] for each in lines)), line["cap"]]
              for line in lines}
    assert {row[0]: row[1:] for row in table(page("words.md"), "Bulbs: two worlds")} == wanted


@pytest.mark.parametrize("name", ["words.md"])
def test_a_page_names_its_sources(name):
    """And says what is from memory."""
    sources = page(name).partition("## Where this comes from")[2]
    assert "from memory" in sources and len(sources.split()) > 30

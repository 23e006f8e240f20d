"""The grid: one table as text, as HTML and for a table program, with what stands out told in words and weight."""

import csv
import io
import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitlab.views.grid import FORMULA, GUARD, Grid, Html, guarded, read_csv

LAMPS = Grid("Invented board <1>", ("lamp switch", "E1", "E2"), [("off", "dark", "dark"), ("on", "steady 12.1 V", "flashing & dim")],
             {(1, 2): "rule: steady", (1, 1): ""})
CELLS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
LEADING = st.sampled_from([*FORMULA, GUARD, "", "\n", "\ufeff"])
TABLES = st.integers(1, 4).flatmap(lambda wide: st.lists(
    st.lists(st.builds(str.__add__, LEADING, CELLS), min_size=wide, max_size=wide), min_size=1, max_size=5))


def parsed(grid, **how):
    return ET.fromstring(f"<div>{grid.html(**how)}</div>")


def cells(table, tag="td"):
    return ["".join(cell.itertext()) for cell in table.iter(tag)]


def test_text_stands_in_columns_under_its_caption():
    """Counted by eye."""
    assert LAMPS.text() == ("Invented board <1>\n"
                            "lamp switch  E1             E2\n"
                            "off          dark           dark\n"
                            "on           steady 12.1 V  * flashing & dim (rule: steady)")


def test_html_has_scopes_and_a_caption_and_says_a_mark_in_words_and_weight():
    """Which a screen reader and a grey print need: no colour stands in it."""
    table = parsed(LAMPS).find("table")
    assert table.find("caption").text == "Invented board <1>"
    assert [head.get("scope") for head in table.find("thead").iter("th")] == ["col"] * 3
    assert [(head.get("scope"), head.text) for head in table.find("tbody").iter("th")] == [("row", "off"), ("row", "on")]
    assert cells(table) == ["dark", "dark", "steady 12.1 V", "* flashing & dim (rule: steady)"]
    assert [bold.text for bold in table.iter("b")] == ["steady 12.1 V", "* flashing & dim (rule: steady)"]
    assert not re.search(r"color|#[0-9a-f]{3}|background", LAMPS.html())


def test_only_the_rows_asked_for_are_shown_and_keep_their_numbers_and_marks():
    """As on a board, which lists failing rows only."""
    table = parsed(LAMPS, shown=[1], prefix="b-").find("table")
    assert [(row.get("id"), row.find("th").text) for row in table.find("tbody")] == [("b-2", "2")]
    assert cells(table) == ["on", "steady 12.1 V", "* flashing & dim (rule: steady)"]
    assert [head.text for head in table.find("thead").iter("th")] == ["No.", "lamp switch", "E1", "E2"]


def test_on_a_page_with_a_style_of_its_own_it_has_a_name_and_a_class_and_no_style():
    table = parsed(LAMPS, kind="rows").find("table")
    assert table.attrib == {"class": "rows", "aria-label": "Invented board <1>"} and "style=" not in LAMPS.html("rows")


def test_a_cell_may_go_on_over_the_next_and_last_rows_may_sum_up():
    grid = Grid("Sums", ("who", "a", "b"), [("seat 1", "none yet", None), ("seat 2", "1", "2"), ("all", "1", "2")], foot=1)
    table = parsed(grid).find("table")
    assert [cell.get("colspan") for cell in table.find("tbody").iter("td")] == ["2", None, None]
    assert cells(table.find("tfoot"), "th") == ["all"] and len(table.find("tbody")) == 2
    assert grid.text().splitlines()[2] == "seat 1  none yet"
    assert list(read_csv(grid.csv()))[1] == (2, ["seat 1", "none yet", ""])


def test_ready_html_stays_in_html_and_is_without_its_tags_elsewhere():
    grid = Grid("One", ("part",), [(Html("lamp, <i>5 &lt; 6</i>"),), ("way 1\nway <2>",)])
    assert "lamp, <i>5 &lt; 6</i>" in grid.html() and "way 1<br/>way &lt;2&gt;" in grid.html()
    assert grid.lines() == ["part", "lamp, 5 < 6", "way 1; way <2>"]


@pytest.mark.parametrize("grid", [Grid("", (), []), Grid("none", ("a",), []), Grid("no column", (), [()])])
def test_an_empty_grid_is_written_all_the_same(grid):
    """With nothing in it but what it is called."""
    assert grid.text().strip() == grid.caption + "\na" * bool(grid.heads) and parsed(grid).find("table/tbody") is not None
    assert [line for _, line in read_csv(grid.csv())] == [list(grid.heads)] * bool(grid.heads)


# ------------------------------------------------------------------ for a table program

@pytest.mark.outside("OWASP, CSV Injection")
@pytest.mark.parametrize("first", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_is_taken_for_a_formula(first):
    """The six beginnings that OWASP names."""
    text = Grid("", ("a",), [(f"{first}cmd|' /C calc'!A0",), (f"{first}1+1",)]).csv()
    assert [line[0][:2] for line in csv.reader(io.StringIO(text, newline=""))][1:] == [f"'{first}"] * 2


@pytest.mark.parametrize("number", ["-12.6", "+3", "-0", "-.5", "-1e-3", "-12,6", "+1.5E+09"])
def test_a_number_stays_a_number(number):
    """A negative reading is to be added up."""
    assert guarded(number) == number


@pytest.mark.parametrize("cell", ["-", "--1", "-1-1", "-1e", "+1+1", "-1 V", "-1\n", "=1", "-e5", "-1.2.3"])
def test_what_only_looks_like_a_number_is_guarded(cell):
    assert guarded(cell) == f"'{cell}"


@given(TABLES)
def test_what_is_written_is_read_back(rows):
    """Whatever letters its cells have, guarded or not, except line ends, which a grid parts its lines with."""
    rows = [[cell.replace("\n", "") for cell in row] for row in rows]
    text = Grid("", (), rows).csv()
    assert [line for _, line in read_csv(text)] == [row for row in rows if row]
    for line in csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")):
        assert not any(cell.startswith(FORMULA) and not re.fullmatch(r"[+-][\d.,eE+-]+", cell) for cell in line)


@given(TABLES)
def test_no_cell_becomes_a_tag(rows):
    """Letters that no page may hold are left out."""
    page = Grid("<b>", rows[0], rows).html()
    assert page.count("<td") + page.count('<th scope="row"') == sum(map(len, rows)) and page.count("<script") == 0
    ET.fromstring(page)

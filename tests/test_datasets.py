"""The kit's tables: each has a passport, says its units and how well every row is known, and agrees with itself."""

import csv
import re
from collections import Counter

import pytest

from circuitlab.ground.errors import FileError, UnknownName
from circuitlab.ground.places import kit_folder
from circuitlab.parts.catalogue import MARKS, bulbs, table, table_names
from circuitlab.parts.tables import rows_of

README = (kit_folder("datasets") / "README.md").read_text(encoding="utf-8")


def headings(name):
    with open(kit_folder("datasets") / f"{name}.csv", encoding="utf-8", newline="") as file:
        return next(csv.reader(file))


def told(name):
    """Return the (column, unit) pairs that the README gives for a table."""
    section = README.split(f"### `{name}.csv`\n")[1].split("\n#")[0]
    return re.findall(r"^\| `([^`]+)` \| ([^|]*?) \|", section, re.MULTILINE)


@pytest.mark.parametrize("name", table_names())
def test_the_readme_explains_every_column_with_its_unit(name):
    columns = told(name)
    assert [column for column, _ in columns] + ["mark", "source"] == headings(name)
    for column, unit in columns:
        assert (re.findall(r"\[(.+)\]$", column) or [""]) == [unit], column


@pytest.mark.parametrize("name", table_names())
def test_every_row_says_how_well_it_is_known_and_where_it_comes_from(name):
    rows = table(name)
    assert rows and all(row["mark"] in MARKS and row["source"] for row in rows)
    counts = Counter(row["mark"] for row in rows)
    wanted = " | ".join(str(number) for number in (len(rows), *(counts[mark] for mark in MARKS)))
    assert f"| `{name}.csv` | {wanted} |" in README, f"the README counts otherwise: {wanted}"


@pytest.mark.parametrize("name", table_names())
def test_a_table_is_small_plain_text(name):
    raw = (kit_folder("datasets") / f"{name}.csv").read_bytes()
    assert len(raw) <= 100_000 and b"\r" not in raw and raw.endswith(b"\n") and not raw.startswith(b"\xef\xbb\xbf")
    assert raw.decode("utf-8").isascii()


@pytest.mark.parametrize("name", table_names())
def test_no_row_stands_twice_and_every_number_is_above_zero(name):
    """Save for the least temperature of an insulation."""
    rows = table(name)
    assert len({tuple(row.values()) for row in rows}) == len(rows)
    for row in rows:
        for column, value in row.items():
            assert not isinstance(value, float) or value > 0 or column == "least [C]", (row, column)


def test_the_tables_are_those_the_readme_lists():
    assert sorted(re.findall(r"^### `(\w+)\.csv`$", README, re.MULTILINE)) == table_names()
    wanted = {"lamps", "tungsten", "wire_resistance", "fuses", "relays", "flashers", "leds", "diodes"}
    assert wanted <= set(table_names())


# ------------------------------------------------------------------ reading

def test_a_table_is_read_once_and_cannot_be_written_in():
    assert table("lamps") is table("lamps")
    with pytest.raises(TypeError):
        table("lamps")[0]["draws [W]"] = 5.0


def test_a_column_with_a_unit_is_numbers_and_an_empty_cell_is_none():
    (row,) = rows_of("thing,size [m],colour,mass [kg]\nrod,2,4,\n", "things.csv")
    assert dict(row) == {"thing": "rod", "size [m]": 2.0, "colour": "4", "mass [kg]": None}


@pytest.mark.parametrize("text, words", [
    ("a,b [m]\nx,1\ny\n", r"'t.csv' line 3 has 1 cells, its heading 2. Install the kit again"),
    ("a,b [m]\nx,long\n", r"'t.csv' line 2: 'b \[m\]' is 'long', which is no number")])
def test_a_damaged_table_is_named_with_its_line(text, words):
    with pytest.raises(FileError, match=words):
        rows_of(text, "t.csv")


def test_an_unknown_table_gets_those_there_are():
    with pytest.raises(UnknownName, match=r"the kit has no table 'lamp'. It has: .*Did you mean 'lamps'"):
        table("lamp")


# ------------------------------------------------------------------ lamps against each other

def two_per_bulb():
    by_bulb = {}
    for one in bulbs():
        by_bulb.setdefault((one.name, one.rated_volts), []).append(one)
    return by_bulb.items()


def test_a_bulb_has_one_filament_or_a_major_and_a_minor_in_one_cap():
    for _, filaments in two_per_bulb():
        assert [one.filament for one in filaments] in (["single"], ["major", "minor"])
        assert len({(one.cap, one.glass, one.near, one.family) for one in filaments}) == 1
        if len(filaments) == 2:
            assert filaments[0].watts > 2 * filaments[1].watts


def test_unece_names_begin_with_letters_and_us_names_are_numbers():
    assert all(one.name.isdecimal() == (one.family == "US") for one in bulbs())
    assert {one.family for one in bulbs()} == {"UNECE", "US"}
    assert {one.rated_volts for one in bulbs()} == {6, 12, 24}


@pytest.mark.parametrize("one", [one for one in bulbs() if one.near],
                         ids=lambda one: f"{one.name} {one.filament} {one.rated_volts:g} V")
def test_a_near_name_is_of_the_other_family_with_the_same_cap_and_about_the_watts(one):
    """Watts at the same volts, by the power 1.55 between the two test voltages; 25 % is what the README says."""
    others = [other for other in bulbs() if (other.name, other.rated_volts, other.filament)
              == (one.near, one.rated_volts, one.filament)]
    assert len(others) == 1
    (other,) = others
    assert other.family != one.family and other.cap == one.cap
    assert other.watts * (one.volts / other.volts) ** 1.55 == pytest.approx(one.watts, rel=0.25)


def test_listed_current_and_watts_of_a_lamp_agree():
    """Within the rounding of both: 2 %, which covers half a unit of the last printed digit of either."""
    rows = [row for row in table("lamps") if row["draws [A]"]]
    assert len(rows) > 20
    for row in rows:
        assert row["draws [A]"] * row["test [V]"] == pytest.approx(row["draws [W]"], rel=0.02), row["bulb"]


def test_the_maximum_of_a_unece_bulb_lies_a_little_above_its_rating():
    for row in table("lamps"):
        if row["family"] == "UNECE":
            assert 1.09 <= row["draws [W]"] / row["rated [W]"] <= 2.21, row["bulb"]


def test_fuse_gates_get_shorter_with_load_and_every_family_of_the_gates_is_one_of_fuses():
    gates = {}
    for row in table("fuse_gates"):
        gates.setdefault(row["family"], []).append((row["load [%]"], row["least [s]"], row["most [s]"] or float("inf")))
    assert {family.split(" from")[0] for family in gates} == {"blade", "mini blade", "maxi blade"}
    for rows in gates.values():
        assert rows == sorted(rows) and all(least < most for _, least, most in rows)
        for (_, least, most), (_, next_least, next_most) in zip(rows, rows[1:]):
            assert next_least < least and next_most < most


@pytest.mark.parametrize("name, size, value", [
    ("wire_resistance", "area [mm2]", "most [ohm/km]"), ("ampacity", "gauge [AWG]", "carries [A]"),
    ("fuse_for_wire", "gauge [AWG]", "largest fuse [A]")])
def test_more_copper_means_less_resistance_more_current_and_a_larger_fuse(name, size, value):
    """A gauge counts down as copper grows; so all three values fall along their column."""
    groups = {}
    for row in table(name):
        groups.setdefault(row.get("table"), []).append((row[size], row[value]))
    for rows in groups.values():
        values = [number for _, number in sorted(rows)]
        assert len(values) >= 5 and values == sorted(set(values), reverse=True)

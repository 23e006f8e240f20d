"""The kit's CSV files as rows: text stays text, a column with a unit in its heading becomes numbers."""

import csv
from functools import cache
from types import MappingProxyType

from ..ground.errors import FileError, shown, unknown_name
from ..ground.places import kit_folder

MARKS = ("verified", "secondary", "from memory", "common practice")


def table_names():
    """Return the names of the CSV files in ``datasets``, sorted, without ending. [text]"""
    return sorted(path.stem for path in kit_folder("datasets").glob("*.csv"))


def table(name):
    """Return the rows of one of the kit's tables, in the order of its file.

    Parameters
    ----------
    name : str
        Such as ``"lamps"``. [text]

    Returns
    -------
    tuple of mapping
        Column heading to value: a number where the heading has a unit in
        brackets, None where that cell is empty, text everywhere else.

    Raises
    ------
    UnknownName
        When the kit has no such table.
    FileError
        When the file is damaged.

    Examples
    --------
    >>> table("tungsten")[0]["resistivity [microohm cm]"]
    5.65
    """
    if not isinstance(name, str) or name not in table_names():
        raise unknown_name("the kit", "table", name, table_names())
    return _read(name)


@cache
def _read(name):
    return rows_of((kit_folder("datasets") / f"{name}.csv").read_text(encoding="utf-8"), f"{name}.csv")


def rows_of(text, where):
    """Return the rows of a CSV text; ``where`` names it in an error."""
    lines = csv.reader(text.splitlines())
    headings = next(lines, [])
    rows = []
    for cells in lines:
        if len(cells) != len(headings):
            raise FileError(f"'{where}' line {lines.line_num} has {len(cells)} cells, its heading {len(headings)}. "
                            "Install the kit again.", file=where)
        rows.append(MappingProxyType({heading: _value(heading, cell, where, lines.line_num)
                                      for heading, cell in zip(headings, cells)}))
    return tuple(rows)


def _value(heading, cell, where, line):
    """Return a cell as what its heading says it is."""
    if not heading.endswith("]"):
        return cell
    try:
        return float(cell) if cell else None
    except ValueError:
        raise FileError(f"'{where}' line {line}: '{heading}' is {cell!r}, which is no number. Install the kit again.",
                        file=where) from None


def named(wanted):
    """Return what is asked for as a name; a short whole number counts as one, such as the bulb 1156. [text]"""
    return wanted if isinstance(wanted, str) else shown(wanted)


def find(name, column, wanted):
    """Return the row of a table in which a column is what is wanted, or raise UnknownName."""
    rows = table(name)
    for row in rows:
        if row[column] == named(wanted):
            return row
    raise unknown_name("the kit's catalogue", column, wanted, [row[column] for row in rows])

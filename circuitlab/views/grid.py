"""Grid: the one record of a table, which writes itself as text, as HTML and as a file for a table program (CSV).

What stands out is marked: by a star and words where the cell alone does not say it, by weight besides; never by colour.
"""

import csv
import re
from dataclasses import dataclass, field
from html import unescape
from io import StringIO

from .style import safe

# Source: OWASP, CSV Injection: what table programs take for a formula begins so; the apostrophe before it is common practice
FORMULA, GUARD = ("=", "+", "-", "@", "\t", "\r"), "'"
MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"      # first in a file, so that table programs read it as UTF-8
SHORT = 80                                  # letters of a caption that stands in one line
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")
_LEFT = ' style="text-align:left;vertical-align:top;padding:2px 8px{}"'


class Html(str):
    """Ready HTML as a cell or head; text and files have it without its tags."""

    __slots__ = ()


@dataclass(frozen=True)
class Grid:
    """A table.

    Attributes
    ----------
    caption : str
        What it shows. [text]
    heads : sequence of str
        Of the columns; may be empty. [text]
    rows : sequence of sequence of str or None
        Cells; None where the cell before goes on. A line end parts what stands one below the other. [text]
    marks : dict of (int, int) to str
        Row and column of what stands out, and why, in words; empty words where the cell says it itself. [1], [text]
    named_by : int
        How many first cells name the row. [1]
    foot : int
        How many last rows sum up those above. [1]
    """

    caption: str
    heads: tuple
    rows: tuple
    marks: dict = field(default_factory=dict)
    named_by: int = 1
    foot: int = 0

    def lines(self):
        """Return its heads and rows as text in columns, without the caption. [text]"""
        cells = self._cells()
        widths = [max(map(len, column)) for column in zip(*cells)]
        return ["  ".join(cell.ljust(width) for cell, width in zip(line, widths)).rstrip() for line in cells]

    def text(self):
        """Return its caption, heads and rows as text."""
        return "\n".join([*filter(None, [self.caption]), *self.lines()])

    def csv(self):
        """Return its heads and rows for a table program; no cell of it is taken for a formula. [text]"""
        made = StringIO()
        lines = ([guarded(cell) for cell in line] for line in self._cells() if line)
        csv.writer(made, lineterminator="\r\n").writerows(lines)
        return MARK + made.getvalue()

    def html(self, kind="", shown=None, prefix="", current=None):
        """Return it as an HTML table.

        Parameters
        ----------
        kind : str
            Class of the table on a page whose style sheet and headings say the rest; without one it brings its own. [text]
        shown : iterable of int, optional
            Numbers of the rows to write, from 0; all unless given. [1]
        prefix : str
            Of the ids of rows that can be told by them: each has its number, from 1, before it and in its id. [text]
        current : int, optional
            Number of the row of now, which stands out. [1]
        """
        left = "" if kind else _LEFT.format("")
        numbers = range(len(self.rows)) if shown is None else list(shown)
        heads = [f'<th scope="col"{left}>{_markup(head)}</th>' for head in (*["No."] * bool(prefix), *self.heads)]
        body = [self._row(number, left, prefix, number == current) for number in numbers]
        foot = [body.pop() for number in reversed(numbers) if number >= len(self.rows) - self.foot][::-1]
        wide = ";white-space:nowrap" * (len(self.caption) <= SHORT)
        opened = (f'<table class="{kind}" aria-label="{safe(self.caption)}">' if kind else
                  f'<table style="border-collapse:collapse"><caption style="text-align:left{wide}">{safe(self.caption)}</caption>')
        return (opened + f"<thead><tr>{''.join(heads)}</tr></thead>" * bool(self.heads) + f"<tbody>{''.join(body)}</tbody>"
                + f"<tfoot>{''.join(foot)}</tfoot>" * bool(foot) + "</table>")

    def _row(self, number, left, prefix, is_current):
        """Return a row. [HTML]"""
        named = f' scope="row"{_LEFT.format(";font-weight:" + ("bold" if is_current else "normal")) if left else ""}'
        now = ' aria-current="true" style="font-weight:bold;outline:2px solid currentColor;outline-offset:-2px"' * is_current
        said = [f'<tr id="{safe(prefix)}{number + 1}"{now}><th{named}>{number + 1}</th>' if prefix else f"<tr{now}>"]
        cells = self.rows[number]
        for column, cell in enumerate(cells):
            if cell is None:
                continue
            over = next((end for end in range(column + 1, len(cells)) if cells[end] is not None), len(cells)) - column
            span = f' colspan="{over}"' * (over > 1)
            is_name = column < self.named_by and not prefix
            words = _markup(cell)
            if (number, column) in self.marks:
                words = f"<b>{_marked(words, safe(self.marks[number, column]))}</b>"
            said.append(f"<th{named}{span}>{words}</th>" if is_name else f"<td{left}{span}>{words}</td>")
        return f"{''.join(said)}</tr>"

    def _cells(self):
        """Return heads, where there are any, and rows in words, with those of the marks. [text]"""
        cells = [[_marked(_bare(cell), self.marks.get((row, column), "")) for column, cell in enumerate(each)]
                 for row, each in enumerate(self.rows)]
        return [[_bare(head) for head in self.heads]] * bool(self.heads) + cells


def _marked(words, why):
    return f"* {words} ({why})" if why else words


def _bare(cell):
    """Return a cell as text: without tags, in one line. [text]"""
    if isinstance(cell, Html):
        cell = unescape(re.sub("<[^>]*>", "", cell))
    return (cell or "").replace("\n", "; ")


def _markup(cell):
    return cell if isinstance(cell, Html) else safe(cell).replace("\n", "<br/>")


def guarded(cell):
    """Return a cell so that no table program takes it for a formula; a number stays one. [text]

    >>> guarded("=1+1"), guarded("-12.6"), guarded("'tis"), guarded("steady")
    ("'=1+1", '-12.6', "''tis", 'steady')
    """
    return f"{GUARD}{cell}" if cell.startswith((*FORMULA, GUARD)) and not _NUMBER.fullmatch(cell) else cell


def read_csv(text):
    """Yield the number of every line that is not empty and its cells, their guards taken off. [1], [text]

    Raises
    ------
    csv.Error
        For a cell that is far too long.
    """
    reader = csv.reader(StringIO(text.removeprefix(MARK), newline=""))
    for line in filter(None, reader):
        yield reader.line_num, [cell.removeprefix(GUARD) for cell in line]

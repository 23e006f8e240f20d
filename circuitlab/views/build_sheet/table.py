"""One way to write a table for print, on its own or split into halves side by side."""

from ..style import safe


def table(caption, heads, rows, split=False, kind=""):
    """Return a table; ``split`` sets it in two halves side by side when it has eight rows or more.

    Parameters
    ----------
    caption : str
        Said once, above the first half. [text]
    heads : sequence of str
        Column heads. [text]
    rows : sequence of sequence of str
        Ready HTML for every cell, the first cell naming the row. [HTML]
    kind : str
        Class of the table, for the style sheet. [text]
    """
    rows = list(rows)
    middle = -(-len(rows) // 2) if split and len(rows) >= 8 else len(rows)
    halves = [half for half in (rows[:middle], rows[middle:]) if half]
    head = "".join(f'<th scope="col">{safe(words)}</th>' for words in heads)
    written = "".join(f'<table class="{kind}"><thead><tr>{head}</tr></thead><tbody>'
                      + "".join(_row(row) for row in half) + "</tbody></table>" for half in halves)
    return f'<h2>{safe(caption)}</h2><div class="{"halves" if len(halves) > 1 else "whole"}">{written}</div>'


def _row(cells):
    first, *others = cells
    return f'<tr><th scope="row">{first}</th>{"".join(f"<td>{cell}</td>" for cell in others)}</tr>'

"""A table of the sheet: under its heading, or split into halves side by side."""

from ..style import safe


def table(grid, split=False, kind=""):
    """Return a grid for print; ``split`` sets it in two halves side by side when it has eight rows or more. [HTML]

    Parameters
    ----------
    grid : Grid
        Its caption is said once, above the first half.
    kind : str
        Class of the table, for the style sheet. [text]
    """
    count = len(grid.rows)
    middle = -(-count // 2) if split and count >= 8 else count
    written = [grid.html(kind, half) for half in (range(middle), range(middle, count)) if half]
    return f'<h2>{safe(grid.caption)}</h2><div class="{"halves" if len(written) > 1 else "whole"}">{"".join(written)}</div>'

"""Every key of the text file in words: one kind of table, or all of them as the page that travels with the lessons."""

from textwrap import fill

from ..arrangements.keys import file_table, table_kinds
from ..ground.errors import unknown_name

WIDE = 116      # letters of a line
PAGE = "your_own_circuit.md"
HEADING = "## Every key of the file"
_INTRO = """\
A circuit is one text file: lines `key = value` under headings in brackets. The name of a part, wire or control stands
in its heading: `[parts.K1]`, `[wires.W1]`, `[controls."brake pedal"]`. Text stands in quotes. Numbers stand alone, with
a point, in the unit told here: `length = 1.5`. A terminal is written part, colon, terminal: `"K1:87"`. What need not be
given may be left out. A file that the kit wrote ends with a line that says so: leave it there.

The examples below, one behind the other, are one file that can be read. It is no circuit to build.

`python -m circuitlab keys relay` prints the keys of one kind alone."""


def keys_text(kind=""):
    """Return the keys of one kind of table, or of all, as text that reads well in a window and on a page (Markdown).

    Parameters
    ----------
    kind : str
        One of ``table_kinds()``, or a word of it, capitals or not; all of them when empty. [text]

    Raises
    ------
    UnknownName
        For a kind that is none; near ones are named.
    """
    if not kind:
        return "\n\n".join([HEADING, _INTRO, *(keys_text(each) for each in table_kinds())])
    found = [each for each in table_kinds() if kind.lower() in (each.lower(), *each.lower().split())]
    if not found:
        raise unknown_name("the file of a circuit", "kind of table", kind, table_kinds())
    table = file_table(min(found, key=len))
    said = [f"### {table.kind}", fill(_plain(table.words), WIDE)]
    if table.terminals:
        said += ["Terminals:", "\n".join(_bullet(f"{_code(names)}: {words}.") for names, words in table.terminals.items())]
    said += ["Keys:", "\n".join(_bullet(f"{_allowed(keys)}. {keys.words}") for keys in table.keys)]
    return "\n\n".join([*said, f"```toml\n{table.example}\n```"])


def keys_page(page):
    """Return the page with everything from the heading of the keys on made anew; what stands above it stays. [text]"""
    return f"{page.partition(HEADING)[0]}{keys_text()}\n"


def _allowed(keys):
    return "; ".join(f"`{key}`: {allowed}" for key, allowed in keys.allowed.items())


def _code(names):
    """Return names of terminals, those that are no words set as they are typed. [text]"""
    return names if " " in names.replace(", ", "") else ", ".join(f"`{name}`" for name in names.split(", "))


def _bullet(words):
    return fill(_plain(words), WIDE, initial_indent="- ", subsequent_indent="  ", break_on_hyphens=False)


def _plain(words):
    return words.replace("``", "`")

"""What an answer is given with, one class for each kind of question.

Single choices are rows of checkboxes of which one is ticked at a time: in
JupyterLab a checkbox keeps its name, its state and its Space key, which radio
buttons, lists and toggle buttons do not all do.
"""

from dataclasses import replace
from html import escape

import ipywidgets as widgets

from ..arrangements import Plan, write_text
from ..teaching.kinds import BlankTable, Choice, Lines, Number, Sort, Wired

_WRAP = {"flex_flow": "row wrap", "align_items": "center"}


class OneOf:
    """Choose one.

    Parameters
    ----------
    options : sequence of str
        What can be chosen. [text]
    before : str
        Said on each box before its option. [text]
    value : str, optional
        Ticked to begin with. [text]
    upright : bool
        One below the other; for long words.
    """

    def __init__(self, options, before="", value=None, upright=False):
        width = "98%" if upright else "auto"
        self._boxes = {option: widgets.Checkbox(option == value, description=f"{before}{option}", indent=False,
                                                layout=widgets.Layout(width=width, min_height="28px", margin="0 14px 0 0"))
                       for option in options}
        for box in self._boxes.values():
            box.observe(self._ticked, names="value")
        self.box = (widgets.VBox if upright else widgets.HBox)(
            list(self._boxes.values()), layout=widgets.Layout(**({} if upright else _WRAP)))

    @classmethod
    def of(cls, options):
        """Return the choices of a question, one below the other where they are long."""
        return cls(options, upright=max(map(len, options)) > 30)

    def _ticked(self, change):
        if change["new"]:
            for box in self._boxes.values():
                if box is not change["owner"]:
                    box.value = False

    @property
    def value(self):
        """What is ticked, or None."""
        return next((option for option, box in self._boxes.items() if box.value), None)

    def put(self, value):
        """Tick a value, or nothing."""
        for option, box in self._boxes.items():
            box.value = option == value


class Single:
    """One widget that holds the whole answer, below a line of words where there are any.

    Parameters
    ----------
    field : ipywidgets.Widget
    empty : str or None
        Its value while nothing is answered. [text]
    above : ipywidgets.Widget, optional
    """

    def __init__(self, field, empty="", above=None):
        self._field, self._empty = field, empty
        self.box = widgets.VBox([above, field]) if above else field

    value = property(lambda self: self._field.value)

    def put(self, value):
        self._field.value = self._empty if value is None else str(value)


def _number(kind):
    return Single(widgets.Text(placeholder="number and unit", description=f"{kind.unit}:", style={"description_width": "initial"},
                               continuous_update=False))


def _lines(kind):
    said = _said(f"Terminals: {', '.join(kind.circuit.terminals)}. One connection to a line.")
    return Single(widgets.Textarea(placeholder="F1:2 - S1:1", description="lines:", rows=len(kind.circuit.wires) + 2,
                                   continuous_update=False, layout=widgets.Layout(width="min(90%, 420px)")), above=said)


class BlankTableEntry:
    """For each row and lamp, the looks to choose from; each box says its lamp, so that it can be told by ear."""

    def __init__(self, kind):
        self._cells, lines = {}, []
        for number in range(len(kind.rows)):
            words = kind.row_words(number)
            lines.append(_said(words[0].upper() + words[1:]))
            for lamp in kind.lamps:
                self._cells[lamp, number] = OneOf(kind.looks, f"{lamp} ")
                lines.append(self._cells[lamp, number].box)
        self._kind, self.box = kind, widgets.VBox(lines)

    @property
    def value(self):
        """For each lamp the look in each row, None where there is none yet."""
        return {lamp: [self._cells[lamp, number].value for number in range(len(self._kind.rows))]
                for lamp in self._kind.lamps}

    def put(self, value):
        for (lamp, number), cell in self._cells.items():
            looks = (value or {}).get(lamp, ())
            looks = [looks] if isinstance(looks, str) else looks
            cell.put(looks[number] if number < len(looks) else None)


class SortEntry:
    """For each item, its groups."""

    def __init__(self, kind):
        self._items = {item: OneOf(kind.groups, f"{item}: ") for item in kind.items}
        self.box = widgets.VBox([each.box for each in self._items.values()])

    @property
    def value(self):
        """Each item that has a group."""
        return {item: each.value for item, each in self._items.items() if each.value}

    def put(self, value):
        for item, each in self._items.items():
            each.put((value or {}).get(item))


class OnBoard:
    """What is wired on a board at the moment it is asked; there is nothing to fill in here."""

    def __init__(self, kind):
        self._board, self._began = kind.board, kind.board().arrangement
        self.box = _said("Commit judges what is wired on the board now.")

    @property
    def value(self):
        """The circuit as the text of its file, empty while no wire is other than at first."""
        now = replace(self._board().arrangement, plan=Plan())
        return "" if now.wires == self._began.wires else write_text(now)

    def put(self, value):
        """Leave the board as it is: what was committed an earlier time may be another circuit."""


def _said(words):
    return widgets.HTML(f"<div>{escape(words)}</div>")


_ENTRIES = {Choice: lambda kind: OneOf.of(kind.options), Number: _number,
            BlankTable: BlankTableEntry, Sort: SortEntry, Lines: _lines, Wired: OnBoard}


def entry_for(kind):
    """Return fresh widgets for a kind of question."""
    return _ENTRIES[type(kind)](kind)

"""What an answer is given with, one class for each kind of question.

Single choices are rows of checkboxes of which one is ticked at a time: in
JupyterLab a checkbox keeps its name, its state and its Space key, which radio
buttons, lists and toggle buttons do not all do.
"""

from html import escape

import ipywidgets as widgets

from ..teaching.kinds import Choice, Grid, Lines, Number, Sort

_WRAP = {"flex_flow": "row wrap", "align_items": "center"}


class OneOf:
    """Choose one.

    Parameters
    ----------
    options : dict of str to str
        The words on each box, and the value it stands for. [text]
    value : str, optional
        Ticked to begin with. [text]
    upright : bool
        One below the other; for long words.
    """

    def __init__(self, options, value=None, upright=False):
        width = "98%" if upright else "auto"
        self._boxes = {worth: widgets.Checkbox(worth == value, description=words, indent=False,
                                               layout=widgets.Layout(width=width, min_height="28px", margin="0 14px 0 0"))
                       for words, worth in options.items()}
        for box in self._boxes.values():
            box.observe(self._ticked, names="value")
        self.box = (widgets.VBox if upright else widgets.HBox)(
            list(self._boxes.values()), layout=widgets.Layout(**({} if upright else _WRAP)))

    def _ticked(self, change):
        if change["new"]:
            for box in self._boxes.values():
                if box is not change["owner"]:
                    box.value = False

    @property
    def value(self):
        """What is ticked, or None."""
        return next((worth for worth, box in self._boxes.items() if box.value), None)

    def put(self, value):
        """Tick a value, or nothing."""
        for worth, box in self._boxes.items():
            box.value = worth == value


class ChoiceEntry:
    """One of a few answers."""

    def __init__(self, kind):
        self._choice = OneOf({option: option for option in kind.options}, upright=max(map(len, kind.options)) > 30)
        self.box = self._choice.box

    value = property(lambda self: self._choice.value)

    def put(self, value):
        self._choice.put(value)


class NumberEntry:
    """A field for a number and its unit."""

    def __init__(self, kind):
        self._typed = widgets.Text(placeholder="a number", description=f"{kind.unit}:",
                                   style={"description_width": "initial"}, continuous_update=False)
        self.box = self._typed

    value = property(lambda self: self._typed.value)

    def put(self, value):
        self._typed.value = "" if value is None else str(value)


class GridEntry:
    """For each row and lamp, the looks to choose from; each box says its lamp, so that it can be told by ear."""

    def __init__(self, kind):
        self._cells, lines = {}, []
        for number in range(len(kind.rows)):
            words = kind.row_words(number)
            lines.append(_said(words[0].upper() + words[1:]))
            for lamp in kind.lamps:
                self._cells[lamp, number] = OneOf({f"{lamp} {look}": look for look in kind.looks})
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
        self._items = {item: OneOf({f"{item}: {group}": group for group in kind.groups}) for item in kind.items}
        self.box = widgets.VBox([each.box for each in self._items.values()])

    @property
    def value(self):
        """Each item that has a group."""
        return {item: each.value for item, each in self._items.items() if each.value}

    def put(self, value):
        for item, each in self._items.items():
            each.put((value or {}).get(item))


class LinesEntry:
    """A field for connections, one to a line."""

    def __init__(self, kind):
        ends = ", ".join(terminal for terminal in kind.circuit.terminals)
        self._typed = widgets.Textarea(placeholder="F1:2 - S1:1", description="lines:", rows=len(kind.circuit.wires) + 2,
                                       continuous_update=False, layout=widgets.Layout(width="min(90%, 420px)"))
        self.box = widgets.VBox([_said(f"Terminals: {ends}. One connection to a line."), self._typed])

    value = property(lambda self: self._typed.value)

    def put(self, value):
        self._typed.value = str(value or "")


def _said(words):
    return widgets.HTML(f"<div>{escape(words)}</div>")


_ENTRIES = {Choice: ChoiceEntry, Number: NumberEntry, Grid: GridEntry, Sort: SortEntry, Lines: LinesEntry}


def entry_for(kind):
    """Return fresh widgets for a kind of question."""
    return _ENTRIES[type(kind)](kind)

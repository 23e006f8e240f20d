"""The look-up bench: a proof, a fault table or a comparison, each row one key away from its live schematic."""

from html import escape
from itertools import count

import ipywidgets as widgets

from ..views.schematic import fill, lay_out
from .guard import Guard
from .looked_up import lamps_of_all, looked_up, phases_of_all
from .spoken import outermost
from .stopped import picture_place

MOST_SHOWN = 500        # lines in the table and the chooser; a page of more turns slow
# the chosen line: between bars, and never scrolled out of its table
_CHOSEN = ("{box-shadow:inset 0 2px currentColor,inset 0 -2px currentColor;position:sticky;top:-1px;bottom:-1px;"
           "background:var(--jp-layout-color2,Canvas)}")
_NUMBER = count(1)
_NOTHING = "nothing"
_WORDS = {"description_width": "56px"}


class LookUp:
    """A table beside the live schematic of the row that is chosen; see :func:`look_up`.

    Attributes
    ----------
    only : Checkbox
        Whether only what fails, has an effect or changed is listed.
    chosen : Select
        The line of the table that is looked up, by its number.
    rows : Select
        The row a fault is looked at in; of a proof or comparison its one row.
    phase : ToggleButtons
        Which phase of the flashers is drawn.
    lamp : ToggleButtons
        The lamp whose current is traced.
    steps : dict of str to Button
        By the words on them, such as ``Next row``: JupyterLab keeps the arrow keys for itself.
    sights : list of Sight or None
        What is drawn; every picture reads it.
    sentence : str
        What is said of the row.
    """

    def __init__(self, what):
        self._what = looked_up(what)
        self._prefix, self._guard, self._is_setting = f"look-up{next(_NUMBER)}-", Guard(), False
        self._phases = phases_of_all(self._what.arrangements)
        self._by_number = {line.number: line for line in self._what.lines}
        self.sights, self.sentence = [], ""
        self._make_widgets()
        self.view = self._lay_out()
        self._guard.watch(self._list_lines)()

    def _make_widgets(self):
        style = {"style": _WORDS, "layout": widgets.Layout(width="auto")}
        lines = self._what.lines
        outstanding = sum(line.stands_out for line in lines)
        self.only = widgets.Checkbox(0 < outstanding < len(lines), disabled=not outstanding, indent=False,
                                     description=f"{self._what.only} ({outstanding} of {len(lines)})")
        self.chosen = widgets.Select(description=self._what.line_word, rows=9, **style)
        self.rows = widgets.Select(description="in row", rows=5, **style)
        self.phase = widgets.ToggleButtons(
            description="phase", style={"button_width": "auto", **_WORDS},
            options=[(", ".join(f"{name} {phase}" for name, phase in each.items()), number)
                     for number, each in enumerate(self._phases)])
        lamps = lamps_of_all(self._what.arrangements)
        self.lamp = widgets.ToggleButtons(options=[_NOTHING, *lamps], description="trace",
                                          tooltips=["trace nothing", *(f"trace the current to {lamp}" for lamp in lamps)],
                                          style={"button_width": "auto", **_WORDS})
        self.steps = {}
        for word, select in (("row", self.rows), (self._what.line_word, self.chosen)):
            for side, by in (("Previous", -1), ("Next", 1)):
                self.steps[f"{side} {word}"] = self._step_button(f"{side} {word}", select, by)
        self._table, self._said, self._mark = (widgets.HTML("") for _ in range(3))
        self._pictures = [picture_place(widgets.HTML("")) for _ in self._what.sights(lines[0], *self._first(lines[0]))]
        for widget, handler in ((self.only, self._list_lines), (self.chosen, self._choose), (self.rows, self._start),
                                (self.phase, self._redraw), (self.lamp, self._redraw)):
            widget.observe(self._when_not_setting(self._guard.watch(handler)), names="value")

    def _step_button(self, words, select, by):
        """Return a button that goes on in a chooser by one; at its ends it stays."""
        def step(_):
            select.index = min(max(select.index + by, 0), len(select.options) - 1)
        button = widgets.Button(description=words, tooltip=words, layout=widgets.Layout(width="auto"))
        button.on_click(step)
        return button

    def _step_pair(self, word):
        pair = [self.steps[f"Previous {word}"], self.steps[f"Next {word}"]]
        return widgets.HBox(pair, layout=widgets.Layout(margin="0 0 0 62px"))

    def _first(self, line):
        """Return the positions, phases and lamp a line is drawn with at first."""
        positions = self._what.rows(line)[0][1]
        lamp, phases = self._what.start(line, positions)
        return positions, phases, lamp

    def _when_not_setting(self, handler):
        return lambda _: None if self._is_setting else handler()

    def _lay_out(self):
        across = {"flex_flow": "row wrap", "width": "100%"}
        choosers = [[self.chosen, self._step_pair(self._what.line_word)]]
        choosers += [[self.rows, self._step_pair("row")]] if self._what.line_word == "fault" else []
        choosers.append([self.phase] * (len(self._phases) > 1) + [self.lamp] * (len(self.lamp.options) > 1))
        boxes = [widgets.VBox(each, layout=widgets.Layout(flex="1 1 340px", min_width="300px")) for each in choosers]
        left = widgets.VBox([self.only, widgets.HBox(boxes, layout=widgets.Layout(**across))],
                            layout=widgets.Layout(flex="1 1 440px", min_width="300px"))
        for picture in self._pictures:
            picture.layout = widgets.Layout(flex="1 1 420px", min_width="300px")
        pictures = widgets.HBox(self._pictures, layout=widgets.Layout(**across))
        right = widgets.VBox([self._said, pictures], layout=widgets.Layout(flex="9 1 560px", min_width="320px"))
        below = widgets.HBox([left, right], layout=widgets.Layout(**across))
        return outermost(self._table, self._mark, self._guard.place, below)

    # -------------------------------------------------------------- what a hand does

    def _list_lines(self):
        """List the lines asked for, in the table and in the chooser, and stay at the chosen one where it is listed."""
        wanted = [line for line in self._what.lines if line.stands_out or not self.only.value]
        shown, left = wanted[:MOST_SHOWN], len(wanted) - MOST_SHOWN
        more = f"<p>{left} more are not listed here.</p>" if left > 0 else ""
        table = self._what.grid.html(shown=[line.number - 1 for line in shown], prefix=f"{self._prefix}line-")
        self._table.value = (f'<div tabindex="0" role="region" aria-label="{escape(self._what.grid.caption)}" '
                             f'style="max-height:240px;overflow:auto;line-height:1.4">{table}{more}</div>')
        before, numbers = self.chosen.value, [line.number for line in shown]
        self._set(self.chosen, [(f"{line.number}. {line.words}", line.number) for line in shown],
                  before if before in numbers else numbers[0])
        if self.chosen.value != before:
            self._choose()

    def _choose(self):
        """Go to the chosen line, and there to the row that tells most."""
        rows = self._what.rows(self._by_number[self.chosen.value])
        self._set(self.rows, [(words, number) for number, (words, _) in enumerate(rows)], 0)
        self._start()

    def _start(self):
        """Show the phases and trace the lamp that give the row away."""
        lamp, phases = self._what.start(*self._line_and_positions())
        fitting = [number for number, each in enumerate(self._phases)
                   if all(each.get(name, phase) == phase for name, phase in phases.items())]
        self._set(self.phase, self.phase.options, fitting[0] if fitting else self.phase.value)
        self._set(self.lamp, self.lamp.options, lamp or _NOTHING)
        self._redraw()

    def _set(self, widget, options, value):
        self._is_setting = True
        try:
            if widget.options != tuple(options):
                widget.options = options
            widget.value = value
        finally:
            self._is_setting = False

    # -------------------------------------------------------------- what is shown

    def _line_and_positions(self):
        line = self._by_number[self.chosen.value]
        return line, self._what.rows(line)[self.rows.value][1]

    def _redraw(self):
        line, positions = self._line_and_positions()
        phases = self._phases[self.phase.value] if self._phases else {}
        lamp = "" if self.lamp.value == _NOTHING else self.lamp.value
        pictures = self._what.sights(line, positions, phases, lamp)
        self.sights = [sight for *_, sight in pictures]
        drawn = [self._drawn(place, *picture) for place, picture in enumerate(pictures)]
        said = [f"{line.number}. {line.words}.", *self._what.sentences(line, positions)]
        said += [f"{head}: {sight.path.sentence}." if head else f"{sight.path.sentence}." for head, _, sight in pictures
                 if sight and sight.path and not any(sight.path.sentence in sentence for sentence in said)]
        self.sentence = " ".join(said)
        for picture, markup in zip(self._pictures, drawn):
            picture.value = markup
        self._mark.value = f"<style>#{self._prefix}line-{line.number} > * {_CHOSEN}</style>"
        self._said.value = (f'<div role="status" aria-live="polite" style="line-height:1.4"><b>{escape(said[0])}</b>'
                            f"<ul>{''.join(f'<li>{escape(sentence)}</li>' for sentence in said[1:])}</ul></div>")

    def _drawn(self, place, head, arrangement, sight):
        """Return one picture under its head; every sheet is laid out like the first arrangement's."""
        title = f"<b>{escape(head)}</b>" if head else ""
        if sight is None:
            return f"{title}<p>There is no such row here.</p>"
        sheet = lay_out(arrangement, lay_out(self._what.arrangements[0]))
        return title + fill(sheet, arrangement, sight.point, f"{self._prefix}{place}-", trace=sight.trace,
                            marked=sight.marked)

    def __repr__(self):
        return f"{self._what.arrangements[0].title}: rows to look up. Write it last in a cell of a notebook to see it."

    def _repr_mimebundle_(self, **options):
        return self.view._repr_mimebundle_(**options)


def look_up(what):
    """Return a bench that shows the live schematic of every row of a table; write it last in a cell to see it.

    Parameters
    ----------
    what : Proof, FaultTable or Comparison
        As ``prove``, ``fault_table`` and ``compare`` make them.

    Returns
    -------
    LookUp

    Raises
    ------
    ArrangementError
        For anything else.

    Examples
    --------
    >>> import circuitlab as cl
    >>> bench = look_up(cl.prove(cl.changed(cl.arrangement("one-fused-lamp"), cl.Hold("F1", "blown"))))
    >>> bench.sentence[:41]
    '2. lamp switch on. E1 dark, wanted steady'
    """
    return LookUp(what)

"""The what-if bench: changes by card or typed sentence, and the circuit before and after side by side."""

from functools import partial
from html import escape
from itertools import count

import ipywidgets as widgets

from ..arrangements import FORMS, Changes, save_changes
from ..parts import Chassis, Flasher, Fuse, Lamp, LedLamp, Relay
from ..reasoning import trial
from ..reasoning.comparing import compare
from ..views.compare_words import difference_words, faults_html, fast_words, lamp_tables_html, thing_lines
from ..views.schematic import fill, lay_out
from ..views.tables import status
from ..views.time_chart import time_chart
from .errand import Errand
from .guard import Guard
from .panel import UNTIL, beside, buttons, headed, slider
from .spoken import outermost
from .stopped import picture_place

_NUMBER = count(1)
_HELP = "; ".join(f"{form}" for form in FORMS.values())


class WhatIf:
    """A bench that changes an arrangement and shows what that does; see :func:`what_if`.

    Attributes
    ----------
    changes : Changes
        The list of changes so far; ``changes.after`` is the arrangement as it is now.
    comparison : Comparison
        Before against after; every table reads it.
    cards : dict of str to Button
        By the words on them.
    undos : list of Button
        One for each change made, oldest first.
    typed : Text
        Where a sentence is typed; Enter makes the change.
    controls : dict of str to ToggleButtons
    only : Checkbox
        Whether the table lists only the rows that look different.
    faults : Errand
        Compares every single fault before and after when its button is pressed; another press stops it.
    sentence : str
        The status sentence.
    """

    def __init__(self, arrangement, cards=None, positions=()):
        self.changes = arrangement if isinstance(arrangement, Changes) else Changes(arrangement)
        self._ready = dict(ready_changes(self.changes.before) if cards is None else cards)
        self._prefix, self._guard = f"what-if{next(_NUMBER)}-", Guard()
        self._start = self.changes.after.positions(positions)
        self.controls, self.undos, self.comparison, self.sentence = {}, [], None, ""
        self._make_widgets()
        self.view = self._lay_out()
        self._guard.watch(self._changed)()

    def __repr__(self):
        return f"A what-if bench for '{self.changes.before.title}'. Write it last in a cell of a notebook to see it."

    def _make_widgets(self):
        button, watch = self._guard.button, self._guard.watch
        make = watch(self._type)
        self.typed = _field("change", placeholder="swap K1:87 and K1:87a", tooltip="type a change and press Enter")
        self.typed.observe(lambda change: change["new"].strip() and make(), names="value")
        self.make_button = button("Make the change", self._type, "makes what is typed above")
        self.undo_button = button("Undo the last", self.undo, "takes the last change back")
        self.clear_button = button("Undo all", self._undo_all, "takes every change back")
        self.cards = {words: button(words, partial(self._play_card, words), words, width="290px") for words in self._ready}
        self.moment = slider("moment, s", 2.2, 0.0, UNTIL, 0.02, ".2f")
        self.moment.observe(watch(lambda _: self._redraw(True)), names="value")
        self.file = _field("file", value=f"{self.changes.before.name or 'my'}.changes")
        self.save_button = button("Save the changes", self._save, "writes the list into the file named above")
        self.only = widgets.Checkbox(False, description="changed rows only", indent=False)
        self.only.observe(watch(lambda _: self._list_rows()), names="value")
        self.faults = Errand("Compare every fault", self._compare_faults, self._show_faults, self._guard)
        self._controls, self._list, self._lines = widgets.VBox(), widgets.VBox(), []
        self._table, self._differences, self._status, self._fault_table = (widgets.HTML("") for _ in range(4))
        self._pictures = [[picture_place(widgets.HTML("")) for _ in range(2)] for _ in range(2)]

    def _lay_out(self):
        left = [
            *headed("Cards", self.cards.values()),
            *headed("Typed", [self.typed, self.make_button]),
            widgets.HTML(f"<details><summary>What can be typed</summary>{escape(_HELP)}</details>"),
            *headed("Changes made", [self._list, self.undo_button, self.clear_button, self.file, self.save_button]),
            *headed("Controls", [self._controls, self.moment]),
        ]
        pairs = [widgets.HBox([widgets.VBox(headed(head, [picture]), layout=widgets.Layout(flex="1 1 560px", min_width="320px"))
                               for head, picture in zip(("Before", "After"), pair)],
                              layout=widgets.Layout(flex_flow="row wrap", width="100%")) for pair in zip(*self._pictures)]
        right = [self.only, self._table, *pairs, self._differences, self.faults.view, self._fault_table]
        return outermost(self._guard.place, self._status, beside(left, right, "1 1 640px"))

    # -------------------------------------------------------------- what a hand does

    def make(self, *steps, name=""):
        """Make one change of one or more steps, as records or sentences; on an error the circuit is as before."""
        self._set(self.changes.make(*steps, name=name))

    def undo(self, place=-1):
        """Undo the last change, or the one at a place of the list. [1]"""
        self._set(self.changes.undo(place))

    def _set(self, changes):
        before, self.changes = self.changes, changes
        try:
            self._changed()
        except Exception:
            self.changes = before
            self._changed()
            raise

    def _type(self):
        if self.typed.value.strip():
            self.make(self.typed.value)
            self.typed.value = ""

    def _play_card(self, words):
        steps = self._ready[words]
        self.make(*(steps if isinstance(steps, list | tuple) else (steps,)), name=words)

    def _undo_all(self):
        self._set(Changes(self.changes.before))

    def _save(self):
        saved = save_changes(self.changes, self.file.value)
        self._tell(f"The changes are in {self.file.value}.{saved.before}")

    # -------------------------------------------------------------- what is shown

    def _changed(self):
        self.comparison = compare(self.changes.before, self.changes.after)
        self.faults.stop()
        self._fault_table.value = ""
        self._list_rows()
        said = [*thing_lines(self.comparison), *map(difference_words, self.comparison.differences)]
        self._differences.value = f"<ul>{''.join(f'<li>{escape(line)}</li>' for line in said)}</ul>" if said else ""
        self._list_changes()
        self._list_controls()
        self._redraw()

    def _list_rows(self):
        table = lamp_tables_html(self.comparison, self.only.value)
        self._table.value = f'<div tabindex="0" style="max-height:470px;overflow:auto">{table}</div>'

    def _compare_faults(self, progress):
        return compare(self.comparison.before, self.comparison.after, faults=True, progress=progress)

    def _show_faults(self, comparison):
        self._fault_table.value = (f'<div tabindex="0" role="status" style="max-height:470px;overflow:auto">'
                                   f"{faults_html(comparison)}</div>")

    def _list_changes(self):
        """Show a line for each change; lines are kept and written anew, so that the keyboard stays where it is."""
        entries = self.changes.entries
        while len(self._lines) < len(entries):
            self._lines.append(self._new_line(len(self._lines)))
        for line, entry in zip(self._lines, entries):
            said = entry.name if entry.name in entry.sentences else f"{entry.name}: {'; '.join(entry.sentences)}"
            line.children[0].tooltip = f"undo {entry.name}"
            line.children[1].value = f'<span style="line-height:1.3">{escape(said)}</span>'
        self.undos = [line.children[0] for line in self._lines[:len(entries)]]
        self._list.children = self._lines[:len(entries)] or [widgets.HTML("none yet")]

    def _new_line(self, place):
        button = self._guard.button(f"Undo {place + 1}", partial(self.undo, place), width="72px", flex="0 0 auto")
        return widgets.HBox([button, widgets.HTML("")])

    def _list_controls(self):
        """Keep a row of buttons for every control that either arrangement has."""
        both = self.changes.before.controls + self.changes.after.controls
        wanted = {control.name: control for control in both}
        for name, control in wanted.items():
            if name not in self.controls or set(self.controls[name].options) != set(control.shown):
                self.controls[name] = buttons(control, self._start.get(name, control.rest))
                self.controls[name].observe(self._guard.watch(lambda _: self._redraw()), names="value")
        self.controls = {name: self.controls[name] for name in wanted}
        self._controls.children = list(self.controls.values()) or [widgets.HTML("There is no control to move.")]

    def _redraw(self, moment_only=False):
        both = self.changes.before, self.changes.after
        if not moment_only:
            where = {name: buttons.value for name, buttons in self.controls.items()}
            self._courses = [trial(each, {name: position for name, position in where.items()
                                          if name in each.controls_by_name
                                          and position in each.controls_by_name[name].positions}, until=UNTIL)
                             for each in both]
        changed = dict.fromkeys(thing.name for thing in self.comparison.things)
        for place, (course, (schematic, chart)) in enumerate(zip(self._courses, self._pictures)):
            moment, prefix = min(self.moment.value, course.until), f"{self._prefix}{place}-"
            sheet = lay_out(course.arrangement, lay_out(self.changes.before))
            marked = [name for name in changed if name in course.arrangement.by_name]
            schematic.value = fill(sheet, course.arrangement, course.at(moment), prefix, marked=marked)
            chart.value = time_chart(course, prefix=prefix, moment=moment) if course.until else escape(_at_once(course))
        after = self._courses[1]
        now = status(after, self.moment.value) if after.until else _at_once(after)
        different = len(self.comparison.changed_rows)
        said = (f"{different} of {len(self.comparison.rows)} rows look different" if different
                else "Every lamp looks the same in all rows")
        said += f"; {hurry}" if (hurry := fast_words(self.comparison)) else ""
        made = len(self.changes.entries)
        self._tell(f"{made} change{'' if made == 1 else 's'} made. {said}. After: {now}")

    def _tell(self, sentence):
        self.sentence = sentence
        self._status.value = f'<div role="status" aria-live="polite">{escape(sentence)}</div>'

    def _repr_mimebundle_(self, **options):
        return self.view._repr_mimebundle_(**options)


def _field(words, **more):
    return widgets.Text(description=words, continuous_update=False, style={"description_width": "110px"},
                        layout=widgets.Layout(width="290px"), **more)


def _at_once(course):
    """Say why there is no record to draw. [text]"""
    return f"There is nothing to play: {course.sentence}."


def what_if(arrangement, cards=None, positions=()):
    """Return a bench on which an arrangement can be changed; write it last in a cell to see it.

    Parameters
    ----------
    arrangement : Arrangement or Changes
        A list of changes is gone on with.
    cards : dict of str to change, str, or list of these, optional
        Ready changes by the words on their card; a few that fit the arrangement unless given.
    positions : dict of str to str, optional
        Where the controls stand to begin with. [text]

    Returns
    -------
    WhatIf

    Examples
    --------
    >>> import circuitlab as cl
    >>> bench = what_if(cl.arrangement("one-fused-lamp"))
    >>> bench.typed.value = "set F1 rating 1 A"
    >>> bench.changes.sentences, [row.lamps for row in bench.comparison.changed_rows]
    (('set F1 rating 1 A',), [{'E1': ('steady', 'dark')}])
    """
    return WhatIf(arrangement, cards, positions)


def ready_changes(arrangement):
    """Return a few changes that fit an arrangement, by the words of their cards: records and typed sentences."""
    cards = {}
    wired = [relay for relay in arrangement.of_kind(Relay) if arrangement.wires_at.get(f"{relay.name}:87a")]
    for relay in wired[:1]:
        cards[f"87 and 87a of {relay.name} mixed up"] = f"swap {relay.name}:87 and {relay.name}:87a"
    for flasher in arrangement.of_kind(Flasher)[:1]:
        cards[f"flasher {flasher.name} dead"] = f"hold {flasher.name} off"
    for fuse in arrangement.of_kind(Fuse)[:2]:
        cards[f"fuse {fuse.name} blown"] = f"blow {fuse.name}"
    bulbs = [lamp for lamp in arrangement.of_kind(Lamp) if not isinstance(lamp, LedLamp)]
    if bulbs:
        cards["LED lamps for all bulbs"] = [f"replace {lamp.name} by LED lamp" for lamp in bulbs]
    ground = next((wire for wire in arrangement.wires if {end.partition(":")[0] for end in wire.terminals} &
                   {chassis.name for chassis in arrangement.of_kind(Chassis)} and bulbs
                   and wire.start.startswith(f"{bulbs[0].name}:")), None)
    if ground:
        cards[f"ground of {bulbs[0].name} lost"] = f"lose {ground.name} at {ground.end}"
    return cards

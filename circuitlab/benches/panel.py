"""The bench: controls on the left, the live schematic and time chart beside them, one status sentence below."""

from html import escape
from itertools import count

import ipywidgets as widgets

from ..arrangements import changed
from ..ground.errors import ArrangementError
from ..parts import Battery, Flasher, Relay
from ..reasoning import flash, pedals, trial, with_settings
from ..views.tables import status
from ..views.time_chart import chart_layers
from .ahead import Trials
from .guard import Guard
from .layers import LayeredSchematic, Layers
from .spoken import outermost
from .stopped import picture_place

UNTIL = 4.0     # s, length of a trial
_NUMBER = count(1)
_MOMENT = "slider", "moment"    # the one slider that no trial hangs on
_WIDE = {"description_width": "110px"}


class Bench:
    """One bench for any arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    faults : dict of str to change or tuple of changes, optional
        What the learner may break and put back, by the words on its button.
    positions : dict of str to str, optional
        Where the controls stand to begin with. [text]
    chart, schematic : bool
        Which pictures to show.
    volts : tuple of (float, float)
        Ends of the supply slider; it always reaches the arrangement's own voltage. [V]

    Attributes
    ----------
    controls : dict of str to ToggleButtons
    sliders : dict of str to FloatSlider
    faults : dict of str to Checkbox
    more : Checkbox
        Whether the time chart shows relay states and currents too.
    course : TimeCourse
        What is on show; every number comes from it.
    sentence : str
        The status sentence.

    Notes
    -----
    Setting ``bench.controls["turn lever"].value = "left"`` does what a click does.
    """

    def __init__(self, arrangement, faults=(), positions=(), schematic=True, chart=True, volts=(9.0, 15.0)):
        self.arrangement, self.changes, self._volts = arrangement, dict(faults), volts
        self._prefix = f"bench{next(_NUMBER)}-"
        self._guard = Guard()
        self._schematic = LayeredSchematic(self._prefix) if schematic else None
        self._chart = Layers(2) if chart else None
        self._status = widgets.HTML("")
        self.course, self._measured, self.sentence = None, {}, ""
        self.trials, self._move = Trials(self._played), None
        start = arrangement.positions(positions)
        self.controls = {control.name: _buttons(control, start[control.name]) for control in arrangement.controls}
        self.sliders = dict(self._make_sliders())
        self.faults = {words: widgets.Checkbox(False, description=words, indent=False) for words in self.changes}
        self.more = widgets.Checkbox(False, description="relays and amps too", indent=False)
        redraw = self._guard.watch(self._moved)
        for widget in (*self.controls.values(), *self.sliders.values(), *self.faults.values(), self.more):
            widget.observe(redraw, names="value")
        self.view = self._lay_out()
        self._guard.watch(self._redraw)()

    def _make_sliders(self):
        battery, (low, high) = self.arrangement.battery, self._volts
        words = "supply volts" if len(self.arrangement.of_kind(Battery)) == 1 else "volts of each battery"
        yield "volts", _slider(words, battery.voltage, min(low, battery.voltage),
                               max(high, battery.voltage), 0.1)
        flashers = self.arrangement.of_kind(Flasher)
        if flashers:
            yield "rate", _slider("flashes a minute", flashers[0].rate, min(30.0, flashers[0].rate),
                                  max(200.0, flashers[0].rate), 1, ".0f")
            yield "on_time", _slider("on-time %", 100 * flashers[0].on_share, 10, 90, 1, ".0f")
        if pedals(self.arrangement):
            yield "pedal_at", _slider("pedal at, s", 1.5, 0.0, UNTIL - 0.5, 0.1)
            yield "pedal_for", _slider("pedal held, s", 1.5, 0.1, UNTIL, 0.1)
        if self.arrangement.controls:
            yield "moment", _slider("moment, s", 2.2, 0.0, UNTIL, 0.02, ".2f")

    def _lay_out(self):
        left = [widgets.HTML("<b>Supply</b>"), self.sliders["volts"]]
        if self.controls:
            left += [widgets.HTML("<b>Controls</b>"), *self.controls.values(),
                     *(self.sliders[name] for name in ("pedal_at", "pedal_for") if name in self.sliders)]
        else:
            left.append(widgets.HTML("This arrangement has no control to move."))
        if "rate" in self.sliders:
            left += [widgets.HTML("<b>Flasher</b>"), self.sliders["rate"], self.sliders["on_time"]]
        if self.faults:
            left += [widgets.HTML("<b>Break it, put it back</b>"), *self.faults.values()]
        if "moment" in self.sliders:
            left += [widgets.HTML("<b>Drawn moment</b>"), self.sliders["moment"]]
        if self._chart:
            left += [widgets.HTML("<b>Time chart</b>"), self.more]
        pictures = [picture_place(picture.view) for picture in (self._schematic, self._chart) if picture]
        top = widgets.HBox([widgets.VBox(left, layout=widgets.Layout(flex="0 0 300px", width="300px")),
                            widgets.VBox(pictures, layout=widgets.Layout(flex="1 1 420px", min_width="320px"))],
                           layout=widgets.Layout(flex_flow="row wrap", width="100%"))
        return outermost(top, self._status, self._guard.place)

    @property
    def settings(self):
        """All that a trial hangs on, as ``((kind, name), value)``: controls, sliders, faults."""
        kinds = (("control", self.controls), ("slider", self.sliders), ("fault", self.faults))
        pairs = (((kind, name), widget.value) for kind, named in kinds for name, widget in named.items())
        return tuple((what, _rounded(value)) for what, value in pairs if what != _MOMENT)

    def present(self, settings=None):
        """Return the arrangement as the sliders and faults have it now, or in some settings."""
        values = dict(settings or self.settings)
        flasher = {"rate": values["slider", "rate"], "on_share": values["slider", "on_time"] / 100} if (
            "slider", "rate") in values else {}
        return with_settings(self.broken(settings), volts=values["slider", "volts"], **flasher)

    def broken(self, settings=None):
        """Return the arrangement with the faults in it that are ticked now, or in some settings."""
        ticked = [self.changes[words] for (kind, words), value in settings or self.settings if kind == "fault" and value]
        return changed(self.arrangement, *(step for change in ticked for step in _steps(change)))

    def _played(self, settings):
        """Return the trial of some settings, and what every lamp did in it."""
        values = dict(settings)
        where = {name: value for (kind, name), value in settings if kind == "control"}
        pedal = {name: values["slider", name] for name in ("pedal_at", "pedal_for") if ("slider", name) in values}
        course = trial(self.present(settings), where, until=UNTIL, **pedal)
        return course, {lamp: flash(course, lamp) for lamp in course.lamp_volts}

    def _moved(self, change):
        """Redraw for a change; after a second step alike of one slider have a third one played ahead."""
        owner = change["owner"]
        self._redraw(owner is self.sliders.get("moment"))
        name = next((name for name, slider in self.sliders.items() if slider is owner and ("slider", name) != _MOMENT), None)
        move = name and (name, _rounded(change["new"] - change["old"]))
        if move and move == self._move and self.course and owner.min <= owner.value + move[1] <= owner.max:
            self.trials.play_ahead(tuple((what, _rounded(value + move[1]) if what == ("slider", name) else value)
                                         for what, value in self.settings))
        self._move = move

    def _redraw(self, moment_only=False):
        if not moment_only or self.course is None:
            self.course, self._measured = self.trials.of(self.settings)
        moment = min(self.sliders["moment"].value if "moment" in self.sliders else 0.0, self.course.until)
        self.sentence = status(self.course, moment, self._measured)
        fresh = []
        if self._chart:
            relays = [relay.name for relay in self.arrangement.of_kind(Relay)] if self.more.value else ()
            fresh.append((self._chart, chart_layers(self.course, prefix=self._prefix, parts=relays, moment=moment,
                                                    currents=self.more.value, measured=self._measured)))
        if self._schematic:
            drawn = self._schematic.pictures(self.broken(), self.course.arrangement, self.course.at(moment))
            fresh.append((self._schematic, drawn))
        self._show(*fresh)

    def _show(self, *fresh):
        """Send pictures and the status sentence together: one sent earlier would wait while the rest is worked out."""
        for place, pictures in fresh:
            place.put(*pictures)
        self._status.value = f'<div role="status" aria-live="polite">{escape(self.sentence)}</div>'

    def __repr__(self):
        return f"A bench for '{self.arrangement.title}'. Write it last in a cell of a notebook to see it."

    def _repr_mimebundle_(self, **options):
        return self.view._repr_mimebundle_(**options)


def bench(arrangement, faults=(), positions=(), schematic=True, chart=True, volts=(9.0, 15.0)):
    """Return a bench for an arrangement; write it last in a cell to see it.

    Parameters
    ----------
    arrangement : Arrangement
    faults : dict of str to change or tuple of changes, optional
        Words for a box to tick, and the change that ticking makes.
    positions : dict of str to str, optional
        Where the controls stand to begin with. [text]
    schematic, chart : bool
        Which pictures to show.
    volts : tuple of (float, float)
        Ends of the supply slider; it always reaches the arrangement's own voltage. [V]

    Raises
    ------
    ArrangementError
        When a fault does not fit the arrangement.

    >>> import circuitlab as cl
    >>> bench(cl.arrangement("one-fused-lamp"))
    A bench for 'One lamp with its fuse and its switch'. Write it last in a cell of a notebook to see it.
    """
    check_faults(arrangement, faults)
    return Bench(arrangement, faults, positions, schematic, chart, volts)


def check_faults(arrangement, faults):
    """Raise ArrangementError for a fault that is no change or does not fit."""
    for words, change in dict(faults).items():
        if not all(hasattr(step, "apply") for step in _steps(change)):
            raise ArrangementError(f"fault '{words}' is not a change. Give one such as Hold('K9', 'off').")
        changed(arrangement, *_steps(change))


def _rounded(value):
    """Return a value as a slider shows it: steps that were added up leave no trace."""
    return round(value, 6) if isinstance(value, float) else value


def _steps(change):
    return change if isinstance(change, (tuple, list)) else (change,)


def _buttons(control, position):
    return widgets.ToggleButtons(options=control.shown, value=position, description=control.name,
                                 tooltips=[f"{control.name}: {each}" for each in control.shown],
                                 style={"button_width": "auto", **_WIDE})


def _slider(words, value, low, high, step, form=".1f"):
    return widgets.FloatSlider(value=value, min=low, max=high, step=step, description=words, readout_format=form,
                               tooltip=words, style=_WIDE, layout=widgets.Layout(width="290px"))

"""Pieces of a bench: a column beside pictures, buttons of a control, a slider with its words."""

import ipywidgets as widgets

UNTIL = 4.0     # s, length of a trial
_WIDE = {"description_width": "110px"}


def headed(head, inside):
    """Return widgets below their heading; nothing where there are none."""
    return [widgets.HTML(f"<b>{head}</b>"), *inside] if inside else []


def beside(left, right, flex):
    """Return a narrow column and the wide one beside it, or below it where a page is narrow."""
    return widgets.HBox([widgets.VBox(left, layout=widgets.Layout(flex="0 0 300px", width="300px")),
                         widgets.VBox(right, layout=widgets.Layout(flex=flex, min_width="320px"))],
                        layout=widgets.Layout(flex_flow="row wrap", width="100%"))


def buttons(control, position):
    """Return a control as buttons, pressed where it stands."""
    return widgets.ToggleButtons(options=control.shown, value=position, description=control.name,
                                 tooltips=[f"{control.name}: {each}" for each in control.shown],
                                 style={"button_width": "auto", **_WIDE})


def slider(words, value, low, high, step, form=".1f"):
    """Return a slider with its words and its number."""
    return widgets.FloatSlider(value=value, min=low, max=high, step=step, description=words, readout_format=form,
                               tooltip=words, style=_WIDE, layout=widgets.Layout(width="290px"))

"""Live pictures in layers: what stays below, and above it what a slider changes.

Laying out a picture costs a browser more than anything else in a move of a
slider, and words are most of it. A layer that is the same as before is not sent.
"""

import ipywidgets as widgets

from ..views.schematic import lay_out, lettering, live_layers

_PLACE = {"grid_area": "1 / 1 / 2 / 2"}
# A layer keeps to itself, so that the browser need not look at it when something else on the page changes. A pointer
# goes through the upper ones to the words, but for wires, parts and values, which can be pointed at.
_RULES = ("<style>.picture-layer{contain:content}.upper-layer{pointer-events:none}.upper-layer g{pointer-events:auto}"
          "</style>")


class Layers:
    """Pictures of one width, laid one over the other; the uppermost has the text alternative.

    Parameters
    ----------
    count : int
        How many. [1]

    Attributes
    ----------
    view : GridBox
    layers : list of HTML
        The lowest first.
    """

    def __init__(self, count):
        self.layers = [widgets.HTML("", layout=widgets.Layout(**_PLACE)) for _ in range(count)]
        for layer in self.layers:
            layer.add_class("picture-layer")
        for layer in self.layers[1:]:
            layer.add_class("upper-layer")
        self.view = widgets.GridBox(self.layers, layout=widgets.Layout(grid_template_columns="100%"))

    @property
    def markup(self):
        """Everything that is on show, the lowest layer first. [HTML]"""
        return "".join(layer.value for layer in self.layers)

    def put(self, lowest, *upper):
        """Show a picture in each layer. [text]"""
        for layer, picture in zip(self.layers, (_RULES + lowest, *upper), strict=True):
            layer.value = picture


class LayeredSchematic(Layers):
    """The schematic of one bench: words, states, and above them lamps and battery with their values.

    Parameters
    ----------
    prefix : str
        Put before every id. [text]
    """

    def __init__(self, prefix):
        super().__init__(3)
        self._prefix, self._first, self._sheet, self._letters = prefix, None, None, ""

    def pictures(self, wired, present, point):
        """Return a picture for each layer.

        Parameters
        ----------
        wired : Arrangement
            As it is wired, faults included: what the sheet is laid out for, as like the first one as it can be.
        present : Arrangement
            The same, with its values as the sliders have them.
        point : OperatingPoint
            Of the present arrangement.

        Returns
        -------
        tuple of str
        """
        sheet = lay_out(wired, self._first)
        if sheet is not self._sheet:
            self._first = self._first or sheet
            self._sheet, self._letters = sheet, lettering(sheet)
        return self._letters, *live_layers(sheet, present, point, self._prefix)

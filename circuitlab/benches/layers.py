"""A live schematic in two layers: words that stay below, and above them what a slider changes.

Words are most of what a browser has to lay out, and a move of a slider changes
few of them.
"""

import ipywidgets as widgets

from ..views.schematic import fill, lay_out, lettering

_PLACE = {"grid_area": "1 / 1 / 2 / 2"}
# A pointer goes through the upper layer to the words, but for wires and parts, which say their name.
_THROUGH = "<style>.upper-layer{pointer-events:none}.upper-layer g{pointer-events:auto}</style>"


class LayeredSchematic:
    """The schematic of one bench.

    Parameters
    ----------
    prefix : str
        Put before every id. [text]

    Attributes
    ----------
    view : GridBox
    letters, live : HTML
        The layers.
    """

    def __init__(self, prefix):
        self._prefix, self._first, self._sheet = prefix, None, None
        self.letters = widgets.HTML("", layout=widgets.Layout(**_PLACE))
        self.live = widgets.HTML("", layout=widgets.Layout(**_PLACE))
        self.live.add_class("upper-layer")
        self.view = widgets.GridBox([self.letters, self.live], layout=widgets.Layout(grid_template_columns="100%"))

    def markup(self, wired, present, point):
        """Return the upper layer, and lay new words below when the wiring has changed.

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
        str
        """
        sheet = lay_out(wired, self._first)
        if sheet is not self._sheet:
            self._first = self._first or sheet
            self._sheet, self.letters.value = sheet, _THROUGH + lettering(sheet)
        return fill(sheet, present, point, self._prefix, letters=False)

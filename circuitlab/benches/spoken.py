"""What ipywidgets leaves unsaid to a screen reader, said: the name of a slider, and which toggle button is down.

A slider's handle has no name and a toggle button shows its state by colour alone.
Both stand on the page already, as the words of a label and the class of a button;
this hands them on. Where a page allows no such handler, nothing else is lost.
"""

from html import escape

import ipywidgets as widgets

_HAND_ON = """
const view = this.closest('.widget-vbox');
const hand_on = () => {
  for (const row of view.querySelectorAll('.widget-slider, .widget-toggle-buttons')) {
    const words = row.querySelector('.widget-label').textContent.trim();
    const name = (part, role) => part && words && (part.setAttribute('role', role), part.setAttribute('aria-label', words));
    name(row.querySelector('.noUi-handle'), 'slider');
    name(row.querySelector('.widget-readout'), 'textbox');
    if (row.matches('.widget-toggle-buttons')) name(row, 'group');
    for (const button of row.querySelectorAll('.widget-toggle-button'))
      button.setAttribute('aria-pressed', button.classList.contains('mod-active'));
  }
};
new MutationObserver(hand_on).observe(view, {subtree: true, childList: true, attributeFilter: ['class']});
hand_on();
"""
_DOT = "data:image/gif;base64,R0lGODlhAQABAAAAACH5BAEAAAAALAAAAAABAAEAAAIA"   # one clear point, to be loaded


def spoken():
    """Return a widget without looks; put it straight into the outermost box of a view, and that view speaks."""
    return widgets.HTML(f'<img hidden alt="" src="{_DOT}" onload="{escape(" ".join(_HAND_ON.split()))}">',
                        layout=widgets.Layout(display="none"))

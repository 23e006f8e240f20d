"""What ipywidgets leaves unsaid, said: the name of a slider, and where the keyboard is.

A slider's handle has no name for a screen reader. It stands on the page already, as the words of a label; this hands it on. Where a page allows no such handler,
nothing else is lost. The ring round what has the keyboard is a faint shadow there;
here it is a line. A view that is cut off from its kernel says that as well.
"""

from html import escape

import ipywidgets as widgets

from . import stopped

_HAND_ON = f"""
const view = this.closest('.{stopped.BENCH}');
{stopped.HANDLER}"""  """
const set = (part, name, value) => part.getAttribute(name) === value || part.setAttribute(name, value);
const hand_on = () => {
  stop();
  for (const row of view.querySelectorAll('.widget-slider')) {
    const words = row.querySelector('.widget-label').textContent.trim();
    const name = (part, role) => part && words && (set(part, 'role', role), set(part, 'aria-label', words));
    name(row.querySelector('.noUi-handle'), 'slider');
    name(row.querySelector('.widget-readout'), 'textbox');
  }
};
new MutationObserver(hand_on).observe(view, {subtree: true, childList: true, attributeFilter: ['class']});
hand_on();
"""
# The name that nothing has lifts the rule above those of the widgets, which take the outline away.
_RING = ("<style>:is(.jupyter-widgets, #nothing):focus-visible, :is(.jupyter-widgets, #nothing) :focus-visible "
         "{outline: 2px solid var(--jp-ui-font-color0, currentColor) !important; outline-offset: 0}</style>")
_DOT = "data:image/gif;base64,R0lGODlhAQABAAAAACH5BAEAAAAALAAAAAABAAEAAAIA"   # one clear point, to be loaded


def outermost(*children):
    """Return the outermost box of a view; its last child shows nothing itself and makes the view speak."""
    handler = escape(" ".join(_HAND_ON.split()))
    speaking = widgets.HTML(f'{_RING}{stopped.RULES}<img hidden alt="" src="{_DOT}" onload="{handler}">',
                            layout=widgets.Layout(display="none"))
    view = widgets.VBox([*children, speaking])
    view.add_class(stopped.BENCH)
    return view

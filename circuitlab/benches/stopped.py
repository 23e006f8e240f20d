"""A bench whose kernel is gone says so in the place of its picture, and nothing on it can be pressed any more.

Widgets that are cut off from their kernel carry a class of JupyterLab's. The rules
here hang on it: they hide the picture and grey what could be pressed. The handler
does what rules cannot: it takes the keyboard away, and puts real words there, which
are spoken.
"""

STOPPED = "stopped: run this cell again"
HOW = "If a name is not defined then, run the cells above it first: menu Run, Run All Above Selected Cell."
BENCH, PICTURE = "circuit-bench", "circuit-picture"

_CUT_OFF = ".jupyter-widgets-disconnected"
RULES = f"""<style>
.{BENCH}{_CUT_OFF}, .{BENCH} {_CUT_OFF} {{pointer-events: none}}
.{BENCH}{_CUT_OFF}::before, .{BENCH} {_CUT_OFF}::before {{content: none}}
.{BENCH}{_CUT_OFF} :is(.jupyter-button, .widget-inline-hbox:not(.widget-html))
  {{opacity: .4; filter: grayscale(1)}}
.{BENCH}{_CUT_OFF} [role=status] {{opacity: .6}}
.{BENCH}{_CUT_OFF} .{PICTURE} > * {{visibility: hidden}}
.{BENCH}{_CUT_OFF} .{PICTURE}::before {{content: "{STOPPED}"; font: bold 1em sans-serif; color: inherit}}
.{BENCH}{_CUT_OFF}.is-told .{PICTURE} > *, .{BENCH}{_CUT_OFF} .told-stopped ~ .{PICTURE} {{display: none}}
.{BENCH} .told-stopped {{border: 2px dashed currentColor; box-sizing: border-box; flex: 1 1 auto; margin: 2px;
  padding: 10px; color: var(--jp-content-font-color1, currentColor)}}
</style>"""
HANDLER = f"""
const stop = () => {{
  const is_cut_off = view.matches('{_CUT_OFF}');
  if (is_cut_off === view.classList.contains('is-told')) return;
  const place = view.querySelector('.{PICTURE}'), height = place.offsetHeight;
  const had_keyboard = view.matches(':focus-within');
  view.classList.toggle('is-told', is_cut_off);
  if (!is_cut_off) {{
    view.querySelector('.told-stopped').remove();
    for (const part of view.querySelectorAll('[inert]')) part.inert = false;
    return;
  }}
  const words = (kind, text) => Object.assign(document.createElement(kind), {{textContent: text}});
  const told = words('div', '');
  told.className = 'told-stopped';
  told.tabIndex = -1;
  told.setAttribute('role', 'alert');
  told.style.minHeight = Math.min(height, 300) + 'px';
  told.append(words('b', '{STOPPED}'), words('p', '{HOW}'));
  place.before(told);
  for (let part = told; part !== view; part = part.parentNode)
    for (const other of part.parentNode.children) if (other !== part) other.inert = true;
  if (had_keyboard) told.focus();
}};
"""


def picture_place(widget):
    """Mark a widget as what the words are to stand in the place of, and return it."""
    widget.add_class(PICTURE)
    return widget

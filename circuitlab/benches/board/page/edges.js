// Below a drawing that is larger than its place: which parts lie out of sight on each side, to go there, and all of it at once.

import {html} from "./drawing.js";
import {button, put_text, rove} from "./beside.js";

const OVERLAP = 60;        // px of what was in sight that stay so when one goes on
const SIDES = [["left", "\u25c2", 0, -1], ["up", "\u25b4", 1, -1], ["down", "\u25be", 1, 1], ["right", "\u25b8", 0, 1]];

export class Edges {
  constructor(board) {
    Object.assign(this, {board, stage: board.stage});
    this.bar = html("div", {role: "toolbar", "aria-label": "Drawing", class: "pin30-row pin30-edges"});
    this.whole = button(this.bar, "whole", () => this.show_whole(!this.is_whole), "whole drawing");
    this.whole.setAttribute("aria-pressed", "false");
    this.ways = SIDES.map(([way, sign, axis, step]) => ({way, sign, axis, step, button: button(this.bar, "", () => this.go(axis, step))}));
    rove(this.bar);
    for (const kind of ["scroll", "fitted"]) this.stage.addEventListener(kind, () => requestAnimationFrame(() => this.look()));
  }

  get is_whole() { return this.board.place.classList.contains("whole"); }

  // All of the drawing at once, however small its letters; or so that they can be read, what is chosen in sight.
  show_whole(is_whole) {
    this.board.place.classList.toggle("whole", is_whole);
    this.whole.setAttribute("aria-pressed", String(is_whole));
    this.board.drawing.fit();
    if (!is_whole && this.board.chosen) this.board.drawing.reveal([this.board.chosen.name]);
  }

  go(axis, step) {
    const by = step * ((axis ? this.stage.clientHeight : this.stage.clientWidth) - OVERLAP);
    this.stage.scrollBy(axis ? 0 : by, axis ? by : 0);
  }

  // Say which parts lie out of sight, where there is room for it.
  look() {
    const {board: {drawing, place}, stage, bar} = this;
    if (!drawing) return;
    if (!place.classList.contains("edged")) return bar.remove();
    if (!bar.isConnected) stage.after(bar);
    Object.assign(bar.style, {top: `${stage.offsetTop + stage.offsetHeight + 2}px`, left: `${stage.offsetLeft}px`, width: `${stage.offsetWidth}px`});
    const beyond = drawing.beyond();
    for (const {way, sign, axis, step, button: each} of this.ways) {
      const names = [...new Set(beyond(axis, step))];
      put_text(each, names.length ? `${sign} ${way}: ${names.join(", ")}` : "");
      each.title = each.textContent;
      if (!names.length && document.activeElement === each) this.whole.focus();       // nothing more there: the keyboard stays in the row
      each.classList.toggle("empty", !names.length);
    }
  }
}

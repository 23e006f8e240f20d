// The tabs `before` and `table`: the circuit as it was, and every row, as it was and as it is. Both follow what the drawing shows.

import {html} from "./drawing.js";
import {put_text} from "./beside.js";

export class Compared {
  constructor(board) { Object.assign(this, {board, shown: "", only: false}); }

  open_table(place) {
    this.shown = "table";
    this.told = html("p", {"aria-live": "polite"}, place);
    this.choice = html("label", {class: "pin30-row"}, place);
    const box = html("input", {type: "checkbox"}, this.choice);
    html("span", {text: "changed rows only"}, this.choice);
    box.checked = this.only;
    this.choice.hidden = true;
    box.addEventListener("change", () => { this.only = box.checked; this.again(); });
    box.addEventListener("keydown", event => { if (event.key === " ") event.stopPropagation(); });
    this.rows = "";
    this.table = html("div", {class: "pin30-table", tabindex: 0, role: "region", "aria-label": "Lamp table"}, place);
    this.again();
  }

  open_before(place) {
    this.shown = "before";
    this.told = html("p", {"aria-live": "polite"}, place);
    this.picture = html("div", {class: "pin30-table pin30-before", tabindex: 0, role: "region", "aria-label": "The circuit before"}, place);
    this.svg = "";
    this.again();
  }

  close() { this.shown = ""; }

  again() {
    this.where = "";
    this.board.look_again();
  }

  // Ask anew where the drawing shows other positions or another circuit; or, while time stands, another state of its flashers.
  follow(at, {positions, states}) {
    if (!this.shown) return;
    const {clock, player} = this.board, runs = clock.runs;
    const where = JSON.stringify([positions, player.act, this.board.still.form, this.shown === "before" && (runs || states)]);
    if (where === this.where) return;
    this.where = where;
    this.board.model.send(this.shown === "before" ? {kind: "before", at, runs} : {kind: "table", positions, only: this.only});
  }

  on_table({html: table, words = ""}) {
    if (this.shown !== "table") return;
    put_text(this.told, words);
    this.choice.hidden = !words;
    if (this.rows === table) return;
    this.table.innerHTML = this.rows = table;
    const row = this.table.querySelector("[aria-current]"), {table: box} = this;
    if (row && (row.offsetTop < box.scrollTop + 20 || row.offsetTop + row.offsetHeight > box.scrollTop + box.clientHeight)) box.scrollTop = row.offsetTop - box.clientHeight / 2;
  }

  on_before({svg, words}) {
    if (this.shown !== "before") return;
    put_text(this.told, words);
    if (svg === this.svg) return;
    this.svg = svg;
    this.picture.innerHTML = svg;
    this.picture.hidden = !svg;
    const drawn = this.picture.querySelector("svg"), mark = drawn?.querySelector(".marked"), {scale} = this.board.drawing;
    if (!drawn) return;
    const [, , wide, tall] = drawn.getAttribute("viewBox").split(" ").map(Number);
    Object.assign(drawn.style, {width: `${wide * scale}px`, height: `${tall * scale}px`, maxWidth: "none"});
    if (!mark || this.marks === this.told.textContent) return;
    this.marks = this.told.textContent;
    const [box, seen] = [mark, this.picture].map(each => each.getBoundingClientRect());
    this.picture.scrollBy(box.left - seen.left - 20, box.top - seen.top - 20);
  }
}

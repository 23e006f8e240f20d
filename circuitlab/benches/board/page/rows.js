// The table that a board was opened with: its lines, of which one is looked at; and what was found there, in words.

import {html} from "./drawing.js";
import {own_keys, rove, put_text} from "./beside.js";

export class Rows {
  constructor(place, board, first) {
    Object.assign(this, {board, numbers: [], words: []});
    const head = html("div", {class: "pin30-row"}, place), label = html("label", {class: "pin30-row"}, head);
    this.only = html("input", {type: "checkbox"}, label);
    this.only_words = html("span", {}, label);
    this.only.addEventListener("change", () => board.model.send({kind: "rows", only: this.only.checked}));
    this.where = html("select", {"aria-label": "In row", class: "pin30-where"}, head);
    this.where.addEventListener("change", () => this.go(this.line, this.where.selectedIndex));
    this.said = html("div", {class: "pin30-found", role: "status"}, place);
    this.read = html("p", {class: "pin30-reading"}, place);
    this.list = html("div", {class: "pin30-table pin30-lines", role: "region", "aria-label": "Rows to look up"}, place);
    this.more = html("p", {}, place);
    for (const field of [this.only, this.where]) own_keys(field);
    this.list.addEventListener("click", event => this.press(event));
    board.model.send({kind: "rows", first});
  }

  go(line, place = 0) { this.board.go({kind: "row", line, place}); }

  press(event) {
    const row = event.target.closest("tbody tr, tfoot tr");
    if (row) this.go(Number(row.dataset.line));
  }

  // Each line's number becomes its button: one tab stop, arrows from one to the next.
  on_rows({html: table, numbers, words, more, only, ticked, free}) {
    const had = this.list.contains(document.activeElement);
    this.list.innerHTML = table;
    this.rows = [...this.list.querySelectorAll("tbody tr, tfoot tr")];
    this.rows.forEach((row, index) => {
      row.dataset.line = numbers[index];
      const cell = row.cells[0], button = html("button", {type: "button", text: cell.textContent, "aria-label": `${numbers[index]}. ${words[index]}`});
      cell.replaceChildren(button);
    });
    rove(this.list);
    Object.assign(this.only, {checked: ticked, disabled: !free});
    put_text(this.only_words, only);
    put_text(this.more, more);
    if (had) this.list.querySelector("button")?.focus();
  }

  on_row({line, words, said, places, place, marked, puts, leads, instrument}) {
    const {board} = this;
    this.line = line;
    board.marked = marked;
    board.drawing.mark(marked);
    if (puts) board.probe_with(instrument, leads);
    this.said.replaceChildren();
    html("b", {text: words}, this.said);
    const list = html("ul", {}, this.said);
    for (const each of said) html("li", {text: each}, list);
    this.where.replaceChildren(...places.map(each => html("option", {text: each})));
    this.where.selectedIndex = place;
    this.where.hidden = places.length < 2;
    for (const row of this.rows ?? []) {
      const chosen = Number(row.dataset.line) === line;
      row.classList.toggle("chosen", chosen);
      row.cells[0].firstChild.setAttribute("aria-pressed", String(chosen));
      if (chosen) this.show(row);
    }
  }

  // Scroll the table alone, never the page.
  show(row) {
    const low = row.offsetTop + row.offsetHeight, {list} = this;
    if (row.offsetTop < list.scrollTop || low > list.scrollTop + list.clientHeight) list.scrollTop = row.offsetTop - list.clientHeight / 2;
  }
}

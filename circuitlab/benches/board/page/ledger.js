// A table whose cells are text fields: each sends its sentence when it is left or Enter is pressed, and keeps what is refused.
// One row at a time is in the way of Tab; arrows up and down lead from row to row within a column.

import {html} from "./drawing.js";
import {button, rove} from "./beside.js";

export class Ledger {
  // name: of the table; heads: of its columns; board: what takes [words, deed on the answer].
  constructor(place, name, heads, owner) {
    Object.assign(this, {owner, name, rows: new Map(), wide: heads.length + 1, row: null});
    this.root = html("div", {class: "pin30-ledger", role: "region", "aria-label": name}, place);
    // Whoever is at its end stays there when what stands above takes some of its height.
    this.root.addEventListener("scroll", () => { this.ended = this.root.scrollTop + this.root.clientHeight >= this.root.scrollHeight - 2; });
    new ResizeObserver(() => this.ended && this.to_end()).observe(this.root);
    const table = html("table", {}, this.root), head = html("tr", {}, html("thead", {}, table));
    for (const words of heads) html("th", {scope: "col", text: words}, head);
    html("th", {scope: "col", text: "", "aria-label": "remove"}, head).append(html("span", {class: "pin30-unseen", text: "remove"}));
    this.body = html("tbody", {}, table);
    this.body.addEventListener("keydown", event => this.key(event));
    this.body.addEventListener("focusin", event => this.rove(event.target.closest("tr")));
    this.body.addEventListener("focusout", event => { if (event.target.field?.says) this.commit(event.target, false); });
  }

  // ------------------------------------------------------------- rows

  // Rows as the kit tells them: those that are there are kept, so that what is being typed stays; others come and go.
  fill(all) {
    this.keep();
    const names = all.map(({name}) => name), at = this.place_of(document.activeElement), {ended} = this;
    for (const [name, row] of this.rows) if (!names.includes(name)) this.drop(name, row);
    for (const told of all) {
      const had = this.rows.get(told.name), shape = JSON.stringify([Boolean(told.remove), told.cells.map(cell => cell.map(each => [each.label, each.text]))]);
      if (had?.dataset.shape === shape) this.renew(had, told); else this.build(told, shape, had);
    }
    all.forEach(({name}, index) => { const row = this.rows.get(name); if (this.body.children[index] !== row) this.put_at(row, index); });
    if (at && !this.root.contains(document.activeElement)) this.go(at.index, at.column);
    this.rove(this.row?.isConnected ? this.row : this.last);
    if (ended) this.to_end();
  }

  to_end() {
    this.ended = true;
    this.root.scrollTop = this.root.scrollHeight;
  }

  get lines() { return [...this.body.children].filter(row => row.dataset.name !== undefined); }
  get last() { const {lines} = this; return lines[lines.length - 1]; }

  put_at(row, index) { this.body.insertBefore(row, this.lines.filter(each => each !== row)[index] ?? null); if (row.why) this.put_why(row); }

  // Why a row is refused stands right below it; of the last one above it, so that whoever types there stays at its place.
  put_why(row) { row.dataset.name ? row.after(row.why) : row.before(row.why); }

  drop(name, row) { row.why?.remove(); row.remove(); this.rows.delete(name); }

  build({name, cells, remove}, shape, had) {
    const row = html("tr", {"data-name": name}), at = had && this.place_of(document.activeElement);
    row.dataset.shape = shape;
    for (const cell of cells) {
      const place = html("td", {}, row);
      for (const each of cell) each.text === undefined ? this.field(place, each) : html("span", {text: each.text}, place);
    }
    const end = html("td", {}, row);
    if (remove) {
      const button = html("button", {type: "button", text: "\u2715", "aria-label": remove.label, title: remove.label, "data-lm-suppress-shortcuts": "true"}, end);
      button.addEventListener("click", () => row.gone.goes && this.leaving?.row !== row ? this.warn(row) : this.take_away(row));
      Object.assign(row, {gone: remove, remove_it: button});
    }
    had ? (had.why?.remove(), had.replaceWith(row)) : this.body.insertBefore(row, this.next ?? null);
    this.rows.set(name, row);
    if (at && at.row === had) this.go(this.lines.indexOf(row), at.column);
  }

  field(place, told) {
    const label = told.caption ? html("label", {}, place) : place;
    if (told.caption) html("span", {text: told.caption, "aria-hidden": "true"}, label);
    const input = html("input", {type: "text", "aria-label": told.label, spellcheck: "false", autocomplete: "off", class: `pin30-${told.column.split(" ")[0]}`,
      "data-lm-suppress-shortcuts": "true", ...(told.list ? {list: told.list} : {}), ...(told.hint ? {placeholder: told.hint} : {})}, label);
    input.field = told;
    input.value = told.shown;
    if (told.grows) this.grow(input);
    return input;
  }

  grow(input) { input.size = Math.max(4, Math.min(34, input.field.shown.length + 1)); }

  renew(row, {cells, remove}) {
    const told = cells.flat().filter(each => each.text === undefined);
    this.fields(row).forEach((input, index) => {
      const was = input.field;
      input.field = told[index];
      if (input.value === was.shown && input.value !== input.field.shown) input.value = input.field.shown;
      if (input.field.grows) this.grow(input);
    });
    if (!remove) return;
    Object.assign(row, {gone: remove}).remove_it.title = remove.label;
    row.remove_it.setAttribute("aria-label", remove.label);
  }

  // ------------------------------------------------------------- fields

  fields(row) { return [...row.querySelectorAll("input")]; }
  stops(row) { return [...row.querySelectorAll("input, button")]; }
  place_of(node) {
    const row = this.body.contains(node) ? node.closest("tr") : null;
    return row && {row, index: this.lines.indexOf(row), column: this.stops(row).indexOf(node)};
  }

  is_changed(input) { return input.value.trim() !== input.field.shown; }

  // What is typed becomes a change; what was refused is asked again by Enter alone.
  commit(input, by_enter) {
    const value = input.value.trim();
    if (!this.is_changed(input)) return this.as_it_was(input);
    if (input.sent === value && !(by_enter && input.refused)) return;
    Object.assign(input, {sent: value, refused: false});
    this.owner.ask(input.field.says + value, {taken: () => this.taken(input), refused: words => this.why(input, words)});
  }

  as_it_was(input) {
    Object.assign(input, {value: input.field.shown, sent: undefined, refused: false});
    this.why(input, "");
  }

  taken(input) { if (input.value.trim() === input.sent) this.as_it_was(input); }

  // A whole row is refused: the field that holds what the kit's words are about is the wrong one, and has the keyboard next.
  refuse(row, asked, words, about) {
    const typed = each => each.value.trim().toLowerCase(), word = about?.toLowerCase();
    const input = this.fields(row).find(each => word && (typed(each) === word || typed(each).startsWith(`${word}:`))) ?? asked;
    this.why(input, words);
    if (document.activeElement === asked) input.focus();
  }

  // Why it was refused, beside its row; the field keeps what was typed.
  why(input, words) {
    if (!input.isConnected) return;
    const row = input.closest("tr"), about = row.why?.dataset.about;
    if (!words && about !== input.getAttribute("aria-label")) return input.removeAttribute("aria-invalid");
    row.why?.remove();
    row.why = null;
    for (const each of this.stops(row)) { each.removeAttribute("aria-invalid"); each.removeAttribute("aria-describedby"); }
    if (!words) return;
    const line = html("tr", {class: "pin30-why", "data-about": input.getAttribute("aria-label")}), id = `${this.owner.prefix}why-${this.owner.count += 1}`;
    html("p", {id, role: "alert", text: words}, html("td", {colspan: this.wide}, line));
    row.why = line;
    this.put_why(row);
    line.scrollIntoView({block: "nearest"});
    if (!row.dataset.name) this.to_end();
    input.refused = true;
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", id);
  }

  // ------------------------------------------------------------- taking away

  take_away(row) {
    this.keep();
    this.owner.ask(row.gone.says, {refused: words => this.why(this.fields(row)[0], words)});
  }

  // What goes with a row, below it and marked on the drawing, before it goes.
  warn(row) {
    this.keep();
    const line = html("tr", {class: "pin30-why pin30-goes"}), place = html("td", {colspan: this.wide}, line);
    html("p", {role: "alert", text: `This takes away ${row.gone.goes}.`}, place);
    const deeds = html("div", {class: "pin30-row"}, place), yes = button(deeds, "take it away", () => this.take_away(row));
    button(deeds, "keep it", () => this.keep());
    rove(deeds);
    line.addEventListener("keydown", event => {
      if (event.key === "Tab") return;
      event.stopPropagation();
      if (event.key === "Escape") this.keep();
    });
    line.addEventListener("focusout", ({relatedTarget}) => { if (relatedTarget && !line.contains(relatedTarget) && relatedTarget !== row.remove_it) this.keep(); });
    row.after(line);
    this.leaving = {row, line};
    this.owner.board.drawing.mark(row.gone.leaving);
    line.scrollIntoView({block: "nearest"});
    yes.focus();
  }

  // Nothing goes.
  keep() {
    if (!this.leaving) return;
    const {row, line} = this.leaving, had = line.contains(document.activeElement);
    this.leaving = null;
    line.remove();
    this.owner.board.drawing.mark(this.owner.board.marked);
    if (had) row.remove_it.focus();
  }

  // ------------------------------------------------------------- keys

  rove(row) {
    if (!row || row.dataset.name === undefined) return;
    this.row = row;
    for (const line of this.lines) for (const each of this.stops(line)) each.tabIndex = line === row ? 0 : -1;
  }

  // To a row and a column, or what is nearest.
  go(index, column) {
    const {lines} = this, row = lines[Math.max(0, Math.min(index, lines.length - 1))], stops = row ? this.stops(row) : [];
    const stop = stops[Math.max(0, Math.min(column, stops.length - 1))];
    stop?.focus();
    stop?.select?.();
  }

  key(event) {
    const {target} = event, at = this.place_of(target), is_field = target.tagName === "INPUT", command = event.ctrlKey || event.metaKey;
    if (!at || event.altKey || event.key === "Tab") return;
    const step = {ArrowUp: -1, ArrowDown: 1}[event.key], changed = is_field && this.is_changed(target);
    if (command && event.key === "Delete" && !changed && at.row.remove_it) at.row.remove_it.click();
    else if (command) return;
    else if (step && !changed) this.go(at.index + step, at.column);
    else if (event.key === "Escape" && is_field) this.as_it_was(target);
    else if (event.key === "Enter" && is_field) this.enter(target);
    else if (event.key === "Delete" && !is_field) target.click();
    else { event.stopPropagation(); return; }
    event.preventDefault();
    event.stopPropagation();
  }

  enter(input) { if (input.field.says) this.commit(input, true); else this.owner.add(this, input); }
}

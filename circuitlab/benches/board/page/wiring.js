// The tab `list`: every wire and every part as fields to be changed, how the circuit stands above them, undo and redo. Each edit is
// sent as the sentence that it is; nothing of the circuit is known here.

import {html} from "./drawing.js";
import {button, put_text, rove} from "./beside.js";
import {Ledger} from "./ledger.js";

const QUIET = 700;          // ms without an edit until the rule is proved
const WIRE_HEADS = ["wire", "from", "to", "colour", "m", "mm\u00b2"];
const SPOKEN = {m: "length in metres", mm2: "size in mm2"};
const WIRE_LISTS = {from: "terminals", to: "terminals", colour: "colours", m: "lengths", mm2: "areas"};
const MEASURES = {m: "m", mm2: "mm2"};
const LIST_KEYS = "Enter or leaving a field: do it. Escape: as it was. Arrows up and down: the next row; while you type, what is offered. " +
  "Tab: along a row, then out of the table. Ctrl+Delete: remove the row. Ctrl+Z, Ctrl+Shift+Z: undo, redo.";

export class Wiring {
  constructor(board) { Object.assign(this, {board, place: null, draft: {}, asked: [], count: 0, prefix: `${Math.random().toString(36).slice(2)}-`, told: null}); }

  open(place) {
    this.place = html("div", {class: "pin30-wiring"}, place);
    this.place.addEventListener("keydown", event => this.key(event));
    const head = html("div", {role: "toolbar", "aria-label": "Undo and redo", class: "pin30-row"}, this.place);
    this.undoes = button(head, "undo", () => this.undo());
    rove(head);
    this.stands = html("div", {class: "pin30-stands"}, this.place);
    this.rule = html("p", {role: "status", class: "pin30-rule"}, this.stands);
    this.lists = Object.fromEntries(["terminals", "colours", "lengths", "areas"].map(what =>
      [what, html("datalist", {id: `${this.prefix}${what}`}, this.place)]));
    this.wires = new Ledger(this.place, "Wires", WIRE_HEADS, this);
    this.board.place.classList.add("listing");
    this.board.drawing.fit();
    this.board.model.send({kind: "list"});
  }

  close() {
    if (!this.place) return;
    this.place = this.told = null;
    clearTimeout(this.waits);
    this.board.place.classList.remove("listing");
    this.board.drawing.fit();
    this.board.model.send({kind: "list", open: false});
  }

  // ------------------------------------------------------------- what the kit says

  on_list(told) {
    this.told = told;
    for (const [what, list] of Object.entries(this.lists)) this.offer(list, told.offers[what]);
    this.wires.fill([...told.wires.map(wire => this.of_wire(wire)), this.next_wire(told.next)]);
    this.stand(told.stands);
    this.undoes.disabled = !told.listed.length;
    const done = this.asked.find(({words}) => words === told.took);
    if (done) this.taken(done);
    put_text(this.rule, "");
    clearTimeout(this.waits);
    this.waits = setTimeout(() => this.board.model.send({kind: "prove"}), QUIET);
  }

  on_proved({words, proved}) {
    put_text(this.rule, words);
    this.rule.classList.toggle("proved", proved);
  }

  offer(list, all) {
    const what = JSON.stringify(all);
    if (list.dataset.all === what) return;
    list.dataset.all = what;
    list.replaceChildren(...all.map(each => Array.isArray(each) ? html("option", {value: each[0], label: `${each[0]}  ${each[1]}`}) : html("option", {value: each})));
  }

  stand(words) {
    while (this.stands.children.length <= words.length) html("p", {}, this.stands);
    words.forEach((each, index) => put_text(this.stands.children[index + 1], each));
  }

  of_wire({name, fields, remove}) {
    return {name, remove: {says: remove, label: remove}, cells: fields.map(each => [this.field(name, each)])};
  }

  field(name, {column, shown, says}) {
    const list = WIRE_LISTS[column];
    return {column, shown, says, label: `${name} ${SPOKEN[column] ?? column}`, ...(list ? {list: `${this.prefix}${list}`} : {})};
  }

  // The row where the next wire is typed: what is there until it is added, else what is sensible.
  next_wire(next) { return {name: "", cells: Object.entries(next).map(([column, shown]) => [this.field("new wire", {column, shown, says: ""})])}; }

  // ------------------------------------------------------------- what hands do

  // Ask for a change; its answer comes back to where it was asked.
  ask(words, from) {
    this.asked.push({words, from});
    this.board.send({kind: "typed", words}, false);
  }

  // Add the wire of the last row.
  add(ledger, input) {
    const row = input.closest("tr"), {name, from, to, colour, m, mm2} = Object.fromEntries(ledger.fields(row).map(each => [each.field.column, each.value.trim()]));
    const empty = ledger.fields(row).find(each => !each.value.trim() && each.field.column !== "colour");
    if (empty) {
      ledger.why(empty, `${name || "the new wire"}: '${SPOKEN[empty.field.column] ?? empty.field.column}' is empty. Type it or choose one that is offered, then press Enter.`);
      return empty.focus();
    }
    const measure = (value, unit) => /^[\d.,]+$/.test(value) ? `${value} ${unit}` : value;
    this.ask(["add wire", name, "from", from, "to", to, colour, measure(m, "m"), measure(mm2, "mm2")].filter(Boolean).join(" "), input);
  }

  undo() { if (this.told?.listed.length) this.board.send({kind: "undo", words: this.told.listed[this.told.listed.length - 1]}); }

  key(event) {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
    const {target} = event;
    if (target.field && target.value.trim() !== target.field.shown) return event.stopPropagation();      // of the text that is typed
    event.shiftKey ? this.redo?.() : this.undo();
    event.preventDefault();
    event.stopPropagation();
  }

  // ------------------------------------------------------------- what comes of it

  taken(done) {
    this.asked.splice(this.asked.indexOf(done), 1);
    const {from} = done;
    if (from.tagName !== "INPUT") return;
    if (from.field.says) return this.wires.taken(from);
    const row = from.closest("tr");
    for (const each of this.wires.fields(row)) this.wires.as_it_was(each);
    const first = this.wires.fields(row).find(each => each.field.column === "from");
    if (row.contains(document.activeElement)) first.focus();
  }

  // Tell whether what is refused was asked here. [yes/no]
  refused(asked, words) {
    const found = this.asked.find(each => each.words === asked);
    if (!found || !this.place) return false;
    this.asked.splice(this.asked.indexOf(found), 1);
    if (found.from.isConnected) this.wires.why(found.from, words);
    return true;
  }
}

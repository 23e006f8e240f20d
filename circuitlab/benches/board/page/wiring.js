// The tab `list`: every wire, every part and the rule as fields to be changed, how the circuit stands above them, undo and redo. Each
// edit is sent as the sentence that it is; nothing of the circuit is known here.

import {html} from "./drawing.js";
import {button, put_text, rove} from "./beside.js";
import {Ledger} from "./ledger.js";
import {Parts} from "./parts.js";
import {Rules} from "./rules.js";
import {Files} from "./files.js";
import {ByHand} from "./byhand.js";

const QUIET = 700;          // ms without an edit until the rule is proved
const WIRE_HEADS = ["wire", "from", "to", "colour", "m", "mm\u00b2"];
const SPOKEN = {m: "length in metres", mm2: "size in mm2"};
const WIRE_LISTS = {from: "terminals", to: "terminals", colour: "colours", m: "lengths", mm2: "areas"};
const PANELS = ["wires", "parts", "rule", "file"];
const PAIR = ["wires", "parts"];
const LIST_KEYS = "Enter, or leaving a field: do it. Escape: as it was. Arrows up and down: the next row; while you type, what is offered. " +
  "Tab: along a row, then out of the table. Ctrl+Delete: remove the row. Ctrl+Z and Ctrl+Shift+Z: undo and redo. whole, below the drawing: all of it at once, however small; what is proved is shown so by itself. On the drawing, by mouse or " +
  "finger: click a terminal, then the one its wire goes to; take a part from the shelf and click where it shall stand, or drag it there. By keys: " +
  "t to a terminal, Enter takes a wire from it or joins it; Enter on a wire moves its end (Shift: the other one); m moves a part by arrows; Delete removes, and says first which wires go with a part.";

export class Wiring {
  constructor(board) { Object.assign(this, {board, place: null, panel: "wires", draft: {}, asked: [], count: 0, prefix: `list-${Math.random().toString(36).slice(2)}-`}); }

  open(place) {
    const {board} = this;
    this.place = html("div", {class: "pin30-wiring"}, place);
    this.keyed = event => this.key(event);
    for (const each of [this.place, board.stage]) each.addEventListener("keydown", this.keyed);
    this.place.addEventListener("input", ({target}) => { if (target.field && !target.field.says) this.drafted(target); });
    const head = html("div", {role: "toolbar", "aria-label": "List", class: "pin30-row"}, this.place);
    this.picks = Object.fromEntries(PANELS.map(what => [what, button(head, what, () => this.pick(what))]));
    this.undoes = button(head, "undo", () => this.undo());
    this.redoes = button(head, "redo", () => this.redo());
    this.widens = button(head, "wide drawing", () => this.widen(!board.place.classList.contains("drawn")));
    button(head, "?", () => this.keys.hidden = !this.keys.hidden, "keys of the list");
    this.proves = button(head, "prove", () => this.prove(true));
    Object.assign(this.proves, {hidden: true, tabIndex: -1});
    rove(head);
    this.keys = html("p", {text: LIST_KEYS, hidden: ""}, this.place);
    this.stands = html("div", {class: "pin30-stands"}, this.place);
    this.rule = html("p", {role: "status", class: "pin30-rule"}, this.stands);
    this.lists = Object.fromEntries(["terminals", "colours", "lengths", "areas"].map(what =>
      [what, html("datalist", {id: `${this.prefix}${what}`}, this.place)]));
    const panels = html("div", {class: "pin30-panels"}, this.place);
    this.panels = Object.fromEntries(PANELS.map(what => [what, html("div", {class: `pin30-panel ${what}`}, panels)]));
    this.wires = new Ledger(this.panels.wires, "Wires", WIRE_HEADS, this);
    this.parts = new Parts(this.panels.parts, this);
    this.rules = new Rules(this.panels.rule, this);
    this.files = new Files(this.panels.file, this);
    this.pick(this.panel);
    this.widens.setAttribute("aria-pressed", "false");
    board.place.classList.add("listing");
    board.place.setAttribute("data-lm-suppress-shortcuts", "true");      // what is typed beside a field is no command of the notebook's, such as x: cut this cell
    board.place.setAttribute("tabindex", "-1");
    board.drawing.fit();
    this.by_hand = new ByHand(this);
    board.model.send({kind: "list"});
  }

  close() {
    if (!this.place) return;
    this.place = null;
    this.board.stage.removeEventListener("keydown", this.keyed);
    this.by_hand.close();
    this.by_hand = null;
    clearTimeout(this.waits);
    this.board.place.classList.remove("listing", "drawn");
    if (this.by_itself) this.show_whole(false);
    for (const name of ["data-lm-suppress-shortcuts", "tabindex"]) this.board.place.removeAttribute(name);
    this.board.drawing.fit();
    this.board.model.send({kind: "list", open: false});
  }

  // The drawing takes the larger share of the width, for wiring on it by hand, or the list does.
  widen(is_wide) {
    this.board.place.classList.toggle("drawn", is_wide);
    this.widens.setAttribute("aria-pressed", String(is_wide));
    this.board.drawing.fit();
  }

  // What is proved is shown whole by itself, until something is changed again.
  show_whole(is_whole) {
    this.by_itself = is_whole;
    this.board.edges.show_whole(is_whole);
  }

  // Wires and parts stand side by side where there is room for both.
  pick(what) {
    this.panel = what;
    const pair = PAIR.includes(what) ? PAIR : [what];
    for (const each of PANELS) {
      this.picks[each].setAttribute("aria-pressed", String(each === what));
      this.panels[each].hidden = !pair.includes(each);
      this.panels[each].classList.toggle("second", each !== what);
    }
  }

  // ------------------------------------------------------------- what the kit says

  on_list(told) {
    const first = !this.wires.rows.size;
    this.told = told;
    this.by_hand.quiet();
    for (const [what, list] of Object.entries(this.lists)) this.offer(list, told.offers[what]);
    this.wires.fill([...told.wires.map(wire => this.of_wire(wire)), this.next_wire(told.next)]);
    this.parts.fill(told);
    this.rules.fill(told.rule);
    this.files.fill(told);
    PANELS.forEach((what, index) => put_text(this.picks[what], `${what} ${[told.wires.length, told.parts.length][index] ?? ""}`.trim()));
    this.stand(told.stands);
    this.undoes.setAttribute("aria-disabled", String(!told.undo));      // so that arrows still come by
    this.redoes.setAttribute("aria-disabled", String(!told.redo));
    this.answered(told.took)?.taken?.();
    if (first) this.take_up();
    if (!this.seen && !told.wires.length) { this.pick("parts"); this.by_hand.begin(); }     // first of all, parts are taken from the shelf
    this.seen = true;
    clearTimeout(this.waits);
    this.waits = setTimeout(() => this.prove(), QUIET);
  }

  on_stored({words, kept = ""}) { put_text(this.files.told, words); put_text(this.files.kept, kept); }

  prove(wanted = false) { this.board.model.send({kind: "prove", act: this.board.player.act, wanted}); }

  on_proved({words, proved, left}) {
    this.judged(words, proved);
    this.proves.hidden = !left;
    if (proved && this.broken && !this.board.edges.is_whole) this.show_whole(true);
    if (!proved && this.by_itself) this.show_whole(false);
    this.broken = !proved && !left;
  }

  // How the rule stands; while something is out or off, that comes first: the rule is judged with it put back.
  judged(words, proved = false) {
    Object.assign(this, {words, proved});
    put_text(this.rule, this.apart ? `${this.apart}${words[0].toLowerCase()}${words.slice(1)}` : words);
    this.rule.classList.toggle("proved", proved && !this.apart);
  }

  parted(apart) {
    this.apart = apart;
    if (this.place && this.words) this.judged(this.words, this.proved);
  }

  offer(list, all) {
    const what = JSON.stringify(all);
    if (list.dataset.all === what) return;
    list.dataset.all = what;
    list.replaceChildren(...all.map(each => Array.isArray(each) ? html("option", {value: each[0], label: `${each[0]}  ${each[1]}`}) : html("option", {value: each})));
  }

  stand(words) {
    while (this.stands.children.length <= words.length) html("p", {}, this.stands);
    words.forEach((each, index) => { put_text(this.stands.children[index + 1], each); this.stands.children[index + 1].title = each; });
    this.judged("Not proved yet.");
  }

  of_wire({name, fields, remove}) {
    return {name, remove: {says: remove, label: remove}, cells: fields.map(each => [this.field(name, each)])};
  }

  field(name, {column, shown, says}) {
    const list = WIRE_LISTS[column];
    return {column, shown, says, label: `${name} ${SPOKEN[column] ?? column}`, ...(list ? {list: `${this.prefix}${list}`} : {})};
  }

  // The row where the next wire is typed; what is typed there already stays until the wire is added.
  next_wire(next) { return {name: "", cells: Object.entries(next).map(([column, shown]) => [this.field("new wire", {column, shown, says: ""})])}; }

  // Keep what is typed in the last row.
  drafted({field: {column}, value}) {
    this.draft[column] = value;
    if (column === "from" || column === "to") this.show_usual();
  }

  // What was typed in the last row when the list was closed.
  take_up() {
    for (const each of this.wires.fields(this.wires.last)) each.value = this.draft[each.field.column] ?? each.value;
    this.wires.to_end();
  }

  // ------------------------------------------------------------- what hands do

  // Ask for a change; its answer comes back to where it was asked.
  ask(words, back) {
    this.asked.push({words, ...back});
    this.board.send({kind: "typed", words}, false);
  }

  answered(words) {
    const at = words ? this.asked.findIndex(each => each.words === words) : -1;
    return at < 0 ? null : this.asked.splice(at, 1)[0];
  }

  // Tell whether what is refused was asked here. [yes/no]
  refused(words, why, about) {
    const asked = this.answered(words);
    if (!asked || !this.place) return false;
    asked.refused(why, about);
    return true;
  }

  // What is typed in the last row, by column.
  get typed() { return this.values_of(this.wires.last); }
  values_of(row) { return Object.fromEntries(this.wires.fields(row).map(each => [each.field.column, each.value.trim()])); }

  // What is usual between two ends, in fields that nobody typed into.
  usual(from, to) {
    const {usual: {at, elsewhere}} = this.told, {typed, draft} = this, found = {...elsewhere, ...at[from], ...at[to]};
    return Object.fromEntries(Object.entries(found).map(([column, value]) => [column, column in draft ? typed[column] : value]));
  }

  // Show it in the last row as soon as its ends are typed.
  show_usual() {
    const usual = this.usual(this.typed.from, this.typed.to);
    for (const each of this.wires.fields(this.wires.last)) each.value = usual[each.field.column] ?? each.value;
  }

  // The sentence that adds a wire.
  sentence({name, from, to, colour, m, mm2}) {
    const measure = (value, unit) => /^[\d.,]+$/.test(value) ? `${value} ${unit}` : value;
    return ["add wire", name, "from", from, "to", to, colour, measure(m, "m"), measure(mm2, "mm2")].filter(Boolean).join(" ");
  }

  // Add the wire of the last row; the keyboard goes to the next one's first end.
  add(ledger, input) {
    const row = input.closest("tr"), all = ledger.fields(row), typed = this.values_of(row);
    const empty = all.find(each => !each.value.trim() && each.field.column !== "colour");
    if (empty) {
      ledger.why(empty, `${typed.name || "The new wire"}: '${SPOKEN[empty.field.column] ?? empty.field.column}' is empty. Type it or choose what is offered, then press Enter.`);
      return empty.focus();
    }
    this.ask(this.sentence(typed), {refused: (why, about) => ledger.refuse(row, input, why, about), taken: () => {
      this.draft = {};
      for (const each of all) ledger.as_it_was(each);
      if (row.contains(document.activeElement)) all[1].focus();
    }});
  }

  undo() { if (this.told?.undo) this.board.send({kind: "undo", words: this.told.undo}); }
  redo() { if (this.told?.redo) this.board.send({kind: "redo"}); }

  key(event) {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
    const {target} = event;
    event.stopPropagation();
    if (target.field ? target.value.trim() !== target.field.shown : target.tagName === "INPUT" && target.value) return;     // of the text that is typed
    event.shiftKey ? this.redo() : this.undo();
    event.preventDefault();
  }
}

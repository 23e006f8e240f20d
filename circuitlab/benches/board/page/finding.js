// The tab `find`: what is told of the vehicle in front of one, by hands on the drawing and beside the lamps, each as the sentence that it is;
// what may be at fault, and what to read next. Nothing of the circuit is known here.

import {html} from "./drawing.js";
import {button, own_keys, put_text, rove} from "./beside.js";
import {Symptoms} from "./symptoms.js";
import {Readings} from "./readings.js";
import {Answer} from "./answer.js";
import {Told, Mended} from "./told.js";
import {Suspects} from "./suspects.js";

const FIND_PAGES = ["answer", "reading", "told", "repair"];
const NEAR_END = 10;        // of the sheet, how far from a terminal a hand may be
const OTHER_LEAD = {red: "black", black: "red"};

const part_of = terminal => terminal.replace(/:[^:]*$/, "");

export class Finding {
  constructor(board) { Object.assign(this, {board, by_hand: null, turn: "red", page: "answer", drafts: 0, drafted: null, sought: null, symptoms: new Symptoms(this, board)}); }

  open(place) {
    const {board} = this;
    board.place.classList.add("finding");
    this.place = html("div", {class: "pin30-finding"}, place);
    const row = html("div", {class: "pin30-row pin30-sentence-row"}, this.place);
    this.sentence = html("input", {type: "text", class: "pin30-typed", "aria-label": "sentence to tell", spellcheck: "false", autocomplete: "off",
      placeholder: "what a lamp does, or what you read: chosen, or typed here"}, row);
    this.sentence.addEventListener("input", () => this.typed());
    own_keys(this.sentence, () => this.tell());
    button(row, "tell", () => this.tell(), "tell this sentence");
    this.alert = html("p", {role: "alert", class: "pin30-alert"}, this.place);
    const tabs = html("div", {role: "toolbar", "aria-label": "Find", class: "pin30-row"}, this.place);
    this.picks = Object.fromEntries(FIND_PAGES.map(what => [what, button(tabs, what, () => this.pick(what))]));
    rove(tabs);
    this.pages = Object.fromEntries(FIND_PAGES.map(what => [what, html("div", {class: `pin30-page ${what}`}, this.place)]));
    this.answer = new Answer(this.pages.answer, this);
    this.readings = new Readings(this.pages.reading, this);
    this.told = new Told(this.pages.told, this);
    this.mended = new Mended(this.pages.repair, this);
    this.symptoms.open();
    this.suspects = new Suspects(board);
    this.by_hand = this;
    board.drawing.fit();
    this.pick(this.page);
    this.sought = null;
    board.model.send({kind: "case"});
  }

  close() {
    if (!this.by_hand) return;
    this.by_hand = null;
    this.symptoms.close();
    this.suspects.close();
    this.board.place.classList.remove("finding");
    this.board.drawing.fit();
  }

  pick(what) {
    this.page = what;
    for (const each of FIND_PAGES) {
      this.picks[each].setAttribute("aria-pressed", String(each === what));
      this.pages[each].hidden = each !== what;
    }
    if (what === "repair") this.mended.ask();
  }

  // ------------------------------------------------------------- sentences

  draft(message) {
    this.drafted = {...message, kind: "draft", number: ++this.drafts};
    this.board.model.send(this.drafted);
  }

  clear() {
    this.drafted = null;
    this.drafts += 1;
    this.sentence.value = "";
    this.wrong("");
  }

  typed() {
    this.drafted = null;
    this.drafts += 1;
  }

  on_drafted({words, number}) {
    if (number !== this.drafts) return;         // more was chosen meanwhile
    this.sentence.value = words;
    this.made = number;
    this.wrong("");
    if (this.waits) this.tell();
  }

  // Tell the sentence; one that is still being made, once it is.
  tell() {
    this.waits = this.drafted !== null && this.made !== this.drafts;
    if (!this.waits) this.board.model.send({kind: "say", words: this.sentence.value});
  }

  // What is chosen after it stays in its field.
  tell_and_go_on() {
    if (this.made !== this.drafts || !this.drafted) return;
    this.goes_on = true;
    this.tell();
  }

  wrong(words) { put_text(this.alert, words); }

  refused(of, words) {
    if (!this.by_hand) return false;
    this.waits = this.goes_on = false;
    if (of === "say" || of === "draft") this.wrong(words);
    else put_text(this.shown.wrong, words);
    return ["say", "draft", "unsay", "file_case", "resume", "report", "retest", "retests", "mend", "seek"].includes(of);
  }

  // ------------------------------------------------------------- what the kit says

  on_case({version, said, took}) {
    this.symptoms.told(said);
    this.told.told(said);
    put_text(this.picks.told, `told ${said.filter(each => !each.back).length || ""}`.trim());
    if (took && this.goes_on) this.goes_on = false;
    else if (took) {
      if (this.sentence.value === took) this.clear();
      this.symptoms.done();
      this.readings.done();
      this.pick("answer");
    }
    if (version !== this.sought) this.seek(version);
  }

  seek(version) {
    this.sought = version;
    this.answer.busy("Working it out …");
    this.board.model.send({kind: "seek", version});
  }

  // Repair and retests go into the file as well, where there is one.
  keep() { this.board.model.send({kind: "seek", version: this.sought}); }

  on_going({words}) { this.answer.busy(words); }

  on_found(message) {
    if (message.version !== this.sought) return;
    this.answer.found(message);
    this.suspects.show(message.causes);
    if (message.causes.length) this.board.drawing.reveal(message.causes[0].place.map(part_of));
  }

  on_further(message) { if (message.version === this.sought) this.answer.further(message); }

  on_retests(message) { this.mended.retests(message); }

  on_filed({words}) { put_text(this.shown.filed, words); }

  get shown() { return this.page === "repair" ? this.mended : this.told; }

  // ------------------------------------------------------------- what hands do on the drawing

  get reach() { return NEAR_END; }

  pick_lead(lead) {
    this.turn = lead;
    this.readings.stand();
  }

  // One lead, then the other.
  lead(terminal) {
    const lead = this.turn;
    this.turn = OTHER_LEAD[lead];
    this.board.put(lead, terminal);
  }

  // The leads were put or taken otherwise.
  leads() {
    this.readings.stand();
    if (this.readings.said) this.readings.draft();
  }

  down(area) {
    if (area?.kind !== "terminal") return false;
    this.board.hands.focus(area.key);
    this.lead(area.name);
    this.pick("reading");
    return true;
  }

  work(area) {
    if (area.kind !== "terminal") return false;
    this.lead(area.name);
    this.pick("reading");
    return true;
  }

  follow() { return false; }
  up() {}
  key() { return false; }
  point(area) { this.readings.point(area); }

  acts_on({kind, name}) {
    const seen = this.board.still.finds.seen[name] ?? [];
    const look = said => () => { this.pick("reading"); this.readings.look(name, said); };
    const away = () => { this.pick("reading"); this.draft({said: "cannot get at this one", seen: kind === "terminal" ? "" : name, red: name, instrument: "meter"}); };
    return kind === "wire" ? [] : [...seen.map(said => [`seen ${said}`, look(said)]), ["cannot get at it", away]];
  }

  set_row(positions) {
    const {board} = this;
    for (const [name, position] of Object.entries(positions)) {
      if (board.position(name) === position) continue;
      const {springs, positions: [rest]} = board.control(name);
      if (springs) position === rest ? board.latched.delete(name) : board.latched.add(name);
      board.move(name, position);
    }
  }

  // Set the row, take out and off what the kit wants so and put back all else, and put the leads there.
  put(offer) {
    const {board} = this, {positions, out, lifted} = offer;
    this.set_row(positions);
    const change = (what, name, terminal) => board.send({kind: "change", what, name, terminal}), is_off = (all, [wire, end]) => all.some(([name, at]) => name === wire && at === end);
    for (const name of board.out) if (!out.includes(name)) change("back", name);
    for (const pair of board.off) if (!is_off(lifted, pair)) change("on", ...pair);
    for (const name of out) if (!board.out.includes(name)) change("out", name);
    for (const pair of lifted) if (!is_off(board.off, pair)) change("off", ...pair);
    this.turn = "red";
    if (offer.instrument === "watch") this.symptoms.watch(offer.look);
    else {
      this.pick("reading");
      this.readings.put(offer);
      this.readings.focus();
    }
    board.drawing.reveal([offer.red, offer.black, offer.look].map(part_of));
  }

  // The switches stand otherwise: what was told of this row is another.
  stand() {
    if (!this.by_hand) return;
    this.symptoms.stand();
    if (this.page === "repair") this.mended.ask();
    if (this.drafted) this.draft(this.drafted);
  }

  laid() {
    this.symptoms.laid();
    this.suspects.laid();
  }
}

// What is read or seen on the vehicle: the kind of meter, where its leads are, and what it shows; or that nobody can get there.

import {html} from "./drawing.js";
import {button, own_keys, put_text, rove} from "./beside.js";

const LOOKED_AT = "seen";
const READ_KINDS = {meter: "volts", "test lamp": "test lamp", amps: "amps", ohms: "ohms", [LOOKED_AT]: LOOKED_AT};
const READ_UNITS = {meter: "V", amps: "A", ohms: "ohm"};
const READ_WORDS = {meter: ["jumps"], ohms: ["no way"]};
const READ_HINTS = {
  ohms: "What is taken out or off on the drawing is told as well.",
  amps: "Amps: the meter in the place of the fuse, or in the wire: press that on the drawing.",
  [LOOKED_AT]: "A fuse pulled out, a bulb out of its socket: is it whole? A way of a block may have no fuse in it: missing."};
const UNREACHED = "cannot get at this one";

export class Readings {
  constructor(place, owner) {
    Object.assign(this, {owner, board: owner.board, said: "", through: "", place});
    const {finds} = this.board.still, {seen, swings} = finds;
    const kinds = html("div", {role: "toolbar", "aria-label": "What is read with", class: "pin30-row"}, place);
    this.kinds = Object.fromEntries(Object.entries(READ_KINDS).map(([kind, words]) => [kind, button(kinds, words, () => this.take(kind))]));
    rove(kinds);
    this.leads = html("div", {role: "toolbar", "aria-label": "Leads", class: "pin30-row"}, place);
    this.picks = Object.fromEntries(["red", "black"].map(lead => [lead, button(this.leads, "", () => this.owner.pick_lead(lead))]));
    button(this.leads, "leads away", () => { this.board.leads_away(); this.owner.turn = "red"; this.stand(); });
    rove(this.leads);
    this.what = html("label", {class: "pin30-row"}, place);
    html("span", {text: "looked at"}, this.what);
    this.seen = html("select", {class: "pin30-where"}, this.what);
    for (const name of Object.keys(seen)) html("option", {text: name}, this.seen);
    this.seen.addEventListener("change", () => this.look_at(this.seen.value));
    own_keys(this.seen);
    const row = html("div", {class: "pin30-row"}, place);
    this.label = html("label", {class: "pin30-row"}, row);
    html("span", {text: "it shows"}, this.label);
    this.value = html("input", {type: "text", class: "pin30-shows", "aria-label": "what the meter shows", inputmode: "decimal", spellcheck: "false", autocomplete: "off"}, this.label);
    this.unit = html("span", {}, this.label);
    this.value.addEventListener("input", () => this.show(this.value.value));
    own_keys(this.value, () => this.owner.tell());
    this.words = html("div", {role: "toolbar", "aria-label": "In a word", class: "pin30-row"}, row);
    const more = html("div", {class: "pin30-row"}, place), sure = html("label", {class: "pin30-row"}, more);
    this.unsure = html("input", {type: "checkbox"}, sure);
    html("span", {text: "not sure"}, sure);
    this.unsure.addEventListener("change", () => this.draft());
    own_keys(this.unsure);
    this.away = button(more, UNREACHED, () => this.show(UNREACHED));
    this.swings = Object.fromEntries(swings.map(name => [name, this.swing(more, name)]));
    this.hint = html("p", {}, place);
    this.sound = html("p", {class: "pin30-reading"}, place);
    this.kind = "meter";
    this.stand();
  }

  // A flasher held still, or read on MAX or MIN.
  swing(place, name) {
    const label = html("label", {class: "pin30-row"}, place), field = html("select", {class: "pin30-where"}, label);
    label.prepend(html("span", {text: `while ${name}`}));
    for (const [value, text] of [["", "runs"], ["on", "on"], ["off", "off"]]) html("option", {value, text}, field);
    field.addEventListener("change", () => this.draft());
    own_keys(field);
    return field;
  }

  take(kind) {
    this.kind = kind;
    this.show("");
    if (kind !== LOOKED_AT && kind !== "amps") this.board.measure(kind);
    this.stand();
  }

  show(said) {
    this.said = said;
    if (this.value !== document.activeElement) this.value.value = /\d/.test(said) ? said : "";
    this.draft();
    this.press();
  }

  draft() {
    const {kind, said, board: {leads}, owner} = this, looked_at = kind === LOOKED_AT;
    if (!said.trim()) return owner.clear();
    const where = looked_at ? {seen: this.seen.value} : kind === "amps" && said !== UNREACHED ? {through: this.through} : {red: leads.red ?? "", black: leads.black ?? ""};
    if (said === UNREACHED && kind === "amps") where.seen = this.through;
    const missing = looked_at ? "" : kind === "amps" ? !this.through && "Press on the drawing what it flows through." : !leads.red && "Put the red lead on a terminal of the drawing.";
    if (missing) return owner.wrong(missing);
    owner.draft({said, instrument: looked_at ? "look" : kind, sure: !this.unsure.checked, phases: Object.fromEntries(
      Object.entries(this.swings).map(([name, field]) => [name, looked_at || kind === "ohms" ? "" : field.value])), ...where});
  }

  // Which terminals the leads are on, and which goes next.
  stand() {
    const {kind, board: {leads, still}, owner} = this, looked_at = kind === LOOKED_AT, amps = kind === "amps";
    for (const [each, pick] of Object.entries(this.kinds)) pick.setAttribute("aria-pressed", String(each === kind));
    for (const [lead, pick] of Object.entries(this.picks)) {
      const at = leads[lead] ?? (lead === "black" ? still.zero : "");
      put_text(pick, `${lead} ${at ? `on ${at}` : "lead"}`);
      pick.setAttribute("aria-pressed", String(owner.turn === lead));
    }
    this.leads.hidden = looked_at || amps;
    this.what.hidden = !looked_at;
    this.label.hidden = looked_at || kind === "test lamp";
    put_text(this.unit, `${READ_UNITS[kind] ?? ""}${amps && this.through ? ` through ${this.through}` : ""}`);
    const words = kind === "test lamp" ? still.finds.brightness : looked_at ? this.states : READ_WORDS[kind] ?? [];
    if (this.words.dataset.all !== `${words}`) {
      this.words.dataset.all = `${words}`;
      this.words.replaceChildren();
      this.buttons = words.map(each => button(this.words, each, () => this.show(each)));
      rove(this.words);
    }
    for (const field of Object.values(this.swings)) field.parentNode.hidden = looked_at || kind === "ohms";
    put_text(this.hint, [still.finds.cautions[kind], READ_HINTS[kind]].filter(Boolean).join(" "));
    this.sound.hidden = looked_at || amps || kind === "ohms";
    this.press();
  }

  // What may be seen of the one that is looked at.
  get states() { return this.board.still.finds.seen[this.seen.value] ?? []; }

  press() { for (const each of this.buttons) each.setAttribute("aria-pressed", String(each.textContent === this.said)); }

  // What was pressed on the drawing: amps flow through it, or it is looked at.
  point({kind, name}) {
    if (kind === "terminal" || !name) return;
    this.through = name;
    if (this.kind === LOOKED_AT) return this.look_at(name);
    this.stand();
    if (this.said && this.kind === "amps") this.draft();
  }

  // Another part is looked at; what was said goes with it, unless it cannot be seen of this one.
  look_at(name) {
    if (name in this.board.still.finds.seen) this.seen.value = name;
    this.stand();
    if (this.said) this.show([...this.states, UNREACHED].includes(this.said) ? this.said : "");
  }

  // A part that was looked at, or a place nobody can get at, told from the drawing.
  look(name, said) {
    this.kind = LOOKED_AT;
    if (name in this.board.still.finds.seen) this.seen.value = name;
    this.stand();
    this.show(said);
  }

  // What the kit wants read or looked at next.
  put({red, black, instrument, look, phases}) {
    this.unsure.checked = false;
    for (const [name, field] of Object.entries(this.swings)) field.value = phases[name] ?? "";
    if (instrument === "look") this.look(look, "");
    else {
      this.board.probe_with(instrument, {red, black});
      this.take(instrument);
    }
  }

  focus() { (this.label.hidden ? this.buttons[0] : this.value).focus(); }

  done() {
    this.said = this.value.value = "";
    this.unsure.checked = false;
    this.press();
  }
}

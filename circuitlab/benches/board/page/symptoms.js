// Beside each lamp what it does on the vehicle, one of the closed list of looks, in the row that the switches stand in; and what is said besides.

import {html} from "./drawing.js";
import {button, own_keys, rove} from "./beside.js";

const NO_LOOK = "not told";

export class Symptoms {
  constructor(owner, board) { Object.assign(this, {owner, board, besides: [], said: []}); }

  open() {
    const {lamps_place} = this.board.beside, {besides} = this.board.still.finds;
    this.head = html("p", {class: "pin30-looks-head", text: "Lamps, lit here as they shall be. What does yours do, with the switches like this?"});
    lamps_place.before(this.head);
    this.row = html("div", {role: "toolbar", "aria-label": "Said besides", class: "pin30-row pin30-besides"});
    lamps_place.after(this.row);
    this.buttons = besides.map(words => button(this.row, words, () => this.beside(words)));
    rove(this.row);
    this.laid();
    this.press();
  }

  close() {
    for (const each of [this.head, this.row, ...Object.values(this.fields)]) each.remove();
    this.fields = {};
  }

  // The lamps may be listed anew, in another order.
  laid() {
    const {lamps} = this.board.beside, {finds: {looks}, lamps: all} = this.board.still;
    for (const field of Object.values(this.fields ?? {})) field.remove();
    this.fields = Object.fromEntries(all.map(({name, place}) => {
      const field = html("select", {class: "pin30-look", "aria-label": `what ${name} ${place} does`}, lamps[name].value.parentNode);
      for (const look of [NO_LOOK, ...looks]) html("option", {text: look}, field);
      field.addEventListener("change", () => this.choose(name));
      own_keys(field, () => this.owner.tell());
      return [name, field];
    }));
    this.stand();
  }

  choose(lamp) {
    const look = this.fields[lamp].value;
    if (this.lamp && this.lamp !== lamp) this.owner.tell_and_go_on();     // what was chosen beside another lamp is not lost
    this.lamp = look === NO_LOOK ? null : lamp;
    if (this.lamp) this.owner.draft({lamp, look, besides: this.besides});
    else this.owner.clear();
    for (const [name, field] of Object.entries(this.fields)) if (name !== lamp) field.value = this.look_told(name);
  }

  // The kit asks what a lamp does: its field is next.
  watch(lamp) { this.fields[lamp].focus(); }

  beside(words) {
    this.besides = this.besides.includes(words) ? this.besides.filter(each => each !== words) : [...this.besides, words];
    this.press();
    if (this.lamp) this.choose(this.lamp);
  }

  press() { for (const each of this.buttons) each.setAttribute("aria-pressed", String(this.besides.includes(each.textContent))); }

  // What was told of a lamp in the row that the switches stand in.
  look_told(name) {
    const {board} = this, here = positions => Object.entries(positions).every(([control, position]) => board.position(control) === position);
    return this.said.filter(each => each.lamp === name && !each.back && here(each.positions)).pop()?.look ?? NO_LOOK;
  }

  // Another row, or more told: what is chosen and not told yet stays.
  stand() { for (const [name, field] of Object.entries(this.fields ?? {})) if (name !== this.lamp) field.value = this.look_told(name); }

  told(said) {
    this.said = said;
    this.stand();
  }

  // The sentence went out, or was let go.
  done() {
    this.lamp = null;
    this.besides = [];
    if (this.buttons) this.press();
    this.stand();
  }
}

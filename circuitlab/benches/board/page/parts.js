// Beside the wires: every part with its values and place as fields, and the shelf that new ones are taken from.

import {html} from "./drawing.js";
import {button, own_keys, rove} from "./beside.js";
import {Ledger} from "./ledger.js";

export class Parts {
  constructor(place, owner) {
    Object.assign(this, {place, owner, others: {}});
    const row = html("div", {class: "pin30-row"}, place);
    html("span", {text: "add", "aria-hidden": "true"}, row);
    this.typed = html("input", {type: "text", "aria-label": "add a part, as a sentence", spellcheck: "false", autocomplete: "off", class: "pin30-sentence",
      placeholder: "take one from the shelf, or type: add part K1 relay", list: `${owner.prefix}shelf`, "data-lm-suppress-shortcuts": "true"}, row);
    own_keys(this.typed, () => this.add());
    button(row, "add it", () => this.add());
    this.why = html("p", {role: "alert", class: "pin30-alert", id: `${owner.prefix}why-part`}, place);
    this.offers = html("datalist", {id: `${owner.prefix}shelf`}, place);
    this.shelf = html("div", {role: "toolbar", "aria-label": "Shelf", class: "pin30-row pin30-shelf"}, place);
    this.ledger = new Ledger(place, "Parts", ["part", "kind", "place and values"], owner);
  }

  fill({parts, shelf}) {
    this.ledger.fill(parts.map(part => this.of_part(part)));
    const all = JSON.stringify(shelf), had = [...this.shelf.children].indexOf(document.activeElement);
    if (this.shelf.dataset.all === all) return;
    this.shelf.dataset.all = all;
    this.shelf.replaceChildren();
    this.offers.replaceChildren(...shelf.map(([words, sentence]) => html("option", {value: sentence, label: words})));
    for (const [words, sentence] of shelf) button(this.shelf, words, () => this.take(sentence, words), `take ${words} from the shelf`);
    rove(this.shelf);
    if (had >= 0) this.shelf.children[had]?.focus();
  }

  of_part({name, kind, fields, values, other, others, place, remove, takes, goes, leaving}) {
    const list = `${this.owner.prefix}values-${kind.replace(/\W/g, "-")}`;
    if (!this.others[list]) this.others[list] = html("datalist", {id: list}, this.place);
    this.owner.offer(this.others[list], others.map(words => `${words} `));
    const field = told => ({...told, label: `${name} ${told.column}`});
    const value = told => ({...field(told), caption: told.column, grows: true});
    return {name, remove: {says: remove, label: takes ? `remove ${name} with ${takes}` : remove, goes, leaving}, cells: [fields.map(field), [{text: kind}],
      [value(place), ...values.map(value), {...field(other), list, hint: "other value", grows: true}]]};
  }

  take(sentence, words) {
    this.typed.value = sentence;
    this.owner.by_hand.take_part(words);
    this.typed.focus();
    this.typed.setSelectionRange(sentence.length, sentence.length);
  }

  add() {
    const words = this.typed.value.trim();
    this.owner.ask(words, {taken: () => { if (this.typed.value.trim() === words) this.typed.value = ""; this.refused(""); this.owner.by_hand.let_go(); }, refused: why => this.refused(why)});
  }

  refused(words) {
    this.why.textContent = words;
    for (const [name, value] of [["aria-invalid", "true"], ["aria-describedby", this.why.id]]) words ? this.typed.setAttribute(name, value) : this.typed.removeAttribute(name);
  }
}

// The circuit's title, saving it whole, and taking up one that was never saved.

import {html} from "./drawing.js";
import {button, own_keys, put_text, rove} from "./beside.js";

export class Files {
  constructor(place, owner) {
    Object.assign(this, {owner, place});
    this.title = this.field("title of the circuit", "title", () => this.rename());
    this.title.addEventListener("focusout", () => this.rename());
    this.file = this.field("file for the circuit", "file", () => this.save());
    button(this.file.parentNode, "save circuit", () => this.save());
    this.told = html("p", {role: "status"}, place);
    this.kept = html("p", {}, place);
    this.offers = html("div", {role: "toolbar", "aria-label": "Circuits not saved", class: "pin30-row"}, place);
  }

  field(label, words, enter) {
    const row = html("div", {class: "pin30-row"}, this.place);
    html("span", {text: words, class: "pin30-name", "aria-hidden": "true"}, row);
    const made = html("input", {type: "text", "aria-label": label, spellcheck: "false", autocomplete: "off", class: "pin30-sentence", "data-lm-suppress-shortcuts": "true"}, row);
    made.addEventListener("keydown", event => { if (event.key === "Escape" && made === this.title) this.title.value = this.stood; });
    own_keys(made, enter);
    return made;
  }

  fill({title, file, kept, offered}) {
    if (this.title.value === (this.stood ?? "")) this.title.value = title;
    this.stood = title;
    if (!this.file.value) this.file.value = file;
    put_text(this.kept, kept);
    const all = JSON.stringify(offered);
    if (this.offers.dataset.all === all) return;
    this.offers.dataset.all = all;
    this.offers.replaceChildren();
    if (offered.length) html("span", {text: "A circuit you had not saved is there:"}, this.offers);
    for (const name of offered) button(this.offers, `take up ${name}`, () => this.owner.board.go({kind: "take_up", file: name}));
    rove(this.offers);
  }

  rename() {
    const title = this.title.value.trim();
    if (title && title !== this.stood) this.owner.ask(`title ${JSON.stringify(title)}`, {refused: words => put_text(this.told, words), taken: () => put_text(this.told, "")});
  }

  save() { this.owner.board.model.send({kind: "store", file: this.file.value}); }
}

// The tab `change`: values to turn, a change typed as a sentence, the list of all that is changed with an undo for each, and saving.

import {html} from "./drawing.js";
import {button, own_keys, put_text, rove} from "./beside.js";

export class Change {
  constructor(board) { Object.assign(this, {board, place: null, turns: {}, listed: [], words: "", file: board.still.file}); }

  open(place) {
    this.place = html("div", {class: "pin30-change"}, place);
    const {still} = this.board, make = () => this.board.send({kind: "typed", words: this.typed.value}, false);
    const row = this.row("change");
    this.typed = this.field(row, "type a change", this.words, still.example && `such as: ${still.example}`, make, value => this.words = value);
    button(row, "do it", make, "do it: make the change that is typed");
    this.wrong = html("p", {role: "alert", class: "pin30-alert"}, this.place);
    const forms = html("details", {}, this.place);
    html("summary", {text: "what can be typed"}, forms);
    const list = html("ul", {}, forms);
    for (const form of still.help) html("li", {text: form}, list);
    this.list = html("ul", {class: "pin30-changes", "aria-label": "Changes made"}, this.place);
    this.sliders = still.dials.map(dial => this.dial(dial));
    const saving = this.row("file");
    this.name = this.field(saving, "file for the changes", this.file, "", () => this.save(), value => this.file = value);
    button(saving, "save", () => this.save(), "save the changes");
    this.told = html("p", {"aria-live": "polite"}, this.place);
    this.put_turns();
    this.put_list();
  }

  close() { this.place = null; }

  row(words) {
    const made = html("div", {class: "pin30-row"}, this.place);
    html("span", {text: words, class: "pin30-name", "aria-hidden": "true"}, made);
    return made;
  }

  field(row, words, value, hint, enter, keep) {
    const made = html("input", {type: "text", "aria-label": words, placeholder: hint, spellcheck: "false", autocomplete: "off"}, row);
    made.value = value;
    made.addEventListener("input", () => keep(made.value));
    own_keys(made, enter);
    return made;
  }

  dial({words, unit, least, most}) {
    const row = html("label", {class: "pin30-row"}, this.place), share = unit === "";
    html("span", {text: words, class: "pin30-name"}, row);
    const slider = html("input", {type: "range", min: least, max: most, step: share ? 0.01 : unit === "V" ? 0.1 : 1}, row);
    const shown = html("span", {"aria-hidden": "true"}, row);
    const tell = () => {
      const said = share ? `${Math.round(slider.value * 100)} %` : `${slider.value} ${unit === "V" ? "V" : "a minute"}`;
      put_text(shown, said);
      slider.setAttribute("aria-valuetext", said);
    };
    slider.addEventListener("input", tell);
    slider.addEventListener("change", () => this.board.send({kind: "dial", words, value: Number(slider.value)}));
    own_keys(slider);
    return [words, slider, tell];
  }

  save() { this.board.model.send({kind: "save", file: this.name.value}); }

  // How values and the list stand now, as the kit says.
  stand({turned, listed}) {
    Object.assign(this, {turns: turned ?? {}, listed: listed ?? []});
    if (!this.place) return;
    if (`${Object.keys(this.turns)}` !== `${this.sliders.map(([words]) => words)}`) return this.renew();
    put_text(this.told, "");
    put_text(this.wrong, "");
    this.put_turns();
    this.put_list();
  }

  // A part with a value to turn is gone or new.
  renew() {
    const {place} = this, had = place.contains(document.activeElement);
    this.open(place.parentNode);
    place.remove();
    if (had) this.typed.focus();
  }

  put_turns() { for (const [words, slider, tell] of this.sliders) { if (words in this.turns) slider.value = this.turns[words]; tell(); } }

  // The list anew, where it is another; the keyboard stays where it is, or comes to what took its place.
  put_list() {
    const all = JSON.stringify(this.listed), buttons = [...this.list.querySelectorAll("button")], at = buttons.indexOf(document.activeElement);
    if (this.list.dataset.all === all) return;
    this.list.dataset.all = all;
    this.list.replaceChildren();
    if (!this.listed.length) html("li", {text: "Nothing is changed."}, this.list);
    for (const words of this.listed) {
      const line = html("li", {}, this.list);
      button(line, "undo", () => this.board.send({kind: "undo", words}), `undo ${words}`);
      html("span", {text: words}, line);
    }
    if (this.listed.length > 1) button(html("li", {}, this.list), "undo all", () => this.board.send({kind: "undo", words: ""}), "undo all changes");
    rove(this.list);
    if (at >= 0) (this.list.querySelectorAll("button")[Math.min(at, Math.max(0, this.listed.length - 1))] ?? this.typed).focus();
  }

  // What was typed is made: the field is free for the next, unless that has begun.
  took(words) {
    if (this.words !== words) return;
    this.words = "";
    if (this.place) this.typed.value = "";
  }

  // Why a change that was typed here is refused, below its field; tell whether it was. [yes/no]
  refused(of, words) {
    if (of !== "typed" || !this.place) return false;
    put_text(this.wrong, words);
    return true;
  }

  saved(words) { if (this.place) put_text(this.told, words); }
}

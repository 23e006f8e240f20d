// The rule: for each lamp a sentence that says what it shall do, typed or put together from looks and positions; published rules to take.

import {html} from "./drawing.js";
import {button, put_text, rove} from "./beside.js";
import {Ledger} from "./ledger.js";

export class Rules {
  constructor(place, owner) {
    Object.assign(this, {place, owner, look: "steady", where: new Set()});
    this.told = html("p", {}, place);
    this.ledger = new Ledger(place, "Rule", ["lamp", "shall be; in all other rows dark"], owner);
    this.ledger.body.addEventListener("focusin", event => this.point(event.target.closest("tr")));
    this.builder = html("div", {class: "pin30-builder"}, place);
    const more = html("details", {}, place);
    html("summary", {text: "published rules that fit"}, more);
    this.published = html("div", {role: "toolbar", "aria-label": "Published rules", class: "pin30-row"}, more);
    this.source = html("p", {"aria-live": "polite"}, place);
  }

  fill({lamps, looks, controls, published}) {
    put_text(this.told, lamps.length ? "" : "There is no lamp yet. Take one from the shelf of parts.");
    this.ledger.fill(lamps.map(({name, words, sentence, says, forget}) => ({name, remove: forget && {says: forget, label: forget},
      cells: [[{text: words}], [{column: "sentence", shown: sentence, says, label: `${name} shall be`, hint: "such as: steady when key on"}]]})));
    const all = JSON.stringify([looks, controls]);
    if (this.builder.dataset.all !== all) this.build(looks, controls, all);
    this.put_published(published);
    if (!lamps.some(({name}) => name === this.lamp)) this.lamp = lamps[0]?.name;
    this.stand();
  }

  // Buttons for a look and for positions, which together make a choice of the lamp that is pointed at.
  build(looks, controls, all) {
    this.builder.replaceChildren();
    this.builder.dataset.all = all;
    this.where.clear();
    this.looks = this.row("look", looks, look => { this.look = look; this.stand(); });
    this.places = controls.map(([name, positions]) => this.row(name, positions, words => {
      const was = this.where.has(words);
      for (const [, each] of positions) this.where.delete(each);
      if (!was) this.where.add(words);
      this.stand();
    }));
    const row = html("div", {class: "pin30-row"}, this.builder);
    this.puts = button(row, "", () => this.put());
  }

  row(name, all, press) {
    const row = html("div", {role: "toolbar", "aria-label": name, class: "pin30-row"}, this.builder);
    html("span", {text: name, class: "pin30-name"}, row);
    const made = all.map(each => { const [shown, words] = [each].flat(); return [words ?? shown, button(row, shown, () => press(words ?? shown), `${name}: ${shown}`)]; });
    rove(row);
    return made;
  }

  point(row) {
    if (row?.dataset.name) this.lamp = row.dataset.name;
    this.stand();
  }

  get choice() { return `${this.look}${this.where.size ? ` when ${[...this.where].join(" and ")}` : ""}`; }

  stand() {
    for (const [look, each] of this.looks ?? []) each.setAttribute("aria-pressed", String(look === this.look));
    for (const [words, each] of (this.places ?? []).flat()) each.setAttribute("aria-pressed", String(this.where.has(words)));
    if (this.puts) put_text(this.puts, `write for ${this.lamp}: ${this.choice}`);
    this.builder.hidden = !this.lamp;
  }

  // Set the choice behind those that the lamp's sentence has already, where it can be altered before Enter.
  put() {
    const input = this.ledger.fields(this.ledger.rows.get(this.lamp))[0], had = input.value.trim();
    input.value = had ? `${had}; ${this.choice}` : this.choice;
    input.focus();
  }

  put_published(all) {
    const what = JSON.stringify(all);
    if (this.published.dataset.all === what) return;
    this.published.dataset.all = what;
    this.published.replaceChildren();
    this.published.parentNode.hidden = !all.length;
    for (const {name, title, source, sentences} of all) {
      const made = button(this.published, name, () => {
        put_text(this.source, `${title}. Source: ${source}`);
        for (const words of sentences) this.owner.ask(words, {refused: why => put_text(this.source, why)});
      }, `take the rule ${name}`);
      made.title = `${title}. Source: ${source}`;
    }
    rove(this.published);
  }
}

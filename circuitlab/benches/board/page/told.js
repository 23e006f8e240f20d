// Every sentence told, each to be taken back and told again; the case in its file; and repair, retest of every row, who signs, report.

import {html} from "./drawing.js";
import {button, own_keys, put_text, rove} from "./beside.js";

const labelled = (place, words, value, enter) => {
  const label = html("label", {class: "pin30-row"}, place);
  html("span", {text: words}, label);
  const field = html("input", {type: "text", class: "pin30-typed", spellcheck: "false", autocomplete: "off"}, label);
  field.value = value;
  own_keys(field, enter);
  return field;
};

export class Told {
  constructor(place, owner) {
    Object.assign(this, {owner, send: message => { put_text(this.wrong, ""); owner.board.model.send(message); }});
    this.list = html("ul", {class: "pin30-table pin30-told-list", tabindex: 0, "aria-label": "Told so far"}, place);
    const row = html("div", {class: "pin30-row"}, place);
    this.file = labelled(row, "case", owner.board.still.finds.file, () => this.save());
    button(row, "save", () => this.save(), "save the case");
    button(row, "go on with it", () => this.send({kind: "resume", file: this.file.value}), "go on with the case in this file");
    this.wrong = html("p", {role: "alert", class: "pin30-alert"}, place);         // why something is refused: it stays beside what is filed meanwhile
    this.filed = html("p", {role: "status"}, place);
    const forms = html("details", {}, place);
    html("summary", {text: "what can be typed as a sentence"}, forms);
    for (const text of owner.board.still.finds.forms) html("p", {text}, forms);
  }

  save() { this.send({kind: "file_case", file: this.file.value}); }

  // The list anew; the keyboard stays on the sentence it was on.
  told(said) {
    const buttons = [...this.list.querySelectorAll("button")], at = buttons.indexOf(document.activeElement);
    this.list.replaceChildren();
    if (!said.length) html("li", {text: "Nothing is told yet."}, this.list);
    said.forEach(({words, back}, number) => {
      const line = html("li", {class: back ? "back" : ""}, this.list), does = back ? "tell again" : "take back";
      button(line, does, () => this.send({kind: "unsay", number, back: !back}), `${does} ${words}`);
      html("span", {text: back ? `${words} (taken back)` : words}, line);
    });
    rove(this.list);
    if (at >= 0) this.list.querySelectorAll("button")[at]?.focus();
  }
}

export class Mended {
  constructor(place, owner) {
    Object.assign(this, {owner, send: message => { put_text(this.wrong, ""); owner.board.model.send(message); }});
    this.row = html("p", {role: "status"}, place);
    const again = html("div", {class: "pin30-row"}, place);
    button(again, "this row is good", () => this.retest("good"));
    this.how = labelled(again, "or it shows", "", () => this.retest(this.how.value));
    button(again, "note it", () => this.retest(this.how.value), "note what this row shows");
    this.next = button(again, "set the next row", () => this.owner.set_row(this.upcoming), "set the switches to the next row that waits");
    this.waits = html("p", {}, place);
    const mended = html("div", {class: "pin30-row"}, place), note = () => { this.send({kind: "mend", repair: this.repair.value, signed: this.signed.value, vehicle: this.vehicle.value}); this.owner.keep(); };
    this.repair = labelled(mended, "repair", "", note);
    this.signed = labelled(mended, "signed", "", note);
    this.vehicle = labelled(mended, "vehicle", "", note);
    button(mended, "note it", note, "note repair, who signs and which vehicle");
    const report = html("div", {class: "pin30-row"}, place), print = () => this.send({kind: "report", file: this.report.value});
    this.report = labelled(report, "report", owner.board.still.finds.file.replace(/\.case$/, ".html"), print);
    button(report, "print it to this file", print);
    this.wrong = html("p", {role: "alert", class: "pin30-alert"}, place);         // why something is refused: it stays beside what is filed meanwhile
    this.filed = html("p", {role: "status"}, place);
  }

  retest(how) {
    this.send({kind: "retest", how});
    this.how.value = "";
    this.owner.keep();
  }

  ask() { this.send({kind: "retests"}); }

  retests({row, expected, how, waiting, upcoming, rows, closed, repair, signed, vehicle}) {
    this.upcoming = upcoming;
    this.next.disabled = !waiting.length || waiting[0] === row;
    put_text(this.row, `This row, ${row}: shall be ${expected}. ${how ? `It was: ${how}.` : "Not worked again yet."}`);
    const first = waiting.length ? ` Next of them: ${waiting[0]}.` : "";
    put_text(this.waits, closed ? "The case is closed: repaired, every row good, signed." : `${rows - waiting.length} of ${rows} rows are worked again; ${waiting.length} wait.${first}`);
    for (const [field, words] of [[this.repair, repair], [this.signed, signed], [this.vehicle, vehicle]]) if (field !== document.activeElement && words) field.value = words;
  }
}

// What hands did so far, line by line: played again from the start, saved, and read from a file.

import {html} from "./drawing.js";
import {button, own_keys, rove, put_text} from "./beside.js";

export class Acts {
  constructor(place, board) {
    this.board = board;
    const row = html("div", {role: "toolbar", "aria-label": "Acts", class: "pin30-row"}, place);
    this.again = button(row, "replay", () => this.play({kind: "replay"}));
    button(row, "save", () => board.model.send({kind: "keep", name: this.name.value}));
    button(row, "load", () => this.play({kind: "take", name: this.name.value}));
    rove(row);
    const label = html("label", {class: "pin30-row"}, place);
    html("span", {text: "file"}, label);
    this.name = html("input", {type: "text", value: "mine.script", class: "pin30-where", spellcheck: "false"}, label);
    own_keys(this.name);
    this.kept = html("p", {role: "status"}, place);
    this.list = html("ol", {class: "pin30-table pin30-acts", tabindex: 0, "aria-label": "Acts so far"}, place);
    board.model.send({kind: "acts"});
  }

  // From the start; time runs as soon as the record has begun anew.
  play(message) {
    put_text(this.kept, "");
    this.board.plays = true;
    this.board.go(message);
  }

  on_acts({lines, done}) {
    this.again.disabled = !lines.length;
    this.list.replaceChildren(...lines.map(([when, words], index) => html("li", {text: `${when}: ${words}${index < done ? "" : " (to come)"}`})));
    if (!lines.length) html("li", {text: "Nothing yet: work the drawing."}, this.list);
    this.list.scrollTop = (this.list.children[Math.max(0, done - 1)]?.offsetTop ?? 0) - this.list.clientHeight / 2;
  }

  acted() { this.board.model.send({kind: "acts"}); }

  on_kept({words}) { put_text(this.kept, words); }
}

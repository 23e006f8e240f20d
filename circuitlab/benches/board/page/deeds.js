// What can be done with what is chosen, besides working its control: each with its words, as buttons.

import {put_text} from "./beside.js";

export const DEEDS = {
  // [words, deed] of an area.
  acts_on(area) {
    const {kind, name, start, end} = area, by_hand = this.by_hand?.acts_on(area) ?? [];
    const change = (what, words, terminal) => [words, () => this.send({kind: "change", what, name, terminal})];
    if (kind === "terminal") return [...by_hand, ...["red", "black"].map(lead => [`${lead} lead here`, () => this.put(lead, name)])];
    if (kind === "wire") return [...by_hand, ...[start, end].map(terminal => this.off.some(([wire, at]) => wire === name && at === terminal)
      ? change("on", `put back on ${terminal}`, terminal) : change("off", `take off ${terminal}`, terminal))];
    if (!this.still.pulled[name]) return by_hand;
    const [pull, back] = this.still.pulled[name];
    const blown = this.drawing.states?.[name] === "blown" ? [change("new", "put a new one in")] : [];
    const deeds = (this.still.deeds[name] ?? []).map(([words, sentence]) => [words, () => this.send({kind: "typed", words: sentence}, false)]);
    return [...by_hand, this.out.includes(name) ? change("back", back) : change("out", pull), ...blown, ...deeds];
  },

  // Part a plug or put it in.
  plug(name, state) {
    if ((state === "parted") !== this.out.includes(name)) this.send({kind: "change", what: state === "parted" ? "out" : "back", name});
  },

  // What was told of is gone: nothing is told any more, and nothing can be done with it.
  tells_of_none() {
    if (!this.shown) put_text(this.beside.told, "");
    this.offer();
  },

  offer() { this.beside.offer(this.chosen ? this.acts_on(this.chosen) : []); },
};

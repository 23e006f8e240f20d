// The reel: stands in for the kit on a page of its own. Every throw of every control was played beforehand; it computes nothing anew.

import {lastBefore} from "./player.js";

const PIECE = 4e6;      // us, least length of one piece of what lies ahead

export class Reel {
  constructor(drawn) { Object.assign(this, drawn, {heard: null, stays: [], sent: 0, act: 0, out: []}); }

  get(name) { return this[name]; }
  on(kind, heard) { if (kind === "msg:custom") this.heard = heard; }
  off() { this.heard = null; }

  // Answers come after the one who sent is done, as from the kit.
  send(message) { queueMicrotask(() => this[`hear_${message.kind}`]?.(message)); }
  answer(kind, message) { this.heard?.({kind, ...message}); }

  hear_hello() { this.stay({act: 0, at: 0}, 0); }

  hear_act({control, position, ...when}) {
    const {stand, stretch} = this.place(when.at), throws = stand.stretches[stretch].throws;
    this.stay(when, throws[control][position]);
  }

  hear_fresh(when) {
    Object.assign(this, {stays: [], out: []});
    this.stay(when, 0, "Started over: everything at rest, fuses whole.");
  }

  hear_more({act}) {
    if (act !== this.act) return;
    this.turns(this.sent);
  }

  // Some seconds of the stand that was come to, from a moment on where its turn begins.
  turns(from, said = "") {
    const {turn, swaps, curves, verdict, sentence} = this.stands[this.throws[this.stays.at(-1).number].stand];
    const turns = turn ? Math.ceil(PIECE / turn) : 1, long = turn || PIECE, begins = [...Array(turns).keys()].map(each => from + each * long);
    const runs = Object.entries(curves).map(([lamp, curve]) => {
      const held = turn ? curve : [[0, ...curve.at(-1).slice(1)], [long, ...curve.at(-1).slice(1)]];
      return [lamp, begins.flatMap(begin => shifted(held, begin, 1e-6))];
    });
    const until = verdict === "settled" ? from + turns * long : from;
    this.ahead(from, until, begins.flatMap(begin => shifted(swaps, begin)), Object.fromEntries(runs), said, verdict, sentence);
  }

  // A plug parted or put in: the controls thrown to where they stand, one after the other, as if it had been so from rest on.
  hear_change({what, name, act, at}) {
    const out = what === "out" ? [...this.out, name] : this.out.filter(each => each !== name), stands = this.place(at).stand;
    this.out = this.still.plugs.filter(each => out.includes(each));
    let {throw: number} = this.begins[this.out.join(" ")];
    for (const [control, position] of Object.entries(this.positions(stands)))
      if (this.positions(this.led(number))[control] !== position) number = this.led(number).stretches[0].throws[control][position];
    this.stays.push({at, number, past: this.throws[number].settled});
    this.act = act;
    const [[, key]] = this.led(number).swaps;
    this.answer("now", {act, at, key, pictures: this.drawn([key]), out: this.out, off: []});
    const [done, where] = what === "out" ? ["parted", "out"] : ["mated again", "in"];
    this.turns(at, `${name} ${done}. ${this.led(number).said} This page shows the circuit as it settles with the plug ${where} from the start.`);
  }

  led(number) { return this.stands[this.throws[number].stand]; }
  positions({stretches: [{key}]}) { return this.pictures[key].positions; }

  hear_tell({name, at}) {
    const {stand, stretch, known} = this.place(at), word = stand.stretches[stretch].told[this.names.indexOf(name)];
    this.answer("told", {name, words: known ? this.words[word] : `${name}: just moving. What is read here is told once it has moved.`});
  }

  hear_table() { this.answer("table", {html: this.begins[this.out.join(" ")].table}); }

  // Go on with a throw: what it changes now first, then what lies ahead.
  stay({act, at}, number, said) {
    const {swaps, settled, curves, stand, said: told} = this.throws[number], [[, key]] = swaps;
    this.stays.push({at, number});
    this.act = act;
    this.answer("now", {act, at, key, pictures: this.drawn([key]), out: this.out, off: []});
    const runs = Object.entries(curves).map(([lamp, curve]) => [lamp, shifted(curve, at, 1e-6)]), {verdict, sentence} = this.stands[stand];
    this.ahead(at, at + settled, shifted(swaps.slice(1), at), Object.fromEntries(runs), said ?? told, verdict, sentence);
  }

  ahead(from, until, swaps, curves, said = "", verdict = "settled", sentence = "") {
    this.sent = until;
    this.answer("ahead", {act: this.act, from, until, swaps, curves, said, verdict, sentence, pictures: this.drawn(swaps.map(([, key]) => key))});
  }

  // Pictures put together from their bits.
  drawn(keys) {
    return Object.fromEntries(keys.map(key => {
      const picture = this.pictures[key];
      if (typeof picture.svg !== "string") picture.svg = picture.svg.map(bit => this.bits[bit]).join("");
      return [key, picture];
    }));
  }

  // The stand at a moment, or the one under way to; which stretch of it has the picture of that moment, the first if none has.
  place(at) {
    const {at: began, number, past: gone = 0} = this.stays[Math.max(0, lastBefore(this.stays, at, each => each.at))];
    const {stand: to, settled, swaps} = this.throws[number], stand = this.stands[to], past = at - began + gone;
    const list = past < settled || !stand.turn ? swaps : stand.swaps, within = list === swaps ? past : (past - settled) % stand.turn;
    const key = list[Math.max(0, lastBefore(list, within))][1], found = stand.stretches.findIndex(each => each.key === key);
    return {stand, stretch: Math.max(0, found), known: found >= 0};
  }
}

const shifted = (list, by, unit = 1) => list.map(([at, ...rest]) => [(at + by) * unit, ...rest]);

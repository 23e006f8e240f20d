// The record as the page has it: which picture stands from when, how each lamp's volts and light run. It computes nothing anew.

const KEPT = 70e6;      // us of the past

// The last index whose moment is not after `moment`; -1 where all are later.
export const lastBefore = (list, moment, of = each => each[0]) => {
  let low = 0, high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (of(list[middle]) <= moment) low = middle + 1; else high = middle;
  }
  return low - 1;
};

export class Player {
  constructor() {
    this.pictures = new Map();
    this.swaps = [];          // [us, key]
    this.said = [];           // [us, what came of the act then, in words]
    this.curves = {};         // lamp: [[us, volts, light]]
    this.end = 0;             // us, where the record ends
    this.act = 0;             // number of the last act
    this.verdict = "settled";
    this.sentence = "";
  }

  // A new record begins, from its first moment on.
  fresh() {
    this.pictures.clear();
    Object.assign(this, {swaps: [], said: [], curves: {}, end: 0});
  }

  // Pictures of the past were drawn for another sheet: what stands when is known from the next message on.
  forget() { this.swaps = []; }

  learn(pictures) { for (const [key, picture] of Object.entries(pictures)) this.pictures.set(key, picture); }

  // us, before which nothing is known any more.
  get begin() { return this.swaps[0]?.[0] ?? 0; }

  // What an act changes at once; what was thought to lie ahead is gone.
  now({at, key}) {
    this.cut(at);
    this.swaps.push([at, key]);
    this.end = at;
    this.verdict = "settled";
  }

  cut(at) {
    this.swaps.splice(lastBefore(this.swaps, at - 1) + 1);
    for (const curve of Object.values(this.curves)) {
      const last = lastBefore(curve, at);
      if (last >= 0 && last < curve.length - 1) curve.splice(last + 1, Infinity, [at, ...this.between(curve, last, at)]);
    }
  }

  ahead({from, until, swaps, curves, verdict, sentence, said}) {
    if (said) this.said.push([from, said]);
    this.swaps.push(...swaps.filter(([at]) => at >= from));
    for (const [lamp, points] of Object.entries(curves)) {
      const curve = this.curves[lamp] ??= [];
      for (const [second, volts, light] of points) {
        const at = Math.round(second * 1e6);
        if (at >= from || !curve.length) curve.push([at, volts, light]);
      }
      const old = lastBefore(curve, until - KEPT);
      if (old > 1000) curve.splice(0, old);
    }
    const old = lastBefore(this.swaps, until - KEPT);
    if (old > 1000) this.swaps.splice(0, old);
    Object.assign(this, {end: until, verdict, sentence});
  }

  // What stands at a moment: the picture's key, and for each lamp [volts, light].
  at(moment) {
    const swap = lastBefore(this.swaps, moment), lamps = {};
    for (const [lamp, curve] of Object.entries(this.curves)) lamps[lamp] = this.between(curve, lastBefore(curve, moment), moment);
    return {key: this.swaps[Math.max(swap, 0)]?.[1], lamps};
  }

  // When the last act until a moment was done, and what came of it. [us], [text]
  said_at(moment) { return this.said[lastBefore(this.said, moment)] ?? [0, ""]; }

  // The parts whose state changes from just before one moment to another.
  moved(from, until) {
    const first = Math.max(0, lastBefore(this.swaps, from - 1)), states = this.swaps.slice(first, lastBefore(this.swaps, until) + 1).map(([, key]) => this.pictures.get(key).states);
    return Object.keys(states[0] ?? {}).filter(name => new Set(states.map(each => each[name])).size > 1);
  }

  between(curve, last, moment) {
    if (last < 0) return curve.length ? curve[0].slice(1) : [0, 0];
    const [at, volts, light] = curve[last], next = curve[last + 1];
    if (!next) return [volts, light];
    const share = (moment - at) / (next[0] - at);
    return [volts + share * (next[1] - volts), light + share * (next[2] - light)];
  }
}

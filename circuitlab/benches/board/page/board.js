// The board: hears the kit, plays its record back on the clock, and tells the kit what hands did.

import {Clock} from "./clock.js";
import {Player} from "./player.js";
import {Drawing, html, seen} from "./drawing.js";
import {Hands} from "./hands.js";
import {Beside, put_text, GLASS_AREA} from "./beside.js";
import {LEADING} from "./leads.js";
import {AWAY} from "./away.js";
import {DEEDS} from "./deeds.js";
import {Calm} from "./flashes.js";
import {Below} from "./below.js";
import {Edges} from "./edges.js";

const GRACE = 300_000;      // us at full speed beyond the record's end that the clock may run while an answer is on its way
const SOON = 1_000_000;     // us before its end at which more is asked for
const PATIENCE = 2000;      // ms until it is asked again
const WORDS = 250;          // ms between two looks at numbers and words
const WARM = 150;           // ms after a picture has changed until they are looked at: a filament has warmed by then
const STILLED = 1000;       // ms between two pictures, and two looks, while lamps that flash fast stand still
const MOVED = 100_000;      // us after an act in which what moves is brought into sight
const STEP = 1_000_000;     // us of one step where nothing happens, for whoever wants no motion

export class Board {
  constructor(model, place) {
    Object.assign(this, {model, place, gone: false, clock: new Clock(), flashes: new Calm(), player: new Player(), latched: new Set(), stands: {}, out: [], off: [], made: [], leads: {}, lead: null, marked: [], coming: null, plays: false,
      instrument: "meter", since: 0, moment: null, asked: 0, told: -Infinity, acted: -Infinity, stopped: false, chosen: null});
    place.classList.add("pin30-board");
    this.stage = html("div", {class: "pin30-stage"}, place);
    this.edges = new Edges(this);
    this.still = model.get("still");
    this.beside = new Beside(this.still, place, this);
    this.below = new Below(this.beside.below, this);
    this.lay(this.still);
    if (this.still.opens) this.below.show(this.still.opens);
    this.hear = message => (this[`on_${message.kind}`] ? this : this.below.view)?.[`on_${message.kind}`]?.(message);
    model.on("msg:custom", this.hear);
    this.size = new ResizeObserver(() => this.drawing.fit());
    this.size.observe(place);
    this.calm = matchMedia("(prefers-reduced-motion: reduce)");
    this.listeners = [[window, "resize", () => this.drawing.fit()], [document, "visibilitychange", () => this.hide()],
      [this.calm, "change", () => this.still_stands()], [place, "keydown", event => this.key(event)]];
    for (const [whom, kind, listener] of this.listeners) whom.addEventListener(kind, listener);
    this.watch = new MutationObserver(() => this.cut_off());
    this.watch.observe(place, {attributeFilter: ["class"]});
    model.send({kind: "hello"});
    this.in_sight = true;       // out of sight a board's time goes on, and nothing is drawn
    this.sight = new IntersectionObserver(all => { this.in_sight = all[all.length - 1].isIntersecting; this.look_again(); });
    this.sight.observe(place);
    this.tick = () => {
      if (this.clock.runs || this.in_sight && (this.told === -Infinity || this.beside.fast.textContent)) this.in_sight ? this.show() : this.go_on();
      this.frame = requestAnimationFrame(this.tick);
    };
    this.tick();
  }

  close() {
    cancelAnimationFrame(this.frame);
    for (const each of [this.size, this.watch, this.sight]) each.disconnect();
    for (const [whom, kind, listener] of this.listeners) whom.removeEventListener(kind, listener);
    for (const [kind, listener] of [["msg:custom", this.hear], ["change:task", this.beside.ask]]) this.model.off(kind, listener);
  }

  // Lay out a sheet; what has the keyboard keeps it where it is still there.
  lay(still) {
    const chosen = this.hands?.chosen, had = this.stage.contains(document.activeElement);
    this.still = still;
    this.stage.replaceChildren();
    this.drawing = new Drawing(still, this.stage);
    this.hands = new Hands(this.drawing, this, chosen);
    this.beside.fill(still);
    put_text(this.beside.form, still.form === "schematic" ? "attached" : "current-path");
    this.controls = Object.fromEntries(still.controls.map(control => [control.name, control]));
    Object.assign(this, Object.fromEntries(["last", "chosen", "pointed"].map(what => [what, this.drawing.areas[this[what]?.key] ?? null])));
    this.drawing.probe(this.leads);
    this.drawing.parted(this.out, this.off);
    this.drawing.mark(this.marked);
    if (had) this.hands.focus(this.hands.chosen);
    this.tells_of_none(); this.by_hand?.laid();
    this.look_again();
  }

  // What wires by hand, while the list is open, or puts leads, while the fault is looked for.
  get by_hand() { return this.below?.wiring?.by_hand ?? this.below?.finding?.by_hand; }

  get steps() { return this.calm.matches; }
  control(name) { return this.controls[name]; }
  position(name) { return this.stands[name] ?? this.control(name).positions[0]; }
  look_again() { this.told = -Infinity; }

  // What is told of: it goes on being told of when the hand has left it.
  get shown() { return this.pointed ?? this.chosen ?? this.last; }

  // ------------------------------------------------------------- what the kit says

  on_still({still, fresh}) {
    fresh ? this.fresh() : this.player.forget();
    this.lay(still);
  }

  // A new record: time stands at its first moment, nothing is held, no lead is on.
  fresh() {
    this.player.fresh();
    this.clock.stop();
    this.clock.bound(Infinity);
    this.clock.set(0);
    this.latched.clear();
    Object.assign(this, {moment: null, stopped: false, leads: {}, lead: null, marked: [], since: 0, coming: null});
    this.below.held = null;
    if (this.plays && !this.steps) this.clock.start();
    this.plays = false;
  }

  on_now(message) {
    this.player.learn(message.pictures);            // the kit tells each picture once
    if (message.act < this.player.act) return;      // a later act has gone out since
    this.player.act = message.act;
    this.acted = -Infinity;
    this.player.now(message);
    this.coming = message.next ?? null;
    Object.assign(this, {stands: {...this.player.pictures.get(message.key).positions}, out: message.out, off: message.off, made: message.made ?? []});
    this.meet();
    this.drawing.parted(this.out, this.off);
    this.beside.tried(this.made);
    this.below.stand(message);
    if (this.clock.now < message.at) this.clock.set(message.at);
    this.bound();
    this.swapped = -Infinity;           // an act is seen at once
    this.asked = this.player.end;       // the piece ahead comes by itself
    this.beside.alert.textContent = "";
    this.offer();
    this.look_again();
    this.show();
  }

  // What springs back and is held as the board opens, nobody's hand is on: it is latched.
  meet() {
    if (this.met) return;
    this.met = true;
    for (const {name, positions, springs} of this.still.controls) if (springs && this.stands[name] !== positions[0]) this.latched.add(name);
  }

  on_ahead(message) {
    this.player.learn(message.pictures);
    if (message.act < this.player.act) return;
    this.player.ahead(message);
    this.asked = 0;
    this.bound();
    if (this.halted && this.player.verdict === "settled") { this.halted = false; this.starts(); }
    if (message.said) { this.beside.say(this.clock.now); this.below.view?.acted?.(); }
    if (message.said && this.steps) this.step();
    if (message.said) this.drawing.reveal(this.player.moved(message.from, message.from + MOVED));
    this.look_again();
    this.show();
  }

  // The clock waits at the record's end, and for the next act of a script that is played.
  bound() { this.clock.bound(Math.min(this.coming ?? Infinity, this.player.end + (this.player.verdict === "settled" ? GRACE * this.clock.speed : 0))); }

  on_acts(message) {
    this.coming = message.next;
    this.bound();
    this.below.view?.on_acts?.(message);
  }

  on_told({name, words}) { if (name === this.shown?.name) put_text(this.beside.told, words); }
  on_reading(message) { this.reading = false; this.below.read(message); }
  on_table(message) { this.below.compared.on_table(message); }
  on_before(message) { this.below.compared.on_before(message); }
  on_took({words}) { this.starts(); this.below.change.took(words); }
  on_saved({words}) { this.beside.alert.textContent = ""; this.below.change.saved(words); }
  on_trouble({words, of, asked, about}) {
    Object.assign(this, {reading: false, acted: -Infinity});
    if (!this.below.refused(of, asked, words, about)) this.beside.alert.textContent = words;
  }

  // ------------------------------------------------------------- what hands do

  move(name, position) {
    if (this.position(name) === position) return;
    this.send({kind: "act", control: name, position});
    this.stands = {...this.stands, [name]: position};
    this.beside.stand(this.stands);
  }

  // Tell the kit of an act at this moment. The first one starts the clock, unless a hand has stopped it; one that may be refused, once it is made.
  send(message, starts = true) {
    this.cursor(null);
    if (starts) this.starts();
    this.player.act += 1;
    this.acted = performance.now();     // words and numbers wait for its answer
    this.model.send({...message, act: this.player.act, at: this.clock.now});
  }

  starts() { if (!this.stopped && !this.steps) this.clock.start(); }

  // Tell the kit to begin a new record.
  go(message) {
    this.player.act += 1;
    this.model.send({...message, act: this.player.act});
  }

  latch(name) {
    const [rest, held] = this.control(name).positions;
    this.latched.has(name) ? this.latched.delete(name) : this.latched.add(name);
    this.move(name, this.latched.has(name) ? held : rest);
    this.beside.stand(this.stands);
  }

  card(words) { this.send({kind: "card", words, made: !this.made.includes(words)}); }

  toggle() {
    if (this.steps) return this.step();
    this.cursor(null);
    this.stopped = this.clock.runs;
    this.stopped ? this.clock.stop() : this.clock.start();
    if (this.stopped) this.stands_at();
    this.look_again();
  }

  pace(speed) {
    this.clock.pace(speed);
    this.bound();
    this.look_again();
  }

  // To just before the next event, or a second on: for whoever wants no motion.
  step() {
    const now = this.clock.now, next = this.player.swaps.find(([at]) => at > now + 2);
    this.clock.set(Math.min(next ? next[0] - 1 : now + STEP, now + STEP, this.player.end, this.coming ?? Infinity));
    this.look_again();
    this.show();
  }

  still_stands() { if (this.steps) this.clock.stop(); this.look_again(); }

  // Look at a moment that has been, or at now again. Time stands meanwhile.
  cursor(moment) {
    if (moment !== null && this.clock.runs) { this.clock.stop(); this.stopped = true; this.stands_at(); }
    if (moment === null) this.below.held = null;
    this.moment = moment;
    this.look_again();
  }

  choose(area) {
    this.chosen = area;
    put_text(this.beside.told, area.words);
    this.by_hand?.point(area);
    this.offer();
    this.look_again();
  }

  point(area) {
    if (area === this.pointed || area?.key === this.pointed?.key) return;
    this.last = area ?? this.drawing.areas[this.last?.key];
    this.pointed = area;
    this.look_again();
  }

  // The other form of the same circuit.
  redraw() {
    put_text(this.beside.form, "drawing …");        // until its sheet is there
    this.model.send({kind: "form", form: this.still.form === "schematic" ? "attached" : "schematic", at: this.clock.now});
  }

  // Keys without a modifier are the board's here, not JupyterLab's, which would add and delete cells.
  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey || event.key === "Tab") return;
    event.stopPropagation();
    if (event.key === "s") this.toggle();
    else if (event.key === "f") this.flashes.flashes.stilled = !this.flashes.flashes.stilled;
    else return;
    event.preventDefault();
  }

  // ------------------------------------------------------------- what is shown

  show() {
    const now = this.moment ?? this.clock.now, {key, lamps} = this.player.at(now), picture = this.player.pictures.get(key);
    if (!picture) return;
    if (!this.calmed && this.drawing.swap(key, picture)) { this.swapped = performance.now(); this.told = this.clock.runs ? this.swapped - WORDS + WARM : -Infinity; }
    for (const [lamp, [, light]] of Object.entries(lamps)) {
      if (!this.drawing.lamps[lamp]) continue;       // no longer there
      const shown = this.flashes.light(lamp, seen(light), this.drawing.area_of(lamp) + GLASS_AREA);
      this.drawing.glow(lamp, shown);
      this.beside.lit(lamp, shown);
    }
    if (this.below.strip) this.below.draw();
    this.go_on();
    const real = performance.now();
    if (real - this.told < (this.calmed ? STILLED : WORDS) || real - this.acted < WORDS) return;
    this.told = real;
    this.tell(now, lamps, picture);
  }

  // What the kit is asked for as time goes on: the next act of a script, and more of what lies ahead.
  go_on() {
    if (this.coming !== null && this.clock.now >= this.coming) { this.coming = null; this.go({kind: "next"}); }
    this.ask_more(this.clock.now);
  }

  // Whether contacts, wires and numbers stand still for now, as the lamps do that flash fast.
  get calmed() { return this.clock.runs && this.flashes.flashes.held && performance.now() - this.swapped < STILLED; }

  ask_more(now) {
    const {end, verdict, act} = this.player;
    if (verdict !== "settled" || now <= end - SOON || this.asked === end) return;
    Object.assign(this, {asked: end, asked_at: performance.now()});
    this.model.send({kind: "more", act, at: now});
  }

  // What is in words and numbers, a few times a second.
  tell(now, lamps, picture) {
    for (const [lamp, [volts, light]] of Object.entries(lamps)) {
      if (!this.drawing.lamps[lamp]) continue;
      this.drawing.value(lamp, volts, light, picture.words[lamp]);
      this.beside.value(lamp, volts, light, picture.words[lamp]);
    }
    if (this.player.verdict !== "settled" && this.clock.now >= this.player.end) {
      this.clock.stop();
      this.halted = true;
      put_text(this.beside.alert, `Stopped: ${this.player.sentence}. Undo what you did last, and it goes on.`);
    }
    const {fast, held} = this.flashes.flashes;
    this.beside.say(now);
    put_text(this.beside.fast, held ? "More than three flashes a second: lamps show their steady mean. f: as they flash." :
      fast ? "More than three flashes a second, small on the page. f: still them." : "");
    this.beside.stand(this.moment === null ? this.stands : picture.positions, picture.states);
    const waits = this.clock.runs && this.clock.now > this.player.end;
    if (waits && performance.now() - this.asked_at > PATIENCE) this.asked = 0;      // a message may be lost
    this.beside.time(now, this.clock.runs, this.clock.speed, waits);
    if (this.below.strip) this.below.tell(now, lamps);
    this.below.compared.follow(Math.min(now, this.player.end), picture);
    const shown = this.shown, at = Math.min(now, this.player.end), where = `${shown?.key} ${this.drawing.key} ${this.player.act} ${Math.round(at / (this.clock.runs ? 1e6 * this.clock.speed : 1))}`;
    if (shown && where !== this.where) { this.where = where; this.model.send({kind: "tell", name: shown.name, at}); }
    if (this.below.meter && this.leads.red && !this.reading) {
      this.reading = this.clock.runs;
      this.model.send({kind: "read", ...this.leads, instrument: this.instrument, since: Math.min(this.since, at), at});
    }
  }
}

Object.assign(Board.prototype, LEADING, AWAY, DEEDS);

export default {
  render({model, el}) {
    const board = new Board(model, el);
    return () => board.close();
  },
};

// The board: hears the kit, plays its record back on the clock, and tells the kit what hands did.

import {Clock} from "./clock.js";
import {Player} from "./player.js";
import {Drawing} from "./drawing.js";
import {Hands} from "./hands.js";
import {Beside} from "./beside.js";

const GRACE = 300_000;      // us beyond the record's end that the clock may run while an answer is on its way
const SOON = 1_000_000;     // us before its end at which more is asked for
const WORDS = 250;          // ms between two looks at numbers and words

export class Board {
  constructor(model, place) {
    Object.assign(this, {model, place, clock: new Clock(), player: new Player(), latched: new Set(), asked: 0, told: -Infinity});
    this.still = model.get("still");
    place.classList.add("pin30-board");
    this.drawing = new Drawing(this.still, place);
    this.beside = new Beside(this.still, place, this);
    this.hands = new Hands(this.drawing, this);
    this.controls = Object.fromEntries(this.still.controls.map(control => [control.name, control]));
    this.stopped = false;       // by a hand; until then the first act starts the clock
    this.wait = 0;
    this.hear = message => this[`on_${message.kind}`]?.(message);
    model.on("msg:custom", this.hear);
    this.size = new ResizeObserver(() => this.drawing.fit());
    this.size.observe(this.drawing.stage);
    addEventListener("resize", this.resize = () => this.drawing.fit());
    place.addEventListener("keydown", event => this.key(event));
    model.send({kind: "hello"});
    this.frame = requestAnimationFrame(() => this.tick());
  }

  close() {
    cancelAnimationFrame(this.frame);
    this.size.disconnect();
    removeEventListener("resize", this.resize);
    this.model.off("msg:custom", this.hear);
  }

  get latches() { return false; }
  control(name) { return this.controls[name]; }
  position(name) { return this.stands?.[name] ?? this.control(name).positions[0]; }

  // ------------------------------------------------------------- what the kit says

  on_now(message) {
    if (message.act < this.player.act) return;      // a later act has gone out since
    this.player.now(message);
    this.stands = {...this.player.pictures.get(message.key).positions};
    if (this.clock.now < message.at) this.clock.set(message.at);
    this.clock.bound(this.player.end + GRACE);
    this.asked = this.player.end;       // the piece ahead comes by itself
    this.beside.alert.textContent = "";
    this.show();
  }

  on_ahead(message) {
    if (message.act < this.player.act) return;
    this.player.ahead(message);
    this.asked = 0;
    this.clock.bound(this.player.end + (message.verdict === "settled" ? GRACE : 0));
    this.told = -Infinity;
    this.show();
  }

  on_trouble({words}) { this.beside.alert.textContent = words; }

  // ------------------------------------------------------------- what hands do

  move(name, position) {
    if (this.position(name) === position) return;
    if (!this.stopped) this.clock.start();
    this.stands = {...this.stands, [name]: position};
    this.send({kind: "act", control: name, position});
  }

  send(message) {
    this.player.act += 1;
    this.model.send({...message, act: this.player.act, at: this.clock.now});
    this.beside.stand(this.stands);
  }

  latch(name) {
    const control = this.control(name), [rest, held] = control.positions;
    this.latched.has(name) ? this.latched.delete(name) : this.latched.add(name);
    this.move(name, this.latched.has(name) ? held : rest);
    this.beside.stand(this.stands);
  }

  toggle() {
    this.stopped = this.clock.runs;
    this.stopped ? this.clock.stop() : this.clock.start();
    this.told = -Infinity;
  }

  pace(speed) { this.clock.pace(speed); this.stopped = false; this.clock.start(); this.told = -Infinity; }

  choose(area) { this.beside.chosen.textContent = area.words; }

  key(event) {
    if (event.key !== "s" || event.ctrlKey || event.metaKey || event.altKey || /^(INPUT|TEXTAREA)$/.test(event.target.tagName)) return;
    this.toggle();
    event.preventDefault();
    event.stopPropagation();
  }

  // ------------------------------------------------------------- what is shown

  tick() {
    if (this.clock.runs) this.show();
    else if (this.told === -Infinity) this.show();
    this.frame = requestAnimationFrame(() => this.tick());
  }

  show() {
    const now = this.clock.now, {key, lamps} = this.player.at(now), picture = this.player.pictures.get(key);
    if (!picture) return;
    if (this.drawing.swap(key, picture)) {
      this.beside.stand(this.stands);
      this.told = -Infinity;
    }
    for (const [lamp, [, light]] of Object.entries(lamps)) {
      this.drawing.glow(lamp, light);
      this.beside.lit(lamp, light);
    }
    if (this.clock.runs && this.player.verdict === "settled" && now > this.player.end - SOON * Math.max(0.05, this.clock.speed) && this.asked !== this.player.end) {
      this.asked = this.player.end;
      this.model.send({kind: "more", act: this.player.act});
    }
    const real = performance.now();
    if (real - this.told < WORDS) return;
    this.told = real;
    for (const [lamp, [volts, light]] of Object.entries(lamps)) {
      this.drawing.value(lamp, volts, light, picture.words[lamp]);
      this.beside.value(lamp, volts, light, picture.words[lamp]);
    }
    const is_over = this.player.verdict !== "settled" && now >= this.player.end;
    if (is_over) {
      this.clock.stop();
      this.beside.alert.textContent = `Stopped: ${this.player.sentence}. Undo what you did last, and it goes on.`;
    }
    this.beside.time(now, this.clock.runs, this.clock.speed, this.clock.runs && now > this.player.end);
  }
}

export default {
  render({model, el}) {
    const board = new Board(model, el);
    return () => board.close();
  },
};

// A board on a page of its own: worked by hand as the live one, but only a plug can be taken out, and no lead put on. Large letters for a class.

import {Board} from "./board.js";
import {Reel} from "./reel.js";
import {html, BAR, SHORT} from "./drawing.js";
import {button, put_text} from "./beside.js";

const READ = 10.02;         // px, least height of a letter of the drawing
const READ_FAR = 16.05;        // px, with large letters
const COLUMN = 700;         // px of width, below which lamps and controls stand above the drawing
const ASIDE = 330;          // px, for what stands beside it
const FAR = {column: 1000, aside: 480};      // px, of the same with large letters
const MOST_GROWN = 1.6;     // no drawing is larger, save with large letters
const TOUCH = 10;           // px round a terminal that a finger finds it in
const STUCK = 64;           // px of a low window's height that lamps and what is told keep
const GLASS_GROWN = 768;    // px2 that a lamp's glass grows by with large letters
const TOLD = "Tap a part, wire or terminal: what is read there is told. Arrows: to the next part. w: onto its wire, then along it; n: its next wire. " +
  "t: its next terminal. Space or Enter: work a switch or a plug. h: hold a pedal. s: stop and run. f: still what flashes fast. l: large letters.";

class Alone extends Board {
  constructor(model, place) {
    super(model, place);
    const {beside, below} = this, time = beside.run.parentNode;
    this.grow = button(time, "large", () => this.large());
    this.grow.setAttribute("aria-label", "large letters");
    this.grow.setAttribute("aria-pressed", "false");
    button(time, "start over", () => this.start_over()).setAttribute("aria-label", "start over, everything at rest");
    time.append(beside.clock);
    for (const each of [beside.form, beside.anew]) each.remove();
    beside.deeds.remove();
    below.tabs.meter.remove();
    below.open_keys = () => html("p", {text: TOLD}, below.inside);
    this.drawing.fit();
  }

  get is_large() { return this.place.classList.contains("large"); }

  lay(still) {
    super.lay(still);
    const {drawing} = this, area_of = drawing.area_of.bind(drawing), find = drawing.find.bind(drawing);
    drawing.fit = () => this.fit();
    drawing.area_of = name => area_of(name) + (this.is_large ? GLASS_GROWN : 0);
    drawing.find = (x, y) => find(x, y, TOUCH / drawing.scale);
  }

  acts_on({name}) {
    if (!this.still.plugs.includes(name)) return [];
    const state = this.out.includes(name) ? "mated" : "parted";
    return [[state, () => this.plug(name, state)]];
  }
  take() {}
  put() {}

  large() {
    this.grow.setAttribute("aria-pressed", String(document.documentElement.classList.toggle("large", this.place.classList.toggle("large"))));
    this.fit();
  }

  // Everything at rest at a first moment where time stands, nothing pointed at.
  start_over() {
    this.fresh();
    Object.assign(this, {chosen: null, pointed: null, where: ""});
    put_text(this.beside.told, "");
    this.go({kind: "fresh", at: 0});
  }

  key(event) {
    if (event.key !== "l" || event.ctrlKey || event.metaKey || event.altKey) return super.key(event);
    this.large();
    event.preventDefault();
    event.stopPropagation();
  }

  // As large as the window lets it be, letters never smaller than they can be read: then it scrolls.
  fit() {
    const {drawing, place, stage, is_large} = this, [, , wide, tall] = this.still.view, total = place.clientWidth, is_column = total < (is_large ? FAR.column : COLUMN);
    place.classList.toggle("narrow", is_column);
    place.classList.toggle("short", is_column && innerHeight < SHORT);
    const room = is_column ? total : total - (is_large ? FAR.aside : ASIDE), full = Math.max(0.6 * innerHeight, innerHeight - (is_column ? innerHeight < SHORT ? STUCK : 0 : place.offsetTop) - 8);
    const least = (is_large ? READ_FAR : READ) / this.still.least_letter;
    const whole = place.classList.contains("whole"), edged = place.classList.toggle("edged", !is_column && (whole || wide * least > room + 1 || tall * least > full)), high = edged ? full - BAR : full;
    const fits = Math.min(room / wide, is_column ? Infinity : high / tall, is_large ? Infinity : MOST_GROWN), scale = drawing.scale = whole && edged ? fits : Math.max(least, fits);
    place.style.setProperty("--high", `${full}px`);
    Object.assign(stage.style, {width: `${Math.min(wide * Math.max(least, fits), room)}px`, maxHeight: `${high}px`});
    Object.assign(drawing.root.style, {width: `${wide * scale}px`, height: `${tall * scale}px`});
    stage.dispatchEvent(new Event("fitted"));
  }
}

const main = document.querySelector("main");
window.board = new Alone(new Reel(JSON.parse(document.getElementById("drawn").textContent)), document.getElementById("board"));
main.addEventListener("keydown", event => window.board.key(event));
main.focus();

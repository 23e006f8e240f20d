// Wiring by hand on the drawing, while the list is open: a wire from terminal to terminal, an end of one to another terminal, a part from
// the shelf or from where it stands to a place. Each is sent as the sentence that it is.

import {html, svg} from "./drawing.js";
import {put_text} from "./beside.js";

const NEAR = 24, TOUCHED = 8;       // of the sheet, how far from a terminal a hand may be, with something in it and without
const DRAGGED = 6;          // of the sheet, from where a hand that moves takes a part along
const NUDGE = 2;            // steps of the plan by one arrow; with Shift one
const SIZE = [56, 40];      // of the sheet, of a part from the shelf in hand
const PLAIN = /^[A-Z]+\d+(:[\w+-]+)?$/;
const WAYS = {up: [0, -1], right: [1, 0], down: [0, 1], left: [-1, 0]};
const ELSEWHERE = 6;        // steps from where a part was put, beyond which it is told that it stands elsewhere
const GO = "Escape: let go.";

const FIRST = "Press a part on the shelf, then click here where it shall stand. Click a terminal, then the one its wire goes to.";
const IN_PATHS = "Press a part on the shelf, then Enter: in this form the kit finds each part its place. Click a terminal, then the one its wire goes to.";
const STANDS = "In the current-path form the kit finds each part its place: what stands is moved in the attached form. Delete takes it away.";
const LEFT = " A circuit that was not saved lies here: page 'file' takes it up.";

const quoted = name => PLAIN.test(name) ? name : JSON.stringify(name);

export class ByHand {
  constructor(wiring) { Object.assign(this, {wiring, board: wiring.board, held: null, pressed: null, words: ""}); this.laid(); }

  get drawing() { return this.board.drawing; }
  get plan() { return this.board.still.plan; }        // of the attached form: step and corner, where each part stands
  get reach() { return this.held && !this.held.leaves ? NEAR : TOUCHED; }

  // A new drawing: what is in hand stays, where it is still there.
  laid() {
    const {board: {stage, still, drawing}, held} = this;
    this.line = svg("path", {class: "pin30-held", visibility: "hidden"}, drawing.marks);
    this.banner = html("p", {class: "pin30-in-hand"});
    this.says = html("span", {role: "status"}, this.banner);
    stage.append(this.banner);
    const gone = held && (held.leaves || held.at && !still.terminals[held.at] || held.part && !this.plan || held.stood && !this.plan.spots[held.stood]);
    if (gone) Object.assign(this, {held: null, words: ""});
    drawing.root.classList.toggle("joining", Boolean(this.held?.at));
    if (this.begins) this.words = this.first;
    put_text(this.says, this.words);
    this.show();
    this.arrive();
  }

  get first() { return this.plan ? FIRST : IN_PATHS; }

  // On an empty board, what to do first.
  begin() {
    if (this.held) return;
    this.say(this.first + (this.wiring.told.offered.length ? LEFT : ""));
    this.begins = true;
  }

  // Something was done elsewhere: what was said of the last wire is old.
  quiet() { if (!this.held && this.words && !this.begins) this.say(""); }

  say(words) {
    this.begins = false;
    put_text(this.says, this.words = words);
  }

  close() {
    this.held = this.pressed = null;
    this.line.remove();
    this.banner.remove();
    this.drawing.root.classList.remove("joining");
  }

  // ------------------------------------------------------------- taking in hand

  take(held) {
    Object.assign(this, {held, pressed: null});
    this.drawing.mark(held?.leaves ? held.leaving : this.board.marked);
    this.drawing.root.classList.toggle("joining", Boolean(held?.at));
    this.say(held?.words ?? "");
    this.point_to = held?.spot ? this.from_step(held.spot) : null;
    this.show();
    this.board.offer();
  }

  let_go(words = "") {
    this.take(null);
    this.say(words);
  }

  take_wire(terminal) {
    const {name} = this.wiring.typed;
    const ends = to => ({from: quoted(terminal), to: quoted(to), ...this.wiring.usual(quoted(terminal), quoted(to))});
    this.take({at: terminal, words: `Wire ${name} from ${terminal} in hand: now the terminal it goes to. ${GO}`,
      says: to => this.wiring.sentence({...this.wiring.typed, ...ends(to)}), done: to => `${name} joins ${terminal} and ${to}.`});
  }

  take_end({name, start, end}, terminal) {
    this.take({at: terminal === start ? end : start, words: `The end of ${name} at ${terminal} in hand: now the terminal it moves to. ${GO}`, from: terminal,
      says: to => `move ${quoted(name)} from ${quoted(terminal)} to ${quoted(to)}`, done: to => `${name} now joins ${terminal === start ? end : start} and ${to}.`});
  }

  // A part from the shelf, as the sentence that puts it in.
  take_part(words) {
    if (!this.plan) return this.say(IN_PATHS);
    const {stage, scale} = this.drawing, [left, top] = this.drawing.view;
    const middle = [left + (stage.scrollLeft + stage.clientWidth / 2) / scale, top + (stage.scrollTop + stage.clientHeight / 2) / scale];
    this.take({part: true, size: SIZE, spot: this.step_of(middle), words: `In hand: ${words}. Click where it shall stand, or press Enter in the field and the kit finds it a place. ${GO}`});
  }

  take_up({name, box: [left, top, right, low]}, grip = null) {
    const {[name]: spot} = this.plan.spots;
    this.take({part: true, stood: name, size: [right - left, low - top], spot, grip, words: `${name} in hand: click where it shall stand, or move it by arrows and press Enter. ${GO}`});
  }

  // ------------------------------------------------------------- letting go of it

  join(to) {
    const {held} = this;
    if (to === (held.from ?? held.at)) return this.let_go();
    this.ask(held.says(to), held.done(to));
  }

  put(spot) {
    const {held} = this, at = spot.map(each => Math.max(0, Math.round(each))).join(" ");
    if (held.stood) return this.ask(`stand ${quoted(held.stood)} at ${at}`, `${held.stood} stands there.`);
    const {typed} = this.wiring.parts, coming = {spot, known: Object.keys(this.plan.spots)};
    this.ask(`${typed.value.trim()} at ${at}`, "It is put in.", () => { typed.value = ""; this.coming = coming; });
  }

  // A part that was put in, as soon as it is drawn: it is brought into sight, and said where it found no room where it was put.
  arrive() {
    const {coming} = this, name = coming && this.plan && Object.keys(this.plan.spots).find(each => !coming.known.includes(each));
    if (!name) return;
    this.coming = null;
    this.drawing.reveal([name]);
    const [right, down] = this.plan.spots[name];
    if (Math.hypot(right - coming.spot[0], down - coming.spot[1]) > ELSEWHERE) this.say(`It is put in. There was no room where you clicked: ${name} stands in the nearest free place, shown now.`);
  }

  ask(words, done, more = () => {}) {
    this.wiring.ask(words, {taken: () => { more(); this.let_go(done); this.arrive(); }, refused: why => this.say(`${why} ${this.held ? this.held.words : ""}`.trim())});
  }

  // ------------------------------------------------------------- what a hand does; each tells whether it was meant for this

  down(area, x, y) {
    if (this.held?.leaves) this.let_go();
    const {held} = this, terminal = area?.kind === "terminal" ? area : null;
    if (held?.part) { this.put(this.spot_at(x, y)); return true; }
    if (terminal) {
      this.board.hands.focus(area.key);
      held ? this.join(area.name) : this.take_wire(area.name);
      this.pressed = held ? null : {from: area.name};
      return true;
    }
    const free = area?.kind === "part" && (held?.at || !this.plan) ? this.free_of(area) : null;
    if (free) { held ? this.join(free) : this.take_wire(free); return true; }
    if (held) { if (!area) this.let_go(); return !area; }
    if (area?.kind === "part" && !area.control && (!this.plan || this.plan.spots[area.name])) this.pressed = {area, x, y};
    return false;
  }

  follow(x, y, buttons) {
    const {pressed} = this;
    if (pressed?.area && buttons && Math.hypot(x - pressed.x, y - pressed.y) > DRAGGED) {
      if (!this.plan) { this.stays(); return false; }
      const [left, top] = this.from_step(this.plan.spots[pressed.area.name]);
      this.take_up(pressed.area, [pressed.x - left, pressed.y - top]);
      this.held.dragged = true;
    }
    if (!this.held || this.held.leaves) return false;
    this.point_to = [x, y];
    if (this.held.part) this.held.spot = this.spot_at(x, y);
    this.show();
    return this.held.part === true;
  }

  up(area, x, y) {
    const {held, pressed} = this;
    this.pressed = null;
    if (held?.dragged) this.put(this.spot_at(x, y));
    else if (pressed?.from && held?.at && area?.kind === "terminal" && area.name !== pressed.from) this.join(area.name);
  }

  work(area, far) {
    if (this.held?.leaves) this.let_go();
    if (this.held?.part) { this.put(this.held.spot); return true; }
    if (area.kind === "terminal") { this.held ? this.join(area.name) : this.take_wire(area.name); return true; }
    if (area.kind === "part" && !area.control && !this.plan) { this.stays(); return true; }
    if (area.kind !== "wire") return false;
    this.take_end(area, far ? area.end : area.start);
    return true;
  }

  key(event, way, area) {
    const {held} = this;
    if (event.key === "Escape" && held) this.let_go();
    else if (way && held?.part) this.nudge(WAYS[way], event.shiftKey ? 1 : NUDGE);
    else if (event.key === "m" && area.kind === "part" && !this.plan) this.stays();
    else if (event.key === "m" && area.kind === "part" && this.plan.spots[area.name]) this.take_up(area);
    else if (event.key === "Delete" && area.kind !== "terminal") this.remove(area);
    else return false;
    return true;
  }

  nudge([right, down], by) {
    this.held.spot = [this.held.spot[0] + right * by, this.held.spot[1] + down * by].map(each => Math.max(0, each));
    this.held.grip = null;
    this.point_to = this.from_step(this.held.spot);
    this.show();
  }

  stays() {
    this.pressed = null;
    this.say(STANDS);
  }

  // The terminal that a rail is, or the next of a splice or chassis that has no wire yet.
  free_of({key, name}) {
    const rail = key.replace(/^bar /, "");
    return rail.includes(":") ? rail : this.wiring.told.parts.find(each => each.name === name)?.free;
  }

  // Take away; first of all what goes with it is said and marked, where anything does.
  remove({kind, name}) {
    const {remove, takes, goes, leaving} = this.wiring.told[kind === "wire" ? "wires" : "parts"].find(each => each.name === name);
    if (goes && this.held?.leaves !== name) return this.take({leaves: name, leaving, words: `This takes away ${goes}. Delete again, or 'take it away'; Escape: keep it.`});
    this.ask(remove, `${name} is taken away${takes ? `, with ${takes}` : ""}.`);
  }

  // [words, deed] of what is chosen.
  acts_on(area) {
    const {kind, name, start, end} = area, go = ["let go", () => this.let_go()];
    if (this.held?.leaves) return [["take it away", () => this.remove({kind: "part", name: this.held.leaves})], ["keep it", () => this.let_go()]];
    if (this.held) return kind === "terminal" && this.held.at ? [["join here", () => this.join(name)], go] : [go];
    if (kind === "terminal") return [["a wire from here", () => this.take_wire(name)]];
    const gone = [`remove ${name}`, () => this.remove(area)];
    if (kind === "wire") return [...[start, end].map(terminal => [`move the end at ${terminal}`, () => this.take_end(area, terminal)]), gone];
    return this.plan?.spots[name] ? [["stand elsewhere", () => this.take_up(area)], gone] : [gone];
  }

  // ------------------------------------------------------------- what is seen of it

  // The thing that has the keyboard: a wire in hand leads to it.
  point({kind, name}) {
    if (this.held?.leaves && this.held.leaves !== name) this.let_go();
    if (!this.held?.at) return;
    this.point_to = kind === "terminal" ? this.board.still.terminals[name] : null;
    this.show();
  }

  show() {
    const {held, line, point_to} = this;
    line.setAttribute("visibility", held && point_to ? "visible" : "hidden");
    if (!held || !point_to) return;
    if (held.at) {
      const [x, y] = this.board.still.terminals[held.at], [to_x, to_y] = point_to;
      return line.setAttribute("d", `M${x} ${y}L${to_x} ${to_y}`);
    }
    const [wide, tall] = held.size, [x, y] = this.from_step(held.spot);
    line.setAttribute("d", `M${x - wide / 2} ${y - 14}h${wide}v${tall}h${-wide}z`);
  }

  from_step([right, down]) { const {step, corner: [left, top]} = this.plan; return [left + step * right, top + step * down]; }
  step_of([x, y]) { const {step, corner: [left, top]} = this.plan; return [(x - left) / step, (y - top) / step].map(each => Math.max(0, Math.round(each))); }
  spot_at(x, y) { const [right, down] = this.held.grip ?? [0, 0]; return this.step_of([x - right, y - down]); }
}

// Below the drawing, one thing at a time: the strip of lamp volts and light, the table, the meter, before, change, or the keys.

import {html, volts_of, light_of} from "./drawing.js";
import {lastBefore} from "./player.js";
import {rove, put_text, moment_of} from "./beside.js";
import {KEYS} from "./hands.js";
import {Rows} from "./rows.js";
import {Acts} from "./acts.js";
import {Change} from "./change.js";
import {Compared} from "./compared.js";
import {Wiring} from "./wiring.js";
import {Finding} from "./finding.js";

const SPAN = 8e6;           // us, that the strip shows
const TALL = 46;            // px, of a lamp's trace
const MOST_VOLTS = 16;      // V, at the top of a trace
const AHEAD = 0.04;         // of a nudge of the cursor, as a share of the span
export const METERS = ["meter", "test lamp", "amps", "ohms"];
const KINDS = {meter: "volts"};       // what its button says, where that is another word

export class Below {
  constructor(place, board) {
    Object.assign(this, {board, shown: "", span: SPAN, held: null, change: new Change(board), compared: new Compared(board), wiring: board.still.lists ? new Wiring(board) : null,
      finding: board.still.finds ? new Finding(board) : null});
    this.root = html("div", {class: "pin30-below"}, place);
    const row = html("div", {role: "toolbar", "aria-label": "Below the drawing", class: "pin30-row"}, this.root);
    const {file, rows, acts, lists, finds} = board.still;
    const all = [...(finds ? ["find"] : []), "strip", "table", "meter", ...(lists ? ["list"] : []), ...(file ? ["before", "change"] : []), ...(rows ? ["rows"] : []), ...(acts ? ["acts"] : []), "keys"];
    this.tabs = Object.fromEntries(all.map(what => [what, button(row, what, () => this.show(what))]));
    for (const tab of Object.values(this.tabs)) tab.setAttribute("aria-pressed", "false");
    rove(row);
    this.inside = html("div", {class: "pin30-inside"}, this.root);
  }

  show(what) {
    this.shown = this.shown === what ? "" : what;
    for (const [each, tab] of Object.entries(this.tabs)) tab.setAttribute("aria-pressed", String(each === this.shown));
    this.inside.replaceChildren();
    this.root.parentNode.classList.toggle("open", this.shown !== "");
    this.strip = this.words = this.meter = this.view = null;
    this.change.close();
    this.wiring?.close();
    this.finding?.close();
    this.compared.close();
    if (this.shown) this[`open_${this.shown}`]();
    this.board.look_again();
  }

  // ------------------------------------------------------------- strip

  open_strip() {
    const row = html("div", {role: "toolbar", "aria-label": "Strip", class: "pin30-row"}, this.inside), lamps = this.board.still.lamps;
    this.hold = button(row, "stand still", () => this.held === null ? this.keep(this.board.clock.now) : this.board.cursor(null));
    button(row, "\u2190 earlier", () => this.scroll(-0.5));
    button(row, "later \u2192", () => this.scroll(0.5));
    button(row, "shorter", () => this.zoom(0.5));
    button(row, "longer", () => this.zoom(2));
    rove(row);
    this.strip = html("canvas", {role: "slider", tabindex: 0, "aria-label": "Moment on the strip", height: TALL * lamps.length}, this.inside);
    this.strip.style.height = `${TALL * lamps.length}px`;
    const at = event => this.end - this.span * (1 - (event.clientX - this.strip.getBoundingClientRect().left) / this.strip.clientWidth);
    this.strip.addEventListener("pointerdown", event => { this.strip.setPointerCapture(event.pointerId); this.point(at(event)); });
    this.strip.addEventListener("pointermove", event => { if (event.buttons) this.point(at(event)); });
    this.strip.addEventListener("keydown", event => this.key(event));
  }

  key(event) {
    const step = {ArrowLeft: -AHEAD, ArrowDown: -AHEAD, ArrowRight: AHEAD, ArrowUp: AHEAD, PageDown: -0.25, PageUp: 0.25}[event.key];
    if (event.key === "Escape") this.board.cursor(null);
    else if (step) this.point((this.board.moment ?? this.board.clock.now) + step * this.span);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  // Put the cursor on a moment that has been.
  point(moment) {
    const now = Math.round(Math.max(this.board.player.begin, Math.min(moment, this.board.clock.now)));
    this.keep(this.end ?? this.board.clock.now);
    if (now < this.held - this.span) this.held = now;
    if (now > this.held) this.held = now;
    this.board.cursor(now);
  }

  keep(end) { this.held = end; this.board.look_again(); }

  scroll(share) { this.keep(Math.max(this.span / 2, Math.min((this.held ?? this.board.clock.now) + share * this.span, this.board.clock.now))); }

  zoom(by) { this.span = Math.max(0.25e6, Math.min(60e6, this.span * by)); this.board.look_again(); }

  get end() { return this.held ?? this.board.clock.now; }

  draw() {
    const strip = this.strip, wide = strip.clientWidth, ratio = devicePixelRatio || 1, {player, still} = this.board;
    if (strip.width !== Math.round(wide * ratio)) { strip.width = Math.round(wide * ratio); strip.height = Math.round(TALL * still.lamps.length * ratio); }
    const pen = strip.getContext("2d"), end = this.end, x = at => wide * (1 - (end - at) / this.span);
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    pen.clearRect(0, 0, wide, strip.height);
    pen.strokeStyle = pen.fillStyle = getComputedStyle(strip).color;
    pen.font = "11px sans-serif";
    still.lamps.forEach(({name}, number) => {
      const low = TALL * (number + 1) - 5, tall = TALL - 12, curve = player.curves[name] ?? [];
      pen.fillText(name, 2, low - tall + 6);
      for (const [index, most, dashes] of [[1, MOST_VOLTS, []], [2, 1.2, [4, 3]]]) {
        pen.beginPath();
        pen.setLineDash(dashes);
        pen.lineWidth = index === 1 ? 1.6 : 1;
        for (let place = Math.max(0, lastBefore(curve, end - this.span)); place < curve.length; place += 1) {
          const at = Math.min(curve[place][0], end), value = curve[place][0] <= end ? curve[place][index] : player.between(curve, place - 1, end)[index - 1];
          pen.lineTo(x(at), low - tall * Math.min(1, Math.abs(value) / most));
          if (curve[place][0] > end) break;
        }
        pen.stroke();
      }
    });
    pen.setLineDash([]);
    if (this.board.moment !== null) this.put_cursor(pen, x(this.board.moment), wide);
    this.hold.setAttribute("aria-pressed", String(this.held !== null));
  }

  // The cursor with its moment beside it, on the side that has room.
  put_cursor(pen, x, wide) {
    const words = moment_of(this.board.moment, this.board.clock.speed), {width} = pen.measureText(words);
    pen.fillRect(x - 1, 0, 2, this.strip.clientHeight);
    pen.fillText(words, x + width + 8 > wide ? x - width - 5 : x + 5, 11);
  }

  // The strip in words, for who does not see it.
  tell(now, lamps) {
    const said = Object.entries(lamps).map(([lamp, [volts, light]]) => `${lamp} ${volts_of(volts)} ${light_of(light)}`).join("; ");
    for (const [name, value] of Object.entries({"aria-valuenow": now / 1e6, "aria-valuemin": 0, "aria-valuemax": this.board.clock.now / 1e6,
      "aria-valuetext": `${moment_of(now, this.board.clock.speed)}: ${said}`})) this.strip.setAttribute(name, value);
  }

  // ------------------------------------------------------------- table, before, change, meter, keys

  open_table() { this.compared.open_table(this.inside); }
  open_before() { this.compared.open_before(this.inside); }
  open_change() { this.change.open(this.inside); }

  open_meter() {
    const row = html("div", {role: "toolbar", "aria-label": "Meter", class: "pin30-row"}, this.inside);
    this.kinds = Object.fromEntries(METERS.map(kind => [kind, button(row, KINDS[kind] ?? kind, () => this.board.measure(kind))]));
    this.picks = Object.fromEntries(["red", "black"].map(lead => [lead, button(row, `${lead} lead`, () => this.board.take(lead))]));
    button(row, "new MIN/MAX", () => this.board.measure(this.board.instrument));
    button(row, "leads away", () => this.board.leads_away());
    rove(row);
    this.meter = html("p", {class: "pin30-reading"}, this.inside);
    this.board.measure(this.board.instrument);
  }

  open_rows() {
    this.view = new Rows(this.inside, this.board, !this.listed);
    Object.assign(this, {listed: true, meter: this.view.read});
  }

  open_list() {
    this.view = this.wiring;
    this.wiring.open(this.inside);
  }

  open_find() {
    this.view = this.finding;
    this.finding.open(this.inside);
    this.meter = this.finding.readings.sound;
    this.board.measure(this.board.instrument);
  }

  open_acts() { this.view = new Acts(this.inside, this.board); }

  open_keys() {
    const place = html("div", {class: "pin30-table", tabindex: 0, role: "region", "aria-label": "Keys"}, this.inside);
    html("p", {text: KEYS}, place);
    const [left, top, wide, tall] = this.board.still.key;
    place.insertAdjacentHTML("beforeend", `<svg viewBox="${left} ${top} ${wide} ${tall}" width="${wide}" height="${tall}" fill="none" font-family="sans-serif" role="img" aria-label="Key of the drawing">${this.board.still.letters}</svg>`);
  }

  // Whether what is open shows what the leads read.
  get measures() { return ["meter", "find"].includes(this.shown); }

  // Say why something is refused, where it was asked for; tell whether there is such a place. [yes/no]
  refused(of, asked, words, about) { return Boolean(this.wiring?.refused(asked, words, about) || this.finding?.refused(of, words) || this.change.refused(of, words)); }

  // The switches, or what is changed, stand otherwise.
  stand(message) {
    this.change.stand(message);
    this.finding?.stand();
    this.wiring?.parted(message.apart ?? "");
  }

  leads(instrument, lead) {
    if (this.shown === "find") this.finding.leads();
    if (this.shown !== "meter") return;
    for (const [kind, button] of Object.entries(this.kinds)) button.setAttribute("aria-pressed", String(kind === instrument));
    for (const [each, button] of Object.entries(this.picks)) button.setAttribute("aria-pressed", String(each === lead));
  }

  read({words, lowest, highest}) {
    const said = lowest === null ? "" : ` MIN ${volts_of(lowest)}, MAX ${volts_of(highest)}.`;
    if (this.meter) put_text(this.meter, words + said);
  }
}

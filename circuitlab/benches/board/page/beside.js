// Beside the drawing: how fast time runs, what every lamp does, every control as buttons, what is chosen, and what is said.

import {html, volts_of, light_of} from "./drawing.js";

export const SPEEDS = [["1", 1], ["1/10", 0.1], ["1/100", 0.01]];
export const GLASS_AREA = 256;      // px2
// As drawn; none is a saturated red, which may not flash fast.
const GLASS = {red: "#ff8f80", amber: "#ffb020", white: "#fff3b8"};

export class Beside {
  constructor(still, place, board) {
    this.board = board;
    this.root = html("div", {class: "pin30-beside"}, place);
    const time = html("div", {role: "toolbar", "aria-label": "Time", class: "pin30-row"}, this.root);
    this.run = button(time, "Run", () => board.toggle());
    this.speeds = SPEEDS.map(([words, speed]) => [speed, button(time, words, () => board.pace(speed), `speed ${words}`)]);
    this.form = button(time, "", () => board.redraw());
    this.anew = button(time, "anew", () => board.model.send({kind: "anew", at: board.clock.now}), "anew: lay the drawing out anew, with no wire interrupted");
    this.clock = html("span", {class: "pin30-clock", role: "timer"}, time);
    const head = html("p", {class: "pin30-head"}, this.root);
    for (const words of ["lamp", "volts, % of rated light"]) html("span", {text: words}, head);
    this.lamps_place = html("ul", {"aria-label": "Lamps", class: "pin30-lamps"}, this.root);
    const work = html("div", {class: "pin30-work"}, this.root), said = html("div", {class: "pin30-words"}, this.root);
    this.levers = html("div", {class: "pin30-controls"}, work);
    this.cards_place = html("div", {role: "toolbar", "aria-label": "Break it, put it back", class: "pin30-row pin30-cards"}, work);
    this.fill(still);
    this.told = html("p", {class: "pin30-told"}, said);
    this.deeds = html("div", {role: "toolbar", "aria-label": "What a hand can do here", class: "pin30-row pin30-deeds"}, said);
    this.fast = html("p", {class: "pin30-fast"}, said);
    this.alert = html("p", {role: "alert", class: "pin30-alert"}, said);
    this.said = html("p", {role: "status", class: "pin30-said"}, said);
    for (const row of [time, this.deeds]) rove(row);
    this.task = html("p", {class: "pin30-task"}, this.root);
    this.below = html("div", {class: "pin30-below-place"}, this.root);
    this.ask = () => this.asks(board.model.get("task"));
    board.model.on("change:task", this.ask);
    this.ask();
  }

  // What a lesson asks to be wired here: it stands below the board too, out of sight of whoever wires.
  asks(words) {
    put_text(this.task, typeof words === "string" ? words : "");
    this.task.hidden = !this.task.textContent;
  }

  // Lamps, controls and prepared changes, anew where a circuit has others.
  fill({lamps, controls, plugs = [], cards, grown}) {
    if (grown) this.form.after(this.anew); else this.anew.remove();      // where a drawing has grown, it can be tidied
    const what = JSON.stringify([lamps.map(({name, place, colour}) => [name, place, colour]), controls, plugs, cards]);
    if (what === this.filled) return;
    this.filled = what;
    for (const place of [this.lamps_place, this.levers, this.cards_place]) place.replaceChildren();
    this.lamps = Object.fromEntries(lamps.map(lamp => [lamp.name, this.lamp(lamp)]));
    this.controls = Object.fromEntries(controls.map(control => [control.name, this.control(control)]));
    this.plugs = Object.fromEntries(plugs.map(name => [name, this.plug(name)]));
    this.cards_place.hidden = !cards.length;
    this.cards = Object.fromEntries(cards.map(words => [words, button(this.cards_place, words, () => this.board.card(words))]));
    for (const row of [...this.levers.children, this.cards_place]) rove(row);
  }

  lamp({name, place, colour}) {
    const row = html("li", {}, this.lamps_place), glass = html("span", {class: "pin30-glass", "aria-hidden": "true"}, row);
    const light = html("span", {style: `background: ${GLASS[colour] ?? GLASS.white}`}, glass);
    html("b", {text: name}, row);
    html("span", {text: place, class: "pin30-place"}, row);
    return {light, value: html("span", {class: "pin30-value"}, row)};
  }

  control({name, shown, positions: [rest, held], springs}) {
    const row = html("div", {role: "toolbar", "aria-label": name, class: "pin30-row"}, this.levers);
    html("span", {text: name, class: "pin30-name"}, row);
    if (springs) {
      const pedal = button(row, "press", () => {}, `press ${name}`);
      const latch = button(row, "hold", () => this.board.latch(name), `hold ${name}`);
      const up = () => { if (pedal.dataset.down) { delete pedal.dataset.down; if (!this.board.latched.has(name)) this.board.move(name, rest); } };
      const down = () => { pedal.dataset.down = "1"; this.board.move(name, held); };
      pedal.addEventListener("pointerdown", event => { pedal.setPointerCapture(event.pointerId); down(); });
      for (const kind of ["pointerup", "pointercancel", "lostpointercapture", "blur"]) pedal.addEventListener(kind, up);
      pedal.addEventListener("keydown", event => { if ((event.key === " " || event.key === "Enter") && !event.repeat) down(); });
      pedal.addEventListener("keyup", up);
      return {[held]: pedal, latch};
    }
    return Object.fromEntries(shown.map(position => [position, button(row, position, () => this.board.move(name, position), `${name}: ${position}`)]));
  }

  // A plug is parted and put in here as well as on the drawing.
  plug(name) {
    const row = html("div", {role: "toolbar", "aria-label": `plug ${name}`, class: "pin30-row"}, this.levers);
    html("span", {text: `plug ${name}`, class: "pin30-name"}, row);
    return ["mated", "parted"].map(state => [state, button(row, state, () => this.board.plug(name, state), `plug ${name}: ${state}`)]);
  }

  // Buttons for what can be done with what is chosen: [words, deed].
  offer(deeds) {
    const words = deeds.map(([each]) => each).join("|");
    if (words === this.offered) { this.now = deeds; return; }
    const had = this.deeds.contains(document.activeElement);
    Object.assign(this, {offered: words, now: deeds});
    this.deeds.replaceChildren();
    deeds.forEach(([each], index) => button(this.deeds, each, () => this.now[index][1]()));
    rove(this.deeds);
    if (had) (this.deeds.querySelector("button") ?? this.board.hands.area?.node)?.focus();      // with nothing to do there, on the drawing
  }

  lit(name, shown) { this.lamps[name].light.style.opacity = shown.toFixed(2); }

  value(name, volts, light, word) { put_text(this.lamps[name].value, word || `${volts_of(volts)}, ${light_of(light)}`); }

  stand(positions, states = null) {
    for (const [name, buttons] of Object.entries(states ? this.plugs : {}))
      for (const [state, button] of buttons) button.setAttribute("aria-pressed", String(states[name] === state));
    for (const [name, buttons] of Object.entries(this.controls))
      for (const [position, button] of Object.entries(buttons))
        button.setAttribute("aria-pressed", String(this.is_pressed(name, position, positions[name], "latch" in buttons)));
  }

  // A pedal that is held down by its latch is not pressed by a hand as well.
  is_pressed(name, position, stands, springs) {
    if (!springs) return stands === position;
    return stands !== this.board.control(name).positions[0] && this.board.latched.has(name) === (position === "latch");
  }

  tried(made) {
    for (const [words, button] of Object.entries(this.cards)) button.setAttribute("aria-pressed", String(made.includes(words)));
  }

  // What came of the last act until a moment; where a hand has stopped time at the act itself, nothing of it is seen yet.
  say(now) {
    const {player, stopped, clock} = this.board, [from, words] = player.said_at(now);
    put_text(this.said, words && from === now && stopped && !clock.runs ? `Time stands. Once it runs: ${words}` : words);
  }

  time(now, runs, speed, waits) {
    put_text(this.clock, `${moment_of(now, speed)}${waits ? ", waiting for the kit; if nothing comes, run this cell again" : ""}`);
    put_text(this.run, this.board.steps ? "Next" : runs ? "Stop" : "Run");
    this.run.setAttribute("aria-label", this.board.steps ? "Next event" : runs ? "Stop time" : "Run time");
    for (const [own, button] of this.speeds) button.setAttribute("aria-pressed", String(own === speed));
  }
}

// In slow motion a millisecond is seen.
export const moment_of = (at, speed) => `${(at / 1e6).toFixed(speed < 1 ? 3 : 2)} s`;

export const button = (place, words, press, label = "") => {
  const made = html("button", {type: "button", text: words, ...(label ? {"aria-label": label} : {})}, place);
  made.addEventListener("click", press);
  return made;
};

// Keys typed into a field are its own, not the board's or JupyterLab's.
export const own_keys = (field, enter) => field.addEventListener("keydown", event => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.key === "Tab") return;
  event.stopPropagation();
  if (event.key === "Enter" && enter) { event.preventDefault(); enter(); }
});

export const put_text = (node, text) => { if (node.textContent !== text) node.textContent = text; };

// One tab stop for a row of buttons; arrows go from one to the next.
export const rove = row => {
  const all = () => [...row.querySelectorAll("button:not([hidden])")];
  all().forEach((button, index) => button.tabIndex = index ? -1 : 0);
  if (row.dataset.roves) return;
  row.dataset.roves = "yes";
  row.addEventListener("focusin", event => all().forEach(button => button.tabIndex = button === event.target ? 0 : -1));
  row.addEventListener("keydown", event => {
    const buttons = all();
    const step = {ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1}[event.key];
    if (!step) return;
    buttons[(buttons.indexOf(event.target) + step + buttons.length) % buttons.length].focus();
    event.preventDefault();
    event.stopPropagation();
  });
};

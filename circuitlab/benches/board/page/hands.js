// Hands: what pointer and keyboard do to the drawing, told as acts. One tab stop; arrows lead to every part, w along wires, t to terminals.

const ARROWS = {ArrowUp: "up", ArrowRight: "right", ArrowDown: "down", ArrowLeft: "left"};
const REACH = 24;           // of the sheet, from a terminal, with a lead in hand
export const LEADS = {r: "red", b: "black"};
export const KEYS = "Arrows: to the next part. w: onto its wire, then along it; n: its next wire. t: its next terminal. Space or Enter: work it, " +
  "take it out, take a wire's end off (Shift: the other end). h: hold a pedal. r, b: red and black lead. s: stop and run. f: still what flashes fast. Escape: let go.";

export class Hands {
  constructor(drawing, board, chosen) {
    Object.assign(this, {drawing, board, chosen: null, pressed: null, from: null});
    const root = drawing.root, first = drawing.areas[chosen] ?? drawing.still.areas.find(area => area.control) ?? drawing.still.areas[0];
    if (first) this.rove(first.key);
    this.from = first?.kind === "part" ? first.key : Object.keys(drawing.still.arrows)[0];
    root.addEventListener("pointerdown", event => this.down(event));
    root.addEventListener("pointermove", event => this.hover(event));
    root.addEventListener("pointerleave", () => board.point(null));
    root.addEventListener("pointerup", event => board.by_hand?.up(this.under(event), ...drawing.at(event)));
    for (const kind of ["pointerup", "pointercancel", "lostpointercapture"]) root.addEventListener(kind, () => this.release());
    root.addEventListener("contextmenu", event => { if (this.pressed) event.preventDefault(); });      // of a finger that rests
    root.addEventListener("keydown", event => this.key(event));
    root.addEventListener("keyup", event => { if (event.key === " " || event.key === "Enter") this.release(); });
    root.addEventListener("click", event => { if (!event.detail) this.work(this.area); });        // of a screen reader: no pointer was there
    root.addEventListener("focusout", () => this.release());
    root.addEventListener("focusin", event => {
      const key = event.target.closest("[data-key]")?.dataset.key;
      if (key) { this.rove(key); board.choose(drawing.areas[key]); }
    });
  }

  get area() { return this.drawing.areas[this.chosen]; }

  rove(key) {
    this.area?.node.setAttribute("tabindex", -1);
    this.chosen = key;
    this.area.node.setAttribute("tabindex", 0);
    if (this.area.kind === "part") this.from = key;
  }

  focus(key) {
    this.rove(key);
    this.area.node.focus();
  }

  under(event) {
    const [x, y] = this.drawing.at(event), {lead, by_hand} = this.board;
    return this.drawing.find(x, y, lead ? REACH : by_hand?.reach);
  }

  hover(event) {
    if (this.board.by_hand?.follow(...this.drawing.at(event), event.buttons)) return;
    if (event.pointerType === "mouse" && !event.buttons) this.board.point(this.under(event));
  }

  down(event) {
    if (event.button) return;
    const area = this.under(event), was = this.chosen, had = this.drawing.root.contains(document.activeElement);
    event.preventDefault();
    if (!this.board.lead && this.board.by_hand?.down(area, ...this.drawing.at(event))) return this.drawing.root.setPointerCapture(event.pointerId);
    if (!area) return;
    this.focus(area.key);
    if (this.board.lead && area.kind === "terminal") return this.board.put(this.board.lead, area.name);
    if (area.control) {
      this.drawing.root.setPointerCapture(event.pointerId);
      const [left, , right] = area.box, [x] = this.drawing.at(event);
      this.press(area.control, (x - left) / (right - left));
    } else if (had && was === area.key) this.work(area, this.far(area, event));     // pointed at before: the second time it is worked
  }

  // Whether a pointer is nearer to a wire's end than to its start.
  far({kind, lines}, event) {
    if (kind !== "wire") return false;
    const [x, y] = this.drawing.at(event), [ax, ay] = lines[0], [, , bx, by] = lines[lines.length - 1];
    return Math.hypot(x - bx, y - by) < Math.hypot(x - ax, y - ay);
  }

  // Press what works a control: a pedal goes down until the hand lets go, all else moves to its other or next position; pointed at where
  // it stands, back to rest, or from there to the next.
  press(name, share = null) {
    const control = this.board.control(name), stands = this.board.position(name), [rest, ...others] = control.positions;
    if (control.springs) {
      if (this.board.latched.has(name)) return this.board.latch(name);
      this.pressed = {name, rest};
      this.board.move(name, others[0]);
      return;
    }
    const {shown, positions} = control, next = positions[(positions.indexOf(stands) + 1) % positions.length];
    const pointed = shown[Math.min(shown.length - 1, Math.max(0, Math.floor(share * shown.length)))];
    const wanted = share === null || positions.length < 3 ? next : pointed === stands ? rest : pointed;
    this.board.move(name, wanted === stands ? next : wanted);
  }

  release() {
    const pressed = this.pressed;
    this.pressed = null;
    if (pressed && !this.board.latched.has(pressed.name)) this.board.move(pressed.name, pressed.rest);
  }

  // Work what is no control: take a part out or put it back, a wire's end off or on; put the lead in hand on a terminal.
  work(area, far = false) {
    if (this.board.by_hand?.work(area, far)) return;
    if (area.control) this.press(area.control);
    else if (area.kind === "terminal") this.board.put(this.board.lead ?? "red", area.name);
    else (this.board.acts_on(area)[far ? 1 : 0] ?? this.board.acts_on(area)[0])?.[1]();
  }

  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const way = ARROWS[event.key], area = this.area;
    if (this.board.by_hand?.key(event, way, area)) { event.preventDefault(); event.stopPropagation(); return; }
    if (way) this.step(way, area);
    else if (event.key === "w" || event.key === "n") this.along(area, event.key === "n");
    else if (event.key === "t") this.terminal(area);
    else if (LEADS[event.key]) this.board.take(LEADS[event.key], area.kind === "terminal" ? area.name : null);
    else if (event.key === "h" && area.control && this.board.control(area.control).springs) this.board.latch(area.control);
    else if (event.key === "Escape") { this.release(); this.board.drop(); }
    else if (event.key === " " || event.key === "Enter") { if (!event.repeat) this.work(area, event.shiftKey); }
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  step(way, area) {
    const next = area.kind === "part" ? this.drawing.still.arrows[area.key]?.[way] : this.from;
    if (next) this.focus(next);
  }

  // The areas of a part's own terminals, or of the wires on a piece's own.
  terminals_of(name) { return Object.values(this.drawing.areas).filter(each => each.kind === "terminal" && each.name.replace(/:[^:]*$/, "") === name); }

  wires_of({ends}) { return Object.values(this.drawing.areas).filter(each => each.kind === "wire" && [each.start, each.end].some(end => ends.includes(end))); }

  // Onto the first wire of what one stands on, along a wire to what is at its far end, or to the next wire there.
  along(area, next) {
    const here = this.drawing.areas[this.from];
    if (area.kind === "wire" && !next) {
      const far = [area.end, area.start].find(end => !here.ends.includes(end)) ?? area.end;
      return this.focus(Object.values(this.drawing.areas).find(each => each.kind === "part" && each.ends.includes(far)).key);
    }
    const wires = this.wires_of(here), at = wires.findIndex(each => each.key === area.key);
    if (wires.length) this.focus(wires[(at + 1) % wires.length].key);
  }

  terminal(area) {
    const ends = this.terminals_of(this.drawing.areas[this.from].name), at = ends.findIndex(each => each.key === area.key);
    if (ends.length) this.focus(ends[(at + 1) % ends.length].key);
  }
}

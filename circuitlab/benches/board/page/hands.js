// Hands: what pointer and keyboard do to the drawing, told as acts. One tab stop; arrows lead to every part.

const ARROWS = {ArrowUp: "up", ArrowRight: "right", ArrowDown: "down", ArrowLeft: "left"};

export class Hands {
  constructor(drawing, board) {
    Object.assign(this, {drawing, board, chosen: null, pressed: null});
    const root = drawing.root, first = drawing.still.areas.find(area => area.control) ?? drawing.still.areas[0];
    if (first) this.rove(first.key);
    root.addEventListener("pointerdown", event => this.down(event));
    for (const kind of ["pointerup", "pointercancel", "lostpointercapture"]) root.addEventListener(kind, () => this.release());
    root.addEventListener("keydown", event => this.key(event));
    root.addEventListener("keyup", event => { if (event.key === " " || event.key === "Enter") this.release(); });
    root.addEventListener("focusout", () => this.release());
    root.addEventListener("focusin", event => {
      const key = event.target.closest("[data-key]")?.dataset.key;
      if (key) { this.rove(key); this.board.choose(drawing.areas[key]); }
    });
  }

  get area() { return this.drawing.areas[this.chosen]; }

  rove(key) {
    this.area?.node.setAttribute("tabindex", -1);
    this.chosen = key;
    this.area.node.setAttribute("tabindex", 0);
  }

  focus(key) { this.rove(key); this.area.node.focus({preventScroll: false}); }

  down(event) {
    if (event.button) return;
    const [x, y] = this.drawing.at(event), area = this.drawing.find(x, y);
    event.preventDefault();
    if (!area) return;
    this.focus(area.key);
    if (area.control) {
      this.drawing.root.setPointerCapture(event.pointerId);
      const [left, , right] = area.box;
      this.press(area.control, (x - left) / (right - left));
    }
  }

  // Press what works a control: a pedal goes down until the hand lets go, all else moves to its other or next position.
  press(name, share = null) {
    const control = this.board.control(name), stands = this.board.position(name), [rest, ...others] = control.positions;
    if (control.springs) {
      this.pressed = stands === rest ? {name, rest, held: others[0]} : null;
      this.board.move(name, stands === rest ? others[0] : rest);
    } else if (control.positions.length > 2 && share !== null) {
      const wanted = control.shown[Math.min(control.shown.length - 1, Math.max(0, Math.floor(share * control.shown.length)))];
      this.board.move(name, wanted === stands ? rest : wanted);
    } else this.board.move(name, control.positions[(control.positions.indexOf(stands) + 1) % control.positions.length]);
  }

  release() {
    const pressed = this.pressed;
    this.pressed = null;
    if (pressed && !this.board.latches) this.board.move(pressed.name, pressed.rest);
  }

  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const way = ARROWS[event.key], area = this.area;
    if (way) {
      const next = this.drawing.still.arrows[area.kind === "part" ? area.key : this.from]?.[way] ?? (area.kind === "part" ? null : this.from);
      if (next) this.focus(next);
    } else if (event.key === " " || event.key === "Enter") {
      if (!event.repeat && area.control) this.press(area.control);
    } else return;
    event.preventDefault();
    event.stopPropagation();
  }
}

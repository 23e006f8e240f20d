// The drawing: still letters, one picture for each state, lamps whose glow is set from frame to frame, and areas for hands.

const SVG = "http://www.w3.org/2000/svg";
const LETTERS = 10;     // px, least height of a letter on the page

export const svg = (kind, attributes = {}, parent = null) => {
  const made = document.createElementNS(SVG, kind);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  parent?.append(made);
  return made;
};

export const html = (kind, attributes = {}, parent = null) => {
  const made = document.createElement(kind);
  for (const [name, value] of Object.entries(attributes)) name === "text" ? made.textContent = value : made.setAttribute(name, value);
  parent?.append(made);
  return made;
};

export const volts_of = volts => `${(Math.abs(volts) < 0.05 ? 0 : volts).toFixed(1)} V`.replace("-", "\u2212");
export const light_of = light => light >= 0.005 ? `${(100 * light).toFixed(0)} %` : "dark";

// How much of its glow a lamp shows: an eye takes a quarter of the light for half.
export const seen = light => Math.min(1, Math.sqrt(Math.max(0, light))).toFixed(2);

const put = (node, text) => { if (node && node.textContent !== text) node.textContent = text; };
const set = (node, name, value) => { if (node.getAttribute(name) !== value) node.setAttribute(name, value); };

export class Drawing {
  constructor(still, place) {
    this.still = still;
    this.stage = html("div", {class: "pin30-stage"}, place);
    this.root = svg("svg", {viewBox: still.view.join(" "), role: "group", "aria-label": `Circuit: ${still.title}`,
      class: "pin30-drawing", "font-family": "sans-serif", fill: "none", "stroke-linecap": "round", "stroke-linejoin": "round"}, this.stage);
    this.glows = svg("g", {"aria-hidden": "true"}, this.root);
    this.picture = svg("g", {"aria-hidden": "true"}, this.root);
    svg("g", {"aria-hidden": "true"}, this.root).innerHTML = still.letters;
    this.values = svg("g", {"aria-hidden": "true"}, this.root);
    this.hands = svg("g", {}, this.root);
    this.marks = svg("g", {"aria-hidden": "true"}, this.root);
    this.parsed = new Map();
    this.lamps = Object.fromEntries(still.lamps.map(lamp => [lamp.name, this.lamp(lamp)]));
    this.areas = Object.fromEntries(still.areas.map(area => [area.key, {...area, node: this.area(area)}]));
    this.fit();
  }

  lamp({glow, texts}) {
    const place = svg("g", {class: "glow"}, this.glows), found = {};
    place.innerHTML = glow;
    place.style.opacity = 0;
    for (const [what, [x, y, size]] of Object.entries(texts))
      found[what] = svg("text", {x, y, "font-size": size, fill: "currentColor"}, this.values);
    return {glow: place, ...found};
  }

  area({key, kind, box: [left, top, right, low], lines, words}) {
    const node = svg("g", {role: "button", tabindex: -1, "data-key": key, class: kind, "aria-label": words}, this.hands);
    if (kind === "wire") {
      const path = lines.map(([x, y, to_x, to_y]) => `M${x} ${y}L${to_x} ${to_y}`).join("");
      svg("path", {d: path, class: "ring", "stroke-width": 24}, node);
    } else svg("rect", {x: left, y: top, width: right - left, height: low - top, rx: 3, class: "ring"}, node);
    return node;
  }

  // The sheet as large as its place lets it be, its letters never smaller than they can be read.
  fit() {
    const [, , wide, tall] = this.still.view, least = LETTERS / this.still.least_letter;
    const room = this.stage.clientWidth || wide, high = Math.max(240, innerHeight - 112);
    const scale = Math.max(least, Math.min(room / wide, high / tall, 1.5));
    this.root.style.width = `${wide * scale}px`;
    this.root.style.height = `${tall * scale}px`;
    this.scale = scale;
  }

  // Show one picture, which the page has parsed once.
  swap(key, picture) {
    if (key === this.key || !picture) return false;
    this.key = key;
    if (!this.parsed.has(key)) {
      const made = svg("g");
      made.innerHTML = picture.svg;
      this.parsed.set(key, made);
    }
    this.picture.replaceChildren(this.parsed.get(key));
    for (const area of Object.values(this.areas)) {
      const state = picture.states[area.name], is_out = picture.out?.includes(area.name);
      set(area.node, "aria-label", `${area.words}${is_out ? ": out" : state && state !== "fixed" ? `: ${state}` : ""}`);
      area.node.classList.toggle("out", Boolean(is_out));
    }
    return true;
  }

  glow(name, light) {
    this.lamps[name].glow.style.opacity = seen(light);
  }

  value(name, volts, light, word) {
    put(this.lamps[name].volts, word === "floating" ? word : volts_of(volts));
    put(this.lamps[name].light, word === "blown" ? word : light_of(light));
  }

  // The place of a pointer on the sheet.
  at(event) {
    const box = this.root.getBoundingClientRect(), [left, top] = this.still.view;
    return [left + (event.clientX - box.left) / this.scale, top + (event.clientY - box.top) / this.scale];
  }

  // The area under a place: the smallest part, else the nearest wire, else a bar.
  find(x, y) {
    const inside = ({box: [left, top, right, low]}) => left <= x && x <= right && top <= y && y <= low;
    const size = ({box: [left, top, right, low]}) => (right - left) * (low - top);
    const all = Object.values(this.areas), far = area => distance(area.lines, x, y);
    const parts = all.filter(area => area.kind === "part" && inside(area)).sort((a, b) => size(a) - size(b));
    const near = all.filter(area => area.kind === "wire" && far(area) <= 12).sort((a, b) => far(a) - far(b));
    return parts.find(area => !area.lines.length) ?? near[0] ?? parts[0] ?? null;
  }

  // The nearest terminal within a finger of a place, or null.
  terminal(x, y) {
    const found = Object.entries(this.still.terminals).map(([name, [at, high]]) => [Math.hypot(x - at, y - high), name]).sort((a, b) => a[0] - b[0]);
    return found.length && found[0][0] <= 24 ? found[0][1] : null;
  }
}

export const distance = (lines, x, y) => Math.min(...lines.map(([ax, ay, bx, by]) => {
  const long = (bx - ax) ** 2 + (by - ay) ** 2;
  const share = long ? Math.max(0, Math.min(1, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long)) : 0;
  return Math.hypot(x - ax - share * (bx - ax), y - ay - share * (by - ay));
}));

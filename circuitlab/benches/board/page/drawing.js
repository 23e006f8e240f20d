// The drawing: still letters, one picture for each state, lamps whose glow is set from frame to frame, and areas for hands.

const SVG = "http://www.w3.org/2000/svg";
const LETTERS = 10.02;    // px, least height of a letter on the page
const NARROW = 700;     // px, below which lamps and controls come first, the drawing after them
const BESIDE = 330;     // px, for what stands beside the drawing
const LISTED = 0.56;    // of the width, for what stands beside the drawing where the connection list is open
const FOUND = 480;      // px, at most, for what stands beside the drawing where a fault is looked for
const SINGLE = 560;     // px, for one table of the list
const ROOMY = 900;      // px of the list, from which wires and parts stand side by side
const CHROME = 120;     // px, of the window's height that JupyterLab has for itself
const NEARLY = 8;       // px, by which it may be taller before it scrolls
const LEAST_HIGH = 240;   // px, of the drawing beside lamps and controls, however small the window
const SHARE = 0.65;     // of the view's height, least for a drawing below lamps and controls
export const SHORT = 480;      // px of the window's height, below which lamps and controls take a line each
const BELOW = 50;       // of the sheet, below everything on it, for the line that says what is in hand
const MARGIN = 20;      // px round what is brought into sight
export const BAR = 30;         // px below the drawing, for what lies out of sight
const GROWS = 160;     // of the sheet, by which it becomes larger while a hand puts parts on it: not with every wire
const TARGET = 25.4;    // of the sheet, for a finger: 24 px of the page at the smallest scale
const LARGEST = 1.4;       // no sheet is drawn larger
const MOST_PARSED = 60;    // pictures kept parsed

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
export const seen = light => Math.min(1, Math.sqrt(Math.max(0, light)));

const put = (node, text) => { if (node && node.textContent !== text) node.textContent = text; };
const set = (node, name, value) => { if (node.getAttribute(name) !== value) node.setAttribute(name, value); };

export class Drawing {
  constructor(still, place) {
    this.still = still;
    this.stage = place;
    this.root = svg("svg", {viewBox: still.view.join(" "), role: "group", tabindex: -1, "aria-label": `Circuit: ${still.title}`,
      class: "pin30-drawing", "font-family": "sans-serif", fill: "none", "stroke-linecap": "round", "stroke-linejoin": "round"}, this.stage);
    this.glows = svg("g", {"aria-hidden": "true"}, this.root);
    this.picture = svg("g", {"aria-hidden": "true"}, this.root);
    svg("g", {"aria-hidden": "true"}, this.root).innerHTML = still.letters;
    this.values = svg("g", {"aria-hidden": "true"}, this.root);
    this.hands = svg("g", {}, this.root);
    this.marks = svg("g", {"aria-hidden": "true"}, this.root);
    this.parsed = new Map();
    this.leads = Object.fromEntries(["red", "black"].map(lead => [lead, this.lead(lead)]));
    this.lamps = Object.fromEntries(still.lamps.map(lamp => [lamp.name, this.lamp(lamp)]));
    this.areas = Object.fromEntries(still.areas.map(area => [area.key, {...area, node: this.area(area)}]));
    this.fit();
  }

  lamp({glow, texts, at}) {
    const place = svg("g", {class: "glow"}, this.glows), found = {};
    place.innerHTML = glow;
    place.style.opacity = 0;
    for (const [what, [x, y, size]] of Object.entries(texts))
      found[what] = svg("text", {x, y, "font-size": size, fill: "currentColor"}, this.values);
    return {glow: place, radius: at[2], ...found};
  }

  area({key, kind, box: [left, top, right, low], lines, words, control}) {
    const node = svg("g", {role: "button", tabindex: -1, "data-key": key, class: control ? `${kind} worked` : kind, "aria-label": words}, this.hands);
    if (kind === "wire") {
      const path = lines.map(([x, y, to_x, to_y]) => `M${x} ${y}L${to_x} ${to_y}`).join("");
      svg("path", {d: path, class: "ring", "stroke-width": TARGET}, node);
    } else if (kind === "terminal") svg("circle", {cx: (left + right) / 2, cy: (top + low) / 2, r: TARGET / 2, class: "ring"}, node);
    else svg("rect", {x: left, y: top, width: right - left, height: low - top, rx: 3, class: "ring"}, node);
    return node;
  }

  lead(colour) {
    const node = svg("g", {class: `lead ${colour}`, visibility: "hidden"}, this.marks), up = colour === "red" ? -1 : 1;
    svg("path", {d: `M0 0L8 ${up * 8}L16 ${up * 12}`, class: "pin30-lead"}, node);
    svg("text", {x: 18, y: up * 12 + 4, "font-size": 10.5, "font-weight": "bold", fill: "currentColor", class: "pin30-lettered"}, node).textContent = colour;
    return node;
  }

  // Put the leads where they are, or away.
  probe(leads) {
    for (const [colour, node] of Object.entries(this.leads)) {
      const at = this.still.terminals[leads[colour]];
      node.setAttribute("visibility", at ? "visible" : "hidden");
      if (at) node.setAttribute("transform", `translate(${at[0]} ${at[1]})`);
    }
  }

  // The sheet as large as its place lets it be beside the rest, its letters never smaller than they can be read: then it scrolls; or, where all
  // of it is wanted at once, as small as that takes, beside the list with the larger share of the width.
  fit(total = this.stage.parentNode.clientWidth) {
    const {view: shown, plan} = this.still, is = what => this.stage.parentNode.classList.contains(what), lists = is("listing"), whole = is("whole"), free = lists && plan && !whole, least = LETTERS / this.still.least_letter;
    // While parts are put at places by hand, all of the sheet's place belongs to the sheet, its corner stays where it is, and it grows by steps.
    const [left, up] = free ? [Math.min(shown[0], plan.anchor[0]), Math.min(shown[1], plan.anchor[1])] : shown;
    const [wide, tall] = free ? [shown[0] - left + shown[2], shown[1] - up + shown[3]].map(each => GROWS * Math.ceil(each / GROWS)) : shown.slice(2);
    const place = this.stage.parentNode, narrow = place.classList.toggle("narrow", total < NARROW), lamps = place.querySelector(".pin30-lamps");
    const short = place.classList.toggle("short", narrow && innerHeight < SHORT);
    lamps?.setAttribute("tabindex", short ? 0 : -1);        // they scroll within their line
    const top = narrow && lamps ? this.stage.offsetTop - lamps.offsetTop : 0;       // lamps and controls stay in sight above it
    const view = innerHeight - CHROME, full = narrow ? Math.max(SHARE * view, view - top) : Math.max(LEAST_HIGH, view);
    const room = narrow ? total : this.room(total, whole ? wide * Math.min(1, (full - BAR) / tall) : 0);
    const edged = place.classList.toggle("edged", !narrow && (lists || whole || wide * least > room + 1 || tall * least > full + NEARLY)), high = edged ? full - BAR : full;
    const fits = Math.min(room / wide, high / tall, lists ? 1 : LARGEST), read = Math.max(least, fits), scale = whole ? fits : read;
    place.classList.toggle("roomy", lists && total - room >= ROOMY);
    this.stage.style.width = `${lists && !narrow ? room : Math.min(wide * read, room)}px`;
    this.stage.style.maxHeight = `${high + NEARLY}px`;
    place.style.setProperty("--high", `${full + NEARLY}px`);
    const size = [Math.max(wide, free ? room / scale : 0), Math.max(tall + (free ? BELOW : 0), free ? high / scale : 0)];
    this.view = [left, up, ...size];
    this.root.setAttribute("viewBox", this.view.join(" "));
    this.root.style.width = `${size[0] * scale}px`;
    this.root.style.height = `${size[1] * scale}px`;
    this.scale = scale;
    this.stage.dispatchEvent(new Event("fitted"));
  }

  // What gives the names of the parts that lie out of sight, by axis (0: across) and side (-1 or 1), the nearest first.
  beyond() {
    const {stage, scale, view} = this, now = [stage.scrollLeft, stage.scrollTop], size = [stage.clientWidth, stage.clientHeight];
    const parts = Object.values(this.areas).filter(area => area.kind === "part");
    return (axis, side) => parts.map(({name, box}) => [name, side * ((box[axis + (side > 0 ? 2 : 0)] - view[axis]) * scale - now[axis]) - (side > 0 ? size[axis] : 0)])
      .filter(([, far]) => far > 1).sort((a, b) => a[1] - b[1]).map(([name]) => name);
  }

  // What of the width is the drawing's, beside lamps and list; at least so much, where the list can do without it. [px]
  room(total, wanted) {
    const {classList} = this.stage.parentNode, listed = LISTED * total >= ROOMY ? LISTED * total : Math.min(SINGLE, LISTED * total);
    if (classList.contains("finding")) return total - Math.max(BESIDE, Math.min(FOUND, LISTED * total));
    if (!classList.contains("listing") || classList.contains("drawn")) return total - BESIDE;
    return Math.min(total - BESIDE, Math.max(total - Math.max(BESIDE, listed), wanted));
  }

  // Bring as many of the parts into sight as the sheet's place holds, by the shortest way.
  reveal(names) {
    const {stage, scale} = this, [left, top] = this.view, size = [stage.clientWidth, stage.clientHeight], now = [stage.scrollLeft, stage.scrollTop];
    const boxes = Object.values(this.areas).filter(area => area.kind === "part" && names.includes(area.name))
      .map(({box: [x, y, right, low]}) => [[x - left, right - left], [y - top, low - top]].map(ends => ends.map(each => each * scale)));
    const most = [stage.scrollWidth - size[0], stage.scrollHeight - size[1]];
    const places = axis => [now[axis], ...boxes.flatMap(box => [box[axis][0] - MARGIN, box[axis][1] + MARGIN - size[axis]])]
      .map(at => Math.max(0, Math.min(at, most[axis])));
    const held = at => boxes.filter(box => box.every(([low, high], axis) => at[axis] <= low && high <= at[axis] + size[axis])).length;
    const far = at => Math.hypot(at[0] - now[0], at[1] - now[1]);
    const best = places(0).flatMap(x => places(1).map(y => [x, y])).sort((a, b) => held(b) - held(a) || far(a) - far(b))[0];
    stage.scrollTo(...best);
  }

  // What is out or off, for eye and ear.
  parted(out, off) {
    for (const area of Object.values(this.areas)) {
      const ends = off.filter(([wire]) => wire === area.name && area.kind === "wire").map(([, end]) => end);
      area.off = out.includes(area.name) ? "out" : ends.length ? `off ${ends.join(" and ")}` : "";
      area.node.classList.toggle("out", area.off === "out");
      this.name(area);
    }
  }

  // Parts and wires that stand out.
  mark(names) { for (const area of Object.values(this.areas)) area.node.classList.toggle("marked", area.kind !== "terminal" && names.includes(area.name)); }

  name(area) {
    const state = area.kind === "part" ? this.states?.[area.name] : "";
    set(area.node, "aria-label", [area.words, area.off || (state === "fixed" ? "" : state)].filter(Boolean).join(": "));
  }

  // Show one picture, which the page has parsed once.
  swap(key, picture) {
    if (key === this.key || !picture) return false;
    this.key = key;
    this.lay(this.parts_of(key, picture));
    this.states = picture.states;
    for (const area of Object.values(this.areas)) if (area.kind === "part") this.name(area);
    return true;
  }

  // The parts of a picture, parsed once: each with its own text, by which it is known again in another picture.
  parts_of(key, picture) {
    if (!this.parsed.has(key)) {
      const made = svg("g");
      made.innerHTML = picture.svg;
      if (this.parsed.size >= MOST_PARSED) this.parsed.delete(this.parsed.keys().next().value);
      this.parsed.set(key, [...made.children].map(node => ({node, text: node.outerHTML})));
    }
    return this.parsed.get(key);
  }

  // Put these parts in the place of the last ones; what is the same stays, so that little is drawn anew.
  lay(parts) {
    const stand = [...this.picture.children];
    if (stand.length !== parts.length) this.picture.replaceChildren(...parts.map(({node}) => node.cloneNode(true)));
    else parts.forEach(({node, text}, place) => { if (text !== this.parts[place].text) stand[place].replaceWith(node.cloneNode(true)); });
    this.parts = parts;
  }

  // px2 of the page that a lamp's glow takes, rays and all.
  area_of(name) { return Math.PI * ((this.lamps[name].radius + 5) * this.scale) ** 2; }

  glow(name, shown) {
    this.lamps[name].glow.style.opacity = shown.toFixed(2);
  }

  value(name, volts, light, word) {
    put(this.lamps[name].volts, word === "floating" ? word : volts_of(volts));
    put(this.lamps[name].light, ["blown", "missing"].includes(word) ? word : light_of(light));
  }

  // The place of a pointer on the sheet.
  at(event) {
    const box = this.root.getBoundingClientRect(), [left, top] = this.view;
    return [left + (event.clientX - box.left) / this.scale, top + (event.clientY - box.top) / this.scale];
  }

  // The area under a place: a terminal right there, the smallest part, else the nearest wire, else a bar, else the part that a word is of.
  find(x, y, reach = 4) {
    const end = this.terminal(x, y, reach);
    if (end) return this.areas[`end ${end}`];
    const inside = ({box: [left, top, right, low]}) => left <= x && x <= right && top <= y && y <= low;
    const size = ({box: [left, top, right, low]}) => (right - left) * (low - top);
    const all = Object.values(this.areas), far = area => distance(area.lines, x, y);
    const parts = all.filter(area => area.kind === "part" && inside(area)).sort((a, b) => size(a) - size(b));
    const near = all.filter(area => area.kind === "wire" && far(area) <= TARGET / 2).sort((a, b) => far(a) - far(b));
    const word = this.still.names.find(([, ...box]) => inside({box}));
    return parts.find(area => !area.lines.length) ?? near[0] ?? parts[0] ?? (word ? this.areas[word[0]] : null);
  }

  // The nearest terminal within reach of a place, or null.
  terminal(x, y, reach) {
    const found = Object.entries(this.still.terminals).map(([name, [at, high]]) => [Math.hypot(x - at, y - high), name]).sort((a, b) => a[0] - b[0]);
    return found.length && found[0][0] <= reach ? found[0][1] : null;
  }
}

export const distance = (lines, x, y) => Math.min(...lines.map(([ax, ay, bx, by]) => {
  const long = (bx - ax) ** 2 + (by - ay) ** 2;
  const share = long ? Math.max(0, Math.min(1, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long)) : 0;
  return Math.hypot(x - ax - share * (bx - ax), y - ay - share * (by - ay));
}));

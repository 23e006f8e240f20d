// The places of what may be at fault on the drawing: a broken line along it, and the number it has in the list.

import {svg} from "./drawing.js";

const BADGE = 8.5, BADGE_LETTERS = 10.5, ASIDE = 12;        // of the sheet

export class Suspects {
  constructor(board) { Object.assign(this, {board, causes: []}); this.laid(); }

  // On a new sheet.
  laid() {
    this.group = svg("g", {class: "pin30-suspects"});
    this.board.drawing.marks.prepend(this.group);       // below the leads
    this.show(this.causes);
  }

  close() { this.group.remove(); }

  show(causes) {
    this.causes = causes;
    this.group.replaceChildren();
    const badges = new Map();
    causes.forEach(({place}, index) => {
      for (const [x, y] of this.spots(place, index)) {
        const key = `${Math.round(x / BADGE)} ${Math.round(y / BADGE)}`;
        if (!badges.has(key)) badges.set(key, {x, y, numbers: []});
        badges.get(key).numbers.push(index + 1);
      }
    });
    for (const badge of badges.values()) this.badge(badge);
  }

  // Where the badge of a cause stands; what it is about is outlined on the way.
  spots(place, index) {
    const {areas, still} = this.board.drawing, all = Object.values(areas), [from, to] = place;
    const wire = all.find(area => area.kind === "wire" && place.length === 2 && [area.start, area.end].every(end => place.includes(end)));
    if (wire) {
      const d = wire.lines.map(([x, y, to_x, to_y]) => `M${x} ${y}L${to_x} ${to_y}`).join("");
      svg("path", {d, class: index ? "pin30-suspect" : "pin30-suspect first"}, this.group);
      const long = ([x, y, to_x, to_y]) => Math.hypot(to_x - x, to_y - y), [x, y, to_x, to_y] = [...wire.lines].sort((a, b) => long(b) - long(a))[0];
      return [[(x + to_x) / 2 - (x === to_x ? ASIDE : 0), (y + to_y) / 2 - (x === to_x ? 0 : ASIDE)]];     // where the wire's own letters are not
    }
    return [from, to].filter(Boolean).slice(0, 2).flatMap(name => {
      const at = still.terminals[name], part = all.find(area => area.kind === "part" && area.name === name);
      if (at) return [[at[0] + ASIDE, at[1] - ASIDE]];
      if (!part) return [];
      const [left, top, right, low] = part.box;
      svg("rect", {x: left - 2, y: top - 2, width: right - left + 4, height: low - top + 4, rx: 4, class: `pin30-suspect part${index ? "" : " first"}`}, this.group);
      return [[left, top]];
    });
  }

  badge({x, y, numbers}) {
    const words = numbers.length > 3 ? `${numbers[0]}\u2026${numbers[numbers.length - 1]}` : numbers.join(","), wide = Math.max(2 * BADGE, 7 * words.length + 6), [left, top] = this.board.still.view;
    x = Math.max(x, left + wide / 2 + 1);           // whole, at the sheet's edge
    y = Math.max(y, top + BADGE + 1);
    svg("rect", {x: x - wide / 2, y: y - BADGE, width: wide, height: 2 * BADGE, rx: BADGE, class: "pin30-badge"}, this.group);
    svg("text", {x, y: y + 3.8, "font-size": BADGE_LETTERS, "text-anchor": "middle", "font-weight": "bold", fill: "currentColor"}, this.group).textContent = words;
  }
}

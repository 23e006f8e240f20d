// Never more than three flashes in any second over the whole page (WCAG 2.2, success criterion 2.3.1), at any speed and under any hand:
// beyond that lamps show a steady mean. They flash on only where all that flashes is small, under 21,824 px2 together, and not stilled.

export const MOST = 3;          // flashes in a second
export const AREA = 21_824;     // px2, a quarter of ten degrees of sight at 1024x768
const CHANGE = 0.1;               // of full light: a change that counts
const TOGETHER = 60;            // ms, within which lamps that come on are one flash
const MEMORY = 2500;            // ms, over which the mean is taken

// What all boards of a page have in common: when something came on, and what was large that did.
export class Flashes {
  constructor(source = () => performance.now()) { Object.assign(this, {source, rises: [], held: false, stilled: false}); }

  rise(real, area) {
    const last = this.rises[this.rises.length - 1];
    if (last && real - last.real < TOGETHER) last.area += area;
    else this.rises.push({real, area});
  }

  // Whether lamps are to stand still now.
  look(real) {
    while (this.rises.length && real - this.rises[0].real > 1000) this.rises.shift();
    const many = this.rises.length > (this.held ? MOST - 1 : MOST);
    this.fast = many;
    this.held = many && (this.stilled || Math.max(...this.rises.map(each => each.area)) > AREA);
    return this.held;
  }
}

export const page = new Flashes();

// The lamps of one board: what each wants to show, and what it may.
export class Calm {
  constructor(flashes = page) { Object.assign(this, {flashes, lamps: {}}); }

  // What a lamp may show of its light, as it is seen, of an area.
  light(name, wanted, area) {
    const real = this.flashes.source(), lamp = this.lamps[name] ??= {low: wanted, mean: wanted, real, up: wanted > CHANGE};
    lamp.mean += (wanted - lamp.mean) * (1 - Math.exp(-(real - lamp.real) / MEMORY));
    lamp.real = real;
    if (lamp.up) { lamp.high = Math.max(lamp.high ?? wanted, wanted); if (wanted < lamp.high - CHANGE) Object.assign(lamp, {up: false, low: wanted}); }
    else { lamp.low = Math.min(lamp.low, wanted); if (wanted > lamp.low + CHANGE) { Object.assign(lamp, {up: true, high: wanted}); this.flashes.rise(real, area); } }
    return this.flashes.look(real) ? lamp.mean : wanted;
  }
}

// The board's clock: whole microseconds of the circuit's time. Nothing else on the page asks what time it is.

export class Clock {
  constructor(source = () => performance.now()) {
    this.source = source;
    this.base = 0;            // us, where the clock stood at `mark`
    this.mark = null;         // ms of the source, null while it stands
    this.speed = 1;
    this.limit = Infinity;    // us, beyond which it does not run: nothing is known there yet
  }

  get runs() { return this.mark !== null; }

  get now() {
    const past = this.runs ? (this.source() - this.mark) * 1000 * this.speed : 0;
    return Math.round(Math.max(this.base, Math.min(this.base + past, this.limit)));
  }

  set(moment) { this.base = moment; if (this.runs) this.mark = this.source(); }

  start() { if (!this.runs) this.mark = this.source(); }

  stop() { this.base = this.now; this.mark = null; }

  pace(speed) { this.set(this.now); this.speed = speed; }

  // The time that was lost while it stood at its limit is not caught up, nor does it go back to one that lies behind it.
  bound(limit) { if (this.now >= Math.min(limit, this.limit)) this.set(this.now); this.limit = limit; }
}

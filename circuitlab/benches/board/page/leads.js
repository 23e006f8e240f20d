// The board's leads: taken in hand, put on terminals, taken away, and what is measured with them.

export const LEADING = {
  take(lead, terminal = null) {
    if (!this.below.measures) this.below.show("meter");
    if (terminal) return this.put(lead, terminal);
    this.lead = this.lead === lead ? null : lead;
    this.below.leads(this.instrument, this.lead);
  },

  put(lead, terminal) {
    this.lead = null;
    this.leads = {black: this.still.zero, ...this.leads, [lead]: terminal};
    this.drawing.probe(this.leads);
    this.model.send({kind: "lead", lead, terminal, at: this.clock.now});
    if (!this.below.measures) this.below.show("meter"); else this.measure(this.instrument);
  },

  // Both leads at once, where the kit wants them.
  probe_with(instrument, leads) {
    Object.assign(this, {leads, instrument: instrument || "meter", since: this.clock.now});
    this.drawing.probe(leads);
    this.look_again();
  },

  leads_away() {
    for (const lead in this.leads) this.model.send({kind: "lead", lead, terminal: "", at: this.clock.now});
    this.leads = {};
    this.drop();
    this.drawing.probe({});
    this.below.read({words: "", lowest: null});
  },

  drop() { this.lead = null; this.below.leads(this.instrument, null); },

  measure(instrument) {
    Object.assign(this, {instrument, since: this.moment ?? this.clock.now, reading: false});
    this.below.leads(instrument, this.lead);
    if (!this.leads.red) this.below.read({words: "Put the red lead on a terminal: press r, or 'red lead', then choose a terminal. The black one is on minus.", lowest: null});
    this.look_again();
  },

  // A lead put on or taken off by a script that is played.
  on_lead({lead, terminal}) {
    const {[lead]: had, ...other} = this.leads;
    this.probe_with(this.instrument, terminal ? {black: this.still.zero, ...other, [lead]: terminal} : other);
  },
};

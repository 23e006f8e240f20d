// What a board does while nobody sees it, or while its kit is gone.

export const AWAY = {
  // A tab out of sight gets no frames: the clock stands, and goes on from there.
  hide() {
    if (document.hidden && this.clock.runs) { this.clock.stop(); this.hidden = true; this.stands_at(); }
    else if (!document.hidden && this.hidden) { this.clock.start(); this.hidden = false; }
  },

  // Tell the kit where time was stopped: a page opened again goes on from there.
  stands_at() { this.model.send({kind: "stop", at: this.clock.now}); },

  // The kernel is gone, or there again: the widget's own class says so.
  cut_off() {
    const gone = this.place.matches(".jupyter-widgets-disconnected");
    if (gone === this.gone) return;
    this.gone = gone;
    if (gone) this.clock.stop();
    this.stage.inert = gone;
    const {root, alert} = this.beside;
    for (const part of [...root.children, ...alert.parentNode.children]) part.inert = gone && !part.contains(alert);
    this.beside.alert.textContent = gone ? this.still.gone : "";
    if (!gone) this.model.send({kind: "hello"});
  },
};

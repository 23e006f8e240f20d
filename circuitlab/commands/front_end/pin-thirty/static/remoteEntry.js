// Tells the benches of a notebook when their kernel is gone; makes a lesson ready when it is opened (lessons.js).
//
// JupyterLab's widgets notice a restart by themselves and are given the class "jupyter-widgets-disconnected"; a bench
// that has it says so (circuitlab/benches/stopped.py). They do not notice a kernel that was shut down or given up, a
// server that was stopped, or a kernel that came back as another one while the page was cut off. This does.
//
// It is a front-end extension as JupyterLab loads it, written by hand, so that nothing has to be built.
(() => {
  const GONE = new Set(["restarting", "autorestarting", "terminating", "dead"]);
  const CUT_OFF = "jupyter-widgets-disconnected";
  const PATIENCE = 2000;    // ms that a connection may be away before a bench says so
  const LESSONS = new URL("lessons.js", document.currentScript.src);
  let shared;

  const use = name => Object.values(shared[name])[0].get().then(module => module());

  // Every view of a widget below the outputs of a notebook.
  function views(panel) {
    const found = [];
    const walk = widget => {
      if (widget._view) found.push(widget._view);
      for (const child of widget.children()) walk(child);
    };
    for (const cell of panel.content.widgets) if (cell.outputArea) walk(cell.outputArea);
    return found;
  }

  const benches = panel => panel.node.querySelectorAll(".circuit-bench, .pin30-board");

  // For good: these widgets never come back, in whatever view they are shown.
  function end(panel) {
    for (const manager of new Set(views(panel).map(view => view.model.widget_manager))) manager.disconnect();
    for (const bench of benches(panel)) bench.classList.add(CUT_OFF);
  }

  // For now: what the kernel still has when the connection is back goes on.
  function pause(panel) {
    for (const bench of benches(panel)) bench.classList.add(CUT_OFF);
  }

  async function goOn(panel, kernel) {
    const answer = (await kernel.requestCommInfo({target_name: "jupyter.widget"})).content;
    for (const {model, el} of views(panel)) {
      if (!(answer.comms && model.model_id in answer.comms)) model.comm_live = false;
      else if (model.comm_live) el.classList.remove(CUT_OFF);
    }
  }

  function watch(panel) {
    const session = panel.sessionContext;
    let wait;
    session.statusChanged.connect((_, status) => GONE.has(status) && end(panel));
    session.kernelChanged.connect((_, change) => change.oldValue && end(panel));
    session.connectionStatusChanged.connect((_, status) => {
      clearTimeout(wait);
      if (status === "connected") goOn(panel, session.session.kernel).catch(() => {});
      else wait = setTimeout(() => panel.isDisposed || pause(panel), PATIENCE);
    });
    panel.disposed.connect(() => clearTimeout(wait));
  }

  const container = {
    init: scope => { shared = scope; },
    get: async module => {
      if (module !== "./extension") return () => ({});
      const notebooks = await use("@jupyterlab/notebook"), {INotebookTracker} = notebooks;
      const ready = {
        id: "pin-thirty:ready",
        autoStart: true,
        requires: [INotebookTracker],
        activate: async (app, tracker) => (await import(LESSONS)).activate(app, tracker, notebooks),
      };
      const stopped = {
        id: "pin-thirty:stopped",
        autoStart: true,
        requires: [INotebookTracker],
        activate: (app, tracker) => {
          tracker.forEach(watch);
          tracker.widgetAdded.connect((_, panel) => watch(panel));
        },
      };
      return () => ({__esModule: true, default: [stopped, ready]});
    },
  };
  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["pin-thirty"] = container;
})();

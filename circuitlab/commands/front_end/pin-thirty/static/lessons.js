// Makes a lesson ready when it is opened: runs it in the learner's own copy, keeps the page at its top, hides folded code.
//
// What may be run is not decided here: the kernel is asked (circuitlab/commands/ready.py), which knows the kit's own lessons.
const MARK = "pin_thirty", PATIENCE = 10_000;     // ms that widgets of a kernel still running may take to come back
const ASK = "__import__('circuitlab.commands.ready', fromlist=['ready'])";
const LOST = /Loading widget|Error displaying widget|model not found|Error creating widget/;
const RUN_ALL = new Set(["notebook:run-all-cells", "notebook:restart-run-all", "runmenu:run-all", "runmenu:restart-and-run-all"]);
const WAITING = "This lesson is being made ready…";
const NO_ANSWER = "This lesson could not be made ready by itself. Choose Run > Run All Cells in the menu, then scroll back up.";
const STYLE = `
.pin30-own .jp-CodeCell .jp-Cell-inputWrapper:has(.jp-InputPlaceholder) {display: none}
.pin30-own .jp-CodeCell:has(.jp-InputPlaceholder):not(:has(.jp-OutputArea-child)) {display: none}
.pin30-own.pin30-waiting .jp-OutputArea {visibility: hidden}
.pin30-strip {padding: 6px 14px; font: 14px/1.4 var(--jp-ui-font-family, sans-serif); color: var(--jp-ui-font-color1);
  background: var(--jp-layout-color2); border-bottom: 2px solid var(--jp-border-color1)}
.pin30-yours {display: flex; flex-wrap: wrap; gap: 8px; align-items: center; margin: 2px 0 4px calc(var(--jp-cell-prompt-width, 64px) + 14px);
  font: 13px/1.4 var(--jp-ui-font-family, sans-serif); color: var(--jp-ui-font-color1)}
.pin30-yours button {font: inherit; min-height: 26px; padding: 0 10px; color: inherit; background: var(--jp-layout-color1);
  border: 1px solid var(--jp-border-color0, #888); border-radius: 4px; cursor: pointer}`;

const later = ms => new Promise(done => setTimeout(done, ms));
const source = cell => cell.model.sharedModel.getSource();
const codeCells = panel => panel.content.widgets.filter(cell => cell.model.type === "code" && source(cell).trim());
const isLost = panel => [...panel.node.querySelectorAll(".jp-OutputArea-output")].some(part => LOST.test(part.textContent));

// Asks a kernel one question; what it shows as JSON is the answer.
async function ask(kernel, question) {
  const code = {code: "", silent: true, store_history: false, user_expressions: {told: `${ASK}.${question}`}};
  const told = (await kernel.requestExecute(code).done).content.user_expressions?.told;
  if (told?.status !== "ok") throw new Error(told?.evalue || "no answer");
  return told.data["application/json"];
}

function say(panel, sentence) {
  let strip = panel.node.querySelector(".pin30-strip");
  if (!sentence) return strip?.remove();
  if (!strip) {
    strip = Object.assign(document.createElement("div"), {className: "pin30-strip"});
    strip.setAttribute("role", "status");
    panel.content.node.prepend(strip);
  }
  strip.textContent = sentence;
}

function toTop(panel) {
  panel.content.activeCellIndex = 0;
  for (const part of [panel.content.node, ...panel.content.node.querySelectorAll(".jp-WindowedPanel-outer")]) part.scrollTop = 0;
}

// Below each cell of the learner's: what it is, a button to run it, one to set it back.
function mark(panel, starts, run) {
  for (const cell of codeCells(panel)) {
    const start = starts[cell.model.id];
    if (start === undefined || cell.node.querySelector(".pin30-yours")) continue;
    const bar = Object.assign(document.createElement("div"), {className: "pin30-yours"});
    const button = (words, press) => {
      const made = Object.assign(document.createElement("button"), {type: "button", textContent: words, onclick: press});
      bar.append(made);
    };
    bar.append(Object.assign(document.createElement("b"), {textContent: "yours:"}));
    button("Run this cell", () => run([cell]));
    button("Set it back to its start", () => { cell.model.sharedModel.setSource(start); return run([cell]); });
    cell.node.querySelector(".jp-Cell-inputWrapper").after(bar);
  }
}

async function runAll(panel, told, run) {
  const kernel = panel.sessionContext.session.kernel;
  let together = [];
  for (const cell of [...panel.content.widgets, null]) {
    const unseen = cell && told.unseen[cell.model.id];
    if (cell && unseen === undefined) together.push(cell);
    else {
      if (together.length && !await run(together)) return;
      together = [];
      if (unseen) await kernel.requestExecute({code: unseen, silent: true}).done;
    }
  }
}

async function open(app, panel, actions) {
  await panel.context.ready;
  if (!panel.context.model.sharedModel.getMetadata(MARK)) return;
  const run = cells => actions.runCells(panel.content, cells, panel.sessionContext);
  const shown = () => new Promise(done => panel.isVisible ? done() : panel.revealed.then(done));
  await shown();
  panel.node.classList.add("pin30-readying");
  try {
    say(panel, WAITING);
    await panel.sessionContext.ready;
    const cells = codeCells(panel).map(cell => [cell.model.id, source(cell)]);
    const path = panel.context.path.split("/").pop();
    const told = await ask(panel.sessionContext.session.kernel, `told(${JSON.stringify(JSON.stringify([path, cells]))})`);
    if (!told.is_own) return say(panel, told.said);
    panel.node.classList.add("pin30-own");
    mark(panel, told.starts, run);
    if (told.has_run && codeCells(panel).every(cell => cell.model.executionCount !== null)) {
      for (let waited = 0; waited < PATIENCE && isLost(panel); waited += 500) await later(500);
      if (!isLost(panel)) return say(panel, told.said);
    }
    panel.node.classList.add("pin30-waiting");
    await runAll(panel, told, run);
    await ask(panel.sessionContext.session.kernel, "done()");
    say(panel, told.said);
    if (panel.context.contentsModel?.writable !== false) await panel.context.save();
  } catch (error) {
    console.warn(error);
    say(panel, NO_ANSWER);
  } finally {
    panel.node.classList.remove("pin30-waiting", "pin30-readying");
  }
}

export function activate(app, tracker, {NotebookActions}) {
  document.head.append(Object.assign(document.createElement("style"), {textContent: STYLE}));
  const begin = panel => void open(app, panel, NotebookActions);
  tracker.forEach(begin);
  tracker.widgetAdded.connect((_, panel) => begin(panel));
  app.commands.commandExecuted.connect((_, {id, result}) => {
    const panel = tracker.currentWidget;
    if (RUN_ALL.has(id) && panel?.context.model.sharedModel.getMetadata(MARK)) result.then(() => toTop(panel), () => {});
  });
}

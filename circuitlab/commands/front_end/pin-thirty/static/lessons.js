// Makes a lesson ready when it is opened: runs it in the learner's own copy, keeps the page at its top, hides folded code.
//
// What may be run is not decided here: the kernel is asked (circuitlab/commands/ready.py), which knows the kit's own lessons.
const MARK = "pin_thirty", FEW = 4;       // menus of a cell that is run at each choice; with more it waits for its button
const PATIENCE = 10_000;                  // ms that widgets of a kernel still running may take to come back
const ASK = "__import__('circuitlab.commands.ready', fromlist=['ready'])";
const LOST = /Loading widget|Error displaying widget|model not found|Error creating widget/;
const RUN_ALL = new Set(["notebook:run-all-cells", "notebook:restart-run-all", "runmenu:run-all", "runmenu:restart-and-run-all"]);
const WAITING = "This lesson is being made ready…";
const NO_ANSWER = "This lesson could not be made ready by itself. Choose Kernel > Restart Kernel and Run All Cells… in the menu; if a cell stops " +
  "then, set it back or mend it.";
const STYLE = `
.pin30-own .jp-CodeCell .jp-Cell-inputWrapper:has(.jp-InputPlaceholder) {display: none}
.pin30-own .jp-CodeCell:has(.jp-InputPlaceholder):not(:has(.jp-OutputArea-child)) {display: none}
.pin30-own.pin30-waiting .jp-OutputArea {visibility: hidden}
.jp-DirListing-item {padding-left: 6px; padding-right: 2px}
.jp-DirListing-itemText {font-size: 12px}
.pin30-strip {padding: 6px 14px; font: 14px/1.4 var(--jp-ui-font-family, sans-serif); color: var(--jp-ui-font-color1);
  background: var(--jp-layout-color2); border-bottom: 2px solid var(--jp-border-color1)}
.pin30-yours {display: flex; flex-wrap: wrap; gap: 8px; align-items: center; margin: 2px 0 4px calc(var(--jp-cell-prompt-width, 64px) + 14px);
  font: 13px/1.4 var(--jp-ui-font-family, sans-serif); color: var(--jp-ui-font-color1)}
.pin30-yours :is(button, select) {font: inherit; min-height: 26px; padding: 0 10px; color: inherit; background: var(--jp-layout-color1);
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
    strip = make("div", {className: "pin30-strip", role: "status"});
    panel.content.node.prepend(strip);
  }
  strip.textContent = sentence;
}

function toTop(panel) {
  panel.content.activeCellIndex = 0;
  for (const part of [panel.content.node, ...panel.content.node.querySelectorAll(".jp-WindowedPanel-outer")]) part.scrollTop = 0;
}

const make = (kind, given, ...inside) => {
  const made = Object.assign(document.createElement(kind), given);
  made.append(...inside);
  return made;
};
const control = (kind, given, ...inside) => {
  const made = make(kind, given, ...inside);
  made.dataset.lmSuppressShortcuts = "true";      // JupyterLab would take its keys
  return made;
};

// A choice of a menu is a value as it stands in a cell, or a value and the words for it.
const value = choice => [choice].flat()[0];
const words = choice => [choice].flat()[1] ?? choice.replace(/^"(.*)"$/, "$1");

// Where the values of a menu stand in a cell: each behind the one before it; lines of remarks hold none.
function places(text, menu) {
  const code = text.replace(/^[ \t]*#.*$/gm, line => " ".repeat(line.length));
  let from = 0;
  return menu.map(([, choices]) => {
    const found = choices.map(value).map(value => ({value, at: code.indexOf(value, from)})).filter(({at}) => at >= 0);
    const [first] = found.sort((one, other) => one.at - other.at || other.value.length - one.value.length);
    if (first) from = first.at + first.value.length;
    return first;
  });
}

// The menus of a cell: what is chosen is written into its text, and the cell is run.
function choosers(cell, menu, go) {
  const model = cell.model.sharedModel;
  const made = menu.map(([ariaLabel, choices], number) => control("select", {ariaLabel, onchange: event => {
    const text = model.getSource(), place = places(text, menu)[number];
    if (!place) return;
    model.setSource(text.slice(0, place.at) + event.target.value + text.slice(place.at + place.value.length));
    if (menu.length <= FEW) go();
  }}, ...choices.map(choice => make("option", {value: value(choice), textContent: words(choice)}))));
  const follow = () => places(model.getSource(), menu).forEach((place, number) => {
    made[number].disabled = !place;
    made[number].value = place ? place.value : "";
  });
  model.changed.connect(follow);
  follow();
  return made.map((select, number) => make("label", {}, `${menu[number][0]} `, select));
}

// What hangs on a cell of the learner's is run behind it, however that cell was run; notebooks in which more than one cell runs see to it themselves.
const behind = new WeakMap(), many = new WeakMap();
const count = (notebook, more) => many.set(notebook, (many.get(notebook) ?? 0) + more);
const asMany = async (notebook, running) => {
  count(notebook, 1);
  try { return await running; } finally { count(notebook, -1); }
};

// Below each cell of the learner's: what it is, menus in the place of typing, a button to run it, one to set it back.
function mark(panel, {starts, menus}, run) {
  const cells = codeCells(panel);
  cells.forEach((cell, number) => {
    const start = starts[cell.model.id], {menu = [], then = []} = menus[cell.model.id] || {};
    if (start === undefined || cell.node.querySelector(".pin30-yours")) return;
    const more = cells.slice(number + 1).filter(other => then === "below" || then.includes(other.model.id));
    const go = () => {
      panel.content.activeCellIndex = panel.content.widgets.indexOf(cell);      // the page goes to the active cell
      return run([cell, ...more]);
    };
    if (more.length) behind.set(cell, () => run(more));
    const button = (textContent, onclick) => control("button", {type: "button", textContent, onclick});
    cell.node.querySelector(".jp-Cell-inputWrapper").after(make("div", {className: "pin30-yours"},
      make("b", {textContent: "yours:"}), ...choosers(cell, menu, go),
      button(then === "below" ? "Run this cell and all below" : "Run this cell", go),
      button("Set it back to its start", () => { cell.model.sharedModel.setSource(start); return go(); })));
  });
}

// Runs what may be run, in its order; what waits is made as at its start, unseen.
async function runAll(panel, told, run) {
  const kernel = panel.sessionContext.session.kernel;
  let together = [];
  for (const cell of [...panel.content.widgets, null]) {
    const unseen = cell && told.unseen[cell.model.id];
    if (cell && unseen === undefined) together.push(cell);
    else {
      if (together.length && !await run(together)) throw new Error("a cell stopped");
      together = [];
      if (unseen) await kernel.requestExecute({code: unseen, silent: true}).done;
    }
  }
}

async function open(panel, actions) {
  await panel.context.ready;
  const lesson = panel.context.model.sharedModel.getMetadata(MARK);
  if (!lesson) return;
  const run = cells => asMany(panel.content, actions.runCells(panel.content, cells, panel.sessionContext));
  const shown = () => new Promise(done => panel.isVisible ? done() : panel.revealed.then(done));
  await shown();
  panel.node.classList.add("pin30-readying");
  try {
    say(panel, WAITING);
    await panel.sessionContext.ready;
    const cells = codeCells(panel).map(cell => [cell.model.id, source(cell)]);
    const told = await ask(panel.sessionContext.session.kernel, `told(${JSON.stringify(JSON.stringify([String(lesson.name), cells]))})`);
    if (!told.is_own) return say(panel, told.said);
    panel.node.classList.add("pin30-own");
    mark(panel, told, run);
    if (told.has_run && codeCells(panel).every(cell => cell.model.executionCount !== null)) {
      for (let waited = 0; waited < PATIENCE && isLost(panel); waited += 500) await later(500);
      if (!isLost(panel)) return say(panel, told.said);
    }
    panel.node.classList.add("pin30-waiting");
    await runAll(panel, told, run);
    await ask(panel.sessionContext.session.kernel, "done()");
    panel.node.classList.add("pin30-fresh");        // run just now, and by nobody since
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
  document.head.append(make("style", {textContent: STYLE}));
  const begin = panel => void open(panel, NotebookActions);
  tracker.forEach(begin);
  tracker.widgetAdded.connect((_, panel) => begin(panel));
  app.commands.commandExecuted.connect((_, {id, result}) => {
    const panel = tracker.currentWidget;
    if (RUN_ALL.has(id) && panel?.context.model.sharedModel.getMetadata(MARK)) asMany(panel.content, result).then(() => toTop(panel), () => {});
  });
  NotebookActions.executed.connect((_, {notebook, cell, success}) => success && !many.get(notebook) && behind.get(cell)?.());
}

"""A board on a page of its own, without JupyterLab: its module as the wheel has it, its desk in this process."""

import json

from flashes_counted import most_flashes

from circuitlab.benches.board import Board
from circuitlab.benches.board.board import PAGE

WORDS = """<!doctype html><html lang="en"><meta charset="utf-8"><title>board</title><style>body {margin: 0}</style>
<style>%s</style><body><main></main></body></html>"""
OPEN = """async ({module, still, number}) => {
  const listeners = new Set();
  const hear = message => listeners.forEach(listener => listener(message));
  Object.assign(window, {sent: [], asked: 0, answered: 0});
  const model = {
    get: name => ({still})[name],
    on: (_, listener) => listeners.add(listener),
    off: (_, listener) => listeners.delete(listener),
    send: message => {
      window.sent.push(message);
      if (window.dead) return;
      window.asked += 1;
      window.desk(number, message).then(async answers => {
        if (window.late) await new Promise(done => setTimeout(done, window.late));
        answers.forEach(hear);
        window.answered += 1;
      });
    },
  };
  const made = await import(URL.createObjectURL(new Blob([module], {type: "text/javascript"})));
  const place = document.body.appendChild(document.createElement("div"));
  made.default.render({model, el: place});
}"""


def open_board(page, arrangement, beside=False, **more):
    """Open a board on a page, or one more beside those that are there, and return it; its desk answers at once."""
    board = Board(arrangement, **more)
    if not beside:
        page.goto("about:blank")
        page.set_content(WORDS % (PAGE / "board.css").read_text(encoding="utf-8"))
    if not hasattr(page, "desks"):
        page.desks = []
        page.expose_function("desk", lambda number, message: json.loads(json.dumps(list(page.desks[number].hear(message)))))
    page.desks.append(board.desk)
    page.evaluate(OPEN, {"module": board._esm, "still": json.loads(json.dumps(board.still)), "number": len(page.desks) - 1})
    return board


def lamp(place, name):
    """Return the line beside the drawing that tells what a lamp does."""
    return place.get_by_role("list", name="Lamps").get_by_role("listitem").filter(has_text=name)


def looks(page, name, seconds):
    """Return at each frame of some seconds how bright a lamp is drawn. [1]"""
    return page.evaluate("""([name, seconds]) => new Promise(done => {
        const glass = [...document.querySelectorAll('.pin30-lamps li')].find(row => row.textContent.startsWith(name)).querySelector('.pin30-glass span');
        const seen = [], begun = performance.now();
        const look = () => { seen.push(Number(glass.style.opacity)); performance.now() - begun < 1000 * seconds ? requestAnimationFrame(look) : done(seen); };
        look(); })""", [name, seconds])


def most_in_a_second(page, seconds):
    """Return the most flashes in any second that frames show over some seconds, all lamps of the page together. [1]"""
    seen = page.evaluate("""seconds => new Promise(done => {
        const glows = [...document.querySelectorAll('.pin30-glass span, .pin30-drawing .glow')], seen = [], begun = performance.now();
        const look = () => { seen.push([performance.now() - begun, ...glows.map(each => Number(getComputedStyle(each).opacity))]);
                             performance.now() - begun < 1000 * seconds ? requestAnimationFrame(look) : done(seen); };
        look(); })""", seconds)
    times = [moment / 1000 for moment, *_ in seen]
    return most_flashes([(times, column) for column in list(zip(*seen))[1:]])

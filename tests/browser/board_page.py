"""A board on a page of its own, without JupyterLab: its module as the wheel has it, its desk in this process."""

import json

from flashes_counted import most_flashes

from circuitlab.benches.board import Board
from circuitlab.benches.board.board import PAGE

STEP = 0.25     # s that a clock of the test's is moved on before the desk is heard
WORDS = """<!doctype html><html lang="en"><meta charset="utf-8"><title>board</title><style>body {margin: 0}</style>
<style>%s</style><body><main></main></body></html>"""
OPEN = """async ({module, still, task, number}) => {
  const listeners = new Set();
  const hear = message => listeners.forEach(listener => listener(message));
  Object.assign(window, {sent: [], asked: 0, answered: 0});
  const model = {
    get: name => ({still, task})[name],
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
    """Open a board on a page, or one more beside those that are there, and return it; its desk answers at once.

    A board that is made already, as ``cl.find`` makes one, comes as it is."""
    board = arrangement if isinstance(arrangement, Board) else Board(arrangement, **more)
    if not beside:
        page.goto("about:blank")
        page.set_content(WORDS % (PAGE / "board.css").read_text(encoding="utf-8"))
    if not hasattr(page, "desks"):
        page.desks = []
        page.expose_function("desk", lambda number, message: json.loads(json.dumps(list(page.desks[number].hear(message)))))
    page.desks.append(board.desk)
    page.evaluate(OPEN, {"module": board._esm, "still": json.loads(json.dumps(board.still)), "task": board.task, "number": len(page.desks) - 1})
    return board


def lamp(place, name):
    """Return the line beside the drawing that tells what a lamp does."""
    return place.get_by_role("list", name="Lamps").get_by_role("listitem").filter(has_text=name)


def on_a_clock(page):
    """Give a page a clock that ``pass_time`` moves on as fast as the machine can, and return the page; before a board is opened."""
    page.clock.install(time=0)
    page.is_on_a_clock = True
    return page


def pass_time(page, seconds):
    """Let some seconds go by on a page: on a clock of the test's by steps, each answered by the desk, else by waiting."""
    if not getattr(page, "is_on_a_clock", False):
        page.wait_for_timeout(1000 * seconds)
        return
    for _ in range(max(1, round(seconds / STEP))):
        page.clock.run_for(round(1000 * min(STEP, seconds)))
        page.wait_for_function("window.asked === window.answered")


def watch(page, seen, seconds):
    """Return what a script of a page gives at each frame of some seconds, behind the moment of each. [s]"""
    page.evaluate(f"""() => {{ const seen = {seen}, look = () => {{
        window.watched.push([performance.now() / 1000, seen()]); window.frame = requestAnimationFrame(look); }};
        window.watched = []; look(); }}""")
    pass_time(page, seconds)
    return page.evaluate("() => { cancelAnimationFrame(window.frame); return window.watched; }")


def looks(page, name, seconds):
    """Return at each frame of some seconds how bright a lamp is drawn. [1]"""
    glass = "[...document.querySelectorAll('.pin30-lamps li')].find(row => row.textContent.startsWith('%s')).querySelector('.pin30-glass span')" % name
    return [light for _, light in watch(page, f"() => Number({glass}.style.opacity)", seconds)]


def most_in_a_second(page, seconds, beside="null"):
    """Return the most flashes in any second that frames show over some seconds, all lamps of the page together, and what a script
    gave beside at each frame. [1]"""
    glows = "document.querySelectorAll('.pin30-glass span, .pin30-drawing .glow')"
    seen = watch(page, f"() => [{beside}, ...[...{glows}].map(each => Number(getComputedStyle(each).opacity))]", seconds)
    times = [moment for moment, _ in seen]
    told, *lights = zip(*(shown for _, shown in seen))
    return most_flashes([(times, column) for column in lights]), told

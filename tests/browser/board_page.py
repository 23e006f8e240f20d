"""A board on a page of its own, without JupyterLab: its module as the wheel has it, its desk in this process."""

import json

from circuitlab.benches.board import Board
from circuitlab.benches.board.board import PAGE

WORDS = """<!doctype html><html lang="en"><meta charset="utf-8"><title>board</title><style>body {margin: 0}</style>
<style>%s</style><body><main></main></body></html>"""
OPEN = """async ({module, still}) => {
  const listeners = new Set();
  const hear = message => listeners.forEach(listener => listener(message));
  window.sent = [];
  window.model = {
    get: name => ({still})[name],
    on: (_, listener) => listeners.add(listener),
    off: (_, listener) => listeners.delete(listener),
    send: message => { window.sent.push(message); return window.dead || window.desk(message).then(answers => answers.forEach(hear)); },
  };
  const made = await import(URL.createObjectURL(new Blob([module], {type: "text/javascript"})));
  const place = document.body.appendChild(document.createElement("div"));
  window.close_board = made.default.render({model: window.model, el: place});
}"""


def open_board(page, arrangement, **more):
    """Open a board on a page and return it; what the page sends is answered by its desk at once."""
    board = Board(arrangement, **more)
    page.goto("about:blank")
    page.set_content(WORDS % (PAGE / "board.css").read_text(encoding="utf-8"))
    if not hasattr(page, "desks"):
        page.desks = []
        page.expose_function("desk", lambda message: json.loads(json.dumps(list(page.desks[-1].hear(message)))))
    page.desks.append(board.desk)
    page.evaluate(OPEN, {"module": board._esm, "still": json.loads(json.dumps(board.still))})
    return board

"""The command ``board``: a circuit on a live board in a notebook, or as a board in one file, to be worked without the kit."""

from pathlib import Path

from ..ground.errors import ArrangementError, FileError
from ..ground.saving import save
from .board_notebook import open_board
from .opening import opened
from .watching import Watching

FORMS = {"current-path": "schematic", "attached": "attached"}
MOST_BYTES = 20_000_000     # of a page: a phone of some years ago still opens it


def board_command(given):
    """Open a live board in a notebook, or write a board in one file and say where it is; return 0. [1]"""
    if given.out is None:
        return open_board(given)
    if not given.arrangement:
        raise ArrangementError("a board in one file shows one circuit. Say which: board one-fused-lamp --out board.html. Without --out a live "
                               "board opens, an empty one where no circuit is named.")
    if given.folder is not None or given.no_browser or given.find:
        raise ArrangementError("--folder, --no-browser and --find are for the live board in a notebook. Leave them out, or leave out --out.")
    path = Path(given.out)
    if path.suffix.lower() not in (".html", ".htm"):
        raise FileError(f"'{path.name}' does not end in .html. A board in one file is a web page: write it to '{path.stem or 'board'}.html'.",
                        file=path.name)
    shown = opened(given.arrangement)
    from ..benches.board.alone import board_page    # with it come the widgets, which take their time

    watching = Watching()
    try:
        page = board_page(shown, FORMS[given.form or "current-path"], watching).encode()
    except KeyboardInterrupt:
        return watching.stopped(": no board is written")
    watching.close()
    if len(page) > MOST_BYTES:
        raise ArrangementError(f"the board of '{shown.title}' would take {len(page) / 1e6:.0f} MB, and {MOST_BYTES / 1e6:.0f} MB is the most that is "
                               "written. Leave out controls that do not matter here in a copy of it, or work all of it on the live board of a "
                               "notebook.", most=MOST_BYTES)
    saved = save(page, path)
    print(f"The board is in {saved}, {len(page) / 1e6:.1f} MB.{saved.before} Open it in any browser; it needs no network. Computed, not measured.")
    return 0

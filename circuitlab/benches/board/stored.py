"""The desk's share of files: the circuit saved whole, a copy kept after every edit, and one taken up that was never saved."""

import sys
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from ...arrangements.history import Changes
from ...arrangements.text import load, save, write_text
from ...arrangements.tried import Tried
from ...ground.errors import ArrangementError, CircuitLabError, unknown_name
from ...ground.saving import save_over

ENDING = ".unsaved"
MOST_OFFERED = 5


class Stored:
    """The part of a :class:`~circuitlab.benches.board.desk.Desk` that writes its circuit to files and reads one back.

    Attributes
    ----------
    keeps : bool
        Whether a copy is written after each edit; a page in a notebook says so. [yes/no]
    kept : str
        Where the copy is, in words. [text]
    folder : Path
        Where copies lie: that of the kernel.
    """

    keeps, kept, folder, _copy = False, "", Path(), None

    def _store(self, message):
        """Write the circuit as it is wired to a file; the copy that was kept is not needed then."""
        name = message["file"].strip()
        if not name:
            raise ArrangementError("the file has no name. Write one, such as mine.toml.")
        path = self.folder / (name if name.endswith(".toml") else f"{name}.toml")
        saved = save(self.as_drawn(), path)
        self._let_go()
        yield {"kind": "stored", "kept": self.kept, "words": f"{saved.sentence} On a command line: {_as_typed(sys.executable or 'python')} -m circuitlab prove {_as_typed(path.resolve())}"}

    def _take_up(self, message):
        """Begin anew with a circuit that was kept and never saved, and go on with its copy."""
        name = message["file"]
        if name not in self.offered():
            raise unknown_name("the folder", "copy", name, self.offered())
        circuit = load(self.folder / name)
        self._let_go()
        self._copy = self.folder / name
        self.begin(Tried(Changes(circuit), self.cards))
        yield from self.fresh()
        yield {"kind": "stored", "words": f"Taken up from '{name}'. Save it under a name of your own."}

    def as_drawn(self):
        """Return the circuit as it is wired, with a plan of where everything stands in the drawing that is shown, and in the other if it was."""
        wired, plan = self.tried.arrangement, self.sheet.plan
        for drawn in self._drawn.values():
            plan = plan.beside(drawn.sheet.plan)
        return replace(wired, plan=plan.beside(wired.plan).of(wired))

    def offered(self):
        """Return the copies of circuits that were never saved, newest first, save this board's own. [text]"""
        found = []
        with suppress(OSError):
            found = [(path.stat().st_mtime, path.name) for path in self.folder.glob(f"*{ENDING}") if path != self._copy and path.is_file()]
        return [name for _, name in sorted(found, reverse=True)[:MOST_OFFERED]]

    def keep(self):
        """Write the circuit beside the notebook, so that nothing is lost when page and kernel end; where nothing is changed, no copy stays."""
        if not self.keeps:
            return
        if not self.tried.changes.entries and self._copy is None:
            return
        try:
            self._copy = self._copy or self._free()
            save_over(write_text(self.as_drawn()), self._copy)
            self.kept = f"A copy of every step is kept in '{self._copy.name}'."
        except CircuitLabError as error:
            self.kept = f"No copy is kept: {error}"

    def _free(self):
        """Return a name for the copy that nothing has yet."""
        name = self.tried.changes.before.name or "my-circuit"
        return next(path for number in range(1, 1000) if not (path := self.folder / f"{name}{f'-{number}' * (number > 1)}{ENDING}").exists())

    def _let_go(self):
        """Remove this board's own copy."""
        if self._copy is not None:
            with suppress(OSError):
                self._copy.unlink()
        self._copy, self.kept = None, ""


def _as_typed(path):
    """Return a path as it is typed on a command line: in quotes where it has a blank. [text]"""
    return f'"{path}"' if " " in str(path) else str(path)

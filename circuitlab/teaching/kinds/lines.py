"""A connection list in typed lines, compared as nets and answered by what it would do."""

from dataclasses import dataclass
from itertools import islice, product

from ...ground.errors import CircuitLabError
from ...ground.plain import blow_words
from ...parts import Lamp
from ...reasoning import row_of
from ...reasoning.looks import seen_to
from ..nets import Connections, as_wired, findings, of_wires, read_connections
from .kind import Kind

FIRST_ROWS = 64   # looked at for the first difference


@dataclass(frozen=True)
class Lines(Kind):
    """Typed lines such as ``F1:2 - S1:1``; the circuit itself is the key.

    Parameters
    ----------
    circuit : Arrangement
        Whose parts are to be wired.
    """

    circuit: object

    def filled(self, variant):
        return Lines(variant.circuit)

    def solved(self, circuit, **picks):
        """Return the circuit's own wires."""
        return of_wires(circuit)

    def read(self, given, variant):
        """Take the lines as text."""
        return given if isinstance(given, Connections) else read_connections(given or "", self.circuit)

    def same(self, one, other):
        return not findings(self.circuit, one, other)

    def words(self, answer):
        return "; ".join(" - ".join(ends) for _, ends in answer.lines)

    def would(self, answer, truth, variant):
        """Wire it as it was typed, solve it, and say the first thing that would be seen."""
        try:
            built = as_wired(self.circuit, answer)
            return self._seen(built) or ("Wired like this every lamp does what it should in every row, "
                                         "but something that shall be joined is not.")
        except CircuitLabError:
            return "Wired like this nothing could be said of any lamp. Read your lines aloud, from plus to minus."

    def _seen(self, built):
        controls = self.circuit.controls
        rows = product(*(control.positions for control in controls))
        for positions in islice(rows, FIRST_ROWS):
            row = {control.name: position for control, position in zip(controls, positions)}
            right, wrong = row_of(self.circuit, row), row_of(built, row)
            moved = ", ".join(f"{control.name} {row[control.name]}" for control in controls) or "nothing moved"
            if wrong.blown and wrong.blown != right.blown:
                return f"Wired like this, with {moved}, {blow_words(wrong.blown)}."
            if wrong.verdict != right.verdict:
                return f"Wired like this, with {moved}: {wrong.sentence}."
            for lamp in self.circuit.of_kind(Lamp):
                if wrong.cells[lamp.name].look != right.cells[lamp.name].look:
                    return f"Wired like this, {lamp.name} {seen_to(wrong.cells[lamp.name].look)} with {moved}. Shall it be?"
        return ""

    def where(self, answer, truth, variant):
        return findings(self.circuit, truth, answer)[0]

    def variety(self, truth):
        return len(truth.lines)

    def on_paper(self):
        lines = [("________ \N{EN DASH} ________", ()) for _ in range(len(self.circuit.wires) + 2)]
        return [(f"Terminals: {', '.join(self.circuit.terminals)}", ()), *lines]

"""A circuit wired on a board, judged by its nets or by what every row does: in any order, with any names."""

from dataclasses import dataclass, field, replace
from typing import ClassVar

from ...arrangements import Arrangement, read_text
from ...arrangements.counterparts import counterparts
from ...arrangements.naming import renamed
from ...ground.errors import ArrangementError, CircuitLabError
from ...ground.plain import blow_words
from ...parts import Lamp
from ...reasoning import prove, row_of
from ...reasoning.comparing import compare
from ...reasoning.looks import seen_to
from ..nets import Connections, findings, of_wires
from .kind import Kind

LONGEST = 40_000      # letters of a circuit that is judged; the largest of a lesson has 10,000
RULED = 12            # lines to write on, on paper


@dataclass(frozen=True)
class Wired(Kind):
    """A whole circuit, as the text of its file; the circuit of the question is the key.

    Parameters
    ----------
    circuit : Arrangement
        The key.
    by : {"rows", "nets"}
        Whether every lamp shall do in every row what it does in the key, or whether the same terminals shall be joined. [text]
    board : callable, optional
        Returns the board that is wired on; marking needs none.
    """

    circuit: object
    by: str = "rows"
    board: object = field(default=None, repr=False, compare=False)

    is_looked_at_anew: ClassVar[bool] = True

    def __post_init__(self):
        if self.by not in ("rows", "nets"):
            raise ArrangementError(f"a wired board is judged by 'rows' or by 'nets', not by '{self.by}'.")

    def filled(self, variant):
        return replace(self, circuit=variant.circuit)

    def solved(self, circuit, **picks):
        """Return the circuit itself."""
        return circuit

    def read(self, given, variant):
        """Take a circuit, or the text of one."""
        if isinstance(given, Arrangement):
            return given
        text = str(given or "")
        if not text.strip():
            raise ArrangementError("nothing is wired yet. Wire on the board above first, then press Commit.")
        if len(text) > LONGEST:
            raise ArrangementError("this circuit is far larger than the one asked for. Press undo on the board until it is about as large.")
        return read_text(text, where="what is wired")

    def same(self, one, other):
        """Tell whether two circuits are one; a circuit and the key, whether it does what was asked."""
        return one == other or other == self.circuit and not self._differs(one)

    def words(self, answer):
        if self.by == "rows":
            return f"every lamp in every row as in '{answer.title}'"
        return "; ".join(f"{wire.start} - {wire.end}" for wire in answer.wires)

    def would(self, answer, truth, variant):
        """Say the first thing that is seen to be otherwise."""
        return self._differs(answer)[0]

    def where(self, answer, truth, variant):
        """Say how much is otherwise, and the first of it once more."""
        return " ".join(self._differs(answer)[::-1])

    def on_paper(self):
        lines = [("________ \N{EN DASH} ________", ()) for _ in range(RULED)]
        named = [(f"Terminals: {', '.join(self.circuit.terminals)}", ())] if self.by == "nets" else []      # else the board has its own
        return [*named, *lines]

    # ------------------------------------------------------------------ how a circuit differs from the key

    def _differs(self, made):
        """Return sentences on what is otherwise than in the key, in the learner's names; none where nothing is."""
        missing = [part.name for part in self.circuit.parts if self.by == "nets" and part.name not in counterparts(self.circuit, made).parts]
        if missing:
            return [f"{missing[0]} is not on the board any more. Press undo until it is there again."]
        if _thrown(made) != _thrown(self.circuit):
            return ["Something else can be thrown on the board than was at first. Press undo until its controls are as they were."]
        try:
            return self._otherwise(made) if self.by == "rows" else self._joins(made)
        except CircuitLabError as error:
            return [f"Wired like this nothing can be said of any lamp: {error}"]

    def _joins(self, made):
        """Return the first join too many or too few, each line called by its wire."""
        there = counterparts(self.circuit, made).there
        lines = tuple((own.name, (wire.start, wire.end)) for own, wire in zip(made.wires, there.wires, strict=True))
        return findings(there, of_wires(self.circuit), Connections(lines))

    def _otherwise(self, made):
        """Return the first row that is otherwise, and how many are; else what overheats, or what the key's own rule finds."""
        called = _lamps_by_place(made, self.circuit)
        compared = compare(self.circuit, renamed(made, called))
        if compared.changed_rows:
            return [_row_words(compared, self.circuit, {new: old for old, new in called.items()}),
                    f"{len(compared.changed_rows)} of {len(compared.rows)} rows are not as asked. Throw the first and follow each feed."]
        if compared.overheated[1]:
            return [f"Every lamp does what it should, but {compared.overheated[1][0]}."]
        if compared.hurried or compared.clicking:
            return ["Every lamp does what it should, but the flasher runs at another rate. How much load does it feed?"]
        if not prove(self.circuit).is_proved:
            return []
        proof = prove(replace(compared.same.there, rule=self.circuit.rule))
        return [] if proof.is_proved else [f"Every lamp does what it should, but not all else: {next((each.sentence for each in proof.failures), proof.brief)}"]


def _thrown(circuit):
    return {control.name: {*control.positions} for control in circuit.controls}


def _lamps_by_place(made, key):
    """Return what the key calls the lamps that have another name in what was made, where each name is still one lamp's. {name: name}"""
    ours, theirs = ({lamp.place: lamp.name for lamp in each.of_kind(Lamp) if lamp.place} for each in (key, made))
    called = {theirs[place]: name for place, name in ours.items() if theirs.get(place, name) != name}
    return {} if {*called.values()} & ({*made.by_name} - {*called}) else called


def _row_words(compared, key, called):
    """Say of the first row that differs what is seen there, and what is asked; where the key itself breaks the rule, what both say. In the learner's names."""
    row, made = compared.changed_rows[0], compared.after
    moved = ", ".join(f"{name} {position}" for name, position in row.positions.items())
    seen = row_of(made, row.positions)
    if seen.blown:
        return f"Wired like this, with {moved}, {blow_words(seen.blown)}."
    if seen.verdict != "settled":
        return f"Wired like this, with {moved}: {seen.sentence}."
    lamp = row.changed[0]
    name, (asked, now) = compared.same.name_there(lamp), row.lamps[lamp]
    name = called.get(name, name)
    if lamp in row.shares:
        return f"Wired like this, with {moved}, {name} is {'brighter' if row.shares[lamp] > 1 else 'dimmer'} than it should be."
    wanted = key.wanted(lamp, row.positions)
    if wanted in (None, asked):
        return f"Wired like this, with {moved}, {name} {seen_to(now)}. It should be {asked} there."
    return f"Wired like this, with {moved}, {name} {seen_to(now)}. Wired as asked it {seen_to(asked)} there, and so breaks the rule, which wants it {wanted}."

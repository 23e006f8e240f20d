"""What a board lists of a proof, a fault table or a comparison, and what it is set to for each line; no widget, no page."""

from dataclasses import dataclass, replace
from typing import NamedTuple

from ...ground.errors import ArrangementError
from ...reasoning.comparing import Comparison
from ...reasoning.faults import FaultTable
from ...reasoning.proving import Proof
from ...reasoning.sights import changed_sight, first_difference, proof_sight
from ...solving.carrying import positions_in
from ...views.compare_words import comparison_summary, lamp_words, row_grid
from ...views.fault_words import class_words, faults_summary, reading_words, rows_words, seen_words
from ...views.grid import Grid
from ...views.proof_words import failure_sentences, proof_summary
from ...views.tables import lamp_grid, positions_words
from ...views.thing_words import thing_lines

MOST_LISTED = 500        # lines; a page of more turns slow


@dataclass(frozen=True)
class Line:
    """One line of the table.

    Attributes
    ----------
    number : int
        Counted from 1 in the order of the whole table. [1]
    words : str
        For who hears it. [text]
    stands_out : bool
        Whether it fails, has an effect, or changed.
    what : object
        Positions of the row, or the FaultLine.
    """

    number: int
    words: str
    stands_out: bool
    what: object


class Place(NamedTuple):
    """Where a board goes for a line.

    Attributes
    ----------
    words : str
        Which row it is, for a line with several. [text]
    positions : dict of str to str
        Where the controls stand. [text]
    throws : tuple of (str, str)
        What is thrown one after the other to come there, everything at rest before; empty where order does not matter. [text]
    """

    words: str
    positions: dict
    throws: tuple = ()


@dataclass(frozen=True)
class Instead:
    """The change of a comparison: another circuit in the place of the first. It has no sentence of its own."""

    after: object
    is_whole = True

    def __str__(self):
        return f"'{self.after.title}' in its place"

    def apply(self, _):
        return self.after


def listed(result):
    """Return the lines of a proof, a fault table or a comparison; None of an arrangement, which has none.

    Raises
    ------
    ArrangementError
        For a fault table without faults.
    """
    kinds = {Proof: ProofLines, FaultTable: FaultLines, Comparison: ComparedLines}
    return next((made(result) for kind, made in kinds.items() if isinstance(result, kind)), None)


class Lines:
    """What the three have in common: a line is one row, nothing is changed for it, and no lead is put on."""

    def listed(self, only):
        """Return the lines to list, and how many more there are."""
        wanted = [line for line in self.lines if line.stands_out or not only]
        return wanted[:MOST_LISTED], max(0, len(wanted) - MOST_LISTED)

    @property
    def outstanding(self):
        """How many lines fail, have an effect, or changed. [1]"""
        return sum(line.stands_out for line in self.lines)

    def line(self, number):
        """Return a line by its number, or raise ArrangementError."""
        if not isinstance(number, int) or not 1 <= number <= len(self.lines):
            raise ArrangementError(f"there is no line {number!r} in this table. Choose one from 1 to {len(self.lines)}.", got=number)
        return self.lines[number - 1]

    def cards(self, line):
        """Return the change of a line by its words, to be made and undone on the board."""
        return {}

    def telltale(self, line):
        """Return the reading that tells a fault, or None."""
        return None


class ProofLines(Lines):
    """The rows of a proof; the failing ones stand out."""

    only = "failing rows only"

    def __init__(self, proof):
        self.proof, self.arrangement = proof, proof.arrangement
        grid = lamp_grid(proof.table, proof.timing)
        failing = [failure.positions for failure in proof.failures]
        self.lines = [Line(number, positions_words(row.positions), row.positions in failing, row.positions)
                      for number, row in enumerate(proof.table.rows, start=1)]
        if {} in failing and proof.arrangement.controls:
            said = "; ".join(failure.short for failure in proof.of_row({}))
            grid.rows.append((f"* every row: {said}", *(None for _ in grid.heads[1:])))
            self.lines.append(Line(len(self.lines) + 1, "every row", True, {}))
        self.grid = replace(grid, caption=f"{proof.arrangement.title}. {proof_summary(proof)}")

    def places(self, line):
        """Return the one row, come to by the order that fails where order matters."""
        throws = next((failure.throws for failure in self.proof.of_row(line.what) if failure.throws), ())
        return [Place(line.words, self.arrangement.positions(line.what), throws)]

    def told(self, line, place):
        """Return what is to be said of a row, and which parts are to be marked. [text]"""
        failures = self.proof.of_row(line.what)
        said = [" ".join(failure_sentences(failure)) for failure in failures]
        first = next((each for each in failures if each.path), next((each for each in failures if each.lamp), None))
        marked = proof_sight(self.proof, line.what, dict(first.phases), first.lamp).marked if first else ()
        return said or ["No lamp breaks the rule in this row."], marked


class FaultLines(Lines):
    """The faults of a fault table; each is looked at in one of the rows in which it has an effect."""

    only = "only faults with an effect"

    def __init__(self, table):
        if not table.lines:
            raise ArrangementError("this fault table has no faults, so there is nothing to look up. It may have been "
                                   "stopped before the first; make it anew with fault_table(arrangement).")
        self.table, self.arrangement = table, table.arrangement
        self.grid = Grid(f"{table.arrangement.title}. {faults_summary(table)}", ("Class", "Fault", "Rows", "What is seen first"),
                         [(line.worst, line.fault.words, rows_words(line), seen_words(table, line)) for line in table.lines])
        self.lines = [Line(number, f"{line.worst}: {line.fault.words}", line.worst != "no effect", line)
                      for number, line in enumerate(table.lines, start=1)]

    def cards(self, line):
        """Return the fault as a change to be made and undone."""
        return {line.what.fault.words: tuple(line.what.fault.changes)}

    def telltale(self, line):
        """Return the reading that tells it, worked out once; None where it does nothing, or no meter would."""
        return self.table.reading(line.what) if line.stands_out else None

    def places(self, line):
        """Return every row with an effect: first the one that gives the fault its rank, in the row it is read in if that is as bad."""
        first, effects = line.what.first(), line.what.effects
        telltale = self.telltale(line)
        read = self.table.rows.index(telltale.healthy.positions) if telltale else first
        as_bad = read == first or not line.what.hides and line.what.worst in effects[read].classes
        rows = [number for number, effect in enumerate(effects) if effect.worst != "no effect"] or list(range(len(effects)))
        ranked = sorted({*rows, *([read] if telltale else [])},
                        key=lambda row: (row != (read if as_bad else first), row != read, effects[row].worst != line.what.worst))
        return [Place(f"{'read here; ' * (bool(telltale) and row == read)}{effects[row].worst}: {positions_words(self.table.rows[row])}",
                      self.table.rows[row]) for row in ranked]

    def told(self, line, place):
        """Return the fault and its class, what a driver behind sees in the row, its path, and the reading that reveals it."""
        effect = line.what.effects[self.table.rows.index(place.positions)]
        seen = f"{effect.worst}: {'; '.join(effect.reasons)}" if effect.reasons else "nothing is seen"
        said = [f"In all rows: {class_words(line.what)}.", f"In this row, {seen}."]
        broken = line.what.fault.apply(self.arrangement)
        lamp, phases = first_difference(self.arrangement, broken, place.positions)
        if not lamp and effect.terminals:
            lamp = effect.terminals[0]
        sight = changed_sight(broken, self.arrangement, place.positions, phases, lamp)
        if sight.path:
            said.append(f"{sight.path.sentence}.")
        if line.stands_out:
            frame = self.arrangement.pole_on_frame
            said.append(f"Reading that reveals it: {reading_words(self.telltale(line), line.what.is_short, frame, line.what.fault.is_poor)}")
        return said, sight.marked


class ComparedLines(Lines):
    """The rows of a comparison; those that look different stand out, and the change is made and undone on the board."""

    only = "changed rows only"

    def __init__(self, comparison):
        self.comparison, self.arrangement = comparison, comparison.before
        self.grid = row_grid(comparison, False, f"{comparison.before.title}, before and after. {comparison_summary(comparison)}")
        self.lines = [Line(number, positions_words(row.positions), bool(row.changed), row.positions)
                      for number, row in enumerate(comparison.rows, start=1)]

    def cards(self, line):
        """Return the change from the first circuit to the second."""
        return {"the change": (Instead(self.comparison.after),)}

    def places(self, line):
        """Return the one row, as far as the second circuit has it."""
        return [Place(line.words, positions_in(self.comparison.after, line.what))]

    def told(self, line, place):
        """Return which lamps look different, what was changed, and the way of the current before and after."""
        row, both = self.comparison.rows[line.number - 1], (self.comparison.before, self.comparison.after)
        lamps = "; ".join(f"{lamp} {lamp_words(row, lamp)}" for lamp in row.changed)
        things = "; ".join(thing_lines(self.comparison)) or "parts, wires and controls are the same"
        said = [f"{lamps or 'Every lamp looks the same in this row'}.", f"{things[0].upper()}{things[1:]}."]
        same = self.comparison.same
        lamp, phases = first_difference(both[0], same.there, line.what)
        lamp, marked = lamp or next(iter(row.shares), ""), ()
        for head, circuit, other in (("Before", *both), ("After", *both[::-1])):
            sight = changed_sight(circuit, other, line.what, phases, lamp)
            lamp, phases = same.name_there(lamp), {same.name_there(name): phase for name, phase in phases.items()}
            if sight is None:
                said.append(f"{head}: there is no such row here; what it lacks stands at rest.")
            elif sight.path:
                said.append(f"{head}: {sight.path.sentence}.")
            marked = sight.marked if sight else marked
        return said, marked

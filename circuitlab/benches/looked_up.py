"""What can be looked up in a proof, a fault table and a comparison: lines, rows, sights and sentences; no widgets."""

from dataclasses import dataclass, replace

from ..arrangements import Arrangement
from ..ground.errors import ArrangementError
from ..parts import Lamp
from ..reasoning.comparing import Comparison
from ..reasoning.faults import FaultTable
from ..reasoning.orders import phase_combinations
from ..reasoning.proving import Proof
from ..reasoning.sights import changed_sight, first_difference, proof_sight
from ..views.compare_words import comparison_summary, look_words, row_grid, thing_lines
from ..views.fault_words import class_words, faults_summary, reading_words, rows_words, seen_words
from ..views.grid import Grid
from ..views.proof_words import failure_sentences, proof_summary
from ..views.tables import lamp_grid, positions_words


@dataclass(frozen=True)
class Line:
    """One line of the table.

    Attributes
    ----------
    number : int
        Counted from 1 in the order of the whole table. [1]
    words : str
        For the chooser. [text]
    stands_out : bool
        Whether it fails, has an effect, or changed.
    what : object
        Positions of the row, or the FaultLine.
    """

    number: int
    words: str
    stands_out: bool
    what: object


def looked_up(what):
    """Return the lines of a proof, a fault table or a comparison.

    Raises
    ------
    ArrangementError
        For anything else, and for a fault table without faults.
    """
    for kind, made in ((Proof, ProofLines), (FaultTable, FaultLines), (Comparison, ComparedLines)):
        if isinstance(what, kind):
            return made(what)
    given = f"the arrangement '{what.title}'" if isinstance(what, Arrangement) else f"{what!r}"[:60]
    raise ArrangementError(f"look_up takes a proof, a fault table or a comparison, not {given}. Make one first, "
                           "such as look_up(prove(arrangement)), look_up(fault_table(arrangement)) or "
                           "look_up(compare(before, after)).")


class RowLines:
    """Lines of which each is one row."""

    line_word = "row"

    def rows(self, line):
        """Return words and positions of every row to choose from: of the line itself."""
        return [(line.words, line.what)]


class ProofLines(RowLines):
    """The rows of a proof; the failing ones stand out, with the path of the first failing lamp."""

    only = "failing rows only"

    def __init__(self, proof):
        self.proof, self.arrangements = proof, (proof.arrangement,)
        grid = lamp_grid(proof.table, proof.timing)
        failing = [failure.positions for failure in proof.failures]
        self.lines = [Line(number, positions_words(row.positions), row.positions in failing, row.positions)
                      for number, row in enumerate(proof.table.rows, start=1)]
        if {} in failing and proof.arrangement.controls:
            said = "; ".join(failure.short for failure in proof.of_row({}))
            grid.rows.append((f"* every row: {said}", *(None for _ in grid.heads[1:])))
            self.lines.append(Line(len(self.lines) + 1, "every row", True, {}))
        self.grid = replace(grid, caption=f"{proof.arrangement.title}. {proof_summary(proof)}")

    def start(self, line, positions):
        """Return the lamp whose current is followed at first, and the phases to show."""
        failures = self.proof.of_row(positions)
        first = next((each for each in failures if each.path), next((each for each in failures if each.lamp), None))
        return (first.lamp, dict(first.phases)) if first else ("", {})

    def sights(self, line, positions, phases, lamp):
        """Return ``(head, arrangement, sight)`` of every picture."""
        return [("", self.proof.arrangement, proof_sight(self.proof, positions, phases, lamp))]

    def sentences(self, line, positions):
        """Return what is to be said of a row."""
        said = [" ".join(failure_sentences(failure)) for failure in self.proof.of_row(positions)]
        return said or ["No lamp breaks the rule in this row."]


class FaultLines:
    """The faults of a fault table; each is looked at in one of the rows in which it has an effect."""

    only, line_word = "only faults with an effect", "fault"

    def __init__(self, table):
        if not table.lines:
            raise ArrangementError("this fault table has no faults, so there is nothing to look up. It may have been "
                                   "stopped before the first; make it anew with fault_table(arrangement).")
        self.table, self.arrangements = table, (table.arrangement,)
        self.grid = Grid(f"{table.arrangement.title}. {faults_summary(table)}", ("Class", "Fault", "Rows", "What is seen first"),
                         [(line.worst, line.fault.words, rows_words(line), seen_words(table, line)) for line in table.lines])
        self.lines = [Line(number, f"{line.worst}: {line.fault.words}", line.worst != "no effect", line)
                      for number, line in enumerate(table.lines, start=1)]

    def rows(self, line):
        """Return words and positions of every row, the one that gives the fault its rank first, then by what it does."""
        first, effects = line.what.first(), line.what.effects
        rows = [number for number, effect in enumerate(effects) if effect.worst != "no effect"] or range(len(effects))
        kept = sorted(rows, key=lambda row: (row != first, effects[row].worst != line.what.worst))
        return [(f"{effects[row].worst}: {positions_words(self.table.rows[row])}", self.table.rows[row]) for row in kept]

    def start(self, line, positions):
        """Return the first lamp that gives another light than when healthy, or the first wrong terminal, and the phases."""
        lamp, phases = first_difference(self.table.arrangement, line.what.fault.apply(self.table.arrangement), positions)
        wrong = line.what.effects[self.table.rows.index(positions)].terminals
        return (lamp, phases) if lamp or not wrong else (wrong[0], phases)

    def sights(self, line, positions, phases, lamp):
        """Return the picture with the fault in it, marked."""
        broken = line.what.fault.apply(self.table.arrangement)
        return [("", broken, changed_sight(broken, self.table.arrangement, positions, phases, lamp))]

    def sentences(self, line, positions):
        """Return the fault and its class, what a driver behind sees in the row, and the reading that reveals it."""
        effect = line.what.effects[self.table.rows.index(positions)]
        seen = f"{effect.worst}: {'; '.join(effect.reasons)}" if effect.reasons else "nothing is seen"
        said = [f"In all rows: {class_words(line.what)}.", f"In this row, {seen}."]
        if line.stands_out:
            reading, frame = self.table.reading(line.what), self.table.arrangement.pole_on_frame
            said.append(f"Reading that reveals it: {reading_words(reading, line.what.is_short, frame)}")
        return said


class ComparedLines(RowLines):
    """The rows of a comparison, each with the picture before and after; those that look different stand out."""

    only = "changed rows only"

    def __init__(self, comparison):
        self.comparison, self.arrangements = comparison, (comparison.before, comparison.after)
        self.grid = row_grid(comparison, False, f"{comparison.before.title}, before and after. {comparison_summary(comparison)}")
        self.lines = [Line(number, positions_words(row.positions), bool(row.changed), row.positions)
                      for number, row in enumerate(comparison.rows, start=1)]

    def start(self, line, positions):
        """Return the first lamp that gives another light after the change, and the phases in which it does."""
        return first_difference(*self.arrangements, positions)

    def sights(self, line, positions, phases, lamp):
        """Return the pictures before and after, what differs marked in both."""
        before, after = self.arrangements
        return [("Before", before, changed_sight(before, after, positions, phases, lamp)),
                ("After", after, changed_sight(after, before, positions, phases, lamp))]

    def sentences(self, line, positions):
        """Return which lamps look different, and what was changed."""
        row = self.comparison.rows[line.number - 1]
        lamps = "; ".join(f"{lamp} {look_words(*row.lamps[lamp])}" for lamp in row.changed)
        things = "; ".join(thing_lines(self.comparison)) or "parts, wires and controls are the same"
        return [f"{lamps or 'Every lamp looks the same in this row'}.", f"{things[0].upper()}{things[1:]}."]


def phases_of_all(arrangements):
    """Return every combination of the phases of all flashers, all on first. [text]"""
    most = max((phase_combinations(each) for each in arrangements), key=len)
    return [phases for phases in most if phases]


def lamps_of_all(arrangements):
    """Return the names of all lamps, and of the terminals that a rule speaks of. [text]"""
    return list(dict.fromkeys([lamp.name for each in arrangements for lamp in each.of_kind(Lamp)]
                              + [name for each in arrangements for name in each.ruled_terminals]))

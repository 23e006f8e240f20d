"""What a board's desk says of before and after: the circuit as it was, and the table of its rows."""

from ...arrangements.counterparts import counterparts
from ...ground.plain import counted
from ...reasoning import lamp_table
from ...reasoning.comparing import compare
from ...reasoning.things import marked_things, things_changed
from ...solving import operating_point
from ...views.board.before import before_of, before_words
from ...views.compare_words import changed_tables_html, comparison_summary, trouble_lines
from ...views.tables import lamp_table_html


class Compared:
    """The part of a :class:`~circuitlab.benches.board.desk.Desk` that looks at the circuit before as well."""

    def _before(self, message):
        """Show the circuit as it was with its controls and flashers as they stand at a moment; running flashers, on."""
        first, point = self.tried.changes.before, self.live.at(self._moment(message))
        same = counterparts(first, self.present)
        if not things_changed(same) and not self.apart.out:
            yield {"kind": "before", "svg": "", "words": "Nothing is changed yet. The circuit is as it was."}
            return
        positions = {name: place for name, place in point.positions.items()
                     if name in first.controls_by_name and place in first.control(name).positions}
        swings = {} if message["runs"] else {name: state for name, state in point.states.items() if name not in dict(self.present.held)}
        phases = {part.name: "off" if swings.get(part.name) == "off" else "on" for part in first.parts if part.swings}
        things = [*marked_things(same), *self.apart.out]
        key = (self.form, *positions.items(), *phases.items(), *things)
        if key not in self._were:
            was = operating_point(first, positions, phases)
            self._were = {key: (before_of(self.form, first, was, f"{self.prefix}before-", things), before_words(first, was, phases, things))}
        svg, words = self._were[key]
        yield {"kind": "before", "svg": svg, "words": words}

    def _table(self, message):
        """Tell what every lamp does in every row, before and after where they differ; the row of these positions stands out."""
        first, present = self.tried.changes.before, self.present
        if present == first:
            table = self._looked(present, lamp_table, present)
            rows = [row.positions for row in table.rows]
            yield {"kind": "table", "words": "", "html": lamp_table_html(table, current=_row(rows, message["positions"]))}
            return
        comparison = self._looked(present, compare, first, present)
        rows = [row.positions for row in comparison.rows]
        html = changed_tables_html(comparison, message["only"], _row(rows, message["positions"]))
        words = " ".join([f"{counted(len(self.listed), 'change')} made.", comparison_summary(comparison), *trouble_lines(comparison)])
        yield {"kind": "table", "words": words, "html": html}

    def _looked(self, present, look, *given):
        """Return what a look at two circuits gives; kept until there is another circuit."""
        if self._seen is None or self._seen[0] is not present:
            self._seen = (present, look(*given))
        return self._seen[1]


def _row(rows, positions):
    """Return the number of the row that has these positions. [1]"""
    return next((number for number, row in enumerate(rows)
                 if all(row[name] == place for name, place in positions.items() if name in row)), None)

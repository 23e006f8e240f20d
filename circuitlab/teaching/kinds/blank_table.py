"""A blank lamp table: chosen rows of an arrangement, for each lamp a look to fill in."""

from dataclasses import dataclass, replace

from ...ground.errors import ArrangementError, unknown_name
from ...parts import Lamp
from ...reasoning import row_of
from .kind import Placed

LOOKS = ("dark", "steady", "flashing")
_WOULD = {"dark": "no closed way leads through it in that row. Where would the way be open?",
          "steady": "a closed way leads to it that is never broken while the row lasts. Which contacts would close it?",
          "flashing": "its feed is made and broken over and over. Which part would do that, and which contacts would lead it there?",
          "dim": "something takes volts on its way. What else lies in its loop?",
          "floating": "neither of its sides is joined to the battery. Follow both."}


@dataclass(frozen=True)
class BlankTable(Placed):
    """A table the learner fills in with the look of each lamp in each row; the circuit itself is the key.

    Parameters
    ----------
    rows : tuple of dict of str to str
        Control positions; controls not named are at rest. [text]
    lamps : tuple of str
        Names. [text]
    looks : tuple of str
        Those to choose from. [text]
    """

    rows: tuple
    lamps: tuple
    looks: tuple = LOOKS
    form = "Grid"       # as fingerprints have called it from the first

    @classmethod
    def of(cls, circuit, rows, lamps, looks=LOOKS):
        """Return the blank table of a circuit, all its lamps unless some are named."""
        rows = tuple(dict(row) for row in rows)
        lamps = tuple(lamps or (lamp.name for lamp in circuit.of_kind(Lamp)))
        if not rows or not lamps:
            raise ArrangementError("a lamp grid needs one row or more, and one lamp or more.")
        return cls(rows, lamps, tuple(looks))

    def filled(self, variant):
        fill = variant.fill
        rows = tuple({fill(control): fill(position) for control, position in row.items()} for row in self.rows)
        for row in rows:
            variant.circuit.positions(row)
        return replace(self, rows=rows, lamps=tuple(map(fill, self.lamps)))

    def solved(self, circuit, **picks):
        """Return the answer: for each lamp its look in each row."""
        cells = [row_of(circuit, circuit.positions(row)).cells for row in self.rows]
        return {lamp: [each[lamp].look for each in cells] for lamp in self.lamps}

    def read(self, given, variant):
        """Take ``{"E1": ["dark", "steady"]}``: one look for each row, in the order of the rows."""
        given = dict(given) if hasattr(given, "keys") else {}
        if not any(look for lamp in self.lamps for look in _looks(given.get(lamp))):
            raise ArrangementError("choose a look for every lamp first, then press Commit.")
        for lamp in given:
            if lamp not in self.lamps:
                raise unknown_name("this grid", "lamp", lamp, self.lamps)
        read = {}
        for lamp in self.lamps:
            looks = _looks(given.get(lamp))
            open_rows = [str(number) for number in range(1, len(self.rows) + 1)
                         if len(looks) < number or not looks[number - 1]]
            if open_rows:
                raise ArrangementError(f"{lamp} has no look yet in row {', '.join(open_rows)}. Choose one for each row.")
            for look in looks:
                if look not in self.looks:
                    raise unknown_name("this grid", "look", look, self.looks)
            read[lamp] = looks[:len(self.rows)]
        return read

    @property
    def places(self):
        """Every cell, as (lamp, number of its row from 0)."""
        return [(lamp, row) for row in range(len(self.rows)) for lamp in self.lamps]

    def at(self, answer, place):
        lamp, row = place
        return answer[lamp][row]

    def words(self, answer):
        return "; ".join(f"row {number}: " + ", ".join(f"{lamp} {answer[lamp][number - 1]}" for lamp in self.lamps)
                         for number in range(1, len(self.rows) + 1))

    def row_words(self, number):
        """Return a row in words. [text]"""
        row = ", ".join(f"{control} {position}" for control, position in self.rows[number].items())
        return f"row {number + 1} ({row or 'everything at rest'})"

    def would(self, answer, truth, variant):
        (lamp, row), *_ = self.differing(answer, truth)
        said = _WOULD.get(answer[lamp][row], "say which way its current takes.")
        return f"In {self.row_words(row)} you have {lamp} {answer[lamp][row]}: then {said}"

    def where(self, answer, truth, variant):
        (lamp, row), *_ = self.differing(answer, truth)
        return f"Look again at {self.row_words(row)}. Start at {lamp} and follow its feed back to the battery."

    def on_paper(self):
        return [(f"{self.row_words(number)}, {lamp}:", self.looks) for lamp, number in self.places]


def _looks(given):
    """Return looks as a list; one alone stands for a single row."""
    return [given] if isinstance(given, str) else list(given) if isinstance(given, (list, tuple)) else []

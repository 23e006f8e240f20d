"""The desk's share of a table: its lines listed for the page, and the board set to one of them from rest."""

from ...arrangements.history import Changes
from ...arrangements.tried import Tried
from ...ground.errors import ArrangementError


class Rows:
    """What a desk answers of rows, where it was opened with a proof, a fault table or a comparison.

    Attributes
    ----------
    lines : Lines or None
        What is listed; None where the board was opened with an arrangement.
    line : Line
        The one the board is set to.
    """

    lines = line = _place = None
    _only = True

    def _open_lines(self, lines):
        """List what there is, and be set to the first line that is listed."""
        self.lines, self._only = lines, bool(lines.outstanding)
        self._set_to(lines.listed(self._only)[0][0], 0)

    def _set_to(self, line, place):
        """Begin a new record, settled in the row of a line, its change made."""
        places = self.lines.places(line)
        if not isinstance(place, int) or not 0 <= place < len(places):
            raise ArrangementError(f"line {line.number} has no row {place!r}. Choose one from 0 to {len(places) - 1}.", got=place)
        cards = self.lines.cards(line)
        tried = Tried(Changes(self.lines.arrangement), {**cards, **self.cards})
        for words in cards:
            tried = tried.with_card(words, True)
        self.begin(tried, places[place].positions, places[place].throws)
        self.line, self._place = line, place

    def _row(self, message):
        """Set the board to a line of the table, in one of its rows."""
        self._set_to(self.lines.line(message["line"]), message.get("place", 0))
        yield from self.fresh()
        yield self._told_of_row(puts=True)

    def _rows(self, message):
        """List the lines, and say what the board is set to."""
        self._only = bool(message.get("only", self._only)) and bool(self.lines.outstanding)
        shown, left = self.lines.listed(self._only)
        yield {"kind": "rows", "html": self.lines.grid.html(shown=[line.number - 1 for line in shown], prefix=f"{self.prefix}line-"),
               "numbers": [line.number for line in shown], "words": [line.words for line in shown],
               "more": f"{left} more are not listed here." if left else "",
               "only": f"{self.lines.only} ({self.lines.outstanding} of {len(self.lines.lines)})", "ticked": self._only,
               "free": 0 < self.lines.outstanding < len(self.lines.lines)}
        yield self._told_of_row(puts=message.get("first", False))

    def _told_of_row(self, puts):
        """Say of the line what the table found, which parts stand out, in which rows it can be seen, and where the leads belong."""
        places = self.lines.places(self.line)
        said, marked = self.lines.told(self.line, places[self._place])
        telltale = self.lines.telltale(self.line)
        where = telltale.healthy if telltale else None
        return {"kind": "row", "line": self.line.number, "words": f"{self.line.number}. {self.line.words}.", "said": said,
                "marked": list(marked), "places": [place.words for place in places], "place": self._place, "puts": puts,
                "leads": {"red": where.red, "black": where.black} if where else {}, "instrument": where.instrument if where else ""}

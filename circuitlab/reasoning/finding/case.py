"""A case: a circuit, what was told of it, the repair, the retest of every row, and who signed."""

from dataclasses import dataclass, replace

from ...arrangements.complaints import AS_IT_SHALL
from ...arrangements.rows import rows_of
from ...ground.errors import ArrangementError, CircuitLabError, shown
from ...ground.plain import counted
from ..asked import place_of
from ..rows_at_once import lamp_table
from .assumptions import WORKSHOP, efforts_table, odds_column
from .customers import read_all
from .finding import find, told
from .fuses_told import fuses_among
from .repairs import check_is_safe, is_about, names_in
from .told import row_meant, when_words

AT_REST = "everything at rest"
GOOD = "good"
ALL_ROWS = ("all rows", "all", "every row")
FEW_ROWS = 3        # named where one is asked for
BEHIND = ", not cured: "        # between a repair that was tried and the rows that were not good


@dataclass(frozen=True)
class Case:
    """What is known of a fault so far.

    Attributes
    ----------
    arrangement : Arrangement
        As it is meant to be.
    symptoms, readings : tuple of str
        As they were told; among readings what nobody can get at as well. [text]
    odds : str
        The column of odds. [text]
    efforts : tuple of (str, float)
        What is changed in the table of efforts. [min]
    repair : str
        What was done. [text]
    retests : tuple of (str, str)
        Every row that was worked again, and how it was: good, or what was seen. [text]
    signed : str
        Who, and when. [text]
    circuit : str
        The name or file that the circuit is opened by. [text]
    stands_in : bool
        Whether the circuit only stands in for the vehicle's own. [yes/no]
    tried : tuple of str
        Repairs that did not cure it, each with the rows that were not good behind it. [text]
    vehicle : str
        Which vehicle it is, and whose. [text]
    back : tuple of str
        Sentences that were told and taken back: they count no more, and stay on record. [text]
    """

    arrangement: object
    symptoms: tuple = ()
    readings: tuple = ()
    odds: str = WORKSHOP
    efforts: tuple = ()
    repair: str = ""
    retests: tuple = ()
    signed: str = ""
    circuit: str = ""
    stands_in: bool = False
    tried: tuple = ()
    vehicle: str = ""
    back: tuple = ()

    def found(self, progress=None):
        """Return the Finding of all that was told."""
        return find(self.arrangement, self.symptoms, self.readings, self.odds, dict(self.efforts), self.stands_in, progress, self.failed)

    def given(self, odds=None, efforts=None, stands_in=False):
        """Return it with what is taken for granted otherwise.

        Parameters
        ----------
        odds : str, optional
            The name of a column; without it, its own stays. [text]
        efforts : dict of str to float, optional
            Set beside its own, in the place of those with the same names. [min]
        stands_in : bool
            What was said to stand in once stays so. [yes/no]

        Raises
        ------
        UnknownName, ArrangementError
            For a column or a line of efforts that is not there, or no minutes.
        """
        column = self.odds if odds is None else odds
        odds_column(column), efforts_table(efforts, self.arrangement)       # wrong ones are refused before anything is shown
        return replace(self, odds=column, efforts=tuple({**dict(self.efforts), **(efforts or {})}.items()), stands_in=stands_in or self.stands_in)

    @property
    def rows(self):
        """Every row that is to be worked again, in words. [text]"""
        return tuple(row_name(self.arrangement, row) for row in rows_of(self.arrangement))

    @property
    def expected(self):
        """What the lamps shall show in each row, by its words: all that are lit, and how. [text]"""
        return {row_name(self.arrangement, row.positions): lit_words(self.arrangement, row) for row in lamp_table(self.arrangement).rows}

    @property
    def waiting(self):
        """Rows not yet worked again, in words. [text]"""
        done = {row for row, _ in self.retests}
        return tuple(row for row in self.rows if row not in done)

    @property
    def upcoming(self):
        """The first row not yet worked again, empty for none. [text]"""
        return next((row for row in rows_of(self.arrangement) if row_name(self.arrangement, row) in self.waiting), {})

    @property
    def is_closed(self):
        """Whether it is repaired, every row worked again and good, and signed. [yes/no]"""
        return bool(self.repair and self.signed) and not self.waiting and all(how == GOOD for _, how in self.retests)

    @property
    def bad_rows(self):
        """Rows that were worked again and were not good, each with what was seen. [text]"""
        return tuple(f"{row}: {how}" for row, how in self.retests if how != GOOD)

    @property
    def failed(self):
        """Repairs that were made and did not cure it. [text]"""
        return (*(each.partition(BEHIND)[0] for each in self.tried), *[self.repair] * bool(self.repair and self.bad_rows))

    def other_than(self, finding):
        """Return what the likeliest cause asks for, where the repair is none of it and about none of the same parts; else empty. [text]"""
        best = finding.causes[0] if finding.causes else None
        if not self.repair or best is None:
            return ""
        own = {end.partition(":")[0] for end in best.place} | names_in(best.repair, self.arrangement)
        return "" if is_about(self.repair, self.arrangement, best.repair, own) else best.repair

    def with_repair(self, words):
        """Return it with a repair; one before it that did not cure it stays on record, and every row is worked again. [text]"""
        words = _on_one_line(words)
        check_is_safe(words, self.arrangement)
        if words == self.repair or not (self.repair and self.bad_rows):
            return replace(self, repair=words)
        tried = f"{self.repair}{BEHIND}{'; '.join(self.bad_rows)}"
        return replace(self, repair=words, retests=(), signed="", tried=(*self.tried, tried))

    def with_signature(self, words):
        """Return it signed. [text]

        Raises
        ------
        ArrangementError
            While it is not repaired, or a row waits to be worked again or is not good: nobody signs for that.
        """
        words = _on_one_line(words)
        if words and (not self.repair or self.bad_rows or self.waiting):
            lacks = "no repair is noted" if not self.repair else f"not good: {'; '.join(self.bad_rows)}" if self.bad_rows else (
                f"{len(self.waiting)} of {counted(len(self.rows), 'row')} still to be worked again, first of them '{self.waiting[0]}'")
            raise ArrangementError(f"nobody signs yet: {lacks}. Note that first, such as '{self.waiting[0] if self.waiting else self.rows[0]}: good'.")
        return replace(self, signed=words)

    def with_symptom(self, sentence):
        """Return it with a symptom more, looked at as it is told; what is said of many lamps becomes a symptom of each, a fuse seen a reading. [text]"""
        told(self.arrangement, [*self.symptoms, sentence], self.readings)
        fuses, said = fuses_among([sentence], self.arrangement)
        own = [str(one) for one in read_all(said, self.arrangement)]
        each = [one for one in map(str, read_all([*self.symptoms, *said], self.arrangement)) if one in own]
        words = [_on_one_line(sentence)] if len(own) == 1 and not fuses else each
        case = replace(self, symptoms=tuple(dict.fromkeys([*self.symptoms, *words])), back=self._back_without(words))
        for fuse in fuses:
            case = case.with_reading(str(fuse))
        return case

    def with_reading(self, sentence):
        """Return it with a reading more, or what nobody can get at. [text]"""
        told(self.arrangement, self.symptoms, [*self.readings, sentence])
        words = _on_one_line(sentence)
        return replace(self, readings=(*self.readings, words), back=self._back_without([words]))

    def with_taken_back(self, words):
        """Return it with a sentence taken back, whether it was told before or not. [text]"""
        left = {what: tuple(each for each in getattr(self, what) if each != words) for what in ("symptoms", "readings")}
        return replace(self, **left, back=(*self._back_without([words]), words))

    def _back_without(self, words):
        return tuple(each for each in self.back if each not in words)

    def with_retest(self, row, how=GOOD):
        """Return it with a row worked again. [text]

        Raises
        ------
        ArrangementError
            For a row that is not there.
        """
        row = self.row_of(row)
        return replace(self, retests=(*(each for each in self.retests if each[0] != row), (row, _on_one_line(how))))

    def row_of(self, said):
        """Return a row as it is listed, of its own words or of those that symptoms are told with. [text]"""
        if said in self.rows:
            return said
        try:
            return row_name(self.arrangement, row_meant(said.removeprefix("when ").split(), self.arrangement, said))
        except CircuitLabError:
            waits = "; ".join(f"'{each}'" for each in (self.waiting or self.rows)[:FEW_ROWS])
            raise ArrangementError(f"{shown(said)} is no row of '{self.arrangement.title}'. Write it as symptoms are told, such as 'braking: good', or as it stands "
                                   f"in the list: {waits}.") from None

    def with_retest_of(self, said):
        """Return it with a row worked again, told as ``row: how``; of ``all rows`` with every row that waits. [text]"""
        row, how = self.retest_of(said)
        case = self
        for each in self.waiting if row.lower() in ALL_ROWS else [row]:
            case = case.with_retest(each, how)
        return case

    def retest_of(self, said):
        """Return the row and how it was, of ``row: how``; a row alone was good. [text]"""
        row = max((each for each in self.rows if said == each or said.startswith(f"{each}: ")), key=len, default=said.rpartition(": ")[0] or said)
        how = said[len(row) + 2:] or GOOD
        return row, GOOD if how.lower() in AS_IT_SHALL else how


def row_name(arrangement, positions):
    """Return a row in words, as retests call it. [text]"""
    return when_words(arrangement, positions).removeprefix(" when ") or AT_REST


def lit_words(arrangement, row):
    """Return which lamps are lit in a row of a lamp table, and how. [text]"""
    lit = [f"{place_of(arrangement, lamp)} {cell.look}" for lamp, cell in row.cells.items() if cell.look != "dark"]
    return ", ".join(lit) or "all dark"


def _on_one_line(sentence):
    return " ".join(str(sentence).split())

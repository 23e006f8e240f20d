"""A case: a circuit, what was told of it, the repair, the retest of every row, and who signed; paused in a text file and resumed.

    case of shared-filament-four-relays
    fingerprint: 5f0c1a2b
    vehicle: the cart of the workshop
    symptom: rear left dim when brake pedal held
    reading: 0.9 V from X3:2 to K1:87a when brake pedal held
    taken back: 0.9 V from X3:2 to K3:87a when brake pedal held
    repair: mend W4
    retest: brake pedal held: good
    signed: A. Fitter, 30 November
    end of case
"""

from dataclasses import dataclass, replace

from ...arrangements.history import fingerprint
from ...arrangements.rows import rows_of
from ...arrangements.sentences import off_a_line, on_a_line
from ...ground.errors import ArrangementError, CircuitLabError, FileError, shown
from ...ground.files import ENDS, named, read, whole
from ...ground.saving import save, save_over
from ..asked import place_of
from ..rows_at_once import lamp_table
from .assumptions import WORKSHOP, efforts_table, odds_column
from .customers import read_symptoms
from .finding import find, told
from .repairs import is_about
from .told import when_words

KIND, HEADING = "a case", "case of "
AT_REST = "everything at rest"
GOOD = "good"
BEHIND = ", not cured: "        # between a repair that was tried and the rows that were not good
_KEYS = ("fingerprint", "vehicle", "odds", "effort", "stands in", "symptom", "reading", "taken back", "tried", "repair", "retest", "signed", "ruled out")
HOW = f"A line begins with one of: {', '.join(f'{key}:' for key in _KEYS)}."


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
        own = {end.partition(":")[0] for end in best.place} | {best.named}
        return "" if is_about(self.repair, self.arrangement, best.repair, own) else best.repair

    def with_repair(self, words):
        """Return it with a repair; one before it that did not cure it stays on record, and every row is worked again. [text]"""
        words = _on_one_line(words)
        if words == self.repair or not (self.repair and self.bad_rows):
            return replace(self, repair=words)
        tried = f"{self.repair}{BEHIND}{'; '.join(self.bad_rows)}"
        return replace(self, repair=words, retests=(), signed="", tried=(*self.tried, tried))

    def with_symptom(self, sentence):
        """Return it with a symptom more, looked at as it is told; what is said of many lamps becomes a symptom of each. [text]"""
        told(self.arrangement, [*self.symptoms, sentence], self.readings)
        each = read_symptoms(sentence, self.arrangement)
        words = [_on_one_line(sentence)] if len(each) == 1 else [str(one) for one in each]
        return replace(self, symptoms=tuple(dict.fromkeys([*self.symptoms, *words])), back=self._back_without(words))

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
        if row not in self.rows:
            raise ArrangementError(f"{shown(row)} is no row of '{self.arrangement.title}'. Write it as it stands in the list, such as "
                                   f"'{self.rows[-1]}'.")
        return replace(self, retests=(*(each for each in self.retests if each[0] != row), (row, _on_one_line(how))))

    def with_retest_of(self, said):
        """Return it with a row worked again, told as ``row: how``. [text]"""
        return self.with_retest(*self.retest_of(said))

    def retest_of(self, said):
        """Return the row and how it was, of ``row: how``; a row alone was good. [text]"""
        row = max((each for each in self.rows if said == each or said.startswith(f"{each}: ")), key=len, default=said.rpartition(": ")[0] or said)
        return row, said[len(row) + 2:] or GOOD

    def lines(self, ruled_out=()):
        """Return it as the lines of its file. [text]"""
        lines = [HEADING + on_a_line(self.circuit or self.arrangement.name or self.arrangement.title), f"fingerprint: {fingerprint(self.arrangement)}"]
        lines += [f"vehicle: {self.vehicle}"] * bool(self.vehicle)
        lines += [f"odds: {self.odds}"] if self.odds != WORKSHOP else []
        lines += ["stands in: yes"] if self.stands_in else []
        lines += [f"effort: {name} = {minutes:g}" for name, minutes in self.efforts]
        lines += [f"symptom: {each}" for each in self.symptoms] + [f"reading: {each}" for each in self.readings]
        lines += [f"taken back: {each}" for each in self.back] + [f"tried: {each}" for each in self.tried]
        lines += [f"ruled out: {each}" for each in ruled_out] + [f"repair: {self.repair}"] * bool(self.repair)
        lines += [f"retest: {row}: {how}" for row, how in self.retests] + [f"signed: {self.signed}"] * bool(self.signed)
        return [*lines, ENDS[KIND]]


def row_name(arrangement, positions):
    """Return a row in words, as retests call it. [text]"""
    return when_words(arrangement, positions).removeprefix(" when ") or AT_REST


def lit_words(arrangement, row):
    """Return which lamps are lit in a row of a lamp table, and how. [text]"""
    lit = [f"{place_of(arrangement, lamp)} {cell.look}" for lamp, cell in row.cells.items() if cell.look != "dark"]
    return ", ".join(lit) or "all dark"


def save_case(case, path, ruled_out=(), over=False):
    """Write a case to a text file; one that stood there is kept beside it, unless it is one's own of a moment ago.

    Parameters
    ----------
    case : Case
    path : str or Path
        [text]
    ruled_out : iterable of str
        Causes that have fallen since the symptoms alone were told: written for whoever reads the file, and worked out anew when it is read. [text]
    over : bool
        What stands there was written by the same hand a moment ago. [yes/no]

    Returns
    -------
    Saved
    """
    return (save_over if over else save)("\n".join(case.lines(ruled_out)) + "\n", path)


def case_circuit(path):
    """Return the name of the circuit that a case file is about, without reading the rest. [text]"""
    path = named(path)
    return _heading(read(path, kind=KIND), path)


def load_case(path, arrangement):
    """Return the case in a file.

    Parameters
    ----------
    path : str or Path
        [text]
    arrangement : Arrangement

    Raises
    ------
    FileError
        When there is no such file, it is none or is cut off, it is of another circuit or of one that has changed since, or a
        line does not fit; the line is named.
    """
    path = named(path)
    text = read(path, kind=KIND)
    case, number = Case(arrangement, circuit=_heading(text, path)), 1
    try:
        for number, line in enumerate(text.split("\n")[1:], start=2):
            if line.strip() and line.strip() != ENDS[KIND]:
                case = _with_line(case, line)
        told(arrangement, case.symptoms, case.readings)
    except CircuitLabError as error:
        raise FileError(f"'{path.name}', line {number}: {error}", file=path.name, line=number) from None
    whole(text, f"'{path.name}'")
    return case


def _heading(text, path):
    first = text.partition("\n")[0]
    if not first.startswith(HEADING):
        raise FileError(f"'{path.name}' is no case. Its first line must be '{HEADING}' and the name of a circuit.", file=path.name)
    return off_a_line(first.removeprefix(HEADING))


def _with_line(case, line):
    key, colon, value = line.partition(": ")
    value = value.strip()
    if not colon or key not in _KEYS or not value:
        raise ArrangementError(f"{shown(line)} is no line of a case. {HOW}")
    if key == "fingerprint":
        _check_fingerprint(case, value)
    elif key == "odds":
        odds_column(value)
        return replace(case, odds=value)
    elif key == "stands in":
        return replace(case, stands_in=value == "yes")
    elif key == "effort":
        name, _, minutes = value.rpartition(" = ")
        return replace(case, efforts=(*case.efforts, *_effort(name, minutes, case.arrangement)))
    elif key == "symptom":
        return case.with_symptom(value)
    elif key == "reading":
        return case.with_reading(value)
    elif key == "retest":
        return case.with_retest_of(value)
    elif key == "tried":
        return replace(case, tried=(*case.tried, value))
    elif key == "taken back":
        told(case.arrangement, (), [value])
        return case.with_taken_back(value)
    elif key in ("repair", "signed", "vehicle"):
        return replace(case, **{key: value})
    return case


def _effort(name, minutes, arrangement):
    try:
        value = float(minutes)
    except ValueError:
        raise ArrangementError(f"{shown(minutes)} are no minutes. Write 'effort: X3 = 20'.") from None
    efforts_table({name: value}, arrangement)
    return ((name, value),)


def _check_fingerprint(case, value):
    if value != fingerprint(case.arrangement):
        raise ArrangementError(f"this is a case of another circuit than '{case.arrangement.title}' as it is now: its parts or wires have changed since, or "
                               "it was opened by the wrong name. Open the circuit it was made with; if the change does not matter, take the line "
                               "'fingerprint' out.")


def _on_one_line(sentence):
    return " ".join(str(sentence).split())

"""A case in its text file, to be paused and gone on with.

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

from dataclasses import replace

from ...arrangements.history import fingerprint
from ...arrangements.sentences import off_a_line, on_a_line
from ...ground.errors import ArrangementError, CircuitLabError, FileError, shown
from ...ground.files import ENDS, named, read, whole
from ...ground.saving import save, save_over
from .assumptions import WORKSHOP, efforts_table, odds_column
from .case import Case
from .finding import told

KIND, HEADING = "a case", "case of "
_KEYS = ("fingerprint", "vehicle", "odds", "effort", "stands in", "symptom", "reading", "taken back", "tried", "repair", "retest", "signed", "ruled out")
HOW = f"A line begins with one of: {', '.join(f'{key}:' for key in _KEYS)}."


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
    return (save_over if over else save)("\n".join(_lines(case, ruled_out)) + "\n", path)


def _lines(case, ruled_out=()):
    """Return it as the lines of its file. [text]"""
    lines = [HEADING + on_a_line(case.circuit or case.arrangement.name or case.arrangement.title), f"fingerprint: {fingerprint(case.arrangement)}"]
    lines += [f"vehicle: {case.vehicle}"] * bool(case.vehicle)
    lines += [f"odds: {case.odds}"] if case.odds != WORKSHOP else []
    lines += ["stands in: yes"] if case.stands_in else []
    lines += [f"effort: {name} = {minutes:g}" for name, minutes in case.efforts]
    lines += [f"symptom: {each}" for each in case.symptoms] + [f"reading: {each}" for each in case.readings]
    lines += [f"taken back: {each}" for each in case.back] + [f"tried: {each}" for each in case.tried]
    lines += [f"ruled out: {each}" for each in ruled_out] + [f"repair: {case.repair}"] * bool(case.repair)
    lines += [f"retest: {row}: {how}" for row, how in case.retests] + [f"signed: {case.signed}"] * bool(case.signed)
    return [*lines, ENDS[KIND]]


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

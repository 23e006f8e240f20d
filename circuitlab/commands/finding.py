"""The command ``find``: asks for symptoms and readings in plain lines, or takes them all at once, and says what may be at fault.

What is told is kept in a case, which a file can hold; the same command resumes it, takes repair and retests, and prints its report.
"""

import sys
from argparse import RawDescriptionHelpFormatter
from dataclasses import replace
from pathlib import Path
from textwrap import wrap

from ..arrangements.complaints import READING_FORMS, SYMPTOM_FORMS, WHOLE_FORMS
from ..ground.errors import ArrangementError, CircuitLabError, FileError
from ..ground.saving import page_path, save
from ..reasoning.finding.assumptions import HANDBOOK, WORKSHOP
from .asking_faults import Asking
from .opening import CASE, circuit_of, opened
from .watching import Watching

NOTHING_FITS = 1    # it was looked for, and nothing on the list agrees
WIDE = 79           # letters of a line of help


def add_find_parser(command):
    """Add the command ``find``."""
    finding = command("find", find_command, "find the fault from symptoms and readings, and say what to read next", _description(), of_one=True)
    finding.formatter_class = RawDescriptionHelpFormatter
    finding.add_argument("--symptom", metavar="SENTENCE", action="append", default=[], help="what a lamp shows; may be given several times")
    finding.add_argument("--reading", metavar="SENTENCE", action="append", default=[], help="what was read or seen; may be given several times")
    finding.add_argument("--odds", metavar="COLUMN", help=f"which assumption of how often each sort of fault is met: '{WORKSHOP}' (default) or "
                         f"'{HANDBOOK}'")
    finding.add_argument("--effort", metavar="LINE=MINUTES", action="append", default=[], help="another effort, of a part or a line of the table, such as "
                         "X3=20")
    finding.add_argument("--stands-in", action="store_true", help="the circuit is like the vehicle's, as far as you know: what is on no list is likelier")
    finding.add_argument("--most", metavar="NUMBER", type=int, default=6, help="tell so many causes at most (default: 6)")
    finding.add_argument("--case", metavar="FILE", help="keep all of it in a text file, such as left-rear.case; one that is there is gone on with. "
                         "In the place of NAME_OR_FILE a .case file does the same")
    finding.add_argument("--vehicle", metavar="WORDS", help="which vehicle it is, and whose, for the case and its report")
    finding.add_argument("--repair", metavar="WORDS", help="what was repaired, for the case")
    finding.add_argument("--retest", metavar="ROW: good", action="append", default=[], help="a row that was worked again, and how it was, for the case: 'braking: good', 'all rows: good', or what it showed")
    finding.add_argument("--signed", metavar="WHO", help="who signs, and when, for the case")
    finding.add_argument("--report", metavar="FILE", help="print the case as one page, such as report.html")
    finding.add_argument("--page", metavar="FILE", help="write the fault page of the circuit: what may be said of each lamp, suspects, first readings")


def _description():
    said = wrap("Say what is wrong and what was read; it says what may be at fault, likeliest first, and what to look at or to read next. Where the line "
                "tells nothing new of the fault, at a keyboard, it asks; a case is gone on with where it stood. On a live board, by hand: board NAME_OR_FILE --find. It advises and does not certify. Leaves with 0 when something agrees, with 1 when "
                "nothing does, with 2 for bad input, with 130 when stopped (Ctrl+C).", WIDE)
    for head, forms in (("Symptoms, one a sentence:", SYMPTOM_FORMS), ("Many lamps at once:", WHOLE_FORMS), ("Readings:", READING_FORMS)):
        said += ["", head]
        for form, means in forms.items():
            said += [f"  {form}", *wrap(means, WIDE, initial_indent="      ", subsequent_indent="      ")]
    return "\n".join(said).replace("%", "%%")


def find_command(given):
    """Print what may be at fault; return 0, 1 when nothing agrees, or 130 when it was stopped. [1]"""
    if given.most < 1:
        raise ArrangementError(f"--most must be 1 or more, got {given.most}.")
    from ..reasoning.finding.kept import Keeper

    case, path, bad = _case(given)
    keep = Keeper(path, is_read=True)        # where there was a case, it was gone on with
    if bad:
        kept = f" All else is kept in {keep(case)}." if path else ""
        raise ArrangementError(" ".join(f"{each}" for each in bad) + kept)
    watching = Watching("candidates")
    try:
        if given.page:
            if path:
                print(f"The case is in {keep(case)}.")
            return _write_page(case, given.page, watching)
        found = case.found(watching)
        watching.close()
        if _is_open(case, given) and sys.stdin and sys.stdin.isatty():
            case, found = Asking(case, given.most, keep).ask()
        else:
            print(found.text(given.most), flush=True)
    except KeyboardInterrupt:
        return watching.stopped()
    if case.repair:
        from ..views.case_page import state_words

        print(f"\nThe case is {state_words(case)}.")
    if path:
        print(f"\nThe case is in {keep(case, found.ruled_out)}.")
    if given.report:
        print(_report(case, found, given.report))
    return 0 if found.causes or not (case.symptoms or case.readings) else NOTHING_FITS


def _case(given):
    """Return the case that is worked on, with all that the command line adds, its file or None, and the errors of what cannot be read."""
    from ..reasoning.finding.case import Case
    from ..reasoning.finding.case_file import load_case

    path = given.arrangement if given.arrangement.lower().endswith(CASE) else given.case
    if path and path == given.arrangement and not Path(path).exists():
        raise FileError(f"'{path}' cannot be read: there is no such file. Begin a case with: find NAME_OR_FILE --case {path}.", file=path)
    if path and Path(path).exists():
        case = load_case(path, opened(circuit_of(path) if path == given.arrangement else given.arrangement))
    else:
        case = Case(opened(given.arrangement), circuit=given.arrangement)
    case = case.given(given.odds, dict(_effort(each) for each in given.effort), given.stands_in)
    case = replace(case, vehicle=" ".join((given.vehicle or case.vehicle).split()))
    bad = []
    for how, sentences in (("with_repair", [given.repair] * bool(given.repair)), ("with_symptom", given.symptom), ("with_reading", given.reading), ("with_retest_of", given.retest), ("with_signature", [given.signed] * bool(given.signed))):
        for sentence in sentences:
            try:
                case = getattr(case, how)(sentence)
            except CircuitLabError as error:
                bad.append(error)
    return case, path, bad


def _is_open(case, given):
    """Tell whether there is something to ask for: nothing is told yet, or the line says nothing new of an open case and wants no page. [yes/no]"""
    if not (case.symptoms or case.readings):
        return True
    return not (case.is_closed or given.symptom or given.reading or given.repair or given.retest or given.signed or given.vehicle or given.report)


def _effort(said):
    name, _, minutes = said.rpartition("=")
    try:
        return name, float(minutes.replace(",", "."))
    except ValueError:
        raise ArrangementError(f"--effort '{said}' cannot be read. Write a part or a line of the table, =, and minutes, such as X3=20.") from None


def _report(case, found, path):
    from ..views.case_page import case_page

    saved = save(case_page(case, found, found.ruled_out, case.expected), page_path(path, "report"))
    return f"The report is in {saved}.{saved.before}"


def _write_page(case, path, watching):
    from ..reasoning.finding.fault_sheet import fault_sheet
    from ..views.fault_page import fault_page

    path = page_path(path, "faults")
    sheet = fault_sheet(case.arrangement, case.odds, dict(case.efforts), watching)
    watching.close()
    saved = save(fault_page(sheet), path)
    print(f"The fault page is in {saved}.{saved.before}")
    return 0

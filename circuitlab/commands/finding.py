"""The command ``find``: asks for symptoms and readings in plain lines, or takes them all at once, and says what may be at fault."""

import sys
from argparse import RawDescriptionHelpFormatter
from textwrap import wrap

from ..arrangements.complaints import READING_FORMS, SYMPTOM_FORMS
from ..ground.errors import ArrangementError, CircuitLabError
from .opening import opened
from .watching import Watching

NOTHING_FITS = 1    # it was looked for, and nothing on the list agrees
AT_A_TIME = 4       # causes told between two questions
ANSWERS = ("What was read or seen? A value alone means the reading above; or any sentence of --help, such as 'cannot get at X3:2'.\n"
           "'why' tells more, 'take back' strikes the last, Enter alone ends.")
WIDE = 79           # letters of a line of help
COLUMNS = ("workshop practice", "handbook rates")       # as in the reasoning; a test holds the two together


def add_find_parser(command):
    """Add the command ``find``."""
    finding = command("find", find_command, "find the fault from symptoms and readings, and say what to read next",
                      _description(SYMPTOM_FORMS, READING_FORMS), of_one=True)
    finding.formatter_class = RawDescriptionHelpFormatter
    finding.add_argument("--symptom", metavar="SENTENCE", action="append", help="what a lamp shows; may be given several times")
    finding.add_argument("--reading", metavar="SENTENCE", action="append", help="what was read or seen; may be given several times")
    finding.add_argument("--odds", metavar="COLUMN", default=COLUMNS[0], help=f"which assumption of how often each sort of fault is met: "
                         f"'{COLUMNS[0]}' (default) or '{COLUMNS[1]}'")
    finding.add_argument("--effort", metavar="LINE=MINUTES", action="append", help="another effort, of a part or a line of the table, such as X3=20")
    finding.add_argument("--most", metavar="NUMBER", type=int, default=6, help="tell so many causes at most (default: 6)")


def _description(symptoms, readings):
    said = wrap("Say what is wrong and what was read; it says what may be at fault, likeliest first, and what to look at or to read next. Without a "
                "symptom or reading, at a keyboard, it asks. It advises and does not certify. Leaves with 0 when something agrees, with 1 when "
                "nothing does, with 2 for bad input, with 130 when stopped (Ctrl+C).", WIDE)
    for head, forms in (("Symptoms, one a sentence:", symptoms), ("Readings:", readings)):
        said += ["", head]
        for form, means in forms.items():
            said += [f"  {form}", *wrap(means.replace("%", "%%"), WIDE, initial_indent="      ", subsequent_indent="      ")]
    return "\n".join(said)


def find_command(given):
    """Print what may be at fault; return 0, 1 when nothing agrees, or 130 when it was stopped. [1]"""
    arrangement = opened(given.arrangement)

    from ..reasoning.finding.finding import find

    if given.most < 1:
        raise ArrangementError(f"--most must be 1 or more, got {given.most}.")
    watching = Watching("candidates")
    told = [*(given.symptom or ())], [*(given.reading or ())]
    efforts = dict(_effort(each) for each in given.effort or ())

    def look(symptoms, readings):
        found = find(arrangement, symptoms, readings, odds=given.odds, efforts=efforts, progress=watching)
        watching.close()
        return found
    try:
        if not any(told) and sys.stdin and sys.stdin.isatty():
            found = Asking(arrangement, look, given.most).ask()
        else:
            found = look(*told)
            print(found.text(given.most), flush=True)
    except KeyboardInterrupt:
        return watching.stopped()
    return 0 if found.causes or not any(told) else NOTHING_FITS


def _effort(said):
    name, equals, minutes = said.rpartition("=")
    try:
        return name, float(minutes.replace(",", "."))
    except ValueError:
        raise ArrangementError(f"--effort '{said}' cannot be read. Write a part or a line of the table, =, and minutes, such as X3=20.") from None


class Asking:
    """Asks at the keyboard until one repair is likely enough, or nothing more can be parted.

    Parameters
    ----------
    arrangement : Arrangement
    look : callable ``(symptoms, readings)``
        Returns a Finding.
    most : int
        Causes told. [1]
    """

    def __init__(self, arrangement, look, most):
        self.arrangement, self.look, self.most = arrangement, look, most
        self.symptoms, self.readings = [], []

    def ask(self):
        """Ask for symptoms, then for one reading after the other; return the last Finding."""
        print("What does the customer see? One lamp a line, such as: rear left dim when braking\nEnter alone: that is all.")
        found = None
        while True:
            said = typed()
            if not said and found:
                break
            if said:
                found = self._with(said, found, is_symptom=True)
        self._show(found)
        while found.next is not None:
            print(f"\n{ANSWERS}")
            said = typed()
            if not said:
                break
            if said == "why":
                print(found.text(self.most))
                continue
            found = self._taken_back(found) if said == "take back" else self._with(self.whole(said, found), found)
            self._show(found)
        print(f"\nThe same again: {self.again()}")
        return found

    def _show(self, found):
        """Print the finding in short while it goes on, whole at its end."""
        print(found.text(self.most if found.next is None else min(self.most, AT_A_TIME), why=found.next is None))

    def whole(self, said, found):
        """Return an answer to the reading asked for as a whole sentence. [text]"""
        from ..reasoning.finding.asked_for import as_sentence

        return as_sentence(said, found.next.offer, self.arrangement)

    def again(self):
        """Return the command that says all of it at once. [text]"""
        name = self.arrangement.name or "FILE"
        told = [("--symptom", self.symptoms), ("--reading", self.readings)]
        return " ".join([f"python -m circuitlab find {name}", *(f'{option} "{each}"' for option, several in told for each in several)])

    def _with(self, said, found, is_symptom=False):
        kept = self.symptoms if is_symptom else self.readings
        try:
            after = self.look([*self.symptoms, said] if is_symptom else self.symptoms, self.readings if is_symptom else [*self.readings, said])
        except CircuitLabError as error:
            print(error)
            return found
        kept.append(said)
        return after

    def _taken_back(self, found):
        kept = self.readings or self.symptoms[1:]
        if not kept:
            print("There is no reading to take back.")
            return found
        (self.readings if self.readings else self.symptoms).pop()
        return self.look(self.symptoms, self.readings)


def typed():
    """Return a line from the keyboard. [text]

    Raises
    ------
    KeyboardInterrupt
        Where it ends.
    """
    print("> ", end="", flush=True)
    line = sys.stdin.readline()
    if not line:
        raise KeyboardInterrupt
    return line.strip()

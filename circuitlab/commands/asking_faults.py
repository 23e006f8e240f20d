"""Asks for symptoms and readings at the keyboard, then for the repair, the retest of every row, and who signs."""

from dataclasses import replace
from shlex import join

from ..ground.errors import CircuitLabError
from .keyboard import typed

AT_A_TIME = 4       # causes told between two questions
ANSWERS = ("What was read or seen? A value alone means the reading above; or any sentence of --help, such as 'cannot get at X3:2'.\n"
           "'why' tells more, 'take back' strikes the last, Enter alone ends.")


class Asking:
    """Asks until one repair is likely enough, or nothing more can be parted; keeps the case after every answer.

    Parameters
    ----------
    case : Case
    most : int
        Causes told. [1]
    keep : callable ``(case)``
        Puts it into its file, where it has one.
    """

    def __init__(self, case, most, keep):
        self.case, self.most, self.keep = case, most, keep

    def ask(self):
        """Ask; return the case and its last Finding. A case that tells something already is gone on with.

        Raises
        ------
        KeyboardInterrupt
            Where the answers end; what was told is kept.
        """
        found = self.case.found() if self.case.symptoms or self.case.readings else None
        if found is None:
            print("What does the customer see? One lamp a line, such as: rear left dim when braking\nEnter alone: that is all.")
            while (said := typed()) or found is None:
                found = self._take("with_symptom", said, found) if said else found
        self._show(found)
        if not self._is_mended:
            found = self._read_on(found)
        if self.case.repair or found.is_found or found.spans:
            self._close()
        print(f"\nThe same again: {self._again()}")
        return self.case, found

    def _read_on(self, found):
        """Ask for readings until nothing more is to be read, or none is given; return the Finding."""
        while found.next is not None:
            print(f"\n{ANSWERS}")
            said = typed()
            if not said:
                break
            if said == "why":
                print(found.text(self.most))
                continue
            found = self._taken_back(found) if said == "take back" else self._take("with_reading", self._whole(said, found), found)
            self._show(found)
        return found

    def _show(self, found):
        """Print the finding in short while it goes on, whole at its end."""
        print(found.text(self.most if found.next is None else min(self.most, AT_A_TIME), why=found.next is None))

    def _whole(self, said, found):
        """Return an answer to the reading asked for as a whole sentence. [text]"""
        from ..reasoning.finding.asked_for import as_sentence

        return as_sentence(said, found.next.offer, self.case.arrangement)

    def _take(self, how, said, found):
        """Return the finding with a sentence more, the same where it cannot be read: the reason is said."""
        wrong = None
        for each in dict.fromkeys((how, "with_reading")):       # at the first question a fuse may be told of as well
            try:
                case = getattr(self.case, each)(said)
                after = case.found()
                break
            except CircuitLabError as error:
                wrong = wrong or error
        else:
            print(wrong)
            return found
        self.case = case
        self.keep(case)
        return after

    def _taken_back(self, found):
        """Return the finding with the last reading taken back, where there is none the last symptom but one."""
        told = self.case.readings or self.case.symptoms[1:]
        if not told:
            print("There is nothing more to take back: what the customer sees first stays. Begin again with: find NAME_OR_FILE.")
            return found
        self.case = self.case.with_taken_back(told[-1])
        self.keep(self.case)
        return self.case.found()

    @property
    def _is_mended(self):
        """Whether a repair was made that no row has spoken against. [yes/no]"""
        return bool(self.case.repair) and not self.case.bad_rows

    def _close(self):
        """Ask for the repair, each row worked again, and who signs; Enter alone leaves the rest for another day."""
        if not self._is_mended:
            print("\nWhat was repaired? Enter alone: nothing yet.")
            repair = typed()
            if not repair:
                return
            try:
                self.case = self.case.with_repair(repair)
            except CircuitLabError as error:
                print(error)
                return
            self.keep(self.case)
        print(f"\nRepaired: {self.case.repair}. Work every control through every row again. 'good', or what is seen; Enter alone leaves the rest for "
              "another day.")
        expected = self.case.expected
        for row in self.case.waiting:
            print(f"{row}: {expected.get(row, '')}")
            how = typed()
            if not how:
                return
            self.case = self.case.with_retest_of(f"{row}: {how}")
            self.keep(self.case)
            if self.case.bad_rows:
                print("It is not cured. That repair is lowered now, and the search goes on: the same command again, with the case.")
                print(self.case.found().text(AT_A_TIME, why=False))
                return
        if not self.case.signed:
            print("Who signs, and when?")
            self.case = self.case.with_signature(typed())
            self.keep(self.case)

    def _again(self):
        """Return the command that says all of it at once, as a shell takes it. [text]"""
        from ..reasoning.finding.case import Case

        case = self.case
        options = [("--symptom", each) for each in case.symptoms] + [("--reading", each) for each in case.readings]
        options += [("--odds", case.odds)] * (case.odds != Case.odds) + [("--effort", f"{name}={minutes:g}") for name, minutes in case.efforts]
        words = ["python", "-m", "circuitlab", "find", case.circuit, *(word for option in options for word in option)]
        return join([*words, *["--stands-in"] * case.stands_in])

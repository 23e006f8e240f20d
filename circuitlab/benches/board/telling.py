"""The desk of a board that finds a fault: sentences told and taken back, the finding of them, and the case in its file; no widget here."""

import re
from dataclasses import dataclass, replace
from pathlib import Path

from ...arrangements.complaints import BRIGHTNESS, LOOKS, READING_FORMS, SAID_BESIDES, SYMPTOM_FORMS, WHOLE_FORMS
from ...arrangements.sentences import quoted
from ...ground.errors import ArrangementError, CircuitLabError, FileError
from ...ground.quantities import say
from ...ground.saving import page_path, save
from ...parts import Lamp
from ...reasoning.asked import place_of
from ...reasoning.finding.asked_for import as_sentence
from ...reasoning.finding.case import row_name
from ...reasoning.finding.case_file import load_case
from ...reasoning.finding.customers import read_symptoms
from ...reasoning.finding.fuses_told import with_its_fuse
from ...reasoning.finding.kept import Keeper
from ...reasoning.finding.offer import Offer
from ...reasoning.finding.seen import states_seen
from ...reasoning.finding.solved import solved
from ...reasoning.finding.told import Symptom, read_out_of_reach, read_symptom, read_taken, when_words
from ...reasoning.leads import UNITS
from ...views.board.finding import CAUTIONS, NOTHING_NEXT, causes_of, no_causes, step_of
from ...views.case_page import case_page
from .desk import Desk

ENDING = ".case"
READING = re.compile(r"\W*\d|(about|open|no way|test|display|jumps|cannot|can't|i can)\b|.*\b(whole|blown|blows|blew|missing|no fuse)\b", re.IGNORECASE)      # how a reading begins, or ends
SLOW = ("seek", "file_case", "report")      # what may take seconds, and is worked out beside the board


@dataclass(frozen=True)
class Said:
    """A sentence that was told; it stays listed when it is taken back.

    Attributes
    ----------
    words : str
        [text]
    symptom : Symptom or None
        None for a reading, and for what nobody can get at.
    is_back : bool
        Whether it was taken back. [yes/no]
    """

    words: str
    symptom: Symptom | None
    is_back: bool = False


class FindDesk(Desk):
    """A desk with a case on it.

    Parameters
    ----------
    case : Case
    path : str or Path, optional
        The file that the case is kept in. [text]
    options : dict
        As for a :class:`~circuitlab.benches.board.desk.Desk`.

    Attributes
    ----------
    said : tuple of Said
        In the order in which they were told.
    file : str
        Where the case is kept; empty for nowhere. [text]
    version : int
        Counts what changes the finding. [1]
    going : callable ``(done, total)`` or None
        Called while candidates are solved. [1]
    """

    def __init__(self, case, path=None, **options):
        self.said, self.version, self.going, self._found = (), 0, None, None
        self._keep_in(path, is_read=True)
        self._take_in(case)
        super().__init__(case.arrangement, **options)

    def still(self):
        """Return what stands still; such a board has no list and no changes, for the circuit is as it is meant to be."""
        whole = self._bare.arrangement
        seen = {part.name: list(states_seen(part)) for part in whole.parts if part.guards or isinstance(part, Lamp)}
        finds = {"looks": LOOKS, "besides": SAID_BESIDES, "brightness": BRIGHTNESS, "cautions": CAUTIONS, "seen": seen, "swings": [part.name for part in whole.parts if part.swings],
                 "forms": [*SYMPTOM_FORMS, *WHOLE_FORMS, *READING_FORMS], "file": self.file or f"{whole.name or 'my'}.case"}
        return super().still() | {"finds": finds, "lists": False, "file": "", "opens": "find"}

    @property
    def case(self):
        """All that is told and not taken back, with repair, retests, and who signed. [Case]"""
        kinds = {kind: tuple(each.words for each in self.said if (each.symptom is not None) == kind and not each.is_back) for kind in (True, False)}
        return replace(self._bare, symptoms=kinds[True], readings=kinds[False], back=tuple(each.words for each in self.said if each.is_back))

    def found(self):
        """Return the Finding of all that is told, worked out once; an error of it is raised each time."""
        if self._found is None or self._found[0] != self.version:
            version, found = self.version, None
            try:
                found = self.case.found(self.going)
            except CircuitLabError as error:
                found = error
            self._found = version, found
        if isinstance(self._found[1], CircuitLabError):
            raise self._found[1]
        return self._found[1]

    def lamp_place(self, message):
        """Return red and black lead and row of a test lamp that a message puts on the drawing, once something was found; else None. [text]"""
        if message["kind"] != "read" or message["instrument"] != "test lamp" or message["red"] == message["black"] or self._found is None:
            return None
        return message["red"], message["black"], tuple(self.live.positions.items())

    def foresee(self, red, black, row):
        """Solve every candidate with a test lamp on two terminals in a row, as telling what it does will need it. [text]"""
        everything = solved(self._bare.arrangement)
        everything.under_lamp(red, black, everything.row(dict(row)))

    def _read(self, message):
        """Say in few words what the sound circuit shows between the leads."""
        for answer in super()._read(message):
            value = answer["value"]
            yield answer | {"words": f"A sound circuit: {answer['words'] if value is None else say(value, UNITS[message['instrument']]) + '.'}"}

    # ------------------------------------------------------------- sentences

    def _draft(self, message):
        """Say as a sentence what was clicked and typed so far."""
        yield {"kind": "drafted", "words": self.sentence_of(message), "number": message.get("number", 0)}

    def sentence_of(self, message):
        """Return the sentence of a lamp's look, or of what was read or seen, in the row that the controls stand in. [text]

        Parameters
        ----------
        message : dict
            With ``lamp``, ``look`` and ``besides``; or with ``said`` and ``red``, ``black`` and ``instrument``, ``through`` or ``seen``.
        """
        circuit, positions = self._bare.arrangement, self.live.positions
        if "lamp" in message:
            tail = "".join(f", {words}" for words in message.get("besides", ()))
            return f"{place_of(circuit, message['lamp'])} {message['look']}{when_words(circuit, positions)}{tail}"
        said, unsure = message["said"].strip(), "" if message.get("sure", True) else ", not sure"
        if message.get("through"):
            unit = "" if said[-1:].isalpha() else " A"
            return f"{said}{unit} through {quoted(message['through'])}{when_words(circuit, positions)}{unsure}"
        phases = {name: phase for name, phase in message.get("phases", {}).items() if phase}
        instrument = message.get("instrument") if message.get("instrument") in ("ohms", "look") else "meter"
        offer = Offer(0.0, None, red=message.get("red", ""), black=message.get("black", ""), instrument=instrument, positions=positions, phases=phases,
                      lifted=tuple(self.apart.off), out=tuple(self.apart.out), look=message.get("seen", ""))
        return as_sentence(f"{said}{unsure}", offer, circuit)

    def _say(self, message):
        """Tell a sentence; where it cannot be read nothing changes, and it stays in its field."""
        words = " ".join(message["words"].split())
        if not words:
            raise ArrangementError("nothing is said yet. Choose what a lamp does, or put the leads on terminals and write what you read.")
        for record in read_told(words, self._bare.arrangement):
            whole = self._whole(words, record)
            rest = tuple(each for each in self.said if each.words != whole)
            self.said, self.version = (*rest, Said(whole, record if isinstance(record, Symptom) else None)), self.version + 1
        yield {**self._told_so_far(), "took": message["words"]}

    def _whole(self, words, record):
        """Return a sentence as the kit says it back, where that reads the same; else as it was told. [text]"""
        try:
            return str(record) if record and read_told(str(record), self._bare.arrangement) == (record,) else words
        except CircuitLabError:
            return words

    def _unsay(self, message):
        """Take a sentence back, or tell it again."""
        number = message["number"]
        if not isinstance(number, int) or not 0 <= number < len(self.said):
            raise ArrangementError(f"there is no sentence {number!r}. Choose one from 0 to {len(self.said) - 1}.", got=number)
        said = list(self.said)
        said[number] = replace(said[number], is_back=message["back"])
        self.said, self.version = tuple(said), self.version + 1
        yield self._told_so_far()

    def _case(self, message):
        yield self._told_so_far()

    def _told_so_far(self):
        """Say every sentence, those taken back as well, and of each symptom its lamp, look and row."""
        listed = []
        for each in self.said:
            symptom = each.symptom
            listed.append({"words": each.words, "back": each.is_back, "lamp": symptom.lamp if symptom else "", "look": symptom.look if symptom else "",
                           "positions": symptom.positions if symptom else {}})
        return {"kind": "case", "version": self.version, "said": listed, "took": "", "repair": self._bare.repair, "signed": self._bare.signed}

    # ------------------------------------------------------------- the finding

    def _seek(self, message):
        """Say what may be at fault, and then what to read next; nothing where more was told meanwhile."""
        version = message["version"]
        if version != self.version:
            return
        try:
            found = self.found()
            yield {"kind": "found", "version": version, **causes_of(found)}
            if version != self.version:         # more was told meanwhile: nobody waits for what comes next
                return
            yield {"kind": "further", "version": version, **step_of(found)}
        except CircuitLabError as error:
            yield {"kind": "found", "version": version, **no_causes(str(error))}
            yield {"kind": "further", "version": version, **NOTHING_NEXT}
        yield from self._kept()

    # ------------------------------------------------------------- the case

    def _keep_in(self, path, is_read=False):
        """Keep the case in a file from now on, or in none; ``is_read``: it was read from there."""
        self.file = f"{path or ''}"
        self.keeper = Keeper(self.folder / self.file if self.file else None, is_read)

    def _kept(self):
        """Keep the case in its file after every sentence, once it has one."""
        if self.file and self._written != self.case:
            yield from self._file_case({"file": self.file})

    def _file_case(self, message):
        """Write the case to its file, which ``find`` goes on with, here and as a command."""
        name = f"{message['file']}".strip()
        if not name:
            raise FileError("the file has no name. Write one, such as left-rear.case.")
        name = name if name.endswith(ENDING) else f"{name}{ENDING}"
        if name != self.file:
            self._keep_in(name)
        case = self.case
        saved = self.keeper(case, self._ruled_out())
        self._written = case
        yield {"kind": "filed", "words": f"The case is kept in '{name}'.{saved.before}"}

    def _ruled_out(self):
        try:
            return self.found().ruled_out
        except CircuitLabError:
            return ()

    def _resume(self, message):
        """Go on with a case from its file; what was told here before stays listed, taken back."""
        name = message["file"].strip()
        case = load_case(self.folder / name, self._bare.arrangement)
        before = tuple(replace(each, is_back=True) for each in self.said)
        self._keep_in(name, is_read=True)
        self._take_in(case)
        self.said = (*(each for each in before if each.words not in {own.words for own in self.said}), *self.said)
        self._written = self.case
        yield self._told_so_far()
        yield {"kind": "filed", "words": f"Gone on with '{name}': {len(case.symptoms)} symptoms, {len(case.readings)} readings."}

    def _take_in(self, case):
        """Have the sentences of a case as if they were told here."""
        self._bare, self.version, self._written = case, self.version + 1, None
        self.said = (*(Said(words, read_symptom(words, case.arrangement)) for words in dict.fromkeys(case.symptoms)),
                     *(Said(words, None) for words in dict.fromkeys(case.readings)), *(self._back(words) for words in case.back))

    def _back(self, words):
        """Return a sentence of a case that was taken back. [text]"""
        record = read_told(words, self._bare.arrangement)[0]
        return Said(words, record if isinstance(record, Symptom) else None, is_back=True)

    def _mend(self, message):
        """Note which vehicle it is, the repair, or who signs."""
        before = self._bare.failed
        if "repair" in message:
            self._bare = self._bare.with_repair(message["repair"])
        if "vehicle" in message:
            self._bare = replace(self._bare, vehicle=" ".join(message["vehicle"].split()))
        signed, refused = message.get("signed", ""), None
        try:
            self._bare = self._bare.with_signature(signed) if signed.strip() != self._bare.signed else self._bare
        except CircuitLabError as error:
            refused = error
        yield from self._after(before)
        yield from self._retests(message)
        if refused:         # the rest is noted
            raise refused

    def _retest(self, message):
        """Note how the row that the controls stand in was, worked again."""
        how = message["how"].strip()
        if not how:
            raise ArrangementError("nothing is said of this row. Press 'this row is good', or write what it shows.")
        before, self._bare = self._bare.failed, self._bare.with_retest(self._row, how)
        yield from self._after(before)
        yield from self._retests(message)

    def _after(self, before):
        """Say all anew where another repair is now known to have failed, for that changes the finding. [text]"""
        if self._bare.failed != before:
            self.version += 1
            yield self._told_so_far()

    @property
    def _row(self):
        return row_name(self._bare.arrangement, self.live.positions)

    def _retests(self, message):
        """Say of the row that the controls stand in what its lamps shall do and whether it was worked again, and which rows wait."""
        case = self._bare
        yield {"kind": "retests", "row": self._row, "expected": case.expected.get(self._row, ""), "how": dict(case.retests).get(self._row, ""),
               "waiting": list(case.waiting), "upcoming": case.upcoming, "rows": len(case.rows), "closed": case.is_closed, "repair": case.repair, "signed": case.signed, "vehicle": case.vehicle}

    def _report(self, message):
        """Write the case as one page to print."""
        name = message["file"].strip()
        path = self.folder / page_path(name if Path(name).suffix else f"{name or 'report'}.html", "report")
        saved = save(case_page(self.case, self.found(), self._ruled_out(), self.case.expected), path)
        yield {"kind": "filed", "words": f"The report is in {saved}.{saved.before}"}


def read_told(words, circuit):
    """Return the Symptoms, or the Taken, of a sentence, each in a tuple of records; of what nobody can get at None in one.

    Of a sentence that is neither the error is by how it begins and ends.
    """
    if read_out_of_reach(words, circuit):
        return (None,)
    wrong = []
    for read in (read_symptoms, lambda words, circuit: (read_taken(with_its_fuse(words, circuit), circuit),)):
        try:
            return read(words, circuit)
        except CircuitLabError as error:
            wrong.append(error)
    raise wrong[bool(READING.match(words))]

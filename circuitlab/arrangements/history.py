"""The changes made to an arrangement, kept as a named list: made, undone one by one by replay, saved, read again.

The file is plain text beside the arrangement's own: what was changed in the
first line, then one sentence a line. A change of several steps has its name
on a line that ends with a colon, and its steps below it, set in.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import sha256

from ..ground.arguments import ARRANGEMENT, must_be
from ..ground.errors import ArrangementError, CircuitLabError, FileError, shown
from ..ground.files import ENDS, in_file, named, read, whole
from ..ground.limits import MOST_FILE, wrong_with_text
from ..ground.saving import save
from ..ground.showing import Showing
from ..parts.making import Maker
from .changes import changed
from .library import arrangement as opened
from .plan import Plan
from .record import Arrangement
from .sentences import off_a_line, on_a_line
from .text import write_text
from .typed_changes import read_change

HEADING, END = "changes to ", ENDS["a list of changes"]
_MADE_TO = "made to the one with the sum "     # written by the kit; a list by hand goes without
MOST_LETTERS = 200      # of an arrangement's name; with its ending it stays below what a disk takes
_NAMES = f"without a folder, in at most {MOST_LETTERS} letters, none of them / \\ or :"


@dataclass(frozen=True)
class NamedChange:
    """One entry of the list: what it is called and the steps it takes.

    Attributes
    ----------
    name : str
        In words; the sentence itself where it is one step. [text]
    steps : tuple of change
    """

    name: str
    steps: tuple

    def __post_init__(self):
        if not isinstance(self.steps, (list, tuple)) or not all(hasattr(step, "apply") for step in self.steps):
            raise ArrangementError(f"the steps of a change must be a list of changes, got {shown(self.steps)}.")
        object.__setattr__(self, "steps", tuple(self.steps))
        if not self.steps:
            raise ArrangementError("no change is given. Give one, such as 'swap K1:87 and K1:87a'.")
        wrong = wrong_with_text(self.name, MOST_FILE, empty=True)
        name = "" if wrong else _as_read(self.name)
        wrong = wrong or name and wrong_with_text(name, MOST_FILE, empty=True)      # without the colons at its end
        if wrong:
            raise ArrangementError(f"a change cannot be called {shown(self.name)}: its name {wrong}.")
        said = "; ".join(self.sentences)
        object.__setattr__(self, "name", said if name in ("", _as_read(said)) else name)

    @property
    def sentences(self):
        """What each step says of itself. [text]"""
        return tuple(str(step) for step in self.steps)


def _as_read(name):
    """Return a name as it is read back from its line, which ends in a colon."""
    return " ".join(name.split()).rstrip(": ")


@dataclass(frozen=True, repr=False)
class Changes(Showing, metaclass=Maker):
    """An arrangement and the changes made to it, oldest first.

    Parameters
    ----------
    before : Arrangement
        As it was; it is never touched.
    entries : tuple of NamedChange

    Examples
    --------
    >>> import circuitlab as cl
    >>> made = Changes(cl.arrangement("one-fused-lamp")).make("set F1 rating 3").make("lose W2 at S1:1")
    >>> made.sentences
    ('set F1 rating 3 A', 'lose W2 at S1:1')
    >>> made.undo().after.part("F1").rating, made.undo(0).after.part("F1").rating
    (3.0, 5.0)
    """

    before: Arrangement
    entries: tuple = ()

    def __post_init__(self):
        must_be(self.before, ARRANGEMENT, "before", "Changes")
        if not isinstance(self.entries, tuple) or not all(isinstance(entry, NamedChange) for entry in self.entries):
            raise ArrangementError(f"Changes takes an arrangement alone, got {shown(self.entries)} besides. Make changes with "
                                   'cl.Changes(arrangement).make("lift F1:2").')

    @property
    def brief(self):
        """In one sentence. [text]"""
        made = "; ".join(entry.name for entry in self.entries)
        return f"Changes to '{self.before.title}': {made or 'none made'}."

    @cached_property
    def after(self):
        """The arrangement with every change made in turn."""
        return changed(self.before, *(step for entry in self.entries for step in entry.steps))

    @property
    def sentences(self):
        """Every step of every change as a sentence. [text]"""
        return tuple(sentence for entry in self.entries for sentence in entry.sentences)

    def make(self, *wanted, name=""):
        """Return the list with one more entry.

        Parameters
        ----------
        wanted : change or str
            One or more steps, as records or as typed sentences.
        name : str
            What to call it; the sentences themselves unless given. [text]

        Raises
        ------
        CircuitLabError
            When a step cannot be read or made; nothing is changed then.
        """
        present, steps = self.after, []
        for step in wanted:
            if not hasattr(step, "apply"):
                step = read_change(step, present)
            present = step.apply(present)
            steps.append(step)
        entry = NamedChange(name, tuple(steps))
        made = Changes(self.before, (*self.entries, entry))
        made.__dict__["after"] = present
        return made

    def undo(self, place=-1):
        """Return the list without one entry, the last unless its place is given, the others made again in turn. [1]

        Raises
        ------
        ArrangementError
            When there is no such entry, or a later one needs it.
        """
        if type(place) is not int:
            raise ArrangementError(f"undo takes the place of a change, 0 for the first and -1 for the last, not {shown(place)}.")
        if not -len(self.entries) <= place < len(self.entries):
            raise ArrangementError("there is no change to undo." if not self.entries else
                                   f"there is no change number {place + 1}; there are {len(self.entries)}.")
        place %= len(self.entries)
        left = Changes(self.before, self.entries[:place] + self.entries[place + 1:])
        try:
            left.after
        except CircuitLabError as error:
            raise ArrangementError(f"'{self.entries[place].name}' cannot be undone alone, a later change needs it: "
                                   f"{str(error).partition('. It has')[0].removesuffix('.')}. Undo the later one first."
                                   ) from None
        return left

    def __str__(self):
        lines = [HEADING + on_a_line(self.before.name or self.before.title)]
        for entry in self.entries:
            if entry.name == "; ".join(entry.sentences) and len(entry.steps) == 1:
                lines.append(entry.name)
            else:
                lines += [f"{on_a_line(entry.name)}:", *(f"  {sentence}" for sentence in entry.sentences)]
        return "\n".join([*lines, END]) + "\n"


def save_changes(changes, path):
    """Write a list of changes to a text file beside the arrangement's own; a list that stood there is kept.

    Returns
    -------
    Saved
        The path; in a notebook it says what was kept, such as ``cart.before-1.changes``.

    Raises
    ------
    FileError
        When the arrangement has no name to find it again by or another is found by it, something else stands there, or
        the file cannot be written.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     save_changes(Changes(opened("one-fused-lamp")).make("lift F1:2"), f"{folder}/cart.changes").name
    'cart.changes'
    """
    path = named(path)
    if not changes.before.name:
        raise FileError(
            f"'{changes.before.title}' has no name to find it again by. Save the arrangement first, open it from "
            "its file, then make the changes.",
            file=path.name,
        )
    if not _is_name(changes.before.name):
        raise FileError(f"a list of changes cannot name an arrangement '{changes.before.name[:60]}'. Save the arrangement under "
                        f"another name: {_NAMES}. Then open it and make the changes.", file=path.name)
    if path.name:       # a folder alone is refused by saving
        _check_found(changes.before, path)
    text = str(changes).removesuffix(f"{END}\n")
    return save(f"{text}{_MADE_TO}{fingerprint(changes.before)}\n{END}\n", path)


def _check_found(before, path):
    """Raise unless a list of changes at a path would find the very arrangement that was changed."""
    try:
        found = opened(_beside(path, before.name))
    except CircuitLabError:
        found = None
    if found != before:
        where = "is not found" if found is None else "that is found there is another than the one that was changed"
        raise FileError(f"the list would lose something: the arrangement '{before.name}' {where}. Save the one that was changed "
                        f"beside the list under a name of its own, such as cl.save(arrangement, 'mine.toml'), open it from there "
                        "and make the changes to it.", file=path.name)


def fingerprint(arrangement):
    """Return what tells an arrangement from every other: the beginning of its text's SHA-256. [text]"""
    return sha256(write_text(replace(arrangement, plan=Plan())).encode("utf-8", "replace")).hexdigest()[:8]


def _check_sum(path, lines, found):
    """Raise when a list says that it was made to another arrangement than the one that is found by its name now."""
    told = next((line for line in lines if line.startswith(_MADE_TO)), "")
    if told and told.removeprefix(_MADE_TO).strip() != fingerprint(found):
        raise FileError(f"'{path.name}' was made to another '{found.name}' than the one that is found now: that has changed since, "
                        "perhaps by these very changes. Saving kept the one from before beside it, as "
                        f"'{found.name}.before-1.toml': give it its name back. To make the changes to the one that is found now, "
                        f"take the line '{told.strip()}' out of the list.", file=path.name)


def load_changes(path):
    """Return the list of changes in a file; its arrangement lies beside it as ``NAME.toml``, or is one of the kit's.

    Raises
    ------
    FileError
        When there is no such file, it does not begin or end as one, its arrangement lies elsewhere, or is another than the
        one the list was made to.
    CircuitLabError
        When a change does not fit the arrangement; the line is named.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     saved = save_changes(Changes(opened("one-fused-lamp")).make("lift F1:2"), f"{folder}/cart.changes")
    ...     load_changes(saved).sentences
    ('lift F1:2',)
    """
    path = named(path)
    text = read(path, kind="a list of changes")
    first, *lines = text.split("\n")
    if not first.startswith(HEADING):
        raise FileError(f"'{path.name}' is no list of changes. Its first line must be '{HEADING}' and the name of an "
                        "arrangement.", file=path.name)
    with in_file(path):
        made = Changes(opened(_beside(path, off_a_line(first.removeprefix(HEADING)).removesuffix(".toml"))))
    _check_sum(path, lines, made.before)
    for number, title, sentences in _entries(lines):
        try:
            made = made.make(*sentences, name=off_a_line(title) if title else "")
        except CircuitLabError as error:
            raise FileError(f"'{path.name}', line {number}: {error}", file=path.name, line=number) from None
    whole(text, f"'{path.name}'")
    return made


def _is_name(name):
    """Whether a list of changes can name an arrangement so, on any system: a folder or a drive is no part of it."""
    return (0 < len(name) <= MOST_LETTERS and name.isprintable() and not set(name) & set("/\\:") and name.strip(".") != ""
            and name == name.strip().removesuffix(".toml"))


def _beside(path, name):
    """Return the file of an arrangement in the folder of a list of changes, or its name where there is none."""
    if not _is_name(name):
        raise FileError(f"'{path.name}', line 1: '{name[:60]}' is not the name of an arrangement. Write the name of one of "
                        f"the kit, or of a .toml file in the same folder: {_NAMES}.", file=path.name, line=1)
    beside = path.with_name(f"{name}.toml")
    if beside.is_symlink() and beside.resolve().parent != path.parent.resolve():
        raise FileError(f"'{path.name}', line 1: '{beside.name}' is a link to another folder. Copy the arrangement itself "
                        "beside the list.", file=path.name, line=1)
    return beside if beside.exists() else name


def _entries(lines):
    """Yield (line number, name or nothing, sentences) of every entry of a file."""
    entry = None
    for number, line in enumerate(lines, start=2):
        if not line.strip() or line.strip() == END or line.startswith(_MADE_TO):
            continue
        if line.startswith(" ") and entry and entry[1]:
            entry[2].append(line.strip())
            continue
        if entry:
            yield entry
        entry = (number, line.strip()[:-1], []) if line.rstrip().endswith(":") else (number, "", [line.strip()])
    if entry:
        yield entry

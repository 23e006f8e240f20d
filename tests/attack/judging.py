"""What every attack demands: no error but the kit's own, a sound sentence, no NaN, and an end in good time."""

import re
import signal
import unicodedata
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from xml.etree import ElementTree

from circuitlab.ground.errors import MOST_SAID, CircuitLabError
from circuitlab.reasoning import count_rows, lamp_table

BOUND = 30.0        # s of processor time for one try, some hundred times what it takes; a runaway ends there
MOST_ROWS = 64      # of a lamp table that is worked out
_ALLOWED = {"\N{ZERO WIDTH JOINER}"}


class TooLong(BaseException):
    """A try used up its processor time; no ``except Exception`` keeps it."""


@contextmanager
def bounded():
    """End whatever runs inside after BOUND of processor time, where the system can."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def end(*_):
        raise TooLong(f"more than {BOUND:g} s of processor time")
    before = signal.signal(signal.SIGVTALRM, end)
    signal.setitimer(signal.ITIMER_VIRTUAL, BOUND)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)


def faults_of(sentence, *named):
    """Return what is wrong with an error's sentence: too long, not one line, letters nobody can see, a name missing."""
    faults = []
    if not sentence.strip():
        faults.append("says nothing")
    if len(sentence) > MOST_SAID:
        faults.append(f"has {len(sentence):,} letters")
    if len(sentence.splitlines()) > 1:
        faults.append("is more than one line")
    odd = sorted({f"U+{ord(letter):04X}" for letter in sentence if hides(letter)} - {"U+000A"})
    if odd:
        faults.append(f"holds {', '.join(odd)}")
    faults += [f"does not name {name}" for name in named if name not in sentence]
    return faults


def hides(letter):
    """Tell whether a letter steers a screen instead of being seen: control, direction, lone half, no letter at all."""
    return unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Cn", "Zl", "Zp") and letter not in _ALLOWED


class Tries:
    """Goes through many tries, counts them, and keeps what broke a promise."""

    def __init__(self, counts):
        self.counts, self.broken = counts, {}

    def make(self, what, read, use=None, *named):
        """Make one try: ``read``, or be refused with every name in the sentence; then ``use`` tells what is broken."""
        self.counts.tried += 1
        try:
            with bounded():
                taken = read()
                named = ()
                broken = use(taken) if use else ()
            self.counts.held += 1
        except CircuitLabError as error:
            self.counts.refused += 1
            broken = [f"{type(error).__name__} {fault}: {str(error)[:300]!r}"
                      for fault in faults_of(str(error), *named)]
        except (Exception, TooLong) as error:
            self.counts.held += 1
            broken = [f"{_place(error)} {type(error).__name__}: {str(error)[:300]!r}"]
        for each in broken or ():
            sort = re.sub(r"\d+|U\+\w+", "0", each.partition(": ")[0])[:60]
            self.broken.setdefault(sort, []).append(f"{what}: {each}")

    def check(self):
        """Fail with one example of every sort of breach."""
        said = "\n".join(f"{len(found)} times, such as {found[0]}" for found in self.broken.values())
        assert not self.broken, f"{sum(map(len, self.broken.values()))} breaches in {self.counts.tried} tries:\n{said}"


def _place(error):
    """Return the file and line in the kit where a foreign error came from."""
    place, trace = "", error.__traceback__
    while trace:
        file = trace.tb_frame.f_code.co_filename
        if "circuitlab" in file:
            place = f"{file.rpartition('circuitlab')[2]}:{trace.tb_lineno}"
        trace = trace.tb_next
    return place


def table_of(arrangement):
    """Return the lamp table of an arrangement with few enough rows, else None."""
    return lamp_table(arrangement) if count_rows(arrangement) <= MOST_ROWS else None


def nans_in(value, where="", seen=()):
    """Yield where in a result a NaN stands, looking into records, tables and lists."""
    if isinstance(value, float):
        if value != value:
            yield where
    elif isinstance(value, dict):
        for key, each in value.items():
            yield from nans_in(each, f"{where}[{key!r}]", seen)
    elif isinstance(value, (list, tuple, set, frozenset)):
        for number, each in enumerate(value):
            yield from nans_in(each, f"{where}[{number}]", seen)
    elif is_dataclass(value) and id(value) not in seen:
        for field in fields(value):
            yield from nans_in(getattr(value, field.name), f"{where}.{field.name}", (*seen, id(value)))


def picture_faults(svg):
    """Return what is wrong with a picture: no XML, or a number in it that is none."""
    try:
        root = ElementTree.fromstring(svg)
    except ElementTree.ParseError as error:
        return [f"picture is no XML: {error}"]
    numbers = [f"{name}={value}" for each in root.iter() for name, value in each.attrib.items()
               if name in ("x", "y", "d", "x1", "y1", "x2", "y2", "width", "height", "viewBox", "points", "transform")
               and ("nan" in value.lower() or "inf" in value.lower())]
    scripts = [each.tag for each in root.iter()
               if each.tag.rpartition("}")[2] in ("script", "foreignObject", "a", "image")]
    return [f"picture holds {each}" for each in numbers + scripts]

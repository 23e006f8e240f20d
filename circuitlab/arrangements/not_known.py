"""Not known: a wire or a part nobody has looked at yet, as a repairer has who knows half the diagram.

It may be as described, or let nothing through. What comes out alike either way
is known all the same; whatever differs hangs on it, and is told as not known.
"""

from dataclasses import dataclass, replace
from itertools import combinations
from math import inf

from ..ground.errors import ArrangementError, listed, shown
from ..parts import Battery, Wire
from ..parts.making import Maker
from .checks import must_be_listed
from .sentences import quoted

NOT_KNOWN = "not known"     # what a look is called that hangs on what is not known
MOST = 6                    # things not known, of which every combination is looked at: 64


def not_known_names(given):
    """Return the names of what is not known as a tuple, each once, or raise with how to write them."""
    if isinstance(given, str) or not isinstance(given, (list, tuple)) or not all(isinstance(name, str) for name in given):
        raise ArrangementError(f"'not_known' must be a list of names of wires and parts, such as ['W3'], got {shown(given)}.")
    return tuple(dict.fromkeys(given))


def check_not_known(arrangement):
    """Raise for what is not there, a battery, or more than can be looked at."""
    for name in arrangement.not_known:
        must_be_listed(arrangement.part(name))
        if isinstance(arrangement.part(name), Battery):
            raise ArrangementError(f"battery '{name}' cannot be not known: every volt is counted from it. Look at it first.", part=name)
    if len(arrangement.not_known) > MOST:
        raise ArrangementError(f"{len(arrangement.not_known)} things are not known ({listed(arrangement.not_known)}), and {MOST} are the "
                               "most that can be reasoned about. Find out about one of them first.")


@dataclass(frozen=True)
class MarkNotKnown(metaclass=Maker):
    """Say of a wire or part that nobody has looked at it: it may be as described, or let nothing through.

    >>> print(MarkNotKnown("W1"))
    mark W1 not known
    """

    name: str

    def __str__(self):
        return f"mark {quoted(self.name)} not known"

    def apply(self, arrangement):
        arrangement.part(self.name)
        return replace(arrangement, not_known=(*arrangement.not_known, self.name))


@dataclass(frozen=True)
class MarkKnown(metaclass=Maker):
    """Say of a wire or part that it was looked at, and is as described.

    >>> print(MarkKnown("W1"))
    mark W1 known
    """

    name: str

    def __str__(self):
        return f"mark {quoted(self.name)} known"

    def apply(self, arrangement):
        arrangement.part(self.name)
        if self.name not in arrangement.not_known:
            raise ArrangementError(f"'{self.name}' is known already. Not known: {listed(arrangement.not_known) or 'nothing'}.", part=self.name)
        return replace(arrangement, not_known=tuple(name for name in arrangement.not_known if name != self.name))


def read_mark(name, known):
    """Return the change that a sentence asks for: a name, and ``known`` or ``not known``."""
    return (MarkKnown if known.lower() == "known" else MarkNotKnown)(name)


def possibilities(arrangement):
    """Return ``{names of what lets nothing through: arrangement}`` for every way things may be, as described first.

    None of them has anything that is not known. A part that lets nothing
    through has lost the joints of all its wires, so all share their points.

    >>> import circuitlab as cl
    >>> one = MarkNotKnown("W1").apply(cl.arrangement("one-fused-lamp"))
    >>> list(possibilities(one)), cl.operating_point(possibilities(one)["W1",], {"lamp switch": "on"}).light("E1")
    ([(), ('W1',)], 0.0)
    """
    known = replace(arrangement, not_known=())
    names = arrangement.not_known
    return {gone: known.with_parts(*_parted(known, gone)) for count in range(len(names) + 1) for gone in combinations(names, count)}


def _parted(arrangement, gone):
    """Return the wires that lose a joint where these things let nothing through."""
    for wire in arrangement.wires:
        lost = {f"{end}_joint": inf for end in ("start", "end")
                if wire.name in gone or getattr(wire, end).partition(":")[0] in gone}
        if lost:
            yield replace(wire, **lost)


def not_known_words(arrangement):
    """Say what is not known and what that means, or nothing. [text]"""
    names = arrangement.not_known
    if not names:
        return ""
    each = [f"{name} ({'wire' if isinstance(arrangement.part(name), Wire) else arrangement.part(name).kind})" for name in names]
    it, is_, hangs = ("it", "is", "hangs on it") if len(names) == 1 else ("each", "are", "hangs on them")
    return (f"{listed(each)} {is_} not known: {it} may be as described or let nothing through. What {hangs} is told as not known in "
            f"rows, proofs and readings; faults, sizes, formulas and time courses take {it} as described. Once looked at, type 'mark {quoted(names[0])} known'.")

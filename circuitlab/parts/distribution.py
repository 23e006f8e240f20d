"""The distribution block: studs on a common bar in a housing, or on two bars that lie apart in one.

Unlike a splice it has a bar that is sold by its amps, which everything on it goes through together, more than one bar where
it is split, and a cover, without which its studs are bare and live.
"""

import re
from dataclasses import dataclass
from typing import ClassVar

from ..ground.errors import shown, unknown_name
from .branch import JOINT, Branch, Role
from .fuse_block import RAILS
from .law import Part
from .overheating import bar_words
from .values import number

BARS = RAILS | {"31": "ground"}     # Source: DIN 72552
MOST_STUDS = 24
_FORM = '"30: 6", or with two bars "30: 4, 31: 6"'


@dataclass(frozen=True)
class DistributionBlock(Part):
    """A distribution block (device letter X): one bar or several, each with numbered studs.

    Parameters
    ----------
    bars : str
        Each bar with the number of its studs, such as ``"30: 6"`` or, split, ``"30: 4, 31: 6"``; studs are numbered on from
        one bar to the next. [text]
    rated_amps : float
        What all that flows over one bar may come to for long, as printed on it. [A]
    cover : bool
        Whether its cover is on. [yes/no]

    Terminals
    ---------
    1, 2, 3 and so on : the studs, those of one bar all joined to each other

    >>> block = DistributionBlock("X4", "30: 2, 31: 3")
    >>> block.terminals, block.studs
    (('1', '2', '3', '4', '5'), {'30': ('1', '2'), '31': ('3', '4', '5')})
    """

    bars: str = "30: 6"
    rated_amps: float = number(100.0, 1, 1000, "A")
    cover: bool = True
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "distribution block"
    letter: ClassVar[str] = "X"
    reach: ClassVar[float] = 0.7

    def __post_init__(self):
        super().__post_init__()
        self.must(isinstance(self.cover, bool), f"cover must be yes or no, got {shown(self.cover)}.")
        object.__setattr__(self, "_count", self._read())
        object.__setattr__(self, "bars", ", ".join(f"{bar}: {count}" for bar, count in self._count.items()))

    def _read(self):
        self.must(isinstance(self.bars, str), f"bars must be text such as {_FORM}, got {shown(self.bars)}.")
        found = {}
        for piece in self.bars.split(","):
            match = re.fullmatch(r"(?:([^\s:]+) *:)? *(\d{1,4})", piece.strip())
            self.must(match, f"bars has {shown(piece.strip())}. Write each bar with the number of its studs, such as {_FORM}.")
            bar, count = match[1] or "30", int(match[2])
            if bar not in BARS:
                raise unknown_name(f"distribution block '{self.name}'", "bar", bar, BARS)
            self.must(bar not in found, f"bar {bar} is given twice. Give it once, with all its studs.")
            self.must(count >= 2, f"bar {bar} needs at least 2 studs, got {count}.")
            found[bar] = count
        self.must(sum(found.values()) <= MOST_STUDS, f"a distribution block has at most {MOST_STUDS} studs, got {sum(found.values())}. Take a second block.")
        return found

    @property
    def studs(self):
        """For each bar the numbers of its studs. [text]"""
        found, last = {}, 0
        for bar, count in self._count.items():
            found[bar] = tuple(str(stud) for stud in range(last + 1, last + count + 1))
            last += count
        return found

    @property
    def terminals(self):
        return tuple(stud for there in self.studs.values() for stud in there)

    @property
    def inner(self):
        return tuple(f"bar {bar}" for bar in self.studs)

    @property
    def metals(self):
        return self.studs if len(self.studs) > 1 else {"": self.terminals}

    @property
    def misfits(self):
        return () if self.cover else (
            f"distribution block '{self.name}' has no cover: a spanner that meets a stud and the frame welds itself on. "
            f"Supply off before anyone works there, and put the cover on: set {self.name} cover yes.",)

    def branches(self):
        return tuple(Branch(stud, f"bar {bar}", Role.WAY, JOINT) for bar, there in self.studs.items() for stud in there)

    def over_bar(self, stud, currents):
        """Return the bar that a branch is on and what flows over it, from the currents of all: what comes in there, or goes out. [text], [A]"""
        branches = self.branches()
        amps = [amps for branch, amps in zip(branches, currents) if branch.end == branches[stud].end]
        return branches[stud].end, max(sum(each for each in amps if each > 0), -sum(each for each in amps if each < 0))

    def overheated(self, currents):
        """Return a sentence about every bar that carries more than it is sold for."""
        over = dict(self.over_bar(stud, currents) for stud in range(len(self.terminals)))
        return tuple(filter(None, (bar_words(self.name, bar, amps, self.rated_amps) for bar, amps in over.items())))

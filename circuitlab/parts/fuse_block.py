"""The fuse block: numbered ways behind one feed or several, in each a fuse that sits there, or nothing.

Each fuse is a fuse of its own, with its rating, its family and its clips: it comes out, blows, is sized and is replaced
alone. It is no part that anybody lists or wires by itself: it *sits* in the block, from the rail that feeds its way to the
way's own terminal, and has a name by its way, ``F5.1``. A way without one is *spare*.

What hangs on one feed is a rail; its terminal has the number that DIN 72552 gives such a wire. Nothing is lost in a rail:
the metal of one is far thicker than its feed (common practice).
"""

import re
from dataclasses import dataclass, replace
from math import inf
from typing import ClassVar

from ..ground.errors import shown, unknown_name
from ..ground.limits import MOST_LINE
from ..ground.quantities import number_between
from .fuse import STORES, Fuse
from .law import Part
from .overheating import BAD_JOINT, touch_words
from .values import number

RAILS = {"30": "battery", "15": "ignition", "58": "lighting", "75": "accessories"}      # Source: DIN 72552
MOST_WAYS = 12          # so that no way has the number of a rail
SPARE = "spare"
TO_CHOOSE = "<amps>"    # where whoever types a sentence is to write a rating
SPREAD = 5.0            # ohm, of clips that have spread or corroded: as a badly corroded joint
_RAIL = re.compile(r"\s*(?:([^\s:,;]+)\s*:)?(.*)", re.DOTALL)
_APART = re.compile(r",(?=\s|$)")     # between one way and the next; a decimal comma is none
_WAY = re.compile(r"([-+\d.,]+ *A?)\b *(.*?) *(?:\bclips (.+))?")
_FORM = '"10 A, 15 A, spare", or with two feeds "30: 10 A, spare; 15: 7.5 A"'


@dataclass(frozen=True)
class WayFuse(Fuse):
    """The fuse of one way of a block.

    Parameters
    ----------
    clips : float
        What the clips that hold it have besides its strip; ``inf`` where they do not touch it. [ohm]
    seat, way, rail : str
        The block it sits in, the way there, and the rail that feeds it. [text]
    """

    clips: float = number(0.0, 0, inf, "ohm")
    seat: str = ""
    way: str = "1"
    rail: str = "30"

    terminals: ClassVar[tuple] = ()
    states: ClassVar[tuple] = ("whole", "missing", "blown")
    parted: ClassVar[str] = "missing"
    alone: ClassVar[bool] = True
    own: ClassVar[tuple] = ("rating", "family", "clips")

    @property
    def sitting(self):
        return (f"is the fuse in way {self.way} of {self.seat}. Its {', '.join(self.own[:-1])} and {self.own[-1]} are set by its own name, and taken out it is so: hold {self.name} missing; for a way "
                f"without a fuse write all ways anew: set {self.seat} ways \"10 A, {SPARE}\"")

    @property
    def mishaps(self):
        return () if self.clips else (("clips spread", f"clips of {self.name} spread or corroded, {SPREAD:g} ohm", "clips", SPREAD),)

    def at(self, terminal):
        return f"{self.seat}:{ {'1': self.rail, '2': self.way}.get(terminal, terminal)}"

    def branches(self):
        (strip,) = super().branches()
        return (replace(strip, resistance=strip.resistance + self.clips),)

    def overheated(self, currents):
        """Return a sentence about clips that may set fire."""
        watts = currents[0]**2 * self.clips if BAD_JOINT <= self.clips < inf else 0.0
        return tuple(filter(None, [touch_words(f"the holder of {self.name}", "there", watts)]))


@dataclass(frozen=True)
class FuseBlock(Part):
    """A fuse block (device letter F): one part for several fuses, each in a way of its own.

    Parameters
    ----------
    ways : str
        What sits in each way, in the order of their numbers: the amps of a fuse, its family where that is not blade, or
        ``spare``. Where more than one feed comes in, each begins with its rail and a colon, and the next follows behind a
        semicolon: ``"30: 10 A, spare; 15: 7.5 A"``. Clips that are not sound stand behind a fuse: ``"10 A clips 5 ohm"``. [text]

    Terminals
    ---------
    30, 15, 58, 75 : the rails that it has, each fed by one wire; a block with one feed has 30 unless it says another
    1, 2, 3 and so on : the ways, where what each fuse guards is wired

    >>> block = FuseBlock("F5", "30: 10 A, spare; 15: 7.5 A")
    >>> block.terminals, [(fuse.name, fuse.ends) for fuse in block.seats]
    (('30', '15', '1', '2', '3'), [('F5.1', ('F5:30', 'F5:1')), ('F5.3', ('F5:15', 'F5:3'))])
    """

    ways: str = ""
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "fuse block"
    letter: ClassVar[str] = "F"
    reach: ClassVar[float] = 1.0

    def __post_init__(self):
        super().__post_init__()
        object.__setattr__(self, "_held", self._read())
        object.__setattr__(self, "ways", "; ".join(
            f"{f'{rail}: ' if self._named else ''}{', '.join(map(_written, there))}" for rail, there in self._held))

    def _read(self):
        """Return for each rail its ways, each with its fuse or None."""
        self.must(isinstance(self.ways, str), f"ways must be text such as {_FORM}, got {shown(self.ways)}.")
        self.must(self.ways.strip(), f"what sits in its ways is not said, and nobody should guess a rating. Write ways {_FORM}.")
        self.must(len(self.ways) <= MOST_LINE, f"ways has {len(self.ways)} letters, {MOST_LINE} are allowed.")
        found, count = [], 0
        for piece in self.ways.split(";"):
            rail, said = _RAIL.fullmatch(piece).groups()
            rail = rail or ("30" if ";" not in self.ways else "")
            self.must(rail, f"which rail {shown(piece.strip())} hangs on is not said. Write each feed with its rail, such as {_FORM}.")
            if rail not in RAILS:
                raise unknown_name(f"fuse block '{self.name}'", "rail", rail, RAILS)
            self.must(rail not in dict(found), f"rail {rail} is given twice. Put all its ways behind one {rail}.")
            there = _APART.split(said)
            found.append((rail, tuple(self._fuse(words.strip(), str(count + number), rail) for number, words in enumerate(there, 1))))
            count += len(there)
        self.must(count <= MOST_WAYS, f"a fuse block has at most {MOST_WAYS} ways, got {count}. Take a second block.")
        self.must(any(any(there) for _, there in found), f"every way is spare. Give at least one a fuse, such as ways {_FORM}.")
        return tuple(found)

    def _fuse(self, words, way, rail):
        if words.lower() == SPARE:
            return None
        match = _WAY.fullmatch(words)
        self.must(match, f"way {way} says {shown(words)}, which gives no rating, and nobody should guess one. Write its amps, such as 10 A, or {SPARE}: {_FORM}.")
        rating, family, clips = match.groups()
        rating, wrong = number_between(rating, f"rating of way {way}", 0.1, 500, "A")
        self.must(not wrong, wrong)
        family = family or "blade"
        if family not in STORES:
            raise unknown_name(f"way {way} of fuse block '{self.name}'", "family", family, STORES)
        ohms, wrong = number_between(inf if clips in ("inf", "open") else clips or 0.0, f"clips of way {way}", 0, inf, "ohm")
        self.must(not wrong, wrong)
        return WayFuse(f"{self.name}.{way}", rating=float(rating), place=self.place, family=family, clips=float(ohms), seat=self.name, way=way, rail=rail)

    @property
    def _named(self):
        return [rail for rail, _ in self._held] != ["30"]

    @property
    def rails(self):
        """For each rail the numbers of its ways. [text]"""
        numbers, found = iter(self.numbers), {}
        for rail, there in self._held:
            found[rail] = tuple(next(numbers) for _ in there)
        return found

    @property
    def numbers(self):
        """The numbers of all its ways. [text]"""
        return tuple(str(number) for number in range(1, sum(len(there) for _, there in self._held) + 1))

    @property
    def spares(self):
        """The numbers of the ways without a fuse. [text]"""
        taken = {fuse.way for fuse in self.seats}
        return tuple(number for number in self.numbers if number not in taken)

    @property
    def terminals(self):
        return (*self.rails, *self.numbers)

    @property
    def needs(self):
        return tuple(rail for rail, there in self._held if any(there))

    @property
    def neighbours(self):
        beside = tuple((rail, way) for rail, there in self.rails.items() for way in there if way not in self.spares)
        return (*beside, *zip(self.numbers, self.numbers[1:]))

    @property
    def seats(self):
        """Its fuses, way by way."""
        return tuple(fuse for _, there in self._held for fuse in there if fuse)

    def with_seat(self, part):
        """Return the block with another fuse in the way of one of its own, which has the same name."""
        old = next(fuse for fuse in self.seats if fuse.name == part.name)
        self.must(isinstance(part, Fuse), f"into way {old.way} goes a fuse, got a {part.kind}. Put a fuse in, such as: set {old.name} rating 10 A.")
        own = {field: getattr(part, field) for field in old.own if hasattr(part, field)}
        self.must(not isinstance(part, WayFuse) or replace(old, **own) == part,
                  f"of {old.name} only {', '.join(old.own[:-1])} and {old.own[-1]} are its own. All else is told of {self.name}.")
        again = {fuse.name: fuse for fuse in self.seats} | {old.name: replace(old, **own)}
        return replace(self, ways=self._with({fuse.way: _written(fuse) for fuse in again.values()}))

    def filled(self, way):
        """Return what ``ways`` is with a fuse in a spare one, whose amps are left to be chosen: nobody should guess them. [text]"""
        said = self._with({fuse.way: _written(fuse) for fuse in self.seats} | {way: f"{TO_CHOOSE} A"})
        return said if self._named else said.removeprefix("30: ")

    def _with(self, said):
        return "; ".join(f"{rail}: {', '.join(said.get(way, SPARE) for way in there)}" for rail, there in self.rails.items())


def _written(fuse):
    """Return what a way says of its fuse, of none that it is spare. [text]"""
    if not fuse:
        return SPARE
    family = "" if fuse.family == "blade" else f" {fuse.family}"
    clips = f" clips {fuse.clips:.10g}{' ohm' if fuse.clips < inf else ''}" if fuse.clips else ""
    return f"{fuse.rating:.10g} A{family}{clips}"

"""The reel: all that a board without a kit behind it shows, drawn beforehand as plain data. The page plays it back."""

import re
from itertools import combinations

from ...arrangements.apart import Apart
from ...parts import Wire
from ...reasoning import lamp_table
from ...reasoning.settled_course import WARM
from ...reasoning.throws import UNFINISHED, Throws
from ...reasoning.why import why
from ...views.board import picture_of, piece_of
from ...views.board.pieces import moments_of
from ...views.board.words import came_of, told_of
from .desk import TICK, Desk


TURNS = 3           # of a stand, that are looked at to say what its lamps do
MOST_PLUGS = 2      # that can be parted on such a page: each doubles what is played


class Several:
    """Things that come again and again, each kept once and named by its number."""

    def __init__(self):
        self.kept = {}

    def number(self, thing):
        return self.kept.setdefault(thing, len(self.kept))


class Reel:
    """Draws every throw of an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    form : {"schematic", "attached"}

    Raises
    ------
    ArrangementError
        For more rows than are played.
    """

    def __init__(self, arrangement, form="schematic"):
        self.arrangement, self.form = arrangement, form
        self.played = {out: Throws(circuit) for out, circuit in _plugged(arrangement).items()}
        self._desk = Desk(arrangement, form=form, prefix="alone-")
        self._bits, self._words, self._keys, self._pictures = Several(), Several(), Several(), {}

    def wind(self, progress=None):
        """Return everything as plain data; moments are counted from a throw or the begin of a turn on. [us]

        Parameters
        ----------
        progress : callable, optional
            Called as ``progress(done, total, what)``.
        """
        still = self._desk.still() | {"pulled": {}, "cards": [], "dials": [], "file": "", "acts": False, "lists": False, "opens": "",
                                      "plugs": [*max(self.played, key=len)]}
        names, drawn, stands, begins = list(dict.fromkeys(area["name"] for area in still["areas"])), [], [], {}
        for out, throws in self.played.items():
            begins[" ".join(out)] = {"throw": len(drawn), "table": lamp_table(throws.arrangement).html()}
            self._wind(out, throws, names, drawn, stands, progress)
        return {"still": still, "begins": begins, "names": names, "stands": stands, "throws": drawn, "pictures": self._pictures,
                "bits": list(self._bits.kept), "words": list(self._words.kept)}

    def _wind(self, out, throws, names, drawn, stands, progress):
        """Put every throw and stand of one circuit, some plugs out, behind those that are drawn."""
        thrown, first = [], len(stands)
        for throw in throws:
            thrown.append((throw, len(drawn)))
            drawn.append(self._throw(throw, first))
            if progress:
                progress(first + (throw.origin or 0), first + len(throws.stands), "rows and what they come to")
        stands += [self._stand(stand, names, out) for stand in throws.stands]
        for throw, number in thrown:
            if throw.origin is not None:
                stands[first + throw.origin]["stretches"][throw.moment]["throws"].setdefault(throw.control, {})[throw.position] = number

    def _throw(self, throw, first):
        done = f"{throw.control} {throw.position}" if throw.control else ""
        return {"stand": first + throw.stand, "settled": round((throw.settled - throw.course.begin) * TICK),
                "said": came_of(throw.course, done) if done else "", **self._piece(throw.course, throw.course.begin, throw.settled)}

    def _stand(self, stand, names, out):
        begin, end = stand.loop
        looked_at = max(stand.course.begin, stand.course.until - max(TURNS * (end - begin), WARM))
        stretches = []
        for moment in stand.moments:
            point = stand.course.at(moment)
            told = [self._words.number(self._told(stand, point, name, out)) for name in names]
            stretches.append({"key": self._key(point), "told": told, "throws": {}})
        return {"turn": round((end - begin) * TICK), "stretches": stretches, "verdict": stand.verdict, "sentence": stand.sentence,
                "said": came_of(stand.course, "", looked_at).removeprefix(". "), **self._piece(stand.course, begin, end)}

    def _told(self, stand, point, name, out):
        """Return what is read at one thing, and of a part why. [text]"""
        if stand.verdict not in ("settled", UNFINISHED):
            return f"{name}: no single answer here, {stand.sentence}."
        is_part = ":" not in name and not isinstance(self.arrangement.part(name), Wire)
        return f"{told_of(point, name, out)} {why(point, name)}" if is_part else told_of(point, name, out)

    def _piece(self, course, begin, end):
        """Return the picture at the begin of a stretch and those that follow, and the lamps' curves; one of no length ends its course."""
        moments = [begin, *(moment for moment in moments_of(course, begin, end) if moment < end)]
        runs = piece_of(course, begin, end) if begin < end else {
            lamp: [[begin, round(volts[-1], 3), round(course.light[lamp][-1], 4)]] for lamp, volts in course.lamp_volts.items()}
        curves = {lamp: [[round((moment - begin) * TICK), *shown] for moment, *shown in run] for lamp, run in runs.items()}
        return {"swaps": [[round((moment - begin) * TICK), self._key(course.at(moment))] for moment in moments], "curves": curves}

    def _key(self, point):
        """Return the key of a point's picture, drawn where it is new; its SVG as the numbers of its bits. [text]"""
        key = f"{self._keys.number((*point.states.items(), *point.positions.items(), point.verdict))}"
        if key not in self._pictures:
            picture = picture_of(self.form, self._desk.sheet, point.arrangement, point, self._desk.prefix)
            bits = re.split("(?<=>)(?=<)", picture["svg"])
            self._pictures[key] = picture | {"svg": [self._bits.number(bit) for bit in bits]}
        return key


def _plugged(arrangement):
    """Return the circuit with every choice of its plugs parted, by which they are: none first, and none alone where there are too many."""
    held = dict(arrangement.held)
    plugs = [part.name for part in arrangement.parts if part.parted and not part.seat and part.name not in held]
    counts = range(len(plugs) + 1) if len(plugs) <= MOST_PLUGS else (0,)
    return {out: Apart(arrangement, out).arrangement for count in counts for out in combinations(plugs, count)}

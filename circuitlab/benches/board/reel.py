"""The reel: all that a board without a kit behind it shows, drawn beforehand as plain data. The page plays it back."""

import re

from ...parts import Wire
from ...reasoning import lamp_table
from ...reasoning.throws import UNFINISHED, Throws
from ...reasoning.why import why
from ...views.board import picture_of, piece_of
from ...views.board.pieces import moments_of
from ...views.board.words import came_of, told_of
from .desk import TICK, Desk


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
        self.throws = Throws(arrangement)
        self.arrangement, self.form = arrangement, form
        self._desk = Desk(arrangement, form=form, prefix="alone-")
        self._bits, self._words, self._keys, self._pictures = Several(), Several(), Several(), {}

    def wind(self, progress=None):
        """Return everything as plain data; moments are counted from a throw or the begin of a turn on. [us]

        Parameters
        ----------
        progress : callable, optional
            Called as ``progress(done, total, what)``.
        """
        thrown, total = [], len(self.throws.stands)
        for throw in self.throws:
            thrown.append((throw.origin, throw.moment, throw.control, throw.position, self._throw(throw)))
            if progress:
                total = max(total, len(self.throws.stands))
                progress(throw.origin or 0, total, "rows and what they come to")
        still = self._desk.still() | {"pulled": {}, "cards": [], "dials": [], "file": "", "acts": False, "lists": False, "opens": ""}
        names = [area["name"] for area in still["areas"]]
        stands = [self._stand(stand, dict.fromkeys(names)) for stand in self.throws.stands]
        for number, (origin, moment, control, position, _) in enumerate(thrown):
            if origin is not None:
                stands[origin]["stretches"][moment]["throws"].setdefault(control, {})[position] = number
        return {"still": still, "table": lamp_table(self.arrangement).html(), "names": list(dict.fromkeys(names)), "stands": stands,
                "throws": [drawn for *_, drawn in thrown], "pictures": self._pictures, "bits": list(self._bits.kept),
                "words": list(self._words.kept)}

    def _throw(self, throw):
        done = f"{throw.control} {throw.position}" if throw.control else ""
        return {"stand": throw.stand, "settled": round((throw.settled - throw.course.begin) * TICK),
                "said": came_of(throw.course, done) if done else "", **self._piece(throw.course, throw.course.begin, throw.settled)}

    def _stand(self, stand, names):
        begin, end = stand.loop
        stretches = []
        for moment in stand.moments:
            point = stand.course.at(moment)
            told = [self._words.number(self._told(stand, point, name)) for name in names]
            stretches.append({"key": self._key(point), "told": told, "throws": {}})
        return {"turn": round((end - begin) * TICK), "stretches": stretches, "verdict": stand.verdict, "sentence": stand.sentence,
                **self._piece(stand.course, begin, end)}

    def _told(self, stand, point, name):
        """Return what is read at one thing, and of a part why. [text]"""
        if stand.verdict not in ("settled", UNFINISHED):
            return f"{name}: no single answer here, {stand.sentence}."
        is_part = ":" not in name and not isinstance(self.arrangement.part(name), Wire)
        return f"{told_of(point, name)} {why(point, name)}" if is_part else told_of(point, name)

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
            picture = picture_of(self.form, self._desk.sheet, self.arrangement, point, self._desk.prefix)
            bits = re.split("(?<=>)(?=<)", picture["svg"])
            self._pictures[key] = picture | {"svg": [self._bits.number(bit) for bit in bits]}
        return key

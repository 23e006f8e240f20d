"""One of two arrangements that are compared: what its lamps and flashers do in the rows of both, and what it draws."""

from collections import defaultdict
from functools import cached_property

from ..arrangements.rows import phases_of
from ..parts import Battery
from ..parts.overheating import overheated_thing
from ..solving import operating_point
from .hurrying import hurry_of
from .looks import TOO_BRIGHT
from .mean_heat import too_hot
from .rows import row_of

ABSENT = "not there"


def own_positions(arrangement, positions):
    """Return the positions of an arrangement's own controls in a row of two, or None when it has no such row. [text]"""
    where = {name: position for name, position in positions.items() if name in arrangement.controls_by_name}
    fits = all(position in arrangement.controls_by_name[name].positions for name, position in where.items())
    return where if fits else None


class OneOfTwo:
    """The rows of one arrangement, and the greatest currents and least lit volts in them."""

    def __init__(self, arrangement, rows):
        self.arrangement, self.rows, known = arrangement, [], {}
        for positions in rows:
            here = own_positions(arrangement, positions)
            key = None if here is None else tuple(here.values())
            if here is not None and key not in known:
                known[key] = row_of(arrangement, here)
            self.rows.append(known.get(key))
        self.own_rows = tuple(known.values())

    def look(self, number, lamp):
        row = self.rows[number]
        return row.cells[lamp].look if row and lamp in row.cells else ABSENT

    def light(self, number, lamp):
        """Return the light of a lamp in a row at its brightest, relative to rated; None where the row has no answer. [1]"""
        row = self.rows[number]
        if row is None or lamp not in row.cells or row.verdict != "settled":
            return None
        points = self._points_of[id(row)]
        return max(point.light(lamp) for point in points) if all(point.is_settled for point in points) else None

    @cached_property
    def _points_of(self):
        return {id(row): points for row, points in zip(self.own_rows, self.points)}

    @cached_property
    def points(self):
        """The points of every row of its own, one for each phase."""
        return [[operating_point(self.arrangement, row.positions, phase) for phase in phases_of(self.arrangement)]
                for row in self.own_rows]

    @cached_property
    def greatest(self):
        """Greatest current of every fuse and battery over all rows and phases, and turns of what finds no rest. [A]"""
        points = [each for points in self.points for point in points for each in point.lasting]
        return {part.name: max((abs(point.current(part.name)) for point in points), default=None)
                for part in self.arrangement.parts if isinstance(part, Battery) or part.guards}

    def hurried(self, perhaps=False, is_seen=True):
        """Return the numbers of the rows in which each flasher surely (or perhaps) hurries, where lamps flash, or where none does."""
        field = "may_hurry" if perhaps else "hurried"
        names = {id(row): hurry_of([point for point in points if point.is_settled])[field]
                 for row, points in zip(self.own_rows, self.points)
                 if any("flashing" in cell.look for cell in row.cells.values()) == is_seen}
        found = defaultdict(set)
        for number, row in enumerate(self.rows):
            for name in names.get(id(row), ()):
                found[name].add(number)
        return found

    @cached_property
    def overheated(self):
        """What has or carries more than it may in some row, each with its sentence where it is first found. [text]"""
        said = [words for points in self.points for point in points if point.is_settled for words in point.overheated]
        said += [words for words, _ in too_hot(self.arrangement, self._on_and_off)]
        return {overheated_thing(words): words for words in reversed(said)}

    def _on_and_off(self, name, branch):
        """Return for each row its positions and what flows through a branch with flashers on, and off. [A]"""
        return [(points[0].positions, points[0].current(name, branch), points[-1].current(name, branch))
                for points in self.points if points[0].is_settled and points[-1].is_settled]

    def least(self, lamp):
        """Return the least volts of a lamp while it is lit, over all rows, or None where it never is. [V]"""
        found = [max(abs(volts) for volts in row.cells[lamp].volts) for row in self.own_rows
                 if lamp in row.cells and row.cells[lamp].volts and row.cells[lamp].look in ("steady", "pulses", "flashing", TOO_BRIGHT)]
        return min(found, default=None)

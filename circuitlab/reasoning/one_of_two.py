"""One of two arrangements that are compared: what its lamps and flashers do in the rows of both, and what it draws."""

from functools import cached_property

from ..arrangements.rows import phases_of
from ..parts import Battery
from ..solving import operating_point
from .rows import row_of

ABSENT = "not there"


class OneOfTwo:
    """The rows of one arrangement, and the greatest currents and least lit volts in them."""

    def __init__(self, arrangement, rows):
        self.arrangement, self.rows, known = arrangement, [], {}
        own = {control.name: control for control in arrangement.controls}
        for positions in rows:
            here = {name: positions[name] for name in own}
            if all(position in own[name].positions for name, position in here.items()):
                key = tuple(here.values())
                known[key] = known.get(key) or row_of(arrangement, here)
                self.rows.append(known[key])
            else:
                self.rows.append(None)
        self.own_rows = tuple(known.values())

    def look(self, number, lamp):
        row = self.rows[number]
        return row.cells[lamp].look if row and lamp in row.cells else ABSENT

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

    @cached_property
    def hurried(self):
        """The numbers of the rows in which each flasher surely hurries; where no lamp flashes nobody sees it. [1]"""
        return self._hurried(perhaps=False)

    @cached_property
    def may_hurry(self):
        """The same of those that perhaps do. [1]"""
        return self._hurried(perhaps=True)

    def _hurried(self, perhaps):
        names = {id(row): {name for point in points if point.is_settled for name in point.hurried(perhaps)}
                 for row, points in zip(self.own_rows, self.points)
                 if any("flashing" in cell.look for cell in row.cells.values())}
        found = {}
        for number, row in enumerate(self.rows):
            for name in names.get(id(row), ()):
                found.setdefault(name, set()).add(number)
        return found

    def least(self, lamp):
        """Return the least volts of a lamp while it is lit, over all rows, or None where it never is. [V]"""
        found = [max(abs(volts) for volts in row.cells[lamp].volts) for row in self.own_rows
                 if lamp in row.cells and row.cells[lamp].volts and row.cells[lamp].look in ("steady", "flashing")]
        return min(found, default=None)

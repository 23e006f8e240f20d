"""The face of a lamp with two filaments: each a lamp in its own path; for the builder one glass with two crosses."""

from ...parts.two_filaments import FOR
from ..point_words import light_words, volt_words
from ..style import THIN
from .body import BLADE, Body
from .face import Face
from .piece import Piece, ends
from .shape import Shape

_RADIUS, _ASIDE, _BOW = 10, 14, 4     # of a cross's ring, from the middle of the block to its middle, and of a bow [px]


def _rings(part, block):
    """Return for each filament the middle of its ring and its radius. [px]"""
    at = {row.left[-2:]: row.level for row in block.rows if row.left}
    middle, y = (block.left + block.right) / 2, (at["58"] + at["31"]) / 2
    return {lamp.name: (middle + side * _ASIDE, y, _RADIUS) for lamp, side in zip(part.seats, (-1, 1))}


class _Crosses(Body):
    """One glass, two crosses: what 54 feeds on the left, what 58 feeds on the right, both down to the shell."""

    corner = 12

    def form(self):
        (left, y, radius), (right, *_) = _rings(self.part, self.block).values()
        far, near, shell = [row for row in self.block.rows[::1 if self._stands else -1] if row.left]
        toward = 1 if shell.level > far.level else -1
        self.leads(far, left)
        self._over(near, left, right)
        self.leads(shell, left, right)
        self.line([(left, shell.level), (right, shell.level)])
        for lamp, x, fed in zip(self.part.seats, (left, right), (far, near)):
            self.line([(x, fed.level), (x, y - toward * radius)])
            self.line([(x, y + toward * radius), (x, shell.level)])
            self.dot(x, y, radius, "none")
            self._cross(x, y, radius * 0.707, lamp.is_there)
        if self.part.branches():
            self.thick([(left, y - toward * radius), (right, y - toward * radius)], BLADE)

    @property
    def _stands(self):
        return not self.block.rows[0].left.endswith(":31")

    def _over(self, row, left, right):
        """Lead what feeds the right one to it, from the left in a bow over the line to the left one. [px]"""
        self.leads(row, left - _BOW, right)
        if row.lefts:
            y, top = row.level, row.level - _BOW
            self.line([(left - _BOW, y), (left - 2, top), (left + 2, top), (left + _BOW, y), (right, y)], self.ends[row.left])

    def _cross(self, x, y, reach, is_there):
        for side in (1, -1) if is_there else ():
            self.thick([(x - reach, y - side * reach), (x + reach, y + side * reach)], THIN)


class TwoFilamentFace(Face):
    """Its filaments have the symbols; a contact or filament that joins what feeds them has one of its own."""

    body, middle, above = _Crosses, 66, 14

    def pieces(self, part, arrangement):
        word = "one contact" if part.is_single else "touching"
        return [Piece(f"{part.name}.bridge", part.name, Shape, ends(part, "54"), ends(part, "58"), word=word) for _ in part.branches()]

    def beside(self, piece, part, arrangement):
        return []

    def rows(self, part, view, pins):
        far, near, low = ends(part, *part.terminals)
        return (far, far), (near, near), ("", ""), ("", ""), (low, low)

    def glasses(self, part, block):
        return _rings(part, block)

    def glows(self, part):
        return True

    def value(self, part, arrangement):
        return part.bulb + (" turned" if part.fitted != "right way" else "")

    def changing(self, part, arrangement):
        return [each for lamp in part.seats for each in ((f"{lamp.feed} {FOR[lamp.feed]}", ""), ("\N{MINUS SIGN}88.8 V", f"{lamp.name} volts"), ("188 %", f"{lamp.name} light"))]

    def live(self, part, state, point):
        return {f"{lamp.name} {told}": words(lamp, point) if point else "" for lamp in part.seats
                for told, words in (("volts", volt_words), ("light", light_words))}

    def details(self, part):
        glass = f" (on the bulb: {part.marking})" if part.marking not in ("", part.bulb) else ""
        bright, weak = part.seats
        how = ", of one filament: the wrong bulb" if part.is_single else (f", {bright.watts:g} W at {bright.volts:g} V on 54, "
                                                                          f"{weak.watts:g} W at {weak.volts:g} V on 58")
        how += ", turned round" if part.fitted != "right way" else ""
        return f"two-filament lamp, {part.bulb}{glass}{how}{', filaments touching' if part.touching else ''}, {part.light} light"

"""The curves of devices as tables, for many volts at a time.

A device says what current flows at one voltage, and how steeply that rises:
``settled_current``. Asked a few hundred times, once, that makes a table; from
then on a whole array of volts is read off it at once. No device needs a second
law for that, and no room asks what kind of device it has.

Between two entries runs the cubic that has the device's own current and slope
at both (Hermite). Entries lie as close as the curve needs: the range of volts
is cut into even strips, and each strip into so many even pieces (a power of
two) that halfway and at the quarters of every piece the cubic lies within
``CLOSE`` of the device, said in volts: the current's error over the slope.
So a filament is finely cut round 0 V, a junction at its knee. Whatever the
network around it, no voltage can be further off than the devices' errors
together. Outside the range the curve goes on straight.
"""

from functools import lru_cache, partial

import numpy as np

CLOSE = 1e-11    # V, the error of a table: a tenth of what Newton's method leaves
STRIP = 0.25     # V
FINEST = 4096    # pieces of a strip at most
DIM = 1e-6       # of rated light, the error allowed in a table of light


class Curves:
    """The tables of several functions of a voltage, end to end, read together.

    Parameters
    ----------
    laws : list of Device
        Equal ones share a table.
    what : callable ``(law, volts) -> (value, slope)``
        What of them: :func:`current` or :func:`light`.
    reach : float
        The tables go from minus this to plus this. [V]

    Attributes
    ----------
    first : ndarray of int, shape (laws,)
        Number of each law's first strip, to be given to the readers. [1]
    """

    def __init__(self, laws, what, reach):
        self.reach = reach = STRIP * 2.0 ** np.ceil(np.log2(max(reach, 12.0) / STRIP))
        tables = [_table(law, what, reach) for law in laws] or [(np.ones(1), np.zeros((1, 4)))]
        self.first = np.cumsum([0] + [len(pieces) for pieces, _ in tables[:-1]])
        self._pieces = np.concatenate([pieces for pieces, _ in tables])
        self._start = np.concatenate([[0], np.cumsum(self._pieces[:-1]).astype(np.intp)])
        self._cubics = np.ascontiguousarray(np.concatenate([cubics for _, cubics in tables]).T)

    def read(self, first, volts):
        """Return ``(value, slope, volts)`` at an array of volts, held within the range. [V]

        All three have the shape of ``volts``, mostly (devices, cases); ``first`` has it too, or 1 for an axis.
        """
        inside = np.clip(volts, -self.reach, self.reach)
        place = (inside + self.reach) * (1 / STRIP)
        strip = place.astype(np.intp)
        place -= strip
        strip += first
        pieces = self._pieces.take(strip)
        place *= pieces
        piece = place.astype(np.intp)
        place -= piece
        piece += self._start.take(strip)
        a, b, c, d = (column.take(piece) for column in self._cubics)
        slope = d * place
        value = slope + c
        value *= place
        value += b
        value *= place
        value += a
        slope *= 3.0
        slope += c
        slope += c
        slope *= place
        slope += b
        slope *= pieces
        slope *= 1 / STRIP
        return value, slope, inside

    def values(self, first, volts):
        """Return the value at an array of volts, going on straight outside the range."""
        value, slope, inside = self.read(first, volts)
        return value + slope * (volts - inside)


def current(law, volts):
    """Return the settled current of a device at a voltage, with its slope. [A], [S]"""
    return law.settled_current(volts)


def light(law, volts):
    """Return the light of a device at rest at a voltage, with its slope. [1], [1/V]"""
    width = 1e-4
    here, above, below = (law.shine(at, law.settled_temperature(at) if law.warms else None)
                          for at in (volts, volts + width, volts - width))
    return here, (above - below) / (2 * width)


@lru_cache(maxsize=256)
def _table(law, what, reach):
    """Return (pieces of each strip, cubics of all pieces in terms of the place within the piece, 0 to 1).

    Shapes (strips,) and (pieces, 4), lowest power first.
    """
    curve, pieces, cubics = partial(what, law), [], []
    for number in range(round(2 * reach / STRIP)):
        low, count = number * STRIP - reach, 1
        while True:
            found = _cubics(curve, low, count)
            if count == FINEST or _fits(curve, low, count, found):
                break
            count *= 2
        pieces.append(float(count))
        cubics += found
    value, slope = curve(reach)
    pieces.append(1.0)                      # the end of the range itself
    cubics.append((value, slope * STRIP, 0.0, 0.0))
    return np.array(pieces), np.array(cubics)


def _cubics(curve, low, count):
    wide = STRIP / count
    ends = [curve(low + wide * number) for number in range(count + 1)]
    found = []
    for (y0, s0), (y1, s1) in zip(ends, ends[1:]):
        s0, s1, rise = s0 * wide, s1 * wide, y1 - y0
        found.append((y0, s0, 3 * rise - 2 * s0 - s1, s0 + s1 - 2 * rise))
    return found


def _fits(curve, low, count, cubics):
    wide = STRIP / count
    for number, (a, b, c, d) in enumerate(cubics):
        allowed = DIM if curve.func is light else CLOSE * min(b / wide, (b + 2 * c + 3 * d) / wide)
        for place in (0.5, 0.25, 0.75):
            if abs(((d * place + c) * place + b) * place + a - curve(low + wide * (number + place))[0]) > allowed:
                return False
    return True

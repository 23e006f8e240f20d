"""One elimination program for each wiring, as straight-line Python.

The network is a graph of conductances (never negative) between points, with
point 0 as the one volts are counted from. Points are eliminated one after
another by the star-mesh step: a point whose branches have the conductances
g1, g2, ... disappears, and every pair of its neighbours gains ga gb / (g1 + g2
+ ...). Nothing is ever subtracted, because the pivot is the plain sum of what
is still connected (the arrangement of Grassmann, Taksar and Heyman). So each
voltage is right to a few units in the last place however far apart the
conductances lie, an open contact is exactly zero, and a point with no way
left to anywhere has a pivot of exactly zero: it floats. No small "leak" is
ever added to make the arithmetic go through.

The order is found once for a wiring. It runs in two halves:

* ``reduce`` takes the conductances of everything but the devices and
  eliminates the points that no device touches. It is repeated only when a
  contact moves.
* ``drops`` and ``points`` add the devices and finish. They are what a
  Newton step or a time step repeats.
* ``back`` then fills in the points of the first half.

Changing a value (a lamp, a length) needs no new program; only new wiring does.

The text adds, multiplies and divides by pivots, nothing else. So the same text
also runs over many cases at a time, each number an array with one entry a
case: ``Program.over`` compiles it anew with a pivot's inverse written for
arrays. Run over truth values, where adding is "or" and multiplying is
"and", it tells what is joined to what.

Three points in a ring: a source of 12 V behind 1 S from point 0 to 1, 1 S from 1 to 2 and from 2 to 3, and a device
from 3 back to 0, whose 1 S comes late. Points 1 and 2 go first; what is left is one branch and one current.

>>> ring = program(4, ((0, 1), (1, 2), (2, 3), (3, 0)), devices=(3,), sources=(0,))
>>> print(ring.source[:ring.source.index("def drops")], end="")
def reduce(g, s):
    x1 = g[1]
    x2 = g[0]
    x3 = s[0]
    p = x1 + x2 or 1e999
    f1_2 = x1 / p
    q1 = x3 / p
    x4 = f1_2 * x2
    x5 = f1_2 * x3
    x3 = g[2]
    p = x3 + x4 or 1e999
    f2_3 = x3 / p
    q2 = x5 / p
    x2 = f2_3 * x4
    x1 = f2_3 * x5
    return (x2, x1), (q1, f1_2, q2, f2_3)

``p`` is the pivot of point 1, then of point 2: the sum of what still joins it. ``f1_2`` is the share of point 2 in
the volts of point 1, ``q1`` what the fed current alone would lift it to. ``x4`` is the branch that point 1 leaves
between 0 and 2, ``x5`` the current it hands on. So point 3 sees a third of a siemens and 4 A, and with the device's 1 S it has 3 V:

>>> late, early = ring.reduce([1.0, 1.0, 1.0, 0.0], [12.0])
>>> [round(value, 6) for value in late]
[0.333333, 4.0]
>>> [round(volts, 6) for volts in ring.back(early, ring.points(late, (1.0,), (0.0,)))]
[0.0, 9.0, 6.0, 3.0]
"""

import re
from functools import lru_cache
from heapq import heapify, heappop, heappush

EMPTY = " or 1e999"  # after a pivot: a point with nothing left to join it to floats, and its shares come out as 0
EASY = 5  # points with at most this many neighbours go into the first half; measured: 3 and 9 make a run slower by a fifth


class Program:
    """The compiled elimination of one wiring.

    Parameters
    ----------
    size : int
        Number of points, point 0 included. [1]
    ends : tuple of (int, int)
        Start and end point of every branch. [1]
    devices : tuple of int
        Branches whose conductance comes late: filaments, diodes. [1]
    sources : tuple of int
        Branches that carry an electromotive force. [1]

    Attributes
    ----------
    reduce : callable ``(conductances, source_currents) -> (late, early)``
        Lists over all branches [S] and over ``sources`` [A].
    drops : callable ``(late, device_conductances) -> volts``
        Over each device, start above end. [V]
    points : callable ``(late, device_conductances, companion_currents) -> volts``
        At the late points. A companion current runs from start to end. [V]
    back : callable ``(early, late_volts) -> volts``
        At every point, in order. [V]
    source : str
        The generated Python, for the curious.
    """

    def __init__(self, size, ends, devices, sources):
        self.size, self.ends, self.devices, self.sources = size, ends, devices, sources
        self._early, self._late = _order(size, ends, devices)
        self.late_points = tuple(point for point, _ in self._late)
        self.source = "\n".join([*self._write_reduce(), *self._write_finish("drops"), *self._write_finish("points"),
                                 *self._write_back()])
        self.reduce, self.drops, self.points, self.back = _compiled(self.source)

    @lru_cache(maxsize=128)
    def over(self, inverse):
        """Return the four callables compiled with another way to take one over a pivot, such as one for arrays."""
        source = re.sub(f" p = (.*){EMPTY}", r" p = inverse(\1)", self.source).replace(" / p", " * p")
        return _compiled(source, inverse=inverse)

    def _write_reduce(self):
        lines, devices = ["def reduce(g, s):"], set(self.devices)
        sums = _Sums(lines)
        for index, (a, b) in enumerate(self.ends):
            if a != b and index not in devices:
                sums.add(_pair(a, b), f"g[{index}]")
        for order, index in enumerate(self.sources):
            for point, sign in zip(self.ends[index], "-+"):
                if point:
                    sums.add(point, f"s[{order}]", sign)
        self._kept, self._fed = [], set()
        for point, neighbours in self._early:
            self._fed.update([point] if point in sums else [])
            self._kept += _write_step(lines, sums, point, neighbours)
        self._handed = list(sums)
        lines.append(f"    return {_tuple([sums.said(key) for key in self._handed])}, {_tuple(self._kept)}")
        return lines

    def _write_finish(self, name):
        lines = [f"def {name}(late, d{', c' if name == 'points' else ''}):"]
        sums = _Sums(lines)
        if self._handed:
            lines.append(f"    {_tuple([sums.take_in(key) for key in self._handed])} = late")
        for order, index in enumerate(self.devices):
            a, b = self.ends[index]
            if a != b:
                sums.add(_pair(a, b), f"d[{order}]")
                for point, sign in ((a, "-"), (b, "+")):
                    if point and name == "points":
                        sums.add(point, f"c[{order}]", sign)
        fed = set()
        for point, neighbours in self._late:
            fed.update([point] if point in sums else [])
            _write_step(lines, sums, point, neighbours)
        lines += [_write_volts(point, neighbours, point in fed) for point, neighbours in reversed(self._late)]
        if name == "points":
            result = [f"v{point}" for point, _ in self._late]
        else:
            result = ["0.0" if a == b else f"{_volts(a)} - {_volts(b)}" for a, b in
                      (self.ends[index] for index in self.devices)]
        return [*lines, f"    return {_tuple(result)}"]

    def _write_back(self):
        lines = ["def back(early, volts):"]
        if self._late:
            lines.append(f"    {_tuple([f'v{point}' for point, _ in self._late])} = volts")
        if self._kept:
            lines.append(f"    {_tuple(self._kept)} = early")
        lines += [_write_volts(point, neighbours, point in self._fed) for point, neighbours in reversed(self._early)]
        return [*lines, f"    return [{', '.join(_volts(point) for point in range(self.size))}]"]


@lru_cache(maxsize=128)
def program(size, ends, devices, sources):
    """Return the program for a wiring, compiled once."""
    return Program(size, ends, devices, sources)


def _order(size, ends, devices):
    """Choose the order: fewest neighbours first, the points no device touches in the first half.

    Returns two lists of (point, neighbours at the moment it goes).
    """
    near = {point: set() for point in range(size)}
    for a, b in ends:
        if a != b:
            near[a].add(b)
            near[b].add(a)
    touched = {point for index in devices for point in ends[index]}
    gone, early, late = set(), [], []

    def eliminate(points, most, half):
        queue = [(len(near[point]), point) for point in points]
        heapify(queue)
        while queue:
            count, point = heappop(queue)
            if point in gone or count != len(near[point]) or count > most:   # an entry that is no longer true
                continue
            half.append((point, sorted(near[point])))
            gone.add(point)
            for other in near[point]:
                near[other] |= near[point]
                near[other] -= {point, other}
                if other in points and other not in gone:
                    heappush(queue, (len(near[other]), other))
    every = set(range(1, size))
    eliminate(every - touched, EASY, early)
    eliminate(every, size, late)
    return early, late


def _compiled(source, **given):
    """Return ``(reduce, drops, points, back)`` made from their text."""
    exec(compile(source, "<elimination>", "exec"), given)
    return given["reduce"], given["drops"], given["points"], given["back"]


class _Sums(dict):
    """What is still to be eliminated: for each pair of points its conductance, for each point the current fed to it.

    Each is a sum: a variable of the program, and terms to be added when it is needed. Variables no longer needed are
    used again, which keeps a long program's numbers close together in memory: a sixth faster with a thousand lamps.
    """

    def __init__(self, lines):
        super().__init__()
        self._lines, self._free, self._made = lines, [], 0

    def add(self, key, term, sign="+"):
        name, terms = self.get(key, (None, ()))
        self[key] = name, (*terms, f"{sign} {term}")

    def said(self, key):
        """Return the sum as an expression."""
        name, terms = self[key]
        return " ".join([name or "", *terms]).removeprefix(" ").removeprefix("+ ")

    def take_in(self, key):
        """Return the variable for a sum that is handed over."""
        self[key] = self._variable(), ()
        return self[key][0]

    def work_out(self, key):
        """Return the variable that holds the sum, adding up first if there is anything to add."""
        name, terms = self[key]
        if terms:
            said, name = self.said(key), name or self._variable()
            self._lines.append(f"    {name} = {said}")
            self[key] = name, ()
        return name

    def release(self, names):
        """Let variables be used again."""
        self._free += names

    def _variable(self):
        self._made += not self._free
        return self._free.pop() if self._free else f"x{self._made}"


def _write_step(lines, sums, point, neighbours):
    """Write the elimination of one point; return the names its volts will need."""
    ground_last = sorted(neighbours, key=lambda other: (not other, other))   # its volts are 0: its share is not needed
    live = [(other, sums.work_out(_pair(point, other))) for other in ground_last]
    factors = [f"f{point}_{other}" for other, _ in live if other]
    current = sums.work_out(point) if point in sums else None
    lines.append(f"    p = {' + '.join(edge for _, edge in live) or '0.0'}{EMPTY}")
    lines += [f"    {factor} = {edge} / p" for (_, edge), factor in zip(live, factors)]
    if current:
        lines.append(f"    q{point} = {current} / p")
    for index, (other, _) in enumerate(live):
        for further, edge in live[index + 1:]:
            sums.add(_pair(other, further), f"{factors[index]} * {edge}")
            sums.work_out(_pair(other, further))
        if current and other:
            sums.add(other, f"{factors[index]} * {current}")
            sums.work_out(other)
    sums.release([sums.pop(_pair(point, other))[0] for other, _ in live])
    sums.release([sums.pop(point)[0]] if current else [])
    return [*([f"q{point}"] if current else []), *factors]


def _write_volts(point, neighbours, fed):
    terms = [*([f"q{point}"] if fed else []), *(f"f{point}_{other} * v{other}" for other in neighbours if other)]
    return f"    v{point} = {' + '.join(terms) or '0.0'}"


def _volts(point):
    return f"v{point}" if point else "0.0"


def _pair(a, b):
    return (a, b) if a < b else (b, a)


def _tuple(names):
    return f"({', '.join(names)}{',' if len(names) == 1 else ''})"

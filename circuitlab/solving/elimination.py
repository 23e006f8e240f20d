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

The text adds, multiplies and takes one over each pivot, nothing else. So the
same text also runs over many cases at a time, each number an array with one
entry a case: ``Program.over`` compiles it anew with a pivot's inverse written
for arrays. Run over truth values, where adding is "or" and multiplying is
"and", it tells what is joined to what.
"""

from functools import lru_cache
from heapq import heapify, heappop, heappush

INVERSE = "1.0 / p if p else 0.0"  # of a pivot; a point with nothing left to join it to floats, and gets none
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
        return _compiled(self.source.replace(INVERSE, "inverse(p)"), inverse=inverse)

    def _write_reduce(self):
        lines, edges, currents = ["def reduce(g, s):"], {}, {}
        sums, devices = {}, set(self.devices)
        for index, (a, b) in enumerate(self.ends):
            if a != b and index not in devices:
                sums.setdefault(_pair(a, b), []).append(f"g[{index}]")
        for pair, terms in sums.items():
            edges[pair] = f"e{pair[0]}_{pair[1]}"
            lines.append(f"    {edges[pair]} = {' + '.join(terms)}")
        for order, index in enumerate(self.sources):
            for point, sign in zip(self.ends[index], "-+"):
                if point:
                    before = currents.get(point, "")
                    currents[point] = f"j{point}"
                    lines.append(f"    j{point} = {before}{sign if sign == '-' or before else ''}s[{order}]")
        self._kept, self._fed = [], set()
        for point, neighbours in self._early:
            self._fed.update([point] if point in currents else [])
            self._kept += _write_step(lines, edges, currents, point, neighbours)
        self._late_edges, self._late_currents = edges, currents
        self._handed = [*edges.values(), *currents.values()]
        lines.append(f"    return {_tuple(self._handed)}, {_tuple(self._kept)}")
        return lines

    def _write_finish(self, name):
        edges, currents = dict(self._late_edges), dict(self._late_currents)
        lines = [f"def {name}(late, d{', c' if name == 'points' else ''}):"]
        if self._handed:
            lines.append(f"    {_tuple(self._handed)} = late")
        for order, index in enumerate(self.devices):
            a, b = self.ends[index]
            if a == b:
                continue
            pair = _pair(a, b)
            before = f"{edges[pair]} + " if pair in edges else ""
            edges[pair] = f"e{pair[0]}_{pair[1]}"
            lines.append(f"    {edges[pair]} = {before}d[{order}]")
            if name == "points":
                for point, sign in ((a, "-"), (b, "+")):
                    if point:
                        lines.append(f"    j{point} = {currents.get(point, '0.0')} {sign} c[{order}]")
                        currents[point] = f"j{point}"
        fed = set()
        for point, neighbours in self._late:
            fed.update([point] if point in currents else [])
            _write_step(lines, edges, currents, point, neighbours)
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


def _write_step(lines, edges, currents, point, neighbours):
    """Write the elimination of one point; return the names its volts will need."""
    live = [(other, edges.pop(_pair(point, other))) for other in neighbours]
    total = " + ".join(edge for _, edge in live) or "0.0"
    factors = [f"f{point}_{other}" for other, _ in live]
    current = currents.pop(point, None)
    lines.append(f"    p = {total}")
    lines.append(f"    r = {INVERSE}")
    for (_, edge), factor in zip(live, factors):
        lines.append(f"    {factor} = {edge} * r")
    if current:
        lines.append(f"    q{point} = {current} * r")
    for index, (other, _) in enumerate(live):
        for further, edge in live[index + 1:]:
            pair = _pair(other, further)
            before = f"{edges[pair]} + " if pair in edges else ""
            edges[pair] = f"e{pair[0]}_{pair[1]}"
            lines.append(f"    {edges[pair]} = {before}{factors[index]} * {edge}")
        if current and other:
            before = f"{currents[other]} + " if other in currents else ""
            currents[other] = f"j{other}"
            lines.append(f"    j{other} = {before}{factors[index]} * {current}")
    return [*([f"q{point}"] if current else []), *(factor for factor, (other, _) in zip(factors, live) if other)]


def _write_volts(point, neighbours, fed):
    terms = [*([f"q{point}"] if fed else []), *(f"f{point}_{other} * v{other}" for other in neighbours if other)]
    return f"    v{point} = {' + '.join(terms) or '0.0'}"


def _volts(point):
    return f"v{point}" if point else "0.0"


def _pair(a, b):
    return (a, b) if a < b else (b, a)


def _tuple(names):
    return f"({', '.join(names)}{',' if len(names) == 1 else ''})"

"""Which wires each fuse (or breaker) guards, and which have none ahead of them.

In every row and phase the circuit falls into pieces of plain conductor that
only fuses and loads join. The piece on the battery's live pole, plus unless plus
stands on the frame, has no fuse ahead of it. A piece that a fuse feeds is guarded by it, up to the next fuse; and so
are the wires by which its loads go back on the frame's side, for should a load short
they carry what the fuse lets through.
"""

from dataclasses import dataclass

from ...ground.joined import walked, way_to
from ...parts import Connector, Wire
from ...parts.connector import PLUG, SOCKET
from ...solving.network import network
from .ways import steps


@dataclass(frozen=True)
class Guarding:
    """Fuses and the wires behind them.

    Attributes
    ----------
    wires : dict of str to tuple of str
        For each fuse the wires it feeds, up to the next fuse, over all rows. [text]
    returns : dict of str to tuple of str
        For each fuse the wires by which its loads go back on the frame's side. [text]
    together : dict of str to tuple of str
        For each fed wire the set of fuses that feed it at once whose ratings add up to most. [text]
    bare : dict of str to float
        Wires without a fuse ahead, and how far their far end is from the battery. [m]
    unfused : tuple of str
        Loads that hang on the battery's live pole with no fuse between. [text]
    """

    wires: dict
    returns: dict
    together: dict
    bare: dict
    unfused: tuple


def guarding(survey):
    """Return which wires each fuse of a surveyed arrangement guards."""
    arrangement = survey.arrangement
    fuses = {part.name: part for part in arrangement.parts if part.guards}
    wires, returns = {name: set() for name in fuses}, {name: set() for name in fuses}
    together, bare, unfused = {}, {}, set()
    for point in survey.points:
        pieces = _Pieces(point, fuses)
        if pieces.is_shorted:
            continue
        bare.update({wire: max(length, bare.get(wire, 0.0)) for wire, length in pieces.bare().items()})
        unfused |= pieces.unfused
        for wire, feeders in pieces.fed.items():
            for name in feeders:
                wires[name].add(wire)
            most = max(together.get(wire, ()), tuple(sorted(feeders)),
                       key=lambda names: sum(fuses[n].rating for n in names))
            together[wire] = most
        for name, back in pieces.returns.items():
            returns[name] |= back
    order = [wire.name for wire in arrangement.wires]

    def listed(names):
        return tuple(name for name in order if name in names)

    return Guarding({name: listed(found) for name, found in wires.items()},
                    {name: listed(found - wires[name]) for name, found in returns.items()},
                    {name: together[name] for name in order if name in together},
                    {name: bare[name] for name in order if name in bare},
                    tuple(part.name for part in arrangement.parts if part.name in unfused))


def unguarded_pins(arrangement, guards):
    """Return what each fuse lets through that is more than pins behind it are made for: ``(fuse, connector, pins, amperes)``. [text], [A]"""
    fuses, found = [part for part in arrangement.parts if part.guards], {}
    for fuse, connector in ((fuse, connector) for fuse in fuses for connector in arrangement.of_kind(Connector)):
        fed = {end for name in guards.wires[fuse.name] for end in arrangement.part(name).terminals}
        for pin in connector.numbers:
            may = connector.rated(pin)
            if may is not None and may < fuse.rating and {f"{connector.name}:{pin}{side}" for side in (SOCKET, PLUG)} & fed:
                found.setdefault((fuse.name, connector.name, may), []).append(pin)
    return tuple((fuse, connector, tuple(pins), may) for (fuse, connector, may), pins in found.items())


class _Pieces:
    """One operating point cut up into pieces of conductor, joined by fuses and loads only."""

    def __init__(self, point, fuses):
        self.point, self.net = point, network(point.arrangement)
        ways = steps(point)
        self.ways = [way for way in ways if way.name not in fuses]
        self.ahead, self.behind = {}, {}   # where current can go from a point, and from where it can come
        for way in self.ways:
            ends = (way.start, way.end), (way.end, way.start)
            for here, there in ends[:1] if point.arrangement.part(way.name).branches()[way.branch].is_one_way else ends:
                self.ahead.setdefault(here, []).append((1, there, way.name))
                self.behind.setdefault(there, []).append((1, here, way.name))
        self.live, self.frame = ([self.net.point_of[pole] for pole in poles] for poles in point.arrangement.sides)
        if point.arrangement.sides[0][0].endswith("-"):      # current comes from the frame there
            self.ahead, self.behind = self.behind, self.ahead
        self.source, self.home = set(walked(self.live, self.ahead)), walked(self.frame, self.behind)
        self.is_shorted = not self.source.isdisjoint(self.home)
        if not self.is_shorted:
            self.feeders = self._feeders([way for way in ways if way.name in fuses])
            self.fed = {way.name: self.feeders[way.start] for way in self.ways
                        if self._is_wire(way.name) and way.start in self.feeders}
            self.loads = [(part.name, *self.net.ends[self.net.branch_of[part.name, order]]) for part in self.net.parts
                          for order, branch in enumerate(part.branches())
                          if branch.role.takes and branch.conducts(point.states[part.name])]

    def _is_wire(self, name):
        return isinstance(self.point.arrangement.part(name), Wire)

    def _feeders(self, fuses):
        """Return for each point behind a fuse the fuses that feed it, the last ones before it."""
        found, inside = {}, set(self.source)
        while True:
            level = {}
            for way in fuses:
                for near, far in ((way.start, way.end), (way.end, way.start)):
                    if near in inside and far not in inside and far not in self.home:
                        for point in walked([far], self.ahead):
                            level.setdefault(point, set()).add(way.name)
            if not level:
                return found
            found.update(level)
            inside |= set(level)

    @property
    def unfused(self):
        """Loads that hang on the battery's live pole."""
        return {name for name, *ends in self.loads if set(ends) & self.source}

    @property
    def returns(self):
        """For each fuse the wires from its loads back to the battery."""
        found = {}
        for _, *ends in self.loads:
            for near, far in (ends, ends[::-1]):
                for name in self.feeders.get(near, ()) if far in self.home else ():
                    found.setdefault(name, set()).update(filter(self._is_wire, way_to(far, self.home)))
        return found

    def bare(self):
        """Return for every wire on the battery's live pole how far its far end is, along wire. [m]"""
        parts = self.point.arrangement.by_name
        near = {here: [(getattr(parts[name], "length", 0.0), there, name) for _, there, name in ways]
                for here, ways in self.ahead.items()}
        far = {point: length for point, (length, _, _) in walked(self.live, near).items()}
        return {way.name: min(far[way.start], far[way.end]) + parts[way.name].length
                for way in self.ways if way.start in far and self._is_wire(way.name)}

"""The readings that would reveal a fault: two places, one row, and volts that differ most from the healthy ones.

Where no volts differ, a lamp that has its volts and stays dark tells as much;
else ohms with the battery off do. A short is never looked for live.
"""

from dataclasses import dataclass, replace

from ...arrangements import Hold, changed
from ...arrangements.rows import phases_of
from ...parts import Lamp, Role, Wire
from ...solving import operating_point
from ..leads import Reading, take_reading
from ..looks import brightness
from .catalogue import as_fault
from .power_off import ohms_that_tell

PLAIN = 1.0     # V, what no joint of a sound circuit loses: common practice
LEAST = 0.5     # V, a difference nobody mistakes for another battery or a long wire


@dataclass(frozen=True)
class Telltale:
    """Where to hold a meter to tell a fault: the same two leads in the healthy circuit and in the faulty one.

    Attributes
    ----------
    healthy, faulty : Reading
    before : str
        What is done first, such as ``F1 pulled out``; empty for nothing. [text]
    seen : str
        What is seen besides in the faulty circuit, such as ``E1 stays dark``; empty for nothing. [text]
    """

    healthy: Reading
    faulty: Reading
    before: str = ""
    seen: str = ""

    @property
    def difference(self):
        """Between the two, a floating reading taken as a meter shows it, 0. [V]"""
        return abs(self.healthy.shown - self.faulty.shown)


def best_reading(arrangement, fault, rows, more=(), is_short=False, blown=()):
    """Return the readings that tell a fault most plainly, or None when no meter would.

    Parameters
    ----------
    arrangement : Arrangement
        The healthy one.
    fault : Fault or change
    rows : sequence of dict
        Rows to choose from, the handiest first. [text]
    more : sequence of dict
        Rows to look in where those tell nothing. [text]
    is_short : bool
        Whether the fault shorts something: then only ohms with the battery off are read. [yes/no]
    blown : iterable of str
        Fuses that the fault blows. [text]

    Returns
    -------
    Telltale or None

    Notes
    -----
    The readings are a meter's, which is a part of the circuit. Every wired
    terminal is tried against the battery's pole on the frame, and every two wired terminals of a
    load, a coil or what a hand parts across it. A place at the fault that differs by
    a volt comes first, as it accuses nothing else; then a row in which no
    flasher runs. Differences count in half volts; among equals the place easier
    to reach wins, then the earlier row. How easy a place is to reach is the
    kit's own guess.
    """
    fault = as_fault(fault)
    both = arrangement, fault.apply(arrangement)
    there = set(both[1].terminals)
    pairs = [place for place in _places(arrangement) if {*place[:2]} <= there]
    near, fuse = _places_of(arrangement, fault), bridged(arrangement, fault)
    told = None
    if not is_short:
        told = (_pulled(both, fuse, (*rows, *more), pairs) if fuse else
                _volts(both, rows, pairs, near) or _dark(both, rows) or _volts(both, more, pairs, near))
    if told is None and not fuse:
        told = ohms_that_tell(both, (arrangement.positions(), *rows), pairs, near, blown)
        told = told and Telltale(*told)
    return told


def bridged(arrangement, fault):
    """Return the fuse that a fault bridges, or nothing. [text]"""
    return next((part.name for part in arrangement.parts if part.guards
                 and {f"{part.name}:{terminal}" for terminal in part.terminals} in fault.touching), "")


def _places_of(arrangement, fault):
    """Return the terminals that a fault is about: those of its part, or of the wire whose joint is bad. [text]"""
    found = set()
    for change in fault.changes:
        names = [getattr(change, field, "") for field in ("part", "name", "wire", "terminal", "first", "second")]
        for name in filter(lambda one: isinstance(one, str) and one, names):
            part = arrangement.by_name.get(name)
            found |= {name} if part is None else set(part.terminals) if isinstance(part, Wire) else {
                f"{name}:{terminal}" for terminal in part.terminals}
    return found


def _points(both, rows):
    """Yield the order of a row and the points of two circuits in it, wherever both have volts."""
    for order, positions in enumerate(rows):
        for phases in phases_of(both[0]):
            points = [operating_point(each, positions, phases) for each in both]
            if all(point.is_settled for point in points):
                yield order, *points


def _volts(both, rows, pairs, near=frozenset()):
    """Return the volts that differ most between two circuits, or None where none do by :data:`LEAST`."""
    best = None
    for order, before, after in _points(both, rows):
        calm = all(point.states[name] == "idle" for point in (before, after) for name in point.phases)
        for red, black, reach in pairs:
            difference = abs((before.meter(red, black) or 0.0) - (after.meter(red, black) or 0.0))
            plain = difference >= PLAIN
            key = (plain and bool(near & {red, black}), plain and calm, round(2 * difference * reach) / 2, reach, -order)
            if difference >= LEAST and (best is None or key > best[0]):
                best = key, (before, after), (red, black)
    if best is None:
        return None
    _, points, leads = best
    return Telltale(*(take_reading(point, *leads) for point in points))


def _dark(both, rows):
    """Return the volts across a lamp that has them as before and is dark all the same, or None."""
    for _, before, after in _points(both, rows):
        for lamp in both[0].of_kind(Lamp):
            ends = [f"{lamp.name}:{terminal}" for terminal in lamp.terminals]
            if brightness(before.light(lamp.name)) != "lit" or brightness(after.light(lamp.name)) != "dark":
                continue
            if abs(after.meter(*ends) or 0.0) > 0.5 * abs(before.meter(*ends) or 0.0):
                return Telltale(take_reading(before, *ends), take_reading(after, *ends), seen=f"{lamp.name} stays dark")
    return None


def _pulled(both, fuse, rows, pairs):
    """Return what tells that a fuse is bridged: with it out there are volts behind it all the same."""
    out = Hold(fuse, both[0].part(fuse).states[-1])
    told = _volts([changed(circuit, out) for circuit in both], rows[:1], pairs)
    return told and replace(told, before=f"{fuse} pulled out")


def _places(arrangement):
    """Return ``(red lead, black lead, ease)`` of every pair worth trying."""
    zero, found = arrangement.zero, []
    for part in arrangement.parts:
        ends = [f"{part.name}:{terminal}" for terminal in part.terminals]
        found += [(end, zero, part.reach) for end in ends if end != zero and arrangement.wires_at[end]]
        for branch in part.branches():
            across = f"{part.name}:{branch.start}", f"{part.name}:{branch.end}"
            if (branch.mated or branch.role in (Role.LOAD, Role.COIL)) and all(map(arrangement.wires_at.get, across)):
                found.append((*across, part.reach))
    return tuple(dict.fromkeys(found))
